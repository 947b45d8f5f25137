"""What is staged, a commit and all between two commits, judged without a look at the disk."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.check import run as check
from gonogo.commands.main import status
from gonogo.commands.sides import side_of
from gonogo.documents.error import DocumentErrors
from gonogo.documents.loading import load_profile

from .test_diff import BIKE, CALM, CALMER, HOT, HOUSE, PART, WARM, WITH_PART, changes, diff, record

pytestmark = pytest.mark.usefixtures("frozen")
Git = Any
DAY = "2026-11-25"
TOPIC = (Path(__file__).parents[2] / "lint" / "topics" / "automation.md").read_text("utf-8")
SCRIPTS = [block.split("```")[0] for block in TOPIC.split("```sh\n#!/bin/sh\n")[1:]]


@pytest.fixture
def shop(git: Git, monkeypatch: pytest.MonkeyPatch) -> Git:
    """A shop with one calm vehicle, committed, and somebody who stands at its top."""
    git.write("house.yaml", HOUSE)
    git.write(BIKE, CALM)
    git.commit("As it left")
    monkeypatch.chdir(git.folder)
    return git


def verdicts(**asked: Any) -> dict[str, str]:
    """The verdict of each profile, by its name in the record."""
    out = io.StringIO()
    check([Path(asked.pop("path", "."))], form="json", as_of=DAY, out=out, **asked)
    told = json.loads(out.getvalue())
    read = {one["file"]: one["verdict"] for one in told["profiles"]}
    return read | {one["file"]: "not read" for one in told["errors"]}


def hook(folder: Path, name: str, body: str) -> None:
    """A hook that git starts with this Python."""
    gonogo = f'"{sys.executable}" -P -m gonogo'
    path = folder / name
    path.parent.mkdir(exist_ok=True)
    path.write_text("#!/bin/sh\n" + body.replace("gonogo ", f"{gonogo} "))
    path.chmod(0o755)


def refused(git: Git, *words: str) -> bool:
    """Whether a hook keeps git from doing something."""
    done = subprocess.run(
        ["git", "-c", "user.name=A", "-c", "user.email=a@example.org", *words],
        cwd=git.folder, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "defect" not in done.stderr and "Traceback" not in done.stderr, done.stderr
    said = done.stdout + done.stderr
    words = ("NO-GO", "GONE", "NO LONGER A PROFILE")
    assert done.returncode == 0 or any(word in said for word in words), said
    return done.returncode != 0


def test_what_is_staged_is_judged_and_not_what_lies_on_the_disk(shop: Git) -> None:
    """A danger that is staged and then mended on the disk alone would still be committed."""
    shop.write(BIKE, HOT)
    assert verdicts(staged=True) == {BIKE: "go"}
    shop("add", BIKE)
    shop.write(BIKE, CALM)
    assert verdicts() == {BIKE: "go"} and verdicts(staged=True) == {BIKE: "no-go"}
    assert verdicts(at="HEAD") == {BIKE: "go"}


def test_parts_and_house_file_are_staged_too(shop: Git) -> None:
    """Half of a change is another vehicle than the whole."""
    shop.write("parts/hub.yaml", PART)
    shop.write(BIKE, WITH_PART)
    shop("add", BIKE)
    assert verdicts() == {BIKE: "go"} and verdicts(staged=True) == {BIKE: "not read"}
    shop("add", "--all")
    shop.write("parts/hub.yaml", "gonogo: part/1\n")
    assert verdicts(staged=True) == {BIKE: "go"}
    shop.write("house.yaml", "gonogo: house/1\nallowances: {}\nbroken: yes\n")
    shop("add", "house.yaml")
    shop.write("house.yaml", HOUSE)
    assert "not read" in verdicts(staged=True).values()


def test_a_path_after_a_colon_is_what_is_staged(shop: Git) -> None:
    """As git itself reads it; it was taken for the last commit."""
    shop.write(BIKE, WARM)
    shop("add", BIKE)
    shop.write(BIKE, HOT)
    assert changes(record(f"HEAD:{BIKE}", f":{BIKE}", here=shop.folder)) == CALMER
    assert changes(record(f":{BIKE}", BIKE, here=shop.folder)) != []
    assert status(["diff", ":nowhere.yaml", BIKE]) == 2


def test_a_merge_conflict_is_told_and_nothing_is_judged(shop: Git, capsys: Any) -> None:
    """No commit can be made of it, and its halves are no vehicle."""
    shop("switch", "--quiet", "-c", "topic")
    shop.write(BIKE, WARM)
    shop.commit("Warm")
    shop("switch", "--quiet", "main")
    shop.write(BIKE, HOT)
    shop.commit("Hot")
    with pytest.raises(subprocess.CalledProcessError):
        shop("merge", "topic")
    assert status(["check", "--staged"]) == 3
    assert "merge conflict" in capsys.readouterr().err


@pytest.mark.parametrize("setting", ["index.version=4", "core.splitIndex=true"])
def test_every_form_of_the_index_is_read(shop: Git, setting: str) -> None:
    """A large repository keeps it in other forms; nothing of it is written."""
    shop("-c", setting, "update-index", "--force-write-index")
    shop.write(BIKE, HOT)
    shop("-c", setting, "add", BIKE)
    before = {path: path.stat().st_mtime_ns for path in (shop.folder / ".git").iterdir()}
    assert verdicts(staged=True) == {BIKE: "no-go"}
    assert {path: path.stat().st_mtime_ns for path in (shop.folder / ".git").iterdir()} == before


def test_an_index_of_another_place_is_refused(
    shop: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any
) -> None:
    """Rather than that the wrong one is judged."""
    monkeypatch.setenv("GIT_INDEX_FILE", str(tmp_path / "index"))
    assert status(["check", "--staged"]) == 2
    assert "no index of this repository" in capsys.readouterr().err


def test_a_hook_refuses_a_commit_with_a_danger(shop: Git) -> None:
    """Staged, of all that changed, or of some files alone: git names the index in each case."""
    hook(shop.folder / ".git/hooks", "pre-commit", SCRIPTS[0])
    shop.write(BIKE, HOT)
    assert refused(shop, "commit", "--all", "-m", "all of it")
    assert refused(shop, "commit", "-m", "one file", BIKE)
    shop("add", BIKE)
    shop.write(BIKE, CALM)
    assert refused(shop, "commit", "-m", "staged and mended on the disk alone")
    shop.write(BIKE, WARM)
    assert not refused(shop, "commit", "--all", "-m", "sound")


def test_a_server_refuses_a_push_with_a_danger(shop: Git, tmp_path: Path) -> None:
    """In a bare repository, of commits that it has not accepted yet."""
    shop("clone", "--quiet", "--bare", ".", str(tmp_path / "server.git"))
    hook(tmp_path / "server.git/hooks", "pre-receive", SCRIPTS[2])
    shop.write(BIKE, HOT)
    shop.commit("Hot")
    assert refused(shop, "push", str(tmp_path / "server.git"), "main")
    shop.write(BIKE, WARM)
    shop.commit("Warm")
    assert not refused(shop, "push", str(tmp_path / "server.git"), "main", "main:another")
    assert not refused(shop, "push", str(tmp_path / "server.git"), ":another")
    shop.write(BIKE, HOT)
    shop.commit("Hot")
    assert refused(shop, "push", str(tmp_path / "server.git"), "main:topic")


def test_a_server_takes_a_branch_that_brings_nothing_worse(shop: Git, tmp_path: Path) -> None:
    """Also where the shop has a vehicle with a danger; the very first push has nothing to be held against."""
    shop.write(BIKE, HOT)
    shop.commit("Hot")
    server, empty = tmp_path / "server.git", tmp_path / "empty.git"
    shop("clone", "--quiet", "--bare", ".", str(server))
    shop("init", "--quiet", "--bare", "--initial-branch=main", str(empty))
    for folder in (server, empty):
        hook(folder / "hooks", "pre-receive", SCRIPTS[2])
    shop("tag", "first")
    assert not refused(shop, "push", str(server), "first", "main:topic")
    assert refused(shop, "push", str(empty), "main")
    shop.write(BIKE, WARM)
    shop.commit("Warm")
    assert not refused(shop, "push", str(empty), "main")


def test_a_bare_repository_is_judged_and_compared(
    shop: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By paths from its top, and it stays as it is."""
    shop.write(BIKE, HOT)
    shop.commit("Hot")
    bare = tmp_path / "server.git"
    shop("clone", "--quiet", "--bare", ".", str(bare))
    monkeypatch.chdir(bare)
    before = sorted(os.listdir(bare))
    assert verdicts(at="main", path="vehicles") == {BIKE: "no-go"}
    assert verdicts(at="main~1") == {BIKE: "go"}
    came_to, told = diff("main~1..main", "vehicles", here=bare)
    assert came_to == 1 and "main:vehicles/foxglove.yaml" in told
    assert sorted(os.listdir(bare)) == before


def test_everything_between_two_commits_is_compared(shop: Git) -> None:
    """Changed, moved, new and gone vehicles, and those of which only a part changed."""
    shop.write("parts/hub.yaml", PART)
    for name in ("aster", "betony"):
        shop.write(f"vehicles/{name}.yaml", WITH_PART.replace("Foxglove", name))
    shop.write("vehicles/clover.yaml", CALM.replace("Foxglove", "Clover"))
    first = shop.commit("Four")
    shop.write("parts/hub.yaml", PART.replace("10", "12"))
    (shop.folder / "moved").mkdir()
    shop("mv", "vehicles/betony.yaml", "moved/betony.yaml")
    shop("rm", "--quiet", "vehicles/clover.yaml")
    shop.write("vehicles/dock.yaml", CALM.replace("Foxglove", "Dock") + "# another\n" * 200)
    shop.commit("Changed")
    shop.write(BIKE, "what lies on the disk is not asked")
    told = record(f"{first}..HEAD", here=shop.folder)
    sides = {(one["old"]["file"] if one["old"] else None, one["new"]["file"] if one["new"] else None)
             for one in told["comparisons"]}  # fmt: skip
    short = first[:12]
    assert sides == {
        (f"{short}:vehicles/aster.yaml", "HEAD:vehicles/aster.yaml"),
        (f"{short}:vehicles/betony.yaml", "HEAD:moved/betony.yaml"),
        (f"{short}:vehicles/clover.yaml", None),
        (None, "HEAD:vehicles/dock.yaml"),
    }
    assert told["unchanged"] == 1 and told["against"] == f"{short}..HEAD"
    text = diff(f"{first}..HEAD", here=shop.folder, every=True)[1]
    assert first not in text and "../HEAD:" not in text and f"../{short}" not in text


def test_an_input_in_a_part_of_a_commit_is_told_by_its_address(
    shop: Git, capsys: pytest.CaptureFixture[str]
) -> None:
    """A path that climbs out of a revision names no file that can be opened."""
    shop.write("parts/hub.yaml", PART.replace("magnets: 10", "magnets: 10\n  kv_rpm_per_V: 70"))
    hot = HOT.replace("motor:\n", "motor:\n  part: ../parts/hub.yaml\n").replace("  kv_rpm_per_V: 70\n", "")  # fmt: skip
    shop.write("vehicles/hub.yaml", hot.replace("  magnets: 10\n", ""))
    name = shop.commit("A part")
    check([Path("vehicles/hub.yaml")], at=name)
    text = capsys.readouterr().out
    assert f"{name[:12]}:parts/hub.yaml" in text and "../" not in text and name not in text


def test_three_dots_mean_from_where_the_branch_began(shop: Git) -> None:
    """What the others did since is not the branch's."""
    shop("switch", "--quiet", "-c", "topic")
    shop.write("vehicles/aster.yaml", CALM.replace("Foxglove", "Aster"))
    shop.commit("Aster")
    shop("switch", "--quiet", "main")
    shop.write(BIKE, HOT)
    shop.commit("Hot")
    here = shop.folder
    assert len(record("main...topic", here=here)["comparisons"]) == 1
    assert len(record("main..topic", here=here)["comparisons"]) == 2
    assert diff("main...topic", "nowhere", here=here, form="text")[0] == 3


def test_a_file_named_like_a_range_hides_no_comparison(shop: Git) -> None:
    """Anybody can add one."""
    shop("branch", "topic")
    shop.write("main..topic", CALM)
    assert status(["diff", "main..topic"]) == 2
    assert status(["diff", "../shop/" + BIKE]) == 0


def test_a_commit_and_what_is_staged_are_two_questions(shop: Git) -> None:
    """A call that asks for both is refused."""
    assert status(["check", "--staged", "--at", "HEAD"]) == 2
    assert status(["check", "--at", "HEAD", "../elsewhere"]) == 2
    assert status(["check", "--at", "--help"]) != 0


def test_a_staged_address_asks_for_the_option(
    shop: Git, capsys: pytest.CaptureFixture[str]
) -> None:
    """No file of that name is missing: the answer is another call."""
    assert status(["check", f":{BIKE}"]) == 2
    assert f"expected --staged {BIKE}." in " ".join(capsys.readouterr().err.split())


def test_a_part_behind_a_link_changes_its_vehicles(shop: Git) -> None:
    """The profile names the part by the link, git by where it lies."""
    shop.write("library/hub.yaml", PART)
    (shop.folder / "parts").symlink_to("library")
    shop.write(BIKE, WITH_PART)
    shop.write("parts-of-one.txt", PART)
    shop.write("vehicles/aster.yaml", WITH_PART.replace("parts/hub.yaml", "parts-of-one.txt"))
    first = shop.commit("Linked")
    for path in ("library/hub.yaml", "parts-of-one.txt"):
        shop.write(path, PART.replace("10", "12"))
        told = record(against="HEAD", here=shop.folder)
        assert len(told["comparisons"]) == 1 and told["unchanged"] == 1, path
        shop.commit("Changed")
        told = record("HEAD~1..HEAD", here=shop.folder)
        assert len(told["comparisons"]) == 1 and told["unchanged"] == 1, path
    assert len(record(f"{first}..HEAD", here=shop.folder)["comparisons"]) == 2


@pytest.fixture
def around(shop: Git, tmp_path: Path) -> Git:
    """A repository with the shop's parts in a submodule, at its second commit."""
    library = type(shop)(tmp_path / "library")
    library.folder.mkdir()
    library("init", "--quiet", "--initial-branch=trunk")
    library.write("hub.yaml", PART)
    library.write("vehicles/aster.yaml", CALM.replace("Foxglove", "Aster"))
    library.commit("One")
    allow = ("-c", "protocol.file.allow=always")
    shop(*allow, "submodule", "--quiet", "add", str(library.folder), "parts")
    shop.write(BIKE, WITH_PART)
    shop.commit("One")
    return shop


def test_a_part_in_a_submodule_is_compared_with_what_it_was(around: Git) -> None:
    """With the commit that the repository named then; its own branches have other names."""
    inner = type(around)(around.folder / "parts")
    inner.write("hub.yaml", PART.replace("10", "12"))
    inner.write("vehicles/aster.yaml", CALM.replace("Foxglove", "Aster").replace("A: 75", "A: 78"))
    for asked in ({"against": "main"}, {"against": "HEAD"}):
        told = record(here=around.folder, **asked)
        changed = [changes(one) for one in told["comparisons"]]
        assert changed == [CALMER, [("motor.magnets", 10, 12)]] or changed[::-1] == [
            CALMER, [("motor.magnets", 10, 12)]]  # fmt: skip
    inner.commit("Two")
    around.commit("Two")
    told = record("HEAD~1..HEAD", here=around.folder)
    assert len(told["comparisons"]) == 2 and not told["errors"]


def test_a_merge_conflict_beside_a_submodule_is_told_of_its_file_alone(around: Git) -> None:
    """The other vehicles are compared all the same."""
    for branch, mass in (("one", 91), ("main", 92)):
        around("checkout", "--quiet", *(("-b",) if branch == "one" else ()), branch)
        around.write(BIKE, WITH_PART.replace("mass_kg: 90", f"mass_kg: {mass}"))
        around.commit(branch)
    around("checkout", "--quiet", "-b", "joined")
    with suppress(subprocess.CalledProcessError):
        around("merge", "--quiet", "one")
    around.write("vehicles/aster.yaml", HOT.replace("Foxglove", "Elm"))
    came_to, text = diff(here=around.folder, against="HEAD")
    page = " ".join(text.split())
    assert came_to == 3 and "a merge conflict" in page and "NEW, NO-GO Elm" in page


def test_a_submodule_that_lacks_the_commit_is_judged_whole(around: Git) -> None:
    """Nobody can tell what it was, which is no reason to stop or to call it unchanged."""
    inner = type(around)(around.folder / "parts")
    inner.write("vehicles/aster.yaml", HOT.replace("Foxglove", "Aster"))
    old = inner("rev-parse", "HEAD").strip()
    git_folder = around.folder / ".git/modules/parts"
    (git_folder / "objects" / old[:2] / old[2:]).unlink()
    told = record(against="main", here=around.folder)
    assert [one["old"] for one in told["comparisons"]] == [None, None]
    came_to, text = diff(against="main", here=around.folder)
    # And who was in it besides is not known.
    assert (
        came_to == 3
        and text.count("not compared") >= 2
        and "NOT READ parts" in " ".join(text.split())
    )


@pytest.fixture
def unfetched(around: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Git:
    """A clone without its submodule, in which a vehicle lies, at a commit that moved it on."""
    inner = type(around)(around.folder / "parts")
    inner.write("vehicles/aster.yaml", HOT.replace("Foxglove", "Aster"))
    inner.commit("Two")
    around.commit("Two")
    around.write(BIKE, CALM)
    around.commit("Three")
    around("clone", "--quiet", str(around.folder), str(tmp_path / "clone"))
    monkeypatch.chdir(tmp_path / "clone")
    return type(around)(tmp_path / "clone")


def test_a_submodule_that_is_not_fetched_is_not_passed_over(unfetched: Git) -> None:
    """A job that fetches none would call the vehicles in it sound, or see nothing of them."""
    for asked in ({}, {"at": "HEAD"}, {"staged": True}):
        out = io.StringIO()
        assert check([Path(".")], out=out, as_of=DAY, **asked) == 3
        assert "a submodule that is not fetched" in " ".join(out.getvalue().split())
    out = io.StringIO()
    assert check([Path("vehicles")], out=out, as_of=DAY) == 0  # named apart, it is not asked about
    came_to, text = diff("HEAD~2..HEAD~1", here=unfetched.folder)
    assert came_to == 3 and "parts" in text and "GONE" not in text
    assert diff("HEAD~1..HEAD", here=unfetched.folder)[0] == 0  # it is the same one
    came_to, text = diff(against="HEAD", here=unfetched.folder)  # nobody looked into it on the disk
    assert came_to == 3 and "NOT READ parts" in " ".join(text.split()) and text.count("parts") == 1
    assert diff("vehicles", against="HEAD", here=unfetched.folder)[0] == 0
    unfetched.write("house.yaml", HOUSE + "require: [vehicle.mass_kg]\n")
    unfetched.commit("The vehicles in it have to say their mass too")
    assert diff("HEAD~1..HEAD", here=unfetched.folder)[0] == 3


def test_a_submodule_whose_folder_is_gone_is_not_passed_over(around: Git) -> None:
    """By hand, and git was not told; one alone in its repository is named too."""
    shutil.rmtree(around.folder / "parts")
    came_to, text = diff(here=around.folder, against="HEAD")
    assert came_to == 3 and "it is gone now" in " ".join(text.split())
    around("rm", "--quiet", "-r", "vehicles", "house.yaml")
    around("commit", "--quiet", "-m", "Parts alone")
    (around.folder / "parts").mkdir()
    for sides, asked in (((), {"against": "HEAD"}), ((), {"staged": True}), (("HEAD..HEAD",), {})):
        came_to, text = diff(*sides, here=around.folder, **asked)
        assert came_to == 3 and "a submodule that is not fetched" in " ".join(text.split())


def test_a_submodule_that_is_taken_out_is_not_passed_over(unfetched: Git) -> None:
    """With all that was in it, which nobody can read any more."""
    unfetched("rm", "--quiet", "parts")
    for asked in ({"against": "HEAD"}, {"staged": True}):
        came_to, text = diff(here=unfetched.folder, **asked)
        assert came_to == 3 and "it is gone now" in " ".join(text.split())
    out = io.StringIO()
    assert check([Path(".")], out=out, as_of=DAY, staged=True) == 3
    unfetched.commit("Out")
    assert diff("HEAD~1..HEAD", here=unfetched.folder)[0] == 3


@pytest.fixture
def fleet(git: Git) -> Git:
    """A repository of a firm, with the shop in one of its folders."""
    git.write("fleet/house.yaml", HOUSE)
    git.write(f"fleet/{BIKE}", CALM)
    git.write("fleet/parts/hub.yaml", PART)
    git.write("fleet/vehicles/aster.yaml", WITH_PART.replace("Foxglove", "Aster"))
    git.commit("As it left")
    git.write(f"fleet/{BIKE}", HOT)
    git.write("fleet/parts/hub.yaml", PART.replace("10", "12"))
    return git


STANDS = [
    pytest.param(".", "fleet/vehicles/foxglove.yaml", "fleet/house.yaml", id="at git's top"),
    pytest.param("fleet", "vehicles/foxglove.yaml", "house.yaml", id="at the shop's top"),
    pytest.param("fleet/vehicles", "foxglove.yaml", "../house.yaml", id="in a folder of the shop"),
]


@pytest.mark.parametrize(("stand", "name", "house"), STANDS)
def test_machines_are_told_paths_from_the_top_and_people_from_where_they_stand(
    fleet: Git, stand: str, name: str, house: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SARIF 2.1.0, 3.4.4: `uriBaseId` stands for one folder, which a code host takes for git's top."""
    monkeypatch.chdir(fleet.folder / stand)
    whole = f"fleet/{BIKE}"
    assert verdicts(path=str(fleet.folder)).keys() == {whole, "fleet/vehicles/aster.yaml"}
    told = {form: io.StringIO() for form in ("sarif", "junit", "text")}
    for form, out in told.items():
        check([fleet.folder], form=form, as_of=DAY, out=out)
    run = json.loads(told["sarif"].getvalue())["runs"][0]
    places = [one["locations"][0]["physicalLocation"]["artifactLocation"] for one in run["results"]]
    assert {"uri": whole, "uriBaseId": "%SRCROOT%"} in places
    assert all(place["uri"].startswith("fleet/") for place in places)
    assert f'file="{whole}"' in told["junit"].getvalue()
    assert f"   {name} · " in told["text"].getvalue()
    assert f" {house}: " in told["text"].getvalue()


@pytest.mark.parametrize(("stand", "name", "house"), STANDS)
def test_a_comparison_names_files_alike(
    fleet: Git, stand: str, name: str, house: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And a part that changed is seen from wherever it is asked."""
    here = fleet.folder / stand
    monkeypatch.chdir(here)
    told = record(str(fleet.folder), against="HEAD", here=here)
    assert {(one["old"]["file"], one["new"]["file"]) for one in told["comparisons"]} == {
        (f"HEAD:fleet/vehicles/{one}.yaml", f"fleet/vehicles/{one}.yaml")
        for one in ("aster", "foxglove")
    }
    assert f"new {name}" in diff(str(fleet.folder), against="HEAD", here=here)[1]


@pytest.mark.parametrize("asked", ["disk", "HEAD"])
def test_the_list_of_submodules_is_read_at_the_top_of_git(git: Git, asked: str) -> None:
    """A shop in a folder of a firm's repository: the list lies above its house file."""
    git.write(".gitmodules", '[submodule "p"]\n\tpath = shop/parts\n\turl = ../p\n')
    git.write("shop/house.yaml", "gonogo: house/1\n")
    git.write(
        "shop/vehicles/a.yaml",
        "gonogo: profile/1\nvehicle: {name: A}\nmotor: {part: ../parts/motor.yaml}\n",
    )
    git.commit("One")
    place = git.folder / "shop/vehicles/a.yaml"
    side = side_of(str(place) if asked == "disk" else "HEAD:shop/vehicles/a.yaml", git.folder)
    with pytest.raises(DocumentErrors) as caught:
        load_profile(side.repository, side.path)
    (wanted,) = (error.wanted for error in caught.value.errors if "motor.yaml" in error.found)
    assert "`parts` is a submodule that is not fetched" in wanted


@pytest.mark.parametrize(("stand", "name", "house"), STANDS)
def test_two_named_sides_are_named_as_all_others(
    fleet: Git, stand: str, name: str, house: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """People find them from where they stand, machines from git's top, be one of them elsewhere."""
    here = fleet.folder / stand
    monkeypatch.chdir(here)
    other = tmp_path / "elsewhere/calm.yaml"
    other.parent.mkdir()
    other.write_text(CALM)
    whole = f"fleet/{BIKE}"
    way = os.path.relpath(other, here)
    for old, was in ((f"HEAD:{whole}", f"HEAD:{whole}"), (str(other), way)):
        text = diff(old, name, here=here)[1]
        assert f"old {was}\n" in text and f"new {name}\n" in text and f" {house}: " in text
        told = record(old, name, here=here)
        assert told["new"]["file"] == whole
        sarif = json.loads(diff(old, name, here=here, form="sarif")[1])
        places = [one["locations"][0]["physicalLocation"] for one in sarif["runs"][0]["results"]]
        assert places and all(one["artifactLocation"]["uri"] == whole for one in places)
    tried = diff(name, here=here, tried=["settings.battery_current_A=70"])[1]
    assert f"new {name}" in tried and f" {house}: " in tried
