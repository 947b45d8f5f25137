"""A day's work in a shop of fourteen vehicles, played from its first commit: nothing of it is lost.

A shop lies in a folder of a larger repository, with a linked folder and a submodule of parts. After each
step the change is asked for on the disk, as staged, and between two commits, here and in a bare clone;
the vehicles are counted once more by plain text.
"""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.check import run as check
from gonogo.commands.history import run as history
from gonogo.commands.waivers import run as waivers

from tests.commands.test_diff import CALM, HOT, HOUSE, Git, diff, record
from tests.commands.test_history_stories import UNDER_83

pytestmark = pytest.mark.usefixtures("frozen")
TODAY = "2026-11-25"
SHOP = "fleet/vehicles"
HUB = "gonogo: part/1\npart: {name: Hub, source: {title: Datasheet}}\nmotor:\n  magnets: 10\n"
RULE = "max-rpm-back-emf"
WAIVER = (
    f"waivers:\n  - {{rule: {RULE}, accepts: 6400, until: '2026-12-20', reason: A hill day.}}\n"
)
FORMS = ("disk", "staged", "commits", "bare")


def file_of(number: int) -> str:
    return f"{SHOP}/v{number:02}.yaml"


def vehicle(number: int, text: str = CALM) -> str:
    return text.replace("name: Foxglove", f"name: V{number:02}\n  id: v-{number:02}")


def taking(part: str, text: str = CALM) -> str:
    return text.replace("motor:\n  magnets: 10\n", f"motor:\n  part: {part}\n")


class Day:
    """The shop, and what each step comes to in every form of asking."""

    def __init__(self, git: Git, monkeypatch: pytest.MonkeyPatch, bare: Path) -> None:
        self.git, self.monkeypatch, self.bare = git, monkeypatch, bare
        self.hour = 0

    def by(self, author: str) -> None:
        """Who commits next, an hour later."""
        self.hour += 1
        for who in ("AUTHOR", "COMMITTER"):
            self.monkeypatch.setenv(f"GIT_{who}_NAME", author)
            self.monkeypatch.setenv(f"GIT_{who}_DATE", f"2026-11-20T{self.hour:02}:00:00Z")

    def write(self, number: int, text: str) -> None:
        self.git.write(file_of(number), vehicle(number, text))

    def there(self, revision: str) -> dict[str, str]:
        """The vehicles below the folder at a commit, by name with their files, as text has them."""
        found = {}
        listed = self.git("ls-tree", "-r", "--name-only", revision, f"{SHOP}/").split()
        for path in listed:
            text = self.git("show", f"{revision}:{path}")
            name = re.search(r"(?m)^  name: (\w+)$", text)
            if text.startswith("gonogo: profile/1") and name and path.lower().endswith(".yaml"):
                found[name[1]] = path
        return found

    def step(self, author: str, message: str) -> dict[str, Any]:
        """Commit what lies there; the record of the change, alike in all forms."""
        here, told = self.git.folder, {}
        told["disk"] = self._asked(against="HEAD", here=here)
        self.git("add", "--all")
        told["staged"] = self._asked(staged=True, here=here)
        self.by(author)
        self.git("commit", "--quiet", "-m", message)
        told["commits"] = self._asked("HEAD~1..HEAD", here=here)
        self.git("push", "--quiet", "--force", str(self.bare), "HEAD:refs/heads/main")
        if not self.git("ls-files", ".gitmodules"):
            told["bare"] = self._asked("HEAD~1..HEAD", here=self.bare)
        old, new = self.there("HEAD~1"), self.there("HEAD")
        for form, (came_to, one) in told.items():
            self._is_whole(one, old, new)
            assert (came_to, _short(one)) == (told["disk"][0], _short(told["disk"][1])), form
        came_to, one = told["commits"]
        return {**one, "status": came_to, "by_name": _by_name(one)}

    def _asked(self, *sides: str, **more: Any) -> tuple[int, dict[str, Any]]:
        # On the disk a path is meant from where one stands, in a bare repository from its top.
        paths = [str(more["here"] / SHOP)] if "against" in more else [SHOP]
        return diff(*sides, *paths, **more)[0], record(*sides, *paths, **more)

    def _is_whole(self, told: dict[str, Any], old: dict[str, str], new: dict[str, str]) -> None:
        """Each vehicle of either side is told, unchanged, or waits for an error."""
        unread = {name.split(":")[-1] for error in told["errors"] for name in error["affects"]}
        was = {one["old"]["name"] for one in told["comparisons"] if one["old"]}
        now = {one["new"]["name"] for one in told["comparisons"] if one["new"]}
        waiting = {name for name, path in new.items() if path in unread}
        assert old.keys() - new.keys() - waiting <= was and now <= new.keys()
        assert new.keys() - old.keys() <= now | waiting
        told_of = now | waiting
        assert len(told_of) + told["unchanged"] == len(new), (told_of, told["unchanged"], new)


def _by_name(told: dict[str, Any]) -> dict[str, Any]:
    return {(one["new"] or one["old"])["name"]: one for one in told["comparisons"]}


def _short(told: dict[str, Any]) -> Any:
    """What is told of each vehicle, but for how files are named."""
    return sorted(
        (name, one["harms"], one["waived_here"], (one.get("ceased") or {}).get("as"),
         one.get("returned"), sorted(change["quantity"] for change in one["changes"]))
        for name, one in _by_name(told).items()
    )  # fmt: skip


@pytest.fixture
def day(git: Git, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Day:
    """The shop as it was in the morning."""
    bare = tmp_path / "bare.git"
    git("init", "--quiet", "--bare", "--initial-branch=main", str(bare))
    git.write("README", "Of the whole firm.\n")
    git.write("fleet/house.yaml", HOUSE)
    git.write("fleet/parts/hub.yaml", HUB)
    (git.folder / "fleet/lib").symlink_to("parts")
    start = Day(git, monkeypatch, bare)
    for number in range(1, 15):
        start.write(number, taking("../lib/hub.yaml") if number in (9, 10) else CALM)
    start.by("Alder")
    git.commit("As they stand")
    return start


def test_who_stops_being_a_vehicle_is_told_and_so_is_who_comes_back(day: Day) -> None:
    """Seven ways to fall out of the folder at once; two of them are none."""
    folder = day.git.folder / SHOP
    (folder / "v01.yaml").rename(folder / "v01.yaml.bak")
    (folder / "v02.yaml").rename(folder / "v02.YAML")
    (folder / "v03.yaml").rename(folder / ".v03.yaml")
    day.git.write(file_of(4), "")
    day.git.write(file_of(5), "# " + CALM.replace("\n", "\n# "))
    day.git.write(file_of(6), HUB)
    (folder.parent / "attic").mkdir()
    (folder / "v07.yaml").rename(folder.parent / "attic/v07.yaml")
    (folder / "v08.yaml").unlink()
    day.git.write("fleet/house.yaml", HOUSE + f'retired: [{{id: v-08, since: "{TODAY}"}}]\n')
    told = day.step("Birch", "Put away")
    became = {name: (one.get("ceased") or {}).get("as") for name, one in told["by_name"].items()}
    assert told["status"] == 1
    assert {name: kind for name, kind in became.items() if kind} == {
        "V01": "gone", "V04": "no_profile", "V05": "no_profile",
        "V06": "no_profile", "V07": "gone", "V08": "retired",
    }  # fmt: skip
    day.git("checkout", "HEAD~1", "--", "fleet")
    for name in ("v01.yaml.bak", "v02.YAML", ".v03.yaml", "../attic/v07.yaml"):
        (folder / name).unlink()
    told = day.step("Alder", "All back")
    assert told["by_name"]["V08"]["returned"] and told["status"] == 0
    (folder / "v15.yaml").write_text(vehicle(1).replace("V01", "V15"))
    for asked in ({"against": "HEAD"}, {"staged": True}):
        day.git("add", "--all")
        came_to, text = diff(here=day.git.folder, **asked)
        assert came_to == 3 and text.count("the id `v-01`, which") == 2


def test_parts_behind_a_link_and_in_a_submodule_reach_their_vehicles(
    day: Day, tmp_path: Path
) -> None:
    """A change there is a change of each vehicle that takes the part."""
    day.git.write("fleet/parts/hub.yaml", HUB.replace("10", "14"))
    told = day.step("Birch", "Another hub")
    assert told["by_name"].keys() == {"V09", "V10"} and told["status"] == 1
    library = type(day.git)(tmp_path / "library")
    library.folder.mkdir()
    library("init", "--quiet", "--initial-branch=trunk")
    library.write("axle.yaml", HUB)
    library.commit("One")
    day.git(
        "-c",
        "protocol.file.allow=always",
        "submodule",
        "--quiet",
        "add",
        str(library.folder),
        "fleet/sub",
    )
    day.write(11, taking("../sub/axle.yaml"))
    assert day.step("Birch", "From the library")["status"] == 0
    inner = type(day.git)(day.git.folder / "fleet/sub")
    inner.write("axle.yaml", HUB.replace("10", "14"))
    inner.commit("Fourteen")
    told = day.step("Birch", "The library's next")
    assert told["by_name"].keys() == {"V11"} and told["by_name"]["V11"]["harms"]


def test_what_a_hook_and_a_reviewer_ask_is_not_passed_by(day: Day) -> None:
    """A waiver with its danger, a danger half staged, an entry left out, a conflict, another branch."""
    day.write(12, HOT + WAIVER)
    told = day.step("Cedar", "A hill day")
    assert told["status"] == 1 and told["by_name"]["V12"]["waived_here"]
    day.write(13, HOT)
    day.git("add", "--all")
    day.write(13, CALM)
    out = io.StringIO()
    day.monkeypatch.chdir(day.git.folder)
    assert check([Path(file_of(13))], staged=True, as_of=TODAY, out=out) == 1
    assert check([Path(file_of(13))], at="HEAD", as_of=TODAY, out=out) in (0, 4)
    assert diff(f"HEAD:{file_of(13)}", f":{file_of(13)}", here=day.git.folder)[0] == 1
    day.write(13, HOT)
    assert day.step("Cedar", "Hot")["status"] == 1
    day.write(13, HOT.replace("continuous_A: 15, ", ""))
    told = day.step("Cedar", "A line less")
    assert told["status"] == 1 and told["by_name"]["V13"]["harms"]
    day.git.write(file_of(14), vehicle(14) + "<<<<<<< ours\nx: 1\n=======\nx: 2\n>>>>>>> theirs\n")
    told = day.step("Cedar", "Not merged")
    assert told["status"] == 3 and "merge conflict" in json.dumps(told["errors"])
    day.write(14, HOT)
    told = day.step("Cedar", "Merged")
    assert told["status"] == 1 and told["by_name"]["V14"]["old"] is None
    assert "old_not_read" in told["by_name"]["V14"]
    day.git("checkout", "--quiet", "-b", "side", "HEAD~3")
    day.write(1, CALM.replace("phase_current_A_rms: 150", "phase_current_A_rms: 145"))
    told = day.step("Dill", "The sheet says 145 A")
    work = told["by_name"]["V01"]["follow_ups"]  # which, of the real ones: comparison/test_followup
    assert {name for one in work for name in one["changed"]} == {"motor.phase_current_A_rms"}
    for sides, asked in (((), {"against": "main"}), (("main...side",), {})):
        assert _by_name(record(*sides, here=day.git.folder, **asked)).keys() == {"V01"}
    uris = re.findall(
        r'"uri": "([^"]*)"', diff("main~4..main", here=day.git.folder, form="sarif")[1]
    )
    assert uris and all(uri.startswith("fleet/") for uri in uris)


def test_the_past_is_told_as_it_was(day: Day) -> None:
    """A house rule that came later, a part and a vehicle that came back, a waiver that covers nothing."""
    day.git.write("fleet/house.yaml", HOUSE + "rules: rules\n")
    day.git.write("fleet/rules/mass-under-83.yaml", UNDER_83)
    assert day.step("Alder", "The lift bends")["status"] == 1
    (day.git.folder / "fleet/parts/hub.yaml").unlink()
    assert day.step("Birch", "Tidied")["status"] == 3
    day.git.write("fleet/parts/hub.yaml", HUB)
    day.step("Birch", "Back")
    (day.git.folder / file_of(2)).unlink()
    day.step("Cedar", "Lent")
    day.git("checkout", "HEAD~1", "--", file_of(2))
    day.step("Dill", "Returned")
    day.write(3, CALM + WAIVER)
    day.step("Dill", "To be sure")
    told = {}
    for number in (2, 9):
        out = io.StringIO()
        history(day.git.folder / file_of(number), form="json", as_of=TODAY, out=out)
        told[number] = json.loads(out.getvalue())["steps"]
    assert [(one["subject"], one["author"]) for one in told[9]] == [
        ("As they stand", "Alder"), ("The lift bends", "Alder"), ("Tidied", "Birch"), ("Back", "Birch")]  # fmt: skip
    assert [(one["subject"], one["author"]) for one in told[2]] == [
        ("As they stand", "Alder"), ("The lift bends", "Alder"), ("Lent", "Cedar"), ("Returned", "Dill")]  # fmt: skip
    out = io.StringIO()
    waivers([day.git.folder], form="json", as_of=TODAY, out=out)
    (waiver,) = json.loads(out.getvalue())["waivers"]
    assert (waiver["state"], waiver["added"]["by"]) == ("covers nothing", "Dill")
