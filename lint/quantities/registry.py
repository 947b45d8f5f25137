"""Every worked quantity, gathered from the subsystems, with what each of them hangs on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType, ModuleType

from . import (
    conductor,
    controller,
    drivetrain,
    label,
    motor,
    motor_curve,
    no_load,
    pack,
    pack_load,
    precharge,
    readings,
    ride,
    sensor,
    sensor_curve,
    throttle,
    tyre,
    wiring,
)
from .worked import Worked

SUBSYSTEMS: tuple[ModuleType, ...] = (
    conductor,
    controller,
    drivetrain,
    label,
    motor,
    motor_curve,
    no_load,
    pack,
    pack_load,
    precharge,
    readings,
    ride,
    sensor,
    sensor_curve,
    throttle,
    tyre,
    wiring,
)

Registry = Mapping[str, tuple[Worked, ...]]


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


WORKED: Registry = gathered(SUBSYSTEMS)
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
