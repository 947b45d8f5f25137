"""The forms in which a check can be reported, each set by a module of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from importlib import import_module
from types import ModuleType

from ..documents.error import UsageError

# Each format's module in `reports` has the functions `body` and `report`.
FORMATS = {
    "text": "check_text",
    "json": "record",
    "markdown": "markdown",
    "html": "html",
    "sarif": "sarif",
    "junit": "junit",
}
# The same for a comparison.
COMPARISON_FORMATS = {
    "text": "comparison_text",
    "json": "comparison_record",
    "markdown": "comparison_markdown",
    "html": "comparison_html",
}
HISTORY_FORMATS = {"text": "history_text", "json": "history_record"}
# What has a screen, and a record for machines.
PLAIN_FORMATS = ("text", "json")


def report_module(form: str) -> ModuleType:
    """The module that sets a format; the others stay unread."""
    return _module(form, FORMATS)


def comparison_module(form: str) -> ModuleType:
    """The module that sets a comparison in a format."""
    return _module(form, COMPARISON_FORMATS)


def history_module(form: str) -> ModuleType:
    """The module that sets a history in a format."""
    return _module(form, HISTORY_FORMATS)


def known_format(form: str, formats: Iterable[str] = PLAIN_FORMATS) -> str:
    """The format asked for; raises UsageError with those that there are."""
    known = list(formats)
    if form not in known:
        raise UsageError(f"--format {form}: it can be {', '.join(known)}.")
    return form


def _module(form: str, formats: Mapping[str, str]) -> ModuleType:
    known_format(form, formats)
    return import_module(f"..reports.{formats[form]}", __package__)
