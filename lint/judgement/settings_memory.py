"""For which settings a step of the bring-up was done: noted beside its tick, compared with those of now."""

from __future__ import annotations

from hashlib import sha256
from typing import Literal

from ..documents.profile import Profile

SettingsMemory = Literal["", "same", "other", "not noted"]
DONE_FOR = "readings.steps_done_for"
# Steps that are done for the settings as they are, and have no reading that would show others.
OF_SETTINGS = ("values", "full_limits")
_SETTINGS = "settings."


def settings_digest(profile: Profile) -> str:
    """A short mark of all settings of a profile, its modes and its motors; the same for the same values.

    It begins with a letter, so that no reader takes it for a number.
    """
    views = (("", profile), *sorted(profile.motors.items()))
    lines = [
        f"{motor} {mode} {name} {None if given is None else given.value!r}"
        for motor, view in views
        for mode, givens in (("", view.givens), *sorted(view.modes.items()))
        for name, given in sorted(givens.items())
        if name.startswith(_SETTINGS)
    ]
    return f"s{sha256(chr(10).join(lines).encode()).hexdigest()[:12]}"


def remembered(tick: str, profile: Profile) -> SettingsMemory:
    """Whether a step was done for the settings of now; empty of one that rests on none of them."""
    if tick not in OF_SETTINGS:
        return ""
    noted = profile.value(f"{DONE_FOR}.{tick}")
    if noted is None:
        return "not noted"
    return "same" if noted == settings_digest(profile) else "other"
