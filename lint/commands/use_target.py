"""What `gonogo uses` is asked about: a part's file, a key of the house file, or a rule."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path

from ..comparison.uses import UseTarget, readers_of
from ..documents.error import DocumentError, DocumentErrors, UsageError
from ..documents.house import House, allowance_entries
from ..documents.repository import open_repository
from ..documents.schema import allowances
from ..documents.search import Search
from ..documents.text import clean
from ..expressions.formatting import shown
from ..judgement.catalogue import Catalogue
from .slips import YAML_ENDINGS, hint

HOUSE_PREFIX = "house."
SEVERITIES_KEY = "severities"
LISTS = ("require", "rules", SEVERITIES_KEY)  # keys of the house file that rules rest on
FORMS_OF_TARGET = "a part's file, house.NAME or the id of a rule"
_PLACES = {"house": "`gonogo schema house` lists its keys.", "rule": "`gonogo rules` lists all."}


def is_part_path(asked: str) -> bool:
    """Whether a name is a file's, be the file there or not."""
    return asked.endswith(YAML_ENDINGS) or "/" in asked or os.sep in asked


def house_keys() -> list[str]:
    """The keys of a house file that may be asked about, as `house.drop_percent`."""
    return [*allowances(), *(f"{HOUSE_PREFIX}{key}" for key in LISTS)]


def target_of(asked: str, search: Search, catalogues: Iterable[Catalogue]) -> UseTarget:
    """What a name means; raises UsageError, with the nearest name, where it means nothing."""
    rules = {name for one in catalogues for name in one.rules}
    if asked in rules:
        return UseTarget("rule", asked)
    if asked.startswith(HOUSE_PREFIX) and not asked.endswith(YAML_ENDINGS):
        return _house_key(asked, rules)
    if is_part_path(asked):
        return part_target(asked)
    known = [*sorted(rules), *house_keys()]
    parts = [one.file for one in search.others if one.kind == "part"]
    said = hint(asked, [*known, *parts], f"Expected {FORMS_OF_TARGET}. {_PLACES['rule']}")
    raise UsageError(f"Nothing that a vehicle takes up is called {asked or 'nothing'}. {said}")


def _house_key(asked: str, rules: Iterable[str]) -> UseTarget:
    key = asked.removeprefix(HOUSE_PREFIX)
    head, _, rule = key.partition(".")
    if key in allowance_entries() or key in LISTS:
        return UseTarget("house", asked)
    if head == SEVERITIES_KEY and rule:
        if rule in rules:
            return UseTarget("house", asked)
        raise UsageError(f"No rule is called {rule}. {hint(rule, sorted(rules), _PLACES['rule'])}")
    said = hint(asked, house_keys(), _PLACES["house"])
    raise UsageError(f"No key of a house file is called {asked}. {said}")


def part_target(asked: str) -> UseTarget:
    """A part's file; one that is there has to be a part."""
    path = Path(asked)
    if os.path.isdir(path):
        raise UsageError(f"{clean(asked)} is a folder: expected the file of one part.")
    if os.path.lexists(path):
        repository, inside = open_repository(path)
        try:
            kind = repository.kind(inside, "part") or "file of another kind"
        except DocumentError:
            kind = "part"  # what is wrong with it the profiles that take it say
        if kind != "part":
            file = " file" if kind == "house" else ""
            as_rule = " A rule goes by its id." if kind == "rule" else ""
            told = f"{clean(asked)} is a {kind}{file}, which no vehicle takes up as a part."
            raise UsageError(f"{told} Expected {FORMS_OF_TARGET}.{as_rule}")
    return UseTarget("part", asked, path)


def rules_asked(target: UseTarget, catalogue: Catalogue, house: House) -> list[str]:
    """The rules that rest on what was asked about."""
    if target.kind == "rule":
        return [target.name]
    key = target.name.removeprefix(HOUSE_PREFIX)
    head, _, rule = key.partition(".")
    if key == "rules":
        return [document.value["id"] for document in house.rules]
    if key == "require":
        return [one.id for one in catalogue.about("required")]
    if head == SEVERITIES_KEY:
        return [rule] if rule else list(house.severities)
    return readers_of([allowance_entries()[key].quantity], catalogue)


def keys_in_house(target: UseTarget) -> tuple[str, ...]:
    """Under which keys of the house file the value stands."""
    key = target.name.removeprefix(HOUSE_PREFIX)
    head, _, rule = key.partition(".")
    if head in LISTS:
        return (head, rule) if rule else (head,)
    return "allowances", key


def house_value(target: UseTarget, house: House) -> str:
    """What a house file says of the key asked about, or what holds without it."""
    keys = keys_in_house(target)
    if keys[0] == SEVERITIES_KEY:
        told = [
            f"{rule}: {to}"
            for rule, to in house.severities.items()
            if rule in (keys[1:] or (rule,))
        ]
        return ", ".join(told) or "not raised"
    if keys[0] == "require":
        return ", ".join(house.require) or "nothing"
    if keys[0] == "rules":
        return ", ".join(one.value["id"] for one in house.rules) or "none"
    entry = allowance_entries()[keys[1]]
    given = house.allowances.get(entry.quantity)
    if given is not None:
        return f"{shown(given.entered, entry.unit)} (set in {house.file})"
    return f"{shown(allowances()[entry.quantity].default, entry.unit)} (default)"


def part_files() -> list[str]:
    """The part files below this folder, for the shell."""
    from ..documents.search import find

    try:
        return [one.file for one in find([Path()], Path.cwd()).others if one.kind == "part"]
    except (DocumentError, DocumentErrors):
        return []


def target_names() -> list[str]:
    """All that may be asked about here: rules, keys of the house file, part files."""
    from .completion import rule_ids

    return [*rule_ids(), *house_keys(), *part_files()]


def paths_of(target: str, paths: Sequence[Path]) -> list[Path]:
    """Where to look: without a path in the whole shop of a part, else in this folder."""
    if paths:
        return list(paths)
    if not is_part_path(target) or target.startswith(HOUSE_PREFIX):
        return [Path()]
    from ..documents.repository import real_place
    from ..documents.shop_top import is_in_shop, shop_top

    folder = real_place(target).parent
    if not (is_in_shop(folder) or os.path.lexists(target)):
        return [Path()]  # a slip, perhaps: its folder is no shop, and may be the whole disk
    return [shop_top(folder).folder]
