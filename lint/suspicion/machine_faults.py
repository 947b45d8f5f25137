"""Faults of the machine that readings show, though every entry is right; of several motors the one that has it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from .evidence import RaisedRule, Weighed, Weighing
from .explanations import Explanation
from .hypotheses import Hypothesis
from .motor_hearings import BetweenMotors
from .slip_rows import MachineFault, slip_table

_SPOILED = 1.5  # cost of a residual that a fault of the machine makes, which may be any
_SHOWN_BY_FAULT = 0.7  # cost of a finding that a fault of the machine is known to make
EQUAL_APART_RULE = "equal-motors-read-differently"


class _Motor(NamedTuple):
    """One motor, "" where there is one: its own flags, and those that stand whatever is wrong with it."""

    name: str
    flags: Mapping[str, RaisedRule]
    others: frozenset[str]


def machine_faults(
    today: Weighed, weighing: Weighing, motors: Sequence[str], between: BetweenMotors | None
) -> list[Explanation]:
    """The faults of which there is a sign in what a vehicle comes to today.

    `between` is how several motors compare: what reads otherwise on one than on its twin is shown by a
    fault that sets just those readings aside.
    """
    found = []
    for motor in _motors(today, weighing, motors):
        for fault in slip_table().faults:
            told = _explained(fault, motor, today, between)
            if told is not None:
                found.append(told)
    return found


def _motors(today: Weighed, weighing: Weighing, motors: Sequence[str]) -> Iterator[_Motor]:
    """Each motor with the flags of its own hearing; of one motor all flags."""
    if not motors:
        yield _Motor("", today.flags, frozenset())
        return
    own = [weighing.weighed((hearing,)).flags for hearing in today.hearings]
    for at, name in enumerate(motors):
        others = frozenset(rule for place, one in enumerate(own) if place != at for rule in one)
        of_motor = {rule: flag for rule, flag in today.flags.items() if rule in own[at]}
        yield _Motor(name, of_motor, others)


def _explained(
    fault: MachineFault, motor: _Motor, today: Weighed, between: BetweenMotors | None
) -> Explanation | None:
    """What a fault of one motor explains; None without a sign of it, past what it can do, or on the other side."""
    shown = {
        name: flag for name, flag in motor.flags.items() if name.partition(":")[0] in fault.shows
    }
    if not all(
        fault.is_shown_as(name.partition(":")[0], flag.side) for name, flag in shown.items()
    ):
        return None
    if between is not None and between.apart and between.apart <= frozenset(fault.sets_aside):
        shown |= {rule: flag for rule, flag in today.flags.items() if rule == EQUAL_APART_RULE}
    if fault.signs.isdisjoint(name.partition(":")[0] for name in shown):
        return None
    if max(flag.times_e for flag in shown.values()) > math.log(fault.within_times):
        return None
    left = {
        name: flag
        for name, flag in today.flags.items()
        if name not in shown or name in motor.others
    }
    residuals = (today.residuals.get(name, 0.0) for name in shown)
    told = sum(max(0.0, cost - _SPOILED) for cost in residuals)
    soft = today.soft - told + _SHOWN_BY_FAULT * len(shown)
    then = today._replace(flags=left, soft=soft)
    explains = today.grave - then.grave
    if not explains:
        return None
    of_motor = (
        f" (motor {motor.name})" if not explains.isdisjoint(motor.flags) and motor.name else ""
    )
    hypothesis = Hypothesis(
        (), fault.fault, f"{fault.title}{of_motor}", fault.number, fault.in_words, fault=fault
    )
    weight = math.log(fault.number) + today.cost - then.cost
    return Explanation(hypothesis, then, explains, weight)
