"""Builds that would hurt somebody are refused, builds that are good work are not.

The files of cases beside this one change the sound build of `base.yaml`, those of `two_motors.yaml`
excepted, which are whole:
keys replace, sections merge, `_replace: 1` replaces a section whole, `~remove` takes a key out; `parts` lie
beside it as files. `sound/` holds whole builds that
are good work, though unusual.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from gonogo import check
from gonogo.judgement.finding import Judgement
from gonogo.judgement.rule import STOPS
from gonogo.judgement.verdict import short_of
from ruamel.yaml import YAML

HERE = Path(__file__).parent
DAY = "2026-11-25"
REMOVE = "~remove"
SOUND = sorted((HERE / "sound").glob("*.yaml"))


def loaded(name: str) -> Any:
    return YAML(typ="safe").load(HERE / name)


APART = ("base.yaml", "two_motors.yaml")
FILES = sorted(one.name for one in HERE.glob("*.yaml") if one.name not in APART)
CASES = [case for name in FILES for case in loaded(name)]


def changed(base: Any, change: Any) -> Any:
    """The base with a change laid over it."""
    if not isinstance(change, Mapping):
        return change
    whole = {} if change.get("_replace") or not isinstance(base, Mapping) else dict(base)
    for key, value in change.items():
        if value == REMOVE:
            whole.pop(key, None)
        elif key != "_replace":
            whole[key] = changed(whole.get(key), value)
    return whole


def written(build: Any, folder: Path, name: str = "build") -> Path:
    """The build as a profile on the disk."""
    stream = io.StringIO()
    YAML(typ="safe").dump(build, stream)
    path = folder / f"{name}.yaml"
    path.write_text(stream.getvalue(), encoding="utf-8")
    return path


def placed(case: Mapping[str, Any], folder: Path) -> Path:
    """A case's build as a profile on the disk, beside the part files that it uses."""
    for name, part in case.get("parts", {}).items():
        written(part, folder, name)
    return written(changed(base(), case["change"]), folder)


@cache
def base() -> Mapping[str, Any]:
    build: Mapping[str, Any] = loaded("base.yaml")
    return build


def judged(change: Any, folder: Path) -> Judgement:
    return check(written(changed(base(), change), folder), as_of=DAY)


def found(judgement: Judgement) -> set[str]:
    return {finding.rule.id for finding in judgement.findings}


def wrong(judgement: Judgement) -> list[str]:
    """The dangers and faults, waived or not."""
    return [finding.rule.id for finding in judgement.findings if finding.severity in STOPS]


def test_the_base_is_sound(tmp_path: Path) -> None:
    """Else every case would be refused for the base's sake."""
    judgement = judged({}, tmp_path)
    assert (judgement.verdict, wrong(judgement)) == ("go", [])


def test_a_case_says_why_and_has_a_name_of_its_own() -> None:
    """A number that nobody can argue with is worth nothing in a year."""
    names = [case["id"] for case in CASES]
    assert len(names) == len(set(names))
    for case in CASES:
        assert case["build"] and case["should"] and case["source"], case["id"]
        assert case["expect"] in ("no-go", "not-go", "flagged", "go"), case["id"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["id"]))
def test_a_build_comes_to_what_an_engineer_says(case: Mapping[str, Any], tmp_path: Path) -> None:
    """A GO is a promise that somebody will ride on, and a NO-GO a promise that he had better not."""
    judgement = check(placed(case, tmp_path), as_of=DAY)
    told = (judgement.verdict, wrong(judgement))
    match case["expect"]:
        case "no-go":
            assert judgement.verdict == "no-go", told
        case "not-go":
            assert judgement.verdict in ("no-go", "incomplete"), told
        case "flagged":
            assert found(judgement) - found(judged({}, tmp_path)), told
        case "go":
            assert told == ("go", [])
    assert set(case.get("rules", ())) <= found(judgement)
    assert judgement.stages["stand"] == case.get("stand", judgement.stages["stand"])


@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.stem)
def test_an_unusual_build_that_is_good_work_is_go(path: Path) -> None:
    """Who is refused for good work stops asking."""
    judgement = check(path, as_of=DAY)
    told = judgement.verdict, wrong(judgement)
    assert told == ("go", []), sorted(
        {name for one in judgement.not_checked for name in one.missing}
    )


def test_a_street_vehicle_of_which_ten_things_are_known_is_no_go_or_incomplete(
    tmp_path: Path,
) -> None:
    """What is not told is no reason to ride; a report asks for it instead."""
    path = tmp_path / "ten.yaml"
    path.write_text(
        """\
gonogo: profile/1
vehicle: {name: Ten, use: street, wheels: 2}
pack: {series: 14, parallel: 5, cell: {chemistry: nmc}}
controller: {max_V: 75, battery_current_A: 60}
motor: {pole_pairs: 5}
settings: {pole_pairs: 5, battery_current_A: 40}
""",
        "utf-8",
    )
    judgement = check(path, as_of=DAY)
    assert judgement.stages == {"stand": "incomplete", "ride": "incomplete"}
    assert short_of(judgement.not_checked, "stand")
