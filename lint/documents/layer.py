"""A section laid out as quantities: its part first, what stands beside `part` over it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from .document import Document
from .error import DocumentError, DocumentErrors
from .given import Given, given
from .part import part_of
from .position import Place
from .profile import Override
from .repository import Repository
from .schema import Property, Section, outline
from .tree import Node


@dataclass(slots=True)
class Layer:
    """What documents come to, laid over each other: the last word on a quantity holds."""

    givens: dict[str, Given] = field(default_factory=dict)
    absent: set[str] = field(default_factory=set)
    sections: dict[str, Place] = field(default_factory=dict)
    overrides: list[Override] = field(default_factory=list)
    parts: dict[str, str] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    errors: list[DocumentError] = field(default_factory=list)

    def cover(self, upper: Layer) -> None:
        """Lay another layer over this one."""
        self.givens.update(upper.givens)
        self.absent |= upper.absent
        self.sections.update(upper.sections)
        self.overrides += upper.overrides
        self.parts.update(upper.parts)
        self.texts.update(upper.texts)
        self.errors += upper.errors

    def cut(self, path: str) -> None:
        """Forget all that lies below a section."""
        below = f"{path}."
        for name in [name for name in self.givens if name.startswith(below)]:
            del self.givens[name]
        self.absent = {name for name in self.absent if not f"{name}.".startswith(below)}
        self.overrides = [one for one in self.overrides if not one.quantity.startswith(below)]
        self.parts = {name: part for name, part in self.parts.items() if not name.startswith(below)}


@dataclass(frozen=True, slots=True)
class Laying:
    """One document being laid: `above` are the paths of the documents that led to it."""

    document: Document
    repository: Repository
    above: tuple[str, ...]
    layer: Layer

    def section(self, section: Section, node: Node, over: bool = False) -> None:
        """Lay a section's entries; `over` where a part lies below them."""
        reference = node.below.get("part") if section.takes is not None else None
        if reference is not None:
            self.part(section, reference, over)
            over = True
        for key, below in node.below.items():
            name = str(key)
            entry = section.entries.get(name)
            if isinstance(entry, Section):
                place = self.document.place_of(node.keys[name])
                self.layer.sections[entry.path] = place
                self.inner(entry, below, place, over)
            elif entry is not None:
                self.entry(entry, below, over)

    def entry(self, entry: Property, node: Node, over: bool) -> None:
        """Lay one value, and note it where it says otherwise than the part below."""
        told = given(entry, node, entry.path, self.document)
        if over and entry.rating is not None:
            below = self.layer.givens.get(told.name)
            if below is not None and below.value != told.value:
                self.layer.overrides.append(
                    Override(told.name, told.value, below.value, entry.rating, told.place)
                )
        self.layer.givens[told.name] = told

    def inner(self, section: Section, node: Node, place: Place, over: bool) -> None:
        """Lay a section inside a section, or its absence."""
        itself = section.itself
        if itself is not None:
            none = node.value == "none"
            if over and none:
                self.layer.cut(section.path)
            self.layer.absent.discard(section.path)
            if none:
                self.layer.absent.add(section.path)
                self.layer.givens[itself.quantity] = given(itself, node, itself.path, self.document)
                return
            self.layer.givens[itself.quantity] = Given(
                itself.quantity, "fitted", itself.path, "fitted", 1.0, place
            )
        self.section(section, node, over)

    def part(self, section: Section, reference: Node, over: bool) -> None:
        """Lay the part's own section; it replaces all that an outer part says of it."""
        if over:
            self.layer.cut(section.path)
        try:
            part = part_of(
                reference, str(section.takes), self.document, self.repository, self.above
            )
        except DocumentErrors as broken:
            self.layer.errors += broken.errors
            return
        self.layer.cover(laid_part(part, section, self.repository, self.above))


def part_errors(document: Document, repository: Repository) -> Iterator[DocumentError]:
    """What is wrong with the parts of a profile that has errors of its own."""
    waiting: list[tuple[Section, Node]] = [(outline(), document.root)]
    while waiting:
        section, node = waiting.pop()
        for key, below in node.below.items():
            entry = section.entries.get(str(key))
            if isinstance(entry, Section):
                waiting.append((entry, below))
        reference = node.below.get("part")
        if section.takes is None or reference is None or not isinstance(reference.value, str):
            continue
        layer = Layer()
        Laying(document, repository, (document.path,), layer).part(section, reference, False)
        yield from layer.errors


def laid_part(
    part: Document, section: Section, repository: Repository, above: Iterable[str] = ()
) -> Layer:
    """What a part file comes to in a section, worked out once."""
    key = (part.path, section.path)
    held: Layer | None = repository.laid.get(key)
    if held is None:
        held = Layer(texts={part.file: part.text})
        node = part.node(str(section.takes))
        Laying(part, repository, (*above, part.path), held).section(section, node)
        held.parts[section.path] = part.value["part"]["name"]
        repository.laid[key] = held
    return held
