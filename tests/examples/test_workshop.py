"""The example workshop and the revisions: each verdict, and each finding's rule and line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from gonogo import check
from gonogo.judgement.finding import Judgement
from ruamel.yaml import YAML

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
JUDGED_ON = "2026-11-25"


@dataclass(frozen=True, slots=True)
class Expected:
    """What one example profile was written to show."""

    file: str
    verdict: str
    findings: Sequence[dict[str, Any]]
    not_judged: Sequence[str]


def expected() -> list[Expected]:
    """The table of `expected.yaml`, a row a profile."""
    rows = YAML(typ="safe").load((HERE / "expected.yaml").read_text(encoding="utf-8"))
    return [
        Expected(row["file"], row["verdict"], row.get("findings", ()), row.get("not_judged", ()))
        for row in rows
    ]


TABLE = [pytest.param(row, id=row.file) for row in expected()]


COMPLETE = [pytest.param(row, id=row.file) for row in expected() if row.verdict != "incomplete"]


@cache
def judged(file: str) -> Judgement:
    """The profile as `gonogo check` judges it on the day that the examples are written for."""
    return check(EXAMPLES / file, as_of=JUDGED_ON)


@pytest.mark.parametrize("row", TABLE)
def test_an_example_gets_the_verdict_it_was_written_for(row: Expected) -> None:
    """A reader of the example's README must not be told otherwise by the tool."""
    assert judged(row.file).verdict == row.verdict


@pytest.mark.parametrize("row", TABLE)
def test_each_finding_of_an_example_stands_at_its_line(row: Expected) -> None:
    """No finding is missing, none is added, and each points at the value to look at."""
    found = [
        {
            "rule": finding.rule.id,
            "severity": finding.severity,
            "line": finding.place.line,
            **({"modes": list(finding.modes)} if finding.modes else {}),
            **({"waived": True} if finding.waived else {}),
        }
        for finding in judged(row.file).findings
    ]
    wanted = [{key: value for key, value in one.items() if key != "at"} for one in row.findings]

    def order(one: dict[str, Any]) -> tuple[str, int]:
        return one["rule"], one["line"]

    assert sorted(found, key=order) == sorted(wanted, key=order)


@pytest.mark.parametrize("row", TABLE)
def test_the_line_of_a_finding_holds_the_value_named(row: Expected) -> None:
    """Line numbers in the table are worth something only while the value stands there."""
    lines = (EXAMPLES / row.file).read_text(encoding="utf-8").splitlines()
    for one in row.findings:
        assert one["at"] in lines[one["line"] - 1]


@pytest.mark.parametrize("row", COMPLETE)
def test_what_an_example_leaves_open_is_known(row: Expected) -> None:
    """A sound example is complete; what it cannot tell is listed, so that no rule goes quiet."""
    assert sorted({one.rule.id for one in judged(row.file).not_judged}) == sorted(row.not_judged)


def test_a_vehicle_without_readings_has_one_gate_open() -> None:
    """Fescue is sound as entered: only its throttle has to be read before anyone may say GO."""
    fescue = judged("workshop/vehicles/fescue.yaml")
    assert {one.rule.id for one in fescue.not_judged if one.rule.gate} == {"throttle-start-at-rest"}


def test_every_example_profile_is_in_the_table() -> None:
    """A profile that nobody expects anything of shows nothing."""
    profiles = {
        path.relative_to(EXAMPLES).as_posix()
        for path in EXAMPLES.rglob("*.yaml")
        if path.read_text(encoding="utf-8").startswith("gonogo: profile/1")
    }
    assert profiles == {row.file for row in expected()}


def test_the_workshop_shows_every_verdict() -> None:
    """Four sound machines, one with cautions, one waived, one unfinished, and several refused."""
    vehicles = [row for row in expected() if row.file.startswith("workshop/")]
    spotless = [row for row in vehicles if row.verdict == "go" and not row.findings]
    waived = [row for row in vehicles if any(one.get("waived") for one in row.findings)]
    with_cautions = [
        row for row in vehicles if row.verdict == "go" and row.findings and row not in waived
    ]
    assert len(spotless) >= 4
    assert [row.verdict for row in waived] == ["go"]
    assert len(with_cautions) >= 1
    assert [row.verdict for row in vehicles].count("incomplete") == 1
    assert [row.verdict for row in vehicles].count("no-go") >= 4


WORKSHOP = [pytest.param(row, id=row.file) for row in expected() if "workshop/" in row.file]


@pytest.mark.parametrize("row", WORKSHOP)
def test_the_readme_states_the_verdict(row: Expected) -> None:
    """The table in the workshop's README is read before anything is run."""
    name = judged(row.file).profile.name
    readme = (EXAMPLES / "workshop" / "README.md").read_text(encoding="utf-8")
    told = next(line for line in readme.splitlines() if line.startswith(f"| {name} |"))
    assert told.split("|")[4].strip().startswith(row.verdict.upper())


@pytest.mark.parametrize(
    ("file", "before", "after", "rule", "severity"),
    [
        pytest.param(
            "bracken.yaml",
            "ramp_ms: 220",
            "ramp_ms: 140",
            "throttle-ramp-short",
            "caution",
            id="an own rule",
        ),
        pytest.param(
            "burdock.yaml",
            "stop_V: 45.8",
            "stop_V: 45.0",
            "lfp-stop-below-knee",
            "caution",
            id="an own rule for one chemistry",
        ),
        pytest.param(
            "burdock.yaml",
            "reverse_rpm: 550",
            "reverse_rpm: 700",
            "reverse-too-fast-three-wheels",
            "caution",
            id="an allowance below the default",
        ),
        pytest.param(
            "teasel.yaml",
            "drive_while_charging: blocked",
            "drive_while_charging: allowed",
            "driving-while-charging",
            "fault",
            id="a raised severity",
        ),
        pytest.param(
            "clover.yaml",
            "  mass_kg: 17\n",
            "",
            "required-entry-missing",
            "fault",
            id="a required entry",
        ),
    ],
)
def test_the_house_file_is_felt(
    tmp_path: Path, file: str, before: str, after: str, rule: str, severity: str
) -> None:
    """One step past what the shop asks of itself, and nothing else, is told."""
    shop = tmp_path / "workshop"
    copytree(EXAMPLES / "workshop", shop)
    vehicle = shop / "vehicles" / file
    text = vehicle.read_text(encoding="utf-8")
    assert text.count(before) == 1
    vehicle.write_text(text.replace(before, after), encoding="utf-8")
    found = check(vehicle, as_of=JUDGED_ON).findings
    assert [(one.rule.id, one.severity) for one in found] == [(rule, severity)]
