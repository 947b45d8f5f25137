"""Waivers: accepted up to a size, for a reason, until a day, and not a step further."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from gonogo.judgement.catalogue import Catalogue, catalogue
from gonogo.judgement.finding import Judgement
from gonogo.judgement.rule import Rule
from gonogo.judgement.waivers import LONGEST_DAYS
from gonogo.quantities.operand import ABSENT, Operand

Judged = Callable[..., Judgement]
Rules = Callable[..., Catalogue]

ABOUT_WAIVERS = [rule for rule in catalogue().rules.values() if rule.subject == "waiver"]
HIGH = {"id": "current-high", "of": "settings.battery_current_A", "at_most": 100}
LOW = {"id": "stop-low", "of": "settings.low_voltage.cutoff_V", "at_least": 48}
PHASE = {"id": "phase-high", "of": "settings.phase_current_A_rms", "at_most": 100}
REASON = "Bench test on a cooled pack."


def waiver(
    rule: str = "current-high",
    accepts: str | float | None = 130,
    reason: str = REASON,
    until: str = "2026-12-31",
    mode: str = "",
) -> str:
    """The lines of one waiver."""
    parts = [f"rule: {rule}", f"reason: {reason}", f"until: {until}"]
    parts += [f"accepts: {accepts}"] if accepts is not None else []
    parts += [f"mode: {mode}"] if mode else []
    return f"  - {{{', '.join(parts)}}}\n"


def told(judgement: Judgement) -> dict[str, bool]:
    """The findings by rule, and whether each is waived."""
    return {finding.rule.id: finding.waived is not None for finding in judgement.findings}


def current(amperes: float, *waivers: str) -> str:
    return f"settings: {{battery_current_A: {amperes}}}\nwaivers:\n{''.join(waivers)}"


@pytest.mark.parametrize(
    ("amperes", "covered"),
    [
        pytest.param(129, True, id="less than accepted"),
        pytest.param(130, True, id="just what was accepted"),
        pytest.param(131, False, id="worse than accepted"),
    ],
)
def test_a_waiver_covers_up_to_what_was_accepted(
    amperes: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """Whoever accepted 130 A did not accept 131."""
    found = judged(current(amperes, waiver()), rules(HIGH, *ABOUT_WAIVERS))
    idle = {} if covered else {"waiver-covers-nothing": False}
    assert told(found) == {"current-high": covered, **idle}
    assert found.waived == covered


@pytest.mark.parametrize(("volts", "covered"), [(46.5, True), (46, True), (45.9, False)])
def test_below_a_lower_limit_less_is_worse(
    volts: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """A stop accepted at 46 V is not accepted at 45.9 V."""
    text = f"settings: {{low_voltage: {{cutoff_V: {volts}}}}}\nwaivers:\n"
    text += waiver("stop-low", accepts=46)
    assert told(judged(text, rules(LOW))) == {"stop-low": covered}


@pytest.mark.parametrize(
    ("key", "entered", "covered"),
    [
        ("phase_current_A_rms", 130, True),
        ("phase_current_A_rms", 131, False),
        ("phase_current_A_peak", 183, False),
    ],
)
def test_what_is_accepted_is_in_the_unit_of_the_key(
    key: str, entered: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """Accepting 130 under a key of peak amperes accepts 130 A peak, not rms."""
    text = f"settings: {{{key}: {entered}}}\nwaivers:\n" + waiver("phase-high", accepts=130)
    assert told(judged(text, rules(PHASE))) == {"phase-high": covered}


@pytest.mark.parametrize(("entered", "covered"), [(180, True), (181, False)])
def test_peak_amperes_are_accepted_as_peak(
    entered: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """180 A peak are 127 A rms: above the 100 A rms of the rule, and accepted as entered."""
    text = f"settings: {{phase_current_A_peak: {entered}}}\nwaivers:\n"
    text += waiver("phase-high", accepts=180)
    assert told(judged(text, rules(PHASE))) == {"phase-high": covered}


@pytest.mark.parametrize(
    ("day", "covered"),
    [
        pytest.param("2026-12-30", True, id="the day before"),
        pytest.param("2026-12-31", True, id="the last day still holds"),
        pytest.param("2027-01-01", False, id="the day after"),
    ],
)
def test_a_waiver_holds_through_its_last_day(
    day: str, covered: bool, judged: Judged, rules: Rules
) -> None:
    """What was accepted for a time comes back when the time is over, and the waiver is told of."""
    found = judged(current(130, waiver()), rules(HIGH, *ABOUT_WAIVERS), day)
    expected = {"current-high": covered} | ({} if covered else {"waiver-expired": False})
    assert told(found) == expected


@pytest.mark.parametrize(
    ("line", "paper"),
    [
        pytest.param(waiver("current-hihg"), "waiver-unknown-rule", id="a rule nobody knows"),
        pytest.param(waiver(reason="ok"), "waiver-reason-short", id="no reason"),
        pytest.param(waiver(reason="'         ok '"), "waiver-reason-short", id="spaces"),
    ],
)
def test_a_waiver_that_does_not_count_is_told_of(
    line: str, paper: str, judged: Judged, rules: Rules
) -> None:
    """It covers nothing, and whoever believes that it does is told."""
    found = judged(current(120, line), rules(HIGH, *ABOUT_WAIVERS))
    assert told(found) == {"current-high": False, paper: False}
    assert found.verdict == "no-go"


def test_some_rules_cannot_be_waived(judged: Judged, rules: Rules) -> None:
    """A throttle that creeps hurts somebody at the first touch."""
    about = {**HIGH, "waivable": False}
    found = judged(current(120, waiver()), rules(about, *ABOUT_WAIVERS))
    assert told(found) == {"current-high": False, "waiver-not-waivable": False}


def test_a_waiver_of_more_than_was_found_is_told_of(judged: Judged, rules: Rules) -> None:
    """110 A could become 130 A, and nobody would hear of it."""
    found = judged(current(110, waiver()), rules(HIGH, *ABOUT_WAIVERS))
    assert told(found) == {"current-high": True, "waiver-above-finding": False}
    assert found.verdict == "go-with-waivers"


def test_a_fault_in_a_waiver_points_at_its_own_key(judged: Judged, rules: Rules) -> None:
    """The date to change, not the head of the file."""
    text = (
        "settings: {battery_current_A: 120}\nwaivers:\n  - rule: current-high\n    accepts: 130\n"
        f"    until: 2026-01-31\n    reason: {REASON}\n"
    )
    (finding,) = [
        one
        for one in judged(text, rules(HIGH, *ABOUT_WAIVERS)).findings
        if one.rule.id == "waiver-expired"
    ]
    assert (finding.place.line, finding.place.column) == (7, 12)
    assert finding.value == -298  # 31 January to 25 November


MODES = "modes: {a: {battery_current_A: 120}, b: {battery_current_A: 125}}\n"


@pytest.mark.parametrize(
    ("waivers", "covered"),
    [
        pytest.param([waiver()], [True, True], id="one for all modes"),
        pytest.param([waiver(mode="a")], [True, False], id="one for the first mode"),
        pytest.param([waiver(accepts=120)], [True, False], id="one mode is worse"),
        pytest.param([waiver(mode="a"), waiver(mode="b")], [True, True], id="one each"),
        pytest.param([waiver(mode="a"), waiver(mode="b", accepts=120)], [True, False], id="each"),
    ],
)
def test_a_waiver_may_hold_in_one_mode(
    waivers: list[str], covered: list[bool], judged: Judged, rules: Rules
) -> None:
    """Accepted on the track is not accepted on the lane."""
    text = f"settings: {{battery_current_A: 80}}\n{MODES}waivers:\n{''.join(waivers)}"
    found = judged(text, rules(HIGH))
    by_mode = {finding.modes: finding.waived is not None for finding in found.findings}
    assert by_mode == {("a",): covered[0], ("b",): covered[1]}


FUSE = {"id": "fuse-far", "of": "wiring.fuse.rated_A", "at_most": "2 * settings.battery_current_A"}


@pytest.mark.parametrize(
    ("waivers", "covered"),
    [
        pytest.param([waiver("fuse-far", 150)], True, id="for all"),
        pytest.param([waiver("fuse-far", 150, mode="a")], False, id="for one of two modes"),
        pytest.param(
            [waiver("fuse-far", 150, mode="a"), waiver("fuse-far", 150, mode="b")], True, id="each"
        ),
    ],
)
def test_one_finding_of_two_modes_is_waived_when_both_are(
    waivers: list[str], covered: bool, judged: Judged, rules: Rules
) -> None:
    """Half a finding cannot be accepted."""
    text = (
        "wiring: {fuse: {rated_A: 150}}\nsettings: {battery_current_A: 100}\n"
        "modes: {a: {battery_current_A: 60}, b: {battery_current_A: 60}}\n"
        f"waivers:\n{''.join(waivers)}"
    )
    assert told(judged(text, rules(FUSE))) == {"fuse-far": covered}


def test_a_waiver_for_a_mode_does_not_cover_the_base_settings(judged: Judged, rules: Rules) -> None:
    """The base settings are what the vehicle wakes up in."""
    text = "settings: {battery_current_A: 120}\nmodes: {a: {throttle: {ramp_ms: 300}}}\n"
    text += f"waivers:\n{waiver(mode='a')}"
    assert told(judged(text, rules(HIGH))) == {"current-high": False}


@pytest.mark.parametrize(("accepts", "covered"), [(None, False), (120, True), (119, False)])
def test_a_number_needs_a_size_accepted(
    accepts: float | None, covered: bool, judged: Judged, rules: Rules
) -> None:
    """Without a size a waiver would accept any number."""
    found = judged(current(120, waiver(accepts=accepts)), rules(HIGH))
    assert told(found) == {"current-high": covered}


def test_a_condition_without_a_number_needs_no_size(judged: Judged, rules: Rules) -> None:
    """A missing kill switch is missing; there is no more or less of it."""
    about = {
        "id": "switch-missing",
        "at": "wiring.kill_switch",
        "flag_when": "wiring.kill_switch == 'none'",
    }
    text = f"wiring: {{kill_switch: none}}\nwaivers:\n{waiver('switch-missing', None)}"
    assert told(judged(text, rules(about))) == {"switch-missing": True}


@pytest.mark.parametrize(("entered", "covered"), [(120, True), (90, False), (150, False)])
def test_where_no_direction_is_worse_any_other_value_is(
    entered: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """A condition has no further out: what was accepted is that one value."""
    about = {
        "id": "odd-current",
        "at": "settings.battery_current_A",
        "flag_when": "settings.battery_current_A != 100",
    }
    found = judged(current(entered, waiver("odd-current", accepts=120)), rules(about))
    assert told(found) == {"odd-current": covered}


@pytest.mark.parametrize(
    ("amperes", "accepts", "covered"),
    [
        pytest.param(150, 150, True, id="half as much again"),
        pytest.param(140, 151, False, id="more than half as much again"),
        pytest.param(160, 200, False, id="twice the limit"),
    ],
)
def test_a_waiver_of_too_much_does_not_hold(
    amperes: float, accepts: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """So far out it is another risk than the one that was looked at."""
    found = judged(current(amperes, waiver(accepts=accepts)), rules(HIGH, *ABOUT_WAIVERS))
    large = {} if covered else {"waiver-too-large": False}
    assert told(found) == {"current-high": covered, **large}


@pytest.mark.parametrize(
    ("volts", "accepts", "covered"),
    [(32, 31.9, False), (32, 32, True), (31, 31, False)],
)
def test_of_a_lower_limit_two_thirds_can_be_accepted(
    volts: float, accepts: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """48 V with 32 V accepted is as far as 100 A with 150 A."""
    low = {"id": "stop-low", "of": "settings.low_voltage.cutoff_V", "at_least": 48}
    text = f"settings: {{low_voltage: {{cutoff_V: {volts}}}}}\nwaivers:\n"
    found = judged(text + waiver("stop-low", accepts=accepts), rules(low))
    assert told(found) == {"stop-low": covered}


def test_of_a_temperature_ten_kelvin_can_be_accepted(judged: Judged, rules: Rules) -> None:
    """Half as much again of 120 °C would be a fire."""
    hot = {"id": "hot", "of": "settings.temperature.motor.stop_degC", "at_most": 120}
    text = "settings: {temperature: {motor: {stop_degC: 125}}}\nwaivers:\n"
    assert told(judged(text + waiver("hot", accepts=130), rules(hot))) == {"hot": True}
    assert told(judged(text + waiver("hot", accepts=131), rules(hot))) == {"hot": False}


def test_a_waiver_of_nothing_is_told_of(judged: Judged, rules: Rules) -> None:
    """It would accept the finding in silence when it comes back."""
    found = judged(current(80, waiver()), rules(HIGH, *ABOUT_WAIVERS))
    assert told(found) == {"waiver-covers-nothing": False}


@pytest.mark.parametrize(("until", "flagged"), [("2027-11-26", False), ("2027-11-27", True)])
def test_a_waiver_runs_a_year_at_most(
    until: str, flagged: bool, judged: Judged, rules: Rules
) -> None:
    """Parts age, and nobody looks at the risk again meanwhile."""
    found = judged(current(120, waiver(until=until)), rules(HIGH, *ABOUT_WAIVERS))
    assert ("waiver-too-long" in told(found)) is flagged


@pytest.mark.parametrize("until", ["2027-11-27", "9999-12-31"])
def test_a_waiver_for_longer_does_not_hold(until: str, judged: Judged, rules: Rules) -> None:
    """It accepts nothing meanwhile either, whatever else is waived."""
    lines = (waiver(until=until), waiver("waiver-too-long", accepts=549))
    found = judged(current(120, *lines), rules(HIGH, *ABOUT_WAIVERS))
    assert told(found)["current-high"] is False
    assert found.verdict == "no-go"


@pytest.mark.parametrize("about", ABOUT_WAIVERS, ids=lambda rule: rule.id)
def test_what_is_said_of_waivers_cannot_be_waived(
    about: Rule, judged: Judged, rules: Rules
) -> None:
    """One waiver would lift the bounds of all the others."""
    lines = (
        waiver(until="2028-01-01"),
        waiver(accepts=900),
        waiver(reason="ok"),
        waiver("current-hihg"),
        waiver(about.id, None),
        waiver(about.id, 500),
    )
    found = judged(current(120, *lines), rules(HIGH, *ABOUT_WAIVERS))
    assert not any(told(found).values())
    assert not about.waivable
    assert "waiver-not-waivable" in told(found)


def test_the_longest_waiver_and_the_rule_about_it_agree() -> None:
    """What holds and what is told of are the same days."""
    (rule,) = [rule for rule in ABOUT_WAIVERS if rule.id == "waiver-too-long"]
    assert (
        rule.high is not None
        and rule.high.evaluate(lambda _: Operand(None, ABSENT)).value == LONGEST_DAYS
    )


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_waivers_of_one_rule_the_later_day_counts(
    order: int, judged: Judged, rules: Rules
) -> None:
    """The danger is covered until then, whichever stands first."""
    lines = [waiver(until="2026-12-31"), waiver(until="2027-06-30", accepts=125)][::order]
    (finding,) = judged(current(120, *lines), rules(HIGH)).findings
    assert finding.waived is not None and finding.waived.until == "2027-06-30"
    (finding,) = judged(current(128, *lines), rules(HIGH)).findings
    assert finding.waived is not None and finding.waived.until == "2026-12-31"


def test_a_size_accepted_where_there_is_none_covers_nothing(judged: Judged, rules: Rules) -> None:
    """Who enters a size believes that it is held against something."""
    about = {
        "id": "switch-missing",
        "at": "wiring.kill_switch",
        "flag_when": "wiring.kill_switch == 'none'",
    }
    text = f"wiring: {{kill_switch: none}}\nwaivers:\n{waiver('switch-missing', 5)}"
    found = judged(text, rules(about, *ABOUT_WAIVERS))
    assert told(found) == {"switch-missing": False, "waiver-covers-nothing": False}


ZERO_HIGH = {"id": "weak-high", "of": "settings.field_weakening_A_rms", "at_most": 0}
COLD = {"id": "cold", "of": "readings.temperature.motor_degC", "at_least": -10}


@pytest.mark.parametrize(
    ("value", "accepts", "covered"),
    [(3, 3, True), (3, 3.5, False), (3, 2.9, False), (0.5, 3, False), (3, -3, False)],
)
def test_of_a_limit_of_zero_the_very_value_can_be_accepted(
    value: float, accepts: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """Half of nothing is nothing, and room to grow was not looked at."""
    text = f"settings: {{field_weakening_A_rms: {value}}}\nwaivers:\n"
    found = judged(text + waiver("weak-high", accepts), rules(ZERO_HIGH))
    assert told(found) == {"weak-high": covered}


@pytest.mark.parametrize(
    ("value", "accepts", "covered"),
    [
        pytest.param(-15, -20, True, id="ten kelvin below a lower limit"),
        pytest.param(-15, -20.5, False, id="more than ten"),
        pytest.param(-15, -14, False, id="less than it is"),
        pytest.param(-15, 20, False, id="the sign forgotten"),
    ],
)
def test_below_zero_a_temperature_is_bounded_alike(
    value: float, accepts: float, covered: bool, judged: Judged, rules: Rules
) -> None:
    """Two thirds of ten below zero would be warmer than the limit."""
    text = f"readings: {{temperature: {{motor_degC: {value}}}}}\nwaivers:\n"
    found = judged(text + waiver("cold", accepts), rules(COLD))
    assert told(found) == {"cold": covered}


def test_a_graver_mode_does_not_hide_behind_the_base(judged: Judged, rules: Rules) -> None:
    """One value, one limit, but on the road it is a danger: that is a finding of its own."""
    about = {
        "id": "fuse-far",
        "severity": "advice",
        "of": "wiring.fuse.rated_A",
        "at_most": 100,
        "steps": [{"severity": "danger", "when": "settings.battery_current_A > 100"}],
    }
    text = (
        "wiring: {fuse: {rated_A: 150}}\nsettings: {battery_current_A: 50}\n"
        "modes: {sport: {battery_current_A: 120}}\n"
    )
    found = judged(text, rules(about))
    assert {one.modes: one.severity for one in found.findings} == {
        (): "advice",
        ("sport",): "danger",
    }
    assert found.verdict == "no-go"
