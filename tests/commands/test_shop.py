"""`gonogo shop`: a fleet on one page, what is not known first, then the worst."""

from __future__ import annotations

import io
import json
import re
import shutil
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands.main import status
from gonogo.commands.output import GO, INCOMPLETE, NO_GO, NOT_READ, USAGE
from gonogo.commands.shop import run
from gonogo.documents.error import NoProfile
from gonogo.documents.schema import schema_text
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

SHOP = Path(__file__).parents[2] / "examples" / "workshop"
DAY = "2026-11-25"
SORREL = "vehicles/sorrel.yaml"  # NO-GO: 5 pole pairs where 14 magnets make 7
Git = Any


@pytest.fixture
def shop(git: Git, monkeypatch: pytest.MonkeyPatch) -> Git:
    """Three vehicles of the example workshop in a repository of their own."""
    for path in SHOP.rglob("*.yaml"):
        name = path.relative_to(SHOP).as_posix()
        if not name.startswith("vehicles/") or path.stem in ("sorrel", "fescue", "yarrow"):
            git.write(name, path.read_text("utf-8"))
    git.commit("As they stand")
    monkeypatch.chdir(git.folder)
    return git


def shown(came_to: int, form: str = "text", **options: Any) -> str:
    out = io.StringIO()
    assert run([Path()], form, as_of=DAY, out=out, **options) == came_to
    return out.getvalue()


def recorded(came_to: int, **options: Any) -> dict[str, Any]:
    """The record, held to its schema."""
    record: dict[str, Any] = json.loads(shown(came_to, "json", **options))
    report = Resource.from_contents(json.loads(schema_text("report")))
    registry = Registry().with_resources([("urn:gonogo:report", report)])
    schema = json.loads(schema_text("shop"))
    assert list(Draft202012Validator(schema, registry=registry).iter_errors(record)) == []
    return record


def edit(shop: Git, path: str, old: str, new: str) -> None:
    text = (shop.folder / path).read_text("utf-8")
    assert old in text
    shop.write(path, text.replace(old, new))


def test_the_worst_stands_first(shop: Git) -> None:
    """Who opens the page in the morning reads its first lines."""
    vehicles = recorded(NO_GO)["vehicles"]
    assert [one["name"] for one in vehicles] == ["Sorrel", "Fescue", "Yarrow"]
    assert [one["stages"]["ride"] for one in vehicles] == ["no-go", "incomplete", "go"]
    text = shown(NO_GO)
    assert text.index("Sorrel") < text.index("Fescue") < text.index("Yarrow")
    assert "1 NO-GO, 1 INCOMPLETE, 1 GO" in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_status_is_that_of_a_check(shop: Git) -> None:
    """A script may ask either."""
    (shop.folder / SORREL).unlink()
    shown(INCOMPLETE)
    (shop.folder / "vehicles/fescue.yaml").unlink()
    shown(GO)
    (shop.folder / "vehicles/yarrow.yaml").unlink()
    with pytest.raises(NoProfile):
        shown(USAGE)


def test_what_cannot_be_read_stands_before_all_else(shop: Git) -> None:
    """A vehicle that drops out of the page in silence is the one that somebody rides."""
    shop.write("vehicles/broken.yaml", "gonogo: profile/1\nvehicle: {nam: x}\n")
    text = shown(NOT_READ)
    assert text.index("NOT READ   vehicles/broken.yaml") < text.index("Sorrel")
    assert recorded(NOT_READ)["errors"][0]["file"] == "vehicles/broken.yaml"
    assert shown(NOT_READ, in_one_line=True).startswith("4 vehicles: 1 NOT READ, 1 NO-GO")


def test_a_vehicle_says_how_near_it_is_to_a_limit(shop: Git) -> None:
    """The stop of regen, 1.6 V below what the pack allows, is nearer than all else that a setting moves."""
    sorrel = recorded(NO_GO)["vehicles"][0]
    tight = sorrel["tightest"]
    assert (tight["rule"], tight["unit"]) == ("regen-stop-above-pack", "V")
    assert tight["margin"] == pytest.approx(tight["limit"] - tight["value"])
    assert tight["share"] == pytest.approx(tight["margin"] / tight["limit"])
    assert "1.6 V from the limit of" in " ".join(shown(NO_GO).split())
    edit(shop, SORREL, "pole_pairs: 5", "pole_pairs: 7")
    text = (shop.folder / SORREL).read_text("utf-8")
    stop = re.search(r"stop_V: ([0-9.]+)", text)
    assert stop is not None
    edit(shop, SORREL, stop[0], f"stop_V: {float(stop[1]) + 2:g}")  # 1.6 V and 0.4 V more
    tight = recorded(NO_GO)["vehicles"][0]["tightest"]
    assert (tight["rule"], tight["margin"]) == ("regen-stop-above-pack", -0.4)
    assert "0.4 V beyond" in shown(NO_GO)


def test_the_age_of_readings_and_what_is_due_are_counted_in_days(shop: Git) -> None:
    """Readings of 18 July are 130 days old on 25 November; a waiver of 30 June has 217 days left."""
    by_name = {one["name"]: one for one in recorded(NO_GO)["vehicles"]}
    assert by_name["Yarrow"]["readings_days"] == 130
    assert by_name["Fescue"]["readings_days"] is None and by_name["Fescue"]["asks"]
    assert by_name["Yarrow"]["waivers"] == []
    by_name = {one["name"]: one for one in recorded(NO_GO, within="217")["vehicles"]}
    (waiver,) = by_name["Yarrow"]["waivers"]
    assert (waiver["last_day"], waiver["left_days"]) == ("2027-06-30", 217)
    assert "Waivers that run out within 217 days" in shown(NO_GO, within="217")


def test_the_trend_follows_the_commits(shop: Git) -> None:
    """Mended, broken again by another file, and back: each commit has its letter."""
    edit(shop, SORREL, "pole_pairs: 5", "pole_pairs: 7")
    shop.commit("Counted the magnets")
    shop.write("notes.txt", "nothing of ours")
    shop.commit("A note")
    (shop.folder / SORREL).rename(shop.folder / "vehicles/rumex.yaml")
    shop.commit("Another name")
    by_name = {one["name"]: one for one in recorded(INCOMPLETE)["vehicles"]}
    trend = [one["verdict"] for one in by_name["Sorrel"]["trend"]]
    assert trend == ["no-go", "go", "go", "go"]
    assert [one["verdict"] for one in by_name["Yarrow"]["trend"]] == ["go"] * 4
    (last,) = {one["name"]: one for one in recorded(INCOMPLETE, commits="1")["vehicles"]}["Sorrel"][
        "trend"
    ]
    assert last["commit"] == shop("rev-parse", "HEAD").strip() and last["verdict"] == "go"
    text = shown(INCOMPLETE)
    assert (
        "NGGG" in text
        and "Trend: the last 4 commits, each on its own day, the newest last."
        in " ".join(text.split())
    )
    assert "trend" not in shown(INCOMPLETE, commits="0").lower()


def test_the_trend_has_each_commit_on_its_own_day(
    shop: Git, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody touched the vehicle; its waiver ran out between two commits to something else."""
    yarrow = "vehicles/yarrow.yaml"
    edit(shop, yarrow, "2027-06-30", "2026-11-10")
    for day in ("2026-11-08", "2026-11-09", "2026-11-12"):
        monkeypatch.setenv("GIT_COMMITTER_DATE", f"{day}T12:00:00Z")
        monkeypatch.setenv("GIT_AUTHOR_DATE", f"{day}T12:00:00Z")
        shop.write("notes.txt", day)
        shop.commit(day)
    for most in ("3", "2", "1"):
        by_name = {one["name"]: one for one in recorded(NO_GO, commits=most)["vehicles"]}
        found = [(one["day"][-2:], one["verdict"]) for one in by_name["Yarrow"]["trend"]]
        assert found == [("08", "go"), ("09", "go"), ("12", "no-go")][-int(most) :]


def test_a_commit_without_the_vehicle_or_with_a_broken_one_has_no_letter(shop: Git) -> None:
    """A dash is no verdict."""
    whole = (shop.folder / SORREL).read_text("utf-8")
    shop.write(SORREL, whole.replace("vehicle:", "vehicel:"))
    shop.commit("Torn")
    shop.write(SORREL, whole)
    shutil.copy(shop.folder / "vehicles/yarrow.yaml", shop.folder / "vehicles/second.yaml")
    edit(shop, "vehicles/second.yaml", "name: Yarrow", "name: Second")
    shop.commit("Put right, and a second one")
    by_name = {one["name"]: one for one in recorded(NO_GO)["vehicles"]}
    assert [one["verdict"] for one in by_name["Sorrel"]["trend"]] == ["no-go", None, "no-go"]
    assert [one["verdict"] for one in by_name["Second"]["trend"]] == [None, None, "go"]


def test_without_git_the_page_says_that_there_is_no_trend(tmp_path: Path) -> None:
    """All else is there."""
    shutil.copytree(SHOP, tmp_path / "shop")
    out = io.StringIO()
    assert run([tmp_path / "shop" / SORREL], as_of=DAY, out=out) == NO_GO
    assert "Trend: none, since no commit holds these vehicles." in out.getvalue()


def test_the_line_is_plain_and_short(shop: Git, capsys: pytest.CaptureFixture[str]) -> None:
    """It goes where nobody can say what letters are shown: a notification, a prompt, a pager."""
    edit(shop, SORREL, "name: Sorrel", 'name: "Sörrel ✕"')
    assert status(["shop", "--status-line", "--as-of", DAY]) == NO_GO
    line = capsys.readouterr().out
    assert line == "3 vehicles: 1 NO-GO, 1 INCOMPLETE, 1 GO; 3 due\n"
    assert line.isascii() and len(line) <= 80


class _Outside(HTMLParser):
    """Finds what a page would fetch or run."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        leads = [value or "" for name, value in attrs if name in ("src", "href", "data", "action")]
        runs = [name for name, _ in attrs if name.startswith("on")]
        if tag in ("script", "link", "img", "iframe", "object") or runs:
            self.found.append(tag)
        self.found += [one for one in leads if not one.startswith("#")]


def test_the_page_stands_alone_and_runs_nothing(shop: Git) -> None:
    """A vehicle's name is a stranger's text."""
    edit(shop, SORREL, "name: Sorrel", 'name: "<script>alert(1)</script> <img src=x onerror=y>"')
    page = shown(NO_GO, "html")
    outside = _Outside()
    outside.feed(page)
    assert outside.found == []
    assert "&lt;script&gt;" in page


@pytest.mark.parametrize(
    "options",
    [
        ["--within", "soon"],
        ["--commits", "-1"],
        ["--commits", "many"],
        ["--format", "sarif"],
        ["--status-line", "--format", "json"],
    ],
)
def test_wrong_usage_is_refused(
    shop: Git, options: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """With what was expected."""
    assert status(["shop", *options]) == USAGE
    assert "xpected" in capsys.readouterr().err


def test_python_has_the_same(shop: Git) -> None:
    """What the page shows, as values."""
    whole = gonogo.shop(shop.folder, as_of=DAY, commits=1)
    assert [one.name for one in whole.vehicles] == ["Sorrel", "Fescue", "Yarrow"]
    assert whole.vehicles[0].trend[0].verdict == "no-go" and whole.unread == ()
