"""The brakes besides the motor, what one of them has to take, and what regen leaves on a full pack."""

from __future__ import annotations

from collections.abc import Sequence

from .operand import NotWorked
from .worked import worked

HOLDING = ("parking", "electromagnetic")  # keep it where it stands; no rider slows with them
# Metal that takes up heat; a rim heats its tyre, a foot its shoe.
HEAT_PROOF = ("disc", "drum", "band")


@worked(
    "vehicle.brake_count",
    "",
    title="number of brakes that slow the vehicle",
    brakes="vehicle.brakes",
    words="how many of the brakes are other than parking and electromagnetic",
    source="Definition.",
)
def brake_count(brakes: Sequence[str]) -> float:
    """Brakes with which a rider slows down; those that only hold it at rest are not counted.

    >>> brake_count(["disc", "disc", "parking"])
    2.0
    """
    return float(sum(brake not in HOLDING for brake in brakes))


@worked(
    "vehicle.firm_brake_count",
    "",
    title="number of brakes besides a foot",
    brakes="vehicle.brakes",
    words="how many of the brakes are other than foot, parking and electromagnetic",
    source="Definition.",
)
def firm_brake_count(brakes: Sequence[str]) -> float:
    """Brakes that slow a fast vehicle too, on which a shoe does not.

    >>> firm_brake_count(["drum", "foot", "parking"])
    1.0
    """
    return brake_count([brake for brake in brakes if brake != "foot"])


@worked(
    "vehicle.heat_proof_brake_count",
    "",
    title="number of disc, drum and band brakes",
    brakes="vehicle.brakes",
    words="how many of the brakes are disc, drum or band brakes",
    source="Definition.",
)
def heat_proof_brake_count(brakes: Sequence[str]) -> float:
    """Brakes with metal of their own that takes up the heat of a stop.

    >>> heat_proof_brake_count(["disc", "rim"])
    1.0
    """
    return float(sum(brake in HEAT_PROOF for brake in brakes))


@worked(
    "ride.kinetic_J",
    "J",
    title="kinetic energy at top speed",
    total_kg="ride.combined_kg",
    reachable_km_h="ride.reachable_km_h",
    rises=("total_kg", "reachable_km_h"),
    formula="total_kg * (reachable_km_h / 3.6) ** 2 / 2",
    source="Definition.",
)
def kinetic(total_kg: float, reachable_km_h: float) -> float:
    """Energy that the brakes turn into heat in one stop from the highest speed on the level.

    Downhill the height adds to it, and wheels and rotor some percent.

    >>> kinetic(100.0, 36.0)
    5000.0
    """
    return total_kg * (reachable_km_h / 3.6) ** 2 / 2.0


@worked(
    "pack.charged_V",
    "V",
    title="voltage of the charged pack",
    full_V="pack.full_V",
    charger_V="pack.charger.voltage_V",
    formula="min(full_V, charger_V)",
    source="A charger brings no pack above its own voltage.",
)
def charged(full_V: float, charger_V: float = float("inf")) -> float:
    """Voltage with which a ride begins: that of the full pack, or of a charger that ends below it.

    >>> charged(84.0, 80.0), charged(84.0)
    (80.0, 84.0)
    """
    return min(full_V, charger_V)


@worked(
    "ride.regen_left",
    "",
    title="share of regen left on a charged pack",
    charged_V="pack.charged_V",
    stop_V="settings.regen.stop_V",
    taper_from_V="settings.regen.taper_from_V",
    formula="max(0, min(1, (stop_V - charged_V) / (stop_V - taper_from_V)))",
    applies_when="stop_V > taper_from_V",
    source="Definition of the taper; that it is straight is common practice, no source.",
)
def regen_left(charged_V: float, stop_V: float, taper_from_V: float) -> float:
    """What the regen taper and stop leave of regen at the beginning of a ride.

    Braking lifts the pack's voltage besides, which takes some more.

    >>> regen_left(82.0, 84.0, 80.0), regen_left(84.0, 83.0, 80.0)
    (0.5, 0.0)
    """
    if stop_V <= taper_from_V:
        raise NotWorked("the regen taper does not start below the regen stop")
    return max(0.0, min(1.0, (stop_V - charged_V) / (stop_V - taper_from_V)))


@worked(
    "ride.regen_left",
    "",
    title="share of regen left on a charged pack",
    charged_V="pack.charged_V",
    stop_V="settings.regen.stop_V",
    formula="1 if charged_V < stop_V else 0",
    source="Definition of the regen stop.",
)
def regen_left_without_taper(charged_V: float, stop_V: float) -> float:
    """The same of regen without a taper: all of it below the stop, and none above.

    >>> regen_left_without_taper(80.0, 83.0), regen_left_without_taper(84.0, 83.0)
    (1.0, 0.0)
    """
    return 1.0 if charged_V < stop_V else 0.0


@worked(
    "ride.charged_regen_N",
    "N",
    title="regen force at top speed on a charged pack",
    regen_N="ride.regen_N",
    charged_V="pack.charged_V",
    reachable_km_h="ride.reachable_km_h",
    battery_A="settings.regen.battery_current_A",
    falls=("reachable_km_h",),
    formula="min(regen_N, battery_A * charged_V / (reachable_km_h / 3.6))",
    applies_when="reachable_km_h > 0",
    source="Power is force × speed.",
)
def charged_regen(
    regen_N: float, charged_V: float, reachable_km_h: float, battery_A: float = float("inf")
) -> float:
    """What regen brakes with at the highest speed, just after a full charge; without losses.

    >>> charged_regen(300.0, 50.0, 36.0, 20.0)
    100.0
    """
    if reachable_km_h <= 0:
        raise NotWorked("the vehicle does not move")
    return min(regen_N, battery_A * charged_V / (reachable_km_h / 3.6))


@worked(
    "ride.motor_brake_m_per_s2",
    "m_per_s2",
    title="deceleration by regen at top speed on a charged pack",
    left="ride.regen_left",
    force_N="ride.charged_regen_N",
    total_kg="ride.combined_kg",
    rises=("force_N",),
    falls=("total_kg",),
    formula="left * force_N / total_kg",
    source="Newton's second law.",
)
def motor_brake(left: float, force_N: float, total_kg: float) -> float:
    """How hard regen alone slows the vehicle from its highest speed, just after a full charge.

    On the level and without losses: downhill the weight takes from it.

    >>> motor_brake(1.0, 100.0, 100.0)
    1.0
    """
    return left * force_N / total_kg
