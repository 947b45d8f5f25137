"""Units and bounds: how a formula's output has to follow its inputs, whatever their values."""

from __future__ import annotations

import math
from typing import Any

import pytest
from gonogo.documents.units import UNITS, Unit, unit_of_key
from gonogo.quantities.operand import EXACT, NotWorked
from gonogo.quantities.registry import WORKED
from gonogo.quantities.worked import Worked
from hypothesis import given, settings
from hypothesis import strategies as st

# Not scaled, each for its reason. A table answers for the sections, letters and markings in it; a
# constant of nature has units of its own, so that a world of other units has another constant.
NOT_SCALED = {
    "drivetrain.ratio_from_stages": "teeth are counted",
    "drivetrain.tyre_diameter_mm": "table of rims",
    "drivetrain.tyre_is_bicycle": "form of a marking",
    "drivetrain.tyre_load_index": "form of a marking",
    "drivetrain.tyre_load_kg": "table of load indices",
    "drivetrain.tyre_speed_km_h": "table of letters",
    "drivetrain.tyre_speed_symbol": "form of a marking",
    "drivetrain.axle_flats_N": "a usual width of flats",
    "motor.cold_reading_fits": "words",
    "motor.cold_coercivity_factor": "table of grades",
    "motor.cold_kv_factor": "table of grades",
    "motor.cold_reading_remedy": "words",
    "motor.cold_sensor_kinds": "curves of sensors",
    "motor.family_true_at_stop_degC": "curves of sensors",
    "pack.least_mass_kg": "what a kilogram of cells holds",
    "motor.max_true_at_stop_degC": "curves of sensors",
    "motor.insulation_degC": "table of classes",
    "motor.kv_basis_fits": "words",
    "motor.magnet_degC": "table of grades",
    "motor.temperature_error_at_stop_K": "curves of sensors",
    **{
        name: "table of chemistries"
        for name in (
            "pack.chemistry_bms_far_over_V",
            "pack.chemistry_bms_over_V",
            "pack.chemistry_full_V",
            "pack.chemistry_max_cell_V",
            "pack.chemistry_max_sold_cell_V",
            "pack.chemistry_min_cell_V",
            "pack.chemistry_most_c_rate_per_h",
            "pack.chemistry_most_charge_per_h",
            "pack.chemistry_usual_c_rate_per_h",
            "pack.chemistry_usual_charge_per_h",
        )
    },
    "pack.reading_fits": "words",
    "pack.usual_short_circuit_A": "a table",
    "readings.age_days": "the calendar",
    "readings.least_isolation_kohm": "a standard's ohms per volt",
    "readings.wanted_isolation_kohm": "a standard's ohms per volt",
    "readings.days_since_identification": "the calendar",
    "readings.days_since_read_back": "the calendar",
    **{
        name: "a list of readings"
        for name in (
            "readings.cell_group_count",
            "readings.cell_groups_below_minimum",
            "readings.cell_groups_sum_V",
            "readings.emptiest_cell_group",
            "readings.fullest_cell_group",
            "readings.max_cell_group_V",
            "readings.min_cell_group_V",
            "readings.open_sense_wire",
        )
    },
    "pack.charger.cable_A": "table of sections",
    "pack.charger.cable_most_A": "table of sections",
    "readings.cell_group_allowed_spread_V": "table of chemistries",
    "ride.coast_km_h": "the density of air",
    "ride.power_at_limit_W": "gravity, and the density of air",
    "ride.weight_N": "gravity",
    "ride.combined_N": "gravity",
    "throttle.min_clearance_V": "an entry step of its own",
    "vehicle.brake_count": "words",
    "vehicle.firm_brake_count": "words",
    "vehicle.heat_proof_brake_count": "words",
    "wiring.battery_cable_section_most_A": "table of sections",
    "wiring.battery_cable_section_usual": "table of sections",
    "wiring.battery_cable_table_A": "table of sections",
    **{
        name: "of each load its own section, current or power"
        for name in (
            "wiring.fuse_on_cable_least_percent",
            "wiring.fuse_on_cable_name",
            "wiring.fuse_on_cable_percent",
            "wiring.load_on_cable_least_percent",
            "wiring.load_on_cable_name",
            "wiring.load_on_cable_percent",
            "wiring.load_on_fuse_name",
            "wiring.load_on_fuse_percent",
            "wiring.load_without_fuse",
            "wiring.loads_without_fuse",
        )
    },
    "wiring.path_weakest": "words",
    "wiring.phase_cable_section_most_A": "table of sections",
    "wiring.phase_cable_section_usual": "table of sections",
    "wiring.phase_cable_table_A": "table of sections",
}

# What an argument is, where a number between 0.1 and 1 would not be taken.
TOLD: dict[str, dict[str, Any]] = {
    "motor.allowed_burst_s": {"burst_A_rms": 10.0, "driven_A_rms": 5.0},
    "motor.burst_ends": {"watched": False},
    "motor.climb_s": {"burst_A_rms": 10.0, "climb_A_rms": 5.0},
    "motor.kv_proven_rpm_per_V": {"throttle": "full", "low": 0.88, "high": 1e6},
    "motor.kv_rpm_per_V": {"throttle": "full"},
    "motor.temperature_watched": {
        "sensor": "none",
        "fitted": "none",
        "limit": "none",
        "stop_degC": 100.0,
    },
    "motor.weakened_A_rms": {"covers": True},
    "motor.battery_corner_rpm": {"loaded_V": 50.0, "phase_mohm": 100.0},
    "motor.downhill_rpm": {"ratio": 1.0},
    "motor.kv_basis": {"throttle": "full", "weakening_A_rms": 0.0},
    "motor.pole_pairs_from_magnets": {"magnets": 14},
    "motor.voltage_corner_rpm": {"loaded_V": 50.0, "phase_mohm": 100.0, "inductance_uH": 5e5},
    "pack.cell_from_full_reading_V": {"state": "full"},
    "pack.regen_charge_A": {"port": "separate"},
    "pack.series_from_reading": {"state": "part"},
    "ride.shaft_power_W": {"use": "street"},
    "throttle.heat_drift_V": {"kind": "hall"},
    "wiring.battery_cable_mohm": {"section_mm2": 16.0},
    "wiring.precharge_allowed_J": {"time_s": 0.5},
    "wiring.precharge_left_J": {"kind": "none"},
}
# Copper's resistivity is a constant of nature: only volts, amperes and the section's metres enter
# through it, so those are left as they are.
ONLY_LENGTH = {"wiring.battery_cable_mohm"}

SPECS = [
    pytest.param(spec, id=f"{name}: {spec.function.__name__}")
    for name, specs in sorted(WORKED.items())
    for spec in specs
    if name not in NOT_SCALED
]
FACTOR = st.floats(0.5, 2.0)


def _unit(name: str) -> Unit:
    return UNITS[WORKED[name][0].unit] if name in WORKED else UNITS[unit_of_key(name)]


def _growth(unit: Unit, factors: tuple[float, ...]) -> float:
    return math.prod(f**power for f, power in zip(factors, unit.dimension.powers, strict=True))


def _inputs(spec: Worked, draw: st.DrawFn) -> dict[str, Any]:
    """Numbers between 0.1 and 1; what is optional and no number keeps its default.

    Of six decimals, so that no difference of two of them is mere rounding.
    """
    told = TOLD.get(spec.name, {})
    values: dict[str, Any] = {}
    for argument in spec.inputs:
        if argument in told:
            values[argument] = told[argument]
        elif argument not in spec.optional:
            values[argument] = draw(st.floats(0.1, 1.0).map(lambda number: round(number, 6)))
    return values


@pytest.mark.parametrize("spec", SPECS)
@given(data=st.data(), volt=FACTOR, ampere=FACTOR, second=FACTOR, metre=FACTOR, turn=FACTOR)
@settings(max_examples=25, deadline=None)
def test_a_formula_scales_with_its_units(
    spec: Worked,
    data: st.DataObject,
    volt: float,
    ampere: float,
    second: float,
    metre: float,
    turn: float,
) -> None:
    """A forgotten factor of current, or a square too many, shows at once; so does a wrong unit."""
    if spec.name in ONLY_LENGTH:
        volt = ampere = second = 1.0
        metre = 1.0 if "section_mm2" not in spec.inputs else metre
    factors = (volt, ampere, second, metre, 1.0, turn)
    values = _inputs(spec, lambda strategy: data.draw(strategy))
    scaled = {
        argument: value * _growth(_unit(spec.inputs[argument]), factors)
        if isinstance(value, float) and not _fixed(spec, argument)
        else value
        for argument, value in values.items()
    }
    try:
        here = spec.function(**values)
    except (NotWorked, ZeroDivisionError) as reason:
        with pytest.raises(type(reason)):
            spec.function(**scaled)
        return
    there = spec.function(**scaled)
    growth = metre if spec.name in ONLY_LENGTH else _growth(UNITS[spec.unit], factors)
    if isinstance(here, bool | list):
        assert there == here
    else:
        assert there == pytest.approx(here * growth, rel=1e-6, abs=1e-9)


BOUNDED = [param for param in SPECS if param.values[0].rises or param.values[0].falls]


@pytest.mark.parametrize("spec", BOUNDED)
@given(data=st.data(), more=st.floats(1.01, 3.0))
@settings(max_examples=25, deadline=None)
def test_a_bound_passes_through_the_right_way_up(
    spec: Worked, data: st.DataObject, more: float
) -> None:
    """An input that is no more than a value leaves the result no more, or no less, as declared.

    Turned over, a bound would clear a build that nobody has checked.
    """
    values = {**spec.defaults, **_inputs(spec, lambda strategy: data.draw(strategy))}
    for argument, sign in [(a, 1) for a in spec.rises] + [(a, -1) for a in spec.falls]:
        try:
            low = spec.function(**values)
            high = spec.function(**{**values, argument: values[argument] * more})
        except NotWorked:
            continue
        assert sign * (high - low) >= 0.0


def _fixed(spec: Worked, argument: str) -> bool:
    return argument == "section_mm2" or _unit(spec.inputs[argument]).is_point


def test_what_is_not_scaled_exists() -> None:
    """A quantity renamed must not slip out of the test."""
    assert set(NOT_SCALED) | set(TOLD) <= set(WORKED)


def only_a_bound() -> set[str]:
    """The quantities of which a formula may give no more than a bound."""
    bounds: set[str] = set()
    while True:
        more = {
            name
            for name, specs in WORKED.items()
            for spec in specs
            if spec.combine == "least"
            or spec.side != EXACT
            or spec.no_more_when
            or any(spec.inputs[argument] in bounds for argument in spec.rises | spec.falls)
        }
        if more == bounds:
            return bounds
        bounds = more


# Only its highest is of use, and no bound of what it reads gives that: it is unknown then.
UNBOUNDED = {"ride.coast_km_h"}


def test_a_bound_gets_through_every_formula_that_reads_it() -> None:
    """A volt that is *no more than* so much still refuses a speed that needs more.

    A yes, a no or a word has no side: what only a bound is known of leaves it open.
    """
    bounds = only_a_bound()
    assert bounds
    for specs in WORKED.values():
        for spec in (spec for spec in specs if spec.returns not in ("boolean", "text")):
            if spec.name in UNBOUNDED:
                continue
            read = {argument for argument, name in spec.inputs.items() if name in bounds}
            told = spec.inputs.keys() if spec.combine == "least" else spec.rises | spec.falls
            assert read <= told, spec.name
