"""Thresholds: whatever a rule says, its window is what judging at every step would find."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import pytest
from gonogo.documents.error import ExpressionError
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances
from gonogo.judgement.clause import Clause
from gonogo.judgement.frame import Frame
from gonogo.judgement.rule import STOPS, Rule
from gonogo.judgement.rule_file import rule_of
from gonogo.judgement.sweep import Piece, Sweep, key_of
from gonogo.judgement.window import Bounds
from gonogo.quantities.book import Book
from hypothesis import assume, given, settings
from hypothesis import strategies as st

NOWHERE = Place("bench.yaml", 1, 1)
SENTENCES = {"says": "It is {of}.", "because": "It hurts.", "remedy": "Mend it.", "source": "Ours."}


@dataclass(frozen=True)
class Ground:
    """A setting, quantities of one unit that hang on it or do not, and values for what is given."""

    setting: str
    steps: tuple[int, int, float]
    alike: tuple[str, ...]
    told: Mapping[str, tuple[Any, ...]]
    numbers: tuple[float, ...]
    lists: tuple[str, ...] = ()

    def __repr__(self) -> str:
        return self.setting


THROTTLE = Ground(
    "settings.throttle.start_V",
    (0, 125, 0.04),
    (
        "settings.throttle.start_V",
        "settings.throttle.full_V",
        "throttle.clearance_V",
        "throttle.top_clearance_V",
        "throttle.span_V",
        "throttle.max_rest_V",
        "readings.throttle.supply_V",
    ),
    {
        "settings.throttle.full_V": (3.5, 1.1),
        "readings.throttle.rest_V": ((0.8,), (0.81, 0.84), (4.2,)),
        "readings.throttle.full_V": (4.1, 0.8),
        "readings.throttle.supply_V": (5.0,),
    },
    (0, 0.3, 1, 2.5),
    ("readings.throttle.rest_V",),
)
CURRENT = Ground(
    "settings.battery_current_A",
    (1, 120, 2.5),
    (
        "settings.max_rpm",
        "motor.base_rpm",
        "motor.voltage_corner_rpm",
        "motor.battery_corner_rpm",
        "motor.no_load_rpm",
        "motor.downhill_rpm",
    ),
    {
        "settings.max_rpm": (700.0, 2500.0),
        "settings.phase_current_A_rms": (150.0, 400.0),
        "motor.phase_current_burst_A_rms": (200.0,),
        "motor.kv_rpm_per_V": (60.0, 12.0),
        "motor.pole_pairs": (10,),
        "motor.phase_to_neutral_mohm": (20.0, 90.0),
        "motor.phase_inductance_uH": (100.0,),
        "pack.nominal_V": (50.4,),
        "pack.full_V": (58.8,),
        "pack.resistance_mohm": (45.0, 140.0),
        "wiring.battery_cable_mohm": (2.0,),
        "drivetrain.ratio": (1.0,),
        "drivetrain.circumference_mm": (1500.0,),
    },
    (0, 300, 900, 1500.5),
)
PHASE = replace(
    CURRENT,
    setting="settings.phase_current_A_rms",
    steps=(1, 120, 4.0),
    told={
        **{name: told for name, told in CURRENT.told.items() if "settings.phase" not in name},
        "settings.battery_current_A": (60.0, 150.0),
    },
)
HEAT = Ground(
    "settings.temperature.motor.stop_degC",
    (0, 125, 2.0),
    ("motor.temperature_error_at_stop_K", "house.magnet_cooler_K", "house.motor_taper_K"),
    {
        "settings.temperature.motor.sensor": ("ntc-10k-3950", "kty84-130"),
        "motor.temperature_sensor": ("ntc-10k-3435", "pt1000"),
    },
    (0, 3, 25),
)
WEAKENING = Ground(
    "settings.field_weakening_A_rms",
    (0, 60, 1.0),
    ("motor.kv_basis", "house.modulation"),
    {
        "readings.no_load.rpm": (3000.0,),
        "readings.no_load.throttle": ("full", "part"),
        "readings.no_load.pack_V": (50.0,),
        "motor.kv_rpm_per_V": (60.0,),
    },
    (0.7, 1, 1.4),
)
GROUNDS = (THROTTLE, CURRENT, PHASE, HEAT, WEAKENING)


def amounts(ground: Ground, conditions: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Numbers in the unit of the ground, made in every way that the grammar knows."""
    number = st.sampled_from(ground.numbers).map(str)
    plain = st.sampled_from(["2", "0.5", "3.7", "0"])
    leaf = st.one_of(st.sampled_from(ground.alike), st.sampled_from(ground.alike), number)
    return st.recursive(
        leaf,
        lambda inner: st.one_of(
            st.tuples(inner, st.sampled_from("+-"), inner).map(_bracketed),
            st.tuples(inner, st.sampled_from("*/"), plain).map(_bracketed),
            st.tuples(inner, inner, inner).map(lambda part: f"({part[0]} * {part[1]} / {part[2]})"),
            st.tuples(st.sampled_from(["min", "max"]), inner, inner).map(
                lambda part: f"{part[0]}({part[1]}, {part[2]})"
            ),
            inner.map(lambda part: f"abs({part})"),
            inner.map(lambda part: f"round({part})"),
            inner.map(lambda part: f"(-{part})"),
            st.tuples(inner, conditions, inner).map(
                lambda part: f"({part[0]} if {part[1]} else {part[2]})"
            ),
        ),
        max_leaves=5,
    )


def _bracketed(parts: Iterable[str]) -> str:
    return f"({' '.join(parts)})"


def conditions(ground: Ground) -> st.SearchStrategy[str]:
    """Conditions on numbers of the ground."""
    sign = st.sampled_from(["<", "<=", ">", ">=", "==", "!="])
    names = st.sampled_from(ground.alike)
    simple = st.one_of(
        names.map(lambda name: f"given({name})"),
        st.tuples(names, sign, st.sampled_from(ground.numbers).map(str)).map(_bracketed),
        st.tuples(names, sign, names).map(_bracketed),
    )
    amount = amounts(ground, simple)
    compared = st.one_of(
        simple,
        st.tuples(amount, sign, amount).map(_bracketed),
        st.tuples(
            amount, st.sampled_from(["in", "not in"]), st.lists(amount, min_size=1, max_size=2)
        ).map(lambda part: f"({part[0]} {part[1]} [{', '.join(part[2])}])"),
    )
    if ground.lists:
        listed = st.tuples(amount, st.just("in"), st.sampled_from(ground.lists)).map(_bracketed)
        compared = st.one_of(compared, listed)
    return st.recursive(
        compared,
        lambda inner: st.one_of(
            st.tuples(inner, st.sampled_from(["and", "or"]), inner).map(_bracketed),
            inner.map(lambda part: f"(not {part})"),
        ),
        max_leaves=4,
    )


@st.composite
def rules(draw: st.DrawFn, ground: Ground) -> dict[str, Any]:
    """The keys of a rule on the ground's quantities that are its own."""
    condition, amount = conditions(ground), amounts(ground, conditions(ground))
    data: dict[str, Any] = {}
    bound = draw(st.sampled_from(["at_most", "at_least", "above", "below", "between", "flag_when"]))
    if bound == "flag_when":
        data |= {"at": ground.setting, "flag_when": draw(condition)}
    else:
        data["of"] = draw(st.sampled_from(ground.alike))
        data[bound] = [draw(amount), draw(amount)] if bound == "between" else draw(amount)
    if draw(st.booleans()):
        data["applies_when"] = draw(condition)
    if draw(st.booleans()):
        data["severity"] = "advice"
        data["steps"] = [draw(step(bound, amount, condition))]
    return data


@st.composite
def step(
    draw: st.DrawFn,
    bound: str,
    amount: st.SearchStrategy[str],
    condition: st.SearchStrategy[str],
) -> dict[str, Any]:
    """A step of a rule that is advice before it: beyond a limit of its own, or on a condition."""
    if bound == "flag_when" or draw(st.booleans()):
        return {"severity": "danger", "when": draw(condition)}
    ends = [draw(amount), draw(amount)]
    return {"severity": "danger", "beyond": ends if bound == "between" else ends[0]}


@st.composite
def books(draw: st.DrawFn, ground: Ground) -> dict[str, Any]:
    """What is told of the quantities given, of which some are not."""
    return {
        name: draw(st.sampled_from(told))
        for name, told in ground.told.items()
        if draw(st.integers(0, 5))
    }


def compiled(number: int, data: Mapping[str, Any]) -> Rule:
    whole = {"id": f"rule-{number}", "severity": "danger", **SENTENCES, **data}
    try:
        return rule_of(whole, "own", "own.yaml")
    except ExpressionError:
        assume(False)
        raise


def swept(ground: Ground, told: Mapping[str, Any], some: Iterable[Rule]) -> Sweep:
    """The ground's setting swept through rules."""
    givens = {name: Given(name, one, name, one, 1.0, NOWHERE) for name, one in told.items()}
    house = {name: allowance.default for name, allowance in allowances().items()}
    first, last, step = ground.steps
    key = replace(key_of(ground.setting, None), first=first, last=last, step=step)
    clauses = [Clause(rule, rule.severity, "") for rule in some]
    return Sweep(key, None, {"": Book(givens, house, "2026-11-25")}, clauses)


def runs(steps: Iterable[int]) -> list[Piece]:
    found: list[Piece] = []
    for step in steps:
        if found and found[-1][1] == step - 1:
            found[-1] = (found[-1][0], step)
        else:
            found.append((step, step))
    return found


@pytest.mark.parametrize("ground", GROUNDS, ids=repr)
def test_a_window_is_what_judging_every_step_would_find(ground: Ground) -> None:
    """A window never promises what a check refuses, nor refuses what a check lets pass."""

    @settings(max_examples=40, deadline=None)
    @given(st.lists(rules(ground), min_size=1, max_size=3), books(ground))
    def same(some: list[dict[str, Any]], told: dict[str, Any]) -> None:
        sweep = swept(ground, told, [compiled(number, data) for number, data in enumerate(some)])
        every = range(sweep.key.first, sweep.key.last + 1)
        clear = set(every)
        for clause in sweep.clauses:
            grades = {step: sweep.grade(clause, step) for step in every}
            assert sweep.pieces(clause) == runs(step for step in every if grades[step] is None)
            allowed = runs(step for step in every if grades[step] != "danger")
            assert sweep.pieces(clause, STOPS) == allowed
            if allowed:  # a rule that flags whatever is entered is told of, and closes nothing
                clear &= {step for low, high in allowed for step in range(low, high + 1)}
        hard = Bounds(Frame(sweep, "", None)).window().hard
        if hard is None:
            assert not clear
            return
        low, high = (
            edge if end.limit is None else round(end.limit / sweep.key.step)
            for end, edge in ((hard.low, every[0]), (hard.high, every[-1]))
        )
        assert clear.issuperset(range(low, high + 1))
        assert clear.isdisjoint({low - 1, high + 1})

    same()
