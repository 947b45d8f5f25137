"""The age of readings."""

from __future__ import annotations

from gonogo.quantities import readings


def test_readings_age_by_the_calendar() -> None:
    """A leap day counts; a date ahead is a negative age, for a rule to flag."""
    assert readings.age("2024-03-01", "2024-02-28") == 2
    assert readings.since_identification("2026-01-01", "2025-01-01") == 365
    assert readings.age("2026-01-01", "2026-01-02") == -1
