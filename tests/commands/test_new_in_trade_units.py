"""An answer with a unit of the trade goes under the key of that unit, a wire gauge under its own."""

from __future__ import annotations

from pathlib import Path

import gonogo
import pytest
from gonogo.commands.answer import keyed_value
from gonogo.commands.questions import given_also
from gonogo.documents.error import UsageError
from ruamel.yaml import YAML

from .test_new import DAY, SCOOTER, conversed


@pytest.mark.parametrize(
    ("name", "answer", "key", "value"),
    [
        ("vehicle.mass_kg", "210 lb", "vehicle.mass_lb", 210),
        ("vehicle.mass_kg", "210lbs", "vehicle.mass_lb", 210),
        ("vehicle.mass_kg", "95 kg", "vehicle.mass_kg", 95),
        ("vehicle.mass_kg", "95", "vehicle.mass_kg", 95),
        ("vehicle.max_downhill_km_h", "20 mph", "vehicle.max_downhill_mph", 20),
        ("readings.ambient_degC", "77 °F", "readings.ambient_degF", 77),
        ("wiring.battery_cable_mm2", "4 AWG", "wiring.battery_cable_awg", 4),
        ("wiring.battery_cable_mm2", "AWG 4", "wiring.battery_cable_awg", 4),
        ("wiring.battery_cable_mm2", "2/0 awg", "wiring.battery_cable_awg", "2/0"),
        ("wiring.battery_cable_mm2", "00 gauge", "wiring.battery_cable_awg", "00"),
        ("wiring.battery_cable_mm2", "25", "wiring.battery_cable_mm2", 25),
        ("wiring.battery_cable_awg", "2/0", "wiring.battery_cable_awg", "2/0"),
    ],
)
def test_an_answer_says_its_key_by_its_unit(
    name: str, answer: str, key: str, value: object
) -> None:
    """What stands on a label is typed as it stands there."""
    assert keyed_value(name, answer) == (key, value)


@pytest.mark.parametrize("answer", ["5/0 AWG", "99 AWG", "4.5 AWG", "210 furlongs", "-4 AWG"])
def test_what_is_no_gauge_is_asked_again(answer: str) -> None:
    """With what a gauge may be."""
    with pytest.raises(UsageError, match="expected"):
        keyed_value("wiring.battery_cable_mm2", answer)


def test_an_entry_may_be_given_under_either_key() -> None:
    """On the command line too."""
    told = given_also(["wiring.battery_cable_awg=1/0", "vehicle.mass_lb=210"])
    assert told == {"wiring.battery_cable_awg": "1/0", "vehicle.mass_lb": 210}
    with pytest.raises(UsageError, match="wire gauge"):
        given_also(["wiring.battery_cable_awg=5/0"])


@pytest.mark.parametrize(("label", "kept"), [("8 AWG", 8), ("AWG 00", "00")])
def test_a_new_profile_keeps_the_gauge_of_its_label(
    label: str, kept: int | str, tmp_path: Path
) -> None:
    """Nobody reads 8.37 mm² off a cable."""
    answers = {**SCOOTER, "wiring.battery_cable_mm2": label}
    ends = {"Go on?": "no", "Write": "yes", "Keep": "no"}
    status, said, _ = conversed(tmp_path / "finch.yaml", answers, ends)
    assert status == 0, said
    text = (tmp_path / "finch.yaml").read_text("utf-8")
    assert YAML(typ="safe").load(text)["wiring"]["battery_cable_awg"] == kept
    assert gonogo.check(tmp_path / "finch.yaml", as_of=DAY).stages["stand"] == "go"
