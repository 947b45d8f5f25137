"""The cache saves time and decides nothing: whatever lies in it, the answer is the files' own."""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path

import pytest
from gonogo.documents import cache
from gonogo.documents.cache import contents

TEXTS = {"a.yaml": b"id: a\nlimits: [1, 2.5]\n", "b.yaml": b"id: b\nholds: {on: true}\n"}
DATA = {"a.yaml": {"id": "a", "limits": [1, 2.5]}, "b.yaml": {"id": "b", "holds": {"on": True}}}


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user's folder for caches, empty at first."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    return tmp_path / "caches"


def kept(home: Path) -> Path:
    """The one cache that lies there."""
    (path,) = (home / "gonogo").iterdir()
    return path


def no_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    """From here on reading the YAML is a failure."""

    def fail(_: object) -> None:
        raise AssertionError("the files were read again")

    monkeypatch.setattr(cache, "_read", fail)


def test_the_first_run_is_right_and_spares_the_second(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a cache the files are read; with one they need not be."""
    first = contents("things", TEXTS)
    assert first.data == DATA
    no_reading(monkeypatch)
    assert contents("things", TEXTS) == first


def test_changed_files_never_meet_an_old_cache(home: Path) -> None:
    """Whoever installs new rules is judged by them at once."""
    first = contents("things", TEXTS)
    second = contents("things", {**TEXTS, "b.yaml": b"id: other\n"})
    assert second.data["b.yaml"] == {"id": "other"}
    assert first.digest != second.digest


def test_the_digest_tells_a_text_from_its_neighbour(home: Path) -> None:
    """The same letters in other files are other rules."""
    one = contents("things", {"a": b"x: 1\n", "b": b"y: 2\n"})
    other = contents("things", {"a": b"x: 1\ny: 2\n", "b": b"{}"})
    assert one.digest != other.digest
    assert len(one.digest) == len(sha256().hexdigest())


@pytest.mark.parametrize(
    "spoil",
    [
        pytest.param(lambda held: b"", id="empty"),
        pytest.param(lambda held: held[: len(held) // 2], id="cut off"),
        pytest.param(lambda held: held.replace(b"2.5", b"9.5"), id="a figure changed"),
        pytest.param(lambda held: held.replace(b"gonogo", b"other!", 1), id="another edition"),
        pytest.param(lambda held: os.urandom(64), id="noise"),
        pytest.param(lambda held: b"\n\n\n" + b"[" * 100_000, id="nested without end"),
    ],
)
def test_a_damaged_cache_is_passed_over_and_mended(home: Path, spoil) -> None:  # type: ignore[no-untyped-def]
    """A rule with another limit than its file's would be believed by everybody."""
    first = contents("things", TEXTS)
    whole = kept(home).read_bytes()
    kept(home).write_bytes(spoil(whole))
    assert contents("things", TEXTS) == first
    assert kept(home).read_bytes() == whole


@pytest.mark.parametrize(
    "data", [{}, {"a.yaml": {}}, {**DATA, "c.yaml": {}}, {**DATA, "a.yaml": 1}]
)
def test_a_cache_of_another_form_is_passed_over(home: Path, data: dict[str, object]) -> None:
    """Well written but not what the files hold: files missing, files too many, no mapping."""
    first = contents("things", TEXTS)
    cache._keep(str(kept(home)), cache.Contents(first.digest, data))
    assert contents("things", TEXTS) == first


def test_a_cache_that_others_can_write_is_passed_over(home: Path) -> None:
    """A stranger on the same machine does not set our limits."""
    first = contents("things", TEXTS)
    cache._keep(str(kept(home)), cache.Contents(first.digest, {**DATA, "b.yaml": {"id": "evil"}}))
    kept(home).chmod(0o666)
    assert contents("things", TEXTS) == first


def test_a_cache_that_cannot_be_written_is_no_trouble(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk, a read-only home: it takes longer, and that is all."""
    blocked = tmp_path / "file"
    blocked.write_text("no folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    assert contents("things", TEXTS).data == DATA


@pytest.mark.parametrize("home", ["", "caches", "./caches"])
def test_a_relative_folder_is_not_taken(
    home: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No cache appears wherever somebody happens to stand."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", home)
    monkeypatch.setenv("HOME", str(tmp_path / "user"))
    assert contents("things", TEXTS).data == DATA
    assert [path.name for path in tmp_path.iterdir()] == ["user"]


def test_what_comes_with_gonogo_survives_the_cache(home: Path) -> None:
    """JSON says the same as the YAML did: no dates, no keys that are numbers."""
    from gonogo.judgement.catalogue import rule_texts
    from gonogo.tables import table

    rules = {"/".join(name): text for name, text in rule_texts().items()}
    folder = Path(table.__file__).parent
    tables = {name: (folder / f"{name}.yaml").read_bytes() for name in table.names()}
    for name, texts in (("rules", rules), ("tables", tables)):
        assert contents(name, texts) == contents(name, texts)
    assert rules and tables


def test_a_cache_that_cannot_be_finished_leaves_nothing_behind(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk must not fill up further at every check."""

    def refuse(fresh: str, path: str) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, "replace", refuse)
    assert contents("half", {"a.yaml": b"a: 1\n"}).data == {"a.yaml": {"a": 1}}
    assert [path for path in home.rglob("*") if path.is_file()] == []
