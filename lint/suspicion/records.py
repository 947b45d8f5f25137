"""Records beside the entries: the part that one lies over, the controller read back, the revision before.

Each says once more what an entry is. Where it says otherwise that is a finding, and a value to try.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from ..documents.given import Value
from ..documents.profile import BASE, Profile
from ..documents.schema import properties
from ..expressions.names import Subject
from ..judgement.catalogue import Catalogue
from ..judgement.document_rules import READ_BACK_ENTRIES, paperwork
from ..judgement.evaluation import Hearing
from ..judgement.read_back import read_backs
from ..judgement.rule import Severity
from ..quantities.number import is_number
from .hypotheses import Elsewhere
from .sites import Change

SUBJECTS: tuple[Subject, ...] = ("override", "entered")
HELD_RULE = "entered-value-differs"
_READ_BACK = "readings.entered.values."
_AGREES = 0.01
_ONE = ""  # the name of the motor where there is one
_OF_EACH = ("settings.direction", "readings.")  # what motors on either side may not have alike


class RecordFlag(NamedTuple):
    """A finding about a record: its rule, how grave, and the quantity that the record is about."""

    rule: str
    severity: Severity
    quantity: str


class Records:
    """What a part and the controller say of a profile's entries, asked once for all hypotheses.

    An entry that is changed agrees with its record where it is what that says, as far as a hundredth;
    one that the controller was seen to hold and that is changed agrees no more.
    """

    def __init__(
        self, hearing: Hearing, catalogue: Catalogue, judged_on: str, elsewhere: Elsewhere
    ) -> None:
        self.flags: tuple[RecordFlag, ...] = ()
        said = {**elsewhere.get("part", {}), **elsewhere.get("read_back", {})}
        self._said = {(name, mode): value for (name, mode, _), value in said.items()}
        self._held: frozenset[tuple[str, str]] = frozenset()
        profile = hearing.profile
        read = not READ_BACK_ENTRIES.isdisjoint(profile.givens.keys())
        if not (read or profile.overrides):
            return
        self.flags = tuple(_record_flags(hearing, catalogue, judged_on))
        if read:
            every = read_backs(hearing, catalogue)
            self._held = frozenset((one.quantity, one.mode) for one in every if one.held)

    def then(self, changes: Iterable[Change]) -> Iterator[RecordFlag]:
        """The findings about records that stand once some entries are otherwise."""
        moved = {change.site.quantity: change for change in changes}
        for flag in self.flags:
            change = moved.get(flag.quantity)
            if change is None or not self._agrees(change):
                yield flag
        for name, change in moved.items():
            if (name, change.site.mode) in self._held:
                yield RecordFlag(HELD_RULE, "fault", name)

    def _agrees(self, change: Change) -> bool:
        said = self._said.get((change.site.quantity, change.site.mode))
        value = change.given.value
        if is_number(said) and is_number(value):
            return abs(value - said) <= _AGREES * abs(said)
        return said == value


def _record_flags(hearing: Hearing, catalogue: Catalogue, judged_on: str) -> Iterator[RecordFlag]:
    for finding in paperwork(hearing, catalogue, judged_on, (), alone=False).findings:
        if finding.rule.subject in SUBJECTS:
            name = finding.quantity
            if name.startswith(_READ_BACK):
                entry = properties().get(f"settings.{name.removeprefix(_READ_BACK)}")
                name = entry.quantity if entry is not None else name
            yield RecordFlag(finding.rule.id, finding.severity, name)


def elsewhere_of(hearing: Hearing, catalogue: Catalogue, before: Profile | None) -> Elsewhere:
    """What a profile of one motor is elsewhere: in its previous revision, its parts, its controller."""
    profile = hearing.profile
    parts = {
        (one.quantity, BASE, _ONE): one.part_value
        for one in profile.overrides
        if one.part_value not in (None, "none", "fitted")
    }
    shown: dict[tuple[str, str, str], Value] = {}
    if not READ_BACK_ENTRIES.isdisjoint(profile.givens.keys()):
        for read in read_backs(hearing, catalogue):
            if read.held or read.wanted is None:
                continue
            if not is_number(read.shows):
                shown[read.quantity, read.mode, _ONE] = read.shows
            elif is_number(read.wanted):
                shown[read.quantity, read.mode, _ONE] = read.field.means(float(read.shows))
    return {
        "previous": {} if before is None else _values(before),
        "part": {key: value for key, value in parts.items() if value is not None},
        "read_back": shown,
    }


def elsewhere_of_motors(profile: Profile, before: Profile | None) -> Elsewhere:
    """What the entries of several motors are elsewhere: in the previous revision, or of the other motor.

    The other motor says something where there are two.
    """
    names = list(profile.motors)
    twins = dict(zip(names, reversed(names), strict=True)) if len(names) == 2 else {}
    values = {name: _values(own, name) for name, own in profile.motors.items()}
    twin = {
        (quantity, mode, name): value
        for name, other in twins.items()
        for (quantity, mode, _), value in values[other].items()
        if not quantity.startswith(_OF_EACH)
    }
    known = {} if before is None else before.motors
    told = [_values(own, name) for name, own in known.items()]
    return {"previous": {key: value for one in told for key, value in one.items()}, "twin": twin}


def _values(profile: Profile, motor: str = _ONE) -> Mapping[tuple[str, str, str], Value]:
    """What a profile gives in the base settings and in each mode."""
    layers = [(BASE, profile.givens), *profile.modes.items()]
    return {
        (name, mode, motor): given.value
        for mode, givens in layers
        for name, given in givens.items()
        if given is not None and given.value is not None
    }
