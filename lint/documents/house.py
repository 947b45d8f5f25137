"""The house file: one shop's allowances, its own rules, and what every profile must give."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from functools import lru_cache
from posixpath import join, normpath

from .document import Document, read_document
from .error import DocumentError, DocumentErrors, HouseError
from .files import HOUSE_FILE, Files, Listing, unreadable
from .frozen import frozen
from .given import Given, read_given
from .location import Place
from .recognition import kind_of
from .schema import Property, canonical, properties, property_of, schema
from .text import nearest, quoted


@frozen
class House:
    """What one shop allows and requires. Without a house file all is as the schema has it.

    `allowances` are those that the file sets, by name: `house.drop_percent`. `rules` are the
    documents of the shop's own rules, `errors` what keeps others from use. `require` names
    quantities, `severities` raises rules. `places` has the place of every value by its dotted
    path: `require.0`, `severities.RULE`. `rule_paths` has every file of its folder of rules. `retired`
    has the ids of vehicles that the shop no longer has, each with the day since which. `tolerances` has
    the factors by which it takes rows of tolerances to be narrower or wider.
    """

    name: str = ""
    allowances: Mapping[str, Given] = field(default_factory=dict)
    rules: tuple[Document, ...] = ()
    require: tuple[str, ...] = ()
    severities: Mapping[str, str] = field(default_factory=dict)
    file: str = ""
    text: str = ""
    places: Mapping[str, Place] = field(default_factory=dict)
    errors: tuple[DocumentError, ...] = ()
    rule_paths: tuple[str, ...] = ()
    retired: Mapping[str, str] = field(default_factory=dict)
    tolerances: Mapping[str, float] = field(default_factory=dict)


def house_of(document: Document, files: Files) -> House:
    """A house file that fits its schema as a House, its own rules read.

    Raises DocumentErrors where it names a folder or a quantity that is not there. A rule that does
    not fit its schema is left out and listed in `errors`; the others hold.
    """
    value = document.value
    errors: list[DocumentError] = [*_unknown_quantities(document), *_without_house(document, files)]
    listing = _rule_paths(document, files, errors)
    if errors:
        raise DocumentErrors(errors)
    errors += [*listing.errors, *_misnamed(listing, files)]
    rules: list[Document] = []
    for path in listing.paths:
        try:
            rules.append(read_document(files, path, "rule"))
        except DocumentErrors as broken:
            errors += broken.errors
    set_here = value.get("allowances", {})
    return House(
        name=value.get("name", ""),
        allowances={given.name: given for given in (_allowance(key, document) for key in set_here)},
        rules=tuple(rules),
        require=tuple(_quantity(name) for name in value.get("require", ())),
        severities=dict(value.get("severities", {})),
        file=document.file,
        text=document.text,
        places=dict(_places(document)),
        errors=tuple(errors),
        rule_paths=listing.paths,
        retired={entry["id"]: entry["since"] for entry in value.get("retired", ())},
        tolerances={row: float(factor) for row, factor in value.get("tolerances", {}).items()},
    )


@lru_cache(maxsize=1)
def allowance_entries() -> Mapping[str, Property]:
    """Every key under `allowances`, those in units of the trade too."""
    nodes = schema("house")["properties"]["allowances"]["properties"]
    return {key: property_of(f"house.{key}", key, node) for key, node in nodes.items()}


def _allowance(key: str, document: Document) -> Given:
    node = document.node("allowances", key)
    return read_given(allowance_entries()[key], node, f"allowances.{key}", document)


def _quantity(name: str) -> str:
    entry = properties().get(name)
    return name if entry is None else entry.quantity


def _places(document: Document) -> Iterator[tuple[str, Place]]:
    for key, entry in document.value.items():
        yield key, document.place(key)
        if isinstance(entry, list | dict):
            for name in range(len(entry)) if isinstance(entry, list) else entry:
                yield f"{key}.{name}", document.place(key, name)


def _unknown_quantities(document: Document) -> Iterator[HouseError]:
    for number, name in enumerate(document.value.get("require", ())):
        if name not in properties() and name not in canonical():
            at = document.place("require", number)
            wanted = "a quantity that a profile can give"
            yield _error(document, at, quoted(name), wanted, nearest(name, properties()))


def _without_house(document: Document, files: Files) -> Iterator[HouseError]:
    """Folders that are left to a house file of their own, and have none."""
    for number, folder in enumerate(document.value.get("shops", ())):
        path = _inside(folder)
        if path is None or not files.exists(join(path, HOUSE_FILE)):
            at = document.place("shops", number)
            wanted = f"a folder below this one that has a `{HOUSE_FILE}`"
            yield _error(document, at, quoted(folder), wanted)


def _inside(folder: str) -> str | None:
    """A folder below the house file, which lies at the top; None for any other."""
    path = normpath(folder)
    is_way = folder.startswith("/") or "\\" in folder or path.split("/")[0] in ("..", ".")
    return None if is_way else path


def _rule_paths(document: Document, files: Files, errors: list[DocumentError]) -> Listing:
    """The files of the shop's own rules; a folder without any is an error."""
    folder = document.value.get("rules")
    if folder is None:
        return Listing(())
    at = document.place("rules")
    wanted = "a folder of rule files inside the repository, relative to the house file"
    path = _inside(folder)
    if path is None:
        errors.append(_error(document, at, quoted(folder), wanted))
        return Listing(())
    listing = files.paths(path)
    if not listing.paths:
        errors.append(_error(document, at, f"no rules in {quoted(folder)}", wanted))
        errors += listing.errors if files.exists(path) else ()
    return listing


def _misnamed(listing: Listing, files: Files) -> Iterator[DocumentError]:
    """Rules in the folder that would not hold, since their files are not named as YAML."""
    for path in listing.others:
        try:
            kind = kind_of(files.read(path), path)
        except DocumentError:  # no text, or prose
            continue
        if kind is not None:
            wanted = "a name that ends in `.yaml`"
            yield unreadable(files, path, f"a {kind} in a file that is not called YAML", wanted)


def _error(
    document: Document, at: Place, found: str, wanted: str, nearest: str | None = None
) -> HouseError:
    text = document.line(at.line)
    return HouseError(at.file, at.line, at.column, found, wanted, nearest, text)
