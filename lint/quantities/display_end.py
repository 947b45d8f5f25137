"""The ends of a display's scale, at which it stands when its sensor's wire is broken or shorted."""

from __future__ import annotations

from typing import NamedTuple

from ..tables.table import column, table
from .sensor import broken_wire
from .sensor_curve import Curve, curve

BY_B_VALUE = "b_value"  # how the table of kinds says that a curve is one of the B equation
END_STEP_K = 1.0  # a display that stops there shows the end or a step less
# Cold resistance of the switching thermistors of motor protection, one or three in a row, from memory:
# DIN 44081 and DIN 44082, at most 250 Ω and 750 Ω cold; below 20 Ω a wire is shorted (IEC 60738-1).
SWITCHING_OHM = (20.0, 750.0)


class DisplayScale(NamedTuple):
    """From the lowest to the highest temperature that a display shows, in °C."""

    low_degC: float
    high_degC: float


WIDEST_SCALE = DisplayScale(-100.0, 400.0)  # beyond it no thermistor is read


class DisplayEnd(NamedTuple):
    """The end at which a display stands: the hot one, or the cold one.

    `open` says that an open circuit leads there, else a short one; `sure` that it is known to be the
    end, of the sensor's curve or of the scale told, and not only where many displays stop.
    """

    hot: bool
    open: bool
    sure: bool


def display_end(
    shown_degC: float, set_to: str, scale: DisplayScale | None = None
) -> DisplayEnd | None:
    """The end of its scale at which a display stands or may stand; None for an ordinary value.

    Without a `scale` told, at or beyond the first of the usual ends. None for an unknown kind too.

    >>> display_end(250.0, "pt1000")
    DisplayEnd(hot=True, open=True, sure=False)
    >>> display_end(250.0, "pt1000", DisplayScale(-50.0, 400.0)) is None
    True
    """
    known = curve(set_to)
    if known is None:
        return None
    is_wider = curve_on_display(set_to, scale) is not known
    broken = None if is_wider else broken_wire(shown_degC, set_to)
    if broken is not None:
        hot = shown_degC > (known.from_degC + known.to_degC) / 2.0
        return DisplayEnd(hot, broken == "open circuit", sure=True)
    told = scale or usual_scale()
    if shown_degC >= told.high_degC - (END_STEP_K if scale else 0.0):
        return DisplayEnd(hot=True, open=not known.falls, sure=scale is not None)
    if shown_degC <= told.low_degC + (END_STEP_K if scale else 0.0):
        return DisplayEnd(hot=False, open=known.falls, sure=scale is not None)
    return None


def curve_on_display(set_to: str, scale: DisplayScale | None = None) -> Curve | None:
    """The curve by which a display shows the kind it is set to; None for an unknown kind.

    One of a thermistor that is known by its B value works by that up to the ends of its `scale`.

    >>> curve_on_display("ntc-10k-3950", DisplayScale(-40.0, 150.0)).from_degC
    -40.0
    """
    known = curve(set_to)
    if known is None or scale is None:
        return known
    if column("sensor_kinds", "kind", "curve").get(set_to) != BY_B_VALUE:
        return known
    low = min(known.from_degC, max(scale.low_degC, WIDEST_SCALE.low_degC))
    high = max(known.to_degC, min(scale.high_degC, WIDEST_SCALE.high_degC))
    return known if (low, high) == known[:2] else known._replace(from_degC=low, to_degC=high)


def usual_scale() -> DisplayScale:
    """The narrowest scale of the usual ones: no reading within it is at an end.

    >>> usual_scale()
    DisplayScale(low_degC=-40.0, high_degC=200.0)
    """
    rows = table("display_ends")["rows"]
    return DisplayScale(
        max(float(row["degC"]) for row in rows if row["end"] == "cold"),
        min(float(row["degC"]) for row in rows if row["end"] == "hot"),
    )


def may_be_switching(ohm: float | None) -> bool:
    """Whether a cold resistance in ohms may be a switching thermistor, which has no scale of degrees.

    >>> may_be_switching(100.0), may_be_switching(10_000.0)
    (True, False)
    """
    return ohm is not None and SWITCHING_OHM[0] <= ohm <= SWITCHING_OHM[1]
