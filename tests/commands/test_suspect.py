"""`gonogo suspect`: whole calls on spoiled vehicles, in every format, and what is asked wrongly."""

from __future__ import annotations

import io
import json
import re
import subprocess
from importlib.resources import files
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import check, suspect
from gonogo.commands.main import status
from jsonschema import Draft202012Validator

ROOT = Path(__file__).parents[2]
SOUND = ROOT / "tests" / "hazards" / "sound"
WORKSHOP = ROOT / "examples" / "workshop" / "vehicles"
DAY = "2026-11-25"
SCHEMA = json.loads(files("gonogo.schemas").joinpath("suspects.schema.json").read_text("utf-8"))
EXAMPLES = sorted(WORKSHOP.glob("*.yaml"))


def spoiled(tmp_path: Path, name: str, *edits: tuple[str, str]) -> Path:
    """A sound vehicle with its text changed."""
    text = (SOUND / name).read_text("utf-8")
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = tmp_path / "vehicle.yaml"
    path.write_text(text, "utf-8")
    return path


def said(path: Path, form: str = "text", expected: int = 1, **options: Any) -> str:
    out = io.StringIO()
    assert suspect.run(path, form=form, as_of=DAY, out=out, **options) == expected
    return out.getvalue()


def told(path: Path, expected: int = 1, **options: Any) -> dict[str, Any]:
    record: dict[str, Any] = json.loads(said(path, "json", expected, **options))
    Draft202012Validator(SCHEMA).validate(record)
    return record


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_answered_by_its_schema_and_in_the_width(path: Path) -> None:
    """GO and INCOMPLETE are left in peace; a NO-GO has an answer, be it that nothing explains it."""
    stops = gonogo.check(path, DAY).verdict == "no-go"
    record = told(path, int(stops))
    assert record["verdict"] == gonogo.check(path, DAY).verdict
    assert bool(record["stops"]) == stops and (stops or not record["suspects"])
    text = said(path, "text", int(stops))
    assert all(len(line) <= 80 for line in text.splitlines())
    shares = [one["probability"] for one in record["suspects"]]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) + record["none_of_these"] <= 1.001


@pytest.mark.parametrize(
    ("name", "edits", "entry", "value", "slip"),
    [
        pytest.param(
            "trail-bike.yaml",
            [("kv_rpm_per_V: 62", "kv_rpm_per_V: 107.4")],
            "motor.kv_rpm_per_V",
            62.0,
            "kv-on-another-basis",
            id="kv of one phase, times √3",
        ),
        pytest.param(
            "trail-bike.yaml",
            [("\n  pole_pairs: 4", "\n  pole_pairs: 8")],
            "settings.pole_pairs",
            4,
            "magnets-for-pole-pairs",
            id="eight magnets entered as pole pairs",
        ),
        pytest.param(
            "trail-bike.yaml",
            [("continuous_A: 15,", "continuous_A: 1.5,")],
            "pack.cell.continuous_A",
            15.0,
            "factor-of-ten",
            id="a cell of 1.5 A",
        ),
    ],
)
def test_the_planted_entry_is_named_first(
    tmp_path: Path, name: str, edits: list[tuple[str, str]], entry: str, value: Any, slip: str
) -> None:
    """Where it stands and what would be right, though half a dozen rules flag elsewhere."""
    record = told(spoiled(tmp_path, name, *edits))
    first = record["suspects"][0]
    assert (first["entry"], first["value"], first["slip"]) == (entry, value, slip)
    assert first["leaves"] == [] and first["verdict"] != "no-go"
    assert first["probability"] > record["none_of_these"]
    line = Path(tmp_path, "vehicle.yaml").read_text("utf-8").splitlines()[first["line"] - 1]
    assert f"{first['today']:g}" in line


def test_exchanged_fields_are_told_together(tmp_path: Path) -> None:
    """Taper and cutoff in each other's place: one suspect, both entries."""
    text = (SOUND / "trail-bike.yaml").read_text("utf-8")
    limits = re.search(r"taper_from_V: ([0-9.]+), cutoff_V: ([0-9.]+)", text)
    assert limits is not None
    edit = (limits[0], f"taper_from_V: {limits[2]}, cutoff_V: {limits[1]}")
    first = told(spoiled(tmp_path, "trail-bike.yaml", edit))["suspects"][0]
    assert (first["entry"], first["value"]) == (
        "settings.low_voltage.taper_from_V",
        float(limits[1]),
    )
    other = {"entry": "settings.low_voltage.cutoff_V"}
    other |= {"today": float(limits[1]), "value": float(limits[2])}
    assert first["also"] == [other]


def test_a_fault_of_the_machine_is_no_entry(tmp_path: Path) -> None:
    """The order of the position sensor's wires: nothing in the document is wrong."""
    found = "found: {same_in_both_directions: false}"
    edit = ("identification: {done:", f"identification: {{{found}, done:")
    path = spoiled(
        tmp_path, "trail-bike.yaml", edit, ("\nreadings:", "\nreadings:\n  noticed: [rough]")
    )
    record = told(path)
    fault = next(one for one in record["suspects"] if one["entry"] is None)
    assert fault["slip"] == "sensor-wires-exchanged" and fault["value"] is None
    assert "position sensor" in said(path)


def test_the_previous_revision_gives_the_value_that_was_left(tmp_path: Path) -> None:
    """A value that was changed by accident is what it was in the last commit."""
    path = spoiled(tmp_path, "trail-bike.yaml")
    git = ["git", "-C", str(tmp_path), "-c", "user.name=A", "-c", "user.email=a@b.example"]
    for words in (["init", "-q"], ["add", "."], ["commit", "-qm", "as it was"]):
        subprocess.run([*git, *words], check=True)
    text = path.read_text("utf-8")
    path.write_text(text.replace("kv_rpm_per_V: 62", "kv_rpm_per_V: 91"), "utf-8")
    first = told(path)["suspects"][0]
    assert (first["entry"], first["value"], first["slip"]) == (
        "motor.kv_rpm_per_V",
        62.0,
        "left-from-before",
    )
    assert told(path, against="HEAD")["suspects"][0] == first
    assert status(["suspect", str(path), "--against", "nosuch"]) == 2


def test_what_the_controller_holds_is_a_value_to_try(tmp_path: Path) -> None:
    """Either the profile is wrong or the field: both are told, and nobody decides unseen."""
    path = spoiled(
        tmp_path,
        "trail-bike.yaml",
        ("max_rpm: 4000", "max_rpm: 4100"),
        ("\nreadings:", '\nreadings:\n  entered: {done: "2026-11-18", values: {max_rpm: 4000}}'),
    )
    suspects = told(path)["suspects"]
    told_of = {(one["entry"], one["value"], one["slip"]) for one in suspects[:2]}
    assert told_of == {
        ("settings.max_rpm", 4000.0, "other-than-read-back"),
        (None, None, "controller-holds-another-value"),
    }


def test_an_entry_beside_its_part_may_be_what_the_part_says(tmp_path: Path) -> None:
    """A key that lies over a part's and is far from it is told with the part's value."""
    (tmp_path / "motor.yaml").write_text(
        "gonogo: part/1\npart: {name: M, source: {title: Sheet}}\nmotor: {kv_rpm_per_V: 62}\n",
        "utf-8",
    )
    path = spoiled(
        tmp_path,
        "trail-bike.yaml",
        ("motor: {magnets", "motor: {part: motor.yaml, magnets"),
        ("kv_rpm_per_V: 62", "kv_rpm_per_V: 91"),
    )
    first = told(path)["suspects"][0]
    assert (first["entry"], first["value"]) == ("motor.kv_rpm_per_V", 62.0)
    assert first["slip"] == "other-than-its-part"


def test_a_check_ends_with_the_one_cause(tmp_path: Path) -> None:
    """One line, of one vehicle that is NO-GO, where one change explains two findings or more."""
    path = spoiled(tmp_path, "trail-bike.yaml", ("kv_rpm_per_V: 62", "kv_rpm_per_V: 107.4"))
    out = io.StringIO()
    assert check.run([path], as_of=DAY, out=out) == 1
    last = " ".join(out.getvalue().split("\n\n")[-1].split())
    assert "motor.kv_rpm_per_V (line 7) 107.4 rpm/V → 62 rpm/V" in last
    assert last.endswith("Ask gonogo suspect.")
    out = io.StringIO()
    check.run([path, SOUND / "kart-lfp.yaml"], as_of=DAY, out=out)
    assert "gonogo suspect" not in out.getvalue()  # of several vehicles none is searched
    out = io.StringIO()
    check.run([SOUND / "trail-bike.yaml"], as_of=DAY, out=out)
    assert "gonogo suspect" not in out.getvalue()


@pytest.mark.parametrize("form", ["markdown", "html"])
def test_a_page_escapes_what_stands_in_a_document(tmp_path: Path, form: str) -> None:
    """A profile is a stranger's: its text is shown and never runs."""
    path = spoiled(
        tmp_path,
        "trail-bike.yaml",
        ("kv_rpm_per_V: 62", "kv_rpm_per_V: 107.4"),
        ("{name: Trail bike", '{name: "<b>x</b><script>1</script>"'),
    )
    text = said(path, form)
    assert "<script>1" not in text and "<b>x</b>" not in text
    assert "kv_rpm_per_V" in text


def test_several_motors_are_asked_as_one_vehicle(tmp_path: Path) -> None:
    """An entry of the pack is one entry, whichever motor's rule it breaks."""
    name = "cart-with-two-rear-motors.yaml"
    assert told(spoiled(tmp_path, name), 0)["suspects"] == []
    text = (SOUND / name).read_text("utf-8")
    series = re.search(r"\bseries: ([0-9]+)", text)
    assert series is not None
    count = int(series[1])
    edit = (series[0], f"series: {count - 2}")
    assert text.count(series[0]) == 1
    first = told(spoiled(tmp_path, name, edit))["suspects"][0]
    assert "pack.series" in first["same_class"] and first["value"] == count


def test_what_is_asked_wrongly_is_answered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A status and a sentence, no traceback."""
    assert status(["suspect", str(tmp_path / "none.yaml")]) == 3
    assert status(["suspect", str(WORKSHOP / "dock.yaml"), "--format", "xml"]) == 2
    assert status(["suspect", str(WORKSHOP)]) in (2, 3)
    assert "Traceback" not in capsys.readouterr().err
