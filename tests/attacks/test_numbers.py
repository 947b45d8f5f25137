"""No number of a document is read otherwise than its writer meant, and none becomes an infinity."""

from __future__ import annotations

import io
import json
import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands import check
from gonogo.commands.main import status
from gonogo.documents.document import Document, try_document
from gonogo.documents.error import ExpressionError
from gonogo.documents.files import WorkingTree
from gonogo.documents.schema import SchemaSection, outline, properties, schema
from gonogo.documents.units import UNITS, unit_of_key
from gonogo.expressions.compiler import compile_expression
from gonogo.expressions.types import Type
from gonogo.quantities.operand import Operand
from gonogo.quantities.worked import result, worked
from gonogo.reports.record import json_text
from ruamel.yaml import YAML

BASE = Path(__file__).parents[1] / "hazards" / "base.yaml"
DAY = "2026-11-25"


def read(folder: Path, text: str) -> tuple[Document | None, list[tuple[int, int]]]:
    (folder / "alder.yaml").write_text(text, "utf-8")
    reading = try_document(WorkingTree(folder), "alder.yaml")
    return reading.document, [(error.line, error.column) for error in reading.errors]


PROFILE = "gonogo: profile/1\nvehicle: {name: Alder, use: private_land}\nsettings:\n  KEY: NUMBER\n"


@pytest.mark.parametrize(
    ("written", "number"),
    [
        *[("48", 48), ("48.0", 48), ("+48", 48), ("48.", 48), ("4.8e1", 48), ("480E-1", 48)],
        *[("0.48e+2", 48), (".5e2", 50), ("1e2", 100), ("48  # V", 48), ("&a 48", 48)],
    ],
)
def test_a_number_is_what_a_person_reads(written: str, number: float, tmp_path: Path) -> None:
    """YAML 1.2.2, 10.3.2: what is taken has one meaning in every reader and on paper."""
    document, errors = read(
        tmp_path, PROFILE.replace("KEY", "pack_nominal_V").replace("NUMBER", written)
    )
    assert errors == [] and document is not None
    assert document.value["settings"]["pack_nominal_V"] == number


@pytest.mark.parametrize(
    "written",
    [
        *[
            "0x30",
            "0X30",
            "0o60",
            "060",
            "0b110000",
            "1_00",
            "4_8",
            "48_",
            "1:30",
            "48:00",
            "00048",
        ],
        *[
            "48,5",
            "1,000",
            "1 000",
            "1'000",
            "1.000,5",
            "4 8",
            "48 V",
            "48V",
            "48\u00a0V",
            "48.5.1",
        ],
        *[
            "١٢",
            "４８",
            "½",
            "4²",
            "४८",
            "48‚5",
            "−48",
            "–48",
            "48e",
            "e48",
            "48e5.5",
            "4e+",
            "+-48",
        ],
        *[".inf", "-.inf", "+.INF", ".nan", ".NaN", "inf", "nan", "Infinity", "1e400", "-1e400"],
        *["1e308", "1e15", "9" * 39, "9" * 400, "1e-320", "1e-400", "-1e-320", "0.0000001", "1e-9"],
        *["4.9e-324", "2.2250738585072014e-308", "0e0.1", "~48", "48-50", "ca. 48", "48?", "??"],
        *[
            "true",
            "yes",
            "on",
            "none",
            "null",
            "~",
            '"48"',
            "'48'",
            "[48]",
            "{a: 48}",
            "|\n    48",
        ],
    ],
)
def test_every_other_spelling_is_refused_at_its_place(written: str, tmp_path: Path) -> None:
    """A comma, a unit left in, a digit of another script: none of them may become another number."""
    text = PROFILE.replace("KEY", "battery_current_A").replace("NUMBER", written)
    _, errors = read(tmp_path, text)
    assert errors and errors[0] == (4, 22)


NUMBERS = ("1e-320", "1e999", "5e-7")
PLACES = {
    "profile": "gonogo: profile/1\nvehicle: {name: A}\nsettings: {regen: {battery_current_A: N}}\n",
    "mode": "gonogo: profile/1\nvehicle: {name: A}\nmodes: {a: {field_weakening_A_rms: N}}\n",
    "waiver": "gonogo: profile/1\nvehicle: {name: A}\nwaivers: [{rule: fuse-missing, accepts: N, "
    "reason: It is off the road., until: 2026-12-01}]\n",
    "part": "gonogo: part/1\npart: {name: A}\nmotor: {no_load_A: N}\n",
    "list": "gonogo: profile/1\nvehicle: {name: A}\nreadings: {throttle: {rest_V: [0.8, N]}}\n",
    "house": "gonogo: house/1\nname: Hedge\nallowances: {pack_extra_mohm: N}\n",
}


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("kind", PLACES)
def test_no_document_holds_a_number_that_nobody_measures(
    kind: str, number: str, tmp_path: Path
) -> None:
    """Where zero may stand, what is next to it may not: something would be divided by it."""
    text = (
        PLACES[kind]
        .replace("N}", f"{number}}}")
        .replace("N]", f"{number}]")
        .replace("N,", f"{number},")
    )
    _, errors = read(tmp_path, text)
    line = text.split("\n")[2]
    assert (3, line.index(number) + 1) in errors


def nodes(tree: Any, key: str = "") -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every node of a schema with the key that it stands under."""
    if isinstance(tree, dict):
        yield key, tree
        for name, below in tree.items():
            yield from nodes(below, name if name not in ("items", "anyOf") else key)
    elif isinstance(tree, list):
        for below in tree:
            yield from nodes(below, key)


@pytest.mark.parametrize("kind", ["profile", "house", "rule"])
def test_every_number_of_a_document_has_two_ends(kind: str) -> None:
    """What has no end has one in the machine, and behind it lies an infinity."""
    endless = [
        key
        for key, node in nodes(schema(kind))
        if {"number", "integer"}
        & set([node.get("type")] if isinstance(node.get("type"), str) else node.get("type") or ())
        and not (
            math.isfinite(node.get("minimum", math.inf))
            and math.isfinite(node.get("maximum", math.inf))
        )
    ]
    assert endless == []


def test_nothing_that_is_divided_by_may_be_next_to_nought() -> None:
    """The least number of a range is one that its unit is measured in."""
    assert [
        entry.path
        for entry in properties().values()
        if entry.kind == "number"
        and entry.lowest
        and 0 < entry.lowest < UNITS[unit_of_key(entry.path)].least
    ] == []
    assert not any(entry.strictly_above for entry in properties().values())


def ends() -> list[tuple[str, float]]:
    """The ends of ranges that are nearest to nought, and those that are furthest from it."""
    entries = properties().values()
    return [
        (entry.path, end)
        for entry in entries
        if entry.kind in ("number", "integer")
        for end in (entry.lowest, entry.highest)
        if end is not None and (0 <= end < 1 or end >= 10_000)
    ]


def with_entry(profile: Any, path: str, value: float) -> Any:
    """The profile with one entry in place of what excludes it."""
    section: SchemaSection | Any = outline()
    node = profile
    *way, last = path.split(".")
    for key in way:
        section = section.entries[key]
        if not isinstance(node.get(key), dict):
            node[key] = {}
        node = node[key]
    node[last] = int(value) if float(value).is_integer() else value
    return profile


def finite(value: Any) -> bool:
    if isinstance(value, dict | list):
        return all(map(finite, value.values() if isinstance(value, dict) else value))
    return not isinstance(value, float) or math.isfinite(value)


def test_at_both_ends_of_every_range_all_is_finite(tmp_path: Path) -> None:
    """An entry that its schema takes leads to no infinity, no defect and no JSON that is none."""
    yaml = YAML(typ="safe")
    base = BASE.read_text("utf-8")
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nname: Hedge\n", "utf-8")
    judged = 0
    for number, (path, end) in enumerate(ends()):
        profile = with_entry(yaml.load(base), path, end)
        text = json.dumps(profile, ensure_ascii=False)
        (tmp_path / f"p{number}.yaml").write_text(text, "utf-8")
    out = io.StringIO()
    check.run([tmp_path], "json", as_of=DAY, out=out)
    report = json.loads(out.getvalue(), parse_constant=lambda word: pytest.fail(word))
    judged = len(report["profiles"])
    assert finite(report) and judged + len({error["file"] for error in report["errors"]}) == len(
        ends()
    )
    assert judged > len(ends()) * 0.8


def test_json_without_an_infinity_or_none() -> None:
    """A report that no reader can parse is none."""
    with pytest.raises(ValueError, match="JSON"):
        json_text({"value": math.inf})


AMPERES = Type("number", UNITS["A"])
NAMES = {"a": AMPERES, "b": AMPERES, "c": Type("number", UNITS[""])}
VALUES = {"a": 1e200, "b": 1e-200, "c": 1e200}


@pytest.mark.parametrize(
    "text",
    [
        *["a * c", "a / b", "0 - a * c", "a * c - a * c", "abs(a * c)", "round(a * c)"],
        *["b * b", "b / c / c", "1 / (b * b)", "1 / (b - b)", "a * c * 0"],
        *["a * c > 5", "a * c - a * c > 5", "5 > a / b", "not a * c > 5", "a * c == a * c"],
        *[
            "max(a * c, 0 - a * c)",
            "a if a * c > 5 else b",
            "a * 100000000000000 * a * 10000000000000",
        ],
    ],
)
def test_what_leaves_the_numbers_is_unknown(text: str) -> None:
    """Nothing is above an infinity, and what is no number breaks no limit: either would be a GO."""
    answer = compile_expression(text, NAMES).evaluate(lambda name: Operand(VALUES[name]))
    assert answer.value is None
    assert answer.reason


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan, 1e301, 10**400, [1.0, math.nan]])
def test_a_formula_that_leaves_the_numbers_is_not_worked(value: Any) -> None:
    """The reason is said; a verdict that rests on it waits."""

    @worked("test.endless_A", "A", source="This test.", words="as given", c="c")
    def endless(c: float) -> Any:
        return value

    spec = endless.worked[0]  # type: ignore[attr-defined]
    answer = result(spec, lambda name: Operand(1.0))
    assert answer.value is None and "limits" in answer.reason


def test_a_formula_that_raises_is_not_worked() -> None:
    """The root of what is negative, a power past the largest float, a quotient by nought."""

    @worked("test.root_A", "A", source="This test.", words="as given", c="c")
    def root(c: float) -> float:
        return math.sqrt(c) + math.exp(c) + 1.0 / c

    spec = root.worked[0]  # type: ignore[attr-defined]
    for value in (-1.0, 1e4, 0.0):
        answer = result(spec, lambda name, value=value: Operand(value))  # type: ignore[misc]
        assert answer.value is None and answer.reason


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("a > 1e999", 5),
        ("a > 1e15", 5),
        ("a > 1e-400", 5),
        ("a > 0x10", 5),
        ("a > 1_000", 5),
        ("a > 1j", 5),
        ("a > 5 # 9", 7),
        ("ａ > 5", 1),
        ("a > ５", 5),
        ("a >\n 1e999", 6),
        ("a > 1if c > 0 else 2", 5),
    ],
)
def test_a_formula_of_a_document_holds_plain_numbers(text: str, column: int) -> None:
    """A comment hides what comes after it, and 1_000 is refused in a profile too."""
    with pytest.raises(ExpressionError) as refused:
        compile_expression(text, NAMES)
    assert refused.value.offset == column


RULE = """\
id: our-current
severity: danger
of: settings.battery_current_A
at_most: 20
applies_when: vehicle.use == 'street'
says: The battery current of {of} is above {limit}.
because: It breaks.
remedy: Set it to {limit} or less.
source: Ours.
examples:
  - {given: {settings.battery_current_A: 20, vehicle.use: street}, outcome: clear}
  - {given: {settings.battery_current_A: 21, vehicle.use: street, MORE: 1}, outcome: flagged}
"""
SLIPS = [
    *[("21,", f"{slip},") for slip in ("21 A", "1e999", "1e-320", ".nan", "0x15", "'21'", "true")],
    *[("21,", f"{slip},") for slip in ("[21]", "none", "{a: 1}", "on", "1e15", "null", "~")],
    *[("20,", f"{slip},") for slip in ("20 A", "1e400", "-1e-400")],
    ("MORE: 1", "readings.taken: tomorrow"),
    ("MORE: 1", "motor.kv_rpm_per_V: 70 rpm/V"),
    ("MORE: 1", "drivetrain.stages: [14, 52]"),
    ("MORE: 1", "drivetrain.stages: [{driving_teeth: 14}]"),
    ("MORE: 1", "throttle.brake_cut: 'true'"),
    ("MORE: 1", "pack.cell.chemistry: lipo"),
    ("MORE: 1", "controller.temperature_sensors: pt100"),
    ("MORE: 1", "readings.throttle.rest_V: [0.8, low]"),
    ("at_most: 20", "at_most: 1e999"),
    ("at_most: 20", "at_most: '1e999'"),
    ("at_most: 20", "at_most: 1e308 * 10"),
    ("at_most: 20", "at_most: 20 if 1e999 > 0 else 5"),
    ("'street'", "'street' and 1e400 > 0"),
]


@pytest.mark.parametrize(("old", "new"), SLIPS, ids=[slip for _, slip in SLIPS])
def test_a_slip_in_a_house_rule_is_not_read_with_its_line(
    old: str, new: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It was a defect that ended every check of the shop."""
    (tmp_path / "ours").mkdir()
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nrules: ours\n", "utf-8")
    text = RULE.replace(old, new, 1).replace(", MORE: 1", "")
    (tmp_path / "ours" / "our-current.yaml").write_text(text, "utf-8")
    (tmp_path / "alder.yaml").write_text("gonogo: profile/1\nvehicle: {name: Alder}\n", "utf-8")
    assert status(["check", str(tmp_path), "--format", "json", "--as-of", DAY]) == 3
    errors = json.loads(capsys.readouterr().out)["errors"]
    lines = [number for number, line in enumerate(text.split("\n"), 1) if new.strip(",") in line]
    assert [error["line"] for error in errors] == lines[:1]
    assert errors[0]["file"] == "ours/our-current.yaml"


def test_the_rule_without_a_slip_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """So that it was the slip that was refused."""
    (tmp_path / "ours").mkdir()
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nrules: ours\n", "utf-8")
    (tmp_path / "ours" / "our-current.yaml").write_text(RULE.replace(", MORE: 1", ""), "utf-8")
    (tmp_path / "alder.yaml").write_text("gonogo: profile/1\nvehicle: {name: Alder}\n", "utf-8")
    assert status(["check", str(tmp_path), "--as-of", DAY]) == 4
    assert "NOT READ" not in capsys.readouterr().out
