"""What is stated otherwise where a side has several motors: each value once, under its motor's key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from ..documents.motors import MOTOR, MOTORS
from ..documents.profile import BASE, Profile
from ..judgement.motor_books import AT_THE_BATTERY
from .change import ChangeKind, Effect, ValueChange, changes, place_in_report
from .followup import OF_A_MOTOR
from .statement import SET, Statement, statement, subsystem

ONLY = ""  # the name of a motor that is the only one
OF_EACH = ("motor.", "controller.", "settings.")  # what every motor has
GRAVEST: tuple[Effect, ...] = ("raised", "other", "none")
Pairs = Mapping[
    str, str
]  # the motors of the new side that the old one has too, by their names there


def views(profile: Profile) -> Mapping[str, Profile]:
    """The profile of each motor as if it were the only one."""
    return profile.motors or {ONLY: profile}


def motor_pairs(old: Profile, new: Profile) -> dict[str, str]:
    """Which motor of the new side is which of the old: by name, an only one by what is alike."""
    was, now = views(old), views(new)
    if ONLY in was:
        return {_like(old, now): ONLY}
    if ONLY in now:
        return {ONLY: _like(new, was)}
    return {name: name for name in now if name in was}


def _like(only: Profile, several: Mapping[str, Profile]) -> str:
    """The motor of several that an only one is: its name, or that of which the least is different."""
    entered = (given.entered_as for given in only.givens.values())
    own = next((key.split(".")[1] for key in entered if key.startswith(OF_A_MOTOR)), None)
    if own is not None and own in several:
        return own
    told = statement(only)
    return min(several, key=lambda name: _apart(told, statement(several[name])))


def _apart(one: Statement, other: Statement) -> int:
    return sum(one.get(key) != other.get(key) for key in one.keys() | other.keys())


def fitted(new: Profile, pairs: Pairs) -> list[str]:
    """The motors that only the new side has."""
    return [name for name in views(new) if name not in pairs]


def gone(old: Profile, pairs: Pairs) -> list[str]:
    """The motors that only the old side has."""
    return [name for name in views(old) if name not in pairs.values()]


def motor_changes(old: Profile, new: Profile, pairs: Pairs) -> tuple[ValueChange, ...]:
    """Every value that differs; what is alike for all motors once, a motor fitted or gone as one."""
    told: dict[str, list[ValueChange]] = {}
    for name, change in _of_pairs(old, new, pairs):
        alike = repr(replace(change, effect="none", motors=()))
        told.setdefault(alike, []).append(replace(change, motors=(name,)))
    made = [_told_once(group, len(pairs) or 1) for group in told.values()]
    made += [_whole(name, new, "added") for name in fitted(new, pairs)]
    made += [_whole(name, old, "removed") for name in gone(old, pairs)]
    return tuple(sorted(made, key=lambda one: (place_in_report(one), one.entered_as, one.motors)))


def _of_pairs(old: Profile, new: Profile, pairs: Pairs) -> Iterator[tuple[str, ValueChange]]:
    if not pairs:  # what the vehicle has besides its motors
        for change in changes(old, new, statement(old), statement(new)):
            yield ONLY, change
    before, after = views(old), views(new)
    for name, other in pairs.items():
        was, now = before[other], after[name]
        for change in changes(was, now, statement(was), statement(now)):
            named = (
                _part_named(change, name, new) if new.motors else _part_named(change, other, old)
            )
            yield name or other, named


def _part_named(change: ValueChange, name: str, profile: Profile) -> ValueChange:
    """The part of a section that is the motor's own, under the motor's name."""
    section = change.quantity.removesuffix(".part")
    own = profile.motors[name].sections.get(section) != profile.sections.get(section)
    if section == change.quantity or change.mode != BASE or not own:
        return change
    below = "" if section == MOTOR else f".{section}"
    key = f"{MOTORS}.{name}{below}.part"
    return replace(change, entered_as=key, old_as=key)


def _told_once(group: list[ValueChange], motors: int) -> ValueChange:
    """One change that stands for those of several motors; its effect is the gravest."""
    first = min(group, key=lambda change: GRAVEST.index(change.effect))
    names = tuple(name for change in group for name in change.motors)
    said = len(names) == motors or first.entered_as.startswith(OF_A_MOTOR)
    return replace(first, motors=() if said else names)


def _whole(name: str, profile: Profile, kind: ChangeKind) -> ValueChange:
    """A motor that was fitted, or one that is gone."""
    key = f"{MOTORS}.{name}" if name else MOTOR
    old, new = (None, SET) if kind == "added" else (SET, None)
    return ValueChange(
        quantity=key,
        mode=BASE,
        kind=kind,
        category="build",
        subsystem=subsystem(MOTOR),
        entered_as=key,
        old_as=key,
        old=old,
        new=new,
        unit="",
        step=None,
        by=None,
        share=None,
        before=old,
        after=new,
        place=views(profile)[name].sections.get(MOTOR),
        effect="raised" if kind == "added" else "other",
    )


def asked_of(old: Profile, new: Profile, pairs: Pairs) -> Iterator[ValueChange]:
    """A motor that was fitted or is gone once for each entry that it has, for the work that follows.

    One that was fitted has those of all motors too; with either the sums at the battery are others.
    """
    for name in fitted(new, pairs):
        yield from _asked(_whole(name, new, "added"), views(new)[name], OF_EACH)
    for name in gone(old, pairs):
        yield from _asked(_whole(name, old, "removed"), views(old)[name], tuple(AT_THE_BATTERY))


def _asked(whole: ValueChange, view: Profile, shared: tuple[str, ...]) -> Iterator[ValueChange]:
    for quantity, given in view.givens.items():
        if given.entered_as.startswith(OF_A_MOTOR) or quantity.startswith(shared):
            yield replace(whole, quantity=quantity)
