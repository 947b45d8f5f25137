"""Each entry in a unit of ours has a key in the trade's unit beside it, exact and one of a pair."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import pint
import pytest
from gonogo.documents.error import DocumentErrors, PairGivenTwice, WrongValue
from gonogo.documents.given import as_entered_under, number_of
from gonogo.documents.house import allowance_entries
from gonogo.documents.loading import load
from gonogo.documents.profile import Profile
from gonogo.documents.schema import (
    Property,
    allowances,
    canonical,
    properties,
    schema,
)
from gonogo.documents.trade_units import ROWS, is_trade_key, own_key, trade_key
from gonogo.documents.units import UNITS, unit_of_key
from gonogo.documents.wire_gauge import (
    gauge_at_least,
    gauge_number,
    gauge_of_section,
    gauge_words,
    section_of_gauge,
)
from gonogo.tables.table import table
from hypothesis import given
from hypothesis import strategies as st

from .conftest import ALDER, Workshop

PINT: Any = pint.UnitRegistry()
# What the library calls ours and the trade's; it says itself that they are those of 1959.
PINT_UNITS = {
    "in": ("inch", "mm"),
    "ft": ("foot", "m"),
    "mph": ("mile / hour", "km / hour"),
    "lb": ("pound", "kg"),
    "degF": ("degF", "degC"),
    "degF_apart": ("delta_degF", "delta_degC"),
}
TRADE = {path: entry for path, entry in properties().items() if is_trade_key(path)}
LINEAR = {path: entry for path, entry in TRADE.items() if entry.unit != "awg"}


def entered(workshop: Workshop, text: str, **files: str) -> Profile:
    """A profile with some entries, and what was read of it."""
    return load(workshop({"alder.yaml": ALDER + text, **files}) / "alder.yaml")


@pytest.mark.parametrize("row", [row for row in ROWS if row.ending != "awg"], ids=str)
@pytest.mark.parametrize("value", [-40.0, 0.0, 1.0, 32.0, 1234.5])
def test_the_factors_are_those_of_a_reference_library(row: Any, value: float) -> None:
    """The yard and the pound are metric by agreement since 1959: no digit of theirs is rounded."""
    theirs, ours = PINT_UNITS[row.unit or row.ending]
    expected = PINT.Quantity(value, theirs).m_as(ours)
    assert row.factor * value + row.offset == pytest.approx(expected, rel=1e-12, abs=1e-12)
    unit = UNITS[row.unit or row.ending]
    assert unit.scale == pytest.approx(row.factor * UNITS[row.of].scale, rel=1e-12)
    assert unit.dimension == UNITS[row.of].dimension


def test_every_entry_in_such_a_unit_has_the_other_key() -> None:
    """Who reads a label in pounds finds no entry for which he has to reckon."""
    units = {row.of for row in ROWS}
    ours = [path for path in properties() if unit_of_key(path) in units]
    assert len(ours) >= 25
    for path in ours:
        other = properties()[str(trade_key(path))]
        assert other.quantity == properties()[path].quantity == path
        assert own_key(other.path) == path or unit_of_key(path) == "K"
    assert len(TRADE) == len(ours)
    assert not any(is_trade_key(name) for name in canonical())


def test_the_words_of_the_schema_are_found_by_an_editor() -> None:
    """A title of its own, a range that holds ours, and which key it stands for."""
    node = schema("profile")["properties"]["vehicle"]["properties"]["speed_limit_mph"]
    assert node["x-same-as"] == {"key": "speed_limit_km_h", "factor": 1.609344, "offset": 0.0}
    titles = [entry.title for entry in properties().values()]
    assert len(titles) == len(set(titles))
    house = schema("house")["properties"]["allowances"]["properties"]
    assert house["motor_taper_degF"]["minimum"] == pytest.approx(5 * 1.8)  # kelvins: no offset
    assert house["cable_degF"]["minimum"] == pytest.approx(40 * 1.8 + 32)


@pytest.mark.parametrize("path", LINEAR)
def test_the_range_of_a_key_holds_all_of_the_other(path: str) -> None:
    """What may be entered in metres may be entered in feet, at both ends."""
    entry, own = properties()[path], canonical()[properties()[path].quantity]
    assert own.lowest is not None and own.highest is not None
    assert entry.lowest is not None and entry.highest is not None
    assert entry.lowest <= as_entered_under(entry, own.lowest) + 1e-9
    assert entry.highest >= as_entered_under(entry, own.highest) - 1e-9
    wide = own.highest - own.lowest
    assert number_of(entry, entry.lowest) >= own.lowest - wide / 100
    assert number_of(entry, entry.highest) <= own.highest + wide / 100


@given(st.sampled_from(sorted(LINEAR)), st.floats(0.0, 1.0))
def test_there_and_back_is_where_one_was(path: str, share: float) -> None:
    """A value turned into the trade's unit and back is the same to a thousand-millionth."""
    entry, own = properties()[path], canonical()[properties()[path].quantity]
    assert own.lowest is not None and own.highest is not None
    value = own.lowest + share * (own.highest - own.lowest)
    assert number_of(entry, as_entered_under(entry, value)) == pytest.approx(
        value, rel=1e-9, abs=1e-9
    )


@pytest.mark.parametrize(
    ("text", "name", "value"),
    [
        ("  mass_lb: 100\n", "vehicle.mass_kg", 45.359237),
        ("  speed_limit_mph: 25\n", "vehicle.speed_limit_km_h", 40.2336),
        ("  wheelbase_in: 50\n", "vehicle.wheelbase_mm", 1270.0),
        ("  min_ambient_degF: -40\n", "vehicle.min_ambient_degC", -40.0),
        ("wiring: {battery_cable_ft: 3}\n", "wiring.battery_cable_m", 0.9144),
        ("readings: {ambient_degF: 77}\n", "readings.ambient_degC", 25.0),
    ],
)
def test_a_value_is_read_in_ours_and_remembers_its_key(
    workshop: Workshop, text: str, name: str, value: float
) -> None:
    """What is judged is metric; what is told is as it was entered."""
    alder = ALDER.replace("{name: Alder}", "\n  name: Alder")
    top = workshop({"alder.yaml": alder + text})
    given_there = load(top / "alder.yaml").givens[name]
    assert given_there.value == value
    assert given_there.entered_as == trade_key(name)


@pytest.mark.parametrize(
    ("written", "gauge", "section"),
    # ASTM B258, table 1, in circular mils: 4/0 211 600, 2/0 133 100, 1/0 105 600, 4 41 740, 10 10 380;
    # the last digits are rounded there.
    [
        ("4/0", -3, 211_600),
        ("0000", -3, 211_600),
        ('"0000"', -3, 211_600),
        ("2/0", -1, 133_100),
        ("00", -1, 133_100),
        ("1/0", 0, 105_600),
        ("0", 0, 105_600),
        ("4", 4, 41_740),
        ("10", 10, 10_380),
    ],
)
def test_a_wire_gauge_is_an_entry(
    workshop: Workshop, written: str, gauge: int, section: float
) -> None:
    """However it is written: 00 is thicker than 0, and no number with an idle zero."""
    profile = entered(workshop, f"wiring: {{battery_cable_awg: {written}}}\n")
    cable = profile.givens["wiring.battery_cable_mm2"]
    mm2 = PINT.Quantity(section, "circular_mil").m_as("mm^2")
    assert cable.value == pytest.approx(mm2, rel=1e-3)
    assert cable.value == section_of_gauge(gauge)
    assert cable.entered_as == "wiring.battery_cable_awg"


@pytest.mark.parametrize("row", table("wire_gauges")["rows"], ids=lambda row: str(row["awg"]))
def test_the_formula_gives_the_table_of_gauges(row: Mapping[str, Any]) -> None:
    """One knows the usual cross-sections by the table, and the other turns what is entered."""
    gauge = gauge_number(int(row["awg"]) if row["awg"].isdigit() else row["awg"])
    assert gauge is not None
    assert section_of_gauge(gauge) == pytest.approx(row["area_mm2"], rel=5e-4)
    assert gauge_at_least(row["area_mm2"]) == gauge
    assert gauge_words(gauge).startswith(f"{row['awg']} AWG (")


@given(st.floats(0.06, 120.0))
def test_a_gauge_is_rounded_to_the_thicker_wire(section: float) -> None:
    """A cable that is advised carries no less than the limit."""
    gauge = gauge_at_least(section)
    assert section_of_gauge(gauge) >= section * (1 - 1e-3)
    assert section_of_gauge(gauge + 1) < section
    assert gauge_of_section(section_of_gauge(gauge)) == pytest.approx(gauge, abs=1e-9)


@pytest.mark.parametrize("written", ["5/0", "0/0", "-1", "4.5", "99", "00000", "AWG 4", "none"])
def test_what_is_no_gauge_is_refused(workshop: Workshop, written: str) -> None:
    """A gauge misread is a cable of another size."""
    with pytest.raises(DocumentErrors) as caught:
        entered(workshop, f"wiring: {{battery_cable_awg: {written}}}\n")
    assert len(caught.value.errors) == 1


def test_zeros_say_something_of_a_gauge_alone(workshop: Workshop) -> None:
    """Any other number with a leading zero is refused."""
    with pytest.raises(DocumentErrors):
        entered(workshop, "wiring: {battery_cable_mm2: 00}\n")


PAIRS = [
    ("profile", "vehicle: {name: Alder, mass_kg: 95, mass_lb: 209}"),
    ("profile", "wiring: {battery_cable_mm2: 25, battery_cable_awg: 3}"),
    ("profile", "settings: {temperature: {motor: {stop_degC: 100, stop_degF: 212}}}"),
    ("profile", "settings: {speed_shown: {circumference_in: 50, circumference_mm: 1270}}"),
    ("profile", "pack: {cell: {charge_to_degC: 45, charge_to_degF: 113}}"),
    ("profile", "modes: {eco: {speed_limit_km_h: 20, speed_limit_mph: 12}}"),
    ("part", "controller: {max_degC: 90, max_degF: 194}"),
    ("house", "allowances: {cable_degC: 60, cable_degF: 140}"),
    ("house", "allowances: {motor_taper_K: 10, motor_taper_degF: 18}"),
]


@pytest.mark.parametrize(("kind", "text"), PAIRS, ids=lambda part: part)
def test_both_keys_of_a_pair_are_refused_together(workshop: Workshop, kind: str, text: str) -> None:
    """Of two figures that differ nobody can say which one holds."""
    alder = ALDER if "vehicle" not in text else "gonogo: profile/1\n"
    files = {
        "profile": {"alder.yaml": f"{alder}{text}\n"},
        "part": {
            "alder.yaml": f"{ALDER}controller: {{part: box.yaml}}\n",
            "box.yaml": f"gonogo: part/1\npart: {{name: Box}}\n{text}\n",
        },
        "house": {"alder.yaml": ALDER, "house.yaml": f"gonogo: house/1\n{text}\n"},
    }[kind]
    with pytest.raises(DocumentErrors) as caught:
        load(workshop(files) / "alder.yaml")
    assert [type(error) for error in caught.value.errors] == [PairGivenTwice]


def test_a_part_and_a_mode_may_say_it_otherwise(workshop: Workshop) -> None:
    """The part file is in degrees Celsius, whoever builds thinks in Fahrenheit: it is one rating."""
    box = "gonogo: part/1\npart: {name: Box}\ncontroller: {max_degC: 90}\n"
    text = "controller: {part: box.yaml, max_degF: 194}\nmodes: {eco: {speed_limit_mph: 10}}\n"
    profile = entered(workshop, text, **{"box.yaml": box})
    assert profile.overrides == ()
    assert profile.value("controller.max_degC") == 90.0
    limit = profile.modes["eco"]["vehicle.speed_limit_km_h"]
    assert limit is not None and limit.value == 16.09344


def test_an_allowance_of_a_shop_may_be_in_fahrenheit(workshop: Workshop) -> None:
    """A temperature has a zero to move, a difference has none."""
    house = "gonogo: house/1\nallowances: {cable_degF: 158, motor_taper_degF: 27, three_wheel_mph: 25}\n"
    set_here = entered(workshop, "", **{"house.yaml": house}).house.allowances
    values = {name: one.value for name, one in set_here.items()}
    assert values == {
        "house.cable_degC": 70.0,
        "house.motor_taper_K": 15.0,
        "house.three_wheel_km_h": 40.2336,
    }
    assert set_here["house.cable_degC"].entered_as == "allowances.cable_degF"


def test_a_required_entry_may_be_named_by_either_key(workshop: Workshop) -> None:
    """A shop that thinks in pounds asks for pounds, and is content with kilograms."""
    house = "gonogo: house/1\nrequire: [vehicle.mass_lb]\n"
    assert entered(workshop, "", **{"house.yaml": house}).house.require == ("vehicle.mass_kg",)


def test_the_allowances_of_rules_are_in_ours() -> None:
    """A rule reads one name, whatever the shop entered."""
    assert not any(is_trade_key(name) for name in allowances())
    for key, entry in allowance_entries().items():
        assert entry.quantity in allowances(), key


def test_an_answer_names_the_unit_of_the_key(workshop: Workshop) -> None:
    """A number that is out of range is told in the unit in which it was entered."""
    with pytest.raises(DocumentErrors) as caught:
        entered(workshop, "modes: {eco: {speed_limit_mph: 500}}\n")
    (error,) = caught.value.errors
    assert isinstance(error, WrongValue)
    assert "miles per hour" in error.wanted


def test_the_printed_schema_has_them(capsys: pytest.CaptureFixture[str]) -> None:
    """An editor completes them as it does ours."""
    from gonogo.commands.schema import run

    for name, key in (("profile", "mass_lb"), ("part", "max_degF"), ("house", "cable_degF")):
        run(name)
        printed = capsys.readouterr().out
        assert json.loads(printed)["title"]
        assert f'"{key}": {{' in printed


def test_a_property_of_ours_is_turned_by_nothing() -> None:
    """What is entered in our unit is what is judged, to the last bit."""
    own: list[Property] = [one for one in properties().values() if not is_trade_key(one.path)]
    assert all(one.offset == 0.0 for one in own)
    assert number_of(properties()["vehicle.mass_kg"], 45.359237) == 45.359237


def nodes_of(part: Any) -> list[tuple[str, dict[str, Any]]]:
    """Every key in a unit of the trade with its node, wherever it stands in a schema."""
    found: list[tuple[str, dict[str, Any]]] = []
    if isinstance(part, dict):
        found += [
            (key, node)
            for key, node in part.get("properties", {}).items()
            if is_trade_key(key) and not {"$ref", "properties"} & node.keys()
        ]
    inner = part.values() if isinstance(part, dict) else part if isinstance(part, list) else ()
    return found + [one for below in inner for one in nodes_of(below)]


def test_beside_a_reference_stands_one_to_the_other_key() -> None:
    """A motor of several is weighed in pounds as the only one is."""
    motors = schema("profile")["$defs"]["motor"]["properties"]
    assert motors["mass_lb"]["x-same-as"]["key"] == "mass_kg"
    each = [
        node["properties"]["mass_lb"]
        for node in schema("profile")["$defs"].values()
        if "$ref" in node.get("properties", {}).get("mass_lb", {})
    ]
    assert each == [{"$ref": "#/$defs/motor/properties/mass_lb"}]


@pytest.mark.parametrize("name", ["profile", "house"])
def test_each_made_key_is_told_as_ours_are(name: str) -> None:
    """One sentence, a step that fits into the range, and an example that may be entered."""
    from jsonschema import Draft202012Validator

    found = nodes_of(schema(name))
    assert len(found) >= 25
    for key, node in found:
        assert 10 < len(node["description"]) < 160, key
        assert node["description"].count(".") == 1 or "0." in node["description"], key
        form = node["anyOf"][1] if "x-none" in node else node
        step = form.get("x-step", node.get("x-step"))
        assert step > 0
        for example in node.get("examples", ()):
            assert Draft202012Validator(node).is_valid(example), (key, example)
        if "maximum" in form:
            assert step <= (form["maximum"] - form["minimum"]) / 5, key
