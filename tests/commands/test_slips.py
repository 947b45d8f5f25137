"""Slips at the shell: what was meant is said, and nothing else is offered."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.commands import main
from gonogo.commands.slips import hint, meant_by

PROFILE = "gonogo: profile/1\nvehicle: {name: Wren}\n"
LISTED = "All are listed."


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with two profiles and one whose name has a blank, and an empty one below it."""
    for name in ("wren.yaml", "own.yaml", "my bike.yaml"):
        (tmp_path / name).write_text(PROFILE, "utf-8")
    (tmp_path / "below").mkdir()
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        pytest.param("check wren.yaml stand", "Did you mean --stage stand?", id="a stage"),
        pytest.param("check stage stand wren.yaml", "mean --stage stand?", id="without dashes"),
        pytest.param("check stage=ride wren.yaml", "mean --stage ride?", id="with its value"),
        pytest.param("check wren.yaml json", "mean --format json?", id="a format"),
        pytest.param("check strict wren.yaml", "mean --strict?", id="an option alone"),
        pytest.param("mend wren.yaml write", "mean --write?", id="of another command"),
        pytest.param("diff against HEAD", "mean --against HEAD?", id="a revision"),
        pytest.param("history wren.yaml max_rpm", "mean --setting max_rpm?", id="a setting"),
        pytest.param("check -stage stand wren.yaml", "mean --stage?", id="one dash"),
        pytest.param("check -strict", "mean --strict?", id="one dash and no path"),
        pytest.param("check -formt=json wren.yaml", "mean --format?", id="and misspelt"),
        pytest.param("check -q wren.yaml", "mean --quiet?", id="a letter"),
        pytest.param("-V", "mean --version?", id="the version by a letter"),
        pytest.param("version", "gonogo --version?", id="the version"),
        pytest.param("compare", "gonogo diff?", id="another verb for a comparison"),
        pytest.param("Validate", "gonogo check?", id="another verb for a check"),
        pytest.param("check wren.yaml,own.yaml", "is: wren.yaml own.yaml", id="a comma"),
        pytest.param("check my bike.yaml", 'quotes: "my bike.yaml"', id="a blank"),
        pytest.param("window my bike.yaml max_rpm", 'quotes: "my bike.yaml"', id="a blank between"),
        pytest.param("check her bike.yaml", 'quotes: "her bike.yaml"', id="a blank and no file"),
        pytest.param(
            "window battery_current_A wren.yaml",
            "mean gonogo window wren.yaml battery_current_A?",
            id="the setting first",
        ),
        pytest.param(
            "working pack.sag_V wren.yaml",
            "mean gonogo working wren.yaml pack.sag_V?",
            id="the quantity first",
        ),
        pytest.param("--check wren.yaml", "mean gonogo check?", id="a command with dashes"),
        pytest.param("check --wren.yaml", "mean wren.yaml?", id="a file with dashes"),
        pytest.param("gonogo check wren.yaml", "twice", id="the program twice"),
        pytest.param("?", "mean gonogo help?", id="a question"),
        pytest.param(
            "window wren.yaml max rpm", "mean gonogo window wren.yaml max_rpm?", id="a setting torn"
        ),
        pytest.param(
            "window wren.yaml Max RPM --mode eco", "wren.yaml max_rpm?", id="torn, and an option"
        ),
        pytest.param(
            "window wren.yaml low voltage cutoff V",
            "mean gonogo window wren.yaml settings.low_voltage.cutoff_V?",
            id="torn in four",
        ),
        pytest.param(
            "working wren.yaml pack sag V",
            "mean gonogo working wren.yaml pack.sag_V?",
            id="a quantity torn",
        ),
        pytest.param("window max_rpm", "expected gonogo window PROFILE max_rpm", id="no profile"),
    ],
)
@pytest.mark.usefixtures("bench")
def test_a_slip_is_answered_with_what_was_meant(
    typed: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Wrong usage, and nothing is judged meanwhile."""
    assert main.status(typed.split(" ")) == 2
    out, err = capsys.readouterr()
    assert (out, said in err) == ("", True), err


@pytest.mark.parametrize(
    "typed",
    [
        pytest.param("check --stage stand wren.yaml", id="an option's value"),
        pytest.param("check --output json --format json wren.yaml", id="a file called as a format"),
        pytest.param("check my\tbike.yaml wren.yaml", id="quoted"),
        pytest.param("check stand wren.yaml", id="a folder called as a stage"),
    ],
)
def test_what_is_no_slip_is_left_alone(typed: str, bench: Path) -> None:
    """Files may be called as they like, and options have values."""
    (bench / "stand").mkdir()
    arguments = [argument.replace("\t", " ") for argument in typed.split(" ")]
    assert main.status(arguments) in (0, 1, 4)


def test_an_offered_path_can_be_pasted(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A name in a repository of others must not become a command."""
    (bench / "a $(b).yaml").write_text(PROFILE, "utf-8")
    assert main.status(["check", "a", "$(b).yaml"]) == 2
    assert "'a $(b).yaml'" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["check", "window", "fill", "mend", "working"])
@pytest.mark.parametrize(
    ("typed", "offered"), [("../wrem.yaml", "../wren.yaml"), ("../wren2.yaml", None)]
)
def test_a_missing_file_is_named_as_it_was_typed(
    command: str,
    typed: str,
    offered: str | None,
    bench: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A file of that name may lie where its user stands: then a bare name is riddle, not answer."""
    monkeypatch.chdir(bench / "below")
    assert main.status([command, typed]) == 3
    said = "".join(capsys.readouterr())
    assert typed in said and "line 1" not in said
    assert said.count("wren.yaml") == (offered is not None)
    assert offered is None or offered in said


@pytest.mark.usefixtures("bench")
def test_a_missing_side_is_named_as_it_was_typed(capsys: pytest.CaptureFixture[str]) -> None:
    """Either of the two."""
    for sides in (["below/gone.yaml", "wren.yaml"], ["wren.yaml", "below/gone.yaml"]):
        assert main.status(["diff", *sides]) == 3
        assert "NOT READ   below/gone.yaml" in capsys.readouterr().out


def test_outside_git_is_said_what_can_be_done(
    bench: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two files can be compared anywhere."""
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(bench.parent))
    for command in ("diff", "history"):
        assert main.status([command, "wren.yaml"]) == 2
        err = capsys.readouterr().err
        assert "gonogo diff OLD NEW" in err and "git init" in err


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("settings", LISTED),
        ("version", LISTED),
        ("wren", LISTED),
        ("stop_V", "Did you mean settings.regen.stop_V?"),
        ("max_rpn", "Did you mean settings.max_rpm?"),
        ("settings.max_rpn", "Did you mean settings.max_rpm?"),
        ("regen.stp_V", "Did you mean settings.regen.stop_V?"),
        ("battery", "With battery in their names: pack.battery_V, battery_A. " + LISTED),
    ],
)
def test_nothing_is_offered_that_is_no_slip(asked: str, said: str) -> None:
    """A hint is followed: `settings` is no slip of a setting, and `wren` none of `regen`."""
    names = ["settings.max_rpm", "settings.regen.stop_V", "questions", "regen"]
    known = [*names, "pack.battery_V", "battery_A"]
    if asked == "settings":
        assert meant_by(asked, known) == []
        known = [name for name in known if not name.startswith("settings.")]
    assert hint(asked, known, LISTED) == said


@pytest.mark.usefixtures("bench")
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("working wren.yaml battery", "`gonogo working PROFILE` lists all."),
        ("history --setting wren wren.yaml", "`gonogo help keys` lists all."),
        ("schema version", "Schemas: "),
        ("rules battery", "`gonogo rules` lists all."),
    ],
)
def test_a_word_is_no_slip_of_a_name(
    typed: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The way to all of them is said instead."""
    assert main.status(typed.split()) == 2
    err = capsys.readouterr().err
    assert said in err and "Did you mean" not in err


@pytest.mark.usefixtures("bench")
def test_settings_are_all_of_them(capsys: pytest.CaptureFixture[str]) -> None:
    """The section's name is a group as any other."""
    assert main.status(["window", "wren.yaml", "settings"]) == 0
    every = capsys.readouterr().out
    assert main.status(["window", "wren.yaml"]) == 0
    assert capsys.readouterr().out == every


def test_the_help_of_new_says_what_blank_does(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It writes without being told to, and the help says so."""
    assert main.status(["new", "--help"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Write the file at once, without --write" in said
    assert "without it, or --blank, it is only shown" in said
    assert main.status(["new", "blank.yaml", "--blank"]) == 0
    assert (bench / "blank.yaml").exists()


@pytest.mark.parametrize(
    ("typed", "uri"), [("../gone.yaml", "../gone.yaml"), ("/gone.yaml", "file:///gone.yaml")]
)
def test_a_file_from_elsewhere_does_not_lie_below_the_root(
    typed: str,
    uri: str,
    bench: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """SARIF has an address counted from a base only where it goes down from there."""
    monkeypatch.chdir(bench / "below")
    assert main.status(["check", "--format", "sarif", typed]) == 3
    said = capsys.readouterr().out
    assert f'"uri": "{uri}"' in said and "uriBaseId" not in said


@pytest.mark.usefixtures("bench")
def test_a_file_of_another_folder_is_offered_here(capsys: pytest.CaptureFixture[str]) -> None:
    """Who types a folder too many is told of the file that lies here."""
    main.status(["check", "nowhere/wren.yaml"])
    said = capsys.readouterr().out
    assert "nowhere/wren.yaml" in said
    assert any(line.split() == ["meant?", "wren.yaml"] for line in said.splitlines())
