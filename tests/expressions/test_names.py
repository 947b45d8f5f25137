"""The names that a rule may use: every one of them known, with its unit, and no more."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from gonogo.documents.error import ExpressionError
from gonogo.documents.schema import allowances, canonical, properties, schema
from gonogo.documents.units import UNITS, unit_of_key
from gonogo.expressions.compiler import compile_expression
from gonogo.expressions.names import OF_SUBJECT, SUBJECT_TITLES, title_of, vocabulary
from gonogo.quantities.registry import WORKED


@pytest.mark.parametrize(
    ("name", "sort", "unit"),
    [
        ("settings.battery_current_A", "number", "A"),
        ("settings.phase_current_A_rms", "number", "A_rms"),
        ("controller.max_electrical_rpm", "number", "electrical_rpm"),
        ("wiring.phase_cable_A", "number", "A_rms"),
        ("motor.max_true_at_stop_degC", "number", "degC"),
        ("house.cold_difference_K", "number", "K"),
        ("house.drop_percent", "number", "percent"),
        ("pack.series", "number", ""),
        ("readings.throttle.rest_V", "numbers", "V"),
        ("controller.temperature_sensors", "texts", None),
        ("readings.taken", "text", None),
        ("pack.bms.port", "text", None),
        ("wiring.fuse", "text", None),
        ("motor.one_way_clutch", "boolean", None),
        ("throttle.inverted", "boolean", None),
        ("motor.cold_sensor_kinds", "texts", None),
        ("judged.on", "text", None),
    ],
)
def test_a_quantity_is_what_it_is(name: str, sort: str, unit: str | None) -> None:
    """Volts are volts to a rule because the key or the formula says so, once."""
    kind = vocabulary()[name]
    assert kind.sort == sort
    assert kind.unit == (None if unit is None else UNITS[unit])


@pytest.mark.parametrize(
    "name",
    [
        "settings.phase_current_A_peak",
        "motor.line_to_line_mohm",
        "pack.continuous_A_peak",
        "waiver.rule",
        "modes",
        "waivers",
        "part",
    ],
)
def test_a_profile_rule_does_not_know_these(name: str) -> None:
    """Rules speak of rms and phase to neutral only, and a rule about profiles of no waiver."""
    assert name not in vocabulary()


@pytest.mark.parametrize("subject", sorted(OF_SUBJECT))
def test_a_rule_about_a_paper_knows_its_facts_besides(subject: str) -> None:
    """And everything of the vehicle too."""
    names = vocabulary(subject)  # type: ignore[arg-type]
    assert vocabulary().keys() | OF_SUBJECT[subject].keys() == names.keys()  # type: ignore[index]


def test_every_quantity_of_schema_formulas_and_house_is_known() -> None:
    """What can be given or worked out can be judged."""
    assert set(vocabulary()) == {*canonical(), *WORKED, *allowances(), "judged.on"}


# The key says less than the schema: a phase cable's rating is rms; these days are a time.
SAYS_LESS = {
    **{
        f"wiring.phase_cable_{which}A": "A_rms"
        for which in ("", "most_", "section_most_", "stated_", "table_")
    },
    "readings.days_since_identification": "days",
    "readings.days_since_read_back": "days",
}


def test_a_name_and_its_unit_agree() -> None:
    """A reader of a rule takes `_V` for volts and nothing else."""
    otherwise = {
        name: kind.unit
        for name, kind in vocabulary().items()
        if kind.unit is not None and kind.unit != UNITS[unit_of_key(name)]
    }
    assert otherwise == {name: UNITS[unit] for name, unit in SAYS_LESS.items()}


def test_formulas_that_stand_in_for_each_other_share_a_unit() -> None:
    """Whichever of two formulas gives the value, a rule reads the same amount."""
    assert not [name for name, specs in WORKED.items() if len({spec.unit for spec in specs}) > 1]


def test_a_formula_for_what_can_be_given_has_the_units_of_the_key() -> None:
    """A worked ratio must not be in percent where the given one is plain."""
    assert not {
        name: (specs[0].unit, canonical()[name].unit)
        for name, specs in WORKED.items()
        if name in canonical()
        and vocabulary()[name].sort == "number"
        and specs[0].unit != canonical()[name].unit
    }


@pytest.mark.parametrize(
    ("text", "unlike"),
    [
        ("motor.torque_Nm > pack.energy_Wh", "Nm cannot be compared with Wh"),
        ("pack.c_rate_per_h > settings.max_rpm", "per h cannot be compared with rpm"),
        ("motor.torque_Nm > wiring.precharge_energy_J", "Nm cannot be compared with Wh"),
    ],
)
def test_what_only_shares_a_dimension_is_not_compared(text: str, unlike: str) -> None:
    """A torque is no energy, and how fast a pack is emptied is no speed of a motor."""
    with pytest.raises(ExpressionError, match=unlike):
        compile_expression(text, vocabulary())


def test_every_quantity_has_a_title() -> None:
    """A sentence says `the fuse rating`; nobody outside the file reads `wiring.fuse.rated_A`."""
    entries = [entry.path for entry in properties().values() if not entry.title]
    assert not entries, f"give each a `title` in profile.schema.json: {entries}"
    found = [name for name, allowance in allowances().items() if not allowance.title]
    assert not found, f"give each a `title` in house.schema.json: {found}"
    formulas = [name for name, specs in WORKED.items() if not all(spec.title for spec in specs)]
    assert not formulas, f"give each @worked a `title`: {formulas}"
    subjects = {name for names in OF_SUBJECT.values() for name in names}
    assert subjects | {"judged.on"} == SUBJECT_TITLES.keys()


def test_a_quantity_is_called_the_same_wherever_it_is_declared() -> None:
    """Alternatives of a formula, the entry that replaces it and a mode's key have one title."""
    names = {name: {spec.title for spec in specs} for name, specs in WORKED.items()}
    for name, entry in canonical().items():
        names.setdefault(name, set()).add(entry.title)
    for node in _overlays(schema("profile")["$defs"]["mode"]):
        entry = properties()[node["x-overlays"]]
        names.setdefault(entry.path, {entry.title}).add(node.get("title", "none"))
    assert {name: titles for name, titles in names.items() if len(titles) > 1} == {}


def _overlays(node: object) -> Iterator[dict[str, str]]:
    if isinstance(node, dict):
        if "x-overlays" in node:
            yield node
        for below in node.values():
            yield from _overlays(below)
    elif isinstance(node, list):
        for below in node:
            yield from _overlays(below)


def test_no_two_quantities_have_one_title() -> None:
    """Two things under one name cannot be told apart in a sentence."""
    titles: dict[str, list[str]] = {}
    known = {name for subject in OF_SUBJECT for name in vocabulary(subject)}
    own = {path for path, entry in properties().items() if entry.quantity == path}
    for name in known | own:
        titles.setdefault(title_of(name), []).append(name)
    doubled = {title: names for title, names in titles.items() if len(names) > 1}
    assert not doubled, f"give one of each a `title` of its own: {doubled}"


def test_a_title_is_a_short_noun_phrase() -> None:
    """It follows `the` in the middle of a sentence."""
    titles = [title_of(name) for name in (*vocabulary(), *properties())]
    odd = [
        title
        for title in titles
        if not re.fullmatch(r"(BMS|[a-z][a-z'-]*)([ -]|, |[A-Za-z'°])*", title)
        or len(title) > 52
        or title.startswith(("the ", "a "))
    ]
    assert odd == []


def test_a_new_quantity_without_a_title_is_still_spoken_of() -> None:
    """Its key without the unit reads better than nothing, until it has a title."""
    assert title_of("motor.slot_fill_percent") == "slot fill"
