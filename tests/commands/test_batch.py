"""The batch: whoever waits sees how far it is, and a pipe sees nothing of that."""

from __future__ import annotations

import io
import sys
from dataclasses import dataclass

import pytest
from gonogo.commands.batch import Order, Result, results
from gonogo.commands.history import history_of
from gonogo.commands.progress import WORTH_SHOWING
from gonogo.reports.layout import Page

from .conftest import Git

ORDER = Order("text", Page(), "2026-11-25", False)


@dataclass
class Doubler:
    """Does a little work."""

    order: Order

    def result(self, item: int) -> Result[int]:
        """Twice the item."""
        return Result(str(item), 2 * item)


class Stream(io.StringIO):
    """An error stream, watched or not."""

    def __init__(self, watched: bool) -> None:
        super().__init__()
        self.watched = watched

    def isatty(self) -> bool:
        return self.watched


@pytest.mark.parametrize("jobs", [1, 2])
@pytest.mark.parametrize(
    ("watched", "count", "shown"),
    [
        pytest.param(True, 150, True, id="many on a terminal"),
        pytest.param(True, 3, False, id="done before anybody waits"),
        pytest.param(False, 150, False, id="a build's log"),
    ],
)
def test_progress_is_shown_where_somebody_waits(
    monkeypatch: pytest.MonkeyPatch, watched: bool, count: int, shown: bool, jobs: int
) -> None:
    """And whatever is shown, the results are the same, in their order."""
    stream = Stream(watched)
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setenv("TERM", "xterm")
    found = results(range(count), ORDER, Doubler, jobs, 50)
    assert [result.share for result in found] == [2 * item for item in range(count)]
    assert ("profiles" in stream.getvalue()) == shown


def test_no_stream_to_show_it_on_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    """A call with its error stream closed still gets its report."""
    monkeypatch.setattr(sys, "stderr", None)
    assert len(results(range(WORTH_SHOWING), ORDER, Doubler, 1, 50)) == WORTH_SHOWING


@pytest.mark.parametrize(
    ("quiet", "terminal"), [(True, "xterm"), (False, "dumb")], ids=["--quiet", "a dumb terminal"]
)
def test_progress_is_left_out_where_it_would_disturb(
    monkeypatch: pytest.MonkeyPatch, quiet: bool, terminal: str
) -> None:
    """A short list was asked for, or nothing can be drawn over."""
    stream = Stream(True)
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setenv("TERM", terminal)
    order = ORDER._replace(page=Page(quiet=quiet))
    assert len(results(range(150), order, Doubler, 1, 50)) == 150
    assert stream.getvalue() == ""


@pytest.mark.parametrize("watched", [True, False])
def test_a_long_history_shows_how_far_it_is(
    monkeypatch: pytest.MonkeyPatch, git: Git, watched: bool
) -> None:
    """Commit by commit, each judged once."""
    for number in range(WORTH_SHOWING):
        text = f"gonogo: profile/1\nvehicle: {{name: Wren, mass_kg: {60 + number}}}\n"
        path = git.write("wren.yaml", text)
        git.commit(f"Load {number}")
    stream = Stream(watched)
    monkeypatch.setattr(sys, "stderr", stream)
    assert len(history_of(path, "2026-11-25").episodes) == WORTH_SHOWING
    assert ("commits" in stream.getvalue()) == watched
