"""Somebody at a terminal: `gonogo bringup` in a pseudo-terminal, its questions read off the screen."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fcntl import ioctl
from pathlib import Path

from gonogo.commands.entry_questions import entry_question
from gonogo.judgement.bring_up_steps import bring_up_steps

LONGEST_S = 60.0  # a busy machine may be slow; one that says nothing for so long hangs
MOST_QUESTIONS = 150
PROMPT = re.compile(r"\S[?)] \Z")
BOLD = re.compile(r"\x1b\[[0-9;]*m")  # is no colour, and no letter on the screen
AGAIN = "Measure again:"
MOTOR_NAMED = re.compile(r"Motor ([^:]+): \Z")

Answer = Callable[
    [str, str], str | None
]  # of an entry ("" for a tick or an offer) and its question


@dataclass
class Session:
    """What stood on the screen, which questions were asked, and how it ended."""

    screen: str = ""
    said: str = ""  # the screen without what was typed
    asked: list[str] = field(default_factory=list)
    status: int | None = None

    @property
    def words(self) -> str:
        """The screen in one line, lower case, as somebody reads it aloud."""
        return " ".join(self.screen.replace("▐", " ").split()).lower()

    def after(self, start: str) -> str:
        """What was said from the last occurrence of some words on."""
        return self.words[self.words.rindex(start.lower()) :]


def entry_asked(question: str) -> str:
    """The entry that a question asks for, as it stands in a profile; "" where it asks for none."""
    line = " ".join(question.split())
    found = [(line.rfind(asks), name) for asks, name in _questions().items() if asks in line]
    place, name = max(found, default=(-1, ""))
    if place <= line.rfind("yes or no? (Enter:"):
        return ""
    whose = MOTOR_NAMED.search(line[:place])
    return f"motors.{whose[1]}.{name}" if whose else name


def _questions() -> Mapping[str, str]:
    return {
        entry_question(one.entry).asks: one.entry
        for step in bring_up_steps()
        for one in step.readings
    }


def bring_up(
    profile: Path, answer: Answer, day: str, columns: int = 80, arguments: tuple[str, ...] = ()
) -> Session:
    """Play one bring-up; an answer that is None is ctrl-C on the keyboard."""
    call = [sys.executable, "-m", "gonogo", "bringup", str(profile), "--as-of", day, *arguments]
    child, terminal = pty.fork()
    if child == 0:  # pragma: no cover - another process
        os.environ.update(COLUMNS=str(columns), TERM="xterm", NO_COLOR="1", LC_ALL="C.UTF-8")
        os.execv(sys.executable, call)
    ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    session = Session()
    try:
        _converse(terminal, answer, session)
        session.status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    except BaseException:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        raise
    finally:
        os.close(terminal)
    return session


def _converse(terminal: int, answer: Answer, session: Session) -> None:
    """Answer each question until the other end hangs up."""
    fresh = ""
    while (heard := _heard(terminal)) is not None:
        said = BOLD.sub("", heard)
        session.screen += said
        session.said += said
        fresh += said
        if not PROMPT.search(fresh):
            continue
        question = fresh.strip()
        session.asked.append(question)
        session.said += "\n"  # of Enter
        assert len(session.asked) < MOST_QUESTIONS, session.screen[-3000:]
        told = answer(entry_asked(question), question)
        os.write(terminal, b"\x03" if told is None else f"{told}\n".encode())
        session.screen += _echoed(terminal, told)
        fresh = ""


def _echoed(terminal: int, told: str | None) -> str:
    """The terminal's echo of what was typed, which is no word of the program."""
    echo, wanted = "", "^C" if told is None else f"{told}\r\n"
    until = time.monotonic() + LONGEST_S
    while not echo.replace("\r", "").startswith(wanted.replace("\r", "")):
        assert time.monotonic() < until, echo
        try:
            echo += os.read(terminal, len(wanted) - len(echo)).decode("utf-8", "replace")
        except OSError:
            break
    return echo.replace("\r", "")


def _heard(terminal: int) -> str | None:
    """What is said until a pause; None once the other end is gone."""
    said = b""
    until = time.monotonic() + LONGEST_S
    while True:
        ready, _, _ = select.select([terminal], [], [], 0.02 if said else 1.0)
        if not ready:
            if said:
                return said.decode("utf-8").replace("\r", "")
            assert time.monotonic() < until, "the program says nothing"
            continue
        try:
            piece = os.read(terminal, 65536)
        except OSError:  # the other end is closed
            piece = b""
        if not piece:
            return said.decode("utf-8").replace("\r", "") if said else None
        said += piece
