"""`gonogo known` and `check --known`: what a shop knows already, and what is new or worse beside it."""

from __future__ import annotations

import io
import json
import subprocess
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from gonogo.commands.check import run as check
from gonogo.commands.diff import run as diff
from gonogo.commands.known import run as known
from gonogo.commands.main import status
from gonogo.commands.output import GO, INCOMPLETE, NO_GO, NOT_READ, USAGE
from gonogo.documents.error import DocumentErrors, UsageError
from gonogo.documents.schema import schema_text
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

SHOP = Path(__file__).parents[2] / "examples" / "workshop"
STORIES = Path(__file__).parents[1] / "catalogue" / "stories"
DAY = "2026-11-25"
DOCK = "vehicles/dock.yaml"  # two dangers
FESCUE = "vehicles/fescue.yaml"  # INCOMPLETE
CONFLICT = (  # no trip is above the full pack and below what the controller withstands
    (STORIES / "hotter-tune" / "before.yaml")
    .read_text("utf-8")
    .replace("Foxglove", "Conflict")
    .replace("max_V: 90", "max_V: 60")
)
REGEN = "battery_current_A: 55    # the BMS allows 40"
Git = Any
# A vehicle with a danger: more current than the cells give.
SCHOOL = """\
gonogo: profile/1
vehicle: {name: NAME, use: off_road}
pack: {full_V: 58.8, minimum_V: 42, continuous_A: 60, bms: {continuous_A: 60}}
settings: {battery_current_A: 95}
"""


@pytest.fixture
def shop(git: Git, monkeypatch: pytest.MonkeyPatch) -> Git:
    """The example workshop in a repository of its own, with what is found in it recorded."""
    for path in SHOP.rglob("*.yaml"):
        git.write(path.relative_to(SHOP).as_posix(), path.read_text("utf-8"))
    git.commit("As it stands")
    monkeypatch.chdir(git.folder)
    assert record(git) == GO
    git.commit("Recorded")
    return git


def record(shop: Git, writes: bool = True) -> int:
    return known(Path("known.yaml"), [Path()], writes, DAY, io.StringIO())


def told(paths: list[str], came_to: int, **options: Any) -> dict[str, Any]:
    """What a check against the list says, held to the schema."""
    out = io.StringIO()
    where = [Path(path) for path in paths]
    asked = {"known": Path("known.yaml"), "as_of": DAY, **options}
    assert check(where, "json", out=out, **asked) == came_to
    record: dict[str, Any] = json.loads(out.getvalue())
    schema = json.loads(schema_text("report"))
    assert list(Draft202012Validator(schema).iter_errors(record)) == []
    return record


def of(record: dict[str, Any], name: str) -> dict[str, Any]:
    return next(one for one in record["profiles"] if one["name"] == name)


def edit(shop: Git, path: str, old: str, new: str) -> None:
    text = (shop.folder / path).read_text("utf-8")
    assert old in text
    shop.write(path, text.replace(old, new))


def test_a_shop_of_nogo_vehicles_can_be_quiet_without_one_go(shop: Git) -> None:
    """Who is to see what is new must not see what everybody knows; and nobody may ride on it."""
    assert check([Path()], out=io.StringIO(), as_of=DAY) == NO_GO
    record = told(["."], GO)
    assert record["verdict"] == "no-go"
    dock = of(record, "Dock")
    assert dock["verdict"] == "no-go" and dock["known"]["verdict"] == "go"
    assert (dock["known"]["recorded"], dock["known"]["new"]) == (3, 0)
    assert {one["known"]["state"] for one in dock["findings"]} == {"recorded"}
    (regen,) = [one for one in dock["findings"] if one["rule"] == "regen-above-pack-charge"]
    assert regen["known"] == {"state": "recorded", "recorded": DAY, "excess": 15}  # 55 A less 40 A


def test_the_screen_counts_recorded_and_new(shop: Git, capsys: pytest.CaptureFixture[str]) -> None:
    """The headline says it: NO-GO, 3 recorded, 1 new."""
    text = (shop.folder / "known.yaml").read_text("utf-8")
    at = text.index("      - rule: regen-stop-above-pack")
    shop.write("known.yaml", text[:at] + text[text.index("  - file:", at) :])
    check([Path(DOCK)], known=Path("known.yaml"), as_of=DAY)
    text = capsys.readouterr().out
    assert "NO-GO · 2 recorded, 1 new · " in text
    assert "known      new: not on the list of known findings" in text
    assert "Recorded findings" in text and "recorded on 2026-11-25, 15 A beyond its limit" in text
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize(
    ("amperes", "state", "came_to"),
    [
        pytest.param("54", "recorded", GO, id="less is no worse"),
        pytest.param("55", "recorded", GO, id="the same"),
        pytest.param("55.00000000001", "recorded", GO, id="the same but for rounding"),
        pytest.param("55.1", "worse", NO_GO, id="a tenth of an ampere more"),
        pytest.param("40", None, GO, id="on the limit: corrected"),
    ],
)
def test_worse_is_what_is_further_beyond_its_limit(
    shop: Git, amperes: str, state: str | None, came_to: int
) -> None:
    """Recorded is a size, not a rule: it is no leave to go on turning it up."""
    edit(shop, DOCK, REGEN, f"battery_current_A: {amperes}")
    dock = of(told([DOCK], came_to), "Dock")
    found = {one["rule"]: one["known"]["state"] for one in dock["findings"]}
    assert found.get("regen-above-pack-charge") == state
    corrected = [one["rule"] for one in dock["known"]["corrected"]]
    assert ("regen-above-pack-charge" in corrected) == (state is None)


def test_a_limit_that_moves_makes_it_worse_too(shop: Git) -> None:
    """The cable is thinner now: the same amperes are more beyond it."""
    edit(shop, DOCK, "charge_A: 40", "charge_A: 30")
    (regen,) = [
        one
        for one in of(told([DOCK], NO_GO), "Dock")["findings"]
        if one["rule"] == "regen-above-pack-charge"
    ]
    assert regen["known"]["state"] == "worse"


def test_what_a_deleted_entry_hides_is_not_corrected(shop: Git) -> None:
    """Without the fuse's voltage nobody can say that it is enough."""
    edit(shop, "vehicles/bryony.yaml", "rated_V: 58, ", "")
    bryony = of(told(["vehicles/bryony.yaml"], NO_GO), "Bryony")
    assert [one["rule"] for one in bryony["known"]["no_longer_checked"]] == [
        "fuse-voltage-below-pack"
    ]
    assert bryony["known"]["corrected"] == []
    assert record(shop) == GO  # and recording again does not take it off
    assert "fuse-voltage-below-pack" in (shop.folder / "known.yaml").read_text("utf-8")


def test_what_is_new_stands_before_what_is_recorded(shop: Git) -> None:
    """The first line is the one that refuses; what was known before refuses nothing."""
    text = (shop.folder / "vehicles/yarrow.yaml").read_text("utf-8")
    fuse = next(line for line in text.splitlines() if "  fuse:" in line)
    shop.write("vehicles/yarrow.yaml", text.replace(fuse, f"{fuse.split('fuse:')[0]}fuse: none"))
    out = io.StringIO()
    check([Path()], "text", out=out, known=Path("known.yaml"), as_of=DAY)
    lines = [line for line in out.getvalue().splitlines() if line.startswith(" NO-GO ")]
    assert "Yarrow" in lines[0] and len(lines) > 1 and "new" in lines[0], out.getvalue()


def test_what_is_taken_out_is_not_corrected(shop: Git) -> None:
    """No fuse is no better than one for too few volts; only its rule has nothing to say any more."""
    text = (shop.folder / "vehicles/bryony.yaml").read_text("utf-8")
    fuse = next(line for line in text.splitlines() if "rated_V: 58" in line)
    edit(shop, "vehicles/bryony.yaml", fuse, f"{fuse.split('fuse:')[0]}fuse: none")
    bryony = of(told(["vehicles/bryony.yaml"], NO_GO), "Bryony")
    assert bryony["known"]["corrected"] == []
    off = [one["rule"] for one in bryony["known"]["no_longer_applies"]]
    assert "fuse-voltage-below-pack" in off


def test_a_conflict_that_a_deleted_entry_hides_is_not_corrected(shop: Git) -> None:
    """What no value fitted is as it was when one of the rules against it falls silent."""
    shop.write("vehicles/conflict.yaml", CONFLICT)
    assert record(shop) == GO
    edit(shop, "vehicles/conflict.yaml", "  max_V: 60\n", "")
    held = of(told(["vehicles/conflict.yaml"], NO_GO), "Conflict")["known"]
    lost = [one["rule"] for one in held["no_longer_checked"]]
    assert "settings-conflict-danger" in lost and held["corrected"] == []


def test_a_rule_that_the_shop_takes_away_leaves_its_findings_unchecked(shop: Git) -> None:
    """Deleting the rule is the shortest way to get rid of a finding."""
    shop.write(
        "rules/own-mass.yaml",
        "id: own-mass\nseverity: danger\nof: vehicle.mass_kg\nat_most: 10\nsays: Too heavy at {of}.\n"
        "because: It is too heavy for the stand.\nremedy: Make it lighter.\nsource: Common practice.\n"
        "examples:\n  - {given: {vehicle.mass_kg: 10}, outcome: clear}\n"
        "  - {given: {vehicle.mass_kg: 11}, outcome: flagged}\n  - {given: {}, outcome: not_checked}\n",
    )
    rules = next(
        line for line in (shop.folder / "house.yaml").read_text().splitlines() if "rules:" in line
    )
    folder = rules.split(":")[1].strip()
    if folder != "rules":
        (shop.folder / "rules" / "own-mass.yaml").rename(shop.folder / folder / "own-mass.yaml")
    told([DOCK], NO_GO)
    assert record(shop) == GO
    told([DOCK], GO)
    (shop.folder / folder / "own-mass.yaml").unlink()
    dock = of(told([DOCK], NO_GO), "Dock")
    assert [one["rule"] for one in dock["known"]["no_longer_checked"]] == ["own-mass"]


def test_required_rules_that_were_not_checked_are_known_too(shop: Git) -> None:
    """A shop of vehicles that wait for readings is quiet until one waits for more."""
    fescue = of(told([FESCUE], GO), "Fescue")
    assert fescue["verdict"] == "incomplete" and fescue["known"]["not_checked"]["recorded"] == 13
    text = (shop.folder / "known.yaml").read_text("utf-8")
    at = text.index("      - rule: pack-reading-outside")
    shop.write("known.yaml", text[:at] + text[text.index("      - rule:", at + 10) :])
    fescue = of(told([FESCUE], INCOMPLETE), "Fescue")
    assert fescue["known"]["not_checked"] == {"recorded": 12, "new": 1, "answered": 0}


def test_a_vehicle_keeps_its_entries_by_its_id(shop: Git) -> None:
    """Renaming a file is no new danger, and with another id it is another vehicle."""
    edit(shop, DOCK, "name: Dock", "id: dock-1, name: Dock")
    assert record(shop) == GO
    (shop.folder / DOCK).rename(shop.folder / "vehicles/dock-two.yaml")
    told(["."], GO)
    edit(shop, "vehicles/dock-two.yaml", "dock-1", "dock-2")
    told(["."], NO_GO)


def test_what_is_waived_later_is_gone_from_the_list(shop: Git) -> None:
    """It has been looked at, and has a day on which it comes back."""
    rule, path = "speed-shown-circumference-off", "vehicles/yarrow.yaml"
    waived = (shop.folder / path).read_text("utf-8")
    shop.write(path, waived[: waived.index("\nwaivers:")] + "\n")
    told([path], NO_GO)
    assert record(shop) == GO
    assert of(told([path], GO), "Yarrow")["verdict"] == "no-go"
    shop.write(path, waived)
    yarrow = of(told([path], GO), "Yarrow")
    assert [one["rule"] for one in yarrow["known"]["waived"]] == [rule]
    assert yarrow["known"]["corrected"] == []
    assert record(shop) == GO
    assert rule not in (shop.folder / "known.yaml").read_text("utf-8")


def test_recording_again_names_what_it_adds_and_takes_off(
    shop: Git, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is added in silence; without --write nothing is written at all."""
    before = (shop.folder / "known.yaml").read_bytes()
    edit(shop, "vehicles/sorrel.yaml", "pole_pairs: 5", "pole_pairs: 7")
    edit(shop, DOCK, REGEN, "battery_current_A: 60")
    assert status(["known", "known.yaml", "--as-of", "2026-11-26"]) == GO
    text = capsys.readouterr().out
    assert "taken off   fault: pole-pairs-not-half-magnets" in text
    assert "larger      danger: regen-above-pack-charge" in text
    assert (shop.folder / "known.yaml").read_bytes() == before
    assert status(["known", "known.yaml", "--write", "--as-of", "2026-11-26"]) == GO
    written = (shop.folder / "known.yaml").read_text("utf-8")
    assert "pole-pairs-not-half-magnets" not in written and "excess: 20" in written
    assert "added       advice: regen-bus-rise-bms" in text
    assert written.count('"2026-11-26"') == 2  # that and what is larger; all else keeps its day
    assert status(["known", "known.yaml", "--write", "--as-of", "2026-11-27"]) == GO
    assert (shop.folder / "known.yaml").read_text("utf-8") == written


def test_a_vehicle_that_is_not_looked_at_keeps_its_entries(shop: Git) -> None:
    """Recording one vehicle forgets no other; one without a profile goes."""
    before = (shop.folder / "known.yaml").read_text("utf-8")
    assert known(Path("known.yaml"), [Path(DOCK)], True, DAY, io.StringIO()) == GO
    assert (shop.folder / "known.yaml").read_text("utf-8") == before
    (shop.folder / "vehicles/vetch.yaml").unlink()
    assert known(Path("known.yaml"), [Path(DOCK)], True, DAY, io.StringIO()) == GO
    assert "vetch" not in (shop.folder / "known.yaml").read_text("utf-8")


def test_what_cannot_be_read_is_not_recorded(shop: Git) -> None:
    """A list that leaves a vehicle out in silence would be worse than none."""
    before = (shop.folder / "known.yaml").read_bytes()
    edit(shop, "vehicles/sorrel.yaml", "pole_pairs: 5", "pole_pairs: 7")
    shop.write("vehicles/broken.yaml", "gonogo: profile/1\nvehicle: {nam: x}\n")
    assert record(shop) == NOT_READ
    assert (shop.folder / "known.yaml").read_bytes() == before
    told(["."], NOT_READ)


def test_the_list_is_a_document_of_the_shop_and_of_no_other(shop: Git, tmp_path: Path) -> None:
    """Whoever may write next door, or lay a link, must not decide what passes here."""
    elsewhere = tmp_path / "elsewhere.yaml"
    elsewhere.write_bytes((shop.folder / "known.yaml").read_bytes())
    with pytest.raises(UsageError, match="does not lie in the shop"):
        told(["."], USAGE, known=elsewhere)
    (shop.folder / "link.yaml").symlink_to("known.yaml")
    with pytest.raises(UsageError, match="is a link"):
        told([DOCK], USAGE, known=Path("link.yaml"))
    (shop.folder / "link.yaml").unlink()
    (shop.folder / "away").symlink_to(tmp_path)
    with pytest.raises(UsageError, match="does not lie in the shop"):
        told([DOCK], USAGE, known=Path("away/elsewhere.yaml"))
    with pytest.raises(UsageError, match=r"such as known\.yaml"):
        known(Path("known.txt"), [Path(DOCK)], True, DAY, io.StringIO())
    with pytest.raises(UsageError, match=r"such as known\.yaml"):
        known(Path("house.yml"), [Path(DOCK)], True, DAY, io.StringIO())


@pytest.fixture
def two_shops(shop: Git) -> Git:
    """A shop to which the house file hands over a folder, with one vehicle."""
    house = (shop.folder / "house.yaml").read_text("utf-8")
    shop.write("house.yaml", f"{house}\nshops: [school]\n")
    shop.write("school/house.yaml", "gonogo: house/1\n")
    shop.write("school/vehicles/dock.yaml", SCHOOL.replace("NAME", "School dock"))
    shop.commit("The school's")
    return shop


def test_a_list_holds_for_its_shop_and_those_below_and_for_no_other(two_shops: Git) -> None:
    """Who gets no list over both has to know which vehicle is in the way, and what to do."""
    assert known(Path("school/known.yaml"), [Path("school")], True, DAY, io.StringIO()) == GO
    told(["school"], GO, known=Path("school/known.yaml"))
    with pytest.raises(UsageError) as refused:
        told(["."], USAGE, known=Path("school/known.yaml"))
    said = str(refused.value)
    assert (
        "vehicles/" in said and "begins at `.`" in said and "at the top of the repository" in said
    )
    with pytest.raises(UsageError, match=r"expected a list in `\.`"):
        told(["vehicles"], USAGE, known=Path("school/known.yaml"))


def test_one_list_for_the_shops_below_tells_vehicles_of_one_name_apart(two_shops: Git) -> None:
    """Each is held against its own entry, by the rules of its own house."""
    told(["school"], NO_GO)
    assert record(two_shops) == GO
    text = (two_shops.folder / "known.yaml").read_text("utf-8")
    assert f"- file: {DOCK}\n" in text and f"- file: school/{DOCK}\n" in text
    told(["."], GO)
    told(["school"], GO)
    told([f"school/{DOCK}"], GO)
    two_shops("add", "--all")
    told(["."], GO, staged=True)
    two_shops.commit("Both")
    told(["school"], GO, at="HEAD")
    edit(two_shops, f"school/{DOCK}", "battery_current_A: 95", "battery_current_A: 99")
    found = told(["."], NO_GO)
    assert of(found, "School dock")["known"]["new"] + of(found, "School dock")["known"]["worse"] > 0
    assert of(found, "Dock")["known"]["verdict"] == "go"


def test_shops_of_a_repository_without_a_house_above_them_have_one_list(git: Git, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    """Two house files side by side, and one list at the top."""
    for name in ("east", "west"):
        git.write(f"{name}/house.yaml", "gonogo: house/1\n")
        with_id = SCHOOL.replace("name: NAME", f"name: {name.title()}, id: {name}-1")
        git.write(f"{name}/bike.yaml", with_id)
    git.commit("Two shops")
    monkeypatch.chdir(git.folder)
    told_first = check([Path()], out=io.StringIO(), as_of=DAY)
    assert told_first == NO_GO and record(git) == GO
    told(["."], GO)
    told(["west"], GO)
    text = (git.folder / "known.yaml").read_text("utf-8")
    assert "- file: east/bike.yaml\n" in text and "- file: west/bike.yaml\n" in text
    (git.folder / "west/bike.yaml").unlink()
    (error,) = told(["."], NO_GO)["errors"]
    assert error["file"] == "west/bike.yaml"
    assert told(["east"], GO)["errors"] == []
    retired = f'gonogo: house/1\nretired: [{{id: west-1, since: "{DAY}"}}]\n'
    git.write("east/house.yaml", retired)
    assert len(told(["."], NO_GO)["errors"]) == 1
    git.write("east/house.yaml", "gonogo: house/1\n")
    git.write("west/house.yaml", retired)
    assert told(["."], GO)["errors"] == []


def test_a_repository_inside_another_is_somebody_elses(git: Git, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    """A list of the outer one has no say there."""
    git.write("own.yaml", SCHOOL.replace("NAME", "Own"))
    git.write("inner/bike.yaml", SCHOOL.replace("NAME", "Theirs"))
    subprocess.run(["git", "init", "--quiet", "inner"], cwd=git.folder, check=True)
    monkeypatch.chdir(git.folder)
    with pytest.raises(UsageError, match="does not lie in the shop of inner/bike"):
        known(Path("known.yaml"), [Path()], True, DAY, io.StringIO())


def test_a_list_of_another_shop_hides_no_addition(two_shops: Git) -> None:
    """What one shop knows of its `vehicles/dock.yaml` is not known of the other's."""
    assert known(Path("known.yaml"), [Path("vehicles")], True, DAY, io.StringIO()) == GO
    two_shops.commit("Ours")
    assert known(Path("school/known.yaml"), [Path("school")], True, DAY, io.StringIO()) == GO
    added = {one["rule"] for one in against(NO_GO)["known_added"]}
    assert added
    two_shops.commit("The school's list")
    text = (two_shops.folder / "school/known.yaml").read_text("utf-8")
    two_shops("mv", "school/known.yaml", "known-of-all.yaml")
    assert "known_added" in against(NO_GO)
    two_shops.write("known-of-all.yaml", text.replace("- file: ", "- file: school/"))
    assert "known_added" not in against(GO)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        pytest.param("severity: danger", "severity: dangre", "danger", id="a slip"),
        pytest.param("excess: 15", "excess: -15", "15", id="less than nothing"),
        pytest.param("    findings:", "    finding:", "findings", id="a key"),
        pytest.param("gonogo: known/1", "gonogo: known/2", "known/1", id="another edition"),
    ],
)
def test_a_broken_list_is_an_error_with_its_place(shop: Git, old: str, new: str, says: str) -> None:
    """It is read as strictly as any other document."""
    edit(shop, "known.yaml", old, new)
    with pytest.raises(DocumentErrors) as broken:
        told([DOCK], NOT_READ)
    assert broken.value.errors[0].file == "known.yaml" and says in str(broken.value.errors[0])
    out = io.StringIO()
    assert check([Path()], out=out, as_of=DAY) == NOT_READ
    assert "known.yaml" in out.getvalue()


def test_staged_and_committed_profiles_are_held_against_the_list_that_lies_there(
    shop: Git,
) -> None:
    """A commit brings its own list; the disk has no say."""
    (shop.folder / "known.yaml").unlink()
    told(["."], GO, staged=True)
    told(["."], GO, at="HEAD")
    with pytest.raises(DocumentErrors):
        told(["."], GO, at="HEAD~1")


def against(came_to: int, *sides: str, form: str = "json") -> Any:
    out = io.StringIO()
    named = {"sides": sides} if sides else {"sides": (), "against": "HEAD"}
    assert diff(**named, form=form, as_of=DAY, out=out) == came_to
    return json.loads(out.getvalue()) if form == "json" else out.getvalue()


def test_a_change_that_puts_its_own_danger_on_the_list_is_told(shop: Git) -> None:
    """Else one commit could bring a danger and have it pass."""
    edit(shop, "known.yaml", "excess: 15", "excess: 16")
    told(["."], GO)
    record_ = against(NO_GO)
    (added,) = record_["known_added"]
    assert (added["rule"], added["severity"]) == ("regen-above-pack-charge", "danger")
    assert added["vehicle"] == DOCK
    schema = json.loads(schema_text("comparison"))
    report = Resource.from_contents(json.loads(schema_text("report")))
    registry = Registry().with_resources([("urn:gonogo:report", report)])
    assert list(Draft202012Validator(schema, registry=registry).iter_errors(record_)) == []
    for form in ("text", "markdown", "html"):
        assert "put on known.yaml as known by this change: 1 danger" in " ".join(
            against(NO_GO, form=form).split()
        )
    shop.commit("Larger")
    assert against(NO_GO, "HEAD~1..HEAD")["known_added"]
    assert "known_added" not in against(GO)


def test_taking_off_the_list_is_no_harm(shop: Git) -> None:
    """What was corrected may go, and the same entries in another order or file are no news."""
    edit(shop, "vehicles/sorrel.yaml", "pole_pairs: 5", "pole_pairs: 7")
    assert record(shop) == GO
    assert "known_added" not in against(GO)
    (shop.folder / "known.yaml").rename(shop.folder / "accepted.yaml")
    assert "known_added" not in against(GO)


def test_other_formats_say_so_too(shop: Git) -> None:
    """A code host and a build page read the same."""
    edit(shop, DOCK, REGEN, "battery_current_A: 60")
    said: dict[str, str] = {}
    for form in ("sarif", "junit"):
        out = io.StringIO()
        check([Path(DOCK)], form, known=Path("known.yaml"), as_of=DAY, out=out)
        said[form] = out.getvalue()
    results = json.loads(said["sarif"])["runs"][0]["results"]
    states = {one["ruleId"]: one.get("baselineState") for one in results}
    assert states["regen-above-pack-charge"] == "updated"
    assert states["regen-stop-above-pack"] == "unchanged"
    cases = {one.get("name"): one for one in ElementTree.fromstring(said["junit"]).iter("testcase")}
    assert cases["regen-above-pack-charge"].find("failure") is not None
    assert cases["regen-stop-above-pack"].find("skipped") is not None


def test_no_advice_of_the_list_passes_under_strict_unless_it_is_recorded(shop: Git) -> None:
    """Strict counts advice: recorded advice is known, a waived danger still refuses."""
    told(["vehicles/mallow.yaml"], GO, strict=True)
    text = (shop.folder / "known.yaml").read_text("utf-8")
    start = text.index("  - file: vehicles/mallow.yaml")
    shop.write("known.yaml", text[:start] + text[text.index("  - file:", start + 5) :])
    told(["vehicles/mallow.yaml"], NO_GO, strict=True)
    told(["vehicles/mallow.yaml"], GO)


def test_processes_hand_the_list_on(shop: Git) -> None:
    """With several processes the same is found."""
    for number in range(80):
        text = (SHOP / DOCK).read_text("utf-8")
        shop.write(f"vehicles/dock-{number}.yaml", text)
    assert record(shop) == GO
    record_ = told(["."], GO, jobs=2)
    assert sum(one["known"]["new"] for one in record_["profiles"]) == 0


@pytest.mark.parametrize("paths", [["."], ["vehicles"], [DOCK], [DOCK, FESCUE]])
def test_a_vehicle_of_the_list_that_is_gone_is_told_by_its_name(
    shop: Git, paths: list[str]
) -> None:
    """A deleted or renamed file corrects nothing: its dangers must not leave the gate in silence."""
    (shop.folder / DOCK).rename(shop.folder / f"{DOCK}.bak")
    (error,) = told(paths, NO_GO)["errors"]
    assert error["file"] == DOCK and "2 dangers" in error["found"]
    shop("add", "--all")
    (error,) = told(paths, NO_GO, staged=True)["errors"]
    assert error["file"] == DOCK
    shop.commit("Gone")
    assert len(told(paths, NO_GO, at="HEAD")["errors"]) == 1
    for form in ("text", "markdown", "html", "sarif", "junit", "lines"):
        out = io.StringIO()
        options: Any = {"known": Path("known.yaml"), "as_of": DAY}
        assert check([Path(path) for path in paths], form, out=out, **options) == NO_GO
        assert "GONE" in out.getvalue() and "dock" in out.getvalue()


def test_a_vehicle_of_the_list_elsewhere_or_retired_is_not_missed(shop: Git) -> None:
    """Who names one vehicle is told about no other, and a house file says which are no more."""
    edit(shop, DOCK, "vehicle: {", "vehicle: {id: dock-01, ")
    assert record(shop) == GO
    shop.commit("Its id")
    (shop.folder / DOCK).unlink()
    assert told([FESCUE], GO)["errors"] == []
    house = (shop.folder / "house.yaml").read_text("utf-8")
    assert "retired:" not in house
    shop.write("house.yaml", f'{house}\nretired: [{{id: dock-01, since: "2026-12-24"}}]\n')
    assert {error["file"] for error in told(["."], NOT_READ)["errors"]} == {DOCK, "house.yaml"}
    shop.write("house.yaml", f'{house}\nretired: [{{id: dock-01, since: "{DAY}"}}]\n')
    assert told(["."], GO)["errors"] == []
    assert record(shop) == GO
    assert told(["."], GO)["errors"] == []


def test_a_fleet_says_which_findings_are_new_and_which_are_gone(
    shop: Git, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of many NO-GO lines one is today's, and its rider is looking for it."""
    edit(shop, DOCK, REGEN, "battery_current_A: 60")
    options: Any = {"known": Path("known.yaml"), "as_of": DAY}
    assert check([Path()], **options) == NO_GO
    text = " ".join(capsys.readouterr().out.split())
    assert "1 worse · 2 dangers" in text and "worse: regen-above-pack-charge, 20 A" in text
    check([Path()], quiet=True, **options)
    assert "1 worse" in capsys.readouterr().out.split("Dock")[1].split("\n\n")[0]
    edit(shop, DOCK, "battery_current_A: 60", "battery_current_A: 40")
    assert check([Path()], **options) == GO
    text = " ".join(capsys.readouterr().out.split())
    assert "corrected Dock: danger regen-above-pack-charge" in text
    assert "worse:" not in text and "recorded: " in text
