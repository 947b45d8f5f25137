"""Other loads on the pack: what blades, pumps, lights and converters draw beside the drive."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from .one_load import NOTHING_ELSE, Load, Loads, behind_main_fuse
from .operand import EXACT, NO_LESS, NotWorked, Side
from .worked import Formula, worked

KIRCHHOFF = "Kirchhoff's current law."
# All of them, which the cells, the BMS and the pack connector carry, and those behind the main fuse.
GROUPS = {"loads": "other loads", "fused_loads": "other loads behind the main fuse"}


def of_each_group(
    quantity: str, unit: str, *, title: str, side: Side = EXACT, **parts: str
) -> Callable[[Formula], Formula]:
    """Declare a formula twice: of all other loads, and of those behind the main fuse.

    `{group}` in the title and in the inputs stands for the one or the other.
    """

    def declare(function: Formula) -> Formula:
        for group, words in GROUPS.items():
            worked(
                f"wiring.{group}_{quantity}",
                unit,
                title=title.format(group=words),
                side=side,
                **{key: text.format(group=group) for key, text in parts.items()},  # type: ignore[arg-type]
            )(function)
        return function

    return declare


def _sum(loads: Iterable[Load], key: str) -> float:
    return float(sum(load.get(key, 0.0) for load in loads))


@worked(
    "wiring.loads_stated_A",
    "A",
    title="stated current of other loads",
    loads="wiring.loads",
    words="sum of the stated currents of the loads",
    source=KIRCHHOFF,
)
def stated_of_loads(loads: Loads = NOTHING_ELSE) -> float:
    """Sum of the currents stated for the loads; nothing where none is entered.

    >>> stated_of_loads({"blades": {"current_A": 35.0}, "lights": {"power_W": 60.0}})
    35.0
    """
    return _sum(loads.values(), "current_A")


@worked(
    "wiring.fused_loads_stated_A",
    "A",
    title="stated current of other loads behind the main fuse",
    loads="wiring.loads",
    words="sum of the stated currents of the loads that do not branch off before the main fuse",
    source=KIRCHHOFF,
)
def stated_of_fused_loads(loads: Loads = NOTHING_ELSE) -> float:
    """The same of the loads that the main fuse carries too.

    >>> stated_of_fused_loads({"blades": {"current_A": 35.0, "behind_main_fuse": False}})
    0.0
    """
    return _sum(behind_main_fuse(loads), "current_A")


@worked(
    "wiring.loads_power_W",
    "W",
    title="stated power of other loads",
    loads="wiring.loads",
    words="sum of the stated powers of the loads",
    source="Conservation of energy.",
)
def power_of_loads(loads: Loads = NOTHING_ELSE) -> float:
    """Sum of the powers stated for the loads.

    >>> power_of_loads({"blades": {"current_A": 35.0}, "lights": {"power_W": 60.0}})
    60.0
    """
    return _sum(loads.values(), "power_W")


@worked(
    "wiring.fused_loads_power_W",
    "W",
    title="stated power of other loads behind the main fuse",
    loads="wiring.loads",
    words="sum of the stated powers of the loads that do not branch off before the main fuse",
    source="Conservation of energy.",
)
def power_of_fused_loads(loads: Loads = NOTHING_ELSE) -> float:
    """The same of the loads that the main fuse carries too.

    >>> power_of_fused_loads({"lights": {"power_W": 60.0}})
    60.0
    """
    return _sum(behind_main_fuse(loads), "power_W")


@worked(
    "wiring.loads_at_V",
    "V",
    title="voltage at which other loads are calculated",
    cutoff_V="settings.low_voltage.cutoff_V",
    formula="cutoff_V",
    source="A converter draws the more current the lower the voltage: definition of power.",
)
def cutoff_beside_loads(cutoff_V: float) -> float:
    """The lowest voltage at which the drive still draws beside the loads: the low-voltage cutoff.

    >>> cutoff_beside_loads(42.0)
    42.0
    """
    return cutoff_V


@worked(
    "wiring.loads_at_V",
    "V",
    title="voltage at which other loads are calculated",
    minimum_V="pack.minimum_V",
    formula="minimum_V",
    source="A converter draws the more current the lower the voltage: definition of power.",
)
def pack_minimum_beside_loads(minimum_V: float) -> float:
    """Without a cutoff, the lowest voltage that the cells allow.

    >>> pack_minimum_beside_loads(36.0)
    36.0
    """
    return minimum_V


@of_each_group(
    "A",
    "A",
    title="current of {group}",
    stated_A="wiring.{group}_stated_A",
    power_W="wiring.{group}_power_W",
    formula="stated_A",
    applies_when="power_W <= 0",
    source=KIRCHHOFF,
)
def current_as_stated(stated_A: float, power_W: float) -> float:
    """Current of the loads where each is stated in amperes.

    >>> current_as_stated(35.0, 0.0)
    35.0
    """
    if power_W > 0.0:
        raise NotWorked("a load is stated by its power")
    return stated_A


@of_each_group(
    "A",
    "A",
    title="current of {group}",
    stated_A="wiring.{group}_stated_A",
    power_W="wiring.{group}_power_W",
    at_V="wiring.loads_at_V",
    formula="stated_A + power_W / at_V",
    source="Kirchhoff's current law; definition of power.",
)
def current(stated_A: float, power_W: float, at_V: float) -> float:
    """Highest continuous current of the loads together, their power drawn at the lowest voltage.

    >>> current(35.0, 60.0, 40.0)
    36.5
    """
    return stated_A + power_W / at_V


@of_each_group(
    "A",
    "A",
    title="current of {group}",
    stated_A="wiring.{group}_stated_A",
    side=NO_LESS,
    formula="stated_A",
    source="Kirchhoff's current law, loads left out whose current is not known.",
)
def current_at_least(stated_A: float) -> float:
    """What the loads stated in amperes draw, where the voltage for the others is not known.

    >>> current_at_least(35.0)
    35.0
    """
    return stated_A


@worked(
    "wiring.loads_surge_A",
    "A",
    title="greatest surge of a load",
    loads="wiring.loads",
    words="the most by which the short-time current of one of loads is above its continuous one",
    source="Common practice, no source: loads that do not start together start one at a time.",
)
def surge(loads: Loads = NOTHING_ELSE) -> float:
    """How much more than its continuous current one load draws for seconds, of all the most.

    Of a load stated by its power the whole peak counts.

    >>> surge({"blades": {"current_A": 35.0, "peak_A": 60.0}, "pump": {"current_A": 5.0, "peak_A": 9.0}})
    25.0
    """
    more = (load.get("peak_A", 0.0) - load.get("current_A", 0.0) for load in loads.values())
    return max(0.0, *more) if loads else 0.0
