"""The questions of `gonogo new` on a terminal: worked out from what the stand still waits for."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path

from ..documents.error import DocumentErrors, UsageError
from ..documents.schema import properties
from ..documents.template import TemplateValue
from ..documents.text import clean, so_many
from ..documents.trade_units import own_key, trade_key
from ..judgement.proposal import FirstValues
from .answer import entry_value, keyed_value
from .beginning import (
    HEADING,
    Begun,
    Want,
    begun,
    refuse_misfits,
    waiting_for_a_ride,
    wanted_for_a_ride,
    wants_of_the_stand,
)
from .display_question import DISPLAY, DISPLAY_ASKED, display_told
from .entry_questions import entry_question, explanation, left_open
from .part_choice import SECTIONS, FoundPart, parts_found, seen_from
from .questions import HELP, QUESTIONS, Ask, asked, yes_or_no
from .transcript import Transcript, WentBack

Tell = Callable[[str], None]
INTRODUCTION = """\
Enter if something is not known, ? explains a question, back returns to the one before.
Nothing is written before you are asked. For several motors --blank --motors left,right begins a file.
"""
PART_KINDS = (("pack", "cell"), ("controller",), ("motor",), ("throttle",))
TAKEN = "readings.taken"
_MOST_NAMED = 4
GOING_ON = """\
Yes asks for the figures that a ride needs, one by one; what is not known is left with Enter, and
Ctrl-C ends the questions without losing an answer. No shows the profile as it is now."""


class Interview:
    """A conversation that fills `values`, which hold every answer so far, however it ends."""

    def __init__(
        self, path: Path, values: dict[str, TemplateValue], judged_on: str, ask: Ask, tell: Tell
    ) -> None:
        self.path, self.values, self.judged_on = path, values, judged_on
        self.ask, self._tells = Transcript(ask), tell
        self.given = dict(values)  # without any answer
        self.known: dict[tuple[object, ...], Begun] = {}  # by the answers, which are given again
        self.begin_again()
        self.remembered = FirstValues()

    def begin_again(self) -> None:
        """As before the first question."""
        self.values.clear()
        self.values |= self.given
        self.put: set[str] = set()  # entries that were asked for
        self.section = ""  # the part in hand
        self.without = DISPLAY  # settings that get no first value

    def tell(self, text: str) -> None:
        """Say something, unless it was said already."""
        if not self.ask.is_repeating:
            self._tells(text)

    def hold(self, demanded: Iterable[str]) -> None:
        """Ask for all that the stand needs, then for what a ride needs of the build, if wanted.

        `demanded` are what the shop requires of every build. An answer `back` asks the question
        before once more, with all that was answered till then.
        """
        if not self.ask.is_repeating:
            self.tell(INTRODUCTION)
        while True:
            try:
                self._ask_all(demanded)
                return
            except WentBack:
                self.begin_again()

    def _ask_all(self, demanded: Iterable[str]) -> None:
        self._begin()
        self._choose_parts()
        for name in demanded:
            if _is_of_the_build(name) and not self._has(name):
                self._put(name, f"Required by house.yaml: {properties()[name].description}")
        self._reach_the_stand()
        self._offer_more()

    def name_it(self) -> None:
        """Give the vehicle the name of its file, where the questions ended before it was asked."""
        self.values.setdefault("vehicle.name", usual_name(self.path))

    def begun(self, heading: str = HEADING) -> Begun:
        """The profile of the answers so far."""
        key = (heading, self.without, *((name, str(told)) for name, told in self.values.items()))
        if key not in self.known:
            self.known[key] = begun(
                self.path, self.values, self.judged_on, heading, self.remembered, self.without
            )
        return self.known[key]

    def _begin(self) -> None:
        name = usual_name(self.path)
        for question in QUESTIONS[:2]:
            if question.path in self.values:
                continue
            usual = name if question.path == "vehicle.name" else ""
            asks = question.asks + (f" (Enter: {clean(usual)})" if usual else "")
            self._until_known(question.path, asks, usual)
        if not self._has("vehicle.wheels"):  # no rule waits for them, and many judge by them
            self._put("vehicle.wheels")

    def _until_known(self, name: str, asks: str, usual: str) -> None:
        def read(answer: str) -> TemplateValue:
            if answer == HELP:
                raise UsageError(explanation(name).rstrip())
            return entry_value(name, answer or usual)

        self.values[name] = asked(asks, read, self.ask)

    def _has(self, name: str) -> bool:
        keys = (name, trade_key(name))
        given = self._given()
        return name in given or any(k in keys or k.startswith(f"{name}.") for k in self.values)

    def _choose_parts(self) -> None:
        """For each part that is not given: one of those in the shop, or its label."""
        found = parts_found(self.path)
        for kinds in PART_KINDS:
            there = [part for part in found if part.kind in kinds]
            if not there or self._has(kinds[0]):
                continue
            part = asked(self._list(kinds, there), partial(_chosen, there), self.ask)
            if part is not None:
                self.values[f"{SECTIONS[part.kind]}.part"] = seen_from(self.path, part.file)

    def _list(self, kinds: tuple[str, ...], there: list[FoundPart]) -> str:
        rows = [
            f"  {number}  {clean(part.name)}, {clean(part.path)}"
            for number, part in enumerate(there, 1)
        ]
        what = " or ".join(kinds)
        return "\n".join(
            [
                f"The {what}, of the parts in this shop:",
                *rows,
                "Its number, or Enter to give its label?",
            ]
        )

    def _reach_the_stand(self) -> None:
        """Ask what settles most, judge again, until nothing is left to ask; the part in hand first."""
        new = self.begun()
        while (want := self._next(new)) is not None:
            self.section = want.name.partition(".")[0]
            self._put_want(want)
            new = self.begun()

    def _next(self, new: Begun) -> Want | None:
        left = [
            want
            for want in wants_of_the_stand(new)
            if want.name not in self.put
            and want.name not in self.values
            and _is_asked_for(want.name)
        ]
        in_hand = [one for one in left if one.name.startswith(f"{self.section}.")]
        return next(iter(in_hand or left), None)

    def _put_want(self, want: Want) -> None:
        """Ask for an entry; what may make it needless is asked before, what replaces it after."""
        told = entry_question(want.name)
        before = [name for name in told.first if name not in self.put and not self._has(name)]
        if before:
            if not self._put(before[0]):
                self.tell(left_open(want.gates))
            return  # judged again, the rest may be needless
        if self._put(want.name):
            return
        for name in told.otherwise:
            if name not in self.put and not self._has(name):
                self._put(name)
        if told.otherwise == () or not any(self._has(name) for name in told.otherwise):
            self.tell(left_open(want.gates))

    def _put(self, name: str, asks: str = "") -> bool:
        """Ask for one entry; false where it is not known."""
        self.put.add(name)
        told = entry_question(name)

        def read(answer: str) -> dict[str, TemplateValue]:
            if answer == HELP:
                raise UsageError(explanation(name).rstrip())
            return self._fitting(name, told.enters, answer) if answer else {}

        answered = asked(asks or told.asks, read, self.ask)
        self.values |= answered
        return bool(answered)

    def _fitting(self, name: str, enters: str, answer: str) -> dict[str, TemplateValue]:
        """An answer as entries, tried beside those before it; raises UsageError."""
        key = _absent(name) if answer.lower() == "none" else enters
        told: dict[str, TemplateValue] = dict([keyed_value(key, answer)])
        if key.startswith("readings.") and TAKEN not in self.values:
            told[TAKEN] = self.judged_on
        try:
            refuse_misfits(self.path, {**self.values, **told})
        except DocumentErrors as wrong:
            raise UsageError("\n".join(str(error) for error in wrong.errors)) from wrong
        return told

    def _offer_more(self) -> None:
        """What a ride needs of labels, tape and scale, if somebody wants to go on."""
        names = self._open_for_a_ride()
        if not names:
            return
        first = ", ".join(properties()[name].title or name for name in names[:_MOST_NAMED])
        about = f"{first} and more" if len(names) > _MOST_NAMED else first
        asks = (
            f"Go on? A ride needs {so_many(len(names), 'more answer')} of labels, tape and scale, "
            f"and other settings get first values by them ({about})."
        )
        if not yes_or_no(asks, self.ask, True, GOING_ON):
            return
        while names:
            self.section = names[0].partition(".")[0]
            self._put_want(Want(names[0], waiting_for_a_ride(self.begun(), names[0]), True))
            names = self._open_for_a_ride()
        self._ask_for_the_display()

    def _open_for_a_ride(self) -> list[str]:
        return [
            name
            for name in wanted_for_a_ride(self.begun(), self._given())
            if name not in self.put and name in properties() and not self._has(name)
        ]

    def _given(self) -> set[str]:
        own = {own_key(key) or key for key in self.values}
        return own | {properties()[key].quantity for key in own if key in properties()}

    def _ask_for_the_display(self) -> None:
        """Whether a display works out the speed; without one no values for it are written."""
        if self._has(DISPLAY):
            return
        answer = asked(DISPLAY_ASKED, display_told, self.ask)
        if answer == "none":
            self.values[DISPLAY] = answer
        self.without = "" if answer else DISPLAY


def usual_name(path: Path) -> str:
    """The name of a vehicle whose file nobody named otherwise: `my-cart.yaml` is My cart."""
    stem = path.stem.replace("-", " ").replace("_", " ").strip()
    return (stem[:1].upper() + stem[1:])[:80] or "Vehicle"


def _absent(name: str) -> str:
    """What `none` is entered under: the entry, or the section that may be missing as a whole."""
    parts = name.split(".")
    above = (".".join(parts[:length]) for length in range(len(parts), 1, -1))
    known = (one for one in above if one in properties() and properties()[one].can_be_none)
    return next(known, name)


def _is_of_the_build(name: str) -> bool:
    return not name.startswith(("settings.", "readings."))


def _is_asked_for(name: str) -> bool:
    """A setting gets its first value from us; a reading is asked where that value depends on it."""
    return not name.startswith("settings.")


def _chosen(there: list[FoundPart], answer: str) -> FoundPart | None:
    if answer in ("", "label"):
        return None
    if answer == HELP:
        raise UsageError(
            "A part file holds one part's figures for all vehicles that have it. "
            "Without one its label figures are asked for one by one, and can be kept as a file."
        )
    if answer.isdigit() and 0 < int(answer) <= len(there):
        return there[int(answer) - 1]
    for part in there:
        if answer in (part.name, part.path) or os.path.realpath(answer) == os.path.realpath(
            part.file
        ):
            return part
    raise UsageError(
        f"Expected a number from 1 to {len(there)}, or Enter; found {clean(answer)!r}."
    )
