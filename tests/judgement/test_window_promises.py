"""What windows and first values promise, held against the rules on every sound build and example."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import pytest
from gonogo.documents.edit import Edit, edited
from gonogo.documents.loading import load, load_profile
from gonogo.documents.profile import Profile
from gonogo.documents.repository import Draft, Repository, open_repository
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.clause import in_force
from gonogo.judgement.evaluation import Hearing, hear
from gonogo.judgement.frame import settings_of
from gonogo.judgement.judge import judge
from gonogo.judgement.proposal import Setting, Unfilled, proposals, tuned
from gonogo.judgement.rule import SEVERITIES, STOPS
from gonogo.judgement.site_rules import shop_of
from gonogo.judgement.sweep import key_of
from gonogo.judgement.window import Window, window_of
from gonogo.quantities.registry import affected

ROOT = Path(__file__).parents[2]
BUILDS = sorted(
    path
    for folder in (
        ROOT / "tests" / "hazards" / "sound",
        ROOT / "examples" / "workshop" / "vehicles",
    )
    for path in folder.glob("*.yaml")
    if not load(path).motors  # windows are those of one motor
)
DAY = "2026-11-25"
EVERY = 6  # all windows of all builds take minutes; each setting is met in several builds
Flag = tuple[str, str]


class Build(NamedTuple):
    """A profile with the rules of its shop."""

    path: Path
    profile: Profile
    catalogue: Catalogue

    def flags(self, profile: Profile, severities: tuple[str, ...] = STOPS) -> set[Flag]:
        """The rules that flag so gravely, each with its mode."""
        hearing = hear(profile, self.catalogue, DAY)
        return {
            (decided.rule.id, mode)
            for mode, rulings in hearing.rulings.items()
            for decided in rulings.values()
            if decided.outcome == "flagged"
            and self.catalogue.at_least(decided.rule, decided.severity) in severities
        }


def build_of(path: Path) -> Build:
    repository, inside = open_repository(path)
    return Build(path, load_profile(repository, inside), shop_of(repository).catalogue)


def some_windows(build: Build, hearing: Hearing) -> Iterator[tuple[Window, float]]:
    """Every so many windows of a build, with the factor of the key; other builds begin elsewhere."""
    names = [(name, mode) for mode in hearing.books for name in settings_of(hearing, mode)]
    for name, mode in names[BUILDS.index(build.path) % EVERY :: EVERY]:
        factor = key_of(name, hearing.books[mode].given(name)).factor
        yield window_of(name, mode, hearing, build.catalogue), factor


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_no_end_of_a_window_is_refused_and_the_step_past_it_is(path: Path) -> None:
    """Whoever enters what the window allows must not be sent back by the check."""
    build = build_of(path)
    hearing = hear(build.profile, build.catalogue, DAY)
    met = 0
    for window, factor in some_windows(build, hearing):
        name, mode = window.quantity, window.mode
        reached = affected(frozenset({name}))
        scope = {
            (decided.rule.id, one)
            for one in in_force(name, mode, hearing)
            for decided in hearing.rulings[one].values()
            if not reached.isdisjoint(decided.rule.reads) and decided.rule.modes != "any"
        }
        set_aside = {*window.flagged_regardless, *window.flagged_unless_off}
        scope = {flag for flag in scope if flag[0] not in set_aside}

        def entered(value: float, window: Window = window, factor: float = factor) -> Profile:
            setting = Setting(
                window.quantity, window.mode, window.entered_as, value, factor, window.today
            )
            return tuned(build.profile, [setting])

        for span, severities in ((window.hard, STOPS), (window.good, SEVERITIES)):
            if span is None:
                continue
            for end, outwards, last in (
                (span.low, -1, window.lowest),
                (span.high, 1, window.highest),
            ):
                value = last if end.limit is None else end.limit
                refused = build.flags(entered(value), severities) & scope
                assert not refused, (name, mode, value, refused)
                if end.rule is not None:
                    past = entered(round(value + outwards * window.step, 9))
                    assert (end.rule, end.mode) in build.flags(past, severities), (name, value)
                met += 1
    assert met


@pytest.mark.parametrize("path", BUILDS[::5], ids=lambda path: path.stem)
def test_what_a_window_allows_may_be_written_and_checked(path: Path) -> None:
    """In the file itself, under the key that the builder used."""
    build = build_of(path)
    repository, inside = open_repository(path)
    data = repository.files.read(inside)
    hearing = hear(build.profile, build.catalogue, DAY)
    before = {finding.rule.id for finding in judge(build.profile, build.catalogue, DAY).findings}
    for window, _ in some_windows(build, hearing):
        if window.today is None or window.hard is None or window.mode:
            continue
        for end in (window.hard.low, window.hard.high):
            if end.limit is None:
                continue
            keys = tuple(window.entered_as.split("."))
            text = edited(data, [Edit(keys, end.limit)], inside)
            written = load_profile(Repository(Draft(repository.files, inside, text)), inside)
            findings = judge(written, build.catalogue, DAY).findings
            stops = {one.rule.id for one in findings if one.severity in STOPS and not one.waived}
            assert stops <= before, (window.quantity, end.limit)


def without(profile: Profile, *names: str) -> Profile:
    """The profile without what stands under some names, or in sections of these names."""
    kept = {
        name: given
        for name, given in profile.givens.items()
        if not any(name == one or name.startswith(f"{one}.") for one in names)
    }
    return replace(profile, givens=kept)


@pytest.mark.parametrize("path", BUILDS, ids=lambda path: path.stem)
def test_no_first_value_is_refused(path: Path) -> None:
    """Filled from nothing, the settings bring no danger or fault that the build has not already."""
    build = build_of(path)
    bare = replace(without(build.profile, "settings"), modes={})
    before = build.flags(bare)
    settings, _ = proposals(bare, build.catalogue, DAY)
    assert len(settings) >= 10
    filled = tuned(bare, settings)
    assert build.flags(filled) <= before
    said = {one.rule.id for one in judge(filled, build.catalogue, DAY).findings}
    assert "settings-conflict" not in said


SOUND = ROOT / "tests" / "hazards" / "sound" / "kart-lfp.yaml"
HIDDEN = [
    ("motor.phase_current_A_rms", "settings.phase_current_A_rms"),
    ("wiring.phase_cable_mm2", "settings.phase_current_A_rms"),
    ("pack.bms.continuous_A", "settings.battery_current_A"),
]


@pytest.mark.parametrize(("hidden", "setting"), HIDDEN)
def test_a_first_value_waits_for_what_could_refuse_it(hidden: str, setting: str) -> None:
    """A number in a file looks like one that somebody worked out."""
    build = build_of(SOUND)
    bare = replace(without(build.profile, "settings"), modes={})
    known = {one.quantity for one in proposals(bare, build.catalogue, DAY)[0]}
    assert setting in known
    # what else bounds the motor's current: the burst, and the power on its label
    others = ["motor.phase_current_burst_A_rms", "motor.rated_power_W"]
    also = others if hidden.startswith("motor.") else []
    settings, unfilled = proposals(without(bare, hidden, *also), build.catalogue, DAY)
    assert setting not in {one.quantity for one in settings}
    (waits,) = [one for one in unfilled if one.quantity == setting]
    assert isinstance(waits, Unfilled) and any(
        name in also or name.startswith(hidden.split("_mm2")[0]) for name in waits.missing
    )
