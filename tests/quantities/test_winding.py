"""Winding and magnets."""

from __future__ import annotations

import pytest
from gonogo.quantities import motor
from gonogo.quantities.operand import NotWorked


def test_three_phases_heat_by_joules_law() -> None:
    """3 · 50² · 20 mΩ = 150 W."""
    assert motor.copper_loss(50.0, 20.0) == pytest.approx(150.0)


def test_hot_copper_loses_more() -> None:
    """100 K warmer is 39.3 % more resistance."""
    assert motor.copper_loss_hot(100.0) == pytest.approx(139.3)


@pytest.mark.parametrize(
    ("letter", "degC"),
    [("Y", 90), ("A", 105), ("E", 120), ("B", 130), ("F", 155), ("H", 180), ("N", 200), ("R", 220)],
)
def test_insulation_classes_are_those_of_iec_60085(letter: str, degC: float) -> None:
    """Above its class a winding ages by half its life for every ten kelvin."""
    assert motor.insulation(letter) == degC


@pytest.mark.parametrize(
    ("suffix", "degC"),
    [("N", 80), ("M", 100), ("H", 120), ("SH", 150), ("UH", 180), ("EH", 200), ("AH", 220)],
)
def test_magnet_suffixes_are_those_of_the_trade(suffix: str, degC: float) -> None:
    """Magnets cooked past this do not come back."""
    assert motor.magnet(suffix) == degC


def test_an_unknown_class_has_no_temperature() -> None:
    """No class is guessed from another."""
    with pytest.raises(NotWorked, match="Q"):
        motor.insulation("Q")
