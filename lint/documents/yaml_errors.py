"""What makes a file no YAML, said so that its writer finds the slip."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from .error import YamlSyntax
from .text import line_of, position, quoted
from .yaml_scalar import VALUE_OR_NONE, refused_ratio

if TYPE_CHECKING:
    from .text_slips import Slip

# What the parser says (a part of it), and which of its two marks is nearer to the slip.
PROBLEM, CONTEXT = "problem", "context"
AFTER_NO_COLON = ("mapping values are not allowed", "expected <document start>")
CAUSES = (
    (
        "mapping values are not allowed",
        PROBLEM,
        "a second `:` in one entry",
        "one `key: value` on each line, keys of one section below each other, `: ` in quotes",
    ),
    (
        "could not find expected ':'",
        CONTEXT,
        "a line without `:`",
        "`key: value`, with a space after the colon",
    ),
    (
        "did not find expected '-' indicator",
        PROBLEM,
        "an entry that does not belong to the list above it",
        "`- ` before each item of a list, exactly below each other",
    ),
    (
        "block sequence entries are not allowed",
        PROBLEM,
        "`-` in the middle of a line",
        "each item of a list on its own line, or the list in brackets: [a, b]",
    ),
    (
        "unexpected end of stream",
        CONTEXT,
        "a quotation mark that is never closed",
        "the same quotation mark at the end of the text",
    ),
    (
        "unknown escape character",
        PROBLEM,
        "a backslash that is no valid escape in double quotes",
        "the text in single quotes, where a backslash is an ordinary character",
    ),
    (
        "did not find expected hexdecimal number",
        PROBLEM,
        "a backslash that is no valid escape in double quotes",
        "the text in single quotes, where a backslash is an ordinary character",
    ),
    (
        "alphabetic or numeric character",
        CONTEXT,
        "a text that begins with `*` or `&`",
        "the text in quotes",
    ),
    (
        "did not find expected node content",
        PROBLEM,
        "a bracket or comma in the wrong place",
        "a value",
    ),
    (
        "unexpected ':'",
        PROBLEM,
        "`:` without a space after it",
        "`key: value`, with a space after the colon",
    ),
    (
        "expected comment or line break",
        PROBLEM,
        "text on the line of `|` or `>`",
        "the text on the next lines, indented, or the text in quotes",
    ),
    (
        "expected <document start>",
        PROBLEM,
        "text after the document's end",
        "one document from the first line to the last",
    ),
    ("incompatible YAML document", PROBLEM, "another version of YAML", "YAML 1.2"),
    (
        "did not find expected key",
        PROBLEM,
        "an entry in the wrong place",
        "keys of one section exactly below each other, and nothing after a quotation or bracket",
    ),
)


def syntax_error(problem: Any, text: str, file: str) -> YamlSyntax:
    """The parser's exception as an error of ours: where the slip is, and what it likely is."""
    complaint = str(getattr(problem, "problem", "") or "")
    marks = {
        PROBLEM: _mark(getattr(problem, "problem_mark", None), text),
        CONTEXT: _mark(getattr(problem, "context_mark", None), text),
    }
    line, column = marks[PROBLEM]
    slip = _slip(text, complaint, marks[CONTEXT][0], (line, column))
    if slip is not None:
        return YamlSyntax(file, *slip)
    letter = line_of(text, line)[column - 1 : column]
    if letter == "\t" or "tab character" in complaint:
        return _at(file, (line, column), "a tab", "spaces to indent with")
    if letter == "?":
        wanted = "a value, or the key left out if it is unknown"
        return _at(file, (line, column), "a text that begins with `?`", wanted)
    before = line_of(text, line)[: column - 1].rstrip()
    if letter == "," and before.endswith(","):
        return _at(file, (line, column), "a second `,`", "one comma between two entries")
    if "cannot start any token" in complaint or "non-alphabetical character" in complaint:
        return _beginning(file, text, marks[CONTEXT])
    if "did not find expected ','" in complaint:
        return _unclosed(file, text, marks[CONTEXT], marks[PROBLEM])
    if not letter and (line, column) == position(text) and "node content" in complaint:
        return _at(
            file, (line, column), "the end of the file inside a bracket", "the closing bracket"
        )
    after_colon = _after_colon(file, text, complaint, (line, column))
    if after_colon is not None:
        return after_colon
    for part, near, found, wanted in CAUSES:
        if part in complaint:
            return _at(file, marks[near], found, wanted)
    return _at(file, marks[PROBLEM], "text that is not YAML", "entries such as `key: value`")


def _after_colon(file: str, text: str, complaint: str, at: tuple[int, int]) -> YamlSyntax | None:
    """A proportion, a dash or nothing where a value should stand."""
    from .text_slips import proportion  # late: most are YAML

    written, column = line_of(text, at[0]), at[1]
    is_colon = "unexpected ':'" in complaint
    ratio = proportion(written, column) if is_colon else None
    if ratio is not None:
        before = written[: column - 1]
        key = re.search(r"(\w+): *$", before[: before.rfind(ratio.partition(":")[0])])
        said = refused_ratio(ratio, key[1] if key else "")
        if said is not None:
            return YamlSyntax(file, *at, said.found, said.wanted, said.nearest)
    if is_colon and written[column : column + 1] in (",", "}"):
        return _at(file, at, "nothing behind the colon", VALUE_OR_NONE)
    if "block sequence" in complaint and written[column - 1 :].strip() == "-":
        return _at(file, at, "`-` for a value", VALUE_OR_NONE)
    return None


def _slip(text: str, complaint: str, context: int, at: tuple[int, int]) -> Slip | None:
    """The slip in one of the lines that explains why the parser stopped further on."""
    from .comment_slips import swallowed  # late: most are YAML
    from .line_slips import slip_of_line
    from .text_slips import line_without_colon, no_entry_at, slip_of_lines

    first = min(at[0], context)
    slip = slip_of_lines(text, first, at[0]) or swallowed(text, first, at[0])
    if slip is None and "could not find expected ':'" in complaint:
        slip = no_entry_at(text, context)
    if slip is None and any(words in complaint for words in AFTER_NO_COLON):
        slip = line_without_colon(text, at[0])
    return slip or slip_of_line(text, complaint, at)


def _beginning(file: str, text: str, at: tuple[int, int]) -> YamlSyntax:
    letter = line_of(text, at[0])[at[1] - 1 : at[1]]
    return _at(file, at, f"a text that begins with {quoted(letter)}", "the text in quotes")


def _unclosed(
    file: str, text: str, opened: tuple[int, int], problem: tuple[int, int]
) -> YamlSyntax:
    """A bracket still open at the end of its line, or a comma missing before it closes."""
    bracket = line_of(text, opened[0])[opened[1] - 1 : opened[1]]
    closing = {"{": "}", "[": "]"}.get(bracket, "a bracket")
    if problem[0] == opened[0]:
        return _at(file, problem, "an entry without a comma before it", f"a comma, or `{closing}`")
    found = f"`{bracket}` that is not closed before line {problem[0]}"
    return _at(file, opened, found, f"`{closing}` after its last entry, and commas between them")


def _mark(mark: Any, text: str) -> tuple[int, int]:
    """A mark of the parser, which may lie behind the end of the text."""
    end = position(text)
    return min((mark.line + 1, mark.column + 1), end) if mark is not None else end


def _at(file: str, place: tuple[int, int], found: str, wanted: str) -> YamlSyntax:
    return YamlSyntax(file, *place, found, wanted)
