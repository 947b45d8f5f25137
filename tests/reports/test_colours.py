"""The colours of a page: everything that is read stands out from its ground, by day and by night."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from gonogo import reports

CSS = (Path(reports.__file__).parent / "templates" / "report.css").read_text("utf-8")
ENOUGH = 4.5  # WCAG 2.2, success criterion 1.4.3, level AA, for text of usual size
INKS = ("ink", "soft", "danger", "fault", "advice", "go")


def palettes() -> list[dict[str, str]]:
    """The colours by day, by night and on paper, in the order of the sheet."""
    sets = re.findall(r":root \{([^}]*)\}", CSS)
    return [dict(re.findall(r"--(\w+): (#[0-9a-f]{3,6})", one)) for one in sets]


def luminance(colour: str) -> float:
    """Relative luminance by WCAG 2.2."""
    digits = colour.lstrip("#")
    digits = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio by WCAG 2.2.

    >>> contrast("#000", "#fff")
    21.0
    """
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("palette", palettes(), ids=["day", "night", "paper"])
@pytest.mark.parametrize("ink", INKS)
def test_what_is_read_stands_out(palette: dict[str, str], ink: str) -> None:
    """On the page, on a card, and the other way round in a verdict's chip."""
    for ground in ("paper", "tag"):
        assert contrast(palette[ink], palette[ground]) >= ENOUGH, (ink, ground)


def test_nothing_is_made_faint_by_being_seen_through() -> None:
    """Two such inside each other are fainter than any colour of the sheet."""
    assert "opacity" not in CSS
