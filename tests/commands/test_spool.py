"""Long texts of many results lie in a file until the report is written, and say the same as in memory."""

from __future__ import annotations

import errno
import json
from io import StringIO
from pathlib import Path
from typing import Any, NoReturn

import pytest
from gonogo.commands import check
from gonogo.commands.batch import Result
from gonogo.commands.spool import Spooled, put_away
from gonogo.reports.profile_share import Share

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
DAY = "2026-11-25"


def said(monkeypatch: pytest.MonkeyPatch, room_for: int) -> str:
    """The example workshop as JSON, where so many profiles are kept in memory."""
    monkeypatch.setattr(check, "ROOM_FOR", room_for)
    out = StringIO()
    check.run([WORKSHOP], "json", as_of=DAY, out=out, store="off")
    return out.getvalue()


def test_a_report_from_the_file_is_the_one_from_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    """Byte for byte, and written as any record is."""
    told = said(monkeypatch, 0)
    assert told == said(monkeypatch, 1000)
    assert told == json.dumps(json.loads(told), indent=2, ensure_ascii=False) + "\n"


def test_without_room_for_a_file_all_stays_in_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk keeps nobody from his verdict."""

    def full(**_: Any) -> NoReturn:
        raise OSError(errno.ENOSPC, "No space left on device")

    told = said(monkeypatch, 0)
    monkeypatch.setattr("tempfile.TemporaryFile", full)
    assert said(monkeypatch, 0) == told


def test_each_text_is_read_back_whatever_it_holds() -> None:
    """In any order, as often as it is asked for; what could not be read has no text."""
    texts = ["plain", "Maß 20 °C", "", "\ud800 alone"]
    shares = [
        Share("a.yaml", "A", "ride", {"ride": "go"}, "", 1, 0, 0, {}, {}, None, "", text)
        for text in texts
    ]
    results = [Result("a.yaml", share) for share in shares] + [Result("b.yaml", None)]
    with put_away(results, True) as kept:
        bodies = [one.share.body for one in kept if one.share is not None]
        assert all(isinstance(body, Spooled) for body in bodies)
        assert [str(body) for body in reversed(bodies)] == texts[::-1]
        assert kept[-1].share is None
