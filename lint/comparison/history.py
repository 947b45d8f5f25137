"""The story of one profile: what each commit changed, and what became of its findings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from ..documents.git_history import Step
from ..documents.profile import BASE
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing
from ..judgement.finding import Judgement
from ..judgement.sentences import Spoken, entered_in
from ..quantities.number import is_number, tidy
from ..quantities.registry import unit_of
from .change import ValueChange
from .comparison import Comparison, compare, new_vehicle
from .finding_change import FindingChange, JudgedSide

DIFFER = "differs by motor"
NOT_WORKED_OUT = "not worked out for several motors"


@dataclass(frozen=True, slots=True)
class Version:
    """A profile as it was at one commit, judged; or the reason why it could not be read.

    A step without a commit is what lies on the disk.
    """

    step: Step
    side: JudgedSide | None
    catalogue: Catalogue | None
    error: str = ""


@dataclass(frozen=True, slots=True)
class Episode:
    """One commit of the story: its verdict, and what it changed since the one before."""

    step: Step
    judgement: Judgement | None
    changes: tuple[ValueChange, ...]
    finding_changes: tuple[FindingChange, ...]
    value: Any
    error: str = ""

    @property
    def has_news(self) -> bool:
        """Whether anything changed, or it could not be read."""
        return bool(self.changes or self.finding_changes or self.error)


@dataclass(frozen=True, slots=True)
class Followed:
    """The value that a story follows: its quantity, in one mode or in the base settings."""

    quantity: str
    mode: str = BASE


def episodes(versions: Iterable[Version], followed: Followed | None = None) -> Iterator[Episode]:
    """The story, the first commit first; each is compared with the last one that could be read."""
    before: JudgedSide | None = None
    for version in versions:
        if version.side is None or version.catalogue is None:
            yield Episode(version.step, None, (), (), None, version.error)
            continue
        now = version.side
        compared = (
            new_vehicle(now)
            if before is None
            else compare(before, now, version.catalogue, ridden=False)
        )
        yield _episode(version.step, now, compared, followed)
        before = now


def _episode(
    step: Step, side: JudgedSide, compared: Comparison, followed: Followed | None
) -> Episode:
    return Episode(
        step=step,
        judgement=side.judgement,
        changes=compared.made,
        finding_changes=tuple(
            change for change in compared.finding_changes if change.way != "standing"
        ),
        value=None if followed is None else value_at(followed, side),
    )


def value_at(followed: Followed, side: JudgedSide) -> Any:
    """The followed value of one side; of several motors one that is given alike for all, else why not."""
    values = [followed_value(followed, hearing) for hearing in side.hearings.values()]
    if any(value != values[0] for value in values):
        return DIFFER
    books = [hearing.books.get(followed.mode) for hearing in side.hearings.values()]
    given = any(book is not None and book.given(followed.quantity) is not None for book in books)
    return values[0] if len(books) == 1 or values[0] is None or given else NOT_WORKED_OUT


def followed_value(followed: Followed, hearing: Hearing) -> Any:
    """The followed value at one commit, canonical; None where there is none."""
    book = hearing.books.get(followed.mode)
    if book is None:
        return None
    value = book.operand(followed.quantity).value
    if is_number(value):
        return tidy(float(value))
    return value


FOLLOWS_NONE = Spoken(1.0, 0.0, "", None)


def told_in(followed: Followed, hearing: Hearing | None) -> Spoken:
    """How the followed value is told: in the unit of the key as entered last."""
    book = None if hearing is None else hearing.books.get(followed.mode)
    if book is None:
        return Spoken(1.0, 0.0, unit_of(followed.quantity), None)
    return entered_in(followed.quantity, book)
