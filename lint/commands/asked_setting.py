"""Which setting, or group of settings, a name at the shell means."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from ..comparison.statement import subsystem
from ..documents.error import UsageError
from ..documents.profile import BASE
from ..documents.schema import canonical, properties
from ..judgement.evaluation import Hearing
from ..judgement.frame import FIXED, settings_of
from ..reports.window import label_of
from .slips import hint


def settings_of_group(asked: str, hearing: Hearing) -> frozenset[str] | None:
    """The settings of a subsystem or a section, such as `throttle`; None where it is neither."""
    return group_of(asked, [name for mode in hearing.books for name in settings_of(hearing, mode)])


def group_of(asked: str, names: Sequence[str]) -> frozenset[str] | None:
    """The settings of a subsystem or a section, of those that there are."""
    bare = asked.removeprefix("settings.")
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
    return setting_of(
        asked, [*settings_of(hearing, BASE), *(settings_of(hearing, mode) if mode else [])]
    )


def setting_of(asked: str, known: Collection[str]) -> str:
    """The canonical name of the setting asked for, of those that there are."""
    for one in known:
        if asked.removeprefix("settings.") == label_of(one):
            return one
    whole = asked if asked.startswith("settings.") else f"settings.{asked}"
    entry = properties().get(whole)
    name = entry.quantity if entry is not None else whole
    if name in known:
        return name
    if name in FIXED:
        raise UsageError(f"{name} has no window: the build or a reading determines its value.")
    if name in canonical():
        raise UsageError(f"{name} has no window: this vehicle has none.")
    names = [key for key, entry in properties().items() if entry.quantity in known]
    said = hint(asked, names, "`gonogo window PROFILE` lists all.")
    raise UsageError(f"No setting is called {asked or 'nothing'}. {said}")
