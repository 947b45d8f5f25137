"""A rule: a bound on one quantity, or a condition, with its reason, remedy, source and examples."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from .expression import Expression

Severity = Literal["danger", "fault", "advice"]
Outcome = Literal["clear", "flagged", "not_checked", "out_of_scope"]
Bound = Literal["at_most", "at_least", "above", "below", "between", "flag_when"]
Subject = Literal["profile", "waiver", "override", "required", "document", "window"]

SEVERITIES: tuple[Severity, ...] = ("danger", "fault", "advice")
STOPS: tuple[Severity, ...] = ("danger", "fault")  # nobody rides until these are seen to
BOUNDS: tuple[Bound, ...] = ("at_most", "at_least", "above", "below", "between", "flag_when")


class Example(NamedTuple):
    """What the rule is given and what it must answer."""

    given: Mapping[str, Any]
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule, compiled once: `low` and `high` are its bounds, or `condition` says when it flags.

    `reads` holds every quantity that its expressions name, `of` and `at` included; `tells` those of
    them that make the finding, without those that only say whether the rule applies. `step` is the
    entry step of what is judged, in its canonical unit. `base_only` marks one that
    compares a reading taken in the base settings, so that modes do not matter.
    """

    id: str
    topic: str
    severity: Severity
    gate: bool
    waivable: bool
    subject: Subject
    bound: Bound
    of: str | None
    at: str | None
    low: Expression | None
    high: Expression | None
    condition: Expression | None
    applies: Expression | None
    says: str
    because: str
    remedy: str
    source: str
    examples: tuple[Example, ...]
    reads: frozenset[str]
    tells: frozenset[str]
    step: float
    own: bool
    file: str
    base_only: bool = False

    @property
    def points_at(self) -> str | None:
        """The quantity at whose line a finding belongs."""
        return self.at or self.of

    @property
    def strict(self) -> bool:
        """True where a value on the limit is already flagged."""
        return self.bound in ("above", "below")
