"""The package as a script uses it: load, check, and what they raise."""

from __future__ import annotations

import dataclasses
import pickle
from datetime import date
from pathlib import Path

import gonogo
import pytest
from gonogo.documents.error import DocumentErrors, UnreadableFile, UsageError

WORKSHOP = Path(__file__).parents[1] / "examples" / "workshop"
BRACKEN = WORKSHOP / "vehicles" / "bracken.yaml"
PROFILE = "gonogo: profile/1\nvehicle: {name: Larch}\n"


def test_a_profile_is_loaded_with_its_parts_and_its_house() -> None:
    """Values from the cell's part and the shop's house file are there, each with its file."""
    profile = gonogo.load(BRACKEN)
    assert profile.name == "Bracken"
    assert profile.givens["pack.series"].place.file == "vehicles/bracken.yaml"
    assert profile.givens["pack.cell.full_V"].place.file == "parts/cells/nmc-round-5.yaml"
    assert profile.house.allowances["house.drop_percent"].value == 2


def test_a_path_may_be_text() -> None:
    """As a script has it."""
    assert gonogo.load(str(BRACKEN)).givens == gonogo.load(BRACKEN).givens


def test_a_check_gives_a_verdict_on_a_day() -> None:
    """With the shop's own rules among those judged."""
    judgement = gonogo.check(BRACKEN, as_of="2026-11-25")
    assert (judgement.verdict, judgement.judged_on) == ("go", "2026-11-25")


def test_a_check_is_by_today_unless_told_otherwise() -> None:
    """The day is part of every verdict."""
    before = date.today().isoformat()
    judged_on = gonogo.check(BRACKEN).judged_on
    assert before <= judged_on <= date.today().isoformat()


def test_readings_grow_old_with_the_day() -> None:
    """A year and a half later the same profile is asked for fresh readings."""
    later = gonogo.check(BRACKEN, as_of="2028-03-01")
    assert "readings-old" in {finding.rule.id for finding in later.findings}


@pytest.mark.parametrize("name", ["mallow", "fescue"])
def test_strict_makes_a_caution_stop(name: str) -> None:
    """For whoever hands a vehicle over."""
    path = WORKSHOP / "vehicles" / f"{name}.yaml"
    assert gonogo.check(path, as_of="2026-11-25").verdict in ("go", "incomplete")
    assert gonogo.check(path, as_of="2026-11-25", strict=True).verdict == "no-go"


@pytest.mark.parametrize("as_of", ["tomorrow", "2026-13-01", "2026-02-30", "25.11.2026"])
def test_a_day_that_is_none_is_refused(as_of: str) -> None:
    """A waiver judged by a mistyped day would hold for ever."""
    with pytest.raises(UsageError, match="2026-11-25"):
        gonogo.check(BRACKEN, as_of=as_of)


def test_what_is_not_there_is_told(tmp_path: Path) -> None:
    """A mistyped path is our error, not a traceback."""
    with pytest.raises(DocumentErrors) as caught:
        gonogo.check(tmp_path / "nowhere.yaml")
    assert isinstance(caught.value.errors[0], UnreadableFile)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param("larch.yaml", f"{PROFILE}settings: {{battery_current_A: 1e}}\n", id="profile"),
        pytest.param("house.yaml", "gonogo: house/1\nallowances: {drop: 3}\n", id="house file"),
        pytest.param("ours/our-rule.yaml", "id: our-rule\nseverity: mild\n", id="own rule"),
    ],
)
def test_what_cannot_be_read_is_raised_with_its_place(name: str, text: str, tmp_path: Path) -> None:
    """No verdict is given on half of what was to be judged."""
    (tmp_path / "ours").mkdir()
    (tmp_path / "larch.yaml").write_text(PROFILE, encoding="utf-8")
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nrules: ours\n", encoding="utf-8")
    (tmp_path / "ours" / "our-rule.yaml").write_text(OWN, encoding="utf-8")
    assert gonogo.check(tmp_path / "larch.yaml").checked
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(DocumentErrors) as caught:
        gonogo.check(tmp_path / "larch.yaml")
    assert {error.file for error in caught.value.errors} == {name}


OWN = """\
id: our-rule
severity: advice
at: settings.battery_current_A
flag_when: settings.battery_current_A > 500
says: It is {of}.
because: It is too much for us.
remedy: Set less.
source: Ours.
examples:
  - {given: {settings.battery_current_A: 500}, outcome: clear}
  - {given: {settings.battery_current_A: 501}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""


def test_what_is_returned_cannot_be_changed() -> None:
    """Results are values; a report cannot alter a verdict on its way."""
    judgement = gonogo.check(WORKSHOP / "vehicles" / "vetch.yaml", as_of="2026-11-25")
    for value in (judgement, judgement.findings[0], judgement.profile, judgement.findings[0].rule):
        name = dataclasses.fields(value)[0].name
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(value, name, None)


def test_what_cannot_be_read_travels_between_processes(tmp_path: Path) -> None:
    """Several are checked at a time, and an error must come back whole."""
    with pytest.raises(DocumentErrors) as caught:
        gonogo.load(tmp_path / "nowhere.yaml")
    back = pickle.loads(pickle.dumps(caught.value))
    assert [str(error) for error in back.errors] == [str(error) for error in caught.value.errors]


def test_what_is_returned_travels_between_processes() -> None:
    """Whoever judges a fleet does it in several processes."""
    judgement = gonogo.check(WORKSHOP / "vehicles" / "vetch.yaml", as_of="2026-11-25")
    back = pickle.loads(pickle.dumps(judgement))
    assert back.findings == judgement.findings != ()
    assert (back.verdict, back.not_checked) == (judgement.verdict, judgement.not_checked)
    assert back.profile.givens == judgement.profile.givens
    windows = gonogo.windows(BRACKEN, as_of="2026-11-25")
    assert pickle.loads(pickle.dumps(windows)) == windows
    story = WORKSHOP.parent / "revisions" / "hotter-tune"
    found = gonogo.compare(story / "before.yaml", story / "after.yaml", as_of="2026-11-25")
    there = pickle.loads(pickle.dumps(found))
    assert (there.changes, there.finding_changes, there.margins, there.follow_ups) == (
        found.changes,
        found.finding_changes,
        found.margins,
        found.follow_ups,
    )


@pytest.mark.parametrize("name", [name for name in gonogo.__all__ if not name.startswith("_")])
def test_what_a_function_takes_and_gives_is_said(name: str) -> None:
    """`help()` is all that a script's author has at hand."""
    told = getattr(gonogo, name).__doc__
    assert "Arguments" in told and "Returns" in told and ("Raises" in told or "errors" in told)


def test_the_public_names_are_there() -> None:
    """What the package promises can be imported from it."""
    assert {"load", "check"} <= set(gonogo.__all__)
    assert all(hasattr(gonogo, name) for name in gonogo.__all__)
    assert gonogo.__version__.count(".") == 2


def test_windows_of_a_file_hold_its_settings() -> None:
    """From Python too one may ask what may be entered."""
    found = {
        window.quantity: window
        for window in gonogo.windows(BRACKEN, as_of="2026-11-25")
        if not window.mode
    }
    window = found["settings.battery_current_A"]
    assert window.today == 100
    assert window.hard is not None
    assert window.hard.high.limit == 115  # what the profile's protection board gives
    assert window.hard.high.rule == "battery-current-above-bms"


def test_two_files_are_compared() -> None:
    """The new side of the hotter tune brings in dangers that the old one did not have."""
    story = WORKSHOP.parent / "revisions" / "hotter-tune"
    found = gonogo.compare(story / "before.yaml", story / "after.yaml", as_of="2026-11-25")
    assert found.old is not None
    assert found.new is not None
    assert (found.old.verdict, found.new.verdict) == ("go", "no-go")
    assert found.harms
