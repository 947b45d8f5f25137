"""A revision is read as it was committed, whatever lies on the disk by now."""

from __future__ import annotations

import gc
from collections.abc import Callable
from pathlib import Path

import pytest
from gonogo.documents.error import RevisionError, UnreadableFile
from gonogo.documents.files import LARGEST
from gonogo.documents.git_revision import Commit, GitRevision
from gonogo.documents.loading import load_profile
from gonogo.documents.repository import open_revision

from .conftest import ALDER, Workshop

Git = Callable[..., str]
MOTOR = "gonogo: part/1\npart: {name: Motor}\nmotor: {pole_pairs: 5}\n"


def committed(git: Git, top: Path) -> str:
    """The commit of all that lies in a folder."""
    git(top, "init", "-q", ".") if not (top / ".git").exists() else None
    git(top, "add", "-A")
    git(top, "commit", "-q", "-m", "as it is")
    return git(top, "rev-parse", "HEAD")


@pytest.fixture
def shop(workshop: Workshop, git: Git) -> Path:
    """A repository with a vehicle and a part, committed, then changed on the disk."""
    alder = f"{ALDER}motor: {{part: ../parts/motor.yaml}}\n"
    top = workshop({"vehicles/alder.yaml": alder, "parts/motor.yaml": MOTOR})
    committed(git, top)
    (top / "parts" / "motor.yaml").write_text(MOTOR.replace("5", "7"))
    return top


def pole_pairs(commit: Commit, path: str = "vehicles/alder.yaml") -> int:
    """What the profile's part says at a commit."""
    value = load_profile(*open_revision(commit, path)).value("motor.pole_pairs")
    assert isinstance(value, int)
    return value


def test_a_part_is_read_at_the_same_revision(shop: Path) -> None:
    """An old profile with today's motor would be a vehicle that never was."""
    assert pole_pairs(Commit(shop, "HEAD")) == 5


def test_a_revision_goes_by_any_name(shop: Path, git: Git) -> None:
    """Branches, tags and places in the history."""
    git(shop, "tag", "first")
    git(shop, "branch", "-M", "tune/hot")
    committed(git, shop)
    names = ("HEAD~1", "first", git(shop, "rev-parse", "--short", "HEAD~1"))
    assert [pole_pairs(Commit(shop, name)) for name in names] == [5, 5, 5]
    assert pole_pairs(Commit(shop / "vehicles", "tune/hot")) == 7


def test_a_worktree_and_a_shallow_clone_are_repositories_too(
    shop: Path, git: Git, tmp_path: Path
) -> None:
    """Servers that check every change clone only the last commit."""
    git(shop, "worktree", "add", "-q", "--detach", str(tmp_path / "second"))
    assert pole_pairs(Commit(tmp_path / "second", "HEAD")) == 5
    committed(git, shop)
    git(tmp_path, "clone", "-q", "--depth", "1", f"file://{shop}", "shallow")
    assert pole_pairs(Commit(tmp_path / "shallow", "HEAD")) == 7
    with pytest.raises(RevisionError, match="shallow"):
        Commit(tmp_path / "shallow", "HEAD~1")


def test_a_shop_may_lie_in_a_folder_of_the_repository(
    workshop: Workshop, git: Git, tmp_path: Path
) -> None:
    """Its house file is its top, and its names start there."""
    workshop({"alder.yaml": ALDER}, below="all/shops/mill")
    committed(git, tmp_path / "all")
    repository, path = open_revision(Commit(tmp_path / "all", "HEAD"), "shops/mill/alder.yaml")
    assert (path, repository.house().file) == ("alder.yaml", "house.yaml")
    assert load_profile(repository, path).file == "alder.yaml"
    assert repository.files.paths().paths == ("alder.yaml", "house.yaml")


def test_links_stay_inside_a_revision_too(workshop: Workshop, git: Git) -> None:
    """A link in an old revision is followed inside the root and refused outside."""
    top = workshop({"alder.yaml": ALDER, "parts/motor.yaml": MOTOR})
    (top / "inside.yaml").symlink_to("parts/motor.yaml")
    (top / "folder").symlink_to("parts")
    (top / "away.yaml").symlink_to("../secret.yaml")
    (top / "absolute.yaml").symlink_to("/etc/hostname")
    (top / "circle.yaml").symlink_to("circle.yaml")
    committed(git, top)
    files = GitRevision(Commit(top, "HEAD"))
    assert files.read("inside.yaml") == files.read("folder/motor.yaml") == MOTOR.encode()
    for path in ("away.yaml", "absolute.yaml", "circle.yaml", "../secret.yaml", "/etc/hostname"):
        with pytest.raises(UnreadableFile, match="points out"):
            files.read(path)
    assert files.paths().paths == (
        "absolute.yaml",
        "alder.yaml",
        "away.yaml",
        "circle.yaml",
        "house.yaml",
        "inside.yaml",
        "parts/motor.yaml",
    )


def test_a_missing_and_a_large_file_are_told(workshop: Workshop, git: Git) -> None:
    """As on the disk, with the nearest name."""
    top = workshop({"large.yaml": b"#" * (LARGEST + 1), "alder.yaml": ALDER, ".x/b.yaml": ALDER})
    committed(git, top)
    files = GitRevision(Commit(top, "HEAD"))
    with pytest.raises(UnreadableFile) as caught:
        files.read("adler.yaml")
    assert (caught.value.found, caught.value.nearest) == ("no such file", "alder.yaml")
    with pytest.raises(UnreadableFile, match="above 1 MiB"):
        files.read("large.yaml")
    assert files.read("alder.yaml") == ALDER.encode()
    assert ".x/b.yaml" in files.paths().paths
    assert (files.exists("alder.yaml"), files.exists("x.yaml")) == (True, False)


@pytest.mark.parametrize(
    "revision", ["nowhere", "", "-x", "--help", "--output=x", "HEAD:alder.yaml", "a b", "HEAD\nx"]
)
def test_a_name_that_is_no_revision_is_told(shop: Path, revision: str) -> None:
    """Nothing that a user types reaches git as an option."""
    with pytest.raises(RevisionError, match="no revision"):
        Commit(shop, revision)
    assert not (shop / "x").exists()


def test_names_of_files_may_be_odd(workshop: Workshop, git: Git) -> None:
    """Spaces, quotes, line ends and letters of any language are only names."""
    names = ["a b.yaml", "-x.yaml", 'q"uote.yaml', "ä ö.yaml", "li\nne.yaml", "HEAD:x.yaml"]
    top = workshop({name: ALDER for name in names})
    committed(git, top)
    files = GitRevision(Commit(top, "HEAD"))
    assert [files.read(name) for name in names] == [ALDER.encode()] * len(names)
    assert set(names) < set(files.paths().paths)


def test_without_a_repository_or_git_it_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two sentences that say what is missing."""
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    with pytest.raises(RevisionError, match="in no git repository"):
        Commit(tmp_path, "HEAD")
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(RevisionError, match="git is not installed"):
        Commit(tmp_path, "HEAD")


def test_many_files_cost_one_process(shop: Path) -> None:
    """Two thousand profiles are read by one git, which ends with its reader."""
    commit = Commit(shop, "HEAD")
    for _ in range(200):
        GitRevision(commit).read("parts/motor.yaml")
    process = commit.objects.own.process
    assert process is not None and process.poll() is None
    commit.close()
    assert process.poll() == 0
    assert GitRevision(commit).read("parts/motor.yaml") == MOTOR.encode()
    process = commit.objects.own.process
    assert process is not None
    del commit
    gc.collect()
    assert process.poll() == 0
