"""Trials: profiles loaded with values that their files do not hold, and nothing written.

A value goes into the text of the document as an edit would put it there, so that the same readers and
the same schema judge it, and what comes of it is what would come of the edit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from .document import try_document
from .error import DocumentErrors, EditError, UsageError
from .files import BEGINNING, Files, Listing
from .loading import load_profile
from .part_references import PartReference, part_references
from .profile import Override, Profile, TriedValue
from .repository import Repository
from .text import clean
from .trial_edit import with_value
from .trial_values import OPTION, TrialEntry, trial_place, tried_value
from .yaml_tree import grow


class TrialTree(NamedTuple):
    """A tree of files of which some read otherwise than they lie there."""

    files: Files
    changed: Mapping[str, bytes]

    @property
    def prefix(self) -> str:
        """What stands before a path of this tree when it is shown."""
        return self.files.prefix

    @property
    def start(self) -> str:
        """The folder inside the root from which its paths are shown."""
        return str(getattr(self.files, "start", ""))

    def read(self, path: str) -> bytes:
        """The bytes of one file; raises UnreadableFile."""
        return self.changed[path] if path in self.changed else self.files.read(path)

    def begin(self, path: str) -> bytes:
        """The first bytes of one file; raises UnreadableFile."""
        known = self.changed.get(path)
        return self.files.begin(path) if known is None else known[:BEGINNING]

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        return path in self.changed or self.files.exists(path)

    def paths(self, below: str = "") -> Listing:
        """The YAML files below a folder."""
        return self.files.paths(below)


class Trials:
    """Profiles as they would be with some values; those of one repository share its other files."""

    def __init__(self, trials: Sequence[TrialEntry]) -> None:
        self.trials = trials
        self._opened: dict[int, tuple[Repository, Repository, dict[str, bytes]]] = {}

    def load(self, repository: Repository, path: str) -> Profile:
        """A profile with the values tried.

        Raises DocumentErrors where its files cannot be read as they are, and UsageError where they
        could, and not with these values.
        """
        known: Profile | DocumentErrors
        try:
            known = load_profile(repository, path)
        except DocumentErrors as broken:
            known = broken
        file = repository.named(path)
        try:
            data = with_all(repository.files.read(path), self.trials, file)
        except (EditError, UsageError):
            if isinstance(known, DocumentErrors):
                raise known from None  # that has to be seen to first
            raise
        tree, changed = self._tree(repository)
        changed[path] = data
        profile = self._loaded(tree, path, known)
        raised = self._raised(profile, data, path) if profile.overrides or profile.motors else []
        if raised:
            return self._in_parts(repository, path, known, raised)
        return replace(profile, tried=tuple(self._told(repository, path, known)))

    def _told(
        self, repository: Repository, path: str, known: Profile | DocumentErrors
    ) -> list[TriedValue]:
        document = try_document(repository.files, path).document
        profile = known if isinstance(known, Profile) else None
        return [tried_value(one, document, profile) for one in self.trials]

    def _tree(self, repository: Repository) -> tuple[Repository, dict[str, bytes]]:
        opened = self._opened.get(id(repository))
        if opened is None:
            changed: dict[str, bytes] = {}
            files = TrialTree(repository.files, changed)
            opened = (repository, Repository(files, repository.strays), changed)
            self._opened[id(repository)] = opened
        return opened[1:]

    def _loaded(self, tree: Repository, path: str, known: Profile | DocumentErrors) -> Profile:
        """The profile of a changed tree; what is wrong only there is wrong usage."""
        try:
            return load_profile(tree, path)
        except DocumentErrors as broken:
            refuse_new_errors(
                broken, known if isinstance(known, DocumentErrors) else None, self.trials
            )
            raise

    def _raised(self, profile: Profile, data: bytes, path: str) -> list[TrialEntry]:
        """The values that promise more than the part below them, which a profile may not say."""
        root = grow(data.decode("utf-8-sig"), profile.file).root
        every = [one for each in (profile, *profile.motors.values()) for one in each.overrides]
        places = {one.place for one in every if promises_more(one)}
        return [
            one for one in self.trials if places and trial_place(root, one, profile.file) in places
        ]

    def _in_parts(
        self,
        repository: Repository,
        path: str,
        known: Profile | DocumentErrors,
        raised: list[TrialEntry],
    ) -> Profile:
        """The profile as if the parts themselves said what it may not say beside them."""
        file, references = repository.named(path), part_references(repository, path)
        root = try_document(repository.files, path).document
        has = [one for one in raised if root and trial_place(root.root, one, file) is not None]
        own = [one for one in self.trials if one not in raised or one in has]
        changed = {path: with_all(repository.files.read(path), own, file)}
        told = {one.key: one for one in self._told(repository, path, known)}
        for trial in raised:
            part = _innermost(references, trial)
            if part is None:
                continue
            kind = next(
                k for k in repository.document(part.path).value if k not in ("gonogo", "part")
            )
            rest = trial.keys[len(part.section.split(".")) :]
            name = repository.named(part.path)
            before = changed.get(part.path) or repository.files.read(part.path)
            inside = trial._replace(keys=(kind, *rest))
            changed[part.path] = with_all(before, [inside], name)
            told[trial.key] = replace(told[trial.key], file=name, in_part=True)
        tree = Repository(TrialTree(repository.files, changed), repository.strays)
        return replace(self._loaded(tree, path, known), tried=tuple(told.values()))


def promises_more(override: Override) -> bool:
    """Whether a key beside a part rates it higher than the part itself does."""
    value, below = override.value, override.part_value
    if not isinstance(value, int | float) or not isinstance(below, int | float):
        return False
    return (
        value > below
        if override.rating == "upper"
        else (override.rating == "lower" and value < below)
    )


def refuse_new_errors(
    broken: DocumentErrors, known: DocumentErrors | None, trials: Sequence[TrialEntry]
) -> None:
    """Raise UsageError for what is wrong with a document only since values were tried in it."""
    before = {_gist(error) for error in known.errors} if known is not None else set()
    new = [error for error in broken.errors if _gist(error) not in before]
    if new:
        error = new[0]
        blamed = [one for one in trials if any(f"`{key}`" in error.found for key in one.keys)]
        text = " ".join(f"{OPTION}{one.text}" for one in (blamed or trials)[:1])
        raise UsageError(f"{clean(text)}, in {error.file}: {error.message}")


def _gist(error: Any) -> tuple[object, ...]:
    return type(error), error.file, error.found, error.wanted


def with_all(data: bytes, trials: Iterable[TrialEntry], file: str) -> bytes:
    """The bytes of a file with all values; raises UsageError for one that finds no place there."""
    for trial in trials:
        try:
            data = with_value(data, trial.keys, trial.tried, file)
        except EditError as broken:
            told = f"{OPTION}{clean(trial.text)}, in {file}"
            raise UsageError(f"{told}: found {broken.found}; expected {broken.wanted}.") from broken
    return data


def _innermost(references: Iterable[PartReference], trial: TrialEntry) -> PartReference | None:
    """The part whose section lies nearest around an entry."""
    around = [one for one in references if trial.key.startswith(f"{one.section}.")]
    return max(around, key=lambda one: (len(one.section), -len(one.through)), default=None)
