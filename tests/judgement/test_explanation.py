"""The account of a finding: numbers as entered, a remedy that can be entered, the working."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.finding import Finding, Judgement

Judged = Callable[..., Judgement]
Rules = Callable[..., Catalogue]

SAYS = {"says": "{of} against {limit}.", "remedy": "Set it to {limit} or less."}


@pytest.fixture
def only(judged: Judged, rules: Rules) -> Callable[..., Finding]:
    """The one finding of one rule."""

    def found(text: str, **data: object) -> Finding:
        (finding,) = judged(text, rules({**SAYS, **data})).findings
        return finding

    return found


Only = Callable[..., Finding]


def test_peak_amperes_are_spoken_of_as_peak(only: Only) -> None:
    """A builder who entered peak is told peak: 100 A rms are 141.4 A peak."""
    finding = only(
        "settings: {phase_current_A_peak: 200}\n",
        of="settings.phase_current_A_rms",
        at_most=100,
    )
    assert finding.message == "200 A peak against 141.4 A peak."
    assert finding.remedy == "Set it to 141 A peak or less."
    assert (finding.quantity, finding.entered_as, finding.unit) == (
        "settings.phase_current_A_rms",
        "settings.phase_current_A_peak",
        "A_peak",
    )
    assert finding.value == 200
    assert finding.high == pytest.approx(141.4213562)
    assert finding.margin == pytest.approx(-58.5786438)


def test_rms_amperes_are_spoken_of_as_rms(only: Only) -> None:
    """And a builder who entered rms is told rms."""
    finding = only(
        "settings: {phase_current_A_rms: 200}\n", of="settings.phase_current_A_rms", at_most=100
    )
    assert finding.message == "200 A rms against 100 A rms."


def test_line_to_line_is_spoken_of_as_line_to_line(only: Only) -> None:
    """22 mΩ between two terminals are 11 mΩ to the star point."""
    finding = only("motor: {line_to_line_mohm: 22}\n", of="motor.phase_to_neutral_mohm", at_most=10)
    assert finding.message == "22 mΩ against 20 mΩ."


@pytest.mark.parametrize(
    ("bound", "remedy"),
    [
        ({"at_most": 120.7}, "Set it to 120 A or less."),
        ({"at_least": 250.2}, "Set it to 251 A or less."),
        ({"between": [10, 120.7]}, "Set it to 120 A or less."),
    ],
)
def test_a_remedy_is_on_the_allowed_side_of_the_step(
    bound: dict[str, object], remedy: str, only: Only
) -> None:
    """Entering what the remedy says must clear the finding."""
    finding = only("settings: {battery_current_A: 200}\n", of="settings.battery_current_A", **bound)
    assert finding.remedy == remedy


def test_a_message_shows_the_limit_as_it_is(only: Only) -> None:
    """The remedy is rounded to the step, the fact is not."""
    finding = only(
        "settings: {battery_current_A: 200}\n", of="settings.battery_current_A", at_most=120.7
    )
    assert finding.message == "200 A against 120.7 A."


def test_numbers_that_nearly_agree_are_shown_apart(only: Only) -> None:
    """`120 A against 120 A` helps nobody."""
    finding = only(
        "settings: {battery_current_A: 120.01}\n", of="settings.battery_current_A", at_most=120
    )
    assert finding.message == "120.01 A against 120 A."


@pytest.mark.parametrize(
    ("bound", "value", "margin", "share"),
    [
        ({"at_most": 120}, 180, -60, -0.5),
        ({"at_least": 200}, 180, -20, -0.1),
        ({"between": [100, 150]}, 180, -30, -0.2),
        ({"between": [200, 250]}, 180, -20, -0.1),
        ({"at_most": 0}, 180, -180, None),
    ],
)
def test_a_margin_is_how_far_from_the_limit(
    bound: dict[str, object], value: int, margin: float, share: float | None, only: Only
) -> None:
    """180 A over a limit of 120 A is half as much again too much."""
    finding = only(
        f"settings: {{battery_current_A: {value}}}\n",
        of="settings.battery_current_A",
        says="{of}.",
        remedy="Mend it.",
        **bound,
    )
    assert (finding.margin, finding.share) == (margin, share)


PACK = "pack: {parallel: 6, cell: {continuous_A: 20}}\nsettings: {battery_current_A: 180}\n"


def test_the_working_is_shown_in_names_and_in_numbers(only: Only) -> None:
    """`6 × 20 A`: a reader sees at once which of the two was mistyped."""
    finding = only(PACK, of="settings.battery_current_A", at_most="pack.cells_continuous_A")
    (line,) = finding.working
    assert (line.formula, line.numbers) == ("parallel × cell.continuous_A", "6 × 20 A")
    assert (line.quantity, line.value, line.unit, line.origin) == (
        "pack.cells_continuous_A",
        120,
        "A",
        "worked",
    )


def test_what_the_limit_came_from_is_named_with_its_lines(only: Only) -> None:
    """The other values that could be wrong."""
    finding = only(PACK, of="settings.battery_current_A", at_most="pack.cells_continuous_A")
    lines = {related.quantity: related.place.line for related in finding.related}
    assert lines == {"pack.parallel": 3, "pack.cell.continuous_A": 3}


def test_a_limit_that_is_only_a_bound_says_so(judged: Judged, rules: Rules) -> None:
    """With the board not told, the cells' 120 A is the most that the pack can give."""
    about = {
        "of": "settings.battery_current_A",
        "at_most": "pack.continuous_A",
        "says": "{of}, and the pack gives {pack.continuous_A}.",
    }
    (finding,) = judged(PACK, rules(about)).findings
    assert finding.message == "180 A, and the pack gives no more than 120 A."
    (line,) = finding.working
    assert line.side == "no more than"


def test_a_finding_about_a_worked_quantity_names_it(only: Only) -> None:
    """It points at a setting, and says which quantity was judged, in that quantity's own unit."""
    finding = only(
        "settings: {throttle: {start_V: 0.92, full_V: 4}}\n"
        "readings: {throttle: {rest_V: 0.86, full_V: 4.2}}\n",
        of="throttle.clearance_V",
        at_least=0.1,
    )
    assert (finding.quantity, finding.of, finding.unit) == (
        "settings.throttle.start_V",
        "throttle.clearance_V",
        "V",
    )
    assert (finding.value, finding.low, finding.margin) == (0.06, 0.1, -0.04)


def test_a_condition_on_a_worked_quantity_is_told_in_its_own_unit(only: Only) -> None:
    """The number beside a finding has the unit of what was judged, not of the line pointed at."""
    finding = only(
        "settings: {phase_current_A_peak: 200, battery_current_A: 100}\n",
        at="controller.phase_to_battery_ratio",
        flag_when="controller.phase_to_battery_ratio > 1",
        says="It is {of} times.",
        remedy="Mend it.",
    )
    # 200 A peak are 141.4 A rms, 1.414 times the 100 A of the battery
    assert finding.message == "It is 1.414 times."
    assert (finding.value, finding.unit) == (pytest.approx(2**0.5), "")
    assert finding.of == "controller.phase_to_battery_ratio"


@pytest.mark.parametrize(
    ("entered", "remedy"),
    [
        pytest.param("40", "Set it to 30 A rms or less.", id="a limit that is set"),
        pytest.param("none", "Choose one that gives 30 A rms.", id="none to set"),
    ],
)
def test_a_limit_that_is_none_is_not_told_to_be_set(entered: str, remedy: str, only: Only) -> None:
    """A controller without the setting has to be chosen otherwise, not set."""
    finding = only(
        f"controller: {{phase_current_A_rms: 35}}\nsettings: {{phase_current_A_rms: {entered}}}\n",
        of="motor.driven_A_rms",
        at="settings.phase_current_A_rms",
        at_most=30,
        instead="Choose one that gives {limit}.",
    )
    assert finding.remedy == remedy
