"""Heavy reference libraries: cells, motor drives, circuits, driving and air by others' code.

They are imported where they are used, so that the ordinary run does without them; where these tests
are asked for and a library is missing, they fail. The rows that the ordinary run compares with ours
were worked out by these libraries, and here are held against them again.
"""

from __future__ import annotations

import cmath
import importlib
import math
import os
from typing import Any

import pytest
from gonogo.quantities import motor, motor_speed
from gonogo.quantities.motor_curve import corner_rad_per_s
from gonogo.tables.table import column

from .reference import rows

pytestmark = pytest.mark.reference

Row = dict[str, Any]
MOTORS = "08_motor_theory"
GRAVITY = 9.80665

# The published limits that lie outside our window, by how much, and why.
OUTSIDE = {
    "ORegan2022": (0.2, "the paper drove 4.2 V cells to 4.4 V to learn their parameters"),
    "Chayambuka2022": (0.2, "a polyanion cathode; the table holds layered-oxide sodium cells"),
}
OURS = {
    "Chen2020": "nmc",
    "Mohtat2020": "nmc",
    "ORegan2022": "nmc",
    "Prada2013": "lfp",
    "Ai2020": "lco",
    "Marquis2019": "lco",
    "Ramadass2004": "lco",
    "Sulzer2019": "lead_acid",
    "Chayambuka2022": "sodium_ion",
}


@pytest.fixture(scope="module")
def pybamm() -> Any:
    """The battery-model library, its call home switched off."""
    os.environ["PYBAMM_DISABLE_TELEMETRY"] = "true"
    return importlib.import_module("pybamm")


@pytest.mark.parametrize("name", OURS)
def test_published_cells_work_inside_the_chemistrys_window(name: str, pybamm: Any) -> None:
    """A cell from a paper must not be refused by the table of chemistries."""
    cell = pybamm.ParameterValues(name)
    lower_V, upper_V = cell["Lower voltage cut-off [V]"], cell["Upper voltage cut-off [V]"]
    max_V = column("chemistries", "chemistry", "max_charge_V")[OURS[name]]
    min_V = column("chemistries", "chemistry", "min_discharge_V")[OURS[name]]
    assert lower_V >= min_V
    if name in OUTSIDE:
        assert upper_V - max_V == pytest.approx(OUTSIDE[name][0]), OUTSIDE[name][1]
    else:
        assert upper_V <= max_V


@pytest.mark.parametrize("row", rows("04_cells", "parameter_sets"))
def test_the_tables_kept_here_are_still_the_librarys(row: dict[str, Any], pybamm: Any) -> None:
    """A published set that is corrected upstream shows here first."""
    cell = pybamm.ParameterValues(row["set"])
    assert cell["Lower voltage cut-off [V]"] == row["lower_v"]
    assert cell["Upper voltage cut-off [V]"] == row["upper_v"]


def _machine(pairs: int, ohm: float, ld_H: float, lq_H: float, flux_Vs: float) -> Any:
    """motulator's own machine model."""
    model = importlib.import_module("motulator.drive.model")
    utils = importlib.import_module("motulator.drive.utils")
    return model.SynchronousMachine(
        utils.SynchronousMachinePars(n_p=pairs, R_s=ohm, L_d=ld_H, L_q=lq_H, psi_f=flux_Vs)
    )


def _unbalanced_V(machine: Any, rad_per_s: float) -> complex:
    """Flux changes by what a voltage of zero leaves unbalanced."""
    machine.inp.u_ss, machine.inp.w_M = 0j, rad_per_s
    machine.set_outputs(0.0)
    lacking: complex = machine.rhs()[0]
    return lacking


def _line_peak_V(machine: Any, rpm: float) -> float:
    """The highest volts between two terminals while the open machine turns once, electrically."""
    phases = importlib.import_module("motulator.common.utils").complex2abc
    spun = _unbalanced_V(machine, 2.0 * math.pi * rpm / 60.0)
    turn = (phases(spun * cmath.exp(1j * math.radians(angle))) for angle in range(0, 360, 2))
    return max(float(abs(first - second)) for first, second, _ in turn)


@pytest.mark.parametrize("row", rows(MOTORS, "operating_points"))
def test_at_our_corner_a_simulated_machine_needs_all_the_volts(row: Row) -> None:
    """motulator, asked for the voltage that holds the currents at our speed."""
    ld, lq = row["ld_mh"] / 1000.0, row["lq_mh"] / 1000.0
    pairs, currents = row["pp"], complex(row["id"], row["iq"])
    machine = _machine(pairs, row["r"], ld, lq, row["psi_f"])
    machine.state.psi_s = complex(ld * currents.real + row["psi_f"], lq * currents.imag)
    omega = corner_rad_per_s(
        row["vdc"] / math.sqrt(3.0), row["psi_f"], row["r"], lq, row["iq"], row["id"], ld
    )
    lacking = _unbalanced_V(machine, omega / pairs)
    assert machine.out.i_s == pytest.approx(currents)
    assert machine.out.tau_M == pytest.approx(row["torque"], rel=1e-3)
    assert abs(lacking) == pytest.approx(row["vdc"] / math.sqrt(3.0), rel=1e-9)


@pytest.mark.parametrize("row", rows(MOTORS, "kv_kt"))
def test_a_simulated_machine_has_the_kv_and_the_torque(row: Row) -> None:
    """One volt from line to line at kv turns a minute, and the torque of one ampere."""
    machine = _machine(row["pole_pairs"], 0.01, 1e-4, 1e-4, row["psi_f_vs"])
    assert _line_peak_V(machine, row["kv_rpm_per_v"]) == pytest.approx(1.0, rel=1e-3)
    one_rad_per_s = 60.0 / (2.0 * math.pi)
    assert _line_peak_V(machine, one_rad_per_s) == pytest.approx(row["ke_ll_peak_vs"], rel=1e-3)
    machine.state.psi_s = complex(row["psi_f_vs"], 1e-4)  # one ampere across the magnets
    machine.set_outputs(0.0)
    assert machine.out.i_s == pytest.approx(1j)
    assert machine.out.tau_M == pytest.approx(row["kt_phase_peak"], rel=1e-3)
    assert math.sqrt(2.0) * machine.out.tau_M == pytest.approx(row["kt_phase_rms"], rel=1e-3)


@pytest.mark.parametrize("row", rows(MOTORS, "back_emf_in_field_weakening"))
def test_a_simulated_machine_pushes_back_as_much(row: Row) -> None:
    """Spun without current, its phases as the library makes them."""
    machine = _machine(row["pp"], 0.01, 1e-4, 1e-4, row["psi_f"])
    assert _line_peak_V(machine, row["rpm"]) == pytest.approx(row["line_peak_v"], rel=1e-3)


@pytest.mark.parametrize("row", rows(MOTORS, "electrical_frequency"))
def test_the_flux_of_a_simulated_machine_turns_as_often(row: Row) -> None:
    """Turns of the magnets' flux, as the library reckons them."""
    machine = _machine(row["pole_pairs"], 0.01, 1e-4, 1e-4, 0.01)
    _unbalanced_V(machine, 2.0 * math.pi * row["rpm"] / 60.0)
    turning = machine.rhs()[1] / (2.0 * math.pi)
    assert turning.imag == pytest.approx(row["f_hz"], abs=0.01)
    assert 60.0 * turning.imag == pytest.approx(row["electrical_rpm"])


def _circuit(*lines: str) -> Any:
    """A circuit of the symbolic circuit analyser."""
    return importlib.import_module("lcapy").Circuit("\n".join(lines))


@pytest.mark.parametrize("row", rows("05_conductors", "voltage_drop_examples"))
def test_a_simulated_cable_drops_as_much(row: Row) -> None:
    """Two leads between a source and a load that draws its current."""
    per_m = next(
        each.values[0]["plain_ohm_per_km"] / 1000.0
        for each in rows("05_conductors", "class5_max_resistance")
        if each.values[0]["area_mm2"] == row["area_mm2"]
    )
    lead = f"{per_m * row['length_m']:.9g}"
    circuit = _circuit(
        "V 1 0 dc 48", f"Rout 1 2 {lead}", f"I 2 3 dc {row['current_a']}", f"Rback 3 0 {lead}"
    )
    drop_V = sum(abs(float(circuit[name].V.dc.evalf().sympy)) for name in ("Rout", "Rback"))
    assert drop_V == pytest.approx(row["drop_v"], rel=2e-3)
    assert drop_V * row["current_a"] == pytest.approx(row["loss_w"], rel=2e-3)


@pytest.mark.parametrize("row", rows("13_throttle", "track_without_ground"))
def test_a_simulated_wiper_without_ground_rises_as_far(row: Row) -> None:
    """At rest, so that the whole track lies between it and the supply."""
    circuit = _circuit(
        f"V 1 0 dc {row['supply_v']}",
        f"Rtrack 1 2 {row['track_ohm']}",
        f"Rpull 2 0 {row['pull_down_ohm']}",
    )
    assert float(circuit.Rpull.V.dc.evalf().sympy) == pytest.approx(row["signal_v"], rel=1e-3)


@pytest.mark.parametrize("row", rows("11_precharge", "precharge"))
def test_a_simulated_capacitor_fills_as_fast(row: Row) -> None:
    """A pack switched onto an empty capacitor through the resistor."""
    farad = f"{row['c_uf'] / 1e6:.9g}"
    circuit = _circuit(f"V 1 0 step {row['v']}", f"R 1 2 {row['r_ohm']}", f"C 2 0 {farad}")
    volts, amperes = circuit.C.v, circuit.R.i
    for milliseconds, share in ((row["t95_ms"], 0.95), (row["t99_ms"], 0.99)):
        filled = float(volts.evaluate(milliseconds / 1000.0))
        assert filled / row["v"] == pytest.approx(share, abs=1e-4)
    peak_A = float(amperes.evaluate(1e-9))
    assert peak_A == pytest.approx(row["i_peak_a"], rel=2e-3, abs=6e-4)
    assert peak_A * row["v"] == pytest.approx(row["p_peak_w"], rel=2e-3)
    numpy = importlib.import_module("numpy")
    seconds = numpy.linspace(1e-9, 0.02 * row["tau_ms"], 4000)  # twenty time constants
    heat_J = numpy.trapezoid(amperes.evaluate(seconds) ** 2 * row["r_ohm"], seconds)
    assert heat_J == pytest.approx(row["e_resistor_j"], rel=2e-3)


@pytest.mark.parametrize("row", rows("11_precharge", "inrush_without_precharge"))
def test_a_simulated_capacitor_takes_as_much_at_first(row: Row) -> None:
    """The same without a resistor but the loop's own."""
    loop = f"{row['r_loop_mohm'] / 1000.0:.9g}"
    circuit = _circuit(f"V 1 0 step {row['v']}", f"R 1 2 {loop}", "C 2 0 0.001")
    assert float(circuit.R.i.evaluate(1e-9)) == pytest.approx(row["i_peak_a"], rel=5e-3)


@pytest.mark.parametrize("row", rows("10_vehicle", "power_balance"))
def test_a_consumption_model_needs_as_much_power(row: Row) -> None:
    """emobpy's rolling, climbing and drag, which take the slope in degrees."""
    model = importlib.import_module("emobpy.functions")
    speed, mass = row["speed_kmh"] / 3.6, float(row["mass_kg"])
    slope_deg = math.degrees(math.atan(row["grade_pct"] / 100.0))
    watt = (
        model.prollingresistance(row["crr"], mass, GRAVITY, speed, slope_deg)
        + model.p_gravity(mass, GRAVITY, speed, slope_deg)
        + model.pairdrag(row["rho"], row["cda_m2"], 1.0, speed)
    )
    assert watt == pytest.approx(row["p_wheel_w"], abs=0.06)


def _published_motor() -> tuple[Any, int, float]:
    """gym-electric-motor's default machine, from doi 10.1109/TPEL.2020.3006779."""
    motors = importlib.import_module("gym_electric_motor.physical_systems.electric_motors")
    machine = motors.PermanentMagnetSynchronousMotor()
    known = machine.motor_parameter
    return machine, known["p"], known["psi_p"]


def test_the_torque_constant_is_that_of_a_published_motor() -> None:
    """Its flux said as kv, our newton metres for each ampere against the library's."""
    machine, pairs, flux_Vs = _published_motor()
    kv = 60.0 / (2.0 * math.pi * math.sqrt(3.0) * pairs * flux_Vs)
    peak_A = 150.0
    simulated_Nm = machine.torque([0.0, peak_A, 0.0])
    ours_Nm = motor.torque(motor.torque_constant(kv), peak_A / math.sqrt(2.0))
    assert ours_Nm == pytest.approx(simulated_Nm, rel=1e-9)


def test_back_emf_is_that_of_a_published_motor() -> None:
    """Spun without current and with its terminals shorted, its current rises by e / L."""
    machine, pairs, flux_Vs = _published_motor()
    kv = 60.0 / (2.0 * math.pi * math.sqrt(3.0) * pairs * flux_Vs)
    rpm = 3000.0
    mechanical_rad_per_s = 2.0 * math.pi * rpm / 60.0
    rise = machine.electrical_ode([0.0, 0.0, 0.0], [0.0, 0.0], mechanical_rad_per_s)
    phase_V = -rise[1] * machine.motor_parameter["l_q"]
    assert motor_speed.back_emf(rpm, kv) == pytest.approx(math.sqrt(3.0) * phase_V, rel=1e-9)
    assert motor.flux_linkage(kv, pairs) == pytest.approx(flux_Vs)
