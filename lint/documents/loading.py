"""From a path to a profile: its file, its parts, its modes and its shop's house file."""

from __future__ import annotations

from collections.abc import Iterator
from os import PathLike

from .document import Document, Kind, one_a_place, try_document
from .error import DocumentError, DocumentErrors, WrongValue
from .files import HOUSE
from .given import Given, given
from .house import House
from .layer import Layer, Laying, laid_part, part_errors
from .position import Place
from .profile import Changes, Profile, Waiver
from .quotation import quoted
from .repository import Repository, open_repository
from .schema import Property, Section, mode_outline, outline, properties
from .tree import Node
from .wording import alternatives


def load(path: str | PathLike[str]) -> Profile:
    """The profile in a file on the disk; raises DocumentErrors with all that keeps it from use."""
    repository, inside = open_repository(path)
    return load_profile(repository, inside)


def load_profile(repository: Repository, path: str) -> Profile:
    """The profile at a path of a repository; raises DocumentErrors with all that keeps it from use.

    What is wrong with a part or with the house file is in them too: the same error for every
    profile that it keeps from use.
    """
    errors: list[DocumentError] = []
    house = House()
    try:
        house = repository.house()
    except DocumentErrors as broken:
        errors += broken.errors
    reading = try_document(repository.files, path, "profile")
    document = reading.document
    if document is None or reading.errors:
        parts = part_errors(document, repository) if document else ()
        raise DocumentErrors(one_a_place([*errors, *reading.errors, *parts]))
    layer = Layer(texts={document.file: document.text})
    Laying(document, repository, (path,), layer).section(outline(), document.root)
    if house.file:
        layer.texts[house.file] = house.text
    waivers = tuple(_waivers(document))
    errors += [*layer.errors, *_unknown_modes(waivers, document)]
    if errors:
        raise DocumentErrors(errors)
    return _profile(document, layer, waivers, house)


def _profile(
    document: Document, layer: Layer, waivers: tuple[Waiver, ...], house: House
) -> Profile:
    modes = {
        str(name): _changes(str(name), node, document, layer) for name, node in _modes(document)
    }
    if waivers:
        layer.sections["waivers"] = document.key_place("waivers")
    return Profile(
        file=document.file,
        name=document.value["vehicle"]["name"],
        givens=layer.givens,
        absent=frozenset(layer.absent),
        modes=modes,
        waivers=waivers,
        overrides=tuple(layer.overrides),
        house=house,
        sections=layer.sections,
        place=document.place(),
        texts=layer.texts,
        parts=layer.parts,
    )


def _modes(document: Document) -> Iterator[tuple[str | int, Node]]:
    if "modes" in document.value:
        yield from document.node("modes").below.items()


def _changes(name: str, node: Node, document: Document, layer: Layer) -> Changes:
    """What a mode changes, under canonical names; None removes."""
    changes: dict[str, Given | None] = {}
    layer.sections["modes"] = document.key_place("modes")
    layer.sections[f"modes.{name}"] = document.key_place("modes", name)
    _lay_mode(mode_outline(), node, f"modes.{name}", document, layer, changes)
    return changes


def _lay_mode(
    section: Section,
    node: Node,
    path: str,
    document: Document,
    layer: Layer,
    changes: dict[str, Given | None],
) -> None:
    for key, below in node.below.items():
        entry = section.entries[str(key)]
        inner = f"{path}.{key}"
        if isinstance(entry, Property):
            told = None if below.value is None else given(entry, below, inner, document)
            changes[entry.quantity] = told
            continue
        place = layer.sections[inner] = document.place_of(node.keys[str(key)])
        if entry.itself is not None:
            changes.update(_fitting(entry.itself, below, inner, place, document, layer))
        _lay_mode(entry, below, inner, document, layer, changes)


def _fitting(
    itself: Property, node: Node, path: str, place: Place, document: Document, layer: Layer
) -> Iterator[tuple[str, Given | None]]:
    """What a mode says of a whole section: that it is there, that it is not, or nothing at all."""
    if isinstance(node.value, dict):
        base = layer.givens.get(itself.quantity)
        if base is None or base.value == "none":
            yield itself.quantity, Given(itself.quantity, "fitted", path, "fitted", 1.0, place)
        return
    told = None if node.value is None else given(itself, node, path, document)
    yield itself.quantity, told
    below = f"{itself.path}."
    for entry in properties().values():
        if entry.path.startswith(below):
            gone = told and Given(entry.quantity, None, path, "none", entry.factor, told.place)
            yield entry.quantity, gone


def _waivers(document: Document) -> Iterator[Waiver]:
    for number, value in enumerate(document.value.get("waivers", ())):
        accepts = value.get("accepts")
        yield Waiver(
            rule=value["rule"],
            accepts=None if accepts is None else float(accepts),
            reason=value.get("reason", ""),
            until=value["until"],
            mode=value.get("mode"),
            entered_as=f"waivers.{number}",
            place=document.place("waivers", number),
            places={key: document.place("waivers", number, key) for key in value},
        )


def _unknown_modes(waivers: tuple[Waiver, ...], document: Document) -> Iterator[DocumentError]:
    """A waiver for a mode that the profile does not have would cover nothing, unseen."""
    modes = [str(name) for name, _ in _modes(document)]
    for waiver in waivers:
        if waiver.mode is not None and waiver.mode not in modes:
            at = waiver.places["mode"]
            wanted = "a mode of this profile" + (f": {alternatives(modes)}" if modes else "")
            yield WrongValue(
                at.file,
                at.line,
                at.column,
                quoted(waiver.mode),
                wanted,
                text=document.line(at.line),
            )


def check_document(repository: Repository, path: str, kind: Kind) -> tuple[DocumentError, ...]:
    """What is wrong with a part, a house file or a rule by itself, parts inside a part included."""
    try:
        if path == HOUSE:
            return repository.house().errors
        document = repository.document(path, kind)
    except DocumentErrors as broken:
        return broken.errors
    if kind != "part":
        return ()
    held = next(key for key in document.value if key not in ("gonogo", "part"))
    return tuple(laid_part(document, _section_of(held), repository).errors)


def _section_of(kind: str) -> Section:
    """The section of a profile that a kind of part fills."""
    pack = outline().entries["pack"]
    section = outline().entries.get(kind) or (isinstance(pack, Section) and pack.entries[kind])
    assert isinstance(section, Section)
    return section
