"""Sites: where an entry stands, whom it holds for, and the profile with another value there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from ..documents.given import Given, Value, as_entered_under, number_of, value_of
from ..documents.location import Place
from ..documents.motors import entry_path
from ..documents.profile import BASE, Profile
from ..documents.schema import Property, canonical, properties

# What was tried is no entry to doubt: a brake that cut nothing is tried again, never talked into one that cuts.
_NEVER = (
    "controller.fields",
    "readings.entered.",
    "readings.tried.",
    "vehicle.name",
    "vehicle.id",
)
_OF_A_MOTOR = ("motor.", "controller.")


class Site(NamedTuple):
    """One entry: its quantity, the mode in which it stands, and what is given there.

    `motors` names those of several for which it holds; empty where there is one motor.
    """

    quantity: str
    mode: str
    given: Given
    motors: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """The dotted key under which it stands in the profile or would, where a part gives it."""
        return self.given.entered_as

    @property
    def where(self) -> tuple[str, str, Place]:
        """What makes it this entry and no other."""
        return self.quantity, self.mode, self.given.place

    @property
    def entry(self) -> Property:
        """What the schema says of it."""
        return site_entry(self.given)


class Change(NamedTuple):
    """Another value for an entry, as it would be entered there."""

    site: Site
    entered: Any

    @property
    def given(self) -> Given:
        """What a document with it would give."""
        given, entry = self.site.given, self.site.entry
        value: Value | None
        if entry.kind == "number":
            value = number_of(entry, self.entered)
        else:
            value = value_of(entry, self.entered)
        return replace(given, value=value, entered=self.entered)


def site_entry(given: Given) -> Property:
    """What the schema says of the key under which something is entered."""
    known = properties()
    path = entry_path(given.entered_as)
    return known[path] if path in known else canonical()[given.name]


def sites_of(profile: Profile) -> tuple[Site, ...]:
    """Every entry of a profile with a value that could be another, in the order of its documents."""
    found: dict[tuple[str, str, Place], Site] = {}
    owners: Mapping[str, Profile] = profile.motors or {"": profile}
    for motor, own in owners.items():
        layers = [(BASE, own.givens), *own.modes.items()]
        for mode, givens in layers:
            for name, given in givens.items():
                if given is None or given.value is None or not _may_be_wrong(name, given):
                    continue
                where = (name, mode, given.place)
                known = found.get(where)
                motors = (*(known.motors if known else ()), *((motor,) if motor else ()))
                found[where] = Site(name, mode, given, motors)
    return tuple(sorted(found.values(), key=_in_document))


def _may_be_wrong(name: str, given: Given) -> bool:
    if name.startswith(_NEVER) or not given.place.file:
        return False
    entry = canonical().get(name)
    return entry is not None and entry.kind not in ("section", "date", "settings", "loads")


def _in_document(site: Site) -> tuple[str, int, int]:
    place = site.given.place
    return place.file, place.line, place.column


def with_changes(profile: Profile, changes: Sequence[Change]) -> Profile:
    """The profile as it would read with these entries otherwise, in each motor that they hold for."""
    changed = _with_values(profile, changes, "")
    if not profile.motors:
        return changed
    motors = {
        name: _with_values(own, [one for one in changes if name in one.site.motors], name)
        for name, own in profile.motors.items()
    }
    return replace(changed, motors=motors)


def _with_values(profile: Profile, changes: Iterable[Change], motor: str) -> Profile:
    givens = dict(profile.givens)
    modes = {name: dict(of_mode) for name, of_mode in profile.modes.items()}
    overrides = list(profile.overrides)
    for change in changes:
        site, given = change.site, change.given
        layer: dict[str, Given | None] | dict[str, Given]
        layer = modes[site.mode] if site.mode else givens
        held = layer.get(site.quantity)
        if held is None or held.place != site.given.place:
            continue
        layer[site.quantity] = given
        for at, override in enumerate(overrides):
            if override.quantity == site.quantity and override.place == site.given.place:
                overrides[at] = replace(override, value=given.value)
    return replace(profile, givens=givens, modes=modes, overrides=tuple(overrides))


def without(profile: Profile, names: Iterable[str]) -> Profile:
    """The profile as if some readings had not been taken."""
    gone = frozenset(names)

    def left(own: Profile) -> Profile:
        kept = {name: given for name, given in own.givens.items() if name not in gone}
        return replace(own, givens=kept)

    motors = {name: left(own) for name, own in profile.motors.items()}
    return replace(left(profile), motors=motors)


def entered_at(site: Site, value: Any) -> Any:
    """A value in the unit of the quantity as it would be entered at a site."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return as_entered_under(site.entry, value)
    return value


def beside_others(sites: Iterable[Site]) -> list[Site]:
    """The entries that have the number of one beside them, other than 0, which is easily taken for it.

    That is one in the same section and unit, or under the same word in two sections of one section.
    """
    alike: dict[tuple[object, ...], list[Site]] = {}
    for site in sites:
        value = site.given.value
        if site.entry.kind in ("number", "integer") and isinstance(value, int | float) and value:
            alike.setdefault((value, site.entry.unit, site.mode, site.motors), []).append(site)
    return [
        one
        for group in alike.values()
        for one in group
        if any(_is_beside(one, other) for other in group if other is not one)
    ]


def _is_beside(one: Site, other: Site) -> bool:
    (section, _, word), (beside, _, same) = (each.key.rpartition(".") for each in (one, other))
    near = section.rpartition(".")[0]
    return section == beside or (word == same and near != "" and near == beside.rpartition(".")[0])


def as_their_twins(sites: Iterable[Site]) -> list[Site]:
    """The figures of one motor of several that another motor has alike, entered at a place of its own."""
    alike: dict[tuple[object, ...], list[Site]] = {}
    for site in sites:
        if site.motors and site.quantity.startswith(_OF_A_MOTOR):
            alike.setdefault((site.quantity, site.mode, repr(site.given.value)), []).append(site)
    return [site for group in alike.values() if len(group) > 1 for site in group]
