"""The parts of a new profile: those that lie in the shop, and label figures kept as a part file."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import NamedTuple

from ..documents.atomic_write import write
from ..documents.error import DocumentError, DocumentErrors, EditError
from ..documents.files import WorkingTree
from ..documents.fresh_file import reason_of
from ..documents.repository import Repository, open_repository
from ..documents.template import TemplateValue, part_text

# Kinds of parts, with the section that each fills.
SECTIONS = {
    "pack": "pack",
    "cell": "pack.cell",
    "controller": "controller",
    "motor": "motor",
    "throttle": "throttle",
}
KEPT = ("pack", "controller", "motor", "throttle")  # of which label figures make a part file
MOST_FILES = 500
_PARTS = "parts"
UNSAFE = re.compile(r"[^a-z0-9]+")


class FoundPart(NamedTuple):
    """A part file of the shop: its kind, its name, and its path from the top."""

    kind: str
    name: str
    path: str
    file: Path


def parts_found(path: Path) -> list[FoundPart]:
    """The parts that lie in the shop of a profile, by kind and name; a broken one is passed over."""
    repository, _ = open_repository(path)
    found = []
    for inside in repository.files.paths().paths[:MOST_FILES]:
        try:
            if repository.kind(inside) == "part":
                found.append(_part(repository, inside))
        except (DocumentError, DocumentErrors):
            continue  # `gonogo check` says what is wrong with it
    return sorted(found)


def _part(repository: Repository, inside: str) -> FoundPart:
    told = repository.document(inside, "part").root.value
    kind = next(kind for kind in SECTIONS if kind in told)
    return FoundPart(kind, told["part"]["name"], inside, _top(repository) / inside)


def _top(repository: Repository) -> Path:
    files = repository.files
    assert isinstance(files, WorkingTree)  # a new profile lies on the disk
    return Path(files.root)


class KeptPart(NamedTuple):
    """A part file to be written, and the entries of the profile that it stands for."""

    kind: str
    file: Path
    text: str
    replaces: tuple[str, ...]

    @property
    def name_in_shop(self) -> str:
        """The last three steps of its path: `parts/motors/wren.yaml`."""
        return Path(*self.file.parts[-3:]).as_posix()


def parts_to_keep(path: Path, values: Mapping[str, TemplateValue], day: str) -> list[KeptPart]:
    """A part file for each part whose figures were given one by one."""
    repository, _ = open_repository(path)
    folder = _top(repository) / _PARTS
    name = str(values["vehicle.name"])
    kept = []
    for kind in KEPT:
        below = f"{kind}."
        names = tuple(key for key in values if key.startswith(below))
        if not names or any(key.endswith(".part") for key in names):
            continue
        figures = {key.removeprefix(below): values[key] for key in names}
        source = f"Label and measurements, entered {day}"
        text = part_text(kind, figures, f"{kind.capitalize()} of {name}", source)
        kept.append(KeptPart(kind, _free(folder / f"{kind}s", name), text, names))
    return kept


def _free(folder: Path, name: str) -> Path:
    """A file name that nothing has yet."""
    stem = UNSAFE.sub("-", name.lower()).strip("-") or "vehicle"
    names = (f"{stem}{number}.yaml" for number in ("", *(f"-{count}" for count in range(2, 100))))
    return next((folder / one for one in names if not os.path.lexists(folder / one)), folder / stem)


def keep_parts(
    path: Path, values: Mapping[str, TemplateValue], kept: Iterable[KeptPart]
) -> dict[str, TemplateValue]:
    """Write the part files, and the entries with each part in the place of its figures.

    Raises EditError for a file that cannot be written.
    """
    whole = dict(values)
    for part in kept:
        try:
            part.file.parent.mkdir(parents=True, exist_ok=True)
        except OSError as trouble:
            raise EditError(str(part.file), reason_of(trouble), "a folder for parts") from trouble
        write(part.file, b"", part.text.encode("utf-8"))
        for name in part.replaces:
            del whole[name]
        whole[f"{part.kind}.part"] = seen_from(path, part.file)
    return whole


def seen_from(path: Path, file: Path) -> str:
    """A part's path as a profile names it."""
    folder = os.path.realpath(path.parent)
    return Path(os.path.relpath(os.path.realpath(file), folder)).as_posix()
