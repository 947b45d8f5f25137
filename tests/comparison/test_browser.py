"""The page in a real headless Chromium: on a phone, on a desk, and in print."""

from __future__ import annotations

from pathlib import Path

import pytest

from .chromium import browser, made, measured, sheets
from .revision import Plain, changed
from .test_report import EVIL, report

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("frozen")]
VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
WIDTHS = (360, 900, 1280)


@pytest.fixture
def page(bike: Plain, tmp_path: Path) -> Path:
    """A comparison with all sections, and a name that holds markup."""
    changes = {
        "vehicle.name": EVIL,
        "settings.battery_current_A": 95,
        "settings.max_rpm": 6400,
        "settings.temperature.motor.taper_from_degC": 115,
        "modes.a-mode-with-a-rather-long-name.max_rpm": 3000,
        "readings.throttle.rest_V": None,
    }
    path = tmp_path / "page.html"
    path.write_text(report("html", bike, changed(bike, changes)), encoding="utf-8")
    return path


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """The whole workshop, with its summary, its findings and their long names."""
    return made(tmp_path / "workshop.html", "check", str(VEHICLES), "--as-of", "2026-11-25")


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_sticks_out_to_the_side(page: Path, width: int) -> None:
    """Nobody scrolls sideways in gloves."""
    found = measured(page, width)
    assert int(found["wide"]) <= int(found["room"]) == width


@pytest.mark.parametrize("width", WIDTHS)
def test_a_list_of_vehicles_fits_too(workshop: Path, width: int) -> None:
    """Its table is the widest that there is."""
    found = measured(workshop, width)
    assert int(found["wide"]) <= int(found["room"]) == width


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("topic", ["keys", "profile", "settings"])
def test_the_help_fits_as_well(tmp_path: Path, topic: str, width: int) -> None:
    """What is wider than a phone, such as a screen, scrolls inside its box."""
    found = measured(made(tmp_path / "help.html", "help", topic), width)
    assert int(found["wide"]) <= int(found["room"]) == width


def test_what_sticks_out_is_noticed(tmp_path: Path) -> None:
    """Else the tests above could not fail."""
    wide = tmp_path / "wide.html"
    wide.write_text("<body><div style='width:400px'>x</div></body>", "utf-8")
    found = measured(wide, 375)
    assert int(found["wide"]) > int(found["room"]) == 375


def test_no_finding_is_split_between_two_sheets(page: Path, workshop: Path) -> None:
    """Half a finding on the next sheet is lost with it; a whole vehicle may go over several."""
    for one in (page, workshop):
        found = sheets(one, "section.finding")
        assert len(found) >= 5
        assert [part for part in found if part[0] != part[1]] == []
    assert len({first for first, _ in sheets(workshop, "section.finding")}) > 3


def test_no_heading_stands_alone_at_the_end_of_a_sheet(workshop: Path) -> None:
    """A vehicle's name is on the sheet on which its first finding begins."""
    heads = sheets(workshop, "h2")
    firsts = sheets(workshop, "article > section:first-of-type > h3")
    assert len(heads) > 8
    assert [head for head, _ in heads] == [first for first, _ in firsts]


def test_a_split_part_is_noticed(tmp_path: Path) -> None:
    """Else the two tests above could not fail."""
    long = tmp_path / "long.html"
    long.write_text(f"<body><section>{'<p>line</p>' * 200}</section></body>", "utf-8")
    assert [first != last for first, last in sheets(long, "section")] == [True]


def test_the_style_arrives(page: Path) -> None:
    """A policy that blocked the page's own style would leave it black on white."""
    assert measured(page, 1200)["ink"] not in ("rgb(0, 0, 0)", "")


def test_a_name_is_text_in_the_browser_too(page: Path) -> None:
    """What the browser made of the page holds no script."""
    shown = browser("--dump-dom", page.as_uri(), folder=page.parent)
    assert "<script" not in shown and "&lt;script&gt;alert(1)" in shown
    assert "NO-GO" in shown


def test_it_prints(page: Path) -> None:
    """The sheet that goes into the folder with the vehicle."""
    target = page.with_suffix(".pdf")
    browser(f"--print-to-pdf={target}", page.as_uri(), folder=page.parent)
    assert target.read_bytes().startswith(b"%PDF") and target.stat().st_size > 10_000


def test_it_can_be_seen_on_a_phone(page: Path) -> None:
    """The picture has the size of the window, and more than one colour."""
    target = page.with_suffix(".png")
    browser(f"--screenshot={target}", "--window-size=500,900", page.as_uri(), folder=page.parent)
    assert target.read_bytes().startswith(b"\x89PNG") and target.stat().st_size > 10_000
