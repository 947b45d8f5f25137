"""What lies otherwise on the disk than in a commit, found without git: by the bytes of each file."""

from __future__ import annotations

import hashlib
import os
import stat
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from posixpath import basename, normpath

from .error import UnreadableFile
from .files import WorkingTree, is_yaml_name
from .git_revision import Commit, GitRevision
from .sparse import left_out

ALIKE = 0.5  # of its lines must a file share with one that is gone to be taken for it
MOST_LINES_HELD = 1_000_000
MOST_LINES_COMPARED = 20_000_000  # of files that are gone with those of files that are new
LARGEST_COMPARED = 64 << 20  # bytes; a larger file counts as changed
LONG_NAME = 64  # letters of a name in a repository of SHA-256
Blobs = Callable[[str], frozenset[str]]


@dataclass(frozen=True, slots=True)
class FileMoves:
    """What lies otherwise on the disk than in a commit, by paths from git's top.

    `changed` holds every path that differs, new and gone ones too; `former` the old names of files
    that were renamed, by their new ones; `gone` what is no longer there under any name; `ways` the
    links of the commit that are not YAML by their names, such as links to folders. What a sparse clone has
    `left_out` is not gone; of some of that the index says that it is otherwise than in the commit.
    """

    changed: frozenset[str]
    former: Mapping[str, str]
    gone: frozenset[str]
    ways: frozenset[str] = frozenset()
    left_out: frozenset[str] = frozenset()
    left_out_changed: frozenset[str] = frozenset()


def moves(commit: Commit) -> FileMoves:
    """What changed on the disk since a commit, whether it has been added to git or not.

    Only YAML files and links are looked at: documents are nothing else.
    """
    ways = frozenset(name for name in commit.links if not is_yaml_name(basename(name)))
    names = [name for name in commit.files if is_yaml_name(basename(name))]
    names += commit.links
    gone = {name for name in names if not _is_there(commit.top, name)}
    away = left_out(commit.top) if gone else {}
    away = {name: held for name, held in away.items() if is_yaml_name(basename(name))}
    gone = gone.difference(away)
    names = [name for name in names if name not in away]
    changed = {name for name in names if name in gone or differs(commit, name)}
    tree, letters = WorkingTree(commit.top), len(commit.name)
    fresh = sorted(set(tree.paths().paths).difference(names))
    former = _renamed(
        commit,
        sorted(gone),
        fresh,
        lambda name: _names_on_disk(os.path.join(commit.top, name), letters),
        tree.read,
    )
    return FileMoves(
        frozenset(changed.union(fresh)),
        former,
        frozenset(gone.difference(former.values())),
        ways,
        frozenset(away),
        frozenset(name for name, held in away.items() if commit.files.get(name) != held),
    )


def moves_to(commit: Commit, later: Commit) -> FileMoves:
    """What is otherwise in a later commit."""
    ways = frozenset(name for name in commit.links if not is_yaml_name(basename(name)))
    before, after = ({**one.files, **one.links} for one in (commit, later))
    every = (before.items() ^ after.items()) | {
        (name, "") for name in before.keys() & after.keys() if _is_other_kind(commit, later, name)
    }
    is_meant = {*commit.links, *later.links}
    changed = {name for name, _ in every if name in is_meant or is_yaml_name(basename(name))}
    gone, fresh = sorted(changed.difference(after)), sorted(changed.difference(before))
    read = GitRevision(later).read
    former = _renamed(commit, gone, fresh, lambda name: frozenset((after[name],)), read)
    return FileMoves(frozenset(changed), former, frozenset(gone).difference(former.values()), ways)


def _is_other_kind(commit: Commit, later: Commit, name: str) -> bool:
    return (name in commit.links) != (name in later.links)


def differs(commit: Commit, name: str) -> bool:
    """Whether a file of a commit lies on the disk with other bytes, or not at all."""
    as_link = commit.links.get(name)
    held = commit.files.get(name) if as_link is None else as_link
    path = os.path.join(commit.top, name)
    if held is None or not _is_there(commit.top, name):
        return True
    if os.path.islink(path) != (as_link is not None):
        return True
    return held not in _names_on_disk(path, len(held))


def _is_there(top: Path, name: str) -> bool:
    """Whether the disk has such a file, in a folder that is no link."""
    path = os.path.join(top, name)
    if normpath(name) != name or name.startswith(("/", "../")) or os.path.isdir(path):
        return os.path.islink(path)
    folder = os.path.dirname(path)
    return os.path.lexists(path) and os.path.realpath(folder) == os.path.normpath(folder)


def _names_on_disk(path: str, letters: int) -> frozenset[str]:
    """The names that git gives a file's bytes, or a link's target; none where it cannot be told.

    Where git checks out with other line ends it holds the file by its plain ones.
    """
    digest = "sha256" if letters == LONG_NAME else "sha1"
    try:
        if os.path.islink(path):
            return frozenset((_blob_name(os.fsencode(os.readlink(path)), digest),))
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with open(handle, "rb") as stream:
            about = os.fstat(handle)
            if not stat.S_ISREG(about.st_mode) or about.st_size > LARGEST_COMPARED:
                return frozenset()
            data = stream.read(LARGEST_COMPARED)
    except (OSError, ValueError):
        return frozenset()
    forms = {data, data.replace(b"\r\n", b"\n")}
    return frozenset(_blob_name(form, digest) for form in forms)


def _blob_name(data: bytes, digest: str) -> str:
    whole = b"blob %d\0" % len(data) + data
    return hashlib.new(digest, whole, usedforsecurity=False).hexdigest()


def _renamed(
    commit: Commit, gone: list[str], fresh: list[str], blobs: Blobs, read: Callable[[str], bytes]
) -> dict[str, str]:
    """The old names of files that are gone, by the new names under which they lie there.

    `blobs` gives the names that git may have for a new file, `read` its bytes.
    """
    former = _moved_whole(commit, gone, fresh, blobs) if gone else {}
    rest = [name for name in gone if name not in set(former.values())]
    new = [name for name in fresh if name not in former]
    return former | _recognised(commit, rest, new, read)


def _moved_whole(
    commit: Commit, gone: Iterable[str], fresh: Iterable[str], blobs: Blobs
) -> dict[str, str]:
    """Those of which no byte changed."""
    held: dict[str, list[str]] = {}
    for name in gone:
        if name in commit.files:
            held.setdefault(commit.files[name], []).append(name)
    former: dict[str, str] = {}
    for new in fresh if held else ():
        olds = next((held[name] for name in blobs(new) if held.get(name)), None)
        if olds:
            former[new] = max(olds, key=lambda old: (basename(old) == basename(new), old))
            olds.remove(former[new])
    return former


def _recognised(
    commit: Commit, gone: Iterable[str], fresh: Iterable[str], read: Callable[[str], bytes]
) -> dict[str, str]:
    """Those that share enough of their lines, as far as the effort stays within bounds."""
    before = GitRevision(commit)
    held = [name for name in gone if name in commit.files]
    lost = {name: lines for name, lines in _texts(before.read, held)}
    former: dict[str, str] = {}
    left = MOST_LINES_COMPARED
    for new, lines in _texts(read, fresh if lost else ()):
        left -= sum(lines.total() + other.total() for other in lost.values())
        if left < 0 or not lost:
            break
        best = max(lost, key=lambda old: (_likeness(lost[old], lines), basename(old)))
        if _likeness(lost[best], lines) >= ALIKE:
            former[new] = best
            del lost[best]
    return former


def _texts(
    read: Callable[[str], bytes], names: Iterable[str]
) -> Iterator[tuple[str, Counter[bytes]]]:
    """The lines of files, until they are too many to be held."""
    left = MOST_LINES_HELD
    for name in names:
        try:
            lines = Counter(read(name).splitlines())
        except UnreadableFile:
            continue
        left -= lines.total()
        if left < 0:
            break
        yield name, lines


def _likeness(lines: Counter[bytes], other: Counter[bytes]) -> float:
    """The share of lines that two files have in common, 1 where they hold the same lines.

    >>> _likeness(Counter([b"a", b"b"]), Counter([b"b", b"c"]))
    0.5
    """
    return 2 * (lines & other).total() / max(lines.total() + other.total(), 1)
