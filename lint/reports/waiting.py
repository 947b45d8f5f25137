"""What could not be judged, told short: each gate with what it waits for, then what else wants."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ..judgement.finding import NotJudged
from .checked import modes_in_words

MOST = 6
GATES = "gates: no GO without them"


def wanted(one: NotJudged) -> str:
    """What a rule waits for: quantities to give, or the reason why it cannot be worked out."""
    return " and ".join(one.missing) if one.missing else one.reason or "a value"


def amount(waiting: Sequence[NotJudged]) -> str:
    """How many rules wait, and how many of them are gates."""
    rules, gates = len(waiting), sum(one.rule.gate for one in waiting)
    counted = f"{rules} rule{'' if rules == 1 else 's'}"
    if not gates:
        return f"{counted}, for want of a value."
    share = "" if gates == rules else f"{gates} of them "
    return f"{counted}, {share}{'a gate: no GO without it' if gates == 1 else GATES}."


def details(waiting: Sequence[NotJudged], most: int = MOST) -> list[tuple[str, str]]:
    """Lines with a label: the gates, then the quantities that most other rules wait for."""
    gates = [one for one in waiting if one.rule.gate]
    others = [one for one in waiting if not one.rule.gate]
    lines = [("gate", f"{one.rule.id}{_mode(one)} waits for {wanted(one)}") for one in gates]
    wants = Counter(name for one in others for name in one.missing)
    if wants:
        lines.append(("wanting", _wants(wants, most)))
    reasons = sorted({f"{one.rule.id}: {one.reason}" for one in others if not one.missing})
    return lines + [("because", reason) for reason in reasons[:most]]


def _mode(one: NotJudged) -> str:
    return f" {modes_in_words(one.modes, False)}" if one.modes else ""


def _wants(wants: Counter[str], most: int) -> str:
    """The missing quantities, those first that most rules wait for."""
    ordered = sorted(wants.items(), key=lambda want: (-want[1], want[0]))
    said = [
        f"{name} ({count}\u00a0rule{'' if count == 1 else 's'})" for name, count in ordered[:most]
    ]
    more = len(ordered) - most
    return ", ".join(said) + (f", and {more} more" if more > 0 else "")
