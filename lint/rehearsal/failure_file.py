"""The failures as they come with gonogo: where each can happen, what it does, and what may catch it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Literal, NamedTuple

from ..documents.contents import contents
from ..documents.units import UNITS
from ..expressions.compiler import compile_expression
from ..expressions.expression import Expression, scaled
from ..judgement.catalogue import RULES
from ..judgement.rule_file import UNUSABLE, unusable
from .failure_book import failure_names, failure_title

FAILURE_FILE = "failures"
Class = Literal["catastrophic", "critical", "marginal"]
Detection = Literal["withstood", "by itself", "rider", "test", "nothing", "not known"]
CatchKind = Literal["withstands", "setting", "part", "rider", "test"]
GRAVEST_CLASS: Class = "catastrophic"
LEAST_CLASS: Class = "marginal"
# What may injure a person, or destroy a part.
GRAVE_CLASSES: tuple[Class, ...] = (GRAVEST_CLASS, "critical")
# A brake that a spring holds and current lifts closes when the drive's current ends.
ONLY_REGEN_BRAKES = (
    'settings.regen != "none" and controller.regen_on and (none(vehicle.brakes)'
    ' or vehicle.brake_count < 1 and not ("electromagnetic" in vehicle.brakes))'
)
# How a failure shows, by what catches it.
DETECTED: Mapping[CatchKind, Detection] = {
    "withstands": "withstood",
    "setting": "by itself",
    "part": "by itself",
    "rider": "rider",
    "test": "test",
}


class CatchSpec(NamedTuple):
    """What may catch a failure: `by` is an entry, or `rider`; `clear` names rules that must be clear.

    With one that `ends_regen` the motor no longer brakes.
    """

    by: str
    kind: CatchKind
    says: str
    when: Expression | None
    clear: tuple[str, ...]
    within_ms: Expression | None
    basis: str
    ends_regen: bool


class EffectSpec(NamedTuple):
    """A quantity that tells what a failure does, after how many ms, and what it is called here."""

    of: str
    after_ms: Expression | None
    title: str


class MilderClass(NamedTuple):
    """The class of severity that holds on some vehicles, with its own grounds."""

    severity: Class
    when: Expression
    grounds: str


class FailureSpec(NamedTuple):
    """One single failure as it comes with gonogo; nobody notices one that is `hidden`, but by a test.

    One that is `shared` is about the pack and the bus of several motors; with one that `ends_regen` the
    motor no longer brakes.
    """

    failure: str
    title: str
    when: Expression
    happens: str
    effect: tuple[EffectSpec, ...]
    caught_by: tuple[CatchSpec, ...]
    severity: Class
    grounds: str
    do: str
    source: str
    hidden: bool
    shared: bool
    ends_regen: bool
    milder: MilderClass | None


class FailureClasses(NamedTuple):
    """The classes of severity and of detection, the gravest and the surest first, each in words."""

    severities: Mapping[Class, str]
    detections: Mapping[Detection, str]


@lru_cache(maxsize=1)
def failure_specs() -> tuple[FailureSpec, ...]:
    """The failures that come with gonogo, in their order."""
    try:
        return tuple(map(_failure, contents(RULES, FAILURE_FILE)["failures"]))
    except UNUSABLE as error:
        raise unusable(f"rules/{FAILURE_FILE}.yaml", error) from error


@lru_cache(maxsize=1)
def failure_classes() -> FailureClasses:
    """The classes as the file has them."""
    data = contents(RULES, FAILURE_FILE)
    severities, detections = (
        {one["class"]: one["says"] for one in data[key]} for key in ("severities", "detections")
    )
    return FailureClasses(severities, detections)


@lru_cache(maxsize=1)
def only_regen_brakes() -> Expression:
    """Whether the vehicle has no brake but regen."""
    return _expression(ONLY_REGEN_BRAKES)


def _failure(data: Mapping[str, Any]) -> FailureSpec:
    return FailureSpec(
        failure=data["failure"],
        title=data["title"],
        when=_expression(data["when"]),
        happens=data["happens"],
        effect=tuple(map(_effect, data.get("effect", ()))),
        caught_by=tuple(map(_catch, data["caught_by"])),
        severity=data["severity"],
        grounds=data["grounds"],
        do=data["do"],
        source=data["source"],
        hidden=data.get("hidden", False),
        shared=data.get("shared", False),
        ends_regen=data.get("ends_regen", False),
        milder=_milder(data["milder"]) if "milder" in data else None,
    )


def _milder(data: Mapping[str, Any]) -> MilderClass:
    return MilderClass(data["class"], _expression(data["when"]), data["grounds"])


def _effect(data: Mapping[str, Any]) -> EffectSpec:
    if data["of"] not in failure_names():
        raise KeyError(data["of"])
    title = data.get("title") or failure_title(data["of"])
    return EffectSpec(data["of"], _time(data, "after_ms"), title)


def _catch(data: Mapping[str, Any]) -> CatchSpec:
    return CatchSpec(
        by=data["by"],
        kind=data["kind"],
        says=data["says"],
        when=_expression(data["when"]) if "when" in data else None,
        clear=tuple(data.get("clear", ())),
        within_ms=_time(data, "within_ms"),
        basis=data["basis"],
        ends_regen=data.get("ends_regen", False),
    )


def _expression(text: str | float) -> Expression:
    return compile_expression(str(text), failure_names())


def _time(data: Mapping[str, Any], key: str) -> Expression | None:
    """A time in ms; a bare number is one."""
    return scaled(_expression(data[key]), UNITS["ms"]) if key in data else None
