"""Frames: the steps of one setting that its rules allow, with the others as they stand."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from ..documents.profile import BASE, Given
from ..documents.schema import canonical
from .catalogue import Catalogue
from .clause import Clause, clauses_of, gravest, in_force, names_read
from .evaluation import Hearing
from .rule import STOPS
from .sweep import Piece, Sweep, conflict_of, key_of, overlap

# Fixed by the build or by a reading: they have a value, not a window.
FIXED = (
    "settings.pole_pairs",
    "settings.direction",
    "settings.temperature.motor.sensor",
)


class Frame:
    """The steps of a swept setting that each rule allows, and all of them; swept when asked."""

    def __init__(
        self, sweep: Sweep, mode: str, given: Given | None, aside: Sequence[Clause] = ()
    ) -> None:
        self.sweep, self.key, self.mode, self.given = sweep, sweep.key, mode, given
        self.aside = aside
        self.clauses = [clause for clause in sweep.clauses if clause not in aside]

    def rests_on(self) -> frozenset[str]:
        """The names that it would have to be swept again for."""
        return names_read(self.key.name, self.sweep.clauses)

    def rest(self) -> None:
        """Keep what was found, and no book of a step: what is asked for later is swept again."""
        self.sweep.rest()

    @cached_property
    def _swept(self) -> list[tuple[Clause, list[Piece]]]:
        return [(clause, self.sweep.pieces(clause)) for clause in self.clauses]

    @property
    def switched_off(self) -> list[Clause]:
        """The rules that another setting breaks, and that this one could only silence by being off.

        They are no limit of this one: whoever puts the other right may leave it as it is.
        """
        first = self.key.first
        given = self.given is not None and self.key.steps(float(self.given.entered)) > first
        if not given or self.key.value(first) != 0:
            return []
        return [
            one
            for one, pieces in self._swept
            if pieces == [(first, first)] and self._is_anothers(one)
        ]

    def _is_anothers(self, clause: Clause) -> bool:
        """Whether the rule is about another setting, and that one is entered."""
        about = clause.rule.points_at or ""
        entered = about.startswith("settings.") and about != self.key.name
        return entered and self.sweep.books[clause.seat].given(about) is not None

    def of_its_own(self) -> Frame:
        """The frame by the rules that are no other setting's."""
        others = self.switched_off
        return Frame(self.sweep, self.mode, self.given, others) if others else self

    @cached_property
    def flagged_regardless(self) -> list[Clause]:
        """The rules that flag at every step."""
        return [clause for clause, pieces in self._swept if not pieces]

    @cached_property
    def binding(self) -> list[tuple[Clause, list[Piece]]]:
        """The rules that flag at some steps, but not at all of them."""
        whole = [self.key.whole]
        return [(one, pieces) for one, pieces in self._swept if pieces and pieces != whole]

    @cached_property
    def hard(self) -> list[tuple[Clause, list[Piece]]]:
        """The rules that are a danger or fault at some steps, but not at all of them."""
        whole = [self.key.whole]
        grave = (one for one in self.clauses if gravest(one) in STOPS)
        found = ((clause, self.sweep.pieces(clause, STOPS)) for clause in grave)
        return [(clause, pieces) for clause, pieces in found if pieces and pieces != whole]

    @cached_property
    def hard_piece(self) -> Piece | None:
        """The steps that keep every danger and fault away."""
        return self.nearest(overlap([pieces for _, pieces in self.hard], self.key.whole))

    @cached_property
    def good_piece(self) -> Piece | None:
        """The steps among these that keep the advice too."""
        hard = self.hard_piece
        if hard is None:
            return None
        pieces = overlap([one for _, one in (*self.hard, *self.binding)], self.key.whole)
        return self.nearest([one for one in pieces if hard[0] <= one[0] <= hard[1]])

    @property
    def conflict(self) -> tuple[str, ...]:
        """The rules that leave no step between them."""
        if self.hard_piece is not None:
            return ()
        allowed: dict[str, list[Piece]] = {}
        for clause, pieces in self.hard:
            known = allowed.get(clause.rule.id, [self.key.whole])
            allowed[clause.rule.id] = overlap([known, pieces], self.key.whole)
        return conflict_of(allowed, self.key.whole)

    def nearest(self, pieces: Sequence[Piece]) -> Piece | None:
        """The piece that holds today's value, else the nearest; the widest where none is set."""
        if not pieces:
            return None
        if self.given is None:
            return max(pieces, key=lambda piece: piece[1] - piece[0])
        today = self.key.steps(float(self.given.entered))
        return min(pieces, key=lambda piece: max(piece[0] - today, today - piece[1], 0.0))


def settings_of(hearing: Hearing, mode: str) -> list[str]:
    """The settings with a window: all of them in the base settings, in a mode those it sets."""
    book = hearing.books[mode]
    names = [
        name
        for name, entry in canonical().items()
        if name.startswith("settings.") and entry.kind in ("number", "integer")
    ]
    if mode != BASE:
        changes = hearing.profile.modes[mode]
        names = [name for name in names if changes.get(name) is not None]
    return [name for name in names if name not in FIXED and not book.is_absent(name)]


def frame_of(
    name: str,
    mode: str,
    hearing: Hearing,
    catalogue: Catalogue,
    without: frozenset[str] = frozenset(),
    modes: Sequence[str] | None = None,
) -> Frame:
    """The frame of one setting by the rules that it reaches.

    A base setting is in force in every mode that does not set it: the rules hold there as well,
    unless `modes` names those in which they shall.
    """
    given = hearing.books[mode].given(name)
    modes = in_force(name, mode, hearing) if modes is None else modes

    def made() -> Frame:
        clauses = clauses_of(name, modes, hearing, catalogue, without)
        books = {one: hearing.books[one] for one in modes}
        known = given if given is not None and given.value is not None else None
        return Frame(Sweep(key_of(name, given), known, books, clauses), mode, known)

    if hearing.common is None:
        return made()
    entered = None if given is None else repr(given.entered)
    key = ("frame", name, mode, without, tuple(modes), entered)
    return hearing.common.made(key, Frame.rests_on, made)
