"""A proposal: settings at new values, the profile with them, and a careful first value for each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Literal, NamedTuple

from ..documents.contents import contents
from ..documents.location import Place
from ..documents.profile import BASE, Given, Profile
from ..documents.schema import canonical, entered_under, properties
from ..documents.units import UNITS
from ..expressions.compiler import compile_expression
from ..expressions.expression import Expression, scaled
from ..expressions.names import vocabulary
from ..quantities.number import floor, nearest_whole, tidy
from .catalogue import RULES, Catalogue
from .clause import clauses_of, in_force
from .concern import Remembered
from .evaluation import Hearing, Ruling, gate_of, ruling, unheard
from .explanation import section_place
from .frame import FIXED
from .rule import STOPS
from .rule_file import UNUSABLE, unusable
from .window import Window, window_of

Moves = Literal["down", "either", "never"]
STARTING_POINTS_FILE = "starting-points"
PROPOSAL_PASSES = 3  # a first value may depend on one that is proposed after it
MOVED = "That would be {:.4g}; moved to the nearest value that the other settings and parts {}."
MODES = "modes."
NOT_OF_THE_BUILD = ("settings.", "readings.")


@dataclass(frozen=True, slots=True)
class Setting:
    """A value for one setting in one mode, as it would be entered under its key.

    `before` is what stands there now, None where nothing does; `for_rule` the rule that moved it
    from there.
    """

    quantity: str
    mode: str
    entered_as: str
    entered: Any
    factor: float
    before: Any
    because: str = ""
    offset: float = 0.0
    for_rule: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the document that lead to it."""
        if self.mode and not self.entered_as.startswith(MODES):
            return (MODES[:-1], self.mode, *self.entered_as.split(".")[1:])
        if self.mode:
            inner = self.entered_as.removeprefix(f"{MODES}{self.mode}.")
            return (MODES[:-1], self.mode, *inner.split("."))
        return tuple(self.entered_as.split("."))


class Move(NamedTuple):
    """A value for one entry, and the motors that it holds for; none are named where there is one motor."""

    setting: Setting
    motors: tuple[str, ...]


def tuned(profile: Profile, settings: Iterable[Setting]) -> Profile:
    """The profile as it would read with the settings entered."""
    givens = dict(profile.givens)
    modes = {name: dict(changes) for name, changes in profile.modes.items()}
    for setting in settings:
        place = section_place(setting.quantity, profile)
        known = (modes[setting.mode] if setting.mode else givens).get(setting.quantity)
        given = given_of(setting, known.place if known is not None else place)
        if setting.mode:
            modes[setting.mode][setting.quantity] = given
            continue
        givens[setting.quantity] = given
        for section in _sections(setting.quantity):
            if section not in givens:
                givens[section] = Given(section, "fitted", section, "fitted", 1.0, place)
    return replace(profile, givens=givens, modes=modes)


def given_of(setting: Setting, place: Place) -> Given:
    """The setting as a document would give it."""
    entered = setting.entered
    number = isinstance(entered, int | float) and not isinstance(entered, bool)
    value = setting.factor * entered + setting.offset if number else entered
    key = ".".join(setting.keys)
    return Given(setting.quantity, value, key, entered, setting.factor, place, setting.offset)


def _sections(name: str) -> Iterable[str]:
    """The optional sections in which a setting stands."""
    parts = name.split(".")
    for length in range(2, len(parts)):
        path = ".".join(parts[:length])
        entry = properties().get(path)
        if entry is not None and entry.kind == "section":
            yield path


@dataclass(frozen=True, slots=True)
class Point:
    """One setting's first value: expressions, the first that is known holds."""

    setting: str
    starts: tuple[Expression, ...]
    when: Expression | None
    moves: Moves
    because: str

    @property
    def reads(self) -> frozenset[str]:
        """The names in its expressions."""
        parts = self.starts if self.when is None else (*self.starts, self.when)
        return frozenset[str]().union(*(part.names for part in parts))


@dataclass(frozen=True, slots=True)
class Unfilled:
    """A setting without a proposal: what is missing, or the rules that leave it no value."""

    quantity: str
    missing: tuple[str, ...]
    conflict: tuple[str, ...] = ()


# First values of the profiles of one day, as a profile grows.
FirstValues = Remembered[Setting | Unfilled | None]


@lru_cache(maxsize=1)
def starting_points() -> Mapping[str, Point]:
    """The starting points by setting, in the order in which settings are mended."""
    data = contents(RULES, STARTING_POINTS_FILE)
    try:
        return {entry["setting"]: _point(entry) for entry in data["points"]}
    except UNUSABLE as error:
        raise unusable(f"rules/{STARTING_POINTS_FILE}.yaml", error) from error


def _point(entry: Mapping[str, Any]) -> Point:
    name = entry["setting"]
    property_ = canonical()[name]
    unit = UNITS[property_.unit] if property_.kind in ("number", "integer") else None
    starts = entry["start"] if isinstance(entry["start"], list) else [entry["start"]]
    when = entry.get("when")
    return Point(
        setting=name,
        starts=tuple(scaled(compile_expression(start, vocabulary()), unit) for start in starts),
        when=compile_expression(when, vocabulary()) if when is not None else None,
        moves=entry["moves"],
        because=entry["because"],
    )


def proposals(
    profile: Profile, catalogue: Catalogue, judged_on: str, remembered: FirstValues | None = None
) -> tuple[list[Setting], list[Unfilled]]:
    """A first value for every setting that the profile does not give, and what stays open.

    `remembered` are those of profiles before it, of which it may share most.
    """
    known = FirstValues() if remembered is None else remembered
    proposed_so_far: dict[str, Setting] = {}
    unfilled: dict[str, Unfilled] = {}
    for _ in range(PROPOSAL_PASSES):
        before = dict(proposed_so_far)
        for point in starting_points().values():
            if profile.givens.get(point.setting) is not None:
                continue
            others = [setting for name, setting in proposed_so_far.items() if name != point.setting]
            entered = {other.quantity: other.entered for other in others}
            context = known.context(point.setting, point.reads, profile, entered, catalogue)
            if known.knows(point.setting, context):
                proposed = known.found(point.setting, context)
            else:
                hearing = unheard(tuned(profile, others), catalogue, judged_on)
                proposed = first_value(point, hearing, catalogue)
                known.keep(point.setting, context, proposed)
            proposed_so_far.pop(point.setting, None)
            unfilled.pop(point.setting, None)
            if isinstance(proposed, Setting):
                proposed_so_far[point.setting] = proposed
            elif proposed is not None:
                unfilled[point.setting] = proposed
        if proposed_so_far == before:
            break
    return list(proposed_so_far.values()), list(unfilled.values())


def first_value(point: Point, hearing: Hearing, catalogue: Catalogue) -> Setting | Unfilled | None:
    """The first value of one base setting; None where the vehicle has no use for it."""
    book = hearing.books[BASE]
    name = point.setting
    if book.is_absent(name):
        return None
    if point.when is not None:
        modes = in_force(name, BASE, hearing)
        answers = [point.when.evaluate(hearing.books[mode].operand) for mode in modes]
        if not any(answer.value for answer in answers):
            wanting = frozenset[str]().union(*(answer.missing for answer in answers))
            return Unfilled(name, tuple(sorted(wanting))) if wanting else None
    missing: frozenset[str] = frozenset()
    for start in point.starts:
        operand = start.evaluate(book.operand)
        if operand.value is not None:
            return _entered(point, operand.value, hearing, catalogue)
        missing = missing or operand.missing
    return Unfilled(name, tuple(sorted(missing))) if missing else None


def _entered(
    point: Point, value: Any, hearing: Hearing, catalogue: Catalogue
) -> Setting | Unfilled:
    """The value moved into the setting's window and to its step."""
    name = point.setting
    given = hearing.books[BASE].given(name)
    entry = properties()[given.entered_as if given is not None else canonical()[name].path]
    before = given.entered if given is not None else None
    if name in FIXED:
        entered = int(value) if entry.kind == "integer" else value
        setting = Setting(name, BASE, entry.path, entered, entry.factor, before, point.because)
        refused = refusing(setting, hearing, catalogue)
        return Unfilled(name, (), refused) if refused and given is None else setting
    window = window_of(name, BASE, hearing, catalogue)
    if window.best is None:
        first = set_first(name, window.conflict, hearing.profile, catalogue)
        return Unfilled(name, first, () if first else window.conflict)
    start = (value - entry.offset) / entry.factor
    entered = placed(start, point.moves, window)
    # A rule that wants more, or allows less, has moved it by more than rounding does.
    moved = abs(entered - start) > window.step
    raised = point.moves == "down" and entered > start
    told = MOVED.format(start, "demand" if raised else "recommend")
    because = f"{point.because} {told}" if moved else point.because
    setting = Setting(name, BASE, entry.path, entered, entry.factor, before, because, entry.offset)
    is_off = point.moves == "down" and entered <= window.lowest
    waits = () if is_off else waits_for(setting, hearing, catalogue)
    return Unfilled(name, waits) if waits else setting


def refusing(setting: Setting, hearing: Hearing, catalogue: Catalogue) -> tuple[str, ...]:
    """The rules that make a danger or fault of a value that has no window."""
    return tuple(
        dict.fromkeys(
            decided.rule.id
            for decided in _tried(setting, hearing, catalogue)
            if decided.outcome == "flagged"
            and catalogue.at_least(decided.rule, decided.severity) in STOPS
        )
    )


def set_first(
    name: str, conflict: Iterable[str], profile: Profile, catalogue: Catalogue
) -> tuple[str, ...]:
    """The settings that a conflict is about and that are not set yet: they come before this one."""
    about = {catalogue.rules[rule].points_at for rule in conflict}
    return tuple(
        other
        for other in starting_points()
        if other in about and other != name and other not in profile.givens
    )


def waits_for(setting: Setting, hearing: Hearing, catalogue: Catalogue) -> tuple[str, ...]:
    """What is not known of the build and could still refuse a value, once it is entered.

    What a verdict may leave unchecked does not count. Nor does a reading: it is taken with the
    value entered.
    """
    missing: set[str] = set()
    for decided in _tried(setting, hearing, catalogue):
        grave = {catalogue.severity(decided.rule), decided.rule.gravest} & set(STOPS)
        if decided.rule.points_at == setting.quantity and grave:
            missing |= held_back_by(decided)
    return tuple(sorted(map(entered_under, missing)))


def held_back_by(decided: Ruling) -> set[str]:
    """What of the build a first value waits for until a rule can be checked.

    What datasheets seldom tell holds nothing back on the stand: a ride asks for it, whatever is set.
    """
    if decided.outcome != "not_checked":
        return set()
    missing = {one for one in decided.missing if not one.startswith(NOT_OF_THE_BUILD)}
    known = canonical()
    return set() if any(one in known and known[one].seldom_told for one in missing) else missing


def _tried(setting: Setting, hearing: Hearing, catalogue: Catalogue) -> Iterator[Ruling]:
    """What the rules that a base setting reaches come to with its value entered.

    One that may stay unchecked is passed over where it is.
    """
    name = setting.quantity
    given = given_of(setting, section_place(name, hearing.profile))
    for clause in clauses_of(name, in_force(name, BASE, hearing), hearing, catalogue):
        book = hearing.books[clause.mode].changed({name: given})
        decided = ruling(clause.rule, book)
        if decided.outcome != "not_checked" or gate_of(clause.rule, book) is not None:
            yield decided


def placed(value: float, moves: Moves, window: Window) -> float:
    """A value moved to the step on its careful side, and into the best span.

    One that moves down is raised by what a danger or fault demands only: an advice may lower it.
    """
    best, hard = window.best, window.hard
    below = hard if moves == "down" else best
    steps = value / window.step
    whole = floor(steps) if moves == "down" else nearest_whole(steps)
    low = window.lowest if below is None or below.low.limit is None else below.low.limit
    high = window.highest if best is None or best.high.limit is None else best.high.limit
    return tidy(min(max(whole * window.step, low), high))
