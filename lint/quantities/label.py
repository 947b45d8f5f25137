"""What labels and readings say, in words that a finding can show even where one is missing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .display_end import display_end
from .operand import NotWorked
from .sensor_curve import curve
from .sensor_fits import kinds_that_fit
from .worked import worked

IN_ORDER = ("minimum", "working minimum", "nominal", "full")
NAMED = 3  # so many kinds of sensor are named; more would not help anybody choose


@worked(
    "pack.reading_fits",
    "",
    title="cell counts that fit the pack reading",
    counts="pack.series_from_reading",
    returns="text",
    words="counts in words",
    source="Cells in series share the voltage, each between its minimum and full.",
)
def reading_fits(counts: Sequence[int]) -> str:
    """The packs that the reading could be of, by their cells in series.

    >>> reading_fits([15]), reading_fits([20, 21]), reading_fits([8, 9, 10])
    ('15 cells in series', '20 or 21 cells in series', '8 to 10 cells in series')
    """
    if not counts:
        return "no whole number of cells in series"
    if len(counts) == 1:
        return f"{counts[0]} cells in series"
    between = "or" if len(counts) == 2 else "to"
    return f"{counts[0]} {between} {counts[-1]} cells in series"


@worked(
    "pack.reading_fits",
    "",
    title="cell counts that fit the pack reading",
    reading_V="readings.pack_V",
    returns="text",
    words="no count of cells fits reading_V while the cell's voltages are missing",
    source="Cells in series share the voltage.",
)
def reading_fits_another(reading_V: float) -> str:
    """The same while the voltages of one cell are missing.

    >>> reading_fits_another(61.0)
    'another pack or a damaged one'
    """
    return "another pack or a damaged one"


@worked(
    "pack.cell.voltages_given",
    "",
    title="cell voltages entered",
    minimum_V="pack.cell.minimum_V",
    working_minimum_V="pack.cell.working_minimum_V",
    nominal_V="pack.cell.nominal_V",
    full_V="pack.cell.full_V",
    returns="text",
    words="minimum_V, working_minimum_V, nominal_V, full_V as far as they are given",
    source="The entries.",
)
def cell_voltages_given(
    minimum_V: float | None = None,
    working_minimum_V: float | None = None,
    nominal_V: float | None = None,
    full_V: float | None = None,
) -> str:
    """The cell's voltages from empty to full, as far as they are given.

    >>> cell_voltages_given(minimum_V=2.5, nominal_V=4.2, full_V=4.2)
    'minimum 2.5 V, nominal 4.2 V, full 4.2 V'
    """
    return _told((minimum_V, working_minimum_V, nominal_V, full_V))


@worked(
    "pack.voltages_given",
    "",
    title="pack voltages entered",
    minimum_V="pack.minimum_V",
    working_minimum_V="pack.working_minimum_V",
    nominal_V="pack.nominal_V",
    full_V="pack.full_V",
    returns="text",
    words="minimum_V, working_minimum_V, nominal_V, full_V as far as they are given",
    source="The entries.",
)
def pack_voltages_given(
    minimum_V: float | None = None,
    working_minimum_V: float | None = None,
    nominal_V: float | None = None,
    full_V: float | None = None,
) -> str:
    """The pack's voltages from empty to full, as far as they are given.

    >>> pack_voltages_given(working_minimum_V=42.0, nominal_V=40.0)
    'working minimum 42 V, nominal 40 V'
    """
    return _told((minimum_V, working_minimum_V, nominal_V, full_V))


def _told(volts: Iterable[float | None]) -> str:
    named = zip(IN_ORDER, volts, strict=True)
    known = [f"{name} {value:.5g} V" for name, value in named if value is not None]
    if not known:
        raise NotWorked("none of the voltages is given")
    return ", ".join(known)


READ_COLD = "Published curves of platinum, silicon and thermistor sensors."


@worked(
    "motor.cold_reading_fits",
    "",
    title="sensor fault shown by the cold reading",
    shown_degC="readings.temperature.motor_degC",
    set_to="settings.temperature.motor.sensor",
    ambient_degC="readings.ambient_degC",
    within_K="house.cold_difference_K",
    returns="text",
    words="kinds that have at ambient_degC ± within_K the resistance of set_to at shown_degC ± 1 K",
    source=READ_COLD,
)
def cold_reading_fits(shown_degC: float, set_to: str, ambient_degC: float, within_K: float) -> str:
    """What the cold reading points to: kinds of sensor, nearest first, or a broken wire.

    >>> cold_reading_fits(-35.0, "kty83-110", 25.0, 3.0)
    'kty84-130'
    >>> cold_reading_fits(-40.0, "ntc-10k-3977", 20.0, 3.0)
    'an open circuit'
    """
    if curve(set_to) is None:
        raise NotWorked(f"no curve is known for the sensor kind {set_to}")
    fitting = kinds_that_fit(shown_degC, set_to, ambient_degC, within_K)[:NAMED]
    end = display_end(shown_degC, set_to)
    if end is not None:
        fitting.append("an open circuit" if end.open else "a short circuit")
    return " or ".join(fitting) or "no usual kind of sensor"


@worked(
    "motor.cold_reading_fits",
    "",
    title="sensor fault shown by the cold reading",
    shown_degC="readings.temperature.motor_degC",
    set_to="settings.temperature.motor.sensor",
    controller_degC="readings.temperature.controller_degC",
    within_K="house.cold_difference_K",
    returns="text",
    words="kinds that have at controller_degC ± within_K the resistance of set_to at shown_degC ± 1 K",
    source=READ_COLD,
)
def cold_reading_fits_controller(
    shown_degC: float, set_to: str, controller_degC: float, within_K: float
) -> str:
    """The same without an ambient reading: after a long stand the controller is as cold.

    >>> cold_reading_fits_controller(-35.0, "kty83-110", 25.0, 3.0)
    'kty84-130'
    """
    return cold_reading_fits(shown_degC, set_to, controller_degC, within_K)


@worked(
    "motor.cold_reading_fits",
    "",
    title="sensor fault shown by the cold reading",
    shown_degC="readings.temperature.motor_degC",
    returns="text",
    words="no kind fits shown_degC while the kind set is missing",
    source=READ_COLD,
)
def cold_reading_fits_unsaid(shown_degC: float) -> str:
    """The same while the kind set, or its curve, is not known.

    >>> cold_reading_fits_unsaid(40.0)
    'no kind that can be named without the kind set'
    """
    return "no kind that can be named without the kind set"
