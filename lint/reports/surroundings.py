"""What stood round the profiles of a check: house files, other YAML files, values that were tried."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Literal, NamedTuple, Protocol

from ..documents.profile import TriedValue
from ..documents.text import so_many

OtherKind = Literal["part", "house", "rule", "known", "other", "passed", "gone", "left_out"]
KIND_NOUNS: dict[OtherKind, str] = {
    "part": "part",
    "house": "house file",
    "rule": "own rule",
    "known": "known-findings list",
    "other": "other YAML file",
    "passed": "file passed over",
    "gone": "missing file",
    "left_out": "profile that this sparse clone leaves out",
}
NAMED_KINDS = ("other", "passed", "gone", "left_out")  # of which the names are told
AFTER_A_NOUN = ("passed", "that")
MOST_HOUSES = 4
MOST_FOREIGN = 4
WITHOUT_HOUSE = "no house file"


class Other(NamedTuple):
    """A file that is no profile: what it is, `other` for YAML that is not ours.

    One that the call named may be `passed` over, as none of ours, or `gone`.
    """

    file: str
    kind: OtherKind


class Housed(Protocol):
    """A profile that was judged under a house file, "" for none, and so many of its own rules."""

    @property
    def house(self) -> str:
        """The house file that held."""

    @property
    def house_rules(self) -> int:
        """How many of its own rules did."""


def house_words(share: Housed) -> str:
    """The house file that held for one profile: `house.yaml: 2 own rules`."""
    return houses_in_words([share])


def houses_held(shares: Sequence[Housed]) -> list[tuple[str, int]]:
    """The house files that held, each with how many of its own rules; ("", 0) for none."""
    return sorted({(share.house, share.house_rules) for share in shares})


def houses_in_words(shares: Sequence[Housed]) -> str:
    """The house files that held for some profiles."""
    held = [(file, rules) for file, rules in houses_held(shares) if file]
    if not held:
        return WITHOUT_HOUSE
    words = [
        f"{file}: {so_many(rules, 'own rule') if rules else 'no own rules'}" for file, rules in held
    ]
    without = sum(not share.house for share in shares)
    few = [
        *words[:MOST_HOUSES],
        *([f"{len(words) - MOST_HOUSES} more"] if words[MOST_HOUSES:] else []),
    ]
    return ", ".join(
        [*few, *([f"{WITHOUT_HOUSE} for {so_many(without, 'profile')}"] if without else [])]
    )


def others_in_words(others: Sequence[Other]) -> str:
    """What else lay there, what is not ours by its name.

    >>> others_in_words([Other("cell.yaml", "part"), Other("ci.yml", "other")])
    'besides 1 part, 1 other YAML file (ci.yml)'
    """
    amounts = Counter(other.kind for other in others)
    words = []
    for kind, noun in KIND_NOUNS.items():
        names = [other.file for other in others if other.kind == kind and kind in NAMED_KINDS]
        few = [*names[:MOST_FOREIGN], *(["…"] if names[MOST_FOREIGN:] else [])]
        if amounts[kind]:
            words.append(_amount(amounts[kind], noun) + (f" ({', '.join(few)})" if few else ""))
    return f"besides {', '.join(words)}"


def _amount(number: int, noun: str) -> str:
    """A number of things of which the first word may be counted: `2 files passed over`."""
    words = noun.split(" ")
    count = next((at for at, word in enumerate(words) if word in AFTER_A_NOUN), len(words))
    return " ".join((so_many(number, " ".join(words[:count])), *words[count:]))


def tried_in_words(tried: Sequence[TriedValue], profile: str) -> str:
    """The values that a report was made with, and what the files say; "" where none was tried.

    >>> tried_in_words([TriedValue("settings.max_rpm", "4000", "3600", "larch.yaml")], "larch.yaml")
    'with settings.max_rpm: 4000 tried; the file says 3600'
    """
    if not tried:
        return ""
    if len(tried) == 1:
        return f"with {tried[0].key}: {tried[0].value} tried; {_says(tried[0], profile)}"
    values = (f"{one.key}: {one.value} ({_says(one, profile)})" for one in tried)
    return f"with {' and '.join(values)} tried"


def _says(one: TriedValue, profile: str) -> str:
    """What stands in the file now."""
    file = "the file" if one.file == profile else f"the part {one.file}"
    if one.in_part:
        return f"tried in {file}, which says {one.said or 'nothing'}"
    return f"{file} says {one.said or 'nothing'}"


def tried_anywhere(tried: Sequence[Sequence[TriedValue]]) -> str:
    """The values that a report over several profiles was made with, "" where none was tried."""
    values = dict.fromkeys(f"{one.key}: {one.value}" for each in tried for one in each)
    return f"with {' and '.join(values)} tried, not as the files are" if values else ""
