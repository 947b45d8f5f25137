"""What time alone does to a profile: told on its day, and without a look at every day between."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from random import Random

import pytest
from gonogo.comparison import passing_time
from gonogo.comparison.comparison import compare
from gonogo.comparison.history import Version
from gonogo.comparison.judged_side import judged_side
from gonogo.comparison.passing_time import time_turns
from gonogo.documents.git_history import Step
from gonogo.documents.loading import load_profile
from gonogo.documents.repository import Repository
from gonogo.judgement.site_rules import shop_of

from .revision import Memory, Plain, changed

pytestmark = pytest.mark.usefixtures("frozen")
FIRST, LAST = "2023-06-01", "2026-06-01"
HOUSE = "gonogo: house/1\nrules: rules\nallowances: {readings_days: 200}\n"
OWN = """\
gonogo: rule/1
id: readings-of-this-quarter
severity: fault
of: base.readings.age_days
at: readings.taken
at_most: 91
says: The readings are {of} old, above {limit}.
because: This shop lends its vehicles.
remedy: Take the readings again and enter their date.
source: Common practice.
examples:
  - {given: {base.readings.age_days: 91}, outcome: clear}
  - {given: {base.readings.age_days: 92}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""


def day(number: int) -> str:
    return (date.fromisoformat(FIRST) + timedelta(days=number)).isoformat()


def version_of(document: Plain) -> Version:
    """A profile of a shop with a rule of its own about an age."""
    texts = {"bike.yaml": json.dumps(document), "house.yaml": HOUSE, "rules/quarter.yaml": OWN}
    repository = Repository(Memory(texts))
    shop = shop_of(repository)
    assert not shop.errors
    step = Step("", FIRST, "", "bike.yaml")
    return Version(step, load_profile(repository, "bike.yaml"), shop.catalogue)


def waiver(until: str, rule: str = "battery-current-above-cells") -> Plain:
    return {"rule": rule, "accepts": 100, "reason": "One lap of the test track.", "until": until}


def walked(version: Version, first: str, last: str) -> Iterator[str]:
    """The days on which the findings are others than the day before, each judged afresh."""
    assert version.profile is not None and version.catalogue is not None
    before = None
    number = (date.fromisoformat(first) - date.fromisoformat(FIRST)).days
    while (today := day(number)) <= last:
        judgement = judged_side(version.profile, version.catalogue, today).judgement
        found = (
            judgement.verdict,
            {
                (one.rule.id, one.severity, one.entered_as, one.waived is None)
                for one in judgement.findings
            },
        )
        if before not in (None, found):
            yield today
        before, number = found, number + 1


@pytest.mark.parametrize("seed", range(6))
def test_a_long_pause_is_told_as_by_a_walk_day_by_day(bike: Plain, seed: int) -> None:
    """No day is missed on which a waiver ended, a date passed or an age reached its limit."""
    chance = Random(seed)
    changes = {"settings.battery_current_A": 95, "readings.taken": day(chance.randrange(-200, 150))}
    rules = ("battery-current-above-cells", "readings-of-this-quarter", "no-such-rule")
    changes["waivers"] = [
        waiver(day(chance.randrange(-20, 500)), chance.choice(rules)) for _ in range(3)
    ]
    version = version_of(changed(bike, changes))
    first, last = day(0), day(160)
    told = [turn.step.day for turn in time_turns(version, first, last)]
    assert told == list(walked(version, first, last))


def test_three_years_cost_no_more_than_the_days_that_matter(
    bike: Plain, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two waivers, one date: a dozen days, and not eleven hundred."""
    asked = list[str]()
    hear = passing_time.hear
    monkeypatch.setattr(
        passing_time, "hear", lambda *given: (asked.append(given[2]), hear(*given))[1]
    )
    changes = {
        "settings.battery_current_A": 95,
        "readings.taken": day(-10),
        "waivers": [waiver(day(300)), waiver(day(700), "readings-of-this-quarter")],
    }
    turns = list(time_turns(version_of(changed(bike, changes)), FIRST, LAST))
    assert len(turns) >= 4
    assert len(asked) <= 40 and len(set(asked)) == len(asked)


def test_another_day_finds_the_same_beside_one_that_was_judged(bike: Plain) -> None:
    """What no day moves is taken over; what is counted in days, in the base settings too, is not."""
    version = version_of(changed(bike, {"readings.taken": day(0)}))
    assert version.profile is not None and version.catalogue is not None
    for number in (0, 91, 92, 200, 201, 400):
        fresh = judged_side(version.profile, version.catalogue, day(number))
        spared = version.on(day(number))
        assert spared.judgement == fresh.judgement
        assert compare(fresh, spared, version.catalogue).is_empty
    found = {one.rule.id for one in version.on(day(92)).judgement.findings}
    assert "readings-of-this-quarter" in found
