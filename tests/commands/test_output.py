"""Where words go: whole files, closed pipes, colour only where somebody sees it."""

from __future__ import annotations

import io
import os
import shlex
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from gonogo.commands.output import deliver, page_for, write_whole
from gonogo.documents.error import UsageError


class Terminal(io.StringIO):
    """A stream that somebody watches."""

    def isatty(self) -> bool:
        return True


def test_a_file_is_written_whole_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    """A build that reads the report while it is written must see the old one or the new one."""
    report = tmp_path / "report.json"
    report.write_text("old")
    write_whole(report, "new °C\n")
    assert report.read_bytes() == "new °C\n".encode()
    assert [entry.name for entry in tmp_path.iterdir()] == ["report.json"]


def test_a_replaced_file_keeps_its_rights(tmp_path: Path) -> None:
    """A report that others could read before can still be read by them."""
    report = tmp_path / "report.txt"
    report.write_text("old")
    report.chmod(0o640)
    write_whole(report, "new")
    assert stat.S_IMODE(report.stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """Whoever links the report to another place finds it there."""
    kept = tmp_path / "kept.txt"
    kept.write_text("old")
    (tmp_path / "report.txt").symlink_to(kept)
    write_whole(tmp_path / "report.txt", "new")
    assert kept.read_text() == "new"
    assert (tmp_path / "report.txt").is_symlink()


def test_a_device_is_not_replaced_by_a_file() -> None:
    """`--output /dev/null` must not take the machine's null device away."""
    write_whole(Path(os.devnull), "nothing")
    assert not Path(os.devnull).is_file()


def test_a_folder_that_is_not_there_is_a_mistake_in_the_call(tmp_path: Path) -> None:
    """The sentence names the file that was asked for, not the one in between."""
    with pytest.raises(UsageError) as mistake:
        write_whole(tmp_path / "none" / "report.txt", "new")
    assert "report.txt cannot be written" in str(mistake.value)


def test_a_pipe_gets_eighty_columns_and_no_colour() -> None:
    """What is mailed or kept must read the same everywhere."""
    page = page_for(None, io.StringIO())
    assert (page.width, page.colour) == (80, False)


def test_a_terminal_gets_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """A red tag is seen from across the bench."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    assert page_for(None, Terminal()).colour


@pytest.mark.parametrize(
    ("name", "value", "bold"), [("NO_COLOR", "1", True), ("TERM", "dumb", False)]
)
def test_no_colour_where_it_is_not_wanted(
    name: str, value: str, bold: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some terminals show the codes instead of the colour; who sees no red still sees what is bold."""
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv(name, value)
    page = page_for(None, Terminal())
    assert (page.colour, page.bold) == (False, bold)


def test_a_file_gets_no_colour(tmp_path: Path) -> None:
    """Also when the command runs in a terminal."""
    assert not page_for(tmp_path / "report.txt", Terminal()).colour


def test_a_narrow_terminal_gets_narrow_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a phone's terminal the tag is set narrower rather than broken."""
    monkeypatch.setenv("COLUMNS", "50")
    assert page_for(None, Terminal()).width == 50


def test_a_reader_who_has_gone_is_no_fault() -> None:
    """`gonogo check | head` must end quietly."""
    reading, writing = os.pipe()
    os.close(reading)
    with open(writing, "w") as stream:
        deliver("a line\n", None, stream)
        deliver("another\n", None, stream)


def gonogo(arguments: str) -> subprocess.CompletedProcess[str]:
    """A call by a shell, with its redirections."""
    command = f"{shlex.quote(sys.executable)} -m gonogo {arguments}"
    return subprocess.run(command, shell=True, text=True, capture_output=True, check=False)


def test_a_full_disk_is_no_defect_of_ours() -> None:
    """The sentence says what to look at, and the status is not that of a verdict."""
    done = gonogo("rules > /dev/full")
    assert done.returncode == 2
    assert done.stderr == "The report cannot be written: no space left on device.\n"


def test_a_closed_output_is_left_alone() -> None:
    """Whoever wants the status only may close it."""
    done = gonogo("rules >&-")
    assert (done.returncode, done.stderr) == (0, "")


def test_a_report_can_be_written_down_the_pipe_by_name() -> None:
    """`--output /dev/stdout` is a name that build machines use."""
    assert gonogo("rules --output /dev/stdout").stdout == gonogo("rules").stdout != ""
