"""Builds that are no examples, against dense sampling of what was said to hold everywhere or nowhere.

Each was written for this alone, near its limits, with tolerances and modes of its own. The benchmark of
corners samples them far more densely than a suite has time for.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import gonogo
import pytest
from gonogo.judgement.evaluation import mode_books
from gonogo.tolerances.clauses import CornerClause
from gonogo.tolerances.enclosure import Box
from gonogo.tolerances.excess import flags_at

from .example_vehicles import DAY, bench_of

KEPT_BACK = sorted((Path(__file__).parent / "kept_back").glob("*.yaml"))
POINTS = 24  # a box; the answers of all its rules are asked at each


@pytest.mark.parametrize("path", KEPT_BACK, ids=lambda path: path.stem)
def test_no_point_of_a_dense_sample_contradicts_an_answer(path: Path) -> None:
    """A point that breaks what holds everywhere is a promise that somebody rides on."""
    bench, clauses = bench_of(path)
    profile = bench.profile
    groups: dict[int, tuple[Box, list[tuple[CornerClause, str]]]] = {}
    for clause in clauses:
        box, holds = bench.tolerated.box(clause.rule), bench.answer(clause).holds
        if box and holds in ("everywhere", "nowhere"):
            groups.setdefault(id(box), (box, []))[1].append((clause, holds))
    chance, asked = Random(path.stem), 0
    for box, answers in groups.values():
        for _ in range(POINTS):
            spot = {
                name: chance.choice((side.low, side.high, *(chance.uniform(*side) for _ in "ab")))
                for name, side in box.items()
            }
            moved = {name: bench.given(name, value) for name, value in spot.items()}
            books = mode_books(replace(profile, givens={**profile.givens, **moved}), DAY)
            for clause, holds in answers:
                flags = [
                    flags_at(clause.rule, clause.severity, books[seat]) for seat in clause.seats
                ]
                flagged = all(flags) if clause.rule.modes == "any" else any(flags)
                assert flagged == (holds == "nowhere"), (clause.rule.id, clause.severity, spot)
                asked += 1
    assert asked > 3000


@pytest.mark.parametrize("path", KEPT_BACK, ids=lambda path: path.stem)
def test_every_failure_has_a_next_step(path: Path) -> None:
    """What fails at a corner says what to do there, and what to measure that would settle it."""
    found = gonogo.corners(path, DAY)
    settled = {rule for one in (*found.settle, *found.settle_together) for rule in one.rules}
    fails = [one for one in found.rules if one.holds == "somewhere"]
    assert fails
    for one in fails:
        assert one.at_corner.causes and one.at_corner.remedy, one.rule.id
        assert one.rule.id in settled or one.at_corner.told_by, one.rule.id
