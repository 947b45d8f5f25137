"""Entries that should agree, or are alike by accident: who is accused, and what is asked for."""

from __future__ import annotations

import math
import subprocess
from dataclasses import replace
from pathlib import Path

import gonogo
import pytest
from gonogo.commands import suspect
from gonogo.commands.suspect import previous
from gonogo.reports.suspects import answer_words, record, suspect_title
from gonogo.suspicion.ranking import Suspects

from .by_hand import DAY, HandSlip, planted_at


def asked(folder: Path, vehicle: str, *edits: tuple[str, str]) -> Suspects:
    """A sound vehicle with its text changed, asked about."""
    return gonogo.suspects(planted_at(HandSlip(1, "", vehicle, (), edits), folder), DAY)


def page_to(path: Path, output: Path) -> int:
    """The page about a vehicle, written to a file; the status of the call."""
    return suspect.run(path, output=output, as_of=DAY)


def test_an_entry_with_its_neighbour_s_number_has_no_value(tmp_path: Path) -> None:
    """Taper and stop both at 95 °C: one of them is wrong, and nobody knows what it should be."""
    found = asked(tmp_path, "alder", ("stop_degC: 115", "stop_degC: 95"))
    first = found.suspects[0]
    motor = "settings.temperature.motor."
    assert set(first.same_class) == {f"{motor}taper_from_degC", f"{motor}stop_degC"}
    told = record(found)
    assert told["suspects"][0]["value"] is None and told["suspects"][0]["other_values"] == []
    assert [one["expected"] for one in told["next"]] == [[None, 95]]
    assert "or the motor temperature stop" in answer_words(found)


def test_of_two_that_differ_the_one_that_more_speaks_against_is_named(tmp_path: Path) -> None:
    """The rim's circumference in place of the tyre's: the display that still has the tyre's is right."""
    edit = (
        "tyre_speed_symbol: L, circumference_mm: 1500",
        "tyre_speed_symbol: L, circumference_mm: 1117",
    )
    first = asked(tmp_path, "alder", edit).suspects[0]
    assert first.same_class[0] == "drivetrain.circumference_mm" and first.leaves == ()
    assert first.first is not None and first.first.entered == 1500


def test_a_setting_that_did_not_follow_asks_for_what_it_follows(tmp_path: Path) -> None:
    """The controller holds what was typed in: the magnets say whether it is right. 7 pairs have 14."""
    found = asked(tmp_path, "elder", ("  pole_pairs: 4\n", "  pole_pairs: 7\n"))
    assert found.suspects[0].same_class[0] == "settings.pole_pairs"
    looked_up = found.next[-1]
    assert (looked_up.measure, looked_up.expected) == ("motor.magnets", (8, 14))


def test_a_motor_is_held_against_its_twin(tmp_path: Path) -> None:
    """Of two hub motors one has the figure of another build: it is named with its motor."""
    edit = (
        "  rear:\n    magnets: 46\n    kv_rpm_per_V: 11",
        "  rear:\n    magnets: 46\n    kv_rpm_per_V: 14.5",
    )
    first = asked(tmp_path, "rowan", edit).suspects[0]
    assert first.same_class == ("motors.rear.kv_rpm_per_V",)
    assert first.first is not None and first.first.entered == 11
    assert suspect_title(first) == "the motor speed constant of motor rear"


def test_what_compares_two_motors_is_explained(tmp_path: Path) -> None:
    """Two motors that push unequally: their kv differ, and either may be wrong."""
    source = Path(__file__).parents[1] / "hazards" / "sound" / "cart-with-two-rear-motors.yaml"
    before, entry, after = source.read_text("utf-8").partition("kv_rpm_per_V: 65")
    path = tmp_path / "cart.yaml"
    path.write_text(f"{before}kv_rpm_per_V: 112.6{after}", "utf-8")
    assert entry
    found = gonogo.suspects(path, DAY)
    named = {one.same_class[0] for one in found.suspects}
    assert named >= {"motors.left.kv_rpm_per_V", "motors.right.kv_rpm_per_V"}
    assert "motors-differ-in-thrust" in found.suspects[0].explains


def test_what_is_looked_up_is_of_the_accused_motor(tmp_path: Path) -> None:
    """Two motors take one part: the magnets to count are those of the motor whose setting is doubted."""
    for motor, edit in (
        (
            "left",
            ("settings: {direction: reversed}", "settings: {direction: reversed, pole_pairs: 8}"),
        ),
        (
            "right",
            (
                "    readings:\n      wheel_turned: forward\n      temperature: {motor_degC: 15,",
                "    settings: {pole_pairs: 8}\n    readings:\n      wheel_turned: forward\n      temperature: {motor_degC: 15,",
            ),
        ),
    ):
        found = asked(tmp_path, "bindweed", edit)
        assert found.suspects[0].same_class[0] == f"motors.{motor}.settings.pole_pairs"
        assert {one.measure for one in found.next} == {f"motors.{motor}.magnets"}


def test_of_several_motors_the_previous_revision_is_asked_too(tmp_path: Path) -> None:
    """A reading of one motor that was changed by accident is what it was in the last commit."""
    slip = HandSlip(1, "", "rowan", (), (("rpm: 657", "rpm: 657"),))
    path = planted_at(slip, tmp_path)
    git = ["git", "-C", str(tmp_path), "-c", "user.name=A", "-c", "user.email=a@b.example"]
    for words in (["init", "-q"], ["add", "."], ["commit", "-qm", "as it was"]):
        subprocess.run([*git, *words], check=True)
    path.write_text(path.read_text("utf-8").replace("rpm: 657", "rpm: 489"), "utf-8")
    profile = gonogo.check(path, DAY).profile
    before = previous(path, profile, None)
    assert before is not None and list(before.motors) == ["front", "rear"]
    out = tmp_path / "page.txt"
    assert page_to(path, out) == 1
    text = out.read_text("utf-8")
    assert "motors.rear.readings.no_load.rpm" in text
    assert "489 rpm → 657 rpm" in text and "previous revision" in text


def test_what_is_asked_of_a_vehicle_is_not_talked_down(tmp_path: Path) -> None:
    """A stage of the drive left out makes it too fast: nobody is told to raise the speed limit for it."""
    edit = (
        "{driving_teeth: 18, driven_teeth: 54}, {driving_teeth: 16, driven_teeth: 58}",
        "{driving_teeth: 16, driven_teeth: 58}",
    )
    found = asked(tmp_path, "elder", edit)
    for one in found.suspects:
        if one.probability >= 0.2:
            assert "vehicle.speed_limit_km_h" not in one.same_class
    # the display still has the reduction of both stages; which teeth are missing, nobody knows
    first = found.suspects[0]
    assert first.same_class == ("drivetrain.stages",) and not first.leaves
    assert record(found)["suspects"][0]["value"] is None


def test_two_slips_of_two_findings_are_no_one_cause(tmp_path: Path) -> None:
    """Neither is said to be it: both are named, each with what it leaves."""
    found = asked(
        tmp_path,
        "alder",
        ("taper_from_V: 42.5, cutoff_V: 40.3", "taper_from_V: 24.5, cutoff_V: 40.3"),
        ("electrical_Hz: 464.3", "electrical_Hz: 4643"),
    )
    assert answer_words(found).startswith("Look first at")
    alone = {one.same_class[0]: one for one in found.suspects if len(one.same_class) == 1}
    for key in ("readings.no_load.electrical_Hz", "settings.low_voltage.taper_from_V"):
        assert alone[key].leaves and alone[key].probability < 0.5
    assert any(one.hypothesis.slips == 2 and not one.leaves for one in found.suspects)


@pytest.mark.parametrize(
    ("kv", "is_named"),
    [pytest.param("112", True, id="more turns a volt"), pytest.param("70", False, id="fewer")],
)
def test_weak_magnets_turn_faster(kv: str, is_named: bool, tmp_path: Path) -> None:
    """Less flux is more speed a volt, never less: e = λ·ω."""
    found = asked(tmp_path, "alder", ("kv_rpm_per_V: 91}", f"kv_rpm_per_V: {kv}}}"))
    slips = {one.hypothesis.slip for one in found.suspects}
    assert ("magnets-weakened" in slips) == is_named


def test_a_swapped_phase_is_done_first(tmp_path: Path) -> None:
    """What to do stands first, before what explains."""
    edit = ("wheel_turned: forward", "wheel_turned: backward")
    path = planted_at(HandSlip(1, "", "alder", (), (edit,)), tmp_path)
    assert page_to(path, tmp_path / "page.txt") == 1
    text = (tmp_path / "page.txt").read_text("utf-8")
    assert text.index("Exchange two phase wires") < text.index(" 1 · ") < text.index("\n explains")


@pytest.mark.parametrize(
    ("vehicle", "old", "new", "measure", "expected"),
    [
        # λ = 60 / (√3 · 2π · p · kv), of one phase, by the definitions of kv and flux linkage
        (
            "alder",
            "kv_rpm_per_V: 90, ph",
            "kv_rpm_per_V: 156, ph",
            "flux_linkage_mVs",
            (7, 90, 156),
        ),
        (
            "trail-bike",
            "kv_rpm_per_V: 62",
            "kv_rpm_per_V: 107.4",
            "flux_linkage_mVs",
            (4, 62, 107.4),
        ),
        ("elder", "kv_rpm_per_V: 48", "kv_rpm_per_V: 24", "flux_linkage_mVs", (4, 48, 24)),
    ],
)
def test_the_next_measurement_is_worked_out_by_hand(
    vehicle: str,
    old: str,
    new: str,
    measure: str,
    expected: tuple[int, float, float],
    tmp_path: Path,
) -> None:
    """The two values that a reading is expected to have, from the definitions."""
    reading = asked(tmp_path, vehicle, (old, new)).next[0]
    assert reading.measure.endswith(measure)
    pairs, *kvs = expected
    by_hand = [60e3 / (math.sqrt(3) * 2 * math.pi * pairs * kv) for kv in kvs]
    assert reading.expected == pytest.approx(by_hand, rel=0.005)


@pytest.mark.parametrize(
    ("vehicle", "old", "new", "expected"),
    [
        # 349 Hz · 60 / 5 pole pairs = 4188 rpm; a shaft reads in tens
        ("kart-lfp", "rpm: 4190, electrical_Hz", "rpm: 1257, electrical_Hz", (4190, 1257)),
        # the sixteen groups of the pack add up to 66.898 V
        ("bracken", "pack_V: 66.9", "pack_V: 60.9", (66.9, 60.9)),
        # a pack of 16 cells is charged to 58.4 V, 15 to 54.75 V: its charger has 57.6 V
        ("kart-lfp", "series: 16", "series: 15", (16, 15)),
    ],
)
def test_a_reading_taken_again_is_what_the_others_say(
    vehicle: str, old: str, new: str, expected: tuple[float, float], tmp_path: Path
) -> None:
    """What is read again comes to what other readings add up to."""
    reading = asked(tmp_path, vehicle, (old, new)).next[0]
    assert reading.expected == pytest.approx(expected, rel=0.001)


@pytest.mark.parametrize(
    ("old", "new", "entry"),
    [
        pytest.param(
            "taper_from_degC: 95, stop_degC: 115",
            "taper_from_degC: 190, stop_degC: 210",
            "settings.temperature.motor.stop_degC",
            id="a stop above insulation and magnets",
        ),
        pytest.param(
            "taper_from_V: 52, stop_V: 54}",
            "taper_from_V: 56.4, stop_V: 58.4}",
            "settings.regen.stop_V",
            id="a stop above the full pack",
        ),
        pytest.param(
            "lost_below_V: 0.45",
            "lost_below_V: 1.4",
            "settings.throttle.lost_below_V",
            id="a fault limit above rest, and none weaker than it need be",
        ),
    ],
)
def test_a_setting_is_doubted_before_what_limits_it(
    old: str, new: str, entry: str, tmp_path: Path
) -> None:
    """What was meant, nobody knows; a better grade or class is not proposed for it."""
    found = asked(tmp_path, "alder", (old, new))
    first = found.suspects[0]
    assert first.same_class[0] == entry and not first.leaves
    assert record(found)["suspects"][0]["value"] is None


def test_cells_are_as_many_as_charger_and_setting_say(tmp_path: Path) -> None:
    """Charger and nominal voltage both say thirteen: that two were miscounted are not likelier."""
    found = asked(tmp_path, "alder", ("\n  series: 13", "\n  series: 17"))
    first = found.suspects[0]
    assert first.same_class[0] == "pack.series" and first.first is not None
    assert first.first.entered == 13


def test_a_lost_first_digit_is_put_back(tmp_path: Path) -> None:
    """A fuse of 150 A typed 50: the fuse is named, and what little speaks for it is said."""
    found = asked(tmp_path, "bracken", ("rated_A: 150, rated_V: 80", "rated_A: 50, rated_V: 80"))
    told = {one.same_class[0]: one.hypothesis.slip for one in found.suspects}
    assert told["wiring.fuse.rated_A"] == "digit-lost"


def test_what_hardly_anything_speaks_for_leads_nowhere(tmp_path: Path) -> None:
    """Below one in ten no entry is said to be the first to look at."""
    found = asked(tmp_path, "bracken", ("  battery_current_A: 100", "  battery_current_A: 130"))
    first = found.suspects[0]
    for share, begins in (
        (0.06, "Nothing single explains it"),
        (0.2, "Nothing stands out: begin with"),
        (0.4, "Look first at"),
    ):
        alone = replace(first, probability=share, may_be_meant=False)
        told = replace(found, suspects=(alone,), none_of_these=1.0 - share)
        assert answer_words(told).startswith(begins)


def test_a_rating_that_may_be_meant_leads_no_further_than_a_slip(tmp_path: Path) -> None:
    """7 % for a fuse that can be bought: nothing stands out."""
    found = asked(tmp_path, "bracken", ("rated_A: 150, rated_V: 80", "rated_A: 50, rated_V: 80"))
    first = replace(found.suspects[0], probability=0.07, may_be_meant=True)
    told = replace(found, suspects=(first,), none_of_these=0.9)
    assert answer_words(told).startswith("Nothing stands out")


@pytest.mark.parametrize(
    ("vehicle", "edit"),
    [
        pytest.param(
            "rowan",
            (
                "tyre_speed_symbol: none, circumference_mm: 860",
                "tyre_speed_symbol: none, circumference_mm: 540",
            ),
            id="two circumferences that differ",
        ),
        pytest.param(
            "velomobile",
            ("wheel_turned: forward", "wheel_turned: backward"),
            id="two phases exchanged, or misread",
        ),
        pytest.param("fescue", ("  parallel: 6", "  parallel: 2"), id="past a limit that is wrong"),
        pytest.param(
            "long-tail", ("  parallel: 5", "  parallel: 2"), id="the same of a long bicycle"
        ),
    ],
)
def test_one_of_two_that_may_both_be_wrong_is_not_said_to_be_it(
    vehicle: str, edit: tuple[str, str], tmp_path: Path
) -> None:
    """Nobody is told that a setting is most likely wrong because what limits it was mistyped.

    To name both as what it may be says of neither that it is.
    """
    told = answer_words(asked(tmp_path, vehicle, edit))
    names_both = " or the " in told.partition("(")[0]
    assert names_both or told.startswith(("Look first at", "Nothing stands out"))


@pytest.mark.parametrize(
    ("vehicle", "edit", "entry"),
    [
        pytest.param("bracken", ("parallel: 8", "parallel: 3"), "pack.parallel", id="a worn 8"),
        pytest.param(
            "elder",
            (
                "taper_from_V: 58.5, cutoff_V: 56.6",
                "taper_from_V: 42.5, cutoff_V: 40.3",
            ),
            "settings.low_voltage.cutoff_V",
            id="taper and cutoff of another pack, the limit not allowed itself",
        ),
        pytest.param(
            "alder",
            ("start_V: 1.02, full_V: 4.02", "start_V: 0.73, full_V: 4.17"),
            "settings.throttle.start_V",
            id="a throttle of another kind, its start below rest",
        ),
    ],
)
def test_what_explains_all_of_it_is_named_first(
    vehicle: str, edit: tuple[str, str], entry: str, tmp_path: Path
) -> None:
    """A cutoff is never tried above its own taper, nor a start by a ratio where it goes by a difference."""
    first = asked(tmp_path, vehicle, edit).suspects[0]
    assert first.same_class[0] == entry and not first.leaves


def test_what_is_asked_comes_after_the_setting_that_passes_it(tmp_path: Path) -> None:
    """A cart that is set an eighth too fast: the setting, not the limit that its use has."""
    found = asked(tmp_path, "golf-gel", ("max_rpm: 2800", "max_rpm: 3140"))
    assert found.suspects[0].same_class[0] == "settings.max_rpm"


@pytest.mark.parametrize("vehicle", ["kart-lfp", "trail-bike"])
def test_no_taper_is_said_to_begin_in_the_warmth_of_a_day(vehicle: str, tmp_path: Path) -> None:
    """A stop below its taper: which of the two is wrong, and not one in Fahrenheit at 20 °C."""
    found = asked(tmp_path, vehicle, ("stop_degC: 140", "stop_degC: 119"))
    assert found.suspects
    for one in found.suspects:
        for change in one.hypothesis.changes:
            if change.site.quantity.endswith("degC"):
                assert change.entered >= 55
    assert not any(one.probability > 0.5 for one in found.suspects if one.hypothesis.known)


@pytest.mark.parametrize("vehicle", ["off-road-weakened", "long-tail", "fescue"])
def test_no_pack_is_talked_into_more_cells(vehicle: str, tmp_path: Path) -> None:
    """A pack may be as small as it is entered, and the current set too high for it."""
    text = planted_at(HandSlip(1, "", vehicle, (), ()), tmp_path).read_text("utf-8")
    many = next(line for line in text.splitlines() if line.startswith("  parallel: "))
    fewer = f"  parallel: {int(many.split()[1]) // 2 + 1}"
    found = asked(tmp_path, vehicle, (many, fewer))
    for one in found.suspects:
        if "pack.parallel" in one.same_class:
            assert one.may_be_meant and one is not found.suspects[0]
