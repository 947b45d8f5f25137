"""A shop on one page: each vehicle's verdicts, tightest margin, readings, what is due, and its trend."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from ..comparison.tightest import TightMargin
from ..documents.text import so_many
from ..documents.units import unit_apart
from ..expressions.formatting import shown
from ..judgement.due import Due
from ..judgement.finding import Judgement, Verdict
from ..judgement.rule import STAGES, STOPS, Stage
from .check_totals import TONES, UNREAD, VERDICT_WORDS, WORST_FIRST, Unread
from .due import due_words
from .section import Card, Code, Line, Passage, Report, Section, Table, Toned
from .unread_cards import unread_cards

TREND_LETTERS: Mapping[Verdict | None, str] = {
    "go": "G",
    "go-with-waivers": "W",
    "incomplete": "I",
    "no-go": "N",
    None: "-",
}
TREND_WORDS = "G GO, W GO WITH WAIVERS, I INCOMPLETE, N NO-GO, - not there or not to be read"
SHORT_NAME = 12  # letters of a commit's name
MOST_ON_LINE = 80  # columns


class TrendPoint(NamedTuple):
    """The verdict at one commit; None where the vehicle was not there or could not be read."""

    commit: str
    day: str
    verdict: Verdict | None


@dataclass(frozen=True, slots=True)
class ShopVehicle:
    """One vehicle: `stages` has its verdicts, `fitness` the same in words.

    `gravest` is the rule of the danger or fault that refuses it, "" where none does. `readings_days` is the age of its readings, None where they have no day; `due` is all that is due
    or over within the days asked for, waivers included; `asks` are instructions for what a ride still
    waits for; `trend` has the verdict at the last commits, the earliest first. `stops` counts the dangers
    and the faults that no waiver covers, `waived` has the last day of each rule that one does.
    """

    file: str
    name: str
    stages: Mapping[Stage, Verdict]
    fitness: str
    gravest: str
    tightest: TightMargin | None
    readings_days: int | None
    due: tuple[Due, ...]
    asks: tuple[str, ...]
    trend: tuple[TrendPoint, ...]
    stops: tuple[int, ...] = ()
    waived: Mapping[str, str] = field(default_factory=dict)

    @property
    def waivers(self) -> tuple[Due, ...]:
        """The waivers among what is due."""
        return tuple(one for one in self.due if one.waiver is not None)

    @property
    def work(self) -> tuple[Due, ...]:
        """What else is due."""
        return tuple(one for one in self.due if one.waiver is None)


@dataclass(frozen=True, slots=True)
class WholeShop:
    """A shop on a day: its vehicles, the worst first, and what could not be read."""

    judged_on: str
    within_days: int
    commits: int
    vehicles: tuple[ShopVehicle, ...]
    unread: tuple[Unread, ...]

    @property
    def unread_vehicles(self) -> int:
        """How many vehicles wait for an error to be put right before they can be judged."""
        return len(self._waiting())

    @property
    def count(self) -> int:
        """How many vehicles the shop has, those that could not be read too."""
        return len(self.vehicles) + self.unread_vehicles

    def _waiting(self) -> set[str]:
        judged = {one.file for one in self.vehicles}
        return {file for error in self.unread for file in error.affects} - judged

    def amounts(self) -> list[str]:
        """How many vehicles came to which verdict, what is unread first; other files last."""
        verdicts = Counter(one.stages["ride"] for one in self.vehicles)
        waiting = self._waiting()
        others = {error.file for error in self.unread if waiting.isdisjoint(error.affects)}
        words = [f"{len(waiting)} {UNREAD}"] if waiting else []
        words += [f"{verdicts[one]} {VERDICT_WORDS[one]}" for one in WORST_FIRST if verdicts[one]]
        return words + ([f"{so_many(len(others), 'other file')} {UNREAD}"] if others else [])


def worst_vehicle_first(vehicle: ShopVehicle) -> tuple[int, int, tuple[int, ...], float, str]:
    """As in a check: by the verdict of the ride, then by how many dangers and faults stand.

    Between them by the verdict of the stand, at the end by the tightest margin.
    """
    tight = 1e9 if vehicle.tightest is None else vehicle.tightest.share
    ride, stand = (WORST_FIRST.index(vehicle.stages[stage]) for stage in ("ride", "stand"))
    return ride, stand, tuple(-count for count in vehicle.stops), tight, vehicle.file


def status_line(shop: WholeShop) -> str:
    """The shop in one line for a notification, plain letters only: `12 vehicles: 2 NO-GO, 10 GO`.

    What is due on a day is apart from what has no day yet, which would be due for ever.
    """
    due = sum(any(each.last_day for each in one.due) for one in shop.vehicles)
    undated = sum(any(not each.last_day for each in one.due) for one in shop.vehicles)
    words = f"{so_many(shop.count, 'vehicle')}: {', '.join(shop.amounts()) or 'none read'}"
    told = [f"{due} due"] if due else []
    told += [f"{undated} with a day to enter"] if undated else []
    return words + (f"; {', '.join(told)}" if told else "") + "\n"


def shop_page(shop: WholeShop, tool: str = "") -> Report:
    """What could not be read, then a row a vehicle, then what runs out, what is due and what is asked."""
    sections = [
        Section("", (_vehicles(shop),)),
        _trend_key(shop),
        _waivers(shop),
        _work(shop),
        _asks(shop),
    ]
    worst = next(iter(shop.vehicles), None)
    card = Card(
        verdict=so_many(shop.count, "vehicle").upper(),
        tone=TONES[worst.stages["ride"]] if worst and not shop.unread else "no-go",
        name=", ".join(shop.amounts()),
        about=((f"checked as of {shop.judged_on}{f' with gonogo {tool}' if tool else ''}",),),
        sections=tuple(one for one in sections if one.blocks),
        stamped=True,
    )
    cards = (card,) if shop.vehicles else ()
    return Report("gonogo shop", (*unread_cards(shop.unread), *cards))


def _vehicles(shop: WholeShop) -> Table:
    with_trend = any(one.trend for one in shop.vehicles)
    heads = ("vehicle", *STAGES, "readings", *(("trend",) if with_trend else ()))
    rows = tuple(
        (
            (Toned(one.name, "bold"),),
            *((Toned(VERDICT_WORDS[one.stages[stage]], TONES[one.stages[stage]]),) for stage in STAGES),
            _age(one),
            *(((trend_letters(one.trend),),) if with_trend else ()),
        )
        for one in shop.vehicles
    )  # fmt: skip
    below = tuple((Code(one.file), *_decided_by(one)) for one in shop.vehicles)
    return Table(heads, rows, labels=False, below=below, headed=True)


def _age(one: ShopVehicle) -> Line:
    if one.readings_days is None:
        return ("no day",)
    return (so_many(one.readings_days, "day"),)


def trend_letters(trend: tuple[TrendPoint, ...]) -> str:
    """A letter a commit, the last one last, so that no colour is needed to see what it was."""
    return "".join(TREND_LETTERS[one.verdict] for one in trend)


def stops_and_waived(judgement: Judgement) -> tuple[tuple[int, ...], dict[str, str]]:
    """How many dangers and faults stand, and the last day of each rule that is waived."""
    standing = Counter(one.severity for one in judgement.findings if not one.waived)
    waived = {one.rule.id: one.waived.until for one in judgement.findings if one.waived}
    return tuple(standing[severity] for severity in STOPS), waived


def gravest_rule(judgement: Judgement) -> str:
    """The rule of the worst danger or fault that no waiver covers, "" where there is none."""
    stops = (one for one in judgement.findings if one.severity in STOPS and not one.waived)
    return next((one.rule.id for one in stops), "")


def _decided_by(one: ShopVehicle) -> Line:
    """What refuses a vehicle, unless its limit is passed below; the tightest margin; what is new by time."""
    margin = one.tightest
    told = margin is not None and margin.margin < 0 and margin.rule == one.gravest
    refused: Line = (" · refused by ", Code(one.gravest)) if one.gravest and not told else ()
    return (*refused, *_tight_words(one), *_since_words(one))


def _since_words(one: ShopVehicle) -> Line:
    """What the verdict was at the last commit, on its day, where it is another one now."""
    last = one.trend[-1] if one.trend else None
    if last is None or last.verdict in (None, one.stages["ride"]):
        return ()
    return (f" · was {VERDICT_WORDS[last.verdict]} at the last commit, {last.day}",)


def _tight_words(one: ShopVehicle) -> Line:
    """The tightest margin in few words; a limit that is passed says so, and until when that is waived."""
    margin = one.tightest
    if margin is None:
        return ()
    until = one.waived.get(margin.rule, "") if margin.margin < 0 else ""
    size = shown(abs(margin.margin), unit_apart(margin.unit))
    where = "".join(f", {word}" for word in (margin.mode, margin.motor) if word)
    said = f"{size} beyond" if margin.margin < 0 else f"{size} from the limit of"
    return (f" · {said} ", Code(margin.rule), where, f", waived until {until}" if until else "")


def _trend_key(shop: WholeShop) -> Section:
    if any(one.trend for one in shop.vehicles):
        most = max(len(one.trend) for one in shop.vehicles)
        last = f"the last {so_many(most, 'commit')}, each on its own day, the newest last"
        said = f"Trend: {last}. {TREND_WORDS}."
        return Section("", (Passage((said,)),))
    said = "Trend: none, since no commit holds these vehicles." if shop.commits else ""
    return Section("", (Passage((said,)),) if said else ())


def _waivers(shop: WholeShop) -> Section:
    rows = tuple(
        ((Toned(one.name, "bold"),), (each.waiver.rule,), due_words(each), (each.last_day or "",))
        for one in shop.vehicles
        for each in one.waivers
        if each.waiver
    )
    heads = ("vehicle", "rule", "when", "last day")
    table = Table(heads, rows, labels=False, headed=True)
    return Section(
        f"Waivers that run out within {so_many(shop.within_days, 'day')}", (table,) if rows else ()
    )


def _work(shop: WholeShop) -> Section:
    rows = tuple(_work_rows(shop))
    table = Table(("vehicle", "what", "when", "do"), rows, labels=False, headed=True)
    return Section(f"Due within {so_many(shop.within_days, 'day')}", (table,) if rows else ())


def _work_rows(shop: WholeShop) -> Iterator[tuple[Line, ...]]:
    """What is due; of what is due alike on several vehicles their names in one row."""
    alike: dict[tuple[str, str, Line], list[str]] = {}
    for one in shop.vehicles:
        for each in one.work:
            what = each.what + (f", motor {each.motor}" if each.motor else "")
            alike.setdefault((what, each.do, due_words(each)), []).append(one.name)
    for (what, do, when), names in alike.items():
        yield (Toned(", ".join(names), "bold"),), (what,), when, (do,)


def _asks(shop: WholeShop) -> Section:
    """What a ride still waits for: the first thing of each vehicle, and how much more there is."""
    rows = tuple(
        (
            (Toned(one.name, "bold"),),
            (one.asks[0] + (f", and {len(one.asks) - 1} more" if one.asks[1:] else ""),),
        )
        for one in shop.vehicles
        if one.asks
    )
    table = Table(("vehicle", "to do first"), rows, labels=False, headed=True)
    return Section("What a ride still waits for", (table,) if rows else ())
