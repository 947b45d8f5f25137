"""The names that an expression may use, with what each of them is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from ..documents.schema import Property, allowances, canonical, properties
from ..documents.units import UNITS, unit_of_key
from ..quantities.book import IN_BASE
from ..quantities.registry import WORKED
from ..quantities.worked import Sort, Worked
from .motor_names import MOTOR_FACTS, MOTOR_TITLES
from .types import Type

# What an expression is about: a profile and all that is worked out of it, or a record beside it.
Subject = Literal[
    "profile", "waiver", "override", "twice", "required", "entered", "document", "motors", "window"
]

SORT_OF_ENTRY: Mapping[str, Sort] = {
    "text": "text",
    "date": "text",
    "section": "text",
    "boolean": "boolean",
    "stages": "structure",
    "loads": "structure",
}
# Names that only rules about records and windows may use, by what the rules are about.
OF_SUBJECT: Mapping[Subject, Mapping[str, Type]] = {
    "waiver": {
        "waiver.rule": Type("text"),
        "waiver.known": Type("boolean"),
        "waiver.waivable": Type("boolean"),
        "waiver.left_days": Type("number", UNITS["days"]),
        "waiver.reason_length": Type("number", UNITS[""]),
        "waiver.beyond_bound": Type("boolean"),
        "waiver.covers": Type("boolean"),
        "waiver.coverage": Type("text"),
        "waiver.nearest": Type("text"),
        "waiver.accepts": Type("text"),
        "waiver.most": Type("text"),
        "waiver.spare_percent": Type("number", UNITS["percent"]),
        "waiver.found": Type("text"),
    },
    "override": {
        "override.rating": Type("text", choices=("upper", "lower", "none")),
        "override.value": Type("number"),
        "override.part_value": Type("number"),
        "override.title": Type("text"),
        "override.kind": Type("text", choices=("rating", "fact", "measured", "build", "added")),
        "override.entered": Type("text"),
        "override.stated": Type("text"),
        "override.off_percent": Type("number", UNITS["percent"]),
        "override.min_percent": Type("number", UNITS["percent"]),
        "override.max_percent": Type("number", UNITS["percent"]),
    },
    "twice": {
        "twice.title": Type("text"),
        "twice.entered": Type("text"),
        "twice.worked": Type("text"),
        "twice.used": Type("text"),
        "twice.off_percent": Type("number", UNITS["percent"]),
        "twice.min_percent": Type("number", UNITS["percent"]),
        "twice.max_percent": Type("number", UNITS["percent"]),
        "twice.min_fault_percent": Type("number", UNITS["percent"]),
        "twice.max_fault_percent": Type("number", UNITS["percent"]),
    },
    "required": {"required.name": Type("text"), "required.given": Type("boolean")},
    "entered": {
        "entered.title": Type("text"),
        "entered.shown": Type("text"),
        "entered.wanted": Type("text"),
        "entered.given": Type("boolean"),
        "entered.held": Type("boolean"),
        "entered.danger": Type("boolean"),
        "entered.means": Type("text"),
        "entered.typed": Type("text"),
    },
    "document": {
        "document.typical_under_danger": Type("texts"),
        "document.typical_count": Type("number", UNITS[""]),
    },
    "motors": MOTOR_FACTS,
    "window": {
        "window.setting": Type("text"),
        "window.rules": Type("texts"),
        "window.empty": Type("boolean"),
        "window.danger": Type("boolean"),
    },
}

# Titles that stand in a sentence as they are.
NO_ARTICLE = frozenset({"regen", "precharge", "back-EMF", "driving while charging"})
# What the names of a subject are called in a sentence.
SUBJECT_TITLES: Mapping[str, str] = {
    "waiver.rule": "rule waived",
    "waiver.known": "waiver of a known rule",
    "waiver.waivable": "waiver of a rule that may be waived",
    "waiver.left_days": "time left until the waiver ends",
    "waiver.reason_length": "length of the waiver's reason",
    "override.rating": "direction of the rating",
    "override.value": "value that overrides the part",
    "waiver.beyond_bound": "waiver beyond what may be accepted",
    "waiver.covers": "waiver that covers a finding",
    "waiver.coverage": "what the waiver covers",
    "waiver.nearest": "nearest rule name",
    "waiver.accepts": "accepted value",
    "waiver.most": "largest value that may be accepted",
    "waiver.spare_percent": "spare of the waiver",
    "waiver.found": "value that the waiver was for",
    "override.part_value": "value in the part file",
    "override.title": "entry that overrides the part",
    "override.kind": "kind of the entry that overrides the part",
    "override.entered": "entry beside the part",
    "override.stated": "entry in the part file",
    "override.off_percent": "difference from the part file",
    "override.min_percent": "least difference from the part file",
    "override.max_percent": "largest difference from the part file",
    "twice.title": "quantity known in two ways",
    "twice.entered": "entry of a quantity known in two ways",
    "twice.worked": "figure that the other entries give",
    "twice.used": "figure in use",
    "twice.off_percent": "difference from what the other entries give",
    "twice.min_percent": "least usual difference from the other entries",
    "twice.max_percent": "largest usual difference from the other entries",
    "twice.min_fault_percent": "least difference from the other entries without a fault",
    "twice.max_fault_percent": "largest difference from the other entries without a fault",
    "required.name": "required entry",
    "required.given": "required entry present",
    "entered.title": "setting read back",
    "entered.shown": "value that the controller shows",
    "entered.wanted": "value in the profile",
    "entered.given": "setting given in the profile",
    "entered.held": "setting held by the controller",
    "entered.danger": "danger of the value that the controller shows",
    "entered.means": "explanation of a difference",
    "entered.typed": "value to type in",
    "document.typical_under_danger": "typical values that danger rules use",
    "document.typical_count": "number of typical values that danger rules use",
    **MOTOR_TITLES,
    "window.setting": "setting in conflict",
    "window.rules": "rules in conflict",
    "window.empty": "setting without an allowed value",
    "window.danger": "danger rule in the conflict",
    "judged.on": "day of the check",
}


def title_of(name: str) -> str:
    """What a quantity, an allowance or a name of a subject is called: a short noun phrase.

    >>> title_of("settings.battery_current_A"), title_of("pack.sag_V")
    ('battery current limit', 'voltage sag')
    """
    if name.startswith(IN_BASE):
        return f"{title_of(name.removeprefix(IN_BASE))} of the base settings"
    entry = canonical().get(name) or allowances().get(name)
    specs = WORKED.get(name, ())
    titles = [
        entry.title if entry else "",
        *(spec.title for spec in specs),
        SUBJECT_TITLES.get(name, ""),
    ]
    entered = properties().get(name)
    return next(filter(None, titles), "") or (entered.title if entered else "") or _last_key(name)


def with_article(name: str) -> str:
    """A quantity's title as it stands in a sentence."""
    title = title_of(name)
    return title if title in NO_ARTICLE else f"the {title}"


def _last_key(name: str) -> str:
    """A name that has no title yet, as words without the unit."""
    key = name.rsplit(".", 1)[-1]
    return key.removesuffix(f"_{unit_of_key(key)}").replace("_", " ")


def _property_type(entry: Property) -> Type:
    choices = tuple(entry.choices)
    if entry.kind in ("number", "integer"):
        return Type("number", UNITS[entry.unit])
    if entry.kind == "list":
        return Type("texts", choices=choices) if choices else Type("numbers", UNITS[entry.unit])
    if entry.kind == "section":
        return Type("text", choices=("none", "fitted"))
    return Type(SORT_OF_ENTRY.get(entry.kind, "structure"), choices=choices)


def _worked_type(spec: Worked) -> Type:
    with_unit = spec.returns in ("number", "numbers")
    return Type(spec.returns, UNITS[spec.unit] if with_unit else None)


@lru_cache(maxsize=8)
def vocabulary(subject: Subject = "profile") -> Mapping[str, Type]:
    """Every quantity that a rule of this subject may name."""
    if subject in OF_SUBJECT:
        return MappingProxyType({**vocabulary(), **OF_SUBJECT[subject]})
    names = {name: _property_type(entry) for name, entry in canonical().items()}
    for name, specs in WORKED.items():
        names.setdefault(name, _worked_type(specs[0]))
    for name, allowance in allowances().items():
        names[name] = Type("number", UNITS[allowance.unit])
    names["judged.on"] = Type("text")
    return MappingProxyType(names)


class RuleNames(Mapping[str, Type]):
    """The names that a rule's expressions may use: quantities, and each as it is in the base."""

    def __init__(self, names: Mapping[str, Type]) -> None:
        self.names = names

    def __getitem__(self, name: str) -> Type:
        """The type of a quantity; in the base settings it is the same."""
        inner = name.removeprefix(IN_BASE)
        if inner != name and inner.startswith("house."):
            raise KeyError(name)
        return self.names[inner]

    def __iter__(self) -> Iterator[str]:
        """The quantities, each once."""
        return iter(self.names)

    def __len__(self) -> int:
        return len(self.names)


@lru_cache(maxsize=8)
def rule_names(subject: Subject = "profile") -> Mapping[str, Type]:
    """Every name that an expression in a rule of this subject may use."""
    return RuleNames(vocabulary(subject))
