"""The page of corners as a person reads it on a terminal."""

from __future__ import annotations

import io
import re
import shutil
from dataclasses import replace
from pathlib import Path

import gonogo
import pytest
from gonogo.commands.corners import run
from gonogo.commands.formats import as_text
from gonogo.commands.output import page_for
from gonogo.reports.corners import corners_page
from gonogo.tolerances.corner_words import CornerFinding
from rich.cells import cell_len

from .example_vehicles import DAY, EXAMPLES
from .test_corners import SAG


def told(path: Path, form: str = "text") -> str:
    """What the command prints."""
    out = io.StringIO()
    run(path, form, None, DAY, out)
    return out.getvalue()


@pytest.mark.parametrize("path", EXAMPLES[::4], ids=lambda path: path.stem)
def test_it_fits_eighty_columns(path: Path) -> None:
    """As every report does."""
    assert max(map(cell_len, told(path).splitlines())) <= 80


def test_it_says_both_verdicts_the_corner_and_what_to_do() -> None:
    """The fuse of Mallow holds but for strong cells on a charger at its high end."""
    path = next(path for path in EXAMPLES if path.stem == "mallow")
    lines = told(path)
    assert lines.startswith(" ▐ GO as measured   Mallow\n")
    head = "NO-GO with: strong cells, together with charger at its high end (0.5% past the limit)"
    assert head in " ".join(lines.split())  # 2010 A against 2000 A
    assert "corner    strong cells, charger at its high end" in lines
    assert "do        Fit a fuse with a breaking capacity of 2010 A or more" in lines
    assert "If the cell resistance is known to be as entered:" in lines


@pytest.mark.parametrize("own", [False, True])
def test_a_measurement_that_would_narrow_a_spread_is_pointed_at(own: bool, tmp_path: Path) -> None:
    """Mallow's no-load test tells its kv better than the label, until the profile says how well."""
    path = next(path for path in EXAMPLES if path.stem == "mallow")
    shutil.copytree(path.parent.parent, tmp_path / "shop", ignore=shutil.ignore_patterns(".git"))
    copied = tmp_path / "shop" / path.parent.name / path.name
    if own:
        line = "tolerances: {motor.kv_rpm_per_V: 1.5}\n"
        copied.write_text(copied.read_text("utf-8") + line, "utf-8")
    page = " ".join(told_words(copied))  # 405 rpm of the 0.95 × 8 rpm/V × 54 V that were expected
    assert ("share of the expected speed: 0.9868): if that test is sound, enter" in page) == (
        not own
    )
    assert ("taken from 7.379 rpm/V to 9.072 rpm/V" in page) == (not own)


def told_words(path: Path) -> list[str]:
    """The page as words, without its lines."""
    return told(path).split()


@pytest.mark.parametrize("path", EXAMPLES[::3], ids=lambda path: path.stem)
def test_as_many_are_shown_as_are_counted(path: Path) -> None:
    """A count that the page does not show sends its reader searching."""
    page = told(path)
    counted = re.search(r"(\d+) in a part of them", page)
    shown = [line for line in page.splitlines() if line.startswith(" ▐ holds")]
    assert len(shown) == (int(counted[1]) if counted else 0)
    doubted = re.search(r"(\d+) undecided", page)
    assert page.count(" ▐ UNDECIDED") == (int(doubted[1]) if doubted else 0)


def test_what_is_not_decided_is_no_fault_yet() -> None:
    """It has a word of its own, beside the advice that the same rule surely is."""
    path = next(path for path in EXAMPLES if path.stem == "cotton-grass")
    found = gonogo.corners(path, DAY)
    advice = next(one for one in found.rules if one.rule.id == "regen-bus-rise-bms")
    assert advice.holds == "somewhere" and advice.severity == "advice"
    doubted = replace(advice, severity="fault", holds="undecided", at_corner=CornerFinding())
    others = tuple(one for one in found.rules if one.rule.id != "regen-bus-rise-bms")
    told_of = replace(found, rules=(*others, advice, doubted), everywhere="undecided")
    page = as_text(corners_page(told_of), page_for(None, io.StringIO()))
    words = " ".join(page.replace("▐", "").split())
    assert "UNDECIDED Whether regen-bus-rise-bms is a fault at a corner was not decided." in words
    assert "1 undecided" in words and "FAULT If the pack is lost" not in words
    assert "ADVICE If the pack is lost in regen" in words


def test_what_would_settle_what_stops_comes_before_the_advice() -> None:
    """It is the next step of whoever may not ride."""
    page = told(next(path for path in EXAMPLES if path.stem == "mallow"))
    assert page.index("Fails at a corner") < page.index("What would settle it")
    assert page.index("What would settle it") < page.index("Advice at a corner")


def test_what_holds_where_any_mode_holds_says_so() -> None:
    """Of one mode alone it still tells the number of another."""
    path = next(path for path in EXAMPLES if path.stem == "bracken")
    out = io.StringIO()
    run(path, "text", None, DAY, out, "lane")
    assert "judged of all together: it holds where it holds in one of them" in out.getvalue()


def test_what_holds_at_every_corner_says_so_in_one_line() -> None:
    """Nobody searches a long page for good news."""
    path = next(path for path in EXAMPLES if path.stem == "clover")
    assert "GO at every corner of the tolerances" in told(path)


def test_a_name_from_a_document_is_no_markup(tmp_path: Path) -> None:
    """A page of HTML shows what was typed."""
    path = tmp_path / "larch.yaml"
    path.write_text(SAG.replace("Larch", '"<b>Larch</b>"'), "utf-8")
    assert "&lt;b&gt;Larch&lt;/b&gt;" in told(path, "html")
