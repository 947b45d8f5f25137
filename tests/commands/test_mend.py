"""`gonogo mend`, `fill` and `new`: what they propose, what they write, and what they leave alone."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import gonogo
import pytest
from gonogo.commands import fill, mend, new, terminal
from gonogo.commands.formats import sections_as_text
from gonogo.commands.output import page_for
from gonogo.documents.error import EditError, UsageError
from gonogo.judgement.proposal import Setting
from gonogo.reports.proposal import mended_section
from ruamel.yaml import YAML

pytestmark = pytest.mark.usefixtures("frozen")
Expect = Callable[[str, str], None]
DAY = "2026-11-25"
PARTS = ("cell", "controller", "motor", "throttle")
ANSWERS = {"name": "Heather", "use": "off_road", "series": "14", "parallel": "6", "fuse": "125"}


def stops(path: Path) -> set[str]:
    judgement = gonogo.check(path, as_of=DAY)
    return {one.rule.id for one in judgement.findings if one.severity != "advice"}


def ran(command: object, path: Path, *arguments: object) -> tuple[int, str]:
    out = io.StringIO()
    status = command.run(path, *arguments, as_of=DAY, out=out)  # type: ignore[attr-defined]
    return status, out.getvalue()


def test_mending_shows_the_diff_and_writes_nothing(bench: Path, expect: Expect) -> None:
    """A look is free."""
    path = bench / "juniper.yaml"
    before = path.read_bytes()
    status, said = ran(mend, path)
    assert status == 0
    expect("screens/mend.txt", said)
    assert path.read_bytes() == before


def test_mending_written_touches_only_the_values(bench: Path) -> None:
    """Comments, odd spaces and quotation marks are the builder's own."""
    path = bench / "juniper.yaml"
    before = path.read_text("utf-8").splitlines()
    assert ran(mend, path, True)[0] == 0
    after = path.read_text("utf-8").splitlines()
    assert len(before) == len(after)
    changed = [(one, other) for one, other in zip(before, after, strict=True) if one != other]
    assert len(changed) == 6
    digits = str.maketrans("", "", "0123456789.")
    assert all(one.translate(digits) == other.translate(digits) for one, other in changed)
    assert stops(path) == set()


def test_mending_keeps_line_ends_and_the_mark_at_the_beginning(bench: Path) -> None:
    """The file came from another system, and goes back there."""
    path = bench / "juniper.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert ran(mend, path, True)[0] == 0
    data = path.read_bytes()
    assert data.startswith(b"\xef\xbb\xbfgonogo")
    assert data.count(b"\n") == data.count(b"\r\n")
    assert stops(path) == set()


def test_mending_a_second_time_has_nothing_to_do(bench: Path) -> None:
    """Mended is mended."""
    path = bench / "juniper.yaml"
    ran(mend, path, True)
    assert ran(mend, path) == (0, " Nothing to change: no danger or fault.\n")


def test_a_first_value_among_what_is_mended_says_its_own_reason(bench: Path) -> None:
    """A rule that moved a value is named; the sentence of a first value stands as it is."""
    moved = Setting("settings.battery_current_A", "", "settings.battery_current_A", 90, 1, 110)
    first = Setting("settings.max_rpm", "", "settings.max_rpm", 1470, 1, None, "Slow at first.")
    settings = [replace(moved, for_rule="battery-current-above-cells"), first]
    judgement = gonogo.check(bench / "juniper.yaml", as_of=DAY)
    section = mended_section(settings, (), judgement)
    said = " ".join(sections_as_text([section], page_for(None, io.StringIO())).split())
    assert "to 90 A: to keep battery-current-above-cells met" in said
    assert "max_rpm from not given to 1470 rpm: Slow at first. fixes" in said


def test_what_cannot_be_mended_is_left_alone_and_named(bench: Path, expect: Expect) -> None:
    """The pack does not go with the controller, whatever is entered."""
    path = bench / "rowan.yaml"
    before = path.read_bytes()
    status, said = ran(mend, path, True)
    assert status == 1
    expect("screens/mend-stuck.txt", said)
    assert path.read_bytes() == before


def test_a_waived_finding_is_not_mended(bench: Path) -> None:
    """Somebody has answered for it."""
    path = bench / "larch.yaml"
    text = path.read_text("utf-8").replace("max_rpm: 4000", "max_rpm: 4400")
    waiver = (
        "waivers:\n  - {rule: speed-above-limit, accepts: 4400, until: '2027-01-01',\n"
        "     reason: Raced on a closed ground only.}\n"
    )
    path.write_text(text + waiver, "utf-8")
    assert ran(mend, path) == (0, " Nothing to change: no danger or fault.\n")


def test_a_mode_that_inherits_too_much_gets_its_own_value(bench: Path) -> None:
    """The base is right for the open ground, and stays."""
    path = bench / "larch.yaml"
    text = path.read_text("utf-8").replace(
        "yard: {battery_current_A: 25, max_rpm: 1200,", "yard: {battery_current_A: 25,"
    )
    path.write_text(text, "utf-8")
    assert stops(path) == {"speed-above-limit"}
    assert ran(mend, path, True)[0] == 0
    data = YAML(typ="safe").load(path)
    # 20 km/h at 8.4 turns a wheel turn of 1.96 m: 1428.6 rpm
    assert data["modes"]["yard"]["max_rpm"] == 1420
    assert data["settings"]["max_rpm"] == 4000


def test_filling_proposes_what_is_missing(bench: Path, expect: Expect) -> None:
    """With a reason for each, and nothing that was entered is touched."""
    path = bench / "hazel.yaml"
    before = path.read_text("utf-8")
    status, said = ran(fill, path)
    assert status == 0
    expect("screens/fill.txt", said)
    assert ran(fill, path, True)[0] == 0
    after = path.read_text("utf-8")
    assert stops(path) == set()
    assert "  # what the shop agreed on\n  battery_current_A: 60   # for the first rides\n" in after
    kept = [line for line in before.splitlines() if "throttle: {ramp" not in line]
    lines = iter(after.splitlines())
    assert all(line in lines for line in kept)
    assert ran(fill, path)[1].startswith(" Nothing to fill")


def test_a_link_is_not_written_over(bench: Path) -> None:
    """It may lead into somebody else's repository."""
    link = bench / "link.yaml"
    link.symlink_to(bench / "juniper.yaml")
    with pytest.raises(EditError):
        ran(mend, link, True)


def answers(bench: Path) -> dict[str, str | None]:
    return {**ANSWERS, **{name: str(bench / f"{name}.yaml") for name in PARTS}}


def test_a_new_profile_lacks_only_readings(bench: Path, expect: Expect) -> None:
    """The first check after it says what to measure, and nothing else."""
    path = bench / "heather.yaml"
    status, said = ran(new, path, answers(bench), [], True)
    assert status == 0
    expect("screens/new.txt", said)
    judgement = gonogo.check(path, as_of=DAY)
    assert judgement.verdict == "incomplete"
    gates = [one for one in judgement.not_checked if one.rule.gate]
    assert all(name.startswith("readings.") for one in gates for name in one.missing)
    comments = [line for line in path.read_text("utf-8").splitlines() if line.strip()[:1] == "#"]
    assert len(comments) > 20


def test_an_empty_line_passes_over_a_question(monkeypatch: pytest.MonkeyPatch) -> None:
    """What may stay empty is not asked for again and again."""
    monkeypatch.setattr("sys.stdin", io.StringIO("\n"))
    assert terminal._prompted("Main fuse rating in A?") == ""


@pytest.mark.parametrize(
    ("pair", "word"),
    [
        pytest.param("pack.connector_A", "KEY=VALUE", id="no value"),
        pytest.param("pack.connector_A=", "KEY=VALUE", id="an empty value"),
        pytest.param("=120", "KEY=VALUE", id="no key"),
        pytest.param("pack.conector_A=120", "Did you mean pack.connector_A?", id="misspelt"),
        pytest.param("pack.connector_A=much", "a number from 0.1 to 2000", id="no number"),
        pytest.param("pack.connector_A=0", "a number from 0.1 to 2000", id="nothing"),
        pytest.param("vehicle.wet=maybe", "true or false", id="neither yes nor no"),
        pytest.param("pack.bms.port=both", "common or separate", id="no such choice"),
    ],
)
def test_an_entry_given_wrongly_is_told(bench: Path, pair: str, word: str) -> None:
    """With the key that was probably meant, or with what may stand there."""
    with pytest.raises(UsageError) as caught:
        ran(new, bench / "heather.yaml", answers(bench), [pair])
    assert word in str(caught.value)


def test_entries_are_given_as_they_read(bench: Path) -> None:
    """A number stays a number, a name that looks like one stays a name, `none` is an answer."""
    also = ["pack.connector_A=120", "vehicle.wet=true", "wiring.contactor=none"]
    told = {**answers(bench), "name": "20"}
    status, said = ran(new, bench / "heather.yaml", told, also)
    assert status == 0
    for line in ("  connector_A: 120", "  wet: true", "  contactor: none", '  name: "20"'):
        assert f"+{line}\n" in said


def test_a_new_profile_that_would_be_refused_is_not_begun(bench: Path) -> None:
    """More cells than the controller bears: no setting makes that right."""
    told = {**answers(bench), "series": "24"}
    status, said = ran(new, bench / "heather.yaml", told, [], True)
    assert status == 1
    assert "NOT CREATED" in said and "100.8 V" in said
    assert not (bench / "heather.yaml").exists()


def test_a_part_that_does_not_tell_what_a_gate_needs_is_named(bench: Path) -> None:
    """What the cells give has to be known before anything is entered."""
    (bench / "cell.yaml").write_text(
        "gonogo: part/1\npart: {name: Bench cell, source: {title: Bench sheet}}\n"
        "cell: {chemistry: nmc, full_V: 4.2, nominal_V: 3.6, minimum_V: 2.8}\n"
    )
    path = bench / "heather.yaml"
    status, said = ran(new, path, answers(bench), [], True)
    assert (status, path.exists()) == (4, False)
    assert "pack.cell.continuous_A" in said
    status, _ = ran(new, path, answers(bench), ["pack.cell.continuous_A=15"], True)
    assert (status, path.exists()) == (0, True)


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        pytest.param({"series": None}, "--series", id="an answer is missing"),
        pytest.param({"series": "many"}, "a whole number from 1 to 100", id="no number"),
        pytest.param({"series": "14.5"}, "a whole number", id="half a cell"),
        pytest.param({"series": "0"}, "a whole number", id="no cell at all"),
        pytest.param({"use": "moon"}, "off_road, street or private_land", id="no such place"),
        pytest.param({"motor": "nowhere.yaml"}, "No file", id="No file"),
    ],
)
def test_an_answer_that_cannot_be_used_is_told(
    bench: Path, changed: dict[str, str | None], word: str
) -> None:
    """Before anything is worked out."""
    with pytest.raises(UsageError) as caught:
        ran(new, bench / "heather.yaml", {**answers(bench), **changed}, [])
    assert word in str(caught.value)


def test_a_profile_that_is_there_is_not_begun_again(bench: Path) -> None:
    """Nothing is overwritten."""
    with pytest.raises(UsageError):
        ran(new, bench / "larch.yaml", answers(bench), [])
