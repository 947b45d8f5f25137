"""`gonogo diff` in its three forms, on real git repositories as people keep them."""

from __future__ import annotations

import io
import json
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands import sides
from gonogo.commands.diff import run
from gonogo.commands.main import status
from gonogo.documents.error import NoProfile, RevisionError, UsageError
from gonogo.documents.schema import schema_text
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

pytestmark = pytest.mark.usefixtures("frozen")
Git = Any
EXAMPLE = Path(__file__).parents[1] / "catalogue" / "stories" / "hotter-tune"
SOUND = Path(__file__).parents[1] / "hazards" / "sound"
CALM = (EXAMPLE / "before.yaml").read_text("utf-8")
HOT = (EXAMPLE / "after.yaml").read_text("utf-8")
WARM = CALM.replace("battery_current_A: 75", "battery_current_A: 78")
BIKE = "vehicles/foxglove.yaml"
HOUSE = "gonogo: house/1\n"
WITH_PART = CALM.replace("motor:\n  magnets: 10\n", "motor:\n  part: ../parts/hub.yaml\n")
PART = "gonogo: part/1\npart: {name: Hub, source: {title: Datasheet}}\nmotor:\n  magnets: 10\n"


def diff(*sides: str, here: Path, **more: Any) -> tuple[int, str]:
    """The exit status of a call, and what it prints."""
    out = io.StringIO()
    came_to = run(sides, out=out, here=here, as_of="2026-11-25", **more)
    return came_to, out.getvalue()


def record(*sides: str, here: Path, **more: Any) -> dict[str, Any]:
    """The record of a comparison."""
    told: dict[str, Any] = json.loads(diff(*sides, here=here, form="json", **more)[1])
    return told


def changes(told: dict[str, Any]) -> list[tuple[str, Any, Any]]:
    """What was changed, from what, to what."""
    return [(one["quantity"], one["old"], one["new"]) for one in told["changes"]]


def validator_of(kind: str) -> Draft202012Validator:
    """What holds a record to the schema that is printed for it."""
    resources = [
        (f"urn:gonogo:{name}", Resource.from_contents(json.loads(schema_text(name))))
        for name in ("report", "comparison")
    ]
    return Draft202012Validator(
        json.loads(schema_text(kind)), registry=Registry().with_resources(resources)
    )


CALMER = [("settings.battery_current_A", 75, 78)]


@pytest.fixture
def shop(git: Git) -> Git:
    """A shop with one calm vehicle, committed."""
    git.write("house.yaml", HOUSE)
    git.write(BIKE, CALM)
    git.commit("As it left")
    return git


def test_two_files_stand_side_by_side(tmp_path: Path) -> None:
    """No repository is needed for that."""
    (tmp_path / "old.yaml").write_text(CALM)
    (tmp_path / "new.yaml").write_text(HOT)
    came_to, text = diff("old.yaml", "new.yaml", here=tmp_path)
    assert came_to == 1 and text.startswith(" ▐ GO → NO-GO   Foxglove\n")
    assert diff("new.yaml", "old.yaml", here=tmp_path)[0] == 0


@pytest.mark.parametrize(
    ("old", "new", "strict", "came_to"),
    [
        pytest.param(CALM, WARM, False, 0, id="harmless"),
        pytest.param(CALM, HOT, False, 1, id="a danger brought in"),
        pytest.param(HOT, HOT, False, 0, id="a danger that stands is not the change's"),
        pytest.param(HOT, HOT, True, 1, id="strict judges the whole new side"),
        pytest.param(HOT, HOT.replace("A: 95", "A: 99"), False, 1, id="a danger made worse"),
        pytest.param(CALM, CALM.replace("A: 75", "A: 85"), False, 0, id="advice brought in"),
        pytest.param(CALM, CALM.replace("A: 75", "A: 85"), True, 1, id="strict minds advice"),
        pytest.param(CALM, CALM.replace("lost_above_V: 4.5, ", ""), False, 1, id="a guard gone"),
        pytest.param(CALM, CALM.replace("rest_V: [0.83, 0.84], ", ""), False, 4, id="a gate hidden"),
        pytest.param(CALM, CALM.replace("series: 16", "series: 16 cells"), False, 3, id="not read"),
        pytest.param("series: 1", CALM, False, 3, id="the old side not read"),
    ],
)  # fmt: skip
def test_the_exit_status_says_what_the_change_did(
    tmp_path: Path, old: str, new: str, strict: bool, came_to: int
) -> None:
    """A script that reviews changes reads nothing else."""
    (tmp_path / "old.yaml").write_text(old)
    (tmp_path / "new.yaml").write_text(new)
    assert diff("old.yaml", "new.yaml", here=tmp_path, strict=strict)[0] == came_to


def test_one_profile_alone_is_read_against_the_last_commit(shop: Git) -> None:
    """What did I just do?"""
    shop.write(BIKE, WARM)
    told = record(BIKE, here=shop.folder)
    assert changes(told) == CALMER
    assert told["old"]["file"] == f"HEAD:{BIKE}" and told["new"]["file"] == BIKE


def test_a_side_can_be_a_file_of_a_revision(shop: Git) -> None:
    """By branch, tag or commit."""
    shop("branch", "tune/calm")
    shop("tag", "v1")
    shop.write(BIKE, WARM)
    commit = shop.commit("Warmer")
    for name in ("HEAD~1", "v1", "tune/calm", commit[:8] + "^"):
        assert changes(record(f"{name}:{BIKE}", f"HEAD:{BIKE}", here=shop.folder)) == CALMER


def test_parts_and_house_are_read_at_the_same_revision(git: Git) -> None:
    """The old motor is the one that was fitted then."""
    git.write("house.yaml", HOUSE)
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, WITH_PART)
    git.commit("With a part")
    git.write("parts/hub.yaml", PART.replace("10", "14"))
    git.write("house.yaml", HOUSE + "allowances: {drop_percent: 2}\n")
    told = record(BIKE, here=git.folder)
    assert changes(told) == [("motor.magnets", 10, 14), ("house.drop_percent", None, 2)]


def test_a_path_counts_from_the_top_or_from_here(shop: Git) -> None:
    """Git counts from the top; people from where they stand."""
    shop.write(BIKE, WARM)
    here = shop.folder / "vehicles"
    for name in (BIKE, "foxglove.yaml", "./foxglove.yaml", str(shop.folder / BIKE)):
        assert changes(record(f"HEAD:{name}", "foxglove.yaml", here=here)) == CALMER


def test_a_file_with_a_colon_in_its_name_is_a_file(shop: Git) -> None:
    """The disk is asked first."""
    shop.write("HEAD:bike.yaml", WARM)
    assert changes(record(BIKE, "HEAD:bike.yaml", here=shop.folder)) == CALMER


def test_a_renamed_profile_is_followed(shop: Git) -> None:
    """Moved with git or without: it is the same vehicle."""
    shop("mv", BIKE, "vehicles/digitalis.yaml")
    shop.write("vehicles/digitalis.yaml", WARM)
    told = record("vehicles/digitalis.yaml", here=shop.folder)
    assert changes(told) == CALMER and told["old"]["file"] == f"HEAD:{BIKE}"
    shop("reset", "--quiet")
    assert changes(record("vehicles/digitalis.yaml", here=shop.folder)) == CALMER


def test_a_file_absent_on_one_side_is_told_with_its_old_name(shop: Git) -> None:
    """Under which name it was there."""
    shop("mv", BIKE, "vehicles/digitalis.yaml")
    shop.commit("Another name")
    with pytest.raises(RevisionError) as mistake:
        diff("HEAD~1:vehicles/digitalis.yaml", "vehicles/digitalis.yaml", here=shop.folder)
    assert f"it was called `HEAD~1:{BIKE}` then" in str(mistake.value)
    with pytest.raises(RevisionError, match=r"has no .nothing\.yaml"):
        diff("HEAD:nothing.yaml", BIKE, here=shop.folder)


def test_a_profile_that_was_never_committed_has_nothing_to_stand_beside(shop: Git) -> None:
    """It is new: `gonogo check` is what judges it."""
    shop.write("vehicles/new.yaml", "gonogo: profile/1\nvehicle: {name: New, use: street}\n")
    with pytest.raises(RevisionError, match="not in the last commit"):
        diff("vehicles/new.yaml", here=shop.folder)


@pytest.mark.parametrize(
    ("sides", "words"),
    [
        (["no-such-revision:x.yaml", BIKE], "is no revision of this repository"),
        (["--output=x:y.yaml", BIKE], "is no revision"),
        (["HEAD:", BIKE], "names no file"),
        (["vehicles", BIKE], "is a folder: a side is one profile"),
        (["HEAD:x.yaml"], "one side alone"),
        ([], "0 sides"),
        (["a", "b", "c"], "3 sides"),
    ],
)
def test_a_call_that_makes_no_sense_is_answered(
    shop: Git, sides: Sequence[str], words: str
) -> None:
    """With what would make sense."""
    with pytest.raises(UsageError) as mistake:
        diff(*sides, here=shop.folder)
    assert words in str(mistake.value)


def test_without_a_repository_there_is_no_last_commit(tmp_path: Path) -> None:
    """A folder is no history."""
    (tmp_path / "bike.yaml").write_text(CALM)
    with pytest.raises(RevisionError, match="is in no git repository"):
        diff("bike.yaml", here=tmp_path)
    with pytest.raises(RevisionError, match="is in no git repository"):
        diff(here=tmp_path, against="HEAD")


def test_without_a_commit_there_is_none_either(git: Git) -> None:
    """A repository just made."""
    git.write(BIKE, CALM)
    with pytest.raises(RevisionError, match="has no commit yet"):
        diff(BIKE, here=git.folder)


def test_without_git_it_is_said(shop: Git, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Two files can still be compared."""
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(RevisionError, match="git is not installed"):
        diff(BIKE, here=shop.folder)
    assert diff(BIKE, BIKE, here=shop.folder)[0] == 0


def test_nothing_of_a_name_reaches_a_shell_or_becomes_an_option(shop: Git) -> None:
    """Names are data."""
    for name in ("$(touch broken)", "`touch broken`", "; touch broken", "--exec=touch broken"):
        with pytest.raises(UsageError):
            diff(f"{name}:{BIKE}", BIKE, here=shop.folder)
        with pytest.raises(UsageError):
            diff(here=shop.folder, against=name)
        with pytest.raises(UsageError):
            diff(f"HEAD:{name}", BIKE, here=shop.folder)
    assert not (shop.folder / "broken").exists()


def test_a_name_may_hold_what_it_likes(shop: Git) -> None:
    """Umlauts, blanks, quotation marks, and a leading dash."""
    for name in ('vehicles/Früh ling\'s "9".yaml', "-n.yaml", "vehicles/[a]*.yaml"):
        shop.write(name, CALM)
        shop.commit("A name")
        shop.write(name, WARM)
        assert changes(record(f"./{name}", here=shop.folder)) == CALMER
        assert changes(record(f"HEAD:{name}", f"./{name}", here=shop.folder)) == CALMER
        shop.commit("Changed")


def test_it_works_in_a_worktree_a_subfolder_and_a_shallow_clone(shop: Git, tmp_path: Path) -> None:
    """Wherever people and machines check out."""
    shop.write(BIKE, WARM)
    shop.commit("Warmer")
    shop("worktree", "add", "--quiet", str(tmp_path / "second"))
    shop("clone", "--quiet", "--depth", "2", shop.folder.as_uri(), str(tmp_path / "shallow"))
    for folder in (tmp_path / "second", tmp_path / "shallow"):
        assert changes(record(f"HEAD~1:{BIKE}", BIKE, here=folder)) == CALMER
        assert len(record(here=folder, against="HEAD~1")["comparisons"]) == 1
    with pytest.raises(RevisionError, match="A shallow clone holds only its last commits"):
        diff(f"HEAD~2:{BIKE}", BIKE, here=tmp_path / "shallow")


def test_a_shop_in_a_folder_of_a_larger_repository(git: Git) -> None:
    """The house file marks the shop, git the whole."""
    git.write("work/shop/house.yaml", HOUSE)
    git.write("work/shop/parts/hub.yaml", PART)
    git.write(f"work/shop/{BIKE}", WITH_PART)
    git.commit("All")
    git.write(f"work/shop/{BIKE}", WITH_PART.replace("A: 75", "A: 78"))
    here = git.folder / "work/shop"
    assert changes(record(BIKE, here=here)) == CALMER
    assert changes(record(f"HEAD:{BIKE}", BIKE, here=here)) == CALMER
    (told,) = record(here=here, against="HEAD")["comparisons"]
    assert told["old"]["file"] == f"HEAD:work/shop/{BIKE}"


def test_the_environment_of_a_hook_leads_nowhere_else(
    shop: Git, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Inside a git hook, git says where it works; that is not where the profile lies."""
    shop.write(BIKE, WARM)
    monkeypatch.setenv("GIT_DIR", "/nowhere/.git")
    monkeypatch.setenv("GIT_INDEX_FILE", "/nowhere/index")
    assert changes(record(BIKE, here=shop.folder)) == CALMER


def files(told: dict[str, Any]) -> dict[str, list[str]]:
    """The profiles of a tree's comparison, with what changed."""
    return {
        (one["new"] or one["old"])["file"]: [change["quantity"] for change in one["changes"]]
        for one in told["comparisons"]
    }


def test_against_a_revision_only_what_changed_is_told(shop: Git) -> None:
    """Staged, not staged and not added; new, renamed and gone."""
    for name in ("larch", "alder", "rowan", "elder"):
        shop.write(f"vehicles/{name}.yaml", CALM.replace("Foxglove", name))
    shop.commit("More")
    shop.write("vehicles/larch.yaml", WARM.replace("Foxglove", "larch"))
    shop("add", "vehicles/larch.yaml")
    shop.write("vehicles/alder.yaml", WARM.replace("Foxglove", "alder"))
    shop.write("vehicles/new.yaml", HOT.replace("Foxglove", "new"))
    shop("mv", "vehicles/rowan.yaml", "vehicles/sorbus.yaml")
    (shop.folder / "vehicles/elder.yaml").unlink()
    came_to, _ = diff(here=shop.folder, against="HEAD")
    told = record(here=shop.folder, against="HEAD")
    assert files(told) == {
        "vehicles/alder.yaml": ["settings.battery_current_A"],
        "vehicles/larch.yaml": ["settings.battery_current_A"],
        "vehicles/new.yaml": [],
        "vehicles/sorbus.yaml": [],
        "HEAD:vehicles/elder.yaml": [],
    }
    sides = {(one["new"] or one["old"])["name"]: (one["old"], one["new"]) for one in told["comparisons"]}  # fmt: skip
    assert sides["new"][0] is None and sides["elder"][1] is None
    assert sides["rowan"][0]["file"] == "HEAD:vehicles/rowan.yaml"
    assert told["unchanged"] == 1 and came_to == 1  # a new vehicle brings its dangers in


def test_a_changed_part_is_a_change_of_every_profile_that_takes_it(git: Git) -> None:
    """And of no other; a comment in it is a change of none."""
    git.write("house.yaml", HOUSE)
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, WITH_PART)
    git.write("vehicles/other.yaml", CALM)
    git.commit("All")
    git.write("parts/hub.yaml", PART + "# from the datasheet\n")
    assert files(record(here=git.folder, against="HEAD")) == {}
    git.write("parts/hub.yaml", PART.replace("10", "14"))
    assert files(record(here=git.folder, against="HEAD")) == {BIKE: ["motor.magnets"]}


def test_a_changed_house_file_is_a_change_of_every_profile(shop: Git) -> None:
    """Its allowances, its severities and its own rules."""
    shop.write("house.yaml", HOUSE + "# tidied\n")
    assert files(record(here=shop.folder, against="HEAD")) == {}
    shop.write("house.yaml", HOUSE + "allowances: {fuse_loading: 0.7}\n")
    told = record(here=shop.folder, against="HEAD")
    assert files(told) == {BIKE: ["house.fuse_loading"]}
    (introduced,) = told["comparisons"][0]["findings"]["introduced"]
    assert introduced["rule"] == "battery-current-near-fuse"
    (shop.folder / "house.yaml").unlink()
    shop.commit("No house")
    shop.write("house.yaml", HOUSE + "allowances: {fuse_loading: 0.7}\n")
    assert files(record(here=shop.folder, against="HEAD")) == {BIKE: ["house.fuse_loading"]}


SHOP_RULE = """\
gonogo: rule/1
id: shop-current
severity: fault
of: settings.battery_current_A
at_most: 80
says: The battery current limit of {of} is above the {limit} of this shop.
because: We have seen cells swell.
remedy: Set it to {limit} or less.
source: Our own experience.
examples:
  - {given: {settings.battery_current_A: 80}, outcome: clear}
  - {given: {settings.battery_current_A: 81}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""


def test_an_own_rule_that_changed_is_told(shop: Git) -> None:
    """The shop asks for more than it did."""
    shop.write("house.yaml", HOUSE + "rules: rules\n")
    shop.write("rules/shop-current.yaml", SHOP_RULE)
    shop.commit("A rule")
    shop.write("rules/shop-current.yaml", SHOP_RULE.replace("80", "70").replace("81", "71"))
    told = record(here=shop.folder, against="HEAD")
    assert files(told) == {BIKE: ["rules.shop-current"]}
    assert told["comparisons"][0]["findings"]["introduced"][0]["rule"] == "shop-current"


def test_paths_restrict_what_is_looked_at(shop: Git) -> None:
    """One folder, one file, and a folder that is gone."""
    shop.write("other_side/larch.yaml", CALM)
    shop.write("gone/alder.yaml", CALM)
    shop.commit("More")
    shop.write(BIKE, WARM)
    shop.write("other_side/larch.yaml", WARM)
    (shop.folder / "gone/alder.yaml").unlink()
    (shop.folder / "gone").rmdir()

    def looked_at(*paths: str) -> set[str]:
        return set(files(record(*paths, here=shop.folder, against="HEAD")))

    assert looked_at("other_side") == {"other_side/larch.yaml"}
    assert looked_at(BIKE) == {BIKE}
    assert looked_at("gone") == {"HEAD:gone/alder.yaml"}
    assert looked_at("gone", "vehicles") == {BIKE, "HEAD:gone/alder.yaml"}
    with pytest.raises(NoProfile):
        (shop.folder / "empty").mkdir()
        looked_at("empty")


def test_nothing_changed_is_a_short_answer(shop: Git) -> None:
    """In CI most of the time."""
    came_to, text = diff(here=shop.folder, against="HEAD")
    assert came_to == 0
    assert "0 profiles changed against HEAD" in text and "1 unchanged" in text


def test_an_old_side_that_could_not_be_read_does_not_fail_its_repair(shop: Git) -> None:
    """Else a tree could never be put right."""
    shop.write(BIKE, CALM.replace("series: 16", "series: many"))
    shop.commit("A slip")
    shop.write(BIKE, CALM)
    came_to, text = diff(here=shop.folder, against="HEAD")
    assert came_to == 0 and "the old side could not be read" in " ".join(text.split())
    shop.write(BIKE, HOT)
    assert diff(here=shop.folder, against="HEAD")[0] == 1


def test_a_new_side_that_cannot_be_read_is_an_error_with_its_place(shop: Git) -> None:
    """Status 3, and the line."""
    shop.write(BIKE, CALM.replace("series: 16", "series: many"))
    came_to, text = diff(here=shop.folder, against="HEAD")
    assert came_to == 3 and "NOT READ" in text and "line 13" in text


def test_a_branch_is_compared_with_where_it_left(shop: Git) -> None:
    """As a review does."""
    shop("checkout", "--quiet", "-b", "tune")
    shop.write(BIKE, HOT)
    shop.commit("Hotter")
    came_to, text = diff(here=shop.folder, against="main", form="markdown")
    assert came_to == 1 and "## GO → NO-GO · Foxglove" in text


def test_what_the_other_branch_did_meanwhile_is_no_change_of_this_one(shop: Git) -> None:
    """The commit at which both part is the old side, and its name leads to it."""
    parted = shop("rev-parse", "--short=12", "HEAD").strip()
    shop("checkout", "--quiet", "-b", "tune")
    shop.write("vehicles/alder.yaml", CALM.replace("Foxglove", "alder"))
    shop.commit("Another vehicle")
    shop("checkout", "--quiet", "main")
    shop.write(BIKE, HOT)
    shop.commit("Hotter on the other branch")
    shop("checkout", "--quiet", "tune")
    assert files(record(here=shop.folder, against="main")) == {"vehicles/alder.yaml": []}
    shop.write(BIKE, WARM)
    (told,) = [one for one in record(here=shop.folder, against="main")["comparisons"] if one["old"]]
    assert told["old"]["file"] == f"{parted}:{BIKE}"
    assert diff(told["old"]["file"], BIKE, here=shop.folder)[0] == 0


def test_a_revision_without_a_common_commit_is_refused(shop: Git) -> None:
    """There is no place at which the two parted."""
    shop("checkout", "--quiet", "--orphan", "other")
    shop.write(BIKE, WARM)
    shop.commit("A beginning of its own")
    with pytest.raises(RevisionError):
        diff(here=shop.folder, against="main")


def test_quiet_is_a_line_a_profile(shop: Git) -> None:
    """For a commit hook."""
    shop.write(BIKE, HOT)
    _, text = diff(BIKE, here=shop.folder, quiet=True)
    assert " ".join(text.split()).startswith(f"GO → NO-GO {BIKE} 2 dangers, 1 fault")


def test_git_is_not_locked_and_the_tree_is_left_alone(shop: Git) -> None:
    """Somebody may be committing in the other window."""
    shop.write(BIKE, WARM)
    index = shop.folder / ".git/index"
    os.utime(index, (1, 1))
    before = index.read_bytes()
    (shop.folder / ".git/index.lock").write_text("")
    assert diff(here=shop.folder, against="HEAD")[0] == 0
    assert index.read_bytes() == before and (shop.folder / BIKE).read_text() == WARM


def test_the_command_line_answers_with_the_status(
    shop: Git, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """From the arguments to the exit."""
    shop.write(BIKE, HOT)
    monkeypatch.chdir(shop.folder)
    assert status(["diff", BIKE, "--as-of", "2026-11-25"]) == 1
    assert status(["diff", "--against", "HEAD", "--quiet"]) == 1
    assert status(["diff", "nothing:x.yaml", BIKE]) == 2
    assert status(["diff", BIKE, "--format", "junit"]) == 2
    assert "text, json, markdown, html, sarif, lines" in capsys.readouterr().err


def test_a_report_goes_into_a_file(shop: Git, tmp_path: Path) -> None:
    """For mail and for the printer."""
    shop.write(BIKE, WARM)
    target = tmp_path / "report.html"
    _, text = diff(BIKE, here=shop.folder, form="html", output=target)
    assert text == "" and target.read_text().startswith("<!DOCTYPE html>")


def test_a_shelf_opens_a_commit_once(shop: Git, monkeypatch: pytest.MonkeyPatch) -> None:
    """A thousand profiles share one house file: it is read once."""
    from gonogo.documents.git_revision import Commit

    shelf = sides.Shelf(Commit(shop.folder, "HEAD"), "HEAD")
    assert shelf.side(BIKE).repository is shelf.side("house.yaml").repository


def test_the_record_of_a_tree_fits_its_schema(shop: Git) -> None:
    """With what is new, gone, renamed, unreadable now and unreadable then."""
    for name in ("gone", "slip", "mended"):
        shop.write(f"vehicles/{name}.yaml", CALM.replace("Foxglove", name))
    shop.write("vehicles/mended.yaml", CALM.replace("series: 16", "series: many"))
    shop.commit("More")
    shop.write("vehicles/mended.yaml", CALM)
    shop.write("vehicles/slip.yaml", CALM.replace("series: 16", "series: many"))
    shop.write("vehicles/new.yaml", HOT.replace("Foxglove", "new"))
    (shop.folder / "vehicles/gone.yaml").unlink()
    told = record(here=shop.folder, against="HEAD")
    validator = validator_of("comparison")
    assert list(validator.iter_errors(told)) == []
    assert len(told["comparisons"]) == 3 and len(told["errors"]) == 1
    unread = record("vehicles/slip.yaml", here=shop.folder)
    assert list(validator.iter_errors(unread)) == [] and unread["comparisons"] == []


def test_a_folder_of_a_revision_is_no_side(shop: Git) -> None:
    """It is not a file under an old name either."""
    with pytest.raises(RevisionError, match=r"is a folder in .HEAD.: a side is one profile"):
        diff("HEAD:vehicles", BIKE, here=shop.folder)


def test_several_motors_are_compared_with_a_revision(git: Git) -> None:
    """With the exit status of any vehicle: 1 where the sum of the motors is a new danger."""
    whole = (SOUND / "twin-hub-scooter.yaml").read_text("utf-8")
    path = "vehicles/twin.yaml"
    git.write("house.yaml", HOUSE)
    git.write(path, whole)
    git.commit("As it left")
    assert record(here=git.folder, against="HEAD")["comparisons"] == []
    git.write(path, whole.replace("\nsettings:", "\n# Measured again.\nsettings:"))
    assert diff(path, here=git.folder)[0] == 0
    git.write(path, whole.replace("  battery_current_A: 22", "  battery_current_A: 60"))
    assert diff(path, here=git.folder)[0] == 1
    (told,) = record(here=git.folder, against="HEAD")["comparisons"]
    assert told["harms"] and told["verdict"] == {"old": "go", "new": "no-go"}
    assert changes(told) == [("settings.battery_current_A", 22, 60)]
    said = [one["message"] for one in told["findings"]["introduced"]]
    assert sum(one.startswith("All motors together (front 60 A, rear 60 A)") for one in said) >= 1
    assert len(said) == len(set(said))
