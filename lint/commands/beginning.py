"""A profile that is begun: its text with careful first values, its verdict, and what to ask next."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from ..documents.error import DocumentErrors
from ..documents.repository import open_repository
from ..documents.schema import properties
from ..documents.template import TemplateValue, profile_text
from ..judgement.catalogue import Catalogue
from ..judgement.finding import Finding, Judgement, NotChecked
from ..judgement.first_ride import ALSO, first_ride
from ..judgement.mend import stops
from ..judgement.proposal import NOT_OF_THE_BUILD, FirstValues, Unfilled, proposals
from ..judgement.rule import SEVERITIES, STAGES
from ..judgement.site_rules import shop_of
from ..judgement.verdict import READINGS, in_order, open_gates, short_of
from .proposal import OpenedProfile, Proposal, drafted, proposed

HEADING = """\
Conservative first values, each with its reason. What is not entered yet is not
checked: `gonogo check` says what that is."""
UNFINISHED = """\
Unfinished: the questions were stopped before the stand was reached.
`gonogo check` says what is missing, `gonogo fill` proposes first values."""
READINGS_NOTE = """\
readings: taken on the stand, wheel clear of the ground, before the first ride
  throttle voltage at rest, at full and with each wire disconnected; temperatures cold and
  warm; pack voltage; direction of wheel rotation; no-load test; motor identification"""
_OF_PARTS = ("pack.", "controller.", "motor.", "throttle.")
_SETTINGS = "settings."
_VEHICLE = "vehicle."
_BOUNDS = ("km_h", "kg")  # units of what bounds a ride as a whole: its speeds, its masses


@dataclass(frozen=True, slots=True)
class Begun:
    """A new profile as it would be written, the settings that have no first value yet, the rules."""

    proposal: Proposal
    unfilled: list[Unfilled]
    catalogue: Catalogue


def begun(
    path: Path,
    values: Mapping[str, TemplateValue],
    judged_on: str,
    heading: str = HEADING,
    remembered: FirstValues | None = None,
    without: str = "",
) -> Begun:
    """The new profile with its first values, judged as if it were written.

    `remembered` are first values that were found after the answers before; `without` is a section
    of settings that gets none.

    Raises DocumentErrors where the values do not fit together or the shop has errors.
    """
    repository, inside = open_repository(path)
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    bare = profile_text(values, {}, heading, READINGS_NOTE).encode()
    draft = drafted(repository, inside, bare)
    settings, unfilled = proposals(draft, shop.catalogue, judged_on, remembered)
    if without:
        settings = [one for one in settings if not one.quantity.startswith(f"{without}.")]
        unfilled = [one for one in unfilled if not one.quantity.startswith(f"{without}.")]
    whole = {**values, **{setting.entered_as: setting.entered for setting in settings}}
    reasons = {setting.entered_as: setting.because for setting in settings}
    profile = OpenedProfile(path, repository, inside, b"", draft, shop.catalogue, judged_on)
    text = profile_text(whole, reasons, heading, READINGS_NOTE)
    return Begun(proposed(profile, text.encode()), unfilled, shop.catalogue)


def refuse_misfits(path: Path, values: Mapping[str, TemplateValue]) -> None:
    """Raise DocumentErrors where the values do not fit together."""
    repository, inside = open_repository(path)
    drafted(repository, inside, profile_text(values, {}, HEADING, READINGS_NOTE).encode())


Holding = NotChecked | Finding  # a rule that cannot be checked, or that flags a setting left out


@dataclass(frozen=True, slots=True)
class Want:
    """An entry that is missing, with the rules that wait for it.

    `is_direct` says that one of them reads it, and not only a setting whose first value depends on it.
    """

    name: str
    gates: tuple[Holding, ...]
    is_direct: bool


def wants_of_the_stand(new: Begun) -> list[Want]:
    """What the stand waits for, first what settles most; ties by severity, then as the schema has it.

    A setting stands for what its first value waits for.
    """
    waiting = {one.quantity: one.missing for one in new.unfilled}
    direct: dict[str, list[Holding]] = {}
    through: dict[str, list[Holding]] = {}
    for gate, names in _waiting_rules(new.proposal.judgement, waiting):
        for name in names:
            into = through if name.startswith(_SETTINGS) and waiting.get(name) else direct
            for root in _roots(name, waiting):
                into.setdefault(root, []).append(gate)
    wants = [
        Want(name, (*direct.get(name, ()), *through.get(name, ())), name in direct)
        for name in in_order([*direct, *through])
    ]
    return sorted(wants, key=_rank)


def _waiting_rules(
    judgement: Judgement, waiting: Mapping[str, tuple[str, ...]]
) -> Iterator[tuple[Holding, tuple[str, ...]]]:
    """What keeps the stand from its verdict, each with the entries that would settle it."""
    for gate in open_gates(judgement.not_checked, "stand"):
        yield gate, gate.missing
    for finding in stops(judgement):
        left_out = tuple(name for name in sorted(finding.rule.reads) if name in waiting)
        if left_out:
            yield finding, left_out


def _rank(want: Want) -> tuple[bool, bool, int, int]:
    """Labels before the meter; then what some rule reads itself, what most wait for, the gravest."""
    worst = min((SEVERITIES.index(gate.severity) for gate in want.gates), default=len(SEVERITIES))
    return want.name.startswith(READINGS), not want.is_direct, -len(want.gates), worst


def _roots(
    name: str, waiting: Mapping[str, tuple[str, ...]], seen: Iterable[str] = ()
) -> frozenset[str]:
    """What to answer for a name: itself, or what the first value of a setting waits for."""
    missing = waiting.get(name)
    if not name.startswith(_SETTINGS) or not missing or name in seen:
        return frozenset((name,)) if name in properties() else frozenset()
    return frozenset().union(*(_roots(one, waiting, (*seen, name)) for one in missing))


def wanted_for_a_ride(new: Begun, given: Collection[str]) -> list[str]:
    """What of the build a ride lacks, beyond the stand's; a setting stands for what it waits for.

    First how fast the vehicle may go and what it weighs, which no stage waits for and which bounds
    the settings, where that is not among the entries `given`; then what first values wait for, and
    last what else draws from the pack.
    """
    waiting = {one.quantity: one.missing for one in new.unfilled}
    short = [
        name for stage in STAGES for name in short_of(new.proposal.judgement.not_checked, stage)
    ]
    lacking = frozenset[str]().union(*(_roots(name, waiting) for name in short))
    of_the_build = in_order(name for name in lacking if not name.startswith(NOT_OF_THE_BUILD))
    wanted_first = {name for missing in waiting.values() for name in missing}
    bounds = [
        name
        for name in first_ride(new.catalogue)
        if name.startswith(_VEHICLE) and properties()[name].unit in _BOUNDS and name not in given
    ]
    by_unit = sorted(bounds, key=lambda name: _BOUNDS.index(properties()[name].unit))
    rest = sorted(of_the_build, key=lambda name: name not in wanted_first)
    beside = sorted(ALSO.difference(given))
    return list(dict.fromkeys([*by_unit, *rest, *beside]))


def waiting_for_a_ride(new: Begun, name: str) -> tuple[Holding, ...]:
    """The rules that a ride waits for and that an entry would let be checked, itself or through a setting."""
    waiting = {one.quantity: one.missing for one in new.unfilled}
    return tuple(
        gate
        for gate in open_gates(new.proposal.judgement.not_checked, STAGES[-1])
        if any(name in _roots(missing, waiting) for missing in gate.missing)
    )


def build_lacking(new: Begun) -> list[str]:
    """What the stand lacks of the parts: without their ratings no first value can be a careful one.

    What else it lacks is asked for once the profile is there.
    """
    names = short_of(new.proposal.judgement.not_checked, "stand")
    return [name for name in names if name.startswith(_OF_PARTS)]
