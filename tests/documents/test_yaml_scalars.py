"""A plain word is a number, a truth, nothing or a text, as YAML 1.2 has it."""

from __future__ import annotations

from typing import Any

import pytest
from gonogo.documents.yaml_scalar import Refusal, scalar_value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", 0),
        ("-12", -12),
        ("+5", 5),
        ("48.5", 48.5),
        (".5", 0.5),
        ("5.", 5.0),
        ("1e3", 1000.0),
        ("-1.5E-2", -0.015),
        ("0.95", 0.95),
        ("true", True),
        ("FALSE", False),
        ("null", None),
        ("~", None),
        ("", None),
    ],
)
def test_words_of_yaml_have_its_values(text: str, value: Any) -> None:
    """YAML 1.2, core schema (10.3.2)."""
    found = scalar_value(text)
    assert (found, type(found)) == (value, type(value))


@pytest.mark.parametrize(
    "text",
    [
        "yes",
        "no",
        "on",
        "off",
        "y",
        "n",
        "2026-05-18",
        "48,5",
        "200A",
        "90/90-17",
        "1.2.3",
        "kty84-130",
        "nan",
        "inf",
        "e5",
        "1e",
        "+",
        ".",
        "0.8.5",
        "12:75",
        "NaN",
        "tRue",
        "47-406",
    ],
)
def test_everything_else_is_text(text: str) -> None:
    """A date is not an object, a tyre not a sum, and `no` not a truth."""
    assert scalar_value(text) == text


@pytest.mark.parametrize(
    ("text", "nearest"),
    [
        ("12_000", "12000"),
        ("1_0.5", "10.5"),
        ("007", "7"),
        ("-05", "-5"),
        ("00.5", "0.5"),
        ("-00", "-0"),
        ("0o17", None),
        ("0x1F", None),
        ("0b101", None),
        ("1:30", None),
        ("190:20:30", None),
        (".nan", None),
        (".inf", None),
        ("-.INF", None),
        ("1e999", None),
        ("9" * 400, None),
        ("1e15", None),
        ("1e-400", None),
        ("1_0:30", None),
        ("-", None),
    ],
)
def test_a_word_that_readers_of_yaml_disagree_on_is_refused(text: str, nearest: str | None) -> None:
    """Of two programs that read one file neither may see another number."""
    found = scalar_value(text)
    assert isinstance(found, Refusal)
    if nearest is not None:
        assert found.nearest == nearest
