"""A judgement held against the list of known findings: what is recorded, new, worse, or no longer found.

A finding is recorded if the list has its rule at its entry, in each of its modes, as grave and as far
beyond its limit at least. What is no longer found is corrected only if its rule is still checked, and applies.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import chain
from typing import Literal, NamedTuple

from ..documents.known import Known, KnownAsk, KnownFinding, KnownVehicle
from ..documents.profile import BASE, Profile
from ..documents.yaml_scalar import LARGEST_NUMBER
from ..judgement.catalogue import Catalogue
from ..judgement.finding import (
    Finding,
    Judgement,
    KnownMark,
    KnownOutcome,
    NotChecked,
    Verdict,
)
from ..judgement.rule import SEVERITIES, STOPS
from ..judgement.subject_record import record_in
from ..judgement.verdict import reached, verdict_of
from ..quantities.number import is_number, noise, tidy
from ..quantities.registry import affected
from .finding_change import JudgedSide
from .gone_inputs import RECORDS
from .margin import effective

LEAST_WORSE = 1e-9  # of any unit: as much as a list's decimals can leave out
GROWS_BY_ITSELF = (
    "days"  # what is measured in days grows by itself, with nothing changed on the vehicle
)


def recorded_finding(
    finding: Finding, profile: Profile, day: str, catalogue: Catalogue
) -> KnownFinding:
    """A finding as a list keeps it."""
    limit = _passed(finding)
    return KnownFinding(
        rule=finding.rule.id,
        severity=finding.severity,
        entry=record_in(finding, profile),
        recorded=day,
        modes=finding.modes,
        motors=finding.motors,
        value=_kept(tidy(finding.value)) if is_number(finding.value) else finding.value,
        unit=finding.unit,
        at_most=_kept(limit.end) if limit and limit.is_upper else None,
        at_least=_kept(limit.end) if limit and not limit.is_upper else None,
        excess=_kept(limit.excess) if limit else None,
        reads=tuple(_read(finding, profile, catalogue)),
    )


def _kept(number: float) -> float | None:
    """A number that a document can hold; without its size a finding stays worse than recorded."""
    return number if abs(number) < LARGEST_NUMBER else None


class _Passed(NamedTuple):
    """The end of a limit that a value has passed, and by how much."""

    end: float
    is_upper: bool
    excess: float


def _passed(finding: Finding) -> _Passed | None:
    """None where the rule has no limit, or nothing that can be held against one."""
    value, low, high = finding.value, finding.low, finding.high
    if not is_number(value) or finding.margin is None:
        return None
    is_upper = high is not None and (low is None or value >= high)
    end = high if is_upper else low
    assert end is not None
    return _Passed(tidy(end), is_upper, tidy(max(-finding.margin, 0.0)))


def _read(finding: Finding, profile: Profile, catalogue: Catalogue) -> Iterator[str]:
    """The entries of a profile that the rule of a finding reads, or the rules that conflict in it."""
    rule = finding.rule
    names = dict.fromkeys(chain(profile.givens, *(one.givens for one in profile.motors.values())))
    if rule.subject == "profile":
        yield from (name for name in names if _reaches(name, rule.reads))
    elif rule.subject in RECORDS:
        about = (finding.quantity, finding.entered_as)
        yield from (name for name in names if name in about)
    elif finding.conflict:
        conflict = [catalogue.rules[one].reads for one in finding.conflict]
        yield from (name for name in names if _reaches(name, frozenset().union(*conflict)))


def _reaches(name: str, reads: frozenset[str]) -> bool:
    return not affected(frozenset((name,))).isdisjoint(reads)


def with_known(
    judgement: Judgement, known: Known, file: str, catalogue: Catalogue, strict: bool = False
) -> Judgement:
    """A judgement with each finding held against a list; `file` is its path from the top of the shop."""
    profile = judgement.profile
    own_id = profile.value("vehicle.id")
    vehicle = known.of(file, own_id if isinstance(own_id, str) else None)
    findings = tuple(
        one if one.waived else replace(one, known=_mark(one, profile, vehicle.findings))
        for one in judgement.findings
    )
    waiting = tuple(
        replace(one, known=_ask_mark(one, vehicle.asks)) if one.gate else one
        for one in judgement.not_checked
    )
    marked = replace(judgement, findings=findings, not_checked=waiting)
    return replace(marked, known=_outcome(marked, known.file, vehicle, catalogue, strict))


def _mark(finding: Finding, profile: Profile, known: Sequence[KnownFinding]) -> KnownMark:
    """How a finding stands to what is recorded of its vehicle."""
    entry = record_in(finding, profile)
    alike = [
        one
        for one in known
        if (one.rule, one.entry) == (finding.rule.id, entry)
        and (not one.motors or (finding.motors and set(finding.motors) <= set(one.motors)))
    ]
    held: list[KnownFinding] = []
    for mode in finding.modes or (BASE,):
        of_mode = [one for one in alike if mode in (one.modes or (BASE,))]
        # A mode without a record of its own rode as the base settings do.
        of_mode = of_mode or [one for one in alike if not one.modes]
        if not of_mode:
            return KnownMark("new")
        held.append(next((one for one in of_mode if not is_worse(finding, one)), of_mode[0]))
    last = max(held, key=lambda one: one.recorded)
    worse = any(is_worse(finding, one) for one in held)
    return KnownMark("worse" if worse else "recorded", last.recorded, last.excess)


def is_worse(finding: Finding, known: KnownFinding) -> bool:
    """Whether a finding is graver or further out than it was recorded, or out on the other side.

    Sizes in two units cannot be held against each other, and count as worse.
    """
    if severity_rank(finding.severity) < severity_rank(known.severity):
        return True
    now = _passed(finding)
    if now is None or known.excess is None:
        return (now is None) != (known.excess is None)
    if finding.unit == known.unit == GROWS_BY_ITSELF:
        return False
    if finding.unit != known.unit or now.is_upper != (known.at_most is not None):
        return True
    assert is_number(finding.value)
    slack = max(noise(finding.value, now.end), LEAST_WORSE)
    return now.excess > known.excess + slack


def severity_rank(severity: str) -> int:
    return [*map(str, SEVERITIES)].index(severity)


def _ask_mark(entry: NotChecked, asks: Iterable[KnownAsk]) -> KnownMark:
    """A required rule is known not to be checked if it lacks nothing that it did not lack then."""
    for ask in asks:
        if ask.rule == entry.rule.id and set(entry.missing) <= set(ask.missing):
            return KnownMark("recorded", ask.recorded)
    return KnownMark("new")


def _outcome(
    judgement: Judgement, file: str, vehicle: KnownVehicle, catalogue: Catalogue, strict: bool
) -> KnownOutcome:
    """What a list comes to for the stage asked for."""
    gone = _no_longer_found(judgement, vehicle.findings, catalogue)
    states = [one.known.state for one in judgement.findings if one.known is not None]
    gates = {one.rule.id: one.known for one in judgement.not_checked if one.known is not None}
    unknown = {name for name, mark in gates.items() if mark.state == "new"}
    return KnownOutcome(
        file=file,
        verdict=_apart(judgement, gone.unchecked, catalogue, strict),
        recorded=states.count("recorded"),
        new=states.count("new"),
        worse=states.count("worse"),
        waiting=len(gates) - len(unknown),
        waiting_new=len(unknown),
        answered=len({ask.rule for ask in vehicle.asks}.difference(gates)),
        mended=gone.mended,
        waived=gone.waived,
        told_with=gone.told_with,
        unchecked=gone.unchecked,
        off=gone.off,
    )


def _apart(
    judgement: Judgement, unchecked: Iterable[KnownFinding], catalogue: Catalogue, strict: bool
) -> Verdict:
    """The verdict without what is recorded; what was grave and is no longer checked still refuses."""
    for one in unchecked:
        rule = catalogue.rules.get(one.rule)
        counts = rule is None or reached(rule.stage, judgement.stage)
        if counts and (strict or one.severity in STOPS):
            return "no-go"
    return verdict_of(
        judgement.stage,
        [one for one in judgement.findings if not _is_recorded(one.known)],
        [one for one in judgement.not_checked if not _is_recorded(one.known)],
        strict,
    )


def _is_recorded(mark: KnownMark | None) -> bool:
    return mark is not None and mark.state == "recorded"


class _Gone(NamedTuple):
    """What is recorded and no longer found, by what became of it."""

    mended: tuple[KnownFinding, ...] = ()
    waived: tuple[KnownFinding, ...] = ()
    told_with: tuple[KnownFinding, ...] = ()
    unchecked: tuple[KnownFinding, ...] = ()
    off: tuple[KnownFinding, ...] = ()


def _no_longer_found(
    judgement: Judgement, known: Iterable[KnownFinding], catalogue: Catalogue
) -> _Gone:
    profile = judgement.profile
    standing = {(one.rule.id, record_in(one, profile)) for one in judgement.findings if one.known}
    waived = {(one.rule.id, record_in(one, profile)) for one in judgement.findings if one.waived}
    yielded = {name for one in judgement.findings for name in one.also}
    gone = [one for one in known if (one.rule, one.entry) not in standing]
    if not gone:
        return _Gone()
    under_waiver = tuple(one for one in gone if (one.rule, one.entry) in waived)
    told_with = tuple(one for one in gone if one not in under_waiver and one.rule in yielded)
    rest = [one for one in gone if one not in under_waiver and one not in told_with]
    again = _Again(judgement, catalogue)
    became = [(one, again.became(one)) for one in rest]
    mended, unchecked, off = (
        tuple(one for one, way in became if way == asked)
        for asked in ("corrected", "unchecked", "off")
    )
    return _Gone(mended, under_waiver, told_with, unchecked, off)


class _Again:
    """A second look at a vehicle for what became of findings that are gone."""

    def __init__(self, judgement: Judgement, catalogue: Catalogue) -> None:
        self.judgement = judgement
        self.catalogue = catalogue

    def became(self, one: KnownFinding) -> Literal["corrected", "unchecked", "off"]:
        """Whether a finding was corrected, nobody can tell, or its rule applies no longer."""
        rule = self.catalogue.rules.get(one.rule)
        if rule is None or any(entry.rule.id == one.rule for entry in self.judgement.not_checked):
            return "unchecked"
        lacks = bool(_left_out(one.reads, self.judgement.profile))
        if rule.subject != "profile":
            return "unchecked" if lacks else "corrected"
        if not self._is_off(one):
            return "corrected"
        return "unchecked" if lacks else "off"

    def _is_off(self, one: KnownFinding) -> bool:
        rulings = [
            effective(hearing, mode, one.rule)
            for hearing in self._side.hearings.values()
            for mode in one.modes or (BASE,)
        ]
        return all(ruling is None or ruling.outcome == "out_of_scope" for ruling in rulings)

    @cached_property
    def _side(self) -> JudgedSide:
        from .judged_side import judged_side  # late: only what has vanished needs a second look

        return judged_side(self.judgement.profile, self.catalogue, self.judgement.judged_on)


def _left_out(names: Iterable[str], profile: Profile) -> list[str]:
    """Which entries a profile no longer gives, not even as `none`."""
    each = (profile, *profile.motors.values())
    given = {name for one in each for name in one.givens}
    absent = {name for one in each for name in one.absent}
    return [
        name
        for name in names
        if name not in given and not any(f"{name}.".startswith(f"{none}.") for none in absent)
    ]
