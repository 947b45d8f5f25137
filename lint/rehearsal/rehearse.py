"""Every single failure of a vehicle played through: what it does, what catches it, and what does not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from ..documents.given import Value
from ..documents.profile import BASE, Profile
from ..documents.schema import entered_under
from ..expressions.expression import Expression
from ..expressions.formatting import shown
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import mode_books
from ..judgement.motor_books import books_of_motors
from ..judgement.rule import Rule
from ..judgement.verdict import in_order
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.operand import ABSENT, EXACT, Side
from .caught import Caught, caught
from .failure_book import FailureBook, failure_unit
from .failure_file import (
    GRAVE_CLASSES,
    GRAVEST_CLASS,
    Class,
    Detection,
    EffectSpec,
    FailureSpec,
    failure_classes,
    failure_specs,
)
from .inductance import LEAST_INDUCTANCE, MOST_INDUCTANCE

# What a rehearsal comes to: failures that may injure, destroy a part or start a fire.
RehearsalOutcome = Literal["uncovered", "not known", "covered"]
BRAKELESS: tuple[Class, str] = (GRAVEST_CLASS, "Regen, which alone brakes the vehicle, is gone.")
NEVER_TRIED = " (never tried)"
DO_BRAKELESS = "Fit a brake besides the motor, and enter it (vehicle.brakes)."
# A motor's own book, and that of the pack and bus that it shares with others; of one motor the same.
BookPair = tuple[Book, Book]


@dataclass(frozen=True, slots=True)
class FailureEffect:
    """What a failure does: a quantity with its value, None where it cannot be worked out.

    `after_ms` is the time after which it is there; None where it is no event, or not known. `side` says
    whether the value is exact; what would make it known, or exact, is `missing`; `reason` says why
    there can be none.
    """

    quantity: str
    title: str
    value: Value | None
    unit: str
    after_ms: float | None = None
    side: Side = EXACT
    missing: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Failure:
    """One single failure of the vehicle in one mode.

    `caught_by` is the entry that says what catches it, or "rider"; None where nothing does or nobody
    knows. `covered` is True, False, or None where an entry is `missing`. `caught` says in words what
    catches it, `basis` on what that rests, `assumed` between which ends an entry that is missing was taken.
    `motor` is that of several; "" where it is the vehicle's.
    """

    failure: str
    title: str
    happens: str
    effect: tuple[FailureEffect, ...]
    caught_by: str | None
    caught: str
    within_ms: float | None
    basis: str
    severity: Class
    grounds: str
    detection: Detection
    covered: bool | None
    missing: tuple[str, ...]
    do: str
    source: str
    mode: str = BASE
    motor: str = ""
    assumed: str = ""


def rehearsals(
    profile: Profile, catalogue: Catalogue, judged_on: str
) -> dict[str, tuple[Failure, ...]]:
    """The failures of a profile in the base settings and in each mode, what is uncovered first.

    Of several motors each has its failures; what is alike for all of them stands once.
    """
    rules = {rule.id: rule for rule in catalogue.about("profile")}
    return {
        mode: uncovered_first(failures_of(motors, rules, mode))
        for mode, motors in _books(profile, judged_on).items()
    }


def _books(profile: Profile, judged_on: str) -> dict[str, dict[str, BookPair]]:
    """By mode the books of the vehicle, or of each of several motors."""
    if not profile.motors:
        return {mode: {"": (book, book)} for mode, book in mode_books(profile, judged_on).items()}
    _, each = books_of_motors(profile, judged_on)
    return {
        mode: {motor: (books[mode].own, books[mode].pack) for motor, books in each.items()}
        for mode in (BASE, *profile.modes)
    }


def failures_of(
    motors: Mapping[str, BookPair], rules: Mapping[str, Rule], mode: str = BASE
) -> Iterator[Failure]:
    """The failures that are possible in one mode, in the order of the file; alike for all motors, once."""
    books = {motor: tuple(map(FailureBook, pair)) for motor, pair in motors.items()}
    for spec in failure_specs():
        found = {
            motor: replace(_rehearsed(spec, by, book), mode=mode)
            for motor, pair in books.items()
            if (by := caught(spec, book := pair[spec.shared], rules)) is not None
        }
        told = list(found.values())
        if len(found) == len(books) and all(one == told[0] for one in told):
            yield told[0]
        else:
            yield from (replace(one, motor=motor) for motor, one in found.items())


def covered_failures(
    motors: Mapping[str, BookPair], rules: Mapping[str, Rule]
) -> dict[tuple[str, str], bool | None]:
    """Whether each failure is caught, by its name and motor, without what it does."""
    books = {motor: tuple(map(FailureBook, pair)) for motor, pair in motors.items()}
    return {
        (spec.failure, motor): by.covered
        for spec in failure_specs()
        for motor, pair in books.items()
        if (by := caught(spec, pair[spec.shared], rules)) is not None
    }


def uncovered_first(failures: Iterable[Failure]) -> tuple[Failure, ...]:
    """What nothing catches, then what nobody knows, then the rest; the gravest first."""
    rank = list(failure_classes().severities)
    state = (False, None, True)
    return tuple(
        sorted(failures, key=lambda one: (state.index(one.covered), rank.index(one.severity)))
    )


def uncovered_grave(failures: Iterable[Failure]) -> list[Failure]:
    """The failures that may injure a person or destroy a part, and that nothing catches."""
    return [one for one in failures if one.severity in GRAVE_CLASSES and one.covered is False]


def rehearsal_outcome(rehearsed: Iterable[Iterable[Failure]]) -> RehearsalOutcome:
    """What failures come to in all modes: whether nothing, or nobody knows what, catches a grave one."""
    failures = [failure for of_mode in rehearsed for failure in of_mode]
    if uncovered_grave(failures):
        return "uncovered"
    unknown = any(one.severity in GRAVE_CLASSES and one.covered is None for one in failures)
    return "not known" if unknown else "covered"


def _rehearsed(spec: FailureSpec, by: Caught, book: FailureBook) -> Failure:
    """One failure played through: what it does, and what catches it."""
    severity, grounds = BRAKELESS if by.brakeless else _severity(spec, book)
    return Failure(
        failure=spec.failure,
        title=spec.title,
        happens=spec.happens,
        effect=tuple(_effects(spec.effect, book)),
        caught_by=by.catch.by if by.catch else None,
        caught=_caught_words(by),
        within_ms=_number(by.catch.within_ms, book) if by.catch else None,
        basis=by.catch.basis if by.catch else "",
        severity=severity,
        grounds=grounds,
        detection=by.detection,
        covered=by.covered,
        missing=_entries(by.missing),
        do=_do(spec, by),
        source=spec.source,
        assumed=_assumed(book) if by.assumed else "",
    )


def _caught_words(by: Caught) -> str:
    """What catches a failure, in words; of a switch or limit also that nobody tried it."""
    if by.catch is None:
        return ""
    return f"{by.catch.says}{NEVER_TRIED}" if by.untried else by.catch.says


def _do(spec: FailureSpec, by: Caught) -> str:
    """What to do about a failure: what was tried in vain is mended, and a lost brake is made up for."""
    if by.brakeless:
        return DO_BRAKELESS
    if by.failed:
        return f"Mend what did nothing when tried ({by.failed}), and try it again."
    return spec.do


def _assumed(book: FailureBook) -> str:
    """Between which ends the phase inductance was taken, none being entered."""
    ends = (book.operand(name).number for name in (LEAST_INDUCTANCE, MOST_INDUCTANCE))
    least, most = (shown(float(f"{one:.2g}"), "uH") for one in ends)
    return f"phase inductance of {least} to {most}"


def _severity(spec: FailureSpec, book: FailureBook) -> tuple[Class, str]:
    """The class of a failure with its grounds; the graver one where it is not sure."""
    if spec.milder is not None and spec.milder.when.evaluate(book.operand).value is True:
        return spec.milder.severity, spec.milder.grounds
    return spec.severity, spec.grounds


def _effects(specs: Iterable[EffectSpec], book: FailureBook) -> Iterator[FailureEffect]:
    """What a failure does; what the vehicle does not have, or what never comes, is left out."""
    for spec in specs:
        operand = book.operand(spec.of)
        after = None if spec.after_ms is None else spec.after_ms.evaluate(book.operand)
        if operand.side == ABSENT or (after is not None and after.side == ABSENT):
            continue
        yield FailureEffect(
            quantity=spec.of,
            title=spec.title,
            value=operand.value,
            unit=failure_unit(spec.of),
            after_ms=_number(spec.after_ms, book) if operand.known else None,
            side=operand.side,
            missing=_entries(operand.missing),
            reason=operand.reason,
        )


def _number(time: Expression | None, book: FailureBook) -> float | None:
    """A time in ms where it is known."""
    if time is None:
        return None
    value = time.evaluate(book.operand).value
    return value if is_number(value) else None


def _entries(names: Iterable[str]) -> tuple[str, ...]:
    """Missing quantities by the keys under which they are entered, in the order of the schema."""
    return tuple(in_order(map(entered_under, names)))
