"""Whatever is asked for, the documents under it are found, each in its own repository."""

from __future__ import annotations

import os
import pickle
from pathlib import Path

import pytest
from gonogo.documents.error import DocumentError, DocumentErrors
from gonogo.documents.loading import check_document, load, load_profile
from gonogo.documents.recognition import kind_of
from gonogo.documents.repository import open_repository
from gonogo.documents.search import Search, find
from gonogo.documents.shop_top import shop_top

from .conftest import ALDER, Workshop

PART = "gonogo: part/1\npart: {name: Motor}\nmotor: {pole_pairs: 5}\n"


def names(search: Search) -> list[str]:
    """The profiles found, as reports show them."""
    return [found.file for found in search.profiles]


def test_a_folder_is_searched_for_profiles(workshop: Workshop) -> None:
    """Whatever else is YAML is named: parts, the house file, what is not ours."""
    top = workshop(
        {
            "vehicles/birch.yaml": ALDER,
            "vehicles/alder.yml": f"# Our oldest.\n\n---\n{ALDER}",
            "vehicles/braces.yaml": "{gonogo: profile/1, vehicle: {name: Braces}}",
            "parts/motor.yaml": PART,
            "pipeline.yaml": "steps: [check]\n",
            ".hidden/cedar.yaml": ALDER,
            "notes.txt": ALDER,
        }
    )
    search = find([top])
    assert names(search) == [
        ".hidden/cedar.yaml",
        "vehicles/alder.yml",
        "vehicles/birch.yaml",
        "vehicles/braces.yaml",
    ]
    assert [(found.file, found.kind) for found in search.others] == [
        ("house.yaml", "house"),
        ("parts/motor.yaml", "part"),
    ]
    assert search.foreign == ("pipeline.yaml",)
    assert search.errors == ()


def test_a_file_is_found_once(workshop: Workshop) -> None:
    """A folder and a file in it are no two vehicles."""
    top = workshop({"vehicles/alder.yaml": ALDER})
    search = find([top / "vehicles" / "alder.yaml", top, top / "vehicles"])
    assert names(search) == ["vehicles/alder.yaml"]


def test_two_shops_have_names_of_their_own(workshop: Workshop, tmp_path: Path) -> None:
    """`alder.yaml` of the one shop is not that of the other."""
    for shop in ("mill", "barn"):
        workshop({"alder.yaml": ALDER}, below=shop)
    search = find([tmp_path])
    assert names(search) == ["barn/alder.yaml", "mill/alder.yaml"]
    profile = load_profile(search.profiles[0].repository, search.profiles[0].path)
    assert (profile.file, profile.house.file) == ("barn/alder.yaml", "barn/house.yaml")
    assert profile.place.file == "barn/alder.yaml"


def test_a_folder_without_profiles_is_empty(workshop: Workshop) -> None:
    """The command says so; here it is only an empty answer."""
    assert find([workshop({"a.yaml": "steps: []\n"}) / "."]).profiles == ()
    assert find([]).profiles == ()


@pytest.mark.parametrize(
    ("name", "found"),
    [
        pytest.param("nowhere.yaml", "no such file", id="a missing file"),
        pytest.param("pipeline.yaml", "no key `gonogo`, but `steps` first", id="another YAML"),
    ],
)
def test_a_file_asked_for_by_name_is_answered(workshop: Workshop, name: str, found: str) -> None:
    """Nothing that was asked for is passed over in silence."""
    search = find([workshop({"pipeline.yaml": "steps: []\n"}) / name])
    told = list(search.errors)
    for one in search.profiles:
        with pytest.raises(DocumentErrors) as caught:
            load_profile(one.repository, one.path)
        told += caught.value.errors
    assert [error.found for error in told] == [found]


def test_a_file_that_may_not_be_read_is_an_error_of_its_own(workshop: Workshop) -> None:
    """The other profiles are found all the same."""
    top = workshop({"alder.yaml": ALDER})
    os.mkfifo(top / "pipe.yaml")
    search = find([top])
    assert names(search) == ["alder.yaml"]
    assert [error.file for error in search.errors] == ["pipe.yaml"]


@pytest.mark.parametrize(
    ("start", "kind"),
    [
        (b"gonogo: profile/1", "profile"),
        (b"\xef\xbb\xbfgonogo: part/1", "part"),
        (b"'gonogo' : house/1", "house"),
        (b"# x\r\n\r\ngonogo: rule/1", "rule"),
        (b"# x\rgonogo: house/1", "house"),
        (b"{\n  gonogo: part/1}", "part"),
        (b"gonogo:", "profile"),
        (b"gonogo: profil/1", "profile"),
        (b"gonogoo: profile/1", "profile"),
        (b"vehicle: {name: Alder}\ngonogo: profile/1", "profile"),
        (b"name: gonogo check\nsteps: []", None),
        (b"Gonogo: profile/1", "profile"),
        (b"uses: profile/1", None),
        (b"tools:\n  gonogo: 0.1.0\n", None),
        (b"path: a/profile/1", None),
        (b"", None),
    ],
)
def test_a_document_is_known_by_its_keys(start: bytes, kind: str | None) -> None:
    """A slip in the first key must not make a vehicle disappear from the check."""
    assert kind_of(start, "x.yaml") == kind


@pytest.mark.parametrize(
    "data", [b"\x00\xff", "gonogo: part/1".encode("utf-16"), b"a: [", b"a: " + b"[" * 200]
)
def test_of_what_nobody_can_read_nobody_can_tell(data: bytes) -> None:
    """It might be a vehicle, and is not passed over."""
    with pytest.raises(DocumentError):
        kind_of(data, "x.yaml")


def test_the_top_is_the_nearest_house_or_repository(workshop: Workshop, tmp_path: Path) -> None:
    """A shop inside a larger repository is a world of its own."""
    inner = workshop({"vehicles/x/alder.yaml": ALDER}, below="all/shop")
    for name in ("objects", "refs"):
        (tmp_path / "all" / ".git" / name).mkdir(parents=True)
    (tmp_path / "all" / ".git" / "HEAD").write_text("ref: refs/heads/main\n")
    assert shop_top(inner / "vehicles" / "x").folder == inner
    assert shop_top(tmp_path / "all" / "other").folder == tmp_path / "all"
    assert shop_top(tmp_path).folder == tmp_path


def test_a_path_may_be_relative(workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever stands in the folder types the name alone."""
    monkeypatch.chdir(workshop({"vehicles/alder.yaml": ALDER}) / "vehicles")
    assert load("alder.yaml").file == "vehicles/alder.yaml"
    assert names(find([Path()])) == ["vehicles/alder.yaml"]


def test_a_link_out_of_the_shop_is_refused(workshop: Workshop, tmp_path: Path) -> None:
    """A profile or part that is a way out is told where it is asked for."""
    (tmp_path / "motor.yaml").write_text(PART)
    top = workshop({"alder.yaml": f"{ALDER}motor: {{part: motor.yaml}}\n"})
    (top / "motor.yaml").symlink_to("../motor.yaml")
    with pytest.raises(DocumentErrors) as caught:
        load(top / "alder.yaml")
    (error,) = caught.value.errors
    assert error.found == "a link that points out of the repository at `motor.yaml`"
    assert (error.line, error.column) == (3, 15)


def test_a_house_file_that_leads_nowhere_is_no_missing_one(workshop: Workshop) -> None:
    """Defaults in place of a shop's stricter allowances would be a way to a false GO."""
    top = workshop({"alder.yaml": ALDER})
    (top / "house.yaml").unlink()
    (top / "house.yaml").symlink_to("gone.yaml")
    with pytest.raises(DocumentErrors) as caught:
        load(top / "alder.yaml")
    assert [error.file for error in caught.value.errors] == ["house.yaml"]


def test_shared_documents_are_read_once(workshop: Workshop) -> None:
    """A fault in a part is the same fault for every profile that takes it."""
    alder = f"{ALDER}motor: {{part: motor.yaml}}\n"
    files = {"a.yaml": alder, "b.yaml": alder, "motor.yaml": PART.replace("5", "half")}
    search = find([workshop(files)])
    errors = []
    for found in search.profiles:
        with pytest.raises(DocumentErrors) as caught:
            load_profile(found.repository, found.path)
        errors += caught.value.errors
    part = next(found for found in search.others if found.kind == "part")
    errors += check_document(part.repository, part.path, part.kind)
    assert len(errors) == 3 and len(set(map(id, errors))) == 1


def test_a_repository_passes_to_another_process(workshop: Workshop) -> None:
    """What one process found another reads."""
    repository, path = open_repository(workshop({"alder.yaml": ALDER}) / "alder.yaml")
    profile = load_profile(pickle.loads(pickle.dumps(repository)), path)
    assert pickle.loads(pickle.dumps(profile)) == profile
