"""American wire gauge: a number for a cross-section, the thicker the wire the lower.

ASTM B258, clause 5: the diameter of gauge n is 0.127 mm × 92^((36 − n)/39). Past 0, which is also
written 1/0, the numbers go on downwards: 2/0 is −1, 3/0 is −2 and 4/0, the thickest, −3.
"""

from __future__ import annotations

import math
import re

DIAMETER_36_MM = 0.127
_RATIO = 92.0  # of the diameters of 4/0 and 36
BETWEEN = 39.0  # steps from the one to the other
THICKEST = -3
NEARLY = 2e-3  # of a gauge: a cross-section rounded to three digits is still that of its gauge
ZEROS = re.compile(r"0{1,4}")
_OVER_ZERO = re.compile(r"([1-4])/0")


def section_of_gauge(gauge: float) -> float:
    """Square millimetres of a solid wire of a gauge, 1/0 to 4/0 as 0 to −3.

    >>> round(section_of_gauge(10), 3), round(section_of_gauge(-3), 1)
    (5.261, 107.2)
    """
    diameter: float = DIAMETER_36_MM * _RATIO ** ((36.0 - gauge) / BETWEEN)
    return math.pi / 4.0 * diameter**2


def gauge_of_section(section_mm2: float) -> float:
    """The gauge of a cross-section, between two gauges with a fraction.

    >>> round(gauge_of_section(5.261), 2)
    10.0
    """
    diameter = math.sqrt(4.0 / math.pi * section_mm2)
    return 36.0 - BETWEEN * math.log(diameter / DIAMETER_36_MM, _RATIO)


def gauge_at_least(section_mm2: float) -> int:
    """The thinnest gauge that is no thinner than a cross-section.

    >>> gauge_at_least(25.0), gauge_at_least(section_of_gauge(4))
    (3, 4)
    """
    return math.floor(gauge_of_section(section_mm2) + NEARLY)


def gauge_at_most(section_mm2: float) -> int:
    """The thickest gauge that is no thicker than a cross-section.

    >>> gauge_at_most(25.0)
    4
    """
    return math.ceil(gauge_of_section(section_mm2) - NEARLY)


def gauge_number(written: str | float) -> int | None:
    """The number of a gauge as it is written; None where it is none.

    >>> gauge_number(4), gauge_number(4.0), gauge_number("4/0"), gauge_number("00"), gauge_number("4 mm")
    (4, 4, -3, -1, None)
    """
    if isinstance(written, int | float):
        return int(written) if written == int(written) else None
    over = _OVER_ZERO.fullmatch(str(written))
    if over:
        return 1 - int(over[1])
    return 1 - len(str(written)) if ZEROS.fullmatch(str(written)) else None


def gauge_words(gauge: float) -> str:
    """A gauge as the trade writes it, with its cross-section: which of two is thicker is plain then.

    Between two gauges there is no wire: the cross-section alone says how thick it would be.

    >>> gauge_words(4), gauge_words(-1.0), gauge_words(3.3)
    ('4 AWG (21.15 mm²)', '2/0 AWG (67.43 mm²)', '24.88 mm²')
    """
    section = f"{section_of_gauge(gauge):.4g} mm²"
    whole = round(gauge)
    if abs(gauge - whole) > NEARLY or whole < THICKEST:
        return section
    return f"{whole if whole > 0 else f'{1 - whole}/0'} AWG ({section})"
