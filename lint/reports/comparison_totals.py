"""What a comparison came to: each vehicle's share of the report, and what could not be read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from ..comparison.comparison import Comparison
from ..comparison.finding_change import WAYS, FindingChange, Way
from ..comparison.followup import FollowUp
from ..comparison.harm_sources import Harm
from ..comparison.known_additions import KnownAddition
from ..comparison.loosening import Loosening
from ..documents.text import cut
from ..judgement.finding import Judgement
from ..judgement.rule import SEVERITIES, STOPS, Severity
from .changed_sources import SourceChange
from .check_totals import Unread
from .comparison_words import change_in_words, change_movement
from .profile_share import Share, share

CeasedAs = Literal["gone", "no_profile", "retired"]
CEASED_WORDS: Mapping[CeasedAs, str] = {
    "gone": "GONE",
    "no_profile": "NO LONGER A PROFILE",
    "retired": "RETIRED",
}
MISSED: tuple[CeasedAs, ...] = ("gone", "no_profile")

UNFLAGGED = "no longer flagged as such: a rule was changed"
WAY_WORDS: Mapping[Way, str] = {
    "introduced": "new",
    "worsened": "worse",
    "resolved": "resolved",
    "standing": "unchanged",
}


@dataclass(frozen=True, slots=True)
class Revised:
    """One vehicle's share of a comparison; plain data, so that another process can hand it over.

    `old` and `new` are None where a side is not there; `unread` says why the old side could not be
    read. `found` counts findings by way and severity, waived ones left out; `unchecked` those of them
    that are only no longer checked, `unflagged` those that went, or are less grave, since a rule of the
    shop was changed, `waived_here` those that got their waiver here, `waived_longer` those whose waiver
    was prolonged; `lost`, `waived_rules` and `waived_longer_rules` name their rules, the gravest first,
    and `hidden_rules` the required ones that are no longer checked; `waives` says that one came, was prolonged, or accepts more. `ceased` says what became of
    a vehicle that is gone, and `why` how that is known; `returned` that the shop had parted with it.
    `brought` has the new and worse findings by severity and rule, the gravest first; it is `calm` where
    the verdict stands, nothing came to be unchecked or waived, and no more than advice came or went. It is
    `let_off` where it would be calm, but for findings that go by a change of the shop's rules. `sources` are
    the changes made in files of several, and `harm` says by name what each of those files brought; `own`
    has the other changes in words, `work` what is to be done for all of them; `moved` says from where to
    where the file went. `uncovered` counts by class the grave failures that nothing catches any more;
    `harms_by_finding` says that a finding harms besides. `loosened` is what its shop asks less of it.
    """

    old: Share | None
    new: Share | None
    found: Mapping[Way, Mapping[Severity, int]]
    changed: int
    empty: bool
    harms: bool
    hides: bool
    unread: str
    body: Any
    unchecked: Mapping[Severity, int] = field(default_factory=dict)
    unflagged: Mapping[Severity, int] = field(default_factory=dict)
    waived_here: Mapping[Severity, int] = field(default_factory=dict)
    waived_longer: Mapping[Severity, int] = field(default_factory=dict)
    lost: tuple[str, ...] = ()
    waived_rules: tuple[str, ...] = ()
    waived_longer_rules: tuple[str, ...] = ()
    hidden_rules: tuple[str, ...] = ()
    waives: bool = False
    ceased: CeasedAs | None = None
    why: str = ""
    returned: bool = False
    brought: tuple[tuple[Severity, str], ...] = ()
    calm: bool = False
    let_off: bool = False
    sources: tuple[SourceChange, ...] = ()
    harm: Mapping[str, Harm] = field(default_factory=dict)
    own: tuple[str, ...] = ()
    work: tuple[FollowUp, ...] = ()
    moved: str = ""
    uncovered: Mapping[str, int] = field(default_factory=dict)
    harms_by_finding: bool = False
    loosened: tuple[Loosening, ...] = ()

    @property
    def is_missing(self) -> bool:
        """Whether a vehicle is gone that nobody has retired."""
        return self.ceased in MISSED

    @property
    def is_unknown(self) -> bool:
        """Whether nobody can tell what a vehicle was that stands there now."""
        return bool(self.unread or (self.why and self.old is None))

    @property
    def side(self) -> Share:
        """The new side, or the old one of a vehicle that is gone."""
        side = self.new or self.old
        assert side is not None
        return side


@dataclass(frozen=True, slots=True)
class Compared:
    """Everything that a report of a comparison says.

    `against` is the revision of a whole tree's comparison, None for two sides; `unchanged` counts
    the profiles that were looked at and left out, `broken` those that changed and cannot be read now.
    `known_added` is what the change put on lists of known findings, `left_out` has the profiles that a
    sparse clone keeps from the disk.
    """

    judged_on: str
    tool: str
    catalogue: str
    against: str | None
    threshold: float
    revised: tuple[Revised, ...]
    unchanged: int
    unread: tuple[Unread, ...]
    broken: int = 0
    known_added: tuple[KnownAddition, ...] = ()
    left_out: tuple[str, ...] = ()

    @property
    def on_both_sides(self) -> int:
        """How many vehicles there are before and after."""
        return sum(one.old is not None and one.new is not None for one in self.revised)

    @property
    def records_harm(self) -> bool:
        """Whether the change put a danger or fault on a list of known findings."""
        return any(one.severity in STOPS for one in self.known_added)


def revised(
    comparison: Comparison,
    body: Any,
    unread: str = "",
    sources: tuple[SourceChange, ...] = (),
    harm: Mapping[str, Harm] | None = None,
) -> Revised:
    """A comparison cut down to what the report keeps of it."""
    return Revised(
        old=_side(comparison.old),
        new=_side(comparison.new),
        found={way: _by_severity(_seen(comparison, way)) for way in WAYS},
        changed=len(comparison.made),
        empty=comparison.is_empty,
        harms=comparison.harms,
        hides=comparison.hides,
        unread=unread,
        body=body,
        unchecked=_by_severity(comparison.unchecked),
        unflagged=_by_severity_before(comparison.unflagged),
        waived_here=Counter(change.finding.severity for change in comparison.waived_here),
        waived_longer=Counter(change.finding.severity for change in comparison.waived_longer),
        lost=_rules(comparison.unchecked),
        waived_rules=_rules(comparison.waived_here),
        waived_longer_rules=_rules(comparison.waived_longer),
        hidden_rules=tuple(
            dict.fromkeys(one.rule.id for one in comparison.waiting.introduced if one.gate)
        ),
        waives=comparison.waives,
        brought=_brought(comparison),
        calm=_is_calm(comparison),
        let_off=_is_let_off(comparison),
        sources=sources,
        harm=dict(harm or {}),
        own=_own(comparison, sources),
        work=comparison.follow_ups,
        uncovered=Counter(one.failure.severity for one in comparison.uncovered),
        harms_by_finding=comparison.harms_by_finding,
        loosened=comparison.loosened,
    )


def _own(comparison: Comparison, sources: Iterable[SourceChange]) -> tuple[str, ...]:
    """The changes that were made in no file of several, each with both values."""
    elsewhere = {(change.entry, change.told) for change in sources}
    return tuple(
        cut(change_in_words(change))
        for change in comparison.made
        if (change.entered_as, change_movement(change)) not in elsewhere
    )


def _brought(comparison: Comparison) -> tuple[tuple[Severity, str], ...]:
    """The findings that are new or worse and that no waiver covers, each rule once."""
    found = [
        (change.finding.severity, change.finding.rule.id)
        for change in comparison.finding_changes
        if change.way in ("introduced", "worsened") and not change.finding.waived
    ]
    return tuple(dict.fromkeys(sorted(found, key=lambda one: SEVERITIES.index(one[0]))))


def _rules(changes: Iterable[FindingChange]) -> tuple[str, ...]:
    """The rules of some findings, the gravest first, each once."""
    graded = sorted(changes, key=lambda change: SEVERITIES.index(change.finding.severity))
    return tuple(dict.fromkeys(change.finding.rule.id for change in graded))


def _is_calm(comparison: Comparison) -> bool:
    """Whether the verdicts stand, and nothing but advice came or went, checked and not waived."""
    old, new = comparison.old, comparison.new
    if old is None or new is None or old.stages != new.stages or old.stage != new.stage:
        return False
    return not (comparison.waiting.introduced or comparison.uncovered) and not any(
        change.is_unchecked
        or change.is_unflagged
        or change.is_waived_here
        or change.is_waived_further
        or (change.way != "standing" and change.finding.severity in STOPS)
        for change in comparison.finding_changes
    )


def _is_let_off(comparison: Comparison) -> bool:
    """Whether findings went by the shop's own rules, and nothing but advice came or went besides."""
    if comparison.old is None or comparison.new is None:
        return False
    if comparison.waiting.introduced or comparison.uncovered:
        return False
    rest = [change for change in comparison.finding_changes if not change.is_let_off]
    return len(rest) < len(comparison.finding_changes) and not any(
        change.is_unchecked
        or change.is_waived_here
        or (change.way != "standing" and change.finding.severity in STOPS)
        for change in rest
    )


def _seen(comparison: Comparison, way: Way) -> tuple[FindingChange, ...]:
    """The findings of a way; resolved are only those that are neither lost from sight nor let off."""
    changes = comparison.of_way(way)
    return tuple(change for change in changes if way != "resolved" or change.is_resolved)


def _side(judgement: Judgement | None) -> Share | None:
    """A side has no body of its own: the comparison has one for both."""
    return None if judgement is None else share(judgement)


def _by_severity(changes: tuple[FindingChange, ...]) -> dict[Severity, int]:
    """Findings by severity, waived ones left out."""
    amounts = Counter(change.finding.severity for change in changes if not change.finding.waived)
    return {severity: amounts[severity] for severity in SEVERITIES if amounts[severity]}


def _by_severity_before(changes: tuple[FindingChange, ...]) -> dict[Severity, int]:
    """Findings by the severity that they had, those left out that were waived."""
    were = [change.old for change in changes if change.old is not None and not change.old.waived]
    amounts = Counter(was.severity for was in were)
    return {severity: amounts[severity] for severity in SEVERITIES if amounts[severity]}
