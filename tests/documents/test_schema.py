"""The property table says of each key what a rule, a window and an edit need to know."""

from __future__ import annotations

import math

import pytest
from gonogo.documents.key_suggestions import of_key
from gonogo.documents.number_slips import of_number
from gonogo.documents.schema import (
    Property,
    SchemaSection,
    allowances,
    canonical,
    mode_outline,
    outline,
    properties,
    resolved,
    schema,
)
from gonogo.documents.spelling import plain_word
from gonogo.documents.suggestions import _choice


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("settings.battery_current_A", ("settings.battery_current_A", 1.0, "A", "number", 1)),
        (
            "settings.phase_current_A_peak",
            ("settings.phase_current_A_rms", math.sqrt(0.5), "A_peak", "number", 1),
        ),
        ("motor.line_to_line_mohm", ("motor.phase_to_neutral_mohm", 0.5, "mohm", "number", 0.1)),
        ("pack.continuous_A", ("pack.cells_continuous_A", 1.0, "A", "number", 1)),
        (
            "controller.max_electrical_rpm",
            ("controller.max_electrical_rpm", 1.0, "electrical_rpm", "number", 100),
        ),
        ("settings.throttle.start_V", ("settings.throttle.start_V", 1.0, "V", "number", 0.01)),
        ("readings.throttle.rest_V", ("readings.throttle.rest_V", 1.0, "V", "list", 0.01)),
        ("readings.taken", ("readings.taken", 1.0, "", "date", None)),
        ("drivetrain.stages", ("drivetrain.stages", 1.0, "", "stages", None)),
        ("wiring.fuse", ("wiring.fuse", 1.0, "", "section", None)),
        ("throttle.brake_cut", ("throttle.brake_cut", 1.0, "", "boolean", None)),
        ("pack.series", ("pack.series", 1.0, "", "integer", 1)),
    ],
)
def test_a_key_has_its_quantity_factor_unit_kind_and_step(
    path: str, expected: tuple[str, float, str, str, float | None]
) -> None:
    """Entered peak amperes are judged as rms, and told again as entered."""
    entry = properties()[path]
    found = (entry.quantity, entry.factor, entry.unit, entry.kind, entry.step)
    assert found == (expected[0], pytest.approx(expected[1]), *expected[2:])


def test_ranges_and_ratings_are_those_of_the_schema() -> None:
    """A window never leaves the range that a document may hold."""
    entry = properties()["controller.max_V"]
    assert (entry.lowest, entry.highest, entry.strictly_above) == (1, 400, False)
    assert (entry.rating, properties()["pack.cell.minimum_V"].rating) == ("upper", "lower")
    assert properties()["wiring.fuse.rated_A"].lowest == 0.1


def test_what_can_be_none_is_known() -> None:
    """A section, a number and a word can be said to be absent."""
    none = {entry.path: entry.kind for entry in properties().values() if entry.can_be_none}
    assert none["pack.bms"] == "section"
    numbers = {path for path, kind in none.items() if kind == "number"}
    assert numbers == {
        "pack.bms.continuous_A",
        "pack.charger.fuse_A",
        "pack.connector_A",
        "controller.phase_current_burst_s",
        "motor.phase_current_burst_s",
        "readings.identification.found.flux_linkage_mVs",
        "readings.identification.found.offset_forward_deg",
        "readings.identification.found.offset_reverse_deg",
        "readings.identification.found.phase_inductance_uH",
        "readings.identification.found.phase_to_neutral_mohm",
        "readings.no_load.electrical_Hz",
        "settings.phase_current_A_rms",
        "settings.phase_current_burst_s",
        "settings.throttle.lost_above_V",
        "settings.throttle.lost_below_V",
        "settings.throttle.tracks_apart_percent",
        "settings.max_rpm",
        "settings.over_voltage_trip_V",
        "settings.pack_nominal_V",
        "settings.reverse_rpm",
        "vehicle.power_limit_W",
        "vehicle.rider_kg",
        "vehicle.rider_lb",
        "vehicle.speed_limit_km_h",
        "vehicle.speed_limit_mph",
        "vehicle.towed_kg",
        "vehicle.towed_lb",
    }
    assert (none["throttle.brake_cut"], none["drivetrain.tyre"]) == ("boolean", "text")
    assert none["motor.temperature_sensor"] == "text"
    assert "settings.throttle.start_V" not in none


def test_each_quantity_has_one_property() -> None:
    """The key that says it without a factor stands for it."""
    assert canonical()["settings.phase_current_A_rms"].path == "settings.phase_current_A_rms"
    assert canonical()["pack.cells_peak_A"].path == "pack.peak_A"
    assert {entry.quantity for entry in properties().values()} == set(canonical())


def test_every_key_of_the_schema_is_in_the_table() -> None:
    """A key that the table lacks would be accepted and never judged."""

    def keys(node: dict[str, object], path: str) -> set[str]:
        found: set[str] = set()
        node = dict(resolved(node))
        if "x-by-setting" in node:
            return found
        forms = [node, *map(resolved, node.get("anyOf", ()))]  # type: ignore[call-overload]
        for form in forms:
            for key, below in form.get("properties", {}).items():
                inner = f"{path}.{key}"
                found |= keys(below, inner) or {inner}
        return found

    told = set().union(
        *(
            keys(node, name)
            for name, node in schema("profile")["properties"].items()
            if name not in ("gonogo", "modes", "waivers")
        )
    )
    parts = {name for name in told if name.endswith(".part")}
    sections = {entry.path for entry in properties().values() if entry.kind == "section"}
    assert told - parts == set(properties()) - sections
    assert parts


def test_a_mode_overlays_settings_and_vehicle() -> None:
    """A key of a mode is judged as the setting that it changes."""
    entries = mode_outline().entries
    assert entries["use"] is properties()["vehicle.use"]
    assert entries["phase_current_A_peak"] is properties()["settings.phase_current_A_peak"]
    regen = entries["regen"]
    assert isinstance(regen, SchemaSection)
    assert regen.itself is properties()["settings.regen"]
    assert isinstance(regen.entries["battery_current_A"], Property)


def test_sections_take_parts_of_their_kind() -> None:
    """A cell fills the cell of a pack."""
    pack = outline().entries["pack"]
    assert isinstance(pack, SchemaSection)
    cell = pack.entries["cell"]
    assert isinstance(cell, SchemaSection)
    assert (pack.takes, cell.takes) == ("pack", "cell")


def test_allowances_have_defaults_inside_their_range() -> None:
    """A shop that sets nothing is judged by common practice."""
    spread = allowances()["house.cell_spread_V"]
    assert (spread.default, spread.unit) == (0.05, "V")
    assert all(one.lowest <= one.default <= one.highest for one in allowances().values())


@pytest.mark.parametrize(
    ("text", "key", "nearest"),
    [
        ("200 A", "battery_current_A", "200"),
        ("200A", "phase_current_A_rms", "200"),
        ("1.2 kV", "stop_V", "1200"),
        ("5 MΩ", "resistance_mohm", "5000000000"),
        ("5 mΩ", "resistance_mohm", "5"),
        ("18 °C", "ambient_degC", "18"),
        ("45 km/h", "speed_limit_km_h", "45"),
        ("25 %", "steepest_grade_percent", "25"),
        ("48,5 V", "stop_V", "48.5"),
        ("48,5", "stop_V", "48.5"),
        ("1,500", "max_rpm", None),
        ("1 500", "max_rpm", "1500"),
        ("40-50", "stop_V", None),
        ("~50", "stop_V", None),
    ],
)
def test_a_number_is_proposed_only_where_it_is_plain(
    text: str, key: str, nearest: str | None
) -> None:
    """A kilovolt is a thousand volts, and of a range nobody knows which end was meant."""
    assert of_number(text, False, key).nearest == nearest


def test_a_key_is_known_in_other_letters_and_without_its_unit() -> None:
    """`Battery-Current` is a slip of the hand, not an unknown word."""
    known = ("battery_current_A", "max_rpm")
    assert of_key("Battery-Current", known).nearest == "battery_current_A"
    assert of_key("max", known).nearest == "max_rpm"
    assert of_key("min", known).nearest is None
    assert plain_word("phase_inductance_µH") == "phase_inductance_uh"


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("li-ion", None),  # four of the choices are
        ("LiPo", None),
        ("LiFePO4", "lfp"),
        ("AGM", "lead_acid"),
        ("lfpp", "lfp"),
        ("sodium-ion", "sodium_ion"),
        ("nickel", None),
    ],
)
def test_a_choice_is_offered_only_where_no_other_can_be_meant(word: str, meant: str | None) -> None:
    """Another chemistry in the place of the one in the pack makes dangers vanish."""
    chemistries = ("nmc", "nca", "lfp", "lco", "lmo", "lto", "sodium_ion", "lead_acid")
    assert _choice(word, chemistries).nearest == meant


def test_a_road_is_the_street() -> None:
    """`road` once was answered with `off_road`."""
    assert _choice("road", ("off_road", "street", "private_land")).nearest == "street"
