"""Several motors heard, and what they say of each other: a rule that compares them is one more that flags."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from ..documents.motors import entry_path
from ..documents.profile import Profile
from ..documents.schema import canonical
from ..expressions.names import Subject
from ..judgement.catalogue import Catalogue
from ..judgement.document_rules import Paper, of_papers
from ..judgement.evaluation import Hearing
from ..judgement.motor_books import OfMotor, hear_motors
from ..judgement.motor_differences import BEHIND, differences, gap_of
from ..judgement.motors_alike import Before
from ..judgement.moved_names import moved_by, names_otherwise
from ..judgement.rule import Rule, Severity
from ..quantities.registry import REACHES

COMPARING: Subject = "motors"
EQUAL_READING, EQUAL_APART = "motors.equal_reading", "motors.equal_apart"
_READ = ("readings.", "motor.", "controller.")  # what equal motors are compared in


class HeardMotors(NamedTuple):
    """A vehicle of several motors, and what each of them came to."""

    profile: Profile
    motors: Mapping[str, OfMotor]

    @property
    def hearings(self) -> tuple[Hearing, ...]:
        """What the rules came to for each motor."""
        return tuple(one.hearing for one in self.motors.values())


def heard_motors(
    profile: Profile, catalogue: Catalogue, judged_on: str, before: HeardMotors | None
) -> HeardMotors:
    """A vehicle of several motors heard beside nearly the same one, from which is taken what cannot differ."""
    known = None
    if before is not None:
        moved = {
            name: moved_by(frozenset(names_otherwise(before.profile.motors[name], view)))
            for name, view in profile.motors.items()
        }
        known = Before(before.motors, moved)
    return HeardMotors(profile, hear_motors(profile, catalogue, judged_on, known))


class BetweenMotors(NamedTuple):
    """What several motors came to beside each other.

    `flags` are the rules that flag how they compare, with how grave each is; `apart` the readings in which
    motors meant to be equal differ, and `compared` those in which they are compared at all.
    """

    flags: Mapping[str, Severity]
    apart: frozenset[str]
    compared: frozenset[str]


def between_motors(heard: HeardMotors, catalogue: Catalogue) -> BetweenMotors:
    """How the motors of a vehicle compare."""
    differing, _ = differences(heard.motors, heard.profile)
    piles: dict[Subject, list[Paper]] = {COMPARING: differing}
    found = of_papers(piles, heard.hearings[0], catalogue).findings
    alike = [paper for paper in differing if paper.about == EQUAL_READING]
    return BetweenMotors(
        {finding.rule.id: finding.severity for finding in found},
        frozenset(entry_path(one.entered_as) for one in alike if one.facts[EQUAL_APART]),
        frozenset(entry_path(one.entered_as) for one in alike),
    )


def compared_by(rule: Rule) -> frozenset[str]:
    """The names that a rule about how motors compare rests on."""
    told = {
        name for thing, behind in BEHIND.items() if gap_of(thing) in rule.reads for name in behind
    }
    if not told:
        return frozenset(name for name in canonical() if name.startswith(_READ))
    return frozenset(told).union(*(REACHES.get(name, frozenset()) for name in told))
