"""The gravest rules tried: gonogo and the restatement on the same builds, and where they part.

`python -m tests.attacks.gravest_trial --builds 100000` prints how often each outcome was met.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any, NamedTuple

from gonogo.documents.files import Listing
from gonogo.documents.loading import load_profile
from gonogo.documents.profile import BASE
from gonogo.documents.repository import Repository
from gonogo.judgement.catalogue import Catalogue, catalogue, catalogue_of
from gonogo.judgement.evaluation import Ruling, hear

from .gravest_builds import build
from .gravest_rules import CLEAR, FOUND, GRAVEST, HAIR, OPEN, Outcome, restated

DAY = "2026-11-25"
GRAVE = ("danger",)


class Pages(NamedTuple):
    """A folder of documents that stands in memory."""

    files: Mapping[str, bytes]
    prefix: str = ""

    def read(self, path: str) -> bytes:
        """The bytes of one file."""
        return self.files[path]

    def begin(self, path: str) -> bytes:
        """The first bytes of one file."""
        return self.files[path]

    def exists(self, path: str) -> bool:
        """Whether there is such a file."""
        return path in self.files

    def paths(self, below: str = "") -> Listing:
        """All files."""
        return Listing(tuple(self.files))


class Asked(NamedTuple):
    """A build, what its shop sets otherwise, and what gonogo says of it, by mode and rule."""

    number: int
    profile: Mapping[str, Any]
    shop: Mapping[str, float]
    told: Mapping[str, Mapping[str, Outcome]]


class Parting(NamedTuple):
    """A rule about which the two are not of one mind."""

    number: int
    rule: str
    mode: str
    gonogo: Outcome
    restated: Outcome


@dataclass
class Trial:
    """How often each rule came to each outcome, and every parting."""

    builds: int = 0
    outcomes: Counter[tuple[str, Outcome]] = field(default_factory=Counter)
    partings: list[Parting] = field(default_factory=list)

    def lines(self) -> Iterator[str]:
        """A line a rule, and the sum."""
        for rule in GRAVEST:
            told = ", ".join(
                f"{one} {self.outcomes[rule, one]}" for one in (FOUND, CLEAR, OPEN, HAIR)
            )
            yield f"{rule}: {told}"
        yield f"{self.builds} builds, {sum(self.outcomes.values())} outcomes, {len(self.partings)} partings"


def gravest() -> Catalogue:
    """The rules that are restated, alone."""
    return catalogue_of((catalogue().rules[name] for name in GRAVEST), "")


def told(
    profile: Mapping[str, Any], shop: Mapping[str, float], rules: Catalogue
) -> dict[str, dict[str, Outcome]]:
    """What gonogo says of a profile as it stands in a file, by mode and rule."""
    files = {"v.yaml": json.dumps(profile).encode()}
    if shop:
        files["house.yaml"] = json.dumps({"gonogo": "house/1", "allowances": shop}).encode()
    hearing = hear(load_profile(Repository(Pages(files)), "v.yaml"), rules, DAY)
    base = hearing.rulings[BASE]
    return {
        mode: {name: outcome_of(hearing.rulings[mode].get(name, base[name])) for name in GRAVEST}
        for mode in hearing.books
    }


def outcome_of(ruling: Ruling) -> Outcome:
    """Whether a ruling says that there is danger."""
    if ruling.outcome == "flagged":
        if ruling.severity in GRAVE:
            return FOUND
        return OPEN if any(rung.step.severity in GRAVE for rung in ruling.undecided) else CLEAR
    return OPEN if ruling.outcome == "not_checked" else CLEAR


def build_number(seed: int, number: int) -> tuple[dict[str, Any], dict[str, float]]:
    """One of the builds of a seed."""
    return build(Random(f"{seed}/{number}"))


def asked(builds: int, seed: int = 1) -> Iterator[Asked]:
    """What gonogo says of each build of a seed."""
    rules = gravest()
    for number in range(builds):
        profile, shop = build_number(seed, number)
        yield Asked(number, profile, shop, told(profile, shop, rules))


def compared(answers: Iterable[Asked]) -> Trial:
    """The restatement asked about the same builds, in their base settings and their mode."""
    done = Trial()
    for one in answers:
        for mode, by_rule in one.told.items():
            other = restated(one.profile, mode, one.shop)
            for rule, outcome in by_rule.items():
                done.outcomes[rule, other[rule]] += 1
                if other[rule] not in (HAIR, outcome):
                    done.partings.append(Parting(one.number, rule, mode, outcome, other[rule]))
        done.builds += 1
    return done


def main() -> int:
    """Ends with 1 where the two are not of one mind."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.attacks.gravest_trial", description=__doc__
    )
    parser.add_argument("--builds", type=int, default=1500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--show", type=int, default=3, help="partings shown of each kind")
    options = parser.parse_args()
    done = compared(asked(options.builds, options.seed))
    print("\n".join(done.lines()))
    kinds: dict[tuple[str, str, str], list[Parting]] = {}
    for parting in done.partings:
        kinds.setdefault((parting.rule, parting.gonogo, parting.restated), []).append(parting)
    for (rule, ours, other), partings in kinds.items():
        numbers = ", ".join(
            f"{one.number}{one.mode and '/' + one.mode}" for one in partings[: options.show]
        )
        print(
            f"PARTED {rule}: gonogo {ours}, restated {other}: {len(partings)} times, builds {numbers}"
        )
    return 1 if done.partings else 0


if __name__ == "__main__":
    sys.exit(main())
