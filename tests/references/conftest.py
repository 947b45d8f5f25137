"""Closes a run of these tests with a count of the reference rows by where they come from."""

from __future__ import annotations

from collections import Counter

import pytest

from .reference import KINDS, tables


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """One line, such as `references: 500 rows: library 100, page read 400, …`."""
    count = Counter(row["from"] for _, _, content in tables() for row in content["rows"])
    parts = ", ".join(f"{kind} {count[kind]}" for kind in KINDS)
    terminalreporter.write_line(f"references: {count.total()} rows: {parts}")
