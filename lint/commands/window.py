"""`gonogo window`: what each setting may be, the rule at each end, and how much is left."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.error import SeveralMotors, UsageError
from ..judgement.evaluation import hear
from ..judgement.window import window_of, windows
from ..reports.record import json_text
from ..reports.window import detail_page, table_page
from ..reports.window_record import record
from .asked_setting import setting_named, settings_of_group
from .completion import setting_names
from .formats import as_text, known_format
from .options import AsOf, OneMode, Output, PlainFormat
from .output import GO, deliver, page_for
from .proposal import opened
from .slips import refuse_swapped

AT_EVERY_CORNER = (
    "Each window holds at every corner of the tolerances, as gonogo corners has them; told are the settings "
    "that have a value in the base settings."
)
_WITHOUT_CORNERS = "it is told of settings that have a value in the base settings"


def run(
    path: Path,
    setting: str | None = None,
    mode: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    corners: bool = False,
    out: TextIO | None = None,
) -> int:
    """Print the windows of a profile, or of one of its settings."""
    known_format(form)
    refuse_swapped("window", path, setting)
    profile = opened(path, as_of)
    if profile.profile.motors and corners:
        raise SeveralMotors(profile.profile.file, profile.profile.motors)
    if profile.profile.motors:
        from .motor_windows import told  # late: most vehicles have one motor

        text = told(profile, setting, mode, form, page_for(output, out))
        deliver(text, output, out, (path,))
        return GO
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
    if corners:
        from ..tolerances.corner_windows import CornerWindows  # late: few ask for it

        everywhere = CornerWindows(profile.profile, profile.catalogue, hearing)
        chosen = [found for window in chosen if (found := everywhere.window(window))]
        if not chosen:
            do = "leave out --mode" if mode is not None else "enter one first"
            raise UsageError(f"--corners: {_WITHOUT_CORNERS}; {do}.")
    if form == "json":
        found_record = record(chosen, profile.profile, profile.judged_on)
        text = json_text({**found_record, "corners": True} if corners else found_record)
    else:
        report = (table_page if name is None else detail_page)(chosen, profile.profile)
        if corners:
            report = report._replace(closing=f"{AT_EVERY_CORNER} {report.closing}".strip())
        text = as_text(report, page_for(output, out))
    deliver(text, output, out, (path,))
    return GO


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
    mode: OneMode = None,
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
    corners: Annotated[
        bool, typer.Option("--corners", help="Only what holds at every corner; for one motor.")
    ] = False,
) -> int:
    """Show the allowed range of each setting.

    Each range holds with the other settings unchanged; what is outside or near a grave limit comes
    first.
    """
    return run(path, setting, mode, form, output, as_of, corners)
