"""Who takes up a part, a key of the house file or a rule, and what would be if it were another."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from .. import __version__
from ..comparison.comparison import compare, judged_side
from ..comparison.uses import PartUse, RuleUse, UseTarget, part_use, rule_states, worst_state_first
from ..comparison.what_if import WhatIf, WouldBe, worst_outcome_first, would_be
from ..documents.document import try_document
from ..documents.error import DocumentError, DocumentErrors, NoProfile, UsageError
from ..documents.files import HOUSE_FILE
from ..documents.loading import check_document, load_profile
from ..documents.part_references import PartReference, part_references
from ..documents.profile import TriedValue
from ..documents.repository import Repository, real_place
from ..documents.search import Listed, Search, find
from ..documents.text import clean
from ..documents.trial import TrialTree, refuse_new_errors, with_all
from ..documents.trial_values import OPTION, TrialEntry, trials_of, tried_value, value_to_try
from ..judgement.site_rules import shop_of
from ..reports.uses import NamingPart, Uses
from .batch import Shops, unread
from .output import shown_from
from .slips import hint
from .use_target import house_value, keys_in_house, rules_asked, target_of

EMPTY_HOUSE = b"gonogo: house/1\n"
NONE_TO_SET = "--set: a rule has no value to try; expected a part's file or house.NAME before it."


def uses_of(
    asked: str, paths: Sequence[Path], tried: Sequence[str], judged_on: str, form: str = "text"
) -> Uses:
    """Every vehicle under some paths that takes up what was asked about.

    With values `tried` in a part's file (key=value) or for a key of the house file (one value) also what
    each would come to. Raises UsageError for a name or a value that means nothing.
    """
    search = find(paths, shown_from(paths, form))
    if not search.profiles and not search.errors:
        raise NoProfile([str(path) for path in paths])
    return _UseSearch(search, judged_on).uses(asked, tried)


class _UseSearch:
    """The vehicles found, judged as far as the question needs it."""

    def __init__(self, search: Search, judged_on: str) -> None:
        self.search, self.judged_on = search, judged_on
        self.shops = Shops()
        self.ways: dict[int, set[str]] = {}  # by which the part is read, links among them
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
        self.ways.setdefault(id(listed.repository), set()).update(one.path for one in known)
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
        uses: list[RuleUse] = []
        for listed in self.search.profiles:
            catalogue = self.shops.of(listed.repository).catalogue
            try:
                profile = load_profile(listed.repository, listed.path)
            except DocumentErrors as broken:
                self.met += [(error, listed.file) for error in broken.errors]
                continue
            asked = rules_asked(target, catalogue, profile.house)
            side = judged_side(profile, catalogue, self.judged_on)
            uses.append(RuleUse(listed.file, profile.name, rule_states(side, catalogue, asked)))
        return sorted(uses, key=_worst_use_first)

    def _what_if(
        self, target: UseTarget, tried: Sequence[str], by_part: Sequence[tuple[Listed, PartUse]]
    ) -> WhatIf:
        """Every vehicle that takes up what was asked about, as it is and as it would be."""
        if target.kind == "part":
            asked = [listed for listed, use in by_part if use.read]
            changed = _PartTrial(target, tried, self.ways).repository
        else:
            asked = list(self.search.profiles)
            changed = _HouseTrial(target, tried).repository
        told: TriedValue | None = None
        outcomes: list[WouldBe] = []
        trees: dict[int, tuple[Repository, Repository]] = {}
        for listed in asked:
            own = listed.repository
            if id(own) not in trees:
                tree, value = changed(own)
                trees[id(own)] = (own, tree)
                told = told or value
            outcome = self._outcome(listed, trees[id(own)][1])
            outcomes += [outcome] if outcome is not None else []
        if told is None:
            raise UsageError(f"No vehicle that can be read takes up {target.name}: nothing to try.")
        return WhatIf(told, tuple(sorted(outcomes, key=worst_outcome_first)))

    def _outcome(self, listed: Listed, tree: Repository) -> WouldBe | None:
        try:
            was = load_profile(listed.repository, listed.path)
            now = load_profile(tree, listed.path)
        except DocumentErrors as broken:
            self.met += [(error, listed.file) for error in broken.errors]
            return None
        catalogue = self.shops.of(tree).catalogue
        before = judged_side(was, self.shops.of(listed.repository).catalogue, self.judged_on)
        after = judged_side(now, catalogue, self.judged_on)
        return would_be(compare(before, after, catalogue, in_full=False))


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


ChangedTree = Callable[[Repository], tuple[Repository, TriedValue]]


class _PartTrial:
    """A part's file with values tried in it."""

    def __init__(
        self, target: UseTarget, texts: Sequence[str], ways: Mapping[int, set[str]]
    ) -> None:
        assert target.path is not None
        self.ways = ways
        if not os.path.lexists(target.path):
            raise UsageError(f"{clean(target.name)} is not there: nothing to try a value in.")
        self.path = real_place(target.path)
        self.trials = trials_of(texts)

    def repository(self, own: Repository) -> tuple[Repository, TriedValue]:
        """A repository as it would be; raises UsageError for a value that the part cannot have."""
        root = Path(getattr(own.files, "root", ""))
        inside = Path(os.path.realpath(self.path)).relative_to(os.path.realpath(root)).as_posix()
        reading = try_document(own.files, inside, "part")
        keys = list(reading.document.value) if reading.document is not None else []
        kind = next((key for key in keys if key not in ("gonogo", "part")), "")
        trials = [one if one.keys[0] in keys else _below(kind, one) for one in self.trials]
        paths = {inside, *self.ways.get(id(own), ())}
        tree = _tree(own, paths, own.files.read(inside), trials)
        new = DocumentErrors(check_document(tree, inside, "part"))
        refuse_new_errors(new, DocumentErrors(check_document(own, inside, "part")), trials)
        told = tried_value(trials[0], reading.document, None)
        names = " and ".join(f"{one.key}: {one.tried.typed}" for one in trials[1:])
        value = f"{told.value} and {names}" if names else told.value
        return tree, replace(told, value=value, file=own.named(inside))


def _below(kind: str, trial: TrialEntry) -> TrialEntry:
    return trial._replace(keys=(kind, *trial.keys))


class _HouseTrial:
    """A house file with a value tried for one of its keys; where there is none it would be a new one."""

    def __init__(self, target: UseTarget, texts: Sequence[str]) -> None:
        if len(texts) > 1:
            raise UsageError(f"--set: expected one value of {target.name}.")
        self.keys = keys_in_house(target)
        told = f"{OPTION}{clean(texts[0])}"
        self.trial = TrialEntry(texts[0], self.keys, value_to_try(texts[0], told))

    def repository(self, own: Repository) -> tuple[Repository, TriedValue]:
        """A repository as it would be; raises UsageError for a value that the key cannot have."""
        there = own.files.exists(HOUSE_FILE)
        data = own.files.read(HOUSE_FILE) if there else EMPTY_HOUSE
        tree = _tree(own, {HOUSE_FILE}, data, [self.trial])
        new, known = DocumentErrors(shop_of(tree).errors), DocumentErrors(shop_of(own).errors)
        refuse_new_errors(new, known, [self.trial])
        document = try_document(own.files, HOUSE_FILE, "house").document if there else None
        told = tried_value(self.trial, document, None)
        return tree, replace(told, file=own.named(HOUSE_FILE))


def _tree(
    own: Repository, paths: Collection[str], data: bytes, trials: Sequence[TrialEntry]
) -> Repository:
    """A repository in which one file, by whatever paths it is read, has other values."""
    data = with_all(data, trials, own.named(min(paths)))
    return Repository(TrialTree(own.files, dict.fromkeys(paths, data)), own.strays)
