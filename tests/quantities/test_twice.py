"""What is known in two ways is compared: no entry wins over others in silence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pytest
from gonogo.documents.given import Given
from gonogo.documents.location import NOWHERE
from gonogo.documents.schema import (
    Property,
    SchemaSection,
    Twice,
    allowances,
    canonical,
    outline,
    properties,
)
from gonogo.judgement.catalogue import catalogue
from gonogo.quantities.book import Book
from gonogo.quantities.registry import ENTERED_OR_WORKED, RATED_TWICE, WORKED, rests_on
from gonogo.quantities.twice import KnownTwice, known_twice

# Quantities of which one formula takes an entry as it is and another does without it: the rule that
# holds both together, or why there is nothing to hold.
ALTERNATIVES: Mapping[str, str] = {
    "wiring.loads_at_V": "the drive stops at its cutoff, the pack without one at its minimum",
    "controller.regen_battery_A": "a limit on the battery's side and one on the motor's",
    "controller.regen_on": "on if either limit is there",
    "controller.regen_phase_A_rms": "the limit set, and a bound where none is",
    "controller.regen_winding_J": "without the inductance or the current only a bound is known",
    "drivetrain.circumference_m": "rule circumference-off-marking",
    "drivetrain.is_hub_motor": "as it is told, else taken from the gear",
    "drivetrain.efficiency_to_wheel": "without the entry only a bound is known",
    "motor.burst_bound_A_rms": "a continuous current bounds a burst, it is none",
    "motor.cold_reading_fits": "one reading, and what it is compared with",
    "motor.no_load_allowed_W": "rule no-load-current-high",
    "motor.rating_A_rms": "rule motor-label-above-current",
    "motor.reachable_rpm": "the limit set, and what the pack gives",
    "motor.speed_at_rating_rpm": "rule rated-speed-unlikely",
    "motor.tested_weakening_A_rms": "a test in other settings than those set says so",
    "motor.temperature_watched": "any entry that says it",
    "pack.cell_full_V": "rule entered-twice-differs, at pack.full_V",
    "pack.cell_minimum_V": "rule entered-twice-differs, at pack.minimum_V",
    "pack.charge_bound_V": "lead-acid is charged above full, no other chemistry is",
    "pack.loop_mohm": "with and without the cable",
    "pack.min_degC": "the coldest of both counts",
    "pack.reading_fits": "words about one reading",
    "pack.usual_short_circuit_A": "usual cells refuse a fuse and pass none",
    "readings.cold_allowed_K": "two places of the stand",
    "readings.cold_fault_K": "two places of the stand",
    "readings.cold_reference_degC": "rule cold-readings-off-ambient",
    "ride.driven_percent": "a usual share where none is entered",
    "ride.rolling_resistance": "a usual figure for the surface where none is entered",
    "ride.total_kg": "with and without the rider",
    "throttle.max_signal_V": "rule throttle-supply-off",
    "throttle.supply_least_V": "rule throttle-supply-off",
    "wiring.battery_cable_most_A": "rule battery-cable-rating-unlikely",
    "wiring.phase_cable_most_A": "rule phase-cable-rating-unlikely",
    "wiring.precharge_allowed_J": "a pulse is another rating than continuous power",
}

# Entries from which the others of each quantity follow, for a pack of 14 × 5 cells.
OTHERS: Mapping[str, float | str] = {
    "pack.series": 14.0,
    "pack.parallel": 5.0,
    "pack.cell.full_V": 4.2,
    "pack.cell.nominal_V": 3.6,
    "pack.cell.minimum_V": 2.8,
    "pack.cell.working_minimum_V": 3.0,
    "pack.cell.capacity_Ah": 4.0,
    "pack.cell.continuous_A": 15.0,
    "pack.cell.peak_A": 25.0,
    "pack.cell.charge_A": 4.0,
    "pack.cell.resistance_mohm": 20.0,
    "pack.bms.low_V": 39.2,
    "pack.bms.high_V": 59.5,
    "drivetrain.tyre": "90/90-21 54J",
}


def terms(name: str) -> Twice:
    found = canonical()[name].twice
    assert found is not None, name
    return found


def book(given: Mapping[str, float | str | None]) -> Book:
    house = {name: allowance.default for name, allowance in allowances().items()}
    givens = {name: Given(name, value, name, value, 1.0, NOWHERE) for name, value in given.items()}
    return Book(givens, house, "2026-11-25")


def compared(given: Mapping[str, float | str | None]) -> dict[str, KnownTwice]:
    return {known.entered.name: known for known in known_twice(book(given))}


def by_itself() -> list[str]:
    """The quantities that no rule of their own compares."""
    told = {entry.quantity: entry.twice for entry in properties().values() if entry.twice}
    return sorted(name for name, twice in told.items() if not twice.rule)


def test_what_is_entered_or_worked_out_says_how_both_compare() -> None:
    """A quantity that is new in one of the two ways needs an `x-twice` in the schema."""
    told = {entry.quantity for entry in properties().values() if entry.twice is not None}
    assert told == ENTERED_OR_WORKED


def test_a_formula_beside_an_entry_says_how_both_compare() -> None:
    """Where a formula takes an entry as it is, and another does without, neither wins in silence."""
    assert set(beside_entries()) == set(ALTERNATIVES)
    for name, why in ALTERNATIVES.items():
        rule = catalogue().rules.get(why.removeprefix("rule ").split(",")[0])
        assert (rule is not None) is why.startswith("rule "), name


def beside_entries() -> Iterator[str]:
    for name, specs in WORKED.items():
        inputs = {
            tuple(given for given in spec.inputs.values() if not given.startswith("house."))
            for spec in specs
        }
        alone = [given for given in inputs if len(given) == 1 and given[0] in canonical()]
        if alone and len(inputs) > 1 and name not in canonical():
            yield name


@pytest.mark.parametrize("name", sorted(ENTERED_OR_WORKED - set(by_itself())))
def test_a_rule_that_is_named_compares_both(name: str) -> None:
    """A rule that reads only one side compares nothing."""
    rule = catalogue().rules[terms(name).rule]
    roots = frozenset().union(*(rests_on(read) for read in rule.reads))
    others = {below for spec in WORKED[name] for below in spec.inputs.values()}
    entries = frozenset().union(*(rests_on(other) for other in others)) & set(canonical())
    assert rule.severity == "fault"
    assert name in roots
    assert entries & roots


@pytest.mark.parametrize("name", by_itself())
def test_the_ends_hold_the_other_figure(name: str) -> None:
    """Two figures that agree are no finding, and advice does not lie beyond a fault."""
    fault, advice, typical = terms(name).fault, terms(name).advice, terms(name).typical
    assert fault[0] <= advice[0] <= 0 <= advice[1] <= fault[1]
    assert typical is None or typical[0] < 0 < typical[1]
    assert terms(name).why
    upper = RATED_TWICE.get(name) == "upper"
    assert not upper or fault[1] <= 5, "what claims more than it is"


@pytest.mark.parametrize("name", by_itself())
def test_what_is_entered_is_held_against_what_the_others_give(name: str) -> None:
    """The difference is in percent of what the other entries come to."""
    other = book(OTHERS).operand(name).value
    assert other is not None
    assert name not in compared(OTHERS)
    assert compared({**OTHERS, name: other})[name].off_percent == 0
    if isinstance(other, str):
        assert compared({**OTHERS, name: "V"})[name].off_percent == 100
        return
    assert isinstance(other, float | int)
    assert compared({**OTHERS, name: other * 1.5})[name].off_percent == pytest.approx(50)
    assert compared({**OTHERS, name: other * 0.5})[name].off_percent == pytest.approx(-50)
    assert compared({**OTHERS, name: None})[name].off_percent == 100


@pytest.mark.parametrize("name", sorted(set(by_itself()) & set(RATED_TWICE)))
def test_of_a_rating_the_safer_figure_is_used(name: str) -> None:
    """Whichever of the two it is."""
    other = book(OTHERS).operand(name).number
    safer = min if RATED_TWICE[name] == "upper" else max
    for entered in (other * 0.5, other * 2):
        assert compared({**OTHERS, name: entered})[name].used == safer(entered, other)


def test_what_is_measured_is_used() -> None:
    """A resistance taken at the connector holds all that lies between the cells."""
    known = compared({**OTHERS, "pack.resistance_mohm": 80.0})["pack.resistance_mohm"]
    assert (known.used, known.other.value) == (80.0, 14 / 5 * 20 + 3)


def test_a_chemistry_is_compared_more_generously() -> None:
    """Cells of one chemistry differ; a pack of another count still shows."""
    cells = {"pack.series": 20.0, "pack.cell.chemistry": "nmc"}
    known = compared({**cells, "pack.full_V": 60.0, "pack.minimum_V": 20.0})
    assert list(known) == ["pack.full_V"]
    assert known["pack.full_V"].fault == terms("pack.full_V").typical


def parted(section: SchemaSection, inside: bool = False) -> Iterator[Property]:
    """Every entry that a part file may give."""
    inside = inside or section.takes is not None
    for entry in section.entries.values():
        if isinstance(entry, SchemaSection):
            yield from parted(entry, inside)
        elif inside:
            yield entry


@pytest.mark.parametrize("entry", list(parted(outline())), ids=lambda entry: entry.path)
def test_an_entry_of_a_part_says_what_overriding_it_means(entry: Property) -> None:
    """A word, a count or a yes makes the part what it is; a number is a rating, or says what it is."""
    kind = entry.beside_part.kind if entry.beside_part else None
    assert kind in (None, "fact", "measured", "build")
    if entry.kind == "number":
        assert (entry.rating is not None) is (kind is None)
    if entry.beside_part is not None and kind != "build":
        low, high = entry.beside_part.ends
        assert low < 0 < high
        assert entry.beside_part.why
    pair = canonical()[entry.quantity].beside_part
    assert (pair.kind if pair else None) == kind
