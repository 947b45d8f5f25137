"""The command line as a whole: every way out has its status and its sentence."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest
from gonogo.commands import check, main
from gonogo.judgement import catalogue

LONG = f"{'a' * 300}.yaml"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        pytest.param(["chek"], "check", id="a command misspelt"),
        pytest.param(["wren.yaml"], "gonogo check wren.yaml", id="a file without a command"),
        pytest.param(["check", "a", "—strict"], "--strict?", id="a dash that an editor made"),
        pytest.param(["mend", "a", "\N{EN DASH}write"], "--write?", id="a shorter one"),
        pytest.param(["check", "a", "-\N{EN DASH}jobs=2"], "--jobs=2?", id="half of each"),
        pytest.param(["check", "--formt", "json"], "--formt", id="an option misspelt"),
        pytest.param(["check", "--format", "jsn"], "json", id="a format nobody knows"),
        pytest.param(["check", "--jobs", "0"], "from 1", id="no process at all"),
        pytest.param(
            ["check", "--jobs", "many"], "--jobs many: expected", id="a count that is none"
        ),
        pytest.param(
            ["check", "--as-of", "25.11.2026"], "2026-11-25", id="a day written otherwise"
        ),
        pytest.param(["check", "--as-of", "2026-02-30"], "2026-11-25", id="a day that is none"),
        pytest.param(["rules", "a", "b"], "b", id="an argument too many"),
        pytest.param(["rules", "no-such-rule-at-all"], "no-such-rule-at-all", id="a rule misspelt"),
        pytest.param(["schema", "profil"], "profile", id="a schema misspelt"),
    ],
)
def test_a_call_that_makes_no_sense_is_answered(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 2, a sentence on the error stream, nothing on the other."""
    assert main.status(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert "Traceback" not in err


def test_a_folder_without_profiles_is_answered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing judged must not look like GO."""
    assert main.status(["check", str(tmp_path)]) == 2
    assert "No profile" in capsys.readouterr().err


def test_a_name_that_colours_a_terminal_is_shown_as_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A folder's name, taken up by `*`, must not write to the screen in gonogo's stead."""
    folder = tmp_path / "red\x1b[31m"
    folder.mkdir()
    assert main.status(["check", str(folder)]) == 2
    err = capsys.readouterr().err
    assert "\x1b" not in err
    assert "red" in err


def test_a_name_longer_than_any_file_has_is_no_such_file(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A call with a page of text pasted in is answered like any other wrong name."""
    assert main.status(["check", "a" * 5000]) == 3
    assert "cannot be read" in capsys.readouterr().out


def broken(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> None:
    """A check that ends in an error which nobody foresaw."""

    def fail(*_: object, **__: object) -> int:
        raise error

    monkeypatch.setattr(check, "run", fail)


def test_a_defect_of_ours_is_owned_up_to(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 70 and no page of code: a person at the bench can do nothing with it."""
    broken(monkeypatch, KeyError("cell"))
    assert main.status(["check"]) == 70
    err = capsys.readouterr().err
    assert "defect" in err
    assert "Traceback" not in err


def test_a_defect_can_be_seen_in_full(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever mends it asks for the page of code."""
    broken(monkeypatch, KeyError("cell"))
    monkeypatch.setenv(main.SHOW_DEFECT, "1")
    with pytest.raises(KeyError):
        main.status(["check"])


RULE = """\
id: our-own
severity: danger
of: settings.battery_current_A
at_most: pack.continuous_A
says: Too much.
because: Heat.
remedy: Less.
"""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        pytest.param(
            RULE.replace("continuous_A", "continous_A"),
            "rules/pack/our-own.yaml: Found pack.continous_A",
            id="a name",
        ),
        pytest.param(RULE.replace("continuous_A", "full_V"), "at_most", id="a unit"),
        pytest.param(RULE.replace("at_most", "at_moist"), "", id="a key"),
        pytest.param(RULE.replace("says", "say"), "says", id="a sentence"),
        pytest.param("- no rule", "", id="a list"),
        pytest.param("says: [", "", id="no YAML"),
    ],
)
@pytest.mark.parametrize("arguments", [["check"], ["rules"]], ids=["check", "rules"])
def test_a_mistake_in_a_rule_of_ours_is_a_defect_of_ours(
    text: str,
    said: str,
    arguments: list[str],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    """The user's files are not at fault; whoever mends it needs the rule's file."""
    (tmp_path / "larch.yaml").write_text("gonogo: profile/1\nvehicle: {name: Larch}\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(catalogue, "rule_texts", lambda: {("pack", "our-own.yaml"): text.encode()})
    catalogue.catalogue.cache_clear()
    try:
        assert main.status(arguments) == 70
    finally:
        catalogue.catalogue.cache_clear()
    err = capsys.readouterr().err
    assert "pack/our-own.yaml" in err and said in err and "Traceback" not in err


def test_an_interrupted_run_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """A script that was stopped must not go on as if all were well."""
    broken(monkeypatch, KeyboardInterrupt())
    assert main.status(["check"]) == 130


@pytest.mark.parametrize("arguments", [["--help"], ["check", "--help"], ["rules", "-h"]])
def test_help_is_no_mistake(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Whoever asks for help gets it, and status 0."""
    assert main.status(arguments) == 0
    assert "gonogo" in capsys.readouterr().out


def test_a_bare_call_shows_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    """A first call needs no manual, but it has judged nothing."""
    assert main.status([]) == 2
    out = capsys.readouterr().out
    assert [name for name in main.COMMANDS if name not in out] == []


def test_only_the_command_asked_for_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    """The others would only cost time at the start."""
    asked: list[str] = []
    original = main.import_module

    def read(name: str, package: str) -> ModuleType:
        asked.append(name)
        return original(name, package)

    monkeypatch.setattr(main, "import_module", read)
    main.status(["schema", "house"])
    assert asked == [".schema"]


def test_a_reader_who_goes_away_ends_it_quietly() -> None:
    """`gonogo rules | head -1` must not complain."""
    script = f"{sys.executable} -m gonogo schema profile | head -1"
    ended = subprocess.run(
        ["bash", "-c", f"set -o pipefail; {script}"],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONWARNINGS": "error"},
        check=False,
    )
    assert (ended.returncode, ended.stdout, ended.stderr) == (0, "{\n", "")


@pytest.mark.parametrize(
    "arguments",
    [
        ["history", LONG],
        ["diff", LONG],
        ["diff", LONG, LONG],
        ["diff", f"HEAD:{LONG}", LONG],
        ["new", LONG],
    ],
    ids=["history", "diff", "both sides", "a revision", "new"],
)
def test_a_name_longer_than_any_file_can_have_is_no_defect_of_ours(arguments: list[str]) -> None:
    """Whatever is named, the answer is a sentence."""
    assert main.status(arguments) in (2, 3)
