"""Every screen as a terminal shows it: of 50, 80 and 120 columns, in colour and without."""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from gonogo.commands import (
    check,
    diff,
    due,
    enter,
    fill,
    help,
    mend,
    ride,
    rules,
    sheet,
    window,
    working,
)
from gonogo.commands.help import TOPICS
from rich.cells import cell_len

pytestmark = pytest.mark.usefixtures("frozen")
Expect = Callable[[str, str], None]
HERE = Path(__file__).parent
STORIES = HERE.parent / "catalogue" / "stories"
DAY = "2026-11-25"
WIDTHS = (50, 80, 120)
COLOUR = re.compile(r"\x1b\[[0-9;]*m")
HUE = re.compile(r"\x1b\[(?:\d+;)*(?:3|4|9|10)[0-7](?:;\d+)*m")
MOST_LINES = 60  # of each screen; what follows is set as that


class Terminal(io.StringIO):
    """A terminal that keeps what is printed on it."""

    def isatty(self) -> bool:
        """Somebody sees it."""
        return True


@pytest.fixture
def calls(tmp_path: Path) -> dict[str, Callable[[Terminal], int]]:
    """Each kind of screen, by what it shows."""
    for path in (*HERE.glob("bench/*.yaml"), *STORIES.rglob("hotter-tune/*.yaml")):
        shutil.copy(path, tmp_path)
    juniper, larch = tmp_path / "juniper.yaml", tmp_path / "larch.yaml"
    before, after = tmp_path / "before.yaml", tmp_path / "after.yaml"
    return {
        "check, one": lambda out: check.run([juniper], as_of=DAY, out=out),
        "check, many": lambda out: check.run([tmp_path], as_of=DAY, out=out),
        "check, many, quiet": lambda out: check.run([tmp_path], quiet=True, as_of=DAY, out=out),
        "window, all": lambda out: window.run(larch, as_of=DAY, out=out),
        "window, one": lambda out: window.run(larch, "battery_current", as_of=DAY, out=out),
        "working, all": lambda out: working.run(larch, as_of=DAY, out=out),
        "ride": lambda out: ride.run(larch, grade="5", as_of=DAY, out=out),
        "working, one": lambda out: working.run(larch, "pack.full_V", as_of=DAY, out=out),
        "diff": lambda out: diff.run([str(before), str(after)], as_of=DAY, out=out),
        "mend": lambda out: mend.run(juniper, as_of=DAY, out=out),
        "rules, one": lambda out: rules.run("max-rpm-back-emf", out=out, folder=tmp_path),
        "help": lambda out: help.run(out=out),
    }


@pytest.fixture(params=WIDTHS)
def width(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> int:
    """A terminal of that many columns."""
    columns: int = request.param
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    return columns


def screens(calls: dict[str, Callable[[Terminal], int]]) -> Iterator[tuple[str, str]]:
    """What each call prints."""
    for name, call in calls.items():
        out = Terminal()
        assert call(out) in (0, 1, 4)
        yield name, out.getvalue()


def test_a_screen_is_as_it_was_looked_at(
    calls: dict[str, Callable[[Terminal], int]],
    width: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    expect: Expect,
) -> None:
    """In colour the same words and lines as without, and none wider than the terminal."""
    monkeypatch.chdir(tmp_path)
    coloured = dict(screens(calls))
    monkeypatch.setenv("NO_COLOR", "1")
    plain = dict(screens(calls))
    for name, screen in plain.items():
        assert "\x1b" in coloured[name] and not HUE.search(screen), name
        assert COLOUR.sub("", coloured[name]) == COLOUR.sub("", screen)
        screen = plain[name] = COLOUR.sub("", screen)
        wide = {line for line in screen.splitlines() if cell_len(line) > width}
        assert not wide, (name, wide)
    expect(
        f"screens/at-{width}.txt",
        "\n".join(f"═══ {name}\n\n{cut(screen)}" for name, screen in plain.items()),
    )


def test_no_other_screen_is_wider(
    width: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What runs over the edge is broken by the terminal, in the middle of a word or a column."""
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.chdir(tmp_path)
    for path in HERE.glob("bench/*.yaml"):
        shutil.copy(path, tmp_path)
    larch, out = tmp_path / "larch.yaml", Terminal()
    check.run([tmp_path], unchecked=True, as_of=DAY, out=out)
    due.run([tmp_path], as_of=DAY, out=out)
    enter.run(larch, as_of=DAY, out=out)
    fill.run(larch, as_of=DAY, out=out)
    sheet.run(larch, as_of=DAY, out=out)
    rules.run(None, out=out, folder=tmp_path)
    for name in ("keys", "pack", "settings.battery_current_A", "current limit"):
        help.run(name, out=out)
    for name in TOPICS if width >= 80 else ():  # what they show stands as it is
        help.run(name, out=out)
    wide = {line for line in COLOUR.sub("", out.getvalue()).splitlines() if cell_len(line) > width}
    assert len(out.getvalue()) > 10_000 and not wide


def cut(screen: str) -> str:
    """The first lines of a screen."""
    return "".join(screen.splitlines(keepends=True)[:MOST_LINES])
