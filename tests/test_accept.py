"""The gauge for expected texts is tried itself: it refuses, it tells, and it renews when asked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

KEPT = "one\ntwo\nthree\n"


@pytest.fixture
def kept(expect: Any, tmp_path: Path) -> Any:
    """A folder with one expected text in it, where nothing is renewed."""
    (tmp_path / "screen.txt").write_bytes(KEPT.encode())
    return replace(expect, folder=tmp_path, accept=False)


def test_the_same_text_passes(kept: Any) -> None:
    """And leaves the file alone."""
    kept("screen.txt", KEPT)
    assert (kept.folder / "screen.txt").read_bytes() == KEPT.encode()


def test_another_text_fails_with_its_lines(kept: Any) -> None:
    """Whoever reads it sees what went and what came, and how to accept it."""
    with pytest.raises(pytest.fail.Exception) as failed:
        kept("screen.txt", "one\ntow\nthree\n")
    told = str(failed.value).split("\n")
    assert "-two" in told and "+tow" in told and "--accept" in told[-1]
    assert (kept.folder / "screen.txt").read_bytes() == KEPT.encode()


@pytest.mark.parametrize(
    "said",
    [
        pytest.param(KEPT.replace("\n", "\r\n"), id="other line ends"),
        pytest.param(KEPT.rstrip("\n"), id="no last line end"),
        pytest.param("", id="nothing"),
    ],
)
def test_what_an_eye_would_miss_fails_too(kept: Any, said: str) -> None:
    """A screen is its bytes."""
    with pytest.raises(pytest.fail.Exception):
        kept("screen.txt", said)


def test_a_text_that_is_not_there_fails(kept: Any) -> None:
    """A renamed screen does not pass by being absent."""
    with pytest.raises(pytest.fail.Exception, match="not there"):
        kept("other.txt", KEPT)


def test_what_was_accepted_passes(kept: Any) -> None:
    """A new file, a new folder and a changed text alike."""
    accepting = replace(kept, accept=True)
    for file, said in (("screen.txt", "four\r\n"), ("screens/new.txt", "Ω\n")):
        accepting(file, said)
        kept(file, said)
