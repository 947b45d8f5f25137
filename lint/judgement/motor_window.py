"""Windows where there are several motors: of each entry, with the motors that it holds for moved at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..documents.motors import MOTORS
from ..documents.profile import BASE
from ..documents.schema import entered_under
from ..expressions.course import Range
from ..quantities.book import Book
from ..quantities.number import is_number
from .clause import Clause, in_force, seat_of
from .document_rules import facts_given
from .explanation import roots_given
from .frame import Frame
from .motor_books import AT_THE_BATTERY, SUMS, Stages, stages_of
from .motor_courses import MotorCourses
from .motor_differences import differences
from .motor_entries import GAPS, Heard, MotorEntry, reached_by
from .motor_keys import keys_lacking
from .sweep import Piece, Sweep, key_of
from .thresholds import Thresholds
from .window import Bounds, Window


class MotorSweep(Sweep):
    """The flags of the rules of several motors while one entry is swept."""

    def __init__(self, entry: MotorEntry, heard: Heard, clauses: Sequence[Clause]) -> None:
        self.entry, self.heard = entry, heard
        self._stages: dict[tuple[str, int | None], Stages] = {}
        self._courses: dict[str, MotorCourses] = {}
        self._whose: dict[str, frozenset[str]] = {}
        self._places = {clause.seat: clause for clause in clauses}
        self._papers: dict[int | None, dict[str, Book]] = {}
        key = replace(key_of(entry.name, entry.given), entered_as=entry.entered_as)
        super().__init__(key, entry.given, {}, clauses)
        self.moved = reached_by(entry.name)
        self._far = not self.moved.isdisjoint(SUMS)
        self.books = {seat: self._book(clause, None) for seat, clause in self._places.items()}

    def made(self, seat: str, steps: int) -> Book:
        """The book with the setting at so many steps."""
        return self._book(self._places[seat], steps)

    def _book(self, clause: Clause, steps: int | None) -> Book:
        if clause.number < 0:
            return self._paper(clause, steps)
        one = self.heard.motors[clause.motor].books[clause.mode].books[clause.number]
        if steps is None:
            return one
        if self._far:
            return self._at(clause.mode, steps).books[clause.motor].books[clause.number]
        if clause.motor not in self._moving(clause.mode):
            return one
        return one.changed({self.key.name: self.entered(steps)})

    def _moving(self, mode: str) -> frozenset[str]:
        """The motors in which the entry is in force in a mode."""
        if mode not in self._whose:
            self._whose[mode] = frozenset(
                motor
                for motor in self.entry.motors
                if mode
                in in_force(self.entry.name, self.entry.mode, self.heard.motors[motor].hearing)
            )
        return self._whose[mode]

    def _at(self, mode: str, steps: int | None) -> Stages:
        """All books of a mode with the setting at so many steps; as it stands without."""
        known = self._stages.get((mode, steps))
        if known is None:
            plain = {motor: one.plain[mode] for motor, one in self.heard.motors.items()}
            for motor in self._moving(mode) if steps is not None else ():
                plain[motor] = plain[motor].changed({self.key.name: self.entered(steps or 0)})
            motors = self.heard.motors
            bases = {name: one.books[BASE] for name, one in motors.items() if mode != BASE}
            known = stages_of(self.heard.profile.motors, plain, bases)
            self._stages[mode, steps] = known
        return known

    def _paper(self, clause: Clause, steps: int | None) -> Book:
        """The book with how far the motors differ, by the fact that a rule is about."""
        if steps not in self._papers:
            motors = dict(self.heard.motors)
            for name, one in motors.items() if steps is not None else ():
                of_base = one.books[BASE]
                if self._far:
                    of_base = self._at(BASE, steps).books[name]
                elif name in self._moving(BASE):
                    alone = of_base.alone.changed({self.key.name: self.entered(steps or 0)})
                    of_base = of_base._replace(alone=alone)
                motors[name] = one._replace(books={**one.books, BASE: of_base})
            book = next(iter(motors.values())).books[BASE].own
            self._papers[steps] = {
                paper.about: book.changed(facts_given(paper))
                for paper in differences(motors, self.heard.profile)[0]
                if paper.about
            }
        return self._papers[steps][clause.rule.points_at or ""]

    def about(self, seat: str) -> Thresholds:
        """What the quantities of one book do while the setting is swept."""
        clause = self._places[seat]
        if self._far:
            return self._of_mode(clause.mode).of_book(clause.motor, clause.number)
        return super().about(seat)

    def _of_mode(self, mode: str) -> MotorCourses:
        if mode not in self._courses:
            self._courses[mode] = MotorCourses(
                self.key.name,
                self.key.line,
                Range(*self.key.whole),
                self.moved,
                self._moving(mode),
                self.heard.profile.motors,
                self._at(mode, None),
                lambda steps: self._at(mode, steps),
            )
        return self._courses[mode]

    def runs(self, clause: Clause) -> list[Piece]:
        """The runs between the steps after which the outcome may be another."""
        if clause.number < 0:
            book = self.books[clause.seat]
            limit = clause.rule.high.evaluate(book.operand).value if clause.rule.high else None
            percent = limit if is_number(limit) else None
            return self._of_mode(BASE).apart(GAPS[clause.rule.points_at or ""], percent)
        if self._far or clause.motor in self._moving(clause.mode):
            return super().runs(clause)
        return [self.key.whole]

    def others(self, clause: Clause) -> list[str]:
        """The motor's books of other modes, of a rule for which any mode that is clear will do."""
        if clause.rule.modes != "any":
            return []
        every = (
            seat_of(one.mode, clause.motor, clause.number)
            for one in self.clauses
            if one.mode != clause.mode
        )
        return [seat for seat in dict.fromkeys(every) if seat in self.books]


class MotorBounds(Bounds):
    """What the window of an entry of several motors tells, in the keys that were entered."""

    def __init__(self, frame: Frame, entry: MotorEntry, heard: Heard) -> None:
        super().__init__(frame)
        self.entry, self.heard = entry, heard

    def asked(self, clause: Clause, missing: Iterable[str]) -> Iterable[str]:
        """The keys under which what a rule lacks would be entered."""
        if clause.number < 0:
            return sorted(map(entered_under, missing))
        profile = self.heard.profile
        return (key for name in missing for key in keys_lacking(name, clause.motor, profile))

    def entries(self, book: Book, names: list[str]) -> Iterable[str]:
        """The entries below some quantities, but for the swept one."""
        roots = roots_given(book, names)
        given = (book.given(name) for name in roots)
        found = [one.entered_as for one in given if one is not None]
        for name in AT_THE_BATTERY.intersection(roots):
            others = (one.plain[self.entry.mode].given(name) for one in self.heard.motors.values())
            found += [one.entered_as for one in others if one is not None]
        compared = {
            f"{MOTORS}.{name}" for name in self.heard.motors
        }  # where facts about them stand
        return [key for key in found if key != self.entry.entered_as and key not in compared]


def motor_frame(entry: MotorEntry, heard: Heard, without: frozenset[str] = frozenset()) -> Frame:
    """The frame of one entry by the rules of all motors that it reaches."""
    clauses = heard.clauses(entry, heard.modes_of(entry), without)
    return Frame(MotorSweep(entry, heard, clauses), entry.mode, entry.given)


def motor_window(entry: MotorEntry, heard: Heard, without: frozenset[str] = frozenset()) -> Window:
    """The window of one entry."""
    window = MotorBounds(motor_frame(entry, heard, without), entry, heard).window()
    of_all = len(entry.motors) == len(heard.motors)
    return replace(window, motors=() if of_all else entry.motors)


def motor_windows(heard: Heard, only: frozenset[str] | None = None) -> tuple[Window, ...]:
    """The windows of every entry of the base settings, and of those that each mode sets."""
    return tuple(
        motor_window(entry, heard)
        for mode in (BASE, *heard.profile.modes)
        for entry in heard.entries(mode)
        if only is None or entry.name in only
    )


def windows_once(windows: Iterable[Window]) -> tuple[Window, ...]:
    """The windows with those of several motors' own entries once where they are equal."""
    groups: dict[str, list[Window]] = {}
    for window in windows:
        same = repr(replace(window, entered_as="", motors=(), depends_on=()))
        groups.setdefault(same if window.motors else f"{window.entered_as} {same}", []).append(
            window
        )
    return tuple(
        replace(
            group[0],
            motors=tuple(name for one in group for name in one.motors),
            each=len(group) > 1,
        )
        for group in groups.values()
    )
