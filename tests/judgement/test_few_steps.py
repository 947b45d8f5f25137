"""Rules that a setting moves one way are asked at a few of its steps, whatever the rest of them is."""

from __future__ import annotations

from pathlib import Path

import gonogo
import pytest
from gonogo.documents.profile import BASE
from gonogo.judgement.clause import Clause
from gonogo.judgement.evaluation import hear
from gonogo.judgement.rule import Severity
from gonogo.judgement.sweep import Sweep
from gonogo.judgement.window import window_of

COMFREY = Path(__file__).parents[2] / "examples/workshop/vehicles/comfrey.yaml"
FEW = 120  # of up to 12,000 steps: halving, some passings and their neighbours


@pytest.mark.parametrize(
    ("setting", "rule"),
    [
        ("settings.over_voltage_trip_V", "regen-bus-rise-contactor"),
        ("settings.low_voltage.cutoff_V", "load-above-own-cable"),
        ("settings.low_voltage.cutoff_V", "load-above-own-fuse"),
        ("settings.temperature.motor.stop_degC", "burst-without-end"),
        ("settings.temperature.motor.stop_degC", "climb-short"),
    ],
)
def test_a_rule_that_moves_one_way_is_asked_at_few_steps(
    setting: str, rule: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A window of ten thousand steps is an answer while one waits only if most are not asked about."""
    asked: list[int] = []
    graded = Sweep._graded

    def counted(sweep: Sweep, clause: Clause, steps: int) -> Severity | None:
        if clause.rule.id == rule:
            asked.append(steps)
        return graded(sweep, clause, steps)

    monkeypatch.setattr(Sweep, "_graded", counted)
    profile, catalogue = gonogo._with_catalogue(COMFREY)
    hearing = hear(profile, catalogue, "2026-11-25")
    window_of(setting, BASE, hearing, catalogue)
    assert 0 < len(asked) <= FEW
