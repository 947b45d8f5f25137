"""What the check says of riding a vehicle, told before its figures: they are worked out of any profile."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..judgement.finding import Finding, Judgement, Verdict
from ..judgement.rule import STOPS
from ..judgement.untried import untried_titles
from ..judgement.verdict import fitness, reached
from .check_totals import TONES, VERDICT_WORDS
from .section import Code, Line, Row, Toned, row

NOT_FOR_RIDING: dict[Verdict, str] = {
    "no-go": "these figures are not for riding",
    "incomplete": "not yet for riding",
    "go-with-waivers": "a danger is waived, not mended",
}


def gravest_of(judgement: Judgement) -> Finding | None:
    """The gravest finding that keeps the vehicle off the road; of a ride over a waived danger, that."""
    counted = [one for one in judgement.findings if reached(one.rule.stage, "ride")]
    standing = [one for one in counted if one.severity in STOPS and not one.waived]
    waived = [one for one in counted if one.severity == "danger" and one.waived]
    return next(iter(standing or waived), None)


def verdict_rows(judgement: Judgement, file: str) -> Iterator[Row]:
    """That the figures are not for riding, why, and where the rest is told; of a GO what nobody tried."""
    verdict = judgement.stages["ride"]
    if untried := untried_titles(judgement):
        yield row("never tried", f"{untried} (gonogo bringup)")
    if verdict == "go":
        return
    head = Toned(VERDICT_WORDS[verdict], TONES[verdict])
    said: list[Line] = [(head, f" for a ride: {NOT_FOR_RIDING[verdict]}")]
    worst = gravest_of(judgement)
    if worst is not None:
        said.append((Toned(worst.severity, worst.severity), f": {worst.message}"))
    elif verdict == "incomplete":
        said.append((fitness(judgement),))
    yield row("verdict", *said, ("all of it: ", Code(f"gonogo check {file}")))


def gravest_record(judgement: Judgement) -> dict[str, Any] | None:
    """The gravest finding as plain data; None where none stands against a ride."""
    worst = gravest_of(judgement)
    if worst is None:
        return None
    return {
        "rule": worst.rule.id,
        "severity": worst.severity,
        "message": worst.message,
        "waived": worst.waived is not None,
    }
