"""The working of quantities of several motors: what they have together once, all else by motor."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from ..comparison.statement import rank
from ..documents.profile import BASE, Profile
from ..expressions.formatting import listed
from ..judgement.motor_books import OfMotor
from ..judgement.motor_quantities import Having, havings, key_of_motor
from ..quantities.registry import WORKED
from .section import Line, Report, Toned
from .working import card_of, head_record, listed_page, quantity_record, row_of, working_node

TOGETHER = "all motors together"
EACH = "each motor"


def motor_pages(having: Iterable[Having], profile: Profile, mode: str = BASE) -> Report:
    """How a quantity came about: a card for all motors together, and one for those that are alike."""
    cards = [
        card_of(one.name, one.book, profile, mode, who_of(one.motors, profile), one.told)
        for one in having
    ]
    return Report("gonogo working", tuple(cards), alone=False)


def who_of(motors: Sequence[str], profile: Profile) -> str:
    """Who has a quantity, in words."""
    if not motors:
        return TOGETHER
    if len(motors) == 1:
        return f"motor {motors[0]}"
    every = EACH if len(motors) == len(profile.motors) else "each"
    return (
        f"{every} ({listed(motors, 'and')})"
        if every == EACH
        else f"motors {listed(motors, 'and')}, each"
    )


def motor_list_page(heard: Mapping[str, OfMotor], profile: Profile, mode: str = BASE) -> Report:
    """Every quantity that is worked out, by section: of all motors together, then of each motor."""
    sections: dict[tuple[str, str], list[tuple[Line, ...]]] = {}
    for one in _listed(heard, mode):
        section = one.name.split(".")[0]
        alike = len(one.motors) == len(heard)
        names = one.motors if one.motors and not alike else ("",)
        for motor in names:
            key = key_of_motor(motor, one.name) if motor else one.name
            who = TOGETHER if not one.motors else EACH
            sections.setdefault((section, who), []).append(row_of(one.name, key, one.book))
    rows: list[tuple[Line, ...]] = []
    for section, who in sorted(sections, key=lambda key: (rank(key[0]), key)):
        rows += [((Toned(f"{section}, {who}", "bold"),), (), ()), *sections[section, who]]
    return listed_page(rows, profile, mode)


def _listed(heard: Mapping[str, OfMotor], mode: str) -> Iterable[Having]:
    for name in WORKED:
        if any(not one.books[mode].own.is_absent(name) for one in heard.values()):
            yield from havings(name, heard, mode, deep=False)


def motor_list_record(
    heard: Mapping[str, OfMotor], profile: Profile, mode: str | None
) -> dict[str, Any]:
    """The same list as data; without `motors` a quantity is that of all motors together."""
    rows = _listed(heard, mode or BASE)
    told = [quantity_record(one.name, one.book) | {"motors": list(one.motors)} for one in rows]
    return {**head_record(profile, mode), "quantities": told}


def motor_record(having: Iterable[Having], profile: Profile, mode: str | None) -> dict[str, Any]:
    """The trees as data, each with the motors that have it."""
    told = [
        {"motors": list(one.motors), **working_node(one.name, one.book, set(), one.told)}
        for one in having
    ]
    return {**head_record(profile, mode), "quantities": told}
