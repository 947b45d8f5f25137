"""Equal motors held against each other: what is read on one should be read on the other too."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations
from typing import Any, NamedTuple

from ..documents.given import Given, Value
from ..documents.motors import MOTOR
from ..documents.profile import BASE, Profile
from ..documents.schema import canonical
from ..expressions.formatting import shown
from ..expressions.names import with_article
from ..quantities.book import Book
from ..quantities.number import noise
from ..quantities.operand import EXACT
from ..quantities.registry import unit_of
from ..tables.table import table
from .document_rules import Paper
from .finding import Related
from .motor_books import CONTROLLER, OfMotor

_NO_LOAD, _FOUND = "readings.no_load.", "readings.identification.found."
_WARM = "readings.temperature.warm."
_COLD = ("readings.temperature.motor_degC", "readings.temperature.controller_degC")
_RPM, _HZ, _BATTERY_A = (f"{_NO_LOAD}{_key}" for _key in ("rpm", "electrical_Hz", "battery_A"))
_SHOWN_WARM, _HOUSING = f"{_WARM}motor_shown_degC", f"{_WARM}reference_degC"
_OFFSETS = (f"{_FOUND}offset_forward_deg", f"{_FOUND}offset_reverse_deg")
_AS_FOR = "readings.identification.for.direction"
_CURRENTS = ("settings.phase_current_A_rms", "settings.battery_current_A")
_KV, _LIMIT = "motor.kv_rpm_per_V", "settings.max_rpm"
# What makes two motors of no part file equal: all figures alike that both have, these among them.
_NEEDED = (_KV, "motor.phase_current_A_rms")
_MEASURED = "measured"  # kind of an entry that differs from one motor to the next
_KV_APART = 0.05  # further apart two kv stand for two windings
_HELD = (0.97, 1.05)  # of a speed limit: a test that ended there was held by it
_SPEED_APART = 0.1  # losses of two tests are compared within this share of speed
_STATES_DEG = 60.0  # hall wires in another order shift the offset by a whole number of these


class _Seen(NamedTuple):
    """What one motor shows of a thing: the figure that is compared, and how it was read."""

    figure: float
    said: str
    given: Given


class _Pair(NamedTuple):
    """Two equal motors by their names, and what each of them shows."""

    names: tuple[str, str]
    seen: tuple[_Seen, _Seen]
    books: tuple[Book, Book]


def equal_motors(heard: Mapping[str, OfMotor], profile: Profile) -> Iterator[Paper]:
    """A paper for each reading that two motors meant to be equal both have.

    Readings that were taken under different conditions say nothing about each other and are left out;
    of a speed and a frequency that differ alike the speed alone is told.
    """
    books = {name: one.books[BASE].alone for name, one in heard.items()}
    for names in combinations(books, 2):
        views = [profile.motors[name] for name in names]
        if not are_equal(*views):
            continue
        first, second = (books[name] for name in names)
        told: set[str] = set()
        for row in table("equal_motors")["rows"]:
            reading = row["reading"]
            seen = _seen(reading, first), _seen(reading, second)
            if seen[0] is None or seen[1] is None or seen[0].given.place == seen[1].given.place:
                continue
            pair = _Pair(names, (seen[0], seen[1]), (first, second))
            if not _comparable(reading, pair) or (reading == _HZ and _RPM in told):
                continue
            paper = _paper(row, pair)
            if paper.facts["motors.equal_apart"]:
                told.add(reading)
            yield from (paper, paper._replace(about="motors.equal_turned"))


def are_equal(one: Profile, other: Profile) -> bool:
    """Whether two motors are meant to be equal: of one part file, or alike in all figures that both have.

    What differs from one motor to the next, such as a winding resistance measured, may differ in figures.
    """
    parts = one.parts.get(MOTOR), other.parts.get(MOTOR)
    if parts[0] is not None and parts[0] == parts[1]:
        return True
    both = [
        name
        for name in one.givens.keys() & other.givens.keys()
        if name.startswith(f"{MOTOR}.") and name != MOTOR
    ]
    poles = {"motor.magnets", "motor.pole_pairs"}
    if not set(_NEEDED) <= set(both) or poles.isdisjoint(both):
        return False
    return all(_alike(name, one.value(name), other.value(name)) for name in both)


def _alike(name: str, one: Any, other: Any) -> bool:
    if name == _KV:
        kvs = float(one), float(other)
        return max(kvs) <= (1.0 + _KV_APART) * min(kvs)
    terms = canonical()[name].beside_part
    return bool(one == other) or (terms is not None and terms.kind == _MEASURED)


def _number(name: str, book: Book) -> float | None:
    """A figure that is known exactly, else None."""
    operand = book.operand(name)
    if operand.value is None or operand.side != EXACT:
        return None
    return operand.number


def _seen(reading: str, book: Book) -> _Seen | None:
    """What a motor shows of a reading, as it is compared; None where it was not read."""
    given, value = book.given(reading), _number(reading, book)
    if given is None or value is None:
        return None
    said = shown(value, unit_of(reading))
    if reading.startswith(_NO_LOAD):
        pack_V = _number(f"{_NO_LOAD}pack_V", book)
        if not pack_V:
            return None
        figure = value * pack_V if reading == _BATTERY_A else value / pack_V
        return _Seen(figure, f"{said} at {shown(pack_V, 'V')}", given)
    if reading == _SHOWN_WARM:
        housing_degC = _number(_HOUSING, book)
        if housing_degC is None:
            return None
        housing = shown(housing_degC, "degC")
        return _Seen(value - housing_degC, f"{said} beside {housing} by thermometer", given)
    return _Seen(value, said, given)


def _comparable(reading: str, pair: _Pair) -> bool:
    """Whether the two were read under conditions that are alike."""
    conditions: Callable[[_Pair], bool]
    if reading in (_RPM, _HZ):
        conditions = _at_one_throttle
    elif reading == _BATTERY_A:
        conditions = _at_one_speed
    elif reading in _COLD:
        conditions = _rested
    elif reading in _OFFSETS or reading == f"{_FOUND}phase_inductance_uH":
        conditions = _on_equal_controllers
    elif reading == _HOUSING:
        conditions = _at_equal_currents
    else:
        return True
    return conditions(pair)


def _at_one_throttle(pair: _Pair) -> bool:
    """Both at full throttle with the same field weakening, the slower not held by its speed limit."""
    full = all(book.operand(f"{_NO_LOAD}throttle").value == "full" for book in pair.books)
    weakened = {_number("motor.tested_weakening_A_rms", book) for book in pair.books}
    slower = min(zip(pair.seen, pair.books, strict=True), key=lambda one: one[0].figure)[1]
    rpm, limit = _number(_RPM, slower), _number(_LIMIT, slower)
    held = rpm is not None and limit is not None and _HELD[0] <= rpm / limit <= _HELD[1]
    return full and len(weakened) == 1 and not held


def _at_one_speed(pair: _Pair) -> bool:
    speeds = [_number(_RPM, book) for book in pair.books]
    if speeds[0] is None or speeds[1] is None or not _same(pair, "drivetrain."):
        return False
    return abs(speeds[0] - speeds[1]) <= _SPEED_APART * min(speeds[0], speeds[1])


def _rested(pair: _Pair) -> bool:
    return all(
        (_number("readings.soaked_h", book) or 0.0) >= (_number("house.soak_h", book) or 0.0)
        for book in pair.books
    )


def _on_equal_controllers(pair: _Pair) -> bool:
    return _same(pair, f"{CONTROLLER}.")


def _at_equal_currents(pair: _Pair) -> bool:
    return all(len({_number(name, book) for book in pair.books}) == 1 for name in _CURRENTS)


def _same(pair: _Pair, section: str) -> bool:
    """Whether both have the same figures of a section."""
    names = [name for name in canonical() if name.startswith(section)]
    first, second = pair.books
    return all(first.operand(name).value == second.operand(name).value for name in names)


def _paper(row: Mapping[str, Any], pair: _Pair) -> Paper:
    """The facts about one reading of both; they stand at the line of the higher."""
    reading = row["reading"]
    low, high = sorted(zip(pair.names, pair.seen, strict=True), key=lambda one: one[1].figure)
    (least, lower), (most, higher) = low, high
    gap = higher.figure - lower.figure
    turned = False
    allowed = row["percent"] / 100.0 * abs(lower.figure) + row["apart"]
    if reading in _OFFSETS:
        whole = offset_gap_deg(lower.figure, higher.figure, 360.0)
        gap = _offset_gap(pair)
        turned = gap <= allowed < whole and not _mirrored(pair)
    facts: dict[str, Value] = {
        "motors.equal_low": least,
        "motors.equal_high": most,
        "motors.equal_reading": with_article(reading),
        "motors.equal_low_value": lower.said,
        "motors.equal_high_value": higher.said,
        "motors.equal_band": _band(row),
        "motors.equal_look": row["look"],
        "motors.equal_apart": gap > allowed + noise(gap, allowed),
        "motors.equal_turned": turned,
    }
    entered_as, place = higher.given.entered_as, higher.given.place
    related = (Related(reading, lower.given.place),)
    return Paper(facts, entered_as, entered_as, place, {}, related, about="motors.equal_reading")


def _band(row: Mapping[str, Any]) -> str:
    """The allowed difference in words."""
    reading = row["reading"]
    units = {_BATTERY_A: "W", _SHOWN_WARM: "K", _HOUSING: "K"} | dict.fromkeys(_COLD, "K")
    amount = shown(float(row["apart"]), units.get(reading, unit_of(reading)))
    parts = [shown(float(row["percent"]), "percent")] if row["percent"] else []
    return " and ".join([*parts, *([amount] if row["apart"] else [])])


def offset_gap_deg(one: float, other: float, turn: float = _STATES_DEG) -> float:
    """How far two sensor offsets lie apart in electrical degrees, multiples of a turn left out.

    >>> offset_gap_deg(42.0, 105.0), offset_gap_deg(350.0, 10.0, 360.0)
    (3.0, 20.0)
    """
    apart = abs(one - other) % turn
    return min(apart, turn - apart)


def _offset_gap(pair: _Pair) -> float:
    """The gap of two offsets; of a mirrored motor the offset may count backward, so the nearer holds."""
    one, other = (seen.figure for seen in pair.seen)
    if _mirrored(pair):
        return min(offset_gap_deg(one, other), offset_gap_deg(one, -other))
    return offset_gap_deg(one, other)


def _mirrored(pair: _Pair) -> bool:
    directions: Sequence[Value | None] = [book.operand(_AS_FOR).value for book in pair.books]
    return directions[0] != directions[1] or directions[0] is None
