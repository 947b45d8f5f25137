"""What the readings of a temperature sensor come to, in a word, and who may go on with it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from ..quantities.display_end import DisplayScale
from ..quantities.sensor_fits import DISPLAY_STEP_K, SensorReading
from ..quantities.sensor_settled import in_question
from .section import Tone


class SensorCall(NamedTuple):
    """What was read: a display and the kind it is set to, or a resistance; and the ambient.

    Of the warm motor `warm_degC` is its temperature by a thermometer, with what the display or a meter
    says then, and `settled` the kinds of the cold reading that this leaves; None without such. `scale`
    is that of the display, where it is told.
    """

    ambient_degC: float
    shown_degC: float | None = None
    set_to: str | None = None
    ohm: float | None = None
    warm_degC: float | None = None
    warm_shown_degC: float | None = None
    warm_ohm: float | None = None
    settled: tuple[str, ...] | None = None
    scale: DisplayScale | None = None


class SensorVerdict(NamedTuple):
    """A verdict with its tone and the kinds it names; `fits` is None where that is not known yet."""

    word: str
    tone: Tone
    words: str
    fits: bool | None


def sensor_verdict(reading: SensorReading, call: SensorCall) -> SensorVerdict:
    """What cold and warm reading come to together."""
    names = [fit.kind for fit in reading.candidates]
    others = list(in_question(reading))
    if call.settled is not None and others and not stays_at_end(reading, call):
        return _warm(call.settled, call.set_to, reading)
    if reading.open or reading.short:
        what = f"the sensor's circuit is {'open' if reading.open else 'shorted'}"
        if others:
            # after a warm reading at the same end both are as likely as before
            words = f"{what}, or fitted is {kinds_in_words(call.settled or others)}"
            return SensorVerdict("AMBIGUOUS", "incomplete", words, None)
        if not reading.sure_end:
            words = f"{what}, or fitted is a sensor that is not known here"
            return SensorVerdict("AMBIGUOUS", "incomplete", words, None)
        return SensorVerdict("WIRE", "no-go", what, False)
    if not names:
        return _near(reading, call)
    if call.set_to is not None and call.set_to not in names:
        return _wrong(call.set_to, names)
    if len(names) > 1:
        return SensorVerdict("AMBIGUOUS", "incomplete", kinds_in_words(names), None)
    return SensorVerdict("FITS COLD", "incomplete", f"{names[0]}, to be settled warm", True)


def stays_at_end(reading: SensorReading, call: SensorCall) -> bool:
    """Whether the display stands at an end of its scale, cold and warm: a broken wire does too."""
    return (reading.open or reading.short) and not display_moved(call)


def display_moved(call: SensorCall) -> bool:
    """Whether the display moved as the motor warmed, so that it was at no end of its scale."""
    if call.warm_shown_degC is None or call.shown_degC is None:
        return True
    return abs(call.warm_shown_degC - call.shown_degC) > DISPLAY_STEP_K


def _warm(settled: tuple[str, ...], set_to: str | None, reading: SensorReading) -> SensorVerdict:
    if not settled:
        return _of_none()
    if set_to is not None and set_to not in settled:
        return _wrong(set_to, settled)
    rest = [kind for kind in settled if kind != set_to]
    if set_to is not None and rest and all(_alike(set_to, kind, reading) for kind in rest):
        words = (
            f"{set_to}, cold and warm; no reading up to there tells it from {kinds_in_words(rest)}"
        )
        return SensorVerdict("FITS", "go", words, True)
    if len(settled) > 1:
        words = f"{kinds_in_words(settled)}, alike cold and warm"
        return SensorVerdict("AMBIGUOUS", "incomplete", words, None)
    return SensorVerdict("FITS", "go", f"{settled[0]}, cold and warm", True)


def _alike(one: str, other: str, reading: SensorReading) -> bool:
    """Whether no warm reading tells two kinds apart, so that either limits the motor as well."""
    pairs = () if reading.settled_by is None else map(set, reading.settled_by.alike)
    return {one, other} in list(pairs)


def _near(reading: SensorReading, call: SensorCall) -> SensorVerdict:
    """No kind fits: one may be close, and a switching thermistor tells no temperature at all."""
    close = reading.close
    if close and (call.set_to is None or call.set_to in close):
        words = f"nearest {kinds_in_words(close)}, in a motor that is not quite as cold as the air"
        return SensorVerdict("AMBIGUOUS", "incomplete", words, None)
    if reading.switching and call.ohm is not None:
        words = "a switching thermistor of motor protection, or another sensor"
        return SensorVerdict("AMBIGUOUS", "incomplete", words, None)
    return _of_none()


def _of_none() -> SensorVerdict:
    return SensorVerdict("NO KIND FITS", "no-go", "another sensor, or a fault of its wire", False)


def _wrong(set_to: str, names: Iterable[str]) -> SensorVerdict:
    words = f"set to {set_to}, and fitted is {kinds_in_words(names)}"
    return SensorVerdict("WRONG KIND", "no-go", words, False)


def kinds_in_words(names: Iterable[str]) -> str:
    """Names in words, of which one holds.

    >>> kinds_in_words(["pt100"]), kinds_in_words(["pt100", "pt500", "pt1000"])
    ('pt100', 'pt100, pt500 or pt1000')
    """
    several = list(names)
    return several[0] if len(several) == 1 else f"{', '.join(several[:-1])} or {several[-1]}"
