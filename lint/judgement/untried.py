"""Which safety functions of a vehicle nobody tried, though it is GO for a ride."""

from __future__ import annotations

from typing import NamedTuple

from ..documents.profile import Profile
from .finding import Judgement

_NONE = "none"


class SafetyTrial(NamedTuple):
    """A safety function in words, the reading that a trial of it is entered as, and what shows it is there.

    With an `answer` it is there where the entry says just that.
    """

    title: str
    reading: str
    fitted: str
    answer: str = ""


SAFETY_TRIALS = (
    SafetyTrial("kill switch", "readings.tried.kill_switch", "wiring.kill_switch"),
    SafetyTrial("key switch", "readings.tried.key_switch", "wiring.key_switch"),
    SafetyTrial("seat switch", "readings.tried.seat_switch", "wiring.seat_switch"),
    SafetyTrial("brake cut", "readings.tried.brake_cut", "throttle.brake_cut"),
    SafetyTrial("lost throttle", "readings.tried.lost_throttle", "settings.throttle"),
    SafetyTrial("isolation from the frame", "readings.isolation_kohm", "pack.series"),
    SafetyTrial(
        "driving while charging",
        "readings.charging_blocked",
        "pack.drive_while_charging",
        "blocked",
    ),
)


def untried(judgement: Judgement) -> tuple[SafetyTrial, ...]:
    """The safety functions that a vehicle has and no reading says were tried; of one that may be ridden.

    Before it may, the work that is open is told instead.
    """
    if judgement.stages["ride"] not in ("go", "go-with-waivers"):
        return ()
    return trials_without_record(judgement.profile)


def trials_without_record(profile: Profile) -> tuple[SafetyTrial, ...]:
    """The safety functions that a vehicle has and no reading says were tried, whatever its verdict."""
    views = (profile, *profile.motors.values())
    return tuple(
        one
        for one in SAFETY_TRIALS
        if any(_has(one, view) for view in views)
        and not any(one.reading in view.givens for view in views)
    )


def _has(trial: SafetyTrial, profile: Profile) -> bool:
    """Whether the function is said to be there."""
    told = profile.givens.get(trial.fitted)
    if told is None or trial.answer:
        return told is not None and told.value == trial.answer
    return told.value not in (None, _NONE, False)


def untried_titles(judgement: Judgement) -> str:
    """The same by their titles; empty where everything was tried."""
    return ", ".join(one.title for one in untried(judgement))


def untried_words(judgement: Judgement) -> str:
    """The same in a line; empty where everything was tried."""
    titles = untried_titles(judgement)
    return f"never tried: {titles} (gonogo bringup)" if titles else ""
