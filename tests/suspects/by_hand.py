"""Slips written by hand, planted into vehicles: what a suspect search says of each."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Literal, NamedTuple

import gonogo
from gonogo.documents.error import DocumentErrors
from gonogo.suspicion.ranking import Suspects
from ruamel.yaml import YAML

ROOT = Path(__file__).parents[2]
WORKSHOP = ROOT / "examples" / "workshop"
ALONE = (Path(__file__).parent / "builds", ROOT / "tests" / "hazards" / "sound")
DAY = "2026-11-27"
Told = Literal[
    "first", "three", "later", "not named", "silent", "misleading", "no finding", "refused"
]


class HandSlip(NamedTuple):
    """One slip: its class, the vehicle, what of its text is replaced, and the entries that are wrong."""

    batch: int
    sort: str
    vehicle: str
    entries: tuple[str, ...]
    edits: tuple[tuple[str, str], ...]


def hand_slips() -> Iterator[HandSlip]:
    """All of them, in the order of the file."""
    text = (Path(__file__).parent / "by_hand.yaml").read_text("utf-8")
    for row in YAML(typ="safe").load(text)["slips"]:
        edits = tuple((old, new) for old, new in row["edits"])
        yield HandSlip(row["batch"], row["class"], row["vehicle"], tuple(row["entries"]), edits)


def planted_at(slip: HandSlip, folder: Path) -> Path:
    """The vehicle with the slip, in a folder of its own beside the parts that it takes."""
    shop = folder / "workshop"
    if not shop.exists():
        shutil.copytree(WORKSHOP, shop)
    name = f"{slip.vehicle}.yaml"
    source = next((one / name for one in ALONE if (one / name).exists()), None)
    text = (source or WORKSHOP / "vehicles" / name).read_text("utf-8")
    for old, new in slip.edits:
        assert text.count(old) == 1, (slip.vehicle, old)
        text = text.replace(old, new)
    path = (folder if source else shop / "vehicles") / f"spoiled-{name}"
    path.write_text(text, "utf-8")
    return path


def asked_about(slip: HandSlip, folder: Path) -> Suspects | None:
    """What is said of the vehicle; None where its document is refused."""
    try:
        return gonogo.suspects(planted_at(slip, folder), DAY)
    except DocumentErrors:
        return None


def told_of(slip: HandSlip, found: Suspects | None) -> Told:
    """Where the entry is named; misleading is another that is said to be likelier than not."""
    if found is None:
        return "refused"
    if not found.stops:
        return "no finding"
    if not found.suspects:
        return "silent"
    wrong = set(slip.entries)
    places = [at for at, one in enumerate(found.suspects, 1) if wrong & set(one.same_class)]
    if places[:1] == [1]:
        return "first"
    if found.stands_out:
        return "misleading"
    return "not named" if not places else "three" if places[0] <= 3 else "later"
