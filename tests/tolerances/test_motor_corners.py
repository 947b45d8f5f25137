"""Corners of several motors: against the judge at points by chance, and by hand."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random

import gonogo
import pytest
from gonogo.commands.corners import run
from gonogo.documents.profile import Profile
from gonogo.judgement.motor_books import Books, books_of_motors, hear_motors, which_book
from gonogo.quantities.number import is_number
from gonogo.quantities.registry import WORKED
from gonogo.tolerances.clauses import CornerClause, corner_clauses
from gonogo.tolerances.enclosure import Box
from gonogo.tolerances.excess import flags_at
from gonogo.tolerances.interval import point
from gonogo.tolerances.motor_bench import MotorBench, motor_benches, side_of_motor
from gonogo.tolerances.tolerance import Tolerated
from jsonschema import Draft202012Validator

from .example_vehicles import DAY, ROOT, SOUND, WORKSHOP

VEHICLES = [
    WORKSHOP / "bindweed.yaml",
    *(
        SOUND / f"{name}.yaml"
        for name in (
            "cart-with-two-rear-motors",
            "longboard-two-motors",
            "scooter-all-wheels",
            "twin-hub-scooter",
            "two-hub-scooter",
        )
    ),
]
POINTS = 3
Answers = list[tuple[str, MotorBench, CornerClause, str]]


@cache
def benches_of(path: Path) -> tuple[Profile, dict[str, list[MotorBench]], Answers]:
    """A vehicle with the benches of each motor, and where each clause holds."""
    profile, catalogue = gonogo._with_catalogue(path)
    heard = hear_motors(profile, catalogue, DAY)
    each = {
        name: Tolerated(
            one.hearing.books[""],
            profile.motors[name].givens,
            profile.house.tolerances,
            profile.motors[name].tolerances,
        )
        for name, one in heard.items()
    }
    benches = dict(motor_benches(profile, catalogue, heard, each))
    answers = [
        (motor, bench, clause, bench.answer(clause).holds)
        for motor, several in benches.items()
        for clause in corner_clauses(heard[motor].hearing, catalogue)
        for bench in [several[which_book(clause.rule)]]
    ]
    return profile, benches, answers


def books_at(
    profile: Profile, motor: str, point: Mapping[str, float]
) -> Mapping[str, Mapping[str, Books]]:
    """The books of all motors worked out anew, of a profile that has these values entered."""
    views = {}
    for name, view in profile.motors.items():
        moved = {}
        for quantity, given in view.givens.items():
            own = given.entered_as.startswith(f"motors.{name}.")
            side = side_of_motor(name, quantity) if own and name != motor else quantity
            if side in point:
                value: object = point[side]
                if isinstance(given.value, tuple):
                    value = tuple(float(one) + point[side] for one in given.value)  # type: ignore[arg-type]
                moved[quantity] = replace(given, value=value)  # type: ignore[arg-type]
        views[name] = replace(view, givens={**view.givens, **moved})
    return books_of_motors(replace(profile, motors=views), DAY)[1]


def spread(box: Box, chance: Random) -> Iterator[dict[str, float]]:
    """Points of a box by chance, most of their sides at an end."""
    for _ in range(POINTS):
        yield {
            name: chance.choice((side.low, side.high, chance.uniform(*side)))
            for name, side in box.items()
        }


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_no_point_contradicts_everywhere_or_nowhere(path: Path) -> None:
    """The judge of the whole vehicle, with every motor's entries moved at once, each by itself."""
    profile, _, answers = benches_of(path)
    groups: dict[tuple[str, int], tuple[Box, Answers]] = {}
    for one in answers:
        motor, bench, clause, holds = one
        box = bench.tolerated.box(clause.rule)
        if box and holds in ("everywhere", "nowhere"):
            groups.setdefault((motor, id(box)), (box, []))[1].append(one)
    assert groups
    chance = Random(path.stem)
    for (motor, _), (box, asked) in groups.items():
        for spot in spread(box, chance):
            books = books_at(profile, motor, spot)[motor]
            for _, bench, clause, holds in asked:
                flags = [
                    flags_at(clause.rule, clause.severity, books[seat].books[bench.number])
                    for seat in clause.seats
                ]
                flagged = all(flags) if clause.rule.modes == "any" else any(flags)
                assert flagged == (holds == "nowhere"), (clause.rule.id, clause.severity, spot)


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_every_quantity_lies_inside_its_span(path: Path) -> None:
    """Over whole boxes and over faces of them, on which half of the entries stand still elsewhere."""
    _, benches, _ = benches_of(path)
    chance = Random(path.stem)
    for several in benches.values():
        tolerated = several[0].tolerated
        whole = {name: tolerated.side(name, rows) for name, rows in tolerated.reaches.items()}
        pinned = chance.sample(sorted(whole), len(whole) // 2)
        face = {**whole, **{name: point(chance.choice(whole[name])) for name in pinned}}
        for box in (whole, face):
            spot = next(spread(box, chance))
            for bench in several:
                for mode, book in bench.at(spot).items():
                    enclosure = bench.enclosure(mode, box)
                    for name in WORKED:
                        span, operand = enclosure.span(name), book.operand(name)
                        if span.still is not None:
                            assert span.still.value == pytest.approx(operand.value), name
                        elif operand.value is None:
                            assert span.open, name
                        elif is_number(operand.value) and span.number is not None:
                            assert span.number.value.holds(operand.number) or span.other, name


TWINS = """gonogo: profile/1
vehicle: {name: Larch, min_ambient_degC: 10}
pack: {full_V: 58.8, nominal_V: 50.4, minimum_V: 42, resistance_mohm: 60, continuous_A: 100}
motors:
  left: {kv_rpm_per_V: 60, settings: {battery_current_A: 60}}
  right: {kv_rpm_per_V: 60, settings: {battery_current_A: 40}}
"""
SAGS = "battery-current-sags-pack"


def test_the_pack_sags_under_all_motors(tmp_path: Path) -> None:
    """60 A and 40 A through 60 mΩ are 6 V of 50.4 V, 11.9 %, and 17.9 % aged: Ohm's law, by hand."""
    path = tmp_path / "larch.yaml"
    path.write_text(TWINS, "utf-8")
    found = gonogo.corners(path, DAY)
    advice = next(one for one in found.rules if (one.rule.id, one.severity) == (SAGS, "advice"))
    assert advice.holds == "somewhere" and advice.measured and advice.motors == ()
    assert advice.at_corner.causes == ("aged pack",)
    assert advice.at_corner.past == pytest.approx((9.0 / 50.4 - 0.15) / 0.15, abs=1e-4)
    assert [one.quantity for one in found.settle if SAGS in one.rules] == ["pack.resistance_mohm"]


def test_each_motor_has_a_spread_of_its_own(tmp_path: Path) -> None:
    """Two motors of one type are not slow together: the room of each is told by its name."""
    path = tmp_path / "larch.yaml"
    path.write_text(TWINS, "utf-8")
    rooms = {room.quantity: room.side for room in gonogo.corners(path, DAY).rooms}
    assert {"motors.left.kv_rpm_per_V", "motors.right.kv_rpm_per_V"} <= rooms.keys()
    assert "motor.kv_rpm_per_V" not in rooms
    assert rooms["motors.left.kv_rpm_per_V"].high == pytest.approx(60 * 1.05 * 1.08)


def test_what_is_in_doubt_for_both_motors_is_settled_by_both(tmp_path: Path) -> None:
    """A speed limit that each motor's own circumference decides asks for both tapes."""
    _, _, answers = benches_of(SOUND / "longboard-two-motors.yaml")
    doubted = {clause.rule.id for _, _, clause, holds in answers if holds == "somewhere"}
    found = gonogo.corners(SOUND / "longboard-two-motors.yaml", DAY)
    told = [*found.settle, *found.settle_together]
    assert doubted and doubted == {rule for one in told for rule in one.rules}


@pytest.mark.parametrize("path", VEHICLES[:3], ids=lambda path: path.stem)
def test_page_and_record_have_one_verdict(path: Path) -> None:
    """As a person and as another program reads it."""
    out = io.StringIO()
    status = run(path, "json", None, DAY, out)
    record = json.loads(out.getvalue())
    schema = json.loads((ROOT / "schemas/corners.schema.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(record)
    everywhere = record["verdict"]["everywhere"]
    assert status == {"go": 0, "go-with-waivers": 0, "no-go": 1}.get(everywhere, 4)
    assert record["verdict"]["as_measured"] == gonogo.check(path, DAY).stages["ride"]
    out = io.StringIO()
    run(path, "text", None, DAY, out)
    assert max(map(len, out.getvalue().splitlines())) <= 80
