"""A wheel that the motor brakes loses load; whether it grips, slides a little or locks."""

from __future__ import annotations

from pathlib import Path

import gonogo
import pytest
from gonogo.quantities.grip import braked_grip, braked_grip_of_short
from gonogo.rehearsal.rehearse import Failure

ROOT = Path(__file__).parents[2]
SHOP = ROOT / "examples" / "workshop" / "vehicles"
DAY = "2026-11-25"
GRAVITY = 9.80665


def rehearsed(path: Path) -> dict[str, Failure]:
    return {one.failure: one for one in gonogo.rehearse(path, as_of=DAY)[""]}


def effects(failure: Failure) -> dict[str, object]:
    return {one.quantity: one.value for one in failure.effect}


@pytest.mark.parametrize(("wheelbase_m", "height_m"), [(1.29, 0.9), (1.0, 1.0)])
def test_the_load_that_is_left_holds_just_this_force(wheelbase_m: float, height_m: float) -> None:
    """Moments about the front contact: N·l = m·g·share·l − F·h, and F = μ·N where it begins to slide."""
    mass_kg, share, friction = 180.0, 0.6, 0.4
    grip_N = friction * share * mass_kg * GRAVITY
    force_N = braked_grip(
        grip_N, 100.0 * share, 2, 1e3 * wheelbase_m, height_m, 0.8, friction, True
    )
    load_N = share * mass_kg * GRAVITY - force_N * height_m / wheelbase_m
    assert force_N == pytest.approx(friction * load_N)
    if wheelbase_m == height_m:
        short_N = braked_grip_of_short(grip_N, 100.0 * share, 0.8, friction, True)
        assert short_N == pytest.approx(force_N)


def test_wheels_that_carry_all_lose_nothing() -> None:
    assert braked_grip(400.0, 100.0, 1, 1000.0, 0.9, 0.8, 0.4) == 400.0
    assert braked_grip_of_short(400.0, 100.0, 0.8, 0.4) == 400.0


def test_a_shorted_stage_locks_what_grips_only_at_rest() -> None:
    """Bracken: 347 N are below 417 N of the standing load, and above the 326 N that braking leaves."""
    failure = rehearsed(SHOP / "bracken.yaml")["output-stage-shorted"]
    told = effects(failure)
    assert told["ride.braked_grip_N"] == pytest.approx(325.7, abs=0.1)
    assert told["failure.rolling_short_N"] == pytest.approx(347.0, abs=1.0)
    assert failure.covered is False


def test_a_shorted_stage_says_how_hard_it_brakes_at_top_speed() -> None:
    """Far less than at walking pace: twice what two phases do there, with cold magnets."""
    found = rehearsed(SHOP / "bracken.yaml")
    top_N = effects(found["output-stage-shorted"])["failure.stage_top_N"]
    two_N = effects(found["two-phases-shorted"])["failure.short_top_N"]
    assert isinstance(two_N, float)
    assert top_N == pytest.approx(2.0 * 1.03**2 * two_N, rel=1e-3)
    assert two_N < 100.0


@pytest.mark.parametrize("path", sorted(SHOP.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_wheel_is_said_to_grip_only_where_the_drag_is_below_the_grip(path: Path) -> None:
    """What slides by some percent until the drag falls is said to slide."""
    failure = rehearsed(path).get("uncontrolled-drag-downhill")
    if failure is None or failure.detection != "rider":
        return
    told = effects(failure)
    drag_N, grip_N = told["failure.generation_N"], told["ride.braked_grip_N"]
    assert isinstance(drag_N, float) and isinstance(grip_N, float)
    assert ("still grips" in failure.caught) == (drag_N <= grip_N)
    assert ("slides" in failure.caught) == (drag_N > grip_N)


def test_check_and_rehearsal_hold_braking_against_one_grip() -> None:
    """Dock: 0.4 · 4413 N · 60 % = 1059.1 N as it stands, over 1 + 0.4 · 0.4 while it brakes: 913 N."""
    finding = next(
        one
        for one in gonogo.check(SHOP / "dock.yaml", as_of=DAY).findings
        if one.rule.id == "regen-above-grip"
    )
    assert finding.severity == "fault"  # 1939 N, which locks the wheels on a dry road too
    assert "913 N" in finding.message
    assert finding.rule.reads >= {"ride.braked_grip_N"}
    assert "ride.grip_N" not in finding.rule.reads
