"""Files on the disk are read from inside the repository only, and never without end."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from gonogo.documents.error import UnreadableFile
from gonogo.documents.files import LARGEST, WorkingTree


def trouble(root: Path, path: str) -> UnreadableFile:
    """Why a file cannot be read."""
    with pytest.raises(UnreadableFile) as caught:
        WorkingTree(root).read(path)
    return caught.value


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with a file in it, beside a file that is none of its business."""
    (tmp_path / "secret.yaml").write_text("secret")
    shop = tmp_path / "shop"
    (shop / "parts").mkdir(parents=True)
    (shop / "alder.yaml").write_text("alder")
    (shop / "parts" / "motor.yaml").write_text("motor")
    return shop


def test_a_file_inside_is_read(shop: Path) -> None:
    """Links that stay inside are followed."""
    (shop / "linked.yaml").symlink_to("parts/motor.yaml")
    assert WorkingTree(shop).read("alder.yaml") == b"alder"
    assert WorkingTree(shop).read("linked.yaml") == b"motor"
    assert WorkingTree(shop).begin("parts/../alder.yaml") == b"alder"


@pytest.mark.parametrize("target", ["../secret.yaml", "/etc/hostname", ".."])
def test_a_link_that_leads_out_is_refused(shop: Path, target: str) -> None:
    """A repository from a stranger shows nothing of the computer that checks it."""
    (shop / "out.yaml").symlink_to(target)
    assert trouble(shop, "out.yaml").found == "a link that points out of the repository"
    listing = WorkingTree(shop).paths()
    told = "out.yaml" in listing.paths or [error.file for error in listing.errors] == ["out.yaml"]
    assert told


def test_a_linked_folder_that_leads_out_is_refused(shop: Path) -> None:
    """The way matters, not only the last step."""
    (shop / "away").symlink_to("..")
    assert trouble(shop, "away/secret.yaml").found == "a link that points out of the repository"
    assert WorkingTree(shop).paths().paths == ("alder.yaml", "parts/motor.yaml")


def test_links_in_a_circle_end(shop: Path) -> None:
    """Two links that point to each other are told as such."""
    (shop / "a.yaml").symlink_to("b.yaml")
    (shop / "b.yaml").symlink_to("a.yaml")
    assert "link" in trouble(shop, "a.yaml").found


def test_a_pipe_is_not_waited_for(shop: Path) -> None:
    """A check that hangs is worse than one that fails."""
    os.mkfifo(shop / "pipe.yaml")
    assert trouble(shop, "pipe.yaml").found == "something other than a file"


def test_a_file_above_a_mebibyte_is_refused(shop: Path) -> None:
    """Up to the limit a file is read, above it nothing is."""
    (shop / "large.yaml").write_bytes(b"#" * LARGEST)
    assert len(WorkingTree(shop).read("large.yaml")) == LARGEST
    (shop / "large.yaml").write_bytes(b"#" * (LARGEST + 1))
    assert trouble(shop, "large.yaml").found == "a file above 1 MiB"


@pytest.mark.parametrize("path", ["parts", "alder.yaml/motor.yaml", "nowhere/alder.yaml"])
def test_what_is_no_file_is_told(shop: Path, path: str) -> None:
    """A folder, a file in the place of a folder, and a folder that is not there."""
    assert trouble(shop, path).wanted == "a YAML file"


def test_a_missing_file_is_told_with_its_nearest_name(shop: Path) -> None:
    """Most missing files are there, a letter off."""
    error = trouble(shop, "parts/moter.yaml")
    assert (error.found, error.nearest) == ("no such file", "parts/motor.yaml")
    assert (error.file, error.line, error.column) == ("parts/moter.yaml", 1, 1)


def test_only_what_git_keeps_is_left_out(shop: Path) -> None:
    """A hidden folder hides nothing, and neither does an empty one that is called as git's is."""
    for name in (".git", "parts/.git", ".hidden"):
        (shop / name).mkdir()
        (shop / name / "x.yaml").write_text("x")
    for name in ("objects", "refs"):
        (shop / ".git" / name).mkdir()
    (shop / ".git" / "HEAD").write_text("ref: refs/heads/main\n")
    (shop / "note.txt").write_text("x")
    found = (".hidden/x.yaml", "alder.yaml", "parts/.git/x.yaml", "parts/motor.yaml")
    assert WorkingTree(shop).paths().paths == found
    (shop / "parts" / ".git" / "x.yaml").unlink()
    assert WorkingTree(shop).paths("parts").paths == ("parts/motor.yaml",)


def test_a_folder_that_is_missing_is_an_error_of_the_listing(shop: Path) -> None:
    """An empty answer would look like an empty folder."""
    assert [error.found for error in WorkingTree(shop).paths("nowhere").errors] == ["no such file"]


def test_a_folder_is_told_from_one_that_may_not_be_read(shop: Path) -> None:
    """Whoever names a folder as a part learns that it is one, not that rights are missing."""
    assert trouble(shop, "parts").found == "a folder"


@pytest.mark.parametrize("asked", ["wren2.yaml", "wren.yaml2", "wren-12.yaml", "wren.2.yaml"])
def test_a_file_of_another_number_is_never_offered(asked: str, tmp_path: Path) -> None:
    """It is another vehicle, or another tune of it."""
    for name in ("wren.yaml", "wren-1.yaml", "wren21.yaml"):
        (tmp_path / name).write_text("gonogo: profile/1\n", "utf-8")
    with pytest.raises(UnreadableFile) as caught:
        WorkingTree(tmp_path).read(asked)
    assert caught.value.nearest is None


@pytest.mark.parametrize(
    ("asked", "there"),
    [
        ("wren2.yaml", "wren2.yaml.txt"),
        ("wren2.yml", "Wren2.yml.TXT"),
        ("wren2", "wren2.yaml.txt"),
        ("wren2.yaml", "wren2.yaml.text"),
    ],
)
def test_an_ending_put_behind_is_named(asked: str, there: str, tmp_path: Path) -> None:
    """Some editors add one, and folders do not show it."""
    (tmp_path / "wren.yaml").write_text("gonogo: profile/1\n", "utf-8")
    (tmp_path / there).write_text("gonogo: profile/1\n", "utf-8")
    with pytest.raises(UnreadableFile) as caught:
        WorkingTree(tmp_path).read(asked)
    ending = there.rpartition(".")[2]
    assert (caught.value.found, caught.value.nearest) == ("no such file", None)
    assert f"rename `{there}`, without the `.{ending}`" in caught.value.wanted
