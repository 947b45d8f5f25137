"""`gonogo completion`: one file in the shell's own folder, and answers at the Tab key."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from gonogo.commands import completion
from gonogo.commands.completion import SHELLS, script
from gonogo.commands.main import COMMANDS
from gonogo.documents.error import UsageError

PLACES = {
    "bash": ".local/share/bash-completion/completions/gonogo",
    "zsh": ".zfunc/_gonogo",
    "fish": ".config/fish/completions/gonogo.fish",
}


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home folder in which nothing has been moved by variables."""
    for shell in SHELLS.values():
        monkeypatch.delenv(shell.variable, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    return tmp_path


def said(*arguments: object) -> str:
    out = io.StringIO()
    assert completion.run(*arguments, out=out) == 0  # type: ignore[arg-type]
    return out.getvalue()


def files(folder: Path) -> list[str]:
    return [str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()]


@pytest.mark.parametrize("shell", PLACES)
def test_one_file_is_written_and_can_be_taken_back(shell: str, home: Path) -> None:
    """It is said where; nobody's start-up file is touched."""
    told = said(shell)
    assert files(home) == [PLACES[shell]]
    assert str(home / PLACES[shell]) in told
    assert f"gonogo completion {shell} --remove" in told
    assert said(shell) == told
    assert "Removed" in said(shell, False, True)
    assert files(home) == []
    assert "Nothing to remove" in said(shell, False, True)


@pytest.mark.parametrize("shell", SHELLS)
def test_a_folder_that_was_moved_is_followed(
    shell: str, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The variables by which each shell finds its own files."""
    monkeypatch.setenv(SHELLS[shell].variable, str(home / "elsewhere"))
    said(shell)
    assert files(home) == [f"elsewhere/{SHELLS[shell].file}"]


def test_the_shell_in_use_need_not_be_named(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And one that is not known is told."""
    monkeypatch.setenv("SHELL", "/usr/bin/fish")
    said()
    assert files(home) == [PLACES["fish"]]
    monkeypatch.setenv("SHELL", "/bin/ash")
    with pytest.raises(UsageError, match="bash, zsh or fish"):
        said()
    with pytest.raises(UsageError, match="shell ash"):
        said("ash")


def test_a_file_of_somebody_else_is_left_alone(home: Path) -> None:
    """Written by hand, or by a distribution."""
    place = home / PLACES["bash"]
    place.parent.mkdir(parents=True)
    place.write_text("mine\n")
    for arguments in (("bash",), ("bash", False, True)):
        with pytest.raises(UsageError, match="left alone"):
            said(*arguments)
    assert place.read_text() == "mine\n"


def test_showing_writes_nothing(home: Path) -> None:
    """For a folder of one's own choice."""
    assert said("zsh", True) == script("zsh")
    assert files(home) == []


def answers(words: str, at: int) -> list[str]:
    """What a shell is answered at the Tab key."""
    environment = {
        **os.environ,
        "COMP_WORDS": words,
        "COMP_CWORD": str(at),
        completion.COMPLETE: "complete_bash",
    }
    call = [sys.executable, "-m", "gonogo"]
    done = subprocess.run(call, env=environment, capture_output=True, text=True, check=True)
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.parametrize(
    ("words", "at", "found"),
    [
        pytest.param("gonogo ", 1, list(COMMANDS), id="commands"),
        pytest.param("gonogo wi", 1, ["window"], id="the beginning of one"),
        pytest.param("gonogo check --q", 2, ["--quiet"], id="an option"),
        pytest.param(
            "gonogo window x.yaml max", 3, ["max_rpm"], id="a setting as it is called for short"
        ),
        pytest.param("gonogo rules fuse-m", 2, ["fuse-missing"], id="a rule"),
        pytest.param("gonogo working x.yaml pack.sag_V", 3, ["pack.sag_V"], id="a quantity"),
        pytest.param("gonogo schema prof", 2, ["profile"], id="a schema"),
        pytest.param("gonogo completion ", 2, list(SHELLS), id="a shell"),
        pytest.param("gonogo check ", 2, [], id="a path is left to the shell"),
    ],
)
def test_the_tab_key_is_answered(words: str, at: int, found: list[str]) -> None:
    """With names of our own; file names are the shell's business."""
    assert answers(words, at) == found


SHELL_CALLS = {
    "bash": [
        "--norc",
        "-c",
        """source "$1"; COMP_WORDS=(gonogo window x.yaml low); COMP_CWORD=3
        _gonogo_completion gonogo; echo "${COMPREPLY[*]}" """,
    ],
    "zsh": [
        "-fc",
        """compdef() {}; _arguments() { print -r -- "$@" }; words=(gonogo window x.yaml low)
        CURRENT=4; source "$1" """,
    ],
    "fish": ["-c", 'source $argv[2]; complete -C "gonogo window x.yaml low"'],
}


HERE = [name for name in SHELLS if name == "bash" or shutil.which(name)]


@pytest.mark.parametrize("shell", HERE)
def test_a_real_shell_completes_a_setting(shell: str, home: Path, tmp_path: Path) -> None:
    """Each that is on this machine, with the script as it is installed."""
    program = shutil.which(shell)
    assert program is not None
    called = tmp_path / "bin" / "gonogo"
    called.parent.mkdir()
    called.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m gonogo "$@"\n')
    called.chmod(0o755)
    said(shell)
    environment = {**os.environ, "PATH": f"{called.parent}:{os.environ['PATH']}"}
    call = [program, *SHELL_CALLS[shell], shell, str(home / PLACES[shell])]
    done = subprocess.run(call, env=environment, capture_output=True, text=True, check=True)
    assert "low_voltage.taper_from_V" in done.stdout and "low_voltage.cutoff_V" in done.stdout
