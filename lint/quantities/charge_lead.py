"""The lead between charger and pack: what its cable carries at most and by the table."""

from __future__ import annotations

from .conductor import (
    CARRIES,
    TABLE_AIR_DEGC,
    TABLE_CONDUCTOR_DEGC,
    ampacity_at_or_below_A,
    ampacity_between_A,
    carried_A,
)
from .one_load import HIGHEST_DEGC
from .worked import worked


@worked(
    "pack.charger.cable_A",
    "A",
    title="charge lead current by the table",
    section_mm2="pack.charger.cable_mm2",
    air_degC="pack.charger.max_ambient_degC",
    words="table value at section_mm2 or the section next below it, in air of air_degC or 30 °C",
    source=CARRIES,
)
def charge_lead(section_mm2: float, air_degC: float = TABLE_AIR_DEGC) -> float:
    """Continuous current of the charge lead with insulation for 70 °C, which any cable has.

    A lead thinner than the table's thinnest counts as that one, and carries less.

    >>> charge_lead(10.0)
    73.0
    """
    row_A = ampacity_at_or_below_A(section_mm2) or ampacity_between_A(section_mm2)
    return carried_A(row_A, TABLE_CONDUCTOR_DEGC, air_degC)


@worked(
    "pack.charger.cable_most_A",
    "A",
    title="largest current of the charge lead",
    section_mm2="pack.charger.cable_mm2",
    air_degC="pack.charger.max_ambient_degC",
    words="table value by a power of section_mm2 between two sections, insulation for 180 °C",
    source=CARRIES,
)
def charge_lead_most(section_mm2: float, air_degC: float = TABLE_AIR_DEGC) -> float:
    """The most that a lead of this section carries, whatever its insulation.

    >>> round(charge_lead_most(10.0), 1)
    121.2
    """
    return carried_A(ampacity_between_A(section_mm2), HIGHEST_DEGC, air_degC)
