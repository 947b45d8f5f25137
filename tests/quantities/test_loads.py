"""Other loads on the pack: their sum, their share of fuse and cable, what drive and loads do together."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import load_wiring, loads, one_load, pack_with_loads
from gonogo.quantities.operand import NoLessThan, NotWorked

MOWER = {
    "blades": {"current_A": 35.0, "peak_A": 60.0, "fuse_A": 50.0, "cable_mm2": 10.0},
    "lights": {"power_W": 60.0, "fuse_A": 5.0, "cable_mm2": 1.5},
    "winch": {"current_A": 20.0, "peak_A": 90.0, "behind_main_fuse": False, "fuse_A": 63.0},
}


def test_what_branches_off_before_the_main_fuse_is_left_out_behind_it() -> None:
    """The fuse carries what flows through it; the cells carry all."""
    assert loads.stated_of_loads(MOWER) == pytest.approx(55.0)
    assert loads.stated_of_fused_loads(MOWER) == pytest.approx(35.0)
    assert loads.power_of_loads(MOWER) == loads.power_of_fused_loads(MOWER) == pytest.approx(60.0)


def test_a_power_draws_the_more_current_the_lower_the_voltage() -> None:
    """60 W are 1.25 A at 48 V and 1.43 A at the cutoff of 42 V: P = U I."""
    assert loads.current(55.0, 60.0, 42.0) == pytest.approx(56.4286, abs=1e-4)
    assert loads.current(55.0, 60.0, 48.0) == pytest.approx(56.25)


def test_a_power_is_no_current_without_a_voltage() -> None:
    """Else a heater would count nothing."""
    assert loads.current_as_stated(55.0, 0.0) == pytest.approx(55.0)
    with pytest.raises(NotWorked):
        loads.current_as_stated(55.0, 60.0)


def test_the_greatest_surge_counts_once() -> None:
    """The winch starts with 70 A more than it draws, the blades with 25 A more."""
    assert loads.surge(MOWER) == pytest.approx(70.0)
    assert loads.surge({}) == loads.surge({"lamp": {"current_A": 2.0}}) == 0.0
    assert loads.surge({"heater": {"power_W": 400.0, "peak_A": 12.0}}) == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("load", "main_A", "before"),
    [
        pytest.param({"fuse_A": 40.0}, 150.0, 40.0, id="its own"),
        pytest.param({"fuse_A": "none"}, 150.0, 150.0, id="none of its own: the main fuse"),
        pytest.param({"fuse_A": "none", "behind_main_fuse": False}, 150.0, None, id="none at all"),
        pytest.param({"fuse_A": "none"}, math.inf, None, id="no main fuse either"),
        pytest.param({}, 150.0, None, id="not told"),
    ],
)
def test_the_fuse_before_a_cable(load: one_load.Load, main_A: float, before: float | None) -> None:
    """A cable burns unless the fuse before it opens first."""
    assert one_load.fuse_of(load, main_A) == before


def test_the_worst_load_is_told_whichever_stands_first() -> None:
    """By DIN VDE 0298-4, table 11, 10 mm² carry 73 A and 1.5 mm² 24 A."""
    known = {name: MOWER[name] for name in ("blades", "lights")}
    turned = dict(reversed(known.items()))
    for told in (known, turned):
        assert load_wiring.fuse_on_cable(told) == pytest.approx(100 * 50 / 73)
        assert load_wiring.fuse_on_cable_name(told) == "blades"
        assert load_wiring.load_on_fuse_name(told, 42.0) == "blades"
        assert load_wiring.load_on_fuse(told, 42.0) == pytest.approx(70.0)
        assert load_wiring.load_on_cable(told, 42.0) == pytest.approx(100 * 35 / 73)
        assert load_wiring.load_on_cable_name(told, 42.0) == "blades"


def test_a_load_of_which_not_all_is_entered_hides_no_other() -> None:
    """The winch's cable is not known; the blades' fuse is too large all the same."""
    too_large = {**MOWER, "blades": {"current_A": 35.0, "fuse_A": 80.0, "cable_mm2": 10.0}}
    share = load_wiring.fuse_on_cable(too_large)
    assert isinstance(share, NoLessThan)
    assert share == pytest.approx(100 * 80 / 73)
    with pytest.raises(NotWorked, match="winch"):
        load_wiring.fuse_on_cable(MOWER)


def test_warm_air_takes_from_a_cable() -> None:
    """DIN VDE 0298-4, table 17: PVC at 45 °C carries 0.79 of what it does at 30 °C."""
    blades = {"blades": MOWER["blades"]}
    warm = load_wiring.fuse_on_cable(blades, air_degC=45.0)
    assert warm == pytest.approx(load_wiring.fuse_on_cable(blades) / 0.79, rel=0.01)


def test_better_insulation_carries_more() -> None:
    """Silicone of the same section carries 1.66 times what PVC does, by steady heat."""
    blades = {"blades": MOWER["blades"]}
    most = load_wiring.fuse_on_cable_least(blades)
    assert most == pytest.approx(load_wiring.fuse_on_cable(blades) / 1.66, rel=0.01)
    assert load_wiring.load_on_cable_least(blades) == pytest.approx(100 * 35 / 73 / 1.66, rel=0.01)


def test_loads_without_any_fuse_are_counted() -> None:
    """Of a load that does not say it, nothing is sure."""
    bare = {"pump": {"current_A": 5.0, "fuse_A": "none", "behind_main_fuse": False}}
    assert load_wiring.without_fuse(bare) == 1.0
    assert load_wiring.first_without_fuse(bare) == "pump"
    assert load_wiring.without_fuse(MOWER) == 0.0
    assert load_wiring.without_fuse({"pump": {"current_A": 5.0, "fuse_A": "none"}}, "none") == 1.0
    untold = load_wiring.without_fuse({"pump": {"current_A": 5.0, "behind_main_fuse": False}})
    assert isinstance(untold, NoLessThan)


def test_drive_and_loads_strain_the_pack_together() -> None:
    """Ohm's and Joule's laws, by hand: 100 A through 60 mΩ of a pack of 50 V and 1500 Wh."""
    assert pack_with_loads.from_pack(60.0, 40.0) == pytest.approx(100.0)
    assert pack_with_loads.through_fuse(60.0, 35.0) == pytest.approx(95.0)
    assert pack_with_loads.sag_with_loads(100.0, 60.0, 50.0) == pytest.approx(12.0)
    assert pack_with_loads.heat_with_loads(100.0, 60.0, 58.8, 1500.0) == pytest.approx(0.4)
    held = pack_with_loads.heat_with_loads(1000.0, 60.0, 58.8, 1500.0, 42.0)
    assert held == pytest.approx((16.8 / 0.06) ** 2 * 0.06 / 1500.0)
