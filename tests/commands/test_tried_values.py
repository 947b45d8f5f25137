"""`--set`: what check and diff say of a value that no file holds, and that they say so."""

from __future__ import annotations

import io
import json
import shutil
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import gonogo
import pytest
from gonogo.commands import check, diff
from gonogo.commands.formats import FORMATS
from gonogo.commands.main import status
from gonogo.commands.output import GO, NO_GO, USAGE
from gonogo.documents.error import DocumentErrors, UsageError
from gonogo.documents.schema import schema_text
from gonogo.judgement.finding import Judgement
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from ruamel.yaml import YAML

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
BRACKEN = WORKSHOP / "vehicles" / "bracken.yaml"
TRY = "settings.battery_current_A=190"
SAID = "with settings.battery_current_A: 190 tried; the file says 100"
DAY = "2026-11-25"
Git = Any


def checked(*paths: Path, form: str = "text", tried: tuple[str, ...] = (), **more: Any) -> str:
    """What a check prints."""
    out = io.StringIO()
    check.run(list(paths), form, as_of=DAY, out=out, tried=tried, **more)
    return out.getvalue()


@pytest.mark.parametrize("form", [*FORMATS])
def test_every_report_says_that_a_value_was_tried(form: str) -> None:
    """Nobody takes it for the file's verdict; without a trial no word of it is there."""
    text = checked(BRACKEN, form=form, tried=(TRY,))
    plain = text.replace("\\", "").replace("<wbr>", "")
    if form in ("json", "sarif"):
        assert '"tried_values"' in text and '"said": "100"' in text
    else:
        assert SAID in plain
    untouched = checked(BRACKEN, form=form)
    assert "tried_values" not in untouched and "tried; the file says" not in untouched


def test_the_headline_is_marked_and_the_short_list_too() -> None:
    """Also of a vehicle that is GO in a row of a table."""
    text = checked(BRACKEN, tried=(TRY,))
    assert text.splitlines()[0].startswith(" ▐ NO-GO (as tried)")
    assert text.splitlines()[1].strip() == SAID
    short = checked(WORKSHOP, tried=("settings.battery_current_A=30",), quiet=True)
    assert short.count("(as tried") >= 17
    assert "with settings.battery_current_A: 30 tried, not as the files are" in short
    fleet = checked(WORKSHOP, tried=("settings.battery_current_A=30",))
    assert (
        "with settings.battery_current_A: 30 tried, not as the files are" in fleet.splitlines()[2]
    )
    whole = checked(WORKSHOP, tried=("settings.battery_current_A=30",), full=True)
    assert whole.count("(as tried)") >= 17


def test_the_record_fits_its_schema() -> None:
    """The one of a check and that of a comparison."""
    record = json.loads(checked(BRACKEN, form="json", tried=(TRY, "motor.max_rpm=9000")))
    report = json.loads(schema_text("report"))
    assert list(Draft202012Validator(report).iter_errors(record)) == []
    file = "examples/workshop/vehicles/bracken.yaml"
    (profile,) = record["profiles"]
    assert profile["tried_values"][0] == {
        "key": "settings.battery_current_A",
        "value": "190",
        "said": "100",
        "file": file,
        "in_part": False,
    }
    assert profile["tried_values"][1]["in_part"] and profile["tried_values"][1]["said"] == "7000"
    out = io.StringIO()
    diff.run([str(BRACKEN)], form="json", as_of=DAY, out=out, tried=[TRY])
    compared = json.loads(out.getvalue())
    known = Registry().with_resource("urn:gonogo:report", Resource.from_contents(report))
    schema = json.loads(schema_text("comparison"))
    assert list(Draft202012Validator(schema, registry=known).iter_errors(compared)) == []
    assert (
        "tried_values" not in compared["old"]
        and compared["new"]["tried_values"][0]["value"] == "190"
    )
    assert (compared["verdict"]["old"], compared["verdict"]["new"]) == ("go", "no-go")


def test_test_results_say_it_where_all_passed() -> None:
    """A passed case has no words; the suite has."""
    text = checked(BRACKEN, form="junit", tried=("settings.battery_current_A=90",))
    (tried,) = ElementTree.fromstring(text).iterfind(".//property[@name='tried_values']")
    assert tried.get("value") == SAID.replace("190", "90")


def test_a_file_is_compared_with_itself_as_it_would_be(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a commit, and without a change on the disk."""
    before = BRACKEN.read_bytes()
    assert status(["diff", str(BRACKEN), "--set", TRY, "--as-of", DAY]) == NO_GO
    text = capsys.readouterr().out
    assert "GO → NO-GO (as tried)" in text and SAID in text
    assert "100 → 190 A" in text
    assert status(["diff", str(BRACKEN), "--set", "settings.battery_current_A=95"]) == GO
    assert BRACKEN.read_bytes() == before


def test_of_two_sides_the_new_one_is_tried(capsys: pytest.CaptureFixture[str]) -> None:
    """What would the new tune be with a lower limit?"""
    story = WORKSHOP.parent / "revisions" / "hotter-tune"
    sides = [str(story / "before.yaml"), str(story / "after.yaml")]
    assert status(["diff", *sides, "--set", "settings.max_rpm=5000", "--as-of", DAY]) == NO_GO
    assert "max_rpm: 5000 tried; the file says 6400" in capsys.readouterr().out
    assert status(["diff", "--against", "HEAD", "--set", TRY]) == USAGE
    assert status(["diff", "HEAD..HEAD", "--set", TRY]) == USAGE


@pytest.mark.parametrize(
    "text", ["settings.batery_current_A=9", "settings.battery_current_A=-9", "x", "a.b=1_0"]
)
def test_a_slip_is_wrong_usage(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With what was typed, whoever judges, in one process or several."""
    assert status(["check", str(BRACKEN), "--set", text]) == USAGE
    said = capsys.readouterr().err
    assert f"--set {text}" in said and "Traceback" not in said


def test_a_commit_and_what_is_staged_can_be_tried_too(git: Git) -> None:
    """The file says then what it said there."""
    git.write("larch.yaml", BRACKEN.read_text("utf-8").replace("part: ../", "part: "))
    shutil.copytree(WORKSHOP / "parts", git.folder / "parts")
    git.commit("First")
    git.write("larch.yaml", "gonogo: profile/1\nvehicle: {name: X}\n")
    out = io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(git.folder)
        check.run([Path()], as_of=DAY, out=out, at="HEAD", tried=[TRY])
    assert "tried; the file says 100" in out.getvalue()


def test_a_trial_is_never_taken_for_the_file_nor_the_file_for_a_trial(tmp_path: Path) -> None:
    """Whatever is kept of a check between two calls: each is asked before and after the other."""
    shutil.copytree(WORKSHOP, tmp_path / "shop")
    path = tmp_path / "shop" / "vehicles" / "bracken.yaml"
    asked: tuple[tuple[str, ...], ...] = (
        (),
        (TRY,),
        (),
        ("settings.battery_current_A=95",),
        (TRY,),
    )
    first = {tried: checked(path, form="json", tried=tried) for tried in asked[1:4]}
    assert len(set(first.values())) == 3
    for tried in (*asked, *reversed(asked)):
        assert checked(path, form="json", tried=tried) == first[tried]
    verdict = json.loads(first[()])["verdict"], json.loads(first[TRY,])["verdict"]
    assert verdict == ("go", "no-go")


def test_several_processes_say_the_same() -> None:
    """What is tried goes to each of them."""
    paths = [WORKSHOP / "vehicles"]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(check, "PROFILES_A_PROCESS", 5)
        several = checked(*paths, form="json", tried=(TRY,), jobs=2)
    assert several == checked(*paths, form="json", tried=(TRY,))


def test_from_python_values_are_plain_data() -> None:
    """A script's author has numbers."""
    judgement = gonogo.check(BRACKEN, as_of=DAY, set={"settings.battery_current_A": 190})
    assert judgement.verdict == "no-go"
    (tried,) = judgement.profile.tried
    assert (tried.key, tried.value, tried.said) == ("settings.battery_current_A", "190", "100")
    with pytest.raises(UsageError):
        gonogo.check(BRACKEN, set={"settings.nothing": 1})


VEHICLES = sorted(path.stem for path in (WORKSHOP / "vehicles").glob("*.yaml"))


@cache
def numbers(vehicle: str) -> tuple[tuple[str, float], ...]:
    """The numbers among the settings of a vehicle, those of its modes too."""
    document = YAML(typ="safe").load(WORKSHOP / "vehicles" / f"{vehicle}.yaml")
    found: list[tuple[str, float]] = []
    waiting = [(key, document[key]) for key in ("settings", "modes") if key in document]
    while waiting:
        way, value = waiting.pop()
        if isinstance(value, dict):
            waiting += [(f"{way}.{key}", below) for key, below in value.items()]
        elif isinstance(value, int | float) and not isinstance(value, bool):
            found.append((way, value))
    return tuple(sorted(found))


@st.composite
def edits(draw: st.DrawFn) -> tuple[str, str, float | str]:
    """A vehicle, one of its settings, and another value for it."""
    vehicle = draw(st.sampled_from(VEHICLES))
    key, value = draw(st.sampled_from(numbers(vehicle)))
    factor = draw(st.sampled_from((0, 0.5, 0.9, 1, 1.1, 1.5, 3)))
    other = value * factor
    kept = int(other) if isinstance(value, int) else round(other, 3)
    return vehicle, key, draw(st.sampled_from((kept, kept, kept, "none")))


def statement(judgement: Judgement) -> list[object]:
    """All that a judgement says, apart from the lines on which it stands."""
    return [
        judgement.stages,
        judgement.checked,
        judgement.out_of_scope,
        [(one.rule.id, one.modes, one.missing) for one in judgement.not_checked],
        [
            (
                *(one.rule.id, one.severity, one.modes, one.motors, one.message, one.remedy),
                *(one.value, one.low, one.high, one.margin, one.waived is not None),
                *(one.also, one.working),
            )
            for one in judgement.findings
        ],
    ]


@pytest.fixture(scope="module")
def edited_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the workshop in which files are edited."""
    folder = tmp_path_factory.mktemp("edited") / "shop"
    shutil.copytree(WORKSHOP, folder)
    return folder


@hypothesis_settings(max_examples=40)
@given(edit=edits())
def test_a_trial_says_what_an_edit_would(edited_shop: Path, edit: tuple[str, str, Any]) -> None:
    """The file is really edited, by a library that knows nothing of ours, and checked as it is."""
    vehicle, key, value = edit
    path = edited_shop / "vehicles" / f"{vehicle}.yaml"
    original = path.read_bytes()
    yaml = YAML()
    yaml.width = 1000
    document = yaml.load(original)
    *way, last = key.split(".")
    section = document
    for step in way:
        section = section[step]
    section[last] = value
    try:
        with path.open("wb") as file:
            yaml.dump(document, file)
        try:
            wanted = statement(gonogo.check(path, as_of=DAY))
        except DocumentErrors:
            wanted = []
    finally:
        path.write_bytes(original)
    if not wanted:
        with pytest.raises(UsageError):
            gonogo.check(path, as_of=DAY, set={key: value})
        return
    judgement = gonogo.check(path, as_of=DAY, set={key: value})
    assert statement(judgement) == wanted
    assert [one.key for one in judgement.profile.tried] == [key]
