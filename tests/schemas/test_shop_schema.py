"""What part files, house files and rules may hold."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from jsonschema import Draft202012Validator

Schemas = Mapping[str, dict[str, Any]]
Validators = Mapping[str, Draft202012Validator]
KINDS = ("pack", "cell", "controller", "motor", "throttle")
PART = {"gonogo": "part/1", "part": {"name": "Box", "source": {"title": "Datasheet", "page": 3}}}
RULE = {
    "id": "battery-current-above-cells",
    "severity": "danger",
    "gate": "ride",
    "of": "settings.battery_current_A",
    "at_most": "pack.cells_continuous_A",
    "says": "The battery current limit of {of} is above the {limit} that the cells give.",
    "because": "Cells overheat, age fast and can vent.",
    "remedy": "Set it to {limit} or less.",
    "source": "Common practice.",
    "examples": [{"given": {"settings.battery_current_A": 120}, "outcome": "not_checked"}],
}


def words(validator: Draft202012Validator, document: Any) -> set[str]:
    """The schema's words that the document offends."""
    return {str(error.validator) for error in validator.iter_errors(document)}


@pytest.mark.parametrize("kind", KINDS)
def test_a_part_is_a_section_of_a_profile(
    validators: Validators, full_profile: Any, kind: str
) -> None:
    """What a profile says of a component, a part file may say in the same words."""
    section = full_profile["pack"]["cell"] if kind == "cell" else full_profile[kind]
    assert words(validators["part"], {**PART, kind: section}) == set()
    assert words(validators["part"], {**PART, kind: {"weight": 3}}) == {"additionalProperties"}


def test_a_part_file_describes_exactly_one_part(validators: Validators) -> None:
    """Two parts in one file would be two datasheets under one name."""
    assert words(validators["part"], PART) == {"oneOf"}
    assert words(validators["part"], {**PART, "motor": {}, "cell": {}}) == {"oneOf"}
    assert words(validators["part"], {**PART, "part": {}, "cell": {}}) == {"required"}


def test_each_allowance_keeps_its_rule_alive(schemas: Schemas, validators: Validators) -> None:
    """Zero, or a number past the range, would lower a rule without reason and date."""
    allowances = schemas["house"]["properties"]["allowances"]["properties"]
    assert allowances
    for name, node in allowances.items():
        for value in (node["default"], node["maximum"]):
            assert words(validators["house"], _house(name, value)) == set(), name
        for value in (-1, node["maximum"] * 1.01):
            assert words(validators["house"], _house(name, value)) & {"minimum", "maximum"}, name
        if name != "cold_below_degC":
            assert words(validators["house"], _house(name, 0)) == {"minimum"}, name


def _house(name: str, value: float) -> dict[str, Any]:
    return {"gonogo": "house/1", "allowances": {name: value}}


@pytest.mark.parametrize(
    ("name", "default"),
    [
        pytest.param("pack_extra_mohm", 3, id="joints of a pack"),
        pytest.param("cell_spread_V", 0.05, id="weakest cell"),
        pytest.param("cold_sag_factor", 2, id="cold pack"),
        pytest.param("modulation", 0.95, id="volts across the motor"),
        pytest.param("downhill_km_h", 60, id="hub motor down a hill"),
        pytest.param("cable_degC", 60, id="warm cable"),
        pytest.param("throttle_clearance_min_V", 0.1, id="rest to start"),
        pytest.param("throttle_ground_loss_drop_V", 0.3, id="lost ground"),
        pytest.param("magnet_cooler_K", 20, id="magnets in the shade of the winding"),
        pytest.param("cold_difference_K", 3, id="cold readings apart"),
        pytest.param("readings_days", 365, id="a year"),
    ],
)
def test_defaults_are_those_of_the_catalogue(schemas: Schemas, name: str, default: float) -> None:
    """A shop without a house file is judged by common practice as written down."""
    assert schemas["house"]["properties"]["allowances"]["properties"][name]["default"] == default


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, set()),
        ({"name": "Millrace", "rules": "rules", "require": ["pack.connector_A"]}, set()),
        ({"severities": {"cable-drop": "fault"}}, set()),
        ({"severities": {"cable-drop": "off"}}, {"enum"}),
        ({"severities": {"Cable": "fault"}}, {"pattern"}),
        ({"require": ["connector"]}, {"pattern"}),
        ({"allowances": {"cell_spread": 0.05}}, {"additionalProperties"}),
        ({"gonogo": "house/2"}, {"const"}),
    ],
)
def test_a_house_file(validators: Validators, change: dict[str, Any], expected: set[str]) -> None:
    """A shop allows, requires and raises; it never switches off."""
    assert words(validators["house"], {"gonogo": "house/1", **change}) == expected


def rule(*without: str, **change: Any) -> dict[str, Any]:
    """The rule with some keys taken out and others put in."""
    return {key: value for key, value in {**RULE, **change}.items() if key not in without}


@pytest.mark.parametrize(
    ("document", "expected"),
    [
        pytest.param(rule(), set(), id="a bound"),
        pytest.param(rule(gonogo="rule/1"), set(), id="with its kind"),
        pytest.param(rule("at_most", between=[1, "pack.full_V"]), set(), id="a range"),
        pytest.param(rule(at_most=3), set(), id="a number"),
        pytest.param(rule("at_most", "of", flag_when="a.b", at="a.b"), set(), id="a condition"),
        pytest.param(
            rule("at_most", "of", flag_when="a.b", subject="waiver"), set(), id="a waiver's"
        ),
        pytest.param(rule("of"), {"dependentRequired"}, id="a bound of nothing"),
        pytest.param(rule("at_most"), {"oneOf"}, id="no bound"),
        pytest.param(rule(at_least=1), {"oneOf"}, id="two bounds"),
        pytest.param(rule(flag_when="a.b", at="a.b"), {"oneOf"}, id="bound and condition"),
        pytest.param(rule("at_most", "of", flag_when="a.b"), {"anyOf"}, id="points nowhere"),
        pytest.param(rule(gate="stand", stage="ride"), {"const"}, id="a gate before its stage"),
        pytest.param(rule(gate=True), {"type", "enum"}, id="a gate of no stage"),
        pytest.param(rule("gate", gate_when="a.b"), {"dependentRequired"}, id="no gate to hold"),
        pytest.param(rule(needs=["house.drop_percent"]), {"pattern"}, id="needs an allowance"),
        pytest.param(rule(needs=["pack.full_V"] * 2), {"uniqueItems"}, id="needs one twice"),
        pytest.param(rule(modes="any", subject="waiver"), {"const"}, id="modes of a waiver"),
        pytest.param(rule(modes="all"), {"enum"}, id="unknown modes"),
        pytest.param(rule(steps=[{"severity": "danger", "beyond": 2}]), set(), id="a step"),
        pytest.param(rule(steps=[{"severity": "danger"}]), {"oneOf"}, id="a step of nothing"),
        pytest.param(rule(steps=[]), {"minItems"}, id="no steps"),
        pytest.param(rule(yields_to=["Battery"]), {"pattern"}, id="yields to capitals"),
        pytest.param(rule(severity="error"), {"enum"}, id="an unknown severity"),
        pytest.param(rule(id="Battery"), {"pattern"}, id="capitals in its name"),
        pytest.param(rule(id="b" * 61), {"maxLength"}, id="a name too long"),
        pytest.param(rule(at_most="a" * 501), {"maxLength"}, id="an expression too long"),
        pytest.param(rule(at_most=True), {"type"}, id="a bound that is no quantity"),
        pytest.param(rule("at_most", between=[1]), {"minItems"}, id="half a range"),
        pytest.param(rule("remedy"), {"required"}, id="no remedy"),
        pytest.param(rule(examples=[]), {"minItems"}, id="no examples"),
        pytest.param(
            rule(examples=[{"given": {}, "outcome": "pass"}]), {"enum"}, id="an unknown outcome"
        ),
    ],
)
def test_a_rule(validators: Validators, document: dict[str, Any], expected: set[str]) -> None:
    """A rule has one bound or one condition, says why, and shows what it does."""
    assert words(validators["rule"], document) == expected
