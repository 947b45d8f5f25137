"""Writing: whole or not at all, the file's rights kept, never over a link or later work."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from gonogo.documents.atomic_write import diff, write
from gonogo.documents.error import EditError


def test_a_file_is_replaced_with_its_rights_kept(tmp_path: Path) -> None:
    """A profile that only its owner may read stays so."""
    path = tmp_path / "larch.yaml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    write(path, b"old", b"new")
    assert path.read_bytes() == b"new"
    assert path.stat().st_mode & 0o777 == 0o640
    assert os.listdir(tmp_path) == ["larch.yaml"]


def test_a_new_file_is_written(tmp_path: Path) -> None:
    """A profile begins somewhere."""
    path = tmp_path / "larch.yaml"
    write(path, b"", b"new")
    assert path.read_bytes() == b"new"


def test_a_link_is_refused(tmp_path: Path) -> None:
    """It may lead to a file that others share."""
    target = tmp_path / "shared.yaml"
    target.write_bytes(b"old")
    link = tmp_path / "larch.yaml"
    link.symlink_to(target)
    with pytest.raises(EditError) as caught:
        write(link, b"old", b"new")
    assert caught.value.found == "a link"
    assert target.read_bytes() == b"old"


def test_a_file_changed_meanwhile_is_refused(tmp_path: Path) -> None:
    """An editor may have saved it since."""
    path = tmp_path / "larch.yaml"
    path.write_bytes(b"newer")
    with pytest.raises(EditError) as caught:
        write(path, b"old", b"new")
    assert caught.value.found == "a file that somebody changed since it was read"
    assert path.read_bytes() == b"newer"


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    """The reason is the system's own word."""
    with pytest.raises(EditError) as caught:
        write(tmp_path / "nowhere" / "larch.yaml", b"", b"new")
    assert "no such file" in caught.value.found


def test_the_diff_shows_the_line_and_two_around_it() -> None:
    """Enough to know the place, whatever the line ends are."""
    before = b"a: 1\r\nb: 2\r\nc: 3\r\nd: 4\r\ne: 5\r\nf: 6\r\n"
    told = diff(before, before.replace(b"d: 4", b"d: 40"), "larch.yaml")
    assert told == (
        "--- larch.yaml\n+++ larch.yaml\n@@ -2,5 +2,5 @@\n b: 2\n c: 3\n-d: 4\n+d: 40\n e: 5\n f: 6\n"
    )
