"""Where a file comes from: its commits, its names, and what changed since a commit."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from gonogo.documents.error import RevisionError
from gonogo.documents.git_history import from_top, is_shallow, steps
from gonogo.documents.git_moves import moves
from gonogo.documents.git_revision import Commit

Git = Callable[..., str]
Workshop = Callable[..., Path]
LONG = "".join(f"line {number}\n" for number in range(30))


@pytest.fixture
def top(workshop: Workshop, git: Git) -> Path:
    """A repository with one long file."""
    folder = workshop({"a.yaml": LONG})
    git(folder, "init", "-q", "-b", "main", ".")
    commit(git, folder, "one")
    return folder


def commit(git: Git, folder: Path, message: str) -> None:
    """All that lies there."""
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", message)


def test_steps_go_back_through_renames(top: Path, git: Git) -> None:
    """The first of all first, each under the name it had then."""
    (top / "a.yaml").rename(top / "ä b.yaml")
    (top / "ä b.yaml").write_text(LONG + "more\n")
    commit(git, top, "two\n\nand more words")
    (top / "ä b.yaml").write_text(LONG)
    commit(git, top, "three")
    found = steps(top, "ä b.yaml")
    assert [(step.subject, step.path) for step in found] == [
        ("one", "a.yaml"),
        ("two", "ä b.yaml"),
        ("three", "ä b.yaml"),
    ]
    assert found[-1].commit == git(top, "rev-parse", "HEAD")
    assert len(found[0].day) == len("2026-11-25")


def test_the_first_commit_counts_whatever_git_is_set_to(top: Path, git: Git) -> None:
    """A setting can hide what the first commit of all brought."""
    git(top, "config", "log.showRoot", "false")
    git(top, "config", "diff.renames", "false")
    git(top, "mv", "a.yaml", "b.yaml")
    commit(git, top, "two")
    assert [step.path for step in steps(top, "b.yaml")] == ["a.yaml", "b.yaml"]


def test_steps_of_a_copy_begin_with_the_copy(top: Path, git: Git) -> None:
    """Its model has a story of its own."""
    (top / "b.yaml").write_text(LONG)
    commit(git, top, "two")
    assert [step.subject for step in steps(top, "b.yaml")] == ["two"]


def test_a_name_is_no_pattern(top: Path, git: Git) -> None:
    """A star in a name is a star."""
    (top / "*.yaml").write_text("x\n")
    commit(git, top, "two")
    assert [step.subject for step in steps(top, "*.yaml")] == ["two"]


def test_moves_know_what_git_was_not_told(top: Path, git: Git) -> None:
    """Changed, added, gone and moved, staged or not."""
    for name in ("changed", "gone", "moved", "told"):
        (top / f"{name}.yaml").write_text(LONG.replace("line", name))
    commit(git, top, "two")
    (top / "changed.yaml").write_text("x\n")
    (top / "gone.yaml").unlink()
    (top / "moved.yaml").rename(top / "new name.yaml")
    git(top, "mv", "told.yaml", "retold.yaml")
    (top / "fresh.yaml").write_text("x\n")
    found = moves(Commit(top, "HEAD"))
    assert found.former == {"new name.yaml": "moved.yaml", "retold.yaml": "told.yaml"}
    assert found.gone == {"gone.yaml"}
    assert found.changed >= {"changed.yaml", "fresh.yaml", "gone.yaml", "new name.yaml"}
    assert "a.yaml" not in found.changed


def test_a_file_taken_out_of_git_is_still_there(top: Path, git: Git) -> None:
    """Nothing of the vehicle has gone."""
    git(top, "rm", "-q", "--cached", "a.yaml")
    found = moves(Commit(top, "HEAD"))
    assert found.gone == frozenset()
    assert found.former == {}


def test_a_path_counts_from_the_top_of_git(top: Path, tmp_path: Path) -> None:
    """Through a link to the folder, and for a folder that has gone."""
    (tmp_path / "link").symlink_to(top)
    assert from_top(tmp_path / "link" / "a.yaml") == (top.resolve(), "a.yaml")
    assert from_top(top / "gone" / "b.yaml") == (top.resolve(), "gone/b.yaml")
    assert from_top(top) == (top.resolve(), ".")
    with pytest.raises(RevisionError):
        from_top(tmp_path / "elsewhere.yaml")


def test_a_shallow_clone_is_known(top: Path, git: Git, tmp_path: Path) -> None:
    """So that a report can say that there was more."""
    git(tmp_path, "clone", "-q", "--depth", "1", top.as_uri(), "shallow")
    assert is_shallow(tmp_path / "shallow") and not is_shallow(top)
