"""The no-load test: what the unloaded motor says about its pole pairs and its kv."""

from __future__ import annotations

import math

from ..tables.table import table
from .number import nearest_whole
from .operand import NotWorked
from .worked import worked

FITS_WITHIN = 0.10  # of a basis's own figure: past that none of the usual ones explains the speed


@worked(
    "motor.pole_pairs_from_no_load",
    "",
    title="pole pair count from the no-load test",
    electrical_Hz="readings.no_load.electrical_Hz",
    rpm="readings.no_load.rpm",
    formula="round(60 * electrical_Hz / rpm)",
    source="Definition of a pole pair: one electrical turn for each in a mechanical one.",
)
def pole_pairs_from_no_load(electrical_Hz: float, rpm: float) -> int:
    """Pole pairs by the no-load test: electrical turns per shaft turn.

    The speed has to come from a tachometer or counted turns; a display has divided by the pole
    pairs entered already.

    >>> pole_pairs_from_no_load(933.0, 8000.0)
    7
    """
    return nearest_whole(60.0 * electrical_Hz / rpm)


@worked(
    "motor.pole_pairs_remainder",
    "",
    title="remainder of the no-load pole pair count",
    electrical_Hz="readings.no_load.electrical_Hz",
    rpm="readings.no_load.rpm",
    formula="abs(60 * electrical_Hz / rpm - round(60 * electrical_Hz / rpm))",
    source="Distance from the nearest whole number.",
)
def pole_pairs_remainder(electrical_Hz: float, rpm: float) -> float:
    """How far the counted pole pairs are from a whole number; near a half the test is useless.

    >>> pole_pairs_remainder(400.0, 3200.0)
    0.5
    """
    return abs(60.0 * electrical_Hz / rpm - nearest_whole(60.0 * electrical_Hz / rpm))


@worked(
    "motor.kv_basis",
    "",
    title="no-load speed as a share of the expected speed",
    rpm="readings.no_load.rpm",
    throttle="readings.no_load.throttle",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    pack_V="readings.no_load.pack_V",
    weakening_A_rms="settings.field_weakening_A_rms",
    formula="rpm / (modulation * kv * pack_V)",
    applies_when="throttle == 'full' and weakening_A_rms <= 0",
    source="Definition of kv: rpm per volt of peak line-to-line back-EMF.",
)
def kv_basis(
    rpm: float,
    throttle: str,
    modulation: float,
    kv: float,
    pack_V: float,
    weakening_A_rms: float = 0.0,
) -> float:
    """No-load speed over the speed expected from kv; near 1 where kv is on our basis.

    Only at full throttle and without field weakening, which lifts the speed. A test held by a speed
    limit reads low and is useless.

    >>> kv_basis(3420.0, "full", 0.95, 60.0, 60.0)
    1.0
    """
    if throttle != "full":
        raise NotWorked("the no-load test was not taken at full throttle")
    if weakening_A_rms > 0.0:
        raise NotWorked("field weakening raises the speed of the no-load test")
    return rpm / (modulation * kv * pack_V)


@worked(
    "motor.kv_basis_fits",
    "",
    title="likely basis of the speed constant",
    basis="motor.kv_basis",
    returns="text",
    words="the usual basis nearest to basis",
    source="Line to phase is √3, peak to rms is √2, for sines.",
)
def kv_basis_fits(basis: float) -> str:
    """What the datasheet's kv seems to be counted by, in words.

    >>> kv_basis_fits(0.70)
    'V rms line-to-line'
    """
    rows = table("kv_bases")["rows"]
    nearest = min(rows, key=lambda row: abs(math.log(basis / row["basis"])))
    fits = abs(basis / nearest["basis"] - 1.0) <= FITS_WITHIN
    return str(nearest["says"]) if fits else "no usual basis"
