"""What a change brought, as code hosts and editors are told it: news alone, and nothing of it lost."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.commands.test_diff import BIKE, CALM, HOT, HOUSE, WARM, Git, diff
from tests.commands.test_nothing_drops_out import RETIRED, WITH_ID
from tests.standards.readers import Message, fingerprints_in, read_lines, read_sarif

pytestmark = pytest.mark.usefixtures("frozen")
OTHER = "vehicles/alder.yaml"
REASON = "It was tried on the roller stand."


@pytest.fixture
def shop(git: Git) -> Git:
    """A calm vehicle and one that is no GO already, committed."""
    git.write("house.yaml", HOUSE)
    git.write(BIKE, WITH_ID)
    git.write(OTHER, HOT.replace("Foxglove", "Alder"))
    git.commit("As they left")
    return git


def news(shop: Git, *sides: str, **more: Any) -> tuple[int, list[dict[str, Any]], list[Message]]:
    """The exit status, the results of the log, which a stranger can read, and the messages."""
    more = more or {"against": "HEAD"}
    came_to, text = diff(*sides, here=shop.folder, form="sarif", **more)
    marks = fingerprints_in(read_sarif(text))
    assert len(set(marks)) == len(marks)
    again, lines = diff(*sides, here=shop.folder, form="lines", **more)
    assert again == came_to
    results: list[dict[str, Any]] = json.loads(text)["runs"][0]["results"]
    return came_to, results, read_lines(lines)


def states(results: list[dict[str, Any]]) -> set[tuple[str, str, str]]:
    return {(one["ruleId"], one["level"], one["baselineState"]) for one in results}


def told(messages: list[Message]) -> set[tuple[str, str]]:
    """The word and the rule of each message about a place, with the way before it."""
    return {(one.word, one.text.partition(": ")[0]) for one in messages if one.file}


def test_what_stood_before_is_no_news(shop: Git) -> None:
    """A reviewer is shown what the change did, and not the whole fleet's past."""
    shop.write(BIKE, WARM.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1"))
    shop.write(OTHER, HOT.replace("Foxglove", "Alder") + "# looked at\n")
    came_to, results, messages = news(shop)
    assert (came_to, results, told(messages)) == (0, [], set())
    assert [one.word for one in messages][-1] == "total"


def test_a_new_danger_stands_at_its_line(shop: Git) -> None:
    """By the path that the code host has, and by the one that the editor opens."""
    shop.write(BIKE, HOT.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1"))
    came_to, results, messages = news(shop)
    assert came_to == 1
    assert ("battery-current-above-cells", "error", "new") in states(results)
    assert ("danger", "new") in told(messages)
    place = results[0]["locations"][0]["physicalLocation"]
    assert place["artifactLocation"] == {"uri": BIKE, "uriBaseId": "%SRCROOT%"}
    line = (shop.folder / BIKE).read_text().split("\n")[place["region"]["startLine"] - 1]
    assert "battery_current_A: 95" in line
    first = messages[0]
    assert (first.file, first.line) == (BIKE, place["region"]["startLine"])
    assert "GO → NO-GO, Foxglove" in messages[-2].text and messages[-2].word == "verdict"


def test_a_finding_is_known_by_the_same_mark_as_in_a_check(shop: Git) -> None:
    """A host that has the log of a check takes the change's for the same findings."""
    from tests.commands.test_fingerprints import marks

    shop.write(BIKE, HOT.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1"))
    _, results, _ = news(shop)
    known = marks(shop.folder / BIKE)
    for one in results:
        assert one["partialFingerprints"]["finding/v1"] in known[one["ruleId"]]


def test_a_worse_danger_is_an_updated_one(shop: Git) -> None:
    """It was there, and it is more now."""
    shop.write(OTHER, HOT.replace("Foxglove", "Alder").replace("A: 95", "A: 99"))
    came_to, results, messages = news(shop)
    assert came_to == 1
    assert ("battery-current-above-cells", "error", "updated") in states(results)
    assert ("danger", "worse") in told(messages)


def test_a_danger_with_its_waiver_is_told_and_suppressed(shop: Git) -> None:
    """Who reviews the change sees that something was accepted by it."""
    waiver = f"waivers: [{{rule: battery-current-above-cells, accepts: 95, reason: {REASON}, until: 2026-12-31}}]\n"
    shop.write(BIKE, HOT.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1") + waiver)
    came_to, results, messages = news(shop)
    waived = {one["ruleId"]: one for one in results if one["suppressions"]}
    assert came_to == 1 and list(waived) == ["battery-current-above-cells"]
    (suppression,) = waived["battery-current-above-cells"]["suppressions"]
    assert suppression["kind"] == "inSource" and REASON in suppression["justification"]
    assert ("waived danger", "new") in told(messages)
    shop.write(OTHER, HOT.replace("Foxglove", "Alder") + waiver)
    _, results, messages = news(shop, OTHER)
    assert ("waived danger", "waived by this change") in told(messages)


def test_a_danger_lost_from_sight_is_no_absent_one(shop: Git) -> None:
    """A machine that hears `absent` closes it, and nothing was mended."""
    blind = HOT.replace("Foxglove", "Alder").replace("continuous_A: 15, ", "")
    assert blind != HOT.replace("Foxglove", "Alder")
    shop.write(OTHER, blind)
    came_to, results, messages = news(shop)
    assert came_to == 1
    lost = [one for one in results if one["message"]["text"].startswith("No longer checked: ")]
    assert ("error", "updated") in {(one["level"], one["baselineState"]) for one in lost}
    assert ("danger", "no longer checked") in told(messages)


def test_a_required_rule_that_nobody_can_check_any_more_is_a_note(shop: Git) -> None:
    """Status 4, and no finding says why."""
    shop.write(BIKE, WITH_ID.replace("rest_V: [0.83, 0.84], ", ""))
    came_to, results, messages = news(shop)
    assert came_to == 4
    assert {one["level"] for one in results} == {"note"} and results
    assert {one.word for one in messages if one.file} == {"required"}
    assert all("no longer checked" in one.text for one in messages if one.file)


def test_a_vehicle_that_is_gone_is_an_error(shop: Git) -> None:
    """By the path that it had; one that is retired is told, and is no harm."""
    (shop.folder / BIKE).unlink()
    came_to, results, messages = news(shop)
    assert came_to == 1 and states(results) == {("vehicle.gone", "error", "new")}
    (place,) = results[0]["locations"]
    assert place["physicalLocation"]["artifactLocation"]["uri"] == BIKE
    assert any(one.text.startswith(f"GONE, was GO, Foxglove, {BIKE}") for one in messages)
    (shop.folder / BIKE).write_text("")
    assert states(news(shop)[1]) == {("vehicle.no-profile", "error", "new")}
    (shop.folder / BIKE).unlink()
    shop.write("house.yaml", RETIRED)
    came_to, results, _ = news(shop)
    assert came_to == 0 and states(results) == {("vehicle.retired", "none", "new")}


def test_what_cannot_be_read_is_said_on_either_side(shop: Git) -> None:
    """The new side fails the run; an old one that nobody can read makes all of it new."""
    shop.write(BIKE, CALM.replace("series: 16", "series: 16 cells"))
    came_to, text = diff(here=shop.folder, against="HEAD", form="sarif")
    (invocation,) = read_sarif(text).invocations or []
    assert came_to == 3 and invocation.execution_successful is False
    assert read_lines(diff(here=shop.folder, against="HEAD", form="lines")[1])[0].word == "error"
    shop.commit("Broken")
    shop.write(BIKE, HOT)
    came_to, results, messages = news(shop)
    assert came_to == 1 and ("battery-current-above-cells", "error", "new") in states(results)
    assert "All that is found counts as new" in next(m for m in messages if m.word == "note").text
    (notice,) = json.loads(diff(here=shop.folder, against="HEAD", form="sarif")[1])["runs"][0][
        "invocations"
    ][0]["toolExecutionNotifications"]
    assert notice["level"] == "warning"


def test_a_new_vehicle_tells_what_it_waits_for(shop: Git) -> None:
    """All of it is new, the required rules that cannot be checked too."""
    shop.write(
        "vehicles/elm.yaml", CALM.replace("Foxglove", "Elm").replace("rest_V: [0.83, 0.84], ", "")
    )
    _, results, messages = news(shop)
    assert {one["level"] for one in results} >= {"note"}
    assert {one.word for one in messages if one.file} >= {"required"}


def test_commits_are_told_by_paths_that_can_be_opened(shop: Git) -> None:
    """Between two commits and for what is staged, no revision stands before a path."""
    shop.write(BIKE, HOT.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1"))
    shop.commit("Hot")
    calls: list[tuple[str, ...]] = [("HEAD~1..HEAD",), (f"HEAD~1:{BIKE}", f"HEAD:{BIKE}")]
    for sides in calls:
        came_to, results, messages = news(shop, *sides, strict=False)
        uris = {
            one["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for one in results
        }
        assert came_to == 1 and uris == {BIKE}
        assert {one.file for one in messages} == {BIKE, ""}


PART = "parts/controller.yaml"
RATED = (
    "gonogo: part/1\npart: {name: Grey, source: {title: Datasheet}}\n"
    "controller:\n  min_V: 36\n  max_V: 90\n"
)


def test_a_danger_that_a_part_brings_stands_at_the_line_that_changed(git: Git) -> None:
    """A review shows what stands beside the change; at lines that nobody touched it shows nothing."""
    rated = CALM.replace("  min_V: 36\n  max_V: 90\n", "  part: ../parts/controller.yaml\n")
    assert rated != CALM
    git.write("house.yaml", HOUSE)
    git.write(PART, RATED)
    git.write(BIKE, rated)
    git.commit("As they left")
    git.write(PART, RATED.replace("max_V: 90", "max_V: 60"))
    came_to, results, messages = news(git)
    assert came_to == 1 and len(results) > 1
    line = RATED.splitlines().index("  max_V: 90") + 1
    for one in results:
        at = one["locations"][0]["physicalLocation"]
        assert (at["artifactLocation"]["uri"], at["region"]["startLine"]) == (PART, line), one
    assert {(one.file, one.line) for one in messages if one.file} == {(PART, line)}
    git.write(PART, RATED.replace("  max_V: 90\n", ""))
    git.commit("Not told")  # a line that is gone is pointed at where it stood
    git.write(BIKE, rated.replace("battery_current_A: 75", "battery_current_A: 95"))
    _, results, _ = news(git)
    lines = (git.folder / BIKE).read_text("utf-8").splitlines()
    (at,) = (number for number, words in enumerate(lines, 1) if "battery_current_A: 95" in words)
    found = {one["locations"][0]["physicalLocation"]["region"]["startLine"] for one in results}
    assert found == {at}


def test_a_required_rule_that_a_part_lost_points_at_the_part(shop: Git) -> None:
    """A review shows changed lines alone: at the first one of a profile nobody would see it."""
    controller = CALM[CALM.index("controller:\n") : CALM.index("motor:\n")]
    part = f"gonogo: part/1\npart: {{name: C, source: {{title: Datasheet}}}}\n{controller}"
    shop.write("parts/c.yaml", part)
    for path, name in ((BIKE, "Foxglove"), (OTHER, "Alder")):
        taken = CALM.replace(controller, "controller: {part: ../parts/c.yaml}\n")
        shop.write(path, taken.replace("Foxglove", name))
    shop.commit("A part for both")
    shop.write("parts/c.yaml", part.replace("  max_V: 90\n", ""))
    came_to, results, messages = news(shop)
    assert came_to == 4
    lost = [one for one in results if one["ruleId"] == "pack-full-above-controller"]
    places = [one["locations"][0]["physicalLocation"] for one in lost]
    assert [place["artifactLocation"]["uri"] for place in places] == ["parts/c.yaml"] * 2
    assert {place["region"]["startLine"] for place in places} == {5}
    assert {one["analysisTarget"]["uri"] for one in lost} == {BIKE, OTHER}
    told_of = [one for one in messages if one.text.startswith("pack-full-above-controller: ")]
    assert {(one.file, one.line, one.text.split(": ")[1]) for one in told_of} == {
        ("parts/c.yaml", 5, f"in {path}") for path in (BIKE, OTHER)
    }
