"""What the sweep of one setting found, put together into its window."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..documents.profile import Given
from .piece import Piece, clash, overlap
from .place import roots_given
from .rule import SEVERITIES, Severity
from .ruling import ruling
from .span import End, OpenEnd, RuleSpan, Span, Window
from .sweep import Clause, Sweep

HARD: tuple[Severity, ...] = ("danger", "fault")


class Frame:
    """The pieces that each rule of a swept setting allows."""

    def __init__(self, sweep: Sweep, mode: str, given: Given | None) -> None:
        self.sweep, self.key, self.mode, self.given = sweep, sweep.key, mode, given
        found = [(clause, sweep.pieces(clause)) for clause in sweep.clauses]
        whole = [self.key.whole]
        self.broken = [clause for clause, pieces in found if not pieces]
        self.binding = [(one, pieces) for one, pieces in found if pieces and pieces != whole]
        self.hard = [(one, pieces) for one, pieces in self.binding if one.severity in HARD]

    def window(self) -> Window:
        """The window of the setting."""
        key = self.key
        hard_pieces = overlap([pieces for _, pieces in self.hard], key.whole)
        hard = self._nearest(hard_pieces)
        good_pieces = overlap([pieces for _, pieces in self.binding], key.whole)
        good = self._nearest([one for one in good_pieces if hard and hard[0] <= one[0] <= hard[1]])
        return Window(
            quantity=key.name,
            entered_as=key.entered_as,
            mode=self.mode,
            unit=key.unit,
            step=key.step,
            lowest=key.value(key.first),
            highest=key.value(key.last),
            today=float(self.given.entered) if self.given is not None else None,
            hard=self._span(hard, [one for one, _ in self.hard]),
            good=self._span(good, [one for one, _ in self.binding]),
            rules=tuple(self._rule_spans()),
            contrary=() if hard else self._contrary(),
            broken=tuple(dict.fromkeys(one.rule.id for one in self.broken)),
            open_ends=tuple(self._open_ends()),
            depends_on=self._depends_on(),
        )

    def _nearest(self, pieces: Sequence[Piece]) -> Piece | None:
        """The piece that holds today's value, else the nearest; the widest where none is set."""
        if not pieces:
            return None
        if self.given is None:
            return max(pieces, key=lambda piece: piece[1] - piece[0])
        today = self.key.steps(float(self.given.entered))
        return min(pieces, key=lambda piece: max(piece[0] - today, today - piece[1], 0.0))

    def _contrary(self) -> tuple[str, ...]:
        allowed: dict[str, list[Piece]] = {}
        for clause, pieces in self.hard:
            known = allowed.get(clause.rule.id, [self.key.whole])
            allowed[clause.rule.id] = overlap([known, pieces], self.key.whole)
        return clash(allowed, self.key.whole)

    def _span(self, piece: Piece | None, clauses: Sequence[Clause]) -> Span | None:
        if piece is None:
            return None
        return Span(self._end(piece[0], -1, clauses), self._end(piece[1], 1, clauses))

    def _end(self, steps: int, outwards: int, clauses: Sequence[Clause]) -> End:
        """The end at `steps`, with the gravest rule that flags one step further out."""
        beyond = steps + outwards
        if not self.key.first <= beyond <= self.key.last:
            return End(None, None)
        flagging = [clause for clause in clauses if self.sweep.flagged(clause, beyond)]
        named = min(flagging, key=lambda one: (SEVERITIES.index(one.severity), one.rule.id))
        return End(self.key.value(steps), named.rule.id, named.mode)

    def _rule_spans(self) -> Iterable[RuleSpan]:
        """What each binding rule alone allows about today's value, each once for all modes alike."""
        seen: set[tuple[str, Piece]] = set()
        for clause, pieces in self.binding:
            piece = self._nearest(pieces)
            assert piece is not None
            if (clause.rule.id, piece) in seen:
                continue
            seen.add((clause.rule.id, piece))
            low = self.key.value(piece[0]) if piece[0] > self.key.first else None
            high = self.key.value(piece[1]) if piece[1] < self.key.last else None
            yield RuleSpan(clause.rule.id, clause.severity, clause.mode, low, high)

    def _open_ends(self) -> Iterable[OpenEnd]:
        """Rules that could not be judged, the worst first, each with the side that it would bound."""
        middle = (self.key.first + self.key.last) // 2
        found: dict[str, OpenEnd] = {}
        for clause in self.sweep.clauses:
            mode, rule = clause.mode, clause.rule
            book = self.sweep.books[mode] if self.given else self.sweep.book(mode, middle)
            decided = ruling(rule, book)
            if decided.outcome == "not_judged" and decided.missing and rule.id not in found:
                side = ""
                if rule.of == self.key.name and (rule.low is None or rule.high is None):
                    side = "high" if rule.low is None else "low"
                missing = tuple(sorted(decided.missing))
                found[rule.id] = OpenEnd(rule.id, clause.severity, side, missing)
        return sorted(found.values(), key=lambda one: SEVERITIES.index(one.severity))

    def _depends_on(self) -> tuple[str, ...]:
        """The given quantities on which the binding rules' limits hang."""
        found: dict[str, None] = {}
        for mode, book in self.sweep.books.items():
            reads = {name for one, _ in self.binding if one.mode == mode for name in one.rule.reads}
            found.update(dict.fromkeys(roots_given(book, sorted(reads))))
        found.pop(self.key.name, None)
        return tuple(sorted(found))
