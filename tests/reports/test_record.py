"""The JSON report: held to its schema, in the order of its keys, and loss-free."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from gonogo.documents.schema import schema_text
from gonogo.judgement.finding import Judgement
from gonogo.reports.check_totals import Unread
from gonogo.reports.record import exact
from jsonschema import Draft202012Validator, FormatChecker

Report = Callable[..., str]


@pytest.fixture(scope="module")
def held_to_schema() -> Callable[[Any], list[str]]:
    """What the schema of the report says against a value."""
    checker = Draft202012Validator(
        json.loads(schema_text("report")), format_checker=FormatChecker()
    )
    return lambda value: [error.message for error in checker.iter_errors(value)]


def test_what_is_printed_fits_the_schema(
    report: Report,
    go: Judgement,
    go_waived: Judgement,
    no_go: Judgement,
    incomplete: Judgement,
    not_read: Unread,
    held_to_schema: Callable[[Any], list[str]],
) -> None:
    """Scripts of others rely on the schema, not on this version's habits."""
    judgements = (go, go_waived, no_go, incomplete)
    said = json.loads(report("json", *judgements, unread=(not_read,)))
    assert held_to_schema(said) == []


def test_the_schema_knows_every_key(
    report: Report, no_go: Judgement, held_to_schema: Callable[[Any], list[str]]
) -> None:
    """A schema that lets anything through would prove nothing above."""
    said = json.loads(report("json", no_go))
    said["profiles"][0]["findings"][0]["colour"] = "red"
    del said["profiles"][0]["counts"]["checked"]
    assert len(held_to_schema(said)) == 2


def test_a_finding_in_full(report: Report, no_go: Judgement) -> None:
    """Key for key as the design writes it, in that order."""
    said = json.loads(report("json", no_go))["profiles"][0]["findings"][0]
    file = no_go.profile.file
    expected = {
        "rule": "battery-current-above-cells",
        "severity": "danger",
        "modes": [],
        "quantity": "settings.battery_current_A",
        "entered_as": "settings.battery_current_A",
        "file": file,
        "line": 9,
        "column": 22,
        "related": [
            {"quantity": "pack.parallel", "file": file, "line": 6, "column": 13},
            {
                "quantity": "pack.cell.continuous_A",
                "file": "parts/cells/energy-5.yaml",
                "line": 7,
                "column": 3,
            },
        ],
        "message": "The battery current limit of 180 A is above the 120 A that the cells give "
        "continuously.",
        "because": "Cells overheat, age fast and can vent.",
        "remedy": "Set it to 120 A or less.",
        "value": 180,
        "limit": {"high": 120},
        "unit": "A",
        "margin": {"absolute": -60, "share": -0.5},
        "working": [
            {
                "quantity": "pack.cells_continuous_A",
                "value": 120,
                "unit": "A",
                "origin": "worked",
                "formula": "parallel × cell.continuous_A",
                "from": ["pack.parallel", "pack.cell.continuous_A"],
            }
        ],
        "waived": None,
    }
    assert said == expected
    assert list(said) == list(expected)


def test_a_worked_quantity_is_named_beside_the_setting(report: Report, no_go: Judgement) -> None:
    """The place is the setting's; `of` says what was judged."""
    said = json.loads(report("json", no_go))["profiles"][0]["findings"][1]
    assert (said["quantity"], said["of"]) == ("settings.throttle.start_V", "throttle.clearance_V")
    assert said["modes"] == ["trail"]


def test_a_condition_has_no_limit_and_no_margin(report: Report, no_go: Judgement) -> None:
    """Null says that there is none; nought would be a limit."""
    finding = replace(no_go.findings[0], low=None, high=None, margin=None, share=None, value=None)
    said = json.loads(report("json", replace(no_go, findings=(finding,))))
    found = said["profiles"][0]["findings"][0]
    assert (found["limit"], found["margin"], found["value"]) == (None, None, None)


def test_nothing_read_is_no_verdict(report: Report, not_read: Unread) -> None:
    """Whoever asks for the verdict must not be told GO because there was nothing to refuse."""
    said = json.loads(report("json", unread=(not_read,)))
    assert said["verdict"] is None
    assert said["errors"][0]["affects"] == ["vehicles/elm.yaml", "vehicles/oak.yaml"]


@pytest.mark.parametrize(
    ("names", "verdict"),
    [
        (("go", "no_go", "incomplete"), "no-go"),
        (("go", "incomplete"), "incomplete"),
        (("go", "go_waived"), "go"),
    ],
)
def test_the_worst_verdict_stands_on_top(
    report: Report, names: tuple[str, ...], verdict: str, request: pytest.FixtureRequest
) -> None:
    """One refused vehicle refuses the lot."""
    judgements = [request.getfixturevalue(name) for name in names]
    assert json.loads(report("json", *judgements))["verdict"] == verdict


@pytest.mark.parametrize(
    ("value", "written"),
    [(0.1 + 0.2, "0.3"), (120.0, "120"), (-60.0, "-60"), (1 / 3, "0.3333333333"), (True, "true")],
)
def test_numbers_are_written_as_people_write_them(value: Any, written: str) -> None:
    """0.30000000000000004 V has never been set on a controller."""
    assert json.dumps(exact(value)) == written
