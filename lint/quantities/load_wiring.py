"""The wiring of other loads: each load against its own fuse and cable, and the fuse against the cable."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from .conductor import CARRIES, TABLE_AIR_DEGC
from .one_load import (
    NO_FUSE,
    Load,
    Loads,
    cable_most_of,
    cable_of,
    current_of,
    fuse_of,
)
from .operand import NoLessThan, NotWorked
from .worked import worked

HIGH_PERCENT = 75.0  # from here on a share alone can be too much, whatever the others are
NO_LOAD = "no load gives what this takes"
WORST = "of the loads that give both, the greatest share"
_Share = tuple[float, str]  # percent of what the part is rated for, and the load
Reckoned = Callable[[Load], float | None]


def _shares(loads: Loads, of: Reckoned, in_: Reckoned) -> Iterator[_Share]:
    for name, load in loads.items():
        value, rating = of(load), in_(load)
        if value is not None and rating:
            yield 100.0 * value / rating, name


def _worst(loads: Loads, of: Reckoned, in_: Reckoned) -> float:
    """The greatest share; one that is not known leaves it at no less than the others."""
    shares = list(_shares(loads, of, in_))
    unknown = sorted(set(loads) - {name for _, name in shares})
    if not shares:
        raise NotWorked(f"of the load {unknown[0]} not all is entered" if unknown else NO_LOAD)
    worst = max(shares)[0]
    if unknown and worst < HIGH_PERCENT:
        raise NotWorked(f"of the load {unknown[0]} not all is entered")
    return NoLessThan(worst) if unknown else worst


def _named(loads: Loads, of: Reckoned, in_: Reckoned) -> str:
    shares = list(_shares(loads, of, in_))
    if not shares:
        raise NotWorked(NO_LOAD)
    return max(shares)[1]


@worked(
    "wiring.load_on_fuse_percent",
    "percent",
    title="load on the fuse of another load",
    loads="wiring.loads",
    at_V="wiring.loads_at_V",
    falls=("at_V",),
    words=f"100 × current of the load / its fuse, {WORST}",
    source="Definition.",
)
def load_on_fuse(loads: Loads, at_V: float = math.inf) -> float:
    """Greatest continuous current of a load, as a share of its own fuse.

    >>> load_on_fuse({"blades": {"current_A": 30.0, "fuse_A": 40.0}})
    75.0
    """
    return _worst(loads, lambda load: current_of(load, at_V), fuse_of)


@worked(
    "wiring.load_on_fuse_name",
    "",
    title="load that fills its fuse most",
    loads="wiring.loads",
    at_V="wiring.loads_at_V",
    returns="text",
    words="which of loads has the greatest share of its fuse",
    source="Definition.",
)
def load_on_fuse_name(loads: Loads, at_V: float = math.inf) -> str:
    """The load that fills its own fuse most.

    >>> load_on_fuse_name({"blades": {"current_A": 30.0, "fuse_A": 40.0}})
    'blades'
    """
    return _named(loads, lambda load: current_of(load, at_V), fuse_of)


@worked(
    "wiring.load_on_cable_percent",
    "percent",
    title="load on the cable of another load",
    loads="wiring.loads",
    at_V="wiring.loads_at_V",
    air_degC="wiring.air_degC",
    falls=("at_V",),
    words=f"100 × current of the load / what its cable carries by the table, {WORST}",
    source=CARRIES,
)
def load_on_cable(loads: Loads, at_V: float = math.inf, air_degC: float = TABLE_AIR_DEGC) -> float:
    """Greatest continuous current of a load, as a share of what its own cable carries.

    >>> load_on_cable({"blades": {"current_A": 73.0, "cable_mm2": 10.0}})
    100.0
    """
    return _worst(loads, lambda load: current_of(load, at_V), lambda load: cable_of(load, air_degC))


@worked(
    "wiring.load_on_cable_least_percent",
    "percent",
    title="least load on the cable of another load",
    loads="wiring.loads",
    at_V="wiring.loads_at_V",
    air_degC="wiring.air_degC",
    falls=("at_V",),
    words=f"100 × current of the load / the most that its cable's section carries, {WORST}",
    source=CARRIES,
)
def load_on_cable_least(
    loads: Loads, at_V: float = math.inf, air_degC: float = TABLE_AIR_DEGC
) -> float:
    """The same of the best insulation that a cable of its section can have.

    >>> round(load_on_cable_least({"blades": {"current_A": 121.2, "cable_mm2": 10.0}}))
    100
    """
    return _worst(
        loads, lambda load: current_of(load, at_V), lambda load: cable_most_of(load, air_degC)
    )


@worked(
    "wiring.load_on_cable_name",
    "",
    title="load that fills its cable most",
    loads="wiring.loads",
    at_V="wiring.loads_at_V",
    air_degC="wiring.air_degC",
    returns="text",
    words="which of loads has the greatest share of what its cable carries",
    source="Definition.",
)
def load_on_cable_name(
    loads: Loads, at_V: float = math.inf, air_degC: float = TABLE_AIR_DEGC
) -> str:
    """The load that fills its own cable most.

    >>> load_on_cable_name({"blades": {"current_A": 73.0, "cable_mm2": 10.0}})
    'blades'
    """
    return _named(loads, lambda load: current_of(load, at_V), lambda load: cable_of(load, air_degC))


@worked(
    "wiring.fuse_on_cable_percent",
    "percent",
    title="fuse on the cable of another load",
    loads="wiring.loads",
    main_A="wiring.fuse.rated_A",
    air_degC="wiring.air_degC",
    rises=("main_A",),
    words=f"100 × fuse before the load's cable / what the cable carries by the table, {WORST}",
    source=CARRIES,
)
def fuse_on_cable(
    loads: Loads, main_A: float = math.inf, air_degC: float = TABLE_AIR_DEGC
) -> float:
    """Greatest fuse of a load, as a share of what its own cable carries.

    >>> fuse_on_cable({"blades": {"current_A": 35.0, "fuse_A": 73.0, "cable_mm2": 10.0}})
    100.0
    """
    return _worst(loads, lambda load: fuse_of(load, main_A), lambda load: cable_of(load, air_degC))


@worked(
    "wiring.fuse_on_cable_least_percent",
    "percent",
    title="least fuse on the cable of another load",
    loads="wiring.loads",
    main_A="wiring.fuse.rated_A",
    air_degC="wiring.air_degC",
    rises=("main_A",),
    words=f"100 × fuse before the load's cable / the most that its section carries, {WORST}",
    source=CARRIES,
)
def fuse_on_cable_least(
    loads: Loads, main_A: float = math.inf, air_degC: float = TABLE_AIR_DEGC
) -> float:
    """The same of the best insulation that a cable of its section can have.

    >>> round(fuse_on_cable_least({"blades": {"fuse_A": 121.2, "cable_mm2": 10.0}}))
    100
    """
    return _worst(
        loads, lambda load: fuse_of(load, main_A), lambda load: cable_most_of(load, air_degC)
    )


@worked(
    "wiring.fuse_on_cable_name",
    "",
    title="load whose fuse is largest for its cable",
    loads="wiring.loads",
    main_A="wiring.fuse.rated_A",
    air_degC="wiring.air_degC",
    returns="text",
    words="which of loads has the greatest share of fuse to cable",
    source="Definition.",
)
def fuse_on_cable_name(
    loads: Loads, main_A: float = math.inf, air_degC: float = TABLE_AIR_DEGC
) -> str:
    """The load whose fuse is the largest for its cable.

    >>> fuse_on_cable_name({"blades": {"fuse_A": 80.0, "cable_mm2": 10.0}})
    'blades'
    """
    return _named(loads, lambda load: fuse_of(load, main_A), lambda load: cable_of(load, air_degC))


def _without_fuse(loads: Loads, no_main: bool) -> Iterator[str]:
    for name, load in loads.items():
        bare = no_main or not load.get("behind_main_fuse", True)
        if bare and load.get("fuse_A") == NO_FUSE:
            yield name


@worked(
    "wiring.loads_without_fuse",
    "",
    title="number of loads without any fuse",
    loads="wiring.loads",
    main_fuse="wiring.fuse",
    words="loads with neither a fuse of their own nor the main fuse before them",
    source="Definition.",
)
def without_fuse(loads: Loads, main_fuse: str = "fitted") -> float:
    """How many loads have no fuse at all; no less than those where of some it is not given.

    >>> without_fuse({"pump": {"current_A": 5.0, "fuse_A": "none", "behind_main_fuse": False}})
    1.0
    """
    no_main = main_fuse == NO_FUSE
    known = float(len(list(_without_fuse(loads, no_main))))
    untold = any(
        "fuse_A" not in load and (no_main or not load.get("behind_main_fuse", True))
        for load in loads.values()
    )
    return NoLessThan(known) if untold else known


@worked(
    "wiring.load_without_fuse",
    "",
    title="load without any fuse",
    loads="wiring.loads",
    main_fuse="wiring.fuse",
    returns="text",
    words="the first of loads that has none",
    source="Definition.",
)
def first_without_fuse(loads: Loads, main_fuse: str = "fitted") -> str:
    """The first load that has no fuse at all.

    >>> first_without_fuse({"pump": {"fuse_A": "none", "behind_main_fuse": False}})
    'pump'
    """
    name = next(_without_fuse(loads, main_fuse == NO_FUSE), None)
    if name is None:
        raise NotWorked("each load has a fuse before it")
    return name
