"""A shop's rules hold, or it is told that they do not: none of them vanishes."""

from __future__ import annotations

import errno
import io
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import check, diff, history
from gonogo.documents.error import DocumentErrors

from .hostile_files import (
    DAY,
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
RULE = """\
id: start-too-low
severity: danger
of: settings.throttle.start_V
at_least: 1.5
says: The throttle starts at {of}, below our {limit}.
because: It creeps.
remedy: Set it to {limit} or more.
source: Ours.
examples:
  - {given: {settings.throttle.start_V: 1.5}, outcome: clear}
  - {given: {settings.throttle.start_V: 1.4}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""
LAX = RULE.replace("start-too-low", "lax").replace("1.5", "0.1").replace("1.4", "0.05")
HOUSE = "gonogo: house/1\nrules: own\n"
EMPTY = "gonogo: house/1\n"
PROFILE = "vehicles/foxglove.yaml"
OWN = "own/start-too-low.yaml"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A shop whose own rule refuses its vehicle, committed."""
    for name, value in plain_git():
        monkeypatch.setenv(name, value)
    top = tmp_path / "shop"
    write(top / "house.yaml", HOUSE)
    write(top / OWN, RULE)
    write(top / PROFILE, SOUND)
    committed(top)
    monkeypatch.chdir(top)
    yield top


def answers(top: Path, of_git: bool = True) -> list[Answered]:
    """Every way of asking about the vehicle; those of git come last."""
    asked = [checked(top), checked(top / "vehicles"), checked(top / PROFILE)]
    return [*asked, compared(top), compared(top, "vehicles")] if of_git else asked


def test_a_shops_rule_refuses(shop: Path) -> None:
    """Else nothing would be shown below."""
    answered = checked(shop)
    assert (answered.status, verdicts(answered)) == (1, {PROFILE: "no-go"})
    assert answered.record["profiles"][0]["house"] == {"file": "house.yaml", "rules": 1}


def empty_house_beside(top: Path) -> str:
    write(top / "vehicles" / "house.yaml", EMPTY)
    return "vehicles/house.yaml"


def nothing_in_a_house_beside(top: Path) -> str:
    write(top / "vehicles" / "house.yaml", "")
    return "vehicles/house.yaml"


def dangling_house_beside(top: Path) -> str:
    (top / "vehicles" / "house.yaml").symlink_to("nowhere")
    return "vehicles/house.yaml"


def house_and_git_beside(top: Path) -> str:
    git_beside(top)
    return empty_house_beside(top)


def git_beside(top: Path) -> str:
    call(top / "vehicles", "git", "init", "--quiet")
    return ""


def empty_git_beside(top: Path) -> str:
    (top / "vehicles" / ".git").mkdir()
    return ""


def git_file_beside(top: Path) -> str:
    write(top / "vehicles" / ".git", "gitdir: ../elsewhere\n")
    return ""


def link_called_git_beside(top: Path) -> str:
    (top / "vehicles" / ".git").symlink_to("../.git")
    return ""


def house_above(top: Path) -> str:
    """Somebody puts one over the shop's own: then that one holds, and it is told."""
    write(top / "house.yml", EMPTY)
    return "house.yml"


STAY: list[Callable[[Path], str]] = [
    empty_house_beside,
    nothing_in_a_house_beside,
    dangling_house_beside,
    git_beside,
    empty_git_beside,
    git_file_beside,
    link_called_git_beside,
    house_and_git_beside,
    house_above,
]


@pytest.mark.parametrize("lay", STAY)
def test_nothing_nearer_displaces_a_shops_rules(lay: Callable[[Path], str], shop: Path) -> None:
    """The vehicle stays refused, and what was put there to free it is told."""
    told = lay(shop)
    is_in_git = (shop / "vehicles" / ".git" / "HEAD").exists()
    # Git has another repository to compare with, where somebody made one; names then begin at its top.
    for number, answered in enumerate(answers(shop, "git" not in lay.__name__)):
        inside = "vehicles/" if is_in_git and number else ""
        assert answered.errors == ([told.removeprefix(inside)] if told else []), number
        assert answered.status == (3 if told else 1 if number < 3 else 0), number
        if number < 3:
            assert verdicts(answered) == {PROFILE.removeprefix(inside): "no-go"}
            house = "../house.yaml" if inside else "house.yaml"
            assert answered.record["profiles"][0]["house"] == {"file": house, "rules": 1}


def house_yml(top: Path) -> str:
    (top / "house.yaml").rename(top / "house.yml")
    return "house.yml"


def house_in_large_letters(top: Path) -> str:
    (top / "house.yaml").rename(top / "House.YAML")
    return "House.YAML"


def house_with_a_blank(top: Path) -> str:
    (top / "house.yaml").rename(top / "house.yaml ")
    return "house.yaml "


def house_of_another_name(top: Path) -> str:
    (top / "house.yaml").rename(top / "shop.yaml")
    return "shop.yaml"


def house_that_leads_out(top: Path) -> str:
    (top / "house.yaml").rename(top.parent / "elsewhere.yaml")
    (top / "house.yaml").symlink_to("../elsewhere.yaml")
    return "house.yaml"


def house_that_dangles(top: Path) -> str:
    (top / "house.yaml").unlink()
    (top / "house.yaml").symlink_to("nowhere.yaml")
    return "house.yaml"


def house_in_two(top: Path) -> str:
    write(top / "house.yaml", HOUSE + "---\n" + EMPTY)
    return "house.yaml"


def house_with_two_folders(top: Path) -> str:
    write(top / "other" / "x.yaml", RULE.replace("1.5", "0.1"))
    write(top / "house.yaml", HOUSE + "rules: other\n")
    return "house.yaml"


def rule_that_leads_out(top: Path) -> str:
    (top / OWN).rename(top.parent / "rule.yaml")
    (top / OWN).symlink_to("../../rule.yaml")
    return OWN


def rule_that_dangles(top: Path) -> str:
    (top / OWN).unlink()
    (top / OWN).symlink_to("nowhere.yaml")
    return OWN


def rule_that_is_a_pipe(top: Path) -> str:
    (top / OWN).unlink()
    os.mkfifo(top / OWN)
    return OWN


def rules_that_lead_out(top: Path) -> str:
    (top / "own").rename(top.parent / "own")
    (top / "own").symlink_to("../own")
    return "house.yaml"


def rules_that_dangle(top: Path) -> str:
    (top / OWN).unlink()
    (top / "own").rmdir()
    (top / "own").symlink_to("nowhere")
    return "house.yaml"


def rules_below_that_lead_out(top: Path) -> str:
    write(top.parent / "more" / "x.yaml", RULE)
    (top / "own" / "more").symlink_to("../../more")
    return "own/more"


def rule_of_another_ending(top: Path) -> str:
    (top / OWN).rename(top / "own" / "start-too-low.txt")
    write(top / "own" / "x.yaml", LAX)
    return "own/start-too-low.txt"


def rule_put_aside(top: Path) -> str:
    (top / OWN).rename(top / "own" / "start-too-low.yaml.off")
    write(top / "own" / "x.yaml", LAX)
    return "own/start-too-low.yaml.off"


def empty_rule(top: Path) -> str:
    write(top / OWN, "# nothing\n")
    return OWN


def rule_written_twice(top: Path) -> str:
    write(top / "own" / "a.yaml", RULE.replace("1.5", "0.1").replace("1.4", "0.05"))
    return OWN


def profile_for_a_rule(top: Path) -> str:
    write(top / OWN, SOUND)
    return OWN


def house_for_a_rule(top: Path) -> str:
    write(top / OWN, EMPTY)
    return OWN


LOST: list[Callable[[Path], str]] = [
    house_yml,
    house_in_large_letters,
    house_with_a_blank,
    house_that_leads_out,
    house_that_dangles,
    house_in_two,
    house_with_two_folders,
    rule_that_leads_out,
    rule_that_dangles,
    rule_that_is_a_pipe,
    rules_that_lead_out,
    rules_that_dangle,
    rules_below_that_lead_out,
    rule_of_another_ending,
    rule_put_aside,
    empty_rule,
    rule_written_twice,
    profile_for_a_rule,
    house_for_a_rule,
]


@pytest.mark.parametrize("lay", LOST)
def test_a_rule_that_does_not_hold_is_told(lay: Callable[[Path], str], shop: Path) -> None:
    """What is found and not used is no reason for a GO, however one asks."""
    told = lay(shop)
    for number, answered in enumerate(answers(shop)):
        assert answered.status == 3 and told in answered.errors, number
        assert answered.record.get("verdict") in (None, "no-go")
    with pytest.raises(DocumentErrors) as caught:
        gonogo.check(shop / PROFILE)
    assert told in [error.file for error in caught.value.errors]


@pytest.mark.parametrize("lay", [house_of_another_name])
def test_a_house_file_of_another_name_is_told(lay: Callable[[Path], str], shop: Path) -> None:
    """It is found wherever the folder is searched."""
    told = lay(shop)
    for answered in (checked(shop), compared(shop)):
        assert answered.status == 3 and told in answered.errors


def test_rules_that_nobody_takes_up_are_told(shop: Path) -> None:
    """They were meant to hold, and do not."""
    write(shop / "house.yaml", EMPTY)
    for answered in (checked(shop), compared(shop)):
        assert answered.status == 3 and OWN in answered.errors


NEAR = {
    "the short ending": "start-too-low.yml",
    "large letters": "START.YAML",
    "a hidden file": ".start-too-low.yaml",
    "a folder below": "a/b/start-too-low.yaml",
    "a hidden folder": ".a/start-too-low.yaml",
    "a blank behind": "start-too-low.yaml ",
}


@pytest.mark.parametrize("how", NEAR)
def test_a_rule_holds_under_any_name(how: str, shop: Path) -> None:
    """Whatever lies in the folder of rules is one."""
    (shop / OWN).unlink()
    write(shop / "own" / NEAR[how], RULE)
    answered = checked(shop / PROFILE)
    assert (answered.status, verdicts(answered)) == (1, {PROFILE: "no-go"})
    assert {"file": f"own/{NEAR[how]}", "kind": "rule"} in checked(shop).record["others"]


def test_rules_behind_links_that_stay_inside_hold(shop: Path) -> None:
    """A linked file, a linked folder, a folder of rules that is itself a link."""
    (shop / "own").rename(shop / "kept")
    (shop / "own").symlink_to("kept")
    write(shop / "shared" / "more.yaml", RULE.replace("start-too-low", "more"))
    (shop / "kept" / "linked.yaml").symlink_to("../shared/more.yaml")
    write(shop / "further" / "x.yaml", RULE.replace("start-too-low", "other"))
    (shop / "kept" / "further").symlink_to("../further")
    for answered in (checked(shop), checked(shop / PROFILE)):
        assert (answered.status, answered.errors) == (1, [])
        assert answered.record["profiles"][0]["house"] == {"file": "house.yaml", "rules": 3}
    committed(shop, "second")
    out = io.StringIO()
    diff.run([f"second:{PROFILE}", PROFILE], form="json", as_of=DAY, out=out, here=shop)
    assert '"rules": 3' in out.getvalue() and '"rules": 1' not in out.getvalue()


def test_through_a_linked_folder_it_is_the_same_file(shop: Path) -> None:
    """Whoever names it by a way round its shop gets the shop's answer."""
    (shop.parent / "way").symlink_to("shop/vehicles")
    (shop / "way").symlink_to("vehicles")
    write(shop.parent / "house" / "x", "")
    for folder in (shop.parent / "way", shop / "way"):
        for path in (folder, folder / "foxglove.yaml"):
            answered = checked(path)
            assert (answered.status, verdicts(answered)) == (1, {PROFILE: "no-go"})
    assert gonogo.check(shop.parent / "way" / "foxglove.yaml").verdict == "no-go"


def test_a_folder_of_rules_that_may_not_be_read_is_told(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rules in it do not hold, so nothing is good."""
    write(shop / "own" / "locked" / "x.yaml", RULE.replace("start-too-low", "other"))
    scandir = os.scandir

    def refusing(folder: str) -> Any:
        if str(folder).endswith("locked"):
            raise PermissionError(errno.EACCES, "no", str(folder))
        return scandir(folder)

    monkeypatch.setattr(os, "scandir", refusing)
    for answered in (checked(shop), checked(shop / PROFILE), compared(shop)):
        assert answered.status == 3 and "own/locked" in answered.errors


def test_a_shop_within_a_shop_is_declared(shop: Path) -> None:
    """The upper house file says where another one holds; each vehicle's is told."""
    write(shop / "north" / "house.yaml", EMPTY)
    write(shop / "north" / PROFILE, SOUND)
    assert checked(shop).errors == ["north/house.yaml"]
    write(shop / "house.yaml", HOUSE + "shops: [north]\n")
    answered = checked(shop)
    assert (answered.status, answered.errors) == (1, [])
    assert {one["file"]: one["house"] for one in answered.record["profiles"]} == {
        f"north/{PROFILE}": {"file": "north/house.yaml", "rules": 0},
        PROFILE: {"file": "house.yaml", "rules": 1},
    }
    committed(shop)
    assert compared(shop).record["unchanged"] == 2


@pytest.mark.parametrize("folder", ["nowhere", "vehicles", "..", "/", "."])
def test_a_shop_without_a_house_is_no_shop(folder: str, shop: Path) -> None:
    """A folder that is left to nobody would have no rules."""
    write(shop / "house.yaml", f"{HOUSE}shops: ['{folder}']\n")
    assert checked(shop).errors == ["house.yaml"]


def test_a_link_to_other_rules_is_a_change(shop: Path) -> None:
    """No profile and no rule file changed, and the rules are weaker."""
    (shop / "own").rename(shop / "strict")
    write(shop / "lax" / "start-too-low.yaml", RULE.replace("danger", "advice"))
    (shop / "own").symlink_to("strict")
    committed(shop)
    (shop / "own").unlink()
    (shop / "own").symlink_to("lax")
    answered = compared(shop)
    assert "strict/start-too-low.yaml" in answered.errors and answered.status == 3
    call(shop, "rm", "-r", "strict")
    (moved,) = compared(shop).record["comparisons"]
    assert moved["verdict"]["old"] == "no-go"


@pytest.mark.parametrize("form", ["text", "json", "markdown", "html", "sarif", "junit", "lines"])
def test_every_report_names_the_house_file(form: str, shop: Path) -> None:
    """Whoever reads it sees by whose rules it was judged, and by how many of them."""
    out = io.StringIO()
    check.run([shop], form, as_of=DAY, out=out)
    said = out.getvalue().replace("\\", "").replace("\n ", " ")
    assert "house.yaml: 1 own rule" in said or (
        form in ("json", "sarif") and '"file": "house.yaml"' in said and '"rules": 1' in said
    )
    (shop / "house.yaml").unlink()
    call(shop, "rm", "-r", "own")
    out = io.StringIO()
    check.run([shop], form, as_of=DAY, out=out)
    assert "no house file" in out.getvalue() or (
        '"house": null' in out.getvalue() or f'"{PROFILE}": null' in out.getvalue()
    )


@pytest.mark.parametrize("form", ["text", "json", "markdown", "html"])
def test_every_comparison_names_the_house_files(form: str, shop: Path) -> None:
    """On either side, and in a history too."""
    write(shop / PROFILE, SOUND.replace("mass_kg: 90", "mass_kg: 91"))
    out = io.StringIO()
    diff.run([], "first", form, as_of=DAY, out=out, here=shop)
    said = " ".join(out.getvalue().replace("\\", "").split())
    assert "house.yaml: 1 own rule" in said or (form == "json" and '"rules": 1' in said)
    if form in ("text", "json"):
        out = io.StringIO()
        history.run(shop / PROFILE, form=form, as_of=DAY, out=out)
        assert "house.yaml" in out.getvalue()
