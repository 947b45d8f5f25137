"""What was meant by a key that its section does not have: another spelling, unit, word or section."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from .number_slips import NO_CORRECTION, Correction
from .schema import outline
from .spelling import (
    called_elsewhere,
    is_slip,
    other_units,
    plain_word,
    slip_for,
    spelt_out,
)
from .text import alternatives, quoted
from .trade_units import is_trade_key, trade_key
from .units import UNITS, unit_of_key
from .value_units import AMPERE_HOURS

CURRENT_UNITS = frozenset(("A", "A_rms", "A_peak"))
# Words that a unit says already, and words of a limit that say nothing beside a current.
SAID = {
    **dict.fromkeys(CURRENT_UNITS, frozenset(("current", "max", "maximum", "limit"))),
    "V": frozenset(("voltage",)),
    "kg": frozenset(("mass", "weight")),
    "W": frozenset(("power",)),
    "mohm": frozenset(("resistance",)),
    "Ah": frozenset(("capacity",)),
    "degC": frozenset(("temperature", "temp")),
}
LIMITING = frozenset(("max", "maximum", "limit", "rated", "rating"))
DIGITS_SHOWN = 4
NO_BRACKETS = str.maketrans("", "", "()[]")  # as in `mass (kg)`
AT_THE_EDGE = "the top level, with no space before it"
NOT_SCALED = ("degF", "awg")  # a factor alone does not turn them into ours


class Spelt(NamedTuple):
    """A key as it is written: its words without the unit, the unit of ours, and what one of it is."""

    words: str
    unit: str
    written: str
    factor: float = 1.0


def of_key(key: str, known: Iterable[str], value: Any = None) -> Correction:
    """What a key means that a section does not have; `known` are those that it has.

    >>> of_key("weight_lb", ("mass_kg", "mass_lb"), 210).nearest
    'mass_lb'
    >>> of_key("weight_lb", ("mass_kg", "rider_kg"), 210)
    Correction(note='; 210 lb is 95.25 kg', nearest='mass_kg: 95.25')
    >>> of_key("phase_current_A", ("phase_current_A_rms", "phase_current_A_peak")).nearest is None
    True
    """
    known = list(known)
    key = key.translate(NO_BRACKETS).replace(". ", " ")
    words = {plain_word(name): name for name in known}
    plain = plain_word(key)
    if plain in words:
        return Correction("", words[plain])
    note, meant = called_elsewhere(plain, set(known), "keys")
    other = trade_key(meant) if meant else None
    if other in known:
        return Correction(
            f"; {quoted(str(meant))} or {quoted(str(other))}, whichever the figure is"
        )
    if note or meant:
        return Correction(note, meant)
    if _is_energy(plain) and "capacity_Ah" in known:
        return Correction(f"; `capacity_Ah`, {AMPERE_HOURS}")
    for spelt in _spelt(key):
        note, meant = (
            called_elsewhere(spelt.words, set(known), "keys") if spelt.unit else ("", None)
        )
        if note:
            return Correction(note)
        if meant and _measures_the_same(spelt.unit, unit_of_key(meant)):
            other = trade_key(meant)
            same = other in known and unit_of_key(str(other)) == spelt.unit
            return _converted(spelt, str(other) if same else meant, value)
        fit = _of_unit(spelt, known) if spelt.unit else _without_unit(spelt, known)
        ours = [name for name in fit if _kind_of(name) == _kind_of(f"_{spelt.unit}")]
        if len(fit) == 1 and (ours or not spelt.unit) and _names_it(spelt, fit[0]):
            return _converted(spelt, fit[0], value)
        if fit:
            names = alternatives([quoted(name) for name in fit])
            return Correction(
                f"; {names}, {'whichever' if fit[1:] else 'if that is what'} the figure is"
            )
    tails = [tail for tail in _all_units() if plain.endswith(f"_{tail}")]
    near = (word for word, name in words.items() if not tails or _plain_unit(name) in tails)
    slip = slip_for(plain, near)
    return Correction("", words[slip]) if slip else NO_CORRECTION


def _is_energy(word: str) -> bool:
    """Whether a plain key says the energy of a pack, which has its ampere-hours here.

    >>> _is_energy("capacity_wh"), _is_energy("battery_kwh"), _is_energy("capacity_ah")
    (True, True, False)
    """
    return word.startswith("energy") or word.rpartition("_")[2] in ("wh", "kwh")


def free(known: Iterable[str], given: Collection[str]) -> list[str]:
    """The keys that could still be entered: neither given, nor in another unit of the same.

    >>> free(("max_V", "max_degC", "current_A_rms", "current_A_peak"), ("max_V", "current_A_rms"))
    ['max_degC']
    """
    known = list(known)
    taken = {_measured(name) for name in known if name in given}  # of many keys few are ours
    return [name for name in known if _measured(name) not in taken]


def _measured(name: str) -> tuple[str, object]:
    """What a key is about and what measures it, whichever unit it is entered in."""
    unit = unit_of_key(name)
    return name.removesuffix(f"_{unit}"), UNITS[unit].dimension if unit else None


def _spelt(key: str) -> Iterator[Spelt]:
    """The ways to read a key: with the longest unit of ours at its end, one of elsewhere, none."""
    parts = spelt_out(key).split("_")
    units = {unit.lower(): unit for unit in UNITS}
    for start in range(1, len(parts)):
        tail = "_".join(parts[start:])
        words = "_".join(parts[:start]).lower()
        unit = tail if tail in UNITS else units.get(tail.lower(), "")
        if unit and not (tail.startswith("M") and unit.startswith("m")):
            yield Spelt(words, unit, unit)
            return
        for row in other_units():
            if tail == row["word"] or tail.lower() in (row["word"].lower(), *row["other"]):
                yield Spelt(words, row["unit"], row["word"], row["factor"])
                return
    yield Spelt("_".join(parts).lower(), "", "")


def _of_unit(spelt: Spelt, known: Sequence[str]) -> list[str]:
    """The keys with these words and a unit that measures the same; one of the same unit before all."""
    alike = [name for name in known if _alike(spelt, name)]
    same = [name for name in alike if unit_of_key(name) == spelt.unit]
    return same or [name for name in alike if not is_trade_key(name)]


def _alike(spelt: Spelt, name: str) -> bool:
    unit = unit_of_key(name)
    return _measures_the_same(spelt.unit, unit) and _is_named(spelt.words, name, unit)


def _measures_the_same(unit: str, other: str) -> bool:
    return bool(unit and other) and UNITS[unit].dimension == UNITS[other].dimension


def _without_unit(spelt: Spelt, known: Sequence[str]) -> list[str]:
    """The keys that have these words and a unit besides; else all that measure what they say."""
    units = {name: unit for name in known if (unit := unit_of_key(name))}
    named = [name for name, unit in units.items() if _is_named(spelt.words, name, unit)]
    return named or [name for name, unit in units.items() if _says_the_unit(spelt.words, unit)]


def _names_it(spelt: Spelt, name: str) -> bool:
    return bool(spelt.unit) or _is_named(spelt.words, name, unit_of_key(name))


def _says_the_unit(words: str, unit: str) -> bool:
    """Whether words say no more than what is measured, as `max_power` does.

    >>> _says_the_unit("max_power", "W"), _says_the_unit("max_input_power", "W")
    (True, False)
    """
    return unit in SAID and SAID[unit].union(LIMITING).issuperset(words.split("_"))


def _kind_of(name: str) -> str:
    """What keeps a unit apart from others of its dimension: amperes rms are no amperes."""
    return UNITS[unit_of_key(name)].kind


def _is_named(words: str, name: str, unit: str) -> bool:
    own = plain_word(name).removesuffix(plain_word(f"_{unit}"))
    if words == own or ("_" in own and is_slip(words, own)):
        return True
    said = SAID.get(unit, frozenset())
    bare = [word for word in words.split("_") if word not in said]
    return bool(bare) and bare == [word for word in own.split("_") if word not in said]


def _converted(spelt: Spelt, name: str, value: Any) -> Correction:
    """The key, and its value in our unit where it is written in another."""
    own = unit_of_key(name)
    factor = spelt.factor * (UNITS[spelt.unit].scale / UNITS[own].scale if spelt.unit else 1.0)
    if not spelt.unit or (spelt.unit == own and factor == 1.0):
        return Correction("", name)
    spoken = UNITS[own].spoken
    is_scaled = spelt.unit not in NOT_SCALED
    if isinstance(value, bool) or not isinstance(value, int | float) or not is_scaled:
        return Correction(f"; {quoted(name)}, in {spoken}")
    number = f"{value * factor:.{DIGITS_SHOWN}g}"
    number = f"{float(number):.15g}"
    note = f"; {value} {_symbol(spelt.written)} is {number} {UNITS[own].symbol}"
    return Correction(note, f"{name}: {number}")


def _symbol(unit: str) -> str:
    return UNITS[unit].symbol if unit in UNITS else unit


@lru_cache(maxsize=1024)
def _plain_unit(name: str) -> str:
    return plain_word(unit_of_key(name))


@lru_cache(maxsize=1)
def _all_units() -> frozenset[str]:
    """Every unit that a key may end with here or elsewhere, as a plain word."""
    rows = other_units()
    words = [word for row in rows for word in (row["word"], *row["other"])]
    return frozenset(map(plain_word, (*filter(None, UNITS), *words)))


@lru_cache(maxsize=1)
def _sections() -> Mapping[str, tuple[str, ...]]:
    """The sections of a profile that have a key, by key."""
    homes: dict[str, tuple[str, ...]] = {}
    for section in outline().all_sections():
        for key in section.entries:
            homes[key] = (*homes.get(key, ()), section.path)
    return homes


def in_a_section(key: str, name: str, known: Mapping[str, Any]) -> Correction:
    """A key that has the name of its section before it, or of a section beside it.

    >>> in_a_section("vehicle.wheels", "vehicle", {"wheels": {}}).nearest
    'wheels'
    """
    first, _, rest = key.partition(".")
    if first == name and rest in known:
        return Correction("", rest)
    for section in outline().all_sections():
        own = section.path.rpartition(".")[2]
        is_whole = key.startswith(f"{section.path}.") and section.path.partition(".")[0] in known
        head = section.path if is_whole else own
        entry = key.removeprefix(head)[1:]
        if not own or key == head or not key.startswith((f"{head}_", f"{head}.")):
            continue
        if entry in section.entries and (is_whole or own in known):
            return Correction(f"; {quoted(entry)} in the section {quoted(head)}")
    return NO_CORRECTION


def keys_of(path: Sequence[str | int]) -> Iterable[str] | None:
    """The keys of the section at a path; None where there is none, or an open one."""
    name = ".".join(map(str, path))
    return next((one.entries for one in outline().all_sections() if one.path == name), None)


def elsewhere(key: str) -> str | None:
    """The sections in which a key would be right, as a phrase."""
    sections = sorted(_sections().get(key, ()))
    if not sections or len(sections) > 4:
        return None
    return alternatives([f"`{section}`" if section else AT_THE_EDGE for section in sections])
