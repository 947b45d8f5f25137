"""The values of a trial: how they are typed, what their key holds now, and how both are told."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from .document import Document
from .error import UsageError
from .given import Given
from .location import Place
from .profile import Profile, TriedValue
from .schema import properties
from .text import clean
from .trial_edit import TrialValue, node_under
from .yaml_tree import YamlNode, grow, line_and_column

LONGEST_TRIAL = 1000  # characters
LONGEST_SHOWN = 60  # characters of what stands in a file
OPTION = "--set "
FORM_OF_TRIAL = "key=value, such as settings.battery_current_A=60"
_HEAD = "tried: "


class TrialEntry(NamedTuple):
    """A value to try under some keys of a document; `text` is the whole of what was typed."""

    text: str
    keys: tuple[str, ...]
    tried: TrialValue

    @property
    def key(self) -> str:
        """The dotted path of the entry."""
        return ".".join(self.keys)


def trials_of(texts: Iterable[str], option: str = OPTION) -> tuple[TrialEntry, ...]:
    """The values to try, from texts such as `settings.battery_current_A=60`.

    Raises UsageError for one without a key or a value, for a value that is no YAML scalar or list, and
    for a key that is there twice.
    """
    trials = tuple(_trial(text, option) for text in texts)
    keys = [trial.key for trial in trials]
    for trial in trials:
        if keys.count(trial.key) > 1:
            raise UsageError(f"{option}{clean(trial.key)} is there twice; expected one value.")
    return trials


def trials_of_values(values: Mapping[str, object], option: str) -> tuple[TrialEntry, ...]:
    """The same from plain data, as Python has it; raises UsageError."""
    for key, value in values.items():
        if not isinstance(value, str | int | float | bool | list | tuple | dict | None):
            raise UsageError(
                f"{option}: {key!r} has a {type(value).__name__}; expected plain data."
            )
    return trials_of((f"{key}={json_typed(value)}" for key, value in values.items()), f"{option} ")


def typed_values(values: object) -> list[str]:
    """What Python has to try, as one would type it: `key=value` of a mapping, else the value alone."""
    if values is None:
        return []
    if isinstance(values, Mapping):
        return [f"{key}={json_typed(value)}" for key, value in values.items()]
    return [json_typed(values)]


def json_typed(value: object) -> str:
    """A value as one would type it: a text stays a text, whatever it looks like."""
    return "none" if value == "none" else json.dumps(value, ensure_ascii=False)


def _trial(text: str, option: str) -> TrialEntry:
    key, equals, typed = text.partition("=")
    keys = tuple(key.strip().split("."))
    if not (equals and all(keys)) or len(text) > LONGEST_TRIAL:
        raise UsageError(f"{option}{clean(text[:LONGEST_SHOWN])}: expected {FORM_OF_TRIAL}.")
    return TrialEntry(text, keys, value_to_try(typed, f"{option}{clean(text)}"))


def value_to_try(typed: str, told: str) -> TrialValue:
    """A value by the reader of documents; `told` is how an error calls it. Raises UsageError."""
    typed = typed.strip()
    if not typed:
        raise UsageError(f"{told}: found no value; expected one, or none where there is none.")
    tree = grow(_HEAD + typed, "")
    if tree.errors:
        raise UsageError(f"{told}: {tree.errors[0].message}")
    root = tree.root
    if root is None or not isinstance(root.value, dict) or len(typed.splitlines()) > 1:
        raise UsageError(f"{told}: found several lines; expected one value.")
    return TrialValue(typed, root.value[_HEAD.rstrip(": ")])


def trial_place(root: YamlNode | None, trial: TrialEntry, file: str) -> Place | None:
    """Where the value stands that a trial is about; None where none does."""
    node = None if root is None else node_under(root, trial.keys)
    if node is None:
        return None
    return Place(file, *line_and_column(node.event))


def tried_value(
    trial: TrialEntry, document: Document | None, profile: Profile | None
) -> TriedValue:
    """A value that is tried beside what the profile's own file, or else a part, says of it now."""
    file = document.file if document is not None else ""
    node = node_under(document.root, trial.keys) if document is not None else None
    if node is not None and document is not None:
        return TriedValue(trial.key, trial.tried.typed, _as_it_stands(node, document), file)
    given = _given(trial.key, profile) if profile is not None else None
    if given is None:
        return TriedValue(trial.key, trial.tried.typed, None, file)
    as_other = "" if given.entered_as == trial.key else f" as {given.entered_as}"
    told = f"{_plain(given.entered)}{as_other}"
    return TriedValue(trial.key, trial.tried.typed, told, given.place.file)


def _as_it_stands(node: YamlNode, document: Document) -> str:
    """A value as the file has it, a section in one line."""
    if not isinstance(node.value, dict | list):
        return clean(str(getattr(node.event, "value", node.value)))
    return _plain(node.value)


def _plain(value: object) -> str:
    if isinstance(value, dict):
        told = f"{{{', '.join(f'{key}: {_plain(one)}' for key, one in value.items())}}}"
    elif isinstance(value, list | tuple):
        told = f"[{', '.join(map(_plain, value))}]"
    elif isinstance(value, bool) or value is None:
        told = {None: "nothing", True: "true", False: "false"}[value]
    else:
        told = f"{value:g}" if isinstance(value, float) else str(value)
    return clean(told if len(told) <= LONGEST_SHOWN else f"{told[:LONGEST_SHOWN]}…")


def _given(key: str, profile: Profile) -> Given | None:
    """What a profile has of an entry, be it from a part or under another key."""
    every = [given for one in (profile, *profile.motors.values()) for given in one.givens.values()]
    same = next((given for given in every if given.entered_as == key), None)
    entry = properties().get(key)
    return same or (profile.givens.get(entry.quantity) if entry is not None else None)
