"""Starting points: what is in the file, and first values that can be worked out by hand."""

from __future__ import annotations

import json
from collections.abc import Callable
from importlib.resources import files
from typing import Any

import pytest
from gonogo.documents.profile import Profile
from gonogo.documents.schema import canonical
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.proposal import placed, proposals, starting_points
from gonogo.judgement.window import End, Span, Window
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

TODAY = "2026-11-25"
NONE = {
    "id": "never",
    "of": "settings.battery_current_A",
    "at_most": "pack.connector_A",
}


def package(path: str) -> bytes:
    name, _, file = path.partition("/")
    return files(f"gonogo.{name}").joinpath(file).read_bytes()


def test_the_file_fits_its_schema() -> None:
    """Whoever adds a setting is told what belongs to it."""
    schema = json.loads(package("schemas/starting-points.schema.json"))
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(
        YAML(typ="safe").load(package("rules/starting-points.yaml"))
    )


def test_every_setting_has_one() -> None:
    """A new setting without a first value would stay empty in every new profile."""
    settings = {
        name
        for name, entry in canonical().items()
        if name.startswith("settings.") and entry.kind in ("number", "integer", "text")
    }
    assert set(starting_points()) == settings


def test_settings_are_mended_in_the_order_of_the_work() -> None:
    """Pole pairs, volts, currents, speed, temperatures, throttle; a taper after its stop."""
    order = list(starting_points())
    marks = [
        "settings.pole_pairs",
        "settings.low_voltage.cutoff_V",
        "settings.low_voltage.taper_from_V",
        "settings.battery_current_A",
        "settings.max_rpm",
        "settings.temperature.motor.stop_degC",
        "settings.temperature.motor.taper_from_degC",
        "settings.throttle.start_V",
    ]
    assert [order.index(name) for name in marks] == sorted(order.index(name) for name in marks)


def test_no_limit_on_current_speed_or_heat_may_be_raised() -> None:
    """Mending by allowing more would be no mending."""
    for name, point in starting_points().items():
        if name.endswith(("_A", "_A_rms", "_rpm", "_degC")):
            assert point.moves == "down", name


@pytest.mark.parametrize(
    ("text", "setting", "value"),
    [
        pytest.param("motor: {magnets: 46}", "pole_pairs", 23, id="half of the magnets"),
        pytest.param(
            "pack: {series: 14, cell: {nominal_V: 3.6}}", "pack_nominal_V", 50.4, id="14 x 3.6 V"
        ),
        pytest.param(
            "pack: {full_V: 58.8}", "over_voltage_trip_V", 60.6, id="1.03 x 58.8 V = 60.56 V"
        ),
        pytest.param(
            "controller: {battery_current_A: 100}", "battery_current_A", 70, id="0.7 x 100 A"
        ),
        pytest.param(
            "wiring: {fuse: {rated_A: 50}}\ncontroller: {battery_current_A: 100}",
            "battery_current_A",
            28,
            id="0.7 x 0.8 x 50 A, the fuse being the weakest",
        ),
        pytest.param(
            "motor: {phase_current_A_peak: 200}",
            "phase_current_A_rms",
            84,
            id="0.6 x 141.4 A rms = 84.85 A, downwards",
        ),
        pytest.param(
            "readings: {throttle: {rest_V: [0.81, 0.83], full_V: 4.1}}",
            "throttle.start_V",
            0.96,
            id="halfway between 0.10 V and 0.16 V above the highest release",
        ),
        pytest.param("throttle: {supply_V: 5}", "throttle.start_V", 1.2, id="not read yet"),
        pytest.param(
            "controller: {max_degC: 90}",
            "temperature.controller.taper_from_degC",
            75,
            id="two margins of 5 K below a stop at 85 degrees",
        ),
    ],
)
def test_a_first_value_by_hand(
    vehicle: Callable[..., Profile],
    rules: Callable[..., Catalogue],
    text: str,
    setting: str,
    value: float,
) -> None:
    """The expression says what a careful builder would reckon."""
    found, _ = proposals(vehicle(text), rules(NONE), TODAY)
    values: dict[str, Any] = {one.quantity: one.entered for one in found}
    assert values[f"settings.{setting}"] == value


def test_what_cannot_be_proposed_says_what_it_waits_for(
    vehicle: Callable[..., Profile], rules: Callable[..., Catalogue]
) -> None:
    """No guess where nothing is known."""
    _, unfilled = proposals(vehicle(""), rules(NONE), TODAY)
    waits = {one.quantity: one.missing for one in unfilled}
    assert waits["settings.pack_nominal_V"] == ("pack.nominal_V",)


def test_a_setting_that_no_value_fits_is_left_with_its_rules(
    vehicle: Callable[..., Profile], rules: Callable[..., Catalogue]
) -> None:
    """A proposal would only be refused."""
    floor = {"id": "floor", "of": "settings.battery_current_A", "at_least": 9}
    ceiling = {"id": "ceiling", "of": "settings.battery_current_A", "at_most": 5}
    text = "controller: {battery_current_A: 100}"
    _, unfilled = proposals(vehicle(text), rules(floor, ceiling), TODAY)
    (left,) = [one for one in unfilled if one.quantity == "settings.battery_current_A"]
    assert left.conflict == ("ceiling", "floor")


ALLOWED = Span(End(10, "low"), End(20, "high"))
ADVISED = Span(End(14, "advice"), End(18, "other advice"))
WINDOW = Window("q", "q", "", "A", 0.5, 0, 100, None, ALLOWED, ADVISED, (), (), (), (), ())


@pytest.mark.parametrize(
    ("value", "moves", "placed_at"),
    [
        pytest.param(15.4, "down", 15.0, id="a limit goes down to its step"),
        pytest.param(15.4, "either", 15.5, id="another value to the nearest step"),
        pytest.param(3.0, "down", 10, id="a limit up to what a danger demands, and no further"),
        pytest.param(12.0, "down", 12, id="no limit is raised by an advice"),
        pytest.param(30.0, "down", 18, id="an advice lowers it"),
        pytest.param(12.0, "either", 14, id="another value goes where advice has it"),
        pytest.param(30.0, "either", 18, id="from above too"),
    ],
)
def test_a_value_is_placed_inside_on_its_step(value: float, moves: Any, placed_at: float) -> None:
    """What is proposed can be entered, and a first limit stays the careful one."""
    assert placed(value, moves, WINDOW) == placed_at


def test_an_advice_raises_no_first_limit(
    vehicle: Callable[..., Profile], rules: Callable[..., Catalogue]
) -> None:
    """An advice for more stands beside the careful value; a danger below moves it."""
    text = "controller: {battery_current_A: 100}"
    values = {}
    for severity in ("advice", "danger"):
        more = {
            "id": "more",
            "of": "settings.battery_current_A",
            "at_least": 80,
            "severity": severity,
        }
        found, _ = proposals(vehicle(text), rules(more), TODAY)
        (one,) = [one for one in found if one.quantity == "settings.battery_current_A"]
        values[severity] = one.entered
    assert values == {"advice": 70, "danger": 80}
