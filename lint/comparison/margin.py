"""Margins: how far each bounded quantity is from its limit on either side, the tightest first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..documents.profile import BASE
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing, Ruling
from ..judgement.rule import Rule, Severity
from ..judgement.sentences import Spoken, entered_in
from ..quantities.number import is_number, overlooked, tidy


@dataclass(frozen=True, slots=True)
class Distance:
    """How far a value is inside the nearer of its limits; negative outside."""

    value: float
    limit: float
    upper: bool
    room: float

    @property
    def share(self) -> float | None:
        """The room as a share of the limit; None where the limit is nought."""
        return self.room / abs(self.limit) if self.limit else None


@dataclass(frozen=True, slots=True)
class Margin:
    """One rule's margin on both sides, in the unit of the key as the new side enters it.

    `motors` are those of several that it is of, empty where it is that of all.
    """

    rule: Rule
    severity: Severity
    mode: str
    quantity: str
    unit: str
    old: Distance
    new: Distance
    motors: tuple[str, ...] = ()

    @property
    def by(self) -> float:
        """How much it grew; negative where it shrank."""
        return tidy(self.new.room - self.old.room)


def distance_of(ruling: Ruling | None) -> Distance | None:
    """How far a ruling's value is from its limit, canonical; None where it did not come to that."""
    if ruling is None or ruling.outcome not in ("clear", "flagged") or ruling.of is None:
        return None
    value = ruling.of.value
    if not is_number(value):
        return None
    low, high = ruling.low, ruling.high
    above = below = None
    if high is not None and is_number(high.value):
        below = Distance(value, high.value, True, high.value - value)
    if low is not None and is_number(low.value):
        above = Distance(value, low.value, False, value - low.value)
    if above is None or below is None:
        return above or below
    return above if above.room < below.room else below


def effective(hearing: Hearing, mode: str, rule: str) -> Ruling | None:
    """What a rule says in a mode: what the mode says itself, else what the base settings say."""
    own = hearing.rulings.get(mode, {}).get(rule)
    return own or hearing.rulings[BASE].get(rule)


def margins(old: Hearing, new: Hearing, catalogue: Catalogue) -> tuple[Margin, ...]:
    """The margins that shrank or grew, of every bound judged on both sides."""
    moved = list(_of_mode(BASE, new.rulings[BASE], old, new, catalogue))
    for mode in sorted((old.books.keys() & new.books.keys()) - {BASE}):
        own = {**old.rulings[mode], **new.rulings[mode]}
        moved += [
            margin
            for margin in _of_mode(mode, own, old, new, catalogue)
            if not _as_in_base(margin, moved)
        ]
    return tuple(sorted(moved, key=tightest_first))


def _of_mode(
    mode: str,
    rulings: Mapping[str, Ruling],
    old: Hearing,
    new: Hearing,
    catalogue: Catalogue,
) -> Iterator[Margin]:
    for name, ruling in rulings.items():
        rule = ruling.rule
        if rule.of is None or (rule.low is None and rule.high is None):
            continue
        before, after = effective(old, mode, name), effective(new, mode, name)
        if before is None or after is None or same_numbers(before, after):
            continue
        was, now = distance_of(before), distance_of(after)
        if was is None or now is None or not differ(was, now, rule):
            continue
        spoken = entered_in(rule.of, new.books[mode])
        severity = catalogue.severity(rule)
        unit = spoken.unit_of_numbers
        yield Margin(
            rule,
            severity,
            mode,
            rule.of,
            unit,
            spoken_distance(was, spoken),
            spoken_distance(now, spoken),
        )


def same_numbers(before: Ruling, after: Ruling) -> bool:
    """Whether two rulings rest on the same numbers."""
    return (before.of, before.high, before.low) == (after.of, after.high, after.low)


def differ(was: Distance, now: Distance, rule: Rule) -> bool:
    """Whether a margin is another one, apart from the noise that the judge overlooks too."""
    noise = overlooked(max(was.limit, now.limit, key=abs), rule.step)
    return abs(now.room - was.room) > noise


def spoken_distance(distance: Distance, spoken: Spoken) -> Distance:
    """A distance in the unit of the key under which the quantity was entered."""
    return Distance(
        spoken.entered(distance.value),
        spoken.entered(distance.limit),
        distance.upper,
        tidy(distance.room / spoken.factor),
    )


def _as_in_base(margin: Margin, moved: list[Margin]) -> bool:
    """Whether the base settings say the same already."""
    return any(
        (known.rule.id, known.old, known.new) == (margin.rule.id, margin.old, margin.new)
        for known in moved
    )


def tightest_first(margin: Margin) -> tuple[float, str, str, tuple[str, ...]]:
    """By the room that is left on the new side, as a share of the limit or of the value."""
    size = abs(margin.new.limit) or abs(margin.new.value) or 1.0
    return margin.new.room / size, margin.rule.id, margin.mode, margin.motors
