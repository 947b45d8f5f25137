"""Worst cases of circuits that every textbook works out, by the same search that judges a vehicle."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from gonogo.documents.units import UNITS
from gonogo.expressions.compiler import compiled
from gonogo.expressions.formula import FormulaCompiler
from gonogo.expressions.types import Type
from gonogo.tolerances.branches import enclosed
from gonogo.tolerances.extent import Extent
from gonogo.tolerances.interval import Interval
from gonogo.tolerances.search import BoxAnswer, BoxQuestion, answer_of
from gonogo.tolerances.sloped import Sloped

Sides = Mapping[str, tuple[float, float]]


def span_of(formula: str, sides: Mapping[str, Interval]) -> Extent:
    """All that a formula comes to over its sides."""
    types = dict.fromkeys(sides, Type("number", UNITS[""]))
    tree = compiled(formula, FormulaCompiler(types))
    spans = {
        name: Extent(
            Sloped(side, {} if side.is_point else {name: Interval(1.0, 1.0)}),
            sides=frozenset({name}),
        )
        for name, side in sides.items()
    }
    return enclosed(tree, spans.__getitem__)


def extremes(formula: str, sides: Sides) -> tuple[float, float]:
    """The least and the greatest value, each found as the edge between breaking a limit and keeping it."""
    box = {name: Interval(*side) for name, side in sides.items()}

    def holds(text: str) -> BoxAnswer:
        def flags(point: Mapping[str, float]) -> bool:
            number = span_of(text, {name: Interval(v, v) for name, v in point.items()}).number
            return number is not None and number.value.low > 0.0

        return answer_of(BoxQuestion(lambda part: span_of(text, part), flags), box)

    def edge(low: float, high: float, text: str, holds_above: bool) -> float:
        for _ in range(50):
            middle = (low + high) / 2.0
            if (holds(text.format(middle)).holds == "everywhere") == holds_above:
                high = middle
            else:
                low = middle
        return (low + high) / 2.0

    span = 1e4
    most = edge(0.0, span, f"({formula}) > {{!r}}", True)
    least = edge(0.0, span, f"({formula}) < {{!r}}", False)
    return least, most


@pytest.mark.parametrize(
    ("formula", "sides", "least", "most"),
    [
        pytest.param(
            "volts * lower / (upper + lower)",
            {"volts": (10.0, 10.0), "lower": (9.5, 10.5), "upper": (9.5, 10.5)},
            4.75,  # 10 V × 9.5 / (9.5 + 10.5)
            5.25,  # 10 V × 10.5 / (9.5 + 10.5)
            id="divider of two equal resistors of 5 %: half, give or take a twentieth",
        ),
        pytest.param(
            "ohm * farad",
            {"ohm": (0.95, 1.05), "farad": (0.8, 1.2)},
            0.76,  # 0.95 × 0.8
            1.26,  # 1.05 × 1.2
            id="time constant of 5 % and 20 %: 24 % less to 26 % more",
        ),
        pytest.param(
            "one * other / (one + other)",
            {"one": (90.0, 110.0), "other": (90.0, 110.0)},
            45.0,  # 90 beside 90
            55.0,  # 110 beside 110
            id="two in parallel: each resistor stands there twice, and the result is still exact",
        ),
        pytest.param(
            "volts * volts * load / ((source + load) * (source + load))",
            {"volts": (10.0, 10.0), "source": (1.0, 1.0), "load": (0.5, 3.0)},
            18.75,  # 100 × 3 / 16 at the high end
            25.0,  # at load = source, inside: the maximum power theorem
            id="power into a load is greatest where it equals the source, at no corner",
        ),
    ],
)
def test_worst_cases_of_circuits_are_found(
    formula: str, sides: Sides, least: float, most: float
) -> None:
    """Worked by hand from Ohm's law; the last from the maximum power theorem.

    The divider and the time constant are the usual examples of extreme value analysis (from memory of
    textbooks on tolerance design); the numbers beside them are worked out here.
    """
    # At no corner it is found to the width of the search: a thirty-second of a side here is 0.7 %.
    assert extremes(formula, sides) == pytest.approx((least, most), rel=1e-2)
