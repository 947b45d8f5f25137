"""Windows: what one setting may be with the others as they stand, and the rule at each end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..documents.profile import BASE
from ..documents.schema import entered_under
from ..quantities.book import Book
from ..quantities.number import margin_inside, share_of_limit, tidy
from .catalogue import Catalogue
from .clause import Clause, rank_of, severities_of
from .evaluation import Hearing, ruling
from .explanation import roots_given
from .frame import Frame, frame_of, settings_of
from .rule import SEVERITIES, STOPS, Severity
from .sweep import Piece


@dataclass(frozen=True, slots=True)
class End:
    """An end of a window, in the unit of the key as entered; no rule: nothing bounds it there.

    `mode` is the mode that inherits the setting and in which the rule flags first, `severity` what
    begins one step further out.
    """

    limit: float | None
    rule: str | None
    mode: str = BASE
    severity: Severity | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """From the lowest to the highest allowed value."""

    low: End
    high: End


@dataclass(frozen=True, slots=True)
class RuleSpan:
    """What one rule alone allows; `low` or `high` is None where it does not bound that side."""

    rule: str
    severity: Severity
    mode: str
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class UncheckedRule:
    """A rule that could bound the setting if these quantities were given."""

    rule: str
    severity: Severity
    side: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """The window of one setting in one mode, true with the other settings as they stand.

    `hard` keeps every danger and fault away, `good` the advice too; None where rules that cannot
    all hold (`conflict`) leave nothing. `flagged_regardless` names rules that flag whatever is entered
    here, `flagged_unless_off` those that another setting breaks and only nought would silence. Of
    several motors it is that of the `motors` that the entry holds for, or of all; `each` where it is
    that of an entry of each. With `at_corners` all of it is told for every corner of the tolerances;
    `undecided` names rules of which no value was found to hold or to fail there, and where such a rule
    leaves nothing, `otherwise` is what all others leave.
    """

    quantity: str
    entered_as: str
    mode: str
    unit: str
    step: float
    lowest: float
    highest: float
    today: float | None
    hard: Span | None
    good: Span | None
    rules: tuple[RuleSpan, ...]
    conflict: tuple[str, ...]
    flagged_regardless: tuple[str, ...]
    not_checked: tuple[UncheckedRule, ...]
    depends_on: tuple[str, ...]
    motors: tuple[str, ...] = ()
    each: bool = False
    flagged_unless_off: tuple[str, ...] = ()
    at_corners: bool = False
    undecided: tuple[str, ...] = ()
    otherwise: Span | None = None

    @property
    def best(self) -> Span | None:
        """The good window where there is one inside the hard one, else the hard one."""
        return self.good or self.hard

    @property
    def margin(self) -> float | None:
        """How far today's value is inside the nearer hard end; negative outside."""
        if self.today is None or self.hard is None:
            return None
        return margin_inside(self.today, self.hard.low.limit, self.hard.high.limit)

    @property
    def share(self) -> float | None:
        """The margin as a part of the limit that it is measured from."""
        if self.today is None or self.hard is None:
            return None
        return share_of_limit(self.today, self.hard.low.limit, self.hard.high.limit)


class Bounds:
    """What the window of a frame tells: its ends, and which rule stands at each of them."""

    def __init__(self, frame: Frame) -> None:
        self.frame, self.sweep, self.key = frame.of_its_own(), frame.sweep, frame.key

    def window(self) -> Window:
        """The window of the setting."""
        key, everything = self.key, (*self.frame.hard, *self.frame.binding)
        return Window(
            quantity=key.name,
            entered_as=key.entered_as,
            mode=self.frame.mode,
            unit=key.unit,
            step=key.step,
            lowest=key.value(key.first),
            highest=key.value(key.last),
            today=float(self.frame.given.entered) if self.frame.given is not None else None,
            hard=self._span(self.frame.hard_piece, [one for one, _ in self.frame.hard], STOPS),
            good=self._span(self.frame.good_piece, [one for one, _ in everything], SEVERITIES),
            rules=tuple(self._rule_spans()),
            conflict=self.frame.conflict,
            flagged_regardless=tuple(
                dict.fromkeys(one.rule.id for one in self.frame.flagged_regardless)
            ),
            not_checked=tuple(self._not_checked()),
            depends_on=self._depends_on(),
            flagged_unless_off=tuple(dict.fromkeys(one.rule.id for one in self.frame.aside)),
        )

    def _span(
        self, piece: Piece | None, clauses: Sequence[Clause], refused: Sequence[Severity]
    ) -> Span | None:
        if piece is None:
            return None
        low, high = piece
        return Span(self._end(low, -1, clauses, refused), self._end(high, 1, clauses, refused))

    def _end(
        self, steps: int, outwards: int, clauses: Sequence[Clause], refused: Sequence[Severity]
    ) -> End:
        """The end at `steps`, with the gravest rule that flags one step further out."""
        beyond = steps + outwards
        if not self.key.first <= beyond <= self.key.last:
            return End(None, None)
        graded = [(self.sweep.grade(clause, beyond), clause) for clause in clauses]
        flagging = [(grade, clause) for grade, clause in graded if grade in refused]
        grade, named = min(flagging, key=lambda one: (rank_of(one[0]), one[1].rule.id))
        return End(self.key.value(steps), named.rule.id, named.mode, grade)

    def _rule_spans(self) -> Iterable[RuleSpan]:
        """What each binding rule alone allows about today's value, each once for all modes alike.

        One with steps has a span for each severity.
        """
        seen: set[tuple[str, Piece]] = set()
        bounding = [clause for clause, _ in self.frame.binding]
        known = {(clause.rule.id, clause.seat) for clause in bounding}
        # one that flags whatever is entered may still have steps that bound
        graver = [one for one, _ in self.frame.hard if (one.rule.id, one.seat) not in known]
        for clause in (*bounding, *graver):
            for severity in severities_of(clause):
                piece = self.frame.nearest(self._allowed(clause, severity))
                if piece in (None, self.key.whole) or (clause.rule.id, piece) in seen:
                    continue
                seen.add((clause.rule.id, piece))
                low = self.key.value(piece[0]) if piece[0] > self.key.first else None
                high = self.key.value(piece[1]) if piece[1] < self.key.last else None
                yield RuleSpan(clause.rule.id, severity, clause.mode, low, high)

    def _allowed(self, clause: Clause, severity: Severity) -> list[Piece]:
        """The steps at which a rule makes nothing so grave."""
        return self.sweep.pieces(clause, SEVERITIES[: rank_of(severity) + 1])

    def _not_checked(self) -> Iterable[UncheckedRule]:
        """Rules that could not be checked, the worst first, each with the side that it would bound."""
        middle = (self.key.first + self.key.last) // 2
        found: dict[str, UncheckedRule] = {}
        for clause in self.sweep.clauses:
            seat, rule = clause.seat, clause.rule
            book = self.sweep.books[seat] if self.frame.given else self.sweep.book(seat, middle)
            decided = ruling(rule, book)
            if decided.outcome == "not_checked" and decided.missing and rule.id not in found:
                side = ""
                if rule.of == self.key.name and (rule.low is None or rule.high is None):
                    side = "high" if rule.low is None else "low"
                missing = tuple(sorted(self.asked(clause, decided.missing)))
                found[rule.id] = UncheckedRule(rule.id, clause.severity, side, missing)
        return sorted(found.values(), key=lambda one: SEVERITIES.index(one.severity))

    def asked(self, clause: Clause, missing: Iterable[str]) -> Iterable[str]:
        """The keys under which what a rule lacks would be entered."""
        return map(entered_under, missing)

    def _depends_on(self) -> tuple[str, ...]:
        """The given quantities on which the binding rules' limits hang."""
        found: dict[str, None] = {}
        for seat, book in self.sweep.books.items():
            reads = {
                name for one, _ in self.frame.binding if one.seat == seat for name in one.rule.reads
            }
            found.update(dict.fromkeys(self.entries(book, sorted(reads))))
        return tuple(sorted(found))

    def entries(self, book: Book, names: list[str]) -> Iterable[str]:
        """The entries below some quantities, but for the setting itself."""
        return [name for name in roots_given(book, names) if name != self.key.name]


def windows(
    hearing: Hearing,
    catalogue: Catalogue,
    only: frozenset[str] | None = None,
    without: frozenset[str] = frozenset(),
) -> tuple[Window, ...]:
    """The windows of every setting of the base settings, and of those that each mode sets.

    `only` restricts them to the named settings, `without` leaves rules aside. Their order is that
    of the schema.
    """
    found = (
        window_of(name, mode, hearing, catalogue, without)
        for mode in hearing.books
        for name in settings_of(hearing, mode)
        if only is None or name in only
    )
    return tuple(found)


def window_of(
    name: str,
    mode: str,
    hearing: Hearing,
    catalogue: Catalogue,
    without: frozenset[str] = frozenset(),
    modes: Sequence[str] | None = None,
) -> Window:
    """The window of one setting in the frame that its rules leave."""
    return Bounds(frame_of(name, mode, hearing, catalogue, without, modes)).window()


def why_further(hard: End, kept: End, value: float) -> str:
    """Why a value lies further inside than a check demands: what a good practice asks for beside.

    >>> why_further(End(90.0, "battery-current-above-bms"), End(80.0, "fuse-loaded"), 80.0)
    '90 would do; fuse-loaded advises this'
    """
    if hard.limit is None or kept.rule is None or kept.limit != value or hard.limit == value:
        return ""
    return f"{tidy(hard.limit):g} would do; {kept.rule} advises this"
