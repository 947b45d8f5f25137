"""The gravest rules once more, in plain arithmetic, from what the trade says and not from the rules.

Nothing of gonogo is imported. Each function below reads a profile as its YAML was read, in one mode,
and says whether its danger is there (`FOUND`), is not (`CLEAR`), or cannot be told because something
is missing (`OPEN`). `HAIR` is a value so near its limit that rounding decides.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

FOUND, CLEAR, OPEN, HAIR = "found", "clear", "open", "hair"
NOT_THERE = "none"
Outcome = str

# Where no datasheet is at hand, a careful builder charges cells of a chemistry to no more, and empties
# them to no less: volts, common practice; makers allow more of some.
FULL_V = {"nmc": 4.2, "nca": 4.2, "lfp": 3.65, "lto": 2.7}
MINIMUM_V = {"nmc": 3.0, "nca": 3.0, "lfp": 2.5, "lto": 1.8}
# IEC 60085: what each thermal class of insulation withstands, °C.
CLASS_DEGC = {"A": 105, "E": 120, "B": 130, "F": 155, "H": 180, "N": 200, "R": 220}
# What makers of sintered magnets say of their grades, °C.
GRADE_DEGC = {"N": 80, "M": 100, "H": 120, "SH": 150, "UH": 180, "EH": 200, "AH": 220}
# UN R75 and the handbooks of tyre makers: km/h of a speed symbol.
SYMBOL_KM_H = {
    "B": 50, "C": 60, "D": 65, "E": 70, "F": 80, "G": 90, "J": 100, "K": 110, "L": 120, "M": 130,
    "N": 140, "P": 150, "Q": 160, "R": 170, "S": 180, "T": 190, "U": 200, "H": 210, "V": 240, "W": 270,
    "Y": 300,
}  # fmt: skip
# Common practice, which a shop may set otherwise.
CUSTOM = {
    "throttle_clearance_min_V": 0.1,
    "throttle_clearance_max_V": 0.16,
    "throttle_ground_loss_drop_V": 0.3,
    "track_ground_loss_drop_V": 0.6,
    "supply_tolerance_percent": 3.0,
    "cell_spread_V": 0.05,
    "charger_over_percent": 0.5,
    "modulation": 0.95,
    "fuse_cable_factor": 1.25,
    "magnet_cooler_K": 20.0,
    "phase_to_battery_fixed": 2.5,
    "untold_burst_factor": 5.0,
}
COLD_MAGNETS = 1.03
WARMER_K, MAGNET_LOSS_PER_K = 40, 0.0012  # of a throttle's grip in the sun, and of its magnet
ENTRY_V = 0.01
# Amperes of the battery for one ampere rms of phase current, where the controller gives all its volts.
FULL_MODULATION = math.sqrt(1.5)


class Missing(Exception):
    """Something that the rule has to know is not said."""


class Build:
    """A profile in one of its modes; `shop` are the allowances that a house file sets."""

    def __init__(self, profile: Mapping[str, Any], mode: str, shop: Mapping[str, float]) -> None:
        self.profile = in_mode(profile, mode)
        self.custom = {**CUSTOM, **shop}

    def get(self, path: str) -> Any:
        """The value at a path, None where it is not said, `none` where it or what holds it is not there."""
        node: Any = self.profile
        for key in path.split("."):
            if node == NOT_THERE:
                return NOT_THERE
            node = node.get(key) if isinstance(node, Mapping) else None
            if node is None:
                return None
        return node

    def need(self, path: str) -> Any:
        """The same; raises Missing where it is not said."""
        value = self.get(path)
        if value is None:
            raise Missing(path)
        return value

    def rms(self, path: str) -> Any:
        """A phase current, entered as rms or as the peak of its sine."""
        peak = self.get(f"{path}_A_peak")
        if isinstance(peak, int | float):
            return peak / math.sqrt(2)
        return self.get(f"{path}_A_rms")


def in_mode(profile: Mapping[str, Any], mode: str) -> dict[str, Any]:
    """The profile with the settings of a mode laid over those of the base."""
    settings: Any = profile.get("settings", {})
    over = profile.get("modes", {}).get(mode, {}) if mode else {}
    return {**profile, "settings": laid(settings, over)}


def laid(below: Any, over: Mapping[str, Any]) -> dict[str, Any]:
    """One section over another: null removes, rms takes the place of peak, a section is laid inside."""
    new = dict(below) if isinstance(below, Mapping) else {}
    for key, value in over.items():
        for one, other in (("_rms", "_peak"), ("_peak", "_rms")):
            if key.endswith(one):
                new.pop(key.removesuffix(one) + other, None)
        if isinstance(value, Mapping):
            new[key] = laid(new.get(key, {}), value)
        elif value is None:
            new.pop(key, None)
        else:
            new[key] = value
    return new


def above(value: float, limit: float, step: float = 0.0) -> Outcome:
    """Whether a value is above its limit by more than a thousandth of the step of its entry."""
    if abs(value - limit) <= max(2e-9 * abs(limit), step / 900):
        return HAIR
    return FOUND if value > limit else CLEAR


def above_least(value: float, limits: list[float | None], step: float = 0.0) -> Outcome:
    """The same for the least of several limits; one that is not known could be lower still."""
    known = [limit for limit in limits if limit is not None]
    if not known:
        return OPEN
    outcome = above(value, min(known), step)
    return OPEN if outcome == CLEAR and len(known) < len(limits) else outcome


# The pack: whole-pack figures of one bought ready, or cells times their number.


def pack_full(b: Build) -> float:
    """Volts of the full pack."""
    return _of_cells(b, "full_V", FULL_V, max)


def pack_full_if_known(b: Build) -> float | None:
    """The same, None where it is not said."""
    try:
        return pack_full(b)
    except Missing:
        return None


def pack_minimum(b: Build) -> float:
    """Volts below which its cells are damaged."""
    return _of_cells(b, "minimum_V", MINIMUM_V, max)


def _of_cells(
    b: Build, key: str, usual: Mapping[str, float], pick: Callable[[float, float], float]
) -> float:
    whole = b.get(f"pack.{key}")
    cell = b.get(f"pack.cell.{key}")
    series = b.get("pack.series")
    if cell is None and whole is None:
        cell = usual.get(b.get("pack.cell.chemistry"))
    worked = series * cell if series is not None and cell is not None else None
    if whole is None and worked is None:
        raise Missing(key)
    if whole is None or worked is None:
        return worked if whole is None else whole
    return pick(whole, worked)


def cells_current(b: Build, key: str) -> float | None:
    """Amperes that all cells side by side give or take; the lower of that and the pack's own figure."""
    whole, cell, parallel = b.get(f"pack.{key}"), b.get(f"pack.cell.{key}"), b.get("pack.parallel")
    figures = [whole] if whole is not None else []
    if cell is not None and parallel is not None:
        figures.append(cell * parallel)
    return min(figures) if figures else None


# The throttle: what starts by itself, or does not stop.


def rests(b: Build) -> list[float] | None:
    """Volts with the throttle released, each time it was read."""
    rest = b.get("readings.throttle.rest_V")
    return rest if isinstance(rest, list) or rest is None else [rest]


def falls(b: Build) -> bool:
    """Whether opening lowers the signal: by the readings, before there are any by the settings.

    Nearly all throttles rise, and one of which nothing is said is taken for such a one.
    """
    rest, full = rests(b), b.get("readings.throttle.full_V")
    if rest is not None and full is not None:
        return bool(full < max(rest))
    start, full = b.get("settings.throttle.start_V"), b.get("settings.throttle.full_V")
    if NOT_THERE in (start, full) or None in (start, full):
        return False
    return bool(full < start)


def all_wires_pulled(b: Build) -> bool:
    """With each wire pulled in turn nothing has to be assumed any more."""
    wires = ("ground", "signal", "supply")
    return all(b.get(f"readings.throttle.open_{wire}_V") is not None for wire in wires)


def throttle_start_near_rest(b: Build) -> Outcome:
    """It starts at or before a rest reading, or with less than half of the clearance that it needs.

    It needs what the releases scatter, what a hall sensor's magnet loses in the sun, and an entry step.
    """
    start = b.need("settings.throttle.start_V")
    if start == NOT_THERE:
        return CLEAR
    rest, inverted = rests(b), falls(b)
    if rest is None:
        raise Missing("a reading")
    kind, supply = b.get("throttle.kind"), b.get("throttle.supply_V")
    needed = 0.0
    if kind in ("hall", "dual_hall") and supply is not None:
        drift = WARMER_K * MAGNET_LOSS_PER_K * abs(supply / 2 - max(rest))
        needed = max(rest) - min(rest) + drift + ENTRY_V
    least, most = b.custom["throttle_clearance_min_V"], b.custom["throttle_clearance_max_V"]
    clearance = min(rest) - start if inverted else start - max(rest)
    return above(max(least, min(most, needed)) / 2, clearance, ENTRY_V)


def throttle_full_not_past_start(b: Build) -> Outcome:
    """Full power is reached as soon as it starts, or before."""
    full, start = b.need("settings.throttle.full_V"), b.need("settings.throttle.start_V")
    inverted = falls(b)
    if full == NOT_THERE:
        return CLEAR
    span = start - full if inverted else full - start
    return HAIR if abs(span) <= 2e-9 else FOUND if span < 0 else CLEAR


def throttle_limit_missing(b: Build) -> Outcome:
    """No limit beyond full throttle is set: a hall throttle without its ground sends its signal there."""
    if all_wires_pulled(b) or b.need("settings.throttle") == NOT_THERE:
        return CLEAR
    limit = b.get(f"settings.throttle.lost_{'below' if falls(b) else 'above'}_V")
    return FOUND if limit in (None, NOT_THERE) else CLEAR


def throttle_limit_near_supply(b: Build) -> Outcome:
    """The upper limit is so near the supply that a lost ground passes below it."""
    limit = b.get("settings.throttle.lost_above_V")
    if limit in (None, NOT_THERE) or falls(b) or all_wires_pulled(b):
        return CLEAR
    supply = b.get("readings.throttle.supply_V")
    if supply is None:
        supply = b.need("throttle.supply_V") * (1 - b.custom["supply_tolerance_percent"] / 100)
    kind = b.need("throttle.kind")
    drop = "track_ground_loss_drop_V" if kind == "potentiometer" else "throttle_ground_loss_drop_V"
    return above(limit, supply - b.custom[drop], ENTRY_V)


def open_ground_not_detected(b: Build) -> Outcome:
    """With its ground wire pulled the signal drives, and lies within the limits as that of a hand does."""
    start = b.get("settings.throttle.start_V")
    if start == NOT_THERE:
        return CLEAR
    reading, start = b.need("readings.throttle.open_ground_V"), b.need("settings.throttle.start_V")
    beyond = [reading - start if falls(b) else start - reading]
    for end, sign in (("below", 1), ("above", -1)):
        limit = b.get(f"settings.throttle.lost_{end}_V")
        if limit not in (None, NOT_THERE):
            beyond.append(sign * (limit - reading))
    return HAIR if abs(max(beyond)) <= 2e-9 else FOUND if max(beyond) < 0 else CLEAR


def open_at_power_on(b: Build) -> Outcome:
    """It drives off where it is switched on with the throttle open."""
    return FOUND if b.need("throttle.open_at_power_on") == "allowed" else CLEAR


def wheel_turned_backward(b: Build) -> Outcome:
    """Opened slightly, it drove the wrong way."""
    return FOUND if b.need("readings.wheel_turned") == "backward" else CLEAR


def kill_switch_opens_nothing(b: Build) -> Outcome:
    """The kill switch opens nothing but a contactor that is not fitted."""
    opens = b.need("wiring.kill_switch.opens")
    if "contactor" not in opens:
        return CLEAR
    nothing = b.need("wiring.contactor") == NOT_THERE and "controller_enable" not in opens
    return FOUND if nothing else CLEAR


# The pack: what empties, overcharges or overloads it.


def cutoff_below_cells(b: Build) -> Outcome:
    """Driving stops only after the cells are below their minimum."""
    return above(pack_minimum(b), b.need("settings.low_voltage.cutoff_V"), 0.1)


def battery_current_above_cells(b: Build) -> Outcome:
    """More battery current than the cells give continuously."""
    return above_least(
        b.need("settings.battery_current_A"), [cells_current(b, "continuous_A")], 1.0
    )


def regen_on(b: Build) -> bool | None:
    """Whether braking charges; with either of its limits at 0 it does not."""
    phase, battery = (
        b.rms("settings.regen.phase_current"),
        b.get("settings.regen.battery_current_A"),
    )
    if NOT_THERE in (phase, battery) or 0 in (phase, battery):
        return False
    return None if phase is None and battery is None else True


def in_use(on: bool | None, outcome: Outcome) -> Outcome:
    """What is asked about something that may be off is open."""
    return OPEN if on is None else outcome


def regen_above_charge(b: Build) -> Outcome:
    """Braking charges faster than the cells take in, or the BMS where it is in the way."""
    on = regen_on(b)
    if on is False:
        return CLEAR
    limits = [cells_current(b, "charge_A")]
    if b.get("pack.bms") != NOT_THERE and b.get("pack.bms.port") != "separate":
        limits.append(b.get("pack.bms.charge_A"))
    current, phase = (
        b.get("settings.regen.battery_current_A"),
        b.rms("settings.regen.phase_current"),
    )
    if current is not None:
        return in_use(on, above_least(current, limits, 1.0))
    if phase is None:
        raise Missing("settings.regen.battery_current_A")
    outcome = above_least(FULL_MODULATION * phase, limits, 1.0)
    return OPEN if outcome == FOUND else outcome


def regen_stop_above_pack(b: Build) -> Outcome:
    """Braking still charges a pack that is full, or one whose BMS is about to switch off."""
    on = regen_on(b)
    if on is False:
        return CLEAR
    stop = b.need("settings.regen.stop_V")
    limits: list[float | None] = [pack_full_if_known(b)]
    if b.get("pack.bms") != NOT_THERE:
        high, series = b.get("pack.bms.cell_high_V"), b.get("pack.series")
        known = high is not None and series is not None
        limits.append(series * (high - b.custom["cell_spread_V"]) if known else None)
    return in_use(on, above_least(stop, limits, 0.1))


def charger_above_full(b: Build) -> Outcome:
    """The charger goes on after the cells are full."""
    volts = b.need("pack.charger.voltage_V")
    if volts == NOT_THERE:
        return CLEAR
    return above(volts, pack_full(b) * (1 + b.custom["charger_over_percent"] / 100), 0.1)


def charger_current_above_pack(b: Build) -> Outcome:
    """The charger charges faster than the cells or their BMS take in."""
    amperes = b.need("pack.charger.current_A")
    if amperes == NOT_THERE:
        return CLEAR
    limits = [cells_current(b, "charge_A")]
    if b.get("pack.bms") != NOT_THERE:
        limits.append(b.get("pack.bms.charge_A"))
    return above_least(amperes, limits, 0.1)


def cutoff_below_bms(b: Build) -> Outcome:
    """The BMS lets go of the pack, and the drive of its rider, before the controller has eased off."""
    low = b.need("pack.bms.cell_low_V")
    if low == NOT_THERE:
        return CLEAR
    lower, cutoff = b.need("pack.series") * low, b.need("settings.low_voltage.cutoff_V")
    return above(lower, cutoff, 0.1)


# The controller and the motor.


def pack_above_controller(b: Build) -> Outcome:
    """The full pack has more volts than the controller's transistors withstand."""
    return above(pack_full(b), b.need("controller.max_V"), 0.1)


def battery_current_above_controller(b: Build) -> Outcome:
    """More battery current than the controller is rated for."""
    return above(b.need("settings.battery_current_A"), b.need("controller.battery_current_A"), 1.0)


def phase_current_above_controller(b: Build) -> Outcome:
    """More phase current than the controller is rated for."""
    limit, rating = b.rms("settings.phase_current"), b.rms("controller.phase_current")
    if limit == NOT_THERE:
        return CLEAR
    if limit is None or rating is None:
        raise Missing("a phase current")
    return above(limit, rating, 1.0)


def phase_current_above_motor(b: Build) -> Outcome:
    """More phase current than the winding stands for seconds, or than twice what it stands for ever.

    The controller gives no more than its rating; one without such a setting a multiple of what it
    takes from the battery.
    """
    bearable = b.rms("motor.phase_current_burst")
    if bearable is None:
        steady = b.rms("motor.phase_current")
        if steady is None:
            raise Missing("the motor's current")
        bearable = b.custom["untold_burst_factor"] * steady
    setting, rating = b.rms("settings.phase_current"), b.rms("controller.phase_current")
    exact = True
    if setting == NOT_THERE:
        current = rating
        if rating is None:
            current = b.custom["phase_to_battery_fixed"] * b.need("controller.battery_current_A")
            exact = False
    else:
        known = [one for one in (setting, rating) if one is not None]
        if not known:
            raise Missing("a phase current")
        current, exact = min(known), len(known) == 2
    outcome = above(current, bearable, 1.0)
    return OPEN if outcome == FOUND and not exact else outcome


def top_rpm(b: Build) -> tuple[float, bool]:
    """The rotor's highest speed under power, and whether it is surely reached.

    Without field weakening that is what the full pack's volts reach, or a lower limit.
    """
    weak = b.rms("settings.field_weakening")
    limit, kv, full = b.get("settings.max_rpm"), b.get("motor.kv_rpm_per_V"), pack_full_if_known(b)
    if weak is not None and weak > 0:
        return float(b.need("settings.max_rpm")), True
    if weak is None or kv is None or full is None:
        return float(b.need("settings.max_rpm")), False
    reached = b.custom["modulation"] * kv * full
    return float(reached if limit is None else min(limit, reached)), True


def at_speed(value: float, limit: float, sure: bool, step: float = 0.0) -> Outcome:
    """Whether what the top speed comes to is above its limit; if less is reached, it may not be."""
    outcome = above(value, limit, step)
    return OPEN if outcome == FOUND and not sure else outcome


def back_emf_above_controller(b: Build) -> Outcome:
    """If the controller lets go at its speed limit, cold magnets push more volts than it withstands.

    Without field weakening the speed stays below what the pack's volts reach, and so does the back-EMF.
    """
    if b.rms("settings.field_weakening") == 0:
        return CLEAR
    if b.rms("settings.field_weakening") is None:
        raise Missing("settings.field_weakening")
    rpm = b.need("settings.max_rpm")
    return above(
        rpm, b.need("controller.max_V") * b.need("motor.kv_rpm_per_V") / COLD_MAGNETS, 10.0
    )


def motor_stop_above_insulation(b: Build) -> Outcome:
    """It stops only after the winding's insulation is beyond its class."""
    stop = b.need("settings.temperature.motor.stop_degC")
    if stop == NOT_THERE:
        return CLEAR
    return above(stop, CLASS_DEGC[b.need("motor.insulation_class")], 1.0)


def motor_stop_above_magnets(b: Build) -> Outcome:
    """It stops only after the magnets, a little cooler than the winding, lose their strength for good."""
    stop = b.need("settings.temperature.motor.stop_degC")
    if stop == NOT_THERE:
        return CLEAR
    return above(stop, GRADE_DEGC[b.need("motor.magnet_grade")] + b.custom["magnet_cooler_K"], 1.0)


def electrical_speed_above_controller(b: Build) -> Outcome:
    """The controller cannot keep up with the rotor's magnets, and loses hold of it at speed."""
    rpm, sure = top_rpm(b)
    pairs = b.need("settings.pole_pairs")
    return at_speed(rpm * pairs, b.need("controller.max_electrical_rpm"), sure)


def speed_above_rotor(b: Build) -> Outcome:
    """The rotor turns faster than its magnets and bearings hold."""
    rpm, sure = top_rpm(b)
    return at_speed(rpm, b.need("motor.max_rpm"), sure, 10.0)


def reduction(b: Build) -> float:
    """Rotor turns for one turn of the wheel: given, or by the teeth and the gear inside the motor.

    Most motors have none, and one that is not told of is left out: the wheel is then only slower.
    """
    if (ratio := b.get("drivetrain.ratio")) is not None:
        return float(ratio)
    whole = float(b.get("motor.internal_ratio") or 1)
    for stage in b.need("drivetrain.stages"):
        whole *= stage["driven_teeth"] / stage["driving_teeth"]
    return whole


def speed_above_tyre(b: Build) -> Outcome:
    """The wheel turns faster than its tyre is made for."""
    symbol = b.need("drivetrain.tyre_speed_symbol")
    if symbol == NOT_THERE:
        return CLEAR
    rpm, sure = top_rpm(b)
    metres = b.need("drivetrain.circumference_mm") / 1000
    km_h = rpm / reduction(b) * metres * 60 / 1000
    return at_speed(km_h, SYMBOL_KM_H[symbol], sure)


# The wiring: what burns before anything opens.


def fuse_above_cable(b: Build) -> Outcome:
    """The cable burns before its fuse opens."""
    rated = b.need("wiring.fuse.rated_A")
    if rated == NOT_THERE:
        return CLEAR
    carries = b.need("wiring.battery_cable_A")
    return above(rated, b.custom["fuse_cable_factor"] * carries, 1.0)


def fuse_below_pack(b: Build) -> Outcome:
    """The fuse goes on burning at more volts than it can break."""
    rated = b.need("wiring.fuse.rated_V")
    return CLEAR if rated == NOT_THERE else above(pack_full(b), rated, 1.0)


GRAVEST: Mapping[str, Callable[[Build], Outcome]] = {
    "throttle-start-near-rest": throttle_start_near_rest,
    "throttle-full-not-past-start": throttle_full_not_past_start,
    "throttle-signal-fault-limit-missing": throttle_limit_missing,
    "throttle-upper-fault-limit-near-supply": throttle_limit_near_supply,
    "throttle-open-ground-not-detected": open_ground_not_detected,
    "throttle-open-at-power-on": open_at_power_on,
    "wheel-turned-backward": wheel_turned_backward,
    "kill-switch-opens-nothing": kill_switch_opens_nothing,
    "low-voltage-cutoff-below-cells": cutoff_below_cells,
    "battery-current-above-cells": battery_current_above_cells,
    "regen-above-pack-charge": regen_above_charge,
    "regen-stop-above-pack": regen_stop_above_pack,
    "charger-voltage-above-full": charger_above_full,
    "charger-current-above-pack": charger_current_above_pack,
    "low-voltage-cutoff-below-bms": cutoff_below_bms,
    "pack-full-above-controller": pack_above_controller,
    "battery-current-above-controller": battery_current_above_controller,
    "phase-current-above-controller": phase_current_above_controller,
    "phase-current-above-motor-burst": phase_current_above_motor,
    "back-emf-above-controller": back_emf_above_controller,
    "motor-stop-above-insulation": motor_stop_above_insulation,
    "motor-stop-above-magnets": motor_stop_above_magnets,
    "electrical-speed-above-controller": electrical_speed_above_controller,
    "speed-above-rotor": speed_above_rotor,
    "speed-above-tyre": speed_above_tyre,
    "fuse-above-cable": fuse_above_cable,
    "fuse-voltage-below-pack": fuse_below_pack,
}


def restated(
    profile: Mapping[str, Any], mode: str, shop: Mapping[str, float]
) -> dict[str, Outcome]:
    """Every rule's outcome for a profile in a mode, `""` for its base settings."""
    build = Build(profile, mode, shop)
    outcomes = {}
    for name, rule in GRAVEST.items():
        try:
            outcomes[name] = rule(build)
        except Missing:
            outcomes[name] = OPEN
    return outcomes
