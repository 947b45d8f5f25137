"""Fields: how the controller asks for one setting, and its value turned into the field's unit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

from ..documents.given import Given, number_of
from ..documents.schema import Property, canonical, entered_under, properties
from ..documents.setting_fields import FieldForm, forms_of
from ..documents.units import FAHRENHEIT_K, FREEZING_DEGF, UNITS, unit_of_key
from ..quantities.book import Book
from ..quantities.number import SIGNIFICANT, is_number, tidy
from ..quantities.operand import EXACT

SETTINGS_PREFIX = "settings."
FIELDS = "controller.fields"
PERCENT = 100.0
MINUTE_S = 60.0
PHASE_RATING, BATTERY_RATING = "controller.phase_current_A_rms", "controller.battery_current_A"
# What a field in percent takes for 100, where the part file does not say.
RATED_BY = {
    "settings.battery_current_A": BATTERY_RATING,
    "settings.regen.battery_current_A": BATTERY_RATING,
    "settings.phase_current_A_rms": PHASE_RATING,
    "settings.regen.phase_current_A_rms": PHASE_RATING,
    "settings.field_weakening_A_rms": PHASE_RATING,
    **dict.fromkeys(
        (
            "settings.throttle.start_V",
            "settings.throttle.full_V",
            "settings.throttle.lost_below_V",
            "settings.throttle.lost_above_V",
            "settings.throttle.reverse_start_V",
        ),
        "throttle.supply_V",
    ),
}


class Field(NamedTuple):
    """How the controller asks for one setting: shown = `scale` × the canonical value + `offset`.

    `form` is one of those of the schema, empty for a choice; `unit` that of what is shown, `step`
    the least that can be entered. `name` and `written` are the owner's words for field and unit.
    `missing` names the entries without which the value cannot be turned; `scale` then is nan.
    `own_step` is the step in which the setting is told where that is finer than the field's, else 0.
    """

    quantity: str
    form: str
    unit: str
    step: float
    scale: float
    offset: float
    name: str
    written: str
    missing: tuple[str, ...] = ()
    own_step: float = 0.0

    def shows(self, value: float) -> float:
        """What the field shows of a canonical value."""
        return tidy(self.scale * value + self.offset)

    def means(self, shown: float) -> float:
        """The canonical value of what the field shows."""
        return (shown - self.offset) / self.scale


def field_of(quantity: str, key: str, book: Book, form: str = "") -> Field:
    """The field of one setting, which is entered under a key; `form` overrides what is told of it.

    `key` is the last word of the key in the profile, or the whole path.
    """
    entry = canonical()[quantity]
    told = _told(quantity, book)
    name, written = told.get("name", ""), told.get("unit", "")
    if entry.kind not in ("number", "integer"):
        return Field(quantity, "", "", 0.0, 1.0, 0.0, name, written)
    forms = forms_of(entry.path.removeprefix(SETTINGS_PREFIX))
    own = own_form(forms, unit_of_key(key))
    chosen = form or told.get("as", own)
    step = None if form and form != told.get("as", own) else told.get("step")
    scale, offset, missing = _turned(entry, chosen, forms[chosen], told, book)
    usual = forms[chosen].step or entry.step or 1.0
    if chosen == own:
        usual = _step_of_key(quantity, key) or usual
    whole = step or float(usual)
    own_step = float(usual) if usual < whole else 0.0
    return Field(
        quantity, chosen, forms[chosen].unit, whole, scale, offset, name, written, missing, own_step
    )


def own_form(forms: Mapping[str, FieldForm], unit: str) -> str:
    """The form in which a key of this unit is entered.

    >>> own_form(forms_of("phase_current_A_rms"), "A_peak"), own_form(forms_of("max_rpm"), "rpm")
    ('peak', 'mechanical')
    """
    return next((name for name, form in forms.items() if form.unit == unit), next(iter(forms)))


def _step_of_key(quantity: str, key: str) -> float | None:
    last = key.rsplit(".", 1)[-1]
    steps = (
        entry.step
        for path, entry in properties().items()
        if entry.quantity == quantity and path.rsplit(".", 1)[-1] == last
    )
    return next(steps, None)


def _told(quantity: str, book: Book) -> Mapping[str, Any]:
    """What the documents tell of a setting's field, under whichever of its keys."""
    given = book.given(FIELDS)
    fields = given.entered if given is not None else {}
    told = (
        {**one, "key": f"{SETTINGS_PREFIX}{key}"}
        for key, one in fields.items()
        if properties()[f"{SETTINGS_PREFIX}{key}"].quantity == quantity
    )
    return next(told, {})


def _turned(
    entry: Property, name: str, form: FieldForm, told: Mapping[str, Any], book: Book
) -> tuple[float, float, tuple[str, ...]]:
    """The factor and the offset from the canonical value to the field's, and what is missing."""
    if name == "percent":
        return _of_full_scale(entry, told, book)
    if name == "cell":
        return _by(lambda count: 1.0 / count, "pack.series", book)
    if name in ("electrical", "hertz"):
        per = MINUTE_S if name == "hertz" else 1.0
        return _by(lambda pairs: pairs / per, "motor.pole_pairs", book)
    if name == "fahrenheit":
        return 1.0 / FAHRENHEIT_K, FREEZING_DEGF, ()
    plain = {"peak": math.sqrt(2.0), "poles": 2.0, "millivolts": 1000.0}.get(name)
    if plain is None:
        ours, theirs = UNITS[entry.unit], UNITS[form.unit]
        plain = float(f"{ours.scale / theirs.scale:.{SIGNIFICANT}g}")
    return plain, 0.0, ()


def _of_full_scale(
    entry: Property, told: Mapping[str, Any], book: Book
) -> tuple[float, float, tuple[str, ...]]:
    if "full_scale" in told:
        whole = number_of(properties()[told["key"]], told["full_scale"])
        return PERCENT / whole, 0.0, ()
    rating = RATED_BY.get(entry.quantity)
    if rating is None:
        key = entry.path.removeprefix(SETTINGS_PREFIX)
        return math.nan, 0.0, (f"{FIELDS}.{key}.full_scale",)
    return _by(lambda whole: PERCENT / whole, rating, book)


def _by(turn: Any, name: str, book: Book) -> tuple[float, float, tuple[str, ...]]:
    """A factor made from one quantity, which has to be known exactly."""
    operand = book.operand(name)
    if is_number(operand.value) and operand.side == EXACT and operand.value > 0:
        return float(turn(operand.value)), 0.0, ()
    missing = tuple(sorted(map(entered_under, operand.missing))) or (entered_under(name),)
    return math.nan, 0.0, missing


def entered_value(given: Given, value: float) -> float:
    """A canonical value as it is entered under the key of what is given."""
    return tidy((value - given.offset) / given.factor)
