"""The motor's heat on a long hill: a winding and a case, fitted to what the motor is rated for.

Two lumps of heat in a row, winding to case to air, each with a heat capacity. The ratings say how the
two are joined: the continuous current brings the winding to its limit in the end, the burst current in
the burst time, both from 40 °C. What the ratings leave open is a span, and then the time is one too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import NamedTuple

from ..quantities.burst import LONGEST_CLIMB_s
from ..quantities.conductor import warming

COLD_degC = 20.0  # IEC 60028: where copper has the resistance that is entered
RATED_AIR_degC = 40.0  # IEC 60034-1: reference ambient temperature of ratings
COPPER_J_per_kg_K = 385.0  # of copper at room temperature, CRC Handbook; from memory
MOTOR_J_per_kg_K = 460.0  # of steel, copper and some aluminium together; common practice, no source
# Where entries are missing; all common practice, no source.
WINDING_s = (20.0, 120.0)  # time constant of the winding towards the case
COPPER_SHARE = (0.1, 0.25)  # of the motor's mass
INNER_SHARE = (0.2, 0.7)  # of the whole thermal resistance: that between winding and case
INNER_MOST = 0.95  # of the same, where a burst rating is that low
CASE_s = (300.0, 3600.0)  # time constant of the whole motor
UNTOLD_degC = (130.0, 155.0)  # limit of a winding whose class is not given: classes B and F
PARTS_OF_TIME = 20.0  # steps in a time constant, the winding's or the case's


class Lumps(NamedTuple):
    """Winding and case: heat capacities in J/K, thermal resistances in K/W."""

    winding_J_per_K: float
    case_J_per_K: float
    inner_K_per_W: float
    outer_K_per_W: float


class MotorRatings(NamedTuple):
    """What is known of the motor's heat; None where it is not entered.

    `phase_ohm` is the winding's resistance at 20 °C, `limit_degC` what its insulation or magnets withstand.
    """

    phase_ohm: float
    continuous_A_rms: float
    limit_degC: float | None = None
    burst_A_rms: float | None = None
    burst_s: float | None = None
    mass_kg: float | None = None
    winding_s: float | None = None


# Winding and case after a step: shares of both temperatures before it, and what is added in °C.
HeatStep = tuple[tuple[float, float, float], tuple[float, float, float]]


def copper_heat(phase_ohm: float, current_A_rms: float, winding_degC: float) -> float:
    """Heat in W in three phases at a temperature of the copper, by Joule's law and IEC 60028.

    >>> round(copper_heat(0.01, 100.0, 20.0), 6), round(copper_heat(0.01, 100.0, 120.0), 1)
    (300.0, 417.9)
    """
    return 3.0 * current_A_rms**2 * phase_ohm * warming(winding_degC)


def lumps_of(ratings: MotorRatings) -> list[Lumps]:
    """Every motor that the ratings allow, at the ends of what they leave open; none if they conflict."""
    limits = (ratings.limit_degC,) if ratings.limit_degC is not None else UNTOLD_degC
    constants = (ratings.winding_s,) if ratings.winding_s is not None else WINDING_s
    return [
        lumps
        for limit_degC, winding_s in product(limits, constants)
        for lumps in _fitted(ratings, limit_degC, winding_s)
    ]


def _fitted(ratings: MotorRatings, limit_degC: float, winding_s: float) -> Iterator[Lumps]:
    """The motors of one limit and one time constant of the winding."""
    rise_K = limit_degC - RATED_AIR_degC
    steady_W = copper_heat(ratings.phase_ohm, ratings.continuous_A_rms, limit_degC)
    whole = rise_K / steady_W
    for inner in _inner(ratings, limit_degC, winding_s, whole):
        winding_J = winding_s / inner
        outer = whole - inner
        if outer <= 0.0:
            continue
        if ratings.mass_kg is not None:
            cases: Sequence[float] = (ratings.mass_kg * MOTOR_J_per_kg_K - winding_J,)
        else:
            cases = tuple(time_s / outer - winding_J for time_s in CASE_s)
        yield from (Lumps(winding_J, case_J, inner, outer) for case_J in cases if case_J > 0.0)


def _inner(
    ratings: MotorRatings, limit_degC: float, winding_s: float, whole: float
) -> Sequence[float]:
    """Thermal resistance between winding and case: by the burst, by the copper, or as a usual share."""
    if ratings.burst_s is not None and ratings.burst_A_rms is not None:
        middle_degC = (RATED_AIR_degC + limit_degC) / 2.0
        burst_W = copper_heat(ratings.phase_ohm, ratings.burst_A_rms, middle_degC)
        reached = 1.0 - math.exp(-ratings.burst_s / winding_s)
        return (min((limit_degC - RATED_AIR_degC) / (burst_W * reached), INNER_MOST * whole),)
    if ratings.mass_kg is not None:
        copper_J = [share * ratings.mass_kg * COPPER_J_per_kg_K for share in COPPER_SHARE]
        return [min(winding_s / joule, INNER_MOST * whole) for joule in copper_J]
    return [share * whole for share in INNER_SHARE]


def seconds_to_temperatures(
    lumps: Lumps,
    phase_ohm: float,
    currents: Sequence[tuple[float, float]],
    air_degC: float,
    targets_degC: Sequence[float],
) -> tuple[float | None, ...]:
    """Time until a winding that starts as warm as the air reaches each temperature; None within an hour.

    `currents` are A rms with the second from which each flows, each less than the one before, so that a
    winding which cools never did so after it warmed. By the midpoint rule, the copper's resistance
    following its temperature.

    >>> lumps = Lumps(500.0, 1e9, 0.2, 1e-9)
    >>> seconds_to_temperatures(lumps, 0.01, [(200.0, 0.0)], 40.0, [40.0, 160.0])[0]
    0.0
    """
    outward = 1.0 / lumps.inner_K_per_W + 1.0 / lumps.outer_K_per_W
    case_s = lumps.case_J_per_K / outward
    step_s = min(lumps.winding_J_per_K * lumps.inner_K_per_W, case_s) / PARTS_OF_TIME
    times = {target: 0.0 for target in targets_degC if air_degC >= target}
    waiting = sorted(set(targets_degC) - times.keys(), reverse=True)
    winding, case, steps = air_degC, air_degC, 0
    until_s = [*(start_s for _, start_s in currents[1:]), LONGEST_CLIMB_s]
    for (current_A_rms, _), end_s in zip(currents, until_s, strict=True):
        cold_W = copper_heat(phase_ohm, current_A_rms, COLD_degC)
        step = _linear_step(lumps, cold_W, air_degC, step_s)
        last = math.ceil(min(end_s, LONGEST_CLIMB_s) / step_s)
        leaps = _leaps(step, last - steps)
        while waiting and steps < last:
            for length, leap in leaps:
                landed = _after(leap, winding, case)
                if steps + length < last and landed[0] < waiting[-1]:
                    (winding, case), steps = landed, steps + length
            before = winding
            winding, case = _after(step, winding, case)
            while waiting and winding >= waiting[-1]:
                target = waiting.pop()
                times[target] = step_s * (steps + (target - before) / (winding - before))
            steps += 1
    return tuple(times.get(target) for target in targets_degC)


def _after(step: HeatStep, winding: float, case: float) -> tuple[float, float]:
    """Winding and case in °C after a step."""
    (by_winding, by_case, alone), (case_by_winding, case_by_case, case_alone) = step
    return (
        by_winding * winding + by_case * case + alone,
        case_by_winding * winding + case_by_case * case + case_alone,
    )


def _leaps(step: HeatStep, most: int) -> list[tuple[int, HeatStep]]:
    """Steps of twice the length each, the longest first; one that leaps over a temperature is not taken."""
    leaps = [(1, step)]
    while 2 * leaps[-1][0] < most:
        length, ((a, b, c), (d, e, f)) = leaps[-1]
        twice = (
            (a * a + b * d, a * b + b * e, a * c + b * f + c),
            (d * a + e * d, d * b + e * e, d * c + e * f + f),
        )
        leaps.append((2 * length, twice))
    return leaps[::-1]


def _linear_step(lumps: Lumps, cold_W: float, air_degC: float, step_s: float) -> HeatStep:
    """What winding and case come to in a step.

    Copper's resistance rises in a straight line, so that three steps tell all others.
    """
    alone = _stepped(lumps, cold_W, 0.0, 0.0, air_degC, step_s)
    of_winding = _stepped(lumps, cold_W, 1.0, 0.0, air_degC, step_s)
    of_case = _stepped(lumps, cold_W, 0.0, 1.0, air_degC, step_s)
    to_winding, to_case = (
        (winding - add, case - add, add)
        for winding, case, add in zip(of_winding, of_case, alone, strict=True)
    )
    return to_winding, to_case


def _stepped(
    lumps: Lumps, cold_W: float, winding: float, case: float, air: float, step_s: float
) -> tuple[float, float]:
    """Winding and case in °C after a step, by the midpoint rule; `cold_W` flows into copper of 20 °C."""
    warm, cool = _pace(lumps, cold_W, winding, case, air)
    middle = winding + warm * step_s / 2.0, case + cool * step_s / 2.0
    warm, cool = _pace(lumps, cold_W, *middle, air)
    return winding + warm * step_s, case + cool * step_s


def _pace(
    lumps: Lumps, cold_W: float, winding: float, case: float, air: float
) -> tuple[float, float]:
    """How fast winding and case warm, in K/s."""
    across_W = (winding - case) / lumps.inner_K_per_W
    outward_W = (case - air) / lumps.outer_K_per_W
    return (
        (cold_W * warming(winding) - across_W) / lumps.winding_J_per_K,
        (across_W - outward_W) / lumps.case_J_per_K,
    )


def time_spans(
    every: Iterable[Lumps],
    phase_ohm: float,
    currents: Sequence[tuple[float, float]],
    air_degC: float,
    targets_degC: Sequence[float],
) -> list[tuple[float | None, float | None]]:
    """The least and the most seconds to each temperature over some motors; None for not within an hour."""
    times = [
        seconds_to_temperatures(lumps, phase_ohm, currents, air_degC, targets_degC)
        for lumps in every
    ]
    return [span_of(of_target) for of_target in zip(*times, strict=True)]


def span_of(times: Sequence[float | None]) -> tuple[float | None, float | None]:
    """The least and the most of several times, of which None is beyond an hour.

    >>> span_of([60.0, None, 90.0]), span_of([60.0, 90.0]), span_of([None])
    ((60.0, None), (60.0, 90.0), (None, None))
    """
    known = [time for time in times if time is not None]
    return min(known, default=None), (None if None in times else max(known, default=None))
