"""`gonogo sensor`: what a reading says, on the screen and for machines; and slips at the shell."""

from __future__ import annotations

import io
import json
from importlib.resources import files
from typing import Any

import pytest
from gonogo.commands import sensor
from gonogo.commands.main import status
from gonogo.documents.error import UsageError
from gonogo.quantities.sensor_curve import kinds
from jsonschema import Draft202012Validator


def said(form: str = "text", **reading: str) -> str:
    out = io.StringIO()
    assert sensor.run(**reading, form=form, out=out) in (0, 1, 4)  # type: ignore[arg-type]
    return out.getvalue()


COLD = ("--shown", "22", "--set", "ntc-10k-3950", "--ambient", "22")


@pytest.mark.parametrize(
    ("call", "wanted", "verdict"),
    [
        pytest.param(["--shown", "22", "--set", "pt1000", "--ambient", "22"], 0, "fits_cold", id="fits"),
        pytest.param(["--shown", "85", "--set", "ntc-10k-3950", "--ambient", "22"], 1, "wrong_kind", id="another kind"),
        pytest.param(["--ohm", "OL", "--ambient", "22"], 1, "wire", id="open"),
        pytest.param(["--ohm", "0.4", "--ambient", "22"], 1, "wire", id="short"),
        pytest.param(["--ohm", "5000", "--ambient", "22"], 1, "no_kind_fits", id="of no kind"),
        pytest.param(list(COLD), 4, "ambiguous", id="several"),
        # IEC 60751: 1941 ohm at 250 °C, where many displays stop; a silicon sensor of 2 kilohm has it too
        pytest.param(["--shown", "250", "--set", "pt1000", "--ambient", "20"], 4, "ambiguous", id="at a usual end"),
        pytest.param(["--shown", "400", "--set", "pt1000", "--ambient", "20"], 4, "ambiguous", id="end, no kind there"),
        pytest.param(["--shown", "-40", "--set", "pt100", "--ambient", "20"], 4, "ambiguous", id="at a cold end"),
        pytest.param(
            ["--shown", "250", "--set", "pt1000", "--ambient", "20", "--scale", "-50..400"],
            1, "wrong_kind", id="within the scale told",
        ),
        pytest.param(
            ["--shown", "150", "--set", "pt1000", "--ambient", "20", "--scale", "-50..150"],
            4, "ambiguous", id="at the end of the scale told",
        ),
        pytest.param(
            ["--shown", "400", "--set", "pt1000", "--ambient", "20", "--warm-reference", "80", "--warm-shown", "400"],
            4, "ambiguous", id="at the end warm too",
        ),
        # DIN 44081: at most 250 ohm cold
        pytest.param(["--ohm", "60", "--ambient", "20"], 4, "ambiguous", id="a switching thermistor"),
        # a part of 10 kilohm is so at 25 °C by definition, 5 K from the ambient
        pytest.param(["--ohm", "10k", "--ambient", "20"], 4, "ambiguous", id="nearly"),
        # at 80 °C by B values: ln(R/10k) = B (1/353.15 - 1/298.15), a display for B 3950 shows 80, or
        # with B 3435 fitted 1/(1/298.15 + 3435/3950 (1/353.15 - 1/298.15)) - 273.15 = 71.3 °C
        pytest.param([*COLD, "--warm-reference", "80", "--warm-shown", "80"], 0, "fits", id="settled warm"),
        pytest.param([*COLD, "--warm-reference", "80", "--warm-shown", "71.3"], 1, "wrong_kind", id="wrong, seen warm"),
        pytest.param([*COLD, "--warm-reference", "80", "--warm-shown", "55"], 1, "no_kind_fits", id="of none, seen warm"),
        # IEC 60751: 100 (1 + 3.9083e-3 t - 5.775e-7 t²) ohm; 130.9 at 80 °C
        pytest.param(
            ["--ohm", "108.57", "--ambient", "22", "--warm-reference", "80", "--warm-ohm", "130.9"],
            0, "fits", id="by a meter",
        ),
    ],
)  # fmt: skip
def test_the_status_says_whether_the_kind_that_is_set_fits(
    call: list[str], wanted: int, verdict: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """So that a script at the bench goes on only with a sensor that is known."""
    assert status(["sensor", *call]) == wanted
    screen = capsys.readouterr().out
    assert status(["sensor", *call, "--format", "json"]) == wanted
    record = json.loads(capsys.readouterr().out)
    assert record["verdict"] == verdict
    assert verdict.replace("_", " ").upper() in screen


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        (["--warm-reference", "80"], "expected --warm-reference with --warm-shown"),
        (["--scale", "300"], "--scale: expected its two ends"),
        (["--scale", "300..-50"], "--scale 300..-50: expected the lower end first"),
        (["--scale", "low..300"], "--scale: expected a number"),
        (["--warm-shown", "80"], "expected --warm-reference with --warm-shown"),
        (["--warm-reference", "80", "--warm-ohm", "1500"], "expected --warm-reference with"),
        (["--warm-reference", "41", "--warm-shown", "41"], "at least 20 K above --ambient"),
        (["--warm-reference", "warm", "--warm-shown", "41"], "--warm-reference: expected a number"),
        (["--warm-reference", "80", "--warm-shown", "80V"], "--warm-shown: expected"),
    ],
)
def test_half_a_warm_reading_is_no_reading(
    more: list[str], expected: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status(["sensor", *COLD, *more]) == 2
    assert expected in capsys.readouterr().err


@pytest.mark.parametrize(
    "reading",
    [
        {"shown": "85", "set_to": "ntc-10k-3950", "ambient": "22"},
        {"shown": "22", "set_to": "ntc-10k-3950", "ambient": "22"},
        {"shown": "-40", "set_to": "ntc-10k-3977", "ambient": "22"},
        {"shown": "999", "set_to": "ntc-10k-3977", "ambient": "22"},
        {"shown": "60", "set_to": "ntc-100k-3950", "ambient": "22"},
        {"ohm": "10.4k", "ambient": "21"},
        {"ohm": "OL", "ambient": "21"},
    ],
)
def test_every_answer_fits_its_schema_and_its_screen(reading: dict[str, str]) -> None:
    schema = json.loads(files("gonogo.schemas").joinpath("sensor.schema.json").read_text("utf-8"))
    record: dict[str, Any] = json.loads(said("json", **reading))
    Draft202012Validator(schema).validate(record)
    screen = said(**reading)
    assert max(map(len, screen.splitlines())) <= 80
    assert [fit["kind"] for fit in record["candidates"] if fit["kind"] not in screen] == []


@pytest.mark.parametrize("end", [200, 250, 255, 300, 400, 500, 850, -40, -50, -55, -200])
@pytest.mark.parametrize("set_to", ["pt100", "pt1000", "kty84-130", "ntc-10k-3950"])
def test_at_a_usual_end_no_kind_is_called_wrong_before_the_wire_was_measured(
    end: int, set_to: str
) -> None:
    """A broken wire leads there as well, and another kind set would not mend it."""
    record = json.loads(said("json", shown=str(end), set_to=set_to, ambient="20"))
    assert record["open"] != record["short"]
    assert record["verdict"] in ("ambiguous", "wire")
    assert "gonogo sensor --ohm" in " ".join(
        said(shown=str(end), set_to=set_to, ambient="20").split()
    )


@pytest.mark.parametrize("ohm", ["60", "100", "250", "700"])
def test_a_switching_thermistor_is_named(ohm: str) -> None:
    """DIN 44081 and DIN 44082: at most 250 ohm cold, and three in a row 750."""
    assert "switching thermistor" in said(ohm=ohm, ambient="20")


def test_without_a_reading_every_kind_is_listed() -> None:
    listed = said()
    assert [kind for kind in kinds() if f" {kind} " not in listed] == []


def test_a_temperature_may_be_in_fahrenheit() -> None:
    """As in a profile: 71.6 °F are 22 °C."""
    ours = said("json", shown="185 degF", set_to="ntc-10k-3950", ambient="71.6 °F")
    assert ours == said("json", shown="85", set_to="ntc-10k-3950", ambient="22")


@pytest.mark.parametrize("ohm", ["10400", "10.4k", "10.4 kΩ", "10.4 kohm", "10400 ohm"])
def test_a_resistance_is_read_as_a_meter_shows_it(ohm: str) -> None:
    assert json.loads(said("json", ohm=ohm, ambient="21"))["implied_ohm"] == 10400


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        ({"shown": "85"}, "expected --shown and --set"),
        ({"ambient": "22"}, "expected --shown and --set"),
        ({"shown": "85", "set_to": "pt100", "ohm": "100", "ambient": "22"}, "or --ohm"),
        ({"shown": "nan", "set_to": "pt100", "ambient": "22"}, "--shown: expected a number"),
        ({"shown": "22,5", "set_to": "pt100", "ambient": "22"}, "found '22,5'"),
        ({"shown": "85", "set_to": "pt-1000", "ambient": "hot"}, "--ambient: expected a number"),
        ({"shown": "85", "set_to": "ntc", "ambient": "22"}, "B value"),
        ({"shown": "85", "set_to": "none", "ambient": "22"}, "expected one of pt100"),
        ({"ohm": "-3", "ambient": "22"}, "--ohm: expected a resistance"),
        ({"ohm": "nan", "ambient": "22"}, "--ohm: expected a resistance"),
        ({"ohm": "10 V", "ambient": "22"}, "none of the kinds known here"),
    ],
)
def test_a_slip_is_answered_with_what_is_wanted(reading: dict[str, str], expected: str) -> None:
    with pytest.raises(UsageError) as slip:
        sensor.run(**reading)  # type: ignore[arg-type]
    assert expected in str(slip.value)


def test_the_command_takes_negative_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    """`--shown -40` is a number and no option."""
    call = ["sensor", "--shown", "-40", "--set", "ntc-10k-3977", "--ambient", "-3"]
    assert status(call) == 4
    assert "open" in capsys.readouterr().out
