"""What a `#` takes away is told where it is: in brackets the rest of a line, entries and all."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.documents.error import DocumentError, DocumentErrors
from gonogo.documents.loading import load

PROFILE = """\
gonogo: profile/1
vehicle: {name: Wren, use: private_land, wheels: 3}
motor: {magnets: 16, phase_current_A_rms: 110}
settings: {battery_current_A: 75, phase_current_A_rms: 180, field_weakening_A_rms: 0,
           low_voltage: {taper_from_V: 44.5, cutoff_V: 42},
           throttle: {start_V: 1.0, full_V: 4.0}}
"""
NO_KEY = "its entries before the `#`; a remark behind it has no `key:` in it"
IN_QUOTES = "the text in quotes where the `#` belongs to it, or all entries before the `#`"


def loaded(text: str, folder: Path) -> dict[str, object]:
    """What is given by a profile, by quantity."""
    (folder / "wren.yaml").write_text(text, "utf-8")
    profile = load(folder / "wren.yaml")
    return {name: given.value for name, given in profile.givens.items()}


def only_error(text: str, folder: Path) -> DocumentError:
    """The only answer to a profile that cannot be read."""
    with pytest.raises(DocumentErrors) as caught:
        loaded(text, folder)
    (error,) = caught.value.errors
    return error


@pytest.mark.parametrize(
    ("right", "typed", "line", "away", "wanted"),
    [
        pytest.param(
            "battery_current_A: 75,",
            "battery_current_A: 75, # was 80",
            4,
            "phase_current_A_rms: 180",
            NO_KEY,
            id="a remark put into a line",
        ),
        pytest.param(
            "cutoff_V: 42},\n",
            "cutoff_V: 42}, # was 43 over_voltage_trip_V: 60,\n",
            5,
            "over_voltage_trip_V: 60",
            NO_KEY,
            id="the last entry of a line",
        ),
        pytest.param(
            "taper_from_V: 44.5, cutoff_V",
            "taper_from_V: 44.5, # see label cutoff_V",
            5,
            "cutoff_V: 42",
            f"{NO_KEY} and no closing bracket",
            id="with the closing brace",
        ),
        pytest.param(
            "taper_from_V: 44.5, cutoff_V: 42},",
            "taper_from_V: 44.5, # see label cutoff_V: 42},\n  },",
            5,
            "cutoff_V: 42",
            NO_KEY,
            id="with the closing brace put back",
        ),
        pytest.param(
            "battery_current_A: 75, phase_current_A_rms",
            "battery_current_A: 75, # was 80, phase_curent_A_rms",
            4,
            "phase_curent_A_rms: 180",
            NO_KEY,
            id="a misspelt key",
        ),
        pytest.param(
            "name: Wren,", "name: Wren #2,", 2, "use: private_land", IN_QUOTES, id="a number sign"
        ),
        pytest.param(
            "name: Wren, use: private_land,",
            "name: Wren #2, use: private_land,\n  use: off_road,",
            2,
            "use: private_land",
            IN_QUOTES,
            id="a number sign and what it hides given again",
        ),
    ],
)
def test_entries_behind_a_number_sign_in_brackets_are_told(
    tmp_path: Path, right: str, typed: str, line: int, away: str, wanted: str
) -> None:
    """Silence would judge another vehicle than the file seems to describe."""
    assert right in PROFILE
    error = only_error(PROFILE.replace(right, typed, 1), tmp_path)
    assert (error.line, error.found) == (line, f"`{away}` behind a `#`, where it does not count")
    assert error.wanted == wanted
    assert error.text[error.column - 1 :].startswith("#")


@pytest.mark.parametrize(
    ("right", "typed"),
    [
        pytest.param("cutoff_V: 42},\n", "cutoff_V: 42}, # as on the label: 42\n", id="a word"),
        pytest.param("cutoff_V: 42},\n", "cutoff_V: 42}, # 14 cells\n", id="none"),
        pytest.param(
            "           low_v",
            "           # cutoff_V: 40,\n           low_v",
            id="alone on its line",
        ),
        pytest.param("4.0}}\n", "4.0}} # was full_V: 3.9\n", id="behind the last bracket"),
        pytest.param("cutoff_V: 42},\n", "cutoff_V: 42}, # was cutoff_V: 41\n", id="given there"),
        pytest.param("wheels: 3}", "wheels: 3} # was wheels: 2, use: off_road", id="one line"),
    ],
)
def test_a_remark_in_brackets_stays_one(tmp_path: Path, right: str, typed: str) -> None:
    """One that hides nothing, or an entry that was left out on a line of its own."""
    assert right in PROFILE
    assert loaded(PROFILE.replace(right, typed, 1), tmp_path) == loaded(PROFILE, tmp_path)


@pytest.mark.parametrize("rest", ["#2", "#two", "#2 blue"])
def test_a_name_is_not_cut_in_silence(tmp_path: Path, rest: str) -> None:
    """Two vehicles of a shop would have one name."""
    text = PROFILE.replace("{name: Wren, use", f"\n  name: Wren {rest}\n  use")
    text = text.replace("private_land, wheels: 3}", "private_land")
    error = only_error(text, tmp_path)
    assert (error.line, error.column) == (3, 14)
    assert error.found == f"`{rest}` behind `Wren`, which a `#` makes a remark"
    assert error.wanted == "the text in quotes, or a space after the `#` of a remark"


@pytest.mark.parametrize("written", ['"Wren #2"', "Wren # 2", "Wren ## two", "Wren#2"])
def test_a_name_in_quotes_or_with_a_remark_is_read(tmp_path: Path, written: str) -> None:
    """What the answer asks for is taken, and what is plainly a remark."""
    text = PROFILE.replace("{name: Wren, use: private_land, wheels: 3}", f"\n  name: {written}")
    loaded(text + "\n", tmp_path)


FORM = "gonogo: profile/1\nvehicle:\n  name: Wren\n" + "##   What to enter.\n# key:\n" * 30


@pytest.mark.parametrize(
    ("typed", "found", "wanted"),
    [
        pytest.param(
            " pack:\n##   Cells.\n  series: 16\n",
            "`pack` in line with no entry above it",
            "no space before it, as before `vehicle`",
            id="with the blank behind its number sign kept",
        ),
        pytest.param(
            "pack:\n##   Cells.\n#   series: 16\n",
            "nothing below `pack`",
            "the `#` of its entries removed, or one before it too",
            id="without its entries",
        ),
        pytest.param(
            "pack:\n",
            "nothing below `pack`",
            "its entries, further right than it, or `#` before it",
            id="with nothing below it",
        ),
    ],
)
def test_a_section_of_a_form_is_answered_in_its_own_line(
    tmp_path: Path, typed: str, found: str, wanted: str
) -> None:
    """However many remarks stand above it."""
    error = only_error(FORM + typed, tmp_path)
    assert (error.line, error.found, error.wanted) == (FORM.count("\n") + 1, found, wanted)
    assert error.text[error.column - 1 :].startswith("pack")


def test_a_section_in_braces_is_not_told_to_stand_behind_a_number_sign(tmp_path: Path) -> None:
    """There it would take the rest of the line away."""
    text = PROFILE.replace("low_voltage: {taper_from_V: 44.5, cutoff_V: 42}", "low_voltage: ")
    error = only_error(text, tmp_path)
    assert error.found == "nothing below `low_voltage`"
    assert error.wanted == "`{taper_from_V: …, cutoff_V: …}` behind it, or the key left out"
