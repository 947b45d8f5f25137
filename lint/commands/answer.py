"""One answer read as the value of an entry: as it stands on a label, on a meter or in a document."""

from __future__ import annotations

import re
from typing import Any, cast

from ..documents.blank_profile import example_of
from ..documents.error import UsageError
from ..documents.number_slips import WITH_UNIT
from ..documents.schema import Property, properties, validator
from ..documents.scope_slips import OF_THE_PACK, of_another_scope
from ..documents.spelling import called_elsewhere, plain_word, slip_for
from ..documents.template import TemplateValue, scalar_text
from ..documents.text import alternatives
from ..documents.trade_units import GAUGE_UNIT, gauge_form, is_wire_gauge, trade_key
from ..documents.units import unit_of_key, unit_symbol
from ..documents.value_units import FOOT_AND_INCH, is_word_of
from ..documents.yaml_scalar import scalar_value
from ..documents.yaml_tree import grow
from .figure import figure

LISTED = re.compile(r"[,;\[{]|\S\s+[-+.\d]")
COMMA_INSIDE = re.compile(r"\d,\d")  # as a decimal is written in half of the world
_NONE = "none"
NUMBERS = ("number", "integer", "list")
STAGE_KEYS = frozenset(("driving_teeth", "driven_teeth"))
_GAUGE = r"([1-4]/0|[0-9]{1,4})"
GAUGE_TOLD = re.compile(rf"(?i:(?:awg|ga|#)\.?\s*{_GAUGE}|{_GAUGE}\s*(?:awg|ga\.?|gauge))")
OVERLOADED = re.compile(r"(?i:0?\.?O?L|over\s*load|open|inf(?:inity)?|∞)")
OF_AN_OVERLOAD = (
    "a meter that shows OL has more than the top of its range; enter that top, such as 2 Mohm."
)
TRUTHS = {"yes": "true", "no": "false", "y": "true", "n": "false"}


def in_brackets(name: str, answer: str) -> Any:
    """A list or a mapping as it is written in a document."""
    tree = grow(f"it: {answer}\n", name)
    value = None if tree.root is None or tree.errors else tree.root.value.get("it")
    if not isinstance(value, dict | list):
        raise UsageError(
            f"{name}: expected a list [1, 2] or a section {{key: 1}}, found {answer!r}."
        )
    return value


def entry_value(name: str, answer: str) -> TemplateValue:
    """An answer as the value of an entry; raises UsageError where it cannot be that.

    A number is read by `figure`, `yes` and `no` answer what is true or false, and
    several readings are a list.
    """
    if not answer:
        raise UsageError("This one is needed; ? explains it.")
    entry = properties()[name]
    if OVERLOADED.fullmatch(answer) and entry.unit.endswith("ohm"):
        raise UsageError(f"{name}: {OF_AN_OVERLOAD}")
    if entry.kind == "loads" and answer.startswith("{"):
        loads = cast(TemplateValue, in_brackets(name, answer))
        refuse_misfit(name, loads, answer)
        return loads
    if entry.kind in ("list", "stages") and LISTED.search(answer):
        return _listed(name, answer)
    plain = answer
    if entry.kind == "boolean":
        plain = TRUTHS.get(answer.lower(), answer)
    elif entry.can_be_none and answer.lower() == _NONE:
        plain = _NONE
    elif entry.kind in NUMBERS and (told := figure(entry, answer)) is not None:
        refuse_misfit(name, told, answer)
        return told
    read = plain if entry.kind in ("text", "date") else scalar_value(plain or answer)
    value = read if isinstance(read, bool | int | float) else _in_our_word(name, plain)
    refuse_misfit(name, value, answer)
    return value


def keyed_value(name: str, answer: str) -> tuple[str, TemplateValue]:
    """An answer with the key under which it is entered: `210 lb` goes under the key in pounds.

    The voltage of a whole pack goes under the key of the whole, where it is asked for by cells.

    >>> keyed_value("vehicle.mass_kg", "210 lb"), keyed_value("vehicle.mass_kg", "82+60 kg")
    (('vehicle.mass_lb', 210), ('vehicle.mass_kg', 142))
    >>> keyed_value("pack.cell.full_V", "58.4 V"), keyed_value("pack.cell.full_V", "58.4/16")
    (('pack.full_V', 58.4), ('pack.cell.full_V', 3.65))
    """
    other = trade_key(name)
    whole = OF_THE_PACK.get(name, "")
    if whole and (volts := figure(properties()[whole], answer)) is None:
        read = scalar_value(answer)
        volts = read if isinstance(read, int | float) and not isinstance(read, bool) else None
    if whole and volts is not None and volts > (properties()[name].highest or volts):
        refuse_misfit(whole, volts, answer)
        return whole, volts
    told = GAUGE_TOLD.fullmatch(answer) or WITH_UNIT.fullmatch(answer)
    if told is None or other is None or other not in properties():
        return name, entry_value(name, answer)
    number, unit = told.groups() if told.re is WITH_UNIT else (told[1] or told[2], GAUGE_UNIT)
    unit = FOOT_AND_INCH.get(unit, unit)
    if not is_word_of(unit, unit_of_key(other)):
        return name, entry_value(name, answer)
    return other, entry_value(other, number)


def _in_our_word(name: str, answer: str) -> str:
    """A choice as a profile writes it, where the trade's word for it can mean one only."""
    choices = {plain_word(choice): choice for choice in properties()[name].choices}
    word = plain_word(answer)
    if word in choices:
        return choices[word]
    note, meant = called_elsewhere(word, set(choices.values())) if choices else ("", None)
    if note:
        raise UsageError(f"{name}: found {answer!r}{note}.")
    return meant or answer


def _listed(name: str, answer: str) -> TemplateValue:
    """Several readings, words or stages; in brackets as in a document, or one behind the other."""
    if answer.startswith(("[", "{")):
        whole = answer if answer.startswith("[") else f"[{answer}]"
        several = cast(list[Any], in_brackets(name, whole))
        refuse_misfit(name, several, answer)
        return several
    if COMMA_INSIDE.search(answer) and "." not in answer:
        raise UsageError(
            f"{name}: expected a decimal with a point, and several as 0.84, 0.9; found {answer!r}."
        )
    items = [item for item in re.split(r"[,;]\s*|\s+(?=[-+.\d])", answer) if item]
    if not items:
        raise UsageError(f"{name}: expected {_wanted(properties()[name])}, found {answer!r}.")
    return [cast(Any, entry_value(name, item)) for item in items]


def refuse_misfit(name: str, value: Any, answer: Any) -> None:
    """Raises UsageError where an entry cannot have this value."""
    entry = properties()[name]
    is_gauge = entry.unit == GAUGE_UNIT
    if not (is_wire_gauge(value, entry.highest or 0) if is_gauge else _fits(value, entry)):
        wanted = gauge_form(entry.highest or 0) if is_gauge else _wanted(entry)
        slip = _slip(str(answer), entry)
        hint = f" Did you mean {slip}?" if slip else ""
        scope = of_another_scope(name, value)
        raise UsageError(f"{name}: expected {wanted}, found {answer!r}{scope}.{hint}")


def _slip(answer: str, entry: Property) -> str | None:
    """The choice of which an answer is a slip."""
    choices = {plain_word(choice): choice for choice in entry.choices}
    slip = slip_for(plain_word(answer), choices)
    return choices[slip] if slip else None


def _fits(value: Any, entry: Property) -> bool:
    """Whether an entry can have this value; a section is left to the schema."""
    if value == _NONE and entry.can_be_none:
        return True
    if entry.kind == "boolean":
        return isinstance(value, bool)
    if entry.kind == "loads":
        whole = {"gonogo": "profile/1", "vehicle": {"name": _NONE}, "wiring": {"loads": value}}
        return bool(validator("profile").is_valid(whole))
    if entry.kind == "text":
        return not entry.choices or value in entry.choices
    if isinstance(value, list):
        return entry.kind in ("list", "stages") and bool(value) and _all_fit(value, entry)
    if entry.kind == "stages" or (entry.kind == "list" and entry.choices):
        return value in entry.choices
    if entry.kind not in ("number", "integer", "list"):
        return True
    if not isinstance(value, int | float) or isinstance(value, bool):
        return False
    if entry.kind == "integer" and value != int(value):
        return False
    low, high = entry.lowest, entry.highest
    above = low is None or value > low or (value == low and not entry.strictly_above)
    return above and (high is None or value <= high)


def _all_fit(items: list[Any], entry: Property) -> bool:
    if entry.kind == "stages":
        return all(isinstance(item, dict) and item.keys() == STAGE_KEYS for item in items)
    return all(not isinstance(item, list) and _fits(item, entry) for item in items)


def _wanted(entry: Property) -> str:
    if entry.kind == "loads":
        return f"none, or a section such as {scalar_text(example_of(entry.path))}"
    if entry.kind == "stages":
        return f"a list such as {scalar_text(example_of(entry.path))}"
    if entry.kind == "list" and entry.choices:
        return f"one or several of {', '.join(entry.choices)}"
    if entry.kind == "boolean":
        return "true or false"
    if entry.kind == "text":
        return alternatives(entry.choices)
    what = "a whole number" if entry.kind == "integer" else "a number"
    unit = f" in {unit_symbol(entry.unit)}" if entry.unit else ""
    if entry.lowest is None or entry.highest is None:
        return f"{what}{unit}"
    link = "above {:g} and up to {:g}" if entry.strictly_above else "from {:g} to {:g}"
    return f"{what} {link.format(entry.lowest, entry.highest)}{unit}"
