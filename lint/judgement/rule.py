"""A rule: a bound on one quantity, or a condition, with its reason, remedy, source and examples."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from ..documents.frozen import frozen
from ..expressions.expression import Expression
from ..expressions.names import Subject

Severity = Literal["danger", "fault", "advice"]
Outcome = Literal["clear", "flagged", "not_checked", "out_of_scope"]
Bound = Literal["at_most", "at_least", "above", "below", "between", "flag_when"]
Stage = Literal["stand", "ride"]
Modes = Literal["each", "base", "any"]
Lower = Literal["order", "ability"]

SEVERITIES: tuple[Severity, ...] = ("danger", "fault", "advice")
STOPS: tuple[Severity, ...] = ("danger", "fault")  # nobody rides until these are seen to
STAGES: tuple[Stage, ...] = ("stand", "ride")  # what is fit for a ride is fit for the stand
BOUNDS: tuple[Bound, ...] = ("at_most", "at_least", "above", "below", "between", "flag_when")


class Example(NamedTuple):
    """What the rule is given and what it must answer."""

    given: Mapping[str, Any]
    outcome: Outcome
    severity: Severity | None = None


@frozen
class Tier:
    """A graver severity of a rule: beyond `low` or `high`, or where the condition `when` holds."""

    severity: Severity
    low: Expression | None
    high: Expression | None
    when: Expression | None
    because: str = ""
    waivable: bool = True

    @property
    def parts(self) -> tuple[Expression, ...]:
        """The expressions that decide whether the step is reached."""
        return tuple(part for part in (self.low, self.high, self.when) if part is not None)


@frozen
class Rule:
    """One rule, compiled once: `low` and `high` are its bounds, or `condition` says when it flags.

    `stage` says from when a finding counts, `gate` from when the rule may not stay unchecked, which
    holds where `gate_when` is not false. `needs` must be known for the rule to be clear. `steps` are
    graver severities further out. `yields_to` names rules that tell the same cause better. `modes`
    says whether base and each mode are judged, the base alone, or whether one that is clear will do.
    `reads` holds every quantity that its expressions name, `of` and `at` included; `judges` those
    that decide the base outcome, `tells` those that make the finding, without those that only say
    whether the rule applies. `step` is the entry step of what is judged, in its canonical unit.
    """

    id: str
    topic: str
    severity: Severity
    stage: Stage
    gate: Stage | None
    gate_when: Expression | None
    needs: tuple[str, ...]
    steps: tuple[Tier, ...]
    yields_to: tuple[str, ...]
    modes: Modes
    may_flag_lower: Lower | None
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
    instead: str
    source: str
    examples: tuple[Example, ...]
    reads: frozenset[str]
    judges: frozenset[str]
    tells: frozenset[str]
    step: float
    own: bool
    file: str

    @property
    def points_at(self) -> str | None:
        """The quantity at whose line a finding belongs."""
        return self.at or self.of

    def __hash__(self) -> int:
        """By what names it: its examples hold mappings, which have no hash."""
        return hash((self.id, self.file))

    @property
    def strict(self) -> bool:
        """True where a value on the limit is already flagged."""
        return self.bound in ("above", "below")

    @property
    def gravest(self) -> Severity:
        """The severity of its last step, or its own where it has none."""
        return self.steps[-1].severity if self.steps else self.severity
