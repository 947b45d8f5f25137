"""One vehicle as its documents describe it: what is given, where, and what a mode changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from .frozen import frozen
from .given import Given, Value
from .house import House
from .location import Place
from .schema import Rating
from .stated_tolerance import StatedTolerance
from .text import line_of

__all__ = ["BASE", "Changes", "Given", "Givens", "Override", "Profile", "TriedValue", "Waiver"]

Givens = Mapping[str, Given]
Changes = Mapping[str, Given | None]
BASE = ""  # stands where a mode is named, for the base settings


@frozen
class Override:
    """A key beside `part` that says otherwise than the part does; both in the canonical unit.

    None stands for `none`; a section that the part has and the profile has not is `none` and `fitted`.
    """

    quantity: str
    value: Value | None
    part_value: Value | None
    rating: Rating | None
    place: Place
    part_place: Place


@frozen
class Waiver:
    """A finding that the builder accepts, up to `accepts`, until a day.

    In one mode or in all, of one motor or of all.
    """

    rule: str
    accepts: float | None
    reason: str
    until: str
    mode: str | None
    entered_as: str
    place: Place
    places: Mapping[str, Place]
    motor: str | None = None


@frozen
class TriedValue:
    """A value that a profile was judged with and its file does not hold.

    `value` is as it was typed, `said` what stands in `file`, None where nothing does; it was tried in
    the part's file where it is `in_part`.
    """

    key: str
    value: str
    said: str | None
    file: str
    in_part: bool = False


@frozen
class Profile:
    """A profile with its parts, its house file and its modes.

    `givens` holds the base settings under canonical names, `absent` the sections said to be
    `none`. A mode's changes lie over the givens; None removes one. `sections` has the place of
    every section's key, `parts` the name of the part that a section takes, `texts` the text of
    every file read, by the name that places have. Where there are several motors, `motors` holds the
    profile of each as if it were the only one; the profile itself then has no motor. `tried` holds the
    values that its documents do not have and that it is judged with all the same. `tolerances` has by
    the quantity how far an entry may be off to both sides, where the profile or a part says so.
    """

    file: str
    name: str
    givens: Givens
    absent: frozenset[str]
    modes: Mapping[str, Changes]
    waivers: tuple[Waiver, ...]
    overrides: tuple[Override, ...]
    house: House
    sections: Mapping[str, Place]
    place: Place
    texts: Mapping[str, str]
    parts: Mapping[str, str] = field(default_factory=dict)
    motors: Mapping[str, Profile] = field(default_factory=dict)
    tried: tuple[TriedValue, ...] = ()
    tolerances: Mapping[str, StatedTolerance] = field(default_factory=dict)

    @property
    def files(self) -> tuple[str, ...]:
        """Every file read: the profile's own first, then its parts and the house file."""
        return tuple(self.texts)

    def line(self, place: Place) -> str:
        """The source line of a place, empty where it is not known."""
        return line_of(self.texts.get(place.file, ""), place.line)

    def value(self, quantity: str) -> Any:
        """What is given of a quantity, None if nothing is."""
        given = self.givens.get(quantity)
        return None if given is None else given.value
