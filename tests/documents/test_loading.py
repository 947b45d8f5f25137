"""A profile is what its documents say, under canonical names, with each mode's changes beside it."""

from __future__ import annotations

import pytest
from gonogo.documents.loading import load
from gonogo.documents.location import Place
from gonogo.documents.profile import Profile, Waiver
from gonogo.documents.schema import properties

from .conftest import ALDER, Workshop


@pytest.fixture
def alder(workshop: Workshop) -> Profile:
    """A vehicle with a bit of everything."""
    text = f"""{ALDER}wiring:
  contactor: none
  kill_switch: {{opens: controller_enable}}
drivetrain: {{stages: [{{driving_teeth: 14, driven_teeth: 42}}]}}
motor: {{temperature_sensor: none}}
controller: {{temperature_sensors: [pt1000, kty84-130]}}
settings:
  pole_pairs: 14.0
  phase_current_A_peak: 200
  throttle: {{start_V: 1, lost_below_V: none}}
  regen: {{battery_current_A: 20, phase_current_A_rms: 60, stop_V: 58}}
readings:
  taken: 2026-05-18
  throttle: {{rest_V: 0.84}}
modes:
  eco:
    phase_current_A_rms: 100
    throttle: {{ramp_ms: 400}}
    use: street
    regen: none
  sport: {{phase_current_A_peak: null, regen: {{phase_current_A_peak: 50}}}}
  wet: {{regen: null}}
waivers:
  - {{rule: ramp-short, accepts: 50, reason: Asked for., until: "2026-12-31", mode: eco}}
  - rule: readings-old
    until: 2027-01-01
"""
    return load(workshop({"alder.yaml": text}) / "alder.yaml")


def test_values_are_canonical_and_remember_what_was_entered(alder: Profile) -> None:
    """Peak is judged as rms and told as peak."""
    given = alder.givens["settings.phase_current_A_rms"]
    assert given.value == pytest.approx(200 / 2**0.5)
    assert (given.entered, given.entered_as) == (200, "settings.phase_current_A_peak")
    assert given.factor == pytest.approx(0.5**0.5)
    assert given.place == Place("alder.yaml", 11, 25)


def test_each_kind_of_value_has_its_form(alder: Profile) -> None:
    """Formulas get plain floats, whole numbers, truths, texts and tuples."""
    value = alder.value
    assert (value("settings.pole_pairs"), type(value("settings.pole_pairs"))) == (14, int)
    assert type(value("settings.throttle.start_V")) is float
    assert value("readings.throttle.rest_V") == (0.84,)
    assert value("readings.taken") == "2026-05-18"
    assert value("controller.temperature_sensors") == ("pt1000", "kty84-130")
    assert value("drivetrain.stages") == ({"driving_teeth": 14, "driven_teeth": 42},)
    assert value("vehicle.name") == alder.name == "Alder"


def test_none_is_not_the_same_as_not_told(alder: Profile) -> None:
    """A section, a number and a word, each said to be absent."""
    assert alder.absent == {"wiring.contactor"}
    assert alder.value("wiring.contactor") == "none"
    assert alder.value("wiring.kill_switch") == "fitted"
    assert alder.givens["wiring.kill_switch"].place == Place("alder.yaml", 5, 3)
    lost = alder.givens["settings.throttle.lost_below_V"]
    assert (lost.value, lost.entered) == (None, "none")
    assert alder.value("motor.temperature_sensor") == "none"
    assert "wiring.fuse" not in alder.givens


def test_every_key_that_can_be_none_reads_none(workshop: Workshop) -> None:
    """One whole number among them was read as a number all the same, and failed."""
    top = workshop({"alder.yaml": f"{ALDER}drivetrain: {{tyre_load_index: none}}\n"})
    load_index = load(top / "alder.yaml").givens["drivetrain.tyre_load_index"]
    assert (load_index.value, load_index.entered) == (None, "none")
    for entry in properties().values():
        if entry.can_be_none and not entry.path.startswith("modes"):
            *sections, key = entry.path.split(".")
            text = "".join(f"{'  ' * depth}{name}:\n" for depth, name in enumerate(sections))
            text += f"{'  ' * len(sections)}{key}: none\n"
            document = ALDER + text
            if sections == ["vehicle"]:  # which is there already
                document = ALDER.replace("{name", f"{{{key}: none, name")
            folder = workshop({"alder.yaml": document}, entry.path)
            assert load(folder / "alder.yaml").givens[entry.quantity].entered == "none", entry.path


def test_a_mode_lays_changes_over_the_settings(alder: Profile) -> None:
    """One of a pair removes the other, since both are one quantity."""
    eco = alder.modes["eco"]
    current = eco["settings.phase_current_A_rms"]
    assert current is not None
    assert (current.value, current.entered_as) == (100.0, "modes.eco.phase_current_A_rms")
    assert current.place == Place("alder.yaml", 19, 26)
    ramp, use = eco["settings.throttle.ramp_ms"], eco["vehicle.use"]
    assert ramp is not None and (ramp.value, ramp.entered_as) == (
        400.0,
        "modes.eco.throttle.ramp_ms",
    )
    assert use is not None and use.value == "street"
    assert alder.modes["sport"]["settings.phase_current_A_rms"] is None


def test_a_mode_without_regen_has_none_of_its_quantities(alder: Profile) -> None:
    """Nothing of the base settings' regen is judged in it."""
    eco = alder.modes["eco"]
    regen = eco["settings.regen"]
    assert regen is not None and (regen.value, regen.place.line) == ("none", 22)
    below = {e.quantity for e in properties().values() if e.path.startswith("settings.regen.")}
    assert len(below) == 4
    for name in below:
        gone = eco[name]
        assert gone is not None and (gone.value, gone.place.line) == (None, 22)


def test_a_mode_may_forget_regen_or_change_a_part_of_it(alder: Profile) -> None:
    """`null` is "not told", and a section is only laid over."""
    wet = alder.modes["wet"]
    assert wet["settings.regen"] is None and wet["settings.regen.stop_V"] is None
    sport = alder.modes["sport"]
    assert set(sport) == {"settings.phase_current_A_rms", "settings.regen.phase_current_A_rms"}


def test_a_mode_may_have_what_the_base_settings_have_not(workshop: Workshop) -> None:
    """Regen in one mode alone: the mode says that it is there."""
    text = (
        f"{ALDER}settings: {{regen: none}}\nmodes: {{sport: {{regen: {{battery_current_A: 9}}}}}}\n"
    )
    profile = load(workshop({"alder.yaml": text}) / "alder.yaml")
    assert profile.absent == {"settings.regen"}
    regen = profile.modes["sport"]["settings.regen"]
    assert regen is not None and (regen.value, regen.entered_as) == ("fitted", "modes.sport.regen")


def test_waivers_know_the_place_of_each_key(alder: Profile) -> None:
    """A finding about a waiver points at its date or its reason."""
    first, second = alder.waivers
    assert first == Waiver(
        rule="ramp-short",
        accepts=50.0,
        reason="Asked for.",
        until="2026-12-31",
        mode="eco",
        entered_as="waivers.0",
        place=Place("alder.yaml", 26, 5),
        places={
            "rule": Place("alder.yaml", 26, 12),
            "accepts": Place("alder.yaml", 26, 33),
            "reason": Place("alder.yaml", 26, 45),
            "until": Place("alder.yaml", 26, 64),
            "mode": Place("alder.yaml", 26, 84),
        },
    )
    assert (second.accepts, second.reason, second.mode) == (None, "", None)
    assert second.places["until"] == Place("alder.yaml", 28, 12)


def test_sections_are_where_their_keys_are(alder: Profile) -> None:
    """What is missing is told at the section in which it would stand."""
    assert alder.sections["settings"] == Place("alder.yaml", 9, 1)
    assert alder.sections["settings.throttle"] == Place("alder.yaml", 12, 3)
    assert alder.sections["modes.sport"] == Place("alder.yaml", 23, 3)
    assert alder.sections["modes.sport.regen"] == Place("alder.yaml", 23, 39)
    assert alder.sections["waivers"] == Place("alder.yaml", 25, 1)
    assert alder.place == Place("alder.yaml", 1, 1)


def test_a_line_is_quoted_as_it_stands(alder: Profile) -> None:
    """Excerpts come from any file that was read, and from no other."""
    assert alder.line(Place("alder.yaml", 10, 1)) == "  pole_pairs: 14.0"
    assert alder.line(Place("elsewhere.yaml", 1, 1)) == ""
    assert alder.line(Place("alder.yaml", 999, 1)) == ""


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_line_ends_change_nothing(workshop: Workshop, ends: str) -> None:
    """A profile from another system is the same vehicle, at the same places."""
    text = f"{ALDER}settings:\n  battery_current_A: 60\n  low_voltage: {{cutoff_V: 48.5}}\n"
    one = load(workshop({"alder.yaml": text}, below="one") / "alder.yaml")
    data = b"\xef\xbb\xbf" + text.replace("\n", ends).encode()
    other = load(workshop({"alder.yaml": data}, below="other") / "alder.yaml")
    assert one.givens == other.givens and one.sections == other.sections
