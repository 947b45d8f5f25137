"""`gonogo window`: what each setting may be, the rule at each end, and how much is left."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.error import UsageError
from ..documents.profile import BASE
from ..documents.schema import canonical, properties
from ..documents.text import nearest
from ..judgement.evaluation import Hearing, hear
from ..judgement.window import FIXED, settings_of, window_of, windows
from ..reports.window_record import record
from ..reports.window_text import detail, table
from .formats import known_format
from .options import AsOf, Output, PlainFormat
from .output import GO, deliver, page_for
from .proposal import workpiece


def run(
    path: Path,
    setting: str | None = None,
    mode: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the windows of a profile, or of one of its settings."""
    known_format(form)
    held = workpiece(path, as_of)
    hearing = hear(held.profile, held.catalogue, held.judged_on)
    held.refuse_unknown_mode(mode)
    name = None if setting is None else setting_named(setting, hearing, mode)
    if name is not None and mode is not None:
        found = [window_of(name, mode, hearing, held.catalogue)]
    else:
        only = None if name is None else frozenset({name})
        every = windows(hearing, held.catalogue, only)
        found = [one for one in every if mode is None or one.mode == mode]
    page = page_for(output, out)
    if form == "json":
        text = record(found, held.profile, held.judged_on)
    else:
        text = (table if name is None else detail)(found, held.profile, page)
    deliver(text, output, out)
    return GO


def setting_named(asked: str, hearing: Hearing, mode: str | None) -> str:
    """The canonical name of the setting asked for; `settings.` may be left out."""
    whole = asked if asked.startswith("settings.") else f"settings.{asked}"
    entry = properties().get(whole)
    name = entry.quantity if entry is not None else whole
    if name in settings_of(hearing, BASE) or (mode and name in settings_of(hearing, mode)):
        return name
    if name in FIXED:
        raise UsageError(f"{name} has no window: the build or a reading fixes its one value.")
    if name in canonical():
        raise UsageError(f"{name} has no window: this vehicle has no such thing.")
    names = [
        key for key, entry in properties().items() if entry.quantity in settings_of(hearing, BASE)
    ]
    meant = nearest(whole, names)
    hint = f" Did you mean {meant}?" if meant else " `gonogo window PROFILE` lists all."
    raise UsageError(f"no setting is called {asked or 'nothing'}.{hint}")


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The profile to look at.")],
    setting: Annotated[
        str | None,
        typer.Argument(metavar="[SETTING]", show_default=False, help="One setting in detail."),
    ] = None,
    mode: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only the settings that this mode sets.")
    ] = None,
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show what each setting may be.

    With the others as they stand, the tightest margin first.
    """
    return run(path, setting, mode, form, output, as_of)
