"""Mending: flagged settings moved into their windows, in a fixed order, judged again after each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ..documents.dataclass import dataclass
from ..documents.profile import Profile
from ..documents.schema import canonical
from ..quantities.registry import moved_by
from .bench import Bench
from .catalogue import Catalogue
from .finding import Finding, Judgement
from .frame import HARD
from .hearing import BASE, Hearing, hear
from .judge import judge
from .start import starting_points
from .tune import Setting, tuned
from .window import window_of

PASSES = 3


@dataclass(frozen=True, slots=True)
class Mending:
    """What mending comes to: the settings moved, or the rules that cannot all hold."""

    before: Judgement
    after: Judgement
    settings: tuple[Setting, ...]
    obstacles: tuple[tuple[str, ...], ...]

    @property
    def mended(self) -> tuple[Finding, ...]:
        """The dangers and faults that were there before and no longer are."""
        left = {(one.rule.id, one.modes) for one in stops(self.after)}
        return tuple(one for one in stops(self.before) if (one.rule.id, one.modes) not in left)


def stops(judgement: Judgement) -> list[Finding]:
    """The dangers and faults that nobody waived."""
    return [one for one in judgement.findings if one.severity in HARD and not one.waived]


def mend(profile: Profile, catalogue: Catalogue, judged_on: str) -> Mending:
    """The profile's flagged settings moved to the nearest allowed values.

    The first pass leaves out what a later setting can follow, so that a taper follows its stop;
    the others hold each setting to every rule. The build and the readings stay as they are.
    """
    before = after = judge(profile, catalogue, judged_on)
    moved: dict[tuple[str, str], Setting] = {}
    for number in range(PASSES):
        settled = True
        for point in starting_points().values():
            for mode in (BASE, *profile.modes):
                if not stops(after):
                    break
                tried = tuned(profile, moved.values())
                bench = Bench(point, mode, hear(tried, catalogue, judged_on), catalogue, after)
                found = bench.setting(leading=number == 0)
                if found is not None:
                    first = moved.get((mode, point.setting), found)
                    moved[mode, point.setting] = replace(found, before=first.before)
                    after = judge(tuned(profile, moved.values()), catalogue, judged_on)
                    settled = False
        if settled and number > 0:
            break
    settings = tuple(one for one in moved.values() if one.entered != one.before)
    hearing = hear(tuned(profile, moved.values()), catalogue, judged_on)
    return Mending(before, after, settings, tuple(_obstacles(stops(after), hearing, catalogue)))


def _obstacles(
    left: Iterable[Finding], hearing: Hearing, catalogue: Catalogue
) -> Iterable[tuple[str, ...]]:
    """The smallest sets of rules that cannot all hold, one for each thing that stays wrong."""
    seen: set[tuple[str, ...]] = set()
    for finding in left:
        if finding.rule.subject == "window":
            continue
        names = min(_clashes(finding, hearing, catalogue), key=len, default=(finding.rule.id,))
        if names not in seen:
            seen.add(names)
            yield names


def _clashes(finding: Finding, hearing: Hearing, catalogue: Catalogue) -> Iterable[tuple[str, ...]]:
    """What the finding's rule clashes with, for each setting that it hangs on."""
    mode = finding.modes[0] if finding.modes else BASE
    for name in starting_points():
        moved = moved_by(frozenset({name})) | {name}
        numeric = canonical()[name].kind in ("number", "integer")
        if numeric and not moved.isdisjoint(finding.rule.reads):
            found = window_of(name, mode, hearing, catalogue).contrary
            if finding.rule.id in found:
                yield found
