"""One load on the pack beside the drive: its current, the fuse before it, what its cable carries."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from .conductor import (
    TABLE_CONDUCTOR_DEGC,
    ampacity_at_or_below_A,
    ampacity_between_A,
    carried_A,
)

Load = Mapping[str, Any]
Loads = Mapping[str, Load]
NOTHING_ELSE: Loads = MappingProxyType({})
HIGHEST_DEGC = 180.0  # silicone: what a cable without a known insulation withstands at most
NO_FUSE = "none"


def behind_main_fuse(loads: Loads) -> list[Load]:
    """The loads that main fuse, contactor and battery cable carry too: all not said to branch off before.

    >>> len(behind_main_fuse({"blades": {"current_A": 35.0}, "lights": {"behind_main_fuse": False}}))
    1
    """
    return [load for load in loads.values() if load.get("behind_main_fuse", True)]


def current_of(load: Load, at_V: float) -> float | None:
    """Continuous current of one load; None where its power cannot be turned into one.

    >>> current_of({"power_W": 60.0}, 40.0), current_of({"current_A": 35.0}, math.inf)
    (1.5, 35.0)
    """
    if "current_A" in load:
        return float(load["current_A"])
    return load["power_W"] / at_V if math.isfinite(at_V) else None


def fuse_of(load: Load, main_A: float = math.inf) -> float | None:
    """The fuse before a load's cable: its own, or the main fuse where it is said to have none.

    >>> fuse_of({"fuse_A": 40.0}), fuse_of({"fuse_A": "none"}, 80.0), fuse_of({})
    (40.0, 80.0, None)
    """
    fuse = load.get("fuse_A")
    if fuse != NO_FUSE:
        return fuse
    return main_A if load.get("behind_main_fuse", True) and math.isfinite(main_A) else None


def cable_of(load: Load, air_degC: float) -> float | None:
    """What the cable of a load carries by the table; more where it is thinner than the table's thinnest.

    >>> cable_of({"cable_mm2": 10.0}, 30.0), cable_of({}, 30.0)
    (73.0, None)
    """
    if "cable_mm2" not in load:
        return None
    row = ampacity_at_or_below_A(load["cable_mm2"]) or ampacity_between_A(load["cable_mm2"])
    return carried_A(row, load.get("cable_insulation_degC", TABLE_CONDUCTOR_DEGC), air_degC)


def cable_most_of(load: Load, air_degC: float) -> float | None:
    """The most that a cable of its section carries, whatever its insulation.

    >>> round(cable_most_of({"cable_mm2": 10.0}, 30.0), 1)
    121.2
    """
    if "cable_mm2" not in load:
        return None
    row = ampacity_between_A(load["cable_mm2"])
    return carried_A(row, load.get("cable_insulation_degC", HIGHEST_DEGC), air_degC)
