"""`gonogo working`: how a quantity came about, down to what was given."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TextIO

import typer

from ..documents.error import UsageError
from ..documents.profile import BASE
from ..documents.schema import properties
from ..expressions.names import vocabulary
from ..judgement.evaluation import hear
from ..reports.record import json_text
from ..reports.working import list_page, list_record, page_of, record
from .completion import quantity_names
from .formats import as_text, known_format
from .options import AsOf, Output, PlainFormat
from .output import GO, deliver, page_for
from .proposal import OpenedProfile, opened
from .slips import hint, refuse_swapped

if TYPE_CHECKING:
    from ..judgement.motor_quantities import Having

FAILURE = "failure"  # before the names of what failures come to


def run(
    path: Path,
    quantity: str | None = None,
    mode: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the working of one quantity, or without one the quantities that there are."""
    known_format(form)
    refuse_swapped("working", path, quantity)
    profile = opened(path, as_of)
    if profile.profile.motors:
        text = _of_motors(profile, quantity, mode, form, output, out)
        deliver(text, output, out, (path,))
        return GO
    name = None if quantity is None else quantity_named(quantity)
    hearing = hear(profile.profile, profile.catalogue, profile.judged_on)
    profile.refuse_unknown_mode(mode)
    book = hearing.books[mode or BASE]
    if name is not None and is_of_failures(name):
        from ..reports import failure_working as of_failures

        having = of_failures.traced(book)
        if name == FAILURE:
            text = _failures([having], profile, mode, form, output, out)
            deliver(text, output, out, (path,))
            return GO
        book = having.book
    if form == "json":
        data = (
            list_record(book, profile.profile, mode)
            if name is None
            else record(name, book, profile.profile, mode)
        )
        text = json_text(data)
    else:
        report = (
            list_page(book, profile.profile, mode or "")
            if name is None
            else page_of(name, book, profile.profile, mode or "")
        )
        text = as_text(report, page_for(output, out))
    deliver(text, output, out, (path,))
    return GO


def _of_motors(
    profile: OpenedProfile,
    quantity: str | None,
    mode: str | None,
    form: str,
    output: Path | None,
    out: TextIO | None,
) -> str:
    """The working where there are several motors; `motors.rear.NAME` asks for that of one."""
    from ..judgement.motor_books import hear_motors  # late: most vehicles have one motor
    from ..judgement.motor_quantities import having_of_each, havings, motor_quantity
    from ..reports import motor_working as told

    whole = profile.profile
    own = None if quantity is None else motor_quantity(quantity, whole.motors)
    name = None if quantity is None else quantity_named(_inside(own[1]) if own else quantity)
    profile.refuse_unknown_mode(mode)
    heard = hear_motors(whole, profile.catalogue, profile.judged_on)
    if name is not None and is_of_failures(name):
        from ..reports.failure_working import failure_havings

        of_failures = [
            one
            for one in failure_havings(heard, mode or BASE, name)
            if own is None or own[0] in one.motors
        ]
        if name == FAILURE:
            return _failures(of_failures, profile, mode, form, output, out)
        if form == "json":
            return json_text(told.motor_record(of_failures, whole, mode))
        return as_text(told.motor_pages(of_failures, whole, mode or BASE), page_for(output, out))
    if name is None:
        if form == "json":
            return json_text(told.motor_list_record(heard, whole, mode))
        return as_text(told.motor_list_page(heard, whole, mode or BASE), page_for(output, out))
    found = havings(name, heard, mode or BASE)
    if own:
        found = having_of_each(name, heard, mode or BASE, own[0])
    if form == "json":
        return json_text(told.motor_record(found, whole, mode))
    return as_text(told.motor_pages(found, whole, mode or BASE), page_for(output, out))


def _failures(
    having: list[Having],
    profile: OpenedProfile,
    mode: str | None,
    form: str,
    output: Path | None,
    out: TextIO | None,
) -> str:
    """What the failures come to, as a list to ask from."""
    from ..reports.failure_working import failure_list_page, failure_list_record

    if form == "json":
        return json_text(failure_list_record(having, profile.profile, mode))
    page = failure_list_page(having, profile.profile, mode or BASE)
    return as_text(page, page_for(output, out))


def _inside(name: str) -> str:
    """The quantity of one motor; what its failures come to is in no section."""
    inner = name.removeprefix("motor.")
    return inner if is_of_failures(inner) else name


def is_of_failures(name: str) -> bool:
    """Whether a name is of what failures come to, or asks for the list of that."""
    return name == FAILURE or name.startswith(f"{FAILURE}.")


def quantity_named(asked: str) -> str:
    """The canonical name of a quantity; of a pair also by its other key."""
    known = vocabulary()
    if asked == FAILURE:
        return asked
    entry = properties().get(asked)
    if entry is not None:
        return entry.quantity
    if asked in known:
        return asked
    from ..rehearsal.failure_book import failure_names  # late: few ask what failures come to

    if asked in failure_names():
        return asked
    lists = "`gonogo working PROFILE` lists all"
    of_failures = is_of_failures(asked)
    names = failure_names() if of_failures else [*known, *properties(), *failure_names()]
    if of_failures:
        names = [name for name in names if is_of_failures(name)]
        lists = f"`gonogo working PROFILE {FAILURE}` lists what failures come to"
    said = hint(asked, list(dict.fromkeys(names)), f"{lists}.")
    raise UsageError(f"No quantity is called {asked or 'nothing'}. {said}")


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to calculate from.")],
    quantity: Annotated[
        str | None,
        typer.Argument(
            metavar="[QUANTITY]",
            show_default=False,
            help="Quantity to explain, such as pack.sag_V; without one all are listed.",
            autocompletion=quantity_names,
        ),
    ] = None,
    mode: Annotated[
        str | None, typer.Option(metavar="NAME", help="Calculate it in this riding mode.")
    ] = None,
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show how a quantity is calculated.

    Prints formula, numbers and source, down to the values entered. `failure` lists what the failures of
    `gonogo rehearse` come to, `failure.NAME` explains one.
    """
    return run(path, quantity, mode, form, output, as_of)
