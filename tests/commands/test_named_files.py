"""`gonogo check FILE…` with whatever changed: each file stands for the profiles that take it."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands import named_paths
from gonogo.commands.check import run as check
from gonogo.commands.formats import FORMATS
from gonogo.documents.search import Search, find

from .test_diff import BIKE, CALM, HOUSE, PART, WITH_PART, Git

pytestmark = pytest.mark.usefixtures("frozen")
DAY = "2026-11-25"
HUB = "parts/hub.yaml"
OTHER = "vehicles/alder.yaml"
CI = "jobs:\n  check: {run: gonogo check}\n"


@pytest.fixture
def shop(git: Git, monkeypatch: pytest.MonkeyPatch) -> Git:
    """One vehicle with a part, one without, committed, and somebody who stands at the top."""
    git.write("house.yaml", HOUSE)
    git.write(HUB, PART)
    git.write(BIKE, WITH_PART)
    git.write(OTHER, CALM.replace("Foxglove", "Alder"))
    git.write("README.md", "# Our shop\n\n    gonogo: profile/1\n\n*and* [more](x): y\n")
    git.commit("As they left")
    monkeypatch.chdir(git.folder)
    return git


def told(*names: str | Path, **asked: Any) -> tuple[int, set[str], dict[str, str]]:
    """The exit status, the profiles that were judged or not read, and the other files by kind."""
    out = io.StringIO()
    status = check([Path(name) for name in names], form="json", as_of=DAY, out=out, **asked)
    record = json.loads(out.getvalue())
    files = {one["file"] for one in record["profiles"]}
    files |= {file for error in record["errors"] for file in error["affects"] or [error["file"]]}
    return status, files, {one["file"]: one["kind"] for one in record["others"]}


@pytest.mark.parametrize("where", ["disk", "staged", "commit"])
def test_a_part_stands_for_the_profiles_that_take_it(shop: Git, where: str) -> None:
    """Whoever changes a motor's rating wants to know which vehicles it grounds, and no others."""
    asked: dict[str, Any] = {"disk": {}, "staged": {"staged": True}, "commit": {"at": "HEAD"}}
    assert told(HUB, **asked[where]) == (0, {BIKE}, {HUB: "part"})


def test_a_part_inside_a_part_is_found_through_it(shop: Git) -> None:
    """A pack names its cell; the vehicle names the pack alone."""
    cell = PARTS_CELL
    shop.write("parts/cell.yaml", cell)
    shop.write("parts/pack.yaml", PARTS_PACK)
    shop.write("vehicles/elm.yaml", WITH_PACK)
    assert told("parts/cell.yaml")[1] == {"vehicles/elm.yaml"}


PARTS_CELL = """\
gonogo: part/1
part: {name: Cell, source: {title: Sheet}}
cell: {chemistry: nmc, full_V: 4.2, nominal_V: 3.6, minimum_V: 2.8, continuous_A: 15}
"""
PARTS_PACK = """\
gonogo: part/1
part: {name: Pack, source: {title: Sheet}}
pack: {series: 14, parallel: 5, cell: {part: cell.yaml}}
"""
WITH_PACK = """\
gonogo: profile/1
vehicle: {name: Elm, use: off_road}
pack: {part: "../parts\\x2fpack.yaml"}
settings: {battery_current_A: 40}
"""


def test_a_link_to_a_part_is_the_part(shop: Git) -> None:
    """Two names of one file: whichever is named, whoever takes the other is judged too."""
    (shop.folder / "parts/alias.yaml").symlink_to("hub.yaml")
    shop.write(BIKE, WITH_PART.replace("hub.yaml", "alias.yaml"))
    assert told(HUB)[1] == {BIKE}
    assert told("parts/alias.yaml")[1] == {BIKE}


def test_a_part_that_is_gone_stands_for_who_names_it(shop: Git) -> None:
    """The vehicle cannot be read any more: that is what the one who deletes it must hear."""
    (shop.folder / HUB).unlink()
    status, files, others = told(HUB)
    assert (status, files, others) == (3, {BIKE}, {HUB: "gone"})
    shop("rm", "-q", "--cached", HUB)
    status, files, others = told(HUB, staged=True)
    assert (status, files, others) == (3, {BIKE}, {HUB: "gone"})


def test_a_house_file_stands_for_its_shop(shop: Git) -> None:
    """An allowance is everybody's, also when the file is gone."""
    assert told("house.yaml") == (0, {BIKE, OTHER}, {"house.yaml": "house"})
    (shop.folder / "house.yaml").unlink()
    assert told("house.yaml")[1:] == ({BIKE, OTHER}, {"house.yaml": "gone"})


def test_a_rule_of_the_shop_stands_for_its_shop(shop: Git) -> None:
    """A rule that was deleted holds for nobody any more, and every verdict may be another."""
    shop.write("house.yaml", HOUSE + "rules: own\n")
    shop.write("own/ramp.yaml", RULE)
    assert told("own/ramp.yaml") == (0, {BIKE, OTHER}, {"own/ramp.yaml": "rule"})
    shop.write("own/other.yaml", RULE.replace("ramp", "other"))
    shop.commit("Rules")
    (shop.folder / "own/ramp.yaml").unlink()
    assert told("own/ramp.yaml") == (0, {BIKE, OTHER}, {"own/ramp.yaml": "gone"})


RULE = """\
gonogo: rule/1
id: ramp
severity: fault
of: settings.battery_current_A
at_most: 5000
says: The battery current limit of {of} is above the {limit} of this shop.
because: The shop has no larger plugs.
remedy: Set it to {limit} or less.
source: The shop.
examples:
  - {given: {settings.battery_current_A: 1}, outcome: clear}
"""


def test_what_is_none_of_ours_is_passed_over(shop: Git) -> None:
    """A hook hands over pictures and pages too; they are named, and nothing fails."""
    (shop.folder / "photo.jpg").write_bytes(b"\xff\xd8\x00" * 700_000)
    shop.write("ci.yaml", CI)
    (shop.folder / "latest").symlink_to("nowhere.txt")
    passed = dict.fromkeys(("README.md", "photo.jpg", "ci.yaml", "latest"), "passed")
    assert told(*passed) == (0, set(), passed)
    assert told(*passed, OTHER) == (0, {OTHER}, passed)


def test_a_file_that_git_knows_is_gone_and_one_that_nobody_knows_is_a_slip(shop: Git) -> None:
    """A deleted vehicle breaks no hook; a name typed wrong must not look like one."""
    shop("rm", "-q", OTHER, "README.md")
    shop.commit("Alder sold")
    gone = {OTHER: "gone", "README.md": "gone"}
    assert told(*gone) == (0, set(), gone)
    assert told(*gone, staged=True)[0] == 0
    assert told("vehicles/aldr.yaml")[:2] == (3, {"vehicles/aldr.yaml"})
    assert told("vehicles/aldr.yaml", staged=True)[0] == 3


def test_without_git_a_missing_file_is_a_slip(shop: Git) -> None:
    """Nobody can tell that it was ever there."""
    shutil.rmtree(shop.folder / ".git")
    assert told("README.txt")[0] == 3


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("", id="emptied"),
        pytest.param("# " + CALM.replace("\n", "\n# "), id="commented out"),
        pytest.param("name: Foxglove\n", id="its first line lost, and most of the rest"),
        pytest.param(CALM.replace("settings:", "settings: ["), id="broken"),
    ],
)
def test_a_profile_that_is_none_any_more_is_told(shop: Git, text: str) -> None:
    """Else a vehicle would leave the fleet by an empty file, with status 0."""
    shop.write(OTHER, text)
    assert told(OTHER)[:2] == (3, {OTHER})


def test_a_broken_part_is_told_once_where_it_is_needed(shop: Git) -> None:
    """With the profiles that wait for it, as in a check of the folder."""
    shop.write(HUB, PART + "  nonsense: [\n")
    status, files, _ = told(HUB)
    assert (status, files) == (3, {BIKE})


def test_a_new_part_that_nobody_takes_blocks_nothing(shop: Git) -> None:
    """It fits its schema, and no vehicle is other than it was; one that does not fit is told."""
    shop.write("parts/new.yaml", PART)
    assert told("parts/new.yaml") == (0, set(), {"parts/new.yaml": "part"})
    shop.write("parts/new.yaml", PART.replace("gonogo: part/1", "gonogo: part/1\nnonsense: 1"))
    assert told("parts/new.yaml")[0] == 3


@pytest.mark.parametrize(
    "form", [form for form in FORMATS if form not in ("sarif", "junit", "json")]
)
def test_no_verdict_is_said_in_words_that_claim_nothing(shop: Git, form: str) -> None:
    """Who types the wrong name must not take an empty report for a GO."""
    out = io.StringIO()
    assert check([Path("README.md")], form=form, as_of=DAY, out=out) == 0
    said = out.getvalue()
    assert "No profile was checked, so there is no verdict" in said and "README" in said
    assert " GO" not in said.split("</style>")[-1]


def test_a_folder_without_a_profile_is_still_wrong_usage(shop: Git) -> None:
    """A folder is a claim that something to be checked lies in it; a changed file is none."""
    from gonogo.documents.error import NoProfile

    with pytest.raises(NoProfile):
        told("parts")


@pytest.mark.parametrize("name", ["gone.yaml", "house.yaml", "larhc.yaml"])
def test_a_name_outside_of_any_shop_is_looked_for_in_its_folder_alone(
    tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Below it may lie the whole disk: `/gone.yaml` is answered at once, with the nearest name."""
    asked: list[str] = []

    def noted(paths: Any, *more: Any) -> Search:
        asked.extend(map(str, paths))
        return find(paths, *more)

    monkeypatch.setattr(named_paths, "find", noted)
    (tmp_path / "deep").mkdir()
    for place in ("larch.yaml", "deep/larch.yaml"):
        (tmp_path / place).write_text(CALM, "utf-8")
    out = io.StringIO()
    came_to = check([tmp_path / name], out=out, as_of="2026-11-25")
    text = out.getvalue()
    assert asked == [str(tmp_path / "larch.yaml")] and "deep" not in text
    if name == "house.yaml":  # it holds for what lies beside it
        assert came_to == 0 and "1 missing file" in text
    else:
        assert came_to == 3 and "no such file" in text
    assert ("larch.yaml" in text) == (name != "gone.yaml")


def test_a_house_file_that_was_never_there_is_no_house_file(tmp_path: Path) -> None:
    """It would be counted as one that holds, with status 0."""
    out = io.StringIO()
    assert check([tmp_path / "house.yaml"], out=out, as_of="2026-11-25") == 3
    assert "no such file" in out.getvalue()
