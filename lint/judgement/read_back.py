"""The read-back: what the controller's fields show, held against what the profile says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any, NamedTuple

from ..documents.given import Value
from ..documents.location import Place
from ..documents.motors import MOTORS
from ..documents.profile import BASE, Profile
from ..documents.schema import canonical, properties
from ..documents.units import unit_of_key
from ..expressions.formatting import DIGITS, MOST_DIGITS, apart, shown
from ..expressions.names import with_article
from ..quantities.book import Book
from ..quantities.number import is_number, near
from .catalogue import Catalogue
from .entries import NO_SETTING, count_entries, entry_of
from .evaluation import Hearing
from .field import SETTINGS_PREFIX, Field, field_of
from .field_step import is_held
from .finding import HeldCount
from .slip import Beside, Shown, slip_words
from .window import Window, window_of

VALUES, IN_MODES = "readings.entered.values", "readings.entered.modes"
UNEXPLAINED = "one of the two is wrong"


class ReadBack(NamedTuple):
    """One field as it was read: what it `shows`, and what the profile says, in the field's unit.

    `wanted` is None where the profile gives no such setting. `held` is false also where it cannot be
    told; `entered_as` is the key of the reading, `place` where it stands. `typed` is the step of the
    field that stands for a value which is none; None where no step does.
    """

    quantity: str
    mode: str
    entered_as: str
    place: Place
    shows: float | str
    wanted: float | str | None
    held: bool
    field: Field
    typed: float | str | None = None


def read_backs(hearing: Hearing, catalogue: Catalogue) -> tuple[ReadBack, ...]:
    """Every field that was read back, in the order of the document."""
    profile = hearing.profile
    found: list[ReadBack] = []
    for path, mode, values, entered_as in _read(profile):
        for key, value in values.items():
            place = profile.sections.get(f"{path}.{key}", profile.place)
            at = f"{entered_as}.{key}"
            found.append(_held(key, value, mode, at, place, hearing, catalogue))
    return tuple(found)


def _read(profile: Profile) -> Iterator[tuple[str, str, Mapping[str, Any], str]]:
    """What was read of the base settings and of each mode, with the path of it and its key."""
    values, of_modes = (profile.givens.get(name) for name in (VALUES, IN_MODES))
    if values is not None:
        yield VALUES, BASE, values.entered, values.entered_as
    if of_modes is not None:
        for mode, inner in of_modes.entered.items():
            yield f"{IN_MODES}.{mode}", mode, inner, f"{of_modes.entered_as}.{mode}"


def _held(
    key: str,
    value: float | str,
    mode: str,
    path: str,
    place: Place,
    hearing: Hearing,
    catalogue: Catalogue,
) -> ReadBack:
    """One reading held against the setting that the mode has."""
    quantity = properties()[f"{SETTINGS_PREFIX}{key}"].quantity
    book = hearing.books[mode]
    field = field_of(quantity, key, book)
    given = book.given(quantity)
    read = ReadBack(quantity, mode, path, place, value, None, False, field)
    if book.is_absent(quantity) or (given is not None and given.value is None):
        is_off = value == NO_SETTING or (book.is_absent(quantity) and value == 0)
        return read._replace(wanted=NO_SETTING, held=is_off)
    if given is None:
        return read._replace(held=value == NO_SETTING)
    if not is_number(given.value):
        return read._replace(wanted=str(given.value), held=value == given.value)
    if field.missing:
        return read._replace(
            wanted=shown(given.entered, unit_of_key(given.entered_as), MOST_DIGITS)
        )
    exact = field.shows(float(given.value))
    if not is_number(value):
        return read._replace(wanted=exact)
    typed: float | None = exact
    if not near(exact, round(exact / field.step) * field.step):
        window = partial(_window, quantity, mode, hearing, catalogue)
        entry = entry_of(quantity, given, mode, book, window, field.form)
        typed = entry.value if is_number(entry.value) else None
    held = is_held(value, exact, typed, field.step)
    return read._replace(wanted=exact, held=held, typed=typed)


def _window(quantity: str, mode: str, hearing: Hearing, catalogue: Catalogue) -> Window | None:
    """The window of a setting; of one of several motors it is not known by itself."""
    if MOTORS in hearing.profile.sections:
        return None
    return window_of(quantity, mode, hearing, catalogue)


def held_of(quantity: str, mode: str, read: Sequence[ReadBack]) -> bool | None:
    """Whether the controller was seen to hold a setting; None where nobody read it back."""
    found = [one.held for one in read if (one.quantity, one.mode) == (quantity, mode)]
    return all(found) if found else None


def shown_of(quantity: str, mode: str, read: Sequence[ReadBack]) -> float | str | None:
    """What the controller showed for a setting; of several readings the first that differs."""
    found = [one for one in read if (one.quantity, one.mode) == (quantity, mode)]
    return next((one.shows for one in sorted(found, key=lambda one: one.held)), None)


def held_count(hearing: Hearing, read: Sequence[ReadBack]) -> HeldCount:
    """How many of the settings the controller was seen to hold."""
    held = {(one.quantity, one.mode) for one in read if one.held and one.wanted is not None}
    held -= {(one.quantity, one.mode) for one in read if not one.held}
    return HeldCount(len(held), count_entries(hearing.profile, hearing.books))


def held_in_all(motors: Iterable[tuple[HeldCount | None, Hearing]]) -> HeldCount:
    """The counts of several motors together; one of which nothing was read back holds nothing."""
    counts = [
        one or HeldCount(0, count_entries(hearing.profile, hearing.books))
        for one, hearing in motors
    ]
    return HeldCount(sum(one.held for one in counts), sum(one.settings for one in counts))


def read_back_facts(
    one: ReadBack, read: Sequence[ReadBack], hearing: Hearing
) -> Mapping[str, Value]:
    """What the rules about what was read back judge, and the words that tell it."""
    where = f" in mode {one.mode}" if one.mode else ""
    means = "" if one.held else _explained(one, read, hearing)
    return {
        "entered.title": f"{with_article(one.quantity)}{where}",
        "entered.shown": field_words(one.shows, one.field),
        "entered.wanted": field_words(one.wanted, one.field, _digits(one)),
        "entered.given": one.wanted is not None,
        "entered.held": one.held,
        "entered.means": f"the value shown is {means}" if means else UNEXPLAINED,
        "entered.typed": _typed_words(one),
    }


def _typed_words(one: ReadBack) -> str:
    """What is to be typed, as the sheet of entries has it."""
    typed = one.wanted if one.typed is None else one.typed
    return "the profile's value" if typed is None else field_words(typed, one.field)


def field_words(value: float | str | None, field: Field, digits: int = MOST_DIGITS) -> str:
    """A value as its field shows it: `2.92 V/cell`, in the owner's unit where there is one."""
    if value is None or isinstance(value, str):
        return value or NO_SETTING
    if field.written:
        return f"{shown(value, '', digits)} {field.written}"
    return f"{shown(value, field.unit, digits)}{'/cell' if field.form == 'cell' else ''}"


def _digits(one: ReadBack) -> int:
    """As many digits of what is wanted as tell it from what is shown."""
    if is_number(one.wanted) and is_number(one.shows):
        return apart(one.wanted, one.shows)
    return DIGITS


def _explained(one: ReadBack, read: Sequence[ReadBack], hearing: Hearing) -> str:
    """The usual slip behind a difference, if both sides are numbers and one fits."""
    if one.field.missing:
        return f"in a unit that cannot be compared without {' and '.join(one.field.missing)}"
    this = _compared(one)
    if this is None:
        return ""
    of_mode = [two for two in read if two.mode == one.mode and two != one]
    held = {two.quantity for two in of_mode if two.held}
    book = hearing.books[one.mode]
    beside = Beside(
        [two for two in map(_compared, of_mode) if two is not None],
        {name: value for name, value in _measured_alike(one.field, book) if name not in held},
        dict(_in_other_modes(one, hearing)),
    )
    return slip_words(this, one.field, beside, book)


def _compared(one: ReadBack) -> Shown | None:
    if not (is_number(one.shows) and is_number(one.wanted)):
        return None
    return Shown(one.quantity, one.shows, one.wanted, one.field.step, one.field.unit)


def _measured_alike(field: Field, book: Book) -> Iterator[tuple[str, float]]:
    """What the profile has for the other settings of the same unit, as their fields show it."""
    for name in canonical():
        if name.startswith(SETTINGS_PREFIX) and name != field.quantity and field.unit:
            other = _field_and_value(name, book)
            if other is not None and other[0].unit == field.unit:
                yield name, other[1]


def _in_other_modes(one: ReadBack, hearing: Hearing) -> Iterator[tuple[str, float]]:
    """What the profile has for the same setting in another mode, where that differs."""
    for mode, book in hearing.books.items():
        other = _field_and_value(one.quantity, book) if mode != one.mode else None
        if other is not None and is_number(one.wanted) and not near(other[1], one.wanted):
            yield mode, other[1]


def _field_and_value(name: str, book: Book) -> tuple[Field, float] | None:
    """The field of a number that the profile gives, and what it shows of it."""
    given = book.given(name)
    if given is None or not is_number(given.value):
        return None
    field = field_of(name, given.entered_as, book)
    return None if field.missing else (field, field.shows(float(given.value)))
