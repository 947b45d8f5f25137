"""The drive at one speed: the largest force at the wheel that all its limits leave, and which of them.

A motor with permanent magnets and one inductance for both axes, steady, without iron loss; its magnets
at the temperature at which kv was taken. Currents are A rms of a phase, voltages of the pack are V DC.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from ..quantities.motor import torque_constant

SETTLED = 1e-10  # of the square of the voltage: the field weakening has been found
_TURNS = 60  # most steps of that search
UNREAL_A = 1e9  # more than any motor takes
BISECTIONS = 48
JUST_PAST = 1.0 + 1e-6
BY_VOLTAGE = "pack.loaded_V"
BY_WEAKENING = "settings.field_weakening_A_rms"
BY_TAPER = "settings.low_voltage.taper_from_V"
BY_SPEED = "settings.max_rpm"
BY_GRIP = "ride.grip_N"


class Drive(NamedTuple):
    """What the drive is made of and what limits it; infinite where nothing does.

    `phase_ohm` is that of the winding as warm as it is taken to be, from phase to neutral;
    `weakening_within` says whether the phase limit bounds the field weakening too. `phase_limit` and
    `battery_limit` name the quantities that set the two currents.
    """

    kv_rpm_per_V: float
    phase_A_rms: float
    battery_A: float
    open_V: float
    ratio: float
    circumference_m: float
    efficiency: float = 1.0
    phase_ohm: float = 0.0
    inductance_H: float = 0.0
    pole_pairs: float = 1.0
    weakening_A_rms: float = 0.0
    weakening_within: bool = False
    loop_ohm: float = 0.0
    taper_from_V: float = 0.0
    cutoff_V: float = 0.0
    modulation: float = 1.0
    controller_efficiency: float = 1.0
    max_rpm: float = math.inf
    grip_N: float = math.inf
    phase_limit: str = "settings.phase_current_A_rms"
    battery_limit: str = "settings.battery_current_A"


class OperatingPoint(NamedTuple):
    """The drive at one speed. `limited_by` names the quantity that allows no more force.

    `across_A_rms` makes torque, `weakening_A_rms` weakens the field, `phase_A_rms` is both together.
    Of several motors force, torque and battery current are sums, phase currents and rpm those of the
    one that has most, and `parts` has each motor's own point.
    """

    speed_km_h: float
    force_N: float
    torque_Nm: float = 0.0
    rpm: float = 0.0
    across_A_rms: float = 0.0
    weakening_A_rms: float = 0.0
    phase_A_rms: float = 0.0
    battery_A: float = 0.0
    loaded_V: float = 0.0
    limited_by: str = ""
    parts: tuple[OperatingPoint, ...] = ()


def current_for_power(power_W: float, open_V: float, loop_ohm: float) -> float | None:
    """Battery current that brings a power to the controller, the sag counted; None past the most.

    The smaller root of I·(U − R·I) = P; a source gives U²/4R at most.

    >>> current_for_power(4800.0, 50.0, 0.02), current_for_power(4800.0, 48.0, 0.0)
    (100.0, 100.0)
    >>> current_for_power(40000.0, 50.0, 0.02) is None
    True
    """
    under = open_V**2 - 4.0 * loop_ohm * power_W
    return None if under < 0.0 else 2.0 * power_W / (open_V + math.sqrt(under))


def battery_current_allowed(drive: Drive) -> tuple[float, str]:
    """Battery current that the limits leave, in A, and the quantity that sets it.

    Where the limit would sag the pack into the taper, which falls in a straight line from all of it
    at `taper_from_V` to nothing at `cutoff_V`, current and voltage meet on that line.

    >>> drive = Drive(60, 100, 100, 48.0, 5, 2, loop_ohm=0.05, taper_from_V=44, cutoff_V=42)
    >>> round(battery_current_allowed(drive)[0], 3), battery_current_allowed(drive)[1]
    (85.714, 'settings.low_voltage.taper_from_V')
    >>> battery_current_allowed(drive._replace(taper_from_V=43.0))
    (100, 'settings.battery_current_A')
    """
    most = drive.battery_A
    if drive.open_V - most * drive.loop_ohm >= drive.taper_from_V:
        return most, drive.battery_limit
    width_V = drive.taper_from_V - drive.cutoff_V + most * drive.loop_ohm
    left_V = max(0.0, drive.open_V - drive.cutoff_V)
    return (most if width_V <= 0.0 else min(most, most * left_V / width_V)), BY_TAPER


def rpm_at(drive: Drive, speed_km_h: float) -> float:
    """Motor speed at a road speed.

    >>> round(rpm_at(Drive(60, 100, 100, 48.0, 8.0, 2.0), 60.0), 9)
    4000.0
    """
    return speed_km_h / 3.6 / drive.circumference_m * 60.0 * drive.ratio


def speed_at(drive: Drive, rpm: float) -> float:
    """Road speed in km/h at a motor speed.

    >>> round(speed_at(Drive(60, 100, 100, 48.0, 8.0, 2.0), 4000.0), 9)
    60.0
    """
    return rpm / 60.0 / drive.ratio * drive.circumference_m * 3.6


def newton_per_ampere(drive: Drive) -> float:
    """Force at the wheel for each A rms of the current that makes torque.

    >>> round(newton_per_ampere(Drive(100, 100, 100, 48.0, 5.0, 2.0, efficiency=0.9)), 3)
    1.653
    """
    turns_per_m = 2.0 * math.pi / drive.circumference_m
    return torque_constant(drive.kv_rpm_per_V) * drive.ratio * drive.efficiency * turns_per_m


class Turning(NamedTuple):
    """The motor turning: peak back-EMF of a phase and reactance, and its peak torque current."""

    back_emf_V: float
    reactance_ohm: float
    across_A: float


def driven_at(drive: Drive, speed_km_h: float, across_A_rms: float) -> OperatingPoint | str:
    """The drive making a torque at a speed, or the name of the quantity that does not let it."""
    rpm = rpm_at(drive, speed_km_h)
    if rpm > drive.max_rpm * JUST_PAST:
        return BY_SPEED
    turning = Turning(
        rpm / drive.kv_rpm_per_V / math.sqrt(3.0),
        rpm / 60.0 * 2.0 * math.pi * drive.pole_pairs * drive.inductance_H,
        across_A_rms * math.sqrt(2.0),
    )
    weakening_A = weakening_needed(drive, turning)
    if weakening_A is None:
        return BY_VOLTAGE
    weakening_A_rms = weakening_A / math.sqrt(2.0)
    most_A_rms, by = _most_weakening(drive, across_A_rms)
    if weakening_A_rms > most_A_rms:
        return by
    drawn_A = _drawn(drive, turning, weakening_A)
    allowed_A, limit = battery_current_allowed(drive)
    if drawn_A is None or drawn_A > allowed_A:
        return limit
    return OperatingPoint(
        speed_km_h,
        newton_per_ampere(drive) * across_A_rms,
        torque_constant(drive.kv_rpm_per_V) * across_A_rms,
        rpm,
        across_A_rms,
        weakening_A_rms,
        math.hypot(across_A_rms, weakening_A_rms),
        drawn_A,
        drive.open_V - drawn_A * drive.loop_ohm,
    )


def _drawn(drive: Drive, turning: Turning, weakening_A: float) -> float | None:
    """Battery current: torque × speed and Joule's law in the copper, by peak currents of a phase."""
    copper_W = drive.phase_ohm * (turning.across_A**2 + weakening_A**2)
    taken_W = 1.5 * (turning.back_emf_V * turning.across_A + copper_W)
    return current_for_power(taken_W / drive.controller_efficiency, drive.open_V, drive.loop_ohm)


def weakening_needed(drive: Drive, turning: Turning) -> float | None:
    """Least peak current of field weakening that lets the loaded pack drive a torque; None if none does.

    The winding needs |R·d − X·q|² + |R·q + X·d + E|² = Z²·w² − 2·X·E·w + (X·q)² + (R·q + E)², with
    d = −w, and has a third of the square of modulation × loaded voltage. What the weakening takes
    makes the pack sag, so both are solved together, by Newton's method from no weakening upwards.
    Source: the voltage ellipse of Morimoto et al., IEEE Transactions on Industry Applications 26(5),
    1990, with the resistance kept; from memory.

    >>> drive = Drive(60, 100, 100, 34.641016, 5.0, 2.0)
    >>> round(weakening_needed(drive, Turning(25.0, 0.5, 20.0)), 4)
    15.359
    >>> weakening_needed(drive, Turning(25.0, 0.0, 20.0)) is None
    True
    """
    emf_V, reactance_ohm, across_A = turning
    square = drive.phase_ohm**2 + reactance_ohm**2
    alone = (reactance_ohm * across_A) ** 2 + (drive.phase_ohm * across_A + emf_V) ** 2
    share = drive.modulation**2 / 3.0
    weakening_A = 0.0
    for _ in range(_TURNS):
        drawn_A = _drawn(drive, turning, weakening_A)
        if drawn_A is None:
            return None
        volts = drive.open_V - drawn_A * drive.loop_ohm
        needed = square * weakening_A**2 - 2.0 * reactance_ohm * emf_V * weakening_A + alone
        left = share * volts**2 - needed
        if left >= -SETTLED * needed:
            return weakening_A
        sagging = 3.0 * drive.phase_ohm * weakening_A / drive.controller_efficiency
        falls = drive.loop_ohm * sagging / (2.0 * volts - drive.open_V) if volts > 0.0 else math.inf
        gains = 2.0 * (reactance_ohm * emf_V - square * weakening_A) - 2.0 * share * volts * falls
        if gains <= 0.0:
            return None
        weakening_A -= left / gains
        if weakening_A > UNREAL_A:  # almost at a standstill no weakening helps
            return None
    return None


def _most_weakening(drive: Drive, across_A_rms: float) -> tuple[float, str]:
    """Field weakening that may flow beside a torque current, and what sets it."""
    if drive.weakening_A_rms <= 0.0:
        return 0.0, BY_VOLTAGE
    if not drive.weakening_within:
        return drive.weakening_A_rms, BY_WEAKENING
    left_A = math.sqrt(max(0.0, drive.phase_A_rms**2 - across_A_rms**2))
    least = min(drive.weakening_A_rms, left_A)
    return least, BY_WEAKENING if least == drive.weakening_A_rms else drive.phase_limit


def fullest(drive: Drive, speed_km_h: float) -> OperatingPoint:
    """The drive at full throttle at a speed: its largest force, and what allows no more.

    More torque takes more voltage, more field weakening and more battery current at once, so that the
    largest torque current is found by halving.

    >>> drive = Drive(60, 100, 50, 48.0, 5.0, 2.0, phase_ohm=0.02, inductance_H=1e-4, pole_pairs=5)
    >>> slow, fast = fullest(drive, 0.0), fullest(drive, 55.0)
    >>> round(slow.force_N, 1), slow.limited_by
    (306.2, 'settings.phase_current_A_rms')
    >>> round(fast.battery_A, 3), fast.limited_by
    (50.0, 'settings.battery_current_A')
    """
    grip_A = drive.grip_N / newton_per_ampere(drive)
    most_A, by = drive.phase_A_rms, drive.phase_limit
    if grip_A < most_A:
        most_A, by = grip_A, BY_GRIP
    most = driven_at(drive, speed_km_h, most_A)
    if isinstance(most, OperatingPoint):
        return most._replace(limited_by=by)
    best = driven_at(drive, speed_km_h, 0.0)
    if isinstance(best, str):
        return OperatingPoint(speed_km_h, 0.0, rpm=rpm_at(drive, speed_km_h), limited_by=best)
    low, high, by = 0.0, most_A, most
    for _ in range(BISECTIONS):
        middle = (low + high) / 2.0
        tried = driven_at(drive, speed_km_h, middle)
        if isinstance(tried, str):
            high, by = middle, tried
        else:
            low, best = middle, tried
    return best._replace(limited_by=by)
