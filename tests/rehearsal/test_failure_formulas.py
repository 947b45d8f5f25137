"""The quantities of failures: what is said of each, and that its formula is what its function does."""

from __future__ import annotations

from random import Random

import pytest
from gonogo.documents.units import UNITS
from gonogo.expressions.formula import formula_of, scope_of, written
from gonogo.expressions.names import vocabulary
from gonogo.quantities.operand import NotWorked, Operand
from gonogo.quantities.registry import WORKED, reaches
from gonogo.quantities.worked import Worked
from gonogo.rehearsal.failure_book import FAILURE_FORMULAS, failure_names
from gonogo.rehearsal.failure_file import failure_specs
from gonogo.rehearsal.inductance import LEAST_INDUCTANCE, MOST_INDUCTANCE

SPECS = [
    pytest.param(spec, id=name)
    for name, specs in sorted(FAILURE_FORMULAS.items())
    for spec in specs
]
STATED = [one for one in SPECS if one.values[0].formula]


def value_of(name: str, draw: Random) -> float | bool:
    """A random value of a quantity, in eighths, ones often enough to matter."""
    if failure_names()[name].sort == "boolean":
        return draw.random() < 0.5
    return draw.choice([1.0, 2.0, draw.randint(1, 400) / 8, draw.randint(1, 3200) / 8])


@pytest.mark.parametrize("spec", STATED)
def test_a_formula_says_what_its_function_does(spec: Worked) -> None:
    """Whoever checks it by hand comes to the number that the page has."""
    stated, scope, draw = formula_of(spec), scope_of(spec), Random(spec.name)
    assert stated is not None
    worked_out = 0
    for _ in range(300):
        told = {argument: value_of(name, draw) for argument, name in spec.inputs.items()}
        known = {name: Operand(value) for name, value in told.items()}
        applies = scope is None or scope.evaluate(known.__getitem__).value is True
        try:
            value = spec.function(**told)
        except NotWorked:
            assert not applies
            continue
        assert applies
        assert stated.evaluate(known.__getitem__).number == pytest.approx(value, rel=1e-9)
        worked_out += 1
    assert worked_out > 20


@pytest.mark.parametrize("spec", SPECS)
def test_each_quantity_says_what_it_is(spec: Worked) -> None:
    """A title of few words, a unit, inputs that exist, and a source."""
    assert spec.name.startswith("failure.") and spec.unit in UNITS
    assert 0 < len(spec.title) <= 52 and spec.source.endswith(".")
    assert set(spec.inputs.values()) <= failure_names().keys()
    assert written(spec, {argument: f"<{argument}>" for argument in spec.inputs})


def test_failures_work_nothing_out_that_a_check_works_out_too() -> None:
    """One calculation has one name, and none goes round in a circle."""
    assert FAILURE_FORMULAS.keys().isdisjoint(vocabulary())
    assert reaches({**WORKED, **FAILURE_FORMULAS})
    titles = [spec.title for specs in FAILURE_FORMULAS.values() for spec in specs]
    assert len(set(titles)) == len(titles)
    every = [spec for specs in (*WORKED.values(), *FAILURE_FORMULAS.values()) for spec in specs]
    stated = [spec for spec in every if spec.formula]
    sums = [(spec.formula, sorted(spec.inputs.items())) for spec in stated]
    again = [
        spec.name
        for spec, one in zip(stated, sums, strict=True)
        if spec.name in FAILURE_FORMULAS and sums.count(one) > 1
    ]
    assert not again


def test_every_quantity_of_a_failure_is_asked_for() -> None:
    """What no failure names is worked out for nobody."""
    named = {effect.of for spec in failure_specs() for effect in spec.effect} | {
        LEAST_INDUCTANCE,
        MOST_INDUCTANCE,
    }
    for spec in failure_specs():
        expressions = [spec.when, *(one.after_ms for one in spec.effect)]
        expressions += [end for one in spec.caught_by for end in (one.when, one.within_ms)]
        named |= {name for one in expressions if one is not None for name in one.names}
    below = reaches({**WORKED, **FAILURE_FORMULAS})
    reached = {name for one in named if one in below for name in below[one]}
    assert FAILURE_FORMULAS.keys() <= reached | named
