"""A vehicle that stops being one is told by `gonogo diff --against`, whatever became of its file."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.check import run as check
from gonogo.commands.history import run as history
from gonogo.commands.shop import run as whole

from tests.commands.test_diff import (
    BIKE,
    CALM,
    HOT,
    HOUSE,
    PART,
    WITH_PART,
    Git,
    diff,
    record,
    validator_of,
)

pytestmark = pytest.mark.usefixtures("frozen")
TODAY = "2026-11-25"
FOLDER = "vehicles"
OTHER = "vehicles/alder.yaml"
WITH_ID = CALM.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1")
RETIRED = HOUSE + 'retired: [{id: foxglove-1, since: "2026-11-01"}]\n'


def with_two_vehicles(git: Git) -> Git:
    """A repository with two vehicles, one with an id, committed."""
    git.write("house.yaml", HOUSE)
    git.write(BIKE, WITH_ID)
    git.write(OTHER, CALM.replace("Foxglove", "Alder"))
    git.commit("As they left")
    return git


@pytest.fixture
def shop(git: Git) -> Git:
    """Two vehicles, one with an id, committed."""
    return with_two_vehicles(git)


def renamed(name: str) -> Callable[[Path], object]:
    """The vehicle's file under another name."""

    def do(file: Path) -> None:
        target = file.parents[1] / name
        target.parent.mkdir(exist_ok=True)
        file.rename(target)

    return do


def into_a_folder(file: Path) -> None:
    file.unlink()
    file.mkdir()
    (file / "notes.txt").write_text("sold")


BECAME = [
    pytest.param(Path.unlink, "gone", "", id="deleted"),
    pytest.param(renamed("vehicles/foxglove.yaml.bak"), "gone", "`foxglove.yaml.bak` is not a YAML file by its name", id="set aside"),
    pytest.param(renamed("attic/foxglove.yaml"), "gone", "moved to `attic/foxglove.yaml`, outside the paths compared", id="moved out of sight"),
    pytest.param(into_a_folder, "gone", "a folder has its name now", id="a folder"),
    pytest.param(lambda file: file.write_text(""), "no_profile", "the file is empty now", id="emptied"),
    pytest.param(lambda file: file.write_text("# " + CALM.replace("\n", "\n# ")), "no_profile", "the file does not begin with `gonogo: profile/1`", id="commented out"),
    pytest.param(lambda file: file.write_text("gonogo: rule/1\n"), "no_profile", "the file is a rule now", id="another kind"),
]  # fmt: skip


def only(shop: Git, *paths: str) -> tuple[int, dict[str, Any]]:
    """The exit status, and the one vehicle that is told."""
    came_to, _ = diff(*paths, here=shop.folder, against="HEAD")
    told = record(*paths, here=shop.folder, against="HEAD")
    assert list(validator_of("comparison").iter_errors(told)) == []
    (one,) = told["comparisons"]
    return came_to, one


@pytest.mark.parametrize(("became", "kind", "why"), BECAME)
def test_a_vehicle_that_is_none_any_more_is_counted(
    shop: Git, became: Callable[[Path], object], kind: str, why: str
) -> None:
    """Nobody asks after a vehicle that no report names."""
    became(shop.folder / BIKE)
    came_to, told = only(shop, FOLDER)
    assert told["ceased"] == {"as": kind, "why": why} and told["new"] is None
    assert came_to == (3 if why.endswith("a rule now") else 1)
    text = " ".join(diff(FOLDER, here=shop.folder, against="HEAD")[1].split())
    word = {"gone": "GONE", "no_profile": "NO LONGER A PROFILE"}[kind]
    assert f"{word}, was GO Foxglove" in text and f"1 {word} · 1 profile changed" in text
    where = "in what could be read" if came_to == 3 else "in the others"
    assert f"no new, worse or hidden danger or fault {where} ·" in text


@pytest.mark.parametrize("name", ["foxglove.YAML", ".foxglove.yaml", "digitalis.yml"])
def test_a_profile_of_another_name_is_followed(shop: Git, name: str) -> None:
    """It is still found and judged, so that nothing is gone."""
    renamed(f"vehicles/{name}")(shop.folder / BIKE)
    came_to, told = only(shop)
    assert came_to == 0 and told["old"] and told["new"]["file"] == f"vehicles/{name}"


def test_a_retired_vehicle_is_not_missed(shop: Git) -> None:
    """Sold, and said so; the day must have come."""
    (shop.folder / BIKE).unlink()
    shop.write("house.yaml", RETIRED)
    came_to, told = only(shop)
    assert came_to == 0 and told["ceased"]["as"] == "retired"
    shop.write("house.yaml", RETIRED.replace("2026-11-01", "2026-12-01"))
    came_to, told = only(shop)
    assert came_to == 1 and told["ceased"]["as"] == "gone"
    assert "from 2026-12-01 on only" in told["ceased"]["why"]


@pytest.mark.parametrize("staged", [False, True])
def test_an_entry_that_names_nobody_or_goes_too_early_is_an_error(shop: Git, staged: bool) -> None:
    """A slip of the hand would leave the vehicle missed, and one without an entry is missed by nobody."""

    def said() -> tuple[int, str]:
        shop("add", "--all")
        where: dict[str, Any] = {"staged": True} if staged else {"against": "HEAD"}
        came_to, text = diff(here=shop.folder, **where)
        return came_to, " ".join(text.split())

    shop.write("house.yaml", RETIRED.replace("foxglove-1", "foxglov-1"))
    came_to, text = said()
    assert came_to == 3 and "the retired id `foxglov-1`, which no vehicle ever had" in text
    assert "meant? foxglove-1" in text
    (shop.folder / BIKE).unlink()
    shop.write("house.yaml", HOUSE)
    shop.commit("Gone")
    shop.write("house.yaml", RETIRED)
    assert said()[0] == 0  # it was there once
    shop.commit("Sold")
    shop.write("house.yaml", HOUSE)
    came_to, text = said()
    assert came_to == 3 and "no entry of `foxglove-1` under `retired` any more" in text
    shop.write(BIKE, WITH_ID)
    assert said()[0] == 0


def test_what_cannot_be_read_on_either_side_is_not_unchanged(shop: Git, tmp_path: Path) -> None:
    """Parts behind a link that leads out of the repository: no vehicle that takes one is checked."""
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts/hub.yaml").write_text(PART)
    (shop.folder / "parts").symlink_to(tmp_path / "parts")
    shop.write(BIKE, WITH_PART)
    shop.commit("Parts of another shop")
    came_to, text = diff(here=shop.folder, against="HEAD")
    said = " ".join(text.split())
    assert came_to == 3 and "2 files NOT READ" in said and "1 unchanged" in said
    assert f"NOT READ {BIKE}" in said


def test_a_vehicle_that_comes_back_is_not_new(shop: Git) -> None:
    """It had been sold; the entry that retired it goes, or it is an error."""
    (shop.folder / BIKE).unlink()
    shop.write("house.yaml", RETIRED)
    shop.commit("Sold")
    shop.write(BIKE, WITH_ID)
    came_to, text = diff(here=shop.folder, against="HEAD")
    said = " ".join(text.split())
    assert came_to == 3 and "the id `foxglove-1` of a vehicle that is retired" in said
    assert "BACK" not in said and "NEW" not in said
    assert check([shop.folder], out=io.StringIO()) == 3
    shop.write("house.yaml", HOUSE)
    came_to, told = only(shop)
    assert came_to == 0 and told["returned"] is True
    assert "BACK, GO" in diff(here=shop.folder, against="HEAD")[1]
    shop.write(BIKE, WITH_ID.replace("battery_current_A: 75", "battery_current_A: 95"))
    text = diff(here=shop.folder, against="HEAD")[1]
    assert "not checked: the vehicle was retired" in text and "it is new" not in text
    shop.commit("Back")
    out = io.StringIO()
    history(shop.folder / BIKE, as_of="2026-11-25", out=out)
    story = " ".join(out.getvalue().split())
    assert "RETIRED" in story and "The vehicle was retired here" in story
    assert "removed or renamed" not in story and "NOT READ" not in story


def test_an_id_knows_a_vehicle_again_where_no_line_does(shop: Git) -> None:
    """Rewritten from its first line to its last, and renamed."""
    (shop.folder / BIKE).unlink()
    short = "gonogo: profile/1\nvehicle: {name: Digitalis, id: foxglove-1, use: off_road}\n"
    shop.write("vehicles/digitalis.yaml", short)
    _, told = only(shop)
    assert told["old"]["file"] == f"HEAD:{BIKE}" and told["new"]["name"] == "Digitalis"


def test_another_vehicle_under_the_same_name_takes_nothing_over(shop: Git) -> None:
    """The file of a sold vehicle is filled in for the next one."""
    shop.write(BIKE, HOT.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-2"))
    told = record(here=shop.folder, against="HEAD")
    sides = [(one["old"] is None, one["new"] is None) for one in told["comparisons"]]
    assert sides == [(True, False), (False, True)]
    assert told["comparisons"][1]["ceased"]["why"] == "its file describes another vehicle now"


def test_an_id_stands_in_one_profile_alone(shop: Git, capsys: pytest.CaptureFixture[str]) -> None:
    """A copy that keeps it would take the other's past for its own; both places are named."""
    shop.write("vehicles/copy.yaml", WITH_ID.replace("Foxglove", "Copy"))
    came_to, text = diff(here=shop.folder, against="HEAD")
    said = " ".join(text.split())
    assert came_to == 3 and "NEW" not in said and " GO " not in said
    assert record(here=shop.folder, against="HEAD")["comparisons"] == []
    assert "the id `foxglove-1`, which vehicles/foxglove.yaml, line" in said
    assert "the id `foxglove-1`, which vehicles/copy.yaml, line" in said
    assert check([shop.folder]) == 3
    assert capsys.readouterr().out.count("an id that no other vehicle has") == 2


def test_a_profile_that_broke_is_counted_as_changed_and_comes_first(shop: Git) -> None:
    """What cannot be read is not checked."""
    shop.write(BIKE, WITH_ID.replace("series: 16", "series: many"))
    came_to, text = diff(here=shop.folder, against="HEAD")
    assert came_to == 3 and "1 file NOT READ · 1 profile changed against HEAD" in text


@pytest.mark.parametrize("staged", [False, True])
def test_a_copy_is_found_out_when_it_alone_is_named(
    shop: Git, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, staged: bool
) -> None:
    """A hook names the files that changed, and none of them is the vehicle that has the id already."""
    shop.write("vehicles/copy.yaml", WITH_ID.replace("Foxglove", "Copy"))
    shop.write("house.yaml", HOUSE + "shops: [inner]\n")
    shop.write("inner/house.yaml", HOUSE)
    (shop.folder / "again").symlink_to(shop.folder / "vehicles")
    shop.write("inner/own.yaml", WITH_ID)  # of another shop
    shop("add", ".")
    monkeypatch.chdir(shop.folder)
    assert check([shop.folder / "vehicles/copy.yaml"], staged=staged) == 3
    printed = " ".join(capsys.readouterr().out.split())
    assert "1 profile: 1 NOT READ · 1 other file NOT READ" in printed
    assert " GO " not in printed and "foxglove.yaml" in printed and "inner" not in printed
    assert check([shop.folder / "inner/own.yaml"], staged=staged) == 0
    assert check([shop.folder / OTHER], staged=staged) == 0


@pytest.mark.parametrize("staged", [False, True])
@pytest.mark.parametrize("named", ["vehicles", "others", "others/link.yaml", "."])
def test_a_link_to_a_profile_is_a_second_one_from_wherever_it_is_looked_at(
    shop: Git, monkeypatch: pytest.MonkeyPatch, staged: bool, named: str
) -> None:
    """It reads its parts from another folder, so that it may be another vehicle under the same id."""
    shop.write(BIKE, WITH_ID)
    (shop.folder / "others").mkdir()
    (shop.folder / "others/link.yaml").symlink_to("../" + BIKE)
    shop("add", ".")
    monkeypatch.chdir(shop.folder)
    assert check([shop.folder / named], staged=staged) == 3


def test_sums_count_each_vehicle_once(shop: Git, capsys: pytest.CaptureFixture[str]) -> None:
    """What has another's id, or cannot be read, has no verdict besides."""
    shop.write("vehicles/copy.yaml", WITH_ID.replace("Foxglove", "Copy"))
    shop.write("vehicles/torn.yaml", CALM.replace("series: 16", "series: many"))
    assert check([shop.folder]) == 3
    assert "4 profiles: 3 NOT READ, 1 GO" in " ".join(capsys.readouterr().out.split())
    out = io.StringIO()
    assert whole([shop.folder], in_one_line=True, as_of="2026-11-25", out=out) == 3
    assert out.getvalue().startswith("4 vehicles: 3 NOT READ, 1 GO")


def checked(shop: Git, **asked: Any) -> tuple[int, str]:
    """The status of a check of the whole shop, and what it prints."""
    out = io.StringIO()
    came_to = check([Path(".")], out=out, as_of=TODAY, **asked)
    return came_to, " ".join(out.getvalue().split())


@pytest.mark.parametrize("asked", [{}, {"staged": True}, {"at": "HEAD"}], ids=str)
def test_a_check_tells_an_entry_of_nobody_and_one_before_its_day(
    shop: Git, monkeypatch: pytest.MonkeyPatch, asked: dict[str, Any]
) -> None:
    """Committed already, no comparison tells of it any more; a planned day is nothing wrong."""
    monkeypatch.chdir(shop.folder)

    def said() -> tuple[int, str]:
        if asked:
            shop.commit("So")
        return checked(shop, **asked)

    sound = said()[0]
    shop.write("house.yaml", RETIRED.replace("foxglove-1", "foxglov-1"))
    shop.commit("A slip")
    came_to, text = checked(shop, **asked)
    assert came_to == 3 and "the retired id `foxglov-1`, which no vehicle ever had" in text
    assert "meant? foxglove-1" in text
    later = RETIRED.replace("2026-11-01", "2026-12-01")
    shop.write("house.yaml", later)
    assert said()[0] == sound
    (shop.folder / BIKE).unlink()
    came_to, text = said()
    assert came_to == 3 and "2026-12-01 as the day since which `foxglove-1` is retired" in text
    shop.write("house.yaml", RETIRED)
    assert said()[0] == sound


def test_without_commits_nobody_can_tell_who_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder without git: an old entry may name a vehicle that left before."""
    (tmp_path / "house.yaml").write_text(RETIRED)
    (tmp_path / "a.yaml").write_text(CALM)
    monkeypatch.chdir(tmp_path)
    out = io.StringIO()
    assert check([Path(".")], out=out, as_of=TODAY) in (0, 4), out.getvalue()
    (tmp_path / "house.yaml").write_text(RETIRED.replace("2026-11-01", "2026-12-01"))
    assert check([Path(".")], out=out, as_of=TODAY) == 3


@pytest.fixture
def broken_before(shop: Git) -> Git:
    """The last commit has the vehicle with an id as nobody can read it."""
    shop.write(BIKE, WITH_ID.replace("series: 16", "series: many"))
    shop.commit("A slip")
    return shop


def forms(shop: Git) -> list[tuple[int, str]]:
    """The status and the text of the same change on the disk, staged, and committed."""
    told = [diff(against="HEAD", here=shop.folder)]
    shop("add", "--all")
    told.append(diff(staged=True, here=shop.folder))
    shop("commit", "--quiet", "-m", "Then")
    told.append(diff("HEAD~1..HEAD", here=shop.folder))
    return [(came_to, " ".join(text.split())) for came_to, text in told]


def test_a_vehicle_that_nobody_could_read_is_not_new_in_another_file(broken_before: Git) -> None:
    """Put right and written anew elsewhere: it may have been flagged for years."""
    (broken_before.folder / BIKE).unlink()
    anew = "\n".join(reversed([f"# {line}" for line in CALM.split("\n")])) * 9
    hot = HOT.replace("name: Foxglove", "name: Fox\n  id: foxglove-1")
    broken_before.write("vehicles/fox.yaml", hot + anew)
    for came_to, text in forms(broken_before):
        assert came_to == 1 and "NOT KNOWN → NO-GO" in text and "NEW" not in text


def test_a_vehicle_that_nobody_could_read_is_missed_in_its_own_file(broken_before: Git) -> None:
    """Another one stands there now: what the first one was is not known, and it is gone."""
    broken_before.write(BIKE, CALM.replace("name: Foxglove", "name: Teasel\n  id: teasel-1"))
    for came_to, text in forms(broken_before):
        assert came_to == 3 and "NOT READ" in text and "many" in text
        assert "NEW, " in text and "Teasel" in text


def test_a_house_file_that_goes_is_told_by_itself(shop: Git) -> None:
    """With it go the shop's rules and limits, whether one of them flags anything today or not."""
    shop.write("house.yaml", HOUSE + "require: [vehicle.mass_kg]\n")
    shop.commit("Asked for")
    (shop.folder / "house.yaml").unlink()
    for came_to, text in forms(shop):
        assert came_to == 1 and "GONE" in text and "no house file any more" in text
        assert "house.yaml GONE" in text and "NOT READ" not in text
    shop.write("house.yaml", HOUSE)
    shop.commit("An empty one")
    (shop.folder / "house.yaml").unlink()
    assert [came_to for came_to, _ in forms(shop)] == [0, 0, 0]  # nothing was asked for


def test_what_may_have_stood_for_years_is_not_called_new(shop: Git) -> None:
    """The house file could not be read, so that nobody was judged; now it can, and nothing was touched."""
    shop.write(BIKE, HOT.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1"))
    waiver = "waivers:\n  - {rule: max-rpm-back-emf, accepts: 6400, until: '2026-12-20', reason: A hill day.}\n"
    shop.write(OTHER, HOT.replace("Foxglove", "Alder") + waiver)
    shop.write("house.yaml", HOUSE + "allowances: {nonsense: 1}\n")
    shop.commit("A slip")
    shop.write("house.yaml", HOUSE + "# looked at\n")
    for came_to, text in forms(shop):
        assert came_to == 1 and "2 with a danger or fault not known before" in text
        assert "new, worse or hidden danger or fault in the others" in text
        assert re.search(r"2 dangers, 1 fault, . advice not known before", text), text
        assert "waived, not known whether before" in text, text[-2500:]
        assert "waived by this change" not in text
