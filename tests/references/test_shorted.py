"""The braking torque of a shorted motor against a motor-drive simulation by others (motulator)."""

from __future__ import annotations

import importlib
import math
from typing import Any

import pytest
from gonogo.rehearsal.short_circuit import short_peak, shorted_torque

pytestmark = pytest.mark.reference

OHM, INDUCTANCE_H, FLUX_Vs, PAIRS = 0.03, 0.0001, 0.012, 10
CORNER = OHM / INDUCTANCE_H


@pytest.fixture
def machine() -> Any:
    """The library's own machine, of one inductance."""
    model = importlib.import_module("motulator.drive.model")
    utils = importlib.import_module("motulator.drive.utils")
    pars = utils.SynchronousMachinePars(
        n_p=PAIRS, R_s=OHM, L_d=INDUCTANCE_H, L_q=INDUCTANCE_H, psi_f=FLUX_Vs
    )
    return model.SynchronousMachine(pars)


def steady_torque(machine: Any, omega: float) -> float:
    """Torque in Nm once the currents of the turning machine have settled, its terminals at 0 V."""
    machine.state.psi_s = complex(FLUX_Vs, 0.0)
    machine.inp.u_ss, machine.inp.w_M = 0j, omega / PAIRS
    step_s = 1.0 / (20.0 * (CORNER + omega))
    for _ in range(round(30.0 / CORNER / step_s)):
        machine.set_outputs(0.0)
        machine.state.psi_s += step_s * machine.rhs()[0]
    machine.set_outputs(0.0)
    torque_Nm: float = machine.out.tau_M
    return -torque_Nm


@pytest.mark.parametrize("share", [0.1, 0.5, 1.0, 3.0, 12.0])
def test_a_simulated_machine_brakes_as_hard(machine: Any, share: float) -> None:
    """Three phases shorted, at shares of the speed R/L."""
    omega = share * CORNER
    ours = shorted_torque(omega, FLUX_Vs, OHM, INDUCTANCE_H, PAIRS)
    assert steady_torque(machine, omega) == pytest.approx(ours, rel=2e-3)


def test_a_simulated_machine_brakes_hardest_at_our_peak(machine: Any) -> None:
    """At ω = R/L, twice what two shorted phases brake with on the average."""
    peak_Nm = 2.0 * short_peak(FLUX_Vs, 1e6 * INDUCTANCE_H, PAIRS)
    assert steady_torque(machine, CORNER) == pytest.approx(peak_Nm, rel=2e-3)
    for share in (0.8, 1.25):
        assert steady_torque(machine, share * CORNER) < peak_Nm
    assert math.isclose(shorted_torque(CORNER, FLUX_Vs, OHM, INDUCTANCE_H, PAIRS), peak_Nm)
