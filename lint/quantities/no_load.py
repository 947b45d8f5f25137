"""The no-load test: what turning the unloaded motor tells of its pole pairs and its kv."""

from __future__ import annotations

import math

from ..tables.table import table
from .number import nearest_whole
from .operand import NoMoreThan, NotWorked
from .worked import worked

TOO_FAST = "the no-load test ran faster than kv promises: repeat it with field weakening off"
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
    "motor.kv_rpm_per_V",
    "rpm_per_V",
    title="motor speed constant",
    rpm="readings.no_load.rpm",
    throttle="readings.no_load.throttle",
    modulation="house.modulation",
    pack_V="readings.no_load.pack_V",
    weakening_A_rms="motor.tested_weakening_A_rms",
    formula="rpm / (modulation * pack_V)",
    applies_when="throttle == 'full' and weakening_A_rms <= 0",
    source="Definition of kv: rpm per volt of peak line-to-line back-EMF.",
)
def kv_measured(
    rpm: float, throttle: str, modulation: float, pack_V: float, weakening_A_rms: float = 0.0
) -> float:
    """Speed constant of a motor without a label, by its no-load test.

    Losses, or a speed limit that holds it, make it low: the back-EMF worked from it is then too
    high, which is the careful side.

    >>> round(kv_measured(3420.0, "full", 0.95, 60.0), 6)
    60.0
    """
    if throttle != "full":
        raise NotWorked("the no-load test was not taken at full throttle")
    if weakening_A_rms > 0.0:
        raise NotWorked("field weakening raises the speed of the no-load test")
    return rpm / (modulation * pack_V)


@worked(
    "motor.kv_basis",
    "",
    title="no-load speed as a share of the expected speed",
    rpm="readings.no_load.rpm",
    throttle="readings.no_load.throttle",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    pack_V="readings.no_load.pack_V",
    weakening_A_rms="motor.tested_weakening_A_rms",
    formula="rpm / (modulation * kv * pack_V)",
    applies_when="throttle == 'full'",
    no_more_when="weakening_A_rms > 0",
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
    """Speed in the no-load test over that expected from kv; 1 if kv refers to peak voltage.

    Only at full throttle. Field weakening only lifts the speed, so that it is then no more than
    this. A test held by a speed limit reads low and tells nothing.

    >>> kv_basis(3420.0, "full", 0.95, 60.0, 60.0)
    1.0
    """
    if throttle != "full":
        raise NotWorked("the no-load test was not taken at full throttle")
    basis = rpm / (modulation * kv * pack_V)
    return NoMoreThan(basis) if weakening_A_rms > 0.0 else basis


@worked(
    "motor.kv_proven_rpm_per_V",
    "rpm_per_V",
    title="proven kv",
    rpm="readings.no_load.rpm",
    throttle="readings.no_load.throttle",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    pack_V="readings.no_load.pack_V",
    low="house.kv_basis_min",
    high="house.kv_basis_max",
    words="kv where rpm / (modulation × kv × pack_V) lies from low to high, else rpm / (modulation × pack_V)",
    source="Definition of kv: rpm per volt of peak line-to-line back-EMF.",
)
def kv_proven(
    rpm: float,
    throttle: str,
    modulation: float,
    kv: float,
    pack_V: float,
    low: float,
    high: float,
) -> float:
    """Speed constant confirmed by the no-load test.

    A test that was held, by a speed limit or a part throttle, proves no more than the speed that it
    reached. One that ran faster than kv promises proves nothing: field weakening may have lifted it.

    >>> kv_proven(3420.0, "full", 0.95, 60.0, 60.0, 0.88, 1.08)
    60.0
    >>> round(kv_proven(1990.0, "full", 0.95, 120.0, 83.0, 0.88, 1.08), 1)
    25.2
    """
    measured = rpm / (modulation * pack_V)
    if measured > kv * high:
        raise NotWorked(TOO_FAST)
    return kv if throttle == "full" and measured >= kv * low else measured


@worked(
    "motor.no_load_W",
    "W",
    title="no-load power",
    pack_V="readings.no_load.pack_V",
    battery_A="readings.no_load.battery_A",
    formula="pack_V * battery_A",
    source="Definition of power.",
)
def no_load_power(pack_V: float, battery_A: float) -> float:
    """Power that the unloaded motor took, controller included.

    >>> no_load_power(60.0, 3.0)
    180.0
    """
    return pack_V * battery_A


@worked(
    "motor.no_load_allowed_W",
    "W",
    title="usual no-load power",
    factor="house.no_load_stated_factor",
    stated_A="motor.no_load_A",
    pack_V="readings.no_load.pack_V",
    formula="factor * stated_A * pack_V",
    source="The motor's datasheet; the factor is common practice.",
)
def no_load_allowed(factor: float, stated_A: float, pack_V: float) -> float:
    """Power that the unloaded motor may take, by its stated no-load current.

    >>> no_load_allowed(1.5, 2.0, 60.0)
    180.0
    """
    return factor * stated_A * pack_V


@worked(
    "motor.no_load_allowed_W",
    "W",
    title="usual no-load power",
    free_W="house.no_load_free_W",
    loss_percent="house.no_load_loss_percent",
    continuous_A_rms="motor.phase_current_A_rms",
    rpm="readings.no_load.rpm",
    kv="motor.kv_rpm_per_V",
    formula="free_W + loss_percent / 100 * sqrt(3 / 2) * continuous_A_rms * rpm / kv",
    source="Losses of rotation follow the power at that speed; their share is common practice.",
)
def no_load_allowed_by_current(
    free_W: float, loss_percent: float, continuous_A_rms: float, rpm: float, kv: float
) -> float:
    """The same by a share of the motor's continuous power at the speed of the test.

    >>> round(no_load_allowed_by_current(40.0, 5.0, 120.0, 4730.0, 60.0))
    619
    """
    power_W = math.sqrt(3.0 / 2.0) * continuous_A_rms * rpm / kv
    return free_W + loss_percent / 100.0 * power_W


LABEL_TO_LOSS = 3.0  # a motor that withstands 1.5 times its label, at twice its rated speed


@worked(
    "motor.no_load_allowed_W",
    "W",
    title="usual no-load power",
    free_W="house.no_load_free_W",
    loss_percent="house.no_load_loss_percent",
    rated_W="motor.rated_power_W",
    formula="free_W + 3 * loss_percent / 100 * rated_W",
    source="Common practice.",
)
def no_load_allowed_by_label(free_W: float, loss_percent: float, rated_W: float) -> float:
    """The same by the rated power, while the motor's continuous current is not given.

    >>> no_load_allowed_by_label(40.0, 5.0, 250.0)
    77.5
    """
    return free_W + LABEL_TO_LOSS * loss_percent / 100.0 * rated_W


@worked(
    "motor.no_load_share_percent",
    "percent",
    title="stated no-load share",
    stated_A="motor.no_load_A",
    continuous_A_rms="motor.phase_current_A_rms",
    formula="100 * stated_A / (sqrt(3 / 2) * continuous_A_rms)",
    source="Battery power of both at one speed; √(3/2) turns A rms into A of the battery at full voltage.",
)
def no_load_share(stated_A: float, continuous_A_rms: float) -> float:
    """What the motor is stated to lose unloaded, of the power that it withstands for long.

    >>> round(no_load_share(5.0, 120.0), 1)
    3.4
    """
    return 100.0 * stated_A / (math.sqrt(3.0 / 2.0) * continuous_A_rms)


@worked(
    "motor.no_load_share_percent",
    "percent",
    title="stated no-load share",
    stated_A="motor.no_load_A",
    nominal_V="pack.nominal_V",
    rated_W="motor.rated_power_W",
    formula="100 * stated_A * nominal_V / rated_W",
    source="Definition of power.",
)
def no_load_share_of_label(stated_A: float, nominal_V: float, rated_W: float) -> float:
    """The same by the rated power, while the motor's continuous current is not given.

    >>> no_load_share_of_label(1.2, 36.0, 250.0)
    17.28
    """
    return 100.0 * stated_A * nominal_V / rated_W


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
    """Voltage that the datasheet's kv probably refers to, in words.

    >>> kv_basis_fits(0.70)
    'V rms line-to-line'
    """
    rows = table("kv_bases")["rows"]
    nearest = min(rows, key=lambda row: abs(math.log(basis / row["basis"])))
    fits = abs(basis / nearest["basis"] - 1.0) <= FITS_WITHIN
    return str(nearest["says"]) if fits else "no usual basis"
