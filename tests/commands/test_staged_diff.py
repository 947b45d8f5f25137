"""`gonogo diff --staged`: what the next commit would do to a shop, whatever lies on the disk."""

from __future__ import annotations

from typing import Any

import pytest
from gonogo.commands.main import status
from gonogo.documents.error import RevisionError

from tests.commands.test_diff import (
    BIKE,
    CALM,
    CALMER,
    HOT,
    HOUSE,
    PART,
    WARM,
    WITH_PART,
    Git,
    changes,
    diff,
    record,
    validator_of,
)
from tests.commands.test_fleet_diff import WAIVED
from tests.commands.test_nothing_drops_out import OTHER, RETIRED, WITH_ID, with_two_vehicles
from tests.commands.test_revisions import SCRIPTS, hook, refused

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def shop(git: Git, monkeypatch: pytest.MonkeyPatch) -> Git:
    """Two vehicles, one with an id, committed, and somebody who stands at the top."""
    monkeypatch.chdir(git.folder)
    return with_two_vehicles(git)


def staged(shop: Git, *paths: str) -> tuple[int, list[dict[str, Any]]]:
    """The status, and the vehicles that differ, held to the schema."""
    came_to, _ = diff(*paths, here=shop.folder, staged=True)
    told = record(*paths, here=shop.folder, staged=True)
    assert list(validator_of("comparison").iter_errors(told)) == []
    assert told["against"] == "HEAD"
    return came_to, told["comparisons"]


def test_what_is_staged_is_compared_and_not_what_lies_on_the_disk(shop: Git) -> None:
    """A danger that is staged and then corrected on the disk alone would still be committed."""
    shop.write(BIKE, HOT)
    assert staged(shop) == (0, [])
    shop("add", BIKE)
    shop.write(BIKE, CALM)
    came_to, (one,) = staged(shop)
    assert came_to == 1 and one["harms"]
    assert (one["old"]["file"], one["new"]["file"]) == (f"HEAD:{BIKE}", f":{BIKE}")
    assert BIKE in diff(here=shop.folder, staged=True, form="lines")[1].split(":")[0]


def test_a_danger_that_stood_before_keeps_nobody_from_a_commit(shop: Git) -> None:
    """A hook that judges what is there would; this one asks what the commit brings."""
    shop.write(OTHER, HOT.replace("Foxglove", "Alder"))
    shop.commit("Hot")
    shop.write(BIKE, WARM.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1"))
    shop("add", "--all")
    came_to, (one,) = staged(shop)
    assert came_to == 0 and changes(one) == CALMER


def test_a_vehicle_that_is_deleted_in_the_index_is_gone(shop: Git) -> None:
    """Though its file still lies there."""
    shop("rm", "--quiet", "--cached", BIKE)
    came_to, (one,) = staged(shop)
    assert came_to == 1 and one["ceased"]["as"] == "gone"
    text = " ".join(diff(here=shop.folder, staged=True)[1].split())
    assert "GONE, was GO Foxglove" in text and "1 GONE" in text
    shop.write("house.yaml", RETIRED)
    assert staged(shop)[0] == 1
    shop("add", "house.yaml")
    came_to, told = staged(shop)
    assert came_to == 0 and told[0]["ceased"]["as"] == "retired"


def test_an_id_that_is_staged_twice_is_an_error(shop: Git) -> None:
    """Two vehicles of one id would pass for each other."""
    shop.write(OTHER, WITH_ID.replace("Foxglove", "Alder"))
    assert staged(shop)[0] == 0
    shop("add", OTHER)
    assert staged(shop)[0] == 3


def test_a_move_is_followed_and_a_waiver_counted(shop: Git) -> None:
    """As between two commits."""
    shop("mv", BIKE, "vehicles/fox.yaml")
    shop.write(OTHER, WAIVED.replace("Foxglove", "Alder"))
    shop("add", "--all")
    came_to, told = staged(shop)
    assert came_to == 1
    moved = {one["old"]["file"]: one for one in told}
    assert moved[f"HEAD:{BIKE}"]["new"]["file"] == ":vehicles/fox.yaml"
    assert moved[f"HEAD:{BIKE}"]["empty"] and not moved[f"HEAD:{BIKE}"]["waived_here"]
    assert moved[f"HEAD:{OTHER}"]["waived_here"] == {"danger": 1}


def test_a_staged_part_changes_its_vehicles(shop: Git) -> None:
    """And the paths of a call restrict what is looked at, from where the user stands."""
    shop.write("parts/hub.yaml", PART)
    shop.write(BIKE, WITH_PART)
    shop.commit("A part")
    shop.write("parts/hub.yaml", PART.replace("magnets: 10", "magnets: 14"))
    shop("add", "parts")
    came_to, told = staged(shop)
    assert came_to == 1 and [one["new"]["file"] for one in told] == [f":{BIKE}"]
    assert staged(shop, OTHER) == (0, [])
    assert diff("../vehicles", here=shop.folder / "parts", staged=True)[0] == 1
    assert diff("nowhere", here=shop.folder, staged=True)[0] == 3


def test_before_the_first_commit_every_vehicle_is_new(git: Git) -> None:
    """A hook is asked for the first commit too."""
    git.write("house.yaml", HOUSE)
    git.write(BIKE, HOT)
    git("add", "--all")
    came_to, text = diff(here=git.folder, staged=True)
    assert came_to == 1 and "NEW, NO-GO" in text
    git.write(BIKE, WARM)
    git("add", "--all")
    assert diff(here=git.folder, staged=True)[0] == 0


def test_a_hook_refuses_what_a_commit_brings(shop: Git) -> None:
    """As it stands on the page: a danger, a vehicle taken out, a part; what stood before passes."""
    hook(shop.folder / ".git/hooks", "pre-commit", SCRIPTS[1])
    shop.write(BIKE, HOT)
    assert refused(shop, "commit", "--all", "-m", "a danger")
    assert refused(shop, "commit", "-m", "one file", BIKE)
    shop.write(BIKE, WARM)
    assert not refused(shop, "commit", "--all", "-m", "sound")


@pytest.mark.parametrize(
    "words",
    [
        pytest.param(["--staged", "--against", "HEAD"], id="two things to compare with"),
        pytest.param(["--staged", "HEAD~1..HEAD"], id="two commits"),
        pytest.param(["--staged", "--set", "settings.pole_pairs=7"], id="a value that is tried"),
    ],
)
def test_a_call_that_asks_for_two_comparisons_is_refused(
    shop: Git, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is compared, and the answer says what does not go together."""
    shop.commit("Another")
    assert status(["diff", *words]) == 2
    said = capsys.readouterr().err
    assert "--staged" in said and "Traceback" not in said


@pytest.mark.parametrize("word", ["HEAD~1..", "HEAD~1...", "..HEAD~1"])
def test_a_side_that_is_left_out_is_the_last_commit(shop: Git, word: str) -> None:
    """As git has it; what is a file, or no commit, is none of it."""
    shop.write(BIKE, WARM.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1"))
    shop.commit("Calmer")
    (one,) = record(word, here=shop.folder)["comparisons"]
    sides = [one[side]["file"].partition(":")[0] for side in ("old", "new")]
    assert sides.index("HEAD") == (0 if word.startswith("..") else 1) and changes(one)
    with pytest.raises(RevisionError):
        record("nothing..", here=shop.folder)
