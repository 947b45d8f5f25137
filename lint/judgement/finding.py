"""What the judge says: findings, what it could not judge, and the verdict with its scope."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ..documents.given import Value
from ..documents.location import Place
from ..documents.profile import Profile, Waiver
from .rule import Rule, Severity

Verdict = Literal["go", "no-go", "incomplete"]


@dataclass(frozen=True, slots=True)
class Related:
    """A given quantity that a finding depends on, and where it stands."""

    quantity: str
    place: Place


@dataclass(frozen=True, slots=True)
class WorkingLine:
    """One worked quantity of a finding: `6 × 20 A` from `parallel × cell.continuous_A`."""

    quantity: str
    value: Value | None
    unit: str
    origin: str
    side: str
    formula: str
    numbers: str
    inputs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """A rule that flagged, at a place in a file; numbers are in the unit of the key as entered.

    `modes` is empty for the base settings; `everywhere` says that base and every mode agree.
    `of` names the quantity judged where it is not the one pointed at. `waived` holds the waiver
    that covers the finding.
    """

    rule: Rule
    severity: Severity
    modes: tuple[str, ...]
    everywhere: bool
    quantity: str
    entered_as: str
    of: str | None
    place: Place
    related: tuple[Related, ...]
    message: str
    because: str
    remedy: str
    value: Value | None
    low: float | None
    high: float | None
    unit: str
    margin: float | None
    share: float | None
    working: tuple[WorkingLine, ...]
    waived: Waiver | None = None


@dataclass(frozen=True, slots=True)
class NotChecked:
    """A rule that could not be checked, with the root quantities that are missing."""

    rule: Rule
    severity: Severity
    modes: tuple[str, ...]
    missing: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Judgement:
    """A profile judged: its verdict and all that led to it.

    `findings` holds waived ones too; `checked`, `out_of_scope` count rules over the base and modes.
    """

    profile: Profile
    verdict: Verdict
    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    checked: int
    out_of_scope: int
    judged_on: str

    @property
    def waived(self) -> int:
        """How many findings a waiver covers."""
        return sum(1 for finding in self.findings if finding.waived)
