"""A small vehicle on its stand, in plain physics of its own: what a meter or the display shows.

Nothing here is taken from gonogo. Kirchhoff for the throttle's wires and the pack, back-EMF = speed
over kv, IEC 60751 and makers' polynomials for sensors, the B equation for thermistors. What is no
law (how much current a motor takes unloaded) is a figure of the machine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

ZERO_K = 273.15
FLOATING_OHM = 100_000.0  # a controller's input pulls an unconnected signal down by this much
GROUND_LEFT_OHM = 1_000.0  # what the throttle's own circuit leaves between supply and signal


def thermistor(ohm_at_25: float, B_K: float) -> Callable[[float], float]:
    """R = R25 exp(B (1/T - 1/T25))."""
    return lambda degC: ohm_at_25 * math.exp(B_K / (degC + ZERO_K) - B_K / (25.0 + ZERO_K))


def platinum(ohm_at_0: float) -> Callable[[float], float]:
    """Callendar's polynomial above 0 °C, the coefficients of IEC 60751."""
    return lambda degC: ohm_at_0 * (1.0 + 3.9083e-3 * degC - 5.775e-7 * degC**2)


def silicon(ohm_at_25: float, per_K: float, per_K2: float) -> Callable[[float], float]:
    """The makers' polynomial of spreading-resistance sensors: R = R25 (1 + a dT + b dT^2)."""
    return lambda degC: ohm_at_25 * (1.0 + per_K * (degC - 25.0) + per_K2 * (degC - 25.0) ** 2)


SENSORS: Mapping[str, Callable[[float], float]] = {
    "kty83-110": silicon(1000.0, 7.635e-3, 1.731e-5),
    "kty84-130": silicon(603.0, 6.12e-3, 1.1e-5),
    "pt1000": platinum(1000.0),
    "ntc-10k-3950": thermistor(10_000.0, 3950.0),
}


def displayed(ohm: float, kind: str) -> float:
    """What a display set to a kind shows of a resistance: its curve turned round, by halving."""
    low, high = -40.0, 140.0
    rising = SENSORS[kind](high) > SENSORS[kind](low)
    for _ in range(60):
        middle = (low + high) / 2.0
        if (SENSORS[kind](middle) < ohm) == rising:
            low = middle
        else:
            high = middle
    return round((low + high) / 2.0)


@dataclass(frozen=True)
class Machine:
    """What is really there, whatever the profile says; faults are planted by `replace`."""

    cells: int
    cell_V: float
    pack_mohm: float
    full: bool
    kv_rpm_per_V: float
    pole_pairs: int
    phase_mohm: float
    turning_W: float  # what friction and iron take at full speed
    speed_limit_rpm: float = math.inf
    cells_a_group: int = 1  # a block of lead has six
    isolation_kohm: float = 5000.0
    supply_V: float = 5.01
    rest_share: float = 0.168  # of the supply; a hall sensor or a divider
    full_share: float = 0.84
    sticks_share: float = 0.0
    ground_is_shared: bool = False
    sensor: str = "none"
    sensor_set: str = "none"
    ambient_degC: float = 17.0
    turns: str = "forward"
    hall_wires_swapped: bool = False
    kill_switch: str = "controller_enable"
    key_switch: str = "controller_enable"
    seat_switch: str = "controller_enable"
    brake_cut: str = "cut"
    position_sensor: str = "hall"
    shows_identified: bool = True
    no_load_full: bool = True
    roll_shows: str = "none"
    charging_blocked: bool = True

    def pack_V(self, battery_A: float = 0.0) -> float:
        """Kirchhoff: cells in series, less the drop inside."""
        return self.cells * self.cell_V - battery_A * self.pack_mohm / 1000.0

    def groups_V(self) -> list[float]:
        """Each group of cells by itself, some millivolts apart as groups are."""
        groups = range(self.cells // self.cells_a_group)
        return [self.cell_V * self.cells_a_group + 0.002 * (-1) ** number for number in groups]

    def signal_V(self, share: float) -> float:
        """The wiper of a divider across the supply."""
        return self.supply_V * share

    def open_ground_V(self) -> float:
        """Without its ground the throttle is a resistor from supply to the controller's pull-down.

        A ground that the brake lever's wire still gives keeps the signal where a rider would ask it.
        """
        if self.ground_is_shared:
            return self.signal_V(0.6)
        return self.supply_V * FLOATING_OHM / (FLOATING_OHM + GROUND_LEFT_OHM)

    def no_load_rpm(self) -> float:
        """Back-EMF meets the pack; the winding's own drop is small unloaded."""
        emf_V = self.pack_V(self.no_load_A()) * 0.97
        return min(self.kv_rpm_per_V * emf_V, self.speed_limit_rpm)

    def no_load_A(self) -> float:
        """Friction's power from the pack; a swapped sensor wire costs four times as much."""
        share = min(self.speed_limit_rpm / (self.kv_rpm_per_V * self.pack_V()), 1.0)
        return self.turning_W * share / self.pack_V() * (4.0 if self.hall_wires_swapped else 1.0)

    def flux_mVs(self) -> float:
        """Peak of one phase to neutral over electrical speed: kv is rpm per volt line to line."""
        electrical = self.kv_rpm_per_V * 2.0 * math.pi / 60.0 * self.pole_pairs
        return 1000.0 / math.sqrt(3.0) / electrical

    def motor_shown(self, degC: float) -> str:
        """The display of the motor temperature, which knows no other curve than the one set."""
        return f"{displayed(SENSORS[self.sensor](degC), self.sensor_set):g}"

    def offsets(self) -> tuple[float, float]:
        """Where the sensor stands in each direction; two wires swapped turn its order round."""
        return (61.0, 181.0) if self.hall_wires_swapped else (61.0, 59.0)

    def shows(self) -> dict[str, str]:
        """Each reading as it is typed in; what the machine does not show is missing."""
        rest = self.signal_V(self.rest_share)
        stuck = self.signal_V(self.rest_share + self.sticks_share)
        shown = {
            "isolation_kohm": f"{self.isolation_kohm:g}",
            "pack_V": f"{self.pack_V():.1f}",
            "cell_groups_V": ", ".join(f"{volts:.3f}" for volts in self.groups_V()),
            "pack_state": "full" if self.full else "part",
            "throttle.supply_V": f"{self.supply_V:.2f}",
            "throttle.rest_V": f"{rest:.2f}, {stuck:.2f}",
            "throttle.full_V": f"{self.signal_V(self.full_share):.2f}",
            "throttle.open_ground_V": f"{self.open_ground_V():.2f}",
            "throttle.open_signal_V": "0.01",
            "throttle.open_supply_V": "0.01",
            "tried.lost_throttle": "cut",
            "soaked_h": "12",
            "ambient_degC": f"{self.ambient_degC:g}",
            "temperature.controller_degC": f"{self.ambient_degC + 0.5:g}",
            "tried.kill_switch": self.kill_switch,
            "tried.key_switch": self.key_switch,
            "tried.seat_switch": self.seat_switch,
            "tried.brake_cut": self.brake_cut,
            "charging_blocked": "yes" if self.charging_blocked else "no",
            "wheel_turned": self.turns,
            "noticed": "none",
        }
        if self.sensor != "none":
            shown["temperature.motor_degC"] = self.motor_shown(self.ambient_degC)
            shown["temperature.warm.reference_degC"] = "56"
            shown["temperature.warm.motor_shown_degC"] = self.motor_shown(58.0)
        shown |= self._turning() | self._identified()
        return {f"readings.{name}": value for name, value in shown.items()}

    def _turning(self) -> dict[str, str]:
        rpm, battery_A = self.no_load_rpm(), self.no_load_A()
        return {
            "no_load.throttle": "full" if self.no_load_full else "part",
            "no_load.field_weakening_A_rms": "0",
            "no_load.pack_V": f"{self.pack_V(battery_A):.1f}",
            "no_load.rpm": f"{rpm:.0f}",
            "no_load.electrical_Hz": f"{rpm / 60.0 * self.pole_pairs:.1f}",
            "no_load.battery_A": f"{battery_A:.2f}",
        }

    def _identified(self) -> dict[str, str]:
        forward, reverse = self.offsets()
        found = {
            "phase_to_neutral_mohm": f"{self.phase_mohm * 1.02:.1f}",
            "phase_inductance_uH": "none",  # this controller does not show it
            "flux_linkage_mVs": f"{self.flux_mVs():.2f}",
            "offset_forward_deg": f"{forward:g}",
            "offset_reverse_deg": f"{reverse:g}",
            "same_in_both_directions": "yes",
        }
        inputs = {
            "identification.done": "2026-11-25",
            "identification.motor_unloaded": "yes",
            "identification.wheel_off_ground": "yes",
            "identification.for.pole_pairs": f"{self.pole_pairs}",
            "identification.for.direction": "forward",
            "identification.for.position_sensor": self.position_sensor,
        }
        if not self.shows_identified:
            return inputs
        return inputs | {f"identification.found.{name}": value for name, value in found.items()}
