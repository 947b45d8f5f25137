"""What a change does not reach is not judged a second time."""

from __future__ import annotations

import json

import pytest
from gonogo.comparison.consequence import unmoved
from gonogo.comparison.judged_side import judged_side

from .revision import JUDGED_ON, Plain, bench_of, changed

HOUSE = "gonogo: house/1\nallowances:\n  drop_percent: 1.5\n"


@pytest.mark.parametrize(
    ("changes", "reached_by_it"),
    [
        ({"settings.battery_current_A": 95}, "battery-current-above-cells"),
        ({"pack.parallel": 1}, "battery-current-above-cells"),
        ({"settings.regen": "none"}, "regen-phase-current-above-controller"),
        ({"readings": None}, "throttle-rest-varies"),
    ],
)
def test_a_rule_that_reads_what_changed_is_judged_anew(
    bike: Plain, changes: Plain, reached_by_it: str
) -> None:
    """A value, what is worked out from it, a section that is gone: each reaches its rules."""
    was, known = bench_of({"bike.yaml": json.dumps(bike)})
    now, _ = bench_of({"bike.yaml": json.dumps(changed(bike, changes))})
    assert reached_by_it in known.rules
    spared = unmoved(was.hearing, now.hearing.profile, known)
    assert reached_by_it not in spared
    assert len(spared) > 50


def test_a_house_allowance_reaches_the_rules_that_read_it(bike: Plain) -> None:
    """The shop grants less drop: the cable is judged anew."""
    text = json.dumps(bike)
    was, known = bench_of({"bike.yaml": text})
    now, _ = bench_of({"bike.yaml": text, "house.yaml": HOUSE})
    spared = unmoved(was.hearing, now.hearing.profile, known)
    assert all("house.drop_percent" not in ruling.rule.reads for ruling in spared.values())
    assert len(spared) < len(was.hearing.rulings[""])


def test_another_day_spares_nothing_that_is_counted_in_days(bike: Plain) -> None:
    """Readings age by themselves."""
    was, known = bench_of({"bike.yaml": json.dumps(bike)})
    profile = was.hearing.profile
    later = judged_side(profile, known, "2029-11-25", before=was)
    assert later.judgement == judged_side(profile, known, "2029-11-25").judgement
    assert later.judgement != judged_side(profile, known, JUDGED_ON).judgement
