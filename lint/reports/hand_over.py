"""The hand-over record of a vehicle as a page: for screen, phone and paper, and the vehicle's folder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from ..documents.profile import Profile
from ..documents.text import so_many
from ..documents.units import unit_of_key
from ..expressions.formatting import MOST_DIGITS, shown
from ..expressions.names import title_of
from ..judgement.bring_up_steps import bring_up_steps, tick_of
from ..judgement.due import READ_BACK_DAY
from ..judgement.finding import Judgement
from ..judgement.hand_over import HandOver
from ..judgement.planned_step import STEPS_DONE, STEPS_FAILED, graver_of
from ..judgement.rule import STAGES
from ..judgement.settings_memory import DONE_FOR
from ..judgement.verdict import READINGS, fitness, in_order
from ..rehearsal.rehearse import Failure
from .check_page import finding_notice
from .check_totals import TONES, VERDICT_WORDS, coverage, verdict_note
from .due import due_table, whose_due
from .entries import CAUTIONS, ROOM, entry_sections, sections_against
from .hand_over_open import is_unread, open_in_short, open_sections, open_to_sign
from .hand_over_plots import margin_section, plot_sections
from .hand_over_vehicle import figures_section, rider_section, vehicle_section
from .profile_share import share
from .rehearsal_page import hand_over_failures
from .section import (
    Block,
    Card,
    Code,
    Line,
    Notice,
    Passage,
    Report,
    Section,
    Table,
    Toned,
)

LAW = (
    "What the vehicle may do and where is for local law, its registration and its insurance.",
    "Work on pack, mains charger and brakes is for somebody licensed, where the law asks for that.",
    "A GO says that the numbers of this record agree, not that the work was done well.",
    "Whoever signs looks at the vehicle itself.",
)
MAY_IT = {"stand": "turn on the stand", "ride": "ride"}
SIGNED_BY = ("handed over by", "received by", "checked by a qualified person")
LINE_TO_SIGN = f"{ROOM}{ROOM}"
FIRMWARE = "controller.firmware"
TOLD_ELSEWHERE = ("values", "modes", "done", "taken")  # of the readings: told elsewhere
NOTHING_ACCEPTED = "None: nothing was accepted beyond its limit."


def hand_over_page(
    over: HandOver,
    drawn: bool = False,
    tool: str = "",
    rehearsed: Mapping[str, Sequence[Failure]] = MappingProxyType({}),
) -> Report:
    """The whole record in one card; `drawn` for a format that draws plots."""
    ride = over.verdict("ride")
    profile = over.profile
    judged = over.judgements["ride"]
    settings = so_many(len(over.sheet.fields), "setting")
    card = Card(
        verdict=VERDICT_WORDS[ride],
        tone=TONES[ride],
        name=profile.name,
        note=_note(over),
        coverage=coverage(share(judged)),
        about=(
            (Code(profile.file), f" · {settings}"),
            *_firmware(over),
            (fitness(_as_typed(over)),),
            *open_in_short(judged),
            *_made(judged.judged_on, tool, drawn),
        ),
        sections=tuple(_sections(over, drawn, rehearsed)),
    )
    return Report(
        title=f"Hand-over record: {profile.name}",
        cards=(card,),
        judged_on=f"Checked as of {judged.judged_on}",
        tool=tool,
    )


def _sections(
    over: HandOver, drawn: bool, rehearsed: Mapping[str, Sequence[Failure]]
) -> list[Section]:
    """What the record is made of, in its order; what forbids a ride stands above the signatures."""
    found = tuple(_found(over))
    is_grave = bool(graver_of(over.judgements["ride"].findings))
    return [
        *_to_sign(over, found if is_grave else ()),
        *(() if is_grave else found),
        Section("Before anything turns", tuple(Passage((one,), "·") for one in CAUTIONS), "whole"),
        *sections_against(over.sheet),
        *(one._replace(title=f"Values: {one.title}") for one in entry_sections(over.sheet)),
        Section("Measured", tuple(_measured(over))),
        *open_sections(over.judgements["ride"]),
        Section("Waivers", tuple(_waivers(over))),
        Section("Due next", (due_table(over.due),)),
        margin_section(over.windows),
        *hand_over_failures(rehearsed),
        Section("What this record was made from", (_digests(over),)),
        *plot_sections(over, drawn),
    ]


def _note(over: HandOver) -> str:
    """What the verdict is about, and what is only waived of a GO."""
    waived = verdict_note(share(_as_typed(over)))
    return f"for a ride; {waived}" if waived else "for a ride"


def _to_sign(over: HandOver, found: Iterable[Section]) -> Iterator[Section]:
    """What customer and mechanic need, on one sheet with the room to sign.

    `found` is what nobody signs without having read it.
    """
    judged = over.judgements["ride"]
    yield Section("May it turn, may it ride", (_verdicts(over),), "whole")
    yield from found
    yield vehicle_section(over)
    yield figures_section(over)
    yield rider_section(over)
    yield Section("Law and practice", tuple(Passage((one,), "·") for one in LAW), "whole")
    yield Section("Signatures", (*open_to_sign(judged), _signatures()), "whole")


def _as_typed(over: HandOver) -> Judgement:
    """The judgement with the verdicts of the values as they are typed in."""
    stages = {stage: over.verdict(stage) for stage in STAGES}
    return replace(over.judgements["ride"], stages=stages)


def _made(judged_on: str, tool: str, drawn: bool) -> Iterator[Line]:
    """The day and the version, where the head of the format does not have them."""
    if tool and not drawn:
        yield (f"checked as of {judged_on} with gonogo {tool}",)


def _firmware(over: HandOver) -> Iterator[Line]:
    """What program each controller runs, where that is entered; of one like the other once."""
    told: dict[str, None] = {}
    for profile in (over.profile, *over.profile.motors.values()):
        if name := profile.value(FIRMWARE):
            told[str(name)] = None
    if told:
        yield (f"{title_of(FIRMWARE)} {', '.join(told)}",)


def _verdicts(over: HandOver) -> Table:
    rows: list[tuple[Line, ...]] = []
    for stage in STAGES:
        verdict = over.verdict(stage)
        word = Toned(VERDICT_WORDS[verdict], TONES[verdict])
        checked = coverage(share(over.judgements[stage]))
        rows.append(((MAY_IT[stage],), (word,), (checked,)))
    return Table(("may it", "verdict", "checked"), tuple(rows), labels=False, headed=True)


def _found(over: HandOver) -> Iterator[Section]:
    """What the check of the profile found, as `gonogo check` has it."""
    findings = [one for one in over.judgements["ride"].findings if not one.waived]
    if findings:
        told = tuple(_in_brief(finding_notice(one, over.profile)) for one in findings)
        yield Section("Found", told, "brief")


def _in_brief(notice: Notice) -> Notice:
    """What to do and the two numbers, without the calculation, which `gonogo check` has."""
    kept = (
        one
        for one in notice.rows
        if one.role not in ("aside", "place") and one.label not in ("calc", "also")
    )
    return notice._replace(rows=tuple(kept))


# ── what was measured ─────────────────────────────────────────────────────────────────────────


def _measured(over: HandOver) -> Iterator[Block]:
    """Every reading with its value, and the days on which they were taken."""
    profile = over.profile
    days = [f"{one.what} {one.done}{whose_due(one)}" for one in over.due if one.done]
    read = profile.value(READ_BACK_DAY)
    days += [f"read-back {read}"] if read else []
    held = over.judgements["ride"].held
    if held is not None:
        days.append(f"the controller holds {held.held} of {so_many(held.settings, 'setting')}")
    yield Passage((" · ".join(days) or "No day is entered.",))
    rows = list(_readings(profile, ""))
    for name, own in profile.motors.items():
        known = {name for name in profile.givens if name.startswith(READINGS)}
        rows += _readings(own, name, known)
    if rows:
        cells, entries = tuple(row[:2] for row in rows), tuple(row[2] for row in rows)
        heads = ("reading", "value")
        yield Table(heads, cells, labels=False, below=entries, headed=True)
    else:
        yield Passage(("Nothing was measured.",))


def _readings(
    profile: Profile, motor: str, known: Iterable[str] = ()
) -> Iterator[tuple[Line, ...]]:
    """A row a reading, as it was entered."""
    names = [name for name in profile.givens if name.startswith(READINGS) and name not in known]
    for name in in_order(names):
        given = profile.givens[name]
        if name.rsplit(".", 1)[-1] in TOLD_ELSEWHERE or given.value == "fitted":
            continue
        if name.startswith(DONE_FOR):  # a mark that no reader compares
            continue
        if is_unread(name, given.value):  # stands under what was not measured
            continue
        value = "none" if given.value is None else given.entered
        words = shown(value, unit_of_key(given.entered_as), MOST_DIGITS)
        if name in (STEPS_DONE, STEPS_FAILED):
            words = _steps(given.value)
        title = title_of(name) + (f", motor {motor}" if motor else "")
        yield (title,), (words,), (Code(given.entered_as),)


def _steps(ticks: Any) -> str:
    """The ticked steps of a bring-up by their titles."""
    titles = {tick_of(one.step): one.title for one in bring_up_steps()}
    return ", ".join(titles.get(tick, str(tick)) for tick in ticks)


# ── what is accepted, and what is due ─────────────────────────────────────────────────────────


def _waivers(over: HandOver) -> Iterator[Block]:
    """Each waiver with its end, what it accepts and why, and whether it covers anything today."""
    ends = [one for one in over.due if one.waiver is not None]
    if not ends:
        yield Passage((NOTHING_ACCEPTED,))
        return
    found = over.judgements["ride"].findings
    rows: list[tuple[Line, ...]] = []
    below: list[Line] = []
    for one in ends:
        waiver = one.waiver
        assert waiver is not None  # by the list
        size = over.sizes.get(waiver.entered_as, "")
        upto = f"up to {size}" if size else ""
        covers = any(each.waived == waiver for each in found)
        where = "".join(f", {word}" for word in (waiver.mode, waiver.motor) if word)
        rows.append(
            (
                (Code(waiver.rule), where),
                (upto,),
                (waiver.until,),
                ("in force" if covers else "covers nothing today",),
            )
        )
        below.append((f"{waiver.reason.strip()} Accepted by {LINE_TO_SIGN}",))
    heads = ("rule", "accepts", "last day", "state")
    yield Table(heads, tuple(rows), labels=False, right=(2,), below=tuple(below), headed=True)


# ── the record itself ─────────────────────────────────────────────────────────────────────────


def _digests(over: HandOver) -> Table:
    """Each file with the SHA-256 of its bytes, so that anybody can see whether it is still the same."""
    rows: tuple[tuple[Line, ...], ...] = tuple(
        ((Code(name),), (Code(digest) if digest else "cannot be read",))
        for name, digest in over.digests.items()
    )
    return Table(("file", "SHA-256"), rows, labels=False, headed=True)


def _signatures() -> Table:
    rows: tuple[tuple[Line, ...], ...] = tuple(
        ((who,), (LINE_TO_SIGN,), (LINE_TO_SIGN,), (ROOM,)) for who in SIGNED_BY
    )
    return Table(("who", "name", "signature", "day"), rows, labels=False, headed=True)
