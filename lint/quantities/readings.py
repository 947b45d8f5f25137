"""The readings: how old they are on the day that the profile is judged."""

from __future__ import annotations

from collections.abc import Sequence

from ..documents.day import days_between
from .operand import NotWorked
from .worked import worked


@worked(
    "readings.age_days",
    "days",
    title="age of the readings",
    judged_on="judged.on",
    taken="readings.taken",
    words="judged_on − taken",
    source="The calendar.",
)
def age(judged_on: str, taken: str) -> int:
    """Days since the readings were taken; below zero when the date lies ahead.

    >>> age("2026-03-01", "2026-02-27")
    2
    """
    return _days(taken, judged_on)


@worked(
    "readings.days_since_identification",
    "days",
    title="age of the motor identification",
    judged_on="judged.on",
    done="readings.identification.done",
    words="judged_on − done",
    source="The calendar.",
)
def since_identification(judged_on: str, done: str) -> int:
    """Days since the last motor identification.

    >>> since_identification("2026-03-01", "2025-03-01")
    365
    """
    return _days(done, judged_on)


@worked(
    "readings.days_since_read_back",
    "days",
    title="age of the read-back",
    judged_on="judged.on",
    done="readings.entered.done",
    words="judged_on − done",
    source="The calendar.",
)
def since_read_back(judged_on: str, done: str) -> int:
    """Days since the controller's fields were read back; below zero when the date lies ahead.

    >>> since_read_back("2026-03-01", "2026-02-28")
    1
    """
    return _days(done, judged_on)


LOOKED_AT = "polarity"
LAST = "last_look"
PLUGGING = ("precharge", "anti_spark", "plug_in")  # of which a vehicle has one


@worked(
    "readings.sound_connection",
    "",
    title="sound polarity and plugging in",
    done="readings.steps_done",
    failed="readings.steps_failed",
    words="polarity and plugging in among: done; neither of them among: failed",
    returns="boolean",
    source="Common practice.",
)
def sound_connection(done: Sequence[str] = (), failed: Sequence[str] = ()) -> bool:
    """Whether the pack was connected with its poles right and without harm, as the bring-up says.

    >>> sound_connection(["polarity", "precharge"]), sound_connection(["polarity"], ["plug_in"])
    (True, False)
    """
    if {LOOKED_AT, *PLUGGING} & set(failed):
        return False
    if LOOKED_AT not in done:
        raise NotWorked("the bring-up was begun, and the polarity left open")
    if not set(PLUGGING) & set(done):
        raise NotWorked("the bring-up was begun, and plugging in, or precharge, left open")
    return True


@worked(
    "readings.looked_over",
    "",
    title="last look over",
    done="readings.steps_done",
    failed="readings.steps_failed",
    words="the last look over among: done, and not among: failed",
    returns="boolean",
    source="Common practice.",
)
def looked_over(done: Sequence[str] = (), failed: Sequence[str] = ()) -> bool:
    """Whether the bring-up ended with a look over every bolt; open until then.

    >>> looked_over(["polarity", "last_look"]), looked_over(["polarity"], ["last_look"])
    (True, False)
    """
    if LAST in failed:
        return False
    if LAST not in done:
        raise NotWorked(
            "the bring-up was begun, and its last look over left open", "readings.steps_done"
        )
    return True


def _days(earlier: str, later: str) -> int:
    try:
        return days_between(earlier, later)
    except ValueError as broken:
        raise NotWorked(str(broken)) from None
