"""First values that are remembered are those that would be found again."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from gonogo.commands.answer import entry_value
from gonogo.commands.proposal import drafted
from gonogo.documents.blank_profile import example_of
from gonogo.documents.files import WorkingTree
from gonogo.documents.profile import Profile
from gonogo.documents.repository import Repository
from gonogo.documents.schema import properties
from gonogo.documents.template import TemplateValue, profile_text
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.concern import Context, concern_of
from gonogo.judgement.first_ride import first_ride
from gonogo.judgement.proposal import FirstValues, proposals, starting_points

DAY = "2026-11-25"
NAMES = [name for name in first_ride(catalogue()) if not name.startswith("settings.")]


class Forgetful(FirstValues):
    """Finds each value anew."""

    def knows(self, setting: str, context: Context | None) -> bool:
        """Never."""
        return False


class Counting(FirstValues):
    """Counts what it did not have to find again."""

    hits = 0

    def knows(self, setting: str, context: Context | None) -> bool:
        """As it is, and counted."""
        known = super().knows(setting, context)
        self.hits += known
        return known


def profile_of(values: dict[str, TemplateValue], folder: Path) -> Profile:
    text = profile_text(values, {}, "", "").encode()
    return drafted(Repository(WorkingTree(folder)), "wren.yaml", text)


@pytest.mark.parametrize("seed", range(4))
def test_what_is_remembered_would_be_found_again(seed: int, tmp_path: Path) -> None:
    """A profile that grows answer by answer, in any order, with some answers `none`."""
    chance = random.Random(seed)
    answers = chance.sample(NAMES, 24)
    remembered = Counting()
    values: dict[str, TemplateValue] = {"vehicle.name": "Wren", "pack.cell.chemistry": "nmc"}
    for number, name in enumerate(answers):
        entry = properties()[name]
        is_none = entry.can_be_none and chance.random() < 0.3
        values[name] = (
            "none"
            if is_none
            else entry_value(name, str(example_of(name)).lower())
            if (entry.kind not in ("list", "stages", "text", "date", "loads"))
            else example_of(name)
        )
        if number % 3:
            continue  # several answers at once
        profile = profile_of(values, tmp_path)
        found = proposals(profile, catalogue(), DAY, remembered)
        assert found == proposals(profile, catalogue(), DAY, Forgetful())
    assert remembered.hits > 200


def test_a_concern_holds_what_a_rule_around_the_setting_reads() -> None:
    """The fuse bounds the battery current; the throttle does not."""
    point = starting_points()["settings.battery_current_A"]
    concern = concern_of(point.setting, point.reads, catalogue())
    assert {"wiring.fuse.rated_A", "pack.cell.chemistry", "controller.battery_current_A"} <= concern
    assert "readings.throttle.rest_V" not in concern
