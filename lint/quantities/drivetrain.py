"""The drivetrain: the ratio from motor to wheel, and the rolling circumference."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from ..tables.table import column
from . import tyre
from .operand import NO_MORE, NotWorked
from .worked import worked


@worked(
    "drivetrain.ratio_from_stages",
    "",
    title="reduction from the tooth counts",
    stages="drivetrain.stages",
    internal_ratio="motor.internal_ratio",
    words="product of driven / driving teeth over the stages, × internal_ratio",
    source="Gear ratios multiply.",
)
def ratio_from_stages(stages: Sequence[Mapping[str, float]], internal_ratio: float = 1.0) -> float:
    """Motor turns per wheel turn, counted by the teeth.

    A gear inside the motor counts; without one, the motor's shaft is its rotor's.

    >>> ratio_from_stages([{"driving_teeth": 14, "driven_teeth": 56}], 2.5)
    10.0
    """
    stage_ratios = (stage["driven_teeth"] / stage["driving_teeth"] for stage in stages)
    return math.prod(stage_ratios) * internal_ratio


@worked(
    "drivetrain.ratio",
    "",
    title="overall reduction",
    from_stages="drivetrain.ratio_from_stages",
    formula="from_stages",
    source="Gear ratios multiply.",
)
def ratio(from_stages: float) -> float:
    """Motor turns per wheel turn, where the ratio itself is not given.

    >>> ratio(10.0)
    10.0
    """
    return from_stages


@worked(
    "drivetrain.tyre_diameter_mm",
    "mm",
    title="tyre diameter",
    marking="drivetrain.tyre",
    words="rim + 2 × section height, by the marking",
    source="UN Regulation No. 75: D = d + 2H; ISO 5775-1 for bicycles.",
)
def tyre_diameter(marking: str) -> float:
    """Diameter of the unloaded new tyre; a real one may be 3 % larger or smaller.

    >>> tyre_diameter("100/90-19")
    663.0
    """
    return tyre.diameter_mm(marking)


@worked(
    "drivetrain.circumference_m",
    "m",
    title="rolling circumference",
    circumference_mm="drivetrain.circumference_mm",
    formula="circumference_mm / 1000",
    source="Measured: a turn of the wheel with the rider on.",
)
def circumference(circumference_mm: float) -> float:
    """Distance that the wheel rolls in one turn, as measured.

    >>> circumference(1890.0)
    1.89
    """
    return circumference_mm / 1000.0


@worked(
    "drivetrain.circumference_m",
    "m",
    title="rolling circumference",
    tyre_m="drivetrain.tyre_circumference_m",
    formula="tyre_m",
    source="Circumference of a circle.",
)
def circumference_by_marking(tyre_m: float) -> float:
    """Distance that the wheel rolls in one turn, by the tyre's marking, if it is not measured.

    Unloaded; under a rider it rolls 2 to 4 % less, so a speed worked from it is a little high.

    >>> circumference_by_marking(2.183)
    2.183
    """
    return tyre_m


@worked(
    "drivetrain.tyre_circumference_m",
    "m",
    title="tyre circumference by its marking",
    diameter_mm="drivetrain.tyre_diameter_mm",
    formula="pi * diameter_mm / 1000",
    source="Circumference of a circle.",
)
def circumference_of_tyre(diameter_mm: float) -> float:
    """Circumference of the unloaded tyre by its marking, also where the wheel was measured.

    >>> round(circumference_of_tyre(695.0), 3)
    2.183
    """
    return math.pi * diameter_mm / 1000.0


@worked(
    "drivetrain.efficiency_to_wheel",
    "",
    title="efficiency from motor to wheel",
    efficiency="drivetrain.efficiency",
    formula="efficiency",
    source="As entered.",
)
def efficiency_as_given(efficiency: float) -> float:
    """Share of the motor's torque that reaches the wheel.

    >>> efficiency_as_given(0.92)
    0.92
    """
    return efficiency


@worked(
    "drivetrain.efficiency_to_wheel",
    "",
    title="efficiency from motor to wheel",
    ratio="drivetrain.ratio",
    words="1 where ratio is 1",
    source="A direct drive has no gear, chain or belt to lose torque in.",
)
def efficiency_of_direct_drive(ratio: float) -> float:
    """The same of a direct drive.

    >>> efficiency_of_direct_drive(1.0)
    1.0
    """
    if ratio != 1.0:
        raise NotWorked("a gear, chain or belt loses some of the torque: how much is not given")
    return 1.0


@worked(
    "drivetrain.efficiency_to_wheel",
    "",
    title="efficiency from motor to wheel",
    ratio="drivetrain.ratio",
    side=NO_MORE,
    words="no more than 1, whatever ratio is",
    source="No drivetrain gives out more than it takes in.",
)
def efficiency_at_most(ratio: float) -> float:
    """The most that it can be behind a gear, chain or belt, if it is not given.

    >>> efficiency_at_most(7.0)
    1.0
    """
    return 1.0 if ratio > 0.0 else math.nan


@worked(
    "drivetrain.tyre_speed_km_h",
    "km_h",
    title="tyre speed rating",
    symbol="drivetrain.tyre_speed_symbol",
    words="table value for symbol",
    source="UN Regulation No. 75, speed category symbols.",
)
def tyre_speed(symbol: str) -> float:
    """Speed up to which the tyre is approved.

    >>> tyre_speed("J")
    100.0
    """
    speed_km_h = column("tyre_speeds", "symbol", "speed_km_h").get(symbol)
    if speed_km_h is None:
        raise NotWorked(f"no speed is known for the symbol {symbol}")
    return float(speed_km_h)


@worked(
    "drivetrain.tyre_speed_symbol",
    "",
    title="tyre speed symbol",
    marking="drivetrain.tyre",
    returns="text",
    words="letter behind the load index in marking",
    source="UN Regulation No. 75, service description: load index and speed symbol.",
)
def tyre_speed_symbol(marking: str) -> str:
    """Speed symbol by the whole marking, if the letter itself is not entered.

    >>> tyre_speed_symbol("90/90-21 54R")
    'R'
    """
    symbol = tyre.speed_symbol(marking)
    if symbol is None:
        raise NotWorked(f"{marking} has no speed symbol")
    return symbol


@worked(
    "drivetrain.tyre_load_index",
    "",
    title="tyre load index",
    marking="drivetrain.tyre",
    words="number before the letter in marking",
    source="UN Regulation No. 75, service description: load index and speed symbol.",
)
def tyre_load_index(marking: str) -> int:
    """Load index by the whole marking, if the index itself is not entered.

    >>> tyre_load_index("90/90-21 54R")
    54
    """
    load_index = tyre.load_index(marking)
    if load_index is None:
        raise NotWorked(f"{marking} has no load index")
    return load_index


@worked(
    "drivetrain.tyre_load_kg",
    "kg",
    title="tyre load capacity",
    load_index="drivetrain.tyre_load_index",
    words="table value for load_index",
    source="UN Regulation No. 75, annex 4, load-capacity index.",
)
def tyre_load(load_index: float) -> float:
    """Mass that the tyre carries up to the speed of its symbol.

    >>> tyre_load(54)
    212.0
    """
    load_kg = column("tyre_loads", "load_index", "load_kg").get(load_index)
    if load_kg is None:
        raise NotWorked(f"no load is known for the index {load_index:g}")
    return float(load_kg)


@worked(
    "drivetrain.tyre_is_bicycle",
    "",
    title="bicycle tyre marking",
    marking="drivetrain.tyre",
    returns="boolean",
    words="whether marking has a bicycle tyre's form",
    source="ISO 5775-1: width and bead seat in millimetres; the French and inch names of the same.",
)
def tyre_is_bicycle(marking: str) -> bool:
    """Whether the tyre has a bicycle tyre's marking, without speed symbol and load index.

    >>> tyre_is_bicycle("47-622"), tyre_is_bicycle("90/90-21 54R")
    (True, False)
    """
    return tyre.is_bicycle(marking)
