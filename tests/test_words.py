"""The words of the trade: the ones that we gave up are found nowhere that a reader looks."""

from __future__ import annotations

import re
import tokenize
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
GIVEN_UP = {
    "is rated for, withstands": r"\bbears?\b|\bbearable\b",
    "is missing, is given": r"\bnot told\b|\btold (by|as|with)\b",
    "the display is set to": r"\breckon(s|ed)?\b",
    "trips, is released": r"\blets? go\b",
    "continuous": r"\bwithout end\b",
    "fail shorted": r"\bfails? closed\b",
    "lithium plating": r"\bplates? metal\b",
    "dead band": r"\bdead (space|way)\b",
    "no-load test": r"\bfree[ _]spin\b",
    "when it should not": r"\bfor nothing\b",
    "BMS": r"(?<!cup)(?<!key)(?<!on )(?<!dash)\bboards?\b|\bprotection board\b",
    "min, max": r"\b(lowest|highest|hottest|coldest)_\w",
    "low-voltage cutoff": r"\blow[- ]voltage stop\b",
    "advice": r"\bseverity: caution\b|\b\d+ cautions?\b|\b[Aa] caution\b",
    "signal fault limit": r"\blost limits?\b",
    "motor identification": r"\bidentification run\b",
    "checked": r"\bnot judged\b|\brules? judged\b|not_judged",
    "voltage": r"\b(pack|nominal|full|rest|cell|throttle|phase|line)('s)?( own)? volts\b",
    "continuous current": r"\b[Aa]mperes that\b",
    "depends on": r"\bhangs? on\b",
    "values missing": r"\bfor want of\b",
    "circumference": r"\bway round\b|\bwheel round\b",
    "conflict": r"\bcannot all hold\b",
    "an advice": r"\ba advice\b",
    "default, set in house.yaml": r"\bthe shop's allowance\b",
    "--against": r"--since\b",
}
TEXTS = [
    *sorted((ROOT / "rules").rglob("*.yaml")),
    *sorted((ROOT / "schemas").glob("*.json")),
    *sorted((ROOT / "lint" / "tables").glob("*.yaml")),
    *sorted((ROOT / "examples").rglob("*.yaml")),
    *sorted((ROOT / "examples").rglob("*.md")),
    *sorted((ROOT / "lint" / "topics").glob("*.md")),
    ROOT / "README.md",
    ROOT / "DEVELOPERS.md",
]
SPOKEN = ("STRING", "FSTRING_MIDDLE", "COMMENT")  # the second since Python 3.12
CODE = sorted((ROOT / "lint").rglob("*.py"))


def lines(path: Path) -> Iterator[tuple[int, str]]:
    """What stands on each line; of code its strings, docstrings among them, and its comments."""
    if path.suffix != ".py":
        yield from enumerate(path.read_text("utf-8").splitlines(), 1)
        return
    with tokenize.open(path) as file:
        for token in tokenize.generate_tokens(file.readline):
            if tokenize.tok_name[token.type] in SPOKEN:
                yield from enumerate(token.string.splitlines(), token.start[0])


@cache
def every_line() -> list[tuple[str, str]]:
    """All lines that are searched, each with its place; read once for all the words."""
    return [
        (f"{path.relative_to(ROOT)}:{number}: ", line)
        for path in (*TEXTS, *CODE)
        for number, line in lines(path)
    ]


@pytest.mark.parametrize(("instead", "word"), GIVEN_UP.items(), ids=list(GIVEN_UP))
def test_a_word_that_was_given_up_is_found_nowhere(instead: str, word: str) -> None:
    """People search for the words that they know, and each thing has one."""
    old = re.compile(word)
    found = [place + line.strip() for place, line in every_line() if old.search(line)]
    assert not found, "\n".join([f"instead: {instead}", *found])


def test_the_search_reads_what_a_reader_reads() -> None:
    """An empty folder would pass too."""
    assert len(TEXTS) > 200 and len(CODE) > 100
    assert any("doctest" in line for _, line in lines(ROOT / "lint" / "__init__.py"))
