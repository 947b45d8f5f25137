"""Remedies of several motors held against all their rules, and entries that no value fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..documents.profile import BASE
from ..expressions.formatting import MOST_DIGITS, listed, shown
from ..quantities.number import floor, is_number, nearest_whole
from .advice import along_with, broken_by, nearer_than
from .clause import Clause
from .conflicts import empty_window
from .evaluation import ruling
from .explanation import roots_given
from .finding import Finding
from .frame import Frame
from .motor_books import AT_ITS_BATTERY, OF_MOTOR, which_book
from .motor_entries import Heard, MotorEntry
from .motor_window import motor_frame
from .outcome import worst_first
from .rule import STOPS, Rule
from .sweep import Sweep

_TOGETHER = "All motors together"
OF_ALL = "For all motors together"


def advised_on(findings: Sequence[Finding], heard: Heard) -> list[Finding]:
    """The findings with remedies that stand, and those about entries that no value fits."""
    told = [_that_stands(one, heard) if one.advised is not None else one for one in findings]
    return sorted([*told, *_without_window(findings, heard)], key=worst_first)


def _entry_of(finding: Finding, heard: Heard) -> MotorEntry | None:
    """The entry that a finding points at; None where it is no setting with a window."""
    modes = heard.profile.modes
    mode = next((one for one in finding.modes if finding.quantity in modes[one]), BASE)
    entries = (one for one in heard.entries(mode) if one.name == finding.quantity)
    return next((one for one in entries if one.entered_as == finding.entered_as), None)


def _that_stands(finding: Finding, heard: Heard) -> Finding:
    """The finding with a remedy that brings no danger or fault when it is followed."""
    entry = _entry_of(finding, heard)
    if entry is None or entry.given is None or finding.advised is None:
        return replace(finding, advised=None)
    frame = motor_frame(entry, heard)
    summed = finding.quantity in AT_ITS_BATTERY and which_book(finding.rule) != OF_MOTOR
    summed = summed and finding.message.startswith(_TOGETHER)
    if not summed and not finding.motors and len(entry.motors) < len(heard.motors):
        return replace(finding, advised=None)  # an entry of one motor, and others are wrong too
    value: float | None = finding.advised
    if summed:
        value = _part_of(finding, entry, frame, heard)
        if value is None:
            return replace(finding, advised=None)
        finding = replace(finding, advised=value, remedy=_parted(finding, value, entry, heard))
    assert value is not None
    return _tried(finding, value, entry, frame, summed, heard)


def _parted(finding: Finding, value: float, entry: MotorEntry, heard: Heard) -> str:
    """The remedy of a sum with what it leaves for the entry."""
    part = shown(value, finding.unit, MOST_DIGITS)
    whose = f"{part} each"
    if len(entry.motors) < len(heard.motors):
        several = "s" if len(entry.motors) > 1 else ""
        whose = f"{part} for motor{several} {listed(entry.motors, 'and')}, the others unchanged"
    return finding.remedy.replace(OF_ALL, f"{OF_ALL} ({whose})", 1)


def _part_of(finding: Finding, entry: MotorEntry, frame: Frame, heard: Heard) -> float | None:
    """What is left of a sum for an entry, in its own unit and steps; None where nothing is."""
    if finding.high is None or finding.advised is None or finding.value is None:
        return None
    today = frame.key.value(nearest_whole(frame.key.steps(_number(entry))))
    whole = finding.value if is_number(finding.value) else 0.0
    others = whole - today * len(entry.motors)
    if others < -frame.key.step:  # it holds for motors that the sum leaves out
        return None
    part = (finding.advised - others) / len(entry.motors)
    steps = floor(part / frame.key.step)
    return frame.key.value(steps) if steps >= max(frame.key.first, 1) else None


def _number(entry: MotorEntry) -> float:
    entered = entry.given.entered if entry.given is not None else None
    return entered if is_number(entered) else 0.0


def _tried(
    finding: Finding, value: float, entry: MotorEntry, frame: Frame, summed: bool, heard: Heard
) -> Finding:
    """The finding with its value held against the other rules of the entry."""
    against = _refusing(finding, value, frame)
    if not against:
        return finding
    named = shown(value, finding.unit, MOST_DIGITS)
    for piece in (frame.good_piece, frame.hard_piece):
        if piece is None:
            continue
        other = frame.key.inside(value, piece)
        own = other <= value if summed else _keeps(finding, other)
        if own and not _refusing(finding, other, frame):
            instead = shown(other, finding.unit, MOST_DIGITS)
            remedy = f"{finding.remedy.replace(named, instead)} {nearer_than(named, against)}."
            return replace(finding, advised=other, remedy=remedy)
    hearing = heard.motors[entry.motors[0]].hearing
    more = f"{broken_by(named, against)}: {along_with(finding, against, hearing)}."
    return replace(finding, advised=None, remedy=f"{finding.remedy} {more}")


def _keeps(finding: Finding, value: float) -> bool:
    low, high = finding.low, finding.high
    return (low is None or value >= low) and (high is None or value <= high)


def _refusing(finding: Finding, value: float, frame: Frame) -> list[Rule]:
    """The rules that are clear as the entry stands and make a danger or fault at a value of it."""
    sweep, steps = frame.sweep, nearest_whole(frame.key.steps(value))
    stood = {one.rule.id for one in sweep.clauses if _stops(one, sweep)} - set(finding.also)
    found = {
        one.rule.id: one.rule
        for one in sweep.clauses
        if one.rule.id not in stood and sweep.grade(one, steps) in STOPS
    }
    return list(found.values())


def _stops(clause: Clause, sweep: Sweep) -> bool:
    decided = ruling(clause.rule, sweep.books[clause.seat])
    return decided.outcome == "flagged" and decided.severity in STOPS


def _without_window(findings: Sequence[Finding], heard: Heard) -> Iterator[Finding]:
    """A finding for each entry that a danger or fault points at and that no value would fit."""
    waived = frozenset(one.rule.id for one in findings if one.waived)
    seen: set[tuple[str, str]] = set()
    for finding in findings:
        if finding.severity not in STOPS or finding.waived:
            continue
        entry = _entry_of(finding, heard)
        if entry is None or (entry.mode, entry.entered_as) in seen:
            continue
        seen.add((entry.mode, entry.entered_as))
        frame = motor_frame(entry, heard, waived | _movable(entry, heard))
        whose = () if len(entry.motors) == len(heard.motors) else entry.motors
        for one in empty_window(frame, heard.motors[entry.motors[0]].hearing, heard.catalogue):
            yield replace(one, motors=whose)


def _movable(entry: MotorEntry, heard: Heard) -> set[str]:
    """The rules whose bound depends on another entry: another setting, or that of another motor."""
    rules: set[str] = set()
    partly = len(entry.motors) < len(heard.motors)
    for clause in heard.clauses(entry, heard.modes_of(entry)):
        if clause.number != OF_MOTOR and partly:
            rules.add(clause.rule.id)
            continue
        if clause.number < 0:
            continue
        book = heard.motors[clause.motor].books[clause.mode].books[clause.number]
        reached = {*roots_given(book, sorted(clause.rule.reads)), *clause.rule.reads}
        if any(name.startswith("settings.") and name != entry.name for name in reached):
            rules.add(clause.rule.id)
    return rules
