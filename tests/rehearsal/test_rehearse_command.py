"""`gonogo rehearse`: the page, the record, and the status."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import rehearse, sheet
from gonogo.commands.main import status
from gonogo.commands.output import GO, INCOMPLETE, NO_GO, USAGE
from gonogo.commands.schema import schemas, self_contained
from gonogo.documents.error import UsageError
from jsonschema import Draft202012Validator

VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
SOUND = Path(__file__).parents[1] / "hazards" / "base.yaml"
DAY = "2026-11-25"
NO_REACTION = {"controller.over_voltage_trip_ms"}


def said(path: Path, form: str = "text", **asked: Any) -> tuple[int, str]:
    out = io.StringIO()
    ended = rehearse.run(path, form=form, as_of=DAY, out=out, **asked)
    return ended, out.getvalue()


def written(tmp_path: Path, old: str, new: str) -> Path:
    """The sound build with one text in it changed."""
    text = SOUND.read_text("utf-8")
    assert old in text
    path = tmp_path / "changed.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


@pytest.mark.parametrize("path", sorted(VEHICLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_record_fits_its_schema(path: Path) -> None:
    told = json.loads(said(path, form="json")[1])
    whole = schemas()
    Draft202012Validator(self_contained(whole["rehearsal"], whole)).validate(told)
    for failure in told["failures"]:
        assert (failure["do"] is None) == (failure["covered"] is True)
        assert (failure["caught_by"] is None) == (failure["covered"] is not True)
        assert bool(failure["missing"]) <= (failure["covered"] is None)


def test_what_nothing_catches_comes_first() -> None:
    """Who reads one screen reads what matters."""
    failures = json.loads(said(VEHICLES / "tansy.yaml", form="json")[1])["failures"]
    states = [failure["covered"] for failure in failures if failure["mode"] is None]
    assert states == sorted(states, key=(False, None, True).index)
    assert failures[0]["failure"] == "throttle-ground-open"


@pytest.mark.parametrize("path", sorted(VEHICLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_head_says_no_go_of_the_check_over_what_nothing_catches(path: Path) -> None:
    """Read aloud, GO over a failure that may kill would be heard as the rehearsal's own."""
    told = json.loads(said(path, form="json")[1])
    grave = [one for one in told["failures"] if one["severity"] != "marginal"]
    states = {one["covered"] for one in grave}
    outcome = "uncovered" if False in states else "not known" if None in states else "covered"
    assert told["outcome"] == outcome
    head = said(path)[1].splitlines()[0]
    assert outcome.upper() in head and "GO" not in head.split()


@pytest.mark.parametrize("path", sorted(VEHICLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_status_is_that_of_the_word_in_the_head(path: Path) -> None:
    """No script goes on over a page that is headed NOT KNOWN, as none does over INCOMPLETE."""
    ended, text = said(path)
    states = {GO: "COVERED", INCOMPLETE: "NOT KNOWN", NO_GO: "UNCOVERED"}
    assert f"REHEARSAL · {states[ended]} " in text.splitlines()[0]


def test_a_fault_that_is_only_waived_is_said_beside_go() -> None:
    """As the check has it: GO alone would say that nothing was found."""
    out = io.StringIO()
    sheet.run(VEHICLES / "yarrow.yaml", form="text", as_of=DAY, out=out)
    for text in (said(VEHICLES / "yarrow.yaml")[1], out.getvalue()):
        assert "1 fault waived" in "".join(text.splitlines()[:2])


def test_the_status_is_that_of_the_gravest_class(tmp_path: Path) -> None:
    """A marginal failure that nothing catches stops nobody; one that kills or destroys does."""
    quad = VEHICLES / "bindweed.yaml"
    assert said(VEHICLES / "clover.yaml")[0] == GO
    ended, text = said(quad)
    assert ended == INCOMPLETE and "1 uncovered" in text  # what is not known, not the marginal one
    assert said(VEHICLES / "bryony.yaml")[0] == NO_GO
    assert said(VEHICLES / "knapweed.yaml")[0] == NO_GO  # critical alone
    lost = written(tmp_path, "open_ground_V: 4.96", "open_ground_V: 3.2")
    assert said(lost)[0] == NO_GO
    unread = Path(shutil.copytree(VEHICLES.parent, tmp_path / "shop")) / "vehicles" / quad.name
    lines = unread.read_text("utf-8").splitlines(keepends=True)
    unread.write_text("".join(one for one in lines if "open_ground_V" not in one), "utf-8")
    assert said(unread)[0] == INCOMPLETE


def test_a_missing_entry_is_asked_for(tmp_path: Path) -> None:
    text = said(written(tmp_path, "open_ground_V: 4.96, ", ""))[1]
    assert "Not known what catches" in text and "readings.throttle.open_ground_V" in text


def test_one_mode_is_rehearsed_alone() -> None:
    """With field weakening off in a mode, its loss is no failure of that mode."""
    teasel = VEHICLES / "teasel.yaml"
    whole, junior = (" ".join(said(teasel, mode=one)[1].split()) for one in (None, "junior"))
    assert " wet " in whole and " wet " not in junior
    assert "BMS opens in field weakening" in whole
    assert "BMS opens in field weakening" not in junior
    with pytest.raises(UsageError, match="sleet"):
        rehearse.run(teasel, mode="sleet")


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_every_page_says_the_same(form: str) -> None:
    text = " ".join(said(VEHICLES / "teasel.yaml", form=form)[1].split())
    for words in ("throttle ground wire open", "contactor welded shut", "catastrophic"):
        assert words in text


def test_a_page_is_short_and_says_an_effect_once() -> None:
    """What five failures do stands there once, and each missing entry once, with what it settles."""
    text = said(VEHICLES / "burdock.yaml")[1]
    assert text.count("\n") <= 68
    words = " ".join(text.split())
    assert words.count("drives off by itself") == words.count("10.2 km/h") == 1
    assert words.count("settings.phase_current_burst_s): settles 1 failure") == 1
    told = json.loads(said(VEHICLES / "burdock.yaml", form="json")[1])["failures"]
    base = [one for one in told if one["mode"] is None]
    assert len(base) == 25
    for one in base:
        assert one["title"] in words.lower() or one["title"] in words
    assert "gonogo working vehicles/burdock.yaml failure" in words


def test_what_only_a_mode_uncovers_stands_with_the_gravest() -> None:
    """Critical in Knapweed's climb, before the marginal failure of its base settings."""
    words = " ".join(said(VEHICLES / "knapweed.yaml")[1].split())
    uncovered = words[words.index("Nothing catches") : words.index("Not known what catches")]
    assert "mode climb: 29 failures: 9 uncovered" in words
    assert uncovered.index("Main fuse opens") < uncovered.index("Precharge fails")
    assert uncovered.count("only in mode climb") == 5


def test_what_a_mode_makes_worse_is_told_in_numbers() -> None:
    """662 N of push in the mode with the full box, where the base settings have 580 N."""
    words = " ".join(said(VEHICLES / "burdock.yaml")[1].split())
    assert "in full box worse:" in words and "662 N" in words
    assert "in yard no number is worse" in words


def test_text_of_a_document_is_escaped(tmp_path: Path) -> None:
    path = written(tmp_path, "name: Base", 'name: "<b>Base</b>"')
    assert "<b>Base" not in said(path, form="html")[1]


def test_from_the_command_line() -> None:
    assert status(["rehearse", str(SOUND), "--format", "sarif"]) == USAGE
    assert status(["rehearse", "nothing.yaml"]) == 3


def test_from_python() -> None:
    """As a script has it."""
    failures = gonogo.rehearse(SOUND, as_of=DAY)[""]
    by_name = {failure.failure: failure for failure in failures}
    assert by_name["throttle-ground-open"].caught_by == "settings.throttle.lost_above_V"
    assert set(by_name["bms-opens-in-regen"].missing) == NO_REACTION
