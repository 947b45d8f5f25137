"""What the drive pulls and the brakes slow: the vehicle, its rider and a trailer."""

from __future__ import annotations

from .ride import GRAVITY_m_per_s2
from .worked import worked


@worked(
    "ride.combined_kg",
    "kg",
    title="mass with the trailer",
    total_kg="ride.total_kg",
    towed_kg="vehicle.towed_kg",
    rises=("total_kg",),
    formula="total_kg + towed_kg",
    source="Masses add.",
)
def combined(total_kg: float, towed_kg: float = 0.0) -> float:
    """What the drive pulls and the brakes slow: the total mass, and a trailer if there is one.

    >>> combined(175.0, 60.0), combined(175.0)
    (235.0, 175.0)
    """
    return total_kg + towed_kg


@worked(
    "ride.combined_N",
    "N",
    title="weight with the trailer",
    combined_kg="ride.combined_kg",
    rises=("combined_kg",),
    formula="combined_kg * 9.80665",
    source="Standard acceleration of free fall, 3rd CGPM 1901.",
)
def combined_weight(combined_kg: float) -> float:
    """Weight of vehicle, rider and trailer, which a hill pulls back; grip has the vehicle's alone.

    >>> combined_weight(100.0)
    980.665
    """
    return combined_kg * GRAVITY_m_per_s2
