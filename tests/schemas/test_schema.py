"""The form of the schemas: each entry explains itself, and each number has a step and a range."""

from __future__ import annotations

import math
import re
from typing import Any

from jsonschema import Draft202012Validator

UNIT = re.compile(
    "_(V|A|A_rms|A_peak|Ah|Wh|W|ohm|mohm|kohm|uF|uH|mVs|Hz|degC|K|rpm|rpm_per_V|mm|m|mm2|m2|kg|km_h|percent"
    "|h|s|ms|days|deg|J|m_per_s2)$"
)
WITHOUT_UNIT = {
    "vehicle": {"rolling_resistance", "rolling_resistance_off_road"},
    "motor": {"internal_ratio"},
    "controller": {"step", "full_scale"},
    "drivetrain": {"ratio", "efficiency"},
    "documents": {"accepts", "revision"},
    "known": {"value", "at_most", "at_least", "excess"},  # the unit stands beside them
}
# A plain number of a house file says so, in one of these words.
PLAIN = re.compile(
    r"\b(share|times|multiple|ratio|divided|for each|whole number|letters|number of)\b"
)
KINDS_BY_UNIT = {"max_electrical_rpm": "electrical_rpm", "phase_cable_A": "A_rms"}
Schemas = dict[str, dict[str, Any]]
Nodes = list[tuple[str, dict[str, Any]]]


def entered(entries: list[Any]) -> list[Any]:
    """The numbers that a person enters: those of the rules' expressions are not."""
    return [entry for entry in entries if entry.is_number and not entry.path.startswith("rule/")]


def named(entry: Any) -> bool:
    """True for a key of a document, false for the items of a list."""
    return entry.path.endswith(f"/properties/{entry.key}")


def test_schemas_are_json_schema_2020_12(schemas: Schemas) -> None:
    """An editor of any make understands them."""
    for schema in schemas.values():
        assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
        Draft202012Validator.check_schema(schema)


def test_each_entry_is_described_in_one_sentence(entries: list[Any]) -> None:
    """Whoever types a key reads beside it what it means."""
    wrong = [
        entry.path
        for entry in entries
        if "$ref" not in entry.node and not _one_sentence(entry.node.get("description", ""))
    ]
    assert wrong == []


def _one_sentence(text: str) -> bool:
    return 10 < len(text) < 140 and text[0].isupper() and text.find(".") == len(text) - 1


def test_each_number_has_a_step_and_a_physical_range(entries: list[Any]) -> None:
    """A slip of the finger, such as negative amperes, never reaches the judge."""
    numbers = entered(entries)
    wrong = [
        entry.path
        for entry in numbers
        if not {"maximum", "x-step"} <= entry.value.keys()
        or ("minimum" in entry.value) == ("exclusiveMinimum" in entry.value)
        or not 0 < entry.value["x-step"] <= _width(entry.value) / 5
    ]
    assert wrong == []
    assert numbers


def _width(value: dict[str, Any]) -> float:
    low: float = value.get("minimum", value.get("exclusiveMinimum"))
    high: float = value["maximum"]
    return high - low


def test_each_number_carries_its_unit_in_its_key(entries: list[Any]) -> None:
    """`stop: 48` could be volts or percent; a bare number counts something, or is one of a few."""
    bare = {key for keys in WITHOUT_UNIT.values() for key in keys}
    numbers = [entry for entry in entered(entries) if named(entry) and not counts(entry)]
    without = {entry.key for entry in numbers if not UNIT.search(entry.key)}
    # The tachometer's `rpm` is its unit.
    assert without - bare == {"rpm"}
    assert bare - without == set()


def counts(entry: Any) -> bool:
    """A whole number of things, or an allowance that says of what it is a share or a multiple."""
    kinds = entry.value["type"]
    whole = "number" not in ([kinds] if isinstance(kinds, str) else kinds)
    plain = PLAIN.search(entry.node["description"].lower())
    return whole or (entry.path.startswith("house/") and plain is not None)


def test_a_unit_that_the_key_does_not_tell_is_told_beside_it(entries: list[Any]) -> None:
    """Electrical turns are not the rotor's, and a phase cable's amperes are rms."""
    told = {entry.key: entry.node["x-unit"] for entry in entries if "x-unit" in entry.node}
    assert KINDS_BY_UNIT.items() <= told.items()


def test_no_text_and_no_list_is_without_bound(entries: list[Any]) -> None:
    """A file of endless text is refused before anything reads it."""
    wrong = [
        entry.path
        for entry in entries
        if not {"enum", "format", "const"} & entry.value.keys()
        and (
            ("string" in entry.value.get("type", ()) and "maxLength" not in entry.value)
            or (entry.value.get("type") == "array" and "maxItems" not in entry.value)
        )
    ]
    assert wrong == []


def test_no_mapping_takes_an_unknown_key(nodes: Nodes) -> None:
    """A misspelt key is answered, and never passed over; maps by name say what names they take."""
    wrong = [
        path
        for path, node in nodes
        if "object" in node.get("type", ())
        and not path.endswith("/not")
        and node.get("additionalProperties") is not False
        and not {"propertyNames", "maxProperties"} <= node.keys()
    ]
    assert wrong == []


def test_each_example_fits_its_entry(
    entries: list[Any], validators: dict[str, Draft202012Validator]
) -> None:
    """What an editor offers can be taken as it stands."""
    shown = [entry for entry in entries if "examples" in entry.node]
    wrong = [
        entry.path
        for entry in shown
        for example in entry.node["examples"]
        if not validators[entry.path.split("/")[0]].evolve(schema=entry.node).is_valid(example)
    ]
    assert wrong == []
    assert shown


def test_the_other_of_a_pair_turns_into_the_canonical_one(entries: list[Any]) -> None:
    """Peak is the square root of two of rms, and two phases in a row are twice one."""
    factors = {"A_peak": math.sqrt(0.5), "line_to_line": 0.5, "pack": 1.0, "cable": 1.0}
    others = [entry for entry in entries if "x-same-as" in entry.node]
    for entry in others:
        target, factor = entry.node["x-same-as"].values()
        sort = next(sort for sort in factors if sort in entry.key or sort in entry.path)
        assert factor == factors[sort], entry.path
        if sort == "pack":
            assert target == f"pack.cells_{entry.key}"
        elif sort == "cable":
            assert target == f"wiring.{entry.key.removesuffix('_A')}_stated_A"
        else:
            assert entry.path.removesuffix(entry.key) + target.split(".")[-1] in {
                other.path for other in entries
            }
    assert others


def form(node: Any) -> dict[str, Any]:
    """What a node holds where it is not `none`."""
    return {**node, **node["anyOf"][-1]} if "anyOf" in node else dict(node)


def test_both_of_a_pair_are_alike(entries: list[Any], nodes: Nodes) -> None:
    """A rating does not stop being one because it is entered as peak."""
    by_path = {entry.path: entry.node for entry in entries}
    pairs = [
        (f"{path.rpartition('/allOf/')[0]}/properties/", node["x-pair"])
        for path, node in nodes
        if "x-pair" in node
    ]
    for above, (one, other) in pairs:
        first, second = form(by_path[above + one]), form(by_path[above + other])
        assert ("x-same-as" in first, "x-same-as" in second) == (False, True)
        for mark in ("x-rating", "x-step", "type", "minimum", "exclusiveMinimum"):
            assert first.get(mark) == second.get(mark), (above, one, mark)
    assert pairs


def test_ratings_are_numbers_with_a_better_side(entries: list[Any]) -> None:
    """An override can only be seen to raise a rating if it is known which way is up."""
    ratings = {entry.key: entry for entry in entries if "x-rating" in entry.node}
    assert {entry.node["x-rating"] for entry in ratings.values()} == {"upper", "lower"}
    assert all(entry.is_number for entry in ratings.values())
    assert ratings["max_V"].node["x-rating"] == "upper"
    assert ratings["minimum_V"].node["x-rating"] == "lower"


def test_a_mode_changes_what_the_profile_has(entries: list[Any], schemas: Schemas) -> None:
    """What a mode lays over a setting has that setting's range and step, and may be removed."""
    laid = [entry for entry in entries if "x-overlays" in entry.node]
    for entry in laid:
        node = schemas["profile"]
        for key in entry.node["x-overlays"].split("."):
            node = form(node)["properties"][key]
        assert "null" in entry.node["type"], entry.path
        if entry.key == "use":
            continue
        for mark in ("minimum", "maximum", "x-step", "x-same-as"):
            assert entry.node.get(mark) == form(node).get(mark), (entry.path, mark)
        said = entry.node["description"]
        if "x-none" in node:  # the profile's setting may be `none` besides, and says so
            assert node["description"].startswith(said.rstrip(".")), entry.path
        elif "properties" not in form(node):
            assert node["description"] == said, entry.path
    keys = [entry for entry in entries if entry.path.startswith("profile/$defs/mode/")]
    assert len(laid) == len(keys) - len(["throttle", "regen"])
