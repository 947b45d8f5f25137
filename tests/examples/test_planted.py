"""Planted faults: one value of a sound vehicle moved just past each limit, and just inside it."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

import gonogo
from gonogo.documents.profile import Given
from gonogo.documents.schema import properties
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.finding import Judgement
from gonogo.judgement.judge import BASE, Hearing, hear
from gonogo.judgement.ruling import ruling
from gonogo.judgement.shop import shop_of
from gonogo.quantities.registry import moved_by

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
    entry = properties()[given.entered_as]
    step = entry.step or 1.0
    book = hearing.books[BASE]
    moved = moved_by(frozenset({given.name})) | {given.name}
    for decided in hearing.rulings[BASE].values():
        rule = decided.rule
        if moved.isdisjoint(rule.reads) or decided.outcome == "flagged":
            continue

        def flags(entered: float) -> bool:
            new = Given(
                given.name,
                entered * given.factor,
                given.entered_as,
                entered,
                given.factor,
                given.place,
            )
            return ruling(rule, book.changed({given.name: new})).outcome == "flagged"

        for sign in (1, -1):
            reach = 1
            while _inside_range(entry, given.entered + sign * reach * step):
                if flags(round(given.entered + sign * reach * step, 9)):
                    near, far = reach // 2, reach
                    while far - near > 1:
                        middle = (near + far) // 2
                        if flags(round(given.entered + sign * middle * step, 9)):
                            far = middle
                        else:
                            near = middle
                    yield Planted(
                        given,
                        rule.id,
                        round(given.entered + sign * near * step, 9),
                        round(given.entered + sign * far * step, 9),
                    )
                    break
                reach *= 2


def _inside_range(entry: object, value: float) -> bool:
    low, high = entry.lowest, entry.highest  # type: ignore[attr-defined]
    above = value > low if entry.strictly_above else value >= low  # type: ignore[attr-defined]
    return above and value <= high


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
        reached = moved_by(frozenset({move.given.name})) | {move.given.name}
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
