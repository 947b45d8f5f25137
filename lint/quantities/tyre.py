"""Tyre markings: the unloaded diameter that a marking stands for, the load and speed it names."""

from __future__ import annotations

import re
from collections.abc import Callable

from ..tables.table import column, table
from .operand import NotWorked

INCH_mm = 25.4
QUARTERS = 4  # ordinary inch sections come in quarters; 4.10 and the like are low sections

# Patterns are compiled where a marking is read, which few profiles ask for.
# Letters that may stand before the rim: radial, bias-belted, a speed letter of the old form.
METRIC = r"(\d{2,3})\s*/\s*(\d{2,3})\s*(?:[A-Z]{1,2}\s*)?-?\s*(\d{1,2})(?![\d.x])"
INCH = r"(\d)(?:\.(\d{1,2})|\s+(\d)/(\d))?\s*(?:[A-Z]{1,2}\s*-?|-)\s*(\d{1,2})(?![\d./x])"
BICYCLE = r"(?:.*?[\s(])?(\d{2,3})\s*-\s*(\d{2,3})(?![\d.x-])"
FRENCH = r"\d{3}\s*x\s*(\d{2})\s*([ABC])\b"
OVERALL = r"(?:AT\s*)?(\d{1,2}(?:\.\d+)?)\s*x\s*\d{1,2}(?:\.\d+)?\s*(?:-|R)\s*(\d{1,2})\b"
AMBIGUOUS = r"\d{1,2}(?:\s+\d/\d)?(?:\.\d+)?\s*x\s*\d"
# Small scooters' tyres name diameter and width in mm without the rim: common practice, no source.
NOMINAL_mm = r"\d{3}\s*x\s*\d{2,3}(?![\d.x])"
SERVICE = r"\b(\d{2,3})([A-Z])\b"


def diameter_mm(marking: str) -> float:
    """Unloaded diameter of a new tyre, by its marking; a real one may be 3 % larger or smaller.

    Raises NotWorked where the marking fits several tyres or none.

    >>> diameter_mm("90/90-21 54R")
    695.0
    >>> diameter_mm("47-622")
    716.0
    """
    text = _plain(marking)
    for form, diameter_of in TYRE_FORMS:
        match = re.match(form, text)
        if match:
            return diameter_of(match)
    if re.match(AMBIGUOUS, text) or re.match(NOMINAL_mm, text):
        raise NotWorked(
            f"{marking} names no rim and fits several tyres: enter the millimetres beside it, as in"
            " 47-406, or measure the circumference and enter it too"
        )
    raise NotWorked(f"{marking} is no tyre marking known here: give the circumference instead")


def speed_symbol(marking: str) -> str | None:
    """The speed letter in a marking such as 90/90-21 54R; None where it has none.

    >>> speed_symbol("90/90-21 M/C 54R")
    'R'
    """
    service = _service(marking)
    return service.group(2) if service else None


def load_index(marking: str) -> int | None:
    """The load index in a marking such as 90/90-21 54R; None where it has none.

    >>> load_index("90/90-21 M/C 54R")
    54
    """
    service = _service(marking)
    return int(service.group(1)) if service else None


def is_bicycle(marking: str) -> bool:
    """Whether a marking has a bicycle tyre's form: ISO 5775, French, or in inches without a rim.

    >>> is_bicycle("20 x 1.75 (47-406)"), is_bicycle("AT 25x8-12")
    (True, False)
    """
    text = _plain(marking)
    form = next((form for form, _ in TYRE_FORMS if re.match(form, text)), AMBIGUOUS)
    return form in (BICYCLE, FRENCH, AMBIGUOUS) and re.match(form, text) is not None


def _plain(marking: str) -> str:
    """Capital letters but for the times sign, single spaces, short dashes."""
    return " ".join(marking.upper().replace("×", "x").replace("X", "x").replace("–", "-").split())


def _service(marking: str) -> re.Match[str] | None:
    """The service description behind the size: load index and speed letter."""
    size = re.match(METRIC, marking.upper()) or re.match(INCH, marking.upper())
    return re.search(SERVICE, marking.upper()[size.end() :]) if size else None


def rim_mm(code: int) -> float:
    """Diameter of a rim by its code, as UN R75 rounds it.

    >>> rim_mm(21)
    533.0
    """
    diameter = column("rim_codes", "rim_code", "diameter_mm").get(code)
    if diameter is None:
        raise NotWorked(f"no rim of code {code} is known")
    return float(diameter)


def _metric(match: re.Match[str]) -> float:
    width_mm, aspect_percent, code = (int(part) for part in match.groups())
    return rim_mm(code) + 2.0 * width_mm * aspect_percent / 100.0


def _inch(match: re.Match[str]) -> float:
    """A section in inches is as high as it is wide; so UN R75's older sizes, within 3 %."""
    whole, decimals, above, below, code = match.groups()
    part = int(above) / int(below) if above else float(f"0.{decimals or 0}")
    if (part * QUARTERS) % 1.0:
        raise NotWorked(f"{match.group()} is a low section: give the circumference instead")
    return rim_mm(int(code)) + 2.0 * (int(whole) + part) * INCH_mm


def _bicycle(match: re.Match[str]) -> float:
    return _on_bead_seat(int(match.group(1)), int(match.group(2)))


def _french(match: re.Match[str]) -> float:
    name = match.string[:3] + match.group(2)
    for seat, letter in column("bead_seats", "bead_seat_mm", "letter").items():
        if letter == name:
            return _on_bead_seat(int(match.group(1)), seat)
    raise NotWorked(f"no rim {name} is known")


def _on_bead_seat(width_mm: int, seat_mm: int) -> float:
    """Rim and twice the section, by ISO 5775-1: as high as wide, a little more where narrow."""
    seats = table("bead_seats")
    if seat_mm not in column("bead_seats", "bead_seat_mm", "letter"):
        raise NotWorked(f"no rim with a bead seat of {seat_mm} mm is known")
    extra_mm = seats["narrow_adds_mm"] if width_mm < seats["narrow_below_mm"] else 0.0
    return seat_mm + 2.0 * (width_mm + float(extra_mm))


def _overall(match: re.Match[str]) -> float:
    """Quads and karts name the overall diameter first, in inches."""
    diameter_in = float(match.group(1))
    if diameter_in <= int(match.group(2)):
        raise NotWorked(f"{match.group()} has a rim larger than the tyre")
    return diameter_in * INCH_mm


TYRE_FORMS: tuple[tuple[str, Callable[[re.Match[str]], float]], ...] = (
    (METRIC, _metric),
    (BICYCLE, _bicycle),
    (INCH, _inch),
    (FRENCH, _french),
    (OVERALL, _overall),
)
