"""Fields of a controller: in which forms each setting may be asked for, as keys of the schema.

A screen may ask for amperes rms or peak, for turns of the rotor or electrical ones, for volts of the
pack or of a cell. The profile's schema has one node for all fields and one for all that they show;
here each setting gets its own, so that a wrong name or form is answered as any other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from .units import unit_of_key

_THROTTLE = "throttle."
_POLE_PAIRS = "pole_pairs"
BY_SETTING = "x-by-setting"
LARGEST_SHOWN = 10_000_000


class FieldForm(NamedTuple):
    """One way in which a field asks: its unit, the step that it usually has, and its meaning."""

    unit: str
    step: float | None
    says: str


# The forms of each unit, that in which the schema's own key is entered first.
_CURRENT = {
    "amperes": FieldForm("A", None, "amperes"),
    "percent": FieldForm("percent", 1, "percent"),
}
_PHASE = {
    "rms": FieldForm("A_rms", 1, "amperes rms"),
    "peak": FieldForm("A_peak", 1, "amperes peak of the sine"),
    "percent": FieldForm("percent", 1, "percent"),
}
_PACK = {
    "pack": FieldForm("V", None, "volts of the pack"),
    "cell": FieldForm("V", 0.01, "volts of one cell"),
}
_SIGNAL = {
    "volts": FieldForm("V", None, "volts"),
    "millivolts": FieldForm("mV", 10, "millivolts"),
    "percent": FieldForm("percent", 1, "percent of the throttle's supply"),
}
_SPEED = {
    "mechanical": FieldForm("rpm", None, "turns of the rotor"),
    "electrical": FieldForm(
        "electrical_rpm", 10, "electrical turns: those of the rotor times pole pairs"
    ),
    "hertz": FieldForm("Hz", 1, "electrical turns a second"),
    "percent": FieldForm("percent", 1, "percent"),
}
_TEMPERATURE = {
    "celsius": FieldForm("degC", 1, "degrees Celsius"),
    "fahrenheit": FieldForm("degF", 1, "degrees Fahrenheit"),
}
_TIME = {
    "milliseconds": FieldForm("ms", 10, "milliseconds"),
    "seconds": FieldForm("s", 0.1, "seconds"),
}
_LENGTH = {
    "millimetres": FieldForm("mm", 1, "millimetres"),
    "inches": FieldForm("in", 0.1, "inches"),
}
_COUNT = {
    "pole_pairs": FieldForm("", 1, "pole pairs"),
    "poles": FieldForm("", 1, "poles: the magnets of the rotor"),
}
FORMS: Mapping[str, Mapping[str, FieldForm]] = MappingProxyType(
    {
        "A": _CURRENT,
        **dict.fromkeys(("A_rms", "A_peak"), _PHASE),
        "V": _PACK,
        "rpm": _SPEED,
        **dict.fromkeys(("degC", "degF"), _TEMPERATURE),
        **dict.fromkeys(("ms", "s"), _TIME),
        **dict.fromkeys(("mm", "in"), _LENGTH),
    }
)


def forms_of(setting: str) -> Mapping[str, FieldForm]:
    """The forms in which a setting of a number may be asked for; `setting` without `settings.`.

    >>> list(forms_of("low_voltage.cutoff_V")), list(forms_of("throttle.start_V"))
    (['pack', 'cell'], ['volts', 'millivolts', 'percent'])
    """
    if setting.startswith(_THROTTLE) and unit_of_key(setting) == "V":
        return _SIGNAL
    unit = unit_of_key(setting)
    plain = {"number": FieldForm(unit, None, "as it is")}
    return _COUNT if setting == _POLE_PAIRS else FORMS.get(unit, plain)


def with_setting_keys(schema: dict[str, Any]) -> dict[str, Any]:
    """A profile's schema with a key for each setting in place of any name; changes it."""
    known = dict(_settings(schema["properties"]["settings"], ""))
    definitions = schema["$defs"]
    fields = definitions["controller"]["properties"]["fields"]
    fields["properties"] = {
        name: _field(name, node, definitions["field"])
        for name, node in known.items()
        if "properties" not in node
    }
    entered = schema["properties"]["readings"]["properties"]["entered"]["properties"]
    values = {name: _value(node) for name, node in known.items()}
    of_mode = {**entered["modes"]["additionalProperties"], "properties": values}
    entered["values"]["properties"] = values
    entered["modes"]["additionalProperties"] = of_mode
    for node in (fields, entered["values"], of_mode):
        node["additionalProperties"] = False
        node.pop("propertyNames", None)
    return schema


def _settings(node: Mapping[str, Any], above: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every setting, and every section of settings that can be `none`, without `settings.`."""
    for key, below in node["properties"].items():
        path = f"{above}{key}"
        inner = below["anyOf"][1] if "x-none" in below else below
        if "properties" not in inner:
            yield path, below
            continue
        if "x-none" in below:
            yield path, {**below, "properties": inner["properties"]}
        yield from _settings(inner, f"{path}.")


def _field(name: str, node: Mapping[str, Any], field: Mapping[str, Any]) -> dict[str, Any]:
    """How the controller asks for one setting: a number in one of its forms, a choice as it is."""
    keys = dict(field["properties"])
    if _is_number(node):
        form = {"type": "string", "enum": list(forms_of(name)), "description": _forms_told(name)}
        keys["as"] = form
    else:
        keys = {"name": keys["name"]}
    said = f"How the controller asks for this: {node['description']}"
    return {**field, "description": said, "properties": keys}


def _forms_told(name: str) -> str:
    told = "; ".join(f"{form}: {one.says}" for form, one in forms_of(name).items())
    return f"How the field takes the value. {told}."


def _value(node: Mapping[str, Any]) -> dict[str, Any]:
    """What a field may show: a number in whichever unit it has, a choice, or that it is off."""
    none = {"const": "none", "description": "The field is off, or the controller has none."}
    said = f"What the controller shows of this: {node['description']}"
    if "properties" in node:
        return {"description": said, "type": "string", "enum": ["none"]}
    if not _is_number(node):
        choices = {"type": "string", "enum": _choices(node)}
        return {"description": said, **choices}
    number = {"type": "number", "minimum": 0, "maximum": LARGEST_SHOWN, "x-step": 0.001}
    return {"description": said, "x-none": True, "anyOf": [none, number]}


def _is_number(node: Mapping[str, Any]) -> bool:
    form = node["anyOf"][1] if "x-none" in node else node
    return form.get("type") in ("number", "integer")


def _choices(node: Mapping[str, Any]) -> list[str]:
    form = node["anyOf"][1] if "x-none" in node else node
    return [*form["enum"], *(["none"] if "none" not in form["enum"] else [])]
