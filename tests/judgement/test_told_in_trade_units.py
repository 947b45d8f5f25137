"""What is entered in trade units is told, windowed, mended and compared in them, to the safe side."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import diff, fill, mend, window, working
from gonogo.documents.loading import load
from gonogo.documents.schema import properties
from gonogo.documents.wire_gauge import section_of_gauge
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.evaluation import hear
from gonogo.judgement.finding import Finding, Judgement
from gonogo.judgement.sweep import key_of
from gonogo.judgement.waivers import most_accepted
from gonogo.judgement.window import window_of

DAY = "2026-11-25"
SOUND = Path(__file__).parents[1] / "hazards" / "sound" / "kart-lfp.yaml"
HEAT = "temperature: {motor: {sensor: kty84-130, taper_from_degC: 120, stop_degC: 140}, controller: {taper_from_degC: 80, stop_degC: 90}}"
HEAT_F = "temperature: {motor: {sensor: kty84-130, taper_from_degF: 248, stop_degF: 284}, controller: {taper_from_degF: 176, stop_degF: 194}}"
STOP = "settings.temperature.controller.stop_degC"


def build(folder: Path, *changes: tuple[str, str]) -> Path:
    """A sound kart with its temperatures in Fahrenheit, and with texts replaced."""
    text = SOUND.read_text(encoding="utf-8")
    for old, new in ((HEAT, HEAT_F), *changes):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = folder / "kart.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def found(judgement: Judgement, rule: str) -> Finding:
    """The only finding of a rule."""
    (finding,) = (one for one in judgement.findings if one.rule.id == rule)
    return finding


def said(command: Any, *arguments: Any) -> str:
    """What a command prints."""
    out = io.StringIO()
    command.run(*arguments, as_of=DAY, out=out)
    return out.getvalue()


def test_a_finding_speaks_fahrenheit_where_fahrenheit_was_entered(tmp_path: Path) -> None:
    """A controller made for 95 °C is one for 203 °F."""
    finding = found(
        gonogo.check(build(tmp_path, ("stop_degF: 194}}", "stop_degF: 214}}")), as_of=DAY),
        "controller-stop-above-max",
    )
    assert (finding.value, finding.high, finding.unit) == (214, 203, "degF")
    assert finding.entered_as == "settings.temperature.controller.stop_degF"
    assert "214 °F" in finding.message and "203 °F" in finding.message
    assert "203 °F or less" in finding.remedy
    assert finding.advised == 203


@pytest.mark.parametrize(
    ("rating", "advised"),
    # 95.2 °C are 203.36 °F, 95.5 °C 203.9 °F, 94.9 °C 202.82 °F: below each lies a whole degree.
    [(95.2, 203), (95.5, 203), (94.9, 202)],
)
def test_a_remedy_is_rounded_to_the_safe_side(
    tmp_path: Path, rating: float, advised: float
) -> None:
    """A limit rounded up would be a value that the controller does not bear."""
    path = build(
        tmp_path, ("stop_degF: 194}}", "stop_degF: 214}}"), ("max_degC: 95", f"max_degC: {rating}")
    )
    finding = found(gonogo.check(path, as_of=DAY), "controller-stop-above-max")
    assert finding.advised == advised
    assert f"{advised} °F or less" in finding.remedy


def test_a_difference_has_no_zero_to_move(tmp_path: Path) -> None:
    """Nine degrees Fahrenheit are 5 K and not −13 °C."""
    path = build(
        tmp_path, ("taper_from_degF: 176, stop_degF: 194", "taper_from_degF: 190, stop_degF: 194")
    )
    finding = found(gonogo.check(path, as_of=DAY), "controller-taper-near-stop")
    assert "5 K (9 °F)" in finding.message
    assert finding.advised == 185
    text = said(diff, [str(SOUND), str(path)])
    assert "13 °F" not in text and "-13" not in text
    assert "3 °F left" in said(window, path, "temperature.controller.stop")


def test_a_window_is_swept_in_degrees_fahrenheit(tmp_path: Path) -> None:
    """Asked at each degree about its end, the rules agree with the window."""
    profile = load(build(tmp_path))
    hearing = hear(profile, catalogue(), DAY)
    found_window = window_of(STOP, "", hearing, catalogue())
    assert (found_window.unit, found_window.step) == ("degF", 1)
    assert found_window.hard is not None and found_window.hard.high.limit == 203
    key = key_of(STOP, profile.givens[STOP])
    assert key.offset == properties()[key.entered_as].offset != 0.0
    text = build(tmp_path).read_text(encoding="utf-8")
    for degrees in range(200, 207):
        path = tmp_path / "tried.yaml"
        path.write_text(text.replace("stop_degF: 194}}", f"stop_degF: {degrees}}}}}"), "utf-8")
        stops = [
            one.rule.id
            for one in gonogo.check(path, as_of=DAY).findings
            if one.severity == "danger"
        ]
        assert bool(stops) == (degrees > 203), degrees


def test_a_window_is_asked_for_by_the_key_that_is_there(tmp_path: Path) -> None:
    """What stands in the file is what its writer asks about."""
    path = build(tmp_path)
    for name in ("settings.temperature.controller.stop_degF", "temperature.controller.stop_degC"):
        text = said(window, path, name)
        assert "settings.temperature.controller.stop_degF" in text
        assert "203 °F" in text


def test_mending_writes_into_the_key_that_is_there(tmp_path: Path) -> None:
    """A second key of the pair would make a document that nobody can read."""
    path = build(tmp_path, ("stop_degF: 194}}", "stop_degF: 214}}"))
    mend.run(path, True, as_of=DAY, out=io.StringIO())
    text = path.read_text(encoding="utf-8")
    assert "controller: {taper_from_degF: 176, stop_degF: 203}" in text
    assert "degC: 2" not in text
    assert not any(one.severity == "danger" for one in gonogo.check(path, as_of=DAY).findings)


def test_filling_leaves_what_is_entered_in_the_other_key(tmp_path: Path) -> None:
    """What is there under either key is not missing."""
    assert "stop_degC" not in said(fill, build(tmp_path))


def test_a_working_names_the_key_and_the_gauge(tmp_path: Path) -> None:
    """How 8.37 mm² came about is that a gauge was entered."""
    path = build(tmp_path, ("battery_cable_mm2: 50", "battery_cable_awg: 8"))
    text = said(working, path, "wiring.battery_cable_mohm")
    assert "8.366 mm²" in text
    assert "battery_cable_awg: 8" in text


def test_the_same_value_under_the_other_key_is_no_change(tmp_path: Path) -> None:
    """A file turned from kilograms to pounds says nothing new."""
    path = build(
        tmp_path,
        ("mass_kg: 135", "mass_lb: 297.6"),
        ("battery_cable_mm2: 50", "battery_cable_mm2: 53.5"),
    )
    text = said(diff, [str(SOUND), str(path)])
    assert "the same value" in text
    old = path.read_text(encoding="utf-8")
    other = tmp_path / "gauge.yaml"
    other.write_text(old.replace("battery_cable_mm2: 53.5", "battery_cable_awg: 1/0"), "utf-8")
    told = said(diff, [str(path), str(other)])
    assert "1/0 AWG (53.48 mm²): the same value" in " ".join(told.split())


def test_a_comparison_tells_a_change_in_the_key_entered(tmp_path: Path) -> None:
    """A gauge is a name: how far one lies from another is told by neither a sum nor a share."""
    one = build(tmp_path, ("battery_cable_mm2: 50", "battery_cable_awg: 2"))
    old = tmp_path / "old.yaml"
    old.write_bytes(one.read_bytes())
    text = one.read_text(encoding="utf-8")
    text = text.replace("battery_cable_awg: 2", "battery_cable_awg: 2/0")
    one.write_text(text.replace("stop_degF: 194}}", "stop_degF: 199}}"), "utf-8")
    told = " ".join(said(diff, [str(old), str(one)]).split())
    assert "battery_cable_awg 2 → 2/0 AWG (67.43 mm²)" in told
    assert "194 → 199 °F" in told
    assert "(+3" not in told


RULE = """\
id: cable-{name}
severity: danger
of: wiring.battery_cable_mm2
{bound}: 16
says: The cable of {{of}} is past {{limit}}.
because: The shop has terminals for it.
remedy: "Fit one of {{limit}} or {way}."
source: Ours.
examples:
  - {{given: {{wiring.battery_cable_mm2: 16}}, outcome: clear}}
  - {{given: {{wiring.battery_cable_mm2: {past}}}, outcome: flagged}}
  - {{given: {{}}, outcome: not_checked}}
"""


@pytest.mark.parametrize(
    ("bound", "way", "past", "gauge", "advised"),
    # 6 AWG has 13.30 mm², 5 AWG 16.77 mm², 3 AWG 26.67 mm².
    [("at_least", "more", 15, 8, 5), ("at_most", "less", 17, 3, 6)],
)
def test_an_advised_gauge_lies_on_the_allowed_side(
    tmp_path: Path, bound: str, way: str, past: int, gauge: int, advised: int
) -> None:
    """A lower number is a thicker wire: what holds of numbers holds of gauges the other way about."""
    (tmp_path / "rules").mkdir()
    rule = RULE.format(name=way, bound=bound, way=way, past=past)
    (tmp_path / "rules" / f"cable-{way}.yaml").write_text(rule, "utf-8")
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nrules: rules\n", "utf-8")
    path = build(tmp_path, ("battery_cable_mm2: 50", f"battery_cable_awg: {gauge}"))
    finding = found(gonogo.check(path, as_of=DAY), f"cable-{way}")
    assert finding.unit == "mm2"
    assert finding.advised in (None, section_of_gauge(advised))  # none where other rules forbid it
    assert f"{gauge} AWG ({section_of_gauge(gauge):.4g} mm²)" in finding.message
    assert "past 16 mm²" in finding.message
    assert (
        f"Fit one of {advised} AWG ({section_of_gauge(advised):.4g} mm²) or {way}" in finding.remedy
    )


def test_a_worked_speed_is_told_in_both(tmp_path: Path) -> None:
    """Who entered mph reads how fast that is, and the figure that was judged beside it."""
    path = build(
        tmp_path,
        ("use: private_land, mass_kg: 135", "use: street, speed_limit_mph: 20, mass_kg: 135"),
    )
    finding = found(gonogo.check(path, as_of=DAY), "speed-above-limit")
    assert "mph)" in finding.message and "limit of 20 mph" in finding.message
    assert "vehicle.speed_limit_mph" in {one.entered_as for one in finding.related}


def test_a_waiver_of_a_temperature_reaches_as_far_in_either_unit(tmp_path: Path) -> None:
    """Ten kelvins past a limit are eighteen degrees Fahrenheit, not half as much again."""
    path = build(tmp_path, ("stop_degF: 194}}", "stop_degF: 214}}"))
    finding = found(gonogo.check(path, as_of=DAY), "controller-stop-above-max")
    assert most_accepted(finding) == pytest.approx(203 + 18)
