"""Who takes up a part, a key of the house file or a rule, and what would be if it were another."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TypeVar

from .. import __version__
from ..comparison.uses import PartUse, RuleUse, UseTarget, part_use, worst_state_first
from ..comparison.what_if import WhatIf, worst_outcome_first
from ..documents.document import try_document
from ..documents.error import DocumentError, DocumentErrors, NoProfile, UsageError
from ..documents.loading import load_profile
from ..documents.part_references import PartReference, part_references
from ..documents.repository import Repository, real_place
from ..documents.search import Listed, Search, find
from ..documents.text import clean
from ..reports.layout import Page
from ..reports.uses import NamingPart, Uses
from .batch import Order, Shops, Worker, results, unread
from .output import shown_from
from .slips import hint
from .use_target import house_value, target_of
from .use_trial import VEHICLES_OF_A_PROCESS, RuleUser, UseTrial, WhatIfUser

_Come = TypeVar("_Come")
NONE_TO_SET = "--set: a rule has no value to try; expected a part's file or house.NAME before it."


def uses_of(
    asked: str,
    paths: Sequence[Path],
    tried: Sequence[str],
    judged_on: str,
    form: str = "text",
    jobs: int = 1,
) -> Uses:
    """Every vehicle under some paths that takes up what was asked about.

    With values `tried` in a part's file (key=value) or for a key of the house file (one value) also what
    each would come to. Raises UsageError for a name or a value that means nothing.
    """
    search = find(paths, shown_from(paths, form))
    if not search.profiles and not search.errors:
        raise NoProfile([str(path) for path in paths])
    return _UseSearch(search, judged_on, jobs).uses(asked, tried)


class _UseSearch:
    """The vehicles found, judged as far as the question needs it."""

    def __init__(self, search: Search, judged_on: str, jobs: int) -> None:
        self.search, self.judged_on, self.jobs = search, judged_on, jobs
        self.shops = Shops()
        self.ways: dict[str, set[str]] = {}  # by which the part is read, links among them
        self.met: list[tuple[DocumentError, str | None]] = [(one, None) for one in search.errors]

    def uses(self, asked: str, tried: Sequence[str]) -> Uses:
        repositories = {id(one.repository): one.repository for one in self.search.profiles}
        catalogues = [self.shops.of(one).catalogue for one in repositories.values()]
        target = target_of(asked, self.search, catalogues)
        if tried and target.kind == "rule":
            raise UsageError(NONE_TO_SET)
        for repository in repositories.values() if target.kind != "part" else ():
            self.met += [(error, None) for error in self.shops.of(repository).errors]
        by_part = self._by_part(target) if target.kind == "part" else []
        naming = self._naming_parts(target)
        if not (by_part or naming):
            self._refuse_unknown_part(target)
        by_rule = self._by_rule(target) if target.kind != "part" and not tried else []
        what_if = self._what_if(target, tried, by_part) if tried else None
        values = (
            {house_value(target, one.house()) for one in _readable(repositories.values())}
            if (target.kind == "house")
            else set()
        )
        return Uses(
            target=target,
            judged_on=self.judged_on,
            tool=__version__,
            vehicles=len(self.search.profiles),
            exists=target.path is None or os.path.lexists(target.path),
            values=tuple(sorted(values)),
            by_part=tuple(use for _, use in by_part),
            by_rule=tuple(by_rule),
            parts=naming,
            what_if=what_if,
            unread=unread(self.met),
        )

    def _by_part(self, target: UseTarget) -> list[tuple[Listed, PartUse]]:
        """Each vehicle that takes a part; what cannot be read is told, and by its name."""
        found: list[tuple[Listed, PartUse]] = []
        for listed in self.search.profiles:
            known = self._leading_to(listed, target)
            if not known:
                continue
            repository = listed.repository
            try:
                profile = load_profile(repository, listed.path)
            except DocumentErrors as broken:
                self.met += [(error, listed.file) for error in broken.errors]
                found.append((listed, _unread_use(listed, known)))
                continue
            part = repository.named(known[0].path)
            found.append((listed, part_use(profile, listed.file, known, part)))
        return found

    def _leading_to(self, listed: Listed, target: UseTarget) -> list[PartReference]:
        """The references of a document that lead to the part, links followed."""
        assert target.path is not None
        asked = os.path.realpath(real_place(target.path))
        root = str(getattr(listed.repository.files, "root", ""))
        references = part_references(listed.repository, listed.path)
        known = [
            one for one in references if os.path.realpath(os.path.join(root, one.path)) == asked
        ]
        named = listed.repository.named
        known = [one._replace(through=tuple(map(named, one.through))) for one in known]
        self.ways.setdefault(root, set()).update(one.path for one in known)
        return known

    def _naming_parts(self, target: UseTarget) -> tuple[NamingPart, ...]:
        """The parts that name a part themselves."""
        if target.kind != "part":
            return ()
        return tuple(
            NamingPart(one.file, leading[0].place.line)
            for one in self.search.others
            if one.kind == "part" and (leading := self._leading_to(one, target))
            if not leading[0].through
        )

    def _refuse_unknown_part(self, target: UseTarget) -> None:
        """A file that is not there and that nobody names is a slip."""
        if target.path is None or os.path.lexists(target.path):
            return
        parts = [one.file for one in self.search.others if one.kind == "part"]
        said = hint(target.name, parts, "Expected the file of a part.")
        raise UsageError(f"{clean(target.name)} is not there, and nothing names it. {said}")

    def _by_rule(self, target: UseTarget) -> list[RuleUse]:
        uses = self._worked(self.search.profiles, partial(RuleUser, target))
        return sorted(uses, key=_worst_use_first)

    def _worked(
        self, profiles: Sequence[Listed], worker: Callable[[Order], Worker[Listed, _Come]]
    ) -> list[_Come]:
        """What vehicles come to, worked out by several processes; errors are among those met."""
        order = Order("uses", Page(), self.judged_on, strict=False)
        worked = results(profiles, order, worker, self.jobs, VEHICLES_OF_A_PROCESS)
        self.met += [(error, one.file) for one in worked for error in one.errors]
        return [one.share for one in worked if one.share is not None]

    def _what_if(
        self, target: UseTarget, tried: Sequence[str], by_part: Sequence[tuple[Listed, PartUse]]
    ) -> WhatIf:
        """Every vehicle that takes up what was asked about, as it is and as it would be."""
        if target.kind == "part":
            asked = [listed for listed, use in by_part if use.read]
        else:
            asked = list(self.search.profiles)
        trial = UseTrial(
            target, tuple(tried), {root: frozenset(w) for root, w in self.ways.items()}
        )
        once = {id(one.repository): one.repository for one in asked}
        told = [trial.repository(own)[1] for own in once.values()]  # refused before any is judged
        outcomes = self._worked(asked, partial(WhatIfUser, trial))
        if not told:
            raise UsageError(f"No vehicle that can be read takes up {target.name}: nothing to try.")
        return WhatIf(told[0], tuple(sorted(outcomes, key=worst_outcome_first)))


def _readable(repositories: Iterable[Repository]) -> list[Repository]:
    """The repositories whose house file can be read; what is wrong with another is told already."""
    found = []
    for repository in repositories:
        try:
            repository.house()
        except DocumentErrors:
            continue
        found.append(repository)
    return found


def _unread_use(listed: Listed, known: Sequence[PartReference]) -> PartUse:
    document = try_document(listed.repository.files, listed.path).document
    vehicle = document.value.get("vehicle") if document is not None else None
    name = vehicle.get("name") if isinstance(vehicle, dict) else None
    sections = tuple(dict.fromkeys(one.section for one in known))
    through = tuple(dict.fromkeys(way for one in known for way in one.through))
    place = known[0].place
    told = name if isinstance(name, str) else listed.file
    return PartUse(listed.file, told, sections, through, place.file, place.line, (), (), False)


def _worst_use_first(use: RuleUse) -> tuple[object, ...]:
    worst = use.worst
    return (worst is None, *(worst_state_first(worst) if worst is not None else ()), use.file)
