"""Heavy reference libraries: published cells of a battery model, machines of motor-drive simulation.

They are imported where they are used, so that the ordinary run does without them; where these tests
are asked for and a library is missing, they fail.
"""

from __future__ import annotations

import importlib
import math
import os
from typing import Any

import pytest
from gonogo.quantities import motor
from gonogo.quantities.motor_curve import corner_rad_per_s
from gonogo.tables.table import column

from .reference import rows

pytestmark = pytest.mark.reference

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
    highest_V = column("chemistries", "chemistry", "highest_full_V")[OURS[name]]
    lowest_V = column("chemistries", "chemistry", "lowest_minimum_V")[OURS[name]]
    assert lower_V >= lowest_V
    if name in OUTSIDE:
        assert upper_V - highest_V == pytest.approx(OUTSIDE[name][0]), OUTSIDE[name][1]
    else:
        assert upper_V <= highest_V


@pytest.mark.parametrize("row", rows("04_cells", "parameter_sets"))
def test_the_tables_kept_here_are_still_the_librarys(row: dict[str, Any], pybamm: Any) -> None:
    """A published set that is corrected upstream shows here first."""
    cell = pybamm.ParameterValues(row["set"])
    assert cell["Lower voltage cut-off [V]"] == row["lower_v"]
    assert cell["Upper voltage cut-off [V]"] == row["upper_v"]


@pytest.mark.parametrize("row", rows("08_motor_theory", "operating_points"))
def test_at_our_corner_a_simulated_machine_needs_all_the_volts(row: dict[str, Any]) -> None:
    """motulator's own machine model, asked for the voltage that holds the currents at our speed."""
    model = importlib.import_module("motulator.drive.model")
    utils = importlib.import_module("motulator.drive.utils")
    ld, lq = row["ld_mh"] / 1000.0, row["lq_mh"] / 1000.0
    pairs, currents = row["pp"], complex(row["id"], row["iq"])
    machine = model.SynchronousMachine(
        utils.SynchronousMachinePars(n_p=pairs, R_s=row["r"], L_d=ld, L_q=lq, psi_f=row["psi_f"])
    )
    machine.state.psi_s = complex(ld * currents.real + row["psi_f"], lq * currents.imag)
    omega = corner_rad_per_s(
        row["vdc"] / math.sqrt(3.0), row["psi_f"], row["r"], lq, row["iq"], row["id"], ld
    )
    machine.inp.u_ss, machine.inp.w_M = 0j, omega / pairs
    machine.set_outputs(0.0)
    assert machine.out.i_s == pytest.approx(currents)
    assert machine.out.tau_M == pytest.approx(row["torque"], rel=1e-3)
    lacking = machine.rhs()[0]  # flux changes by what the voltage of zero leaves unbalanced
    assert abs(lacking) == pytest.approx(row["vdc"] / math.sqrt(3.0), rel=1e-9)


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
    assert motor.back_emf(rpm, kv) == pytest.approx(math.sqrt(3.0) * phase_V, rel=1e-9)
    assert motor.flux_linkage(kv, pairs) == pytest.approx(flux_Vs)
