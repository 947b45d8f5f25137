"""What a call says of fields: a setting by any of its names, and the form in which its field asks."""

from __future__ import annotations

from collections.abc import Mapping

from ..documents.error import UsageError
from ..documents.schema import properties
from ..documents.setting_fields import forms_of
from ..documents.text import nearest
from .field import SETTINGS_PREFIX

# What else people write for a form.
OTHER_WORDS = {
    "electrical_rpm": "electrical",
    "erpm": "electrical",
    "mechanical_rpm": "mechanical",
    "rpm": "mechanical",
    "hz": "hertz",
    "a_rms": "rms",
    "a_peak": "peak",
    "a": "amperes",
    "per_cell": "cell",
    "per_pack": "pack",
    "v": "volts",
    "mv": "millivolts",
    "%": "percent",
    "degc": "celsius",
    "c": "celsius",
    "°c": "celsius",
    "degf": "fahrenheit",
    "f": "fahrenheit",
    "°f": "fahrenheit",
    "s": "seconds",
    "ms": "milliseconds",
    "mm": "millimetres",
    "in": "inches",
    "inch": "inches",
}


def forms_by_quantity(told: Mapping[str, str], option: str) -> dict[str, str]:
    """The forms that a call asks for, by the canonical name of the setting; raises UsageError.

    A setting goes with or without `settings.`; `option` says in an error where it was told.

    >>> forms_by_quantity({"phase_current_A_peak": "rms", "settings.max_rpm": "ERPM"}, "forms=")
    {'settings.phase_current_A_rms': 'rms', 'settings.max_rpm': 'electrical'}
    """
    found: dict[str, str] = {}
    for name, form in told.items():
        bare = name.removeprefix(SETTINGS_PREFIX)
        entry = properties().get(f"{SETTINGS_PREFIX}{bare}")
        if entry is None or entry.kind not in ("number", "integer"):
            meant = nearest(bare, _numbers())
            said = f"Did you mean {meant}?" if meant else "`gonogo help keys` lists them."
            raise UsageError(f"{option} no number among the settings is called {bare}. {said}")
        found[entry.quantity] = _form_named(bare, form, option)
    return found


def _numbers() -> list[str]:
    """The settings that are numbers, without `settings.`."""
    return [
        path.removeprefix(SETTINGS_PREFIX)
        for path, entry in properties().items()
        if path.startswith(SETTINGS_PREFIX) and entry.kind in ("number", "integer")
    ]


def _form_named(setting: str, asked: str, option: str) -> str:
    forms = list(forms_of(setting))
    plain = asked.lower().replace("-", "_").replace(" ", "_")
    form = plain if plain in forms else OTHER_WORDS.get(plain, plain)
    if form not in forms:
        meant = nearest(plain, forms)
        said = f" Did you mean {meant}?" if meant else ""
        raise UsageError(f"{option} expected one of {', '.join(forms)} for {setting}.{said}")
    return form
