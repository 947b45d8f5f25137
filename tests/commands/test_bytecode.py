"""An installation judges as the checkout does: its compiled rules, and compiled files alone."""

from __future__ import annotations

import compileall
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from gonogo.build_package import compile_rules
from gonogo.judgement.catalogue import compiled_rules
from gonogo.judgement.catalogue_file import restored

ROOT = Path(__file__).parents[2]
PACKAGES = {"lint": "gonogo", "rules": "gonogo/rules", "schemas": "gonogo/schemas"}
ASKED = ("check", "--as-of", "2026-11-25", "--format", "json")
VETCH = ROOT / "examples" / "workshop" / "vehicles" / "vetch.yaml"


def copied(site: Path) -> Path:
    """The package with its tables, rules and schemas, in a folder."""
    for folder, name in PACKAGES.items():
        shutil.copytree(ROOT / folder, site / name, ignore=shutil.ignore_patterns("__pycache__"))
    return site


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package as the build puts it together."""
    site = copied(tmp_path_factory.mktemp("built"))
    compile_rules(site / "gonogo")
    return site


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package with its tables, rules and schemas, and no Python source."""
    site = copied(tmp_path_factory.mktemp("site"))
    assert compileall.compile_dir(site, quiet=1, legacy=True)
    for source in site.rglob("*.py"):
        source.unlink()
    return site


def called(site: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """`gonogo` as it is installed in a folder."""
    return subprocess.run(
        [sys.executable, "-m", "gonogo", *arguments],
        env={**os.environ, "PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_findings_are_told_without_sources(bare: Path) -> None:
    """With their working, which is not read off the code."""
    found = called(bare, *ASKED, str(VETCH))
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


def test_an_installation_has_the_rules_compiled_and_no_others(built: Path) -> None:
    """Were both there, one of them could be older than the other."""
    assert not list(built.rglob("*.yaml"))
    rules, origin = restored((built / "gonogo" / "rules" / "catalogue.json").read_text("utf-8"))
    assert (rules, origin) == compiled_rules()


def test_a_checkout_has_nothing_compiled() -> None:
    """A file left there would be read instead of the rules that somebody changes."""
    assert not [path for folder in ("rules", "lint") for path in (ROOT / folder).rglob("*.json")]


def test_an_installation_judges_as_the_checkout_does(built: Path, bare: Path) -> None:
    """To the letter, with every number, limit and sentence."""
    answers = [called(site, *ASKED, str(VETCH.parent)) for site in (built, bare)]
    first, second = ((answer.returncode, answer.stdout, answer.stderr) for answer in answers)
    assert first == second
    assert first[1].startswith("{")


@pytest.mark.parametrize(
    "asked",
    [
        pytest.param(("rules", "--examples", "battery-current-above-bms"), id="a rule"),
        pytest.param(("fill", str(VETCH)), id="starting points"),
        pytest.param(("diff", str(VETCH), str(VETCH.with_name("fescue.yaml"))), id="follow-ups"),
    ],
)
def test_whatever_else_is_read_is_there_too(
    built: Path, bare: Path, asked: tuple[str, ...]
) -> None:
    """Starting points, follow-ups, tables and examples are built as the rules are."""
    first, second = called(built, *asked), called(bare, *asked)
    assert (first.returncode, first.stdout) == (second.returncode, second.stdout)
    assert first.returncode in (0, 1, 4) and first.stdout
