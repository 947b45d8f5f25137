"""The drive of a ride against a simulated one: motulator's machine, driven by our own points."""

from __future__ import annotations

import cmath
import importlib
import math
from typing import Any

import pytest
from gonogo.riding.drive import Drive, OperatingPoint, fullest, speed_at

pytestmark = pytest.mark.reference

ROOT_2, ROOT_3 = math.sqrt(2.0), math.sqrt(3.0)
# Three drives of our own invention: a hub motor, a chain drive, one that weakens its field.
HUB = Drive(10.0, 60.0, 30.0, 50.0, 1.0, 2.1, phase_ohm=0.11, inductance_H=4e-4, pole_pairs=20.0)
CHAIN = Drive(60.0, 180.0, 90.0, 72.0, 6.0, 1.9, phase_ohm=0.012, inductance_H=9e-5, pole_pairs=5.0)
WEAK = CHAIN._replace(kv_rpm_per_V=45.0, inductance_H=1.6e-4, weakening_A_rms=90.0)
DRIVES = {
    "hub": HUB._replace(loop_ohm=0.12, modulation=0.95),
    "chain": CHAIN._replace(loop_ohm=0.05),
    "weakened": WEAK._replace(loop_ohm=0.05, modulation=0.95),
}
# Shares of the speed at which the open-circuit voltage alone would end a drive without weakening.
SHARES = {
    "hub": (0.1, 0.5, 0.8, 0.9),
    "chain": (0.1, 0.5, 0.8, 0.95),
    "weakened": (0.4, 0.8, 1.05, 1.3),
}
POINTS = [(name, share) for name, shares in SHARES.items() for share in shares]
FINE = 60  # currents tried along and across
WITHIN = 0.03


def point_of(name: str, share: float) -> tuple[Drive, OperatingPoint]:
    drive = DRIVES[name]
    rpm = share * drive.kv_rpm_per_V * drive.modulation * drive.open_V
    return drive, fullest(drive, speed_at(drive, rpm))


def machine_of(drive: Drive) -> Any:
    """motulator's own machine, of the flux linkage that kv is."""
    model = importlib.import_module("motulator.drive.model")
    utils = importlib.import_module("motulator.drive.utils")
    pairs = int(drive.pole_pairs)
    flux_Vs = 60.0 / (2.0 * math.pi * drive.kv_rpm_per_V * ROOT_3 * pairs)
    henry = drive.inductance_H
    return model.SynchronousMachine(
        utils.SynchronousMachinePars(
            n_p=pairs, R_s=drive.phase_ohm, L_d=henry, L_q=henry, psi_f=flux_Vs
        )
    )


def held(machine: Any, currents: complex, rpm: float) -> tuple[complex, float]:
    """The voltage at which the machine's own equation stands still, and its torque."""
    par = machine.par
    machine.state.psi_s = par.L_d * currents.real + par.psi_f + 1j * par.L_q * currents.imag
    machine.inp.u_ss, machine.inp.w_M = 0j, 2.0 * math.pi * rpm / 60.0
    machine.set_outputs(0.0)
    return -machine.rhs()[0], float(machine.out.tau_M)


@pytest.mark.parametrize(("name", "share"), POINTS)
def test_a_simulated_machine_settles_at_our_currents_and_torque(name: str, share: float) -> None:
    """Its own differential equation, stepped from no current at the steady voltage of our point."""
    drive, point = point_of(name, share)
    assert point.force_N > 0.0
    machine = machine_of(drive)
    currents = ROOT_2 * complex(-point.weakening_A_rms, point.across_A_rms)
    volts, _ = held(machine, currents, point.rpm)
    omega = drive.pole_pairs * 2.0 * math.pi * point.rpm / 60.0
    assert abs(volts) <= drive.modulation * point.loaded_V / ROOT_3 * 1.001
    machine.state.psi_s, machine.state.exp_j_theta_m = complex(machine.par.psi_f), 1.0 + 0j
    step = min(0.02 / abs(omega), 0.02 * drive.inductance_H / drive.phase_ohm)
    turns = round(8.0 * drive.inductance_H / drive.phase_ohm / step)
    for number in range(turns):
        machine.state.exp_j_theta_m = cmath.exp(1j * omega * number * step)
        machine.inp.u_ss = volts * machine.state.exp_j_theta_m
        machine.set_outputs(0.0)
        first = machine.rhs()[0]
        before = machine.state.psi_s
        machine.state.psi_s = before + first * step / 2.0
        machine.state.exp_j_theta_m = cmath.exp(1j * omega * (number + 0.5) * step)
        machine.inp.u_ss = volts * machine.state.exp_j_theta_m
        machine.set_outputs(0.0)
        machine.state.psi_s = before + machine.rhs()[0] * step
    machine.set_outputs(0.0)
    settled = complex(machine.out.i_s)
    assert float(machine.out.tau_M) == pytest.approx(point.torque_Nm, rel=WITHIN)
    assert abs(settled) / ROOT_2 == pytest.approx(point.phase_A_rms, rel=WITHIN)
    drawn_W = 1.5 * (volts * settled.conjugate()).real
    assert drawn_W / point.loaded_V == pytest.approx(point.battery_A, rel=WITHIN)


def tried(most_A: float, ours_A: float) -> list[float]:
    """Currents of the whole range, and finer ones about ours; for a range of nothing only that."""
    whole = {most_A * number / FINE for number in range(FINE + 1)}
    near = {ours_A * (0.9 + 0.2 * number / FINE) for number in range(FINE + 1)}
    return sorted(current for current in whole | near if current <= most_A)


@pytest.mark.parametrize(("name", "share"), POINTS)
def test_no_currents_of_the_simulated_machine_give_more_torque(name: str, share: float) -> None:
    """The largest torque of a grid of its currents that keeps all limits, with its battery current."""
    drive, point = point_of(name, share)
    machine = machine_of(drive)
    best, drawn = 0.0, 0.0
    for across in tried(drive.phase_A_rms, point.across_A_rms):
        for along in tried(drive.weakening_A_rms, point.weakening_A_rms):
            volts, torque_Nm = held(machine, ROOT_2 * complex(-along, across), point.rpm)
            watt = 1.5 * (volts * ROOT_2 * complex(-along, -across)).real
            under = drive.open_V**2 - 4.0 * drive.loop_ohm * watt
            amperes = (drive.open_V - math.sqrt(max(under, 0.0))) / (2.0 * drive.loop_ohm)
            loaded_V = drive.open_V - amperes * drive.loop_ohm
            fits = under >= 0.0 and amperes <= drive.battery_A
            if fits and abs(volts) <= drive.modulation * loaded_V / ROOT_3 and torque_Nm > best:
                best, drawn = torque_Nm, amperes
    assert best == pytest.approx(point.torque_Nm, rel=WITHIN)
    assert best <= point.torque_Nm * 1.001
    assert drawn == pytest.approx(point.battery_A, rel=WITHIN)
