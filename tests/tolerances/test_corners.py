"""Corners of the example vehicles: held against plain sampling, their schema, and worst cases by hand."""

from __future__ import annotations

import io
import json
from pathlib import Path

import gonogo
import pytest
from gonogo.commands.corners import run
from gonogo.documents.contents import contents
from gonogo.documents.error import DocumentErrors
from gonogo.documents.schema import canonical
from gonogo.judgement.catalogue import catalogue
from gonogo.quantities.registry import WORKED
from gonogo.tolerances.enclosure import Enclosure
from gonogo.tolerances.interval import Interval
from jsonschema import Draft202012Validator

from .example_vehicles import (
    DAY,
    EXAMPLES,
    ROOT,
    bench_of,
    plainly_flagged,
    points,
)

SCHEMAS = ROOT / "schemas"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_no_point_contradicts_everywhere_or_nowhere(path: Path) -> None:
    """A point that breaks what holds everywhere is a promise that somebody rides on."""
    bench, clauses = bench_of(path)
    answers = [(clause, bench.answer(clause).holds) for clause in clauses]
    sure = [(clause, holds) for clause, holds in answers if holds in ("everywhere", "nowhere")]
    assert sure
    for clause, holds in sure:
        box = bench.tolerated.box(clause.rule)
        if box:
            for point in list(points(box, f"{path.stem} {clause.rule.id}"))[:3]:
                found = plainly_flagged(clause, bench, point)
                assert found == (holds == "nowhere"), (clause.rule.id, clause.severity, point)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_quantity_lies_inside_its_span_at_every_point(path: Path) -> None:
    """The enclosure encloses: each of some 300 worked quantities, at points by chance."""
    bench, _ = bench_of(path)
    tolerated = bench.tolerated
    whole = {name: tolerated.side(name, rows) for name, rows in tolerated.reaches.items()}
    enclosure = Enclosure(bench.books[""], whole)
    for point in points(whole, path.stem):
        book = bench.at(point)[""]
        for name in WORKED:
            span, operand = enclosure.span(name), book.operand(name)
            if span.still is not None:
                assert span.still == operand, name
            elif operand.value is None:
                assert span.open, name
            elif isinstance(operand.value, float | int) and span.number is not None:
                inside = span.number.value
                if isinstance(operand.value, bool):
                    assert inside.high > 0.0 if operand.value else inside.low <= 0.0, name
                else:
                    assert inside.holds(operand.number) or span.other, (name, inside, operand)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_nothing_is_left_undecided_on_the_examples(path: Path) -> None:
    """The search is meant to decide; what it cannot would be said."""
    bench, clauses = bench_of(path)
    undecided = [c.rule.id for c in clauses if bench.answer(c).holds == "undecided"]
    assert undecided == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_corner_shows_what_it_says(path: Path) -> None:
    """The judge itself breaks the rule at the corner that is told, with nothing else moved."""
    bench, clauses = bench_of(path)
    for clause in clauses:
        answer = bench.answer(clause)
        if answer.holds == "somewhere":
            assert answer.worst is not None and answer.best is not None
            assert plainly_flagged(clause, bench, dict(answer.worst))
            assert not plainly_flagged(clause, bench, dict(answer.best))


def test_the_rows_fit_their_schema_and_name_what_there_is() -> None:
    """A row for an entry that nobody can make would widen nothing, in silence."""
    held = contents("gonogo.rules", "tolerances")
    schema = json.loads((SCHEMAS / "tolerances.schema.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(held)
    names = {name for row in held["tolerances"] for name in row["entries"]}
    assert names <= canonical().keys()
    read = {name for row in held["tolerances"] for name in row.get("measured_by", ())}
    assert read and read <= canonical().keys() | WORKED.keys()
    assert set(held["as_stated"]) <= canonical().keys()
    assert names.isdisjoint(held["as_stated"])
    assert set(held["of_entries"]) <= catalogue().rules.keys()
    ids = [row["id"] for row in held["tolerances"]]
    assert len(ids) == len(set(ids))


def test_settings_ratings_and_counts_have_no_tolerance() -> None:
    """A setting is what was typed in, a rating a promise, a count whole."""
    for row in contents("gonogo.rules", "tolerances")["tolerances"]:
        for name in row["entries"]:
            entry = canonical()[name]
            assert not name.startswith("settings.")
            assert entry.kind in ("number", "list")
            # Of these ratings it is known by how much the part itself may differ.
            if entry.rating:
                assert row["id"] in ("capacity-aged", "bms-thresholds", "no-load-current"), name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_record_fits_its_schema(path: Path) -> None:
    """As another program reads it."""
    out = io.StringIO()
    status = run(path, "json", None, DAY, out)
    record = json.loads(out.getvalue())
    schema = json.loads((SCHEMAS / "corners.schema.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(record)
    everywhere = record["verdict"]["everywhere"]
    assert status == {"go": 0, "go-with-waivers": 0, "no-go": 1}.get(everywhere, 4)


SAG = """gonogo: profile/1
vehicle: {name: Larch, min_ambient_degC: 10}
pack: {full_V: 58.8, nominal_V: 50.4, minimum_V: 42, resistance_mohm: 60, continuous_A: 100}
settings: {battery_current_A: 100}
"""


def test_a_sag_by_hand(tmp_path: Path) -> None:
    """At 100 A a pack of 60 mΩ, joints included, sags by 6 V of 50.4 V, aged by half by 9 V.

    11.9 % and 17.9 %: the house's sag allowance of 15 % lies between, its fault at 25 % above. Ohm's law,
    worked out here.
    """
    path = tmp_path / "larch.yaml"
    path.write_text(SAG, "utf-8")
    found = {(one.rule.id, one.severity): one for one in gonogo.corners(path, DAY).rules}
    advice = found["battery-current-sags-pack", "advice"]
    assert advice.holds == "somewhere"
    assert advice.measured
    assert advice.at_corner.corner == {"pack.resistance_mohm": pytest.approx(90.0)}
    assert advice.at_corner.causes == ("aged pack",)
    assert advice.at_corner.past == pytest.approx((9.0 / 50.4 - 0.15) / 0.15, abs=1e-4)
    # It holds up to 7.56 V, at 75.6 mΩ of the 54 to 90 mΩ that it may be.
    assert advice.share == pytest.approx((75.6 - 54.0) / 36.0, abs=0.02)
    # Of the cable nothing is entered: more than this it may sag, so that the fault is not said to hold.
    assert ("battery-current-sags-pack", "fault") not in found


def test_the_cold_counts_where_it_gets_cold(tmp_path: Path) -> None:
    """Below the house's cold pack temperature the same pack sags by twice as much again."""
    path = tmp_path / "larch.yaml"
    path.write_text(SAG.replace("min_ambient_degC: 10", "min_ambient_degC: -5"), "utf-8")
    found = {(one.rule.id, one.severity): one for one in gonogo.corners(path, DAY).rules}
    fault = found["battery-current-sags-pack", "fault"]
    assert fault.holds == "somewhere"
    assert fault.at_corner.causes == ("aged pack, cold",)


def test_what_is_known_exactly_settles(tmp_path: Path) -> None:
    """The pack's resistance alone decides the sag, and its rule is named."""
    path = tmp_path / "larch.yaml"
    path.write_text(SAG, "utf-8")
    settle = gonogo.corners(path, DAY).settle
    assert settle[0].quantity == "pack.resistance_mohm"
    assert "battery-current-sags-pack" in settle[0].rules


@pytest.mark.parametrize("stem", ["mallow", "bracken", "comfrey"])
def test_what_several_entries_move_names_those_that_settle_it_together(stem: str) -> None:
    """A finding that no one measurement settles still has a next step, and no needless one."""
    path = next(path for path in EXAMPLES if path.stem == stem)
    bench, clauses = bench_of(path)
    found = gonogo.corners(path, DAY)
    told = {rule for one in (*found.settle, *found.settle_together) for rule in one.rules}
    doubted = {one.rule.id for one in found.rules if one.holds in ("somewhere", "undecided")}
    assert doubted == told
    assert found.settle_together
    for one in found.settle_together:
        assert len(one.quantities) > 1
        for clause in (clause for clause in clauses if clause.rule.id in one.rules):
            whole = frozenset(one.quantities)
            if bench.answer(clause).holds != "somewhere":
                continue
            assert bench.answer(clause, whole).holds in ("everywhere", "nowhere")
            for name in whole:
                assert bench.answer(clause, whole - {name}).holds in ("somewhere", "undecided")


def test_what_the_profile_knows_better_counts(tmp_path: Path) -> None:
    """A resistance measured to 1 % still ages, and a kv to 1 % takes the place of what is usual."""
    path = tmp_path / "larch.yaml"
    told = (
        "tolerances: {pack.resistance_mohm: 1, motor.kv_rpm_per_V: 1}\nmotor: {kv_rpm_per_V: 60}\n"
    )
    path.write_text(SAG + told, "utf-8")
    rooms = {room.quantity: room.side for room in gonogo.corners(path, DAY).rooms}
    # 60 mΩ × 0.99 × 0.9 to 60 mΩ × 1.01 × 1.5: the row of age and strong cells is no spread.
    assert rooms["pack.resistance_mohm"] == pytest.approx((53.46, 90.9))
    # 60 rpm/V × 1.01, and 8 % for hot magnets.
    assert rooms["motor.kv_rpm_per_V"].high == pytest.approx(60.0 * 1.01 * 1.08)


@pytest.mark.parametrize(
    ("told", "found"),
    [
        pytest.param("motor.kv_rpm_per: 1", "motor.kv_rpm_per_V", id="a slip of the key"),
        pytest.param("settings.max_rpm: 1", "no setting", id="a setting"),
        pytest.param("motor.magnets: 1", "a number", id="a count"),
    ],
)
def test_a_tolerance_of_what_has_none_is_an_error(tmp_path: Path, told: str, found: str) -> None:
    """With its place, what was wanted and the nearest known name."""
    path = tmp_path / "larch.yaml"
    path.write_text(SAG + f"tolerances: {{{told}}}\n", "utf-8")
    with pytest.raises(DocumentErrors) as caught:
        gonogo.corners(path, DAY)
    error = caught.value.errors[0]
    assert error.line == 5
    assert found in str(error)


def test_a_shop_narrows_a_row(tmp_path: Path) -> None:
    """Half as much age: 60 mΩ from 57 to 75; a row that there is not is an error with its place."""
    path, house = tmp_path / "larch.yaml", tmp_path / "house.yaml"
    path.write_text(SAG, "utf-8")
    house.write_text("gonogo: house/1\ntolerances: {cell-aged: 0.5}\n", "utf-8")
    rooms = {room.quantity: room.side for room in gonogo.corners(path, DAY).rooms}
    assert rooms["pack.resistance_mohm"] == pytest.approx((57.0, 75.0))
    house.write_text("gonogo: house/1\ntolerances: {cell-age: 0.5}\n", "utf-8")
    with pytest.raises(DocumentErrors, match="cell-aged"):
        gonogo.corners(path, DAY)


def test_a_side_of_a_box_holds_what_is_entered() -> None:
    """No tolerance leaves the entered value outside."""
    for path in EXAMPLES:
        bench, _ = bench_of(path)
        for name, rows in bench.tolerated.reaches.items():
            side: Interval = bench.tolerated.side(name, rows)
            assert side.holds(bench.tolerated.entered[name])
