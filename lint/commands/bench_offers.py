"""What follows from a reading at the bench: the settings that it gives a first value, or another one."""

from __future__ import annotations

from collections.abc import Iterator

from ..documents.text import clean
from ..judgement.proposal import Setting, proposals, starting_points
from ..judgement.second_values import second_values
from ..quantities.registry import rests_on
from .proposal import OpenedProfile

FULL_READ, FULL_USED = "readings.throttle.full_V", "throttle.full_reading_V"


def following(opened: OpenedProfile, quantity: str) -> Iterator[Setting]:
    """The settings that follow from a reading, each with the value to enter.

    None from half of a throttle: what rests on its full reading waits for that.
    """
    has_full = FULL_READ in opened.profile.givens
    moved = {
        name
        for name, point in starting_points().items()
        if any(quantity in rests_on(read) for read in point.reads)
        and (has_full or FULL_USED not in point.reads)
    }
    if moved:
        yield from (one for one in _proposed(opened) if one.quantity in moved)


def offer_of(setting: Setting) -> str:
    """The question whether to enter a setting that follows."""
    entered = setting.entered
    value = f"{entered:g}" if isinstance(entered, int | float) else str(entered)
    now = "" if setting.before is None else f" instead of {setting.before}"
    return f"Enter {clean(setting.entered_as)}: {value}{now}? {setting.because}"


def _proposed(opened: OpenedProfile) -> list[Setting]:
    profile, catalogue, judged_on = opened.profile, opened.catalogue, opened.judged_on
    if profile.motors:
        from ..judgement.motor_proposal import motor_proposals  # late: most have one motor
        from ..judgement.motor_second_values import motor_second_values

        moves, _ = motor_proposals(profile, catalogue, judged_on)
        second = motor_second_values(profile, catalogue, judged_on)
        return [move.setting for move in (*moves, *second)]
    first, _ = proposals(profile, catalogue, judged_on)
    return [*first, *second_values(profile, catalogue, judged_on)]
