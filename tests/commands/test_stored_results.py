"""The store of results spares work and never changes an answer."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from collections.abc import Callable
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands import stored_results
from gonogo.commands.check import run
from gonogo.commands.result_store import KeptResult, ResultStore, cache_folder, store_folder
from gonogo.documents.error import GonogoError, UsageError
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
VEHICLES = ("bindweed.yaml", "bracken.yaml", "fescue.yaml")
DAY = "2026-11-25"
FORMS = ("text", "json", "markdown", "html", "sarif", "junit")


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of the test's own, and a store that is used for any number of profiles."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("GONOGO_STORE")
    monkeypatch.setattr(stored_results, "WORTH_A_STORE", 1)
    return tmp_path / "cache"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The example workshop with three of its vehicles."""
    return shop_in(tmp_path / "shop")


def shop_in(folder: Path) -> Path:
    """The example workshop with three of its vehicles, in a folder."""
    shutil.copytree(WORKSHOP, folder, ignore=shutil.ignore_patterns("vehicles"))
    (folder / "vehicles").mkdir()
    for name in VEHICLES:
        shutil.copy(WORKSHOP / "vehicles" / name, folder / "vehicles" / name)
    return folder


def said(shop: Path, store: str, **options: Any) -> tuple[int, str]:
    """What a check comes to and says."""
    out = StringIO()
    asked = {"as_of": DAY, **options}
    return run([shop], out=out, store=store, **asked), out.getvalue()


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The profiles that were really judged, in their order."""
    names: list[str] = []
    inner = stored_results.Watching.result

    def counted(self: stored_results.Watching, item: Any, /) -> Any:
        names.append(Path(item.path).name)
        return inner(self, item)

    monkeypatch.setattr(stored_results.Watching, "result", counted)
    return names


def untimed(told: tuple[int, str]) -> tuple[int, str]:
    """Test results without how long each took, which no two runs have alike."""
    status, text = told
    return status, re.sub(r' time="[0-9.]+"', "", text)


@pytest.mark.parametrize("form", FORMS)
def test_a_second_run_works_nothing_out_and_says_the_same(
    form: str, cache: Path, shop: Path, judged: list[str]
) -> None:
    """In every format: what cannot be kept would be worked out each time, unseen."""
    fresh = untimed(said(shop, "off", form=form))
    assert untimed(said(shop, "use", form=form)) == fresh
    assert judged == list(VEHICLES)
    assert untimed(said(shop, "use", form=form)) == fresh
    assert judged == list(VEHICLES)


def test_only_those_are_judged_again_that_take_what_changed(
    cache: Path, shop: Path, judged: list[str]
) -> None:
    """One part of a fleet is changed, and the others' verdicts stand."""
    said(shop, "use")
    judged.clear()
    part = next(
        path
        for path in sorted(shop.glob("parts/*/*.yaml"))
        if sum(path.name in one.read_text("utf-8") for one in shop.glob("vehicles/*.yaml")) == 1
    )
    part.write_bytes(part.read_bytes() + b"# seen\n")
    takes = [
        one.name for one in shop.glob("vehicles/*.yaml") if part.name in one.read_text("utf-8")
    ]
    assert said(shop, "use") == said(shop, "off")
    assert judged == takes


@pytest.mark.parametrize(
    "options",
    [
        pytest.param({"as_of": "2028-01-01"}, id="another day"),
        pytest.param({"strict": True}, id="strict"),
        pytest.param({"stage": "stand"}, id="another stage"),
        pytest.param({"unchecked": True}, id="told in full"),
        pytest.param({"form": "json"}, id="another format"),
    ],
)
def test_another_question_is_answered_anew(
    options: dict[str, Any], cache: Path, shop: Path, judged: list[str]
) -> None:
    """A waiver that ran out yesterday holds no more today."""
    said(shop, "use")
    judged.clear()
    assert said(shop, "use", **options) == said(shop, "off", **options)
    assert judged == list(VEHICLES)


def test_other_code_works_all_out_anew(
    cache: Path, shop: Path, judged: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A rule that was mended must not leave yesterday's GO."""
    said(shop, "use")
    judged.clear()
    monkeypatch.setattr(stored_results, "_code_digest", lambda: "another")
    said(shop, "use")
    assert judged == list(VEHICLES)


def test_what_is_only_tried_is_neither_taken_nor_kept(
    cache: Path, shop: Path, judged: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """An order of another kind than a plain check has no part in the store."""
    said(shop, "use")
    judged.clear()
    monkeypatch.setattr(stored_results, "PLAIN_ORDER", stored_results.PLAIN_ORDER[:-1])
    asked = said(shop, "use", stage="stand")
    assert judged == []
    assert asked == said(shop, "off", stage="stand")


# ── edits by chance ───────────────────────────────────────────────────────────────────────────


def numbers_turned(path: Path, at: int) -> None:
    """Turn one digit of a file into another."""
    text = path.read_text("utf-8")
    digits = [place for place, letter in enumerate(text) if letter.isdigit()]
    if digits:
        place = digits[at % len(digits)]
        path.write_text(text[:place] + str((int(text[place]) + 1) % 10) + text[place + 1 :])


def gone(path: Path, at: int) -> None:
    """Remove a file."""
    path.unlink()


def renamed(path: Path, at: int) -> None:
    """Give a file another name, of YAML or not."""
    path.rename(path.with_name(path.name + (".bak" if at % 2 else ".yaml")))


def come_back(path: Path, at: int) -> None:
    """Put the example's file there again."""
    for kept in sorted(WORKSHOP.glob(f"**/{path.parent.name}/*.yaml")):
        if kept.parent.name != "vehicles":
            (path.parent / kept.name).unlink(missing_ok=True)
            shutil.copy(kept, path.parent / kept.name)


def linked(path: Path, at: int) -> None:
    """Put a link to a neighbour in the place of a file."""
    others = sorted(other for other in path.parent.iterdir() if other != path)
    if others:
        path.unlink()
        path.symlink_to(others[at % len(others)].name)


def led_out(path: Path, at: int) -> None:
    """Put a link that leads out of the shop in its place."""
    path.unlink()
    path.symlink_to(WORKSHOP / "house.yaml")


def doubled(path: Path, at: int) -> None:
    """Lay a copy beside it."""
    shutil.copy(path, path.with_name(f"copy-{at}.yaml"), follow_symlinks=True)


def a_second_house(path: Path, at: int) -> None:
    """Lay something that looks like a house file beside it."""
    path.with_name("house.yaml" if at % 2 else "House.yml").write_text("gonogo: house/1\n")


EDITS: tuple[Callable[[Path, int], None], ...] = (
    *(numbers_turned, numbers_turned, numbers_turned, gone, renamed, come_back),
    *(linked, led_out, doubled, a_second_house),
)


@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_no_edit_leaves_a_stale_verdict(
    data: st.DataObject, cache: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """After each edit the answer with the store is that without it, whatever was kept before."""
    shop = shop_in(tmp_path_factory.mktemp("edited") / "shop")
    said(shop, "use")
    for _ in range(data.draw(st.integers(1, 4))):
        files = sorted(path for path in shop.rglob("*.y*ml*") if path.exists())
        near = [path for path in files if is_used(path, shop)]
        path = data.draw(st.sampled_from(near if near and data.draw(st.booleans()) else files))
        data.draw(st.sampled_from(EDITS))(path, data.draw(st.integers(0, 400)))
        options = data.draw(
            st.sampled_from(({}, {}, {"strict": True}, {"as_of": "2027-09-01"}, {"form": "json"}))
        )
        assert outcome(shop, "use", options) == outcome(shop, "off", options)


def is_used(path: Path, shop: Path) -> bool:
    """Whether a file is a vehicle, the house file, a rule, or a part that one of them takes."""
    name = path.relative_to(shop).as_posix()
    if not name.startswith("parts/"):
        return True
    return any(name in one.read_text("utf-8") for one in shop.glob("vehicles/*.yaml"))


def outcome(shop: Path, store: str, options: dict[str, Any]) -> object:
    """The answer, or the error in its place."""
    try:
        return said(shop, store, **options)
    except GonogoError as refused:
        return type(refused), str(refused)


# ── where it lies, and what can be wrong with it ──────────────────────────────────────────────


def test_it_lies_in_the_user_s_cache_and_only_theirs(cache: Path, shop: Path) -> None:
    """As the XDG base directories have it; nobody else may read what a shop builds."""
    said(shop, "use")
    folder = cache / "gonogo"
    assert [path.suffix for path in folder.iterdir()] == [".sqlite3"]
    assert folder.stat().st_mode & 0o777 == 0o700


def test_a_folder_that_is_named_from_here_is_no_cache_folder() -> None:
    """The base directory specification: paths must be absolute, others are passed by."""
    assert cache_folder({"XDG_CACHE_HOME": "here", "HOME": "/home/a"}) == Path("/home/a/.cache")
    assert cache_folder({"HOME": ""}) is None


def test_it_never_lies_inside_the_repository(shop: Path, tmp_path: Path) -> None:
    """The repository under examination is a stranger's: it could bring its own verdicts."""
    assert store_folder({"XDG_CACHE_HOME": str(shop / "c")}, [shop]) is None
    (tmp_path / "way").symlink_to(shop)
    assert store_folder({"XDG_CACHE_HOME": str(tmp_path / "way")}, [shop]) is None


def test_a_store_that_others_may_write_is_not_read(
    cache: Path, shop: Path, judged: list[str]
) -> None:
    """A verdict from it could be anybody's."""
    said(shop, "use")
    (cache / "gonogo").chmod(0o777)
    judged.clear()
    said(shop, "use")
    assert judged == list(VEHICLES)


@pytest.mark.parametrize("broken", [b"", b"no store at all" * 100, None])
def test_a_broken_store_is_passed_by(
    broken: bytes | None, cache: Path, shop: Path, judged: list[str]
) -> None:
    """Emptied, overwritten or cut: the answer is the same, and the next run has a store again."""
    fresh = said(shop, "off")
    said(shop, "use")
    file = next((cache / "gonogo").glob("*.sqlite3"))
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2] if broken is None else broken)
    assert said(shop, "use") == fresh
    assert said(shop, "use") == fresh
    judged.clear()
    assert said(shop, "use") == fresh
    assert judged == []


@pytest.mark.parametrize("column", ["answers", "result", "digest", "key"])
def test_a_row_that_was_altered_does_not_count(
    column: str, cache: Path, shop: Path, judged: list[str]
) -> None:
    """A flipped bit in a verdict shows by its digest."""
    fresh = said(shop, "off")
    said(shop, "use")
    store = sqlite3.connect(next((cache / "gonogo").glob("*.sqlite3")))
    altered = f"UPDATE results SET {column} = {column} || ' '"
    with store:
        store.execute(altered)
    store.close()
    judged.clear()
    assert said(shop, "use") == fresh
    assert judged == list(VEHICLES)


def test_a_home_that_cannot_be_written_changes_nothing(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cache: Path
) -> None:
    """In a build's container there often is none."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file" / "below"))
    assert said(shop, "use") == said(shop, "off")
    monkeypatch.setenv("XDG_CACHE_HOME", "")
    monkeypatch.setenv("HOME", "")
    assert said(shop, "use") == said(shop, "off")


def test_a_store_that_another_run_writes_is_not_waited_for_for_ever(
    cache: Path, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two runs at once: one of them works all out and keeps nothing."""
    monkeypatch.setattr("gonogo.commands.result_store.WAITS_s", 0.05)
    said(shop, "use")
    other = sqlite3.connect(next((cache / "gonogo").glob("*.sqlite3")), isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    try:
        assert said(shop, "use") == said(shop, "off")
    finally:
        other.close()


def test_two_runs_keep_side_by_side(tmp_path: Path) -> None:
    """What one keeps, the other does not take away."""
    one, other = ResultStore(tmp_path / "store"), ResultStore(tmp_path / "store")
    one.keep({"a": KeptResult("{}", "1")})
    other.keep({"b": KeptResult("{}", "2")})
    assert one.found(["a", "b", "c"]) == {
        "a": KeptResult("{}", "1"),
        "b": KeptResult("{}", "2"),
    }


def test_it_can_be_cleared_and_turned_off(
    cache: Path, shop: Path, judged: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """For whoever does not trust it."""
    said(shop, "use")
    judged.clear()
    said(shop, "off")
    assert judged == []
    said(shop, "clear")
    assert judged == list(VEHICLES)
    monkeypatch.setenv("GONOGO_STORE", "off")
    shutil.rmtree(cache)
    said(shop, "use")
    assert not cache.exists()


@pytest.mark.parametrize(("word", "switched"), [("sometimes", "use"), ("use", "perhaps")])
def test_a_word_that_it_does_not_know_is_refused(
    word: str, switched: str, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit status 2, with the words that there are."""
    monkeypatch.setenv("GONOGO_STORE", switched)
    with pytest.raises(UsageError, match="expected"):
        said(shop, word)


def test_few_profiles_need_no_store(
    cache: Path, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One check is answered before a store would be open."""
    monkeypatch.setattr(stored_results, "WORTH_A_STORE", 20)
    said(shop, "use")
    assert not os.path.exists(cache)


def test_what_cannot_be_read_is_read_anew_each_time(
    cache: Path, shop: Path, judged: list[str]
) -> None:
    """An error is told until it is mended, and never from memory."""
    broken = shop / "vehicles" / VEHICLES[1]
    broken.write_text("gonogo: profile/1\nvehicle: {nome: Alder}\n")
    fresh = said(shop, "off")
    assert said(shop, "use") == fresh
    judged.clear()
    assert said(shop, "use") == fresh
    assert judged == [VEHICLES[1]]
