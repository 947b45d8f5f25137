"""A check that names a profile of the last commit which is none any more is no GO: what it says of it."""

from __future__ import annotations

import io
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from gonogo.commands.check import run as check
from gonogo.commands.due import run as due
from gonogo.commands.formats import FORMATS
from gonogo.commands.shop import run as whole_shop

from .test_diff import BIKE, CALM, HOT, HOUSE, PART, Git
from .test_nothing_drops_out import (
    BECAME,
    FOLDER,
    OTHER,
    RETIRED,
    TODAY,
    WITH_ID,
    renamed,
    with_two_vehicles,
)
from .test_revisions import SCRIPTS, hook, refused

pytestmark = pytest.mark.usefixtures("frozen")
WORDS = {"gone": "GONE", "no_profile": "NO LONGER A PROFILE"}
Became = Callable[[Path], object]


@pytest.fixture
def shop(git: Git, monkeypatch: pytest.MonkeyPatch) -> Git:
    """Two vehicles, one with an id, committed, and somebody who stands at the top."""
    monkeypatch.chdir(git.folder)
    return with_two_vehicles(git)


def said(*paths: str, staged: bool = False, form: str = "text") -> tuple[int, str]:
    """The status of a check, and what it prints."""
    out = io.StringIO()
    asked = [Path(path) for path in paths]
    status = check(asked, form, staged=staged, as_of="2026-11-25", out=out)
    return status, " ".join(out.getvalue().split())


@pytest.mark.parametrize(("became", "kind", "why"), BECAME)
@pytest.mark.parametrize("asked", [FOLDER, BIKE, "."])
def test_what_a_commit_takes_out_of_the_shop_is_told(
    shop: Git, became: Became, kind: str, why: str, asked: str
) -> None:
    """A hook that passes an emptied NO-GO vehicle lets it ride on; in its new place it is judged."""
    became(shop.folder / BIKE)
    shop("add", "--all")
    status, text = said(asked, staged=True)
    if why.startswith("moved to"):
        assert status == 0 and WORDS[kind] not in text
        return
    assert status == 3 and f"{WORDS[kind]} :{BIKE}" in text and "`foxglove-1`" in text
    assert why in text and "NO-GO" not in text


@pytest.mark.parametrize(("became", "kind", "why"), BECAME[:3] + BECAME[4:])
def test_a_profile_named_on_the_disk_is_told_too(
    shop: Git, became: Became, kind: str, why: str
) -> None:
    """Whoever names a vehicle's file asks for its verdict: nothing must not look like one."""
    became(shop.folder / BIKE)
    status, text = said(BIKE, OTHER)
    if why.startswith("moved to"):
        assert status == 0 and WORDS[kind] not in text
        return
    assert status == 3 and f"{WORDS[kind]} {BIKE}" in text and why in text
    assert "2 profiles: 1 NOT READ, 1 GO" in text


def test_a_profile_that_became_a_part_is_told(shop: Git) -> None:
    """It fits a schema, so that nothing else would be wrong with it."""
    shop.write(BIKE, PART)
    shop("add", "--all")
    for staged in (False, True):
        status, text = said(BIKE, staged=staged)
        assert status == 3 and "NO LONGER A PROFILE" in text and "the file is a part now" in text


@pytest.mark.parametrize("staged", [False, True])
def test_every_profile_of_a_folder_that_is_gone_is_told(shop: Git, staged: bool) -> None:
    """Its name stands for what lay in it."""
    shop("rm", "--quiet", "-r", FOLDER)
    status, text = said(FOLDER, staged=staged)
    assert status == 3 and text.count("GONE") == 2
    assert all(name in text for name in (BIKE, OTHER))


@pytest.mark.parametrize("staged", [False, True])
def test_a_vehicle_in_another_file_and_a_retired_one_are_not_missed(
    shop: Git, staged: bool
) -> None:
    """Known again by its id, or by its lines where it has none; sold, and said so."""
    renamed("attic/digitalis.yaml")(shop.folder / BIKE)
    renamed("attic/alnus.yaml")(shop.folder / OTHER)
    shop("add", "--all")
    status, text = said(BIKE, OTHER, staged=staged)
    assert status == 0 and "2 missing files" in text
    (shop.folder / "attic/digitalis.yaml").unlink()
    shop("add", "--all")
    assert said(BIKE, staged=staged)[0] == 3
    shop.write("house.yaml", RETIRED)
    shop("add", "--all")
    assert said(BIKE, staged=staged)[0] == 0


def test_two_vehicles_that_changed_files_are_both_there(shop: Git) -> None:
    """Each in the other's file."""
    second = WITH_ID.replace("Foxglove", "Alder").replace("foxglove-1", "alder-1")
    shop.write(OTHER, second)
    shop.commit("An id")
    shop.write(BIKE, second)
    shop.write(OTHER, WITH_ID)
    shop("add", "--all")
    assert said(".", staged=True)[0] == 0
    shop.write(OTHER, WITH_ID.replace("foxglove-1", "foxglove-2"))
    shop("add", "--all")
    status, text = said(".", staged=True)
    assert status == 3 and "its file describes another vehicle now" in text


def test_another_ending_of_its_name_is_told(shop: Git) -> None:
    """Set aside as a copy, without the ending that documents have; a picture beside it is none."""
    shop.write("vehicles/foxglove.jpg", "no text of ours")
    shop.commit("A picture")
    renamed("vehicles/foxglove.old")(shop.folder / BIKE)
    shop("add", "--all")
    for staged in (False, True):
        assert "`foxglove.old` is not a YAML file by its name" in said(BIKE, staged=staged)[1]


@pytest.mark.parametrize("folder", [".", FOLDER])
@pytest.mark.parametrize(
    "became",
    [Path.unlink, lambda file: file.write_text(""), lambda file: file.rename(f"{file}.bak")],
)
def test_a_folder_misses_whom_the_last_commit_has_in_it(
    shop: Git, folder: str, became: Callable[[Path], object]
) -> None:
    """A NO-GO vehicle less is no better day: `check`, `shop` and `due` name it, until it is committed."""
    became(shop.folder / BIKE)
    status, text = said(folder)
    assert status == 3 and f"{BIKE}" in text and "which the last commit has" in text
    for asked in (whole_shop, due):
        out = io.StringIO()
        assert asked([Path(folder)], as_of=TODAY, out=out) == 3
        assert "which the last commit has" in " ".join(out.getvalue().split())
    shop.commit("Sold")
    assert said(FOLDER)[0] == 0 and said(FOLDER, staged=True)[0] == 0
    assert check([Path(FOLDER)], at="HEAD", out=io.StringIO()) == 0


def test_a_folder_misses_nobody_who_moved_or_was_sold(shop: Git) -> None:
    """Nor a part, nor who stands in another file by the same id."""
    (shop.folder / BIKE).rename(shop.folder / "vehicles/renamed.yaml")
    assert said(FOLDER)[0] == 0
    (shop.folder / "vehicles/renamed.yaml").unlink()
    shop.write("house.yaml", RETIRED)
    assert said(FOLDER)[0] == 0


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_says_that_it_is_not_there(shop: Git, form: str) -> None:
    """A machine that reads a report must not count the vehicle as sound either."""
    shop("rm", "--quiet", BIKE)
    status, text = said(".", staged=True, form=form)
    assert status == 3 and "which the last commit has" in text
    assert form == "json" or "GONE" in text


def test_before_the_first_commit_nobody_is_missed(
    git: Git, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There is nothing that could have gone."""
    git.write("house.yaml", HOUSE)
    git.write(BIKE, CALM)
    git("add", "--all")
    monkeypatch.chdir(git.folder)
    assert said(".", staged=True)[0] == 0
    (git.folder / BIKE).unlink()
    status, text = said(BIKE)
    assert status == 3 and "GONE" not in text


@pytest.mark.parametrize("script", SCRIPTS[:2], ids=["as it is", "what it brings"])
def test_no_hook_lets_a_vehicle_out_of_the_shop(shop: Git, script: str) -> None:
    """As they stand on the page: emptied, turned into a part, set aside; a sound commit says little."""
    shop.write(OTHER, HOT.replace("Foxglove", "Alder"))
    shop.commit("Not fit for the ride")
    hook(shop.folder / ".git/hooks", "pre-commit", script)
    for became in (
        lambda file: file.write_text(""),
        lambda file: file.write_text(PART),
        renamed("vehicles/alder.bak"),
    ):
        became(shop.folder / OTHER)
        shop("add", "--all")
        assert refused(shop, "commit", "-m", "out of the way")
        shop("reset", "--quiet", "--hard")
        shop("clean", "--quiet", "--force")
    shop.write(OTHER, CALM.replace("Foxglove", "Alder"))
    shop("add", "--all")
    person = ["-c", "user.name=A", "-c", "user.email=a@example.org"]
    done = subprocess.run(
        ["git", *person, "commit", "--quiet", "-m", "sound"],
        cwd=shop.folder, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert len((done.stdout + done.stderr).splitlines()) <= 5
