"""What vehicles come to with a value tried in a part or house file, and what rules say there, a vehicle each."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from ..comparison.comparison import compare
from ..comparison.judged_side import judged_side
from ..comparison.uses import RuleUse, UseTarget, rule_states
from ..comparison.what_if import WouldBe, would_be
from ..documents.document import try_document
from ..documents.error import DocumentErrors, UsageError
from ..documents.files import HOUSE_FILE
from ..documents.loading import check_document, load_profile
from ..documents.profile import TriedValue
from ..documents.repository import Repository, real_place
from ..documents.search import Listed
from ..documents.text import clean
from ..documents.trial import TrialTree, refuse_new_errors, with_all
from ..documents.trial_values import OPTION, TrialEntry, trials_of, tried_value, value_to_try
from ..judgement.site_rules import shop_of
from .batch import Order, Result, Shops
from .use_target import keys_in_house, rules_asked

EMPTY_HOUSE = b"gonogo: house/1\n"
VEHICLES_OF_A_PROCESS = 20  # vehicles


class RuleUser:
    """Says what the rules asked about come to on a vehicle."""

    def __init__(self, target: UseTarget, order: Order) -> None:
        self.target, self.judged_on = target, order.judged_on
        self.shops = Shops()

    def result(self, listed: Listed) -> Result[RuleUse]:
        """A vehicle's states, unless errors keep it from being read."""
        catalogue = self.shops.of(listed.repository).catalogue
        try:
            profile = load_profile(listed.repository, listed.path)
        except DocumentErrors as broken:
            return Result(listed.file, None, broken.errors)
        asked = rules_asked(self.target, catalogue, profile.house)
        side = judged_side(profile, catalogue, self.judged_on)
        states = rule_states(side, catalogue, asked)
        return Result(listed.file, RuleUse(listed.file, profile.name, states))


class WhatIfUser:
    """Holds a vehicle as it would be beside what it is."""

    def __init__(self, trial: UseTrial, order: Order) -> None:
        self.trial, self.judged_on = trial, order.judged_on
        self.shops = Shops()
        self.trees: dict[int, tuple[Repository, Repository]] = {}

    def result(self, listed: Listed) -> Result[WouldBe]:
        """What would become of a vehicle, unless errors keep a side from being read."""
        own = listed.repository
        if id(own) not in self.trees:
            self.trees[id(own)] = (own, self.trial.repository(own)[0])
        tree = self.trees[id(own)][1]
        try:
            was = load_profile(own, listed.path)
            now = load_profile(tree, listed.path)
        except DocumentErrors as broken:
            return Result(listed.file, None, broken.errors)
        catalogue = self.shops.of(tree).catalogue
        before = judged_side(was, self.shops.of(own).catalogue, self.judged_on)
        after = judged_side(now, catalogue, self.judged_on, before=before)
        return Result(listed.file, would_be(compare(before, after, catalogue, in_full=False)))


class UseTrial:
    """Values tried in what was asked about; `ways` are the paths of a part, by the top of each shop."""

    def __init__(
        self, target: UseTarget, texts: tuple[str, ...], ways: Mapping[str, frozenset[str]]
    ) -> None:
        is_part = target.kind == "part"
        self.inner = _PartTrial(target, texts, ways) if is_part else _HouseTrial(target, texts)

    def repository(self, own: Repository) -> tuple[Repository, TriedValue]:
        """A repository as it would be; raises UsageError for a value that cannot be there."""
        return self.inner.repository(own)


class _PartTrial:
    """A part's file with values tried in it."""

    def __init__(
        self, target: UseTarget, texts: Sequence[str], ways: Mapping[str, frozenset[str]]
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
        paths = {inside, *self.ways.get(str(root), ())}
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
