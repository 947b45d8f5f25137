"""A tune: a profile with some settings at other values, to be judged without being written."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from ..documents.location import Place
from ..documents.profile import Given, Profile
from ..documents.schema import properties
from .explanation import section_place

MODES = "modes."


@dataclass(frozen=True, slots=True)
class Setting:
    """A value for one setting in one mode, as it would be entered under its key.

    `before` is what stands there now, None where nothing does.
    """

    quantity: str
    mode: str
    entered_as: str
    entered: Any
    factor: float
    before: Any
    because: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the document that lead to it."""
        if self.mode and not self.entered_as.startswith(MODES):
            return (MODES[:-1], self.mode, *self.entered_as.split(".")[1:])
        if self.mode:
            inner = self.entered_as.removeprefix(f"{MODES}{self.mode}.")
            return (MODES[:-1], self.mode, *inner.split("."))
        return tuple(self.entered_as.split("."))


def tuned(profile: Profile, settings: Iterable[Setting]) -> Profile:
    """The profile as it would read with the settings entered."""
    givens = dict(profile.givens)
    modes = {name: dict(changes) for name, changes in profile.modes.items()}
    for setting in settings:
        place = section_place(setting.quantity, profile)
        known = (modes[setting.mode] if setting.mode else givens).get(setting.quantity)
        given = given_of(setting, known.place if known is not None else place)
        if setting.mode:
            modes[setting.mode][setting.quantity] = given
            continue
        givens[setting.quantity] = given
        for section in _sections(setting.quantity):
            if section not in givens:
                givens[section] = Given(section, "fitted", section, "fitted", 1.0, place)
    return replace(profile, givens=givens, modes=modes)


def given_of(setting: Setting, place: Place) -> Given:
    """The setting as a document would give it."""
    entered = setting.entered
    value = entered * setting.factor if isinstance(entered, int | float) else entered
    key = ".".join(setting.keys)
    return Given(setting.quantity, value, key, entered, setting.factor, place)


def _sections(name: str) -> Iterable[str]:
    """The optional sections in which a setting stands."""
    parts = name.split(".")
    for length in range(2, len(parts)):
        path = ".".join(parts[:length])
        entry = properties().get(path)
        if entry is not None and entry.kind == "section":
            yield path
