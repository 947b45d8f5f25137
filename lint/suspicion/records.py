"""Records beside the entries: the part that one lies over, the controller read back, the revision before.

Each says once more what an entry is. Where it says otherwise that is a finding, and a value to try.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..documents.given import Value
from ..documents.profile import BASE, Profile
from ..expressions.names import Subject
from ..judgement.catalogue import Catalogue
from ..judgement.document_rules import READ_BACK_ENTRIES, paperwork
from ..judgement.evaluation import Hearing
from ..judgement.finding import Finding
from ..judgement.read_back import read_backs
from ..quantities.number import is_number
from .hypotheses import Elsewhere

SUBJECTS: tuple[Subject, ...] = ("override", "entered")
_READ_BACK = "readings.entered.values."


def has_records(profile: Profile) -> bool:
    """Whether a part or the controller says once more what an entry is."""
    owners = (profile, *profile.motors.values())
    return any(
        own.overrides or not READ_BACK_ENTRIES.isdisjoint(own.givens.keys()) for own in owners
    )


def record_findings(
    hearing: Hearing, catalogue: Catalogue, judged_on: str
) -> Iterator[tuple[str, Finding]]:
    """The findings about such records, each with the name of the entry that it is about."""
    for finding in paperwork(hearing, catalogue, judged_on, (), alone=False).findings:
        if finding.rule.subject in SUBJECTS:
            name = finding.quantity
            if name.startswith(_READ_BACK):
                name = f"settings.{name.removeprefix(_READ_BACK)}"
            yield name, finding


def elsewhere_of(hearing: Hearing, catalogue: Catalogue, before: Profile | None) -> Elsewhere:
    """What a profile of one motor is elsewhere: in its previous revision, its parts, its controller."""
    profile = hearing.profile
    parts = {
        (one.quantity, BASE): one.part_value
        for one in profile.overrides
        if one.part_value not in (None, "none", "fitted")
    }
    shown: dict[tuple[str, str], Value] = {}
    if not READ_BACK_ENTRIES.isdisjoint(profile.givens.keys()):
        for read in read_backs(hearing, catalogue):
            if read.held or read.wanted is None:
                continue
            if not is_number(read.shows):
                shown[read.quantity, read.mode] = read.shows
            elif is_number(read.wanted):
                shown[read.quantity, read.mode] = read.field.means(float(read.shows))
    return {
        "previous": {} if before is None else _values(before),
        "part": {key: value for key, value in parts.items() if value is not None},
        "read_back": shown,
    }


def _values(profile: Profile) -> Mapping[tuple[str, str], Value]:
    """What a profile gives in the base settings and in each mode."""
    layers = [(BASE, profile.givens), *profile.modes.items()]
    return {
        (name, mode): given.value
        for mode, givens in layers
        for name, given in givens.items()
        if given is not None and given.value is not None
    }
