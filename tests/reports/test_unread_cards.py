"""What could not be read: a file that is missing is told once, however many name it."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.documents.error import DocumentErrors
from gonogo.documents.loading import load
from gonogo.reports.check_totals import Unread
from gonogo.reports.layout import Page
from gonogo.reports.section import Card
from gonogo.reports.text import inside
from gonogo.reports.unread_cards import unread_cards

PART = "../parts/motor.yaml"
WANTED = "the part file of a motor"


def unread(file: str, found: str, wanted: str = WANTED, line: int = 7) -> Unread:
    return Unread(file, line, 3, found, wanted, f"Found {found}.", (file,), text="motor:")


def names(cards: list[Card]) -> list[str]:
    return [card.name for card in cards]


def test_a_missing_part_is_told_once_with_those_that_name_it() -> None:
    """Twelve equal cards hide that there is one file to bring back."""
    errors = [unread(f"vehicles/{name}.yaml", f"no such file at `{PART}`") for name in "abcdef"]
    errors.append(unread("old/spare/g.yaml", "no such file at `../../parts/motor.yaml`"))
    (card,) = unread_cards(errors)
    assert card.name == "parts/motor.yaml"
    words = " ".join(inside(card.sections, Page()).split())
    assert "no such file" in words and "vehicles/a.yaml line 7, and 6 more" in words
    assert WANTED in words


def test_what_only_one_file_lacks_is_told_with_that_file() -> None:
    """There the reference may be what is wrong, so its line is shown."""
    one = unread("vehicles/a.yaml", f"no such file at `{PART}`")
    other = unread("vehicles/b.yaml", "no such file at `../parts/other.yaml`")
    assert names(unread_cards([one, other])) == ["vehicles/a.yaml", "vehicles/b.yaml"]
    assert names(unread_cards([one, one._replace(line=9)])) == ["vehicles/a.yaml"]


def test_other_errors_of_the_same_files_are_told_as_ever() -> None:
    """Nothing is hidden behind the part: who brings it back would meet them next."""
    errors = [unread(f"vehicles/{name}.yaml", f"no such file at `{PART}`") for name in "ab"]
    errors.append(unread("vehicles/b.yaml", "`x`", "a number", line=9))
    assert names(unread_cards(errors)) == ["parts/motor.yaml", "vehicles/b.yaml"]


@pytest.mark.parametrize(
    ("listed", "there", "told"),
    [
        pytest.param('[submodule "parts"]\n\tpath = parts\n', False, True, id="not fetched"),
        pytest.param('[submodule "parts"]\n\tpath = parts\n', True, False, id="one file missing"),
        pytest.param('[submodule "lib"]\n\tpath = lib\n', False, False, id="another folder"),
        pytest.param(None, False, False, id="no submodules"),
    ],
)
def test_a_submodule_that_is_not_fetched_is_named(
    tmp_path: Path, listed: str | None, there: bool, told: bool
) -> None:
    """All parts are missing at once then, and none of them has to be looked for."""
    (tmp_path / "parts").mkdir()
    (tmp_path / "vehicles").mkdir()
    (tmp_path / "house.yaml").write_text("gonogo: house/1\n")
    if listed is not None:
        (tmp_path / ".gitmodules").write_text(listed)
    if there:
        (tmp_path / "parts/other.yaml").write_text("gonogo: part/1\n")
    profile = tmp_path / "vehicles/a.yaml"
    profile.write_text(f"gonogo: profile/1\nvehicle: {{name: A}}\nmotor: {{part: {PART}}}\n")
    with pytest.raises(DocumentErrors) as caught:
        load(profile)
    (wanted,) = (error.wanted for error in caught.value.errors if PART in error.found)
    assert ("submodule" in wanted) == told


def test_parts_of_a_submodule_that_is_not_fetched_are_told_once() -> None:
    """No vehicle lacks a part of its own then: one command brings all of them back."""
    not_fetched = "`parts` is a submodule that is not fetched: `git submodule update --init`"
    errors = [
        unread(f"shop/vehicles/{name}.yaml", f"no such file at `../parts/{kind}.yaml`",
               f"the part file of a {kind}; {not_fetched}")
        for name in "abc" for kind in ("pack", "motor")
    ]  # fmt: skip
    (card,) = unread_cards(errors)
    assert card.name == "shop/parts"
    words = " ".join(inside(card.sections, Page()).split())
    assert "found a submodule that is not fetched" in words and "and 5 more" in words
    assert "expected `git submodule update --init`" in words
