"""`gonogo waivers`: what has been accepted in a shop, how much of it, until when and by whom."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.check import run as check
from gonogo.commands.diff import run as diff
from gonogo.commands.main import status
from gonogo.commands.output import GO, NO_GO, NOT_READ, USAGE
from gonogo.commands.waivers import run
from gonogo.documents.error import NoProfile
from gonogo.documents.schema import schema_text
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

SHOP = Path(__file__).parents[2] / "examples" / "workshop"
YARROW = (SHOP / "vehicles" / "yarrow.yaml").read_text("utf-8")
VEHICLE = "vehicles/yarrow.yaml"
RULE = "speed-shown-circumference-off"
Git = Any


def told(folder: Path, came_to: int = GO) -> list[dict[str, Any]]:
    """The waivers of a folder, held to the schema."""
    out = io.StringIO()
    assert run([folder], form="json", as_of="2026-11-25", out=out) == came_to
    record = json.loads(out.getvalue())
    report = Resource.from_contents(json.loads(schema_text("report")))
    known = Registry().with_resources([("urn:gonogo:report", report)])
    schema = json.loads(schema_text("waivers"))
    assert list(Draft202012Validator(schema, registry=known).iter_errors(record)) == []
    waivers: list[dict[str, Any]] = record["waivers"]
    return waivers


@pytest.fixture
def shop(git: Git) -> Git:
    """A vehicle without its waiver, committed by one person."""
    for path in SHOP.rglob("*.yaml"):
        inside = path.relative_to(SHOP).as_posix()
        if not inside.startswith("vehicles/"):
            git.write(inside, path.read_text("utf-8"))
    git.write(VEHICLE, YARROW[: YARROW.index("\nwaivers:")] + "\n")
    git.commit("As it left")
    return git


def test_a_waiver_is_told_with_who_added_it(shop: Git) -> None:
    """Whom to ask; who only moves the file or changes another line is another."""
    assert told(shop.folder) == []
    shop.write(VEHICLE, YARROW)
    (one,) = told(shop.folder)
    assert one["added"] is None and one["age_days"] is None
    shop("add", "--all")
    day = "--date=2026-11-01T10:00:00"
    shop("commit", "--quiet", "--author=Rider <rider@example.org>", day, "-m", "Waive")
    shop("mv", VEHICLE, "vehicles/rowan.yaml")
    shop.commit("Renamed")
    shop.write("vehicles/rowan.yaml", YARROW.replace("name: Yarrow", "name: Rowan"))
    shop.commit("Another name")
    (one,) = told(shop.folder)
    assert (one["added"]["by"], one["added"]["on"], one["age_days"]) == ("Rider", "2026-11-01", 24)
    assert (one["rule"], one["vehicle"], one["accepts"]) == (RULE, "Rowan", 1400)
    assert (one["state"], one["last_day"], one["size"]) == ("covers", "2027-06-30", "1400 mm")


def test_who_prolongs_a_waiver_answers_for_it(
    shop: Git, capsys: pytest.CaptureFixture[str]
) -> None:
    """Who added it looked at another day."""
    shop.write(VEHICLE, YARROW)
    shop.commit("Waive")
    longer = "# Checked\n" + YARROW.replace("2027-06-30", "2027-08-31")
    shop.write(VEHICLE, longer)
    (one,) = told(shop.folder)
    assert one["added"]["by"] == "Builder" and one["accepted"] is None
    shop("add", "--all")
    shop("commit", "--quiet", "--author=Rider <rider@example.org>", "-m", "Longer")
    shop.write(VEHICLE, f"# And again\n{longer}")
    (one,) = told(shop.folder)
    assert (one["added"]["by"], one["accepted"]["by"]) == ("Builder", "Rider")
    assert status(["waivers", str(shop.folder), "--as-of", "2026-11-25"]) == GO
    text = " ".join(capsys.readouterr().out.split())
    assert "added by Builder · size or last day by Rider on" in text
    shop.write(VEHICLE, longer.replace("accepts: 1400", "accepts: 1405"))
    assert told(shop.folder)[0]["accepted"] is None


def test_the_state_of_each_is_told(shop: Git) -> None:
    """One that is over or covers nothing is not in force."""
    shop.write(VEHICLE, YARROW.replace("2027-06-30", "2026-06-30"))
    assert [one["state"] for one in told(shop.folder)] == ["over"]


@pytest.mark.parametrize(
    ("old", "new", "state", "says"),
    [
        pytest.param(
            "accepts: 1400",
            "accepts: 1350",
            "too small",
            "more than 1350 mm, but 1400 mm",
            id="small",
        ),
        pytest.param("accepts: 1400", "accepts: 2800", "too large", "beyond the", id="large"),
        pytest.param(
            "    accepts: 1400", "", "without a size", "accepts no value, but 1400 mm", id="none"
        ),
        pytest.param("2027-06-30", "2028-06-30", "too long", "year", id="long"),
        pytest.param(
            RULE, "regen-above-pack-charge", "covers nothing", "covers no finding", id="no finding"
        ),
    ],
)
def test_a_waiver_that_covers_nothing_says_why(
    shop: Git, old: str, new: str, state: str, says: str
) -> None:
    """Who wrote one too small has to know that, not that there is nothing to waive."""
    assert old in YARROW
    shop.write(VEHICLE, YARROW.replace(old, new))
    assert [one["state"] for one in told(shop.folder)] == [state]
    out = io.StringIO()
    check([shop.folder / VEHICLE], "json", out=out, as_of="2026-11-25")
    (profile,) = json.loads(out.getvalue())["profiles"]
    about = [one["message"] for one in profile["findings"] if one["rule"].startswith("waiver-")]
    assert len(about) == 1 and says in about[0]


def test_a_name_that_git_gives_is_shown_without_what_a_terminal_obeys(shop: Git) -> None:
    """Anybody can call themselves anything."""
    shop.write(VEHICLE, YARROW)
    shop("add", "--all")
    shop("commit", "--quiet", "--author=Ri\x1b[31mder <r@example.org>", "-m", "Waive")
    (one,) = told(shop.folder)
    assert "\x1b" not in one["added"]["by"]


def test_the_screen_says_the_same(shop: Git, capsys: pytest.CaptureFixture[str]) -> None:
    """Within the width of a screen."""
    shop.write(VEHICLE, YARROW)
    shop.commit("Waive")
    assert status(["waivers", str(shop.folder), "--as-of", "2026-11-25"]) == GO
    text = capsys.readouterr().out
    assert "1 WAIVER" in text and "1400 mm" in text and "added by Builder" in text
    assert max(map(len, text.splitlines())) <= 80


def test_what_cannot_be_read_is_told(shop: Git, tmp_path: Path) -> None:
    """A waiver in a file that nobody could read is not gone."""
    shop.write("vehicles/broken.yaml", "gonogo: profile/1\nvehicle: {nam: x}\n")
    assert told(shop.folder, NOT_READ) == []
    (tmp_path / "empty").mkdir()
    with pytest.raises(NoProfile):
        run([tmp_path / "empty"])
    assert status(["waivers", str(SHOP), "--format", "html"]) == USAGE


def test_without_git_the_waivers_are_told_all_the_same(tmp_path: Path) -> None:
    """Only who added them is not known."""
    (tmp_path / "one.yaml").write_text(
        "gonogo: profile/1\nvehicle: {name: One, use: off_road}\nwaivers:\n"
        f"  - {{rule: {RULE}, reason: Tried on a ride., until: '2027-01-01'}}\n",
        encoding="utf-8",
    )
    (one,) = told(tmp_path)
    assert (one["added"], one["state"], one["size"]) == (None, "covers nothing", None)


@pytest.mark.parametrize("size", ["1400 mm", "1.4 m", '"1400 mm"', "140cm"])
def test_a_size_with_a_unit_is_answered_with_the_unit_that_counts(
    shop: Git, size: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where a number alone is wanted, who reads that has to know a number of what."""
    shop.write(VEHICLE, YARROW.replace("accepts: 1400", f"accepts: {size}"))
    assert status(["check", str(shop.folder / VEHICLE)]) == NOT_READ
    said = " ".join(capsys.readouterr().out.split())
    assert "without its unit: it counts in that of the key at which the finding points" in said
    assert "Traceback" not in said


def test_a_size_is_told_with_its_unit_where_nothing_is_found(
    shop: Git, capsys: pytest.CaptureFixture[str]
) -> None:
    """A number alone leaves open whether that was a tenth of it."""
    shop.write(VEHICLE, YARROW.replace("circumference_mm: 1400", "circumference_mm: 1330"))
    (one,) = told(shop.folder)
    assert (one["state"], one["size"], one["found"]) == ("covers nothing", "1400 mm", None)
    assert status(["sheet", str(shop.folder / VEHICLE), "--as-of", "2026-11-25"]) in (GO, 4)
    assert "up to 1400 mm" in " ".join(capsys.readouterr().out.split())


def test_a_comparison_tells_the_size_with_its_unit(
    shop: Git, capsys: pytest.CaptureFixture[str]
) -> None:
    """Enlarged, and taken away."""
    shop.write(VEHICLE, YARROW)
    shop.commit("Waive")
    shop.write(VEHICLE, YARROW.replace("accepts: 1400", "accepts: 1410"))
    assert status(["diff", str(shop.folder / VEHICLE), "--as-of", "2026-11-25"]) == NO_GO
    assert "1400 → 1410 mm" in " ".join(capsys.readouterr().out.split())


def test_a_size_whose_key_is_another_now_is_accepted_anew(shop: Git) -> None:
    """1400 of millimetres are no 1400 of another unit, though the waiver reads the same."""
    inches = YARROW.replace("accepts: 1400", "accepts: 55.118").replace(
        "circumference_mm: 1400", "circumference_in: 55.118"
    )
    shop.write(VEHICLE, YARROW)
    shop.commit("Waive")
    shop.write(VEHICLE, inches)
    out = io.StringIO()
    came_to = diff([str(shop.folder / VEHICLE)], form="json", as_of="2026-11-25", out=out)
    assert came_to == NO_GO and json.loads(out.getvalue())["waived_here"] == {"fault": 1}


def test_a_shallow_clone_does_not_say_who_added_what_it_begins_with(
    shop: Git, tmp_path: Path
) -> None:
    """Its first commit only took the waiver over: its author never accepted anything."""
    shop.write(VEHICLE, YARROW)
    shop("add", "--all")
    shop("commit", "--quiet", "--author=Ben <ben@example.org>", "-m", "Waived")
    shop.write("notes.txt", "x")
    shop("add", "--all")
    shop("commit", "--quiet", "--author=Cleo <cleo@example.org>", "-m", "Elsewhere")
    clone = tmp_path / "clone"
    shop("clone", "--quiet", "--depth", "1", f"file://{shop.folder}", str(clone))
    assert [one["added"]["by"] for one in told(shop.folder)] == ["Ben"]
    assert [(one["added"], one["age_days"]) for one in told(clone)] == [(None, None)]
    out = io.StringIO()
    run([clone], as_of="2026-11-25", out=out)
    text = " ".join(out.getvalue().split())
    assert "added before this shallow clone begins" in text and "Cleo" not in text
