"""`gonogo history`: a profile commit by commit, under every name it had."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.history import followed_of, run
from gonogo.commands.main import status
from gonogo.comparison.history import Followed
from gonogo.documents.error import RevisionError, UsageError
from gonogo.documents.schema import schema_text
from gonogo.reports.columns import wires
from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource
from rich.cells import cell_len

pytestmark = pytest.mark.usefixtures("frozen")
Git = Any
EXAMPLE = Path(__file__).parents[1] / "catalogue" / "stories" / "hotter-tune"
SOUND = Path(__file__).parents[1] / "hazards" / "sound"
CALM = (EXAMPLE / "before.yaml").read_text("utf-8")
HOT = (EXAMPLE / "after.yaml").read_text("utf-8")
BIKE = "vehicles/foxglove.yaml"
PART = "gonogo: part/1\npart: {name: Hub, source: {title: Datasheet}}\nmotor:\n  magnets: 10\n"


def history(git: Git, path: str = BIKE, **more: Any) -> str:
    """What the command prints."""
    out = io.StringIO()
    assert run(git.folder / path, out=out, as_of="2026-11-25", **more) == 0
    return out.getvalue()


def steps(git: Git, path: str = BIKE, **more: Any) -> list[dict[str, Any]]:
    """The commits of the record."""
    found: list[dict[str, Any]] = json.loads(history(git, path, form="json", **more))["steps"]
    return found


def with_current(amperes: int) -> str:
    """The calm tune with another battery current."""
    return CALM.replace("battery_current_A: 75", f"battery_current_A: {amperes}")


@pytest.fixture
def story(git: Git) -> Git:
    """Left calm, renamed while tuned, made hot, broken by a slip, put back."""
    git.write("house.yaml", "gonogo: house/1\n")
    git.write("vehicles/old.yaml", CALM)
    git.commit("As it left")
    git("mv", "vehicles/old.yaml", BIKE)
    git.write(BIKE, with_current(70))
    git.commit("Another name, and calmer")
    git.write("README", "nothing of the vehicle's")
    git.commit("Elsewhere")
    git.write(BIKE, HOT)
    git.commit("Hotter")
    git.write(BIKE, CALM.replace("series: 16", "series: many"))
    git.commit("A slip")
    git.write(BIKE, CALM)
    git.commit("Back")
    return git


def test_each_commit_tells_verdict_changes_and_findings(story: Git) -> None:
    """Through a rename and past a version that cannot be read."""
    told = steps(story)
    assert [step["subject"] for step in told] == [
        "As it left",
        "Another name, and calmer",
        "Hotter",
        "A slip",
        "Back",
    ]
    assert [step["verdict"] for step in told] == ["go", "go", "no-go", None, "go"]
    assert [step["file"] for step in told] == ["vehicles/old.yaml", *[BIKE] * 4]
    assert [(one["quantity"], one["old"], one["new"]) for one in told[1]["changes"]] == [
        ("settings.battery_current_A", 75, 70)
    ]
    dangers = [one["rule"] for one in told[2]["introduced"] if one["severity"] == "danger"]
    assert dangers == ["battery-current-above-cells", "max-rpm-back-emf"]
    assert "series: many" not in told[3]["error"] and "many" in told[3]["error"]
    assert {one["rule"] for one in told[4]["resolved"]} >= set(dangers)


def test_the_text_fits_the_page(story: Git) -> None:
    """One block a commit, the newest last."""
    text = history(story)
    assert max(cell_len(line) for line in text.split("\n")) <= 80
    order = [text.index(words) for words in ("As it left", "Hotter", "A slip", "Back")]
    assert order == sorted(order)
    assert "DANGER new: The battery current limit of 95 A" in text
    assert "the first version" in text and "NOT READ" in text


def test_the_record_fits_its_schema(story: Git) -> None:
    """With a setting and without."""
    resources = [
        (f"urn:gonogo:{name}", Resource.from_contents(json.loads(schema_text(name))))
        for name in ("report", "comparison")
    ]
    validator = Draft202012Validator(
        json.loads(schema_text("comparison")),
        registry=Registry().with_resources(resources),
        format_checker=FormatChecker(),
    )
    for more in ({}, {"setting": "battery_current_A"}, {"setting": "settings.direction"}):
        record = json.loads(history(story, form="json", **more))
        assert list(validator.iter_errors(record)) == []


def test_what_is_not_committed_comes_last(story: Git) -> None:
    """The tune on the bench is part of the story."""
    story.write(BIKE, with_current(78))
    told = steps(story)
    assert told[-1]["commit"] is None and told[-1]["changes"][0]["new"] == 78


def test_a_change_of_a_part_or_the_house_file_is_a_step(git: Git) -> None:
    """Though the profile's own file stayed as it was; a comment in the part is none."""
    git.write("house.yaml", "gonogo: house/1\n")
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, CALM.replace("  magnets: 10\n", "  part: ../parts/hub.yaml\n"))
    git.commit("All")
    git.write("parts/hub.yaml", PART + "# read again\n")
    git.commit("A comment")
    git.write("parts/hub.yaml", PART.replace("10", "14"))
    git.commit("Counted again")
    git.write("house.yaml", "gonogo: house/1\nallowances: {drop_percent: 2}\n")
    git.commit("Stricter")
    told = steps(git)
    assert [step["subject"] for step in told] == ["All", "Counted again", "Stricter"]
    assert [one["quantity"] for one in told[1]["changes"]] == ["motor.magnets"]
    assert "motor-pole-pairs-not-half-magnets" in {one["rule"] for one in told[1]["introduced"]}


def test_a_merge_is_opened(git: Git) -> None:
    """What happened on the branch is told commit by commit; a merge that only joins is not."""
    git.write(BIKE, CALM)
    git.commit("As it left")
    git("checkout", "--quiet", "-b", "tune")
    git.write(BIKE, with_current(70))
    git.commit("Try")
    git.write(BIKE, with_current(78))
    git.commit("Try again")
    git("checkout", "--quiet", "main")
    git.write("README", "meanwhile")
    git.commit("Elsewhere")
    git("merge", "--quiet", "--no-ff", "-m", "The tune", "tune")
    told = steps(git)
    assert [step["subject"] for step in told] == ["As it left", "Try", "Try again"]
    assert [step["main_line"] for step in told] == [True, False, False]
    assert (told[2]["changes"][0]["old"], told[2]["changes"][0]["new"]) == (70, 78)


def test_a_copy_begins_where_it_was_made(git: Git) -> None:
    """The twin's story is not the first one's."""
    git.write(BIKE, CALM)
    git.commit("The first")
    git.write(BIKE, with_current(70))
    git.commit("Calmer")
    git.write("vehicles/twin.yaml", with_current(70).replace("Foxglove", "Twin"))
    git.commit("Its twin")
    assert [step["subject"] for step in steps(git, "vehicles/twin.yaml")] == ["Its twin"]


def test_a_shallow_clone_tells_what_it_holds(story: Git, tmp_path: Path) -> None:
    """And says that there was more."""
    story("clone", "--quiet", "--depth", "2", story.folder.as_uri(), str(tmp_path / "shallow"))
    out = io.StringIO()
    run(tmp_path / "shallow" / BIKE, out=out, as_of="2026-11-25")
    text = " ".join(out.getvalue().split())
    assert "2 commits" in text and "shallow clone" in text


def test_one_setting_is_followed_with_a_chart(story: Git) -> None:
    """Value, bead and verdict on one line a commit."""
    lines = history(story, setting="battery_current_A").split("\n")
    beads = [line for line in lines if "◆" in line]
    assert [line.split()[1] for line in beads] == ["75", "70", "95", "75"]
    places = [line.index("◆") for line in beads]
    assert places[1] < places[0] == places[3] < places[2]
    assert [line.split()[-1] for line in beads] == ["GO", "GO", "NO-GO", "GO"]
    assert max(cell_len(line) for line in lines) <= 80


def test_a_text_is_followed_too(story: Git) -> None:
    """Without beads on a wire."""
    text = history(story, setting="settings.direction")
    assert "forward" in text and "◆" not in text


def test_a_worked_quantity_can_be_followed(story: Git) -> None:
    """Sag is what the rider feels."""
    values = [step["value"] for step in steps(story, setting="pack.sag_V")]
    assert values[1] < values[0] < values[2] and values[3] is None


@pytest.mark.parametrize(
    ("name", "followed"),
    [
        ("settings.battery_current_A", Followed("settings.battery_current_A")),
        ("battery_current_A", Followed("settings.battery_current_A")),
        ("phase_current_A_peak", Followed("settings.phase_current_A_rms")),
        ("throttle.start_V", Followed("settings.throttle.start_V")),
        ("modes.sport.max_rpm", Followed("settings.max_rpm", "sport")),
        ("modes.road.speed_limit_km_h", Followed("vehicle.speed_limit_km_h", "road")),
        ("motor.line_to_line_mohm", Followed("motor.phase_to_neutral_mohm")),
    ],
)
def test_a_setting_goes_by_its_full_or_its_short_name(name: str, followed: Followed) -> None:
    """Nobody types `settings.` twice."""
    assert followed_of(name) == followed


def test_a_misspelt_setting_is_answered_with_the_nearest() -> None:
    """Names are long."""
    with pytest.raises(UsageError, match="Did you mean battery_current_A"):
        followed_of("batery_current_A")


def test_a_peak_value_is_followed_in_peak(git: Git) -> None:
    """In the key that was entered last."""
    git.write(BIKE, CALM.replace("phase_current_A_rms: 200", "phase_current_A_peak: 280"))
    git.commit("As it left")
    record = json.loads(history(git, form="json", setting="phase_current_A_rms"))
    assert record["unit"] == "A_peak" and record["steps"][0]["value"] == 280


def test_without_a_commit_there_is_no_history(git: Git) -> None:
    """Neither in a new repository nor for a file that was never committed."""
    git.write(BIKE, CALM)
    with pytest.raises(RevisionError):
        history(git)
    git.write("README", "x")
    git("add", "README")
    git("commit", "--quiet", "-m", "Only that")
    with pytest.raises(RevisionError, match="it has no history yet"):
        history(git)


def test_a_profile_that_is_gone_still_has_a_history(story: Git) -> None:
    """Up to its last day."""
    story("rm", "--quiet", BIKE)
    story.commit("Sold")
    told = steps(story)
    assert told[-1]["subject"] == "Sold" and told[-2]["verdict"] == "go"
    assert "was removed or renamed" in told[-1]["error"]


def test_the_command_line_tells_it(story: Git, capsys: pytest.CaptureFixture[str]) -> None:
    """From the arguments to the exit."""
    path = str(story.folder / BIKE)
    assert status(["history", path, "--setting", "battery_current_A"]) == 0
    assert "◆" in capsys.readouterr().out
    assert status(["history", path, "--format", "html"]) == 2


def test_a_chart_of_equal_values_has_its_beads_in_the_middle() -> None:
    """There is no least and no most."""
    assert wires([5.0, 5.0], 5) == ["··◆··"] * 2
    assert wires([None], 5) == ["     "]


def test_a_renamed_profile_is_followed_past_sisters_that_are_more_like_it(git: Git) -> None:
    """A fleet begins as copies of one bike: git takes a renamed one for a copy of its sister."""
    git.write("vehicles/old.yaml", CALM)
    git.write("vehicles/aster.yaml", CALM)
    git.commit("Two alike")
    git("mv", "vehicles/old.yaml", BIKE)
    git.write(BIKE, with_current(70))
    git.write("vehicles/aster.yaml", with_current(65))
    git.commit("Both calmer, one with another name")
    told = steps(git)
    assert [step["subject"] for step in told] == ["Two alike", "Both calmer, one with another name"]
    assert [step["file"] for step in told] == ["vehicles/old.yaml", BIKE]


def test_a_name_that_was_given_up_is_told_as_such(git: Git) -> None:
    """A rider who asks for the old name learns that it is gone, not that a file is broken."""
    git.write("vehicles/old.yaml", CALM)
    git.commit("As it left")
    git("mv", "vehicles/old.yaml", BIKE)
    git.commit("Another name")
    assert "was removed or renamed" in " ".join(history(git, "vehicles/old.yaml").split())


def test_before_the_first_commit_there_is_no_history(git: Git) -> None:
    """What git says of a branch without commits helps nobody."""
    git.write(BIKE, CALM)
    with pytest.raises(RevisionError, match="it has no history yet"):
        history(git)


def test_several_motors_are_told_commit_by_commit(git: Git) -> None:
    """Each entry under its motor's name, and no figure of one motor for the vehicle's."""
    whole = (SOUND / "twin-hub-scooter.yaml").read_text("utf-8")
    slower = whole.replace(
        "settings: {direction: reversed}", "settings: {direction: reversed, max_rpm: 500}"
    )
    hot = whole.replace("  battery_current_A: 22", "  battery_current_A: 60")
    assert whole != slower != hot != whole
    path = "vehicles/twin.yaml"
    for text, said in ((whole, "As it left"), (slower, "Front slower"), (hot, "Hotter")):
        git.write(path, text)
        git.commit(said)
    told = steps(git, path)
    assert [one["verdict"] for one in told] == ["go", "go", "no-go"]
    changes = [[one["entered_as"] for one in step["changes"]] for step in told]
    assert changes[1] == ["motors.front.settings.max_rpm"]
    new = [one["rule"] for one in told[2]["introduced"]]
    assert new.count("battery-current-above-cells") == 1
    values = {
        name: [one["value"] for one in steps(git, path, setting=name)]
        for name in ("max_rpm", "battery_current_A", "pack.sag_V")
    }
    assert values == {
        "max_rpm": [620, "differs by motor", 620],
        "battery_current_A": [22, 22, 60],
        "pack.sag_V": ["not worked out for several motors"] * 3,
    }
    assert "differs by motor  " in history(git, path, setting="max_rpm")


def test_a_bare_repository_is_served(story: Git, tmp_path: Path) -> None:
    """As servers keep them: there is no disk to be held against, and the house file is a commit's."""
    story("clone", "--quiet", "--bare", story.folder.as_uri(), str(tmp_path / "bare"))
    own = steps(story)
    for todays_rules in (False, True):
        out = io.StringIO()
        path = tmp_path / "bare" / BIKE
        run(path, form="json", out=out, as_of="2026-11-25", todays_rules=todays_rules)
        told = json.loads(out.getvalue())["steps"]
        assert [step["verdict"] for step in told] == [step["verdict"] for step in own]


def test_a_folder_is_no_profile(story: Git) -> None:
    """And what can be asked of a folder is said."""
    with pytest.raises(UsageError, match=r"is a folder: expected a profile.*--finding RULE"):
        run(story.folder / "vehicles")
