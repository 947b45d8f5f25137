"""The bursts of phase current that a motor withstands: how much, and for how long."""

from __future__ import annotations

from .motor_rating import least_label_current
from .operand import NotWorked
from .worked import worked

HEAT = "Heat grows with the square of the current (Joule), duty types S1 and S2 of IEC 60034-1."


@worked(
    "motor.burst_bound_A_rms",
    "A_rms",
    title="motor burst current limit",
    burst_A_rms="motor.phase_current_burst_A_rms",
    formula="burst_A_rms",
    source="The motor's datasheet.",
)
def burst_bound(burst_A_rms: float) -> float:
    """Phase current that the motor withstands in bursts: its rating.

    >>> burst_bound(300.0)
    300.0
    """
    return burst_A_rms


@worked(
    "motor.burst_bound_A_rms",
    "A_rms",
    title="motor burst current limit",
    factor="house.burst_continuous_factor",
    continuous_A_rms="motor.phase_current_A_rms",
    formula="factor * continuous_A_rms",
    source="Short-time duty S2 of IEC 60034-1; two to three times for small motors is common practice.",
)
def burst_bound_continuous(factor: float, continuous_A_rms: float) -> float:
    """The same while only the continuous rating is given.

    >>> burst_bound_continuous(2.0, 120.0)
    240.0
    """
    return factor * continuous_A_rms


@worked(
    "motor.burst_bound_A_rms",
    "A_rms",
    title="motor burst current limit",
    factor="house.burst_label_factor",
    label_A_rms="motor.label_current_A_rms",
    formula="factor * label_A_rms",
    source="Common practice.",
)
def burst_bound_label(factor: float, label_A_rms: float) -> float:
    """The same while only the rated power is given.

    >>> burst_bound_label(8.0, 16.0)
    128.0
    """
    return factor * label_A_rms


@worked(
    "motor.burst_bound_A_rms",
    "A_rms",
    title="motor burst current limit",
    factor="house.burst_label_factor",
    rated_W="motor.rated_power_W",
    modulation="house.modulation",
    nominal_V="pack.nominal_V",
    formula="factor * rated_W / (sqrt(3 / 2) * modulation * nominal_V)",
    source="Power balance of a sine drive at its highest voltage; the factor is common practice.",
)
def burst_bound_power(factor: float, rated_W: float, modulation: float, nominal_V: float) -> float:
    """The same while neither kv nor the rated speed tells the current at the rated power.

    By the least current that makes this power on the pack: less than the true one, unless the motor
    is made for a higher voltage than the pack's.

    >>> round(burst_bound_power(8.0, 1000.0, 0.95, 48.0), 1)
    143.2
    """
    return factor * least_label_current(rated_W, modulation, nominal_V)


def seconds_until_hot(
    burst_s: float, burst_A_rms: float, continuous_A_rms: float, current_A_rms: float
) -> float:
    """Time for which a current may flow, by the heat that the burst rating allows.

    Of the heat only what exceeds the continuous current's is stored, and none of that is given off
    meanwhile: right for seconds, too short for minutes.

    >>> seconds_until_hot(20.0, 300.0, 100.0, 300.0), seconds_until_hot(20.0, 300.0, 100.0, 200.0)
    (20.0, 53.333333333333336)
    """
    if current_A_rms <= continuous_A_rms:
        raise NotWorked("the continuous current needs no time limit")
    if burst_A_rms <= continuous_A_rms:
        raise NotWorked("the burst rating is not above the continuous one")
    stored = burst_A_rms**2 - continuous_A_rms**2
    return burst_s * stored / (current_A_rms**2 - continuous_A_rms**2)


@worked(
    "motor.allowed_burst_s",
    "s",
    title="allowed burst time",
    burst_s="motor.phase_current_burst_s",
    burst_A_rms="motor.phase_current_burst_A_rms",
    continuous_A_rms="motor.phase_current_A_rms",
    driven_A_rms="motor.driven_A_rms",
    falls=("driven_A_rms",),
    formula="burst_s * (burst_A_rms ** 2 - continuous_A_rms ** 2)"
    " / (driven_A_rms ** 2 - continuous_A_rms ** 2)",
    applies_when="driven_A_rms > continuous_A_rms and burst_A_rms > continuous_A_rms",
    source=HEAT,
)
def allowed_burst(
    burst_s: float, burst_A_rms: float, continuous_A_rms: float, driven_A_rms: float
) -> float:
    """Time for which the motor withstands the phase current limit.

    From a cold motor; right for seconds, too short for minutes.

    >>> allowed_burst(20.0, 300.0, 100.0, 300.0)
    20.0
    """
    return seconds_until_hot(burst_s, burst_A_rms, continuous_A_rms, driven_A_rms)


@worked(
    "motor.allowed_burst_s",
    "s",
    title="allowed burst time",
    untold_s="house.burst_untold_s",
    factor="house.burst_unwatched_factor",
    continuous_A_rms="motor.phase_current_A_rms",
    driven_A_rms="motor.driven_A_rms",
    falls=("driven_A_rms",),
    formula="untold_s * (factor ** 2 - 1) * continuous_A_rms ** 2"
    " / (driven_A_rms ** 2 - continuous_A_rms ** 2)",
    applies_when="driven_A_rms > continuous_A_rms and continuous_A_rms > 0 and factor > 1",
    source="IEC 60034-1, 9.3, from memory: 1.5 times the rated current for two minutes; half of it.",
)
def allowed_burst_untold(
    untold_s: float, factor: float, continuous_A_rms: float, driven_A_rms: float
) -> float:
    """The same while no burst rating is given: the excess that a winding is usually built for.

    The standard asks it of motors without permanent magnets; a winding heats alike in both.

    >>> allowed_burst_untold(60.0, 1.5, 100.0, 200.0), allowed_burst_untold(60.0, 1.5, 100.0, 150.0)
    (25.0, 60.0)
    """
    if factor <= 1.0 or continuous_A_rms <= 0.0:
        raise NotWorked("no excess is allowed while no burst rating is given")
    return seconds_until_hot(untold_s, factor * continuous_A_rms, continuous_A_rms, driven_A_rms)
