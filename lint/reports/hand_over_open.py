"""What is open at a hand-over: switches never tried, readings not taken, parts not known, rules unchecked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from ..documents.motors import entry_path
from ..documents.profile import Profile
from ..documents.text import so_many
from ..expressions.names import title_of
from ..judgement.bring_up import bring_up_plan
from ..judgement.finding import Judgement
from ..judgement.planned_step import NOTICED
from ..judgement.rule import Severity
from ..judgement.untried import trials_without_record
from ..judgement.verdict import READINGS, ask_of, in_order, short_of
from .asks_by_kind import TRIED
from .check_totals import counted
from .section import Block, Code, Line, Passage, Row, Section, Toned, row

TRIED_SECTION = "readings.tried."
NOT_SEEN = "nobody has seen what the controller holds"
NOT_READ_BACK = f"not read back: {NOT_SEEN}"
NOTHING_OPEN = "Every switch was tried, and no rule waits for a reading."


def open_in_short(judgement: Judgement) -> Iterator[Line]:
    """What has no record, at the head, where the verdict is read."""
    untried = _trials(judgement)
    words = [f"never tried: {untried}"] if untried else []
    words += ["not read back"] if judgement.held is None else []
    if words:
        yield (" · ".join(words),)


def open_to_sign(judgement: Judgement) -> Iterator[Row]:
    """What whoever signs takes over: what the controller was seen to hold, and what nobody tried."""
    held = judgement.held
    if held is None:
        yield row("read back", Toned(NOT_READ_BACK, "danger"))
    else:
        told = f"the controller holds {held.held} of {so_many(held.settings, 'setting')}"
        yield row("read back", Toned(told, "good" if held.held == held.settings else "danger"))
    if untried := _trials(judgement):
        yield row("never tried", Toned(untried, "danger"))


def _trials(judgement: Judgement) -> str:
    return ", ".join(one.title for one in trials_without_record(judgement.profile))


def open_sections(judgement: Judgement) -> Iterator[Section]:
    """What was never tried or measured, what is not known of the parts, and what that leaves unchecked."""
    untried = never_tried(judgement)
    needed = short_of(judgement.not_checked, "ride")
    others = {name for one in judgement.not_checked for name in one.missing} - set(needed)
    asked = [*needed, *in_order(others)]
    measured = [name for name in asked if _is_measured(name) and name not in untried]
    for_ride = [name for name in measured if name in needed]
    points = [
        *_points("Never tried:", map(_tried, untried)),
        *_points("Never read back:", ((NOT_SEEN,),) if judgement.held is None else ()),
        *_points("Needed for a ride:", map(_ask, for_ride)),
        *_points("For more checks:", (_later(n, judgement) for n in measured if n not in needed)),
        *_points("Could not be read:", unread_readings(judgement.profile)),
    ]
    yield Section("Not measured", tuple(points) or (Passage((NOTHING_OPEN,)),))
    parts = [name for name in needed if not _is_measured(name)]
    if parts:
        yield Section("Not known of the parts", tuple(_points("", map(_ask, parts))))
    if judgement.not_checked:
        yield Section("Not checked", tuple(_unchecked(judgement)))


def never_tried(judgement: Judgement) -> list[str]:
    """The switches and cuts of the vehicle that nobody is recorded to have tried."""
    plan = bring_up_plan(judgement.profile, judgement.judged_on)
    readings = (one for step in plan for one in step.readings)
    return [one.key for one in readings if TRIED_SECTION in one.key and one.value is None]


def is_unread(name: str, value: object) -> bool:
    """Whether a reading is entered as `none`: nothing could be read."""
    return value is None and entry_path(name) != NOTICED  # nothing noticed is an answer, no gap


def unread_readings(profile: Profile) -> Iterator[Line]:
    """The readings that are entered as `none`, in words; of several motors those of each."""
    for motor, view in (("", profile), *profile.motors.items()):
        of_motor = f", motor {motor}" if motor else ""
        for name, given in view.givens.items():
            known = motor and name in profile.givens
            if name.startswith(READINGS) and is_unread(name, given.value) and not known:
                yield (f"{title_of(name)}{of_motor}",)


def _is_measured(name: str) -> bool:
    path = entry_path(name)
    return path.startswith(READINGS) or path in TRIED


def _points(title: str, lines: Iterable[Line]) -> Iterator[Block]:
    """Points under their title; nothing where there are none."""
    told = list(lines)
    if len(told) == 1:  # one point is no list
        yield Passage((f"{title} " if title else "", *told[0]))
    elif told:
        yield from (Passage((title,)),) if title else ()
        yield from (Passage(line, "·") for line in told)


def _ask(name: str) -> Line:
    return (ask_of(name),)


def _tried(name: str) -> Line:
    what = title_of(entry_path(name)).removeprefix("result of ").removeprefix("trying ")
    return Toned(what, "danger"), f": {ask_of(name)}"


def _later(name: str, judgement: Judgement) -> Line:
    """An entry that no ride waits for, and the checks that do, by their severity."""
    waiting = Counter(one.severity for one in judgement.not_checked if name in one.missing)
    return (f"{ask_of(name)}: {counted(waiting)}",)


def _unchecked(judgement: Judgement) -> Iterator[Row]:
    """The dangers that nobody can rule out, by their rules; faults and advice by their number."""
    unlike = dict.fromkeys((one.rule.id, one.severity) for one in judgement.not_checked)
    dangers = [name for name, severity in unlike if severity == "danger"]
    if dangers:
        names = tuple(piece for name in dangers for piece in (Code(name), ", "))
        yield row("danger", names[:-1])
    rest: Counter[Severity] = Counter(severity for _, severity in unlike if severity != "danger")
    if rest:
        yield row("besides", f"rules for {counted(rest)}: `gonogo check --unchecked` names them")
