"""What is due next on a vehicle, and when: readings, motor identification, read-back, waivers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from math import floor

from ..documents.day import day_of, days_between
from ..documents.profile import Profile, Waiver
from ..documents.schema import allowances

READINGS_DAY = "readings.taken"
IDENTIFICATION, IDENTIFICATION_DAY = "readings.identification", "readings.identification.done"
READ_BACK_DAY = "readings.entered.done"
TO_READ_BACK = "settings."
# What is dated, for how long it holds by the house file, and what to do when it no longer does.
DATED = (
    ("readings", READINGS_DAY, "house.readings_days", "take the readings again"),
    (
        "motor identification",
        IDENTIFICATION_DAY,
        "house.identification_days",
        "repeat the motor identification, wheel clear of the ground and motor unloaded",
    ),
    (
        "read-back",
        READ_BACK_DAY,
        "house.readings_days",
        "read the controller's fields back again, and enter the day",
    ),
)
TAKE_READINGS = "take the readings on the stand, and enter their day"
IDENTIFY = "run the motor identification, and enter its day"
READ_BACK = "read the controller's fields back, and enter the day"
AHEAD = "correct the date, which lies ahead"
REVIEW = "fix the finding and remove the waiver, or review the risk"


@dataclass(frozen=True, slots=True)
class Due:
    """One thing that is due on a vehicle.

    `last_day` is the last day on which what was `done` holds, `left_days` the days to it: negative
    once it is over; None where no day is known. What has no day and `counts` is due at once: nobody
    knows how long it has been. `entry` is the key that has, or lacks, the day; `motor` that of several
    to which it belongs, "" where it is the vehicle's; `waiver` the waiver that ends.
    """

    what: str
    entry: str
    do: str
    done: str | None = None
    last_day: str | None = None
    left_days: int | None = None
    holds_days: int | None = None
    counts: bool = True
    motor: str = ""
    waiver: Waiver | None = None

    def within(self, days: int) -> bool:
        """Whether it is due in so many days, or is over."""
        return self.counts and (self.left_days is None or self.left_days <= days)


def all_due(profile: Profile, judged_on: str) -> tuple[Due, ...]:
    """All that is due on a vehicle, the soonest first; what only lacks a record comes last.

    Of several motors each has its own identification and read-back where it says so.
    """
    found = [*_of(profile, judged_on, "", bool(profile.motors))]
    shared = {(one.entry, one.done) for one in found}
    for name, own in profile.motors.items():
        of_motor = _of(own, judged_on, name, False)
        found += [one for one in of_motor if (one.entry, one.done) not in shared]
    found += [_waiver(waiver, judged_on) for waiver in profile.waivers]
    return tuple(sorted(found, key=due_order))


def due_order(due: Due) -> tuple[bool, int, str, str]:
    """The order of what is due: what has no day but counts is as if it ran out long ago."""
    never = -(10**9)
    return not due.counts, never if due.left_days is None else due.left_days, due.what, due.motor


def _of(profile: Profile, judged_on: str, motor: str, in_parts: bool) -> Iterator[Due]:
    """What is dated in a profile; of several motors, `in_parts`, what is not is asked of each."""
    for what, entry, allowance, act in DATED:
        done = profile.value(entry)
        if isinstance(done, str):
            yield _dated(what, entry, act, done, _holds(profile, allowance), judged_on, motor)
        elif entry == READINGS_DAY and not motor:
            yield Due(what, entry, TAKE_READINGS)
        elif entry == IDENTIFICATION_DAY and not (in_parts or IDENTIFICATION in profile.absent):
            yield Due(what, entry, IDENTIFY, counts=False, motor=motor)
        elif entry == READ_BACK_DAY and not in_parts and _has_settings(profile):
            yield Due(what, entry, READ_BACK, motor=motor)


def _has_settings(profile: Profile) -> bool:
    """Whether there is anything that the controller could be asked for."""
    return any(name.startswith(TO_READ_BACK) for name in profile.givens)


def _dated(
    what: str, entry: str, act: str, done: str, holds_days: int, judged_on: str, motor: str
) -> Due:
    if days_between(done, judged_on) < 0:
        return Due(what, entry, AHEAD, done, motor=motor)
    last = date.fromordinal(min(day_of(done).toordinal() + holds_days, date.max.toordinal()))
    left = days_between(judged_on, last.isoformat())
    return Due(what, entry, act, done, last.isoformat(), left, holds_days, motor=motor)


def _holds(profile: Profile, name: str) -> int:
    """For how many days something holds, by the house file or without one."""
    own = profile.house.allowances.get(name)
    return floor(own.number if own is not None else allowances()[name].default)


def _waiver(waiver: Waiver, judged_on: str) -> Due:
    what = f"waiver of {waiver.rule}" + (f" in mode {waiver.mode}" if waiver.mode else "")
    left = days_between(judged_on, waiver.until)
    return Due(
        what,
        waiver.entered_as,
        REVIEW,
        last_day=waiver.until,
        left_days=left,
        motor=waiver.motor or "",
        waiver=waiver,
    )
