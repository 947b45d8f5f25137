"""Windows: their ends, the rules at them, and what they do where a mode inherits a setting."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from gonogo.documents.loading import load, load_profile
from gonogo.documents.location import NOWHERE
from gonogo.documents.profile import Given, Profile
from gonogo.documents.repository import open_repository
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.clause import clauses_of, gravest, in_force
from gonogo.judgement.evaluation import book_of, hear, ruling
from gonogo.judgement.finding import Judgement
from gonogo.judgement.rule import STOPS
from gonogo.judgement.site_rules import shop_of
from gonogo.judgement.sweep import Sweep, key_of
from gonogo.judgement.window import Window, window_of, windows

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = [
    path
    for path in sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
    if not load(path).motors  # windows are those of one motor
]
Read = Callable[..., Profile]
Rules = Callable[..., Catalogue]
CELLS = {"id": "cells", "of": "settings.battery_current_A", "at_most": "pack.connector_A"}
SPIN = {
    "id": "spin",
    "severity": "fault",
    "of": "readings.no_load.battery_A",
    "at_most": "settings.battery_current_A * 10 / 100",
}
HALF = {
    "id": "half",
    "severity": "advice",
    "of": "settings.battery_current_A",
    "at_most": "pack.connector_A / 2",
}


def one(profile: Profile, by: Catalogue, name: str, mode: str = "") -> Window:
    return window_of(name, mode, hear(profile, by, "2026-11-25"), by)


def test_a_window_ends_at_its_rules(vehicle: Read, rules: Rules) -> None:
    """120 A on the connector and 4 A in the free spin leave 40 A to 120 A, 60 A without advice."""
    profile = vehicle(
        "pack: {connector_A: 120}\nsettings: {battery_current_A: 50}\n"
        "readings: {no_load: {battery_A: 4}}\n"
    )
    window = one(profile, rules(CELLS, SPIN, HALF), "settings.battery_current_A")
    assert window.hard is not None and window.good is not None
    assert (window.hard.low.limit, window.hard.low.rule) == (40, "spin")
    assert (window.hard.high.limit, window.hard.high.rule) == (120, "cells")
    assert (window.good.high.limit, window.good.high.rule) == (60, "half")
    assert (window.margin, window.share) == (10, 0.25)
    assert window.depends_on == ("pack.connector_A", "readings.no_load.battery_A")


def test_a_trial_of_a_setting_reads_as_if_it_were_entered(vehicle: Read) -> None:
    """Under its own key, so that a rule's words about the trial are those about the document."""
    name = "settings.throttle.start_V"
    book = book_of(vehicle(), "2026-11-25")
    sweep = Sweep(key_of(name, None), None, {"": book}, ())
    assert sweep.book("", 90).given(name) == Given(name, 0.9, name, 0.9, 1.0, NOWHERE)


def test_a_limit_between_two_steps_is_moved_inwards(vehicle: Read, rules: Rules) -> None:
    """33.3 A cannot be entered where the step is 1 A: 33 A can."""
    profile = vehicle("pack: {connector_A: 33.3}\nsettings: {battery_current_A: 10}\n")
    window = one(profile, rules(CELLS), "settings.battery_current_A")
    assert window.hard is not None and window.hard.high.limit == 33


def test_a_window_speaks_in_the_key_that_was_entered(vehicle: Read, rules: Rules) -> None:
    """100 A rms are 141.4 A peak, and 141 A peak is what can be entered."""
    rule = {
        "id": "phase",
        "of": "settings.phase_current_A_rms",
        "at_most": "controller.phase_current_A_rms",
    }
    profile = vehicle(
        "controller: {phase_current_A_rms: 100}\nsettings: {phase_current_A_peak: 90}\n"
    )
    window = one(profile, rules(rule), "settings.phase_current_A_rms")
    assert window.entered_as == "settings.phase_current_A_peak"
    assert (window.unit, window.today) == ("A_peak", 90)
    assert window.hard is not None and window.hard.high.limit == 141


def test_rules_that_cannot_all_hold_leave_no_window(vehicle: Read, rules: Rules) -> None:
    """A spin of 9 A wants 90 A at least, a connector for 60 A wants 60 A at most."""
    profile = vehicle(
        "pack: {connector_A: 60}\nsettings: {battery_current_A: 70}\n"
        "readings: {no_load: {battery_A: 9}}\n"
    )
    window = one(profile, rules(CELLS, SPIN, HALF), "settings.battery_current_A")
    assert window.hard is None and window.good is None and window.margin is None
    assert window.conflict == ("cells", "spin")


def test_what_nothing_here_can_mend_does_not_close_the_window(vehicle: Read, rules: Rules) -> None:
    """A rule broken by something else is named, and the others still say what is allowed."""
    broken = {
        "id": "broken",
        "of": "settings.battery_current_A",
        "at_most": "-1 * controller.battery_current_A",
    }
    profile = vehicle(
        "pack: {connector_A: 120}\ncontroller: {battery_current_A: 50}\n"
        "settings: {battery_current_A: 50}\n"
    )
    window = one(profile, rules(CELLS, broken), "settings.battery_current_A")
    assert window.flagged_regardless == ("broken",)
    assert window.hard is not None and window.hard.high.limit == 120


def test_the_fault_of_another_setting_is_no_limit_of_this_one(vehicle: Read, rules: Rules) -> None:
    """A wrong regen stop is put right at the stop, not by turning regen off."""
    stop = {
        "id": "stop",
        "of": "settings.regen.stop_V",
        "at_most": "pack.full_V",
        "applies_when": "settings.regen.battery_current_A > 0",
    }
    taken_in = {"id": "in", "of": "settings.regen.battery_current_A", "at_most": "pack.connector_A"}
    name = "settings.regen.battery_current_A"
    text = "pack: {full_V: 58.8, connector_A: 40}\nsettings: {regen: {battery_current_A: %d, stop_V: 60}}\n"
    on = one(vehicle(text % 55), rules(stop, taken_in), name)
    assert on.hard is not None
    assert (on.hard.high.limit, on.hard.high.rule) == (40, "in")
    assert on.flagged_unless_off == ("stop",)
    off = one(vehicle(text % 0), rules(stop, taken_in), name)
    assert off.hard is not None
    assert (off.hard.high.limit, off.hard.high.rule) == (0, "stop")
    assert off.flagged_unless_off == ()


def test_an_end_that_is_not_known_says_what_is_missing(vehicle: Read, rules: Rules) -> None:
    """No bound is not the same as a bound that nobody can tell."""
    profile = vehicle("settings: {battery_current_A: 50}\n")
    window = one(profile, rules(CELLS), "settings.battery_current_A")
    assert window.hard is not None and window.hard.high.limit is None
    (unknown,) = window.not_checked
    assert (unknown.rule, unknown.side, unknown.missing) == ("cells", "high", ("pack.connector_A",))


def test_a_base_setting_holds_in_the_modes_that_inherit_it(vehicle: Read, rules: Rules) -> None:
    """A mode's own speed limit bounds the base's rpm unless the mode has its own."""
    rule = {
        "id": "limit",
        "of": "settings.max_rpm",
        "at_most": "vehicle.speed_limit_km_h * drivetrain.ratio / drivetrain.circumference_m",
    }
    text = (
        "drivetrain: {ratio: 10, circumference_mm: 1000}\nsettings: {max_rpm: 2000}\n"
        "modes: {yard: {speed_limit_km_h: 6}, own: {speed_limit_km_h: 3, max_rpm: 400}}\n"
    )
    by = rules(rule)
    base = one(vehicle(text), by, "settings.max_rpm")
    assert base.hard is not None
    assert (base.hard.high.limit, base.hard.high.mode) == (1000, "yard")
    own = one(vehicle(text), by, "settings.max_rpm", "own")
    assert own.hard is not None and own.hard.high.limit == 500
    assert own.entered_as == "modes.own.max_rpm"


def test_a_rule_for_the_base_only_says_nothing_in_a_mode(vehicle: Read, rules: Rules) -> None:
    """The free spin was made with the base settings."""
    text = (
        "settings: {battery_current_A: 50}\nreadings: {no_load: {battery_A: 4}}\n"
        "modes: {slow: {battery_current_A: 20}}\n"
    )
    by = rules({**SPIN, "modes": "base"})
    base = one(vehicle(text), by, "settings.battery_current_A")
    slow = one(vehicle(text), by, "settings.battery_current_A", "slow")
    assert base.hard is not None and base.hard.low.limit == 40
    assert slow.hard is not None and slow.hard.low.limit is None


def test_a_narrow_stretch_that_flags_is_found(vehicle: Read, rules: Rules) -> None:
    """Between 5 and 10 hundredths of a volt a rule flags, and nowhere else."""
    rule = {
        "id": "narrow",
        "of": "throttle.clearance_V",
        "at": "settings.throttle.start_V",
        "at_least": 0.1,
        "applies_when": "throttle.clearance_V >= 0.05",
    }
    profile = vehicle(
        "settings: {throttle: {start_V: 1.2}}\nreadings: {throttle: {rest_V: 0.8, full_V: 4.1}}\n"
    )
    window = one(profile, rules(rule), "settings.throttle.start_V")
    assert window.hard is not None
    assert (window.hard.low.limit, window.hard.low.rule) == (0.9, "narrow")


def test_a_narrow_stretch_between_two_written_numbers_is_found(vehicle: Read, rules: Rules) -> None:
    """A shop forbids the speeds at which its frame hums."""
    rule = {
        "id": "hum",
        "severity": "fault",
        "at": "settings.max_rpm",
        "flag_when": "settings.max_rpm > 3100 and settings.max_rpm < 3150",
    }
    window = one(vehicle("settings: {max_rpm: 2000}"), rules(rule), "settings.max_rpm")
    assert window.hard is not None
    assert (window.hard.high.limit, window.hard.high.rule) == (3100, "hum")


def test_a_narrow_stretch_between_two_computed_numbers_is_found(
    vehicle: Read, rules: Rules
) -> None:
    """The hum's speeds hang on the pole pairs: 61 × 10 × 7 is 4270, and 40 rpm above it."""
    hum = "61 * motor.pole_pairs * 7"
    rule = {
        "id": "hum",
        "severity": "danger",
        "at": "settings.max_rpm",
        "flag_when": f"settings.max_rpm > {hum} and settings.max_rpm < {hum} + 40",
    }
    text = "motor: {pole_pairs: 10}\nsettings: {max_rpm: 2000}\n"
    window = one(vehicle(text), rules(rule), "settings.max_rpm")
    assert window.hard is not None
    assert (window.hard.high.limit, window.hard.high.rule) == (4270, "hum")
    above = one(vehicle(text.replace("2000", "5000")), rules(rule), "settings.max_rpm")
    assert above.hard is not None and above.hard.low.limit == 4310


EMPTY = {
    "id": "settings-conflict-danger",
    "subject": "window",
    "waivable": False,
    "flag_when": "window.empty and window.danger",
    "says": "No value of {window.setting}: {window.rules}.",
}


def test_a_setting_that_no_value_fits_is_a_finding_of_its_own(
    judged: Callable[..., Judgement], rules: Rules
) -> None:
    """Whoever lowers the value for one rule only meets the other."""
    text = (
        "pack: {connector_A: 60}\nsettings: {battery_current_A: 70}\n"
        "readings: {no_load: {battery_A: 9}}\n"
    )
    found = {one.rule.id: one for one in judged(text, rules(CELLS, SPIN, EMPTY)).findings}
    finding = found["settings-conflict-danger"]
    named = "the battery current limit (settings.battery_current_A)"
    assert finding.message == f"No value of {named}: cells and spin."
    assert finding.place == found["cells"].place


def test_nothing_is_swept_where_nothing_is_wrong(
    judged: Callable[..., Judgement], rules: Rules, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A check of a sound profile costs what it did before there were windows."""

    def swept(*_: object) -> None:
        raise AssertionError("a sound profile was swept")

    for module in ("conflicts", "advice"):
        monkeypatch.setattr(f"gonogo.judgement.{module}.frame_of", swept)
    text = "pack: {connector_A: 60}\nsettings: {battery_current_A: 50}\n"
    assert judged(text, rules(CELLS, HALF, EMPTY)).verdict == "go"


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_an_example_swept_step_by_step_agrees(path: Path) -> None:
    """The throttle's windows and the temperatures', recomputed by asking at every single step."""
    repository, inside = open_repository(path)
    profile, by = load_profile(repository, inside), shop_of(repository).catalogue
    hearing = hear(profile, by, "2026-11-25")
    names = frozenset(
        {
            "settings.throttle.start_V",
            "settings.temperature.motor.stop_degC",
            "settings.low_voltage.cutoff_V",
            "settings.pack_nominal_V",
        }
    )
    found = windows(hearing, by, names)
    assert found
    for window in found:
        name = window.quantity
        given = hearing.books[window.mode].given(name)
        key = key_of(name, given)
        aside = {*window.flagged_regardless, *window.flagged_unless_off}
        clauses = [
            clause
            for clause in clauses_of(name, in_force(name, window.mode, hearing), hearing, by)
            if gravest(clause) in STOPS and clause.rule.id not in aside
        ]
        clear = []
        for steps in range(key.first, key.last + 1):
            value = key.value(steps)
            told = Given(name, value * key.factor, key.entered_as, value, key.factor, profile.place)
            books = {mode: book.changed({name: told}) for mode, book in hearing.books.items()}
            decided = [ruling(one.rule, books[one.mode]) for one in clauses]
            if all(one.outcome != "flagged" or one.severity not in STOPS for one in decided):
                clear.append(steps)
        if window.hard is None:
            assert not clear
            continue
        low, high = window.hard.low.limit, window.hard.high.limit
        first = key.first if low is None else round(low / key.step)
        last = key.last if high is None else round(high / key.step)
        assert [steps for steps in clear if first <= steps <= last] == list(range(first, last + 1))
        assert first - 1 not in clear and last + 1 not in clear
