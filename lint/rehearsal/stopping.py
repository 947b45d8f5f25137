"""The rider against a failure: how far a vehicle gets before somebody acts, and what the brakes hold."""

from __future__ import annotations

from itertools import pairwise

from ..quantities.operand import NotWorked
from ..quantities.ride import GRAVITY_m_per_s2
from ..quantities.worked import worked

# From the failure to the hand on the switch or the lever: common practice, no source; road design
# counts with 2.5 s for nearly all drivers (AASHTO Green Book, from memory).
REACTION_s = 1.5
# What a dry stop must reach (UN Regulation No. 78, annex 3, 5.: category L3, both brakes 5.1, rear
# brake alone 2.9; category L1, both 4.4, rear alone 2.7), from memory; the least of each counts.
BOTH_BRAKES_m_per_s2 = 4.4
ONE_BRAKE_m_per_s2 = 2.7
SPEED_STEPS = 400
NEWTON = "Newton's second law."


@worked(
    "failure.brakes_N",
    "N",
    title="force of the brakes",
    brake_count="vehicle.brake_count",
    total_kg="ride.total_kg",
    dry="house.grip_dry",
    slippery="house.grip_wet",
    wet="vehicle.wet",
    formula="total_kg * min(4.4 if brake_count > 1 else 2.7, (slippery if wet else dry) * 9.80665)"
    " if brake_count > 0 else 0",
    source="UN Regulation No. 78, annex 3 (dry stop, category L1), from memory; grip by the house file.",
)
def brakes_force(
    brake_count: float, total_kg: float, dry: float, slippery: float, wet: bool = True
) -> float:
    """What sound brakes hold, as the least of those that the regulation approves.

    One brake alone or two and more, on the level; a trailer is not counted. Not told, the road is wet.

    >>> brakes_force(2.0, 100.0, 0.8, 0.4, False), brakes_force(0.0, 100.0, 0.8, 0.4)
    (440.00000000000006, 0.0)
    """
    if brake_count <= 0:
        return 0.0
    brakes_m_per_s2 = BOTH_BRAKES_m_per_s2 if brake_count > 1 else ONE_BRAKE_m_per_s2
    grip = slippery if wet else dry
    return total_kg * min(brakes_m_per_s2, grip * GRAVITY_m_per_s2)


@worked(
    "failure.drive_at_top_N",
    "N",
    title="drive force at top speed",
    push_N="ride.push_N",
    power_W="controller.power_W",
    reachable_km_h="ride.reachable_km_h",
    rises=("push_N", "power_W"),
    falls=("reachable_km_h",),
    formula="min(push_N, power_W * 3.6 / reachable_km_h)",
    applies_when="reachable_km_h > 0",
    source="Power is force × speed.",
)
def drive_at_top(push_N: float, power_W: float, reachable_km_h: float) -> float:
    """What a drive held fully open pushes with at the top speed, at most; without losses.

    >>> drive_at_top(600.0, 4000.0, 36.0)
    400.0
    """
    if reachable_km_h <= 0.0:
        raise NotWorked("the vehicle does not move")
    return min(push_N, power_W * 3.6 / reachable_km_h)


@worked(
    "failure.gained_km_h",
    "km_h",
    title="speed gained before the rider reacts",
    push_N="ride.push_N",
    total_kg="ride.combined_kg",
    reachable_km_h="ride.reachable_km_h",
    rises=("push_N", "reachable_km_h"),
    falls=("total_kg",),
    formula="min(reachable_km_h, 3.6 * 1.5 * push_N / total_kg)",
    source=NEWTON,
)
def gained(push_N: float, total_kg: float, reachable_km_h: float) -> float:
    """Speed of a vehicle that drives off by itself from a standstill, 1.5 s later, at most.

    Without rolling resistance and without the throttle's ramp.

    >>> round(gained(300.0, 150.0, 45.0), 2)
    10.8
    """
    return min(reachable_km_h, 3.6 * REACTION_s * push_N / total_kg)


@worked(
    "failure.stuck_stop_m",
    "m",
    title="stopping distance against the stuck throttle",
    reachable_km_h="ride.reachable_km_h",
    brakes_N="failure.brakes_N",
    push_N="ride.push_N",
    power_W="controller.power_W",
    total_kg="ride.combined_kg",
    applies_when="brakes_N > push_N",
    words="1.5 s at reachable_km_h, then total_kg × v ÷ (brakes_N − the drive's force) over the speeds",
    source="Work is force × distance; the drive gives the least of push_N and power_W ÷ v.",
)
def stuck_stop(
    reachable_km_h: float, brakes_N: float, push_N: float, power_W: float, total_kg: float
) -> float:
    """Way from top speed to a stop with the brakes held against the full drive, 1.5 s to react in it.

    On the level, without rolling resistance. By the trapezoidal rule over the speeds.

    >>> round(stuck_stop(36.0, 500.0, 100.0, 1e9, 100.0), 2)
    27.5
    """
    if brakes_N <= push_N:
        raise NotWorked("the brakes alone do not stop it")
    top = reachable_km_h / 3.6
    speeds = [top * step / SPEED_STEPS for step in range(SPEED_STEPS + 1)]
    ways = [total_kg * v / (brakes_N - min(push_N, power_W / v if v else push_N)) for v in speeds]
    braked = sum((a + b) / 2.0 for a, b in pairwise(ways)) * top / SPEED_STEPS
    return top * REACTION_s + braked


@worked(
    "failure.coast_down_m",
    "m",
    title="stopping distance with the drive cut",
    reachable_km_h="ride.reachable_km_h",
    brakes_N="failure.brakes_N",
    total_kg="ride.combined_kg",
    applies_when="brakes_N > 0",
    formula="reachable_km_h / 3.6 * 1.5 + total_kg * (reachable_km_h / 3.6) ** 2 / 2 / brakes_N",
    source="Work is force × distance.",
)
def coast_down(reachable_km_h: float, brakes_N: float, total_kg: float) -> float:
    """Way from top speed to a stop by the brakes alone, the drive cut and 1.5 s to react in it.

    >>> round(coast_down(36.0, 500.0, 100.0), 2)
    25.0
    """
    if brakes_N <= 0.0:
        raise NotWorked("there is no brake")
    speed = reachable_km_h / 3.6
    return speed * REACTION_s + total_kg * speed**2 / 2.0 / brakes_N


@worked(
    "failure.weak_group_V",
    "V",
    title="voltage of a weak cell group at the cutoff",
    cutoff_V="settings.low_voltage.cutoff_V",
    series="pack.series",
    battery_A="settings.battery_current_A",
    pack_mohm="pack.resistance_mohm",
    formula="cutoff_V / series - battery_A * pack_mohm / 1000 / series",
    source="Ohm's law; a group of twice the resistance of the others, common practice, no source.",
)
def weak_group(cutoff_V: float, series: float, battery_A: float, pack_mohm: float) -> float:
    """What a cell group of twice the resistance has when the whole pack is at the cutoff, full current.

    >>> round(weak_group(60.0, 20.0, 50.0, 100.0), 3)
    2.75
    """
    return cutoff_V / series - battery_A * pack_mohm / 1000.0 / series


@worked(
    "failure.lacking_group_V",
    "V",
    title="voltage of an empty cell group at the cutoff",
    cutoff_V="settings.low_voltage.cutoff_V",
    nominal_V="pack.nominal_V",
    series="pack.series",
    rises=("cutoff_V",),
    falls=("nominal_V",),
    formula="max(0, cutoff_V - nominal_V * (series - 1) / series)",
    source="Voltages in series add up; the others at their nominal voltage, common practice, no source.",
)
def lacking_group(cutoff_V: float, nominal_V: float, series: float) -> float:
    """What a cell group of about half the capacity has left when the pack as a whole is at the cutoff.

    It is empty while the others are half full and have their nominal voltage; 0 V is driven backwards.

    >>> round(lacking_group(7.0, 7.2, 2.0), 3), lacking_group(62.0, 72.0, 20.0)
    (3.4, 0.0)
    """
    return max(0.0, cutoff_V - nominal_V * (series - 1.0) / series)


@worked(
    "failure.overcharge_s",
    "s",
    title="time to 5 % overcharge",
    capacity_Ah="pack.capacity_Ah",
    charger_A="pack.charger.current_A",
    formula="0.05 * capacity_Ah * 3600 / charger_A",
    source="Charge is current × time, I·t = Q.",
)
def overcharge_time(capacity_Ah: float, charger_A: float) -> float:
    """Time in which a charger that does not stop puts a twentieth too much into a full pack.

    >>> round(overcharge_time(20.0, 5.0), 6)
    720.0
    """
    return 0.05 * capacity_Ah * 3600.0 / charger_A
