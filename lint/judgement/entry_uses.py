"""What the rules need an entry for: which of them read it, and from when a vehicle cannot do without."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

from ..documents.house import House
from ..documents.location import Place
from ..documents.profile import Profile
from ..documents.schema import Property, canonical, properties
from ..quantities.book import IN_BASE
from ..quantities.registry import rests_on
from .catalogue import Catalogue, catalogue
from .first_ride import first_ride
from .judge import judge
from .rule import STAGES, Rule
from .verdict import short_of

NAME = "vehicle.name"
ANY_DAY = "2026-01-01"  # nothing in an empty profile has a date


class Need(StrEnum):
    """From when a vehicle cannot do without an entry."""

    STAND = "stand"
    RIDE = "ride"
    BESIDE = "beside"  # a first ride has it, or something that says the same
    HAND_OVER = "hand-over"
    REST = "rest"


class EntryUse(NamedTuple):
    """An entry with what it is needed for.

    `others` are keys that say the same in another unit. `readers` are the rules that name it,
    `through` those that calculate with it.
    """

    entry: Property
    others: tuple[Property, ...]
    need: Need
    readers: tuple[Rule, ...]
    through: tuple[Rule, ...]


@lru_cache(maxsize=1)
def entry_uses() -> tuple[EntryUse, ...]:
    """Every entry in the order of the schema, as the rules that come with gonogo need it."""
    known = catalogue()
    needs = _needs(known)
    read = {rule.id: _read_by(rule) for rule in known.rules.values()}
    below = {rule: frozenset[str]().union(*map(rests_on, names)) for rule, names in read.items()}
    uses = []
    for name, entry in canonical().items():
        readers = tuple(rule for rule in known.rules.values() if name in read[rule.id])
        through = tuple(
            rule
            for rule in known.rules.values()
            if name in below[rule.id] and name not in read[rule.id]
        )
        need = needs.get(name, Need.HAND_OVER if readers else Need.REST)
        uses.append(EntryUse(entry, _others(name, entry), need, readers, through))
    return tuple(uses)


def _needs(known: Catalogue) -> Mapping[str, Need]:
    """When each entry is needed, as far as it is needed before all others.

    A stage needs what its required rules wait for where a profile has nothing but a name; beside it
    a first ride has all that those can be worked out of, the settings and the readings. The hand-over
    needs what any other rule waits for.
    """
    waiting = judge(_bare(), known, ANY_DAY).not_checked
    needs: dict[str, Need] = {}
    for stage in STAGES:
        for name in short_of(waiting, stage):
            needs.setdefault(_canonical(name), Need(stage))
    for name in first_ride(known):
        needs.setdefault(_canonical(name), Need.BESIDE)
    for rule in waiting:
        for name in rule.missing:
            needs.setdefault(_canonical(name), Need.HAND_OVER)
    needs[NAME] = Need.STAND  # what the schema asks for
    return needs


def _canonical(name: str) -> str:
    entry = properties().get(name)
    return entry.quantity if entry is not None else name


def _bare() -> Profile:
    """A profile of which nothing but the name is given."""
    place = Place("", 1, 1)
    return Profile("", "", {}, frozenset(), {}, (), (), House(), {}, place, {})


def _read_by(rule: Rule) -> frozenset[str]:
    """Every name that a rule's expressions and needs hold, in its base form."""
    return frozenset(name.removeprefix(IN_BASE) for name in (*rule.reads, *rule.needs))


def _others(name: str, entry: Property) -> tuple[Property, ...]:
    """The keys beside `entry` that give the same quantity."""
    return tuple(
        other for other in properties().values() if other.quantity == name and other is not entry
    )


def uses_under(name: str) -> tuple[EntryUse, ...]:
    """The entries of that key or section, or with that last key; none where there is no such.

    >>> [use.entry.path for use in uses_under("kv_rpm_per_V")]
    ['motor.kv_rpm_per_V', 'readings.identification.found.kv_rpm_per_V']
    """
    for matches in (_is_key_or_below, _ends_so):
        found = tuple(use for use in entry_uses() if matches(use, name))
        if found:
            return found
    return ()


def _paths(use: EntryUse) -> tuple[str, ...]:
    return (use.entry.path, use.entry.quantity, *(other.path for other in use.others))


def _is_key_or_below(use: EntryUse, name: str) -> bool:
    return any(path == name or path.startswith(f"{name}.") for path in _paths(use))


def _ends_so(use: EntryUse, name: str) -> bool:
    return any(path.endswith(f".{name}") for path in _paths(use))
