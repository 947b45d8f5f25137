"""Grip: the load on the wheels, what the driven tyre holds, and how hard regen brakes it."""

from __future__ import annotations

import math

from .operand import NotWorked
from .worked import worked

HEIGHT_OF_SEVERAL = 0.4  # centre of gravity over wheelbase; common practice, no source
BRAKED_GRIP = "Moments about the front wheel's contact; Coulomb friction."


@worked(
    "ride.driven_percent",
    "percent",
    title="load share on the driven wheels",
    given_percent="vehicle.driven_load_percent",
    formula="given_percent",
    source="As weighed.",
)
def driven_as_given(given_percent: float) -> float:
    """Share of the weight on the driven wheels, standing on the level.

    >>> driven_as_given(55.0)
    55.0
    """
    return given_percent


@worked(
    "ride.driven_percent",
    "percent",
    title="load share on the driven wheels",
    usual_percent="house.driven_load_percent",
    wheels="vehicle.wheels",
    formula="100 if wheels == 1 else usual_percent",
    source="Common practice: a rider sits nearer to the rear wheel; one wheel carries all.",
)
def driven_usually(usual_percent: float, wheels: float = 2) -> float:
    """The usual share if it is not measured; a single wheel or a track carries everything.

    >>> driven_usually(60.0, 1)
    100.0
    """
    return 100.0 if wheels == 1 else usual_percent


@worked(
    "ride.lift_percent",
    "percent",
    title="push that lifts the front wheel",
    driven_percent="ride.driven_percent",
    wheelbase_mm="vehicle.wheelbase_mm",
    cog_height_m="house.cog_height_m",
    formula="(100 - driven_percent) * wheelbase_mm / 1000 / cog_height_m",
    source="Moments about the rear wheel's contact: Cossalter, Motorcycle Dynamics, 2nd edition,"
    " chapter 3, from memory.",
)
def lift(driven_percent: float, wheelbase_mm: float, cog_height_m: float) -> float:
    """Push, as a share of the weight, at which the front wheel leaves the ground.

    For a driven rear wheel on the level; uphill it lifts sooner.

    >>> round(lift(60.0, 1250.0, 0.9), 1)
    55.6
    """
    return (100.0 - driven_percent) * wheelbase_mm / 1000.0 / cog_height_m


@worked(
    "ride.regen_N",
    "N",
    title="regen braking force",
    phase_A_rms="settings.regen.phase_current_A_rms",
    constant="motor.torque_constant_Nm_per_A_rms",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    formula="constant * phase_A_rms * ratio * 2 * pi / circumference_m",
    source="Torque is force × radius; definition of the torque constant.",
)
def regen(phase_A_rms: float, constant: float, ratio: float, circumference_m: float) -> float:
    """Largest braking force of regen at the driven wheel, at low speed.

    The drivetrain's losses brake too and are left out; fast, a battery limit lowers it.

    >>> round(regen(80.0, 0.19493, 7.0, 1.96), 1)
    349.9
    """
    return constant * phase_A_rms * ratio * 2.0 * math.pi / circumference_m


@worked(
    "ride.regen_N",
    "N",
    title="regen braking force",
    battery_A="settings.regen.battery_current_A",
    nominal_V="pack.nominal_V",
    from_km_h="house.regen_from_km_h",
    formula="battery_A * nominal_V / (from_km_h / 3.6)",
    source="Power is force × speed; the speed at which it is strongest is common practice.",
)
def regen_by_battery(battery_A: float, nominal_V: float, from_km_h: float) -> float:
    """The same if only a battery current limit is given: by power balance, without losses.

    >>> round(regen_by_battery(20.0, 72.0, 20.0), 1)
    259.2
    """
    return battery_A * nominal_V / (from_km_h / 3.6)


@worked(
    "ride.regen_deceleration_m_per_s2",
    "m_per_s2",
    title="deceleration by regen",
    regen_N="ride.regen_N",
    total_kg="ride.total_kg",
    falls=("total_kg",),
    formula="regen_N / total_kg",
    source="Newton's second law.",
)
def regen_deceleration(regen_N: float, total_kg: float) -> float:
    """Deceleration by regen alone, on the level.

    >>> regen_deceleration(350.0, 175.0)
    2.0
    """
    return regen_N / total_kg


@worked(
    "ride.grip_N",
    "N",
    title="grip of the driven wheels",
    weight_N="ride.weight_N",
    driven_percent="ride.driven_percent",
    dry="house.grip_dry",
    slippery="house.grip_wet",
    wet="vehicle.wet",
    rises=("weight_N",),
    formula="(slippery if wet else dry) * weight_N * driven_percent / 100",
    source="Coulomb friction, the load as it stands; figures of handbooks, from memory.",
)
def grip(
    weight_N: float, driven_percent: float, dry: float, slippery: float, wet: bool = False
) -> float:
    """Force that the driven tyre holds before it slides, the brakes not used.

    For the load as the vehicle stands: braking takes load off a rear wheel.

    >>> round(grip(1716.2, 60.0, 0.8, 0.4, True), 1)
    411.9
    """
    return (slippery if wet else dry) * weight_N * driven_percent / 100.0


@worked(
    "ride.braked_grip_N",
    "N",
    title="grip of the braked wheel",
    grip_N="ride.grip_N",
    driven_percent="ride.driven_percent",
    wheels="vehicle.wheels",
    wheelbase_mm="vehicle.wheelbase_mm",
    cog_height_m="house.cog_height_m",
    dry="house.grip_dry",
    slippery="house.grip_wet",
    wet="vehicle.wet",
    rises=("grip_N",),
    formula="grip_N / (1 + (slippery if wet else dry) * cog_height_m * 1000 / wheelbase_mm)"
    " if driven_percent < 100 else grip_N",
    applies_when="wheels <= 2",
    source=BRAKED_GRIP,
)
def braked_grip(
    grip_N: float,
    driven_percent: float,
    wheels: float,
    wheelbase_mm: float,
    cog_height_m: float,
    dry: float,
    slippery: float,
    wet: bool = False,
) -> float:
    """Force with which a motor brakes its wheel before it slides, the other brakes not used.

    Braking takes load off a rear wheel: F = μ · (N − F · h / l). A driven front wheel gains load, and
    grips more than this.

    >>> round(braked_grip(416.6, 60.0, 2, 1290.0, 0.9, 0.8, 0.4, True), 1)
    325.7
    """
    if wheels > 2:
        raise NotWorked("on three wheels and more nobody sits as high")
    if driven_percent >= 100.0:
        return grip_N
    return grip_N / (1.0 + (slippery if wet else dry) * cog_height_m * 1000.0 / wheelbase_mm)


@worked(
    "ride.braked_grip_N",
    "N",
    title="grip of the braked wheel",
    grip_N="ride.grip_N",
    driven_percent="ride.driven_percent",
    dry="house.grip_dry",
    slippery="house.grip_wet",
    wet="vehicle.wet",
    wheels="vehicle.wheels",
    rises=("grip_N",),
    formula="grip_N / (1 + (slippery if wet else dry) * (1 if wheels <= 2 else 0.4))"
    " if driven_percent < 100 else grip_N",
    source=f"{BRAKED_GRIP[:-1]}; height over wheelbase is common practice, no source.",
)
def braked_grip_of_short(
    grip_N: float,
    driven_percent: float,
    dry: float,
    slippery: float,
    wet: bool = False,
    wheels: float = 2.0,
) -> float:
    """The same where no wheelbase is entered: of a two-wheeler as short as it is high.

    On three wheels and more the centre of gravity is as high as two fifths of the wheelbase.

    >>> round(braked_grip_of_short(140.0, 60.0, 0.8, 0.4, True), 3)
    100.0
    >>> round(braked_grip_of_short(132.0, 60.0, 0.8, 0.8, True, 4), 3)
    100.0
    """
    if driven_percent >= 100.0:
        return grip_N
    height = 1.0 if wheels <= 2 else HEIGHT_OF_SEVERAL
    return grip_N / (1.0 + (slippery if wet else dry) * height)


@worked(
    "ride.wheel_load_kg",
    "kg",
    title="load on a driven wheel",
    total_kg="ride.total_kg",
    driven_percent="ride.driven_percent",
    driven_wheels="vehicle.driven_wheels",
    rises=("total_kg",),
    formula="total_kg * driven_percent / 100 / driven_wheels",
    source="The load as it stands on the level, shared equally.",
)
def wheel_load(total_kg: float, driven_percent: float, driven_wheels: float) -> float:
    """Mass that one driven wheel carries.

    >>> wheel_load(175.0, 60.0, 1)
    105.0
    """
    return total_kg * driven_percent / 100.0 / driven_wheels


@worked(
    "ride.wheel_load_kg",
    "kg",
    title="load on a driven wheel",
    total_kg="ride.total_kg",
    driven_percent="ride.driven_percent",
    wheels="vehicle.wheels",
    rises=("total_kg",),
    formula="total_kg * driven_percent / 100",
    applies_when="wheels <= 2",
    source="One or two wheels: one of them is driven.",
)
def wheel_load_of_one(total_kg: float, driven_percent: float, wheels: float) -> float:
    """The same on one or two wheels, of which one is driven.

    >>> wheel_load_of_one(175.0, 60.0, 2)
    105.0
    """
    if wheels > 2:
        raise NotWorked("on three wheels or more the number of driven wheels is needed")
    return wheel_load(total_kg, driven_percent, 1.0)
