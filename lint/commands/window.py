"""`gonogo window`: what each setting may be, the rule at each end, and how much is left."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..comparison.statement import subsystem
from ..documents.error import UsageError
from ..documents.profile import BASE
from ..documents.schema import canonical, properties
from ..judgement.evaluation import Hearing, hear
from ..judgement.frame import FIXED, settings_of
from ..judgement.window import window_of, windows
from ..reports.record import json_text
from ..reports.window import detail_page, label_of, table_page
from ..reports.window_record import record
from .completion import setting_names
from .formats import as_text, known_format
from .options import AsOf, Output, PlainFormat
from .output import GO, deliver, page_for
from .proposal import opened
from .slips import hint, refuse_swapped


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
    refuse_swapped("window", path, setting)
    profile = opened(path, as_of)
    hearing = hear(profile.profile, profile.catalogue, profile.judged_on)
    profile.refuse_unknown_mode(mode)
    group = None if setting is None else settings_of_group(setting, hearing)
    name = None if setting is None or group else setting_named(setting, hearing, mode)
    if name is not None and mode is not None:
        chosen = [window_of(name, mode, hearing, profile.catalogue)]
    else:
        only = group if name is None else frozenset({name})
        every = windows(hearing, profile.catalogue, only)
        chosen = [window for window in every if mode is None or window.mode == mode]
    if form == "json":
        text = json_text(record(chosen, profile.profile, profile.judged_on))
    else:
        report = (table_page if name is None else detail_page)(chosen, profile.profile)
        text = as_text(report, page_for(output, out))
    deliver(text, output, out, (path,))
    return GO


def settings_of_group(asked: str, hearing: Hearing) -> frozenset[str] | None:
    """The settings of a subsystem or a section, such as `throttle`; None where it is neither."""
    bare = asked.removeprefix("settings.")
    names = [name for mode in hearing.books for name in settings_of(hearing, mode)]
    if bare in map(label_of, names):
        return None
    if bare == "settings":
        return frozenset(names)
    found = (
        name
        for name in names
        if name.startswith(f"settings.{bare}.") or (bare == asked and subsystem(name) == bare)
    )
    return frozenset(found) or None


def setting_named(asked: str, hearing: Hearing, mode: str | None) -> str:
    """The canonical name of the setting asked for; `settings.` and the unit may be left out."""
    known = [*settings_of(hearing, BASE), *(settings_of(hearing, mode) if mode else [])]
    for one in known:
        if asked.removeprefix("settings.") == label_of(one):
            return one
    whole = asked if asked.startswith("settings.") else f"settings.{asked}"
    entry = properties().get(whole)
    name = entry.quantity if entry is not None else whole
    if name in settings_of(hearing, BASE) or (mode and name in settings_of(hearing, mode)):
        return name
    if name in FIXED:
        raise UsageError(f"{name} has no window: the build or a reading determines its value.")
    if name in canonical():
        raise UsageError(f"{name} has no window: this vehicle has none.")
    names = [
        key for key, entry in properties().items() if entry.quantity in settings_of(hearing, BASE)
    ]
    said = hint(asked, names, "`gonogo window PROFILE` lists all.")
    raise UsageError(f"No setting is called {asked or 'nothing'}. {said}")


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to show.")],
    setting: Annotated[
        str | None,
        typer.Argument(
            metavar="[SETTING]",
            show_default=False,
            help="Setting to show in detail, such as max_rpm, or a group, such as throttle.",
            autocompletion=setting_names,
        ),
    ] = None,
    mode: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only the settings of this mode.")
    ] = None,
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show the allowed range of each setting.

    Each range holds with the other settings unchanged; what is outside or near a grave limit comes
    first.
    """
    return run(path, setting, mode, form, output, as_of)
