"""Copper conductors: what a metre of cable resists, how heat raises it, what it carries."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from ..tables.table import column, table
from .operand import NotWorked

COPPER_MS_PER_M = 58.0  # IEC 60028, annealed copper at 20 °C
COPPER_PER_K = 0.00393  # IEC 60028, of the resistance at 20 °C
TABLE_CONDUCTOR_DEGC, TABLE_AIR_DEGC = 70.0, 30.0  # of the table of currents
SECTION_SPREAD = 0.05  # 8 mm² is gauge 8 to a builder and a metric size of its own
CARRIES = (
    "DIN VDE 0298-4:2023-06, table 11, column 1: one single-core cable free in air at 30 °C, "
    "insulation for 70 °C; other temperatures by steady heat (form of IEC 60287-1-1, from memory)."
)
TABLE_WORDS = (
    "table value at section_mm2 or {row} "
    "× √((T − air_degC) / 40 × 1.1965 / (1 + 0.00393 × (T − 20))), "
    "T = insulation_degC or {insulation}, × bundle_factor if bundled"
)
STRANDED = 1.02  # fine strands run 2 % longer than the cable: common practice


def standard_mohm_per_m(section_mm2: float) -> float | None:
    """Highest resistance of a class 5 cable at 20 °C (IEC 60228); None for another section.

    >>> standard_mohm_per_m(16.0)
    1.21
    """
    resistance = column("conductors", "section_mm2", "resistance_mohm_per_m").get(section_mm2)
    return None if resistance is None else float(resistance)


def copper_mohm_per_m(section_mm2: float) -> float:
    """Resistance of solid annealed copper at 20 °C (IEC 60028), for the metal's true section.

    >>> round(copper_mohm_per_m(13.302), 3)
    1.296
    """
    return 1000.0 / (COPPER_MS_PER_M * section_mm2)


def sections_mm2() -> tuple[float, ...]:
    """The sections of IEC 60228 that the table holds, rising."""
    return tuple(float(row["section_mm2"]) for row in table("conductors")["rows"])


def warming(degC: float) -> float:
    """Resistance of copper at a temperature, over that at 20 °C (IEC 60028).

    Straight from -50 to 200 °C within a percent.

    >>> round(warming(120.0), 3)
    1.393
    """
    return 1.0 + COPPER_PER_K * (degC - 20.0)


def ampacity_at_or_below_A(section_mm2: float) -> float | None:
    """What the cable of this section, or the next smaller one of the table, carries.

    A single cable free in air at 30 °C, insulation for 70 °C (DIN VDE 0298-4). None below the
    smallest; above the largest, what the largest carries.

    >>> ampacity_at_or_below_A(25.0), ampacity_at_or_below_A(8.366)
    (129.0, 54.0)
    """
    carried = [row["ampacity_A"] for row in _ampacities() if row["section_mm2"] <= section_mm2]
    return float(max(carried)) if carried else None


def ampacity_between_A(section_mm2: float) -> float | None:
    """What a cable of this section carries, between two sections of the table by a power of the section.

    None above the largest; below the smallest, what the smallest carries.

    >>> ampacity_between_A(25.0), round(ampacity_between_A(8.366), 1)
    (129.0, 65.7)
    """
    rows = [(row["section_mm2"], row["ampacity_A"]) for row in _ampacities()]
    above = [row for row in rows if row[0] >= section_mm2]
    below = [row for row in rows if row[0] <= section_mm2]
    if not above:
        return None
    (thin_mm2, less_A), (thick_mm2, more_A) = below[-1] if below else above[0], above[0]
    if thin_mm2 == thick_mm2:
        return float(more_A)
    exponent = math.log(more_A / less_A) / math.log(thick_mm2 / thin_mm2)
    return float(less_A * (section_mm2 / thin_mm2) ** exponent)


def _ampacities() -> Sequence[Mapping[str, float]]:
    rows: Sequence[Mapping[str, float]] = table("ampacity")["rows"]
    return rows


def insulation_factor(insulation_degC: float, air_degC: float) -> float:
    """Current of a cable whose insulation withstands more, over that of the table.

    Steady heat, I²·R = h·(T − air), with h held and R as copper's (form of IEC 60287-1-1, from
    memory); the table stands at 70 °C of conductor in air of 30 °C. DIN VDE 0298-4, table 17,
    gives 0.79 for PVC at 45 °C.

    >>> round(insulation_factor(180.0, 30.0), 3), round(insulation_factor(70.0, 45.0), 2)
    (1.66, 0.79)
    """
    heat = (insulation_degC - air_degC) / (TABLE_CONDUCTOR_DEGC - TABLE_AIR_DEGC)
    return math.sqrt(heat * warming(TABLE_CONDUCTOR_DEGC) / warming(insulation_degC))


def carried_A(row_A: float | None, insulation_degC: float, air_degC: float) -> float:
    """What a cable carries with this insulation in this air, by its row of the table.

    NotWorked outside the table, and where the air is as warm as the insulation withstands.

    >>> carried_A(54.0, 70.0, 30.0)
    54.0
    """
    if row_A is None:
        raise NotWorked("the section lies outside the table of DIN VDE 0298-4")
    if insulation_degC <= air_degC:
        raise NotWorked("the air is as warm as the insulation withstands")
    return row_A * insulation_factor(insulation_degC, air_degC)


def is_usual_section(section_mm2: float) -> bool:
    """Whether a section is one of IEC 60228 or of a wire gauge (ASTM B258), within 5 %.

    >>> is_usual_section(16.0), is_usual_section(8.0), is_usual_section(14.0)
    (True, True, False)
    """
    sections = (*sections_mm2(), *(float(row["area_mm2"]) for row in table("wire_gauges")["rows"]))
    return any(abs(section_mm2 - usual) <= SECTION_SPREAD * usual for usual in sections)
