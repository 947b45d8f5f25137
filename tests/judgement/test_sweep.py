"""Sweeps: of no setting each step is asked, or a check would take seconds."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo import _with_catalogue
from gonogo.judgement.evaluation import hear
from gonogo.judgement.frame import frame_of, settings_of

ROOT = Path(__file__).parents[2]
DAY = "2026-11-25"
MOST_RUNS = 300  # temperatures in whole degrees are asked one by one
FUSE = "wiring.fuse.rated_A"


@pytest.mark.parametrize(
    "path",
    [
        ROOT / "examples" / "workshop" / "vehicles" / "comfrey.yaml",
        ROOT / "tests" / "hazards" / "sound" / "mower-with-blades.yaml",
        ROOT / "tests" / "hazards" / "sound" / "cart-with-regen.yaml",
    ],
    ids=lambda path: path.stem,
)
def test_no_rule_is_asked_at_each_step(path: Path) -> None:
    """Whoever types 42 cells for 24 reads what is wrong at once, other loads, trip and fuse included."""
    profile, catalogue = _with_catalogue(path)
    hearing = hear(profile, catalogue, DAY)
    for name in (*settings_of(hearing, ""), FUSE):
        sweep = frame_of(name, "", hearing, catalogue).sweep
        for clause in sweep.clauses:
            assert len(sweep.runs(clause)) <= MOST_RUNS, (name, clause.rule.id)
