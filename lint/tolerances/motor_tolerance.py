"""Entries of several motors with a tolerance, as each motor names its own and those of the others."""

from __future__ import annotations

from collections.abc import Mapping

from ..documents.motors import MOTOR, MOTORS, entry_path
from ..documents.profile import Profile
from ..judgement.motor_books import SUMS
from ..judgement.rule import Rule
from .tolerance import Reach, Tolerated, reads_of


def side_of_motor(motor: str, quantity: str) -> str:
    """The side of another motor's own entry."""
    return f"{MOTORS}.{motor}.{quantity.removeprefix(f'{MOTOR}.')}"


def own_entries(view: Profile, motor: str) -> frozenset[str]:
    """The entries that one motor has for itself."""
    below = f"{MOTORS}.{motor}."
    return frozenset(
        name for name, given in view.givens.items() if given.entered_as.startswith(below)
    )


class MotorTolerated(Tolerated):
    """The entries with a tolerance as one motor names them."""

    def __init__(
        self, motor: str, each: Mapping[str, Tolerated], own: Mapping[str, frozenset[str]]
    ) -> None:
        self._boxes, self._counting = {}, {}
        self.entered, self.reaches = dict(each[motor].entered), dict(each[motor].reaches)
        for other, tolerated in each.items():
            for name in tolerated.reaches.keys() & own[other] if other != motor else ():
                side = side_of_motor(other, name)
                self.entered[side] = tolerated.entered[name]
                self.reaches[side] = tolerated.reaches[name]

    def counting(self, rule: Rule) -> Mapping[str, tuple[Reach, ...]]:
        """The rows that count for a rule; another motor's do where it reads what they have together."""
        known = self._counting.get(rule.id)
        if known is None:
            below = reads_of(rule)
            near = not SUMS.isdisjoint(below)
            asked = {
                name: rows
                for name, rows in self.reaches.items()
                if entry_path(name) in below and (near or not name.startswith(f"{MOTORS}."))
            }
            known = self._counting[rule.id] = self.counted(asked, below)
        return known
