"""The corners of a profile: where each rule holds, in words and for machines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..documents.motors import entry_path
from ..documents.text import so_many
from ..expressions.formatting import listed, shown
from ..expressions.names import title_of, with_article
from ..judgement.rule import SEVERITIES, STOPS
from ..quantities.number import is_number
from ..quantities.registry import unit_of
from ..tolerances.corner_words import entry_title, of_motor
from ..tolerances.corners import Corners, Room, RuleCorners
from ..tolerances.mode_corners import ModeCorners, ModeFailure
from ..tolerances.spread_points import TRIED_POINTS
from .check_totals import TONES, VERDICT_WORDS
from .record import exact
from .section import Block, Card, Code, Notice, Passage, Report, Row, Section, Toned, row

CORNERS_EDITION = "corners/1"
_MOST_NAMED = 3
MOST_SETTLING = 5
_NARROWED = (
    "Measure it, enter what was measured, and say how exactly under tolerances in the profile, in percent "
    "or in its unit."
)
NO_ROOM = (
    "Settings, counts and ratings are taken as they are entered. A share of all combinations of what may "
    "be off says nothing of how likely they are."
)


def record(corners: Corners) -> dict[str, Any]:
    """The corners as plain data."""
    judgement = corners.judgement
    return {
        "gonogo": CORNERS_EDITION,
        "file": judgement.profile.file,
        "name": judgement.profile.name,
        "judged_on": judgement.judged_on,
        "mode": corners.mode,
        "verdict": {"as_measured": judgement.stages["ride"], "everywhere": corners.everywhere},
        "rules": [_rule_record(rule) for rule in corners.rules],
        "modes": [_mode_record(one) for one in corners.modes],
        "settle": [{"quantity": one.quantity, "rules": list(one.rules)} for one in corners.settle],
        "settle_together": [
            {"quantities": list(one.quantities), "rules": list(one.rules)}
            for one in corners.settle_together
        ],
        "tolerances": [_room_record(room) for room in corners.rooms],
        "unknown": list(corners.untold),
    }


def _mode_record(one: ModeCorners) -> dict[str, Any]:
    return {
        "mode": one.mode,
        "fails": [
            {
                "rule": failure.rule.id,
                "severity": failure.severity,
                "holds": failure.holds,
                "in_words": failure.in_words,
            }
            for failure in one.fails
        ],
    }


def _rule_record(rule: RuleCorners) -> dict[str, Any]:
    found = rule.at_corner
    return {
        "rule": rule.rule.id,
        "severity": rule.severity,
        "holds": rule.holds,
        "as_measured": rule.measured,
        "corner": exact(found.corner),
        "in_words": found.in_words or None,
        "modes": list(found.modes),
        "share": round(rule.share, 4),
        "past": found.past,
        "waived": found.waived,
        "told_by": found.told_by or None,
        "motors": list(rule.motors),
    }


def _room_record(room: Room) -> dict[str, Any]:
    return {
        "quantity": room.quantity,
        "unit": unit_of(entry_path(room.quantity)),
        "entered": exact(room.entered),
        "low": exact(room.side.low),
        "high": exact(room.side.high),
        "reasons": [reach.tolerance.reason for reach in room.reaches],
        "sources": [reach.tolerance.source for reach in room.reaches],
    }


def corners_page(corners: Corners) -> Report:
    """A card with the two verdicts, what fails at which corner, and what would settle it."""
    judgement = corners.judgement
    measured = judgement.stages["ride"]
    worse = corners.everywhere != measured
    card = Card(
        verdict=f"{VERDICT_WORDS[measured]} as measured",
        tone="incomplete" if worse else TONES[measured],
        name=judgement.profile.name,
        about=((judgement.profile.file,), *_about_mode(corners), (_in_short(corners),)),
        sections=tuple(_sections(corners)),
    )
    return Report("gonogo corners", (card,))


def _about_mode(corners: Corners) -> list[tuple[str, ...]]:
    return [] if corners.mode is None else [(f"in the mode {corners.mode} alone",)]


def gravest_corners(corners: Corners) -> list[RuleCorners]:
    """What fails in a part of the box or is undecided, each rule once at its gravest, the worst first."""
    found: dict[str, RuleCorners] = {}
    for one in corners.rules:
        if one.holds in ("everywhere", "nowhere") or one.at_corner.told_by:
            continue
        known = found.get(one.rule.id)
        if known is None or SEVERITIES.index(one.severity) < SEVERITIES.index(known.severity):
            found[one.rule.id] = one
    return sorted(
        found.values(),
        key=lambda one: (one.at_corner.waived, SEVERITIES.index(one.severity), one.share),
    )


def _in_short(corners: Corners) -> str:
    """The second verdict in words: `not with a heavy rider and load, 392.7 kg`."""
    everywhere = corners.everywhere
    if everywhere == "undecided":
        return "not decided at every corner of the tolerances"
    named = _named_corners(corners)
    if everywhere == corners.judgement.stages["ride"]:
        if everywhere in ("go", "go-with-waivers"):
            return "GO at every corner of the tolerances"
        if everywhere == "no-go" and not _broken_everywhere(corners):
            return f"NO-GO as entered and at other corners: {named or 'gonogo check tells why'}"
        told = f"{VERDICT_WORDS[everywhere]} at every corner; gonogo check tells why"
        return f"{told}; at some also: {named}" if named else told
    return f"NO-GO with: {named}" if named else "NO-GO at a corner of the tolerances"


def _broken_everywhere(corners: Corners) -> bool:
    """Whether something stops a ride whatever is off: a rule, or what no corner is asked about."""
    asked = {one.rule.id for one in corners.rules}
    findings = corners.judgement.findings
    return any(one.stops and one.holds == "nowhere" for one in corners.rules) or any(
        one.severity in STOPS and not one.waived and one.rule.id not in asked for one in findings
    )


def _named_corners(corners: Corners) -> str:
    """What brings the gravest rules to their corners, and how far past the limit."""
    causes: dict[str, float | None] = {}
    for one in filter(_stops, gravest_corners(corners)):
        cause, past = one.at_corner.causes[0], one.at_corner.past
        causes[cause] = max(
            (one for one in (causes.get(cause), past) if one is not None), default=None
        )
    return "; ".join([f"{cause}{_past(past)}" for cause, past in causes.items()][:_MOST_NAMED])


def _past(past: float | None) -> str:
    """How far past its limit, so that the slight is told from the grave."""
    return "" if past is None else f" ({shown(100.0 * past, 'percent', 2)} past the limit)"


def _stops(one: RuleCorners) -> bool:
    return one.stops and bool(one.at_corner.causes)


def _sections(corners: Corners) -> Iterator[Section]:
    found = gravest_corners(corners)
    fails = [one for one in found if one.holds == "somewhere"]
    stops = [one for one in fails if one.severity in STOPS]
    yield Section("", tuple(_summary(corners, fails)))
    if stops:
        yield Section("Fails at a corner", tuple(map(_notice, stops)))
    advised = [one for one in fails if one.severity not in STOPS]
    if advised:
        yield Section("Advice at a corner", tuple(map(_notice, advised)))
    undecided = [one for one in found if one.holds == "undecided"]
    if undecided:
        yield Section("Not decided", tuple(map(_notice, undecided)))
    if corners.settle or corners.settle_together:
        yield Section("What would settle it", (*_settling(corners),))
    if found:
        yield Section("How far entries were taken to be off", tuple(_rooms(corners, found)))
    yield Section("", tuple(_grounds(corners)))


def _summary(corners: Corners, fails: list[RuleCorners]) -> Iterator[Block]:
    ids = {one.rule.id for one in corners.rules}
    broken = {one.rule.id for one in corners.rules if one.holds == "nowhere"}
    some = {one.rule.id for one in corners.rules if one.holds == "somewhere"}
    open_ones = {one.rule.id for one in corners.rules if one.holds == "undecided"} - some
    sure = len(ids - broken - some - open_ones)
    words = [f"{so_many(sure, 'rule')} at every corner"]
    if some:
        words.append(f"{len(some)} in a part of them")
    if open_ones:
        words.append(f"{len(open_ones)} undecided")
    yield row("hold", ", ".join(words))
    if broken:
        yield row(
            "broken", f"{so_many(len(broken), 'rule')} whatever is off; gonogo check says which"
        )
    yield from _of_modes(corners.modes)
    if not fails and corners.everywhere in ("go", "go-with-waivers"):
        yield row("", "Nothing that may be off by its tolerance breaks a rule.")


def _of_modes(modes: tuple[ModeCorners, ...]) -> Iterator[Row]:
    """What fails in each mode at a corner, modes with the same failures in one line."""
    alike: dict[str, list[str]] = {}
    for one in modes:
        told = [f"{failure.rule.id} ({_why(failure)})" for failure in one.fails[:_MOST_NAMED]]
        more = len(one.fails) - _MOST_NAMED
        told += [f"and {more} more"] if more > 0 else []
        fails = ", ".join(told) or "nothing that stops a ride"
        alike.setdefault(fails, []).append(one.mode or "base settings")
    for fails, named in alike.items():
        yield row("modes", f"{listed(named, 'and')}: {fails}")


def _why(failure: ModeFailure) -> str:
    """What brings a rule to its corner; what is broken whatever is off no corner brings."""
    return failure.causes[0] if failure.holds == "somewhere" and failure.causes else "as entered"


def _notice(one: RuleCorners) -> Notice:
    """What fails, where, how much of the box holds, and what to do."""
    found = one.at_corner
    rows: list[Row] = []
    if found.remedy:
        rows.append(row("do", found.remedy, role="act"))
    if found.causes:
        rows.append(row("corner", ", ".join(found.causes), role="working"))
    if one.holds == "somewhere":
        rows.append(row("holds", _share_in_words(one)))
    if found.past is not None:
        rows.append(row("margin", f"{shown(100.0 * found.past, 'percent', 2)} past the limit"))
    if not one.measured:
        rows.append(row("entered", "broken as entered too"))
    if found.waived:
        rows.append(row("waived", "a waiver covers it at this corner too"))
    if one.motors:
        rows.append(row("motor", ", ".join(one.motors)))
    rows.append(row("rule", Code(one.rule.id)))
    text = found.message or f"Whether {one.rule.id} holds everywhere was not decided."
    return Notice(one.severity.upper(), (text,), tuple(rows), one.severity)


def _share_in_words(one: RuleCorners) -> str:
    """In how much of the box it holds; that a point of many found nothing is not all of it."""
    percent = round(100.0 * one.share)
    if one.share >= 1.0:
        return f"in nearly all combinations (each of {TRIED_POINTS} that were tried)"
    return f"in {max(percent, 1)}% of all combinations" if one.share > 0.0 else "in hardly any"


def _settling(corners: Corners) -> Iterator[Block]:
    for one in corners.settle[:MOST_SETTLING]:
        yield Passage(
            (
                f"If {_with_motor(one.quantity)} is known to be as entered: ",
                ", ".join(one.rules),
                f" ({so_many(len(one.rules), 'rule')}).",
            ),
            "•",
        )
    for group in corners.settle_together[:MOST_SETTLING]:
        known = listed([_with_motor(name) for name in group.quantities], "and")
        told = f"If {known} are all known to be as entered: {', '.join(group.rules)}."
        yield Passage((told,), "•")
    yield Passage((_NARROWED,))


def _with_motor(name: str) -> str:
    return f"{with_article(entry_path(name))}{of_motor(name)}"


def _rooms(corners: Corners, found: list[RuleCorners]) -> Iterator[Block]:
    """The entries that move what fails, with the room taken and its reason."""
    moving = {entry_path(name) for one in found for name in one.at_corner.corner}
    for room in corners.rooms:
        if entry_path(room.quantity) in moving:
            why = " ".join(reach.tolerance.reason for reach in room.reaches)
            ends = f"{_entered(room)}; taken from {_low(room)} to {_high(room)}. {why}"
            ends += _narrower(room)
            yield Passage((Toned(entry_title(room.quantity), "bold"), f": {ends}"), "•")


def _narrower(room: Room) -> str:
    """What is measured of an entry already, and how to have it counted in place of what is usual."""
    if not room.measured:
        return ""
    name, value = next(iter(room.measured.items()))
    read = f" It is measured already ({title_of(name)}: {shown(value, unit_of(name))})"
    return f"{read}: if that test is sound, enter the value it gives, and how exactly under tolerances."


def _entered(room: Room) -> str:
    unit = unit_of(entry_path(room.quantity))
    if is_number(room.entered):
        return shown(room.entered, unit)
    return "as read"


def _low(room: Room) -> str:
    return _end(room, room.side.low)


def _high(room: Room) -> str:
    return _end(room, room.side.high)


def _end(room: Room, end: float) -> str:
    unit = unit_of(entry_path(room.quantity))
    if is_number(room.entered):
        return shown(end, unit)
    return f"{'+' if end > 0 else '−'}{shown(abs(end), unit)}"


def _grounds(corners: Corners) -> Iterator[Block]:
    yield Passage((NO_ROOM,))
    if corners.untold:
        named = ", ".join(map(title_of, corners.untold))
        yield Passage((f"No tolerance is known of, and taken as entered: {named}.",))
