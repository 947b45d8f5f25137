"""Input by chance breaks no promise, and a promise that is broken is noticed."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from random import Random

import pytest
from gonogo.commands import check as check_command
from gonogo.documents.text import clean

from . import promises
from .campaign import KINDS, Tally, campaign, trial
from .git_states import environment
from .inputs import DAY, Case, as_yaml, whole_profiles
from .promises import UNSEEN, Answer, breaches

CASES = 4  # of each kind
TEXT = ("check", ".", "--as-of", DAY, "--full")
JSON = ("check", ".", "--format", "json", "--as-of", DAY)


@pytest.fixture(autouse=True)
def plain_git(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No settings of whoever runs this."""
    for name, value in environment().items():
        monkeypatch.setenv(name, value)
    yield


@pytest.mark.parametrize("kind", KINDS)
def test_no_promise_is_broken(kind: str) -> None:
    """A few of each kind; `python -m tests.fuzz` tries as many as one has time for."""
    tally = campaign([kind], 5, lambda so_far: so_far.cases[kind] >= CASES)
    assert tally.cases == {kind: CASES}
    assert sum(tally.calls.values()) >= 3 * CASES
    assert tally.broken == {}


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_seed_makes_the_same_case(kind: str) -> None:
    """What broke in the night can be looked at in the morning."""
    assert KINDS[kind](Random("7/x/1")) == KINDS[kind](Random("7/x/1"))
    assert KINDS[kind](Random("7/x/1")) != KINDS[kind](Random("7/x/2"))


def record(verdict: str, unread: bool = False, profiles: int = 1) -> str:
    """As much of a report as the promises look at."""
    errors = [{"file": "a.yaml"}] if unread else []
    return json.dumps(
        {"profiles": [{"verdict": verdict, "file": "v.yaml"}] * profiles, "errors": errors}
    )


BROKEN: Mapping[str, tuple[Answer, ...]] = {
    "status 70": (Answer(TEXT, 70, "", "gonogo has a defect"),),
    "a traceback or an owned defect": (Answer(TEXT, 3, "", "Traceback (most recent call last)"),),
    "no answer at all": (Answer(TEXT, 0, "", ""),),
    "an unseen character stands raw": (Answer(TEXT, 2, "", "no \u202eprofile"),),
    "JSON is not valid": (
        Answer(("window", "v.yaml", "--format", "json"), 0, '{"low": Infinity}', ""),
    ),
    "JSON does not fit the schema report": (Answer(JSON, 1, record("no-go"), ""),),
    "the status is not that of the report": (Answer(JSON, 0, record("go", unread=True), ""),),
    "GO beside a NOT READ": (Answer(TEXT, 0, " ▐ NOT READ   v.yaml\n", ""),),
    "text and JSON end otherwise": (
        Answer(TEXT, 1, " ▐ NO-GO · 3 of 4 rules\n", ""),
        Answer(JSON, 0, record("go"), ""),
    ),
    "text and JSON give other verdicts": (
        Answer(TEXT, 0, " ▐ GO · 3 of 4 rules\n", ""),
        Answer(JSON, 0, record("go", profiles=2), ""),
    ),
}


@pytest.mark.parametrize("sign", BROKEN)
def test_a_broken_promise_is_noticed(sign: str) -> None:
    """A check that cannot fail would let an hour pass for nothing."""
    assert sign in {breach.sign for breach in breaches(BROKEN[sign])}


def sound_case() -> Case:
    """A profile that the project itself holds to be good."""
    data = as_yaml(whole_profiles()[0], Random(1)).encode()
    return Case("profiles", {"v.yaml": data}, [TEXT, JSON])


def test_what_is_sound_breaks_nothing() -> None:
    """Else every finding would be noise."""
    tally = Tally()
    assert trial(sound_case(), tally) == []
    assert {status for _, status in tally.calls} <= {0, 1, 4}


def test_an_exception_that_nobody_answers_for_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is named by the function that it came from."""

    def broken(*_: object, **__: object) -> int:
        raise RuntimeError

    monkeypatch.setattr(check_command, "run", broken)
    signs = {breach.sign for breach in trial(sound_case())}
    assert len(signs) == 1 and signs.pop().startswith("RuntimeError in ")


def test_a_call_that_never_ends_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is stopped, and the next one tried."""

    def endless(*_: object, **__: object) -> int:
        while True:
            pass

    watches = tuple((watch, alarm, 0.2) for watch, alarm, _ in promises.WATCHES)
    monkeypatch.setattr(promises, "WATCHES", watches)
    monkeypatch.setattr(check_command, "run", endless)
    assert {breach.sign for breach in trial(sound_case())} == {promises.ENDLESS}


def test_a_changed_file_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A call that only reads leaves every byte where it was."""

    def meddling(*_: object, **__: object) -> int:
        Path("v.yaml").write_text("gone")
        return 0

    monkeypatch.setattr(check_command, "run", meddling)
    assert "a file was changed" in {breach.sign for breach in trial(sound_case())}


def test_a_profile_that_nobody_speaks_of_is_noticed() -> None:
    """A report of nothing is no report of a profile."""
    told = Answer(JSON, 2, json.dumps({"profiles": [], "errors": [], "others": []}), "")
    signs = {breach.sign for breach in promises.not_counted(told, ["w/v.yaml"], ["w/a.yml"])}
    assert signs == {"a profile is neither judged nor NOT READ", "a YAML file is named nowhere"}


def test_what_breaks_something_is_kept_and_made_smaller(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A finding of forty lines of which one matters is read sooner with one."""
    report = check_command.run

    def picky(*words: object, **more: object) -> int:
        if b"pole_pairs" in Path("vehicles/v.yaml").read_bytes():
            raise RuntimeError
        return int(report(*words, **more))

    monkeypatch.setattr(check_command, "run", picky)
    monkeypatch.setitem(KINDS, "profiles", placed)
    said: list[str] = []
    campaign(["profiles"], 1, lambda tally: tally.cases.total() >= 2, tmp_path, said.append)
    kept = list(tmp_path.rglob("v.yaml"))
    assert len(kept) == 1 and len(said) == 1
    lines = kept[0].read_text().splitlines()
    assert len(lines) <= 3 and any("pole_pairs" in line for line in lines)


def placed(chance: Random) -> Case:
    """A sound profile in a folder."""
    data = as_yaml(whole_profiles()[0], Random(1)).encode()
    return Case("profiles", {"vehicles/v.yaml": data}, [TEXT, JSON])


def test_what_counts_as_unseen_is_what_the_reports_clean() -> None:
    """The end of a line apart, no sign is unseen here and left by them."""
    every = (chr(code) for code in range(0x10FFFF))
    left = [sign for sign in every if re.search(UNSEEN, sign) and clean(sign) == sign]
    assert left == []
