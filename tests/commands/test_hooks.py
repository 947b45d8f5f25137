"""Hooks and the job in CI as they are written down, played in scratch repositories."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.commands.test_diff import BIKE, CALM, HOT, HOUSE, PART, WITH_PART
from tests.commands.test_revisions import SCRIPTS
from tests.standards.readers import read_junit, read_sarif

pytestmark = pytest.mark.usefixtures("frozen")
ROOT = Path(__file__).parents[2]
Git = Any
RUNNER = [sys.executable, "-m", "pre_commit"]
# A motor of so few magnets contradicts the pole pairs that are set, which is a fault.
WRONG_PART = PART.replace("magnets: 10", "magnets: 14")
CONFIG = """\
repos:
- repo: {definitions}
  rev: {revision}
  hooks: [{{id: gonogo-check, language: system}}]
"""


@pytest.fixture
def shop(git: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Git:
    """A calm vehicle that takes its motor from a part, and gonogo of this checkout on the path."""
    program = tmp_path / "bin" / "gonogo"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -P -m gonogo "$@"\n')
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{program.parent}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setenv("PRE_COMMIT_HOME", str(tmp_path / "runner"))
    git.write("house.yaml", HOUSE)
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, WITH_PART)
    git.commit("As it left")
    return git


def played(git: Git, *words: str, **env: str) -> subprocess.CompletedProcess[str]:
    """A call in the shop, whatever it comes to."""
    person = {"GIT_AUTHOR_NAME": "A", "GIT_AUTHOR_EMAIL": "a@example.org"}
    person |= {"GIT_COMMITTER_NAME": "A", "GIT_COMMITTER_EMAIL": "a@example.org"}
    done = subprocess.run(
        words, cwd=git.folder, env={**os.environ, **person, **env},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stdout + done.stderr, done.stdout + done.stderr
    return done


def commits(git: Git, *words: str) -> tuple[bool, str]:
    """Whether the hook lets a commit pass, and what it said."""
    done = played(git, "git", "commit", "-m", "x", *words)
    return done.returncode == 0, done.stdout + done.stderr


def test_the_runner_of_hooks_judges_what_is_staged(shop: Git, tmp_path: Path) -> None:
    """With this repository's definition, by the runner itself; only how gonogo gets there is another.

    A part that is staged, one that is deleted and one file of several commit the same vehicle.
    """
    definitions = tmp_path / "definitions"
    definitions.mkdir()
    text = (ROOT / ".pre-commit-hooks.yaml").read_text("utf-8")
    (definitions / ".pre-commit-hooks.yaml").write_text(text, "utf-8")
    for words in (("init", "-q"), ("add", "."), ("commit", "-qm", "Hooks")):
        assert played(shop, "git", "-C", str(definitions), *words).returncode == 0
    revision = played(shop, "git", "-C", str(definitions), "rev-parse", "HEAD").stdout.strip()
    config = CONFIG.format(definitions=definitions, revision=revision)
    shop.write(".pre-commit-config.yaml", config)
    shop.commit("The hook")
    assert played(shop, *RUNNER, "install").returncode == 0

    shop.write("parts/hub.yaml", WRONG_PART)
    shop("add", "parts/hub.yaml")
    shop.write("parts/hub.yaml", PART)
    passed, said = commits(shop)
    assert not passed and "NO-GO" in said and "Foxglove" in said, said

    shop("reset", "--quiet", "--hard")
    shop("rm", "--quiet", "parts/hub.yaml")
    passed, said = commits(shop)
    assert not passed and "NOT READ" in said, said

    shop("reset", "--quiet", "--hard")
    shop.write(BIKE, HOT)
    shop.write("notes.txt", "looked at\n")
    shop("add", "notes.txt")
    passed, said = commits(shop)
    assert passed and "Passed" in said, said
    passed, said = commits(shop, BIKE)
    assert not passed and "NO-GO" in said, said


def test_the_job_in_ci_is_decided_by_what_the_branch_brought(shop: Git) -> None:
    """What stood on the main branch fails nobody's merge, and both files are there either way."""
    shop.write("vehicles/alder.yaml", HOT.replace("Foxglove", "Alder"))
    shop.commit("One that is no GO")
    shop("switch", "--quiet", "-c", "topic")
    for text, came_to in ((CALM, 0), (HOT, 1)):
        shop.write(BIKE, text)
        shop.commit("A change")
        done = played(shop, "sh", "-e", "-c", SCRIPTS[3], TARGET="main")
        assert done.returncode == came_to, done.stdout + done.stderr
        assert len(read_junit((shop.folder / "gonogo.xml").read_text("utf-8"))) == 2
        found = read_sarif((shop.folder / "gonogo.sarif").read_text("utf-8")).results or []
        assert any(one.level == "error" for one in found) == bool(came_to)
