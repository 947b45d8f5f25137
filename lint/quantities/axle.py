"""The axle of a hub motor: the torque that it turns against, and the force on its flats."""

from __future__ import annotations

from .worked import worked

USUAL_FLATS_MM = 10.0  # across the flats of a hub motor's axle, common practice


@worked(
    "drivetrain.is_hub_motor",
    "",
    title="hub motor",
    ratio="drivetrain.ratio",
    internal_ratio="motor.internal_ratio",
    in_wheel="motor.in_wheel",
    returns="boolean",
    formula="in_wheel and ratio == internal_ratio",
    words="in_wheel, and ratio equal to internal_ratio",
    source="A motor without a chain, belt or gear outside of it turns about the wheel's own axle.",
)
def is_hub_motor(ratio: float, internal_ratio: float = 1.0, in_wheel: bool = True) -> bool:
    """Whether all of the reduction lies inside the motor, unless it is said to be bolted to the frame.

    >>> is_hub_motor(1.0), is_hub_motor(4.4, 4.4), is_hub_motor(7.0), is_hub_motor(26.0, 26.0, False)
    (True, True, False, False)
    """
    return in_wheel and ratio == internal_ratio


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
