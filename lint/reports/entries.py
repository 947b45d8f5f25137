"""The sheet of values to type in: a page for screen, phone and paper, and a record for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from ..documents.profile import BASE
from ..documents.text import so_many
from ..expressions.formatting import apart, inwards, listed
from ..expressions.names import title_of
from ..judgement.entries import NO_SETTING, FieldEntry
from ..judgement.entry_sheet import EntrySheet
from ..judgement.field import SETTINGS_PREFIX
from ..judgement.read_back import field_words
from ..judgement.rule import Stage
from ..quantities.number import is_number, near
from .check_page import finding_notice
from .check_totals import TONES, VERDICT_WORDS
from .finding_words import waiver_extent
from .record import exact
from .section import Block, Card, Code, Line, Notice, Passage, Report, Section, Table, Toned, row

ENTRIES_EDITION = "entries/1"
OPEN_BOX, TICKED_BOX = "☐", "☑"
ROOM = "________"
MOST_SHOWN = 7
CAUTIONS = (
    (
        "Wheel clear of the ground, stand secure, hands and hair clear, and a way to cut the power "
        "within reach."
    ),
    "A pack above 60 V DC can kill and any lithium pack can burn: insulated tools, one hand, no rings.",
    (
        "First spin at low limits: half of the currents and of the speed, or less. Never raise a limit "
        "to silence a rule."
    ),
    "Local law and a qualified person come before this sheet.",
)
AGAINST: dict[Stage, str] = {"stand": "Cannot be entered as it is", "ride": "Against a ride"}
REPLACE = "Enter these only once `gonogo check` has nothing against them."
DIFFERS = "The controller holds other values in some fields: enter these again and read them back."
AFTERWARDS = (
    "Save, switch off and on again, then read each field back. Write what stands there now beside "
    "`read back` here and into `readings.entered` of the profile; `gonogo check` compares."
)


def record(sheet: EntrySheet) -> dict[str, Any]:
    """The sheet as plain data, its numbers in the unit of the field."""
    return {"gonogo": ENTRIES_EDITION, "fields": [_field_record(one) for one in sheet.fields]}


def _field_record(one: FieldEntry) -> dict[str, Any]:
    numbers = is_number(one.exact)
    return {
        "setting": key_of_entry(one),
        "mode": one.mode or None,
        "as": one.field.form or None,
        "unit": one.field.unit if numbers or one.field.missing else "",
        "value": _plain(one.value),
        "exact": _plain(one.exact),
        "window": {"low": exact(one.low), "high": exact(one.high)},
        "held": one.held,
    }


def _plain(value: float | str | None) -> Any:
    return exact(value) if is_number(value) else value


def key_of_entry(one: FieldEntry) -> str:
    """The setting with the motor that it belongs to, and as it is called in the profile's base.

    >>> from gonogo.judgement.field import Field
    >>> field = Field("settings.max_rpm", "mechanical", "rpm", 10.0, 1.0, 0.0, "", "")
    >>> entry = FieldEntry("settings.max_rpm", "modes.eco.max_rpm", "eco", "", "Speed", field, 1, 1)
    >>> key_of_entry(entry)
    'settings.max_rpm'
    """
    inner = one.entered_as
    if inner.startswith("motors."):
        inner = inner.split(".", 2)[-1]
    if one.mode and inner.startswith(f"modes.{one.mode}."):
        inner = f"{SETTINGS_PREFIX}{inner.removeprefix(f'modes.{one.mode}.')}"
    return f"motors.{one.motor}.{inner}" if one.motor else inner


def sheet_page(sheet: EntrySheet, tool: str = "") -> Report:
    """Cautions, what cannot be entered as it is, then a table for base settings and each mode."""
    judged = sheet.judgement
    verdict = sheet.verdict("stand")
    sections = [
        Section("Before anything turns", tuple(Passage((one,), "·") for one in CAUTIONS), "whole"),
        *sections_against(sheet),
    ]
    sections += entry_sections(sheet)
    sections.append(Section("Afterwards", (Passage((AFTERWARDS,)),), "whole"))
    held = sum(one.held is True for one in sheet.fields)
    read = any(one.held is not None for one in sheet.fields)
    words = so_many(len(sheet.fields), "setting") + (f", held {held}" if read else "")
    card = Card(
        verdict=VERDICT_WORDS[verdict],
        tone=TONES[verdict],
        name=judged.profile.name,
        note="with these values, for the stand",
        about=((Code(sheet.profile.file), f" · {words}"),),
        sections=tuple(sections),
    )
    return Report(
        title=f"Values to enter: {judged.profile.name}",
        cards=(card,),
        judged_on=f"Checked as of {judged.judged_on}",
        tool=tool,
    )


def entry_sections(sheet: EntrySheet) -> Iterator[Section]:
    """A table for the base settings and each mode, of each motor."""
    for motor, mode in dict.fromkeys((one.motor, one.mode) for one in sheet.fields):
        fields = [one for one in sheet.fields if (one.motor, one.mode) == (motor, mode)]
        yield Section(_title(motor, mode, sheet), (_table(fields),))


def _title(motor: str, mode: str, sheet: EntrySheet) -> str:
    several = len({one.mode for one in sheet.fields}) > 1 or mode
    only = f"mode {mode} (all else as in the base settings)" if mode != BASE else "base settings"
    where = only if several else "settings"
    return f"Motor {motor}, {where}" if motor else where[0].upper() + where[1:]


def sections_against(sheet: EntrySheet) -> Iterator[Section]:
    """What stands against the sheet: a profile that is NO-GO, obstacles, and new findings."""
    if sheet.judgement.stages["stand"] == "no-go":
        new = {id(one) for one in sheet.introduced}
        old = [one for one in sheet.judgement.findings if id(one) not in new and not one.waived]
        grave = [one for one in old if one.severity != "advice"]
        rules = dict.fromkeys(one.rule.id for one in grave if one.rule.subject != "entered")
        if len(rules) < len(grave) and any(one.held is False for one in sheet.fields):
            yield Section("", (Notice("DIFFERS", (DIFFERS,), (), "fault"),))
        if rules:
            against = row("do", REPLACE, tone="bold", role="act")
            said = f"The profile is not fit for the stand: {listed(list(rules), 'and')}."
            yield Section("", (Notice("NO-GO", (said,), (against,), "fault"),))
    for stage, title in AGAINST.items():
        blocks = tuple(_obstacle(one) for one in sheet.obstacles if one.stage == stage)
        if blocks:
            yield Section(title, blocks)
    found = tuple(finding_notice(one, sheet.profile) for one in sheet.introduced)
    if found:
        yield Section("New at the steps of the fields", found)


def _obstacle(one: FieldEntry) -> Block:
    where = f" in mode {one.mode}" if one.mode else ""
    who = f"Motor {one.motor}, " if one.motor else ""
    said = f"{who}{title_of(one.quantity)}{where}: {one.obstacle}"
    rows = [row("do", one.remedy, tone="bold", role="act")]
    if is_number(one.exact):
        window = f", window {_window(one)}" if _window(one) else ""
        rows.append(row("value", f"{field_words(one.exact, one.field, MOST_SHOWN)}{window}"))
    rows.append(row("setting", Code(key_of_entry(one)), role="place"))
    return Notice("FAULT", (said[0].upper() + said[1:],), tuple(rows), "fault")


def _table(fields: Sequence[FieldEntry]) -> Table:
    """A row a setting in the order of the work, with a box to tick and room for what is read back."""
    rows: list[tuple[Line, ...]] = []
    below: list[Line] = []
    for group in dict.fromkeys(one.group for one in fields):
        rows.append(((Toned(group, "bold"),), (), (), ()))
        below.append(())
        for one in fields:
            if one.group == group:
                rows.append(_cells(one))
                below.append(_below(one))
    heads = ("setting", "enter", "window", "read back")
    if not any(map(_window, fields)):
        return Table(
            (*heads[:2], heads[3]),
            tuple((*one[:2], one[3]) for one in rows),
            labels=False,
            right=(1,),
            below=tuple(below),
            headed=True,
        )
    return Table(heads, tuple(rows), labels=False, right=(1,), below=tuple(below), headed=True)


def _cells(one: FieldEntry) -> tuple[Line, ...]:
    box = TICKED_BOX if one.held else OPEN_BOX
    name = one.field.name or title_of(one.quantity)
    value = "–" if one.value is None else field_words(one.value, one.field, MOST_SHOWN)
    entered = Toned(value, "danger" if one.obstacle else "bold")
    return (f"{box} {name}",), (entered,), (_window(one),), (_seen(one),)


def _seen(one: FieldEntry) -> str:
    """Whether the controller held it when it was read back, else what it showed, or room to write."""
    if one.held is None:
        return ROOM
    return "held" if one.held else f"shows {field_words(one.shows, one.field, MOST_SHOWN)}"


def _window(one: FieldEntry) -> str:
    """The window of the setting, at its own steps: a field's coarser step is no limit."""
    step = one.field.own_step or one.field.step
    ends = ((one.low, True), (one.high, False))
    low, high = (
        None if end is None else field_words(inwards(end, step, up), one.field, MOST_SHOWN)
        for end, up in ends
    )
    if low is not None and high is not None:
        number = low.split(" ")[0]
        return f"{number} to {high}"
    return f"from {low}" if low is not None else f"up to {high}" if high is not None else ""


def _below(one: FieldEntry) -> Line:
    """The key to read it back under, the exact value where it is another, and how the field asks."""
    words = []
    if one.field.name:
        words.append(title_of(one.quantity))
    if is_number(one.exact) and not is_number(one.value):
        words.append(f"the profile has {field_words(one.exact, one.field)}")
    elif is_number(one.exact) and is_number(one.value) and not near(one.exact, one.value):
        digits = apart(one.exact, one.value)
        words.append(f"exactly {field_words(one.exact, one.field, digits)}")
    if one.field.own_step and is_number(one.exact):
        words.append(f"in steps of {field_words(one.field.step, one.field, MOST_SHOWN)}")
    words += [f"waived {waiver_extent(found)}" for found in one.waived]
    if one.value == NO_SETTING:
        words.append("off, or no such field")
    if one.field.form in ("percent", "electrical", "hertz", "cell", "poles", "millivolts"):
        words.append(f"asks as {one.field.form}")
    told = "".join(f" · {each}" for each in words)
    key = key_of_entry(one).removeprefix(f"motors.{one.motor}.").removeprefix(SETTINGS_PREFIX)
    return Code(key), Toned(told, "faint")
