"""Rolling resistance: as the profile gives it, or what is usual where it is ridden."""

from __future__ import annotations

from .worked import worked


@worked(
    "ride.rolling_resistance",
    "",
    title="rolling resistance in use",
    given="vehicle.rolling_resistance",
    formula="given",
    source="As measured.",
)
def rolling_as_given(given: float) -> float:
    """Rolling resistance divided by weight, as the profile gives it.

    >>> rolling_as_given(0.012)
    0.012
    """
    return given


@worked(
    "ride.rolling_resistance",
    "",
    title="rolling resistance in use",
    on_road="house.rolling_resistance",
    off_road="house.rolling_resistance_off_road",
    use="vehicle.use",
    formula="off_road if use == 'off_road' else on_road",
    source="Pneumatic tyres on concrete: Gillespie, Fundamentals of Vehicle Dynamics, 1992, chapter 4,"
    " from memory; off the road between gravel and soil, common practice, no source.",
)
def rolling_usually(on_road: float, off_road: float, use: str = "") -> float:
    """The usual figure by the place of use, where none is given; soft ground and snow take more.

    >>> rolling_usually(0.015, 0.04, "street"), rolling_usually(0.015, 0.04, "off_road")
    (0.015, 0.04)
    """
    return off_road if use == "off_road" else on_road
