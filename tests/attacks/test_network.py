"""Nothing that gonogo does asks the network: a workshop may have none, and a vehicle is nobody's."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DAY = ("--as-of", "2026-11-25")
# Every socket that is no pipe between processes of this machine ends the run with a status of its own.
FORBIDDEN = 99
GUARDED = f"""
import os, socket, sys
def forbidden(event, arguments):
    local = event == "socket.__new__" and arguments[1] == socket.AF_UNIX
    if event.startswith("socket.") and not local:
        os.write(2, event.encode())
        os._exit({FORBIDDEN})
sys.addaudithook(forbidden)
if sys.argv[1] == "trial":
    socket.socket()
from gonogo.commands.main import status
sys.exit(status(sys.argv[1:]))
"""
CALLS = {
    "check": ("check", ".", *DAY),
    "check as a page": ("check", ".", "--format", "html", *DAY),
    "check by schemas": ("check", ".", "--format", "sarif", *DAY),
    "check with processes": ("check", ".", "--jobs", "2", *DAY),
    "diff": ("diff", "vehicles/burdock.yaml", *DAY),
    "diff against": ("diff", "--against", "HEAD", ".", *DAY),
    "history": ("history", "vehicles/burdock.yaml", *DAY),
    "window": ("window", "vehicles/burdock.yaml", "battery_current_A", *DAY),
    "working": ("working", "vehicles/burdock.yaml", "pack.loaded_V", *DAY),
    "ride": ("ride", "vehicles/burdock.yaml", "--format", "html", "--against", "HEAD", *DAY),
    "rehearse": ("rehearse", "vehicles/burdock.yaml", "--format", "html", *DAY),
    "fill": ("fill", "vehicles/burdock.yaml", *DAY),
    "mend": ("mend", "vehicles/dock.yaml", *DAY),
    "suspect": ("suspect", "vehicles/dock.yaml", "--format", "html", *DAY),
    "new": ("new", "vehicles/none.yaml", "--name", "None"),
    "rules": ("rules", "battery-current-above-cells", "--examples"),
    "schema": ("schema", "profile"),
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example workshop as a git repository of its own."""
    top = tmp_path_factory.mktemp("network") / "workshop"
    shutil.copytree(ROOT / "examples" / "workshop", top)
    author = ("-c", "user.name=Test", "-c", "user.email=test@example.org")
    for words in (("init", "--quiet"), ("add", "."), (*author, "commit", "--quiet", "-m", "First")):
        subprocess.run(["git", *words], cwd=top, check=True)
    return top


def guarded(shop: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", GUARDED, *words],
        cwd=shop,
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )


def test_the_guard_is_awake(shop: Path) -> None:
    """Else the tests below would show nothing."""
    assert guarded(shop, "trial").returncode == FORBIDDEN


@pytest.mark.parametrize("call", CALLS)
def test_no_command_opens_a_socket(call: str, shop: Path) -> None:
    """What a profile says stays on the bench."""
    done = guarded(shop, *CALLS[call])
    assert done.returncode in (0, 1, 2, 4), done.stderr
    assert done.stdout or call == "new"
