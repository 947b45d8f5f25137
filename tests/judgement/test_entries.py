"""Values to type in: at a step of the field, on the careful side, inside the window; and what holds."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from gonogo import check, entries
from gonogo.documents.error import DocumentErrors, UsageError
from gonogo.documents.schema import canonical
from gonogo.judgement.entries import ORDER_OF_WORK, place_in_work
from gonogo.judgement.entry_sheet import EntrySheet
from gonogo.judgement.field_step import is_held, to_step
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

BASE_FILE = Path(__file__).parents[1] / "hazards" / "base.yaml"
DAY = "2026-11-25"
SETTINGS = [name for name in canonical() if name.startswith("settings.")]
NUMBERS = [name for name in SETTINGS if canonical()[name].kind in ("number", "integer")]
# Settings without a side that is careful whatever the others are, and why.
NO_SIDE = {
    "settings.pack_nominal_V": "a label",
    "settings.pole_pairs": "a count, right or wrong",
    "settings.throttle.full_V": "full power too early or never",
    "settings.speed_shown.circumference_mm": "a display",
    "settings.speed_shown.ratio": "a display",
}

positive = st.floats(0.1, 5000.0)
steps = st.sampled_from([0.001, 0.01, 0.05, 0.1, 0.5, 1.0, 2.0, 5.0, 10.0, 100.0])
sides = st.sampled_from(["lower", "upper", ""])


@given(exact=positive, step=steps, careful=sides, below=positive, above=positive)
def test_a_value_inside_its_window_stays_inside(
    exact: float, step: float, careful: Any, below: float, above: float
) -> None:
    """A field in coarse steps must not carry a limit past what a part bears."""
    low, high = exact - below, exact + above
    value = to_step(exact, step, careful, low, high)
    dust = 1e-6 * max(exact, high)
    if value is not None:
        assert low - dust <= value <= high + dust
        assert abs(value / step - round(value / step)) < 1e-4


@given(exact=positive, step=steps)
def test_a_limit_is_never_rounded_to_the_unsafe_side(exact: float, step: float) -> None:
    """A current goes down, a cutoff goes up, whichever step is nearer."""
    down, up = (to_step(exact, step, side, None, None) for side in ("lower", "upper"))
    dust = 1e-6 * max(exact, step)
    assert down is None or exact - step - dust <= down <= exact + dust
    assert up is not None and exact - dust <= up <= exact + step + dust


@pytest.mark.parametrize(
    ("exact", "step", "careful", "low", "high", "value"),
    [
        pytest.param(75.0, 1.0, "lower", None, 90.0, 75, id="on a step"),
        pytest.param(75.9, 1.0, "lower", None, 90.0, 75, id="down, though up is nearer"),
        pytest.param(42.1, 1.0, "upper", 40.0, 44.0, 43, id="up, though down is nearer"),
        pytest.param(3.96, 0.1, "", 3.0, 4.2, 4.0, id="the nearer"),
        pytest.param(3.96, 0.1, "", 3.0, 3.98, 3.9, id="the nearer is outside"),
        pytest.param(46.2, 1.0, "upper", 45.0, 46.8, None, id="only the unsafe step is inside"),
        pytest.param(46.2, 1.0, "", 46.1, 46.8, None, id="no step inside"),
        pytest.param(0.4, 1.0, "lower", None, 90.0, None, id="a limit does not become nought"),
        pytest.param(0.0, 1.0, "lower", None, 90.0, 0, id="what is off stays off"),
        pytest.param(2.9125, 0.01, "upper", 2.8, 3.0, 2.92, id="volts of a cell"),
    ],
)
def test_a_value_goes_to_the_step_that_may_be_entered(
    exact: float, step: float, careful: Any, low: float, high: float, value: float | None
) -> None:
    assert to_step(exact, step, careful, low, high) == value


@given(exact=positive, step=steps, off=st.floats(-3.0, 3.0))
def test_what_is_half_a_step_off_is_held_and_more_is_not(
    exact: float, step: float, off: float
) -> None:
    """A display rounds; a whole step more was typed in by somebody."""
    typed = round(exact / step) * step
    shown = typed + off * step
    held = is_held(shown, typed, typed, step)
    if abs(abs(off) - 0.5) > 1e-3:
        assert held == (abs(off) < 0.5) or abs(off) * step < 1e-6


@pytest.mark.parametrize("name", SETTINGS)
def test_every_setting_has_its_place_in_the_work(name: str) -> None:
    """A setting that comes later is not left to the end by accident."""
    assert ORDER_OF_WORK[place_in_work(name)][0] != "Others"


@pytest.mark.parametrize("name", NUMBERS)
def test_every_limit_has_a_careful_side(name: str) -> None:
    assert bool(canonical()[name].careful) == (name not in NO_SIDE)


def build(folder: Path, **changes: Any) -> Path:
    """The sound build with sections laid over it, as a file."""
    whole = YAML(typ="safe").load(BASE_FILE)
    for name, change in changes.items():
        whole[name] = {**whole.get(name, {}), **change}
    path = folder / "build.yaml"
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    return path


def values(sheet: EntrySheet) -> dict[str, Any]:
    return {one.quantity.removeprefix("settings."): one.value for one in sheet.fields}


def test_each_form_is_the_definition_of_its_unit(tmp_path: Path) -> None:
    """√2, pole pairs, cells in series, per cent of the rating: by hand, rounded to the careful side."""
    forms = {
        "phase_current_A_rms": "peak",  # 250 · √2 = 353.55
        "max_rpm": "electrical",  # 4800 · 5
        "low_voltage.cutoff_V": "cell",  # 62 / 20
        "battery_current_A": "percent",  # 110 of 150 A is 73.3 %
        "temperature.motor.stop_degC": "fahrenheit",  # 125 · 1.8 + 32
        "throttle.start_V": "millivolts",
        "throttle.ramp_ms": "seconds",  # 0.25 s, up to a tenth
        "pole_pairs": "poles",
        "speed_shown.circumference_mm": "inches",  # 77.165
    }
    told = values(entries(build(tmp_path), forms=forms, as_of=DAY))
    assert {name: told[name] for name in forms} == {
        "phase_current_A_rms": 353,
        "max_rpm": 24000,
        "low_voltage.cutoff_V": 3.1,
        "battery_current_A": 73,
        "temperature.motor.stop_degC": 257,
        "throttle.start_V": 970,
        "throttle.ramp_ms": 0.3,
        "pole_pairs": 10,
        "speed_shown.circumference_mm": 77.2,
    }


def test_the_part_file_says_how_a_field_asks(tmp_path: Path) -> None:
    """The controller's own form, step and words, remembered once for all its vehicles."""
    fields = {
        "max_rpm": {"as": "hertz", "step": 5, "name": "top speed", "unit": "Hz el"},
        "phase_current_A_rms": {"as": "percent", "full_scale": 400},
        "low_voltage.cutoff_V": {"step": 0.5},
    }
    path = build(tmp_path)
    whole = YAML(typ="safe").load(path)
    whole["controller"]["fields"] = fields
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    sheet = entries(path, as_of=DAY)
    told = values(sheet)
    assert (told["max_rpm"], told["phase_current_A_rms"]) == (400, 62)
    named = next(one.field for one in sheet.fields if one.quantity == "settings.max_rpm")
    assert (named.name, named.written, named.step) == ("top speed", "Hz el", 5)
    # A call lays its own form over that of the file.
    asked = values(entries(path, forms={"max_rpm": "mechanical"}, as_of=DAY))
    assert asked["max_rpm"] == 4800


def test_a_part_and_the_profile_tell_of_fields_together(tmp_path: Path) -> None:
    """One screen that differs does not take away what the part file says of the others."""
    (tmp_path / "box.yaml").write_text(
        "gonogo: part/1\npart: {name: Box}\ncontroller: {max_V: 100, phase_current_A_rms: 350,"
        " fields: {max_rpm: {as: electrical}, phase_current_A_rms: {as: peak}}}\n"
    )
    path = tmp_path / "wren.yaml"
    path.write_text(
        "gonogo: profile/1\nvehicle: {name: Wren}\nmotor: {pole_pairs: 5}\n"
        "controller: {part: box.yaml, fields: {phase_current_A_rms: {as: rms}}}\n"
        "settings: {max_rpm: 4000, phase_current_A_rms: 100}\n"
    )
    told = values(entries(path, as_of=DAY))
    assert told == {"max_rpm": 20000, "phase_current_A_rms": 100}
    found = {one.rule.id for one in check(path, as_of=DAY).findings}
    assert not {one for one in found if one.startswith("override")}


def test_no_step_inside_the_window_is_told_and_nothing_is_entered(tmp_path: Path) -> None:
    """A field in whole tens of volts has none between the cutoff and the taper."""
    path = build(tmp_path)
    whole = YAML(typ="safe").load(path)
    whole["controller"]["fields"] = {"low_voltage.cutoff_V": {"step": 10}}
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    (one,) = entries(path, as_of=DAY).obstacles
    assert (one.quantity, one.value) == ("settings.low_voltage.cutoff_V", None)


def test_what_is_not_known_is_asked_for(tmp_path: Path) -> None:
    """Volts of a cell need the count of them."""
    path = tmp_path / "wren.yaml"
    path.write_text(
        "gonogo: profile/1\nvehicle: {name: Wren}\nsettings: {low_voltage: {cutoff_V: 42}}\n"
    )
    (one,) = entries(path, forms={"low_voltage.cutoff_V": "cell"}, as_of=DAY).obstacles
    assert "pack.series" in one.remedy
    assert one.value is None


def test_the_whole_profile_is_judged_again_with_the_steps(tmp_path: Path) -> None:
    """Rounding two values towards each other may close the room between them."""
    path = build(tmp_path)
    whole = YAML(typ="safe").load(path)
    whole["settings"]["throttle"]["start_V"] = 1.02
    whole["controller"]["fields"] = {"throttle.start_V": {"step": 0.25}}
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    sheet = entries(path, as_of=DAY)
    assert values(sheet)["throttle.start_V"] == 1.25
    assert sheet.judgement.profile.value("settings.throttle.start_V") == 1.25
    assert {one.rule.id for one in sheet.introduced} == {"throttle-dead-band"}


def test_an_inverted_throttle_starts_on_its_other_side(tmp_path: Path) -> None:
    """It rests high: a start that is rounded up would creep."""
    path = tmp_path / "wren.yaml"
    path.write_text(
        "gonogo: profile/1\nvehicle: {name: Wren}\ncontroller: {fields: {throttle.start_V: {step: 0.5}}}\n"
        "settings: {throttle: {start_V: 3.8, full_V: 1.0}}\n"
    )
    assert values(entries(path, as_of=DAY))["throttle.start_V"] == 3.5


SLIPS = [
    pytest.param({"phase_current_A_rms": 354}, "√2 times", id="peak for rms"),
    pytest.param({"phase_current_A_rms": 177}, "divided by √2", id="rms for peak"),
    pytest.param({"phase_current_A_rms": 433}, "√3 times", id="line for phase"),
    pytest.param({"battery_current_A": 220}, "twice", id="twice"),
    pytest.param({"battery_current_A": 11}, "a tenth", id="a tenth"),
    pytest.param({"max_rpm": 24000}, "pole pairs", id="electrical for mechanical"),
    pytest.param({"max_rpm": 960}, "pole pairs", id="mechanical for electrical"),
    pytest.param({"max_rpm": 17280}, "3.6 times", id="km/h and m/s"),
    pytest.param({"pole_pairs": 10}, "poles", id="magnets for pairs"),
    pytest.param({"low_voltage.cutoff_V": 3.1}, "of one cell", id="a cell for the pack"),
    pytest.param({"temperature.motor.stop_degC": 257}, "Fahrenheit", id="Fahrenheit"),
    pytest.param({"low_voltage.cutoff_V": 64}, "may be swapped", id="the value of another"),
    pytest.param(
        {"throttle.start_V": 4.05, "throttle.full_V": 0.97}, "swapped", id="start and full"
    ),
    pytest.param(
        {"battery_current_A": 250, "phase_current_A_rms": 110}, "swapped", id="battery and phase"
    ),
    pytest.param({"battery_current_A": 101}, "two digits exchanged", id="digits exchanged"),
    pytest.param({"max_rpm": 503}, "radians", id="radians a second"),
    pytest.param({"max_rpm": 400}, "electrical turns a second", id="Hz for rpm"),
    pytest.param({"temperature.motor.stop_degC": 398}, "kelvin", id="kelvin"),
    pytest.param({"battery_current_A": 97}, "one of the two is wrong", id="no usual slip"),
    pytest.param({"battery_current_A": 191}, "one of the two is wrong", id="no phases in DC"),
    pytest.param({"battery_current_A": 396}, "one of the two is wrong", id="no road speed in A"),
    pytest.param({"max_rpm": 300}, "one of the two is wrong", id="near no factor"),
]


@pytest.mark.parametrize(("shown", "explained"), SLIPS)
def test_a_difference_is_a_fault_and_a_usual_slip_is_named(
    shown: dict[str, Any], explained: str, tmp_path: Path
) -> None:
    """Who knows what went wrong corrects the field and not the profile."""
    path = _read_back(tmp_path, shown)
    judgement = check(path, as_of=DAY)
    assert set(judgement.stages.values()) == {"no-go"}
    found = [one for one in judgement.findings if one.rule.id == "entered-value-differs"]
    assert len(found) == len(shown)
    assert all(explained in one.because for one in found)
    assert {one.entered_as.removeprefix("readings.entered.values.") for one in found} == set(shown)
    line = judgement.profile.line(found[0].place)
    assert str(next(iter(shown.values()))) in line
    assert judgement.held is not None and judgement.held.held == 0


def _read_back(folder: Path, shown: dict[str, Any]) -> Path:
    path = build(folder)
    whole = YAML(typ="safe").load(path)
    whole["readings"]["entered"] = {"done": "2026-11-02", "values": shown}
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    return path


def test_what_is_typed_from_the_sheet_is_held(tmp_path: Path) -> None:
    """Every value of the sheet, read back as it was typed in, whatever the forms."""
    path = build(tmp_path)
    whole = YAML(typ="safe").load(path)
    whole["controller"]["fields"] = {
        "phase_current_A_rms": {"as": "peak", "step": 5},
        "max_rpm": {"as": "electrical", "step": 100},
        "low_voltage.taper_from_V": {"as": "cell", "step": 0.05},
        "regen.battery_current_A": {"as": "percent"},
    }
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    sheet = entries(path, as_of=DAY)
    assert not sheet.obstacles
    whole["readings"]["entered"] = {"done": "2026-11-02", "values": values(sheet)}
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    judgement = check(path, as_of=DAY)
    assert [one.message for one in judgement.findings if one.rule.subject == "entered"] == []
    assert judgement.held == (len(sheet.fields), len(sheet.fields))
    assert all(one.held for one in entries(path, as_of=DAY).fields)


def test_a_mode_is_read_back_by_its_name(tmp_path: Path) -> None:
    """The learner's mode holds its own, and an unknown mode is answered."""
    text = BASE_FILE.read_text("utf-8") + (
        '  entered: {done: "2026-11-02", modes: {learner: {battery_current_A: 40}}}\n'
        "modes: {learner: {battery_current_A: 40}}\n"
    )
    path = tmp_path / "build.yaml"
    path.write_text(text)
    held = check(path, as_of=DAY).held
    assert held is not None and held.held == 1
    path.write_text(
        text.replace("modes: {learner: {battery_current_A: 40}}}", "modes: {lerner: {}}}")
    )
    with pytest.raises(DocumentErrors) as wrong:
        check(path, as_of=DAY)
    assert wrong.value.errors[0].nearest == "learner"


@pytest.mark.parametrize(
    ("forms", "said"),
    [
        ({"max_rpm": "rms"}, "expected one of mechanical"),
        ({"max_rmp": "electrical"}, "max_rpm"),
        ({"direction": "percent"}, "no number"),
    ],
)
def test_a_wrong_form_is_answered(forms: dict[str, str], said: str, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=said):
        entries(build(tmp_path), forms=forms)


def test_a_mode_that_is_not_there_is_answered(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="mode="):
        entries(build(tmp_path), mode="eco")


TWO = """gonogo: profile/1
vehicle: {name: Teasel}
settings: {battery_current_A: 30}
motors:
  left: {settings: {max_rpm: 3000}%s}
  right: {settings: {max_rpm: 3000}%s}
"""
READ = ", readings: {entered: {done: '2026-11-02', values: {max_rpm: %s}}}"


def test_each_of_several_motors_is_read_back_by_itself(tmp_path: Path) -> None:
    """Two controllers are two memories: what the left one holds says nothing of the right one."""
    path = tmp_path / "teasel.yaml"
    path.write_text(TWO % (READ % 3000, READ % 3600))
    judgement = check(path, as_of=DAY)
    (found,) = [one for one in judgement.findings if one.rule.id == "entered-value-differs"]
    assert found.motors == ("right",)
    assert found.entered_as == "motors.right.readings.entered.values.max_rpm"
    assert judgement.profile.line(found.place).lstrip().startswith("right")
    assert judgement.held == (1, 4)
    held = {(one.motor, one.quantity): one.held for one in entries(path, as_of=DAY).fields}
    assert held["left", "settings.max_rpm"] is True
    assert held["right", "settings.max_rpm"] is False
    assert held["left", "settings.battery_current_A"] is None


def test_a_read_back_says_of_which_motor_it_is(tmp_path: Path) -> None:
    """One that could be of either is taken for neither."""
    path = tmp_path / "teasel.yaml"
    path.write_text(
        f"{TWO % ('', '')}readings: {{entered: {{done: '2026-11-02', values: {{max_rpm: 3000}}}}}}\n"
    )
    with pytest.raises(DocumentErrors) as wrong:
        check(path, as_of=DAY)
    assert "entered" in wrong.value.errors[0].found


def test_what_cannot_be_compared_is_not_taken_for_held(tmp_path: Path) -> None:
    """Volts of a cell say nothing of the pack while nobody knows how many cells it has."""
    path = tmp_path / "wren.yaml"
    path.write_text(
        "gonogo: profile/1\nvehicle: {name: Wren}\n"
        "controller: {fields: {low_voltage.cutoff_V: {as: cell}}}\n"
        "settings: {low_voltage: {cutoff_V: 42}}\n"
        "readings: {entered: {done: '2026-11-02', values: {low_voltage.cutoff_V: 2.8}}}\n"
    )
    judgement = check(path, as_of=DAY)
    (found,) = [one for one in judgement.findings if one.rule.id == "entered-value-differs"]
    assert "without pack.series" in found.because
    assert judgement.held == (0, 1)
