"""What one reading says of the temperature sensor: a page, and a record for machines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..expressions.formatting import shown
from ..quantities.display_end import SWITCHING_OHM
from ..quantities.sensor import resistance
from ..quantities.sensor_fits import (
    OPEN_OHM,
    WARM_OFF_K,
    SensorReading,
    WarmDisplay,
    WarmReading,
    as_thermistor,
)
from ..quantities.sensor_settled import in_question
from ..tables.table import table
from .record import exact
from .section import Card, Report, Row, Section, Table, row
from .sensor_verdict import SensorCall, kinds_in_words, sensor_verdict, stays_at_end

SENSOR_EDITION = "sensor/1"
LISTED_DEGC = (0.0, 25.0, 100.0)
COLD = "The motor must have stood until it is as cold as the air: overnight, or some hours."
WARM_FIRST = (
    "Run the motor warm on the stand and compare the display with a thermometer at the winding "
    "before a temperature limit counts: kinds that agree cold can differ warm."
)
UNPLUG = "unplug the sensor and measure the resistance between its two wires: `gonogo sensor --ohm`"
_CIRCUIT = {
    "open": "an open circuit, by a broken wire, a plug that is off, or no sensor at all",
    "short": "a short circuit between the sensor's wires",
}


def record(reading: SensorReading, call: SensorCall) -> dict[str, Any]:
    """The reading as plain data; `settled_by` is null where nothing is left to settle."""
    verdict = sensor_verdict(reading, call)
    return {
        "gonogo": SENSOR_EDITION,
        "implied_ohm": _rounded(reading.implied_ohm),
        "open": reading.open,
        "short": reading.short,
        "candidates": [
            {
                "kind": fit.kind,
                "temperature_degC": _rounded(fit.temperature_degC),
                "off_K": _rounded(fit.off_K),
            }
            for fit in reading.candidates
        ],
        "beyond_scale": list(reading.beyond),
        "settled_by": None if reading.settled_by is None else _warm_record(reading.settled_by),
        "settled": None if call.settled is None else list(call.settled),
        "verdict": verdict.word.lower().replace(" ", "_"),
    }


def _warm_record(warm: WarmReading) -> dict[str, Any]:
    return {
        "motor_degC": _rounded(warm.at_degC),
        "shows": [{"kind": one.kind, "shown_degC": _rounded(one.shown_degC)} for one in warm.shows],
        "alike": [list(pair) for pair in warm.alike],
    }


def _rounded(value: float | None) -> Any:
    return None if value is None else exact(float(f"{value:.6g}"))


def sensor_page(reading: SensorReading, call: SensorCall) -> Report:
    """What the sensor can be, what to set, and which reading settles it."""
    verdict = sensor_verdict(reading, call)
    card = Card(
        verdict=verdict.word,
        tone=verdict.tone,
        name=verdict.words,
        about=tuple((words,) for words in _about(call)),
        sections=(Section("", (*_fits(reading, call), *_advice(reading, call))),),
    )
    return Report("gonogo sensor", (card,))


def kinds_page() -> Report:
    """Every kind whose curve is known, with its resistance at three temperatures."""
    heads = ("kind", *(shown(degC, "degC") for degC in LISTED_DEGC), "what it is")
    rows = tuple(
        ((kind,), *((_ohms(resistance(kind, degC)),) for degC in LISTED_DEGC), (says,))
        for kind, says in _says().items()
    )
    listed = Table(heads, rows, labels=False, right=(1, 2, 3), headed=True)
    card = Card(
        verdict="SENSORS",
        tone="bold",
        name="temperature sensors of motors",
        sections=(Section("", (listed,)),),
        stamped=False,
    )
    ask = "`gonogo sensor --shown 85 --set ntc-10k-3950 --ambient 22` says which of them is fitted."
    return Report("gonogo sensor", (card,), closing=ask, alone=False)


def _says() -> dict[str, str]:
    return {str(one["kind"]): str(one["says"]) for one in table("sensor_kinds")["rows"]}


def _ohms(ohm: float | None) -> str:
    return "–" if ohm is None else shown(float(f"{ohm:.4g}"), "ohm")


def _degC(degC: float) -> str:
    return shown(round(degC, 1), "degC")


def _about(call: SensorCall) -> Iterator[str]:
    """What was read, cold and, where it was, warm."""
    ambient = f"the cold motor has the {_degC(call.ambient_degC)} of the air"
    if call.ohm is not None:
        what = _ohms(call.ohm) if call.ohm <= OPEN_OHM else "no circuit"
        yield f"{what} between the sensor's wires; {ambient}"
    else:
        assert call.shown_degC is not None
        yield f"the display, set to {call.set_to}, shows {_degC(call.shown_degC)}; {ambient}"
    if call.warm_degC is not None:
        by_meter = call.warm_ohm is not None
        then = (
            _ohms(call.warm_ohm) if by_meter else f"it shows {_degC(call.warm_shown_degC or 0.0)}"
        )
        yield f"warm, at {_degC(call.warm_degC)} by the thermometer, {then}"


def _fits(reading: SensorReading, call: SensorCall) -> tuple[Row | Table, ...]:
    rows: list[Row | Table] = []
    if call.ohm is None:
        rows.append(row("resistance", _ohms(reading.implied_ohm) + _past(reading)))
    if reading.candidates:
        rows.append(_candidate_table(reading, call.ohm is not None))
    if reading.nearest is not None:
        near = reading.nearest
        words = f"{near.kind} would be at {_degC(near.temperature_degC)}, {near.off_K:.0f} K off"
        rows.append(row("nearest", words))
    if reading.switching:
        low, high = map(_ohms, SWITCHING_OHM)
        words = (
            f"a switching thermistor (PTC) of motor protection has {low} to {high} cold too: past "
            "1330 Ω only near the temperature printed on it, and it tells no degrees"
        )
        rows.append(row("or", words))
    return tuple(rows)


def _past(reading: SensorReading) -> str:
    return "" if reading.implied_ohm is not None else " past the end of the display's scale"


def _candidate_table(reading: SensorReading, by_meter: bool) -> Table:
    """The kinds that fit; where several do, also what each then reads of a warm motor."""
    says, warm = _says(), reading.settled_by
    later = [""] * len(reading.candidates)
    if warm is not None:
        later = [_warm_words(one, warm.at_degC, by_meter) for one in warm.shows]
    rows = tuple(
        (
            (fit.kind,),
            (_degC(fit.temperature_degC),),
            (f"{fit.off_K:.1f} K",),
            *(((then,),) if warm is not None else ()),
            (says[fit.kind],),
        )
        for fit, then in zip(reading.candidates, later, strict=True)
    )
    warm_head = () if warm is None else (f"at {_degC(warm.at_degC)}",)
    heads = ("kind", "now", "off", *warm_head, "what it is")
    right = tuple(range(1, len(heads) - 1))
    return Table(heads, rows, labels=False, right=right, headed=True)


def _warm_words(one: WarmDisplay, at_degC: float, by_meter: bool) -> str:
    """What the display shows of a warm motor with a kind fitted, or what a meter reads."""
    if by_meter:
        ends = [resistance(one.kind, at_degC + off) for off in (-WARM_OFF_K, WARM_OFF_K)]
        return " to ".join(map(_ohms, sorted(ohm for ohm in ends if ohm is not None)))
    return "off its scale" if one.shown_degC is None else shown(round(one.shown_degC), "degC")


def _advice(reading: SensorReading, call: SensorCall) -> list[Row]:
    names = [fit.kind for fit in reading.candidates]
    at_end = stays_at_end(reading, call)
    if call.settled is not None and list(in_question(reading)) and not at_end:
        return list(_settled(call.settled, reading, call))
    if reading.open or reading.short:
        return _broken(reading, call)
    if not names:
        return _unknown(reading, call)
    rows = []
    if call.set_to is not None and call.set_to not in names:
        set_it = f"Set the motor temperature sensor to {kinds_in_words(names)}"
        now = f"; the display must then show about {_degC(call.ambient_degC)}."
        rows.append(row("do", f"{set_it}{now}", tone="bold", role="act"))
    if (warm := reading.settled_by) is not None:
        rows.append(row("do", _settle(warm, call.ohm is not None), tone="bold", role="act"))
        rows += [_alike(warm)] if warm.alike else []
    else:
        rows.append(row("do", "Read it again with the motor cooler, then warm.", role="act"))
    return [*rows, row("or", _another(reading, call)), row("then", WARM_FIRST), row("cold", COLD)]


def _settled(settled: tuple[str, ...], reading: SensorReading, call: SensorCall) -> Iterator[Row]:
    """What to do once the warm motor was read too."""
    if not settled:
        yield row("means", "No kind that fits cold reads so warm: it is none that is known here.")
        act = "Look for the sensor's datasheet, and set no temperature limit by it until then."
    elif call.set_to is not None and call.set_to not in settled:
        act = f"Set the motor temperature sensor to {kinds_in_words(settled)}, and read it again."
    elif call.set_to is not None and sensor_verdict(reading, call).fits:
        act = f"Leave the motor temperature sensor set to {call.set_to}."
    elif len(settled) > 1:
        act = "Take the one in the datasheet, or read it again further from the first temperature."
    else:
        act = f"Leave the motor temperature sensor set to {settled[0]}."
        act = (
            act if call.set_to is not None else f"Set the motor temperature sensor to {settled[0]}."
        )
    yield row("do", act, tone="bold", role="act")
    yield row("warm", f"A warm reading counts to within {WARM_OFF_K:g} K of the thermometer.")


def _another(reading: SensorReading, call: SensorCall) -> str:
    """The kinds that nobody tabled here: they can agree cold, and the warm reading shows it."""
    warm = reading.settled_by
    span = _thermistor(reading.implied_ohm, call.ambient_degC)
    words = f"a kind that is not known here and agrees cold: as a thermistor {span} at 25 °C"
    if warm is None:
        return f"{words}."
    off = "outside" if call.ohm is not None else f"more than {WARM_OFF_K:g} K off"
    return f"{words}. A reading at {_degC(warm.at_degC)} {off} every row is of none of them."


def _thermistor(ohm: float | None, ambient_degC: float) -> str:
    """The resistance at 25 °C of a thermistor, with the usual B values."""
    assert ohm is not None
    least, most = (_ohms(one) for one in as_thermistor(ohm, ambient_degC))
    return least if least == most else f"{least} to {most}"


def _settle(warm: WarmReading, by_meter: bool) -> str:
    again = "measure" if by_meter else "read the display"
    return (
        f"Warm the motor to about {_degC(warm.at_degC)} by a thermometer and {again} again: the "
        f"column “at {_degC(warm.at_degC)}” says what each kind then gives."
    )


def _alike(warm: WarmReading) -> Row:
    pairs = ", nor ".join(f"{one} from {other}" for one, other in warm.alike)
    return row("alike", f"No reading up to there tells {pairs}: take the one in the datasheet.")


def _broken(reading: SensorReading, call: SensorCall) -> list[Row]:
    what = _CIRCUIT["open" if reading.open else "short"]
    act = f"Do not rely on the temperature limit. Switch off, then {UNPLUG}."
    where = f"The display stands at or near the end of its scale: {what}."
    if not reading.sure_end:
        where = f"This may be the end of the display's scale: {what}."
    if call.ohm is not None:
        act = (
            "Do not rely on a temperature limit until its plug, its wires and the sensor are whole."
        )
        where = f"The meter shows {what}."
    rows = [row("means", where)]
    if reading.beyond:
        rows.append(
            row("or", f"a kind off this scale at the ambient: {kinds_in_words(reading.beyond)}")
        )
    return [*rows, row("do", act, tone="bold", role="act")]


def _unknown(reading: SensorReading, call: SensorCall) -> list[Row]:
    rows = []
    ohm = call.ohm if call.ohm is not None else reading.implied_ohm
    if ohm is not None and not reading.close:
        span = _thermistor(ohm, call.ambient_degC)
        words = f"none of the kinds known here; as a thermistor {span} at 25 °C"
        rows.append(row("means", words))
    act = f"Wait until the motor is as cold as the air; then {UNPLUG}."
    if reading.close:
        act = "Wait until the motor is as cold as the air, and read it again; then read it warm."
    elif call.ohm is not None:
        act = "Look for the sensor's datasheet, and measure it again in hot water by a thermometer."
    return [*rows, row("do", act, tone="bold", role="act"), row("cold", COLD)]
