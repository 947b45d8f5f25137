"""A used trike whose builder has labels, a meter and a tape: no data sheet of the motor, no cell count."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path

import gonogo
import pytest
from gonogo.commands import new
from gonogo.commands.answer import keyed_value
from gonogo.commands.entry_questions import entry_question, explanation
from gonogo.commands.typed_sum import MOST_CHARACTERS, typed_sum
from gonogo.documents.error import UsageError
from ruamel.yaml import YAML

DAY = "2026-11-25"
BAG = {
    "vehicle.wheels": "3",
    "pack.cell.chemistry": "LiFePO4",
    "pack.series": "16S",
    "pack.continuous_A": "60 A",
    "pack.peak_A": "90 A",
    "pack.cell.full_V": "58.4",
    "pack.resistance_mohm": "60",
    "pack.capacity_Ah": "30",
    "pack.bms": "60",
    "pack.bms.cell_low_V": "40 V",
    "pack.connector_A": "90",
    "pack.charge_A": "30",
    "pack.charger.voltage_V": "58.4",
    "controller.battery_current_A": "45",
    "controller.max_V": "72",
    "controller.phase_current_A_rms": "110 A (rms)",
    "motor.rated_power_W": "1500 W",
    "motor.rated_rpm": "3200 rpm",
    "motor.kv_rpm_per_V": "1000/(1.414*11.4)",
    "motor.line_to_line_mohm": "92",
    "motor.pole_pairs": "5",
    "motor.temperature_sensor": "ntc-10k",
    "motor.position_sensor": "none",
    "motor.one_way_clutch": "no",
    "wiring.fuse": "60",
    "wiring.fuse.rated_V": "80 V dc",
    "wiring.fuse.breaking_A": "2 kA",
    "wiring.disconnect": "plug",
    "wiring.battery_cable_mm2": "10 mm2",
    "wiring.battery_cable_m": "1.1/2",
    "wiring.phase_cable_mm2": "10",
    "wiring.kill_switch": "controller_enable",
    "wiring.loads": "none",
    "throttle": "hall",
    "throttle.kind": "hall",
    "throttle.brake_cut": "yes",
    "readings.throttle.rest_V": "0.83 0.84 0.84",
    "readings.throttle.full_V": "3.62",
    "readings.throttle.supply_V": "4.98",
    "vehicle.speed_limit_km_h": "30 km/h",
    "vehicle.max_downhill_km_h": "35",
    "vehicle.mass_kg": "58 kg",
    "vehicle.rider_kg": "82 + 60",
    "vehicle.towed_kg": "none",
    "drivetrain.ratio": "54/11",
    "drivetrain.circumference_mm": "1.66 m",
}


def entered_from(path: Path, told: Mapping[str, str], goes_on: str) -> tuple[int, str, list[str]]:
    """The status, what was said and the questions, of somebody who answers with `told`."""
    answers = {entry_question(name).asks: answer for name, answer in told.items()}
    answers["Where is it ridden: off_road, street or private_land?"] = "private_land"
    asked: list[str] = []

    def ask(question: str) -> str:
        assert len(asked) < 120, "asked without end"
        last = question.splitlines()[-1]
        asked.append(last)
        ends = {"Go on?": goes_on, "Write": "yes", "Keep": "no", "Does a display": "no"}
        return next(
            (said for words, said in ends.items() if last.startswith(words)), answers.get(last, "")
        )

    out = io.StringIO()
    return new.run(path, {}, [], False, DAY, ask, out), out.getvalue(), asked


@pytest.mark.parametrize("goes_on", ["yes", "no"])
def test_labels_without_a_data_sheet_reach_the_stand(tmp_path: Path, goes_on: str) -> None:
    """No grade of the magnets, no maximum speed of motor or controller: hardly any label has them."""
    path = tmp_path / "trike.yaml"
    status, said, asked = entered_from(path, BAG, goes_on)
    assert status == 0, said
    assert gonogo.check(path, as_of=DAY).stages["stand"] == "go"
    assert len(asked) == len(set(asked))
    written = YAML(typ="safe").load(path)
    settings = written["settings"]
    assert settings["field_weakening_A_rms"] == 0
    assert settings["phase_current_A_rms"] == 21  # 60% of 35 A, what 1500 W at 3200 rpm take
    assert written["pack"]["full_V"] == 58.4
    assert written["vehicle"]["wheels"] == 3
    if goes_on == "yes":
        # 30 km/h is 1479 rpm; three wheels are careful ones
        assert 1000 <= settings["max_rpm"] <= 1470
        assert written["motor"]["line_to_line_mohm"] == 92
        assert written["vehicle"]["rider_kg"] == 142


def test_the_motor_is_asked_about_in_one_go(tmp_path: Path) -> None:
    """Who has its label at hand is not asked for its pole pairs after the throttle."""
    _, _, asked = entered_from(tmp_path / "trike.yaml", BAG, "yes")
    pairs, kv, throttle = (
        asked.index(entry_question(name).asks)
        for name in ("motor.pole_pairs", "motor.kv_rpm_per_V", "throttle.kind")
    )
    assert kv < pairs < throttle or pairs < kv < throttle


@pytest.mark.parametrize("name", ["motor.magnet_grade", "motor.insulation_class"])
def test_an_answer_left_out_for_a_ride_says_what_it_leaves_open(tmp_path: Path, name: str) -> None:
    path = tmp_path / "trike.yaml"
    _, said, asked = entered_from(path, BAG, "yes")
    assert entry_question(name).asks in asked
    assert "A ride then lacks these checks:" in said
    open_rules = [
        entry.rule.id
        for entry in gonogo.check(path, as_of=DAY).not_checked
        if entry.gate is not None and name in entry.missing
    ]
    assert open_rules
    assert any(f": {rule}" in said for rule in open_rules)


def test_two_wheels_go_as_fast_as_the_limit_says(tmp_path: Path) -> None:
    """30 km/h on 1.66 m a turn, geared 54 to 11, rounded to the careful side."""
    path = tmp_path / "bike.yaml"
    entered_from(path, {**BAG, "vehicle.wheels": "2"}, "yes")
    assert YAML(typ="safe").load(path)["settings"]["max_rpm"] == 1470


@pytest.mark.parametrize(
    ("name", "answer", "value"),
    [
        ("motor.kv_rpm_per_V", "1000/(1.25*20)", 40),
        ("motor.kv_rpm_per_V", "1000 ÷ (1.25 × 20)", 40),
        ("motor.kv_rpm_per_V", "1000/1.25/20 rpm/V", 40),
        ("vehicle.rider_kg", "82+60", 142),
        ("vehicle.rider_kg", "82 kg + 60 kg", 142),
        ("vehicle.rider_kg", "(200 - 20) / 2 + 10", 100),
        ("pack.parallel", "2*3", 6),
        ("drivetrain.ratio", "54/12*2", 9),
        ("controller.phase_current_A_rms", "110 A (rms)", 110),
    ],
)
def test_sums_are_read_as_they_are_typed(name: str, answer: str, value: float) -> None:
    assert keyed_value(name, answer) == (name, value)


@pytest.mark.parametrize(
    ("name", "answer"),
    [
        ("controller.battery_current_A", "45/90"),
        ("controller.battery_current_A", "30-60"),
        ("controller.battery_current_A", "30+60 V"),
        ("controller.phase_current_A_rms", "110 A (peak)"),
        ("vehicle.rider_kg", "82 kg + 60 lb"),
        ("vehicle.rider_kg", "9**9"),
        ("vehicle.rider_kg", "1/(2-2)+1"),
        ("vehicle.rider_kg", "(82+60"),
        ("vehicle.rider_kg", "82+"),
        ("vehicle.rider_kg", "82+60)"),
        ("vehicle.rider_kg", "82(60)+1"),
        ("vehicle.rider_kg", "__import__('os')+1"),
        ("pack.parallel", "1.5*3"),
        ("motor.pole_pairs", "0*5"),
    ],
)
def test_what_is_no_sum_is_asked_for_again(name: str, answer: str) -> None:
    with pytest.raises(UsageError):
        keyed_value(name, answer)


def test_a_sum_is_as_long_as_somebody_types() -> None:
    assert typed_sum("+".join(["1"] * 40), False) == (40.0, "")
    assert typed_sum("+".join(["1"] * MOST_CHARACTERS), False) is None
    assert typed_sum("(" * 30 + "1+1" + ")" * 30, False) is None


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("pack.continuous_A", "pack.peak_A"),
        ("motor.pole_pairs", "cycles of the AC voltage"),
        ("motor.temperature_sensor", "gonogo sensor"),
        ("motor.temperature_sensor", "the careful one"),
    ],
)
def test_a_question_mark_says_where_a_figure_goes(name: str, words: str) -> None:
    assert words in " ".join(explanation(name).split())
