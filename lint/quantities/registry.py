"""Every worked quantity, gathered from the subsystems, with what each of them depends on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType, ModuleType

from ..documents.schema import canonical
from ..documents.units import unit_of_key
from .worked import Worked, declarations

# What works formulas out, describes them and gathers them; every other module beside it may hold some.
MACHINERY = frozenset({"__init__", "book", "number", "operand", "registry", "twice", "worked"})

Registry = Mapping[str, tuple[Worked, ...]]


def subsystems() -> Iterator[ModuleType]:
    """The modules of formulas in the order of their names: one that is new is found by itself."""
    package = str(__package__)
    names = {entry.name for entry in iter_modules(import_module(package).__path__)}
    for name in sorted(names - MACHINERY):
        yield import_module(f".{name}", package)


def formulas_of(modules: Iterable[ModuleType]) -> Registry:
    """The formulas of the modules by quantity, alternatives in the order in which they stand."""
    formulas: dict[str, list[Worked]] = {}
    for module in modules:
        for value in vars(module).values():
            if callable(value) and value.__module__ == module.__name__:
                for spec in declarations(value):
                    formulas.setdefault(spec.name, []).append(spec)
    return MappingProxyType({name: tuple(specs) for name, specs in formulas.items()})


def reaches(registry: Registry) -> Mapping[str, frozenset[str]]:
    """For each worked quantity all names that it depends on, itself included.

    Raises ValueError where a quantity depends on itself: a cycle is a mistake in the formulas.
    """
    known: dict[str, frozenset[str]] = {}

    def follow(name: str, path: tuple[str, ...]) -> frozenset[str]:
        if name in path:
            raise ValueError(f"a quantity depends on itself: {' → '.join((*path, name))}")
        if name not in known:
            below = (
                follow(given, (*path, name))
                for spec in registry.get(name, ())
                for given in spec.inputs.values()
            )
            known[name] = frozenset({name}).union(*below)
        return known[name]

    for name in registry:
        follow(name, ())
    return MappingProxyType(known)


def _rated(registry: Registry) -> dict[str, str]:
    entries = canonical().items()
    return {name: entry.rating for name, entry in entries if entry.rating and name in registry}


WORKED: Registry = formulas_of(subsystems())
REACHES: Mapping[str, frozenset[str]] = reaches(WORKED)

# The chemistry stands in for a cell value that is not given.
CELL = "pack.cell."
CHEMISTRY = f"{CELL}chemistry"
TYPICAL: frozenset[str] = frozenset(
    CELL + key
    for key in (
        "full_V",
        "nominal_V",
        "minimum_V",
        "working_minimum_V",
        "charge_from_degC",
        "charge_to_degC",
    )
)

# What a document may enter and other entries make as well: every name of both kinds.
ENTERED_OR_WORKED: frozenset[str] = frozenset(WORKED).intersection(canonical())

# The ratings among them, each with its side.
RATED_TWICE: Mapping[str, str] = MappingProxyType(_rated(WORKED))


def rests_on(name: str) -> frozenset[str]:
    """All names that a change would have to touch to move this quantity, itself among them."""
    return REACHES.get(name) or frozenset({name})


@lru_cache(maxsize=256)
def affected(names: frozenset[str]) -> frozenset[str]:
    """The names whose value may be another once these are: they, and all that depends on them.

    A section stands for all that lies in it, the chemistry for what is typical of it.

    >>> sorted(affected(frozenset({"settings.direction"})))
    ['settings.direction']
    """
    sections = tuple(f"{name}." for name in names if _is_section(name))
    if sections:
        below = (name for name in (*canonical(), *WORKED) if name.startswith(sections))
        names = names.union(below)
    if CHEMISTRY in names:
        names |= TYPICAL
    return names.union(name for name, below in REACHES.items() if not below.isdisjoint(names))


def _is_section(name: str) -> bool:
    entry = canonical().get(name)
    return entry is not None and entry.kind == "section"


def unit_of(name: str) -> str:
    """The unit of a quantity in its canonical form: as entered, else as worked out."""
    entry = canonical().get(name)
    if entry is not None:
        return entry.unit
    specs = WORKED.get(name)
    return specs[0].unit if specs else unit_of_key(name)
