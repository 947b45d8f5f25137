"""Hand-over record, values to enter and plan of the bring-up: on two sizes of paper and on a phone."""

from __future__ import annotations

import math
from collections import Counter
from pathlib import Path

import pytest

from .chromium import made, measured, on_paper, sheet_count, sheets

pytestmark = pytest.mark.browser
VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
DAY = "2026-11-25"
# With modes, with several motors, NO-GO, without much that is known.
PAGES = [
    *(("sheet", name) for name in ("bracken", "bindweed", "ragwort", "fescue")),
    *(("enter", name) for name in ("bracken", "bindweed", "ragwort")),
    ("bringup", "ragwort"),
]
# Room inside the browser's margins of 0.4 inch, in px of 1/96 inch: ISO 216, and 8.5 × 11 inch.
MARGINS_px = 2 * 0.4 * 96
ROOM_px = {
    "A4": (210 / 25.4 * 96 - MARGINS_px, 297 / 25.4 * 96 - MARGINS_px),
    "letter": (8.5 * 96 - MARGINS_px, 11 * 96 - MARGINS_px),
}
LEAST_LETTER_px = 9 / 72 * 96  # 9 pt
LEAST_BOX_px = 3 / 25.4 * 96  # 3 mm: a pen's tick; common practice, no source
# A part that is not split leaves room at the foot of a sheet; no more than this is lost by it.
MOST_WASTE = 1.4


@pytest.fixture(params=PAGES, ids=lambda asked: "-".join(asked))
def page(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A page as its command writes it."""
    command, name = request.param
    asked = [command, str(VEHICLES / f"{name}.yaml"), "--as-of", DAY]
    return made(tmp_path / "page.html", *asked, *(["--print"] if command == "bringup" else []))


def test_it_fits_a_phone(page: Path) -> None:
    """Nobody scrolls sideways at the bench."""
    found = measured(page, 360)
    assert int(found["wide"]) <= int(found["room"]) == 360


@pytest.mark.parametrize("size", sorted(ROOM_px))
def test_it_fits_the_paper(page: Path, size: str) -> None:
    """No wider than the sheet, nothing too small to read or tick, no sheet empty, few sheets."""
    wide_px, tall_px = ROOM_px[size]
    printed = on_paper(page, size)
    found = measured(printed, int(wide_px))
    assert int(found["wide"]) <= int(found["room"])
    assert float(found["least"]) >= LEAST_LETTER_px - 0.01
    assert float(found["box"]) >= LEAST_BOX_px
    parts = sheets(printed, "h2, h3, p, li, dd, td:first-child")
    count = sheet_count(printed)
    on = Counter(first for first, _ in parts)
    assert on[count - 1] and all(on[sheet] >= 5 for sheet in range(count - 1)), on
    assert count <= math.ceil(float(found["tall"]) / tall_px * MOST_WASTE)


@pytest.mark.parametrize("size", sorted(ROOM_px))
def test_what_belongs_together_is_on_one_sheet(page: Path, size: str) -> None:
    """A plot with its numbers, a step with its reason to stop, the room to sign with its heads."""
    found = sheets(on_paper(page, size), "section.whole")
    assert found and [part for part in found if part[0] != part[1]] == []
