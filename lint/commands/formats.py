"""The forms in which a check can be reported, each set by a module of its own."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

from ..documents.error import UsageError

# Each format's module in `reports` has the functions `body` and `report`.
FORMATS = {
    "text": "text",
    "json": "record",
    "markdown": "markdown",
    "html": "html",
    "sarif": "sarif",
    "junit": "junit",
}


def report_module(form: str) -> ModuleType:
    """The module that sets a format; the others stay unread."""
    if form not in FORMATS:
        raise UsageError(f"--format {form}: it can be {', '.join(FORMATS)}.")
    return import_module(f"..reports.{FORMATS[form]}", __package__)
