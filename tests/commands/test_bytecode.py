"""An installation without sources: compiled files alone judge as the sources do."""

from __future__ import annotations

import compileall
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGES = {"lint": "gonogo", "rules": "gonogo/rules", "schemas": "gonogo/schemas"}
VETCH = ROOT / "examples" / "workshop" / "vehicles" / "vetch.yaml"


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package with its tables, rules and schemas, and no Python source."""
    site = tmp_path_factory.mktemp("site")
    for folder, name in PACKAGES.items():
        shutil.copytree(ROOT / folder, site / name, ignore=shutil.ignore_patterns("__pycache__"))
    assert compileall.compile_dir(site, quiet=1, legacy=True)
    for source in site.rglob("*.py"):
        source.unlink()
    return site


def called(site: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """`gonogo` as it is installed in a folder."""
    return subprocess.run(
        [sys.executable, "-m", "gonogo", *arguments],
        env={**os.environ, "PYTHONPATH": str(site), "XDG_CACHE_HOME": str(site / "cache")},
        capture_output=True,
        text=True,
        check=False,
    )


def test_findings_are_told_without_sources(bare: Path) -> None:
    """With their working, which is not read off the code."""
    asked = ("check", "--as-of", "2026-11-25", "--format", "json", str(VETCH))
    found = called(bare, *asked)
    assert (found.returncode, found.stderr) == (1, "")
    assert '"formula"' in found.stdout


def test_it_is_the_compiled_copy_that_answers(bare: Path) -> None:
    """Not the sources that these tests run from."""
    told = subprocess.run(
        [sys.executable, "-c", "import gonogo.judgement.judge as judge; print(judge.__file__)"],
        env={**os.environ, "PYTHONPATH": str(bare)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert told.stdout.strip() == str(bare / "gonogo" / "judgement" / "judge.pyc")
