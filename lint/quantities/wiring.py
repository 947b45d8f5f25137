"""The battery circuit: its cable's resistance, the voltage lost in it, the air, the weakest part."""

from __future__ import annotations

import math

from .conductor import (
    STRANDED,
    TABLE_AIR_DEGC,
    copper_mohm_per_m,
    sections_mm2,
    standard_mohm_per_m,
    warming,
)
from .operand import NotWorked
from .worked import worked


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


@worked(
    "wiring.air_degC",
    "degC",
    title="air temperature about the cables",
    max_ambient_degC="vehicle.max_ambient_degC",
    formula="max(30, max_ambient_degC)",
    source="DIN VDE 0298-4: currents are given for air of 30 °C.",
)
def air(max_ambient_degC: float = TABLE_AIR_DEGC) -> float:
    """Air temperature around the cables on the warmest day, or that of the table if none is entered.

    >>> air(42.0)
    42.0
    """
    return max(TABLE_AIR_DEGC, max_ambient_degC)


@worked(
    "wiring.path_A",
    "A",
    title="rating of the weakest part",
    fuse_A="wiring.fuse.rated_A",
    connector_A="pack.connector_A",
    contactor_A="wiring.contactor.rated_A",
    combine="least",
    source="A chain carries what its weakest link carries.",
)
def path(fuse_A: float, connector_A: float, contactor_A: float) -> float:
    """Continuous current of the weakest of main fuse, pack connector and contactor.

    >>> path(60.0, 90.0, 120.0)
    60.0
    """
    return min(fuse_A, connector_A, contactor_A)


@worked(
    "wiring.path_weakest",
    "",
    title="weakest part of the battery circuit",
    fuse_A="wiring.fuse.rated_A",
    connector_A="pack.connector_A",
    contactor_A="wiring.contactor.rated_A",
    returns="text",
    words="which of fuse_A, connector_A and contactor_A is the least, of those that are given",
    source="A chain carries what its weakest link carries.",
)
def path_weakest(
    fuse_A: float = math.inf, connector_A: float = math.inf, contactor_A: float = math.inf
) -> str:
    """Which part of the battery circuit has the lowest rating, of those given.

    >>> path_weakest(60.0, 90.0), path_weakest(connector_A=60.0)
    ('main fuse', 'pack connector')
    """
    ratings = {"main fuse": fuse_A, "pack connector": connector_A, "contactor": contactor_A}
    weakest = min(ratings, key=lambda part: ratings[part])
    if math.isinf(ratings[weakest]):
        raise NotWorked("no part of the battery circuit has its rating given")
    return weakest
