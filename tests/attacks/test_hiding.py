"""No profile hides: every YAML file is judged, named as what it is, or told to be unreadable."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.main import status

from .hostile_files import (
    HAZARD,
    SOUND,
    Answered,
    checked,
    committed,
    compared,
    plain_git,
    verdicts,
    write,
)
from .hostile_git import call

pytestmark = pytest.mark.usefixtures("frozen")
FIRST = "gonogo: profile/1\n"
BODY = HAZARD.removeprefix(FIRST)
PADDING = "# nothing to see here\n" * 1500  # 33 KB
HIDDEN = "vehicles/hemlock.yaml"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A shop with one sound vehicle, committed."""
    for name, value in plain_git():
        monkeypatch.setenv(name, value)
    top = tmp_path / "shop"
    write(top / "house.yaml", "gonogo: house/1\n")
    write(top / "vehicles" / "foxglove.yaml", SOUND)
    committed(top)
    monkeypatch.chdir(top)
    yield top


def flow(text: str) -> str:
    """A document in flow style, its first key last."""
    import json

    from ruamel.yaml import YAML

    plain: dict[str, Any] = YAML(typ="safe").load(text)
    plain["gonogo"] = plain.pop("gonogo")
    return json.dumps(plain)


# What is written, and whether it can be judged; else it is not read.
TEXTS: dict[str, tuple[str | bytes, bool]] = {
    "as it should be": (HAZARD, True),
    "comments first": (PADDING + HAZARD, True),
    "blank lines first": ("\n" * 20_000 + HAZARD, True),
    "flow style, key last": (flow(HAZARD), True),
    "key last": (BODY + FIRST, True),
    "a text over the lines of a rule": (
        HAZARD.replace("name: Hemlock", 'name: "Hemlock\n   gonogo: rule/1\n   x"'),
        True,
    ),
    "a text at the margin that names a rule": (
        '# x\nvehicle: {name: "Hem\ngonogo: rule/1\nlock", use: private_land, mass_kg: 90}\n'
        + FIRST
        + BODY[BODY.index("pack:") :],
        False,
    ),
    "a byte order mark": (b"\xef\xbb\xbf" + HAZARD.encode(), True),
    "UTF-16": (HAZARD.encode("utf-16"), False),
    "UTF-16 without a mark": (HAZARD.encode("utf-16-le"), False),
    "a start of a document": ("---\n" + HAZARD, True),
    "a directive": ("%YAML 1.2\n---\n" + HAZARD, True),
    "carriage returns": (HAZARD.replace("\n", "\r\n"), True),
    "a comment behind the first key": (HAZARD.replace("profile/1", "profile/1  # x", 1), True),
    "a second document": ("gonogo: part/1\n---\n" + HAZARD, False),
    "a second document behind something else": ("steps: []\n---\n" + HAZARD, False),
    "a rule before its key": ("gonogo: rule/1\n" + BODY, False),
    "a part before its key": ("gonogo: part/1\n" + BODY, False),
    "a house before its key": ("gonogo: house/1\n" + BODY, False),
    "two keys": ("gonogo: rule/1\n" + HAZARD, False),
    "two keys, the second last": ("gonogo: part/1\n" + BODY + FIRST, False),
    "in double quotes": (HAZARD.replace("gonogo", '"gonogo"', 1), True),
    "in single quotes": (HAZARD.replace("gonogo", "'gonogo'", 1), True),
    "escaped": (HAZARD.replace("gonogo", r'"gon\u006fgo"', 1), True),
    "a tag on the key": (HAZARD.replace("gonogo", "!!str gonogo", 1), False),
    "an anchor on the key": (HAZARD.replace("gonogo", "&k gonogo", 1), True),
    "a key that is an alias": ("x: &k gonogo\n*k : profile/1\n" + BODY, False),
    "a base64 tag": ("!!binary Z29ub2dv: profile/1\nvehicle: {name: x}\n", False),
    "an explicit key": (HAZARD.replace("gonogo: ", "? gonogo\n: ", 1), True),
    "a merged section": ("x: &x {gonogo: profile/1, vehicle: {name: x}}\n<<: *x\n", False),
    "sections merged": (
        "a: &a {vehicle: {name: x}, pack: none}\nb: &b {settings: {}}\n<<: [*a, *b]\n",
        False,
    ),
    "no first key": (BODY, False),
    "another first key": (HAZARD.replace("gonogo", "gonogoo", 1), False),
    "a letter of another script": (HAZARD.replace("gonogo", "g\u043enogo", 1), False),
    "wide letters": (HAZARD.replace("gonogo", "\uff47onogo", 1), False),
    "below another key": ("vehicles:\n  " + HAZARD.replace("\n", "\n  "), False),
    "in a list": ("- " + HAZARD.replace("\n", "\n  "), False),
    "three sections only": ("pack: {}\nother: 1\ncontroller: {}\nmotor: {}\n", False),
    "broken further down": (HAZARD + "settings: [\n", False),
    "broken before its key": ("x: [\n" + HAZARD, False),
    "a tab": ("\tgonogo: profile/1\n" + BODY, False),
    "too deep": ("x: " + "[" * 300 + "]" * 300 + "\n" + HAZARD, False),
    "a control character": (HAZARD + "# \x07\n", False),
    "too large": (HAZARD + "#" * (1 << 20), False),
    "an edition to come": (HAZARD.replace("profile/1", "profile/2", 1), False),
    "large letters": (HAZARD.replace("gonogo", "GONOGO", 1), False),
}
NAMES = {
    "large letters": "vehicles/hemlock.YAML",
    "the short ending": "vehicles/hemlock.yml",
    "the short ending in large letters": "vehicles/hemlock.Yml",
    "a blank behind": "vehicles/hemlock.yaml ",
    "a dot behind": "vehicles/hemlock.yaml.",
    "wide letters": "vehicles/hemlock.\uff59aml",
    "a hidden file": "vehicles/.hemlock.yaml",
    "a hidden folder": "vehicles/.old/hemlock.yaml",
    "a hidden folder at the top": ".github/hemlock.yaml",
    "nothing but an ending": "vehicles/.yaml",
    "a folder that is called like a file": "vehicles/x.yaml/hemlock.yaml",
    "a folder for dependencies": "node_modules/hemlock.yaml",
    "an empty folder called as git's is": "vehicles/x/.git/hemlock.yaml",
    "the rules' folder of nobody": "rules/hemlock.yaml",
    "a name in quotes": "vehicles/'hem\"lock'.yaml",
    "a house file's name elsewhere": "vehicles/x/house.yaml",
}


def is_taken_up(name: str) -> bool:
    """Whether git takes up a file of that name, and it is meant for a profile."""
    return ".git/" not in name and "house" not in name


UNSEEN = {
    "a line end": "vehicles/hemlock\n.yaml",
    "a line end behind": "vehicles/hemlock.yaml\n",
    "a mark that nobody sees": "vehicles/hemlock.ya\u200bml",
    "a mark that turns the direction": "vehicles/lmay.\u202ehemlock.yaml",
    "bytes that are no text": os.fsdecode(b"vehicles/hem\xfflock.yaml"),
    "a control character": "vehicles/hem\x1block.yaml",
}


def is_found(answered: Answered, file: str, judged: bool) -> None:
    """It stands in the report, and the report is not good."""
    if judged:
        assert verdicts(answered).get(file) == "no-go"
        assert answered.errors == [] and answered.status == 1
    else:
        assert file in answered.errors and answered.status == 3
        assert file not in verdicts(answered)
        assert answered.record.get("verdict") is None


@pytest.mark.parametrize("how", TEXTS)
def test_no_way_of_writing_hides_a_profile(how: str, shop: Path) -> None:
    """A hazard that is overlooked because of how its file begins is somebody's ride."""
    data, judged = TEXTS[how]
    write(shop / HIDDEN, data)
    for answered in (checked(shop), checked(shop / "vehicles"), compared(shop)):
        is_found(answered, HIDDEN, judged)
    assert checked(shop / HIDDEN).status == (1 if judged else 3)
    committed(shop, "second")
    answered = compared(shop)
    is_found(answered, HIDDEN, judged)


@pytest.mark.parametrize("how", NAMES)
def test_no_name_hides_a_profile(how: str, shop: Path) -> None:
    """Neither an ending, nor a hidden folder, nor a folder that others pass by."""
    name = NAMES[how]
    write(shop / name, HAZARD)
    judged = "house" not in name
    is_found(checked(shop), name, judged)
    if ".git/" not in name:  # git itself takes up nothing that is called so
        is_found(compared(shop), name, judged)
        is_found(compared(shop, str(Path(name).parent)), name, judged)
        committed(shop, "second")
        is_found(compared(shop), name, judged)


@pytest.mark.parametrize("how", UNSEEN)
def test_a_name_that_nobody_can_read_is_told(how: str, shop: Path) -> None:
    """Two files would look like one, and one of them would be GO."""
    write(shop / UNSEEN[how], HAZARD)
    write(shop / "vehicles" / "hemlock .yaml", SOUND)
    for answered in (checked(shop), compared(shop)):
        assert answered.status == 3 and len(answered.errors) == 1
        assert "nobody sees" in answered.record["errors"][0]["found"]


def dangling(shop: Path) -> str:
    (shop / HIDDEN).symlink_to("nowhere.yaml")
    return HIDDEN


def leading_out(shop: Path) -> str:
    write(shop.parent / "out.yaml", HAZARD)
    (shop / HIDDEN).symlink_to("../../out.yaml")
    return HIDDEN


def folder_leading_out(shop: Path) -> str:
    write(shop.parent / "out" / "hemlock.yaml", HAZARD)
    (shop / "vehicles" / "more").symlink_to("../../out")
    return "vehicles/more"


def circle(shop: Path) -> str:
    (shop / HIDDEN).symlink_to("hemlock.yaml")
    return HIDDEN


def pipe(shop: Path) -> str:
    os.mkfifo(shop / HIDDEN)
    return HIDDEN


@pytest.mark.parametrize("lay", [dangling, leading_out, folder_leading_out, circle, pipe])
def test_a_way_that_cannot_be_gone_is_told(lay: Callable[[Path], str], shop: Path) -> None:
    """What cannot be looked at is not good because of that."""
    name = lay(shop)
    for answered in (checked(shop), checked(shop / "vehicles"), compared(shop)):
        is_found(answered, name, False)


def test_a_link_that_stays_inside_is_gone(shop: Path) -> None:
    """To a file of another name, to a folder beside, from a folder that is checked alone."""
    write(shop / "attic" / "hemlock.txt", HAZARD)
    (shop / HIDDEN).symlink_to("../attic/hemlock.txt")
    write(shop / "attic" / "more" / "hemlock.yaml", HAZARD)
    (shop / "vehicles" / "more").symlink_to("../attic/more")
    (shop / "vehicles" / "round").symlink_to("..")
    for paths in ((shop,), (shop / "vehicles",)):
        found = verdicts(checked(*paths))
        assert found[HIDDEN] == found["attic/more/hemlock.yaml"] == "no-go"
    assert verdicts(compared(shop))[HIDDEN] == "no-go"


def test_a_folder_that_may_not_be_read_is_told(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever may not look into a folder cannot say that all in it is good."""
    write(shop / "vehicles" / "locked" / "hemlock.yaml", HAZARD)
    scandir = os.scandir

    def refusing(folder: str) -> Any:
        if str(folder).endswith("locked"):
            raise PermissionError(errno.EACCES, "no", str(folder))
        return scandir(folder)

    monkeypatch.setattr(os, "scandir", refusing)
    for answered in (checked(shop), compared(shop)):
        is_found(answered, "vehicles/locked", False)


def test_every_yaml_file_is_counted(shop: Path) -> None:
    """What is no profile is named as what it is; nothing is left out."""
    write(shop / "parts" / "hub.yaml", "gonogo: part/1\npart: {name: H}\nmotor: {pole_pairs: 5}\n")
    write(shop / ".github" / "workflows" / "ci.yml", "on: push\njobs: {check: {steps: []}}\n")
    write(shop / "empty.yaml", "")
    write(shop / "notes.txt", HAZARD)
    answered = checked(shop)
    assert answered.status == 0 and answered.record["verdict"] == "go"
    assert answered.record["others"] == [
        {"file": "house.yaml", "kind": "house"},
        {"file": "parts/hub.yaml", "kind": "part"},
        {"file": ".github/workflows/ci.yml", "kind": "other"},
        {"file": "empty.yaml", "kind": "other"},
    ]


def test_a_folder_is_never_go_beside_what_was_not_read(shop: Path) -> None:
    """Whoever reads only the verdict must not read GO."""
    write(shop / "vehicles" / "x.yaml", "[")
    answered = checked(shop)
    assert (answered.status, answered.record["verdict"]) == (3, None)


def test_what_other_programs_keep_in_hidden_folders_is_none_of_ours(shop: Path) -> None:
    """Broken YAML there is not read only where it might be a vehicle."""
    write(shop / ".venv" / "template.yaml", "x: [{{ y }}\n- }")
    answered = checked(shop)
    assert (answered.status, answered.record["verdict"]) == (0, "go")
    assert {"file": ".venv/template.yaml", "kind": "other"} in answered.record["others"]
    for words in ("gonogo", '"g\\u006fnogo"', "motor: 1\npack: 1\nthrottle: 1"):
        write(shop / ".venv" / "template.yaml", f"x: [{{{{ y }}}}\n- }}\n{words}\n")
        is_found(checked(shop), ".venv/template.yaml", False)


@pytest.mark.parametrize("how", [how for how, (_, judged) in TEXTS.items() if judged])
def test_a_profile_that_hid_does_not_vanish(how: str, shop: Path) -> None:
    """One that is removed is told as gone, however it was written."""
    write(shop / "vehicles" / ".x" / "hemlock.YAML", TEXTS[how][0])
    committed(shop)
    call(shop, "git", "rm", "-rq", "vehicles/.x")
    (gone,) = compared(shop).record["comparisons"]
    assert gone["old"]["file"] == "first:vehicles/.x/hemlock.YAML" and gone["new"] is None


@pytest.mark.parametrize("name", [name for name in NAMES.values() if is_taken_up(name)])
def test_a_change_of_a_profile_that_hides_is_seen(name: str, shop: Path) -> None:
    """A sound vehicle that lies hidden is not made a hazard in silence."""
    write(shop / name, SOUND)
    committed(shop)
    write(shop / name, HAZARD)
    is_found(compared(shop), name, True)


def test_a_link_to_a_folder_of_parts_that_changes_is_seen(shop: Path) -> None:
    """The profile's bytes are the same, and its motor is another."""
    for folder, pairs in (("sound", 5), ("other", 7)):
        part = f"gonogo: part/1\npart: {{name: Hub}}\nmotor: {{pole_pairs: {pairs}}}\n"
        write(shop / folder / "hub.yaml", part)
    (shop / "parts").symlink_to("sound")
    with_part = SOUND.replace("motor:\n", "motor:\n  part: ../parts/hub.yaml\n")
    write(shop / "vehicles" / "foxglove.yaml", with_part.replace("  pole_pairs: 5\n  kv", "  kv"))
    committed(shop)
    assert compared(shop).record["comparisons"] == []
    (shop / "parts").unlink()
    (shop / "parts").symlink_to("other")
    (moved,) = compared(shop).record["comparisons"]
    assert [change["quantity"] for change in moved["changes"]] == ["motor.pole_pairs"]


def test_a_link_into_what_git_keeps_is_gone(shop: Path) -> None:
    """Only what lies in `.git` is left out, not what a folder beside the vehicles leads to."""
    write(shop / ".git" / "kept" / "hemlock.yaml", HAZARD)
    (shop / "vehicles" / "more").symlink_to("../.git/kept")
    (shop / ".git" / "kept" / "round").symlink_to("..")
    for paths in ((shop,), (shop / "vehicles",)):
        assert verdicts(checked(*paths))[".git/kept/hemlock.yaml"] == "no-go"


def test_a_template_of_others_is_none_of_ours(shop: Path) -> None:
    """What is no YAML before it is filled in, and brackets that our parser alone refuses."""
    texts = {
        "chart/deployment.yaml": "name: {{ .Name }}\n{{- if .On }}\nreplicas: {{ .N }}\n{{- end }}\n",
        "site/page.yml": "{% if on %}\nname: {{ name }}-x\n{% endif %}\n",
        "compose.yml": 'services: {web: {ports: ["80:80", 22:22]}}\n',
    }
    for name, text in texts.items():
        write(shop / name, text)
    answered = checked(shop)
    assert (answered.status, answered.record["verdict"]) == (0, "go")
    for name, text in texts.items():
        assert {"file": name, "kind": "other"} in answered.record["others"]
        for words in ("gonogo: 1", '"gono\\\n go": 1', "motor: 1\npack: 1\nthrottle: 1"):
            write(shop / name, f"{text}{words}\n")
            is_found(checked(shop), name, False)
        write(shop / name, text)
    write(shop / "chart" / "deployment.yaml", "name: {{ .Name }}\n{{- if .On }}\nreplicas: [1\n")
    is_found(checked(shop), "chart/deployment.yaml", False)


def test_a_lock_of_an_editor_is_no_file(shop: Path) -> None:
    """A link that leads nowhere and says who has the file open; one that leads to a file is judged."""
    lock = shop / "vehicles" / ".#hemlock.yaml"
    lock.symlink_to("somebody@bench.123:456")
    answered = checked(shop)
    assert (answered.status, answered.record["verdict"]) == (0, "go")
    write(shop / "vehicles" / "somebody@bench.123:456", HAZARD)
    is_found(checked(shop), "vehicles/.#hemlock.yaml", True)
    lock.unlink()
    lock.symlink_to("nobody.yaml")
    is_found(checked(shop), "vehicles/.#hemlock.yaml", False)


def test_a_file_called_like_one_of_a_revision_does_not_stand_for_it(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Else whoever adds it makes a change into none."""
    name = "HEAD:vehicles/foxglove.yaml"
    write(shop / name, HAZARD)
    write(shop / "vehicles" / "foxglove.yaml", HAZARD)
    assert status(["diff", name, "vehicles/foxglove.yaml"]) == 2
    assert "on the disk and a file of a revision as well" in capsys.readouterr().err
    assert status(["diff", f"./{name}", "vehicles/foxglove.yaml"]) == 0
