"""Facts of the trade: common practice, no source. What builders tell each other has to come out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from gonogo import check
from gonogo.judgement.finding import Finding, Judgement
from gonogo.quantities import motor, pack, pack_load, sensor, throttle
from gonogo.quantities.book import typical
from gonogo.quantities.sensor_curve import kinds

ROOM_degC = 20.0
FAMILIES = (
    "pt100",
    "pt1000",
    "kty81-110",
    "kty81-210",
    "kty84-130",
    "ntc-10k-3950",
    "ntc-47k-4050",
)


@pytest.mark.parametrize(("magnets", "pole_pairs"), [(20, 10), (28, 14), (56, 28)])
def test_pole_pairs_are_half_the_magnets(magnets: int, pole_pairs: int) -> None:
    """Common practice, no source."""
    assert motor.pole_pairs_from_magnets(magnets) == pole_pairs


def test_the_throttle_starts_a_tenth_of_a_volt_over_rest() -> None:
    """Common practice, no source: rest at 0.79 V, start at about 0.9 V; 0.10 to 0.15 V between."""
    assert 0.10 <= throttle.clearance(0.90, 0.79, 0.79) <= 0.15


def test_the_rule_of_thumb_lies_inside_the_derived_clearance() -> None:
    """Common practice, no source, against the drift of a hall throttle on 5 V over 40 K."""
    drift_V = throttle.heat_drift(0.79, 5.0, "hall")
    least_V = throttle.min_clearance(0.79, 0.79, drift_V)
    assert least_V <= 0.10
    assert throttle.max_clearance(least_V, 5.0) >= 0.15


def test_a_seventy_two_volt_pack_of_twenty_cells_stops_near_sixty_three_volts() -> None:
    """Common practice, no source: between the working minimum and the nominal volts of its cells."""
    working_V, nominal_V = (
        typical(f"pack.cell.{key}", "nmc") for key in ("working_minimum_V", "nominal_V")
    )
    assert working_V is not None and nominal_V is not None
    assert pack.nominal(20, nominal_V) == pytest.approx(72.0)
    assert pack.working_minimum(20, working_V) <= 63.0
    assert working_V <= pack_load.cell_at_cutoff(63.0, 20) < nominal_V


@pytest.mark.parametrize("kind", kinds())
def test_cold_temperatures_agree_with_the_right_kind(kind: str) -> None:
    """Common practice, no source: motor, controller and air within a degree or two."""
    assert sensor.shown_for(ROOM_degC, kind, kind) == pytest.approx(ROOM_degC, abs=2.0)


@pytest.mark.parametrize(
    ("fitted", "set_to"),
    [(fitted, set_to) for fitted in FAMILIES for set_to in FAMILIES if fitted != set_to],
)
def test_a_sensor_of_another_family_is_far_off_or_off_the_scale(fitted: str, set_to: str) -> None:
    """Common practice, no source: a wrong kind is tens of degrees wrong, never a degree or two."""
    shows = sensor.shown_for(ROOM_degC, fitted, set_to)
    assert shows is None or abs(shows - ROOM_degC) > 10.0


@pytest.mark.parametrize(("fitted", "set_to"), [("kty84-130", "ntc-10k-3950")])
def test_the_usual_mix_up_shows_near_a_hundred(fitted: str, set_to: str) -> None:
    """Common practice, no source: a display set to a thermistor, silicon fitted, at room warmth."""
    assert sensor.shown_for(ROOM_degC, fitted, set_to) == pytest.approx(100.0, abs=15.0)


# The same facts as the judge sees them: common practice, no source.

Judged = Callable[[str], Judgement]


@pytest.fixture
def judged(tmp_path: Path) -> Judged:
    """Judges a profile of which only these lines are told."""

    def verdict(text: str) -> Judgement:
        path = tmp_path / "alder.yaml"
        path.write_text(f"gonogo: profile/1\nvehicle: {{name: Alder}}\n{text}", encoding="utf-8")
        return check(path, as_of="2026-11-25")

    return verdict


def about(judgement: Judgement, *starts: str) -> dict[str, Finding]:
    """The findings whose rule begins with one of these words."""
    return {one.rule.id: one for one in judgement.findings if one.rule.id.startswith(starts)}


def amperes(entered: float) -> str:
    return (
        "pack: {continuous_A: 240}\ncontroller: {battery_current_A: 200}\n"
        f"settings: {{battery_current_A: {entered}}}\n"
    )


def test_the_weaker_of_pack_and_controller_limits_the_current(judged: Judged) -> None:
    """Common practice, no source: a pack of 240 A on a controller of 200 A is entered as 200 A."""
    found = judged(amperes(240))
    assert found.verdict == "no-go"
    (finding,) = about(found, "battery-current").values()
    assert (finding.rule.id, finding.severity) == ("battery-current-above-controller", "danger")
    assert (finding.value, finding.high, finding.place.line) == (240, 200, 5)
    assert not about(judged(amperes(200)), "battery-current")


@pytest.mark.parametrize(
    ("start_V", "flagged"),
    [
        pytest.param(0.9, {}, id="clear of rest"),
        pytest.param(
            0.8, {"throttle-start-near-rest": "danger"}, id="a hundredth of a volt above rest"
        ),
        pytest.param(0.79, {"throttle-start-near-rest": "danger"}, id="at rest"),
    ],
)
def test_a_throttle_that_rests_at_its_start_is_dangerous(
    start_V: float, flagged: dict[str, str], judged: Judged
) -> None:
    """Common practice, no source: rest at 0.79 V, start at 0.9 V; at 0.80 V it may creep."""
    found = judged(
        f"settings: {{throttle: {{start_V: {start_V}, full_V: 4.0}}}}\n"
        "readings: {throttle: {rest_V: 0.79, full_V: 4.2}}\n"
    )
    start = about(found, "throttle-clearance", "throttle-start", "throttle-dead")
    assert {rule: one.severity for rule, one in start.items()} == flagged
    assert all(one.entered_as == "settings.throttle.start_V" for one in start.values())


@pytest.mark.parametrize(
    ("stop_V", "quiet"),
    [
        pytest.param(63, True, id="3.15 V a cell"),
        pytest.param(70, False, id="close to nominal"),
        pytest.param(50, False, id="2.5 V a cell"),
    ],
)
def test_twenty_cells_stopped_at_sixty_three_volts_draw_nothing(
    stop_V: float, quiet: bool, judged: Judged
) -> None:
    """Common practice, no source: a 72 V pack of twenty cells in series stops at about 63 V."""
    found = judged(
        "pack: {series: 20, cell: {chemistry: nmc}}\n"
        f"settings: {{pack_nominal_V: 72, low_voltage: {{cutoff_V: {stop_V}, taper_from_V: 71}}}}\n"
    )
    assert (not about(found, "low-voltage-cutoff", "pack-nominal")) is quiet


COLD = """\
settings: {{temperature: {{motor: {{sensor: ntc-10k-3950}}}}}}
readings:
  ambient_degC: 20
  soaked_h: 10
  temperature: {{motor_degC: {shown}, controller_degC: 20}}
"""


def test_cold_readings_near_a_hundred_apart_are_a_wrong_sensor(judged: Judged) -> None:
    """Common practice, no source: the display is set to another kind, and the likely one is named.

    Silicon of about 580 ohm at 20 degrees read as a thermistor of 10 kilohm shows about 107.
    """
    shown = round(sensor.shown_for(ROOM_degC, "kty84-130", "ntc-10k-3950") or 0)
    (finding,) = about(judged(COLD.format(shown=shown)), "cold-readings").values()
    assert (finding.rule.id, finding.severity) == ("cold-readings-differ", "fault")
    assert "kty84-130" in finding.remedy
    assert finding.entered_as == "readings.temperature.motor_degC"


@pytest.mark.parametrize("shown", [19, 20, 22])
def test_cold_readings_that_agree_draw_nothing(shown: int, judged: Judged) -> None:
    """Common practice, no source: within a degree or two all is well."""
    assert not about(judged(COLD.format(shown=shown)), "cold-readings", "motor-sensor-kind-wrong")


@pytest.mark.parametrize(
    ("unloaded", "lifted", "flagged"),
    [
        ("true", "true", set()),
        ("false", "true", {"identification-motor-loaded"}),
        ("true", "false", {"identification-wheel-on-ground"}),
        ("false", "false", {"identification-wheel-on-ground"}),
    ],
)
def test_a_motor_learnt_under_load_is_a_fault(
    unloaded: str, lifted: str, flagged: set[str], judged: Judged
) -> None:
    """Common practice, no source: chain off and wheel in the air while the controller learns it.

    A wheel on the ground loads the motor too, and is named alone.
    """
    found = judged(
        "readings: {identification: {done: 2026-11-01, "
        f"motor_unloaded: {unloaded}, wheel_off_ground: {lifted}}}}}\n"
    )
    learnt = about(found, "identification-motor", "identification-wheel")
    assert set(learnt) == flagged
    assert all(one.severity == "fault" for one in learnt.values())


@pytest.mark.parametrize(("magnets", "pole_pairs"), [(20, 10), (28, 14), (56, 28)])
def test_pole_pairs_that_are_the_magnets_are_a_fault(
    magnets: int, pole_pairs: int, judged: Judged
) -> None:
    """Common practice, no source: whoever enters the magnets has entered twice the pole pairs."""
    text = "motor: {{magnets: {0}}}\nsettings: {{pole_pairs: {1}}}\n"
    wrong = about(judged(text.format(magnets, magnets)), "pole-pairs")
    assert {rule: one.severity for rule, one in wrong.items()} == {
        "pole-pairs-not-half-magnets": "fault"
    }
    assert not about(judged(text.format(magnets, pole_pairs)), "pole-pairs")
