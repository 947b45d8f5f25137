"""A real git repository to read revisions from."""

from __future__ import annotations

import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest


@dataclass
class Git:
    """A git repository in a folder of its own, with a person who commits."""

    folder: Path

    def __call__(self, *arguments: str) -> str:
        done = subprocess.run(
            ["git", "-c", "user.name=Builder", "-c", "user.email=builder@example.org", *arguments],
            cwd=self.folder,
            check=True,
            capture_output=True,
            text=True,
        )
        return done.stdout

    def write(self, path: str, text: str) -> Path:
        whole = self.folder / path
        whole.parent.mkdir(parents=True, exist_ok=True)
        whole.write_text(text, encoding="utf-8")
        return whole

    def commit(self, message: str) -> str:
        self("add", "--all")
        self("commit", "--quiet", "--allow-empty", "-m", message)
        return self("rev-parse", "HEAD").strip()


@pytest.fixture
def git(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Git:
    """An empty repository, untouched by the settings of whoever runs the tests."""
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", "/dev/null")
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    folder = tmp_path / "shop"
    folder.mkdir()
    repository = Git(folder)
    repository("init", "--quiet", "--initial-branch=main")
    return repository
