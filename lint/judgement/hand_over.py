"""The hand-over of a vehicle: its values, its verdicts, what is due, and what its plots are drawn from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import TypeVar

from ..documents.error import DocumentError
from ..documents.files import Files
from ..documents.profile import BASE, Profile
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.operand import EXACT
from ..riding.ride_figures import Ride
from ..riding.rider import rides
from .catalogue import Catalogue
from .due import Due, all_due
from .entry_sheet import EntrySheet, entry_sheet
from .evaluation import hear, mode_books
from .finding import Judgement, Verdict
from .judge import judge
from .ridden_books import ridden_books
from .rule import STAGES, Stage
from .waiver_list import size_words
from .window import Window
from .window import windows as windows_of

AnyBook = TypeVar("AnyBook")
WORST_LAST: tuple[Verdict, ...] = ("go", "go-with-waivers", "incomplete", "no-go")


@dataclass(frozen=True, slots=True)
class HandOver:
    """A vehicle on the day that it is handed over.

    `judgements` are those of the profile for each stage; `sheet` has the values to type in and what
    the profile comes to with them. `books` are those of the motor, or of each of several, by mode;
    `rides` what the settings come to on the road, of several motors together. `digests` are by the
    file's name; None where it is not there any more. `sizes` says with its unit what each waiver accepts.
    """

    profile: Profile
    sheet: EntrySheet
    judgements: Mapping[Stage, Judgement]
    due: tuple[Due, ...]
    books: Mapping[str, Mapping[str, Book]]
    rides: tuple[Ride, ...]
    windows: tuple[Window, ...]
    digests: Mapping[str, str | None]
    sizes: Mapping[str, str]

    def verdict(self, stage: Stage) -> Verdict:
        """The worse of what the profile comes to and what it does as typed in."""
        both = (self.judgements[stage].stages[stage], self.sheet.verdict(stage))
        return max(both, key=WORST_LAST.index)


def hand_over(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    files: Files,
    mode: str | None = None,
) -> HandOver:
    """What is handed over with a vehicle, in all modes or in one; `files` holds its documents."""
    motors = profile.motors or {"": profile}
    books = {name: _asked(mode_books(own, judged_on), mode) for name, own in motors.items()}
    judgements = {one: judge(profile, catalogue, judged_on, stage=one) for one in STAGES}
    return HandOver(
        profile=profile,
        sheet=entry_sheet(profile, catalogue, judged_on, mode),
        judgements=judgements,
        due=all_due(profile, judged_on),
        books=books,
        rides=rides(_asked(ridden_books(profile, judged_on), mode)),
        windows=tuple(
            one
            for one in _windows(profile, catalogue, judged_on)
            if mode is None or one.mode in (BASE, mode)
        ),
        digests=_digests(profile, files),
        sizes={
            one.entered_as: size_words(one, judgements["ride"], catalogue)
            for one in profile.waivers
        },
    )


def _asked(books: Mapping[str, AnyBook], mode: str | None) -> Mapping[str, AnyBook]:
    return books if mode is None else {mode: books[mode]}


def _windows(profile: Profile, catalogue: Catalogue, judged_on: str) -> tuple[Window, ...]:
    if not profile.motors:
        return windows_of(hear(profile, catalogue, judged_on), catalogue)
    from .motor_books import hear_motors  # late: most vehicles have one motor
    from .motor_entries import Heard
    from .motor_window import motor_windows, windows_once

    heard = Heard(profile, hear_motors(profile, catalogue, judged_on), catalogue)
    return windows_once(motor_windows(heard))


def _digests(profile: Profile, files: Files) -> dict[str, str | None]:
    """The SHA-256 of the bytes of every file that the profile was read from."""
    found: dict[str, str | None] = {}
    for name in profile.files:
        try:
            data = files.read(name.removeprefix(files.prefix))
        except DocumentError:
            found[name] = None
        else:
            found[name] = sha256(data).hexdigest()
    return found


def exact_number(book: Book, name: str) -> float | None:
    """A quantity where it is known exactly; a bound is drawn nowhere."""
    operand = book.operand(name)
    return operand.value if operand.side == EXACT and is_number(operand.value) else None
