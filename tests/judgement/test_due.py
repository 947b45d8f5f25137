"""What is due: the last day of readings, identification and waivers is that of the rules about them."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from gonogo import check, load
from gonogo.judgement.due import Due, all_due

HEAD = """gonogo: profile/1
vehicle: {name: Wren, use: private_land, wheels: 3}
pack: {full_V: 54.75}
settings: {battery_current_A: 75}
"""


def due_of(folder: Path, more: str, judged_on: str = "2026-11-25") -> dict[str, Due]:
    path = folder / "wren.yaml"
    path.write_text(HEAD + more, encoding="utf-8")
    return {one.what: one for one in all_due(load(path), judged_on)}


@pytest.mark.parametrize(
    ("more", "what", "rule"),
    [
        ('readings: {taken: "2025-12-01"}\n', "readings", "readings-old"),
        (
            'readings: {identification: {done: "2025-12-01"}}\n',
            "motor identification",
            "identification-old",
        ),
        (
            'waivers: [{rule: fuse-missing, reason: a good one, until: "2026-12-24"}]\n',
            "waiver of fuse-missing",
            "waiver-expired",
        ),
    ],
    ids=["readings", "identification", "waiver"],
)
def test_the_last_day_is_the_last_on_which_no_rule_speaks(
    tmp_path: Path, more: str, what: str, rule: str
) -> None:
    """On that day the rule is silent, on the next one it is not."""
    found = due_of(tmp_path, more)[what]
    assert found.last_day is not None
    path = tmp_path / "wren.yaml"
    said = []
    for later in (0, 1):
        day = (date.fromisoformat(found.last_day) + timedelta(days=later)).isoformat()
        said.append(any(one.rule.id == rule for one in check(path, as_of=day).findings))
    assert said == [False, True]


def test_the_house_says_how_long_readings_hold(tmp_path: Path) -> None:
    (tmp_path / "house.yaml").write_text(
        "gonogo: house/1\nallowances: {readings_days: 10}\n", encoding="utf-8"
    )
    found = due_of(tmp_path, 'readings: {taken: "2026-11-20"}\n')["readings"]
    assert (found.last_day, found.left_days, found.holds_days) == ("2026-11-30", 5, 10)
    assert found.within(5) and not found.within(4)


def test_readings_without_a_day_are_due_at_once(tmp_path: Path) -> None:
    """Nobody knows how long it has been; what was never run only lacks its record."""
    found = due_of(tmp_path, "readings: {pack_V: 50}\n")
    assert found["readings"].within(0) and found["readings"].last_day is None
    assert not found["motor identification"].within(9999)
    assert "motor identification" not in due_of(tmp_path, "readings: {identification: none}\n")


def test_a_read_back_holds_as_long_as_readings(tmp_path: Path) -> None:
    """What nobody looked at since 2020, or never, may have been changed by anybody."""
    found = due_of(tmp_path, 'readings: {entered: {done: "2020-01-01"}}\n')["read-back"]
    assert found.within(0) and found.last_day == "2020-12-31"
    never = due_of(tmp_path, "readings: {pack_V: 50}\n")["read-back"]
    assert never.within(0) and never.last_day is None
    ahead = due_of(tmp_path, 'readings: {entered: {done: "2027-01-01"}}\n')["read-back"]
    assert ahead.within(0) and ahead.left_days is None


def test_a_day_that_lies_ahead_holds_nothing(tmp_path: Path) -> None:
    """A slip of the year shall not keep the readings fresh for another one."""
    found = due_of(tmp_path, 'readings: {taken: "2027-11-20"}\n')["readings"]
    assert found.within(0) and found.left_days is None


def test_the_end_of_the_calendar_is_no_defect(tmp_path: Path) -> None:
    found = due_of(tmp_path, 'readings: {taken: "9999-12-30"}\n', "9999-12-31")["readings"]
    assert found.last_day == "9999-12-31"
