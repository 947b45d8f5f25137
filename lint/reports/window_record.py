"""The windows of a profile as a record for machines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..documents.profile import Profile
from ..judgement.window import End, RuleSpan, Span, Window
from .record import exact

WINDOWS_EDITION = "windows/1"


def record(windows: Sequence[Window], profile: Profile, judged_on: str) -> dict[str, Any]:
    """All windows of a profile, in the order of the schema."""
    return {
        "gonogo": WINDOWS_EDITION,
        "file": profile.file,
        "name": profile.name,
        "judged_on": judged_on,
        "windows": [window_record(window) for window in windows],
    }


def window_record(window: Window) -> dict[str, Any]:
    """One window; numbers are in the unit of the key as entered, null where no rule limits."""
    margin = window.margin
    whose = {"motors": list(window.motors)} if window.motors else {}
    return {
        "quantity": window.quantity,
        "entered_as": window.entered_as,
        "mode": window.mode or None,
        "unit": window.unit,
        "step": exact(window.step),
        "today": exact(window.today),
        "hard": _span_record(window.hard),
        "good": _span_record(window.good),
        "margin": None if margin is None else {"absolute": exact(margin), "share": window.share},
        "rules": list(map(_rule_record, window.rules)),
        "conflict": list(window.conflict),
        "flagged_regardless": list(window.flagged_regardless),
        "flagged_unless_off": list(window.flagged_unless_off),
        "not_checked": [
            {
                "rule": end.rule,
                "severity": end.severity,
                "side": end.side or None,
                "missing": list(end.missing),
            }
            for end in window.not_checked
        ],
        "depends_on": list(window.depends_on),
        **whose,
        **({"undecided": list(window.undecided)} if window.undecided else {}),
        **({"otherwise": _span_record(window.otherwise)} if window.otherwise else {}),
    }


def _rule_record(rule: RuleSpan) -> dict[str, Any]:
    ends = {"low": exact(rule.low), "high": exact(rule.high)}
    return {"rule": rule.rule, "severity": rule.severity, "mode": rule.mode or None, **ends}


def _span_record(span: Span | None) -> dict[str, Any] | None:
    return None if span is None else {"low": _end_record(span.low), "high": _end_record(span.high)}


def _end_record(end: End) -> dict[str, Any]:
    end_record = {"limit": exact(end.limit), "rule": end.rule, "mode": end.mode or None}
    return {**end_record, "severity": end.severity}
