"""Several motors on one pack: each judged as if it were alone, and what they share by their sums.

A motor is an overlay over the vehicle, as a mode is. So each has a book of its own, in which the
others show only where they are felt: the pack sags under all of them, their thrusts add, the fastest
turns the wheels. Rules about what they share (pack, wiring, a shared controller) read a second book,
in which a current at the battery is the sum over all motors.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from ..documents.profile import BASE, Profile
from ..documents.schema import MOTOR, MOTORS
from ..expressions.formatting import listed, shown
from ..expressions.names import Subject
from ..quantities.book import Book, Entry
from ..quantities.operand import ABSENT, EXACT, NO_LESS, NO_MORE, NOT_THERE, NOTHING, Operand, Side
from ..quantities.registry import affected, rests_on, unit_of
from .catalogue import Catalogue
from .document_rules import Paperwork, paperwork
from .evaluation import Hearing, Ruling, book_of, ruling, settle_any
from .finding import Finding, Judgement, NotChecked, Related
from .judge import first_needed, of_rule, worst_first, yielded
from .rule import Outcome, Rule, Stage
from .verdict import reached, verdicts
from .waivers import covered

CONTROLLER = "controller"
BATTERY = "settings.battery_current_A"
REGEN = "controller.regen_battery_A"
REGEN_SETTING = "settings.regen.battery_current_A"
CAPACITANCE = "controller.input_capacitance_uF"
SAG = "pack.sag_V"
PUSH = "ride.push_N"
BRAKING = "ride.regen_N"
POWER = "ride.shaft_power_W"
SPEED = "ride.reachable_km_h"
CLIMB = "ride.hold_N"
TORQUE, RATIO, CIRCUMFERENCE = "motor.torque_Nm", "drivetrain.ratio", "drivetrain.circumference_m"
# What is not as one motor alone would have it, and how it comes about.
HOW = {
    **dict.fromkeys((BATTERY, REGEN, REGEN_SETTING), "sum over the motors"),
    CAPACITANCE: "sum over the controllers",
    **dict.fromkeys((PUSH, BRAKING, POWER), "sum over the motors"),
    SAG: "sag under all motors together",
    SPEED: "highest of the motors",
    CLIMB: "share of this motor in the force that holds the vehicle on the grade",
}
SUMS = frozenset(HOW)
AT_THE_BATTERY = frozenset((BATTERY, REGEN, REGEN_SETTING, CAPACITANCE))
SHARED = ("pack", "wiring")  # topics of rules about what all motors hang on
OF_ONE = ("motor.", "settings.phase_current", "settings.regen.phase_current", "controller.")
OWN_SECTIONS = ("settings", "controller", "drivetrain")
OWN_READINGS = (
    "readings.identification",
    "readings.wheel_turned",
    "readings.no_load",
    "readings.temperature.motor_degC",
    "readings.temperature.warm",
)


class Books(NamedTuple):
    """The books of one motor in one mode.

    `own` is for rules about the motor, `pack` for those about what all motors share, `controller` for
    those about its controller's battery side, `shop` for a shop's own rules about currents.
    """

    own: Book
    pack: Book
    controller: Book
    shop: Book


class OfMotor(NamedTuple):
    """One motor heard: its hearing by its own book, and the books of each mode."""

    hearing: Hearing
    books: Mapping[str, Books]


def which_book(rule: Rule) -> int:
    """The number of the book, as `Books` has them, by which a rule is judged."""
    if rule.own:
        shared = not AT_THE_BATTERY.isdisjoint(rule.reads)
        one = any(name.startswith(OF_ONE) and name not in AT_THE_BATTERY for name in rule.reads)
        of_pack = any(name.startswith(("pack.", "wiring.")) for name in rule.reads)
        return 3 if of_pack or (shared and not one) else 0
    if rule.topic in SHARED:
        return 1
    rated = "controller.battery_current_A" in rule.reads
    return 2 if rated and not {BATTERY, REGEN}.isdisjoint(rule.reads) else 0


def summed(operands: Iterable[Operand]) -> Operand:
    """The sum of what several motors have of one quantity; what a motor has not counts nothing.

    Where one is not known it is no less than the others together.

    >>> summed([Operand(60.0), Operand(40.0), NOT_THERE]).value
    100.0
    >>> summed([Operand(60.0), Operand(None, EXACT, frozenset({BATTERY}))]).side
    'no less than'
    """
    there = [one for one in operands if one.side != ABSENT]
    if not there:
        return NOT_THERE
    missing = NOTHING.union(*(one.missing for one in there))
    known = [one for one in there if one.value is not None]
    sides: set[Side] = {one.side for one in known} - {EXACT}
    if len(known) < len(there):
        sides.add(NO_LESS)
    if not known or len(sides) > 1:
        reason = next((one.reason for one in there if one.reason), "")
        return Operand(None, EXACT, missing, reason)
    return Operand(sum(one.number for one in known), sides.pop() if sides else EXACT, missing)


def greatest(operands: Iterable[Operand]) -> Operand:
    """The greatest of what several motors have; where one is not known, no less than the others.

    >>> greatest([Operand(30.0), Operand(None, EXACT, frozenset({"motor.kv_rpm_per_V"}))]).side
    'no less than'
    """
    there = [one for one in operands if one.side != ABSENT]
    if not there:
        return NOT_THERE
    missing = NOTHING.union(*(one.missing for one in there))
    known = [one for one in there if one.value is not None]
    if len(known) == len(there) and all(one.side in (EXACT, NO_MORE) for one in known):
        most = max(one.number for one in known)
        exact = any(one.number == most and one.side == EXACT for one in known)
        return Operand(most) if exact else Operand(most, NO_MORE, missing)
    sure = [one.number for one in known if one.side != NO_MORE]
    return Operand(max(sure), NO_LESS, missing) if sure else Operand(None, EXACT, missing)


def books_of(
    views: Mapping[str, Profile], plain: Mapping[str, Book], bases: Mapping[str, Books]
) -> dict[str, Books]:
    """The books of each motor in one mode, from plain ones that know nothing of the other motors.

    `bases` are those of the base settings, where it is a mode.
    """
    speed = {SPEED: greatest(book.operand(SPEED) for book in plain.values())}
    turned = {name: _told(book, speed) for name, book in plain.items()}
    boxes = {name: view.sections.get(CONTROLLER) for name, view in views.items()}
    capacitances = {boxes[name]: book.operand(CAPACITANCE) for name, book in turned.items()}
    currents = {
        BATTERY: _sum(BATTERY, turned),
        REGEN: _sum(REGEN, turned),
        CAPACITANCE: summed(capacitances.values()),
    }
    sag = {
        name: _told(book, {BATTERY: currents[BATTERY]}).operand(SAG)
        for name, book in turned.items()
    }
    sagging = {name: _told(book, {SAG: sag[name]}) for name, book in turned.items()}
    together = {quantity: _sum(quantity, sagging) for quantity in (PUSH, BRAKING, POWER)}
    setting = {REGEN_SETTING: _sum(REGEN_SETTING, turned)}
    climb = _climb(sagging)
    found: dict[str, Books] = {}
    for name, book in plain.items():
        base = bases.get(name)
        felt = {**speed, **together, SAG: sag[name], CLIMB: climb[name]}
        mates = {one: turned[one] for one, box in boxes.items() if box == boxes[name]}
        of_box = {quantity: _sum(quantity, mates) for quantity in (BATTERY, REGEN)}
        found[name] = Books(
            _told(book, felt, base and base.own),
            _told(book, {**felt, **currents}, base and base.pack),
            _told(book, {**felt, **of_box}, base and base.controller),
            _told(book, {**felt, **currents, **setting}, base and base.shop),
        )
    return found


def _sum(quantity: str, books: Mapping[str, Book]) -> Operand:
    return summed(book.operand(quantity) for book in books.values())


def _told(book: Book, operands: Mapping[str, Operand], base: Book | None = None) -> Book:
    """A book with quantities as all motors have them; each still points at its motor's own entry."""
    entries: dict[str, Entry] = {}
    for name, operand in operands.items():
        entry = book.entry(name)
        worked = entry.worked and replace(entry.worked, formula="", words=HOW[name])
        entries[name] = entry._replace(operand=operand, worked=worked)
    return book.told(entries, base)


def _climb(books: Mapping[str, Book]) -> dict[str, Operand]:
    """What each motor has of the force that holds the vehicle on its steepest grade.

    Each carries a part as its torque at the wheel is of the torque of all: at one throttle they push so.
    """
    weights = {name: _torque_at_wheel(book) for name, book in books.items()}
    whole = summed(weights.values())
    shares: dict[str, Operand] = {}
    for name, book in books.items():
        force, own = book.operand(CLIMB), weights[name]
        if force.value is None:
            shares[name] = force
        elif whole.side == own.side == EXACT and whole.value and own.value is not None:
            shares[name] = force._replace(value=force.number * own.number / whole.number)
        else:  # as if it had to climb alone: enough to be clear, not enough to refuse
            shares[name] = force._replace(side=NO_MORE, missing=force.missing | whole.missing)
    return shares


def _torque_at_wheel(book: Book) -> Operand:
    """The motor's torque at the wheel over the wheel's circumference, losses left out."""
    parts = [book.operand(name) for name in (TORQUE, RATIO, CIRCUMFERENCE)]
    if any(part.value is None for part in parts):
        return Operand(None, EXACT, NOTHING.union(*(part.missing for part in parts)))
    torque, ratio, circumference = parts
    return torque._replace(value=torque.number * ratio.number / circumference.number)


def hear_motors(profile: Profile, catalogue: Catalogue, judged_on: str) -> dict[str, OfMotor]:
    """Each motor heard, in the base settings and in each mode."""
    views = profile.motors
    plain = {name: {BASE: book_of(view, judged_on)} for name, view in views.items()}
    for name, view in views.items():
        for mode, changes in view.modes.items():
            plain[name][mode] = plain[name][BASE].overlaid(changes)
    books: dict[str, dict[str, Books]] = {name: {} for name in views}
    for mode in (BASE, *profile.modes):
        bases = {name: known[BASE] for name, known in books.items() if mode != BASE}
        found = books_of(views, {name: known[mode] for name, known in plain.items()}, bases)
        for name, of_mode in found.items():
            books[name][mode] = of_mode
    return {
        name: OfMotor(_hearing(view, catalogue, books[name]), books[name])
        for name, view in views.items()
    }


def _hearing(view: Profile, catalogue: Catalogue, books: Mapping[str, Books]) -> Hearing:
    rules = catalogue.about("profile")
    rulings: dict[str, dict[str, Ruling]] = {}
    for mode, of_mode in books.items():
        moved = affected(SUMS.union(view.modes[mode])) if mode != BASE else frozenset()
        rulings[mode] = {
            rule.id: ruling(rule, of_mode[which_book(rule)])
            for rule in rules
            if mode == BASE or (rule.modes != "base" and not moved.isdisjoint(rule.reads))
        }
    for rule in rules if view.modes else ():
        if rule.modes == "any":
            settle_any(rule.id, rulings)
    return Hearing(view, {mode: of_mode.own for mode, of_mode in books.items()}, rulings)


def judge_motors(
    profile: Profile, catalogue: Catalogue, judged_on: str, strict: bool, stage: Stage
) -> Judgement:
    """The judgement of a profile of several motors; what is alike for all of them is told once."""
    heard = hear_motors(profile, catalogue, judged_on)
    raw = {name: _of_motor(name, one, catalogue, judged_on) for name, one in heard.items()}
    papers = _waiver_papers(profile, heard, raw, catalogue, judged_on)
    outcomes: dict[str, Outcome] = dict(papers.outcomes)
    for one in raw.values():
        for rule, outcome in one.outcomes.items():
            outcomes[rule] = min(outcomes.get(rule, outcome), outcome, key=MOST_OPEN.index)
    findings = told_once({name: one.findings for name, one in raw.items()}, heard)
    findings = sorted([*findings, *papers.findings], key=worst_first)
    waiting = [*merged({name: one.not_checked for name, one in raw.items()}, profile)]
    waiting = sorted([*waiting, *papers.not_checked], key=lambda one: first_needed(one, stage))
    counted = Counter(
        outcome for rule, outcome in outcomes.items() if reached(catalogue.rules[rule].stage, stage)
    )
    return Judgement(
        profile=profile,
        stages=verdicts(findings, waiting, strict),
        findings=tuple(findings),
        not_checked=tuple(waiting),
        checked=counted["clear"],
        out_of_scope=counted["out_of_scope"],
        judged_on=judged_on,
        stage=stage,
        house_rules=catalogue.own_rules,
    )


class Raw(NamedTuple):
    """What one motor comes to, before it is held against the others."""

    findings: list[Finding]
    not_checked: list[NotChecked]
    outcomes: dict[str, Outcome]


# Of the outcomes of one rule for several motors, the one that counts.
MOST_OPEN: tuple[Outcome, ...] = ("not_checked", "flagged", "clear", "out_of_scope")


def _of_motor(name: str, heard: OfMotor, catalogue: Catalogue, judged_on: str) -> Raw:
    hearing = heard.hearing
    findings: list[Finding] = []
    waiting: list[NotChecked] = []
    outcomes: dict[str, Outcome] = {}
    for rule in catalogue.about("profile"):
        number = which_book(rule)
        books = {mode: of_mode[number] for mode, of_mode in heard.books.items()}
        flagged, unchecked, scope = of_rule(rule, catalogue, hearing, books)
        findings += flagged
        waiting += unchecked
        outcomes[rule.id] = "not_checked" if unchecked else "clear" if scope else "out_of_scope"
    papers = paperwork(hearing, _without(catalogue, "waiver"), judged_on, findings)
    outcomes.update(papers.outcomes)
    every = [replace(one, motors=(name,), advised=None) for one in (*findings, *papers.findings)]
    return Raw(
        yielded(covered(every, hearing.profile, catalogue, judged_on), hearing),
        [*waiting, *papers.not_checked],
        outcomes,
    )


def _without(catalogue: Catalogue, *subjects: Subject) -> Catalogue:
    kept = {name: rules for name, rules in catalogue.by_subject.items() if name not in subjects}
    return replace(catalogue, by_subject=kept)


def _waiver_papers(
    profile: Profile,
    heard: Mapping[str, OfMotor],
    raw: Mapping[str, Raw],
    catalogue: Catalogue,
    judged_on: str,
) -> Paperwork:
    """The rules about waivers, each held against the findings of all motors."""
    alone = replace(catalogue, by_subject={"waiver": catalogue.about("waiver")})
    first = next(iter(heard.values())).hearing
    hearing = Hearing(replace(first.profile, waivers=profile.waivers), first.books, first.rulings)
    known = [finding for one in raw.values() for finding in one.findings]
    return paperwork(hearing, alone, judged_on, known)


def told_once(found: Mapping[str, list[Finding]], heard: Mapping[str, OfMotor]) -> list[Finding]:
    """What is alike for all motors once, what is shared as a sum, all else by the motor's name."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for findings in found.values():
        for one in findings:
            groups.setdefault(_likeness(one), []).append(one)
    return [_told_of(group, list(found), heard) for group in groups.values()]


def _likeness(one: Finding) -> tuple[object, ...]:
    place = None if _sums(one) else one.place
    waived = None if one.waived is None else one.waived.place
    numbers = (repr(one.value), one.low, one.high, one.everywhere, place, waived)
    return one.rule.id, one.severity, one.modes, one.message, one.quantity, numbers


def _sums(one: Finding) -> tuple[str, ...]:
    """The quantities of a finding that are sums over several motors."""
    if which_book(one.rule) == 0 or one.rule.subject != "profile":
        return ()
    below = frozenset[str]().union(*(rests_on(name) for name in one.rule.tells))
    return tuple(name for name in (BATTERY, REGEN, CAPACITANCE) if name in below)


def _told_of(
    group: Sequence[Finding], motors: Sequence[str], heard: Mapping[str, OfMotor]
) -> Finding:
    """One finding that stands for those of several motors."""
    first = group[0]
    names = tuple(name for one in group for name in one.motors)
    sums = _sums(first)
    if sums:
        others = [one.place for one in group[1:] if one.place != first.place]
        related = (*first.related, *(Related(first.quantity, place) for place in others))
        who = f"All motors together{_parts(first, sums, heard)}"
        if len(group) < len(motors) and which_book(first.rule) == 2:
            who = f"{_named(names)}{_parts(first, sums, heard)}"
        return replace(
            first,
            motors=() if len(names) == len(motors) else names,
            related=related,
            message=f"{who}: {first.message}",
            remedy=f"For all motors together: {first.remedy}",
        )
    if len(names) == len(motors):
        return replace(first, motors=())
    return replace(first, motors=names, message=f"{_named(names)}: {first.message}")


def _named(names: Sequence[str]) -> str:
    return f"Motor{'s' if len(names) > 1 else ''} {listed(names, 'and')}"


def _parts(finding: Finding, sums: Sequence[str], heard: Mapping[str, OfMotor]) -> str:
    """The addends of a sum, where they are known: ` (front 60 A, rear 40 A)`."""
    mode = finding.modes[0] if finding.modes else BASE
    parts = []
    for name, one in heard.items():
        value = one.books[mode].own.operand(sums[0]).value
        if value is not None:
            parts.append(f"{name} {shown(value, unit_of(sums[0]))}")
    return f" ({', '.join(parts)})" if len(parts) > 1 else ""


def merged(found: Mapping[str, list[NotChecked]], profile: Profile) -> list[NotChecked]:
    """What could not be checked of any motor: one line a rule, with the keys of each motor."""
    groups: dict[tuple[object, ...], dict[str, NotChecked]] = {}
    for name, waiting in found.items():
        for one in waiting:
            key = (one.rule.id, one.severity, one.modes, one.reason, one.gate)
            groups.setdefault(key, {})[name] = one
    return [_waiting_for(group, len(found), profile) for group in groups.values()]


def _waiting_for(group: Mapping[str, NotChecked], motors: int, profile: Profile) -> NotChecked:
    lacks: dict[str, list[str]] = {}
    for motor, one in group.items():
        for name in one.missing:
            lacks.setdefault(name, []).append(motor)
    missing = [
        key
        for name, lacking in lacks.items()
        for key in _keys_of(name, lacking, len(lacking) == motors, profile)
    ]
    return replace(next(iter(group.values())), missing=tuple(sorted(dict.fromkeys(missing))))


def _keys_of(name: str, lacking: Iterable[str], by_all: bool, profile: Profile) -> Iterator[str]:
    """Where a missing entry would stand: under each motor that lacks it, or in the vehicle's section."""
    section = name.split(".")[0]
    for motor in lacking:
        box = profile.motors[motor].sections.get(section)
        own = box is not None and box != profile.sections.get(section)
        if section == MOTOR:
            yield f"{MOTORS}.{motor}.{name.removeprefix('motor.')}"
        elif name.startswith(OWN_READINGS) or (section in OWN_SECTIONS and (own or not by_all)):
            yield f"{MOTORS}.{motor}.{name}"
        else:
            yield name
