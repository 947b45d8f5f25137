"""Lines of a blank profile that are still comments: where a new value belongs, if one stands ready."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .blank_profile import ENTRY, REMARK, example_of
from .schema import properties
from .template import scalar_text

_STEP = 2  # columns by which a blank profile moves an inner section in
_NOTE_FROM = 34  # the column of the units, where the line leaves room
_KEY = re.compile(r"( *)([^\s:#]+):(?=\s|$)")


def filled_in(
    text: str, keys: Sequence[str], depth: int, column: int, header: int, written: str
) -> str | None:
    """The text with the value in the line that waits for it; None where no such line does.

    `keys` lead to the value, and `depth` of them to a section that is there: its own keys stand in
    `column`, and its key on line `header`, -1 of a whole document. A comment is such a line only
    where it is what a blank profile has there, with its example; another is somebody's own.
    """
    lines = text.split("\n")
    found: list[int] = []
    at = header
    for number, key in enumerate(keys[depth:]):
        line = _waiting(lines, at, key, column + _STEP * number)
        last = depth + number == len(keys) - 1
        if line is None or not (_note(lines[line], keys, depth + number, last)):
            break
        at = line
        found.append(line)
    if not found:
        return None
    end = "\r" if lines[found[-1]].endswith("\r") else ""
    for line in found:
        lines[line] = lines[line].removeprefix(ENTRY)
    margins = [" " * (column + _STEP * number) for number in range(len(keys) - depth)]
    if len(found) == len(keys) - depth:
        new = f"{margins[-1]}{keys[-1]}: {written}"
        note = _behind(lines[found[-1]], keys)
        lines[found[-1]] = (f"{new.ljust(_NOTE_FROM)}  {note}" if note else new) + end
    else:
        missing = [f"{margin}{key}:" for margin, key in zip(margins, keys[depth:], strict=True)][
            len(found) :
        ]
        missing[-1] += f" {written}"
        lines[found[-1] + 1 : found[-1] + 1] = [line + end for line in missing]
    return "\n".join(lines)


def _waiting(lines: Sequence[str], after: int, key: str, column: int) -> int | None:
    """The line with the key as a comment in the section that begins before it."""
    for number in range(after + 1, len(lines)):
        line = lines[number]
        told = _KEY.match(line.removeprefix(ENTRY))
        if line.startswith(REMARK) or told is None:
            continue
        if len(told[1]) < column:
            return None
        if line.startswith(ENTRY) and len(told[1]) == column and told[2] == key:
            return number
    return None


def _note(line: str, keys: Sequence[str], at: int, last: bool) -> bool:
    """Whether the line of a key is one of a blank profile."""
    behind = line.removeprefix(ENTRY).strip().removeprefix(f"{keys[at]}:").strip()
    if not last:
        return behind in ("", f"# or {keys[at]}: none")
    example = _example(keys)
    return bool(example) and (behind == example or behind.startswith(f"{example} "))


def _behind(line: str, keys: Sequence[str]) -> str:
    """The note behind the example."""
    return line.strip().removeprefix(f"{keys[-1]}: {_example(keys)}").strip()


def _example(keys: Sequence[str]) -> str:
    """What a blank profile has as an example of an entry; nothing of what is none."""
    name = ".".join(keys)
    return scalar_text(example_of(name)) if name in properties() else ""
