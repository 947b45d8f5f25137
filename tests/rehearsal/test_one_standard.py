"""One standard for what a rider may catch: the same effect has the same riders and switches everywhere."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import gonogo
import pytest
from gonogo.rehearsal.failure_file import failure_specs
from gonogo.rehearsal.rehearse import Failure

from ..hazards.test_hazards import SOUND, base, changed, written

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = [*SOUND, *sorted(EXAMPLES.glob("workshop/vehicles/*.yaml"))]
VEHICLES += sorted(EXAMPLES.glob("revisions/*/before.yaml"))
VEHICLES += sorted(EXAMPLES.glob("revisions/*/after.yaml"))
DAY = "2026-11-25"


def test_the_same_effect_may_be_caught_by_the_same_people() -> None:
    """Failures with one sentence of grounds have one set of catches by a rider, and one severity."""
    by_grounds = defaultdict(list)
    for spec in failure_specs():
        hands = {(one.by, one.says) for one in spec.caught_by if one.kind == "rider"}
        by_grounds[spec.grounds].append((spec.failure, hands, spec.severity))
    shared = [group for group in by_grounds.values() if len(group) > 1]
    assert len(shared) > 3
    for group in shared:
        first = group[0]
        assert all(one[1:] == first[1:] for one in group), group


def test_what_drives_off_by_itself_is_for_the_controller_to_see() -> None:
    """Nobody is ready for it: no hand catches an open wire or a short, one may a stuck throttle."""
    off = [spec for spec in failure_specs() if spec.grounds == "The vehicle drives off by itself."]
    assert len(off) == 5
    assert all(one.kind in ("setting", "withstands") for spec in off for one in spec.caught_by)
    (stuck,) = [spec for spec in failure_specs() if spec.failure == "stuck-throttle"]
    assert {one.kind for one in stuck.caught_by} == {"rider"}


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_no_rider_catches_one_of_two_failures_that_do_the_same(path: Path) -> None:
    """Where a hand catches one, a like failure with as little force is not left uncovered."""
    for failures in gonogo.rehearse(path, as_of=DAY).values():
        by_effect: dict[tuple[str, str], list[Failure]] = defaultdict(list)
        for one in failures:
            by_effect[one.grounds, one.motor].append(one)
        for group in by_effect.values():
            assert len({one.severity for one in group}) == 1
            hands = {one.caught for one in group if one.covered and one.detection == "rider"}
            assert len(hands) <= 1
            if hands and not _forces(group):
                assert all(one.covered is not False for one in group)


def _forces(group: list[Failure]) -> bool:
    """Whether what they do differs in a braking force, which a grip holds or does not."""
    return any(effect.unit == "N" for one in group for effect in one.effect)


def test_a_switch_catches_no_open_wire_and_no_short(tmp_path: Path) -> None:
    """With brake switch and kill switch fitted, and limits that see nothing."""
    blind = {
        "settings": {"throttle": {"lost_above_V": "none", "lost_below_V": "none"}},
        "readings": {"throttle": {"open_ground_V": 3.0}},
    }
    found = {
        one.failure: one
        for one in gonogo.rehearse(written(changed(base(), blind), tmp_path), as_of=DAY)[""]
    }
    assert found["stuck-throttle"].caught_by == "throttle.brake_cut"
    assert found["throttle-ground-open"].covered is False
    assert found["throttle-shorted-to-supply"].covered is False
