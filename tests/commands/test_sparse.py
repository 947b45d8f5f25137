"""A sparse clone keeps committed files from the disk: they are not gone, and what is there is judged."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.check import run as check
from gonogo.documents.schema import schema_text
from jsonschema import Draft202012Validator

from tests.commands.test_diff import (
    CALM,
    HOT,
    HOUSE,
    PART,
    WITH_PART,
    Git,
    diff,
    record,
    validator_of,
)

pytestmark = pytest.mark.usefixtures("frozen")
DAY = "2026-11-25"


@pytest.fixture
def sparse(git: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Git:
    """A clone with one of two folders of vehicles on its disk."""
    git.write("house.yaml", HOUSE)
    git.write("here/larch.yaml", CALM)
    git.write("there/elm.yaml", HOT.replace("Foxglove", "Elm"))
    git.commit("All")
    git("clone", "--quiet", "--no-checkout", str(git.folder), str(tmp_path / "sparse"))
    clone = type(git)(tmp_path / "sparse")
    clone("sparse-checkout", "set", "--cone", "here")
    clone("checkout", "--quiet", "main")
    assert not (clone.folder / "there").exists()
    monkeypatch.chdir(clone.folder)
    return clone


def checked(*paths: str, form: str = "text", **more: Any) -> tuple[int, str]:
    """The status of a check, and what it prints in one line."""
    out = io.StringIO()
    status = check(list(map(Path, paths)), form=form, out=out, as_of=DAY, **more)
    return status, out.getvalue() if form == "json" else " ".join(out.getvalue().split())


def test_what_is_there_is_judged_and_the_rest_is_named(sparse: Git) -> None:
    """A builder who has two vehicles on the bench asks about these."""
    status, text = checked(".")
    assert status == 0 and "GONE" not in text
    assert "1 profile that this sparse clone leaves out (there/elm.yaml)" in text
    status, told = checked(".", form="json")
    report = json.loads(told)
    assert list(Draft202012Validator(json.loads(schema_text("report"))).iter_errors(report)) == []
    assert {"file": "there/elm.yaml", "kind": "left_out"} in report["others"]


@pytest.mark.parametrize("path", ["there", "there/elm.yaml"])
def test_one_that_is_asked_for_by_name_is_no_go_unread(sparse: Git, path: str) -> None:
    """Nobody looked at it, so nothing may pass."""
    status, text = checked(path)
    assert status == 3 and "LEFT OUT there/elm.yaml" in text and "sparse-checkout add" in text


def test_what_is_taken_away_by_hand_is_gone_all_the_same(sparse: Git) -> None:
    """Only what git keeps from the disk is left out."""
    (sparse.folder / "here/larch.yaml").unlink()
    status, text = checked(".")
    assert status == 3 and "GONE here/larch.yaml" in text


def test_a_comparison_says_what_it_left_out(sparse: Git) -> None:
    """Unchanged by the index: no vehicle is gone."""
    status, text = diff(here=sparse.folder, against="HEAD")
    page = " ".join(text.split())
    assert status == 0 and "GONE" not in page
    assert "1 left out of this sparse clone (there/elm.yaml)" in page
    told = record(here=sparse.folder, against="HEAD")
    assert told["left_out"] == ["there/elm.yaml"]
    assert list(validator_of("comparison").iter_errors(told)) == []


def test_one_that_its_branch_changed_is_not_passed_over(sparse: Git) -> None:
    """The change lies in a commit, and not on the disk."""
    sparse("sparse-checkout", "disable")
    sparse("checkout", "--quiet", "-b", "cooler")
    sparse.write("there/elm.yaml", CALM.replace("Foxglove", "Elm"))
    sparse.commit("Cooler")
    sparse("sparse-checkout", "set", "--cone", "here")
    status, text = diff(here=sparse.folder, against="main")
    page = " ".join(text.split())
    assert status == 3 and "NOT READ there/elm.yaml" in page and "sparse clone" in page


def test_a_part_that_is_left_out_is_called_so(sparse: Git) -> None:
    """Its vehicle cannot be judged, and nobody lost the file."""
    sparse("sparse-checkout", "disable")
    sparse.write("parts/hub.yaml", PART)
    sparse.write("here/rowan.yaml", WITH_PART.replace("Foxglove", "Rowan"))
    sparse.commit("A part")
    sparse("sparse-checkout", "set", "--cone", "here")
    status, text = checked("here")
    assert status == 3 and "NOT READ here/rowan.yaml" in text
    assert "this sparse clone leaves it out" in text
    (sparse.folder / "here/rowan.yaml").write_text(WITH_PART.replace("hub.yaml", "rim.yaml"))
    assert "sparse clone leaves it out" not in checked("here")[1]
