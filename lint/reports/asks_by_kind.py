"""What is still to be entered, in the order of the work: labels, looks, the stand, the wires, the settings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..documents.schema import properties
from ..judgement.verdict import READINGS, ask_of

# Below so many a list needs no headings.
MANY = 12
WIRES = "readings.throttle.open_"
TO_ENTER = "settings."
TRIED = frozenset({"throttle.open_at_power_on"})  # of the build, and seen at the stand only
FIGURES = ("number", "integer")
LABELS, LOOKS, AT_THE_STAND, PULLED, SETTINGS_LAST = KINDS = (
    "figures of labels, scale and tape",
    "looks at the vehicle and its data sheets",
    "measurements at the stand",
    "wires pulled, one after the other",
    "settings to enter",
)


def work_for(name: str) -> str:
    """What has to be done for an entry.

    >>> work_for("motor.rated_power_W"), work_for("pack.bms.port")
    ('figures of labels, scale and tape', 'looks at the vehicle and its data sheets')
    >>> work_for("readings.pack_V"), work_for("readings.throttle.open_ground_V")
    ('measurements at the stand', 'wires pulled, one after the other')
    """
    if name.startswith(WIRES):
        return PULLED
    if name.startswith(READINGS) or name in TRIED:
        return AT_THE_STAND
    if name.startswith(TO_ENTER):
        return SETTINGS_LAST
    entry = properties().get(name)
    return LABELS if entry is not None and entry.kind in FIGURES else LOOKS


def asks(names: Sequence[str]) -> Iterator[tuple[str, list[str]]]:
    """The instructions for entries; of many those of a kind together, under what they are and how many."""
    if len(names) < MANY:
        yield "", list(map(ask_of, names))
        return
    for kind in KINDS:
        alike = [name for name in names if work_for(name) == kind]
        if alike:
            yield f"{kind} ({len(alike)})", list(map(ask_of, alike))
