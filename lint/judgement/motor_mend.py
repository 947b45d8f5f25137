"""Mending of several motors: flagged entries moved into their windows, those that are alike alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..documents.profile import BASE, Profile
from ..quantities.number import is_number, tidy
from .catalogue import Catalogue
from .clause import Clause, gravest
from .evaluation import ruling
from .frame import FIXED
from .mend import MENDING_PASSES, Mending, may_move, stops
from .motor_books import AT_THE_BATTERY, OF_MOTOR, hear_motors
from .motor_entries import Heard, MotorEntry
from .motor_proposal import tuned_motors
from .motor_window import MotorSweep, motor_window
from .motors import concluded_of
from .proposal import Move, Point, Setting, starting_points
from .rule import STOPS


def mend_motors(profile: Profile, catalogue: Catalogue, judged_on: str) -> Mending:
    """The flagged entries moved to the nearest allowed values; the build and the readings stay.

    Entries of one value move together, and so do all that add up at the battery, so that motors
    that are alike stay so.
    """
    trial = MotorTrial(profile, catalogue, judged_on)
    before = trial.judged
    for number in range(MENDING_PASSES):
        order = starting_points().values()
        moved = [trial.try_to_move(point, number == 0) for point in order if stops(trial.judged)]
        if not any(moved) and number > 0:
            break
    after = trial.judged
    settings = [move.setting for move in trial.moved.values()]
    obstacles = dict.fromkeys((one.rule.id,) for one in stops(after))
    return Mending(before, after, tuple(settings), tuple(obstacles))


class MotorTrial:
    """A profile of several motors with the entries moved so far, judged again after each."""

    def __init__(self, profile: Profile, catalogue: Catalogue, judged_on: str) -> None:
        self.profile, self.catalogue, self.judged_on = profile, catalogue, judged_on
        self.moved: dict[tuple[str, str], Move] = {}
        self._judge()

    def _judge(self) -> None:
        tried = tuned_motors(self.profile, self.moved.values())
        heard = hear_motors(tried, self.catalogue, self.judged_on)
        self.heard = Heard(tried, heard, self.catalogue)
        self.judged = concluded_of(tried, heard, self.catalogue, self.judged_on, sweeps=False)
        findings = self.judged.findings
        self.waived = frozenset(one.rule.id for one in findings if one.waived)

    def try_to_move(self, point: Point, leading: bool) -> bool:
        """Whether entries of a setting were moved, in the base settings or in a mode."""
        if point.moves == "never" or point.setting in FIXED:
            return False
        order = list(starting_points())
        later = frozenset(order[order.index(point.setting) + 1 :]) if leading else frozenset()
        aside = self.waived | {
            rule.id for rule in self.catalogue.rules.values() if (rule.points_at or "") in later
        }
        found = [
            self._move(point, group, aside)
            for mode in (BASE, *self.profile.modes)
            for group in self._groups(point, mode)
        ]
        return any(found)

    def _groups(self, point: Point, mode: str) -> Iterator[list[MotorEntry]]:
        """The entries that move together: those of one value, at the battery all."""
        name = point.setting
        having = [
            motor
            for motor, one in self.heard.motors.items()
            if (mode == BASE or self.profile.modes[mode].get(name) is not None)
            and not one.books[mode].own.is_absent(name)
        ]
        groups: dict[object, list[MotorEntry]] = {}
        for entry in self.heard.entries_of(name, mode, having):
            if entry.given is not None:
                key = None if name in AT_THE_BATTERY else (entry.given.value, entry.given.factor)
                groups.setdefault(key, []).append(entry)
        yield from groups.values()

    def _move(self, point: Point, group: Sequence[MotorEntry], aside: frozenset[str]) -> bool:
        """Move a group as far as its rules ask; each entry alone where only its own rules flag."""
        flagged = {entry: self._flagging([entry], aside) for entry in group}
        if not any(flagged.values()):
            return False
        sums = any(one.number != OF_MOTOR for found in flagged.values() for one in found)
        if point.setting in AT_THE_BATTERY and not sums:
            found = [self._moved(point, [entry], aside) for entry in group if flagged[entry]]
        else:
            found = [self._moved(point, group, aside)]
        moves = [move for some in found for move in some]
        for move in moves:
            self.moved[move.setting.mode, move.setting.entered_as] = move
        if moves:
            self._judge()
        return bool(moves)

    def _flagging(self, entries: Sequence[MotorEntry], aside: frozenset[str]) -> list[Clause]:
        """The rules that make a danger or fault of some entries as they stand."""
        entry = _united(entries)
        modes = self.heard.modes_of(entry)
        clauses = [one for one in self.heard.clauses(entry, modes, aside) if gravest(one) in STOPS]
        books = MotorSweep(entry, self.heard, clauses).books
        found: list[Clause] = []
        for clause in clauses:
            decided = ruling(clause.rule, books[clause.seat])
            grave = self.catalogue.at_least(clause.rule, decided.severity)
            if decided.outcome == "flagged" and grave in STOPS:
                found.append(clause)
        return found

    def _moved(
        self, point: Point, entries: Sequence[MotorEntry], aside: frozenset[str]
    ) -> list[Move]:
        window = motor_window(_united(entries), self.heard, aside)
        span, moves = window.best, []
        if window.hard is None or span is None or (window.margin or 0.0) >= 0:
            return []
        for entry in entries:
            assert entry.given is not None
            today, (low, high) = float(entry.given.entered), (span.low.limit, span.high.limit)
            inside = today if low is None else max(today, low)
            inside = inside if high is None else min(inside, high)
            if not may_move(point.moves, today, inside):
                continue
            ending = window.hard.high if inside < today else window.hard.low
            first = self.moved.get((entry.mode, entry.entered_as))
            before = first.setting.before if first is not None else entry.given.entered
            setting = Setting(
                point.setting,
                entry.mode,
                entry.entered_as,
                tidy(inside),
                entry.given.factor,
                before,
                offset=entry.given.offset,
                for_rule=ending.rule or "",
            )
            moves.append(Move(setting, entry.motors))
        return moves


def _united(entries: Sequence[MotorEntry]) -> MotorEntry:
    """Entries as one that is moved for all their motors at once, as the largest of them stands."""
    first = max(entries, key=_entered)
    return first._replace(motors=tuple(name for one in entries for name in one.motors))


def _entered(entry: MotorEntry) -> float:
    value = entry.given.value if entry.given is not None else None
    return value if is_number(value) else 0.0
