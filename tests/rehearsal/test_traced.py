"""Each number that a rehearsal prints can be traced to its formula, its inputs and its source."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import working
from gonogo.documents.error import UsageError
from gonogo.quantities.number import is_number
from gonogo.rehearsal.failure_book import FAILURE_FORMULAS

VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
DAY = "2026-11-25"


def said(vehicle: str, quantity: str, form: str = "json", mode: str | None = None) -> str:
    out = io.StringIO()
    path = VEHICLES / f"{vehicle}.yaml"
    assert working.run(path, quantity, mode, form, as_of=DAY, out=out) == 0
    return out.getvalue()


@pytest.mark.parametrize("vehicle", ["burdock", "knapweed", "clover"])
def test_every_number_of_a_page_is_in_the_list(vehicle: str) -> None:
    """In the base settings and in each mode, to six digits."""
    for mode, failures in gonogo.rehearse(VEHICLES / f"{vehicle}.yaml", as_of=DAY).items():
        listed = json.loads(said(vehicle, "failure", mode=mode or None))["quantities"]
        values = {one["quantity"]: one for one in listed}
        for failure in failures:
            for effect in failure.effect:
                if effect.quantity in FAILURE_FORMULAS and is_number(effect.value):
                    assert values[effect.quantity]["value"] == pytest.approx(effect.value)
                    assert values[effect.quantity]["unit"] == effect.unit


def leaves(node: dict[str, Any]) -> list[dict[str, Any]]:
    """The ends of a tree: what was given, or comes from the house file."""
    below = node.get("from", [])
    return [leaf for one in below for leaf in leaves(one)] if below else [node]


def test_a_number_is_traced_down_to_the_entries() -> None:
    """The trip's peak of Mallow: 58 V on line 47, 1500 µF of the controller's part."""
    told = json.loads(said("mallow", "controller.trip_peak_V"))
    assert told["value"] == pytest.approx(64.6, abs=0.05)
    assert told["source"].startswith("Charge of a capacitor")
    ends = {one["quantity"]: one for one in leaves(told)}
    trip = ends["settings.over_voltage_trip_V"]
    assert (trip["value"], trip["file"], trip["line"]) == (58, "vehicles/mallow.yaml", 47)
    assert ends["controller.input_capacitance_uF"]["file"].startswith("parts/controllers/")
    assert "given" in said("mallow", "controller.trip_peak_V", form="text")


def test_a_failure_of_a_failure_is_traced_too() -> None:
    """The charge rests on the current, which has a tree of its own."""
    told = json.loads(said("burdock", "failure.charged_percent"))
    assert told["formula"] == "100 × generation_A × charging_s / 3600 / pack.capacity_Ah"
    assert {one["quantity"] for one in told["from"]} >= {
        "failure.generation_A",
        "failure.charging_s",
    }


def test_of_several_motors_each_has_its_own_and_the_pack_one() -> None:
    text = said("bindweed", "failure.generation_A", form="text")
    assert "motor left" in text and "motor right" in text
    assert "motor left" not in said("bindweed", "failure.overcharge_s", form="text")
    only = said("bindweed", "motors.left.failure.generation_A", form="text")
    assert "motor left" in only and "motor right" not in only
    listed = json.loads(said("bindweed", "failure"))["quantities"]
    assert {tuple(one["motors"]) for one in listed} == {("left",), ("right",)}


@pytest.mark.parametrize(
    ("asked", "nearest"),
    [
        ("failure.trip_peek_ms", "failure.trip_peak_ms"),
        ("failure.generation", "failure.generation_A"),
        ("generation_N", "failure.generation_N"),
        ("failure.nonsense", "working PROFILE failure"),
    ],
)
def test_a_mistyped_name_is_answered_by_the_nearest(asked: str, nearest: str) -> None:
    with pytest.raises(UsageError) as caught:
        said("mallow", asked)
    assert nearest in str(caught.value)


def test_what_no_failure_works_out_is_found_as_before() -> None:
    assert json.loads(said("mallow", "pack.full_V"))["value"] == pytest.approx(54.6)
