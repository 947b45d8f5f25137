"""What a thermistor hides: parts of one resistance cold, whose curves part as the motor warms."""

from __future__ import annotations

import math

from .operand import NotWorked
from .sensor import UNKNOWN_B, resistance
from .worked import worked

ZERO_DEGC_K = 273.15
COLD_K = ZERO_DEGC_K + 25.0  # where every thermistor of 10 kΩ has its 10 kΩ
COLD_OHM = 10_000.0
LOWEST_B_K = 3380.0  # of the thermistors of 10 kΩ that are common in motors


@worked(
    "motor.family_true_at_stop_degC",
    "degC",
    title="true temperature at the stop, worst thermistor",
    set_to="settings.temperature.motor.sensor",
    stop_degC="settings.temperature.motor.stop_degC",
    words=(
        "stop_degC, or of a thermistor of 10 kΩ 1 / (1 / 298.15 K + ln(R / 10 kΩ) / 3380 K), with R what set_to has at stop_degC: "
        "a thermistor of the lowest B value has that resistance when it is hotter"
    ),
    source=(
        "IEC 60539-1:2016, B value and its exponential equation; the lowest B value is trade practice."
    ),
)
def family_true_at_stop(set_to: str, stop_degC: float) -> float:
    """The motor's true temperature when the display shows the stop, were the B value the lowest.

    All thermistors of 10 kΩ agree at 25 °C, so a cold reading proves no B value; of any other kind it is
    the stop itself. The equation is good to 2 K up to 100 °C, and high rather than low past it.

    >>> round(family_true_at_stop("ntc-10k-3950", 125.0), 1)
    148.9
    """
    if not set_to.startswith(f"{UNKNOWN_B}-"):
        return stop_degC
    ohm = resistance(set_to, stop_degC)
    if ohm is None:
        raise NotWorked(f"{stop_degC:g} °C lies outside the curve of {set_to}")
    inverse_K = 1.0 / COLD_K + math.log(ohm / COLD_OHM) / LOWEST_B_K
    if inverse_K <= 0.0:
        raise NotWorked(f"{stop_degC:g} °C is past every thermistor")
    return max(stop_degC, 1.0 / inverse_K - ZERO_DEGC_K)
