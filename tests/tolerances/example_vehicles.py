"""The example vehicles of one motor, with all that their corners are judged by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from random import Random

import gonogo
from gonogo.judgement.evaluation import hear, mode_books, ruling
from gonogo.judgement.rule import SEVERITIES
from gonogo.tolerances.clauses import CornerBench, CornerClause, corner_clauses
from gonogo.tolerances.enclosure import Box
from gonogo.tolerances.tolerance import Tolerated

ROOT = Path(__file__).parents[2]
WORKSHOP = ROOT / "examples/workshop/vehicles"
SEVERAL = "bindweed"  # has two motors
SOUND = ROOT / "tests/hazards/sound"
# Vehicles of which a rule fails between corners alone, and others that the workshop has none of.
MORE = ("flooded-mower", "mower-with-blades", "off-road-weakened", "golf-gel", "snow-track")
EXAMPLES = [
    *(path for path in sorted(WORKSHOP.glob("*.yaml")) if path.stem != SEVERAL),
    *(SOUND / f"{name}.yaml" for name in MORE),
]
DAY = "2026-11-25"
POINTS = 12  # a box; tests/benchmark/corners.py takes as many as it is told to


def bench_of(path: Path) -> tuple[CornerBench, list[CornerClause]]:
    """A vehicle with all that its corners are judged by."""
    profile, rules = gonogo._with_catalogue(path)
    hearing = hear(profile, rules, DAY)
    tolerated = Tolerated(
        hearing.books[""], profile.givens, profile.house.tolerances, profile.tolerances
    )
    bench = CornerBench(profile, rules, hearing.books, tolerated)
    return bench, list(corner_clauses(hearing, rules))


def points(box: Box, seed: str) -> Iterator[dict[str, float]]:
    """Points of a box by chance, half of their sides at an end."""
    chance = Random(seed)
    for _ in range(POINTS):
        yield {
            name: chance.choice((side.low, side.high, *(chance.uniform(*side) for _ in range(2))))
            for name, side in box.items()
        }


def plainly_flagged(clause: CornerClause, bench: CornerBench, point: Mapping[str, float]) -> bool:
    """What the judge says of a profile that has these values entered, and nothing remembered."""
    moved = {name: bench.given(name, value) for name, value in point.items()}
    profile = replace(bench.profile, givens={**bench.profile.givens, **moved})
    books = mode_books(profile, DAY)
    rank = SEVERITIES.index(clause.severity)
    found = [ruling(clause.rule, books[seat]) for seat in clause.seats]
    flags = [one.outcome == "flagged" and SEVERITIES.index(one.severity) <= rank for one in found]
    return all(flags) if clause.rule.modes == "any" else any(flags)
