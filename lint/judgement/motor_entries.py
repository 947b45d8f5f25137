"""The entries of settings of several motors, and the rules that each of them reaches."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from ..documents.motors import MOTORS
from ..documents.profile import BASE, Given, Profile
from ..documents.schema import entered_under
from ..quantities.registry import affected, rests_on
from .catalogue import Catalogue
from .clause import Clause, in_force
from .evaluation import ruling
from .frame import settings_of
from .motor_books import CIRCUMFERENCE, CLIMB, MOTOR_TORQUE, REDUCTION, OfMotor, which_book
from .motor_courses import likeness
from .motor_differences import BEHIND, gap_of
from .rule import Rule

GAPS = {gap_of(gap): gap for gap in BEHIND}


class MotorEntry(NamedTuple):
    """One entry of a setting and the motors that it holds for; `given` is None where it is not entered."""

    name: str
    mode: str
    motors: tuple[str, ...]
    entered_as: str
    given: Given | None


class Heard(NamedTuple):
    """Several motors heard, with the rules that they are judged by."""

    profile: Profile
    motors: Mapping[str, OfMotor]
    catalogue: Catalogue

    def entries(self, mode: str = BASE) -> Iterator[MotorEntry]:
        """The settings with a window, each entry once; in a mode those that it sets."""
        names = {motor: settings_of(one.hearing, mode) for motor, one in self.motors.items()}
        longest = max(names.values(), key=len)
        every = [*longest, *(name for found in names.values() for name in found)]
        for name in dict.fromkeys(every):
            having = [motor for motor, found in names.items() if name in found]
            yield from self.entries_of(name, mode, having)

    def entries_of(self, name: str, mode: str, motors: Iterable[str]) -> Iterator[MotorEntry]:
        """The entries of one setting in a mode, of those motors that have it."""
        groups: dict[tuple[str, int, int], list[str]] = {}
        givens: dict[str, Given | None] = {}
        motors = list(motors)
        for motor in motors:
            given = self.motors[motor].plain[mode].given(name)
            givens[motor] = given if given is not None and given.value is not None else None
        missing = [motor for motor in motors if givens[motor] is None]
        shared = len(missing) == len(self.motors)
        for motor in motors:
            given = givens[motor]
            own = f"{MOTORS}.{motor}.{entered_under(name)}"
            key = entered_under(name) if shared else own
            place = (
                (given.entered_as, given.place.line, given.place.column) if given else (key, 0, 0)
            )
            groups.setdefault(place, []).append(motor)
        for (entered_as, _, _), whose in groups.items():
            yield MotorEntry(name, mode, tuple(whose), entered_as, givens[whose[0]])

    def modes_of(self, entry: MotorEntry) -> list[str]:
        """The modes in which an entry is in force for any of its motors."""
        hearings = (self.motors[motor].hearing for motor in entry.motors)
        modes = (mode for one in hearings for mode in in_force(entry.name, entry.mode, one))
        return list(dict.fromkeys(modes))

    def clauses(
        self, entry: MotorEntry, modes: Sequence[str], without: frozenset[str] = frozenset()
    ) -> list[Clause]:
        """The rules that an entry reaches, for each motor in each mode; what is alike for several once."""
        moved = reached_by(entry.name)
        found: dict[tuple[str, ...], Clause] = {}
        for mode in modes:
            for motor, one in self.motors.items():
                for rule in map(self.catalogue.rules.__getitem__, one.hearing.rulings[mode]):
                    if rule.id in without or moved.isdisjoint(rule.reads):
                        continue
                    if self._clear_elsewhere(rule, motor, modes):
                        continue
                    key = (rule.id, mode, self._alike(rule, motor, entry))
                    severity = self.catalogue.severity(rule)
                    clause = Clause(rule, severity, mode, motor, which_book(rule))
                    found.setdefault(key, clause)
        return [*found.values(), *self._comparing(entry.name, moved, modes, without)]

    def _alike(self, rule: Rule, motor: str, entry: MotorEntry) -> str:
        below = frozenset[str]().union(*map(rests_on, rule.reads))
        if CLIMB in below:
            below |= rests_on(MOTOR_TORQUE)
        same = likeness(self.profile.motors[motor], below)
        return f"{motor in entry.motors} {self.motors[motor].weakest} {same}"

    def _clear_elsewhere(self, rule: Rule, motor: str, modes: Sequence[str]) -> bool:
        """Whether any mode will do, and one in which the setting is another does."""
        if rule.modes != "any":
            return False
        books = self.motors[motor].books
        others = (of.books[which_book(rule)] for mode, of in books.items() if mode not in modes)
        return any(ruling(rule, book).outcome != "flagged" for book in others)

    def _comparing(
        self, name: str, moved: frozenset[str], modes: Sequence[str], without: frozenset[str]
    ) -> Iterator[Clause]:
        """The rules about how the motors go together that a setting reaches."""
        for rule in self.catalogue.about("motors") if BASE in modes else ():
            thing = GAPS.get(rule.points_at or "")
            if thing and rule.id not in without and not moved.isdisjoint(BEHIND[thing]):
                yield Clause(rule, self.catalogue.severity(rule), BASE, f"{MOTORS}.{thing}", -1)


def reached_by(name: str) -> frozenset[str]:
    """What may be another in any motor's books once a setting of one of them is."""
    moved = affected(frozenset({name}))
    shares = {MOTOR_TORQUE, REDUCTION, CIRCUMFERENCE}
    return moved if moved.isdisjoint(shares) else moved | affected(frozenset({CLIMB}))
