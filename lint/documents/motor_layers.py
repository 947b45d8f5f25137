"""Several motors: what the documents come to for each of them, as if it were the only one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from .document import Document
from .error import DocumentError, WrongValue
from .loading import Layer, Laying
from .repository import Repository
from .schema import MOTOR, MOTORS, SchemaSection, outline
from .text import quoted
from .yaml_tree import YamlNode

# Sections that a motor may have of its own: laid over the vehicle's, or another thing altogether.
LAID_OVER = ("settings", "readings")
IN_PLACE_OF = ("controller", "drivetrain")
# Readings that are taken on one motor and say nothing about another.
OF_ONE_MOTOR = (
    ("identification",),
    ("wheel_turned",),
    ("no_load",),
    ("temperature", "motor_degC"),
    ("temperature", "warm"),
)


def motor_layers(document: Document, repository: Repository, base: Layer) -> dict[str, Layer]:
    """The layers of each motor by its name: those of the vehicle, and the motor's own over them."""
    return {
        str(name): _layer(str(name), node, document, repository, base)
        for name, node in document.node(MOTORS).below.items()
    }


def _layer(
    name: str, node: YamlNode, document: Document, repository: Repository, base: Layer
) -> Layer:
    layer = Layer(
        dict(base.givens),
        set(base.absent),
        dict(base.sections),
        list(base.overrides),
        dict(base.parts),
        dict(base.texts),
    )
    laying = Laying(document, repository, (document.path,), layer)
    laying.section(_section(MOTOR), node)
    layer.sections[MOTORS] = document.key_place(MOTORS)
    layer.sections[MOTOR] = document.key_place(MOTORS, name)
    for key in (*LAID_OVER, *IN_PLACE_OF):
        below = node.below.get(key)
        if below is None:
            continue
        if key in IN_PLACE_OF:
            layer.cut(key)
        layer.sections[key] = document.place_of(node.keys[key])
        laying.section(_section(key), below)
    for path in layer.absent - base.absent:  # `none` leaves nothing of what the vehicle has there
        layer.cut(path)
        layer.absent.add(path)
    for quantity, given in layer.givens.items():
        if given is not base.givens.get(quantity):
            entered_as = f"{MOTORS}.{name}.{given.entered_as.removeprefix('motor.')}"
            layer.givens[quantity] = replace(given, entered_as=entered_as)
    return layer


def _section(key: str) -> SchemaSection:
    section = outline().entries[key]
    assert isinstance(section, SchemaSection)
    return section


def motor_readings(document: Document) -> Iterator[DocumentError]:
    """Readings of one motor that do not say of which: nobody shall take them for all motors."""
    names = " and ".join(quoted(f"{MOTORS}.{name}.readings") for name in document.value[MOTORS])
    for keys in OF_ONE_MOTOR:
        node = document.root
        for key in ("readings", *keys):
            if key not in node.below:
                break
            node = node.below[key]
        else:
            at = document.key_place("readings", *keys)
            found = f"{quoted(keys[-1])} without the motor that it was taken on"
            wanted = f"it under each motor, in {names}"
            line = document.line(at.line)
            yield WrongValue(at.file, at.line, at.column, found, wanted, text=line)
