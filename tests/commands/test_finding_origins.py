"""`gonogo history --finding`: the commit and the author that brought a finding to a vehicle."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from typing import Any

import pytest
from gonogo.commands import origin_search
from gonogo.commands.history import run_origins
from gonogo.commands.main import status
from gonogo.documents.error import NoProfile, UsageError
from gonogo.documents.schema import schema_text
from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource

from .test_history_stories import BIKE, CALM, HOUSE, UNDER_83, WAIVED, with_house_rule

pytestmark = pytest.mark.usefixtures("frozen")
Git = Any
TODAY = "2026-11-25"
RULE = "battery-current-above-cells"
SAFE = CALM.replace("mass_kg: 90", "mass_kg: 82")


@pytest.fixture
def on(git: Git, monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Commit all that lies there on a day, by a person."""

    def commit(day: str, subject: str, author: str = "Builder") -> None:
        monkeypatch.setenv("GIT_AUTHOR_DATE", f"{day}T12:00:00Z")
        monkeypatch.setenv("GIT_COMMITTER_DATE", f"{day}T12:00:00Z")
        monkeypatch.setenv("GIT_AUTHOR_NAME", author)
        git("add", "--all")
        git("commit", "--quiet", "--allow-empty", "-m", subject)

    return commit


def asked(git: Git, rule: str = RULE, path: str = ".", expected: int = 0) -> dict[str, Any]:
    """The record, held to its schema."""
    out = io.StringIO()
    assert run_origins([git.folder / path], rule, "json", out=out, as_of=TODAY) == expected
    record: dict[str, Any] = json.loads(out.getvalue())
    resources = [
        (f"urn:gonogo:{name}", Resource.from_contents(json.loads(schema_text(name))))
        for name in ("report", "comparison")
    ]
    validator = Draft202012Validator(
        json.loads(schema_text("comparison")),
        registry=Registry().with_resources(resources),
        format_checker=FormatChecker(),
    )
    assert [each.message for each in validator.iter_errors(record)] == []
    return record


def one(git: Git, rule: str = RULE, path: str = BIKE) -> dict[str, Any]:
    """The only vehicle's."""
    (vehicle,) = asked(git, rule, path)["vehicles"]
    assert isinstance(vehicle, dict)
    return vehicle


def current(amperes: int) -> str:
    """The calm tune with another battery current; above 90 A the cells are asked for too much."""
    return CALM.replace("battery_current_A: 75", f"battery_current_A: {amperes}")


def test_the_commit_and_its_author_are_named(git: Git, on: Any) -> None:
    """Not the one before, nor the one that only made it worse."""
    for day, amperes, author in ((10, 75, "Alder"), (11, 95, "Birch"), (12, 97, "Rowan")):
        git.write(BIKE, current(amperes))
        on(f"2026-01-{day}", f"{amperes} A", author)
    git.write("README", "x")
    on("2026-01-13", "Elsewhere")
    found = one(git)
    assert (found["subject"], found["author"], found["day"]) == ("95 A", "Birch", "2026-01-11")
    assert found["severity"] == "danger" and "97 A" in found["message"]


def test_a_finding_that_came_twice_is_laid_to_the_later_commit(git: Git, on: Any) -> None:
    """The first one was mended."""
    for day, amperes in ((10, 75), (11, 95), (12, 75), (13, 96)):
        git.write(BIKE, current(amperes))
        on(f"2026-01-{day}", f"{amperes} A on day {day}")
    assert one(git)["subject"] == "96 A on day 13"


def test_a_fleet_is_told_by_cause(git: Git, on: Any) -> None:
    """A house rule brought it to two at once; a third has it of its own; a fourth has it not."""
    git.write("house.yaml", HOUSE)
    for name in ("a", "b"):
        git.write(f"vehicles/{name}.yaml", CALM.replace("Foxglove", name.upper()))
    git.write("vehicles/c.yaml", SAFE.replace("Foxglove", "C"))
    git.write("vehicles/d.yaml", SAFE.replace("Foxglove", "D"))
    on("2026-01-10", "Four")
    with_house_rule(git)
    on("2026-01-11", "Our lift", "Alder")
    git.write("vehicles/c.yaml", CALM.replace("Foxglove", "C"))
    on("2026-01-12", "A rack", "Birch")
    told = {each["name"]: each for each in asked(git, "mass-under-83", "vehicles")["vehicles"]}
    assert {name: each["subject"] for name, each in told.items()} == {
        "A": "Our lift",
        "B": "Our lift",
        "C": "A rack",
        "D": None,
    }
    out = io.StringIO()
    run_origins([git.folder], "mass-under-83", out=out, as_of=TODAY)
    said = " ".join(out.getvalue().split())
    assert said.count("Our lift") == 1 and "on 3 of 4 vehicles" in said and "by Alder" in said


def with_a_tune_on_a_branch(git: Git, on: Any, first_A: int, then_A: int) -> None:
    """A branch of two currents, by Alder and a week later by Birch, merged into main."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("checkout", "--quiet", "-b", "tune")
    for day, current_A, author in (("11", first_A, "Alder"), ("18", then_A, "Birch")):
        git.write(BIKE, current(current_A))
        on(f"2026-01-{day}", f"{current_A} A", author)
    git("checkout", "--quiet", "main")
    git.write("README", "x")
    on("2026-01-19", "Elsewhere")
    git("merge", "--quiet", "--no-ff", "-m", "The tune", "tune")


def test_a_merge_is_opened_to_the_commit_on_the_branch(git: Git, on: Any) -> None:
    """Who merged did not make it."""
    with_a_tune_on_a_branch(git, on, 80, 95)
    found = one(git)
    assert (found["cause"], found["author"], found["subject"]) == ("commit", "Birch", "95 A")


def test_what_is_not_committed_and_what_time_did_are_nobodys_commit(git: Git, on: Any) -> None:
    """A waiver's own rule begins to speak on a day; a tune on the bench has no author yet."""
    with_house_rule(git)
    git.write(BIKE, WAIVED)
    on("2026-06-01", "Accepted")
    ended = one(git, "waiver-expired")
    assert (ended["cause"], ended["commit"], ended["day"]) == ("day", None, "2026-07-01")
    git.write(BIKE, current(95))
    assert one(git)["cause"] == "disk" and one(git)["author"] is None


def test_a_finding_from_the_first_day_is_told_as_such(git: Git, on: Any) -> None:
    """It came with the vehicle."""
    git.write("README", "x")
    on("2026-01-09", "Nothing yet")
    git.write(BIKE, current(95))
    on("2026-01-10", "As it left")
    git.write(BIKE, current(96))
    on("2026-01-11", "More")
    found = one(git)
    assert found["from_first_version"] and found["subject"] == "As it left"


def test_a_finding_that_was_resolved_is_told_with_both_commits(git: Git, on: Any) -> None:
    """Not found would say that it never was; one that never was is listed by name."""
    git.write(BIKE, CALM)
    git.write("vehicles/a.yaml", CALM.replace("Foxglove", "A"))
    git.write("vehicles/b.yaml", CALM.replace("Foxglove", "B"))
    on("2026-01-10", "As they left")
    git.write(BIKE, current(95))
    on("2026-01-11", "95 A", "Alder")
    git.write("README", "x")
    on("2026-01-12", "Elsewhere")
    git.write(BIKE, CALM)
    on("2026-01-13", "Back", "Birch")
    found = one(git)
    assert (found["found"], found["subject"], found["author"]) == (False, "95 A", "Alder")
    assert found["severity"] == "danger" and "95 A" in found["message"]
    ended = found["resolved"]
    assert (ended["cause"], ended["subject"], ended["author"]) == ("commit", "Back", "Birch")
    out = io.StringIO()
    run_origins([git.folder], RULE, out=out, as_of=TODAY)
    said = " ".join(out.getvalue().split())
    assert (
        "on 0 of 3 vehicles today · resolved on 1" in said and "not found 2 vehicles A, B" in said
    )
    assert "resolved 2026-01-13," in said and "by Birch: Back" in said
    git.write(BIKE, current(96))
    on("2026-01-14", "96 A")
    git.write(BIKE, CALM)
    found = one(git)
    assert (found["subject"], found["resolved"]["cause"]) == ("96 A", "disk")
    assert one(git, path="vehicles/a.yaml")["resolved"] is None


def test_a_finding_that_time_resolved_is_nobodys_commit(git: Git, on: Any) -> None:
    """A rule of the shop that wants readings to have settled has nothing to say some days later."""
    settled = UNDER_83.replace("mass-under-83", "readings-settled").replace(
        "of: vehicle.mass_kg\nat_most: 83", "of: readings.age_days\nat_least: 10"
    )
    examples = settled.index("examples:")
    git.write("house.yaml", HOUSE + "rules: rules\n")
    git.write("rules/readings-settled.yaml", settled[:examples] + SETTLED)
    git.write(BIKE, CALM)
    on("2026-06-22", "Read two days ago")  # on 2026-06-20: ten days old on 2026-06-30
    found = one(git, "readings-settled")
    assert (found["found"], found["subject"]) == (False, "Read two days ago")
    assert (found["resolved"]["cause"], found["resolved"]["day"]) == ("day", "2026-06-30")


SETTLED = """\
examples:
  - {given: {readings.age_days: 10}, outcome: clear}
  - {given: {readings.age_days: 9}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""


def test_a_long_history_is_halved(git: Git, on: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each commit changes the vehicle, few are read, and the same commit is named."""
    monkeypatch.setattr(origin_search, "MOST_READ", 16)
    monkeypatch.setattr(origin_search, "PROBED", 3)
    for number in range(60):
        mass = f"mass_kg: {90 + number / 10}"
        amperes = 75 if number < 21 else 95
        git.write(BIKE, current(amperes).replace("mass_kg: 90", mass))
        on("2026-01-10", f"Number {number}")
    found = one(git)
    assert found["subject"] == "Number 21" and found["halved"]
    assert found["read"] < 30 and found["commits"] == 60


def test_a_long_history_names_the_last_of_several_commits(
    git: Git, on: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It came, was mended, and came again, all of it before the versions that are read one by one."""
    monkeypatch.setattr(origin_search, "MOST_READ", 4)
    for number in range(30):
        amperes = 75 if number < 3 or 12 <= number < 16 else 95
        git.write(BIKE, current(amperes).replace("mass_kg: 90", f"mass_kg: {90 + number / 10}"))
        on("2026-01-10", f"Number {number}")
    found = one(git)
    assert found["subject"] == "Number 16" and found["halved"] and found["read"] < 30


def test_a_finding_that_came_and_went_on_a_branch_is_told(git: Git, on: Any) -> None:
    """The main line never had it; the vehicle was ridden by that branch for a week."""
    with_a_tune_on_a_branch(git, on, 95, 80)
    found = one(git)
    assert (found["found"], found["subject"], found["author"]) == (False, "95 A", "Alder")
    assert (found["resolved"]["subject"], found["resolved"]["author"]) == ("80 A", "Birch")


def test_a_finding_that_a_merge_left_on_its_branch_is_told(git: Git, on: Any) -> None:
    """The merge took the main line's value, and so resolved it."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("checkout", "--quiet", "-b", "race")
    git.write(BIKE, current(95))
    on("2026-01-11", "95 A", "Alder")
    git("checkout", "--quiet", "main")
    git.write("README", "x")
    on("2026-01-19", "Elsewhere")
    git("merge", "--quiet", "--no-ff", "--no-edit", "-s", "ours", "race")
    found = one(git)
    assert (found["found"], found["subject"]) == (False, "95 A")
    assert found["resolved"]["cause"] == "merge"


def test_who_mended_it_on_a_branch_is_named_and_not_who_merged(git: Git, on: Any) -> None:
    """As the plain history says it."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git.write(BIKE, current(95))
    on("2026-01-11", "95 A", "Alder")
    git("checkout", "--quiet", "-b", "fix")
    git.write(BIKE, current(80))
    on("2026-01-12", "80 A", "Birch")
    git.write("NOTES", "x")
    on("2026-01-13", "Notes", "Birch")
    git("checkout", "--quiet", "main")
    git.write("README", "x")
    on("2026-01-19", "Elsewhere")
    git("merge", "--quiet", "--no-ff", "--no-edit", "fix")
    found = one(git)
    assert (found["subject"], found["resolved"]["subject"]) == ("95 A", "80 A")
    assert (found["resolved"]["cause"], found["resolved"]["author"]) == ("commit", "Birch")


def test_a_vehicle_that_is_gone_with_its_finding_is_told(git: Git, on: Any) -> None:
    """It may be ridden still; one that only moved is no second vehicle."""
    git.write(BIKE, current(95))
    git.write("vehicles/moved.yaml", CALM.replace("Foxglove", "Alder"))
    git.write("parts/hub.yaml", "gonogo: part/1\n")
    on("2026-01-10", "As they left", "Alder")
    (git.folder / BIKE).unlink()
    (git.folder / "parts/hub.yaml").unlink()
    (git.folder / "vehicles/moved.yaml").rename(git.folder / "vehicles/elsewhere.yaml")
    on("2026-01-11", "Away", "Birch")
    moved, gone = asked(git)["vehicles"]
    assert (moved["name"], moved["found"], moved["resolved"]) == ("Alder", False, None)
    assert (gone["file"], gone["name"], gone["found"]) == (BIKE, "Foxglove", False)
    assert (gone["author"], gone["resolved"]["author"]) == ("Alder", "Birch")
    out = io.StringIO()
    run_origins([git.folder], RULE, out=out, as_of=TODAY)
    text = " ".join(out.getvalue().split())
    assert "on 0 of 1 vehicle today · gone with 1 vehicle" in text and "gone 2026-01-11" in text


def test_a_version_that_cannot_be_read_is_passed_over(git: Git, on: Any) -> None:
    """And it is said that it may have been that one."""
    for day, text in ((10, current(75)), (11, CALM.replace("series: 16", "series: many"))):
        git.write(BIKE, text)
        on(f"2026-01-{day}", f"Day {day}")
    git.write(BIKE, current(95))
    on("2026-01-12", "Mended")
    found = one(git)
    assert found["subject"] == "Mended" and found["unread_before"]


def test_a_broken_profile_is_no_vehicle_without_the_finding(git: Git, on: Any) -> None:
    """Nobody can tell, and the status says so."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git.write(BIKE, CALM.replace("series: 16", "series: many"))
    (found,) = asked(git, RULE, BIKE, expected=3)["vehicles"]
    assert not found["found"] and "many" in found["error"]


def test_what_cannot_be_asked_is_refused(git: Git, on: Any) -> None:
    """A misspelt rule, a folder without vehicles, two questions at once."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    with pytest.raises(UsageError, match=RULE):
        run_origins([git.folder], "battery-current-above-cell", as_of=TODAY)
    (git.folder / "empty").mkdir()
    with pytest.raises(NoProfile):
        run_origins([git.folder / "empty"], RULE, as_of=TODAY)
    path = str(git.folder / BIKE)
    assert status(["history", path, "--finding", RULE, "--setting", "max_rpm"]) == 2
    assert status(["history", path, "--finding", RULE]) == 0


def test_a_waiver_that_ran_out_is_told_with_its_last_day(git: Git, on: Any) -> None:
    """A fault that stood from the first version was accepted until then: nobody rode on it unseen."""
    with_house_rule(git)
    git.write(BIKE, WAIVED)
    on("2026-06-01", "As it left")
    out = io.StringIO()
    run_origins([git.folder / BIKE], "mass-under-83", as_of=TODAY, out=out)
    assert "DANGER, waived until 2026-06-30 and no longer:" in " ".join(out.getvalue().split())
