"""Slips planted into sound vehicles: how often `suspect` names the entry first, or among three.

Every sound example × every usual slip of every entry that makes at least one danger or fault; a sample
of them, since all take hours. Prints shares and times, asserts nothing.

    python -m tests.benchmark.suspects --each 20 --seed 1

With `--at-end` it asks for the last line of a check in place of the whole search; with `--by-hand` it
plants the slips of tests/suspects/by_hand.yaml, which no table made, and counts them by class.
"""

from __future__ import annotations

import argparse
import math
import random
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from gonogo import _with_catalogue
from gonogo.documents.profile import Profile
from gonogo.documents.wire_gauge import gauge_of_section
from gonogo.judgement.evaluation import mode_books
from gonogo.judgement.judge import judge
from gonogo.quantities.book import Book
from gonogo.quantities.number import is_number
from gonogo.suspicion.digits import exchanged, misread
from gonogo.suspicion.explaining import is_stopped
from gonogo.suspicion.hypotheses import _swapped
from gonogo.suspicion.ranking import stopping
from gonogo.suspicion.single_cause import LEAST_EXPLAINED, single_cause
from gonogo.suspicion.sites import Change, Site, sites_of, with_changes
from gonogo.suspicion.slip_rows import SlipRow, slip_table
from gonogo.tables.table import table

from tests.suspects.by_hand import asked_about, hand_slips, told_of

ROOT = Path(__file__).parents[2]
AS_OF = "2026-11-25"
NOT_SAID = -1  # the place of what a check says nothing of
DIGITS = 4  # to which a builder rounds what he converted


class Planted(NamedTuple):
    """A slip in a sound vehicle: the entries that it spoiled, and what it is called."""

    slip: str
    changes: tuple[Change, ...]


def sound_examples() -> list[Path]:
    """Every example, and every vehicle of the hazards, that is GO."""
    folders = [ROOT / "examples", ROOT / "tests" / "hazards" / "sound"]
    paths = sorted(path for folder in folders for path in folder.rglob("*.yaml"))
    return [path for path in paths if "gonogo: profile/1" in path.read_text("utf-8")]


def made(row: SlipRow, site: Site, book: Book) -> Iterator[Any]:
    """The values that a slip makes of what stands at an entry, which is right."""
    changes, entry, entered = row.changes, site.entry, site.given.entered
    if "other" in changes:
        words = [not entered] if entry.kind == "boolean" else entry.choices
        yield from (word for word in words if word not in (entered, "none"))
        return
    if "teeth" in changes:
        keys = ("driving_teeth", "driven_teeth")
        for at in range(len(entered)):
            yield [
                dict(zip(keys, reversed([stage[key] for key in keys]), strict=True))
                if place == at
                else dict(stage)
                for place, stage in enumerate(entered)
            ]
        return
    if not is_number(entered):
        return

    def number(factor: float | str) -> float | None:
        if isinstance(factor, str):
            value = book.operand(factor).value
            return float(value) if is_number(value) and factor != site.quantity else None
        return float(factor)

    values: list[float | None] = []
    if changes.get("digits"):
        values += exchanged(float(entered))
    elif changes.get("misread"):
        values += misread(float(entered))
    elif changes.get("extra"):
        text = f"{entered:g}"
        values += [float(f"1{text}"), float(text[0] + text)] if text[0].isdigit() else []
    elif changes.get("lost"):
        text = f"{entered:g}"
        values += [float(text[1:])] if text.isdigit() and len(text) > 2 and text[1] != "0" else []
    elif changes.get("gauge"):
        values.append(round(gauge_of_section(entered)))
    elif changes.get("diameter"):
        values.append(math.sqrt(entered * 4.0 / math.pi))
    elif changes.get("inverse"):
        values.append(1.0 / entered if entered else None)
    elif changes.get("bases"):
        values += [entered / line["basis"] for line in table("kv_bases")["rows"]]
    elif "times" in changes and "plus" in changes:
        values.append(entered * changes["times"][0] + changes["plus"][0])
    else:
        values += [entered + plus for plus in changes.get("plus", ())]
        values += [entered * factor for factor in map(number, changes.get("times", ())) if factor]
        values += [entered / factor for factor in map(number, changes.get("over", ())) if factor]
    for value in values:
        if value is None or not math.isfinite(value):
            continue
        value = float(f"{value:.{DIGITS - 1}e}")
        if entry.kind == "integer":
            if value != int(value):
                continue
            value = int(value)
        low = entry.lowest is None or value >= entry.lowest
        if low and (entry.highest is None or value <= entry.highest) and value != entered:
            yield value


def neighbours_values(row: SlipRow, sites: Iterable[Site]) -> Iterator[Planted]:
    """Each number with that of another of its unit in its section."""
    numbers = [site for site in sites if is_number(site.given.entered)]
    for site in numbers:
        for other in numbers:
            value, entry = other.given.entered, site.entry
            alike = (entry.unit, site.motors, site.key.rpartition(".")[0]) == (
                other.entry.unit,
                other.motors,
                other.key.rpartition(".")[0],
            )
            fits = (entry.lowest or 0.0) <= value <= (entry.highest or math.inf)
            if alike and fits and value not in (site.given.entered, 0):
                told = int(value) if entry.kind == "integer" else value
                yield Planted(row.slip, (Change(site, told),))


def planted(profile: Profile) -> list[Planted]:
    """Every usual slip of every entry of a sound vehicle."""
    sites = sites_of(profile)
    owners = profile.motors or {"": profile}
    books = {name: mode_books(own, AS_OF)[""] for name, own in owners.items()}
    found = []
    for row in slip_table().slips:
        if "stands" in row.changes:
            continue
        if "beside" in row.changes:
            found += neighbours_values(row, sites)
            continue
        if "swaps" in row.changes:
            found += [Planted(row.slip, one.changes) for one in _swapped(row, sites)]
            continue
        for site in sites:
            if row.befalls(site.entry, site.quantity):
                book = books[site.motors[0] if site.motors else ""]
                found += [
                    Planted(row.slip, (Change(site, value),)) for value in made(row, site, book)
                ]
    return found


def in_turn(every: list[Planted], dice: random.Random) -> Iterator[Planted]:
    """The slips in a random order, one of each kind before any comes again."""
    dice.shuffle(every)
    rounds: dict[str, int] = {}
    numbered = []
    for one in every:
        rounds[one.slip] = rounds.get(one.slip, 0) + 1
        numbered.append((rounds[one.slip], one))
    return (one for _, one in sorted(numbered, key=lambda pair: pair[0]))


class Tried(NamedTuple):
    """A planted slip: at which place its entry's class came, 0 for nowhere, in how many checks' time."""

    file: str
    planted: Planted
    place: int
    checks: float


def places(path: Path, each: int, dice: random.Random, motors: bool) -> Iterator[Tried]:
    """A sample of the slips of one vehicle that make a danger or fault, each asked about."""
    from gonogo.suspicion.ranking import ranked

    profile, catalogue = _with_catalogue(path)
    if bool(profile.motors) != motors:
        return
    if is_stopped(judge(profile, catalogue, AS_OF)):
        return
    left = each
    for one in in_turn(planted(profile), dice):
        if not left:
            return
        spoiled = with_changes(profile, one.changes)
        began = time.process_time()
        judgement = judge(spoiled, catalogue, AS_OF)
        check_s = time.process_time() - began
        if not is_stopped(judgement):
            continue
        left -= 1
        began = time.process_time()
        found = ranked(spoiled, catalogue, AS_OF, judgement)
        spent_s = time.process_time() - began
        keys = {change.site.key for change in one.changes}
        named = [set(suspect.same_class) for suspect in found.suspects]
        place = next((at for at, names in enumerate(named, 1) if keys & names), 0)
        yield Tried(path.stem, one, place, spent_s / check_s)


def at_end(path: Path, each: int, dice: random.Random) -> Iterator[Tried]:
    """The same of what the last line of a check names: its place is 1, or 0 where it names nothing of it."""
    profile, catalogue = _with_catalogue(path)
    if profile.motors or is_stopped(judge(profile, catalogue, AS_OF)):
        return
    left = each
    for one in in_turn(planted(profile), dice):
        if not left:
            return
        spoiled = with_changes(profile, one.changes)
        began = time.process_time()
        judgement = judge(spoiled, catalogue, AS_OF)
        check_s = time.process_time() - began
        if len({finding.rule.id for finding in stopping(judgement)}) < LEAST_EXPLAINED:
            continue
        left -= 1
        began = time.process_time()
        found = single_cause(spoiled, catalogue, AS_OF, judgement)
        spent_s = time.process_time() - began
        named = () if found is None else found.hypothesis.changes
        keys = {change.site.key for change in one.changes}
        place = int(bool(keys & {change.site.key for change in named}))
        yield Tried(path.stem, one, place if named else NOT_SAID, spent_s / check_s)


def by_hand() -> None:
    """Print how many of the slips written by hand are named, and where, by batch and class."""
    counted: dict[tuple[int, str], Counter[str]] = {}
    with TemporaryDirectory() as folder:
        for slip in hand_slips():
            told = told_of(slip, asked_about(slip, Path(folder)))
            counted.setdefault((slip.batch, slip.sort), Counter())[told] += 1
            if told == "misleading":
                print(f"misleading: {slip.vehicle} {slip.edits}")
    for (batch, sort), places in counted.items():
        print(f"  {batch} {sort}: {', '.join(f'{told} {n}' for told, n in places.most_common())}")
    for batch in (1, 2):
        whole = sum((one for (number, _), one in counted.items() if number == batch), Counter())
        print(f"batch {batch}: {', '.join(f'{told} {n}' for told, n in whole.most_common())}")


def shares(tried: list[Tried]) -> tuple[float, float]:
    """The shares of planted entries named first, and among the first three."""
    first = sum(one.place == 1 for one in tried) / len(tried)
    return first, sum(1 <= one.place <= 3 for one in tried) / len(tried)


def main() -> None:
    """Print the shares and the slips that were not named among three."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--each", type=int, default=10, help="slips of each vehicle")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--at-end", action="store_true", help="the last line of a check")
    asked.add_argument("--motors", action="store_true", help="vehicles of several motors")
    asked.add_argument("--only", default="", help="part of a file's name")
    asked.add_argument("--of", default="", help="part of a slip's name")
    asked.add_argument("--misses", type=int, default=40)
    asked.add_argument("--by-hand", action="store_true", help="slips written by hand")
    options = asked.parse_args()
    if options.by_hand:
        by_hand()
        return
    dice = random.Random(options.seed)
    tried: list[Tried] = []
    for path in sound_examples():
        if options.only in path.stem:
            if options.at_end:
                tried += at_end(path, options.each, dice)
            else:
                tried += places(path, options.each, dice, options.motors)
    if not tried:
        print("nothing tried")
        return
    first, three = shares(tried)
    checks = sorted(one.checks for one in tried)
    print(f"tried {len(tried)}: first {first:.1%}, among three {three:.1%}")
    if options.at_end:
        print(f"nothing said: {sum(one.place == NOT_SAID for one in tried)}")
    print(f"checks: median {checks[len(checks) // 2]:.1f}, most {checks[-1]:.1f}")
    of_slip = Counter(one.planted.slip for one in tried)
    missed = Counter(one.planted.slip for one in tried if one.place != 1)
    for slip, count in of_slip.most_common():
        print(f"  {slip}: {count}, not first {missed[slip]}")
    for one in [one for one in tried if one.place not in (1, 2, 3)][: options.misses]:
        told = [f"{c.site.key} {c.site.given.entered}->{c.entered}" for c in one.planted.changes]
        print(f"  {one.file}: {one.planted.slip} {', '.join(told)}: {one.place}")


if __name__ == "__main__":
    main()
