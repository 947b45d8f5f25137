"""Check and rehearsal are one judge: what a rule flags as a danger, no rehearsal calls caught.

Over every build of the hazards, sound ones among them, and the example workshop.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import gonogo
import pytest

from ..hazards.test_hazards import CASES, SOUND, placed

DAY = "2026-11-25"
WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
# A danger or fault of a rule, and the failure that it is about.
ABOUT = {
    "throttle-open-ground-not-detected": "throttle-ground-open",
    "throttle-open-signal-not-detected": "throttle-signal-open",
    "throttle-open-supply-not-detected": "throttle-supply-open",
    "back-emf-above-controller": "outputs-off-at-top-speed",
    "downhill-back-emf": "outputs-off-downhill",
    "fuse-voltage-below-pack": "fuse-opens",
    "nothing-stops-the-drive": "stuck-throttle",
    "over-voltage-trip-above-controller": "bms-opens-in-regen",
    "bms-high-above-cells": "over-charge",
    "speed-above-rotor": "chain-off",
}
# What no entry prevents: a controller that burnt shut can lock a wheel, however it is set.
BROKEN_PARTS = {"output-stage-shorted"}
# A kit's controller that watches no throttle signal: rides on, and a short to the supply drives it off.
UNWATCHED = {
    "conversion-pedelec": {"throttle-shorted-to-supply"},
    # 80 km/h down a wet track: 273 N at a tenth of slip against 268 N of grip; the check judges no dead drive
    "off-road-weakened": {"uncontrolled-drag-downhill"},
}
HAZARDS = [case for case in CASES if case["expect"] != "go"]
STRICTER = {
    # whoever can turn a key at this speed
    "nothing-stops-the-drive": ("wiring.key_switch",),
    # somebody who stays near
    "bms-high-above-cells": ("pack.charger.attended",),
}


def flagged_and_caught(path: Path) -> list[str]:
    """The rules that flag a danger or fault about a failure that the rehearsal calls caught."""
    grave = [
        finding.rule.id
        for finding in gonogo.check(path, as_of=DAY).findings
        if finding.severity in ("danger", "fault")
        and not finding.modes
        and finding.rule.id in ABOUT
    ]
    if not grave:
        return []
    caught = {
        one.failure: one.caught_by
        for one in gonogo.rehearse(path, as_of=DAY)[""]
        if one.covered and not one.motor
    }
    return [
        rule
        for rule in grave
        if ABOUT[rule] in caught and caught[ABOUT[rule]] not in STRICTER.get(rule, ())
    ]


@pytest.mark.parametrize("case", HAZARDS, ids=lambda case: str(case["id"]))
def test_no_hazard_is_called_caught(case: Mapping[str, Any], tmp_path: Path) -> None:
    assert flagged_and_caught(placed(case, tmp_path)) == []


@pytest.mark.parametrize(
    "path", [*SOUND, *sorted(WORKSHOP.glob("*.yaml"))], ids=lambda path: path.stem
)
def test_no_build_that_is_good_work_has_a_grave_failure_uncovered(path: Path) -> None:
    """A GO beside a failure that may kill and that an entry could catch would contradict itself."""
    assert flagged_and_caught(path) == []
    if gonogo.check(path, as_of=DAY).verdict == "go":
        for failures in gonogo.rehearse(path, as_of=DAY).values():
            grave = [one for one in failures if one.severity == "catastrophic"]
            known = BROKEN_PARTS | UNWATCHED.get(path.stem, set())
            assert {one.failure for one in grave if one.covered is False} <= known
