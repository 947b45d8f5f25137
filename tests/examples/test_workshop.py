"""The example workshop and the revisions: each verdict, and each finding's rule and line."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from shutil import copytree

import pytest
from gonogo import check
from gonogo.documents.location import Place
from gonogo.judgement.finding import Finding, Judgement
from gonogo.judgement.verdict import short_of

Expect = Callable[[str, str], None]
EXAMPLES = Path(__file__).parents[2] / "examples"
JUDGED_ON = "2026-11-25"
HEAD = """\
# What each example profile was written to show, judged on 2026-11-25. `at` is what the finding points
# at; `not_checked` names the dangers and faults that a vehicle with a whole verdict cannot answer.
"""


@cache
def judged(file: str) -> Judgement:
    """The profile as `gonogo check` judges it on the day that the examples are written for."""
    return check(EXAMPLES / file, as_of=JUDGED_ON)


def profiles() -> list[str]:
    """The example profiles: the workshop's vehicles before the revisions, each by its name."""
    return sorted(
        (
            path.relative_to(EXAMPLES).as_posix()
            for path in EXAMPLES.rglob("*.yaml")
            if path.read_text(encoding="utf-8").startswith("gonogo: profile/1")
        ),
        key=lambda file: (not file.startswith("workshop/"), file),
    )


def row(file: str) -> str:
    """What one example comes to: its verdict, each finding at its line, and what it leaves open."""
    judgement = judged(file)
    open_ = {one.rule.id for one in judgement.not_checked if one.severity != "advice"}
    open_ = open_ if judgement.verdict != "incomplete" else set()
    lines = [f"- file: {file}", f"  verdict: {judgement.verdict}"]
    lines += [f"  not_checked: [{', '.join(sorted(open_))}]"] if open_ else []
    lines += ["  findings:"] if judgement.findings else []
    ordered = sorted(judgement.findings, key=lambda one: (one.place.line, one.rule.id))
    lines += [f"    - {{{told(one, file)}}}" for one in ordered]
    return "\n".join(lines) + "\n"


def told(finding: Finding, file: str) -> str:
    """One finding, with the line that it points at, and its file where that is a part's."""
    own = f"examples/{file}".endswith(finding.place.file)
    source = EXAMPLES / file if own else EXAMPLES / "workshop" / finding.place.file
    text = source.read_text(encoding="utf-8").splitlines()
    at = json.dumps(pointed_at(text, finding.place), ensure_ascii=False)
    parts = [f"rule: {finding.rule.id}", f"severity: {finding.severity}"]
    parts += [] if own else [f"file: {finding.place.file}"]
    parts += [f"line: {finding.place.line}", f"at: {at}"]
    parts += [f"modes: [{', '.join(finding.modes)}]"] if finding.modes else []
    parts += ["waived: true"] if finding.waived else []
    return ", ".join(parts)


def pointed_at(text: list[str], place: Place) -> str:
    """The value at a place with the key before it, up to the next comma, bracket or comment."""
    line = text[place.line - 1]
    key = re.search(r"[\w']*:? ?$", line[: place.column - 1])
    value = re.split(r",|\}| +#", line[place.column - 1 :])[0]
    return f"{key[0] if key else ''}{value}"


def test_the_examples_come_to_what_they_were_written_for(expect: Expect) -> None:
    """No finding is missing, none is added, each points at the value to look at; none goes quiet."""
    expect("expected.yaml", "\n".join([HEAD, *map(row, profiles())]))


WORKSHOP = [file for file in profiles() if file.startswith("workshop/")]


def test_a_vehicle_without_readings_is_fit_for_the_stand() -> None:
    """Fescue is sound as entered: all that keeps it from a ride has still to be measured."""
    fescue = judged("workshop/vehicles/fescue.yaml")
    assert fescue.stages == {"stand": "go", "ride": "incomplete"}
    asked = short_of(fescue.not_checked, "ride")
    assert asked
    assert all(name.startswith("readings.") for name in asked)


def test_the_workshop_shows_every_verdict() -> None:
    """Four sound machines, one with advice, one waived, one unfinished, and several refused."""
    vehicles = [judged(file) for file in WORKSHOP]
    sound = [one for one in vehicles if one.verdict == "go"]
    waived = [one for one in sound if any(finding.waived for finding in one.findings)]
    assert len([one for one in sound if not one.findings]) >= 4
    assert waived and len([one for one in sound if one.findings and one not in waived]) >= 1
    assert [one.verdict for one in vehicles].count("incomplete") == 1
    assert [one.verdict for one in vehicles].count("no-go") >= 4


@pytest.mark.parametrize("file", WORKSHOP)
def test_the_readme_states_the_verdict(file: str) -> None:
    """The table in the workshop's README is read before anything is run."""
    judgement = judged(file)
    readme = (EXAMPLES / "workshop" / "README.md").read_text(encoding="utf-8")
    told = next(
        line for line in readme.splitlines() if line.startswith(f"| {judgement.profile.name} |")
    )
    assert told.split("|")[4].strip().startswith(judgement.verdict.upper())


@pytest.mark.parametrize(
    ("file", "before", "after", "rule", "severity"),
    [
        pytest.param(
            "bracken.yaml",
            "ramp_ms: 220",
            "ramp_ms: 140",
            "throttle-ramp-short",
            "advice",
            id="an own rule",
        ),
        pytest.param(
            "burdock.yaml",
            "cutoff_V: 45.8",
            "cutoff_V: 45.0",
            "lfp-stop-below-knee",
            "advice",
            id="an own rule for one chemistry",
        ),
        pytest.param(
            "burdock.yaml",
            "reverse_rpm: 550",
            "reverse_rpm: 700",
            "reverse-too-fast",
            "advice",
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
    assert [one.severity for one in found if one.rule.id == rule] == [severity]
