"""A display that several motors share, which counts the wheel of one of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from .evaluation import Hearing
from .finding import Finding, HeldCount, NotChecked
from .rule import Outcome, Rule

SPEED_SHOWN = "settings.speed_shown."


class Raw(NamedTuple):
    """What one motor comes to, before it is held against the others.

    `yielding` holds its findings with those for which others stand.
    """

    findings: list[Finding]
    yielding: list[Finding]
    not_checked: list[NotChecked]
    outcomes: dict[str, Outcome]
    held: HeldCount | None = None


def held_together(raw: Mapping[str, Raw], hearings: Mapping[str, Hearing]) -> HeldCount | None:
    """How many settings of all motors are held; None where nothing was read back of any."""
    if all(one.held is None for one in raw.values()):
        return None
    from .read_back import held_in_all  # late: few are read back

    return held_in_all((raw[name].held, hearing) for name, hearing in hearings.items())


def by_one_display(raw: Mapping[str, Raw]) -> dict[str, Raw]:
    """What each motor comes to without a display's quarrel with its wheel, if another's wheel agrees.

    A display that the motors share counts one wheel; which, the entries that agree with it say.
    """
    agreeing = [name for name, one in raw.items() if not any(map(_of_display, _rules(one)))]
    if not agreeing:
        return dict(raw)
    return {
        name: one._replace(
            findings=[each for each in one.findings if not _of_shared_display(each)],
            yielding=[each for each in one.yielding if not _of_shared_display(each)],
        )
        for name, one in raw.items()
    }


def _rules(one: Raw) -> list[Rule]:
    """The rules that a motor breaks or waits for."""
    return [each.rule for each in one.yielding] + [each.rule for each in one.not_checked]


def _of_display(rule: Rule) -> bool:
    return (rule.points_at or "").startswith(SPEED_SHOWN)


def _of_shared_display(one: Finding) -> bool:
    return _of_display(one.rule) and one.entered_as.startswith(SPEED_SHOWN)
