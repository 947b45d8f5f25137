"""`gonogo uses`: who takes up a part, an allowance or a rule, and what if it were another."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import use_search
from gonogo.commands.main import status
from gonogo.commands.output import GO, NO_GO, NOT_READ, USAGE
from gonogo.commands.use_target import house_keys, target_names
from gonogo.commands.uses import run
from gonogo.comparison.judged_side import judged_side
from gonogo.comparison.uses import rule_states
from gonogo.documents.error import UsageError
from gonogo.documents.loading import load, load_profile
from gonogo.documents.repository import open_repository
from gonogo.documents.schema import schema_text
from gonogo.judgement.site_rules import shop_of
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

EXAMPLES = Path(__file__).parents[2] / "examples"
WORKSHOP = EXAMPLES / "workshop"
VEHICLES = sorted((WORKSHOP / "vehicles").glob("*.yaml"))
PARTS = sorted((WORKSHOP / "parts").rglob("*.yaml"))
CELL = "parts/cells/nmc-round-5.yaml"
CELLS = "battery-current-above-cells"
DAY = "2026-11-25"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The workshop, where files may be changed; one stands at its top."""
    shutil.copytree(WORKSHOP, tmp_path / "shop")
    monkeypatch.chdir(tmp_path / "shop")
    return tmp_path / "shop"


def told(asked: str, *tried: str, came_to: int = GO, paths: tuple[Path, ...] = ()) -> Any:
    """The answer as a record, held to its schema."""
    out = io.StringIO()
    assert run(asked, paths, tried, form="json", as_of=DAY, out=out) == came_to
    record = json.loads(out.getvalue())
    report = Resource.from_contents(json.loads(schema_text("report")))
    known = Registry().with_resource("urn:gonogo:report", report)
    validator = Draft202012Validator(json.loads(schema_text("uses")), registry=known)
    assert list(validator.iter_errors(record)) == []
    return record


def screen(asked: str, *tried: str, paths: tuple[Path, ...] = ()) -> str:
    """The same for people."""
    out = io.StringIO()
    run(asked, paths, tried, as_of=DAY, out=out)
    assert max(map(len, out.getvalue().splitlines())) <= 80
    return out.getvalue()


@pytest.mark.parametrize("part", PARTS, ids=lambda path: path.stem)
def test_a_part_has_exactly_the_vehicles_that_read_it(part: Path) -> None:
    """Those whose profile is loaded with the file's text, through other parts too."""
    name = part.relative_to(WORKSHOP).as_posix()
    readers = {path.stem for path in VEHICLES if name in load(path).files}
    found = gonogo.uses(part, as_of=DAY)
    assert {Path(use.file).stem for use in found.by_part} == readers
    for use in found.by_part:
        profile = load(WORKSHOP / "vehicles" / Path(use.file).name)
        every = (profile, *profile.motors.values())
        given = {
            one.entered_as
            for each in every
            for one in each.givens.values()
            if one.place.file == name
        }
        assert {one.key for one in use.gets} == given


def test_a_part_of_a_part_is_told_with_the_way_to_it(shop: Path) -> None:
    """Clover has its cells through its pack."""
    record = told(CELL)
    assert record["parts"] == [{"file": "parts/packs/round-10s2p.yaml", "line": 8}]
    clover = next(one for one in record["takes"] if one["name"] == "Clover")
    assert clover["through"] == ["parts/packs/round-10s2p.yaml"]
    assert clover["sections"] == ["pack.cell"]
    assert clover["named_in"]["file"] == "parts/packs/round-10s2p.yaml"
    assert {"key": "pack.cell.continuous_A", "value": 15, "unit": "A"} in clover["gets"]
    text = screen(CELL)
    assert "6 OF 17 VEHICLES" in text and "through parts/packs/round-10s2p.yaml" in text
    assert " continuous_A " in text and "15 A" in text


def test_what_a_vehicle_has_otherwise_is_told(shop: Path) -> None:
    """It takes the part, and not this value of it."""
    path = shop / "vehicles" / "tansy.yaml"
    text = path.read_text("utf-8").replace("axle-75.yaml}", "axle-75.yaml, max_rpm: 4000}")
    path.write_text(text, "utf-8")
    tansy = next(
        one for one in told("parts/motors/axle-75.yaml")["takes"] if one["name"] == "Tansy"
    )
    assert tansy["overridden"] == ["motor.max_rpm"]
    assert "motor.max_rpm" not in {one["key"] for one in tansy["gets"]}


def test_a_part_that_is_gone_is_asked_for_by_its_name(shop: Path) -> None:
    """Who waits for it? Each of them cannot be read, and says so."""
    (shop / CELL).unlink()
    record = told(CELL, came_to=NOT_READ)
    assert record["asked"]["exists"] is False
    names = {one["name"] for one in record["takes"]}
    assert names == {"Bracken", "Bryony", "Clover", "Fescue", "Sorrel", "Vetch"}
    assert not any(one["read"] or one["gets"] for one in record["takes"])
    assert record["errors"] and "The file is not there." in screen(CELL)
    with pytest.raises(UsageError, match="nothing to try"):
        told(CELL, "continuous_A=9")


def test_a_part_behind_a_link_is_the_same_part(shop: Path) -> None:
    """By whatever path a profile names it."""
    (shop / "lib").symlink_to("parts", target_is_directory=True)
    path = shop / "vehicles" / "bracken.yaml"
    path.write_text(path.read_text("utf-8").replace("../parts/cells", "../lib/cells"), "utf-8")
    assert len(told(CELL)["takes"]) == 6
    outcomes = told(CELL, "continuous_A=9", came_to=NO_GO)["if"]["vehicles"]
    assert next(one for one in outcomes if one["name"] == "Bracken")["worse"]


def test_a_rule_is_told_for_each_vehicle(shop: Path) -> None:
    """Whether it applies, what it says, and the margin that the check's own record has."""
    record = told("fuse-oversized", paths=(shop / "vehicles",))
    for vehicle in record["rules"]:
        (state,) = vehicle["rules"]
        judgement = gonogo.check(shop / "vehicles" / Path(vehicle["file"]).name, as_of=DAY)
        own = [one for one in judgement.findings if one.rule.id == "fuse-oversized"]
        assert (state["outcome"] == "flagged") == bool(own)
    assert len(record["rules"]) == 17


def test_what_a_rule_flags_stands_first(shop: Path) -> None:
    """With its sentence, and how far it is past its limit."""
    path = shop / "vehicles" / "bracken.yaml"
    path.write_text(
        path.read_text("utf-8").replace("battery_current_A: 100", "battery_current_A: 190", 1),
        "utf-8",
    )
    first, *others = told(CELLS)["rules"]
    (state,) = first["rules"]
    assert (first["name"], state["outcome"], state["severity"]) == ("Bracken", "flagged", "danger")
    assert (state["margin"]["absolute"], state["unit"]) == (-70, "A")
    assert "190 A" in state["message"]
    assert not any(one["rules"][0]["outcome"] == "flagged" for one in others)
    text = screen(CELLS)
    assert "flags on 1 vehicle" in text and "70 A" in text and "past" in text


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_every_rule_says_of_a_vehicle_what_the_check_says(path: Path) -> None:
    """Records, motors and windows too: what flags there flags here, and the scopes are as many."""
    repository, inside = open_repository(path)
    rules = shop_of(repository).catalogue
    side = judged_side(load_profile(repository, inside), rules, DAY)
    states = {one.rule: one for one in rule_states(side, rules, rules.rules)}
    judgement = gonogo.check(path, as_of=DAY)
    flagged = {name for one in judgement.findings for name in (one.rule.id, *one.also)}
    waiting = {one.rule.id for one in judgement.not_checked} - flagged
    outcomes = {
        outcome: {name for name, state in states.items() if state.outcome == outcome}
        for outcome in ("flagged", "not_checked", "out_of_scope")
    }
    assert (outcomes["flagged"], outcomes["not_checked"]) == (flagged, waiting)
    assert len(outcomes["out_of_scope"]) == judgement.out_of_scope


def test_a_key_of_the_house_file_has_the_rules_that_rest_on_it(shop: Path) -> None:
    """What it is now, and where its rules stand."""
    record = told("house.drop_percent")
    assert record["asked"]["values"] == ["2% (set in house.yaml)"]
    assert {one["rule"] for each in record["rules"] for one in each["rules"]} == {
        "battery-cable-drop"
    }
    (shop / "house.yaml").write_text("gonogo: house/1\n", "utf-8")
    shutil.rmtree(shop / "house-rules")
    assert told("house.drop_percent")["asked"]["values"] == ["3% (default)"]
    assert "3% (default)" in screen("house.drop_percent")


@pytest.mark.parametrize("name", [*house_keys(), "house.severities.fuse-missing"])
def test_every_key_can_be_asked_about(name: str) -> None:
    """Lists and raised severities like allowances."""
    found = gonogo.uses(name, [VEHICLES[0]], as_of=DAY)
    assert len(found.by_rule) == 1 and found.unread == ()
    assert len(found.values) == 1


def test_an_allowance_that_changed_says_what_every_verdict_would_become(shop: Path) -> None:
    """As the check says once the house file is really changed."""
    before = {path.name: gonogo.check(path, as_of=DAY) for path in (shop / "vehicles").iterdir()}
    record = told("house.cell_spread_V", "0.3", came_to=NO_GO)
    text = (shop / "house.yaml").read_text("utf-8")
    key = record["if"]["tried"]["key"].split(".")[1]
    value = record["if"]["tried"]["value"]
    assert key not in text
    (shop / "house.yaml").write_text(
        text.replace("allowances:\n", f"allowances:\n  {key}: {value}\n", 1), "utf-8"
    )
    for outcome in record["if"]["vehicles"]:
        file = Path(outcome["file"]).name
        now = gonogo.check(shop / "vehicles" / file, as_of=DAY)
        assert (outcome["old"], outcome["new"]) == (before[file].verdict, now.verdict)
        rules = {one.rule.id for one in now.findings} - {
            one.rule.id for one in before[file].findings
        }
        assert rules <= {one["rule"] for one in outcome["introduced"]}


def test_a_part_that_changed_says_what_every_verdict_would_become(shop: Path) -> None:
    """The worst first, one line a vehicle, and nothing is written."""
    before = {path: path.read_bytes() for path in shop.rglob("*.yaml")}
    record = told(CELL, "continuous_A=9", came_to=NO_GO)
    assert {path: path.read_bytes() for path in shop.rglob("*.yaml")} == before
    assert record["if"]["tried"] == {
        "key": "cell.continuous_A",
        "value": "9",
        "said": "15",
        "file": CELL,
        "in_part": False,
    }
    worse = [one["worse"] for one in record["if"]["vehicles"]]
    assert worse == sorted(worse, reverse=True) and any(worse)
    text = screen(CELL, "continuous_A=9")
    assert "GO → NO-GO" in text and CELLS in text and "as before:" in text
    path = shop / CELL
    path.write_text(path.read_text("utf-8").replace("continuous_A: 15", "continuous_A: 9"), "utf-8")
    for outcome in record["if"]["vehicles"]:
        now = gonogo.check(shop / "vehicles" / Path(outcome["file"]).name, as_of=DAY)
        assert outcome["new"] == now.verdict


def test_what_makes_nobody_worse_ends_well(shop: Path) -> None:
    """A better cell, and the same one."""
    assert told(CELL, "continuous_A=20")["if"]["vehicles"]
    record = told(CELL, "continuous_A=15", "peak_A=25")
    assert not any(one["introduced"] or one["gone"] for one in record["if"]["vehicles"])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["battery-curent-above-cells"], f"Did you mean {CELLS}?"),
        (["house.drp_percent"], "Did you mean house.drop_percent?"),
        (["house.severities.fuse-mising"], "Did you mean fuse-missing?"),
        (["parts/motors/axle-57.yaml"], "Did you mean parts/motors/axle-75.yaml?"),
        (["vehicles/bracken.yaml"], "is a profile"),
        (["house.yaml"], "is a house file"),
        (["parts/motors"], "is a folder"),
        (["nothing"], "Expected a part's file"),
        ([CELLS, "--set", "5"], "a rule has no value"),
        (["house.drop_percent", "--set", "300"], "from 1 to 6"),
        (["house.drop_percent", "--set", "3", "--set", "4"], "one value"),
        (["house.drop_percent", "--set", ""], "found no value"),
        ([CELL, "--set", "continous_A=9"], "Did you mean `continuous_A`?"),
        ([CELL, "--set", "continuous_A"], "expected key=value"),
        ([CELL, "--set", "continuous_A=-9"], "--set continuous_A=-9"),
        (["house.severities.fuse-missing", "--set", "mild"], "danger"),
        ([CELLS, "--format", "html"], "expected one of text, json"),
    ],
)
def test_a_slip_is_told_with_the_nearest_name(
    arguments: list[str], words: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """And ends as wrong usage, without a traceback."""
    assert status(["uses", *arguments]) == USAGE
    assert words in capsys.readouterr().err


def test_what_cannot_be_read_is_told(shop: Path) -> None:
    """The others are answered all the same."""
    (shop / "vehicles" / "broken.yaml").write_text(
        "gonogo: profile/1\nvehicle: {nam: x}\n", "utf-8"
    )
    record = told(CELLS, came_to=NOT_READ)
    assert len(record["rules"]) == 17 and record["errors"]


def test_the_shell_completes_what_may_be_asked(shop: Path) -> None:
    """Rules, keys of the house file, and the part files below this folder."""
    names = target_names()
    assert {CELLS, "house.drop_percent", "house.require", CELL} <= set(names)


def test_a_part_is_looked_for_in_its_whole_shop(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Wherever one stands."""
    monkeypatch.chdir(shop / "parts" / "cells")
    assert len(told("nmc-round-5.yaml")["takes"]) == 6


@pytest.mark.parametrize(
    ("asked", "tried"),
    [
        pytest.param(CELLS, (), id="a rule"),
        pytest.param("house.readings_days", ("100",), id="a house key that is tried"),
        pytest.param(CELL, ("continuous_A=5",), id="a part that is tried"),
    ],
)
def test_several_processes_say_the_same_as_one(
    shop: Path, monkeypatch: pytest.MonkeyPatch, asked: str, tried: tuple[str, ...]
) -> None:
    """A broken vehicle among them is named by either."""
    broken = shop / "vehicles" / "fescue.yaml"
    broken.write_text(broken.read_text("utf-8").replace("vehicle:", "vehicel:"), "utf-8")
    monkeypatch.setattr(use_search, "VEHICLES_OF_A_PROCESS", 4)
    said = []
    for jobs in (1, 3):
        out = io.StringIO()
        status_of = run(asked, (), tried, form="json", as_of=DAY, out=out, jobs=jobs)
        said.append((status_of, out.getvalue()))
    assert said[0] == said[1] and said[0][0] == NOT_READ
    assert "fescue.yaml" in said[0][1]


def test_a_value_that_cannot_be_is_refused_whoever_works(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before any vehicle is judged."""
    monkeypatch.setattr(use_search, "VEHICLES_OF_A_PROCESS", 4)
    call = ["uses", "house.readings_days", "--set", "many"]
    assert status([*call, "--jobs", "3"]) == status([*call, "--jobs", "1"]) == USAGE
    said = capsys.readouterr().err.splitlines()
    assert said[: len(said) // 2] == said[len(said) // 2 :] and "many" in said[0]
