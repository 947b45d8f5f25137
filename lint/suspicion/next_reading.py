"""The next reading: what each suspect would have it come to, and which tells them apart best."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from ..documents.motors import entry_path
from ..documents.profile import Profile
from ..judgement.bring_up import bring_up_plan
from ..judgement.planned_step import Band, PlannedReading
from ..quantities.number import is_number

METER_PERCENT = 2.0  # to which the meters of a workshop agree, common practice
_LEAST_BITS = 0.02
_APART = 2.0  # standard deviations between two values that a reading tells apart
_GRID = 160  # outcomes over which a gain is summed


class Predicted(NamedTuple):
    """What a reading should come to: a number with its deviation, or a word."""

    value: Any
    deviation: float = 0.0


class NextReading(NamedTuple):
    """A reading that tells suspects apart: what the first and the second of them have it come to.

    `again` says that it was taken already, `label` that it is no reading but the entry looked up again;
    `once_set`: it is taken again once the first suspect is corrected in the controller. What the first
    has it come to is None where it is any other value than the second's.
    """

    measure: str
    quantity: str
    unit: str
    separates: tuple[int, int | None]
    expected: tuple[Any, Any]
    bits: float
    again: bool = False
    label: bool = False
    once_set: bool = False


def predictions(profile: Profile, judged_on: str) -> Mapping[str, Predicted]:
    """What each reading of a bring-up comes to on a vehicle, by its key: as it was read, else as expected."""
    found: dict[str, Predicted] = {}
    for step in bring_up_plan(profile, judged_on):
        for one in step.readings:
            told = _predicted(one)
            if told is not None:
                found[one.key] = told
    return found


def _predicted(one: PlannedReading) -> Predicted | None:
    value = one.value
    if isinstance(value, list | tuple):
        value = sum(value) / len(value) if value and all(map(is_number, value)) else None
        if value is None:
            return None
    if value is not None:
        return as_read(value, one.entry.step)
    return None if one.expect is None else _of_band(one.expect)


def as_read(value: Any, step: float | None) -> Predicted:
    """What a reading comes to that was right and is taken again."""
    if not is_number(value):
        return Predicted(value)
    return Predicted(float(value), max(step or 0.0, METER_PERCENT / 100.0 * abs(value)))


def _of_band(band: Band) -> Predicted | None:
    if band.low is None or band.high is None or band.high < band.low:
        return None
    half = (band.high - band.low) / 2.0
    # a band of so many per cent less or of as many times more has its middle between, as ratios go
    middle = math.sqrt(band.low * band.high) if band.low > 0 else band.low + half
    return Predicted(middle, max(half / 2.0, METER_PERCENT / 100.0 * abs(middle), 1e-9))


def is_told_apart(one: Predicted | None, other: Predicted | None) -> bool:
    """Whether a reading would tell which of two holds."""
    if one is None or other is None:
        return False
    if not (is_number(one.value) and is_number(other.value)):
        return bool(one.value != other.value)
    deviation = max(one.deviation, other.deviation)
    return abs(one.value - other.value) > _APART * deviation


def are_alike(one: Mapping[str, Predicted], other: Mapping[str, Predicted]) -> bool:
    """Whether no reading tells two vehicles apart."""
    return not any(is_told_apart(told, other.get(name)) for name, told in one.items())


def gain_bits(weights: Sequence[float], told: Sequence[Predicted | None]) -> float:
    """The information that a reading is expected to give about which of several holds, in bits.

    Mutual information; Cover and Thomas, Elements of Information Theory, 2nd edition 2006, 2.4, from
    memory. One of which nothing is predicted says nothing either way.
    """
    known = [(w, one) for w, one in zip(weights, told, strict=True) if one is not None and w > 0]
    total = sum(weight for weight, _ in known)
    if len(known) < 2 or total <= 0:
        return 0.0
    shares = [(weight / total, one) for weight, one in known]
    if any(not is_number(one.value) for _, one in shares):
        return total * _gain_of_words(shares)
    return total * _gain_of_numbers(shares)


def _gain_of_words(shares: Sequence[tuple[float, Predicted]]) -> float:
    summed: dict[str, float] = {}
    for share, one in shares:
        summed[repr(one.value)] = summed.get(repr(one.value), 0.0) + share
    return -sum(share * math.log2(share) for share in summed.values())


def _gain_of_numbers(shares: Sequence[tuple[float, Predicted]]) -> float:
    """Summed over outcomes of each hypothesis, evenly in its own probability."""
    gain = 0.0
    for share, one in shares:
        for step in range(_GRID):
            z = -4.0 + 8.0 * (step + 0.5) / _GRID
            outcome = one.value + z * one.deviation
            own = _density(outcome, one)
            mixed = sum(weight * _density(outcome, other) for weight, other in shares)
            gain += share * own * one.deviation * (8.0 / _GRID) * math.log2(own / mixed)
    return max(gain, 0.0)


def _density(value: float, told: Predicted) -> float:
    z = (value - told.value) / told.deviation
    return math.exp(-min(z * z / 2.0, 600.0)) / (told.deviation * math.sqrt(2.0 * math.pi))


def best_reading(
    weights: Sequence[float],
    told: Sequence[Mapping[str, Predicted]],
    units: Mapping[str, str],
    read: frozenset[str],
) -> NextReading | None:
    """The reading with the largest expected gain that tells the first two apart; None without one.

    The last of `weights` and `told` is the profile as it stands, for none of the suspects; it is the
    second where there is one suspect alone.
    """
    second = 1 if len(told) > 2 else None
    other = told[1]
    gains = []
    for name, first in told[0].items():
        if is_told_apart(first, other.get(name)):
            bits = gain_bits(weights, [one.get(name) for one in told])
            gains.append((bits, name not in read, name))
    if not gains:
        return None
    bits, _, name = max(gains)
    if bits < _LEAST_BITS:
        return None
    expected = (told[0][name].value, other[name].value)
    return NextReading(
        name, entry_path(name), units.get(name, ""), (0, second), expected, bits, name in read
    )
