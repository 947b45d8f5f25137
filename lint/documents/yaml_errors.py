"""What makes a file no YAML, said so that its writer finds the slip."""

from __future__ import annotations

from typing import Any

from .error import YamlSyntax
from .text import line_of, position, quoted

# What the parser says (a part of it), and which of its two marks is nearer to the slip.
PROBLEM, CONTEXT = "problem", "context"
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
    from .text_slips import line_without_colon, proportion, slip_of_lines  # late: most are YAML

    complaint = str(getattr(problem, "problem", "") or "")
    marks = {
        PROBLEM: _mark(getattr(problem, "problem_mark", None), text),
        CONTEXT: _mark(getattr(problem, "context_mark", None), text),
    }
    line, column = marks[PROBLEM]
    slip = slip_of_lines(text, min(line, marks[CONTEXT][0]), line)
    if slip is None and "mapping values are not allowed" in complaint:
        slip = line_without_colon(text, line)
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
    ratio = proportion(line_of(text, line), column) if "unexpected ':'" in complaint else None
    if ratio is not None:
        return _at(
            file, (line, column), quoted(ratio), "one number: the first divided by the second"
        )
    if "block sequence" in complaint and line_of(text, line)[column - 1 :].strip() == "-":
        wanted = "a value, `none` where there is none, and no key where that is not known"
        return _at(file, (line, column), "`-` for a value", wanted)
    for part, near, found, wanted in CAUSES:
        if part in complaint:
            return _at(file, marks[near], found, wanted)
    return _at(file, marks[PROBLEM], "text that is not YAML", "entries such as `key: value`")


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
