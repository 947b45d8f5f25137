"""Profiles held in memory, changed and compared."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gonogo.comparison.comparison import Comparison, compare
from gonogo.comparison.finding_change import JudgedSide
from gonogo.comparison.judged_side import judged_side
from gonogo.documents.error import UnreadableFile
from gonogo.documents.files import Listing
from gonogo.documents.loading import load_profile
from gonogo.documents.profile import Profile
from gonogo.documents.repository import Repository
from gonogo.judgement.site_rules import shop_of

TESTS = Path(__file__).parents[1]
EXAMPLES = TESTS.parent / "examples"
STORIES = TESTS / "catalogue" / "stories"
JUDGED_ON = "2026-11-25"
Plain = dict[str, Any]


@dataclass(frozen=True)
class Memory:
    """A tree of files that lies nowhere."""

    texts: Mapping[str, str]
    prefix: str = ""

    def read(self, path: str) -> bytes:
        if path not in self.texts:
            raise UnreadableFile(path, 1, 1, "no such file", "a YAML file")
        return self.texts[path].encode()

    def begin(self, path: str) -> bytes:
        return self.read(path)

    def exists(self, path: str) -> bool:
        return path in self.texts

    def paths(self, below: str = "") -> Listing:
        names = [path for path in self.texts if path.startswith(f"{below}/" if below else "")]
        return Listing(tuple(sorted(names)))


def bench_of(texts: Mapping[str, str], path: str = "bike.yaml") -> tuple[JudgedSide, Any]:
    """A profile of some files, judged, and the catalogue it was judged by."""
    repository = Repository(Memory(texts))
    shop = shop_of(repository)
    assert not shop.errors
    return judged_side(load_profile(repository, path), shop.catalogue, JUDGED_ON), shop.catalogue


def compared_texts(old: Mapping[str, str], new: Mapping[str, str]) -> Comparison:
    """Two trees of files compared."""
    (was, _), (now, known) = bench_of(old), bench_of(new)
    return compare(was, now, known)


def profile_of(document: Plain) -> Profile:
    """A document as a profile."""
    return load_profile(Repository(Memory({"bike.yaml": json.dumps(document)})), "bike.yaml")


def compared(old: Plain, new: Plain, **more: str) -> Comparison:
    """Two documents compared; `more` are other files that both sides have."""
    files = {name.replace("__", "/") + ".yaml": text for name, text in more.items()}
    return compared_texts(
        {**files, "bike.yaml": json.dumps(old)}, {**files, "bike.yaml": json.dumps(new)}
    )


def changed(document: Plain, changes: Mapping[str, Any]) -> Plain:
    """A copy of a document with values set at dotted paths; None takes one away."""
    result = copy.deepcopy(document)
    for path, value in changes.items():
        *way, last = path.split(".")
        section = result
        for name in way:
            if not isinstance(section.get(name), dict):
                section[name] = {}
            section = section[name]
        if value is None:
            section.pop(last, None)
        else:
            section[last] = value
    return result
