"""What can go wrong, one tree: an exception means that there is nothing to judge.

GonogoError
├── UsageError               wrong usage
│   ├── NoProfile            nothing to judge under the paths given
│   ├── SeveralMotors        a profile of several motors, asked what only one motor can answer
│   └── RevisionError        no git, no repository, no such revision
├── MergeConflict            a file of which nothing is staged until its two sides are one
├── EditError                a file whose values cannot be changed and all else left as it is
├── ExpressionError          an expression of a rule, before anybody knows its file
├── DocumentErrors           all errors that keep one document from being used
└── DocumentError            one error at one place of one file
    ├── UnreadableFile       missing, a folder, not permitted, too large, a link that leads out
    ├── NotText              binary, not UTF-8, characters that nobody sees
    ├── YamlSyntax           not YAML at all
    ├── RepeatedKey          one key twice in a section
    ├── ForbiddenYaml        YAML that hides what is meant: tags, merges, aliases that never end, 12_000
    ├── UnknownKey           a key that its section does not have
    ├── WrongValue           a value of the wrong kind or out of range, or none where one must be
    ├── PairGivenTwice       rms and peak, or both ways of stating a resistance
    ├── PartError            a part that is missing, outside, in a loop, of another kind
    └── HouseError           a house file that asks for what is not there

Defect                       something wrong with gonogo itself, which no user can mend
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .location import Place


class GonogoError(Exception):
    """Anything that gonogo tells its user instead of a verdict."""


class Defect(Exception):
    """A file that comes with gonogo and cannot be used: nothing that its user could mend."""

    def __init__(self, file: str, reason: str) -> None:
        super().__init__(file, reason)
        self.file = file
        self.reason = reason

    def __str__(self) -> str:
        return f"{self.file}: {self.reason}"


class UsageError(GonogoError):
    """Wrong usage: the call cannot be understood."""


class NoProfile(UsageError):
    """No profile lies under the paths given."""

    def __init__(self, paths: Sequence[str]) -> None:
        super().__init__(paths)
        self.paths = tuple(paths)

    def __str__(self) -> str:
        return (
            f"No profile under {', '.join(self.paths)}: a profile is a YAML file whose first key "
            "is `gonogo: profile/1`."
        )


class SeveralMotors(UsageError):
    """A profile of several motors, asked for what is worked out for one motor only."""

    def __init__(self, file: str, motors: Iterable[str]) -> None:
        super().__init__(file, tuple(motors))
        self.file = file
        self.motors = tuple(motors)

    def __str__(self) -> str:
        return (
            f"{self.file} has several motors ({', '.join(self.motors)}), and this is worked out for "
            "one motor only so far: `gonogo check` judges them together."
        )


class RevisionError(UsageError):
    """A revision that cannot be read: no git, no repository, no such revision."""


class MergeConflict(GonogoError):
    """A file that a merge left with two sides: what is staged of it cannot be read."""


class EditError(GonogoError):
    """A file that cannot be edited, or not without touching more than the values meant."""

    def __init__(self, file: str, found: str, wanted: str) -> None:
        super().__init__(file, found, wanted)
        self.file = file
        self.found = found
        self.wanted = wanted

    def __str__(self) -> str:
        return f"Nothing was written to {self.file}: found {self.found}; expected {self.wanted}."


class ExpressionError(GonogoError):
    """An expression that cannot be used; whoever knows the rule's file makes it a DocumentError.

    `offset` is the column inside the expression, `key` the key of the rule that holds it.
    """

    def __init__(
        self,
        found: str,
        wanted: str,
        nearest: str | None = None,
        offset: int = 1,
        key: str | None = None,
    ) -> None:
        super().__init__(found, wanted, nearest, offset, key)
        self.found = found
        self.wanted = wanted
        self.nearest = nearest
        self.offset = offset
        self.key = key

    def __str__(self) -> str:
        where = f" in `{self.key}`" if self.key else ""
        return f"Found {self.found}{where}; expected {self.wanted}.{_offer(self.nearest)}"


class DocumentError(GonogoError):
    """One error at one place: what was found, what was wanted, and what was probably meant.

    `text` is the source line, for an excerpt; it is no part of what makes two errors the same.
    """

    def __init__(
        self,
        file: str,
        line: int,
        column: int,
        found: str,
        wanted: str,
        nearest: str | None = None,
        text: str = "",
    ) -> None:
        super().__init__(file, line, column, found, wanted, nearest, text)
        self.file = file
        self.line = line
        self.column = column
        self.found = found
        self.wanted = wanted
        self.nearest = nearest
        self.text = text

    def __reduce__(self) -> tuple[type[DocumentError], tuple[str | int | None, ...]]:
        return type(self), (*self.fields, self.text)

    @property
    def fields(self) -> tuple[str, int, int, str, str, str | None]:
        """All that makes this error itself."""
        return self.file, self.line, self.column, self.found, self.wanted, self.nearest

    @property
    def place(self) -> Place:
        """Where it stands."""
        return Place(self.file, self.line, self.column)

    @property
    def message(self) -> str:
        """The sentence, without its place."""
        return f"Found {self.found}; expected {self.wanted}.{_offer(self.nearest)}"

    def __str__(self) -> str:
        return f"{self.place}: {self.message}"


def _offer(nearest: str | None) -> str:
    return f" Did you mean `{nearest}`?" if nearest else ""


class UnreadableFile(DocumentError):
    """A file that is missing or may not be read."""

    def __str__(self) -> str:
        is_whole = (self.line, self.column) == (1, 1)  # no line of it was read
        return f"{self.file}: {self.message}" if is_whole else super().__str__()


class HouseGone(UnreadableFile):
    """A house file that a change took away, with all that the shop asks for."""

    became = "GONE"


class NotFetched(UnreadableFile):
    """A submodule whose files are not there: nobody can tell which documents lie in it."""


class NotText(DocumentError):
    """A file that is not text as an editor would write it."""


class YamlSyntax(DocumentError):
    """A file that is not YAML."""


class RepeatedKey(DocumentError):
    """A key that its section holds already."""


class ForbiddenYaml(DocumentError):
    """YAML that a reader could take for something else than the program does."""


class UnknownKey(DocumentError):
    """A key that its section does not have."""


class WrongValue(DocumentError):
    """A value of another kind or range than the schema says, or none where one must be."""


class PairGivenTwice(DocumentError):
    """Two keys that say the same thing in two ways."""


class PartError(DocumentError):
    """A part that a section asks for and cannot have."""


class HouseError(DocumentError):
    """A house file that names what is not there."""


class DocumentErrors(GonogoError):
    """All errors that keep one document from being used, by file, line and column."""

    def __init__(self, errors: Iterable[DocumentError]) -> None:
        kept: dict[int, DocumentError] = {id(error): error for error in errors}
        self.errors = tuple(
            sorted(kept.values(), key=lambda error: (error.file, error.line, error.column))
        )
        super().__init__(self.errors)

    def __reduce__(self) -> tuple[type[DocumentErrors], tuple[tuple[DocumentError, ...]]]:
        return type(self), (self.errors,)

    def __str__(self) -> str:
        return "\n".join(str(error) for error in self.errors)
