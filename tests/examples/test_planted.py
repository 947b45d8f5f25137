"""Planted faults: one value of a sound vehicle moved just past each limit, and just inside it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import cast

import pytest
from gonogo.documents.files import Files, Listing
from gonogo.documents.loading import load_profile
from gonogo.documents.profile import BASE, Given
from gonogo.documents.repository import Repository, open_repository
from gonogo.documents.schema import properties
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.evaluation import Hearing, hear, ruling
from gonogo.judgement.finding import Judgement
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import Rule
from gonogo.judgement.site_rules import shop_of
from gonogo.quantities.book import Book
from gonogo.quantities.registry import affected

EXAMPLES = Path(__file__).parents[2] / "examples"
SOUND = ("bracken", "burdock", "clover", "comfrey", "cotton-grass", "teasel")
AS_OF = "2026-11-25"
NUMBER = re.compile(r"[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?")


@dataclass(frozen=True)
class Planted:
    """A value moved by one entry step across the limit of a rule."""

    given: Given
    rule: str
    inside: float
    past: float


@dataclass
class Bench:
    """A vehicle's file with a text that changes; the other files of the workshop are read once."""

    path: str
    text: str
    repository: Repository
    catalogue: Catalogue

    def judged(self, text: str) -> Judgement:
        """The vehicle judged as if that were in its file."""
        changing = cast(Changing, self.repository.files)
        changing.data = text.encode()
        return judge(load_profile(self.repository, self.path), self.catalogue, AS_OF)


@dataclass
class Changing:
    """A tree of files of which one reads as the bytes that it is given."""

    files: Files
    path: str
    data: bytes
    prefix: str = ""

    def read(self, path: str) -> bytes:
        return self.data if path == self.path else self.files.read(path)

    def begin(self, path: str) -> bytes:
        return self.read(path)

    def exists(self, path: str) -> bool:
        return self.files.exists(path)

    def paths(self, below: str = "") -> Listing:
        return self.files.paths(below)


def bench_of(name: str) -> Bench:
    """A vehicle of the workshop on the bench."""
    opened, path = open_repository(EXAMPLES / "workshop" / "vehicles" / f"{name}.yaml")
    data = opened.files.read(path)
    repository = Repository(Changing(opened.files, path, data))
    shop = shop_of(repository)
    assert not shop.errors
    return Bench(path, data.decode(), repository, shop.catalogue)


def moves(hearing: Hearing, given: Given) -> Iterator[Planted]:
    """The nearest step up and down at which each rule begins to flag.

    A rule that one mode may answer for all is left out where there are modes.
    """
    moved = affected(frozenset({given.name}))
    for decided in hearing.rulings[BASE].values():
        if decided.rule.modes == "any" and hearing.profile.modes:
            continue
        if moved.isdisjoint(decided.rule.reads) or decided.outcome == "flagged":
            continue
        for sign in (1, -1):
            far = first_flagged(decided.rule, given, hearing.books[BASE], sign)
            if far is not None:
                inside, past = (stepped(given, sign * steps) for steps in (far - 1, far))
                yield Planted(given, decided.rule.id, inside, past)


def first_flagged(rule: Rule, given: Given, book: Book, sign: int) -> int | None:
    """How many steps from the given value the rule begins to flag, if it does in the range."""

    def flags(steps: int) -> bool:
        entered = stepped(given, sign * steps)
        new = replace(given, value=entered * given.factor, entered=entered)
        return ruling(rule, book.changed({given.name: new})).outcome == "flagged"

    far = 1
    while _inside_range(given, stepped(given, sign * far)):
        if flags(far):
            near = far // 2
            while far - near > 1:
                middle = (near + far) // 2
                near, far = (near, middle) if flags(middle) else (middle, far)
            return far
        far *= 2
    return None


def stepped(given: Given, steps: int) -> float:
    """The entered value so many entry steps on."""
    return round(given.entered + steps * (properties()[given.entered_as].step or 1.0), 9)


def _inside_range(given: Given, value: float) -> bool:
    entry = properties()[given.entered_as]
    assert entry.lowest is not None
    assert entry.highest is not None
    above = value > entry.lowest if entry.strictly_above else value >= entry.lowest
    return above and value <= entry.highest


def numbers(hearing: Hearing) -> Iterator[Given]:
    """The numbers that the profile's own file gives in its base settings."""
    for given in hearing.profile.givens.values():
        entry = properties().get(given.entered_as)
        if (
            entry is not None
            and entry.kind in ("number", "integer")
            and given.place.file == hearing.profile.file
            and isinstance(given.entered, int | float)
        ):
            yield given


def judged_with(bench: Bench, given: Given, value: float) -> Judgement:
    """The vehicle's file judged with one number replaced at its place."""
    lines = bench.text.splitlines(keepends=True)
    line = lines[given.place.line - 1]
    start = given.place.column - 1
    found = NUMBER.match(line, start)
    assert found is not None, line
    lines[given.place.line - 1] = line[:start] + f"{value:.9g}" + line[found.end() :]
    return bench.judged("".join(lines))


def rules_of(judgement: Judgement) -> set[str]:
    return {finding.rule.id for finding in judgement.findings if finding.waived is None}


def in_base(judgement: Judgement) -> set[str]:
    """The rules that flag in the base settings; a mode may come to its limit before they do."""
    return {finding.rule.id for finding in judgement.findings if not finding.modes}


@pytest.mark.parametrize("name", SOUND)
def test_each_limit_flags_one_step_past_it_and_not_on_it(name: str) -> None:
    """Just past a limit the rule speaks; just inside it is silent, and so are all the others."""
    bench = bench_of(name)
    hearing = hear(load_profile(bench.repository, bench.path), bench.catalogue, AS_OF)
    sound = rules_of(bench.judged(bench.text))
    planted = [move for given in numbers(hearing) for move in moves(hearing, given)]
    assert len(planted) > 60
    seen: dict[tuple[str, float], Judgement] = {}
    for move in planted:
        reached = affected(frozenset({move.given.name}))
        for value in (move.inside, move.past):
            key = (move.given.entered_as, value)
            if key not in seen:
                seen[key] = judged_with(bench, move.given, value)
        past = seen[move.given.entered_as, move.past]
        finding = next(
            one for one in past.findings if move.rule in (one.rule.id, *one.also) and not one.modes
        )
        severe = finding.severity in ("danger", "fault")
        assert (past.verdict == "no-go") or not severe, move
        for rule in rules_of(past) - sound:
            causes = bench.catalogue.rules[rule].reads
            assert rule in PAPERS or not reached.isdisjoint(causes), (move, rule)
        assert move.rule not in in_base(seen[move.given.entered_as, move.inside]), move
        places = {finding.place, *(related.place for related in finding.related)}
        assert move.given.place.line in {place.line for place in places}, (move, finding.place)


# Rules about overrides and about windows that close hang on whatever was changed.
PAPERS = {
    "override-raises-rating",
    "settings-conflict-danger",
    "settings-conflict",
}
