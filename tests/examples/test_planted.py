"""Planted faults: one value of a sound vehicle moved just past each limit, and just inside it."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import gonogo
import pytest
from gonogo.documents.profile import Given
from gonogo.documents.schema import properties
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.evaluation import ruling
from gonogo.judgement.finding import Judgement
from gonogo.judgement.judge import BASE, Hearing, hear
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


def heard(name: str) -> tuple[Hearing, Catalogue]:
    from gonogo.documents.loading import load_profile
    from gonogo.documents.repository import open_repository

    repository, inside = open_repository(EXAMPLES / "workshop" / "vehicles" / f"{name}.yaml")
    catalogue = shop_of(repository).catalogue
    return hear(load_profile(repository, inside), catalogue, AS_OF), catalogue


def moves(hearing: Hearing, given: Given) -> Iterator[Planted]:
    """The nearest step up and down at which each rule begins to flag."""
    moved = affected(frozenset({given.name}))
    for decided in hearing.rulings[BASE].values():
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


def judged_with(path: Path, given: Given, value: float) -> Judgement:
    """The vehicle's file judged with one number replaced at its place."""
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines(keepends=True)
    line = lines[given.place.line - 1]
    start = given.place.column - 1
    found = NUMBER.match(line, start)
    assert found is not None, line
    lines[given.place.line - 1] = line[:start] + f"{value:.9g}" + line[found.end() :]
    path.write_text("".join(lines), encoding="utf-8")
    try:
        return gonogo.check(path, as_of=AS_OF)
    finally:
        path.write_text(text, encoding="utf-8")


def rules_of(judgement: Judgement) -> set[str]:
    return {finding.rule.id for finding in judgement.findings if finding.waived is None}


def in_base(judgement: Judgement) -> set[str]:
    """The rules that flag in the base settings; a mode may come to its limit before they do."""
    return {finding.rule.id for finding in judgement.findings if not finding.modes}


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the workshop to plant faults in."""
    copy = tmp_path_factory.mktemp("planted") / "workshop"
    shutil.copytree(EXAMPLES / "workshop", copy)
    return copy


@pytest.mark.parametrize("name", SOUND)
def test_each_limit_flags_one_step_past_it_and_not_on_it(workshop: Path, name: str) -> None:
    """Just past a limit the rule speaks; just inside it is silent, and so are all the others."""
    hearing, catalogue = heard(name)
    path = workshop / "vehicles" / f"{name}.yaml"
    sound = rules_of(gonogo.check(path, as_of=AS_OF))
    planted = [move for given in numbers(hearing) for move in moves(hearing, given)]
    assert len(planted) > 60
    seen: dict[tuple[str, float], Judgement] = {}
    for move in planted:
        reached = affected(frozenset({move.given.name}))
        for value in (move.inside, move.past):
            key = (move.given.entered_as, value)
            if key not in seen:
                seen[key] = judged_with(path, move.given, value)
        past = seen[move.given.entered_as, move.past]
        finding = next(one for one in past.findings if one.rule.id == move.rule and not one.modes)
        severe = finding.severity in ("danger", "fault")
        assert (past.verdict == "no-go") or not severe, move
        for rule in rules_of(past) - sound:
            causes = catalogue.rules[rule].reads
            assert rule in PAPERS or not reached.isdisjoint(causes), (move, rule)
        assert move.rule not in in_base(seen[move.given.entered_as, move.inside]), move
        places = {finding.place, *(related.place for related in finding.related)}
        assert move.given.place.line in {place.line for place in places}, (move, finding.place)


# Rules about overrides and about windows that close hang on whatever was changed.
PAPERS = {
    "override-raises-rating",
    "settings-cannot-all-hold",
    "settings-cannot-all-agree",
}
