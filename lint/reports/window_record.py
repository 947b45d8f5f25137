"""The windows as a record for machines: JSON, held to `schemas/windows.schema.json`."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from ..documents.profile import Profile
from ..judgement.window import End, Span, Window
from .record import exact

EDITION = "windows/1"


def record(found: Sequence[Window], profile: Profile, judged_on: str) -> str:
    """All windows of a profile, in the order of the schema."""
    said = {
        "gonogo": EDITION,
        "file": profile.file,
        "name": profile.name,
        "judged_on": judged_on,
        "windows": [window_record(window) for window in found],
    }
    return json.dumps(said, indent=2, ensure_ascii=False) + "\n"


def window_record(window: Window) -> dict[str, Any]:
    """One window; numbers are in the unit of the key as entered, null where no rule bounds."""
    margin = window.margin
    return {
        "quantity": window.quantity,
        "entered_as": window.entered_as,
        "mode": window.mode or None,
        "unit": window.unit,
        "step": exact(window.step),
        "today": exact(window.today),
        "hard": _span(window.hard),
        "good": _span(window.good),
        "margin": None if margin is None else {"absolute": exact(margin), "share": window.share},
        "rules": [
            {
                "rule": one.rule,
                "severity": one.severity,
                "mode": one.mode or None,
                "low": exact(one.low),
                "high": exact(one.high),
            }
            for one in window.rules
        ],
        "contrary": list(window.contrary),
        "broken": list(window.broken),
        "open": [
            {
                "rule": one.rule,
                "severity": one.severity,
                "side": one.side or None,
                "missing": list(one.missing),
            }
            for one in window.open_ends
        ],
        "depends_on": list(window.depends_on),
    }


def _span(span: Span | None) -> dict[str, Any] | None:
    return None if span is None else {"low": _end(span.low), "high": _end(span.high)}


def _end(end: End) -> dict[str, Any]:
    return {"limit": exact(end.limit), "rule": end.rule, "mode": end.mode or None}
