"""The axle of a hub motor: the torque that it turns against, and the force on its flats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .operand import NotWorked
from .worked import worked

USUAL_FLATS_MM = 10.0  # across the flats of a hub motor's axle, common practice


@worked(
    "drivetrain.is_hub_motor",
    "",
    title="hub motor",
    in_wheel="motor.in_wheel",
    returns="boolean",
    formula="in_wheel",
    source="Definition: a hub motor sits in the wheel.",
)
def is_hub_motor(in_wheel: bool) -> bool:
    """Whether the motor turns about the wheel's own axle, as somebody looked.

    >>> is_hub_motor(True), is_hub_motor(False)
    (True, False)
    """
    return in_wheel


@worked(
    "drivetrain.is_hub_motor",
    "",
    title="hub motor",
    ratio="drivetrain.ratio",
    internal_ratio="motor.internal_ratio",
    returns="boolean",
    formula="ratio == internal_ratio",
    words="ratio equal to internal_ratio",
    source="A motor without a chain, belt or gear outside of it turns about the wheel's own axle.",
)
def is_hub_motor_by_gear(ratio: float, internal_ratio: float) -> bool:
    """The same where nobody says where it sits: whether all of the reduction lies inside the motor.

    >>> is_hub_motor_by_gear(1.0, 1.0), is_hub_motor_by_gear(4.4, 4.4), is_hub_motor_by_gear(7.0, 1.0)
    (True, True, False)
    """
    return ratio == internal_ratio


@worked(
    "drivetrain.is_hub_motor",
    "",
    title="hub motor",
    ratio="drivetrain.ratio",
    stages="drivetrain.stages",
    returns="boolean",
    words="no stages outside of the motor, and ratio 1",
    source="Without any reduction there is nothing outside; a stage that is counted lies outside.",
)
def is_hub_motor_untold(ratio: float, stages: Sequence[Mapping[str, float]] = ()) -> bool:
    """The same where nobody tells the gear inside: another reduction than 1 can lie inside or outside.

    >>> is_hub_motor_untold(1.0), is_hub_motor_untold(4.0, [{"driving_teeth": 14, "driven_teeth": 56}])
    (True, False)
    """
    if not stages and ratio != 1.0:
        raise NotWorked("the reduction can lie inside the motor")
    return not stages


@worked(
    "drivetrain.axle_torque_Nm",
    "Nm",
    title="torque on the axle",
    torque_Nm="motor.torque_Nm",
    ratio="drivetrain.ratio",
    rises=("torque_Nm",),
    formula="torque_Nm * ratio",
    source="What turns the wheel turns the axle the other way: action and reaction.",
)
def axle_torque(torque_Nm: float, ratio: float) -> float:
    """Greatest torque with which a hub motor turns its axle against the frame, losses left out.

    >>> axle_torque(12.0, 4.5)
    54.0
    """
    return torque_Nm * ratio


@worked(
    "drivetrain.axle_flats_N",
    "N",
    title="force on the axle flats",
    torque_Nm="drivetrain.axle_torque_Nm",
    flats_mm="drivetrain.axle_flats_mm",
    rises=("torque_Nm",),
    formula="torque_Nm * 1000 / flats_mm",
    source="A couple is its force times its arm; the arm is at most the width across the flats.",
)
def axle_flats(torque_Nm: float, flats_mm: float = USUAL_FLATS_MM) -> float:
    """Force of the couple with which the edges of the flats press apart what holds them, both sides together.

    The arm is taken as the width across the flats, 10 mm where it is not entered; the edges of a worn or
    short seat take more.

    >>> axle_flats(40.0)
    4000.0
    """
    return torque_Nm * 1000.0 / flats_mm
