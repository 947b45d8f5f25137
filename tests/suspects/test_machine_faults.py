"""Faults of the machine: what each does to the readings, worked out by hand, and that it is named."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.reports.suspects import answer_words, suspect_title

from .test_agreement import asked

REAR = "rpm: 657, battery_A: 1.0, field_weakening_A_rms: 0, electrical_Hz: 251.9"
AS_FORWARD, AS_REVERSED = (
    f"for: {{pole_pairs: 23, direction: {direction}, position_sensor: hall}}"
    for direction in ("forward", "reversed")
)
ALDER = "rpm: 3980, electrical_Hz: 464.3, battery_A: 2.4"
THROTTLE = "supply_V: 5.01, rest_V: [0.86, 0.87, 0.86], full_V: 4.2,"


def found_at(front: str, rear: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """What the identification found at two motors."""
    return (
        (AS_FORWARD, f"{AS_FORWARD}, found: {{{front}}}"),
        (AS_REVERSED, f"{AS_REVERSED}, found: {{{rear}}}"),
    )


@pytest.mark.parametrize(
    ("edits", "fault", "first"),
    [
        pytest.param(
            [(REAR, "rpm: 330, battery_A: 1.0, field_weakening_A_rms: 0, electrical_Hz: 126.5")],
            "motor-weak",
            True,
            id="half the speed of its twin",
        ),
        pytest.param(
            [(REAR, "rpm: 30, battery_A: 6.0, field_weakening_A_rms: 0, electrical_Hz: 11.5")],
            "motor-weak",
            True,
            id="hardly turns, and draws much",
        ),
        pytest.param(
            # a tenth slower at twice the current: 2.2 A · 61.4 V less 1.0 A · 61.4 V is 74 W of drag
            [(REAR, "rpm: 590, battery_A: 2.2, field_weakening_A_rms: 0, electrical_Hz: 226.2")],
            "motor-drags",
            False,
            id="a brake that drags",
        ),
        pytest.param(
            # 251.9 Hz · 60 / 23 pairs = 657 rpm: the tachometer sees 500
            [(REAR, "rpm: 500, battery_A: 1.2, field_weakening_A_rms: 0, electrical_Hz: 251.9")],
            "rotor-loose",
            True,
            id="a shaft slower than its field",
        ),
        pytest.param(
            # a fifth of the flux is gone: kv and speed are 1 / 0.8 of what they were
            [
                *found_at("kv_rpm_per_V: 11.1", "kv_rpm_per_V: 13.8"),
                (REAR, "rpm: 826, battery_A: 1.3, field_weakening_A_rms: 0, electrical_Hz: 316.6"),
            ],
            "magnets-weakened",
            False,
            id="weak magnets",
        ),
        pytest.param(
            # half of the turns shorted: resistance falls to their share, inductance further
            [
                *found_at(
                    "phase_to_neutral_mohm: 62, phase_inductance_uH: 150",
                    "phase_to_neutral_mohm: 35, phase_inductance_uH: 80",
                )
            ],
            "turns-shorted",
            True,
            id="turns shorted",
        ),
    ],
)
def test_one_of_two_motors_is_named(
    edits: list[tuple[str, str]], fault: str, first: bool, tmp_path: Path
) -> None:
    """The motor that is broken, by what it shows and its twin does not; no entry is made up for it."""
    found = asked(tmp_path, "rowan", *edits)
    told = {one.hypothesis.slip: one for one in found.suspects}
    assert fault in told and "equal-motors-read-differently" in told[fault].explains
    assert suspect_title(told[fault]).endswith("(motor rear)")
    assert (found.suspects[0] is told[fault]) == first
    assert not (found.stands_out and found.suspects[0].hypothesis.fault is None)


def test_a_fault_is_not_told_that_would_show_on_the_other_side(tmp_path: Path) -> None:
    """A motor that is weak, that drags or has wires exchanged is never a fifth too fast."""
    edit = (REAR, "rpm: 790, battery_A: 1.1, field_weakening_A_rms: 0, electrical_Hz: 302.8")
    slips = {one.hypothesis.slip for one in asked(tmp_path, "rowan", edit).suspects}
    assert "magnets-weakened" in slips
    assert slips.isdisjoint({"motor-weak", "motor-drags", "sensor-wires-exchanged", "rotor-loose"})


@pytest.mark.parametrize(
    ("vehicle", "edits", "fault"),
    [
        pytest.param(
            # three times the current at nine tenths of the speed: 242 W of drag in place of 121 W
            "alder",
            [(ALDER, "rpm: 3600, electrical_Hz: 420, battery_A: 7.2")],
            "motor-drags",
            id="drag of a single motor",
        ),
        pytest.param(
            # 464.3 Hz · 60 / 7 pairs = 3980 rpm: the shaft turns at 3100
            "alder",
            [(ALDER, "rpm: 3100, electrical_Hz: 464.3, battery_A: 2.4")],
            "rotor-loose",
            id="a loose rotor",
        ),
        pytest.param(
            # a hall throttle follows its supply: 3.9 / 5.01 of each reading
            "alder",
            [(THROTTLE, "supply_V: 3.9, rest_V: [0.67, 0.67, 0.67], full_V: 3.27,")],
            "throttle-supply-sags",
            id="a supply that sags",
        ),
        pytest.param(
            # 0.6 V over the ground wire lifts rest and full alike
            "alder",
            [(THROTTLE, "supply_V: 5.01, rest_V: [1.46, 1.62, 1.5], full_V: 4.8,")],
            "throttle-ground-poor",
            id="a poor ground",
        ),
        pytest.param(
            "teasel",
            [("    rest_V: [0.58, 0.59, 0.58]", "    rest_V: [0.58, 0.95, 0.58]")],
            "throttle-sticks",
            id="a throttle that sticks",
        ),
    ],
)
def test_a_fault_of_the_machine_is_named(
    vehicle: str, edits: list[tuple[str, str]], fault: str, tmp_path: Path
) -> None:
    """Each shows as its physics has it, and is said to be a fault and not an entry."""
    found = asked(tmp_path, vehicle, *edits)
    assert fault in {one.hypothesis.slip for one in found.suspects}


def test_no_start_is_moved_to_a_rest_that_is_doubted(tmp_path: Path) -> None:
    """The throttle rests at 1.5 V: its start of 1.02 V is not what is wrong."""
    edit = (THROTTLE, "supply_V: 5.01, rest_V: [1.5, 1.62, 1.5], full_V: 4.4,")
    found = asked(tmp_path, "alder", edit)
    assert found.stops
    for one in found.suspects:
        assert "settings.throttle.start_V" not in one.same_class
    assert not answer_words(found).startswith("Most likely")
