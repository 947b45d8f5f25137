"""`gonogo enter`: the sheet of values to type into the controller, and what was read back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..documents.error import UsageError
from ..judgement.entry_sheet import EntrySheet, entry_sheet
from ..judgement.field_forms import forms_by_quantity
from ..reports.entries import record, sheet_page
from ..reports.record import json_text
from .formats import SHEET_FORMATS, as_text, known_format, page_as
from .options import AsOf, OneMode, Output, format_option
from .output import GO, INCOMPLETE, NO_GO, deliver, page_for
from .proposal import opened


def run(
    path: Path,
    mode: str | None = None,
    forms: Iterable[str] = (),
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the sheet of a profile; NO-GO where something on it cannot be entered."""
    known_format(form, SHEET_FORMATS)
    asked = forms_asked(forms)
    profile = opened(path, as_of)
    profile.refuse_unknown_mode(mode)
    sheet = entry_sheet(profile.profile, profile.catalogue, profile.judged_on, mode, asked)
    if form == "json":
        text = json_text(record(sheet))
    elif form == "html":
        text = page_as(form, sheet_page(sheet, __version__), page_for(output, out))
    else:
        text = as_text(sheet_page(sheet), page_for(output, out))
    deliver(text, output, out, (path,))
    return sheet_status(sheet)


def sheet_status(sheet: EntrySheet) -> int:
    """The exit status of a sheet: that of the stand with its values, NO-GO with an obstacle."""
    verdict = sheet.verdict("stand")
    if verdict == "no-go":
        return NO_GO
    return INCOMPLETE if verdict == "incomplete" else GO


def forms_asked(told: Iterable[str]) -> Mapping[str, str]:
    """The forms of `--as SETTING=FORM`, by the canonical name of the setting."""
    found: dict[str, str] = {}
    for text in told:
        name, _, form = (part.strip() for part in text.partition("="))
        if not (name and form):
            example = "expected SETTING=FORM, such as phase_current_A_rms=peak"
            raise UsageError(f"--as {text}: {example}.")
        found |= forms_by_quantity({name: form}, f"--as {text}:")
    return found


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to enter.")],
    mode: OneMode = None,
    forms: Annotated[
        list[str] | None,
        typer.Option(
            "--as",
            metavar="SETTING=FORM",
            help="How a field asks: rms, peak, electrical, cell, percent and so on.",
        ),
    ] = None,
    form: Annotated[str, format_option(SHEET_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Print the sheet of values to type into the controller.

    Each value in its field's unit, at the field's step inside its window, with room to tick it and to
    note what the controller shows afterwards.
    """
    return run(path, mode, forms or (), form, output, as_of)
