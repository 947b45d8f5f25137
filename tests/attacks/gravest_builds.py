"""Builds by chance for the gravest rules: about half of all settings lie close to one of their limits."""

from __future__ import annotations

from random import Random
from typing import Any

# By chemistry: full, nominal and minimum volts of a cell.
CELLS = {
    "nmc": (4.2, 3.6, 2.8),
    "lfp": (3.65, 3.2, 2.5),
    "lto": (2.8, 2.3, 1.8),
    "nca": (4.2, 3.6, 2.5),
}
# Allowances that a shop may set, with the ends of their range.
SHOP = {
    "throttle_clearance_min_V": (0.06, 0.3),
    "throttle_ground_loss_drop_V": (0.2, 1.0),
    "cell_spread_V": (0.02, 0.3),
    "charger_over_percent": (0.1, 1.0),
    "throttle_open_wire_gap_V": (0.02, 0.2),
}
ROOT2 = 2**0.5
Section = dict[str, Any]


def build(chance: Random) -> tuple[Section, dict[str, float]]:
    """A profile, and what its shop sets otherwise."""
    profile = _vehicle(chance)
    profile["settings"] = _settings(chance, profile)
    profile["readings"] = _readings(chance, profile)
    if chance.random() < 0.3:
        profile["modes"] = {"brisk": _mode(chance, profile)}
    _forget(chance, profile, 0.35 if chance.random() < 0.1 else 0.03)
    profile.setdefault("vehicle", {})["name"] = "Chance"
    shop = {}
    if chance.random() < 0.25:
        low, high = SHOP[name := chance.choice(sorted(SHOP))]
        shop[name] = round(chance.uniform(low, high), 3)
    return {"gonogo": "profile/1", **profile}, shop


def near(chance: Random, limit: float, low: float, high: float, digits: int = 1) -> float:
    """A value: half of the time close to a limit, else anywhere about it, seldom anywhere at all."""
    drawn = chance.random()
    if drawn < 0.5:
        value = limit * (1 + chance.choice((-1, 1)) * 10 ** chance.uniform(-4, -1.3))
    elif drawn < 0.97:
        value = limit * chance.uniform(0.4, 1.7)
    else:
        value = chance.uniform(low, high)
    return min(max(round(value, digits if chance.random() < 0.7 else 6), low), high)


def _current(chance: Random, name: str, rms: float, low: float) -> Section:
    """A phase current, as rms or as the peak of its sine."""
    if chance.random() < 0.5:
        return {f"{name}_A_rms": max(rms, low)}
    return {f"{name}_A_peak": max(round(rms * ROOT2, 6), low)}


def _vehicle(chance: Random) -> Section:
    chemistry = chance.choice(sorted(CELLS))
    full, nominal, minimum = CELLS[chemistry]
    series, parallel = chance.randint(6, 26), chance.randint(1, 14)
    cell = {
        "chemistry": chemistry,
        "full_V": round(full + chance.uniform(-0.1, 0.1), 2),
        "nominal_V": nominal,
        "minimum_V": round(minimum + chance.uniform(-0.1, 0.2), 2),
        "continuous_A": round(chance.uniform(3, 30), 1),
        "charge_A": round(chance.uniform(1, 12), 1),
        "capacity_Ah": round(chance.uniform(2, 30), 1),
    }
    pack: Section = {"series": series, "parallel": parallel, "cell": cell}
    for key, factor in (("continuous_A", parallel), ("charge_A", parallel), ("minimum_V", series)):
        if chance.random() < 0.15:
            pack[key] = round(near(chance, cell[key] * factor, 2, 240, 1), 3)
    if chance.random() < 0.15:
        pack["full_V"] = round(series * cell["full_V"], 3)
    pack["bms"] = _bms(chance, series, parallel, cell)
    if "full_V" in pack and chance.random() < 0.5:
        del cell["full_V"]
    volts = series * full
    pack["charger"] = {
        "voltage_V": near(chance, volts * 1.005, 1, 250),
        "current_A": near(chance, cell["charge_A"] * parallel, 0.1, 1000),
    }
    if chance.random() < 0.05:
        pack["charger"] = "none"
    amperes = cell["continuous_A"] * parallel
    cable = round(chance.uniform(30, 300), 0)
    fuse: Any = {
        "rated_A": near(chance, 1.25 * cable, 1, 3000, 0),
        "rated_V": near(chance, volts, 1, 2000, 0),
        "breaking_A": 5000,
    }
    rotor = round(chance.uniform(300, 9000), 0)
    motor = {
        "kv_rpm_per_V": min(round(rotor / volts * chance.uniform(0.5, 2), 2), 1000),
        **_current(chance, "phase_current", round(chance.uniform(20, 200), 0), 1),
        **_current(chance, "phase_current_burst", round(chance.uniform(50, 600), 0), 1),
        "max_rpm": max(rotor, 10),
        "insulation_class": chance.choice("AEBFHNR"),
        "magnet_grade": chance.choice(("N", "M", "H", "SH", "UH", "EH", "AH")),
        "one_way_clutch": chance.random() < 0.1,
        "temperature_sensor": "kty84-130",
        "internal_ratio": chance.choice((1, 1, 5)),
    }
    return {
        "vehicle": {"use": chance.choice(("street", "off_road", "private_land"))},
        "pack": pack,
        "wiring": {
            "battery_cable_A": cable,
            "fuse": "none" if chance.random() < 0.05 else fuse,
            "contactor": chance.choice(("none", {"rated_A": 200, "rated_V": 200})),
            "kill_switch": chance.choice(
                (
                    "none",
                    {"opens": "contactor"},
                    {"opens": "controller_enable"},
                    {"opens": ["controller_enable", "contactor"]},
                )
            ),
        },
        "controller": {
            "max_V": near(chance, volts, 1, 400),
            "min_V": 10,
            "battery_current_A": near(chance, amperes, 1, 2000),
            **_current(chance, "phase_current", round(chance.uniform(50, 600), 0), 1),
            "max_electrical_rpm": round(rotor * chance.uniform(3, 30), 0),
        },
        "motor": motor,
        "throttle": {
            "kind": chance.choice(("hall", "hall", "dual_hall", "potentiometer")),
            "supply_V": 5.0,
            "brake_cut": chance.random() < 0.8,
            "open_at_power_on": chance.choice(("refused", "allowed")),
        },
        "drivetrain": {
            **_reduction(chance),
            "circumference_mm": round(chance.uniform(700, 2300), 0),
            "tyre_speed_symbol": chance.choice([*"BCDEFGJKLM", "none"]),
        },
    }  # fmt: skip


def _reduction(chance: Random) -> Section:
    """A ratio, or the teeth of one or two stages."""
    if chance.random() < 0.5:
        return {"ratio": round(chance.uniform(1, 12), 2)}
    teeth = [(chance.randint(9, 30), chance.randint(20, 90)) for _ in range(chance.choice((1, 2)))]
    return {"stages": [{"driving_teeth": one, "driven_teeth": other} for one, other in teeth]}


def _bms(chance: Random, series: int, parallel: int, cell: Section) -> Any:
    if chance.random() < 0.12:
        return "none"
    return {
        "continuous_A": round(chance.uniform(20, 300), 0),
        "charge_A": near(chance, cell["charge_A"] * parallel, 0.1, 5000),
        "cell_low_V": round(cell["minimum_V"] + chance.uniform(-0.2, 0.2), 2),
        "cell_high_V": round(cell["full_V"] + chance.uniform(-0.05, 0.12), 3),
        "port": chance.choice(("common", "common", "separate")),
    }


def _settings(chance: Random, made: Section) -> Section:
    pack, motor, controller = made["pack"], made["motor"], made["controller"]
    series, cell = pack["series"], pack["cell"]
    full = pack.get("full_V", series * cell.get("full_V", 4.2))
    amperes = cell["continuous_A"] * pack["parallel"]
    phase = chance.choice((_rms(controller, "phase_current"), _rms(motor, "phase_current_burst")))
    weak = chance.choice((0, 0, 40))
    start = round(chance.uniform(0.7, 1.4), 2)
    rpm = chance.choice(
        (
            motor["max_rpm"],
            controller["max_V"] * motor["kv_rpm_per_V"] / 1.03,
            0.95 * motor["kv_rpm_per_V"] * full,
        )
    )
    settings: Section = {
        "pole_pairs": chance.randint(2, 30),
        "battery_current_A": near(
            chance, chance.choice((amperes, controller["battery_current_A"])), 1, 2000
        ),
        **_current(chance, "phase_current", near(chance, phase, 1, 3000), 1),
        "low_voltage": {"cutoff_V": near(chance, series * cell["minimum_V"], 1, 250)},
        "throttle": {
            "start_V": start,
            "full_V": near(chance, chance.choice((start, 3.9, 3.9, 3.9)), 0, 15, 2),
            "lost_below_V": chance.choice(("none", 0.3, 0.5)),
            "lost_above_V": "none" if chance.random() < 0.15 else near(chance, 4.6, 0, 15, 2),
        },
        "regen": {
            "battery_current_A": near(chance, cell["charge_A"] * pack["parallel"], 0, 2000),
            **_current(chance, "phase_current", chance.choice((0, 60, 60, 60)), 0),
            "stop_V": near(chance, full, 1, 250),
        },
        **_current(chance, "field_weakening", weak, 0),
        "max_rpm": near(chance, rpm, 10, 30000, 0),
        "temperature": {
            "motor": {
                "sensor": "kty84-130",
                "stop_degC": near(chance, chance.choice((105, 120, 130, 155, 180, 200)), 0, 250, 0),
            }
        },
    }  # fmt: skip
    if chance.random() < 0.04:
        del settings["throttle"]
    for section, share in (("regen", 0.1), ("throttle", 0.04), ("phase", 0.05)):
        if chance.random() < share:
            if section == "phase":
                settings.pop("phase_current_A_peak", None)
                section = "phase_current_A_rms"
            settings[section] = "none"
    if chance.random() < 0.05:
        settings["temperature"]["motor"] = "none"
    return settings


def _rms(section: Section, name: str) -> float:
    peak = section.get(f"{name}_A_peak")
    return peak / ROOT2 if peak is not None else section[f"{name}_A_rms"]


def _readings(chance: Random, made: Section) -> Section:
    throttle = made["settings"].get("throttle")
    start = throttle["start_V"] if isinstance(throttle, dict) else 1.0
    limit = throttle["lost_above_V"] if isinstance(throttle, dict) else 4.6
    about = 4.6 if limit == "none" else limit
    rest = near(chance, start - 0.05, 0, 15, 2)
    wires = {
        "open_ground_V": near(chance, about + 0.05, 0, 15, 2),
        "open_signal_V": 0.02,
        "open_supply_V": 0.02,
    }
    if chance.random() < 0.35:
        del wires[chance.choice(sorted(wires))]
    supply = {"supply_V": round(chance.uniform(4.7, 5.2), 2)} if chance.random() < 0.8 else {}
    return {
        "throttle": {
            **supply,
            "rest_V": rest if chance.random() < 0.5 else [rest, round(max(rest - 0.02, 0), 2)],
            "full_V": 4.2,
            **wires,
        },
        "wheel_turned": chance.choice(("forward", "backward")),
    }


def _mode(chance: Random, made: Section) -> Section:
    """What a mode lays over: settings drawn anew, some taken away, braking turned off."""
    other = _settings(chance, made)
    mode: Section = {}
    for key in ("battery_current_A", "max_rpm"):
        if chance.random() < 0.5:
            mode[key] = None if chance.random() < 0.1 else other[key]
    for name in ("phase_current", "field_weakening"):
        given = {key: value for key, value in other.items() if key.startswith(name)}
        if chance.random() < 0.5 and "none" not in given.values():
            mode |= given
    if chance.random() < 0.5:
        regen = other["regen"]
        mode["regen"] = (
            {key: value for key, value in regen.items() if key != "stop_V"}
            if isinstance(regen, dict)
            else chance.choice(("none", None))
        )
    return mode


def _forget(chance: Random, node: Section, share: float) -> None:
    """Leave entries out, whole sections too."""
    for key in list(node):
        if key != "modes" and chance.random() < share * (0.3 if isinstance(node[key], dict) else 1):
            del node[key]
        elif isinstance(node[key], dict) and key != "modes":
            _forget(chance, node[key], share)
