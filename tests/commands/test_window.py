"""`gonogo window` and `gonogo working`: what a person at the bench reads, and what a script does."""

from __future__ import annotations

import io
import json
import re
import shutil
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

import pytest
from gonogo.commands import window, working
from gonogo.commands.formats import as_text
from gonogo.commands.proposal import opened
from gonogo.documents.error import UsageError
from gonogo.judgement.evaluation import hear
from gonogo.judgement.window import windows
from gonogo.reports.layout import Page
from gonogo.reports.section import Report
from gonogo.reports.window import table_page
from jsonschema import Draft202012Validator
from rich.cells import cell_len

pytestmark = pytest.mark.usefixtures("frozen")
HERE = Path(__file__).parent
SCREENS = sorted({*(HERE / "screens").glob("w*.txt")} - {HERE / "screens" / "window-table-120.txt"})
Expect = Callable[[str, str], None]
DAY = "2026-11-25"


@pytest.fixture
def larch(tmp_path: Path) -> Path:
    """A sound trail bike with one mode, alone in its folder."""
    return Path(shutil.copy(HERE / "bench" / "larch.yaml", tmp_path))


def shown(path: Path, *arguments: str | None) -> str:
    out = io.StringIO()
    assert window.run(path, *arguments, as_of=DAY, out=out) == 0
    return out.getvalue()


def worked(path: Path, *arguments: str | None) -> str:
    out = io.StringIO()
    assert working.run(path, *arguments, as_of=DAY, out=out) == 0
    return out.getvalue()


def test_the_table_starts_with_the_tightest_margin(larch: Path, expect: Expect) -> None:
    """What goes wrong first at the next change stands at the top; what nothing bounds is named."""
    table, _, rest = shown(larch).partition(" no limit ")
    unbound, _, foot = rest.partition("\n\n")
    assert "throttle.ramp" in unbound
    expect("screens/window-table.txt", f"{table} no limit   …\n\n{foot}")


def test_what_is_past_a_limit_of_nothing_comes_first(larch: Path) -> None:
    """Of zero there is no share, and yet nothing is further out."""
    text = larch.read_text("utf-8")
    assert "regen:" not in text
    regen = "  regen: {battery_current_A: 5, phase_current_A_rms: 30}\n"
    larch.write_text(text.replace("  max_rpm: 4000\n", f"{regen}  max_rpm: 4000\n"), "utf-8")
    head, first = shown(larch).split("─\n")[1].split("\n\n")[:2]
    assert "margin" in head
    assert re.match(r" regen\n regen\.battery_current\b", first)


def test_a_name_of_the_table_is_a_name_to_ask_for(larch: Path) -> None:
    """Whoever reads `low_voltage.cutoff` types that; with its unit it is the same."""
    assert shown(larch, "low_voltage.cutoff") == shown(larch, "low_voltage.cutoff_V")
    assert shown(larch, "battery_current") == shown(larch, "settings.battery_current_A")


def test_a_group_is_a_table_of_its_own(larch: Path) -> None:
    """The throttle is set in one go, and nothing else then matters."""
    names = re.findall(r"^ (\w+\.\w+)", shown(larch, "throttle"), re.MULTILINE)
    assert names and all(name.startswith("throttle.") for name in names)
    assert {"throttle.start", "throttle.lost_above"} <= set(names)


def test_a_mode_is_a_column(larch: Path) -> None:
    """The same setting in two blocks is read twice and compared by nobody."""
    text = as_text(table_of(larch), Page(full=100))
    assert text.count(" max_rpm") == 1
    assert re.search(r" max_rpm\s.* 4000 rpm .* 1200 rpm$", text, re.MULTILINE)


def test_a_mode_without_room_for_its_column_is_said_below(larch: Path) -> None:
    """With the mode's name, so that no terminal is too narrow for it."""
    text = shown(larch)
    assert text.count(" max_rpm") == 1
    assert re.search(r" max_rpm\s.* 4000 rpm .*\n   yard: 1200 rpm$", text, re.MULTILINE)


@pytest.mark.parametrize("width", [50, 120])
def test_the_table_at_other_widths(larch: Path, width: int, expect: Expect) -> None:
    """A phone's terminal and half a desk's; 80 columns stand in the first test."""
    text = as_text(table_of(larch), Page(width=min(width, 80), full=width))
    assert max(map(cell_len, text.splitlines())) <= width
    expect(f"screens/window-table-{width}.txt", text)


def table_of(larch: Path) -> Report:
    """The table of all windows."""
    profile = opened(larch, DAY)
    hearing = hear(profile.profile, profile.catalogue, DAY)
    return table_page(windows(hearing, profile.catalogue), profile.profile)


def test_the_table_uses_a_wide_terminal(larch: Path) -> None:
    """The rules at the ends stand behind the row where there is room for them."""
    wide = as_text(table_of(larch), Page(full=200))
    assert re.search(r" max_rpm\s.* speed-above-limit$", wide, re.MULTILINE)
    assert max(map(cell_len, wide.splitlines())) <= 200


def test_one_setting_shows_every_rule_that_bounds_it(larch: Path, expect: Expect) -> None:
    """Whoever fits a better part wants to know what limits next."""
    expect("screens/window-setting.txt", shown(larch, "max_rpm"))


def test_a_mode_alone(larch: Path, expect: Expect) -> None:
    """Only what the mode sets."""
    expect("screens/window-mode.txt", shown(larch, None, "yard"))


def test_a_setting_that_a_mode_inherits_is_shown_as_it_is_there(larch: Path) -> None:
    """The yard's own speed limit does not touch the throttle, but the throttle works there too."""
    assert "start_V" in shown(larch, "throttle.start_V", "yard")


def test_a_setting_that_nothing_fits(tmp_path: Path, expect: Expect) -> None:
    """The rules that cannot all hold are named instead of a range."""
    path = Path(shutil.copy(HERE / "bench" / "rowan.yaml", tmp_path))
    expect("screens/window-empty.txt", shown(path, "over_voltage_trip_V"))


def test_the_working_goes_down_to_what_was_given(larch: Path, expect: Expect) -> None:
    """Formula, numbers, source; at the leaves a file and a line."""
    expect("screens/working.txt", worked(larch, "pack.loaded_V"))


def test_working_without_a_name_lists_what_there_is(larch: Path) -> None:
    """Nobody types a name that they have never seen."""
    text = worked(larch)
    assert re.search(r"^ pack\.full_V +58\.8 V", text, re.MULTILINE)
    assert text.index("\n pack\n") < text.index(" pack.full_V ") < text.index("\n motor\n")
    assert max(map(cell_len, text.splitlines())) <= 80
    record = json.loads(worked(larch, None, None, "json"))
    full = next(one for one in record["quantities"] if one["quantity"] == "pack.full_V")
    assert (full["value"], full["unit"]) == (58.8, "V")


@pytest.mark.parametrize("path", SCREENS, ids=lambda path: path.stem)
def test_a_screen_fits_eighty_columns(path: Path) -> None:
    """The laptop at the bench is small."""
    assert all(cell_len(line) <= 80 for line in path.read_text("utf-8").splitlines())


def test_the_record_fits_its_schema(larch: Path) -> None:
    """A script may rely on every key."""
    schema = json.loads(files("gonogo.schemas").joinpath("windows.schema.json").read_text("utf-8"))
    record = json.loads(shown(larch, None, None, "json"))
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(record)
    (rpm,) = [
        one
        for one in record["windows"]
        if one["quantity"] == "settings.max_rpm" and one["mode"] is None
    ]
    # 60 km/h at 8.4 turns a wheel turn of 1.96 m: 60000 / 60 / 1.96 × 8.4 = 4285.7 rpm
    end = {"limit": 4280, "rule": "speed-above-limit", "mode": None, "severity": "fault"}
    assert rpm["hard"]["high"] == end
    assert rpm["margin"] == {"absolute": 280, "share": 0.0654}


def test_a_formula_speaks_of_the_stages_by_name(larch: Path) -> None:
    """The teeth stand where they are given; "over the 14 to 56" is nobody's sentence."""
    text = larch.read_text("utf-8")
    stages = "stages: [{driving_teeth: 10, driven_teeth: 84}]"
    larch.write_text(text.replace("ratio: 8.4,", f"{stages},"), "utf-8")
    said = worked(larch, "drivetrain.ratio")
    assert "driven / driving teeth over the stages" in said
    assert "drivetrain.stages = 10 to 84 (given" in said
    assert "over the 10" not in said


def test_the_working_as_a_record(larch: Path) -> None:
    """The same tree for a script."""
    record = json.loads(worked(larch, "pack.full_V", None, "json"))
    assert (record["value"], record["unit"], record["origin"]) == (58.8, "V", "worked")
    assert [one["quantity"] for one in record["from"]] == ["pack.series", "pack.cell.full_V"]
    assert record["from"][0]["line"] == 5


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        pytest.param("maks_rpm", "Did you mean settings.max_rpm?", id="a slip"),
        pytest.param("pole_pairs", "the build or a reading determines its value", id="fixed"),
        pytest.param("settings.batery_current", "settings.battery_current_A", id="no unit"),
    ],
)
def test_a_setting_without_a_window_is_answered(larch: Path, asked: str, answer: str) -> None:
    """The nearest name, or why there is none."""
    with pytest.raises(UsageError) as caught:
        window.run(larch, asked, out=io.StringIO())
    assert answer in str(caught.value)


def test_a_mode_that_is_not_there_is_answered(larch: Path) -> None:
    """With the modes that are."""
    with pytest.raises(UsageError) as caught:
        window.run(larch, None, "yrad", out=io.StringIO())
    assert "yard" in str(caught.value)


@pytest.mark.parametrize(
    ("asked", "near"),
    [
        pytest.param("pck.sag_V", "pack.sag_V", id="a slip"),
        pytest.param("motor.back_emf", "motor.back_emf_V", id="no unit"),
    ],
)
def test_a_quantity_that_nobody_knows_is_answered(larch: Path, asked: str, near: str) -> None:
    """With the nearest name."""
    with pytest.raises(UsageError) as caught:
        working.run(larch, asked, out=io.StringIO())
    assert near in str(caught.value)
