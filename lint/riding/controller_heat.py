"""The controller's heat on a long hill: one body, fitted to what the controller is rated for.

The continuous phase current brings the power stage to its maximum temperature in the end, the phase
current rating in the burst time. What a datasheet leaves open, from which air and how heat rises with
current, is a span, and so is the time.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product
from typing import NamedTuple

from ..quantities.burst import LONGEST_CLIMB_s

# Both common practice, no source.
RATED_FROM_degC = (25.0, 40.0)  # air in which the ratings of controllers hold
HEAT_POWERS = (
    1.0,
    2.0,
)  # of current, by which heat rises: switching in proportion, conduction by Joule


class ControllerRatings(NamedTuple):
    """What the datasheet says of a controller's heat."""

    most_A_rms: float
    continuous_A_rms: float
    burst_s: float
    max_degC: float


class Body(NamedTuple):
    """A body that warms with one time constant; in the end by `rise_K` at the continuous current."""

    time_s: float
    rise_K: float
    continuous_A_rms: float
    power: float


def bodies_of(ratings: ControllerRatings) -> Iterator[Body]:
    """Every controller that the ratings allow, at the ends of what they leave open; none if they conflict.

    From t = τ·ln(1 / (1 − heat continuous / heat burst)), the thermal overload characteristic of
    IEC 60255-149 from cold.

    >>> bodies = list(bodies_of(ControllerRatings(200.0, 100.0, 60.0, 85.0)))
    >>> [round(body.time_s, 1) for body in bodies], [body.rise_K for body in bodies]
    ([86.6, 208.6, 86.6, 208.6], [60.0, 60.0, 45.0, 45.0])
    """
    share = ratings.continuous_A_rms / ratings.most_A_rms
    for from_degC, power in product(RATED_FROM_degC, HEAT_POWERS):
        if share < 1.0 and ratings.max_degC > from_degC:
            time_s = ratings.burst_s / -math.log1p(-(share**power))
            yield Body(time_s, ratings.max_degC - from_degC, ratings.continuous_A_rms, power)


def seconds_until(
    body: Body, currents: Sequence[tuple[float, float]], air_degC: float, target_degC: float
) -> float | None:
    """Time until a body that starts as warm as the air reaches a temperature; None within an hour.

    `currents` are A rms with the second from which each flows.

    >>> body = Body(100.0, 60.0, 100.0, 2.0)
    >>> round(seconds_until(body, [(200.0, 0.0)], 25.0, 85.0), 2)
    28.77
    >>> seconds_until(body, [(100.0, 0.0)], 25.0, 90.0) is None
    True
    """
    now_degC = air_degC
    if now_degC >= target_degC:
        return 0.0
    ends = [*(since for _, since in currents[1:]), LONGEST_CLIMB_s]
    for (current_A_rms, since), until in zip(currents, ends, strict=True):
        rise_K = body.rise_K * (current_A_rms / body.continuous_A_rms) ** body.power
        last_degC = air_degC + rise_K
        if last_degC > target_degC:
            share = (last_degC - now_degC) / (last_degC - target_degC)
            reached = since + body.time_s * math.log(share)
            if reached <= until:
                return reached
        now_degC = last_degC + (now_degC - last_degC) * math.exp((since - until) / body.time_s)
    return None
