"""What mending and beginning promise, whatever rules come with gonogo."""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import mend, new
from gonogo.documents import edit
from gonogo.judgement import mend as mending
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.verdict import short_of
from ruamel.yaml import YAML

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = [
    path
    for path in sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
    if not gonogo.load(path).motors  # only settings of one motor are mended
]
DAY = "2026-11-25"


def stops(path: Path) -> set[str]:
    judgement = gonogo.check(path, as_of=DAY)
    return {one.rule.id for one in judgement.findings if one.severity != "advice"}


def mended(path: Path) -> int:
    return mend.run(path, True, as_of=DAY, out=io.StringIO())


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_an_example_is_mended_whole_or_not_at_all(path: Path, tmp_path: Path) -> None:
    """After writing, check finds nothing of what was said to be mended; else nothing was written."""
    shutil.copytree(EXAMPLES / "workshop", tmp_path / "workshop")
    copy = tmp_path / "workshop" / "vehicles" / path.name
    before, found = copy.read_bytes(), gonogo.check(copy, as_of=DAY)
    status = mended(copy)
    after = gonogo.check(copy, as_of=DAY)
    if status == 0:
        assert after.verdict != "no-go"
    else:
        assert copy.read_bytes() == before
    assert (found.verdict == "no-go") or copy.read_bytes() == before


# Without field weakening no limit makes the motor faster than its voltage does.
WEAKENED = "  field_weakening_A_rms: {}\n  max_rpm: {}\n"
PLANTED = [
    pytest.param("battery_current_A: 80", "battery_current_A: 190", id="current"),
    pytest.param("phase_current_A_rms: 160", "phase_current_A_peak: 400", id="peak amperes"),
    pytest.param("cutoff_V: 44.5", "cutoff_V: 30", id="cutoff too low"),
    pytest.param("taper_from_V: 46", "taper_from_V: 44", id="taper below its stop"),
    pytest.param("taper_from_V: 46", "taper_from_V: 58.8", id="taper at full"),
    pytest.param("over_voltage_trip_V: 62", "over_voltage_trip_V: 58", id="trips on a full pack"),
    pytest.param("over_voltage_trip_V: 62", "over_voltage_trip_V: 95", id="trips too late"),
    pytest.param("start_V: 0.97", "start_V: 0.83", id="creeps"),
    pytest.param("start_V: 0.97", "start_V: 3.95", id="start past full"),
    pytest.param("full_V: 3.9, lost", "full_V: 4.2, lost", id="full never reached"),
    pytest.param("lost_above_V: 4.5, ", "", id="nothing catches a lost ground"),
    pytest.param("lost_above_V: 4.5", "lost_above_V: none", id="the limit is off"),
    pytest.param("lost_above_V: 4.5", "lost_above_V: 4.97", id="caught too late"),
    pytest.param("lost_below_V: 0.45", "lost_below_V: 0.8", id="lost at rest"),
    pytest.param(WEAKENED.format(0, 4000), WEAKENED.format(60, 5950), id="too fast"),
    pytest.param("field_weakening_A_rms: 0", "field_weakening_A_rms: 280", id="field weakening"),
    pytest.param(WEAKENED.format(0, 4000), WEAKENED.format(60, 9000), id="past the motor"),
    pytest.param("pole_pairs: 5", "pole_pairs: 10", id="magnets for pole pairs"),
    pytest.param("pack_nominal_V: 50.4", "pack_nominal_V: 72", id="another pack's volts"),
    pytest.param("sensor: kty84-130,", "sensor: pt1000,", id="another sensor"),
    pytest.param("stop_degC: 130", "stop_degC: 200", id="hot motor"),
    pytest.param("taper_from_degC: 110", "taper_from_degC: 135", id="motor taper past stop"),
    pytest.param("stop_degC: 85", "stop_degC: 100", id="hot controller"),
    pytest.param("max_rpm: 1200", "max_rpm: 1600", id="a mode too fast"),
    pytest.param("battery_current_A: 25", "battery_current_A: 250", id="a mode too strong"),
]


@pytest.mark.parametrize(("sound", "planted"), PLANTED)
def test_a_planted_fault_is_mended(bench: Path, sound: str, planted: str) -> None:
    """Each setting that can be wrong alone can be put right alone."""
    path = bench / "larch.yaml"
    text = path.read_text("utf-8")
    assert text.count(sound) == 1
    path.write_text(text.replace(sound, planted), "utf-8")
    assert stops(path)
    assert mended(path) == 0
    assert stops(path) == set()
    after = YAML(typ="safe").load(path)
    before = YAML(typ="safe").load(text)
    for section in ("vehicle", "pack", "wiring", "controller", "motor", "throttle", "readings"):
        assert after[section] == before[section]


MANY = 20  # as many modes as a profile may have
WRONG = "{battery_current_A: %d, phase_current_A_rms: %d, max_rpm: %d}"
MOST_JUDGEMENTS = 20
READS = 8


@pytest.mark.parametrize("modes", [1, MANY])
def test_many_modes_cost_no_more_judgements(
    modes: int, bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever mends twenty modes waits no longer for each than for one."""
    path = bench / "larch.yaml"
    text = path.read_text("utf-8").split("modes:")[0]
    lines = (f"  m{i}: {WRONG % (200 + i, 900 + i, 9000 + i)}\n" for i in range(modes))
    path.write_text(f"{text}modes:\n{''.join(lines)}", "utf-8")
    counts = {"hear": 0, "window_of": 0, "grow": 0}

    def counting(name: str, asked: Callable[..., Any]) -> Callable[..., Any]:
        def counted(*given: Any) -> Any:
            counts[name] += 1
            return asked(*given)

        return counted

    for module, name in ((mending, "hear"), (mending, "window_of"), (edit, "grow")):
        monkeypatch.setattr(module, name, counting(name, getattr(module, name)))
    assert mended(path) == 0
    assert stops(path) == set()
    assert counts["hear"] <= MOST_JUDGEMENTS
    assert counts["window_of"] <= 3 * modes + MOST_JUDGEMENTS
    assert counts["grow"] <= READS


def test_a_new_profile_lacks_only_readings(bench: Path) -> None:
    """The first check after it says what to enter and to measure; no rating of a part is missing."""
    path = bench / "heather.yaml"
    parts = {name: str(bench / f"{name}.yaml") for name in ("cell", "controller", "motor")}
    told = {**parts, "throttle": str(bench / "throttle.yaml"), "name": "Heather", "use": "off_road"}
    told |= {"series": "14", "parallel": "6", "fuse": "125"}
    assert new.run(path, told, [], True, as_of=DAY, out=io.StringIO()) == 0
    judgement = gonogo.check(path, as_of=DAY)
    assert judgement.verdict == "incomplete"
    stand = short_of(judgement.not_checked, "stand")
    assert not [name for name in stand if name.startswith(("pack.", "controller.", "motor."))]


def test_what_the_stand_lacks_may_be_given(bench: Path) -> None:
    """With a few more answers about the build the motor may turn on the stand."""
    path = bench / "heather.yaml"
    parts = {name: str(bench / f"{name}.yaml") for name in ("cell", "controller", "motor")}
    told = {**parts, "throttle": str(bench / "throttle.yaml"), "name": "Heather", "use": "off_road"}
    told |= {"series": "14", "parallel": "6", "fuse": "125"}
    also = [
        "wiring.fuse.rated_V=80",
        "wiring.battery_cable_mm2=25",
        "wiring.contactor=none",
        "pack.bms.continuous_A=100",
        "pack.bms.cell_low_V=2.8",
        "pack.connector_A=none",
        "wiring.phase_cable_mm2=25",
        "wiring.kill_switch.opens=controller_enable",
    ]
    assert new.run(path, told, also, True, as_of=DAY, out=io.StringIO()) == 0
    judgement = gonogo.check(path, as_of=DAY)
    assert judgement.stages == {"stand": "go", "ride": "incomplete"}
    assert "kill_switch:\n    opens: controller_enable" in path.read_text("utf-8")


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_mending_blames_what_a_check_blames(path: Path) -> None:
    """A rule that no check has named is only said of what would break, or has been kept."""
    judgement = gonogo.check(path, as_of=DAY)
    out = io.StringIO()
    mend.run(path, as_of=DAY, out=out)
    words = " ".join(line for line in out.getvalue().splitlines() if line[:1] not in "+-@ ")
    words = " ".join(f"{words} {out.getvalue().partition('change ')[2] or out.getvalue()}".split())
    named = {finding.rule.id for finding in judgement.findings}
    for rule in set(re.findall(r"[a-z]+(?:-[a-z]+)+", words)) & catalogue().rules.keys() - named:
        behind = rf"(breaks ([a-z-]+ or )*|with it |to keep ){rule}\b"
        assert re.search(behind, words), f"{rule} in: {words}"
