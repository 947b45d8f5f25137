"""Copper conductors: what a metre of cable resists, how heat raises it, what it carries."""

from __future__ import annotations

from ..tables.table import column, table

COPPER_MS_PER_M = 58.0  # IEC 60028, annealed copper at 20 °C
COPPER_PER_K = 0.00393  # IEC 60028, of the resistance at 20 °C
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


def ampacity_A(section_mm2: float) -> float | None:
    """What a single cable free in air carries at 30 °C (DIN VDE 0298-4); None for another section.

    >>> ampacity_A(25.0)
    129.0
    """
    ampacity = column("ampacity", "section_mm2", "ampacity_A").get(section_mm2)
    return None if ampacity is None else float(ampacity)


def next_smaller_ampacity_A(section_mm2: float) -> float | None:
    """What the next smaller standard cable carries; None below the smallest and above the largest.

    >>> next_smaller_ampacity_A(8.366)
    54.0
    """
    rows = table("ampacity")["rows"]
    if not rows[0]["section_mm2"] < section_mm2 < rows[-1]["section_mm2"]:
        return None
    return float(max(r["ampacity_A"] for r in rows if r["section_mm2"] < section_mm2))
