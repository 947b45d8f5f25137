"""What windows, starting points and mending promise of every build, tried on builds made by chance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from gonogo.documents.house import House
from gonogo.documents.location import Place
from gonogo.documents.profile import Given, Profile
from gonogo.documents.schema import mode_outline, properties
from gonogo.judgement.catalogue import catalogue, catalogue_of
from gonogo.judgement.clause import clauses_of, in_force
from gonogo.judgement.evaluation import Hearing, hear
from gonogo.judgement.mend import mend, stops
from gonogo.judgement.proposal import Setting, proposals, starting_points, tuned
from gonogo.judgement.rule import STOPS
from gonogo.judgement.window import Window, window_of, windows
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

TODAY = "2026-11-25"
PLACE = Place("chance.yaml", 1, 1)
FEW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
Values = dict[str, Any]
CHEMISTRY = {"nmc": (4.2, 3.6, 2.8), "lfp": (3.65, 3.2, 2.5), "lto": (2.8, 2.4, 1.8)}


def stepped(low: float, high: float, step: float) -> st.SearchStrategy[float]:
    """A value on its entry step."""
    return st.integers(round(low / step), round(high / step)).map(lambda n: round(n * step, 9))


@st.composite
def builds(draw: st.DrawFn) -> Values:
    """What a vehicle is made of, some of it not told; nothing says that it fits together."""
    chemistry = draw(st.sampled_from(sorted(CHEMISTRY)))
    full, nominal, low = CHEMISTRY[chemistry]
    pairs = draw(st.integers(2, 20))
    whole: Values = {
        "vehicle.use": draw(st.sampled_from(("street", "off_road"))),
        "vehicle.speed_limit_km_h": draw(stepped(25, 90, 5)),
        "vehicle.power_limit_W": draw(stepped(1000, 15000, 500)),
        "vehicle.min_ambient_degC": draw(stepped(-15, 15, 1)),
        "pack.series": draw(st.integers(10, 28)),
        "pack.parallel": draw(st.integers(2, 14)),
        "pack.cell.chemistry": chemistry,
        "pack.cell.full_V": full,
        "pack.cell.nominal_V": nominal,
        "pack.cell.minimum_V": low,
        "pack.cell.continuous_A": draw(stepped(5, 25, 1)),
        "pack.cell.charge_A": draw(stepped(1, 10, 1)),
        "pack.cell.resistance_mohm": draw(stepped(5, 40, 1)),
        "pack.bms.continuous_A": draw(stepped(30, 250, 5)),
        "pack.bms.cell_low_V": low,
        "pack.bms.cell_high_V": round(full + 0.05, 2),
        "pack.connector_A": draw(stepped(30, 200, 10)),
        "wiring.fuse.rated_A": draw(stepped(40, 250, 5)),
        "wiring.battery_cable_mm2": draw(st.sampled_from((10, 16, 25, 35))),
        "wiring.battery_cable_m": 0.8,
        "wiring.kill_switch.opens": draw(st.sampled_from(("contactor", "controller_enable"))),
        "controller.min_V": draw(stepped(18, 40, 1)),
        "controller.max_V": draw(stepped(58, 130, 2)),
        "controller.battery_current_A": draw(stepped(30, 250, 10)),
        "controller.phase_current_A_rms": draw(stepped(60, 500, 10)),
        "controller.max_electrical_rpm": draw(stepped(20000, 80000, 5000)),
        "controller.max_degC": draw(stepped(70, 100, 5)),
        "motor.magnets": 2 * pairs,
        "motor.kv_rpm_per_V": draw(stepped(8, 120, 1)),
        "motor.phase_current_A_rms": draw(stepped(40, 250, 10)),
        "motor.phase_current_burst_A_rms": draw(stepped(100, 500, 10)),
        "motor.max_rpm": draw(stepped(500, 9000, 100)),
        "motor.insulation_class": draw(st.sampled_from(("B", "F", "H"))),
        "motor.temperature_sensor": draw(st.sampled_from(("kty84-130", "ntc-10k-3950", "none"))),
        "throttle.supply_V": 5,
        "drivetrain.ratio": draw(stepped(1, 12, 0.5)),
        "drivetrain.circumference_mm": draw(stepped(900, 2200, 10)),
        "readings.throttle.supply_V": draw(stepped(4.8, 5.1, 0.01)),
        "readings.throttle.rest_V": draw(stepped(0.6, 1.1, 0.01)),
        "readings.throttle.full_V": draw(stepped(3.4, 4.4, 0.01)),
        "readings.throttle.open_ground_V": draw(stepped(4.3, 5.0, 0.01)),
    }
    untold = draw(st.sets(st.sampled_from(sorted(set(whole) - {"pack.series"})), max_size=6))
    return {name: value for name, value in whole.items() if name not in untold}


@st.composite
def tunes(draw: st.DrawFn) -> Profile:
    """A build with settings somewhere about where they belong, and sometimes far from it."""
    build = draw(builds())
    series = build["pack.series"]
    peak = draw(st.booleans())
    chosen: Values = {
        "settings.pole_pairs": draw(st.integers(2, 20)),
        "settings.pack_nominal_V": draw(stepped(24, 100, 0.1)),
        "settings.battery_current_A": draw(stepped(5, 260, 1)),
        f"settings.phase_current_A_{'peak' if peak else 'rms'}": draw(stepped(20, 500, 1)),
        "settings.low_voltage.cutoff_V": draw(stepped(series * 2, series * 3.9, 0.1)),
        "settings.low_voltage.taper_from_V": draw(stepped(series * 2, series * 4, 0.1)),
        "settings.over_voltage_trip_V": draw(stepped(series * 3, series * 5, 0.1)),
        "settings.throttle.start_V": draw(stepped(0.5, 1.6, 0.01)),
        "settings.throttle.full_V": draw(stepped(3.0, 4.5, 0.01)),
        "settings.throttle.lost_below_V": draw(stepped(0, 1, 0.01)),
        "settings.throttle.lost_above_V": draw(stepped(3.8, 5, 0.01)),
        "settings.regen.battery_current_A": draw(stepped(0, 60, 1)),
        "settings.regen.taper_from_V": draw(stepped(series * 3, series * 4.2, 0.1)),
        "settings.regen.stop_V": draw(stepped(series * 3, series * 4.3, 0.1)),
        "settings.field_weakening_A_rms": draw(st.sampled_from((0, 0, 40, 150))),
        "settings.max_rpm": draw(stepped(200, 9000, 10)),
        "settings.reverse_rpm": draw(stepped(0, 600, 10)),
        "settings.temperature.motor.sensor": draw(st.sampled_from(("kty84-130", "ntc-10k-3950"))),
        "settings.temperature.motor.taper_from_degC": draw(stepped(60, 150, 1)),
        "settings.temperature.motor.stop_degC": draw(stepped(80, 190, 1)),
        "settings.temperature.controller.stop_degC": draw(stepped(60, 110, 1)),
        "settings.temperature.controller.taper_from_degC": draw(stepped(50, 100, 1)),
    }
    untold = draw(st.sets(st.sampled_from(sorted(chosen)), max_size=5))
    modes: dict[str, Values] = {}
    if draw(st.booleans()):
        modes["brisk"] = {
            "battery_current_A": draw(stepped(5, 260, 1)),
            "max_rpm": draw(stepped(200, 9000, 10)),
        }
    if draw(st.booleans()):
        modes["town"] = {"speed_limit_km_h": draw(stepped(15, 45, 5))}
    kept = {name: value for name, value in chosen.items() if name not in untold}
    return profile_of({**build, **kept}, modes)


def profile_of(values: Values, modes: Mapping[str, Values] | None = None) -> Profile:
    """A profile that gives the values under their keys."""
    givens: dict[str, Given] = {}
    for path, entered in values.items():
        one = given_as(path, entered, path)
        givens[one.name] = one
    for path in list(values):
        parts = path.split(".")
        for length in range(2, len(parts)):
            section = ".".join(parts[:length])
            entry = properties().get(section)
            if entry is not None and entry.kind == "section":
                givens[section] = Given(section, "fitted", section, "fitted", 1.0, PLACE)
    outline = mode_outline().entries
    changed = {
        mode: {
            outline[key].quantity: given_as(outline[key].path, entered, f"modes.{mode}.{key}")
            for key, entered in changes.items()
        }
        for mode, changes in (modes or {}).items()
    }
    return Profile(
        file="chance.yaml",
        name="Chance",
        givens=givens,
        absent=frozenset(),
        modes=changed,
        waivers=(),
        overrides=(),
        house=House(),
        sections={},
        place=PLACE,
        texts={},
    )


def given_as(path: str, entered: Any, entered_as: str) -> Given:
    entry = properties()[path]
    value = entered
    if entry.kind == "number":
        value = float(entered) * entry.factor
    if entry.kind == "list":
        value = (entered if entry.choices else float(entered),)
    return Given(entry.quantity, value, entered_as, entered, entry.factor, PLACE)


def entered(hearing: Hearing, window: Window, value: float) -> Hearing:
    """The profile heard anew with another value under the window's key, by the rules on it."""
    profile = hearing.profile
    reached = clauses_of(window.quantity, hearing.rulings, hearing, catalogue())
    on_it = catalogue_of({clause.rule.id: clause.rule for clause in reached}.values(), "")
    known = profile.modes[window.mode] if window.mode else profile.givens
    told = known.get(window.quantity)
    last = window.entered_as.rsplit(".", 1)[-1]
    factor = next(
        one.factor
        for path, one in properties().items()
        if one.quantity == window.quantity and path.rsplit(".", 1)[-1] == last
    )
    before = told.entered if told is not None else None
    setting = Setting(window.quantity, window.mode, window.entered_as, value, factor, before)
    return hear(tuned(profile, [setting]), on_it, TODAY)


def flagged(hearing: Hearing, window: Window, hard: bool) -> set[str]:
    """The rules on the setting that flag, in every mode in which its value is in force."""
    modes = in_force(window.quantity, window.mode, hearing)
    return {
        clause.rule.id
        for clause in clauses_of(window.quantity, modes, hearing, catalogue())
        for ruling in (hearing.rulings[clause.mode][clause.rule.id],)
        if ruling.outcome == "flagged"
        and (not hard or {clause.severity, ruling.severity} & set(STOPS))
    }


def assert_holds(hearing: Hearing, window: Window, inside: float) -> None:
    """Inside and at both ends nothing new flags; one step outside the named rule does."""
    assert window.hard is not None
    low, high = window.hard.low, window.hard.high
    first = window.lowest if low.limit is None else low.limit
    last = window.highest if high.limit is None else high.limit
    steps = round((last - first) / window.step * inside)
    for value in (first, last, round(first + steps * window.step, 9)):
        new = flagged(entered(hearing, window, value), window, hard=True) - {
            *window.flagged_regardless,
            *window.flagged_unless_off,
        }
        assert not new, (window.entered_as, value, new)
    for end, outwards in ((low, -1), (high, 1)):
        if end.limit is not None:
            beyond = round(end.limit + outwards * window.step, 9)
            assert end.rule in flagged(entered(hearing, window, beyond), window, hard=True), end
    for span in (window.good,):
        for end, outwards in ((span.low, -1), (span.high, 1)) if span is not None else ():
            if end.limit is not None:
                beyond = round(end.limit + outwards * window.step, 9)
                assert end.rule in flagged(entered(hearing, window, beyond), window, hard=False)


@FEW
@given(tunes(), st.floats(0, 1))
def test_a_value_inside_its_window_draws_no_danger_or_fault(profile: Profile, at: float) -> None:
    """Whoever enters what the window allows must not be refused for it afterwards."""
    hearing = hear(profile, catalogue(), TODAY)
    for window in windows(hearing, catalogue()):
        if window.hard is not None:
            assert_holds(hearing, window, at)
        else:
            assert len(window.conflict) >= 1


@FEW
@given(tunes(), st.floats(0.3, 1))
def test_a_lower_rating_never_widens_a_window(profile: Profile, share: float) -> None:
    """A weaker controller cannot allow more."""
    name = "controller.battery_current_A"
    if name not in profile.givens:
        return
    told = profile.givens[name]
    weaker = replace(told, value=told.value * share, entered=told.value * share)
    lesser = replace(profile, givens={**profile.givens, name: weaker})
    ends = []
    for one in (profile, lesser):
        window = window_of(
            "settings.battery_current_A", "", hear(one, catalogue(), TODAY), catalogue()
        )
        if window.hard is None:
            return
        ends.append(window.hard.high.limit)
    assert ends[0] is None or (ends[1] is not None and ends[1] <= ends[0])


@FEW
@given(tunes())
def test_a_starting_point_is_inside_its_window(profile: Profile) -> None:
    """A proposal that is refused would teach people not to trust the next one."""
    bare = replace(
        profile,
        givens={k: v for k, v in profile.givens.items() if not k.startswith("settings.")},
        modes={},
    )
    found, _ = proposals(bare, catalogue(), TODAY)
    assert len(found) >= 8
    hearing = hear(tuned(bare, found), catalogue(), TODAY)
    for window in windows(hearing, catalogue(), frozenset(one.quantity for one in found)):
        assert window.hard is not None
        assert window.margin is None or window.margin >= 0, window.entered_as
        steps = window.today / window.step if window.today is not None else 0.0
        assert abs(steps - round(steps)) < 1e-6


@FEW
@given(tunes())
def test_mending_ends_without_danger_or_says_what_cannot_hold(profile: Profile) -> None:
    """It is all mended or nothing, and never by touching what the vehicle is."""
    mending = mend(profile, catalogue(), TODAY)
    assert bool(stops(mending.after)) == bool(mending.obstacles)
    for one in mending.settings:
        assert one.quantity.startswith("settings.")
        point = starting_points()[one.quantity]
        if point.moves == "down" and one.before not in (None, "none"):
            assert one.entered < one.before, one
    known = {finding.rule.id for finding in stops(mending.after)}
    assert all(known.intersection(names) for names in mending.obstacles)


@pytest.mark.parametrize("name", sorted(starting_points()))
def test_each_starting_point_has_a_sentence_and_reads_known_names(name: str) -> None:
    """The reason goes into the profile as a comment."""
    point = starting_points()[name]
    assert point.because.endswith(".") and point.because.count(".") == 1
    assert point.starts
