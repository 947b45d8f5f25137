"""The list of known findings of a shop: what was found on a day, each finding with its size.

It is a document of the shop whose vehicles it names, or of one above in the same repository: read by the strict reader, from its own tree of
files, and never through a link.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from .document import Document
from .error import UsageError
from .files import HOUSE_FILE, WorkingTree, is_yaml_name
from .location import Place
from .repository import Repository, open_repository
from .search import Listed
from .shop_top import is_house_name
from .text import quoted
from .written import number_text

KNOWN_EDITION = "known/1"
PLAIN_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_./-]*")
SEVERITY_WORDS = ("danger", "fault", "advice")
LIST_HEAD = (
    "Written by `gonogo known`: findings that are known, for `gonogo check --known`.",
    "None of them is accepted as safe; a vehicle with one is NO-GO until it is corrected.",
)


class KnownFinding(NamedTuple):
    """One finding as it was recorded; numbers are in `unit`, None where the rule has no limit.

    `modes` is empty for the base settings, `motors` where it was about all. `excess` is how far the
    value was beyond the limit that it passed, `at_most` or `at_least`. `reads` names the entries that
    the rule read.
    """

    rule: str
    severity: str
    entry: str
    recorded: str
    modes: tuple[str, ...] = ()
    motors: tuple[str, ...] = ()
    value: Any = None
    unit: str = ""
    at_most: float | None = None
    at_least: float | None = None
    excess: float | None = None
    reads: tuple[str, ...] = ()
    place: Place | None = None


class KnownAsk(NamedTuple):
    """A required rule that could not be checked, and the entries that it lacked."""

    rule: str
    missing: tuple[str, ...]
    recorded: str


class KnownVehicle(NamedTuple):
    """What was known of one vehicle: `file` is its profile from the list's `root`, `id` its identity."""

    file: str
    id: str | None = None
    findings: tuple[KnownFinding, ...] = ()
    asks: tuple[KnownAsk, ...] = ()

    def is_of(self, file: str, own_id: str | None) -> bool:
        """Whether it is about a profile: by the ids where both have one, else by the file."""
        if self.id is not None and own_id is not None:
            return self.id == own_id
        return self.file == file


class Known(NamedTuple):
    """A whole list; `file` is its name as it is shown, `root` the folder at which its paths start."""

    file: str
    vehicles: tuple[KnownVehicle, ...] = ()
    root: str = ""

    def of(self, file: str, own_id: str | None) -> KnownVehicle:
        """All that is known of a profile, by its path from the list's `root`."""
        about = [one for one in self.vehicles if one.is_of(file, own_id)]
        return KnownVehicle(
            file,
            own_id,
            tuple(each for one in about for each in one.findings),
            tuple(each for one in about for each in one.asks),
        )


def read_known(repository: Repository, path: str) -> Known:
    """The list in a file of a repository; raises DocumentErrors."""
    document = repository.document(path, "known")
    return Known(document.file, tuple(_vehicles(document)), known_root(repository))


def _vehicles(document: Document) -> Iterator[KnownVehicle]:
    for number, value in enumerate(document.value["vehicles"]):
        yield KnownVehicle(
            value["file"],
            value.get("id"),
            tuple(
                _finding(each, document.place("vehicles", number, "findings", place))
                for place, each in enumerate(value.get("findings", ()))
            ),
            tuple(
                KnownAsk(each["rule"], tuple(each["missing"]), each["recorded"])
                for each in value.get("not_checked", ())
            ),
        )


def _finding(value: dict[str, Any], place: Place) -> KnownFinding:
    lists = {key: tuple(value.get(key, ())) for key in ("modes", "motors", "reads")}
    return KnownFinding(**{**value, **lists, "place": place})


def place_of_known(path: Path) -> tuple[Repository, str]:
    """The shop in which a list lies on the disk, and its path there; it may not be there yet.

    Raises UsageError for a link, and for a name under which nobody would find it.
    """
    if os.path.islink(path):
        raise UsageError(f"{path} is a link: expected the list of known findings itself.")
    if not is_yaml_name(path.name) or is_house_name(path.name):
        raise UsageError(f"{path}: expected a name such as known.yaml.")
    if os.path.isdir(path):
        raise UsageError(f"{path} is a folder: expected a file such as {path / 'known.yaml'}.")
    return open_repository(path)


def refuse_other_shops(known: Repository, name: str, profiles: Iterable[Listed]) -> None:
    """Raise UsageError unless each of the profiles is of the shop in which the list lies, or of one below.

    A shop below is one of the same git repository, or one that the house file above hands over to.
    """
    theirs, own = list[Listed](), list[Listed]()
    for one in profiles:
        (own if _holds_for(known, one.repository) else theirs).append(one)
    if not theirs:
        return
    there = os.path.dirname(theirs[0].repository.named(HOUSE_FILE)) or os.curdir
    more = f" and {len(theirs) - 1} more" if len(theirs) > 1 else ""
    way_out = (
        "name the paths of one shop in a call, such as folders of vehicles, and keep a list in each, "
        "or one at the top of the repository"
        if own
        else f"expected a list in {quoted(there)}"
    )
    raise UsageError(
        f"{name} does not lie in the shop of {theirs[0].file}{more}, which begins at "
        f"{quoted(there)}. A list of known findings holds for the shop in which it lies, and for those "
        f"below that: {way_out}."
    )


def _holds_for(known: Repository, other: Repository) -> bool:
    """Whether a list in one shop may speak of another: of the same, or of one below in its repository."""
    mine, theirs = known.files, other.files
    root, below = known_root(known), known_root(other)
    if isinstance(mine, WorkingTree) and isinstance(theirs, WorkingTree):
        if root == below:
            return True
        return _lies_below(below, root) and (
            known.files.exists(HOUSE_FILE) or _of_one_git(root, below)
        )
    commit = getattr(mine, "commit", None)
    if commit is None or commit is not getattr(theirs, "commit", None):
        return False
    submodules: Iterable[str] = getattr(commit, "submodules", ())
    inner = any(_lies_below(f"{below}/", name) for name in submodules)
    return root == below or (_lies_below(below, root) and not inner)


def _lies_below(folder: str, above: str) -> bool:
    return not above or folder.startswith(f"{above.rstrip('/')}/")


def _of_one_git(one: str, other: str) -> bool:
    """Whether two folders belong to one git repository."""
    from .git_folder import git_folder  # late: most shops are one

    tops = [git_folder(Path(folder)) for folder in (one, other)]
    return tops[0] is not None and tops[1] is not None and tops[0].top == tops[1].top


def known_root(repository: Repository) -> str:
    """The folder at which the paths of a list in a shop start: on the disk, or from git's top."""
    files = repository.files
    root = str(getattr(files, "root", ""))
    return os.path.realpath(root) if isinstance(files, WorkingTree) else root


def path_in_list(known: Known, repository: Repository, path: str) -> str:
    """The path that a list has for a file of its shop, or of one below."""
    root = known_root(repository)
    if root == known.root:
        return path
    start = known.root.replace(os.sep, "/").rstrip("/")
    way = root.replace(os.sep, "/").removeprefix(f"{start}/" if start else "")
    return f"{way}/{path}"


def known_text(vehicles: Iterable[KnownVehicle]) -> str:
    """A list as it is written: the vehicles by file, every list and order the same each time."""
    lines = [f"gonogo: {KNOWN_EDITION}", *(f"# {line}" for line in LIST_HEAD)]
    told = sorted((one for one in vehicles if one.findings or one.asks), key=lambda one: one.file)
    lines += ["vehicles:"] if told else ["vehicles: []"]
    for one in told:
        lines.append(f"  - file: {_written(one.file)}")
        lines += [f"    id: {_written(one.id)}"] if one.id is not None else []
        lines += ["    findings:"] if one.findings else []
        for finding in one.findings:
            lines += _item({key: getattr(finding, key) for key in _KEYS})
        lines += ["    not_checked:"] if one.asks else []
        for ask in one.asks:
            lines += _item(ask._asdict(), ("missing",))
    return "\n".join(lines) + "\n"


_KEYS = (
    "rule", "severity", "entry", "modes", "motors", "value", "unit", "at_most", "at_least",
    "excess", "recorded", "reads",
)  # fmt: skip


def _item(entries: dict[str, Any], always: tuple[str, ...] = ()) -> Iterator[str]:
    """The lines of one item of a list; what is empty is left out."""
    mark = "- "
    for key, value in entries.items():
        if key in always or value not in (None, (), ""):
            yield f"      {mark}{key}: {_written(value)}"
            mark = "  "


def _written(value: Any) -> str:
    """A value as the reader of documents takes it back."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, tuple | list):
        return f"[{', '.join(map(_written, value))}]"
    text = str(value)
    is_plain = text in SEVERITY_WORDS or (PLAIN_NAME.fullmatch(text) and re.search("[._-]", text))
    return text if is_plain else json.dumps(text, ensure_ascii=False)


def shown_entry(finding: KnownFinding) -> str:
    """A recorded finding in few words: its rule, with the modes and motors that it was about."""
    where = [*(f"mode {mode}" for mode in finding.modes), *finding.motors]
    return finding.rule + (f" ({', '.join(where)})" if where else "")


def named_in_list(vehicle: KnownVehicle) -> str:
    """How a vehicle of a list is called: by its file, with its id where it has one."""
    return vehicle.file + (f" ({quoted(vehicle.id)})" if vehicle.id is not None else "")
