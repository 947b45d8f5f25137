"""Entries: every setting of a profile in the order of the work, as the controller's field takes it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from ..documents.profile import Given, Profile
from ..documents.schema import Careful, canonical
from ..quantities.book import Book
from ..quantities.number import is_number
from .field import Field, field_of
from .field_step import is_outside, to_step
from .finding import Finding
from .frame import FIXED
from .rule import STOPS, Stage
from .window import Window

# The settings in the order of the work, by the first piece of a name that fits.
ORDER_OF_WORK: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Battery", ("settings.pack_nominal_V", "settings.battery_current_A")),
    ("Low voltage", ("settings.low_voltage",)),
    ("Over-voltage", ("settings.over_voltage_trip_V",)),
    ("Phase current", ("settings.phase_current",)),
    ("Motor", ("settings.pole_pairs", "settings.direction")),
    ("Sensors", ("settings.temperature.motor.sensor",)),
    ("Throttle", ("settings.throttle",)),
    ("Regen", ("settings.regen",)),
    ("Speed", ("settings.max_rpm", "settings.reverse_rpm", "settings.field", "settings.speed")),
    ("Temperature", ("settings.temperature",)),
    ("Others", ("settings.",)),
)
_START, _FULL = "settings.throttle.start_V", "settings.throttle.full_V"
_REVERSE = "settings.throttle.reverse_start_V"
NO_SETTING = "none"
MEND_FIRST = "Mend the profile first: see `gonogo check`."
MEND_BEFORE_A_RIDE = "Mend the profile before a ride: see `gonogo check`."


@dataclass(frozen=True, slots=True)
class FieldEntry:
    """One setting as it is typed in: `value` at a step of its field, `exact` as the profile has it.

    Numbers are in the unit of the `field`; of a choice both are its word, of what is not there
    `none`. `low` and `high` are the ends of the window, None where no rule limits. Without a `value` it
    is not to be typed in, and `obstacle` says why. `held` says whether the controller shows it, None
    where nobody read it back and `shows` what it showed. `broken` names the rules outside whose bounds
    the value lies, `stage` says from when the obstacle counts; `waived` has the findings that a waiver covers.
    """

    quantity: str
    entered_as: str
    mode: str
    motor: str
    group: str
    field: Field
    exact: float | str | None
    value: float | str | None
    low: float | None = None
    high: float | None = None
    held: bool | None = None
    obstacle: str = ""
    remedy: str = ""
    stage: Stage = "stand"
    broken: tuple[str, ...] = ()
    shows: float | str | None = None
    waived: tuple[Finding, ...] = ()


def place_in_work(quantity: str) -> int:
    """The place of a setting in the order of the work."""
    return next(
        number
        for number, (_, names) in enumerate(ORDER_OF_WORK)
        if quantity.startswith(tuple(names))
    )


def settings_given(profile: Profile, book: Book, mode: str) -> list[tuple[str, Given]]:
    """What a profile gives of its settings, in the order of the work; of a mode what that sets.

    Of a section that is not there only that, and of one that is there its settings.
    """
    source: Mapping[str, Given | None] = profile.modes[mode] if mode else profile.givens
    found = [
        (name, given)
        for name in canonical()
        if name.startswith("settings.")
        and (given := source.get(name)) is not None
        and given.value != "fitted"
        and not book.is_absent(name)
    ]
    return sorted(found, key=lambda one: place_in_work(one[0]))


def careful_side(quantity: str, book: Book) -> Careful:
    """The side to which a setting is rounded; where the signal falls, the other at a start."""
    side = canonical()[quantity].careful
    low, high = {_START: (_START, _FULL), _REVERSE: (_REVERSE, _START)}.get(quantity, ("", ""))
    lower, upper = (book.operand(name).value for name in (low, high)) if low else (None, None)
    if is_number(lower) and is_number(upper) and lower > upper:
        return "upper" if side == "lower" else "lower"
    return side


def entry_of(
    quantity: str,
    given: Given,
    mode: str,
    book: Book,
    window: Callable[[], Window | None],
    form: str = "",
) -> FieldEntry:
    """One setting as its field takes it; its `window` is asked for where there is a use for it."""
    field = field_of(quantity, given.entered_as, book, form)
    group = ORDER_OF_WORK[place_in_work(quantity)][0]
    entry = FieldEntry(quantity, given.entered_as, mode, "", group, field, None, None)
    if given.value is None or not is_number(given.value):
        word = NO_SETTING if given.value is None else str(given.value)
        return replace(entry, exact=word, value=word)
    if field.missing:
        needed = " and ".join(field.missing)
        said = f"The value cannot be turned into the field's unit without {needed}."
        return replace(entry, obstacle=said, remedy=f"Enter {needed} in the profile.")
    allowed = None if quantity in FIXED else window()
    low, high = _ends(allowed, given, field)
    exact = field.shows(float(given.value))
    value = to_step(exact, field.step, careful_side(quantity, book), low, high)
    entry = replace(entry, exact=exact, value=value, low=low, high=high)
    if value is None:
        said = "No step of the field lies on the careful side of the value and inside its window."
        remedy = (
            "Change the setting in the profile to one of the field's steps, and check it again."
        )
        return replace(entry, obstacle=said, remedy=remedy)
    if is_outside(value, low, high):
        said, remedy = "The value lies outside its window.", MEND_FIRST
        return replace(entry, obstacle=said, remedy=remedy, broken=_broken(allowed))
    if allowed is not None and allowed.hard is None and (broken := _broken(allowed)):
        said = "No value fits its rules."
        return replace(entry, obstacle=said, remedy=MEND_FIRST, broken=broken)
    return entry


def _broken(window: Window | None) -> tuple[str, ...]:
    """The rules whose dangers and faults begin short of today's value."""
    if window is None or window.today is None:
        return ()
    stopping = (one for one in window.rules if one.severity in STOPS)
    return tuple(one.rule for one in stopping if is_outside(window.today, one.low, one.high))


def _ends(window: Window | None, given: Given, field: Field) -> tuple[float | None, float | None]:
    """The ends of the window in the field's unit."""
    if window is None or window.hard is None:
        return None, None
    ends = (window.hard.low.limit, window.hard.high.limit)
    low, high = (
        None if end is None else field.shows(end * given.factor + given.offset) for end in ends
    )
    return low, high


def count_entries(profile: Profile, books: Mapping[str, Book]) -> int:
    """How many settings there are to enter, in the base settings and the modes."""
    return sum(len(settings_given(profile, book, mode)) for mode, book in books.items())
