"""The verdict of a stage, may the motor be turned and may somebody ride, and what it waits for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import combinations_with_replacement

from ..documents.error import UsageError
from ..documents.motors import entry_path
from ..documents.schema import Property, properties
from ..expressions.names import with_article
from .finding import Finding, Judgement, NotChecked, Verdict
from .rule import STAGES, STOPS, Stage


def stage_of(text: str, option: str = "--stage ") -> Stage:
    """The stage of that name; raises UsageError where there is none.

    >>> stage_of("stand")
    'stand'
    """
    for stage in STAGES:
        if text == stage:
            return stage
    raise UsageError(f"{option}{text}: it can be {' or '.join(STAGES)}.")


_REACHED = frozenset(
    combinations_with_replacement(STAGES, 2)
)  # each stage with itself and later ones


def reached(stage: Stage | None, asked: Stage) -> bool:
    """Whether what counts from one stage on counts at the stage asked for."""
    return (stage, asked) in _REACHED


def verdict_of(
    stage: Stage,
    findings: Iterable[Finding],
    not_checked: Iterable[NotChecked],
    strict: bool = False,
) -> Verdict:
    """NO-GO for a danger or fault not waived; INCOMPLETE while a gate is open; else GO.

    A GO over a waived danger has a name of its own, so that nobody takes it for a plain one. With
    `strict` advice is NO-GO too.
    """
    counted = [finding for finding in findings if reached(finding.rule.stage, stage)]
    standing = [finding for finding in counted if not finding.waived]
    if any(strict or finding.severity in STOPS for finding in standing):
        return "no-go"
    if any(reached(entry.gate, stage) for entry in not_checked):
        return "incomplete"
    waived = any(finding.severity == "danger" for finding in counted if finding.waived)
    return "go-with-waivers" if waived else "go"


def verdicts(
    findings: Sequence[Finding], not_checked: Sequence[NotChecked], strict: bool = False
) -> dict[Stage, Verdict]:
    """The verdict of each stage; a ride is never fitter than the stand, since all of it counts."""
    return {stage: verdict_of(stage, findings, not_checked, strict) for stage in STAGES}


READINGS = "readings."
_SETTINGS = "settings."
_NONE = "none"
TRUE_IF = "True if "


@lru_cache(maxsize=512)
def ask_of(name: str) -> str:
    """An instruction for a key, and the key under which the answer is entered.

    What is of the build or read may be `none`, and the instruction says so. A setting is asked for
    as a value: that the controller lacks it is no first choice.

    >>> ask_of("motor.temperature_sensor")
    'enter the temperature sensor in the motor: ntc-10k if it has some 10 kΩ and no known B value, or none (motor.temperature_sensor)'
    >>> ask_of("settings.battery_current_A")
    'enter the battery current limit (settings.battery_current_A)'
    >>> ask_of("readings.identification.wheel_off_ground")
    'say whether the wheel was clear of the ground (readings.identification.wheel_off_ground)'
    """
    path = entry_path(name)
    entry = properties().get(path)
    what = (
        entry.ask or _whether(entry) if entry is not None else ""
    ) or f"enter {with_article(path)}"
    if entry is not None and entry.can_be_none and not path.startswith(_SETTINGS):
        what += "" if _NONE in what else f", or {_NONE}"
    return f"{what} ({name})"


def _whether(entry: Property) -> str:
    """What a yes or no says, as an instruction; empty for all else."""
    if entry.kind != "boolean" or not entry.description.startswith(TRUE_IF):
        return ""
    return f"say whether {entry.description.removeprefix(TRUE_IF).removesuffix('.')}"


def in_order(names: Iterable[str]) -> list[str]:
    """Names as the schema has them, which is the order in which a vehicle is brought up."""
    order = {name: number for number, name in enumerate(properties())}
    return sorted(set(names), key=lambda name: (order.get(entry_path(name), len(order)), name))


def open_gates(waiting: Iterable[NotChecked], stage: Stage) -> list[NotChecked]:
    """The rules that keep a stage from its verdict."""
    return [entry for entry in waiting if reached(entry.gate, stage)]


def short_of(waiting: Iterable[NotChecked], stage: Stage) -> list[str]:
    """The quantities that a stage still waits for."""
    return in_order(name for gate in open_gates(waiting, stage) for name in gate.missing)


def fitness(judgement: Judgement) -> str:
    """What the vehicle is fit for, and how far it is from what it is not, in one line."""
    stand, ride = judgement.stages["stand"], judgement.stages["ride"]
    if stand == "no-go":
        return "not fit for the stand"
    if stand == "incomplete":
        words = f"{_amounts(judgement, 'stand')} short of the stand"
        return f"{words}, not fit for a ride" if ride == "no-go" else words
    if ride == "no-go":
        return "fit for the stand, not for a ride"
    if ride == "incomplete":
        return f"fit for the stand; {_amounts(judgement, 'ride')} short of a ride"
    return "fit for the stand and the ride"


def _amounts(judgement: Judgement, stage: Stage) -> str:
    """How many readings and entries are missing: `6 readings and 1 entry`."""
    names = short_of(judgement.not_checked, stage)
    readings = sum(entry_path(name).startswith(READINGS) for name in names)
    amounts = [(readings, "reading", "readings"), (len(names) - readings, "entry", "entries")]
    words = [f"{count} {one if count == 1 else many}" for count, one, many in amounts if count]
    return " and ".join(words) or "one check"
