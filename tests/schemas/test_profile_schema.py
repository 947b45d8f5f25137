"""What a profile may hold, and slips of the pen that its schema answers."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from .conftest import referred

Schemas = Mapping[str, dict[str, Any]]
Validators = Mapping[str, Draft202012Validator]
PAIRS = [
    ("controller", "phase_current_A_rms", "phase_current_A_peak"),
    ("controller", "phase_current_continuous_A_rms", "phase_current_continuous_A_peak"),
    ("motor", "phase_current_A_rms", "phase_current_A_peak"),
    ("motor", "phase_current_burst_A_rms", "phase_current_burst_A_peak"),
    ("motor", "phase_to_neutral_mohm", "line_to_line_mohm"),
    ("readings.identification.found", "phase_to_neutral_mohm", "line_to_line_mohm"),
    ("settings", "phase_current_A_rms", "phase_current_A_peak"),
    ("settings", "field_weakening_A_rms", "field_weakening_A_peak"),
    ("settings.regen", "phase_current_A_rms", "phase_current_A_peak"),
    ("modes.eco", "phase_current_A_rms", "phase_current_A_peak"),
    ("modes.eco", "field_weakening_A_rms", "field_weakening_A_peak"),
    ("modes.eco.regen", "phase_current_A_rms", "phase_current_A_peak"),
]
LEAST = {"gonogo": "profile/1", "vehicle": {"name": "Alder"}}


def with_value(document: Any, path: str, value: Any) -> Any:
    """The document with one value set, the mappings on its way made where they are missing."""
    changed = copy.deepcopy(document)
    *above, key = path.split(".")
    place = changed
    for step in above:
        place = place.setdefault(step, {})
    place[key] = value
    return changed


def complaints(validator: Draft202012Validator, document: Any) -> set[tuple[str, str]]:
    """Where the schema complains and by which of its words, through every choice."""
    found = list(validator.iter_errors(document))
    for error in found:
        found.extend(error.context or ())
    return {(".".join(map(str, error.absolute_path)), str(error.validator)) for error in found}


def test_a_full_profile_passes(validators: Validators, full_profile: Any) -> None:
    """Every key at once is a profile, and so is nothing but a name."""
    assert complaints(validators["profile"], full_profile) == set()
    assert complaints(validators["profile"], LEAST) == set()


def test_the_full_profile_holds_every_key(schemas: Schemas, full_profile: Any) -> None:
    """A key that is dropped or renamed is missed here, of a pair the one or the other."""
    expected = set(_keys(schemas["profile"], schemas["profile"], ""))
    held = set(_held(full_profile, ""))
    pairs = [(f"{above}.{one}", f"{above}.{other}") for above, one, other in PAIRS]
    assert held <= expected
    assert expected - held <= {key.replace("modes.eco", "modes") for pair in pairs for key in pair}


def _keys(node: dict[str, Any], root: dict[str, Any], path: str) -> Iterator[str]:
    """The paths of all keys that a document may hold; a mode's name is left out of the path."""
    node = referred(node, root)
    for branch in node.get("anyOf", ()):
        yield from _keys(branch, root, path)
    for below in (node.get("items"), node.get("additionalProperties")):
        if below:
            yield from _keys(below, root, path)
    for key, below in node.get("properties", {}).items():
        if key == "motors":  # the same keys once more, and in place of `motor`
            continue
        yield f"{path}{key}"
        yield from _keys(below, root, f"{path}{key}.")


def _held(value: Any, path: str) -> Iterator[str]:
    """The paths of all keys in a document, the name of a mode, load or entry left out."""
    if isinstance(value, list):
        for item in value:
            yield from _held(item, path)
    elif isinstance(value, dict):
        for key, below in value.items():
            yield f"{path}{key}"
            if path == "readings.entered.":
                continue  # a value by the name of each setting
            named = key in ("modes", "fields", "loads", "tolerances")
            yield from _held(list(below.values()) if named else below, f"{path}{key}.")


def test_one_of_several_motors_has_every_key_of_a_motor(schemas: Schemas) -> None:
    """A key that a motor gains is one of each of several motors, and it means the same there."""
    shared = schemas["profile"]["$defs"]
    motor, one = shared["motor"], shared["one_of_motors"]
    own = {"settings", "controller", "drivetrain", "readings"}
    assert one["properties"].keys() == motor["properties"].keys() | own
    for key in motor["properties"]:
        assert one["properties"][key] == {"$ref": f"#/$defs/motor/properties/{key}"}
    assert len(one["allOf"]) == len(motor["allOf"])


def test_one_motor_or_several_are_given(validators: Validators) -> None:
    """Nobody could say which of them the vehicle has."""
    motor = {"kv_rpm_per_V": 60}
    for given in ({"motor": motor}, {"motors": {"rear": motor}}):
        assert complaints(validators["profile"], LEAST | given) == set()
    both = LEAST | {"motor": motor, "motors": {"rear": motor}}
    assert complaints(validators["profile"], both) != set()
    assert complaints(validators["profile"], LEAST | {"motors": {}}) != set()
    assert complaints(validators["profile"], LEAST | {"motors": {"a\tb": motor}}) != set()


@pytest.mark.parametrize(("above", "one", "other"), PAIRS)
def test_both_of_a_pair_are_refused(
    validators: Validators, above: str, one: str, other: str
) -> None:
    """Two numbers for one current: nobody could say which one the controller got."""
    for given in (one, other):
        single = with_value(LEAST, f"{above}.{given}", 30)
        assert complaints(validators["profile"], single) == set()
    both = with_value(LEAST, above, {one: 30, other: 42})
    assert (above, "not") in complaints(validators["profile"], both)


@pytest.mark.parametrize(
    "path",
    [
        *("pack.bms", "pack.charger", "wiring.fuse", "wiring.contactor", "wiring.precharge"),
        *("wiring.kill_switch", "settings.regen", "settings.temperature.motor"),
        *("settings.temperature.controller", "settings.speed_shown", "modes.eco.regen"),
        *("settings.throttle.lost_below_V", "settings.throttle.lost_above_V"),
        *(
            "wiring.key_switch",
            "wiring.seat_switch",
            "throttle.brake_cut",
            "settings.over_voltage_trip_V",
        ),
        *("vehicle.speed_limit_km_h", "vehicle.power_limit_W", "settings.direction"),
        *("settings.pack_nominal_V", "settings.max_rpm", "settings.reverse_rpm"),
        *("motor.temperature_sensor", "motor.position_sensor"),
        *("settings.temperature.motor.sensor",),
    ],
)
def test_what_is_not_there_is_none(validators: Validators, path: str) -> None:
    """A part that is known to be absent is told so, and no other word does."""
    assert complaints(validators["profile"], with_value(LEAST, path, "none")) == set()
    assert complaints(validators["profile"], with_value(LEAST, path, "nothing")) != set()


@pytest.mark.parametrize("path", ["pack", "wiring.battery_cable_mm2", "motor.max_rpm"])
def test_what_cannot_be_absent_is_not_none(validators: Validators, path: str) -> None:
    """Each vehicle has a pack, a cable and a rotor that withstands so much, told or not."""
    found = complaints(validators["profile"], with_value(LEAST, path, "none"))
    assert found == {(path, "type")}


@pytest.mark.parametrize("path", ["motor", "settings", "controller", "modes.eco"])
def test_a_section_that_is_no_mapping_draws_one_complaint(
    validators: Validators, path: str
) -> None:
    """Nothing is said of pairs where there are no keys."""
    assert complaints(validators["profile"], with_value(LEAST, path, 3)) == {(path, "type")}


@pytest.mark.parametrize(
    ("path", "value", "where", "word"),
    [
        ("gonogo", "part/1", "gonogo", "const"),
        ("vehicle.name", "", "vehicle.name", "minLength"),
        ("vehicle.name", "Alder\n", "vehicle.name", "pattern"),
        ("vehicle.name", "Al\x1b[31mder", "vehicle.name", "pattern"),
        ("vehicle.use", "road", "vehicle.use", "enum"),
        ("vehicle.wet", "yes", "vehicle.wet", "type"),
        ("vehicle.wheels", 2.5, "vehicle.wheels", "type"),
        ("vehicle.colour", "red", "vehicle", "additionalProperties"),
        ("pack.series", 0, "pack.series", "minimum"),
        ("pack.cell.full_V", 42, "pack.cell.full_V", "maximum"),
        ("pack.cell.chemistry", "lipo", "pack.cell.chemistry", "enum"),
        ("pack.cell.capacity_Ah", 0, "pack.cell.capacity_Ah", "minimum"),
        ("pack.bms.trip", 100, "pack.bms", "additionalProperties"),
        ("wiring.fuse.rated_A", "80 A", "wiring.fuse.rated_A", "type"),
        ("controller.temperature_sensors", ["none"], "controller.temperature_sensors.0", "enum"),
        ("motor.kv_rpm_per_V", 4000, "motor.kv_rpm_per_V", "maximum"),
        ("motor.insulation_class", "f", "motor.insulation_class", "enum"),
        ("drivetrain.stages", [], "drivetrain.stages", "minItems"),
        ("drivetrain.stages", [{"driving_teeth": 14}], "drivetrain.stages.0", "required"),
        ("settings.battery_current_A", -60, "settings.battery_current_A", "minimum"),
        ("settings.battery_current_A", None, "settings.battery_current_A", "type"),
        ("settings.battery_current_A", True, "settings.battery_current_A", "type"),
        ("settings.throttle.start_V", "0,95", "settings.throttle.start_V", "type"),
        ("settings.throttle.lost_above_V", 50, "settings.throttle.lost_above_V", "maximum"),
        ("settings.temperature.motor.part", "x", "settings.temperature.motor", "anyOf"),
        ("readings.taken", "2026-02-30", "readings.taken", "format"),
        ("readings.taken", "18.5.2026", "readings.taken", "format"),
        ("readings.throttle.rest_V", [], "readings.throttle.rest_V", "minItems"),
        ("readings.throttle.rest_V", [0.8, "0.9"], "readings.throttle.rest_V.1", "type"),
        ("modes", {"eco\n": {}}, "modes", "pattern"),
        ("modes", {"-eco": {}}, "modes", "pattern"),
        ("modes", {str(count): {} for count in range(21)}, "modes", "maxProperties"),
        ("modes.eco.pole_pairs", 5, "modes.eco", "additionalProperties"),
        ("modes.eco.max_rpm", "none", "modes.eco.max_rpm", "type"),
        ("waivers", [{"until": "2027-03-31"}], "waivers.0", "required"),
        ("waivers", [{"rule": "a-rule"}], "waivers.0", "required"),
        ("waivers", [{"rule": "A1", "until": "2027-03-31"}], "waivers.0.rule", "pattern"),
    ],
)
def test_a_slip_is_answered_at_its_place(
    validators: Validators, full_profile: Any, path: str, value: Any, where: str, word: str
) -> None:
    """The complaint is about the value that was mistyped, and about that one alone."""
    found = complaints(validators["profile"], with_value(full_profile, path, value))
    assert (where, word) in found
    assert {place for place, _ in found} <= {where, where.rpartition(".")[0]}


@pytest.mark.parametrize("name", ["eco", "Gelände 2", "pětka", "Řidič_nový", "walk-in", "3"])
def test_a_mode_is_named_in_the_riders_language(validators: Validators, name: str) -> None:
    """Accents are letters; null removes what the base settings give."""
    document = with_value(LEAST, "modes", {name: {"field_weakening_A_peak": None, "regen": None}})
    assert complaints(validators["profile"], document) == set()
