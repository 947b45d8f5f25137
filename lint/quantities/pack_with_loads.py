"""The pack under drive and other loads together: the current from it, its sag, its heat."""

from __future__ import annotations

from .loads import KIRCHHOFF
from .operand import NotWorked
from .worked import worked


@worked(
    "wiring.fuse_load_A",
    "A",
    title="highest battery current through the main fuse",
    battery_A="settings.battery_current_A",
    loads_A="wiring.fused_loads_A",
    rises=("loads_A",),
    formula="battery_A + loads_A",
    source=KIRCHHOFF,
)
def through_fuse(battery_A: float, loads_A: float) -> float:
    """The drive's battery current limit and the other loads behind the main fuse.

    >>> through_fuse(30.0, 35.0)
    65.0
    """
    return battery_A + loads_A


@worked(
    "pack.load_A",
    "A",
    title="highest current from the pack",
    battery_A="settings.battery_current_A",
    loads_A="wiring.loads_A",
    rises=("loads_A",),
    formula="battery_A + loads_A",
    applies_when="loads_A > 0",
    source=KIRCHHOFF,
)
def from_pack(battery_A: float, loads_A: float) -> float:
    """The drive's battery current limit and all other loads, where there are any.

    >>> from_pack(30.0, 36.5)
    66.5
    """
    if loads_A <= 0.0:
        raise NotWorked("nothing but the drive draws from the pack")
    return battery_A + loads_A


@worked(
    "pack.load_sag_percent",
    "percent",
    title="voltage sag with other loads",
    load_A="pack.load_A",
    loop_mohm="pack.loop_mohm",
    nominal_V="pack.nominal_V",
    rises=("load_A", "loop_mohm"),
    formula="100 * load_A * loop_mohm / 1000 / nominal_V",
    source="Ohm's law.",
)
def sag_with_loads(load_A: float, loop_mohm: float, nominal_V: float) -> float:
    """Share of the nominal voltage that is lost under drive and loads together, the pack warm.

    >>> sag_with_loads(100.0, 60.0, 50.0)
    12.0
    """
    return 100.0 * load_A * loop_mohm / 1000.0 / nominal_V


@worked(
    "pack.load_heat_per_h",
    "per_h",
    title="heat inside the pack with other loads",
    load_A="pack.load_A",
    pack_mohm="pack.resistance_mohm",
    full_V="pack.full_V",
    energy_Wh="pack.energy_Wh",
    cutoff_V="settings.low_voltage.cutoff_V",
    rises=("load_A",),
    formula=(
        "min(load_A, max(0, full_V - cutoff_V) * 1000 / pack_mohm) ** 2 * pack_mohm / 1000 / energy_Wh"
    ),
    applies_when="pack_mohm > 0",
    source="Joule's law; the cutoff ends a current that sags even the full pack to it.",
)
def heat_with_loads(
    load_A: float, pack_mohm: float, full_V: float, energy_Wh: float, cutoff_V: float = 0.0
) -> float:
    """Heat in the pack under drive and loads together, in W per Wh of its energy.

    >>> heat_with_loads(100.0, 60.0, 58.8, 1500.0, 42.0)
    0.4
    """
    if pack_mohm <= 0.0:
        raise NotWorked("a pack without resistance has no heat to work out")
    amperes = min(load_A, max(0.0, full_V - cutoff_V) * 1000.0 / pack_mohm)
    return amperes**2 * pack_mohm / 1000.0 / energy_Wh
