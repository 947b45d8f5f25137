"""The rehearsal as plain data, and its numbers in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..documents.given import Value
from ..expressions.formatting import shown
from ..judgement.finding import Judgement
from ..judgement.verdict import ask_of
from ..quantities.number import is_number
from ..quantities.operand import NO_LESS, NO_MORE
from ..rehearsal.rehearse import Failure, FailureEffect, rehearsal_outcome
from .record import exact
from .ride_verdict import gravest_record

REHEARSAL_EDITION = "rehearsal/1"
SIDES = {NO_MORE: "at most ", NO_LESS: "at least "}
THOUSAND_ms = 1000.0


def record(rehearsed: Mapping[str, Sequence[Failure]], judgement: Judgement) -> dict[str, Any]:
    """The failures of each mode as plain data, with the profile's verdict."""
    return {
        "gonogo": REHEARSAL_EDITION,
        "file": judgement.profile.file,
        "name": judgement.profile.name,
        "outcome": rehearsal_outcome(rehearsed.values()),
        "verdict": judgement.stages["ride"],
        "gravest": gravest_record(judgement),
        "failures": [
            failure_record(failure) for failures in rehearsed.values() for failure in failures
        ],
    }


def failure_record(failure: Failure) -> dict[str, Any]:
    """One failure: what it does, what catches it within what time, how grave it is."""
    return {
        "failure": failure.failure,
        "title": failure.title,
        "mode": failure.mode or None,
        "motor": failure.motor or None,
        "happens": failure.happens,
        "effect": [_effect_record(one) for one in failure.effect],
        "caught_by": failure.caught_by,
        "caught": failure.caught or None,
        "within_ms": _rounded(failure.within_ms),
        "basis": failure.basis or None,
        "assumed": failure.assumed or None,
        "severity": failure.severity,
        "grounds": failure.grounds,
        "detection": failure.detection,
        "covered": failure.covered,
        "missing": list(failure.missing),
        "do": None if failure.covered else next_step(failure),
        "source": failure.source,
    }


def _effect_record(effect: FailureEffect) -> dict[str, Any]:
    return {
        "quantity": effect.quantity,
        "title": effect.title,
        "value": _rounded(effect.value),
        "unit": effect.unit,
        "after_ms": _rounded(effect.after_ms),
        "side": effect.side,
        "missing": list(effect.missing),
        "why": effect.reason or None,
    }


def _rounded(value: Value | None) -> Any:
    """A number as far as it says anything: six digits."""
    return exact(float(f"{value:.6g}")) if is_number(value) else exact(value)


def next_step(failure: Failure) -> str:
    """What to do about a failure that nothing is known to catch."""
    if failure.covered is False or not failure.missing:
        return failure.do
    asks = "; ".join(map(ask_of, failure.missing))
    return f"{asks[0].upper()}{asks[1:]}."


def effect_words(effect: FailureEffect) -> str:
    """A quantity with its value and the time after which it is there.

    >>> effect_words(FailureEffect("controller.max_V", "bus voltage", 100.0, "V", 1.6))
    'bus voltage 100 V after 1.6 ms'
    """
    return f"{effect.title} {number_words(effect)}"


def number_words(effect: FailureEffect) -> str:
    """The value of a quantity, and the time after which it is there."""
    side = SIDES.get(effect.side, "")
    value = effect.value
    number = shown(float(f"{value:.3g}") if is_number(value) else value, effect.unit)
    return f"{side}{number}{time_words(effect.after_ms, ' after ')}"


def time_words(time_ms: float | None, before: str = "") -> str:
    """A time as people say it; empty where there is none.

    >>> time_words(0.2934), time_words(1500.0), time_words(0.0), time_words(None)
    ('0.29 ms', '1.5 s', '', '')
    """
    if not time_ms:
        return ""
    if time_ms >= THOUSAND_ms:
        return f"{before}{shown(float(f'{time_ms / THOUSAND_ms:.2g}'), 's')}"
    return f"{before}{shown(float(f'{time_ms:.2g}'), 'ms')}"
