"""From a path to a profile: its file, its parts, its modes and its shop's house file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from os import PathLike
from posixpath import basename, dirname, join, normpath
from typing import TYPE_CHECKING, NamedTuple
from weakref import WeakKeyDictionary

from .document import Document, DocumentKind, one_a_place, try_document
from .error import DocumentError, DocumentErrors, PartError, UnreadableFile, WrongValue
from .files import HOUSE_FILE
from .given import Given, read_given, value_of
from .house import House
from .location import Place
from .motors import IN_PLACE_OF, LAID_OVER, MOTOR, MOTORS, motor_readings
from .profile import Changes, Override, Profile, Waiver
from .repository import Repository, open_repository
from .schema import Property, SchemaSection, mode_outline, outline, properties
from .stated_tolerance import StatedTolerance, may_have_one, stated_in, without_those_of
from .submodule import unfetched_submodule
from .text import alternatives, nearest, quoted
from .yaml_tree import YamlNode

if TYPE_CHECKING:
    from .search import Search

MOST_NESTED = 8
TOLERANCES, TOLERANCE = "tolerances", "tolerance"  # of a profile, and of a part
READ_BACK_MODES = "readings.entered.modes"
DRIVE = re.compile(r"[A-Za-z]:")
INSIDE = (
    "a path relative to this file, with `/` between folders, that stays inside the nearest "
    "parent folder with a `house.yaml` or `.git`"
)


def part_of(
    reference: YamlNode,
    kind: str,
    document: Document,
    repository: Repository,
    above: tuple[str, ...],
) -> Document:
    """The document of the part that a section asks for.

    `kind` is the section that it must fill, `above` the paths of the documents that led here.
    Raises DocumentErrors: with a PartError at the reference, or with the part's own errors.
    """
    written = str(reference.value)
    path = part_path(written, document.path)
    if path is None:
        raise _refused(reference, document, quoted(written), INSIDE)
    if path in above:
        found = f"{quoted(written)}, which refers back to itself"
        raise _refused(reference, document, found, "a part that does not refer to itself")
    if len(above) > MOST_NESTED:
        found = f"more than {MOST_NESTED} part files that refer to each other"
        raise _refused(reference, document, found, "a part file that holds the values itself")
    try:
        document_kind = repository.kind(path, "part") or "file of another kind"
        if document_kind != "part":
            found = f"{quoted(written)}, which is a {document_kind}"
            wanted = f"the part file of a {kind}, which begins with `gonogo: part/1`"
            raise _refused(reference, document, found, wanted)
        part = repository.document(path)
    except UnreadableFile as broken:
        found = f"{broken.found} at {quoted(written)}"
        wanted = f"the part file of a {kind}{_unfetched(repository, path)}"
        nearest = broken.nearest and join(dirname(written), basename(broken.nearest))
        raise _refused(reference, document, found, wanted, nearest) from broken
    section = next(key for key in part.value if key not in ("gonogo", "part"))
    if section != kind:
        found = f"{quoted(written)}, which describes a {section}"
        raise _refused(reference, document, found, f"the part file of a {kind}")
    return part


def _unfetched(repository: Repository, path: str) -> str:
    """What to do where a part lies in a submodule that nobody fetched, or outside of a sparse clone."""
    folder = unfetched_submodule(repository.files, path)
    if folder:
        return (
            f"; {quoted(folder)} is a submodule that is not fetched: `git submodule update --init`"
        )
    from .sparse import is_left_out  # late: few parts are missing

    away = "; this sparse clone leaves it out: `git sparse-checkout add` with its folder"
    return away if is_left_out(repository.files, path) else ""


def part_path(written: str, from_path: str) -> str | None:
    """A reference as a path inside the repository; None where it leads out or is no such path."""
    if written.startswith("/") or "\\" in written or DRIVE.match(written):
        return None
    path = normpath(join(dirname(from_path), written))
    return None if path.split("/")[0] == ".." else path


def _refused(
    reference: YamlNode, document: Document, found: str, wanted: str, nearest: str | None = None
) -> DocumentErrors:
    at = document.place_of(reference.event)
    text = document.line(at.line)
    return DocumentErrors([PartError(at.file, at.line, at.column, found, wanted, nearest, text)])


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
    tolerances: dict[str, StatedTolerance] = field(default_factory=dict)

    def cover(self, upper: Layer) -> None:
        """Lay another layer over this one."""
        self.givens.update(upper.givens)
        self.absent |= upper.absent
        self.sections.update(upper.sections)
        self.overrides += upper.overrides
        self.parts.update(upper.parts)
        self.texts.update(upper.texts)
        self.errors += upper.errors
        self.tolerances = without_those_of(self.tolerances, upper.givens)
        self.tolerances.update(upper.tolerances)

    def cut(self, path: str) -> None:
        """Forget all that lies below a section."""
        below = f"{path}."
        for name in [name for name in self.givens if name.startswith(below)]:
            del self.givens[name]
        self.absent = {name for name in self.absent if not f"{name}.".startswith(below)}
        self.overrides = [
            override for override in self.overrides if not override.quantity.startswith(below)
        ]
        self.parts = {name: part for name, part in self.parts.items() if not name.startswith(below)}
        gone = [name for name in self.tolerances if name.startswith(below)]
        self.tolerances = without_those_of(self.tolerances, gone)


class Laying(NamedTuple):
    """One document being laid: `above` are the paths of the documents that led to it."""

    document: Document
    repository: Repository
    above: tuple[str, ...]
    layer: Layer

    def section(self, section: SchemaSection, node: YamlNode, over: bool = False) -> None:
        """Lay a section's entries; `over` where a part lies below them."""
        reference = node.below.get("part") if section.takes is not None else None
        if reference is not None:
            self.part(section, reference, over)
            over = True
        for key, below in node.below.items():
            name = str(key)
            entry = section.entries.get(name)
            if isinstance(entry, SchemaSection):
                place = self.document.place_of(node.keys[name])
                self.layer.sections[entry.path] = place
                self.inner(entry, below, place, over)
            elif entry is not None and entry.kind == "settings":
                self.by_setting(entry, below, over)
            elif entry is not None:
                self.entry(entry, below, over)
                if entry.kind == "loads":  # several in one value: their common key stands for them
                    place = self.document.place_of(node.keys[name])
                    self.layer.givens[entry.quantity] = replace(
                        self.layer.givens[entry.quantity], place=place
                    )

    def by_setting(self, entry: Property, node: YamlNode, over: bool) -> None:
        """Lay what is told of each setting, over what a part tells of it, with the place of each."""
        given = read_given(entry, node, entry.path, self.document)
        below = self.layer.givens.get(entry.quantity) if over else None
        if below is not None:
            entered = {**below.entered, **given.entered}
            given = replace(given, entered=entered, value=value_of(entry, entered))
        self.layer.givens[entry.quantity] = given
        waiting = [(entry.path, node)]
        while waiting:
            path, inner = waiting.pop()
            for key, one in inner.below.items():
                self.layer.sections[f"{path}.{key}"] = self.document.place_of(one.event)
                waiting.append((f"{path}.{key}", one))

    def entry(self, entry: Property, node: YamlNode, over: bool) -> None:
        """Lay one value, and note it where it says otherwise than the part below."""
        given = read_given(entry, node, entry.path, self.document)
        if over:
            self.override(given, entry)
        self.layer.givens[given.name] = given
        self.layer.tolerances.pop(given.name, None)  # a part's is about the part's own value

    def override(self, given: Given, entry: Property) -> None:
        """Note a value that says otherwise than the part below does."""
        below = self.layer.givens.get(given.name)
        if below is not None and below.value != given.value:
            self.layer.overrides.append(
                Override(
                    given.name, given.value, below.value, entry.rating, given.place, below.place
                )
            )

    def inner(self, section: SchemaSection, node: YamlNode, place: Place, over: bool) -> None:
        """Lay a section inside a section, or its absence."""
        itself = section.itself
        if itself is not None:
            none = node.value == "none"
            if over and none:
                self.layer.cut(section.path)
            self.layer.absent.discard(section.path)
            if none:
                self.layer.absent.add(section.path)
                self.entry(itself, node, over)
                return
            self.layer.givens[itself.quantity] = Given(
                itself.quantity, "fitted", itself.path, "fitted", 1.0, place
            )
        self.section(section, node, over)

    def part(self, section: SchemaSection, reference: YamlNode, over: bool) -> None:
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
        self.layer.cover(PARTS.layer(part, section, self.repository, self.above))


def part_errors(document: Document, repository: Repository) -> Iterator[DocumentError]:
    """What is wrong with the parts of a profile that has errors of its own."""
    waiting: list[tuple[SchemaSection, YamlNode]] = [(outline(), document.root)]
    while waiting:
        section, node = waiting.pop()
        for key, below in node.below.items():
            entry = section.entries.get(str(key))
            if isinstance(entry, SchemaSection):
                waiting.append((entry, below))
        reference = node.below.get("part")
        if section.takes is None or reference is None or not isinstance(reference.value, str):
            continue
        layer = Layer()
        Laying(document, repository, (document.path,), layer).part(section, reference, False)
        yield from layer.errors


class PartCache:
    """What each part file comes to in a section, worked out once a repository and gone with it."""

    def __init__(self) -> None:
        self._layers: WeakKeyDictionary[Repository, dict[tuple[str, str], Layer]] = (
            WeakKeyDictionary()
        )

    def layer(
        self,
        part: Document,
        section: SchemaSection,
        repository: Repository,
        above: Iterable[str] = (),
    ) -> Layer:
        """The layer of a part; `above` are the paths of the documents that led to it."""
        known = self._layers.setdefault(repository, {})
        layer = known.get((part.path, section.path))
        if layer is None:
            layer = Layer(texts={part.file: part.text})
            node = part.node(str(section.takes))
            Laying(part, repository, (*above, part.path), layer).section(section, node)
            layer.parts[section.path] = part.value["part"]["name"]
            told = part.node("part").below.get(TOLERANCE)
            if told is not None:
                entries = may_have_one(properties(), f"{section.path}.")
                stated, wrong = stated_in(told, part, entries, layer.givens, of_part=True)
                layer.tolerances.update(stated)
                layer.errors += wrong
            known[part.path, section.path] = layer
        return layer


PARTS = PartCache()


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
    errors += [*layer.errors, *_unknown_names(waivers, document)]
    own, wrong = _own_tolerances(document, layer)
    errors += wrong
    if MOTORS in document.value:
        layers = {
            str(name): _motor_layer(str(name), node, document, repository, layer)
            for name, node in document.node(MOTORS).below.items()
        }
        errors += motor_readings(document) if len(layers) > 1 else []
        errors += one_a_place([error for one in layers.values() for error in one.errors])
    else:
        layers = {}
    errors += one_a_place([*_unknown_modes((layer, *layers.values()), document)])
    if errors:
        raise DocumentErrors(errors)
    for one in (layer, *layers.values()):
        one.tolerances.update(own)
    return _of_layers(document, layer, layers, waivers, house)


def _of_layers(
    document: Document,
    layer: Layer,
    layers: Mapping[str, Layer],
    waivers: tuple[Waiver, ...],
    house: House,
) -> Profile:
    """The profile of a vehicle, of several motors with that of each of them."""
    if not layers:
        return profile_of(document, layer, waivers, house)
    motors = {
        name: profile_of(document, one, _about(name, waivers, alone=len(layers) == 1), house)
        for name, one in layers.items()
    }
    if len(motors) == 1:
        return next(iter(motors.values()))
    for one in layers.values():
        layer.texts.update(one.texts)
    return replace(profile_of(document, layer, waivers, house), motors=motors)


def _own_tolerances(
    document: Document, layer: Layer
) -> tuple[dict[str, StatedTolerance], list[DocumentError]]:
    """What a profile itself states of its entries: it knows its vehicle better than the parts do."""
    if TOLERANCES not in document.value:
        return {}, []
    known = may_have_one(properties())
    return stated_in(document.node(TOLERANCES), document, known, layer.givens)


def _motor_layer(
    name: str, node: YamlNode, document: Document, repository: Repository, base: Layer
) -> Layer:
    """What the documents come to for one of several motors, as if it were the only one."""
    layer = Layer(
        dict(base.givens),
        set(base.absent),
        dict(base.sections),
        list(base.overrides),
        dict(base.parts),
        dict(base.texts),
        tolerances=dict(base.tolerances),
    )
    laying = Laying(document, repository, (document.path,), layer)
    laying.section(_section_of(MOTOR), node)
    layer.sections[MOTORS] = document.key_place(MOTORS)
    layer.sections[MOTOR] = document.key_place(MOTORS, name)
    for key in (*LAID_OVER, *IN_PLACE_OF):
        below = node.below.get(key)
        if below is None:
            continue
        if key in IN_PLACE_OF:
            layer.cut(key)
        layer.sections[key] = document.place_of(node.keys[key])
        laying.section(_section_of(key), below)
    for path in layer.absent - base.absent:  # `none` leaves nothing of what the vehicle has there
        layer.cut(path)
        layer.absent.add(path)
    for quantity, given in layer.givens.items():
        if given is not base.givens.get(quantity):
            entered_as = f"{MOTORS}.{name}.{given.entered_as.removeprefix(f'{MOTOR}.')}"
            layer.givens[quantity] = replace(given, entered_as=entered_as)
    return layer


def _about(motor: str, waivers: tuple[Waiver, ...], alone: bool) -> tuple[Waiver, ...]:
    """The waivers that a motor has; one that is alone needs no name."""
    own = (waiver for waiver in waivers if waiver.motor in (None, motor))
    return tuple(replace(waiver, motor=None) if alone else waiver for waiver in own)


def profile_of(
    document: Document, layer: Layer, waivers: tuple[Waiver, ...], house: House
) -> Profile:
    """The profile that the layers of a document come to."""
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
        tolerances=layer.tolerances,
    )


def _modes(document: Document) -> Iterator[tuple[str | int, YamlNode]]:
    if "modes" in document.value:
        yield from document.node("modes").below.items()


def _changes(name: str, node: YamlNode, document: Document, layer: Layer) -> Changes:
    """What a mode changes, under canonical names; None removes."""
    changes: dict[str, Given | None] = {}
    layer.sections["modes"] = document.key_place("modes")
    layer.sections[f"modes.{name}"] = document.key_place("modes", name)
    _lay_mode(mode_outline(), node, f"modes.{name}", document, layer, changes)
    return changes


def _lay_mode(
    section: SchemaSection,
    node: YamlNode,
    path: str,
    document: Document,
    layer: Layer,
    changes: dict[str, Given | None],
) -> None:
    for key, below in node.below.items():
        entry = section.entries[str(key)]
        inner = f"{path}.{key}"
        if isinstance(entry, Property):
            new = None if below.value is None else read_given(entry, below, inner, document)
            changes[entry.quantity] = new
            continue
        place = layer.sections[inner] = document.place_of(node.keys[str(key)])
        if entry.itself is not None:
            changes.update(_fitting(entry.itself, below, inner, place, document, layer))
        _lay_mode(entry, below, inner, document, layer, changes)


def _fitting(
    itself: Property, node: YamlNode, path: str, place: Place, document: Document, layer: Layer
) -> Iterator[tuple[str, Given | None]]:
    """What a mode says of a whole section: that it is there, that it is not, or nothing at all."""
    if isinstance(node.value, dict):
        base = layer.givens.get(itself.quantity)
        if base is None or base.value == "none":
            yield itself.quantity, Given(itself.quantity, "fitted", path, "fitted", 1.0, place)
        return
    new = None if node.value is None else read_given(itself, node, path, document)
    yield itself.quantity, new
    below = f"{itself.path}."
    for entry in properties().values():
        if entry.path.startswith(below):
            gone = new and Given(entry.quantity, None, path, "none", entry.factor, new.place)
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
            motor=value.get("motor"),
            entered_as=f"waivers.{number}",
            place=document.place("waivers", number),
            places={key: document.place("waivers", number, key) for key in value},
        )


def _unknown_names(waivers: tuple[Waiver, ...], document: Document) -> Iterator[DocumentError]:
    """A waiver for a mode or motor that the profile does not have would cover nothing, unseen."""
    for waiver in waivers:
        for key, section, meant in (
            ("mode", "modes", waiver.mode),
            ("motor", "motors", waiver.motor),
        ):
            names = [str(name) for name in document.value.get(section, ())]
            if meant is None or meant in names:
                continue
            at = waiver.places[key]
            wanted = f"a {key} of this profile" + (f": {alternatives(names)}" if names else "")
            line = document.line(at.line)
            yield WrongValue(at.file, at.line, at.column, quoted(meant), wanted, text=line)


def _unknown_modes(layers: Iterable[Layer], document: Document) -> Iterator[DocumentError]:
    """What was read back in a mode that the profile does not have could be held against nothing."""
    names = [str(name) for name in document.value.get("modes", ())]
    for layer in layers:
        told = layer.givens.get(READ_BACK_MODES)
        for mode in told.entered if told is not None else ():
            if mode in names:
                continue
            at = layer.sections[f"{READ_BACK_MODES}.{mode}"]
            wanted = "a mode of this profile" + (f": {alternatives(names)}" if names else "")
            meant, line = nearest(mode, names), document.line(at.line)
            yield WrongValue(at.file, at.line, at.column, quoted(mode), wanted, meant, line)


def check_document(
    repository: Repository, path: str, kind: DocumentKind
) -> tuple[DocumentError, ...]:
    """What is wrong with a part, a house file or a rule by itself, parts inside a part included."""
    try:
        if path == HOUSE_FILE:
            return repository.house().errors
        document = repository.document(path, kind)
    except DocumentErrors as broken:
        return broken.errors
    if kind != "part":
        return ()
    section = next(key for key in document.value if key not in ("gonogo", "part"))
    return tuple(PARTS.layer(document, _section_of(section), repository).errors)


def wrong_with_others(search: Search) -> list[DocumentError]:
    """What is wrong with the parts, house files and rules by themselves."""
    return [
        error
        for other in search.others
        if other.kind != "rule" or other.asked_for  # else it holds, and is read with its house file
        for error in check_document(other.repository, other.path, other.kind)
    ]


def _section_of(kind: str) -> SchemaSection:
    """The section of a profile that a kind of part fills."""
    pack = outline().entries["pack"]
    section = outline().entries.get(kind) or (
        isinstance(pack, SchemaSection) and pack.entries[kind]
    )
    assert isinstance(section, SchemaSection)
    return section
