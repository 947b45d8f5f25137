"""`gonogo sensor`: which temperature sensor is fitted, by one reading of a cold motor."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Annotated, NamedTuple, TextIO

import typer

from ..documents.error import UsageError
from ..documents.schema import properties
from ..documents.trade_units import in_ours
from ..documents.value_units import factor_to
from ..quantities.display_end import DisplayScale
from ..quantities.sensor_curve import kinds
from ..quantities.sensor_fits import WARMER_K, SensorReading, measured_sensor, read_sensor
from ..quantities.sensor_settled import settled_by_display, settled_by_meter
from ..reports.sensor import kinds_page, record, sensor_page
from ..reports.sensor_verdict import SensorCall, display_moved, sensor_verdict
from .answer import keyed_value
from .formats import as_text, known_format, page_or_record
from .options import Output, PlainFormat
from .output import GO, INCOMPLETE, NO_GO, deliver, page_for

SHOWN = "readings.temperature.motor_degC"
SET_KIND = "settings.temperature.motor.sensor"
AMBIENT = "readings.ambient_degC"
SCALE_DEGC = 3000.0  # displays show such numbers without a sensor
MEASURED = re.compile(r"([-+]?(?:\d+\.?\d*|\.\d+))\s*(.*)")
LARGEST_OHM = 1e8
THOUSANDS = {"": 1.0, "k": 1e3, "K": 1e3, "M": 1e6}  # as meters show them
NO_CIRCUIT = ("ol", "o.l", "o.l.", "inf", "open")  # as meters show what is beyond them
WARM = "readings.temperature.warm.reference_degC"
WARM_NEEDED = (
    "expected --warm-reference with --warm-shown, or with --warm-ohm where the cold one is --ohm. For "
    "example: gonogo sensor --shown 22 --set ntc-10k-3950 --ambient 22 --warm-reference 80 --warm-shown 81"
)
_STATUS_OF = {True: GO, False: NO_GO, None: INCOMPLETE}
NEEDED = (
    "expected --shown and --set, or --ohm, and with them --ambient. For example: "
    "gonogo sensor --shown 85 --set ntc-10k-3950 --ambient 22"
)


class WarmOptions(NamedTuple):
    """The options of a second reading, of the warm motor."""

    reference: str | None = None
    shown: str | None = None
    ohm: str | None = None


NOT_WARM = WarmOptions()


def run(
    shown: str | None = None,
    set_to: str | None = None,
    ambient: str | None = None,
    ohm: str | None = None,
    form: str = "text",
    output: Path | None = None,
    out: TextIO | None = None,
    warm: WarmOptions = NOT_WARM,
    scale: str | None = None,
) -> int:
    """Say which kinds of sensor fit a reading; without one, list the kinds.

    NO-GO where the kind that is set does not fit, INCOMPLETE while several do.
    """
    known_format(form)
    if shown is set_to is ambient is ohm is None and warm == NOT_WARM and scale is None:
        if form != "text":
            raise UsageError(f"gonogo sensor: {NEEDED}.")
        deliver(as_text(kinds_page(), page_for(output, out)), output, out)
        return GO
    call = _call(shown, set_to, ambient, ohm)._replace(scale=_scale(scale))
    reading = read(call)
    call = _settled(call, reading, warm)
    page = page_for(output, out)
    text = page_or_record(
        form, lambda: sensor_page(reading, call), lambda: record(reading, call), page
    )
    deliver(text, output, out)
    return _STATUS_OF[sensor_verdict(reading, call).fits]


def _settled(call: SensorCall, reading: SensorReading, warm: WarmOptions) -> SensorCall:
    """The call with what the warm motor adds; raises UsageError for half a reading."""
    if warm == NOT_WARM:
        return call
    told = warm.shown if call.ohm is None else warm.ohm
    if warm.reference is None or told is None or None not in (warm.shown, warm.ohm):
        raise UsageError(f"gonogo sensor: {WARM_NEEDED}.")
    degC = _degC(WARM, "--warm-reference", warm.reference)
    if degC < call.ambient_degC + WARMER_K:
        raise UsageError(
            f"--warm-reference {warm.reference}: expected at least {WARMER_K:g} K above --ambient; "
            "kinds that agree cold agree there too."
        )
    if call.ohm is not None:
        ohm = _ohm(told, "--warm-ohm")
        left = settled_by_meter(reading, degC, ohm)
        return call._replace(warm_degC=degC, warm_ohm=ohm, settled=left)
    then = _shown(told, "--warm-shown")
    call = call._replace(warm_degC=degC, warm_shown_degC=then)
    assert call.set_to is not None
    left = settled_by_display(reading, call.set_to, degC, then, display_moved(call))
    return call._replace(settled=left)


def read(call: SensorCall) -> SensorReading:
    """What the reading of a call says."""
    if call.ohm is not None:
        return measured_sensor(call.ohm, call.ambient_degC)
    assert call.shown_degC is not None and call.set_to is not None
    return read_sensor(call.shown_degC, call.set_to, call.ambient_degC, scale=call.scale)


def _call(
    shown: str | None, set_to: str | None, ambient: str | None, ohm: str | None
) -> SensorCall:
    """The options as a reading; raises UsageError where they make none."""
    by_display = shown is not None and set_to is not None and ohm is None
    by_meter = ohm is not None and shown is None and set_to is None
    if ambient is None or not (by_display or by_meter):
        raise UsageError(f"gonogo sensor: {NEEDED}.")
    air = _degC(AMBIENT, "--ambient", ambient)
    if ohm is not None:
        return SensorCall(air, ohm=_ohm(ohm))
    assert shown is not None and set_to is not None
    return SensorCall(air, _shown(shown), _kind(set_to))


def _scale(answer: str | None) -> DisplayScale | None:
    """The scale of a display, `-55..300`; raises UsageError for what is none."""
    if answer is None:
        return None
    low, dots, high = answer.partition("..")
    if not dots:
        raise UsageError(f"--scale: expected its two ends, such as -55..300, found {answer!r}.")
    ends = DisplayScale(_shown(low.strip(), "--scale"), _shown(high.strip(), "--scale"))
    if not ends.low_degC < ends.high_degC:
        raise UsageError(f"--scale {answer}: expected the lower end first, such as -55..300.")
    return ends


def _kind(answer: str) -> str:
    _, kind = _answered(SET_KIND, "--set", answer)
    if kind not in kinds():
        raise UsageError(f"--set {answer}: expected one of {', '.join(kinds())}.")
    return str(kind)


def _shown(answer: str, option: str = "--shown") -> float:
    """What the display shows; without a sensor some show numbers that no motor has."""
    try:
        number = float(answer)
    except ValueError:
        return _degC(SHOWN, option, answer)
    return number if abs(number) <= SCALE_DEGC else _degC(SHOWN, option, answer)


def _degC(name: str, option: str, answer: str) -> float:
    key, value = _answered(name, option, answer)
    entry = properties()[key]
    return in_ours(float(str(value)), entry.factor, entry.offset)


def _answered(name: str, option: str, answer: str) -> tuple[str, object]:
    """An answer read as that of an entry; what is wrong is said of the option."""
    try:
        return keyed_value(name, answer)
    except UsageError as error:
        said = str(error).removeprefix(f"{name}: ")
        raise UsageError(f"{option}: {said}") from error


def _ohm(answer: str, option: str = "--ohm") -> float:
    if answer.strip().lower() in NO_CIRCUIT:
        return LARGEST_OHM
    told = MEASURED.fullmatch(answer.strip())
    unit = told[2] if told else ""
    factor = THOUSANDS.get(unit) or factor_to(unit, "ohm")
    ohm = math.nan if told is None or factor is None else float(told[1]) * factor
    if factor_to(unit, "V") is not None:
        raise UsageError(
            f"{option}: found a voltage, {answer!r}. A sensor that gives a voltage is none of the kinds "
            "known here; it has no resistance to measure."
        )
    if not 0.0 <= ohm <= LARGEST_OHM:
        raise UsageError(
            f"{option}: expected a resistance such as 10400 or 10.4k, found {answer!r}."
        )
    return ohm


def command(
    shown: Annotated[
        str | None,
        typer.Option(metavar="DEGC", help="Motor temperature on the display, the motor cold."),
    ] = None,
    set_to: Annotated[
        str | None, typer.Option("--set", metavar="KIND", help="Sensor kind that is set.")
    ] = None,
    ambient: Annotated[
        str | None, typer.Option(metavar="DEGC", help="Temperature of the air, and of the motor.")
    ] = None,
    ohm: Annotated[
        str | None,
        typer.Option(metavar="OHM", help="Instead of a display: resistance of the sensor."),
    ] = None,
    scale: Annotated[
        str | None,
        typer.Option(metavar="LOW..HIGH", help="Least and most that the display can show."),
    ] = None,
    warm_reference: Annotated[
        str | None,
        typer.Option(metavar="DEGC", help="Second reading: the warm motor, by thermometer."),
    ] = None,
    warm_shown: Annotated[
        str | None, typer.Option(metavar="DEGC", help="What the display shows of it then.")
    ] = None,
    warm_ohm: Annotated[
        str | None, typer.Option(metavar="OHM", help="Or the resistance of the sensor then.")
    ] = None,
    form: PlainFormat = "text",
    output: Output = None,
) -> int:
    """Say which temperature sensor is fitted.

    Compares a reading of the cold motor with the curves of known sensors, and of those that fit a
    warm one. Without options lists them. The exit status is 0 where the kind that is set fits, 1 where
    it does not or the circuit is open or shorted, 4 where several kinds fit.
    """
    warm = WarmOptions(warm_reference, warm_shown, warm_ohm)
    return run(shown, set_to, ambient, ohm, form, output, warm=warm, scale=scale)
