"""`gonogo window` of several motors: a window for each entry, named as it was entered."""

from __future__ import annotations

from ..documents.error import UsageError
from ..documents.motors import MOTORS, entry_path
from ..documents.profile import BASE
from ..judgement.motor_books import hear_motors
from ..judgement.motor_entries import Heard, MotorEntry
from ..judgement.motor_window import motor_window, windows_once
from ..reports.layout import Page
from ..reports.record import json_text
from ..reports.window import detail_page, table_page
from ..reports.window_record import record
from .asked_setting import group_of, setting_of
from .formats import as_text
from .proposal import OpenedProfile


def told(
    profile: OpenedProfile, setting: str | None, mode: str | None, form: str, page: Page
) -> str:
    """The windows of a profile of several motors, or of one of its settings or groups."""
    whole = profile.profile
    motors = hear_motors(whole, profile.catalogue, profile.judged_on)
    profile.refuse_unknown_mode(mode)
    heard = Heard(whole, motors, profile.catalogue)
    modes = (BASE, *whole.modes) if mode is None else (mode,)
    entries = [entry for one in modes for entry in heard.entries(one)]
    if setting is not None:
        entries = _asked(setting, entries, heard, mode)
    windows = [motor_window(entry, heard) for entry in entries]
    if form == "json":
        return json_text(record(windows, whole, profile.judged_on))
    one = setting is not None and len({entry.name for entry in entries}) == 1
    detailed = one and setting is not None and group_of(_bare(setting), _names(entries)) is None
    return as_text((detail_page if detailed else table_page)(windows_once(windows), whole), page)


def _names(entries: list[MotorEntry]) -> list[str]:
    return [entry.name for entry in entries]


def _bare(asked: str) -> str:
    """What is asked for of a motor, without its motor."""
    return entry_path(asked) if asked.startswith(f"{MOTORS}.") else asked


def _asked(
    asked: str, entries: list[MotorEntry], heard: Heard, mode: str | None
) -> list[MotorEntry]:
    """The entries that are asked for; `motors.left.settings.max_rpm` is that of the one motor."""
    known = entries if mode is None else [*heard.entries(), *entries]
    bare = _bare(asked)
    group = group_of(bare, _names(known))
    names = frozenset({setting_of(bare, _names(known))}) if group is None else group
    found = [entry for entry in entries if entry.name in names]
    if mode is not None and not found:
        found = [entry for entry in heard.entries() if entry.name in names]
    if asked == bare:
        return found
    motor = next((name for name in heard.motors if asked.startswith(f"{MOTORS}.{name}.")), None)
    if motor is None:
        told = ", ".join(heard.motors)
        raise UsageError(f"{asked}: no such motor. Motors: {told}.")
    return [entry for entry in found if motor in entry.motors]
