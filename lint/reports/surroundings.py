"""What stood round the profiles of a check: the house files that held, and the other YAML files."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Literal, NamedTuple, Protocol

from ..documents.text import so_many

OtherKind = Literal["part", "house", "rule", "known", "other"]
KIND_NOUNS: dict[OtherKind, str] = {
    "part": "part",
    "house": "house file",
    "rule": "own rule",
    "known": "list of known findings",
    "other": "other YAML file",
}
MOST_HOUSES = 4
MOST_FOREIGN = 4
WITHOUT_HOUSE = "no house file"


class Other(NamedTuple):
    """A YAML file under the paths that is no profile: what it is, `other` where it is not ours."""

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
    words = [so_many(amounts[kind], noun) for kind, noun in KIND_NOUNS.items() if amounts[kind]]
    names = [other.file for other in others if other.kind == "other"]
    few = [*names[:MOST_FOREIGN], *(["…"] if names[MOST_FOREIGN:] else [])]
    return f"besides {', '.join(words)}" + (f" ({', '.join(few)})" if few else "")
