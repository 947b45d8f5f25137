"""What would settle a rule that holds in a part of its box only: the entries to be known exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..judgement.rule import SEVERITIES, STOPS
from .clauses import CornerBench, CornerClause

_SETTLED = ("everywhere", "nowhere")


@dataclass(frozen=True, slots=True)
class Settling:
    """An entry that, were it known exactly and as it is entered, would settle these rules."""

    quantity: str
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SettlingTogether:
    """Entries of which no one alone settles these rules, but all of them together would."""

    quantities: tuple[str, ...]
    rules: tuple[str, ...]


def settling(bench: CornerBench, doubted: Sequence[CornerClause]) -> Iterator[Settling]:
    """The entries of which one alone settles rules that are in doubt, those that settle most first."""
    settled: dict[str, list[CornerClause]] = {}
    for clause in doubted:
        box = bench.tolerated.box(clause.rule)
        for name in sorted(bench.excess(clause, box).sides):
            if _settles(bench, clause, frozenset({name})):
                settled.setdefault(name, []).append(clause)
    for name, clauses in sorted(settled.items(), key=lambda one: (*_weight(one[1]), one[0])):
        yield Settling(name, _named(clauses))


def settling_together(
    bench: CornerBench, doubted: Sequence[tuple[CornerClause, tuple[str, ...]]]
) -> Iterator[SettlingTogether]:
    """For rules that no one entry settles the fewest that do, taken from what moves each of them most.

    Each clause comes with the entries that bring it to its corner, the strongest first.
    """
    found: dict[tuple[str, ...], list[CornerClause]] = {}
    for clause, movers in doubted:
        group = _group(bench, clause, movers)
        if group:
            found.setdefault(group, []).append(clause)
    for names, clauses in sorted(found.items(), key=lambda one: (*_weight(one[1]), one[0])):
        yield SettlingTogether(names, _named(clauses))


def _group(bench: CornerBench, clause: CornerClause, movers: tuple[str, ...]) -> tuple[str, ...]:
    """Entries added one by one until they settle a clause, without those that proved needless."""
    sides = bench.excess(clause, bench.tolerated.box(clause.rule)).sides
    taken: list[str] = []
    for name in dict.fromkeys((*movers, *sorted(sides))):
        taken.append(name)
        if _settles(bench, clause, frozenset(taken)):
            break
    else:
        return ()
    for name in list(taken):
        fewer = frozenset(taken) - {name}
        if _settles(bench, clause, fewer):
            taken.remove(name)
    return tuple(taken)


def _settles(bench: CornerBench, clause: CornerClause, exact: frozenset[str]) -> bool:
    return bench.answer(clause, exact).holds in _SETTLED


def _named(clauses: Sequence[CornerClause]) -> tuple[str, ...]:
    """The rules of some clauses, each once, the gravest first."""
    ordered = sorted(clauses, key=lambda one: SEVERITIES.index(one.counts_as))
    return tuple(dict.fromkeys(one.rule.id for one in ordered))


def _weight(clauses: Sequence[CornerClause]) -> tuple[int, int]:
    """Fewest first: of what stops, then of all, counted below nought."""
    stops = {one.rule.id for one in clauses if one.counts_as in STOPS}
    return -len(stops), -len({one.rule.id for one in clauses})
