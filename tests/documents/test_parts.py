"""A part fills a section; what stands beside it has the last word, and is known to."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.documents.error import DocumentErrors
from gonogo.documents.loading import check_document, load, load_profile
from gonogo.documents.location import Place
from gonogo.documents.profile import Override
from gonogo.documents.repository import open_repository

from .conftest import ALDER, Workshop

PART = "gonogo: part/1\npart: {name: A part}\n"
MOTOR = f"""{PART}motor:
  pole_pairs: 5
  phase_current_A_peak: 100
  line_to_line_mohm: 20
  max_rpm: 6000
"""
CELL = f"{PART}cell: {{chemistry: nmc, continuous_A: 15, minimum_V: 2.5, resistance_mohm: 16}}\n"
OTHER_CELL = f"{PART}cell: {{chemistry: lfp, continuous_A: 30, minimum_V: 2.0}}\n"
PACK = f"""{PART}pack:
  series: 14
  cell: {{part: cells/nmc.yaml, peak_A: 25, resistance_mohm: 18}}
  bms: {{continuous_A: 60, trip_A: 120}}
  charger: none
"""
PARTS = {
    "parts/motor.yaml": MOTOR,
    "parts/pack.yaml": PACK,
    "parts/cells/nmc.yaml": CELL,
    "parts/cells/lfp.yaml": OTHER_CELL,
}


def shop(workshop: Workshop, sections: str) -> Path:
    """A shop with a few parts and a vehicle."""
    return workshop({**PARTS, "vehicles/alder.yaml": ALDER + sections}) / "vehicles" / "alder.yaml"


def test_a_part_gives_what_the_profile_does_not(workshop: Workshop) -> None:
    """Each value is at its place in the part's file, under the profile's key."""
    profile = load(shop(workshop, "motor: {part: ../parts/motor.yaml, position_sensor: hall}\n"))
    rpm = profile.givens["motor.max_rpm"]
    assert (rpm.value, rpm.entered_as) == (6000.0, "motor.max_rpm")
    assert rpm.place == Place("parts/motor.yaml", 7, 12)
    assert profile.line(rpm.place) == "  max_rpm: 6000"
    assert profile.value("motor.position_sensor") == "hall"
    assert profile.files == ("vehicles/alder.yaml", "parts/motor.yaml", "house.yaml")
    assert profile.overrides == ()


def test_a_key_beside_a_part_overrides_it(workshop: Workshop) -> None:
    """What says otherwise is noted, canonical on both sides, with both places."""
    sections = "motor: {part: ../parts/motor.yaml, max_rpm: 7000, pole_pairs: 7}\n"
    profile = load(shop(workshop, sections))
    assert profile.value("motor.pole_pairs") == 7
    raised, other = profile.overrides
    here, there = Place("vehicles/alder.yaml", 3, 45), profile.overrides[0].part_place
    assert raised == Override("motor.max_rpm", 7000.0, 6000.0, "upper", here, there)
    assert profile.line(there) == "  max_rpm: 6000"
    assert (other.value, other.part_value, other.rating) == (7, 5, None)


def test_one_of_a_pair_removes_the_other_of_the_part(workshop: Workshop) -> None:
    """Peak in the datasheet and rms in the profile are one rating."""
    sections = (
        "motor: {part: ../parts/motor.yaml, phase_current_A_rms: 80, phase_to_neutral_mohm: 9}\n"
    )
    profile = load(shop(workshop, sections))
    given = profile.givens["motor.phase_current_A_rms"]
    assert (given.value, given.entered_as) == (80.0, "motor.phase_current_A_rms")
    assert profile.value("motor.phase_to_neutral_mohm") == 9.0
    current, winding = profile.overrides
    assert current.part_value == pytest.approx(100 / 2**0.5)
    assert (winding.value, winding.part_value) == (9.0, 10.0)


def test_the_same_value_again_is_no_override(workshop: Workshop) -> None:
    """A rating that is only repeated raises nothing."""
    profile = load(shop(workshop, "motor: {part: ../parts/motor.yaml, max_rpm: 6000}\n"))
    assert profile.overrides == ()


def test_a_part_may_take_a_part(workshop: Workshop) -> None:
    """Paths start at the file that holds them, and what stands beside has the last word."""
    profile = load(shop(workshop, "pack: {part: ../parts/pack.yaml, parallel: 4}\n"))
    value = profile.value
    assert (value("pack.series"), value("pack.parallel")) == (14, 4)
    assert value("pack.cell.continuous_A") == 15.0
    assert value("pack.cell.resistance_mohm") == 18.0
    assert profile.sections["pack.cell"] == Place("parts/pack.yaml", 5, 3)
    assert profile.absent == {"pack.charger"}


def test_a_section_beside_a_part_is_laid_over_it(workshop: Workshop) -> None:
    """One figure of the cell, one of the board; the rest stays as the part has it."""
    sections = "pack: {part: ../parts/pack.yaml, cell: {continuous_A: 20}, bms: {trip_A: 150}}\n"
    profile = load(shop(workshop, sections))
    value = profile.value
    assert (value("pack.cell.continuous_A"), value("pack.cell.chemistry")) == (20.0, "nmc")
    assert (value("pack.bms.trip_A"), value("pack.bms.continuous_A")) == (150.0, 60.0)
    raised = {one.quantity: (one.value, one.part_value) for one in profile.overrides}
    assert raised == {
        "pack.cell.resistance_mohm": (18.0, 16.0),  # the pack's own file beside the cell's
        "pack.cell.continuous_A": (20.0, 15.0),
        "pack.bms.trip_A": (150.0, 120.0),
    }


def test_another_part_in_the_place_of_a_part_replaces_it(workshop: Workshop) -> None:
    """Cells exchanged are other cells: nothing of the old datasheet stays, and nothing is raised."""
    sections = "pack: {part: ../parts/pack.yaml, cell: {part: ../parts/cells/lfp.yaml}}\n"
    profile = load(shop(workshop, sections))
    cell = {n: g.value for n, g in profile.givens.items() if n.startswith("pack.cell.")}
    assert cell == {
        "pack.cell.chemistry": "lfp",
        "pack.cell.continuous_A": 30.0,
        "pack.cell.minimum_V": 2.0,
    }
    assert profile.overrides == ()


def test_none_beside_a_part_removes_what_the_part_has(workshop: Workshop) -> None:
    """The board was taken out, a charger was bought."""
    sections = "pack: {part: ../parts/pack.yaml, bms: none, charger: {current_A: 5}}\n"
    profile = load(shop(workshop, sections))
    assert profile.absent == {"pack.bms"}
    assert profile.value("pack.bms") == "none"
    taken_out = profile.overrides[-1]
    assert (taken_out.quantity, taken_out.value) == ("pack.bms", "none")
    assert not [name for name in profile.givens if name.startswith("pack.bms.")]
    assert (profile.value("pack.charger"), profile.value("pack.charger.current_A")) == (
        "fitted",
        5.0,
    )


def test_a_part_means_the_same_in_every_profile(workshop: Workshop) -> None:
    """What one profile puts beside a part is not in the next one's."""
    path = shop(workshop, "pack: {part: ../parts/pack.yaml, cell: {continuous_A: 99}, bms: none}\n")
    (path.parent / "birch.yaml").write_text(f"{ALDER}pack: {{part: ../parts/pack.yaml}}\n")
    repository, inside = open_repository(path)
    load_profile(repository, inside)
    birch = load_profile(repository, "vehicles/birch.yaml")
    assert birch == load(path.parent / "birch.yaml")
    assert (birch.value("pack.cell.continuous_A"), birch.value("pack.bms")) == (15.0, "fitted")


def test_parts_inside_each_other_have_an_end(workshop: Workshop) -> None:
    """A chain of files without end is a slip, or worse."""
    chain = {
        f"parts/c{number}.yaml": f"{PART}cell: {{part: c{number + 1}.yaml}}\n"
        for number in range(2000)
    }
    top = workshop({**chain, "alder.yaml": f"{ALDER}pack: {{cell: {{part: parts/c0.yaml}}}}\n"})
    with pytest.raises(DocumentErrors) as caught:
        load(top / "alder.yaml")
    (error,) = caught.value.errors
    assert error.found == "more than 8 part files that refer to each other"


def test_a_part_by_itself_is_checked_with_its_parts(workshop: Workshop) -> None:
    """A fault in a shelf of parts is found before a vehicle is built from it."""
    path = shop(workshop, "")
    (path.parents[1] / "parts" / "cells" / "nmc.yaml").unlink()
    repository, _ = open_repository(path)
    (error,) = check_document(repository, "parts/pack.yaml", "part")
    assert (error.file, error.line, error.column) == ("parts/pack.yaml", 5, 16)
    assert check_document(repository, "parts/motor.yaml", "part") == ()
    assert check_document(repository, "parts/cells/lfp.yaml", "part") == ()
