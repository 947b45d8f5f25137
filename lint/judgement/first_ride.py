"""What a first ride needs entered: what its required rules are worked out of, and the settings."""

from __future__ import annotations

from collections.abc import Iterable

from ..documents.schema import canonical
from ..quantities.registry import WORKED
from .catalogue import Catalogue
from .proposal import starting_points
from .settings_memory import DONE_FOR
from .verdict import READINGS

# What no required rule waits for, and a first ride takes along: without it the drive counts alone,
# the wheels, the brakes and the cold of the day are guessed, and so are pack, cable and winding.
ALSO = frozenset(
    {
        "vehicle.wheels",
        "vehicle.brakes",
        "vehicle.min_ambient_degC",
        "pack.peak_A",
        "wiring.battery_cable_m",
        "wiring.loads",
        "motor.phase_to_neutral_mohm",
    }
)
# What the controller holds is read once its settings are entered, and the bring-up notes for which it
# ticked a step: no first ride waits for either.
READ_BACK_SECTION = "readings.entered."


def first_ride(catalogue: Catalogue) -> list[str]:
    """The entries of a first ride by their keys, in the order of the schema.

    All that a rule with a gate cannot be checked without, in any of the ways in which it can be
    worked out, the settings that have a first value with what that starts from, and the readings.
    Of a pair of keys it is the canonical one. What only makes a formula more exact is left out, but
    not what else draws from the pack.
    """
    wanted: set[str] = set(ALSO)
    for rule in catalogue.rules.values():
        if rule.gate is not None:
            _follow((*rule.reads, *rule.needs), wanted)
    for point in starting_points().values():
        _follow((point.setting, *(name for start in point.starts for name in start.names)), wanted)
    return [
        entry.path
        for name, entry in canonical().items()
        if entry.kind != "section"
        and (name in wanted or name.startswith(READINGS))
        and not name.startswith((READ_BACK_SECTION, DONE_FOR))
    ]


def _follow(names: Iterable[str], into: set[str]) -> None:
    """Add the names, and all that their formulas cannot do without."""
    for name in names:
        if name in into:
            continue
        into.add(name)
        for spec in WORKED.get(name, ()):
            needed = (key for argument, key in spec.inputs.items() if argument not in spec.defaults)
            _follow(needed, into)
