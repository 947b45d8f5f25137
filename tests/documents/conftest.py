"""Documents written for one test each, and git repositories to read them back from."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

Workshop = Callable[..., Path]
ALDER = "gonogo: profile/1\nvehicle: {name: Alder}\n"


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    """Writes files into a repository of its own: `workshop({"alder.yaml": text})`."""

    def write(files: dict[str, str | bytes], below: str = "shop") -> Path:
        top = tmp_path / below
        for path, text in {"house.yaml": "gonogo: house/1\n", **files}.items():
            whole = top / path
            whole.parent.mkdir(parents=True, exist_ok=True)
            whole.write_bytes(text if isinstance(text, bytes) else text.encode())
        return top

    return write


@pytest.fixture
def git(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., str]:
    """Runs git in a folder, without the settings of whoever runs the tests."""
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "no-settings"))
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    for name in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{name}_NAME", "Test")
        monkeypatch.setenv(f"GIT_{name}_EMAIL", "test@example.org")

    def run(folder: Path, *arguments: str) -> str:
        done = subprocess.run(
            ["git", "-C", str(folder), *arguments], check=True, capture_output=True, text=True
        )
        return done.stdout.strip()

    return run
