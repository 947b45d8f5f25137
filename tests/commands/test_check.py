"""`gonogo check` from the path to the exit status, on documents as people write them."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands import check
from gonogo.commands.check import run
from gonogo.commands.formats import FORMATS
from gonogo.documents.error import NoProfile
from gonogo.documents.schema import schema_text
from jsonschema import Draft202012Validator, FormatChecker

EXAMPLES = Path(__file__).parents[2] / "examples"
TOO_MUCH = """\
gonogo: profile/1
vehicle: {name: Alder, use: off_road}
pack:
  series: 14
  parallel: 5
  cell: {chemistry: nmc, continuous_A: 11}
settings:
  battery_current_A: 56
  throttle: {lost_above_V: 4.5}
"""
ENOUGH = TOO_MUCH.replace("56", "55").replace("Alder", "Rowan")
BROKEN = TOO_MUCH.replace("56", "56 A").replace("series: 14", "serie: 14").replace("Alder", "Elm")
RULE = """\
gonogo: rule/1
id: {name}
severity: fault
of: settings.battery_current_A
at_most: {limit}
says: The battery current limit of {{of}} is above the {{limit}} of this shop.
because: The shop has no larger plugs.
remedy: Set it to {{limit}} or less.
source: The shop.
examples:
  - {{given: {{settings.battery_current_A: 1}}, outcome: clear}}
"""

Shop = Callable[..., Path]


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Lays out a folder of documents with a house file; names are paths, `__` is a slash."""

    def laid(house: str = "gonogo: house/1\n", **texts: str) -> Path:
        for name, text in {"house": house, **texts}.items():
            path = tmp_path / f"{name.replace('__', '/')}.yaml"
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, "utf-8")
        return tmp_path

    return laid


def checked(*paths: Path, **options: Any) -> tuple[int, str]:
    """The exit status and what was printed."""
    out = io.StringIO()
    status = run(paths, as_of="2026-11-25", out=out, **options)
    return status, out.getvalue()


def recorded(*paths: Path, **options: Any) -> tuple[int, dict[str, Any]]:
    """The exit status and the record."""
    status, text = checked(*paths, form="json", **options)
    return status, json.loads(text)


@pytest.mark.parametrize(
    ("texts", "status", "verdict"),
    [
        pytest.param({"a": TOO_MUCH}, 1, "no-go", id="a danger refuses"),
        pytest.param({"a": ENOUGH}, 4, "incomplete", id="a gate waits"),
        pytest.param({"a": BROKEN}, 3, None, id="nothing to judge"),
        pytest.param({"a": ENOUGH, "b": TOO_MUCH}, 1, "no-go", id="NO-GO before INCOMPLETE"),
        pytest.param({"a": TOO_MUCH, "b": BROKEN}, 3, "no-go", id="not read before NO-GO"),
    ],
)
def test_the_status_is_the_first_that_occurs(
    shop: Shop, texts: dict[str, str], status: int, verdict: str | None
) -> None:
    """A script looks at the number and nothing else."""
    found, record = recorded(shop(**texts))
    assert (found, record["verdict"]) == (status, verdict)


def test_a_sound_vehicle_is_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """Status 0 and the verdict with its scope."""
    monkeypatch.chdir(EXAMPLES / "workshop")
    status, text = checked(Path("vehicles/bracken.yaml"))
    assert status == 0
    assert re.fullmatch(r" ▐ GO · (\d+) of \1 rules   Bracken", text.split("\n")[0])
    assert " rules checked, " in text.split("\n")[-3]
    assert text.split("\n")[-2] == " house.yaml: 2 own rules"


def test_every_error_of_a_file_is_told_and_the_others_are_judged(shop: Shop) -> None:
    """Whoever mends a file wants to mend it once; the other vehicles are not to blame."""
    _, record = recorded(shop(elm=BROKEN, alder=TOO_MUCH))
    assert [(one["file"], one["line"], one["affects"]) for one in record["errors"]] == [
        ("elm.yaml", 4, ["elm.yaml"]),
        ("elm.yaml", 8, ["elm.yaml"]),
    ]
    assert [one["file"] for one in record["profiles"]] == ["alder.yaml"]


def test_a_broken_part_is_told_once_with_all_that_need_it(shop: Shop) -> None:
    """Twenty vehicles with one controller must not give twenty times the same error."""
    part = "gonogo: part/1\npart: {name: Six}\ncontroller: {battery_current_A: lots}\n"
    taking = ENOUGH + "controller: {part: parts/six.yaml}\n"
    folder = shop(alder=taking, rowan=taking, parts__six=part)
    status, record = recorded(folder)
    (error,) = record["errors"]
    assert (status, error["file"], error["line"]) == (3, "parts/six.yaml", 3)
    assert error["affects"] == ["alder.yaml", "rowan.yaml"]
    assert "needed by alder.yaml, rowan.yaml" in checked(folder)[1]
    assert "2 profiles: 2 NOT READ" in checked(folder)[1]


def test_a_broken_part_that_nobody_takes_is_told_too(shop: Shop) -> None:
    """It lies in wait for the next vehicle."""
    part = "gonogo: part/1\npart: {name: Six}\ncontroller: {battery_current_A: lots}\n"
    status, record = recorded(shop(alder=ENOUGH, parts__six=part))
    assert status == 3
    assert [(one["file"], one["affects"]) for one in record["errors"]] == [("parts/six.yaml", [])]
    assert [one["verdict"] for one in record["profiles"]] == ["incomplete"]


def test_a_shop_judges_by_its_own_rules(shop: Shop) -> None:
    """Its plugs bear less than the cells give."""
    rule = RULE.format(name="plug-small", limit=40)
    folder = shop("gonogo: house/1\nrules: own\n", alder=ENOUGH, own__plug=rule)
    status, record = recorded(folder)
    assert status == 1
    findings = record["profiles"][0]["findings"]
    assert [one["rule"] for one in findings if one["severity"] != "advice"] == ["plug-small"]


def test_a_broken_own_rule_leaves_the_others_in_force(shop: Shop) -> None:
    """It is an error, and what it would have judged is named; the rest is still judged."""
    folder = shop(
        "gonogo: house/1\nrules: own\n",
        alder=TOO_MUCH,
        own__plug=RULE.format(name="plug-small", limit=40),
        own__typo=RULE.format(name="typo", limit="pack.nominal_V"),
    )
    status, record = recorded(folder)
    rules = [one["rule"] for one in record["profiles"][0]["findings"]]
    assert {"plug-small", "battery-current-above-cells"} <= set(rules)
    (error,) = record["errors"]
    assert (status, error["file"], error["affects"]) == (3, "own/typo.yaml", ["alder.yaml"])
    assert "1 profile: 1 NO-GO · 1 other file NOT READ" in checked(folder)[1]


def test_a_named_file_that_is_not_there_is_an_error(shop: Shop) -> None:
    """A script that checks a list of files must not skip one in silence."""
    oak = shop() / "oak.yaml"
    status, record = recorded(shop(alder=ENOUGH), oak)
    assert status == 3
    assert [one["file"] for one in record["errors"]] == [str(oak)]


def test_nothing_to_judge_is_no_verdict(shop: Shop) -> None:
    """A house file alone is no vehicle."""
    with pytest.raises(NoProfile):
        checked(shop())


def test_strict_refuses_a_caution() -> None:
    """For whoever wants good practice and nothing less."""
    vehicle = EXAMPLES / "workshop" / "vehicles" / "mallow.yaml"
    assert checked(vehicle)[0] == 0
    status, text = checked(vehicle, strict=True)
    assert status == 1
    assert text.startswith(" ▐ NO-GO")


def test_the_day_to_judge_by_ends_a_waiver() -> None:
    """A waiver is a promise with a date."""
    vehicle = EXAMPLES / "workshop" / "vehicles" / "yarrow.yaml"
    assert checked(vehicle)[0] == 0
    assert run([vehicle], as_of="2099-01-01", out=io.StringIO()) == 1


def untimed(text: str) -> str:
    """A report without how long it took, which no two runs share."""
    return re.sub(r' time="[0-9.]+"', "", text)


@pytest.mark.parametrize("form", FORMATS)
def test_a_report_can_be_written_to_a_file(form: str, shop: Shop, tmp_path: Path) -> None:
    """The same words as on the terminal, and nothing on the terminal."""
    folder, report = shop(alder=TOO_MUCH, elm=BROKEN), tmp_path / "report"
    status, text = checked(folder, form=form, output=report)
    assert (status, text) == (3, "")
    again = checked(folder, form=form)[1]
    assert untimed(report.read_text("utf-8")) == untimed(again)


def test_real_reports_fit_their_schema() -> None:
    """Every kind of finding that the examples have, and every origin of a value."""
    _, record = recorded(EXAMPLES)
    checker = Draft202012Validator(
        json.loads(schema_text("report")), format_checker=FormatChecker()
    )
    assert [error.message for error in checker.iter_errors(record)] == []
    assert len(record["profiles"]) > 20
    assert {one["verdict"] for one in record["profiles"]} == {"go", "no-go", "incomplete"}


def test_real_tags_fit_eighty_columns() -> None:
    """Whatever the rules say about the examples."""
    _, text = checked(EXAMPLES)
    assert [line for line in text.split("\n") if len(line) > 80] == []


@pytest.mark.parametrize("form", ["text", "json", "sarif"])
def test_several_processes_say_the_same(
    form: str, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In the same order, word for word; only the time differs."""
    monkeypatch.setattr(check, "PROFILES_A_PROCESS", 2)
    texts = {f"v{number:02}": (TOO_MUCH, ENOUGH, BROKEN)[number % 3] for number in range(12)}
    folder = shop(**texts)
    assert checked(folder, form=form, jobs=3) == checked(folder, form=form)


def test_the_module_runs_as_a_command(shop: Shop) -> None:
    """`python -m gonogo` and its status, as a build calls it."""
    ended = subprocess.run(
        [sys.executable, "-m", "gonogo", "check", "--quiet", str(shop(alder=TOO_MUCH))],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (ended.returncode, ended.stderr) == (1, "")
    first = ended.stdout.split("\n")[0]
    assert re.match(r" NO-GO  Alder  battery-current-above-cells, line 8 .* \d+/\d+$", first)
