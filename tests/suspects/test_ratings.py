"""Ratings in doubt: none is talked up into an unlikely value, and a part may be too small."""

from __future__ import annotations

import shutil
from pathlib import Path

import gonogo
import pytest
from gonogo import _with_catalogue
from gonogo.documents.profile import BASE
from gonogo.judgement.evaluation import hear
from gonogo.reports.suspects import answer_words
from gonogo.suspicion.ranking import Suspects
from gonogo.suspicion.ratings import is_absurd, is_loosened
from gonogo.suspicion.sites import Change, sites_of

from .test_suspects import AS_OF, ROOT, asked

WORKSHOP = ROOT / "examples" / "workshop"


@pytest.fixture(name="spoiled_shop")
def _spoiled_shop(tmp_path: Path) -> Path:
    """The workshop's vehicles beside their parts, to be spoiled."""
    shutil.copytree(WORKSHOP, tmp_path / "workshop")
    return tmp_path / "workshop" / "vehicles"


def asked_of(shop: Path, name: str, *edits: tuple[str, str]) -> Suspects:
    """A vehicle of the workshop with its text changed, asked about."""
    path = shop / f"{name}.yaml"
    text = path.read_text("utf-8")
    for old, new in edits:
        assert old in text, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    return gonogo.suspects(path, AS_OF)


def entries(found: Suspects) -> list[str]:
    return [key for one in found.suspects for key in one.same_class]


@pytest.mark.parametrize("degrees", ["-18", "-8"])
def test_no_cell_is_said_to_charge_in_deeper_frost(spoiled_shop: Path, degrees: str) -> None:
    """A stray minus sign at the ambient is undone; what the cells may do stays what their sheet says."""
    edit = ("min_ambient_degC: 8", f"min_ambient_degC: {degrees}")
    found = asked_of(spoiled_shop, "bracken", edit)
    assert "pack.cell.charge_from_degC" not in entries(found)
    first = found.suspects[0]
    assert (first.hypothesis.slip, first.same_class) == (
        "stray-sign",
        ("vehicle.min_ambient_degC",),
    )
    assert first.first is not None and first.first.entered == -float(degrees)


def test_no_suspect_loosens_a_limit_into_an_unlikely_value(spoiled_shop: Path) -> None:
    """Whatever is wrong: a rating that promises more brings no finding that doubts it."""
    tried = 0
    for name, edit in (
        ("bracken", ("min_ambient_degC: 8", "min_ambient_degC: -18")),
        ("teasel", ("rated_A: 200, rated_V: 125", "rated_A: 200, rated_V: 58")),
        ("burdock", ("battery_current_A: 45", "battery_current_A: 450")),
    ):
        for one in asked_of(spoiled_shop, name, edit).suspects:
            tried += 1
            if any(is_loosened(change) for change in one.hypothesis.changes):
                assert not [rule for rule in one.brings if rule.endswith("-unlikely")], one
    assert tried >= 3


def test_an_ordinary_rating_may_be_meant(spoiled_shop: Path) -> None:
    """A fuse of 58 V is one that can be bought: more likely the wrong fuse than ten times its volts."""
    edit = ("rated_A: 200, rated_V: 125", "rated_A: 200, rated_V: 58")
    found = asked_of(spoiled_shop, "teasel", edit)
    assert found.suspects[0].same_class == ("wiring.fuse.rated_V",)
    assert found.suspects[0].probability < 0.2
    assert found.none_of_these > 0.5
    assert "the part may be as entered and too small" in answer_words(found)


def test_another_entry_s_slip_makes_no_rating_wrong(spoiled_shop: Path) -> None:
    """Two causes at once: the wrong sensor comes first, as if alone, and the fuse in no pair with it."""
    found = asked_of(
        spoiled_shop,
        "teasel",
        ("rated_A: 200, rated_V: 125", "rated_A: 200, rated_V: 58"),
        ("sensor: kty84-130", "sensor: pt1000"),
    )
    first = found.suspects[0]
    assert "settings.temperature.motor.sensor" in first.same_class
    assert first.probability > found.none_of_these
    assert "fuse-voltage-below-pack" in first.leaves
    for one in found.suspects:
        if "wiring.fuse.rated_V" in one.same_class:
            assert len(one.hypothesis.changes) == 1


def test_a_rating_far_too_small_is_a_slip(tmp_path: Path) -> None:
    """Nobody builds a pack of cells for a tenth of its current."""
    found = asked(tmp_path, "trail-bike.yaml", ("continuous_A: 15,", "continuous_A: 1.5,"))
    first = found.suspects[0]
    assert first.same_class[0] == "pack.cell.continuous_A" and not first.may_be_meant
    assert first.probability > found.none_of_these


def test_to_loosen_is_to_promise_more() -> None:
    """By the side that the schema gives: a current upward, a lowest voltage or temperature downward."""
    profile = gonogo.check(WORKSHOP / "vehicles" / "bracken.yaml", AS_OF).profile
    sites = {site.quantity: site for site in sites_of(profile)}
    told = []
    for name in (
        "pack.cell.charge_from_degC",
        "pack.cell.continuous_A",
        "vehicle.min_ambient_degC",
    ):
        site = sites[name]
        for step in (-1, 1):
            told.append((name, step, is_loosened(Change(site, site.given.entered + step))))
    assert told == [
        ("pack.cell.charge_from_degC", -1, True),
        ("pack.cell.charge_from_degC", 1, False),
        ("pack.cell.continuous_A", -1, False),
        ("pack.cell.continuous_A", 1, True),
        ("vehicle.min_ambient_degC", -1, False),
        ("vehicle.min_ambient_degC", 1, False),
    ]


def test_a_setting_is_doubted_before_the_reading_against_it(spoiled_shop: Path) -> None:
    """A fault limit above the throttle's supply: the limit comes first, not a meter's decimal point."""
    found = asked_of(spoiled_shop, "mallow", ("lost_above_V: 4.5", "lost_above_V: 5.4"))
    keys = entries(found)
    assert keys[0] == "settings.throttle.lost_above_V"
    assert found.suspects[0].first is not None and found.suspects[0].first.entered == 4.5
    assert "the upper signal fault limit (" in answer_words(found)


def test_a_digit_too_many_is_undone(spoiled_shop: Path) -> None:
    """145 A for 45 A: the value is told as well as the entry."""
    edit = ("battery_current_A: 45", "battery_current_A: 145")
    first = asked_of(spoiled_shop, "burdock", edit).suspects[0]
    assert first.same_class == ("settings.battery_current_A",) and first.first is not None
    assert (first.first.entered, first.hypothesis.slip) == (45.0, "digit-too-many")


@pytest.mark.parametrize(
    ("edit", "entry"),
    [
        (("battery_cable_mm2: 35", "battery_cable_mm2: 4"), "wiring.battery_cable_mm2"),
        (("phase_cable_mm2: 35", "phase_cable_mm2: 6"), "wiring.phase_cable_mm2"),
        (("rated_A: 150, rated_V: 80,", "rated_A: 300, rated_V: 80,"), "wiring.fuse.rated_A"),
        (("breaking_A: 6000", "breaking_A: 1000"), "wiring.fuse.breaking_A"),
        (("tyre_speed_symbol: M", "tyre_speed_symbol: B"), "drivetrain.tyre_speed_symbol"),
    ],
    ids=["battery cable", "phase cable", "fuse", "fuse's breaking", "tyre"],
)
def test_a_part_called_by_its_size_may_be_too_small(
    edit: tuple[str, str], entry: str, spoiled_shop: Path
) -> None:
    """A thin cable, a large fuse, a slow tyre: what is on the label may be what is there."""
    found = asked_of(spoiled_shop, "bracken", edit)
    assert found.stops
    for one in found.suspects:
        if one.same_class[0] == entry:
            assert one.may_be_meant and one.probability < 0.5
    assert not answer_words(found).startswith("Most likely")


def test_a_cable_far_too_thin_is_a_slip(spoiled_shop: Path) -> None:
    """A quarter of a mm² for a motor's current is no cable that anybody lays."""
    edit = ("phase_cable_mm2: 35", "phase_cable_mm2: 0.35")
    first = asked_of(spoiled_shop, "bracken", edit).suspects[0]
    assert first.same_class[0] == "wiring.phase_cable_mm2" and not first.may_be_meant


@pytest.mark.parametrize(
    ("quantity", "most"),
    [
        ("wiring.battery_cable_mm2", 1.0),
        ("wiring.fuse.rated_A", 5.0),
        ("pack.connector_A", 5.0),
    ],
)
def test_no_part_is_proposed_that_nobody_fits(quantity: str, most: float) -> None:
    """More than one mm² or five amperes of rating for each ampere of the pack."""
    profile, catalogue = _with_catalogue(WORKSHOP / "vehicles" / "bracken.yaml")
    book = hear(profile, catalogue, AS_OF).books[BASE]
    site = next(one for one in sites_of(profile) if one.quantity == quantity)
    ampere = book.operand("settings.battery_current_A").number
    fits, too_large = (Change(site, times * most * ampere) for times in (0.9, 1.1))
    assert not is_absurd(fits, [book]) and is_absurd(too_large, [book])


def test_what_was_tried_and_did_not_work_is_not_talked_into_working(spoiled_shop: Path) -> None:
    """A brake that cut nothing is a result: no other word is proposed for it."""
    path = spoiled_shop / "bracken.yaml"
    text = path.read_text("utf-8")
    found = gonogo.suspects(path, AS_OF)
    assert not found.stops
    tried = "readings:\n  tried: {brake_cut: nothing}\n"
    assert text.count("\nreadings:\n") == 1
    path.write_text(text.replace("\nreadings:\n", f"\n{tried}"), "utf-8")
    found = gonogo.suspects(path, AS_OF)
    assert {one.rule.id for one in found.stops} == {"brake-cut-tried-nothing"}
    assert not [key for key in entries(found) if key.startswith("readings.tried")]
