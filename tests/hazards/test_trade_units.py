"""A build entered in feet, pounds, mph and °F is judged as the same build entered in ours."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from gonogo import check
from gonogo.documents.given import as_entered_under, number_of
from gonogo.documents.house import allowance_entries
from gonogo.documents.schema import canonical, properties
from gonogo.documents.trade_units import trade_key
from gonogo.documents.units import unit_of_key
from gonogo.documents.wire_gauge import gauge_of_section
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.finding import Finding, Judgement
from ruamel.yaml import YAML

from .test_hazards import CASES, DAY, SOUND, placed

EXAMPLES = Path(__file__).parents[2] / "examples"
SHOP = sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
SAMPLE = CASES[::12]
DIGITS = 9  # decimals of what is entered anew


def anew(value: Any, path: str = "") -> Any:
    """A document with every entry that has another key entered under that."""
    if isinstance(value, list):
        return [anew(one, path) for one in value]
    if not isinstance(value, Mapping):
        return value
    turned: dict[str, Any] = {}
    for key, below in value.items():
        where = f"{path}.{key}" if path else str(key)
        entry = properties().get(str(trade_key(where)))
        is_number = isinstance(below, int | float) and not isinstance(below, bool)
        if path == "allowances":
            entry = allowance_entries().get(str(trade_key(str(key))))
        if path.startswith("modes.") and key == "speed_limit_km_h":
            entry = properties()["vehicle.speed_limit_mph"]
        if entry is None or not is_number or entry.unit == "awg":
            turned[key] = anew(below, where)
        else:
            other = str(trade_key(str(key)))
            turned[other] = round(as_entered_under(entry, below), DIGITS)
    return turned


def part_anew(document: Any) -> Any:
    """A profile, part or house file entered anew; a cell stands in its pack."""
    if "cell" in document:
        inner = anew({"pack": {"cell": document["cell"]}})["pack"]["cell"]
        return {**document, "cell": inner}
    document = anew(document)
    for waiver in document.get("waivers", ()):
        rule = catalogue().rules[waiver["rule"]]
        other = properties().get(str(trade_key(rule.of or "")))
        if "accepts" in waiver and other is not None:
            waiver["accepts"] = as_entered_under(other, waiver["accepts"])
    return document


def written_anew(top: Path) -> int:
    """Every document below a folder entered anew where it lies; how many of them differ now."""
    count = 0
    for path in top.rglob("*.yaml"):
        document = YAML(typ="safe").load(path)
        if not isinstance(document, dict) or "gonogo" not in document:
            continue
        other = part_anew(document)
        count += other != document
        path.write_text(json.dumps(other, default=str), encoding="utf-8")
    return count


def told(judgement: Judgement) -> list[tuple[Any, ...]]:
    """What a judgement says of a build, whatever the units are in which it says it."""
    return sorted(
        (one.rule.id, one.severity, one.modes, one.quantity, one.waived is not None)
        for one in judgement.findings
    )


def numbers(finding: Finding) -> Iterator[float]:
    """The value of a finding and its limits, in our units."""
    judged = finding.of or finding.quantity
    entry = canonical().get(judged)
    other = trade_key(judged)
    same_key = other is not None and finding.entered_as.endswith(f".{other.rsplit('.', 1)[-1]}")
    if same_key and judged == finding.quantity:
        entry = properties()[str(other)]
    for number in (finding.value, finding.low, finding.high):
        if isinstance(number, int | float) and not isinstance(number, bool):
            yield number_of(entry, number) if entry is not None and entry.unit != "awg" else number


def same(before: Judgement, after: Judgement) -> None:
    """Both say the same, number by number."""
    assert (after.verdict, after.stages) == (before.verdict, before.stages)
    assert told(after) == told(before)
    for was in before.findings:
        now = next(
            one
            for one in after.findings
            if (one.rule, one.modes, one.of, one.quantity)
            == (was.rule, was.modes, was.of, was.quantity)
        )
        assert list(numbers(now)) == pytest.approx(list(numbers(was)), rel=1e-8, abs=1e-8)
    waiting = [(one.rule.id, one.modes) for one in before.not_checked]
    assert [(one.rule.id, one.modes) for one in after.not_checked] == waiting


@pytest.mark.parametrize("path", SHOP, ids=lambda path: path.stem)
def test_an_example_entered_anew_is_judged_the_same(path: Path, tmp_path: Path) -> None:
    """With its parts and its shop's allowances."""
    shutil.copytree(EXAMPLES / "workshop", tmp_path / "shop")
    assert written_anew(tmp_path / "shop") > 5
    same(check(path, as_of=DAY), check(tmp_path / "shop" / "vehicles" / path.name, as_of=DAY))


@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.stem)
def test_a_sound_build_entered_anew_stays_go(path: Path, tmp_path: Path) -> None:
    """Good work is good work in any unit."""
    shutil.copy(path, tmp_path / path.name)
    assert written_anew(tmp_path) == 1
    same(check(path, as_of=DAY), check(tmp_path / path.name, as_of=DAY))


@pytest.mark.parametrize("case", SAMPLE, ids=lambda case: str(case["id"]))
def test_a_hazard_entered_anew_is_refused_as_before(case: Any, tmp_path: Path) -> None:
    """A hazard does not go away by being told in feet."""
    (tmp_path / "ours").mkdir()
    path = placed(case, tmp_path / "ours")
    shutil.copytree(tmp_path / "ours", tmp_path / "theirs")
    written_anew(tmp_path / "theirs")
    same(check(path, as_of=DAY), check(tmp_path / "theirs" / path.name, as_of=DAY))


@pytest.mark.parametrize("gauge", ["4/0", "2/0", 1, 4, 8, 14])
def test_a_cable_by_gauge_is_judged_by_its_cross_section(gauge: Any, tmp_path: Path) -> None:
    """A gauge is a cross-section, and nothing else about the cable changes with it."""
    build = YAML(typ="safe").load(SOUND[0])
    area = number_of(properties()["wiring.battery_cable_awg"], gauge)
    ours = {**build, "wiring": {**build["wiring"], "battery_cable_mm2": area}}
    wiring = {key: one for key, one in build["wiring"].items() if key != "battery_cable_mm2"}
    theirs = {**build, "wiring": {**wiring, "battery_cable_awg": gauge}}
    judged = []
    for name, document in (("ours", ours), ("theirs", theirs)):
        (tmp_path / f"{name}.yaml").write_text(json.dumps(document, default=str), encoding="utf-8")
        judged.append(check(tmp_path / f"{name}.yaml", as_of=DAY))
    same(*judged)
    assert gauge_of_section(area) == pytest.approx(round(gauge_of_section(area)), abs=1e-9)


def test_the_other_keys_cover_what_the_builds_enter() -> None:
    """The property says something only if most of the keys occur in the builds."""
    entered: set[str] = set()
    for path in (*SHOP, *SOUND):
        text = path.read_text(encoding="utf-8")
        entered |= {name for name in canonical() if name.rsplit(".", 1)[-1] in text}
    units = {unit_of_key(name) for name in entered}
    assert {"kg", "mm", "m", "km_h", "degC"} <= units
