"""Corners mode by mode, and of one mode alone."""

from __future__ import annotations

import io
import json
from pathlib import Path

import gonogo
import pytest
from gonogo.commands.corners import run
from gonogo.documents.error import UsageError
from jsonschema import Draft202012Validator

from .example_vehicles import DAY, ROOT, WORKSHOP

# At 100 A the cold, aged pack of 180 mΩ sags by 18 V of 50.4 V, at 50 A by half of that: Ohm's law. The
# fault begins above a quarter.
COLD = """gonogo: profile/1
vehicle: {name: Larch, min_ambient_degC: -5}
pack: {full_V: 58.8, nominal_V: 50.4, minimum_V: 42, resistance_mohm: 60, continuous_A: 100}
settings: {battery_current_A: 50}
modes: {power: {battery_current_A: 100}, calm: {battery_current_A: 40}}
"""
SAGS = "battery-current-sags-pack"


@pytest.fixture
def larch(tmp_path: Path) -> Path:
    """A vehicle of which one mode alone fails in the cold."""
    path = tmp_path / "larch.yaml"
    path.write_text(COLD, "utf-8")
    return path


def test_the_mode_that_fails_is_named_with_its_corner(larch: Path) -> None:
    """Whoever rides in the calm mode need not wait for a new pack."""
    fails = {
        one.mode: {failure.rule.id: failure for failure in one.fails}
        for one in gonogo.corners(larch, DAY).modes
    }
    assert list(fails) == ["", "power", "calm"]
    assert SAGS not in fails[""] and SAGS not in fails["calm"]
    assert fails["power"][SAGS].causes == ("aged pack, cold",)
    assert fails["power"][SAGS].holds == "somewhere"


@pytest.mark.parametrize(("mode", "holds"), [("power", ["somewhere"]), ("calm", [])])
def test_one_mode_is_told_alone(larch: Path, mode: str, holds: list[str]) -> None:
    """40 A sag by at most 7.2 V, and 100 A by up to 18 V; a cable that is not known sags besides."""
    found = gonogo.corners(larch, DAY, mode)
    assert found.mode == mode and found.modes == ()
    severe = [one.holds for one in found.rules if (one.rule.id, one.severity) == (SAGS, "fault")]
    assert severe == holds
    measured = next(iter(found.judgement.findings), None)
    assert measured is None or not measured.modes or mode in measured.modes


def test_what_another_mode_breaks_does_not_stop_this_one(larch: Path) -> None:
    """200 A are above the pack's 100 A whatever is off: in that mode alone."""
    larch.write_text(COLD.replace("{battery_current_A: 100}", "{battery_current_A: 200}"), "utf-8")
    assert gonogo.corners(larch, DAY).judgement.stages["ride"] == "no-go"
    assert gonogo.corners(larch, DAY, "power").everywhere == "no-go"
    assert gonogo.corners(larch, DAY, "calm").judgement.stages["ride"] != "no-go"


def test_a_mode_that_there_is_not_is_a_clear_error(larch: Path) -> None:
    """With those that there are."""
    with pytest.raises(UsageError, match="Modes: power, calm"):
        run(larch, "text", None, DAY, io.StringIO(), "powr")
    with pytest.raises(UsageError, match="Modes: power, calm"):
        gonogo.corners(larch, DAY, "powr")


@pytest.mark.parametrize("mode", [None, "power"])
def test_page_and_record_say_which_mode(larch: Path, mode: str | None) -> None:
    """The summary names modes that fail, and one that was asked for stands at the top."""
    out = io.StringIO()
    run(larch, "text", None, DAY, out, mode)
    assert ("in the mode power alone" in out.getvalue()) == (mode is not None)
    assert (f"power: {SAGS} (aged pack, cold)" in out.getvalue()) == (mode is None)
    out = io.StringIO()
    run(larch, "json", None, DAY, out, mode)
    record = json.loads(out.getvalue())
    schema = json.loads((ROOT / "schemas/corners.schema.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(record)
    assert record["mode"] == mode
    assert [one["mode"] for one in record["modes"]] == ([] if mode else ["", "power", "calm"])


def test_a_failure_is_not_left_to_a_rule_that_corners_do_not_ask(larch: Path) -> None:
    """The sag yields to a rule that holds entries against each other, which no corner moves: it is told."""
    found = gonogo.corners(larch, DAY)
    fault = next(one for one in found.rules if (one.rule.id, one.severity) == (SAGS, "fault"))
    assert "cell-rating-against-resistance" in fault.rule.yields_to
    assert fault.at_corner.told_by == ""
    out = io.StringIO()
    run(larch, "text", None, DAY, out)
    assert (
        f"NO-GO with: aged pack, cold ({fault.at_corner.past:.0%} past the limit)" in out.getvalue()
    )


@pytest.mark.parametrize(
    ("mode", "current_A"),
    [
        pytest.param(None, 230, id="all modes: the one that comes nearest, base and no other"),
        pytest.param("lane", 150, id="the mode that was asked for"),
        pytest.param("trail", 190, id="another"),
    ],
)
def test_a_rule_that_any_mode_keeps_is_told_of_the_mode_asked_for(
    mode: str | None, current_A: float
) -> None:
    """The stall of Bracken: 230 A in the base settings, 150 A in the lane, 190 A on the trail."""
    found = gonogo.corners(WORKSHOP / "bracken.yaml", DAY, mode)
    (stall,) = [
        one for one in found.rules if one.rule.id == "stalls-on-grade" and one.severity == "fault"
    ]
    assert f"phase current of {current_A} A rms" in stall.at_corner.message
    assert stall.at_corner.modes == ((mode,) if mode else ())
