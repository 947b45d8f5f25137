"""A vehicle's ride in plain arithmetic, step by step, of what its labels say; nothing from gonogo.

It takes the model that the ride tells in words, and works it out another way: each current is tried
in small steps or by halving, each time is added up in short steps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

GRAVITY = 9.80665  # m/s², ISO 80000-3
AIR = 1.225  # kg/m³, ISO 2533 at sea level
PER_K = 0.00393  # of copper's resistance at 20 °C, IEC 60028
MODULATION, CONTROLLER, GRIP, DRIVEN = 0.95, 0.96, 0.8, 0.6  # the allowances as they come
TRIED = 200  # halvings


@dataclass(frozen=True)
class PlainVehicle:
    """What labels, scale and tape say, in the units of the names."""

    kg: float
    rolling: float
    drag_area_m2: float
    grade: float  # rise over run of its hill
    air_degC: float
    nominal_V: float
    capacity_Ah: float
    loop_ohm: float
    battery_A: float
    phase_A: float
    weakening_A: float
    max_rpm: float
    regen_A: float
    regen_battery_A: float
    idle_W: float  # taken by the unloaded motor
    idle_rpm: float  # at this speed
    kv: float
    pairs: float
    ohm_at_20: float
    henry: float
    ratio: float
    circumference_m: float
    efficiency: float
    continuous_A: float
    burst_A: float
    burst_s: float
    limit_degC: float
    motor_kg: float
    winding_s: float
    taper_degC: float
    stop_degC: float

    @property
    def newton_per_A(self) -> float:
        """Of an A rms at the wheel: torque × angular speed is 3 × back-EMF × current, both rms."""
        phase_V_rms = 1.0 / math.sqrt(3.0) / math.sqrt(2.0)  # at kv rpm
        torque_Nm = 3.0 * phase_V_rms / (self.kv * math.tau / 60.0)
        return torque_Nm * self.ratio * self.efficiency * math.tau / self.circumference_m

    def rpm(self, km_h: float) -> float:
        return km_h / 3.6 / self.circumference_m * self.ratio * 60.0

    def resists(self, km_h: float, grade: float) -> float:
        slope = math.atan(grade)
        across, along = self.kg * GRAVITY * math.cos(slope), self.kg * GRAVITY * math.sin(slope)
        return self.rolling * across + along + AIR / 2.0 * self.drag_area_m2 * (km_h / 3.6) ** 2

    def draws(self, km_h: float, across_A: float) -> tuple[float, float] | None:
        """Battery current and field weakening, both A, that a torque current takes; None beyond a limit."""
        if self.rpm(km_h) > self.max_rpm * (1.0 + 1e-9):
            return None
        for step in range(1001):
            weak_A = self.weakening_A * step / 1000.0
            drawn = self._drawn(km_h, across_A, weak_A)
            if drawn is None or drawn[0] > self.battery_A * (1.0 + 1e-9):
                return None
            if drawn[1] <= MODULATION * (self.nominal_V - drawn[0] * self.loop_ohm) / math.sqrt(
                3.0
            ):
                return drawn[0], weak_A
            if self.weakening_A == 0.0:
                return None
        return None

    def _drawn(self, km_h: float, across_A: float, weak_A: float) -> tuple[float, float] | None:
        """Battery current, and peak volts of a phase, by the dq equations of a steady motor."""
        turns_per_s = self.rpm(km_h) / 60.0
        back_V = self.rpm(km_h) / self.kv / math.sqrt(3.0)
        reactance = math.tau * turns_per_s * self.pairs * self.henry
        ohm = self.ohm_at_20 * (1.0 + PER_K * 60.0)  # at 80 °C
        q, d = across_A * math.sqrt(2.0), -weak_A * math.sqrt(2.0)
        volts = math.hypot(ohm * d - reactance * q, ohm * q + reactance * d + back_V)
        watt = (1.5 * back_V * q + 1.5 * ohm * (q * q + d * d)) / CONTROLLER
        under = self.nominal_V**2 - 4.0 * watt * self.loop_ohm
        if under < 0.0:
            return None
        return (self.nominal_V - math.sqrt(under)) / 2.0 / self.loop_ohm, volts

    def force(self, km_h: float, grade: float) -> float:
        """The most that current limits, voltage, speed limit and grip leave."""
        grips = GRIP * DRIVEN * self.kg * GRAVITY * math.cos(math.atan(grade))
        low, high = 0.0, min(self.phase_A, grips / self.newton_per_A)
        if self.draws(km_h, high) is not None:
            return high * self.newton_per_A
        if self.draws(km_h, 0.0) is None:
            return 0.0
        for _ in range(40):
            middle = (low + high) / 2.0
            low, high = (middle, high) if self.draws(km_h, middle) else (low, middle)
        return low * self.newton_per_A

    def top_speed(self, grade: float) -> float:
        low, high = 0.0, 200.0
        for _ in range(40):
            middle = (low + high) / 2.0
            enough = self.force(middle, grade) >= self.resists(middle, grade)
            low, high = (middle, high) if enough else (low, middle)
        return low

    def steepest_start(self) -> float:
        """Percent: grades are tried until force no longer holds the weight."""
        low, high = 0.0, 2.0
        for _ in range(40):
            middle = (low + high) / 2.0
            holds = self.force(0.0, middle) >= self.resists(0.0, middle)
            low, high = (middle, high) if holds else (low, middle)
        return 100.0 * low

    def zero_to(self, km_h: float, step_km_h: float = 0.25) -> float:
        seconds = 0.0
        for number in range(round(km_h / step_km_h)):
            speed = (number + 0.5) * step_km_h
            seconds += (
                self.kg * step_km_h / 3.6 / (self.force(speed, 0.0) - self.resists(speed, 0.0))
            )
        return seconds

    def battery_at(self, km_h: float, force_N: float) -> float:
        drawn = self.draws(km_h, force_N / self.newton_per_A)
        assert drawn is not None
        return drawn[0]

    def cruise_range(self, km_h: float) -> float:
        """Hours of charge times speed."""
        drawn_A = self.battery_at(km_h, self.resists(km_h, 0.0)) + self.idle_A(km_h)
        return self.capacity_Ah / drawn_A * km_h

    def idle_A(self, km_h: float) -> float:
        """Iron and friction, one torque at every speed."""
        return self.idle_W * self.rpm(km_h) / self.idle_rpm / self.nominal_V

    def cycle_range(self, top: float, seconds: tuple[float, float, float, float]) -> float:
        """Speed up in a straight line, hold, coast, brake in a straight line; in steps of 20 ms."""
        gather_s, hold_s, coast_s, brake_s = seconds
        step, metres, drawn_As, speed = 0.02, 0.0, 0.0, 0.0
        push_N = self.kg * top / 3.6 / gather_s
        for number in range(round(gather_s / step)):
            speed = top * (number + 0.5) * step / gather_s
            drawn_As += step * self.battery_at(speed, push_N + self.resists(speed, 0.0))
            drawn_As += step * self.idle_A(speed)
            metres += speed / 3.6 * step
        drawn_As += hold_s * (self.battery_at(top, self.resists(top, 0.0)) + self.idle_A(top))
        metres += hold_s * top / 3.6
        speed = top
        for _ in range(round(coast_s / step)):
            speed -= 3.6 * step * self.resists(speed, 0.0) / self.kg
            metres += speed / 3.6 * step
        metres += speed / 3.6 * brake_s / 2.0
        return self.capacity_Ah * 3600.0 / drawn_As * metres / 1000.0

    def regen(self, km_h: float) -> float:
        """m/s²: the largest of small steps of current whose power battery and tyre bear.

        The drivetrain's losses brake too and are left out.
        """
        per_A = self.newton_per_A / self.efficiency
        ohm, best_N = self.ohm_at_20 * (1.0 + PER_K * 60.0), 0.0
        for step in range(1, 20001):
            ampere = self.regen_A * step / 20000.0
            watt = (per_A * ampere * km_h / 3.6 - 3.0 * ohm * ampere**2) * CONTROLLER
            if watt <= self.regen_battery_A * self.nominal_V:
                best_N = per_A * ampere
        return min(best_N, GRIP * DRIVEN * self.kg * GRAVITY) / self.kg

    def climb_current(self) -> float:
        """A rms of the phase at the top speed on the hill: what the hill takes there, weakening too."""
        speed = self.top_speed(self.grade) * (1.0 - 1e-9)
        across = self.resists(speed, self.grade) / self.newton_per_A
        drawn = self.draws(speed, across * (1.0 - 1e-7))
        assert drawn is not None
        return math.hypot(across, drawn[1])

    def minutes_to(self, degC: float, step_s: float = 0.1) -> float:
        """Winding and case in steps of a tenth of a second.

        Fitted to the ratings, all from 40 °C: the continuous current ends at the limit, the burst
        current is there after the burst time (copper at its mean temperature, the case still cold),
        winding and case together are the motor's mass at 460 J/kg·K.
        """

        def copper_W(ampere: float, winding_degC: float) -> float:
            return 3.0 * ampere**2 * self.ohm_at_20 * (1.0 + PER_K * (winding_degC - 20.0))

        rise = self.limit_degC - 40.0
        whole = rise / copper_W(self.continuous_A, self.limit_degC)
        reached = 1.0 - math.exp(-self.burst_s / self.winding_s)
        inner = rise / (copper_W(self.burst_A, 40.0 + rise / 2.0) * reached)
        outer = whole - inner
        winding_J = self.winding_s / inner
        case_J = self.motor_kg * 460.0 - winding_J
        assert outer > 0.0 and case_J > 0.0
        ampere, seconds = self.climb_current(), 0.0
        winding = case = self.air_degC
        while winding < degC:
            over_W = (winding - case) / inner
            winding += step_s * (copper_W(ampere, winding) - over_W) / winding_J
            case += step_s * (over_W - (case - self.air_degC) / outer) / case_J
            seconds += step_s
            assert seconds < 3600.0
        return seconds / 60.0
