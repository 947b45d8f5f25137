"""Every single failure of a vehicle played through: what it does, what catches it, and what does not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ..documents.given import Value
from ..documents.profile import BASE, Profile
from ..documents.schema import entered_under
from ..expressions.expression import Expression
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Ruling, mode_books, ruling
from ..judgement.motor_books import books_of_motors
from ..judgement.rule import Rule
from ..judgement.verdict import in_order
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.operand import ABSENT, EXACT, NOT_THERE, NOTHING, Operand, Side
from .failure_book import FailureBook, failure_title, failure_unit
from .failure_file import (
    DETECTED,
    GRAVEST_CLASS,
    CatchSpec,
    Class,
    Detection,
    EffectSpec,
    FailureSpec,
    failure_classes,
    failure_specs,
)


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
    catches it, `basis` on what that rests. `motor` is that of several; "" where it is the vehicle's.
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


def rehearsals(
    profile: Profile, catalogue: Catalogue, judged_on: str
) -> dict[str, tuple[Failure, ...]]:
    """The failures of a profile in the base settings and in each mode, what is uncovered first.

    Of several motors each has its failures; what is alike for all of them stands once.
    """
    rules = {rule.id: rule for rule in catalogue.about("profile")}
    if not profile.motors:
        books = mode_books(profile, judged_on)
        return {
            mode: uncovered_first(failures_of(book, rules, mode)) for mode, book in books.items()
        }
    _, each = books_of_motors(profile, judged_on)
    return {
        mode: uncovered_first(
            merged_motors(
                [
                    tuple(failures_of(books[mode].own, rules, mode, motor))
                    for motor, books in each.items()
                ]
            )
        )
        for mode in (BASE, *profile.modes)
    }


def failures_of(
    book: Book, rules: Mapping[str, Rule], mode: str = BASE, motor: str = ""
) -> Iterator[Failure]:
    """The failures that are possible on the vehicle in one mode, in the order of the file."""
    failure_book = FailureBook(book)
    for spec in failure_specs():
        possible = spec.when.evaluate(failure_book.operand)
        if possible.value is False or possible.side == ABSENT:
            continue
        found = _rehearsed(spec, failure_book, book, rules)
        if possible.value is None:
            found = replace(found, **_not_known(possible.missing))
        yield replace(found, mode=mode, motor=motor)


def uncovered_first(failures: Iterable[Failure]) -> tuple[Failure, ...]:
    """What nothing catches, then what nobody knows, then the rest; the gravest first."""
    rank = list(failure_classes().severities)
    state = (False, None, True)
    return tuple(
        sorted(failures, key=lambda one: (state.index(one.covered), rank.index(one.severity)))
    )


def merged_motors(each: Sequence[tuple[Failure, ...]]) -> Iterator[Failure]:
    """The failures of several motors; one that is alike for all of them is the vehicle's."""
    names = {failure.failure: None for motor in each for failure in motor}
    for name in names:
        same = [failure for motor in each for failure in motor if failure.failure == name]
        alike = {replace(one, motor="") for one in same}
        if len(alike) == 1 and len(same) == len(each):
            yield from alike
        else:
            yield from same


def uncovered_gravest(failures: Iterable[Failure]) -> list[Failure]:
    """The failures of the gravest class that nothing catches."""
    return [one for one in failures if one.severity == GRAVEST_CLASS and one.covered is False]


def unknown_gravest(failures: Iterable[Failure]) -> list[Failure]:
    """The failures of the gravest class of which nobody knows what catches them."""
    return [one for one in failures if one.severity == GRAVEST_CLASS and one.covered is None]


def _not_known(missing: Iterable[str]) -> dict[str, Any]:
    """The fields of a failure of which nobody knows whether anything catches it."""
    return {
        "caught_by": None,
        "caught": "",
        "within_ms": None,
        "basis": "",
        "detection": "not known",
        "covered": None,
        "missing": _entries(missing),
    }


def _rehearsed(
    spec: FailureSpec, failure_book: FailureBook, book: Book, rules: Mapping[str, Rule]
) -> Failure:
    """One failure played through: the first catch that holds, else what would tell whether one does."""
    severity, grounds = _severity(spec, failure_book)
    whole = Failure(
        failure=spec.failure,
        title=spec.title,
        happens=spec.happens,
        effect=tuple(_effects(spec.effect, failure_book)),
        caught_by=None,
        caught="",
        within_ms=None,
        basis="",
        severity=severity,
        grounds=grounds,
        detection="nothing",
        covered=False,
        missing=(),
        do=spec.do,
        source=spec.source,
    )
    open_catches: list[Operand] = []
    for catch in spec.caught_by:
        holds = _holds(catch, failure_book, book, rules)
        if holds.value is True:
            return replace(
                whole,
                caught_by=catch.by,
                caught=catch.says,
                within_ms=_number(catch.within_ms, failure_book),
                basis=catch.basis,
                detection=_detection(spec, catch),
                covered=True,
            )
        if holds.value is None and holds.side != ABSENT:
            open_catches.append(holds)
    if not open_catches:
        return whole
    nearest = min(open_catches, key=lambda one: len(one.missing) or len(failure_specs()))
    return replace(whole, **_not_known(nearest.missing))


def _severity(spec: FailureSpec, failure_book: FailureBook) -> tuple[Class, str]:
    """The class of a failure with its grounds; the graver one where it is not sure."""
    if spec.milder is not None and spec.milder.when.evaluate(failure_book.operand).value is True:
        return spec.milder.severity, spec.milder.grounds
    return spec.severity, spec.grounds


def _detection(spec: FailureSpec, catch: CatchSpec) -> Detection:
    """How a failure shows: what is hidden by a test alone, whatever stands in for it meanwhile."""
    return "test" if spec.hidden and catch.kind != "withstands" else DETECTED[catch.kind]


def _holds(
    catch: CatchSpec, failure_book: FailureBook, book: Book, rules: Mapping[str, Rule]
) -> Operand:
    """Whether a catch holds; what the vehicle does not have catches nothing."""
    parts = [] if catch.when is None else [catch.when.evaluate(failure_book.operand)]
    parts += [_clear(ruling(rules[name], book)) for name in catch.clear if name in rules]
    if not parts or any(part.side == ABSENT or part.value is False for part in parts):
        return Operand(False)
    unknown = [part for part in parts if part.value is None]
    if not unknown:
        return Operand(True)
    return Operand(None, EXACT, NOTHING.union(*(part.missing for part in unknown)))


def _clear(decided: Ruling) -> Operand:
    """Whether a rule is clear, as a value; one that is out of scope says nothing."""
    if decided.outcome == "out_of_scope":
        return NOT_THERE
    if decided.outcome == "not_checked":
        return Operand(None, EXACT, decided.missing, decided.reason)
    return Operand(decided.outcome == "clear")


def _effects(specs: Iterable[EffectSpec], failure_book: FailureBook) -> Iterator[FailureEffect]:
    """What a failure does; what the vehicle does not have, or what never comes, is left out."""
    for spec in specs:
        operand = failure_book.operand(spec.of)
        after = None if spec.after_ms is None else spec.after_ms.evaluate(failure_book.operand)
        if operand.side == ABSENT or (after is not None and after.side == ABSENT):
            continue
        yield FailureEffect(
            quantity=spec.of,
            title=failure_title(spec.of),
            value=operand.value,
            unit=failure_unit(spec.of),
            after_ms=_number(spec.after_ms, failure_book) if operand.known else None,
            side=operand.side,
            missing=_entries(operand.missing),
            reason=operand.reason,
        )


def _number(time: Expression | None, failure_book: FailureBook) -> float | None:
    """A time in ms where it is known."""
    if time is None:
        return None
    operand = time.evaluate(failure_book.operand)
    return operand.value if is_number(operand.value) else None


def _entries(names: Iterable[str]) -> tuple[str, ...]:
    """Missing quantities by the keys under which they are entered, in the order of the schema."""
    return tuple(in_order(map(entered_under, names)))
