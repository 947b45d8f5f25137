"""The day: one form, at every door."""

from __future__ import annotations

from datetime import date

import pytest
from gonogo.documents.day import day_of, day_to_judge_by, days_between
from gonogo.documents.error import UsageError
from gonogo.documents.schema import validator
from gonogo.quantities.operand import NotWorked
from gonogo.quantities.readings import age

DAYS = [
    pytest.param("2026-11-25", True, id="as documents write it"),
    pytest.param("2024-02-29", True, id="a leap day"),
    pytest.param("2026-02-29", False, id="no leap day that year"),
    pytest.param("2026-13-01", False, id="no such month"),
    pytest.param("20261125", False, id="ISO 8601 without dashes"),
    pytest.param("2026-W48-3", False, id="ISO 8601 by weeks"),
    pytest.param("2026-11-25 ", False, id="a space behind it"),
    pytest.param("2026-11-25T10:00", False, id="with an hour"),
    pytest.param("\u0662\u0660\u0662\u0666-11-25", False, id="digits of another script"),
    pytest.param("", False, id="nothing"),
    pytest.param("25.11.2026", False, id="another order"),
]


@pytest.mark.parametrize(("text", "is_day"), DAYS)
def test_every_door_takes_the_same_days(text: str, is_day: bool) -> None:
    """A waiver that the schema takes runs out on the day that the judge reads."""
    waiver = {"rule": "x-y", "reason": "r", "until": text}
    errors = [
        list(error.absolute_path)
        for error in validator("profile").iter_errors({"waivers": [waiver]})
    ]
    assert (["waivers", 0, "until"] not in errors) == is_day
    if is_day:
        assert day_of(text).isoformat() == day_to_judge_by(text) == text
        assert age(text, text) == days_between(text, text) == 0
    else:
        with pytest.raises(ValueError, match=r"not a date|must be|out of range"):
            day_of(text)
        with pytest.raises(UsageError):
            day_to_judge_by(text)
        with pytest.raises(NotWorked):
            age("2026-11-25", text)


def test_nobody_asked_for_a_day_is_today() -> None:
    """Where nothing is said the judgement is of now."""
    before = date.today()
    assert before.isoformat() <= day_to_judge_by(None) <= date.today().isoformat()


@pytest.mark.parametrize(
    ("until", "on", "days"),
    [
        ("2026-11-25", "2026-11-25", 0),
        ("2026-11-24", "2026-11-25", -1),
        ("2028-03-01", "2028-02-28", 2),
        ("2027-01-01", "2026-12-31", 1),
    ],
)
def test_days_are_counted_over_month_ends(until: str, on: str, days: int) -> None:
    """A leap year has its 29 February."""
    assert days_between(on, until) == days
