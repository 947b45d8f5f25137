"""What would become of each vehicle if one value in a part or house file were another."""

from __future__ import annotations

from dataclasses import dataclass

from ..documents.profile import TriedValue
from ..judgement.finding import Finding, Verdict
from ..judgement.rule import SEVERITIES, Severity
from .comparison import Comparison
from .finding_change import FindingChange

# From the fittest to the least fit, as one would take a vehicle out.
FITTEST_FIRST: tuple[Verdict, ...] = ("go", "go-with-waivers", "incomplete", "no-go")


@dataclass(frozen=True, slots=True)
class NamedFinding:
    """A finding by its rule, how grave it is, where, and its sentence."""

    rule: str
    severity: Severity
    modes: tuple[str, ...]
    message: str


@dataclass(frozen=True, slots=True)
class WouldBe:
    """What a vehicle would come to: both verdicts, and findings by what would become of them.

    `hidden` are those that nobody could check any more, `unchecked` the required rules of which that
    would be so.
    """

    file: str
    name: str
    old: Verdict
    new: Verdict
    introduced: tuple[NamedFinding, ...]
    worsened: tuple[NamedFinding, ...]
    gone: tuple[NamedFinding, ...]
    hidden: tuple[NamedFinding, ...]
    unchecked: tuple[str, ...]
    harms: bool

    @property
    def is_worse(self) -> bool:
        """Whether the verdict falls, a danger or fault is new, worse or hidden, or a check is lost."""
        falls = FITTEST_FIRST.index(self.new) > FITTEST_FIRST.index(self.old)
        return falls or self.harms or bool(self.unchecked)

    @property
    def is_same(self) -> bool:
        """Whether nothing would become of it."""
        moved = self.introduced or self.worsened or self.gone or self.hidden or self.unchecked
        return self.old == self.new and not moved


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A value that was tried in one file, and what every vehicle would come to, the worst first."""

    tried: TriedValue
    outcomes: tuple[WouldBe, ...]


def would_be(comparison: Comparison) -> WouldBe:
    """What a comparison of a vehicle as it is and as it would be says of it."""
    old, new = comparison.old, comparison.new
    assert old is not None and new is not None
    gone = [one for one in comparison.of_way("resolved") if not one.is_unchecked]
    return WouldBe(
        new.profile.file,
        new.profile.name,
        old.verdict,
        new.verdict,
        _named(comparison.of_way("introduced")),
        _named(comparison.of_way("worsened")),
        _named(tuple(gone)),
        _named(comparison.unchecked),
        tuple(dict.fromkeys(one.rule.id for one in comparison.waiting.introduced if one.gate)),
        any(one.harms and not one.is_unflagged for one in comparison.finding_changes),
    )


def _named(changes: tuple[FindingChange, ...]) -> tuple[NamedFinding, ...]:
    return tuple(_by_name(one.finding, one) for one in changes)


def _by_name(finding: Finding, change: FindingChange) -> NamedFinding:
    modes = () if change.everywhere else change.modes
    return NamedFinding(finding.rule.id, finding.severity, modes, finding.message)


def worst_outcome_first(one: WouldBe) -> tuple[object, ...]:
    """Those that become worse, by the gravest finding that is new; then those that only change."""
    new = (*one.introduced, *one.worsened, *one.hidden)
    gravest = min((SEVERITIES.index(each.severity) for each in new), default=len(SEVERITIES))
    return not one.is_worse, -FITTEST_FIRST.index(one.new), gravest, one.is_same, one.file
