"""Failures that do the same and are caught by the same, under one head."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..quantities.number import is_number
from ..quantities.operand import EXACT
from ..rehearsal.failure_file import GRAVEST_CLASS, Class
from ..rehearsal.rehearse import Failure, FailureEffect
from .rehearsal import effect_words, next_step, number_words, time_words
from .section import Notice, Row, Tone, row

CLASS_TONES: Mapping[Class, Tone] = {
    "catastrophic": "danger",
    "critical": "fault",
    "marginal": "advice",
}
# Of times, and of a cell's voltage, the lower is worse; what is no harm is neither.
LESS_IS_WORSE = {"failure.lacking_group_V", "failure.weak_group_V"}
NO_HARM = {
    "failure.short_peak_km_h",
    "failure.short_top_N",
    "failure.stage_top_N",
    "ride.braked_grip_N",
    "failure.drive_at_top_N",
    "failure.two_phase_Nm",
    "failure.hall_turn_ms",
}
SAYS_WHY = {"failure.stuck_stop_m", "failure.coast_down_m"}  # a way that never ends
UNITS_OF_TIME = ("ms", "s")


@dataclass(frozen=True, slots=True)
class FailureGroup:
    """Failures with one sentence of effect and one catch, in the order in which they came."""

    failures: tuple[Failure, ...]

    @property
    def first(self) -> Failure:
        """What stands for all in what they share."""
        return self.failures[0]

    @property
    def severity(self) -> Class:
        """The class of them all."""
        return self.first.severity

    @property
    def within(self) -> str:
        """Within what time they are caught, or how they show where no time says that."""
        return time_words(self.first.within_ms) or self.first.detection

    @property
    def shared(self) -> tuple[str, ...]:
        """What each of several comes to, in words; of one alone nothing."""
        if len(self.failures) == 1:
            return ()
        words = [list(map(effect_words, _known(one))) for one in self.failures]
        return tuple(one for one in words[0] if all(one in others for others in words))


def failure_groups(failures: Iterable[Failure]) -> list[FailureGroup]:
    """The failures by what they do and what catches them, in the order of the first of each."""
    groups: dict[tuple[object, ...], list[Failure]] = {}
    for one in failures:
        within = time_words(one.within_ms)
        caught = (one.caught, within, one.detection) if one.covered else one.missing
        key = (one.severity, one.grounds, one.covered, one.motor, caught)
        groups.setdefault(key, []).append(one)
    return [FailureGroup(tuple(group)) for group in groups.values()]


def _known(failure: Failure) -> Iterator[FailureEffect]:
    return (one for one in failure.effect if one.value is not None)


def _reasons(failure: Failure) -> list[str]:
    """Why there is no number where something would be said by it: `the brakes do not hold the motor`."""
    every = (one for one in failure.effect if one.value is None and one.quantity in SAYS_WHY)
    return [one.reason for one in every if one.reason and not one.missing]


def names_and_numbers(group: FailureGroup, brief: bool = False) -> str:
    """The failures by name, each with the numbers of its own; what a number is is said once.

    A `brief` one has the first number alone, which the record names for that.
    """
    told: set[str] = set()
    names = []
    for one in group.failures:
        own = [each for each in _known(one) if effect_words(each) not in group.shared]
        own = own[:1] if brief else own
        numbers = [number_words(each) if each.title in told else effect_words(each) for each in own]
        told |= {effect.title for effect in own}
        numbers += [] if brief and one.covered is False else _reasons(one)
        names.append(f"{one.title} ({', '.join(numbers)})" if numbers else one.title)
    motor = f", motor {group.first.motor}" if group.first.motor else ""
    return ", ".join(names) + motor


def failure_titles(group: FailureGroup) -> str:
    """The failures by name alone."""
    motor = f", motor {group.first.motor}" if group.first.motor else ""
    return ", ".join(one.title for one in group.failures) + motor


def consequence_words(group: FailureGroup) -> str:
    """What caught failures that may injure would do otherwise, with what they share in numbers."""
    if group.first.detection == "withstood" or group.severity != GRAVEST_CLASS:
        return ""
    grounds = group.first.grounds.rstrip(".")
    return f"; else {', '.join((f'{grounds[0].lower()}{grounds[1:]}', *group.shared))}"


def group_notice(group: FailureGroup, brief: bool = False) -> Notice:
    """Failures that nothing is known to catch: which, what to do, what they do; `brief` with a number each."""
    first = group.first
    names = names_and_numbers(group, brief)
    steps = dict.fromkeys(map(next_step, group.failures) if brief or first.covered is False else ())
    happens = (
        [first.happens] if len(group.failures) == 1 and first.covered is False and not brief else []
    )
    does = " ".join((*happens, first.grounds))
    rows: list[Row] = [
        row("do", *steps, tone="bold", role="act"),
        row("does", ", ".join((does.rstrip("."), *group.shared)) + "."),
    ]
    told = tuple(one for one in rows if one.lines)
    text = f"{names[0].upper()}{names[1:]}."
    return Notice(group.severity, (text,), told, CLASS_TONES[group.severity])


def worse_numbers(failures: Sequence[Failure], base: Sequence[Failure]) -> str:
    """Each number of a mode that is worse than in the base settings, once: `push 662 N`."""
    was = {(one.failure, one.motor): one for one in base}
    words: dict[str, None] = {}
    for one in failures:
        before = was.get((one.failure, one.motor))
        if before is not None:
            old = {each.quantity: each for each in _known(before)}
            words |= {
                effect_words(each): None
                for each in _known(one)
                if each.quantity in old and _is_worse(each, old[each.quantity])
            }
    return ", ".join(words)


def _is_worse(new: FailureEffect, old: FailureEffect) -> bool:
    """Whether a number is worse, as far as the page shows it."""
    if new.quantity in NO_HARM or effect_words(new) == effect_words(old) or new.side != EXACT:
        return False
    if not (is_number(new.value) and is_number(old.value)):
        return False
    less = new.unit in UNITS_OF_TIME or new.quantity in LESS_IS_WORSE
    return new.value < old.value if less else new.value > old.value
