"""Mending: flagged settings moved into their windows, in a fixed order, judged again after each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from ..documents.profile import BASE, Given, Profile
from ..documents.schema import Property, SchemaSection, canonical, mode_outline
from ..quantities.number import tidy
from ..quantities.registry import affected
from .catalogue import Catalogue
from .clause import Clause, clauses_of, gravest, in_force
from .evaluation import Hearing, hear, ruling
from .finding import Finding, Judgement
from .frame import FIXED
from .judge import concluded
from .proposal import Moves, Point, Setting, Unfilled, first_value, starting_points, tuned
from .rule import STOPS, Rule
from .window import why_further, window_of

Flag = tuple[str, str]  # a rule and the mode in which it flags


@lru_cache(maxsize=256)
def mode_key(name: str, like: str) -> Property | None:
    """The key under which a mode can hold a setting: of a pair the one like the base's."""
    last = like.rsplit(".", 1)[-1]
    entries = [entry for entry in _entries(mode_outline()) if entry.quantity == name]
    return next(
        (entry for entry in entries if entry.path.endswith(last)), entries[0] if entries else None
    )


def _entries(section: SchemaSection) -> Iterable[Property]:
    for entry in section.entries.values():
        if isinstance(entry, SchemaSection):
            yield from _entries(entry)
        else:
            yield entry


class FlaggedSetting:
    """One setting of one mode, with the rules that flag it."""

    def __init__(
        self, point: Point, mode: str, hearing: Hearing, catalogue: Catalogue, judged: Judgement
    ) -> None:
        self.point, self.mode, self.hearing, self.catalogue = point, mode, hearing, catalogue
        self.name = point.setting
        self.waived = frozenset(finding.rule.id for finding in judged.findings if finding.waived)
        given = hearing.books[mode].given(self.name)
        self.given = given if given is not None and given.value is not None else None

    def setting(self, leading: bool) -> Setting | None:
        """A better value for the setting, if it is flagged and there is one."""
        book = self.hearing.books[self.mode]
        if self.point.moves == "never" or book.is_absent(self.name) or not self._stands():
            return None
        later = self._later() if leading else frozenset()
        clauses = [clause for clause in self._clauses() if self._counts(clause.rule, later)]
        flags = self._flags(clauses, self.hearing)
        if not flags:
            return None
        if self.given is None or self.name in FIXED:
            return self._first_value(clauses, flags)
        aside = {rule.id for rule in self.catalogue.rules.values() if not self._counts(rule, later)}
        read = any(_is_reading(self.catalogue.rules[name].points_at or "") for name, _ in flags)
        return self._moved(frozenset(aside), only_good=read)

    def _stands(self) -> bool:
        """Whether this mode is where the setting is mended: it sets it, or could and must."""
        if self.mode == BASE:
            return True
        changes = self.hearing.profile.modes[self.mode]
        if self.name in changes:
            return changes[self.name] is not None
        return self.given is not None and self._own_key(self.mode) is not None

    def _own_key(self, mode: str) -> Property | None:
        return mode_key(self.name, self.given.entered_as if self.given is not None else self.name)

    def _modes(self) -> list[str]:
        """Where the value is judged: a mode that can have a value of its own is left to itself."""
        modes = in_force(self.name, self.mode, self.hearing)
        if self.given is None:
            return modes
        return [mode for mode in modes if mode == self.mode or self._own_key(mode) is None]

    def _clauses(self) -> list[Clause]:
        clauses = clauses_of(self.name, self._modes(), self.hearing, self.catalogue, self.waived)
        return [clause for clause in clauses if gravest(clause) in STOPS]

    def _later(self) -> frozenset[str]:
        order = list(starting_points())
        return frozenset(order[order.index(self.name) + 1 :])

    def _counts(self, rule: Rule, later: frozenset[str]) -> bool:
        """Whether mending listens to a rule.

        Not to one that a later setting can follow; nor, for a limit that must not go up, to a
        reading that would have it higher.
        """
        at = rule.points_at or ""
        if self.point.moves == "down" and _is_reading(at):
            return False
        return rule.id not in self.waived and at not in later

    def _flags(self, clauses: Iterable[Clause], hearing: Hearing) -> set[Flag]:
        return {(clause.rule.id, clause.mode) for clause in clauses if self._stops(clause, hearing)}

    def _stops(self, clause: Clause, hearing: Hearing) -> bool:
        """Whether a rule makes a danger or fault as the settings are."""
        decided = ruling(clause.rule, hearing.books[clause.mode])
        severity = self.catalogue.at_least(clause.rule, decided.severity)
        return decided.outcome == "flagged" and severity in STOPS

    def _first_value(self, clauses: list[Clause], flags: set[Flag]) -> Setting | None:
        """The starting point of a missing setting, or of one that the build fixes, if it helps."""
        if self.mode != BASE:
            return None
        proposed = first_value(self.point, self.hearing, self.catalogue)
        if proposed is None or isinstance(proposed, Unfilled):
            return None
        changed = {self.name: _as_given(proposed, self.hearing)}
        books = {mode: book.changed(changed) for mode, book in self.hearing.books.items()}
        left = self._flags(clauses, Hearing(self.hearing.profile, books, self.hearing.rulings))
        return proposed if left < flags else None

    def _moved(self, aside: frozenset[str], only_good: bool) -> Setting | None:
        """The nearest value inside the window, the good one where there is one.

        For a reading (a pack below its stop may be empty) nothing but a good value will do.
        """
        assert self.given is not None
        window = window_of(self.name, self.mode, self.hearing, self.catalogue, aside, self._modes())
        span, today = window.good if only_good else window.best, window.today
        if window.hard is None or span is None or today is None or (window.margin or 0.0) >= 0:
            return None
        low, high = span.low.limit, span.high.limit
        inside = today if low is None else max(today, low)
        inside = inside if high is None else min(inside, high)
        if not may_move(self.point.moves, today, inside):
            return None
        ending = window.hard.high if inside < today else window.hard.low
        mode_entry = self._own_key(self.mode) if self.mode else None
        own = self.mode == BASE or self.name in self.hearing.profile.modes[self.mode]
        entered_as = self.given.entered_as if own or mode_entry is None else mode_entry.path
        key = self.given if own or mode_entry is None else mode_entry
        return Setting(
            self.name,
            self.mode,
            entered_as,
            tidy(inside),
            key.factor,
            self.given.entered if own else None,
            offset=key.offset,
            for_rule=ending.rule or "",
            because=why_further(ending, span.high if inside < today else span.low, tidy(inside)),
        )


def _is_reading(name: str) -> bool:
    """A reading says what is, not what should be; but a pulled wire has to be caught."""
    return name.startswith("readings.") and not name.startswith("readings.throttle.")


def may_move(moves: Moves, today: float, inside: float) -> bool:
    """A limit on current, speed or heat never goes up."""
    return inside != today and not (moves == "down" and inside > today)


def _as_given(setting: Setting, hearing: Hearing) -> Given:
    return tuned(hearing.profile, [setting]).givens[setting.quantity]


MENDING_PASSES = 3


@dataclass(frozen=True, slots=True)
class Mending:
    """What mending comes to: the settings moved, or the conflicting rules."""

    before: Judgement
    after: Judgement
    settings: tuple[Setting, ...]
    obstacles: tuple[tuple[str, ...], ...]

    @property
    def mended(self) -> tuple[Finding, ...]:
        """The dangers and faults that were there before and no longer are."""
        left = {(finding.rule.id, finding.modes) for finding in stops(self.after)}
        return tuple(
            finding
            for finding in stops(self.before)
            if (finding.rule.id, finding.modes) not in left
        )


def stops(judgement: Judgement) -> list[Finding]:
    """The dangers and faults that nobody waived."""
    return [
        finding
        for finding in judgement.findings
        if finding.severity in STOPS and not finding.waived
    ]


def mend(profile: Profile, catalogue: Catalogue, judged_on: str) -> Mending:
    """The profile's flagged settings moved to the nearest allowed values.

    The first pass leaves out what a later setting can follow, so that a taper follows its stop;
    the others hold each setting to every rule. The build and the readings stay as they are.
    """
    trial = Trial(profile, catalogue, judged_on)
    before = concluded(trial.hearing, catalogue, judged_on)
    for number in range(MENDING_PASSES):
        moves = [trial.try_to_move(point, number == 0) for point in starting_points().values()]
        if not any(moves) and number > 0:
            break
    after = concluded(trial.hearing, catalogue, judged_on)
    settings = tuple(one for one in trial.moved.values() if one.entered != one.before)
    obstacles = tuple(_obstacles(stops(after), trial.hearing, catalogue))
    return Mending(before, after, settings, obstacles)


class Trial:
    """A profile with the settings that were moved so far, judged again after each move.

    What a mode sets is moved in all modes at once: how often all is judged depends on the settings,
    not on how many modes there are.
    """

    def __init__(self, profile: Profile, catalogue: Catalogue, judged_on: str) -> None:
        self.profile, self.catalogue, self.judged_on = profile, catalogue, judged_on
        self.moved: dict[tuple[str, str], Setting] = {}
        self._judge()

    def _judge(self) -> None:
        tried = tuned(self.profile, self.moved.values())
        self.hearing = hear(tried, self.catalogue, self.judged_on)
        self.judged = concluded(self.hearing, self.catalogue, self.judged_on, sweeps=False)
        self._read_by_flags = {
            name
            for rulings in self.hearing.rulings.values()
            for decided in rulings.values()
            if decided.outcome == "flagged"
            and self.catalogue.at_least(decided.rule, decided.severity) in STOPS
            for name in decided.rule.reads
        }

    def try_to_move(self, point: Point, leading: bool) -> bool:
        """Whether the setting was moved, in the base settings or in a mode."""
        base = self._move(point, (BASE,), leading)
        return self._move(point, tuple(self.profile.modes), leading) or base

    def _move(self, point: Point, modes: Sequence[str], leading: bool) -> bool:
        reached = affected(frozenset({point.setting}))
        if not stops(self.judged) or reached.isdisjoint(self._read_by_flags):
            return False
        found = [
            FlaggedSetting(point, mode, self.hearing, self.catalogue, self.judged).setting(leading)
            for mode in modes
        ]
        moves = [setting for setting in found if setting is not None]
        for setting in moves:
            key = (setting.mode, point.setting)
            first = self.moved.get(key, setting)
            self.moved[key] = replace(setting, before=first.before)
        if moves:
            self._judge()
        return bool(moves)


def _obstacles(
    left: Iterable[Finding], hearing: Hearing, catalogue: Catalogue
) -> Iterable[tuple[str, ...]]:
    """The smallest sets of conflicting rules, one for each thing that stays wrong."""
    seen: set[tuple[str, ...]] = set()
    for finding in left:
        if finding.rule.subject == "window":
            continue
        names = min(_clashes(finding, hearing, catalogue), key=len, default=(finding.rule.id,))
        if names not in seen:
            seen.add(names)
            yield names


def _clashes(finding: Finding, hearing: Hearing, catalogue: Catalogue) -> Iterable[tuple[str, ...]]:
    """What the finding's rule conflicts with, for each setting that it depends on."""
    mode = finding.modes[0] if finding.modes else BASE
    for name in starting_points():
        moved = affected(frozenset({name}))
        numeric = canonical()[name].kind in ("number", "integer")
        if numeric and not moved.isdisjoint(finding.rule.reads):
            clashing = window_of(name, mode, hearing, catalogue).conflict
            if finding.rule.id in clashing:
                yield clashing
