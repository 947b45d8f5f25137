"""How one entry of a profile is asked for, and what is said about it when somebody answers `?`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from textwrap import fill
from typing import Any, NamedTuple

from ..documents.blank_profile import example_of
from ..documents.contents import contents
from ..documents.schema import Property, properties
from ..documents.template import scalar_text
from ..documents.text import alternatives
from ..documents.units import unit_symbol
from ..judgement.catalogue import RULES
from ..judgement.finding import Finding
from ..judgement.rule import SEVERITIES, STAGES
from .beginning import Holding

QUESTIONS_FILE = "questions"
_WIDTH = 80
_MARGIN = "    "
MOST_LEFT_OPEN = 3


class EntryQuestion(NamedTuple):
    """The question for one entry.

    `label` is what a label shows, `measure` what replaces it. `first` are asked before and may make
    it needless, `otherwise` are asked where it is not known. A plain answer goes under `enters`.
    """

    of: str
    asks: str
    label: str
    measure: str
    first: tuple[str, ...]
    otherwise: tuple[str, ...]
    enters: str


@lru_cache(maxsize=1)
def _texts() -> Mapping[str, Mapping[str, Any]]:
    return {one["of"]: one for one in contents(RULES, QUESTIONS_FILE)["questions"]}


def entry_question(name: str) -> EntryQuestion:
    """The question for an entry, in words of its own or in those of the schema."""
    told = _texts().get(name, {})
    return EntryQuestion(
        of=name,
        asks=told.get("asks") or _plain_question(properties()[name]),
        label=told.get("label", ""),
        measure=told.get("measure", ""),
        first=tuple(told.get("first", ())),
        otherwise=tuple(told.get("otherwise", ())),
        enters=told.get("enters") or _first_key(name),
    )


def questions_told() -> Iterable[str]:
    """The entries that have a question in words of their own."""
    return _texts().keys()


def _first_key(name: str) -> str:
    """Where a plain answer goes: a section that is there is begun with its first key."""
    return next((key for key in properties() if key.startswith(f"{name}.")), name)


def _plain_question(entry: Property) -> str:
    title = entry.title or entry.path
    words = title[0].upper() + title[1:]
    if entry.kind == "boolean":
        return f"{words}: yes or no?"
    if entry.choices and entry.kind == "text":
        return f"{words}: {alternatives(entry.choices)}?"
    unit = f" in {unit_symbol(entry.unit)}" if entry.unit else ""
    return f"{words}{unit}{', or none' if entry.can_be_none else ''}?"


def explanation(name: str) -> str:
    """What an entry is, its unit, what a label says, and the measurement that replaces it."""
    told = entry_question(name)
    entry = properties()[name]
    inner = properties()[told.enters]
    lines = [entry.description]
    if inner.path != name:
        lines.append(inner.description)
    if inner.unit:
        low, high = inner.lowest, inner.highest
        span = f", from {low:g} to {high:g}" if low is not None and high is not None else ""
        lines.append(f"Unit: {unit_symbol(inner.unit)}{span}.")
    if inner.choices and inner.kind in ("text", "list"):
        several = ", or several with a comma" if inner.kind == "list" else ""
        lines.append(f"It can be {alternatives(inner.choices)}{several}.")
    example = scalar_text(example_of(inner.path))
    if inner.kind != "boolean" and not inner.choices:
        lines.append(f"For example {example}.")
    if told.label:
        lines.append(f"Label: {told.label}")
    if told.measure:
        lines.append(f"Measurement: {told.measure}")
    lines.append(f"Entered as {inner.path}. Enter if not known.")
    return "".join(f"{_set(line)}\n" for line in lines)


def left_open(gates: Iterable[Holding]) -> str:
    """The rules that stay unchecked without an answer, in words, worst first."""
    once = {gate.rule.id: gate for gate in gates}
    ordered = sorted(once.values(), key=lambda gate: SEVERITIES.index(gate.severity))
    of_the_stand = all(isinstance(gate, Finding) or gate.gate == STAGES[0] for gate in ordered)
    lines = [f"Not known. {'The stand' if of_the_stand else 'A ride'} then lacks these checks:"]
    for gate in ordered[:MOST_LEFT_OPEN]:
        because = gate.rule.because
        lines.append(
            f"{gate.severity}: {gate.rule.id}" + ("" if "{" in because else f". {because}")
        )
    more = len(ordered) - MOST_LEFT_OPEN
    if more > 0:
        lines.append(f"and {more} more.")
    return "".join(f"{_set(line)}\n" for line in lines) if ordered else ""


def _set(line: str) -> str:
    return fill(
        line,
        _WIDTH,
        initial_indent=_MARGIN,
        subsequent_indent=_MARGIN + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    )
