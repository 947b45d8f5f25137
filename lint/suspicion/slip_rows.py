"""The usual slips as they come with gonogo: which entries they befall, what they do, how usual they are."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from fnmatch import fnmatchcase
from functools import lru_cache
from typing import Any, NamedTuple

from ..documents.contents import contents
from ..documents.schema import Property
from ..documents.trade_units import GAUGE_UNIT
from ..judgement.catalogue import RULES
from ..judgement.rule import STOPS, Severity
from ..judgement.rule_file import UNUSABLE, unusable

SLIPS_FILE = "slips"
_SIDES = {"above": 1, "below": -1}
FAR_TIMES_E = 0.5  # natural logarithms past its limit within which advice may be meant
Factor = float | str  # a number, or the name of the quantity that has it
_SELECTORS = ("entries", "entered_in", "choices", "booleans", "numbers")


class SlipRow(NamedTuple):
    """A usual slip: `number` is the chance that an entry of its kind has it, by our own guess.

    `entries` are quantities, `entered_in` units of the key; `changes` says what the slip does, by the
    words of its table.
    """

    slip: str
    title: str
    in_words: str
    number: float
    entries: frozenset[str]
    entered_in: frozenset[str]
    entered_under: tuple[str, ...]
    not_entered_in: tuple[str, ...]
    every: frozenset[str]
    of_readings: float
    changes: Mapping[str, Any]

    def number_for(self, quantity: str) -> float:
        """How usual it is for an entry: a reading has its own share of it."""
        return self.number * (self.of_readings if quantity.startswith("readings.") else 1.0)

    @property
    def is_of_numbers(self) -> bool:
        """Whether it befalls any number, whatever it means."""
        return "numbers" in self.every

    def befalls(self, entry: Property, quantity: str) -> bool:
        """Whether an entry under a key can have this slip."""
        told = entry.path.rsplit(".", 1)[-1]
        if entry.unit == GAUGE_UNIT:
            return False  # a gauge is stamped on the cable, and few numbers are one
        if any(word in told for word in self.not_entered_in):
            return False
        if self.entered_under and not any(word in told for word in self.entered_under):
            return False
        return (
            quantity in self.entries
            or (bool(self.entered_in) and _unit_of_key(entry) in self.entered_in)
            or _sort_of(entry) in self.every
        )


class MachineFault(NamedTuple):
    """A fault of the machine that readings show, though every entry is right.

    It takes no reading further past its limit than `within_times`, and those with one of `sides` past
    that alone: 1 is above the highest, −1 below the lowest.
    """

    fault: str
    title: str
    do: str
    in_words: str
    number: float
    signs: frozenset[str]
    shows: frozenset[str]
    sets_aside: tuple[str, ...]
    within_times: float
    sides: Mapping[str, int]

    def is_shown_as(self, rule: str, side: int) -> bool:
        """Whether it shows as a rule that flags on a side."""
        return rule in self.shows and self.sides.get(rule, side) == side


class Belief(NamedTuple):
    """How hard findings are to believe of a profile that is right, each as a negative logarithm."""

    contradiction: float
    contradiction_advice: float
    limit: float
    limit_for_each_time_e: float
    limit_at_most: float
    limit_advice: float
    patterns: tuple[str, ...]

    def is_contradiction(self, rule: str) -> bool:
        """Whether a rule says that two things cannot both be so, not that a limit is exceeded."""
        return _matches(rule, self.patterns)

    def of(self, rule: str, severity: Severity, times_e: float) -> float:
        """How hard a finding is to believe that lies `times_e` natural logarithms past its limit.

        Advice passed by far is harder to believe, up to what stops a ride.
        """
        stops = severity in STOPS
        far = self.limit_for_each_time_e * max(0.0, times_e - FAR_TIMES_E)
        if self.is_contradiction(rule):
            advice = min(self.contradiction_advice + far, self.contradiction)
            return self.contradiction if stops else advice
        if not stops:
            return min(self.limit_advice + far, self.limit)
        return min(self.limit + self.limit_for_each_time_e * times_e, self.limit_at_most)


@lru_cache(maxsize=4096)
def _matches(rule: str, patterns: tuple[str, ...]) -> bool:
    return any(fnmatchcase(rule, pattern) for pattern in patterns)


class SlipTable(NamedTuple):
    """All that comes with gonogo about slips.

    `none_of_these` is the chance of what is not listed, `as_fitted` that of a part that is too small.
    """

    slips: tuple[SlipRow, ...]
    faults: tuple[MachineFault, ...]
    belief: Belief
    none_of_these: float
    as_fitted: float


@lru_cache(maxsize=1)
def slip_table() -> SlipTable:
    """The slips that come with gonogo."""
    try:
        data = contents(RULES, SLIPS_FILE)
        told = dict(data["belief"])
        patterns = tuple(told.pop("contradictions"))
        return SlipTable(
            tuple(map(_row, data["slips"])),
            tuple(map(_fault, data["faults"])),
            Belief(**{key: float(value) for key, value in told.items()}, patterns=patterns),
            float(data["none_of_these"]["number"]),
            float(data["as_fitted"]["number"]),
        )
    except UNUSABLE as error:
        raise unusable(f"rules/{SLIPS_FILE}.yaml", error) from error


_TOLD = (
    *_SELECTORS,
    "entered_under",
    "not_entered_in",
    "slip",
    "title",
    "in_words",
    "number",
    "of_readings",
)


def _row(data: Mapping[str, Any]) -> SlipRow:
    return SlipRow(
        slip=data["slip"],
        title=data["title"],
        in_words=data["in_words"],
        number=float(data["number"]),
        entries=frozenset(
            (*data.get("entries", ()), *(pair[0] for pair in data.get("copies", ())))
        ),
        entered_in=frozenset(data.get("entered_in", ())),
        entered_under=tuple(data.get("entered_under", ())),
        not_entered_in=tuple(data.get("not_entered_in", ())),
        every=frozenset(_sorts(data)),
        of_readings=float(data.get("of_readings", 1.0)),
        changes={key: value for key, value in data.items() if key not in (*_TOLD, "source")},
    )


def _sorts(data: Mapping[str, Any]) -> Iterable[str]:
    return (key for key in ("choices", "booleans", "numbers") if data.get(key))


def _fault(data: Mapping[str, Any]) -> MachineFault:
    return MachineFault(
        fault=data["fault"],
        title=data["title"],
        do=data["do"],
        in_words=data["in_words"],
        number=float(data["number"]),
        signs=frozenset(data["signs"]),
        shows=frozenset(data["shows"]),
        sets_aside=tuple(data["sets_aside"]),
        within_times=float(data.get("within_times", math.inf)),
        sides={rule: _SIDES[side] for rule, side in data.get("sides", {}).items()},
    )


def _unit_of_key(entry: Property) -> str:
    """The unit in which a key asks, which is not always that of its quantity."""
    ending = entry.path.rsplit(".", 1)[-1]
    for unit in ("A_peak", "A_rms", "degF"):
        if ending.endswith(f"_{unit}"):
            return unit
    return entry.unit


def _sort_of(entry: Property) -> str:
    if entry.kind in ("number", "integer") or (entry.kind == "list" and entry.unit):
        return "numbers"
    if entry.kind == "boolean":
        return "booleans"
    return "choices" if entry.kind == "text" and entry.choices else ""
