"""The cables: what they resist, what they carry, and the voltage drop in them."""

from __future__ import annotations

from .conductor import (
    STRANDED,
    ampacity_A,
    copper_mohm_per_m,
    next_smaller_ampacity_A,
    sections_mm2,
    standard_mohm_per_m,
    warming,
)
from .operand import NO_LESS, NotWorked
from .worked import worked

FREE_IN_AIR = (
    "DIN VDE 0298-4:2023-06, table 11, column 1: one single-core cable free in air at 30 °C, "
    "insulation for 70 °C."
)


@worked(
    "wiring.battery_cable_mohm",
    "mohm",
    title="battery cable resistance",
    section_mm2="wiring.battery_cable_mm2",
    length_m="wiring.battery_cable_m",
    cable_degC="house.cable_degC",
    words="2 × length_m × class 5 resistance of section_mm2 × (1 + 0.00393 × (cable_degC − 20))",
    source="IEC 60228, class 5, highest resistance at 20 °C; IEC 60028 for the temperature coefficient.",
)
def battery_cable(section_mm2: float, length_m: float, cable_degC: float) -> float:
    """Resistance of both battery leads, warm; `length_m` is one way.

    For a section of the standard; joints, fuse and contactor come on top.

    >>> round(battery_cable(16.0, 0.8, 20.0), 3)
    1.936
    """
    per_m = standard_mohm_per_m(section_mm2)
    if per_m is None:
        raise NotWorked(f"{section_mm2:g} mm² is no section of IEC 60228 class 5")
    return 2.0 * length_m * per_m * warming(cable_degC)


@worked(
    "wiring.battery_cable_mohm",
    "mohm",
    title="battery cable resistance",
    section_mm2="wiring.battery_cable_mm2",
    length_m="wiring.battery_cable_m",
    cable_degC="house.cable_degC",
    formula="2 * length_m * 1.02 * 1000 / (58 * section_mm2) * (1 + 0.00393 * (cable_degC - 20))",
    applies_when="0.5 < section_mm2 and section_mm2 < 300",
    source="IEC 60028, annealed copper of 58 MS/m, and 2 % for the stranding.",
)
def battery_cable_other(section_mm2: float, length_m: float, cable_degC: float) -> float:
    """Resistance of both battery leads of another section, such as one made to a wire gauge.

    Takes the section as metal, which it is for a wire gauge; a cable sold by a rounded section may
    hold a tenth less. Only between the smallest and the largest section of the standard.

    >>> round(battery_cable_other(13.3, 0.8, 20.0), 3)
    2.116
    """
    sections = sections_mm2()
    if not sections[0] < section_mm2 < sections[-1]:
        raise NotWorked(f"{section_mm2:g} mm² lies outside the table of conductors")
    per_m = STRANDED * copper_mohm_per_m(section_mm2)
    return 2.0 * length_m * per_m * warming(cable_degC)


@worked(
    "wiring.battery_cable_A",
    "A",
    title="battery cable rating",
    section_mm2="wiring.battery_cable_mm2",
    words="table value for section_mm2",
    source=FREE_IN_AIR,
)
def battery_cable_current(section_mm2: float) -> float:
    """Continuous current of the battery cable, by its section.

    Bundled, sleeved or beside a hot motor it carries less; a silicone cable carries more.

    >>> battery_cable_current(16.0)
    98.0
    """
    return _standard(section_mm2)


@worked(
    "wiring.battery_cable_A",
    "A",
    title="battery cable rating",
    section_mm2="wiring.battery_cable_mm2",
    side=NO_LESS,
    words="table value for the section next below section_mm2",
    source=FREE_IN_AIR,
)
def battery_cable_current_at_least(section_mm2: float) -> float:
    """The least that a cable of another section carries: as much as the next smaller one.

    >>> battery_cable_current_at_least(13.3)
    73.0
    """
    return _next_smaller(section_mm2)


@worked(
    "wiring.phase_cable_A",
    "A_rms",
    title="phase cable rating",
    section_mm2="wiring.phase_cable_mm2",
    words="table value for section_mm2",
    source=FREE_IN_AIR,
)
def phase_cable_current(section_mm2: float) -> float:
    """Continuous current (rms) of a phase cable, by its section.

    >>> phase_cable_current(10.0)
    73.0
    """
    return _standard(section_mm2)


@worked(
    "wiring.phase_cable_A",
    "A_rms",
    title="phase cable rating",
    section_mm2="wiring.phase_cable_mm2",
    side=NO_LESS,
    words="table value for the section next below section_mm2",
    source=FREE_IN_AIR,
)
def phase_cable_current_at_least(section_mm2: float) -> float:
    """The least that a phase cable of another section carries: as much as the next smaller one.

    >>> phase_cable_current_at_least(8.366)
    54.0
    """
    return _next_smaller(section_mm2)


def _standard(section_mm2: float) -> float:
    ampacity = ampacity_A(section_mm2)
    if ampacity is None:
        raise NotWorked(f"{section_mm2:g} mm² is no section of DIN VDE 0298-4")
    return ampacity


def _next_smaller(section_mm2: float) -> float:
    ampacity = next_smaller_ampacity_A(section_mm2)
    if ampacity is None:
        raise NotWorked(f"{section_mm2:g} mm² lies outside the table of DIN VDE 0298-4")
    return ampacity


@worked(
    "wiring.drop_V",
    "V",
    title="voltage drop in the battery cable",
    battery_A="settings.battery_current_A",
    cable_mohm="wiring.battery_cable_mohm",
    formula="battery_A * cable_mohm / 1000",
    source="Ohm's law.",
)
def drop(battery_A: float, cable_mohm: float) -> float:
    """Voltage drop in the battery cable at the battery current limit.

    >>> drop(120.0, 2.0)
    0.24
    """
    return battery_A * cable_mohm / 1000.0


@worked(
    "wiring.drop_percent",
    "percent",
    title="voltage drop in the battery cable as a share",
    drop_V="wiring.drop_V",
    nominal_V="pack.nominal_V",
    formula="100 * drop_V / nominal_V",
    source="Definition.",
)
def drop_percent(drop_V: float, nominal_V: float) -> float:
    """Share of the pack's nominal voltage lost in the battery cable.

    >>> drop_percent(0.75, 50.0)
    1.5
    """
    return 100.0 * drop_V / nominal_V
