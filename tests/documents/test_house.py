"""A house file sets allowances, names rules and requires quantities, and is refused otherwise."""

from __future__ import annotations

import pytest
from gonogo.documents.error import DocumentError, DocumentErrors, HouseError
from gonogo.documents.house import House
from gonogo.documents.loading import check_document, load
from gonogo.documents.location import Place
from gonogo.documents.repository import open_repository

from .conftest import ALDER, Workshop

RULE = """\
id: start-close-to-rest
severity: advice
of: settings.throttle.start_V
at_least: 0.9
says: The throttle starts at {of}.
because: It creeps.
remedy: Set it to {limit} or more.
source: Ours.
examples: [{given: {settings.throttle.start_V: 0.9}, outcome: clear}]
"""
HOUSE = """\
gonogo: house/1
name: Hedgeside
allowances:
  drop_percent: 2
rules: rules
require: [vehicle.mass_kg, motor.line_to_line_mohm]
severities: {battery-cable-drop: fault}
"""


def errors_of(workshop: Workshop, house: str, **files: str) -> tuple[DocumentError, ...]:
    """What keeps a profile of the shop from being used."""
    top = workshop({"house.yaml": house, "alder.yaml": ALDER, **files})
    with pytest.raises(DocumentErrors) as caught:
        load(top / "alder.yaml")
    return caught.value.errors


def test_what_a_shop_sets_is_read_with_its_places(workshop: Workshop) -> None:
    """The working names the line of the house file that a limit came from."""
    top = workshop({"house.yaml": HOUSE, "alder.yaml": ALDER, "rules/own/start.yaml": RULE})
    profile = load(top / "alder.yaml")
    house = profile.house
    drop = house.allowances["house.drop_percent"]
    assert (drop.value, drop.entered_as) == (2.0, "allowances.drop_percent")
    assert drop.place == house.places["allowances.drop_percent"] == Place("house.yaml", 4, 17)
    assert profile.line(drop.place) == "  drop_percent: 2"
    assert house.places["require.1"] == Place("house.yaml", 6, 28)
    assert house.severities == {"battery-cable-drop": "fault"}
    assert [rule.value["id"] for rule in house.rules] == ["start-close-to-rest"]
    assert house.rules[0].place("at_least") == Place("rules/own/start.yaml", 4, 11)


def test_a_required_key_of_a_pair_requires_the_quantity(workshop: Workshop) -> None:
    """Whoever gives the resistance the other way has given it."""
    top = workshop({"house.yaml": HOUSE, "alder.yaml": ALDER, "rules/start.yaml": RULE})
    required = load(top / "alder.yaml").house.require
    assert required == ("vehicle.mass_kg", "motor.phase_to_neutral_mohm")


def test_without_a_house_file_all_is_as_it_comes(workshop: Workshop) -> None:
    """A single profile in a folder needs no shop."""
    top = workshop({"alder.yaml": ALDER})
    (top / "house.yaml").unlink()
    assert load(top / "alder.yaml").house == House()


@pytest.mark.parametrize(
    ("key", "place", "found", "nearest"),
    [
        ("require: [pack.conector_A]", (2, 11), "`pack.conector_A`", "pack.connector_A"),
        ("rules: ../rules", (2, 8), "`../rules`", None),
        ("rules: /etc", (2, 8), "`/etc`", None),
        ("rules: .", (2, 8), "`.`", None),
        ("rules: nowhere", (2, 8), "no rules in `nowhere`", None),
    ],
)
def test_what_a_house_file_names_must_be_there(
    workshop: Workshop, key: str, place: tuple[int, int], found: str, nearest: str | None
) -> None:
    """A requirement that nobody can meet, and rules that nobody can read, are slips."""
    (error,) = errors_of(workshop, f"gonogo: house/1\n{key}\n")
    assert isinstance(error, HouseError)
    assert (error.line, error.column) == place
    assert (error.file, error.found, error.nearest) == ("house.yaml", found, nearest)


def test_an_allowance_keeps_to_its_range(workshop: Workshop) -> None:
    """Setting an allowance to nothing would switch its rule off."""
    house = "gonogo: house/1\nallowances: {cell_spread_V: 0, drop_percnt: 3}\n"
    spread, drop = errors_of(workshop, house)
    assert spread.wanted == "a number of volts from 0.02 to 0.3"
    assert drop.nearest == "drop_percent"


def test_a_broken_house_file_keeps_no_fault_of_a_profile_back(workshop: Workshop) -> None:
    """Both are told at once."""
    told = errors_of(
        workshop, "gonogo: house/1\nnam: x\n", **{"alder.yaml": f"{ALDER}mottor: {{}}"}
    )
    assert [error.file for error in told] == ["alder.yaml", "house.yaml"]


def test_a_rule_that_cannot_be_read_does_not_keep_profiles_from_being_judged(
    workshop: Workshop,
) -> None:
    """The other rules hold; the broken one is told of."""
    files = {"rules/a.yaml": RULE.replace("advice", "grave"), "rules/b.yaml": RULE}
    top = workshop({"house.yaml": HOUSE, "alder.yaml": ALDER, **files})
    repository, path = open_repository(top / "alder.yaml")
    house = repository.house()
    assert [document.path for document in house.rules] == ["rules/b.yaml"]
    assert [(error.file, error.line) for error in house.errors] == [("rules/a.yaml", 2)]
    assert check_document(repository, "house.yaml", "house") == house.errors
    assert load(top / path).name == "Alder"


def test_a_rule_is_held_to_its_schema(workshop: Workshop) -> None:
    """A rule with two bounds, without a place to point at, or a gate before its stage."""
    rules = {
        "rules/two.yaml": f"{RULE}at_most: 3\n",
        "rules/none.yaml": RULE.replace("at_least: 0.9\n", ""),
        "rules/flag.yaml": RULE.replace(
            "of: settings.throttle.start_V\nat_least: 0.9", "flag_when: x"
        ),
        "rules/lone.yaml": RULE.replace("of: settings.throttle.start_V\n", ""),
        "rules/gate.yaml": f"{RULE}gate: stand\nstage: ride\n",
    }
    top = workshop({"house.yaml": HOUSE, "alder.yaml": ALDER, **rules})
    told = {error.file: error.found for error in load(top / "alder.yaml").house.errors}
    assert told == {
        "rules/two.yaml": "`at_least` and `at_most`",
        "rules/none.yaml": "none of them",
        "rules/flag.yaml": "none of them",
        "rules/lone.yaml": "`at_least` without `of`",
        "rules/gate.yaml": "`ride`",
    }
