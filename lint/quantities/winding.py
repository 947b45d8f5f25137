"""Winding and magnets: the heat in the copper, and the temperature that each of them bears."""

from __future__ import annotations

from ..tables.table import column
from .conductor import warming
from .operand import NotWorked
from .worked import worked

HOT_degC = 120.0


@worked(
    "motor.copper_loss_W",
    "W",
    current_A_rms="motor.driven_A_rms",
    phase_mohm="motor.phase_to_neutral_mohm",
    rises=("current_A_rms",),
    source="Joule's law in three phases.",
)
def copper_loss(current_A_rms: float, phase_mohm: float) -> float:
    """Heat in the winding at the phase current limit, copper at 20 °C.

    >>> copper_loss(100.0, 10.0)
    300.0
    """
    return 3.0 * current_A_rms**2 * phase_mohm / 1000.0


@worked(
    "motor.copper_loss_hot_W",
    "W",
    loss_W="motor.copper_loss_W",
    rises=("loss_W",),
    formula="loss_W × (1 + 0.00393 × (120 − 20))",
    source="IEC 60028: copper gains 0.393 % of its resistance at 20 °C for each kelvin.",
)
def copper_loss_hot(loss_W: float) -> float:
    """Heat in the winding at the phase current limit, copper at 120 °C.

    >>> round(copper_loss_hot(300.0), 1)
    417.9
    """
    return loss_W * warming(HOT_degC)


@worked(
    "motor.insulation_degC",
    "degC",
    insulation_class="motor.insulation_class",
    formula="table value for class insulation_class",
    source="IEC 60085 Electrical insulation – Thermal evaluation and designation, table 1.",
)
def insulation(insulation_class: str) -> float:
    """Hottest spot that the winding's insulation bears for its whole life.

    A sensor reads less than the hottest spot.

    >>> insulation("F")
    155.0
    """
    return _hottest("insulation_classes", "insulation_class", insulation_class)


@worked(
    "motor.magnet_degC",
    "degC",
    grade="motor.magnet_grade",
    formula="table value for grade",
    source="Temperature suffixes of sintered neodymium magnets, trade convention.",
)
def magnet(grade: str) -> float:
    """Temperature up to which the magnets keep their strength, at an ordinary load line.

    >>> magnet("SH")
    150.0
    """
    return _hottest("magnet_grades", "magnet_grade", grade)


def _hottest(name: str, key: str, value: str) -> float:
    found = column(name, key, "hottest_degC").get(value)
    if found is None:
        raise NotWorked(f"no temperature is known for {value}")
    return float(found)
