"""More than fifty mistakes of somebody who types a first profile, each with its place and its answer.

Every answer was read aloud and asked: does it say what to do?
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.error import DocumentErrors
from gonogo.documents.key_suggestions import of_key
from gonogo.documents.loading import load
from gonogo.documents.number_slips import of_number
from gonogo.documents.schema import Property, SchemaSection, outline, properties
from gonogo.documents.spelling import plain_word, slip_for, spelt_out
from gonogo.documents.units import UNITS, unit_of_key
from gonogo.documents.value_units import WITHOUT

HERE = Path(__file__).parent
LEFT_MARK, RIGHT_MARK = "\N{LEFT DOUBLE QUOTATION MARK}", "\N{RIGHT DOUBLE QUOTATION MARK}"
Expect = Callable[[str, str], None]
# What stands in the first profile of the README, and what was typed instead.
MISTAKES = (
    # Words of the trade for what we call otherwise.
    ("chemistry: lfp", "chemistry: li-ion"),
    ("chemistry: lfp", "chemistry: LiFePO4"),
    ("chemistry: lfp", "chemistry: ncm"),
    ("chemistry: lfp", "chemistry: NMC811"),
    ("chemistry: lfp", "chemistry: flooded lead acid"),
    ("use: private_land", "use: road"),
    ("use: private_land", "use: track"),
    ("brakes: [disc, disc, parking]", "brakes: [disc, electric, parking]"),
    ("brakes: [disc, disc, parking]", "brakes: [spring-applied, parking]"),
    ("current_A: 10}", "current_A: 10, regulates: CC/CV}"),
    ("current_A: 10}", "current_A: 10, where: garage}"),
    ("cell_low_V: 2.5}", "cell_low_V: 2.5, port: shared}"),
    ("open_at_power_on: refused", "open_at_power_on: false"),
    ("open_at_power_on: refused", "open_at_power_on: refused, rest_position: centre"),
    ("open_at_power_on: refused", "open_at_power_on: refused, link_lost: brakes"),
    ("kill_switch: {opens: controller_enable}", "kill_switch: {opens: ignition}"),
    ("wheel_turned: forward", "wheel_turned: ok"),
    ("in_wheel: false", "in_wheel: false, insulation_class: 155"),
    ("max_rpm: 3000", "max_erpm: 24000"),
    ("max_V: 65", "max_V: 65, max_erpm: 60000"),
    ("kv_rpm_per_V: 70", "kt_Nm_per_A: 0.12"),
    ("battery_cable_mm2: 25", "battery_cable_mm: 25"),
    ("direction: forward", "direction: clockwise"),
    ("sensor: ntc-10k-3950, taper", "sensor: ntc10k, taper"),
    ("throttle: {kind: hall", "throttle: {type: hall"),
    ("magnets: 16", "magnets: 16, phase_resistance: 40"),
    ("magnets: 16", "poles: 16"),
    ("magnets: 16", "magnets: [16, 18]"),
    ("  series: 15\n  parallel: 6", "\u00a0\u00a0series: 15\n\u00a0\u00a0parallel: 6"),
    ("  pole_pairs: 8\n  pack", "  poles: 16\n  pack"),
    ("series: 15", "type: li-ion"),
    ("magnets: 16", "magnets: 16, power: 4000"),
    ("battery_current_A: 75", "current_limit: 75"),
    ("mass_kg: 95", "colour: red"),
    ("connector_A: 90", "connector: xt90"),
    ("connector_A: 90", "connector_A: XT90"),
    ("ratio: 9", "gear_ratio: 9"),
    ("pack_nominal_V: 48", "voltage: 48"),
    ("fuse: {rated_A: 100", "fuse: {A: 100"),
    # Units.
    ("battery_cable_mm2: 25", "battery_cable_gauge: 4"),
    ("battery_cable_mm2: 25", "battery_cable_mm2: 4 AWG"),
    ("battery_cable_mm2: 25", "battery_cable_mm2: 2/0 AWG"),
    ("battery_cable_mm2: 25", "battery_cable_awg: 5/0"),
    ("battery_cable_mm2: 25", "battery_cable_awg: 4.5"),
    ("battery_cable_mm2: 25", "battery_cable_awg: 25 mm2"),
    ("battery_cable_mm2: 25", "battery_cable_awg: 2/0 AWG"),
    ("battery_cable_mm2: 25", "battery_cable_mm2: 25\n  battery_cable_awg: 4"),
    ("battery_cable_m: 0.9", "battery_cable_in: 35"),
    ("mass_kg: 95", "weight_lbs: 210"),
    ("mass_kg: 95", "mass: 95"),
    ("mass_kg: 95", "weight: 210"),
    ("mass_kg: 95", "mass_kg: 210 lbs"),
    ("circumference_mm: 1290", "circumference_inches: 50.8"),
    ("max_downhill_km_h: 30", "max_downhill_MPH: 20"),
    ("motor_degC: 17", "motor_F: 62.6"),
    ("phase_current_A_rms: 180", "phase_current_A: 180"),
    ("capacity_Ah: 6", "capacity_mAh: 6000"),
    ("battery_current_A: 75", "battery_current: 75"),
    ("battery_current_A: 75", "battery_current_A: 75 A"),
    ("resistance_mohm: 15", "resistance_mohm: 15m"),
    ("resistance_mohm: 15", "resistance_mohm: 0.015 ohm"),
    ("resistance_mohm: 15", "resistance_mohm: 0.015 \N{GREEK CAPITAL LETTER OMEGA}"),
    ("resistance_mohm: 15", "resistance_mohm: 15 M\N{GREEK CAPITAL LETTER OMEGA}"),
    ("resistance_mohm: 15", "resistance_mohm: 1k"),
    ("battery_cable_m: 0.9", "battery_cable_m: 80 cm"),
    ("battery_cable_m: 0.9", "battery_cable_m: 900 mm"),
    ("battery_cable_m: 0.9", "battery_cable_m: 3'"),
    ("battery_cable_m: 0.9", 'battery_cable_m: 35"'),
    ("circumference_mm: 1290", "circumference_mm: 1.29 m"),
    ("circumference_mm: 1290", "circumference_mm: 1290 MM"),
    ("breaking_A: 4000", "breaking_A: 4kA"),
    ("breaking_A: 4000", "breaking_A: 4,000 A"),
    ("capacity_Ah: 6", "capacity_Ah: 6000 mAh"),
    ("capacity_Ah: 6", "capacity_Ah: 300 Wh"),
    ("full_V: 3.65", "full_V: 3650 mV"),
    ("full_V: 3.65", "full_V: 3,65 V"),
    ("charge_A: 6", "charge_A: 0.5C"),
    ("magnets: 16", "magnets: 16, rated_power_W: 1.5 kW"),
    ("max_V: 65", "max_V: 65, input_capacitance_uF: 2 mF"),
    ("full_V: 4.0", "full_V: 4.0, ramp_ms: 0.3 s"),
    ("full_V: 4.0", "full_V: 4.0, ramp_ms: 200 us"),
    ("max_rpm: 3000", "max_rpm: 4.2k"),
    ("max_rpm: 3000", "max_rpm: 4k2"),
    ("max_rpm: 3000", "max_rpm: 905 Hz"),
    ("max_rpm: 3000", "max_rpm: 70 km/h"),
    ("kv_rpm_per_V: 70", "kv_rpm_per_V: 70 rpm/V"),
    ("max_downhill_km_h: 30", "max_downhill_km_h: 9 m/s"),
    ("motor_degC: 17", "motor_degC: 290 K"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: 255 A peak"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: 255Apk"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: 255 peak"),
    ("  phase_current_A_rms: 180", "  phase_current_A_peak: 180 A rms"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: 180 Arms"),
    ("battery_current_A: 75", "battery_current_A: 150 peak"),
    ("battery_current_A: 75", "battery_current_A: 75 A continuous"),
    ("battery_current_A: 75", "battery_current_A: 150 A peak for 10 s"),
    ("battery_current_A: 75", "battery_current_A: 75 ADC"),
    ("battery_current_A: 75", "battery_current_A: 1/0 kA"),
    ("magnets: 16", "magnets: 1/0 pairs"),
    ("pack_V: 50.1", "pack_V: 50.1 V DC"),
    ("pack_V: 50.1", "pack_V: 50.1 volt"),
    ("battery_cable_mm2: 25", "battery_cable_mm2: 25 mm^2"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: 180 A DC"),
    # Counts.
    ("magnets: 16", "magnets: 8 pairs"),
    ("magnets: 16", "magnets: 14p"),
    ("magnets: 16", "magnets: 24N28P"),
    ("pole_pairs: 8\n  pack", "pole_pairs: 16 poles\n  pack"),
    ("series: 15", "series: 15s"),
    ("ratio: 9", "ratio: 9, efficiency: 94%"),
    # Slips of the finger.
    ("magnets: 16", "magnets: 16,"),
    ("magnets: 16", "magnets: 16,16"),
    ("position_sensor: hall", "sensor: hall"),
    ("wheels: 3", "weels: 3"),
    ("direction: forward", "direction: foward"),
    ("settings:\n", "setting:\n"),
    ("mass_kg: 95", "mass_kg: 9O"),
    ("mass_kg: 95", "mass_kg: 95;"),
    ("full_V: 3.65", "full_V: 3,65"),
    ("ratio: 9", "ratio: 9:1"),
    ('"2026-11-02"', "2.11.2026"),
    ("gonogo: profile/1", "gonogo profile/1"),
    # What a keyboard does not type.
    ("motor_degC: 17", "motor_degC: \N{EN DASH}5"),
    ('"2026-11-02"', "\N{LEFT DOUBLE QUOTATION MARK}2026-11-02\N{RIGHT DOUBLE QUOTATION MARK}"),
    (
        "direction: forward",
        "direction: \N{LEFT SINGLE QUOTATION MARK}forward\N{RIGHT SINGLE QUOTATION MARK}",
    ),
    ("mass_kg: 95", "mass_kg:\N{NO-BREAK SPACE}95"),
    ("mass_kg: 95", "mass_kg: 95\N{NO-BREAK SPACE}"),
    ("  mass_kg: 95", "\N{NO-BREAK SPACE}\N{NO-BREAK SPACE}mass_kg: 95"),
    ("start_V: 1.0", "start_V: \N{EN DASH}1.0"),
    # YAML.
    ("series: 15", "series:15"),
    ("mass_kg: 95", "mass_kg:95"),
    ("mass_kg: 95", "mass_kg = 95"),
    ("name: Wren", "name: Wren: the second"),
    ("settings:\n", "# settings:\n"),
    ("wiring:\n", "# wiring:\n"),
    ("gonogo: profile/1\n", "```yaml\ngonogo: profile/1\n"),
    ("controller_degC: 17}\n", "controller_degC: 17}\n```\n"),
    (
        "  max_rpm: 3000\n",
        "<<<<<<< ours\n  max_rpm: 3000\n=======\n  max_rpm: 3200\n>>>>>>> theirs\n",
    ),
    ("fuse: {rated_A: 100, rated_V", "fuse: {rated_A: 100 #2, rated_V"),
    ("fuse: {rated_A: 100, rated_V", "fuse: {#contactor: none, rated_V"),
    ("name: Wren", "name: #7 Own"),
    ("throttle: {kind: hall, supply_V: 5, brake_cut: true", "throttle:\n  - {kind: hall"),
    ("bms: {continuous_A: 90, trip_A: 180, cell_low_V: 2.5}", "bms: [continuous_A: 90]"),
    ("  fuse: {rated_A: 100", "  fuse: none\n    rated_A: 100\n  key_switch: {rated_A: 100"),
    ("low_voltage: {taper_from_V: 44.5, cutoff_V: 42}", "low_voltage: 48\n    cutoff_V: 42"),
    ("low_voltage: {taper_from_V: 44.5, cutoff_V: 42}", "low_voltage: (cutoff_V: 42)"),
    ("  wheels: 3\n", "  wheels: 3\n    rider_kg: 80\n"),
    ("  wheels: 3\n", "   wheels: 3\n"),
    ("vehicle:\n  name: Wren\n  use", "vehicle:\n name: Wren\n  use"),
    ("full_V: 3.65, nominal_V", "full_V: 3.65 nominal_V"),
    ("taper_from_V: 44.5, cutoff", "taper_from_V: 44.5; cutoff"),
    ("kind: hall, supply_V", "part: Wren: blue, supply_V"),
    ("kind: hall, supply_V", "part: 'Wren's pot', supply_V"),
    ("name: Wren", "name: 'Wren's trike'"),
    ("name: Wren", 'name: "Wren'),
    ("chemistry: lfp", 'chemistry: "lfp'),
    ("  wheels: 3", "  wheels; 3"),
    ("  wheels: 3", "  wheels. 3"),
    ("  wheels: 3", "  wheels\N{FULLWIDTH COLON}3"),
    ("  wheels: 3", '  "wheels: 3"'),
    ("  wheels: 3", "  wheels:: 3"),
    ("  wheels: 3", "  wheels:\N{NO-BREAK SPACE}3"),
    ("max_V: 65", "max_V = 65"),
    ("magnets: 16", "magnets\N{FULLWIDTH COLON}16"),
    ("magnets: 16", '"magnets: 16"'),
    ("magnets: 16", "magnets:: 16"),
    ("gonogo: profile/1\n", "gonogo profile/1\n# One.\n\n# Two.\n\n"),
    ("ratio: 9", "ratio: 52:7"),
    ("ratio: 9", 'ratio: "52:7"'),
    ("pack_V: 50.1", "pack_V: 50:7"),
    ("pack_V: 50.1", "pack_V: 50.1, 50.2"),
    # Several numbers, and what is no single figure.
    ("rest_V: 0.87", "rest_V: 0.84, 0.9"),
    ("rest_V: 0.87", "rest_V: 0.84, 0.9, 0.88"),
    ("rest_V: 0.87", "rest_V: (0.84, 0.9)"),
    ("rest_V: 0.87", "rest_V: {0.84, 0.9}"),
    ("rest_V: 0.87", "rest_V: [0.84 0.9]"),
    ("rest_V: 0.87", "rest_V: 0.84/0.9"),
    ("rest_V: 0.87", "rest_V: 0.84; 0.9"),
    ("rest_V: 0.87", "rest_V: 0.84 - 0.9"),
    ("max_V: 65", "max_V: 65, 66"),
    ("start_V: 1.0", "start_V: 1.0, 1.1"),
    ("mass_kg: 95", "mass_kg: 95 +/- 2"),
    ("mass_kg: 95", "mass_kg: 80+15"),
    ("mass_kg: 95", "mass_kg: =80+15"),
    ("mass_kg: 95", "mass_kg: >95"),
    ("mass_kg: 95", "mass_kg: @95"),
    ("mass_kg: 95", "mass_kg: [95]"),
    ("mass_kg: 95", "mass_kg: (95)"),
    ("mass_kg: 95", "mass_kg: {95}"),
    ("mass_kg: 95", "mass_kg: 1.234,5"),
    ("mass_kg: 95", "mass_kg: 1,234.5"),
    ("mass_kg: 95", "mass_kg: 95 // empty"),
    ("mass_kg: 95", "mass_kg: 95 (kg)"),
    ("mass_kg: 95", "mass_kg: |\n    95"),
    ("mass_kg: 95", "mass (kg): 95"),
    ("ratio: 9", "ratio: 1:9"),
    ("ratio: 9", "ratio: 52/7"),
    ("kv_rpm_per_V: 70", "kv_rpm_per_V: 70 rpm"),
    ("kv_rpm_per_V: 70", "kv_rpm_per_V: 70 KV"),
    ("kv_rpm_per_V: 70", "kv_rpm_per_V: 70 U/min/V"),
    ("max_rpm: 3000", "max_rpm: 3000 U/min"),
    ("charge_A: 6", "charge_A: 0.5c"),
    ("trip_A: 180", "trip_A: 180 peak"),
    # Days.
    ('"2026-11-02"', "22/11/2026"),
    ('"2026-11-02"', "02/11/2026"),
    ('"2026-11-02"', "2. November 2026"),
    ('"2026-11-02"', "Nov 2, 2026"),
    ('"2026-11-02"', "2026-02-30"),
    ('"2026-11-02"', "2026-11-02T10:30"),
    ('"2026-11-02"', "2.11.26"),
    ('taken: "', 'date: "'),
    # Brackets.
    ("controller_degC: 17}", "controller_degC: 17},"),
    ("controller_degC: 17}", "controller_degC: 17}}"),
    ("{taper_from_V: 44.5, cutoff_V: 42}", "{taper_from_V: 44.5, cutoff_V: 42)"),
    ("{taper_from_V: 44.5, cutoff_V: 42}", "{taper_from_V: 44.5, cutoff_V: 42]"),
    ("low_voltage: {taper", "low_voltage {taper"),
    ("drivetrain: {ratio", "drivetrain:\n{ratio"),
    ("{ratio: 9, ", "{ratio 9, "),
    ("{rated_A: 100, rated_V: 80", "{rated_A: 100, 80 V"),
    ("{opens: controller_enable}", "controller_enable"),
    ("{opens: controller_enable}", "{controller_enable}"),
    ("use: private_land", "use: private_land or street"),
    ("use: private_land", "use: [private_land]"),
    ("contactor: none", "contactor: \N{EN DASH}"),
    ("contactor: none", "contactor: no contactor"),
    ("brake_cut: true,", "brake_cut:,"),
    ("brake_cut: true,", "brake_cut: -,"),
    # Signs of other texts.
    ("  wheels: 3", "  * wheels: 3"),
    ("  wheels: 3", "  **wheels:** 3"),
    ("  wheels: 3", "  `wheels: 3`"),
    ("  wheels: 3", "> wheels: 3"),
    ("  wheels: 3", "  | wheels | 3 |"),
    ("  wheels: 3", "  - wheels: 3"),
    ("  wheels: 3", "  // three\n  wheels: 3"),
    ("  wheels: 3", "  vehicle.wheels: 3"),
    ("  connector_A: 90", "  bms_charge_A: 30"),
    # Too far left or right.
    ("  parallel: 6\n", " parallel: 6\n"),
    ("  parallel: 6\n", "parallel: 6\n"),
    ("  pack_nominal_V: 48\n", " pack_nominal_V: 48\n"),
    ("wiring:\n", " wiring:\n"),
    ("    wheel_off_ground: true", "   wheel_off_ground: true"),
    ("    wheel_off_ground: true", "  wheel_off_ground: true"),
    ("  identification:\n", "identification:\n"),
    # None.
    ("regen: none", "regen: off"),
    ("regen: none", "regen: nein"),
    ("regen: none", "regen: false"),
    ("regen: none", "regen: 0"),
    ("contactor: none", "contactor: -"),
    ("contactor: none", "contactor: not fitted"),
    ("kill_switch: {opens: controller_enable}", "kill_switch: true"),
    ("brake_cut: true", "brake_cut: ja"),
    ("brake_cut: true", "brake_cut: no"),
    ("brake_cut: true", "brake_cut: 0"),
    ("brake_cut: true", "brake_cut: not fitted"),
    ("reverse_rpm: 500", "reverse_rpm: off"),
    ("max_rpm: 3000", "max_rpm: off"),
    ("max_rpm: 3000", "max_rpm: 0"),
    ("direction: forward", "direction: no"),
    ("pack_nominal_V: 48", "pack_nominal_V: without"),
    ("use: private_land", "use: private_land\n  speed_limit_km_h: no"),
    ("use: private_land", "use: private_land\n  power_limit_W: 0"),
    ("circumference_mm: 1290", "circumference_mm: 1290, tyre: solid"),
    ("circumference_mm: 1290", "circumference_mm: 1290, tyre: no"),
    # What a switch opens.
    ("{opens: controller_enable}", "{opens: relay}"),
    ("{opens: controller_enable}", "{opens: both}"),
    ("{opens: controller_enable}", "{opens: controller_enable and contactor}"),
    ("{opens: controller_enable}", "{opens: none}"),
    ("{opens: controller_enable}", "{opens: []}"),
    ("kill_switch: {opens", "ignition: {opens"),
    # A number with more than a number: what is beside it, and what is another figure.
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: peak 255"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: max. 255 A peak"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: ~255 A (peak)"),
    ("  phase_current_A_rms: 180", "  phase_current_A_rms: 255 A Spitze"),
    ("  phase_current_A_rms: 180", "  motor_current_A: 180"),
    ("battery_current_A: 75", "battery_current_A: 75 (150 peak)"),
    ("battery_current_A: 75", "battery_current_A: peak 150"),
    ("battery_current_A: 75", "battery_current_A: max 75 A"),
    ("battery_current_A: 75", "battery_current_A: 75A;"),
    ("battery_current_A: 75", "batt_A: 75"),
    ("battery_cable_m: 0.9", "battery_cable_m: ca. 90 cm"),
    ("battery_cable_m: 0.9", "battery_cable_m: 80-100 cm"),
    ("battery_cable_m: 0.9", "battery_cable_m: 2x 0.9 m"),
    ("battery_cable_m: 0.9", "battery_cable_m: 0,9 Meter"),
    ("battery_cable_m: 0.9", "battery_cable_m: 1 1/2"),
    ("battery_cable_m: 0.9", "battery_cable_m: 1\N{VULGAR FRACTION ONE HALF}"),
    ("phase_cable_mm2: 25", "phase_cable_mm2: AWG 4"),
    ("phase_cable_mm2: 25", "phase_cable_mm2: #4"),
    ("phase_cable_mm2: 25", "phase_cable_mm2: 2x16"),
    ("circumference_mm: 1290", "circumference_mm: 16 inch"),
    ("circumference_mm: 1290", "circumference_mm: 16x2.125"),
    ("ratio: 9", "ratio: 9 to 1"),
    ("ratio: 9", "ratio: 60T/12T"),
    ("ratio: 9", "ratio: 12-60"),
    ("series: 15", "series: 15S6P"),
    ("max_rpm: 3000", "max_rpm: 3.000"),
    ("max_rpm: 3000", "max_rpm: 3,OOO"),
    ("max_rpm: 3000", "max_rpm: 24000 erpm"),
    ("max_rpm: 3000", "max_rpm: 3000 tr/min"),
    ("max_rpm: 3000", "max_rpm: unlimited"),
    ("capacity_Ah: 6", "capacity_Ah: 6 A\N{MIDDLE DOT}h"),
    ("mass_kg: 95", "mass_kg: 40-60"),
    ("mass_kg: 95", "mass_kg: approx. 95"),
    ("mass_kg: 95", "mass_kg: kg 95"),
    ("mass_kg: 95", "mass_kg: 15 stone"),
    ("mass_kg: 95", "mass_kg: 95 Kgs."),
    ("pack_nominal_V: 48", "pack_nominal_V: 48/52"),
    ("motor_degC: 17", "motor_degC: 17\N{DEGREE SIGN}"),
    ("rest_V: 0.87", "rest_V: - 0.87"),
    ('"2026-11-02"', "2026-26-11"),
    ('"2026-11-02"', "26. Dezember 2026"),
    # A text where a section stands, and the reverse.
    ("name: Wren", "name: [Wren]"),
    ("name: Wren", "name: - Wren"),
    ("name: Wren", 'name: "Wren" blue'),
    ("name: Wren", 'name: "C:\\Users"'),
    ("{opens: controller_enable}", "[controller_enable]"),
    ("charger: {voltage_V: 54.7, current_A: 10}", "charger: voltage_V: 54.7"),
    ("charger: {voltage_V: 54.7, current_A: 10}", "charger: [54.7, 10]"),
    ("  wheels: 3", "  wheels: 3 mass_kg: 90"),
    ("  wheels: 3", "  wheels: 3, front: 2"),
    ("  low_voltage: {taper", "low_voltage: {taper"),
    ("  throttle: {start_V", "throttle: {start_V"),
    ("    done: ", "  done: "),
    ("    done: ", "    - done: "),
    ("drivetrain: {", "  drivetrain: {"),
    ("settings:\n", "  settings:\n"),
    ("settings:\n", "setup:\n"),
    ("use: private_land", "use: Stra\N{LATIN SMALL LETTER SHARP S}e"),
    ("series: 15", "configuration: 15S6P"),
    ("gonogo: profile/1\n", "profile/1\n"),
    # Names and full names, signs, and what is nobody's value.
    ("temperature_sensor: ntc-10k-3950", "temperature_sensor: NTC 10k B3950"),
    ("temperature_sensor: ntc-10k-3950", "temperature_sensor: KTY84"),
    ("temperature_sensor: ntc-10k-3950", "temperature_sensor: PT-1000"),
    ("one_way_clutch: false", "one_way_clutch: flase"),
    ("one_way_clutch: false", "freewheel: false"),
    ("brake_cut: true", "break_cut: true"),
    ("kind: hall", "kind: hall, potentiometer"),
    ("max_V: 65", "Max. Voltage: 65"),
    ("max_V: 65", "max_V: unbekannt"),
    ("battery_current_A: 75", "battery_current_A: -75"),
    ("ratio: 9", "ratio: direct"),
    ("  fuse: {", "  main_fuse: {"),
    ("regen: none", "regen {battery_current_A: 20}"),
    ("regen: none", "regen: none\n    battery_current_A: 20"),
    ("regen: none", "regen:\n  battery_current_A: 20"),
    ("name: Wren", "Name: Wren"),
    ("name: Wren", "nom: Wren"),
    ("vehicle:\n", "Vehicle:\n"),
    ("bms: {continuous_A: 90, trip", "bms: {90, trip"),
    ("magnets: 16", "magnets: 16/2"),
    ("  wheels: 3", "  wheels: 3# trike"),
    ("  mass_kg: 95", "  mass_kg: 95 kg, or mass_lb"),
    ("  wheels: 3", "   wheels: 3\n   # Empty."),
    ("  wheels: 3", "   Number of wheels.\n  wheels: 3"),
    # Watt-hours, points, and the grade on a magnet's label.
    ("capacity_Ah: 6", "capacity_Wh: 20"),
    ("capacity_Ah: 6", "energy_kWh: 0.02"),
    ("capacity_Ah: 6", "capacity_Ah: 0.02 kWh"),
    ("taper_from_V: 44.5", "taper_from_V: 44..5"),
    ("taper_from_V: 44.5", "taper_from_V: 44.,5"),
    ("taper_from_V: 44.5", "taper_from_V: 44.5."),
    ("taper_from_V: 44.5", "taper_from_V: 44..48"),
    ("magnets: 16", "magnets: 16, magnet_grade: N42SH"),
    ("magnets: 16", "magnets: 16, magnet_grade: N52"),
    ("magnets: 16", "magnets: 16, magnet_grade: 45-H"),
    ("magnets: 16", "magnets: 16, magnet_grade: N42X"),
    ("magnets: 16", f"magnets: {LEFT_MARK}16{RIGHT_MARK}"),
    ("brake_cut: true", f"brake_cut: {LEFT_MARK}true{RIGHT_MARK}"),
    # Dashes without a blank, prose without its `#`, and signs that are no YAML.
    ("  brakes: [disc, disc, parking]", "  brakes:\n    -disc\n    -drum"),
    ("  brakes: [disc, disc, parking]", "  brakes:\n  -disc\n  -drum"),
    ("  brakes: [disc, disc, parking]", "  brakes:\n    -disc"),
    ("rest_V: 0.87", "rest_V:\n      -0.84\n      -0.9"),
    ("  wheels: 3", "  Vehicle mass ready to ride, without rider.\n  wheels: 3"),
    ("  wheels: 3", "  Mass of rider and 2 bags.\n  wheels: 3"),
    ("gonogo: profile/1\n", "\N{EM DASH}\ngonogo: profile/1\n"),
    ("gonogo: profile/1\n", "=====\ngonogo: profile/1\n"),
    ("gonogo: profile/1\n", "My own tricycle\ngonogo: profile/1\n"),
    ("  use: private_land", "  \N{BULLET} use: private_land"),
    ("  use: private_land", "  \N{EN DASH} use: private_land"),
    # A section with nothing below it, a word or number for a section, and lists without brackets.
    ("  kill_switch: {opens: controller_enable}", "  kill_switch:"),
    ("bms: {continuous_A: 90, trip_A: 180, cell_low_V: 2.5}", "bms: 90A"),
    ("contactor: none", "contactor: yes"),
    ("kill_switch: {opens: controller_enable}", "kill_switch: yes"),
    ("regen: none", "regen: 20"),
    ("contactor: none", "contactor: none\n  loads: lights"),
    ("  brakes: [disc, disc, parking]", "  brakes: disc, drum"),
    ("  brakes: [disc, disc, parking]", "  brakes: disc and drum"),
    ("  no_load: {throttle", "  steps_done: polarity, precharge\n  no_load: {throttle"),
    ("  no_load: {throttle", "  steps_done: polarity\n  no_load: {throttle"),
    ("drivetrain: {ratio: 9", "drivetrain: {stages: 14/52"),
    ("drivetrain: {ratio: 9", "drivetrain: {stages: [driving_teeth: 14, driven_teeth: 52]"),
    ("low_voltage: {taper_from_V: 44.5", "low_voltage: {taper_from_V: 4,200"),
    ("field_weakening_A_rms: 0", "field_weakening: off"),
    ("circumference_mm: 1290", 'circumference_in: 26"'),
    ("circumference_mm: 1290", "circumference_in: 80 in"),
)


REGEN_AWAY = "#   regen:\n#     battery_current_A: 20\n"
# A section that is commented out with its entries is nothing amiss, whatever is mistyped below it.
BELOW_A_COMMENT = (
    ("  direction: forward", REGEN_AWAY + "  direktion: forward"),
    ("  direction: forward", REGEN_AWAY + "  direction forward"),
    ("  direction: forward", REGEN_AWAY + "   direction: forward"),
    ("  battery_current_A: 75", REGEN_AWAY + "  battery_amps: 75"),
    ("  connector_A: 90", "#   precharge:\n#     resistance_ohm: 100\n  conector_A: 90"),
    ("  temperature:\n    motor: {sensor", "#   temperature:\n    motor: {sensor"),
    ("  temperature:\n    motor: {sensor", "  # temperature:\n    motor: {sensor"),
)


def first_profile() -> str:
    """The profile that a reader begins with."""
    topic = (HERE.parents[1] / "lint" / "topics" / "profile.md").read_text("utf-8")
    blocks = re.findall(r"```yaml\n(.*?)```", topic, re.DOTALL)
    return next(str(block) for block in blocks if "  name: Wren" in block)


def answer_to(right: str, typed: str, folder: Path) -> tuple[str, int, int]:
    """The only answer to a mistake, and the first and the last line of what was typed."""
    text = first_profile()
    assert text.count(right) >= 1, right
    start = text.index(right)
    (folder / "wren.yaml").write_bytes(text.replace(right, typed, 1).encode())
    with pytest.raises(DocumentErrors) as caught:
        load(folder / "wren.yaml")
    (error,) = caught.value.errors
    first = text.count("\n", 0, start) + 1
    said = f"{typed.strip()}\n  line {error.line}, column {error.column}: {error.message}\n"
    assert first <= error.line <= first + typed.count("\n"), said
    return said, first, error.line


def test_the_first_profile_is_right(tmp_path: Path) -> None:
    """Each mistake is the only one."""
    (tmp_path / "wren.yaml").write_text(first_profile(), "utf-8")
    assert load(tmp_path / "wren.yaml").name == "Wren"


def test_every_typing_mistake_is_answered_where_it_is(tmp_path: Path, expect: Expect) -> None:
    """Who sees it knows what to type, and finds the line without searching."""
    assert len(MISTAKES) >= 50
    said = [answer_to(right, typed, tmp_path)[0] for right, typed in MISTAKES]
    expect("typing-mistakes.txt", "\n".join(said))


def test_a_commented_section_is_blamed_for_its_own_entries_alone(
    tmp_path: Path, expect: Expect
) -> None:
    """A form has sections commented out in plenty, and the slip is further down."""
    said = [answer_to(right, typed, tmp_path)[0] for right, typed in BELOW_A_COMMENT]
    expect("typing-mistakes-below-comments.txt", "\n".join(said))


def test_a_document_that_stands_twice_is_one_mistake(tmp_path: Path) -> None:
    """A file pasted twice has each of its keys twice, and one answer."""
    (tmp_path / "wren.yaml").write_text(first_profile() * 2, "utf-8")
    with pytest.raises(DocumentErrors) as caught:
        load(tmp_path / "wren.yaml")
    (error,) = caught.value.errors
    assert error.line == first_profile().count("\n") + 1
    assert error.wanted == "one document in each file: all from this line on removed"


def test_an_entry_beside_its_section_is_to_be_moved(tmp_path: Path) -> None:
    """Where its entry stands below it, too far left, nobody means to say that there is no switch."""
    text = first_profile().replace("kill_switch: {opens: contr", "kill_switch:\n  opens: contr")
    (tmp_path / "wren.yaml").write_text(text.replace("enable}", "enable"), "utf-8")
    with pytest.raises(DocumentErrors) as caught:
        load(tmp_path / "wren.yaml")
    (first,) = caught.value.errors
    assert (first.line, first.found) == (24, "nothing below `kill_switch`")
    assert first.wanted == "`opens` in line 25 to stand further right than it"


@pytest.mark.parametrize(
    ("key", "text"),
    [
        (f"{key}_A_rms", f"{before}{number}{after}")
        for key in ("phase_current", "phase_current_burst")
        for number in ("150", "150.5")
        for before, after in (
            *(
                ("", f" {word}")
                for word in ("peak", "pk", "A peak", "A (peak)", "Spitze", "A crest peak")
            ),
            *((f"{word} ", "") for word in ("peak", "Peak", "pk", "ca. peak")),
            *((f"{word} ", " A peak") for word in ("~", "max.", "up to", "about")),
            ("", " A peak for 10 s"),
        )
    ],
)
def test_a_peak_is_never_told_to_stand_alone(key: str, text: str) -> None:
    """What is left of it, taken for an effective value, is two fifths more than the motor bears."""
    note, meant = of_number(text, False, key)
    assert meant is None, (note, meant)
    assert f"`{key.removesuffix('rms')}peak: 150" in note, note


@pytest.mark.parametrize(
    "form", ["2 {}", "2{}", "~2 {}", "max. 2 {}", "2 ({})", "{} 2", "ca. 2 {}"]
)
@pytest.mark.parametrize("unit", sorted({unit_of_key(path) for path in properties()} - {""}))
def test_a_multiple_of_a_unit_is_never_left_as_it_was(unit: str, form: str) -> None:
    """In any form in which a rider writes it: 2 kA taken for 2 A melts what the fuse is for."""
    own = {unit.lower(), UNITS[unit].symbol.lower(), "kv" if unit == "rpm_per_V" else unit}
    for symbol in ("V", "A", "W", "ohm", "Ah", "F", "H", "m", "g"):
        for multiple in (f"m{symbol}", f"k{symbol}"):
            if multiple.lower() in own or spelt_out(multiple).lower() in own:
                continue
            note, meant = of_number(form.format(multiple), False, f"any_{unit}")
            assert meant != "2", (multiple, note)
            assert not note.startswith((WITHOUT, ", the number alone")), (multiple, note)


@pytest.mark.parametrize("hedge", ["~", "ca. ", "max. ", "about ", "up to ", "\N{ALMOST EQUAL TO}"])
def test_a_hedge_before_a_number_hides_no_unit(hedge: str) -> None:
    """Without it and the unit the number would be another."""
    assert of_number(f"{hedge}80 cm", False, "battery_cable_m").nearest == "0.8"


@pytest.mark.parametrize(
    ("right", "typed", "wanted"),
    [
        (
            "vehicle:\n",
            "bike:\n vehicle:\n",
            "its entries without this line above them, and without the spaces before them",
        ),
        (
            "gonogo: profile/1\n",
            "gonogo: profile/1\npart: {name: Hub}\nvehicles:\n",
            "`gonogo: part/1` where the file describes a part, or a `vehicle`",
        ),
    ],
)
def test_a_document_in_the_wrong_frame_has_one_answer(
    tmp_path: Path, right: str, typed: str, wanted: str
) -> None:
    """A list of all that is missing for it would hide what to change."""
    text = first_profile().partition("pack:\n")[0]
    indented = text.replace("\n  ", "\n   ") if "bike" in typed else text.replace("vehicle:\n", "")
    (tmp_path / "wren.yaml").write_text(indented.replace(right, typed, 1), "utf-8")
    with pytest.raises(DocumentErrors) as caught:
        load(tmp_path / "wren.yaml")
    (error,) = caught.value.errors
    assert error.wanted == wanted


def test_a_comma_in_curly_quotation_marks_parts_a_text(tmp_path: Path) -> None:
    """What is left of it is no key, and the keys of the section are no help."""
    block = re.search(r"vehicle:\n(?:  .*\n)+", first_profile())
    assert block is not None
    marked = "\N{LEFT DOUBLE QUOTATION MARK}Wren, blue\N{RIGHT DOUBLE QUOTATION MARK}"
    text = first_profile().replace(block[0], f"vehicle: {{name: {marked}, use: off_road}}\n")
    (tmp_path / "wren.yaml").write_text(text, "utf-8")
    with pytest.raises(DocumentErrors) as caught:
        load(tmp_path / "wren.yaml")
    (error,) = caught.value.errors
    assert (error.line, error.column) == (2, 24)
    assert error.wanted == "a text in straight quotation marks, which may hold a comma"


def test_a_minus_copied_from_a_report_is_one(tmp_path: Path) -> None:
    """Reports print the sign that typographers use, and what they say may be copied."""
    text = first_profile().replace("motor_degC: 17", "motor_degC: \N{MINUS SIGN}5")
    (tmp_path / "wren.yaml").write_text(text, "utf-8")
    assert load(tmp_path / "wren.yaml").givens["readings.temperature.motor_degC"].value == -5


def _every_section(section: SchemaSection) -> Iterator[SchemaSection]:
    yield section
    for entry in section.entries.values():
        if isinstance(entry, SchemaSection):
            yield from _every_section(entry)


@pytest.mark.parametrize(
    "section", list(_every_section(outline())), ids=lambda one: one.path or "top"
)
def test_no_key_of_a_section_is_taken_for_another(section: SchemaSection) -> None:
    """Whoever writes a name that we have elsewhere or had once is not led to its opposite."""
    for key in section.entries:
        others = [other for other in section.entries if other != key]
        meant = of_key(key, others).nearest
        assert meant is None, f"{key} was answered with {meant}"


@pytest.mark.parametrize(
    "entry", [one for one in properties().values() if one.choices], ids=lambda one: one.path
)
def test_no_choice_is_taken_for_another_of_its_list(entry: Property) -> None:
    """They differ in consequence: a PT100 read as a PT1000 shows a cold motor."""
    for choice in entry.choices:
        others = [other for other in entry.choices if other != choice]
        assert slip_for(plain_word(choice), map(plain_word, others)) is None


@pytest.mark.parametrize(
    ("key", "section"),
    [
        ("phase_resistance_mohm", "motor"),
        ("battery_cable_ohm", "wiring"),
        ("phase_current_A", "settings"),
        ("min_rpm", "settings"),
        ("min_current_A", "controller"),
        ("discharge_A", "pack.cell"),
        ("open_V", "readings.throttle"),
        ("lost_V", "settings.throttle"),
        ("peak_A_rms", "pack"),
    ],
)
def test_a_hint_never_changes_what_a_key_measures(key: str, section: str) -> None:
    """A hint is followed by somebody who wants the error to go away."""
    inner: Any = outline()
    for name in section.split("."):
        inner = inner.entries[name]
    assert of_key(key, inner.entries).nearest is None


@pytest.mark.parametrize(
    ("key", "value", "known", "meant"),
    [
        ("mass_lb", 100, "mass_kg", "mass_kg: 45.36"),
        ("wheelbase_in", 10, "wheelbase_mm", "wheelbase_mm: 254"),
        ("battery_cable_ft", 10, "battery_cable_m", "battery_cable_m: 3.048"),
        ("speed_limit_mph", 100, "speed_limit_km_h", "speed_limit_km_h: 160.9"),
        ("capacity_mAh", 2500, "capacity_Ah", "capacity_Ah: 2.5"),
        ("resistance_ohm", 0.02, "resistance_mohm", "resistance_mohm: 20"),
        ("wheelbase_in", "ten", "wheelbase_mm", None),
        ("ambient_degF", 212, "ambient_degC", None),
        ("battery_cable_awg", 99, "battery_cable_mm2", None),
    ],
)
def test_a_key_of_another_unit_is_answered_with_the_value_in_ours(
    key: str, value: Any, known: str, meant: str | None
) -> None:
    """The number left as it was under the new key would be worse than the error.

    The factors are those by which the yard and the pound are defined. A temperature and a gauge are
    turned by no factor alone, and have keys of their own.
    """
    assert of_key(key, [known], value).nearest == meant


def test_a_torque_constant_is_turned_into_kv_by_the_numbers_that_are_said() -> None:
    """Torque is 3/2 of pole pairs, flux and peak current; the same flux gives the back-EMF of kv."""
    note = of_key("kt_Nm_per_A", ("kv_rpm_per_V",), 0.12).note
    peak = 1.5 * 60 / (2 * math.pi * math.sqrt(3))
    assert [float(one) for one in re.findall(r"[0-9]+\.[0-9]+", note)] == pytest.approx(
        [peak, peak * math.sqrt(2)], rel=0.001
    )
