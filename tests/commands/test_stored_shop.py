"""`gonogo shop` and the store of results: judged once, by several processes, and never out of date."""

from __future__ import annotations

import io
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest
from gonogo.commands import shop_vehicles, stored_results
from gonogo.commands.history_reader import Reader
from gonogo.commands.shop import run
from gonogo.commands.verdict_trend import Trends
from gonogo.comparison.judged_side import judged_side
from gonogo.documents.git_commits import logged_commits

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
NAMES = ("bracken", "comfrey", "sorrel", "yarrow")  # modes and waivers among them
DAY = "2026-11-25"
Git = Any
HUB = "parts/motors"


@pytest.fixture
def shop(git: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Git:
    """Four vehicles of the example workshop, committed, and a store of the test's own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("GONOGO_STORE")
    monkeypatch.setattr(stored_results, "WORTH_A_STORE", 1)
    for path in WORKSHOP.rglob("*.yaml"):
        name = path.relative_to(WORKSHOP).as_posix()
        if not name.startswith("vehicles/") or path.stem in NAMES:
            git.write(name, path.read_text("utf-8"))
    git.commit("As they stand")
    return git


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The vehicles that were really judged, in their order."""
    names: list[str] = []
    inner = shop_vehicles.ShopInspector.result

    def counted(self: shop_vehicles.ShopInspector, item: Any) -> Any:
        names.append(Path(item.path).stem)
        return inner(self, item)

    monkeypatch.setattr(shop_vehicles.ShopInspector, "result", counted)
    return names


def told(shop: Git, store: str, form: str = "json", **options: Any) -> tuple[int, str]:
    out = io.StringIO()
    asked = {"as_of": DAY, "commits": "3", **options}
    return run([shop.folder], form, out=out, store=store, **asked), out.getvalue()


def edited(shop: Git, path: str, old: str, new: str) -> None:
    text = (shop.folder / path).read_text("utf-8")
    assert old in text
    shop.write(path, text.replace(old, new))


@pytest.mark.parametrize("form", ["json", "text", "html"])
def test_a_second_run_judges_nothing_and_says_the_same(
    shop: Git, judged: list[str], form: str
) -> None:
    """Waivers, what is due, the tightest margin and the trend among it; in whatever format."""
    fresh = told(shop, "off", form, within="300")
    assert sorted(judged) == sorted(NAMES)
    assert told(shop, "use", within="300") == told(shop, "off", within="300")
    judged.clear()
    assert told(shop, "use", form, within="300") == fresh and judged == []


def a_vehicle(shop: Git) -> None:
    edited(shop, "vehicles/sorrel.yaml", "pole_pairs: 5", "pole_pairs: 7")


def a_commit(shop: Git) -> None:
    a_vehicle(shop)
    shop.commit("Counted the magnets")
    edited(shop, "vehicles/sorrel.yaml", "pole_pairs: 7", "pole_pairs: 5")


def a_commit_taken_back(shop: Git) -> None:
    a_commit(shop)
    told(shop, "use")
    shop("reset", "--quiet", "--soft", "HEAD~1")


def a_house_file(shop: Git) -> None:
    text = (shop.folder / "house.yaml").read_text("utf-8")
    shop.write("house.yaml", text + "\nretired: [{id: no-such-vehicle, since: 2026-01-01}]\n")


def no_git(shop: Git) -> None:
    shutil.rmtree(shop.folder / ".git")


@pytest.mark.parametrize("change", [a_vehicle, a_commit, a_commit_taken_back, a_house_file, no_git])
def test_what_changed_is_never_told_as_it_was(shop: Git, change: Callable[[Git], None]) -> None:
    """A file, a commit that is new or taken back, the repository itself."""
    told(shop, "use")
    change(shop)
    assert told(shop, "use") == told(shop, "off")


@pytest.mark.parametrize(
    "options",
    [
        pytest.param({"as_of": "2028-01-01"}, id="another day"),
        pytest.param({"within": "200"}, id="what is due later"),
        pytest.param({"commits": "1"}, id="a shorter trend"),
        pytest.param({"commits": "0"}, id="no trend"),
    ],
)
def test_another_question_is_answered_anew(shop: Git, options: dict[str, str]) -> None:
    """What was kept answers the question that was asked, and no other."""
    told(shop, "use")
    assert told(shop, "use", **options) == told(shop, "off", **options)


def test_a_store_that_is_broken_or_gone_is_passed_by(shop: Git, tmp_path: Path) -> None:
    """It can only spare work."""
    fresh = told(shop, "use")
    (file,) = (tmp_path / "cache").rglob("*.sqlite3")
    with sqlite3.connect(file) as store:
        store.execute("UPDATE results SET result = replace(result, 'no-go', 'go')")
    assert told(shop, "use") == fresh
    file.write_bytes(b"no store")
    assert told(shop, "use") == fresh
    assert told(shop, "clear") == fresh


def test_edits_and_commits_by_chance_never_leave_a_stale_page(shop: Git) -> None:
    """The same as without the store, after whatever was done to the files and to git."""
    chance = Random(11)
    for turn in range(14):
        name = f"vehicles/{chance.choice(NAMES)}.yaml"
        path = shop.folder / name
        done = chance.randrange(5)
        if done == 0 and path.exists():
            shop.write(name, path.read_text("utf-8") + f"# turn {turn}\n")
        elif done == 1:
            shop.commit(f"Turn {turn}")
        elif done == 2 and path.exists():
            text = path.read_text("utf-8")
            shop.write(name, text.replace("full_V: 4.", "full_V: 3.", 1))
        elif done == 3:
            shop("checkout", "--quiet", "HEAD", "--", name)
        else:
            edited(shop, "house.yaml", "gonogo: house/1", f"gonogo: house/1\n# {turn}")
        assert told(shop, "use") == told(shop, "off"), f"turn {turn}"


def test_several_processes_say_the_same_as_one(shop: Git, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each opens the commits for itself."""
    a_commit(shop)
    one = told(shop, "off")
    monkeypatch.setattr(shop_vehicles, "VEHICLES_A_PROCESS", 1)
    assert told(shop, "off", jobs=2) == one
    assert told(shop, "use", jobs=2) == one and told(shop, "use", jobs=2) == one


def test_a_trend_is_what_each_commit_comes_to_by_itself(shop: Git) -> None:
    """Taken over from the commit before or from another vehicle is only what is the same there."""
    a_commit(shop)
    edited(shop, "house.yaml", "gonogo: house/1", "gonogo: house/1\n# looked at")
    shop.commit("The same again")
    edited(shop, "vehicles/comfrey.yaml", "taken:", "taken: # copied\n   ")
    shop.write("vehicles/yarrow.yaml", "gonogo: part/1\n")
    shop.commit("A slip")
    trends = Trends(10, DAY)
    commits = logged_commits(shop.folder)
    for name in NAMES:
        path = f"vehicles/{name}.yaml"
        alone = []
        for one in commits:
            version = Reader(shop.folder, commits, path).version(one)
            day = min(one.day, DAY)
            side = (
                judged_side(version.profile, version.catalogue, day)
                if version.profile and version.catalogue
                else None
            )
            alone.append(side and side.judgement.verdict)
        told = [point.verdict for point in trends.of(shop.folder / path).points]
        assert told == alone, name
    assert len({id(one) for one in commits}) == len(told) == 4
