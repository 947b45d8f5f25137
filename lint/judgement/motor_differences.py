"""How far several motors differ in what a rider feels: speed, thrust, braking, reverse and throttle."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from ..documents.given import Value
from ..documents.motors import MOTOR, MOTORS
from ..documents.profile import BASE, Profile
from ..quantities.operand import ABSENT, EXACT, NOTHING, Operand
from .document_rules import Paper
from .equal_motors import equal_motors
from .motor_books import (
    BRAKING,
    CIRCUMFERENCE,
    CONTROLLER,
    PUSH,
    REDUCTION,
    ROAD_SPEED,
    Books,
    OfMotor,
)

START, FULL = "settings.throttle.start_V", "settings.throttle.full_V"
RAMP = "settings.throttle.ramp_ms"
_IDENTIFIED = "readings.identification.done"
REVERSE = "settings.reverse_rpm"
KM_H_OF_M_PER_MIN = 0.06
THROTTLE = "throttle"
# What the motors are compared in, by its fact: the quantities of each motor behind it.
BEHIND = {
    "speed": (ROAD_SPEED,),
    "thrust": (PUSH,),
    "braking": (BRAKING,),
    "reverse": (REVERSE, REDUCTION, CIRCUMFERENCE),
    "ramp": (RAMP,),
    THROTTLE: (START, FULL),
}
_ZERO = Operand(0.0)


class _Facts(NamedTuple):
    """What one comparison came to in a mode, at which motor it stands, and what each motor lacks for it."""

    facts: Mapping[str, Value]
    at: str
    lacking: dict[str, list[str]]


class _Compared(NamedTuple):
    """One thing in which motors may differ: the names of its facts, and what each motor has of it."""

    gap: str
    least: str
    most: str
    unit: str
    of: Callable[[Books], Operand]


def _alone(name: str) -> Callable[[Books], Operand]:
    def of(books: Books) -> Operand:
        operand = books.alone.operand(name)
        return _ZERO if operand.side == ABSENT else operand

    return of


def _reverse_km_h(books: Books) -> Operand:
    """The road speed at which a motor drives backward."""
    parts = [books.alone.operand(name) for name in (REVERSE, REDUCTION, CIRCUMFERENCE)]
    if parts[0].side == ABSENT:
        return _ZERO
    if any(part.value is None for part in parts):
        return _unknown(*parts)
    rpm, ratio, circumference_m = (part.number for part in parts)
    return Operand(rpm / ratio * circumference_m * KM_H_OF_M_PER_MIN)


DIFFERENCES = (
    _Compared("speed", "slowest", "fastest", "km_h", lambda books: books.speed),
    _Compared("thrust", "weakest", "strongest", "N", _alone(PUSH)),
    _Compared("braking", "braking_least", "braking_most", "N", _alone(BRAKING)),
    _Compared("reverse", "reversing_least", "reversing_most", "km_h", _reverse_km_h),
    _Compared("ramp", "quickest", "laziest", "ms", _alone(RAMP)),
)


def gap_of(thing: str) -> str:
    """The fact about how far the motors differ in a thing."""
    return f"{MOTORS}.{thing}_gap_percent"


def differences(
    heard: Mapping[str, OfMotor], profile: Profile
) -> tuple[list[Paper], dict[str, dict[str, list[str]]]]:
    """A paper for each thing in which the motors may differ, and one for the mode in which they differ more.

    And for each share that is not known the entries that are missing, each with the motors that lack it.
    """
    papers: list[Paper] = []
    lacks: dict[str, dict[str, list[str]]] = {}
    for one in DIFFERENCES:
        gap = gap_of(one.gap)
        modes = {
            mode: _compared(
                one, gap, {name: one.of(motor.books[mode]) for name, motor in heard.items()}
            )
            for mode in _modes(heard)
        }
        papers += _widest(modes, gap, profile, lacks)
    modes = {
        mode: _throttle(heard, mode) for mode in _modes(heard) if _reads_a_voltage(heard, mode)
    }
    if BASE in modes:
        papers += _widest(modes, gap_of(THROTTLE), profile, lacks)
    papers += _identified_in_part(heard, profile)
    papers += equal_motors(heard, profile)
    return papers, lacks


def _modes(heard: Mapping[str, OfMotor]) -> list[str]:
    return list(next(iter(heard.values())).books)


def _compared(one: _Compared, gap: str, has: Mapping[str, Operand]) -> _Facts:
    """The facts of one comparison, and the motor at whose lines they stand."""
    if any(operand.value is None for operand in has.values()):
        return _Facts({}, next(iter(has)), _lacking(has))
    least, most = (end(has, key=lambda name: has[name].number) for end in (min, max))
    low, high = has[least].number, has[most].number
    facts: dict[str, Value] = {
        f"{MOTORS}.{one.least}": least,
        f"{MOTORS}.{one.most}": most,
        f"{MOTORS}.{one.least}_{one.unit}": low,
        f"{MOTORS}.{one.most}_{one.unit}": high,
        gap: 100.0 * (1.0 - low / high) if high else 0.0,
    }
    return _Facts(facts, least, {})


def _widest(
    modes: Mapping[str, _Facts], gap: str, profile: Profile, lacks: dict[str, dict[str, list[str]]]
) -> Iterator[Paper]:
    """The comparison in the base settings, and that of the mode in which it is wider or not known."""
    base = modes[BASE]
    others = {mode: facts for mode, facts in modes.items() if mode != BASE}
    unknown = [mode for mode, one in others.items() if gap not in one.facts]
    yield _paper(base.facts, gap, base.at, profile)
    if gap not in base.facts:
        lacks[gap] = base.lacking
        return
    if unknown:
        lacks[gap] = others[unknown[0]].lacking
        yield _paper({}, gap, base.at, profile, unknown[:1])
    wider = [
        mode for mode in others if mode not in unknown and _of(others[mode], gap) > _of(base, gap)
    ]
    if wider:
        mode = max(wider, key=lambda name: _of(others[name], gap))
        yield _paper(others[mode].facts, gap, others[mode].at, profile, (mode,))


def _of(one: _Facts, gap: str) -> float:
    """The share itself, without the noise of floating point."""
    share = one.facts[gap]
    assert isinstance(share, float)
    return round(share, 6)


def _reads_a_voltage(heard: Mapping[str, OfMotor], mode: str) -> bool:
    """False where no motor has throttle voltages, as behind a receiver or a pedal sensor."""
    return any(
        motor.books[mode].alone.operand(one).side != ABSENT
        for motor in heard.values()
        for one in (START, FULL)
    )


def _throttle(heard: Mapping[str, OfMotor], mode: str) -> _Facts:
    """The largest difference in what two motors make of one throttle signal.

    Each rises in a straight line from its start voltage to its full voltage, so that the largest
    difference is at one of these voltages.
    """
    gap = gap_of(THROTTLE)
    ends = {
        name: tuple(motor.books[mode].alone.operand(one) for one in (START, FULL))
        for name, motor in heard.items()
    }
    if any(one.value is None for pair in ends.values() for one in pair):
        return _Facts(
            {}, next(iter(heard)), _lacking({name: _unknown(*p) for name, p in ends.items()})
        )
    volts = {name: (start.number, full.number) for name, (start, full) in ends.items()}
    widest = (0.0, next(iter(heard)), next(iter(heard)), 0.0)
    for signal_V in sorted({one for pair in volts.values() for one in pair}):
        asked = {name: asked_percent(signal_V, *pair) for name, pair in volts.items()}
        less, more = (end(asked, key=lambda name: asked[name]) for end in (min, max))
        widest = max(widest, (asked[more] - asked[less], less, more, signal_V), key=lambda x: x[0])
    apart, less, more, signal_V = widest
    facts: dict[str, Value] = {
        f"{MOTORS}.asking_least": less,
        f"{MOTORS}.asking_most": more,
        f"{MOTORS}.throttle_signal_V": signal_V,
        gap: apart,
    }
    return _Facts(facts, less, {})


def asked_percent(signal_V: float, start_V: float, full_V: float) -> float:
    """What a controller makes of a throttle signal, in percent of full throttle.

    >>> asked_percent(2.0, 1.0, 3.0), asked_percent(4.0, 1.0, 3.0), asked_percent(0.5, 1.0, 3.0)
    (50.0, 100.0, 0.0)
    """
    if full_V == start_V:
        return 100.0 if signal_V >= full_V else 0.0
    return 100.0 * min(max((signal_V - start_V) / (full_V - start_V), 0.0), 1.0)


def _identified_in_part(heard: Mapping[str, OfMotor], profile: Profile) -> list[Paper]:
    """Motors said to have no identification, where a controller of the same figures has identified one."""
    done = {name: one.books[BASE].alone.operand(_IDENTIFIED) for name, one in heard.items()}
    boxes = {name: _controller(view) for name, view in profile.motors.items()}
    papers: list[Paper] = []
    for name in (one for one, operand in done.items() if operand.side == ABSENT):
        mates = [one for one, box in boxes.items() if box == boxes[name] and done[one].value]
        facts: dict[str, Value] = {
            "motors.unidentified": name,
            "motors.identified": mates[0] if mates else "",
        }
        papers.append(_paper(facts, "motors.unidentified", name, profile))
    return papers


def _controller(view: Profile) -> dict[str, Value | None]:
    return {
        name: given.value
        for name, given in view.givens.items()
        if name.startswith(f"{CONTROLLER}.")
    }


def _paper(
    facts: Mapping[str, Value], gap: str, name: str, profile: Profile, modes: Sequence[str] = ()
) -> Paper:
    stands_at = f"{MOTORS}.{name}"
    place = profile.motors[name].sections[MOTOR]
    return Paper(facts, stands_at, stands_at, place, {}, about=gap, modes=tuple(modes))


def _unknown(*parts: Operand) -> Operand:
    return Operand(None, EXACT, NOTHING.union(*(part.missing for part in parts)))


def _lacking(has: Mapping[str, Operand]) -> dict[str, list[str]]:
    lacking: dict[str, list[str]] = {}
    for name, operand in has.items():
        for one in operand.missing if operand.value is None else ():
            lacking.setdefault(one, []).append(name)
    return lacking
