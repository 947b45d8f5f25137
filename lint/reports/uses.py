"""Who takes up a part, a key of the house file or a rule: a row for each vehicle, and a record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from ..comparison.uses import PartUse, RuleState, RuleUse, UseTarget
from ..comparison.what_if import WhatIf
from ..documents.text import alternatives, so_many
from ..expressions.formatting import shown
from ..judgement.rule import Outcome
from .check_totals import Unread
from .comparison_words import percentage
from .record import exact, unread_record
from .section import Card, Code, Line, Report, Section, Table, Tone, Toned
from .unread_cards import unread_cards
from .what_if import what_if_card, what_if_record

USES_EDITION = "uses/1"
OUTCOME_WORDS: dict[Outcome, str] = {
    "flagged": "flagged",
    "not_checked": "not checked",
    "clear": "OK",
    "out_of_scope": "out of scope",
}
MOST_RULES = 3  # of a vehicle that are told one by one


@dataclass(frozen=True, slots=True)
class NamingPart:
    """A part that names another one, and in which line."""

    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Uses:
    """Who takes up what was asked about, of so many vehicles, on a day; what could not be read.

    `exists` is False for a part's file that is gone; `values` are what the house files say of the key.
    With `what_if` it says what would be if a value were another.
    """

    target: UseTarget
    judged_on: str
    tool: str
    vehicles: int
    exists: bool
    values: tuple[str, ...]
    by_part: tuple[PartUse, ...]
    by_rule: tuple[RuleUse, ...]
    parts: tuple[NamingPart, ...]
    what_if: WhatIf | None
    unread: tuple[Unread, ...]


def uses_record(uses: Uses) -> dict[str, Any]:
    """The whole answer as plain data; held to `schemas/uses.schema.json`."""
    return {
        "gonogo": USES_EDITION,
        "asked": {
            "kind": uses.target.kind,
            "name": uses.target.name,
            "exists": uses.exists,
            "values": list(uses.values),
        },
        "judged_on": uses.judged_on,
        "tool": uses.tool,
        "vehicles": uses.vehicles,
        "takes": [_part_record(one) for one in uses.by_part],
        "parts": [{"file": one.file, "line": one.line} for one in uses.parts],
        "rules": [
            {
                "file": one.file,
                "name": one.name,
                "rules": [_state_record(state) for state in one.states],
            }
            for one in uses.by_rule
        ],
        "if": None if uses.what_if is None else what_if_record(uses.what_if),
        "errors": [unread_record(error) for error in uses.unread],
    }


def _part_record(use: PartUse) -> dict[str, Any]:
    return {
        "file": use.file,
        "name": use.name,
        "read": use.read,
        "sections": list(use.sections),
        "through": list(use.through),
        "named_in": {"file": use.place, "line": use.line},
        "gets": [{"key": one.key, "value": exact(one.value), "unit": one.unit} for one in use.gets],
        "overridden": list(use.overridden),
    }


def _state_record(state: RuleState) -> dict[str, Any]:
    margin = {"absolute": exact(state.margin), "share": exact(state.share)}
    return {
        "rule": state.rule,
        "severity": state.severity,
        "outcome": state.outcome,
        "modes": list(state.modes),
        "motors": list(state.motors),
        "message": state.told or None,
        "missing": list(state.missing),
        "margin": None if state.margin is None else margin,
        "unit": state.unit,
        "waived": state.waived,
        "told_by": state.told_by or None,
    }


def uses_page(uses: Uses) -> Report:
    """A table of the vehicles, then what the part gives; or what would become of each."""
    if uses.what_if is not None:
        cards = [what_if_card(uses.what_if, uses.target.name, uses.vehicles)]
    elif uses.target.kind == "part":
        cards = [_part_card(uses)]
    else:
        cards = [_rule_card(uses)]
    return Report("gonogo uses", (*cards, *unread_cards(uses.unread)))


def _of_all(count: int, uses: Uses) -> str:
    return f"{count} OF {so_many(uses.vehicles, 'vehicle').upper()}"


def _part_card(uses: Uses) -> Card:
    table = Table(
        ("vehicle", "section", "gets", "otherwise"),
        tuple(_part_cells(one) for one in uses.by_part),
        labels=False,
        below=tuple(_part_below(one) for one in uses.by_part),
        headed=True,
    )
    about: list[Line] = [] if uses.exists else [(Toned("The file is not there.", "no-go"),)]
    about += [("named by the part ", Code(f"{one.file}, line {one.line}")) for one in uses.parts]
    gives = tuple(_gives(uses))
    return Card(
        verdict=_of_all(len(uses.by_part), uses),
        tone="go" if uses.exists else "no-go",
        name=uses.target.name,
        about=tuple(about),
        sections=(
            *([Section("", (table,))] if uses.by_part else []),
            *(
                [Section("What it gives", (Table(("value", "", "to"), gives, labels=False),))]
                if gives
                else []
            ),
        ),
        stamped=True,
    )


def _part_cells(use: PartUse) -> tuple[Line, ...]:
    gets = so_many(len(use.gets), "value") if use.read else "NOT READ"
    return (
        (Toned(use.name, "bold"),),
        (", ".join(use.sections),),
        (gets,),
        (", ".join(use.overridden),),
    )


def _part_below(use: PartUse) -> Line:
    through = f" · through {', '.join(use.through)}" if use.through else ""
    where = f", line {use.line}" if use.place == use.file else ""
    return Code(use.file), f"{where}{through}"


def _gives(uses: Uses) -> Iterator[tuple[Line, ...]]:
    """Each value that the part gives, and to how many vehicles."""
    takers: dict[tuple[str, str], int] = {}
    for use in uses.by_part:
        given = [(_inside(one.key, use), shown(one.value, one.unit)) for one in use.gets]
        for each in dict.fromkeys(given):
            takers[each] = takers.get(each, 0) + 1
    whole = sum(use.read for use in uses.by_part)
    for (key, told), count in takers.items():
        yield (Code(key),), (told,), ("" if count == whole else f"to {count} of {whole}",)


def _inside(key: str, use: PartUse) -> str:
    """A key as the part itself has it, without the section that takes it."""
    around = max((one for one in use.sections if key.startswith(f"{one}.")), key=len, default="")
    return key.removeprefix(f"{around}.") if around else key


def _rule_card(uses: Uses) -> Card:
    applying = [one for one in uses.by_rule if one.worst is not None]
    flagged = [one for one in applying if one.worst is not None and one.worst.outcome == "flagged"]
    standing = any(one.worst and not one.worst.waived for one in flagged)
    several = uses.target.kind == "house"
    heads = ("vehicle", "state", "margin", "rules that apply" if several else "")
    table = Table(
        heads,
        tuple(_rule_cells(one, several) for one in applying),
        labels=False,
        below=tuple(_rule_below(one) for one in applying),
        headed=True,
    )
    rest = len(uses.by_rule) - len(applying)
    about: list[Line] = [("is ", alternatives(uses.values))] if uses.values else []
    about += [(f"flags on {so_many(len(flagged), 'vehicle')}",)] if flagged else []
    return Card(
        verdict=_of_all(len(applying), uses),
        tone="incomplete" if standing else "go",
        name=uses.target.name,
        about=tuple(about),
        sections=(Section("", (table,)),) if applying else (),
        closing=((f"out of scope on {so_many(rest, 'vehicle')}",),) if rest else (),
        stamped=True,
    )


def _rule_cells(use: RuleUse, several: bool) -> tuple[Line, ...]:
    worst = use.worst
    assert worst is not None
    applying = sum(state.outcome != "out_of_scope" for state in use.states)
    word = worst.severity if worst.outcome == "flagged" else OUTCOME_WORDS[worst.outcome]
    note = ", waived" if worst.waived else ""
    return (
        (Toned(use.name, "bold"),),
        (Toned(f"{word}{note}", _tone(worst)),),
        (room_words(worst),),
        (str(applying) if several else "",),
    )


def _tone(state: RuleState) -> Tone:
    if state.outcome == "flagged":
        return state.severity
    return "go" if state.outcome == "clear" else "incomplete"


def room_words(state: RuleState) -> str:
    """How far a rule's value is from its limit: `12 A left`, `5 A past`; "" for a condition."""
    if state.margin is None:
        return ""
    word = "left" if state.margin >= 0 else "past"
    where = f" in {state.modes[0]}" if state.modes and state.outcome == "clear" else ""
    share = "" if state.share is None else f" ({percentage(abs(state.share)).lstrip('+')})"
    return f"{shown(abs(state.margin), state.unit)}{share} {word}{where}"


def _rule_below(use: RuleUse) -> Line:
    """The file, and what is to be said of the worst rule; of several its name too."""
    worst = use.worst
    assert worst is not None
    told = worst.told
    if worst.told_by:
        told = f"see {worst.told_by}"
    elif worst.missing:
        told = f"missing {', '.join(worst.missing[:MOST_RULES])}"
    where = " · ".join(
        part
        for part in (
            worst.rule if len(use.states) > 1 else "",
            f"motor {', '.join(worst.motors)}" if worst.motors else "",
            f"in {', '.join(worst.modes)}" if worst.modes and worst.outcome != "clear" else "",
            told,
        )
        if part
    )
    return Code(use.file), f" · {where}" if where else ""
