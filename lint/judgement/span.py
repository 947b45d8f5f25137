"""What a window is: its two ends, the rule at each of them, and how far today's value is inside."""

from __future__ import annotations

from ..documents.dataclass import dataclass
from .hearing import BASE
from .rule import Severity


@dataclass(frozen=True, slots=True)
class End:
    """An end of a window, in the unit of the key as entered; no rule: nothing bounds it there.

    `mode` is the mode that inherits the setting and in which the rule flags first.
    """

    limit: float | None
    rule: str | None
    mode: str = BASE


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
class OpenEnd:
    """A rule that could bound the setting if these quantities were told."""

    rule: str
    severity: Severity
    side: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """The window of one setting in one mode, true with the other settings as they stand.

    `hard` keeps every danger and fault away, `good` the cautions too; None where rules that cannot
    all hold (`contrary`) leave nothing. `broken` names rules that flag whatever is entered here.
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
    contrary: tuple[str, ...]
    broken: tuple[str, ...]
    open_ends: tuple[OpenEnd, ...]
    depends_on: tuple[str, ...]

    @property
    def best(self) -> Span | None:
        """The good window where there is one inside the hard one, else the hard one."""
        return self.good or self.hard

    @property
    def margin(self) -> float | None:
        """How far today's value is inside the nearer hard end; negative outside."""
        if self.today is None or self.hard is None:
            return None
        low, high = self.hard.low.limit, self.hard.high.limit
        ends = [] if low is None else [self.today - low]
        ends += [] if high is None else [high - self.today]
        return round(min(ends), 9) if ends else None

    @property
    def share(self) -> float | None:
        """The margin as a part of the limit that it is measured from."""
        margin = self.margin
        if margin is None or self.hard is None or self.today is None:
            return None
        low, high = self.hard.low.limit, self.hard.high.limit
        near = high if high is not None and round(high - self.today, 9) == margin else low
        return round(margin / abs(near), 4) if near else None
