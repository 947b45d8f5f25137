"""Every worked quantity, gathered from the subsystems, with what each of them hangs on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from importlib import import_module
from importlib.resources import files
from types import MappingProxyType, ModuleType

from .worked import Worked

# What works formulas out, tells them and gathers them; every other module beside it may hold some.
MACHINERY = frozenset({"__init__", "book", "formula", "operand", "registry", "worked"})

Registry = Mapping[str, tuple[Worked, ...]]


def subsystems() -> Iterator[ModuleType]:
    """The modules of formulas in the order of their names: one that is new is found by itself."""
    package = str(__package__)
    entries = [entry.name for entry in files(package).iterdir()]
    names = {name.partition(".")[0] for name in entries if name.endswith((".py", ".pyc"))}
    for name in sorted(names - MACHINERY):
        yield import_module(f".{name}", package)


def gathered(modules: Iterable[ModuleType]) -> Registry:
    """The formulas of the modules by quantity, alternatives in the order in which they stand."""
    found: dict[str, list[Worked]] = {}
    for module in modules:
        for value in vars(module).values():
            spec = getattr(value, "worked", None)
            if isinstance(spec, Worked) and value.__module__ == module.__name__:
                found.setdefault(spec.name, []).append(spec)
    return MappingProxyType({name: tuple(specs) for name, specs in found.items()})


def reaches(registry: Registry) -> Mapping[str, frozenset[str]]:
    """For each worked quantity all names that it hangs on, itself included.

    Raises ValueError where a quantity hangs on itself: a cycle is a mistake in the formulas.
    """
    known: dict[str, frozenset[str]] = {}

    def follow(name: str, path: tuple[str, ...]) -> frozenset[str]:
        if name in path:
            raise ValueError(f"a quantity hangs on itself: {' → '.join((*path, name))}")
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


WORKED: Registry = gathered(subsystems())
REACHES: Mapping[str, frozenset[str]] = reaches(WORKED)

# The chemistry stands in for a cell value that is not given.
CHEMISTRY = "pack.cell.chemistry"


def reach(name: str) -> frozenset[str]:
    """All names that a change would have to touch to move this quantity."""
    return REACHES.get(name) or frozenset({name})


@lru_cache(maxsize=256)
def moved_by(changed: frozenset[str]) -> frozenset[str]:
    """The worked quantities that hang on any of the changed names."""
    return frozenset(name for name, names in REACHES.items() if not names.isdisjoint(changed))
