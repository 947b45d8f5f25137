"""The table of slips: it fits its schema, names what there is, and leaves nothing of the list out."""

from __future__ import annotations

import json
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.schema import canonical
from gonogo.judgement.catalogue import catalogue
from gonogo.quantities.registry import WORKED
from gonogo.suspicion.slip_rows import slip_table
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

ROOT = Path(__file__).parents[2]
DATA: dict[str, Any] = YAML(typ="safe").load((ROOT / "rules" / "slips.yaml").read_text("utf-8"))


def test_the_file_fits_its_schema() -> None:
    """Whoever adds a slip is told what belongs to it: a number without its words is none."""
    schema = json.loads((ROOT / "schemas" / "slips.schema.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(DATA)
    names = [row["slip"] for row in DATA["slips"]] + [row["fault"] for row in DATA["faults"]]
    assert len(names) == len(set(names))


def test_every_name_is_one_of_ours() -> None:
    """A misspelt quantity or rule would never be tried, and nobody would notice."""
    known, rules = set(canonical()), set(catalogue().rules)
    for row in DATA["slips"]:
        pairs = row.get("swaps", ()) if row.get("swaps") != "neighbours" else ()
        entries = [*row.get("entries", ()), *row.get("rereads", ()), *(n for p in pairs for n in p)]
        assert set(entries) <= known, row["slip"]
        others = [one for one in (*row.get("times", ()), *row.get("over", ())) if type(one) is str]
        others += [one for pair in row.get("copies", ()) for one in pair if type(one) is str]
        assert set(others) <= known | set(WORKED), row["slip"]
    for row in DATA["faults"]:
        assert set(row["signs"]) | set(row["shows"]) <= rules, row["fault"]
        assert set(row["sets_aside"]) <= known, row["fault"]
    for pattern in DATA["belief"]["contradictions"]:
        assert any(fnmatchcase(rule, pattern) for rule in rules), pattern


def test_words_and_numbers_agree() -> None:
    """What is said to happen often has no smaller number than what is said to be seldom."""
    least: dict[str, float] = {}
    most: dict[str, float] = {}
    for row in (*DATA["slips"], *DATA["faults"]):
        words, number = row["in_words"], row["number"]
        least[words] = min(number, least.get(words, 1.0))
        most[words] = max(number, most.get(words, 0.0))
    assert most["seldom"] < least["often"]


@pytest.mark.parametrize(
    ("entry", "slip"),
    [
        ("motor.pole_pairs", "magnets-for-pole-pairs"),
        ("motor.magnets", "pole-pairs-for-magnets"),
        ("pack.series", "cells-miscounted"),
        ("motor.kv_rpm_per_V", "kv-on-another-basis"),
        ("drivetrain.circumference_mm", "inch-for-mm"),
        ("wiring.battery_cable_mm2", "gauge-for-mm2"),
        ("readings.ambient_degC", "fahrenheit-for-celsius"),
        ("settings.battery_current_A", "factor-of-ten"),
        ("settings.battery_current_A", "digit-too-many"),
        ("vehicle.min_ambient_degC", "stray-sign"),
        ("settings.temperature.motor.sensor", "other-sensor-kind"),
        ("pack.cell.chemistry", "other-chemistry"),
        ("settings.max_rpm", "electrical-for-mechanical"),
        ("drivetrain.stages", "teeth-exchanged"),
        ("motor.phase_current_A_rms", "peak-for-rms"),
    ],
)
def test_the_usual_slips_befall_their_entries(entry: str, slip: str) -> None:
    """What a builder does wrong every week is in the table, for the entry in which he does it."""
    rows = {row.slip: row for row in slip_table().slips}
    assert rows[slip].befalls(canonical()[entry], entry)


def test_a_meter_shows_its_own_decimal_point() -> None:
    """What is read off a display is ten times off less often than what is copied or typed."""
    row = {one.slip: one for one in slip_table().slips}["factor-of-ten"]
    reading = row.number_for("readings.throttle.open_ground_V")
    assert 0.0 < reading < row.number_for("settings.throttle.lost_above_V") == row.number
