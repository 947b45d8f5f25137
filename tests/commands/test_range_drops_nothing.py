"""Between two commits a vehicle that stops being one is told as on the disk, without a look at it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.commands.test_diff import BIKE, CALM, HOT, HOUSE, WARM, Git, diff, record, validator_of
from tests.commands.test_nothing_drops_out import BECAME, OTHER, RETIRED, WITH_ID

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def shop(git: Git) -> Git:
    """Two vehicles, one with an id, committed."""
    git.write("house.yaml", HOUSE)
    git.write(BIKE, WITH_ID)
    git.write(OTHER, CALM.replace("Foxglove", "Alder"))
    git.commit("As they left")
    return git


def only(shop: Git, *paths: str) -> tuple[int, dict[str, Any]]:
    """The exit status of the last commit, and the one vehicle that it changed; the disk is bare."""
    shop.commit("Then")
    shop("rm", "-r", "--quiet", "--force", "vehicles", "house.yaml")
    came_to, _ = diff("HEAD~1..HEAD", *paths, here=shop.folder)
    told = record("HEAD~1..HEAD", *paths, here=shop.folder)
    assert list(validator_of("comparison").iter_errors(told)) == []
    (one,) = told["comparisons"]
    return came_to, one


@pytest.mark.parametrize(("became", "kind", "why"), BECAME)
def test_a_vehicle_that_is_none_any_more_is_counted(
    shop: Git, became: Callable[[Path], object], kind: str, why: str
) -> None:
    """A hook on a server has only commits to look at."""
    became(shop.folder / BIKE)
    came_to, told = only(shop, "vehicles")
    assert told["ceased"] == {"as": kind, "why": why} and told["new"] is None
    assert came_to == (3 if why.endswith("a rule now") else 1)
    text = " ".join(diff("HEAD~1..HEAD", "vehicles", here=shop.folder)[1].split())
    word = {"gone": "GONE", "no_profile": "NO LONGER A PROFILE"}[kind]
    assert f"{word}, was GO Foxglove" in text and f"1 {word} · 1 profile changed" in text


def test_a_retired_vehicle_is_not_missed(shop: Git) -> None:
    """The house file of the later commit says that it was sold."""
    (shop.folder / BIKE).unlink()
    shop.write("house.yaml", RETIRED)
    came_to, told = only(shop, "vehicles")
    assert came_to == 0 and told["ceased"]["as"] == "retired"


def test_a_vehicle_that_comes_back_is_not_new(shop: Git) -> None:
    """The earlier commit had it retired."""
    (shop.folder / BIKE).unlink()
    shop.write("house.yaml", RETIRED)
    shop.commit("Sold")
    shop.write(BIKE, WITH_ID)
    shop.write("house.yaml", HOUSE)
    came_to, told = only(shop)
    assert came_to == 0 and told["returned"] is True and told["old"] is None
    assert "BACK, GO   Foxglove" in diff("HEAD~1..HEAD", here=shop.folder)[1]


def test_an_id_knows_a_vehicle_again_where_no_line_does(shop: Git) -> None:
    """Moved and written anew: the file that is gone and the new one are one vehicle."""
    (shop.folder / BIKE).unlink()
    other = "\n".join(reversed([f"# {line}" for line in CALM.split("\n")])) * 9
    shop.write(
        "vehicles/fox.yaml", WARM.replace("name: Foxglove", "name: Fox\n  id: foxglove-1") + other
    )
    _, told = only(shop)
    assert told["old"]["file"] == f"HEAD~1:{BIKE}" and told["new"]["name"] == "Fox"
    assert [change["quantity"] for change in told["changes"]] == [
        "settings.battery_current_A",
        "vehicle.name",
    ]


def test_another_vehicle_under_the_same_name_takes_nothing_over(shop: Git) -> None:
    """The file stays, the vehicle in it is another by its id: one is gone, one is new."""
    shop.write(BIKE, HOT.replace("name: Foxglove", "name: Teasel\n  id: teasel-1"))
    shop.commit("Then")
    came_to, _ = diff("HEAD~1..HEAD", here=shop.folder)
    told = record("HEAD~1..HEAD", here=shop.folder)["comparisons"]
    assert came_to == 1
    assert [(one["old"] and one["old"]["name"], one["new"] and one["new"]["name"]) for one in told] == [
        (None, "Teasel"), ("Foxglove", None)]  # fmt: skip
    assert told[1]["ceased"]["why"] == "its file describes another vehicle now"


def test_an_id_stands_in_one_profile_alone(shop: Git) -> None:
    """Two vehicles of one id would pass for each other."""
    shop.write(OTHER, WITH_ID.replace("Foxglove", "Alder"))
    shop.commit("A copy")
    came_to, text = diff("HEAD~1..HEAD", here=shop.folder)
    assert came_to == 3 and text.count("which vehicles/") + text.count("which HEAD:vehicles/") == 2


def test_where_the_old_side_cannot_be_read_no_vehicle_is_called_new(shop: Git) -> None:
    """It may have been flagged for years."""
    shop.write(BIKE, CALM.replace("series: 16", "series: many"))
    shop.commit("A slip")
    shop.write(BIKE, HOT)
    shop.commit("Put right")
    came_to, text = diff("HEAD~1..HEAD", here=shop.folder)
    assert came_to == 1 and "NOT KNOWN → NO-GO" in text and "NEW" not in text
    assert "it is new" not in text and "not known: the old side cannot be read" in text
