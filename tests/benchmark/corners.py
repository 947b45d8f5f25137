"""What corners cost in checks, how much they leave undecided, and whether plain sampling contradicts them.

Run it where gonogo is installed, on vehicles of one motor of your choice:

    python tests/benchmark/corners.py --points 200 examples/workshop/vehicles/*.yaml

A line a vehicle: its check and its corners in CPU time, and the answers; meant to stay within 100 checks.
Then every rule that is said to hold everywhere, or nowhere, is asked of the judge at so many points of its
box by chance, half of the sides at an end, each time of a profile made anew; a point that says otherwise is
printed, and there should be none.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from random import Random
from time import process_time

import gonogo
from gonogo.documents.error import DocumentErrors
from gonogo.documents.profile import Profile
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.evaluation import hear, mode_books, ruling
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import SEVERITIES
from gonogo.tolerances.clauses import CornerBench, CornerClause, corner_clauses
from gonogo.tolerances.corners import corners_of
from gonogo.tolerances.enclosure import Box
from gonogo.tolerances.search import WhereHolds
from gonogo.tolerances.tolerance import Tolerated

JUDGED_ON = "2026-11-25"
CHECKS = 20
MOST = 100


def points(box: Box, number: int, chance: Random) -> Iterator[dict[str, float]]:
    """So many points of a box by chance."""
    for _ in range(number):
        yield {
            name: chance.choice((side.low, side.high, *(chance.uniform(*side) for _ in range(2))))
            for name, side in box.items()
        }


def cost(profile: Profile, catalogue: Catalogue) -> tuple[float, str]:
    """The corners of a vehicle in checks of it, and that in words."""
    judge(profile, catalogue, JUDGED_ON)
    start = process_time()
    for _ in range(CHECKS):
        judge(profile, catalogue, JUDGED_ON)
    check_s = (process_time() - start) / CHECKS
    start = process_time()
    corners = corners_of(profile, catalogue, JUDGED_ON)
    corners_s = process_time() - start
    answers = Counter(rule.holds for rule in corners.rules)
    told = ", ".join(f"{count} {word}" for word, count in sorted(answers.items()))
    ratio = corners_s / check_s
    verdicts = f"{corners.judgement.verdict}, everywhere {corners.everywhere}"
    return ratio, (
        f"{profile.name:16} check {1000 * check_s:.1f} ms, corners {corners_s:.2f} s, "
        f"ratio {ratio:.0f}; {verdicts}; {told}"
    )


def contradictions(profile: Profile, catalogue: Catalogue, number: int) -> tuple[int, int]:
    """How many answers were asked for at points, and how many said otherwise."""
    hearing = hear(profile, catalogue, JUDGED_ON)
    tolerated = Tolerated(
        hearing.books[""], profile.givens, profile.house.tolerances, profile.tolerances
    )
    bench = CornerBench(profile, catalogue, hearing.books, tolerated)
    groups: dict[int, tuple[Box, list[tuple[CornerClause, WhereHolds]]]] = {}
    for clause in corner_clauses(hearing, catalogue):
        box = tolerated.box(clause.rule)
        holds = bench.answer(clause).holds
        if box and holds in ("everywhere", "nowhere"):
            groups.setdefault(id(box), (box, []))[1].append((clause, holds))
    asked = wrong = 0
    chance = Random(profile.name)
    for box, clauses in groups.values():
        for point in points(box, number, chance):
            moved = {name: bench.given(name, value) for name, value in point.items()}
            books = mode_books(replace(profile, givens={**profile.givens, **moved}), JUDGED_ON)
            for clause, holds in clauses:
                rank = SEVERITIES.index(clause.severity)
                rulings = [ruling(clause.rule, books[seat]) for seat in clause.seats]
                flags = [
                    one.outcome == "flagged" and SEVERITIES.index(one.severity) <= rank
                    for one in rulings
                ]
                flagged = all(flags) if clause.rule.modes == "any" else any(flags)
                asked += 1
                if flagged != (holds == "nowhere"):
                    wrong += 1
                    print("CONTRADICTED", profile.name, clause.rule.id, clause.severity, point)
    return asked, wrong


def main() -> None:
    """Print what was measured."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--points", type=int, default=50)
    parser.add_argument("profiles", nargs="+", type=Path)
    arguments = parser.parse_args()
    ratios, asked, wrong, vehicles = [], 0, 0, 0
    for path in arguments.profiles:
        try:
            profile, catalogue = gonogo._with_catalogue(path)
        except DocumentErrors:
            continue
        if profile.motors:
            continue
        ratio, told = cost(profile, catalogue)
        print(told, flush=True)
        ratios.append(ratio)
        more, broken = contradictions(profile, catalogue, arguments.points)
        asked, wrong, vehicles = asked + more, wrong + broken, vehicles + 1
    print(f"{vehicles} vehicles: {asked} answers at points, {wrong} contradicted")
    print(f"largest ratio {max(ratios):.0f}, meant to stay within {MOST}")


if __name__ == "__main__":
    main()
