"""The page of a shop in a real browser: on a phone and on paper, with all that it may hold."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from .chromium import made, measured, on_paper, sheet_count, sheets
from .test_paper import LEAST_LETTER_px, ROOM_px

pytestmark = pytest.mark.browser
SHOP = Path(__file__).parents[2] / "examples" / "workshop"


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example workshop, with waivers that run out."""
    folder = tmp_path_factory.mktemp("shop")
    shutil.copytree(SHOP, folder / "workshop")
    asked = ("shop", str(folder / "workshop"), "--as-of", "2026-11-25", "--within", "400")
    return made(folder / "page.html", *asked)


def test_it_fits_a_phone_of_360_px(page: Path) -> None:
    """Nobody scrolls sideways at the bench."""
    found = measured(page, 360)
    assert int(found["wide"]) <= int(found["room"]) == 360


@pytest.mark.parametrize("size", sorted(ROOM_px))
def test_it_fits_a_sheet(page: Path, size: str) -> None:
    """No wider than the sheet, no letter too small, no sheet empty."""
    wide_px, _ = ROOM_px[size]
    printed = on_paper(page, size)
    found = measured(printed, int(wide_px))
    assert int(found["wide"]) <= int(found["room"])
    assert float(found["least"]) >= LEAST_LETTER_px - 0.01
    on = {first for first, _ in sheets(printed, "h2, h3, p, td:first-child")}
    assert on == set(range(sheet_count(printed)))
