"""What the judge says: findings, what it could not judge, and the verdict with its scope."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from ..documents.frozen import frozen
from ..documents.given import Value
from ..documents.known import KnownFinding
from ..documents.location import Place
from ..documents.profile import Profile, Waiver
from .rule import Rule, Severity, Stage


class HeldCount(NamedTuple):
    """How many of the settings to enter the controller was seen to hold."""

    held: int
    settings: int


Verdict = Literal["go", "go-with-waivers", "no-go", "incomplete"]
KnownState = Literal["recorded", "new", "worse"]


class KnownMark(NamedTuple):
    """How a finding, or a rule not checked, stands to the list of known findings.

    `recorded` is the day on which it was, `excess` how far beyond its limit it was then.
    """

    state: KnownState
    recorded: str | None = None
    excess: float | None = None


class KnownOutcome(NamedTuple):
    """What a list of known findings comes to for a vehicle; `verdict` leaves out what is recorded.

    Of what is recorded and no longer found, `mended` is corrected, `waived` has a waiver now, and of
    `unchecked` nobody can tell, since the rule is no longer checked; the rules of `off` apply no longer. `told_with` another finding is what
    yields to it. `answered` counts the required rules that could not be checked then and can be now.
    """

    file: str
    verdict: Verdict
    recorded: int = 0
    new: int = 0
    worse: int = 0
    waiting: int = 0
    waiting_new: int = 0
    answered: int = 0
    mended: tuple[KnownFinding, ...] = ()
    waived: tuple[KnownFinding, ...] = ()
    told_with: tuple[KnownFinding, ...] = ()
    unchecked: tuple[KnownFinding, ...] = ()
    off: tuple[KnownFinding, ...] = ()


@frozen
class Related:
    """A given quantity that a finding depends on, where it stands, and its key if another."""

    quantity: str
    place: Place
    entered_as: str = ""


@frozen
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


@frozen
class Grade:
    """One step of a finding's severity: from which limit on it is so grave, and whether it is now.

    Limits are in the unit of the key as entered; a step that depends on a condition has none.
    """

    severity: Severity
    low: float | None
    high: float | None
    reached: bool


@frozen
class Finding:
    """A rule that flagged, at a place in a file; numbers are in the unit of the key as entered.

    `modes` is empty for the base settings; `everywhere` says that base and every mode agree.
    `of` names the quantity judged where it is not the one pointed at. `low` and `high` are the rule's
    limits, `steps` its graver severities. `also` names rules that found the same cause and yielded.
    `waived` holds the waiver that covers the finding, which can only be where it is `waivable`. `advised`
    is the value that the remedy names for the key pointed at, in its unit. Of several motors, `motors`
    names those that it is about; none: it holds alike for all of them. `known` says how it stands to
    the list of known findings, if there is one. Where no value of a setting fits, `conflict` names the
    rules that leave none.
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
    steps: tuple[Grade, ...] = ()
    waivable: bool = True
    also: tuple[str, ...] = ()
    waived: Waiver | None = None
    advised: float | None = None
    motors: tuple[str, ...] = ()
    known: KnownMark | None = None
    conflict: tuple[str, ...] = ()


@frozen
class NotChecked:
    """A rule that could not be checked, with the root quantities that are missing.

    `gate` is the stage that waits for it, if one does; `known` says how that stands to the list of known
    findings, if there is one.
    """

    rule: Rule
    severity: Severity
    modes: tuple[str, ...]
    missing: tuple[str, ...]
    reason: str = ""
    gate: Stage | None = None
    known: KnownMark | None = None


@frozen
class Judgement:
    """A profile judged: the verdict of each stage and all that led to it.

    `findings` holds waived ones too; `checked` and `out_of_scope` count the rules that count for the
    stage asked for, each once for the base settings and all modes; `house_rules` counts the shop's own
    rules that held. `held` counts the settings that the controller was seen to hold, of those to
    enter; None where nothing was read back. `known` is what a list of known findings comes to.
    """

    profile: Profile
    stages: Mapping[Stage, Verdict]
    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    checked: int
    out_of_scope: int
    judged_on: str
    stage: Stage = "ride"
    house_rules: int = 0
    held: HeldCount | None = None
    known: KnownOutcome | None = None

    @property
    def verdict(self) -> Verdict:
        """The verdict of the stage asked for."""
        return self.stages[self.stage]

    @property
    def waived(self) -> int:
        """How many findings a waiver covers."""
        return sum(1 for finding in self.findings if finding.waived)
