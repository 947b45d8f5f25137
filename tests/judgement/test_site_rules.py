"""A shop's own rules and severities: what holds, and how each mistake is answered."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from gonogo.documents.error import DocumentError, HouseError
from gonogo.documents.loading import load_profile
from gonogo.documents.repository import open_repository
from gonogo.judgement.finding import Finding, Judgement
from gonogo.judgement.judge import judge
from gonogo.judgement.site_rules import Shop, shop_of

Open = Callable[..., "Bench"]

OWN = """\
id: our-ramp
severity: advice
of: settings.throttle.ramp_ms
at_least: 150
says: The ramp of {of} is shorter than our {limit}.
because: It loops.
remedy: Set it to {limit} or more.
source: Ours.
examples:
  - {given: {settings.throttle.ramp_ms: 150}, outcome: clear}
  - {given: {settings.throttle.ramp_ms: 149}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""
VEHICLE = "gonogo: profile/1\nvehicle: {name: Larch}\nsettings: {throttle: {ramp_ms: 100}}\n"


class Bench:
    """A repository with a house file, own rules and one vehicle."""

    def __init__(self, folder: Path) -> None:
        self.repository, self.inside = open_repository(folder / "larch.yaml")
        self.shop: Shop = shop_of(self.repository)

    @property
    def errors(self) -> list[tuple[str, int, int]]:
        return [(error.file, error.line, error.column) for error in self.shop.errors]

    def judged(self) -> Judgement:
        profile = load_profile(self.repository, self.inside)
        return judge(profile, self.shop.catalogue, "2026-11-25")

    def finding(self, rule: str) -> Finding | None:
        return next((one for one in self.judged().findings if one.rule.id == rule), None)


@pytest.fixture
def bench(tmp_path: Path) -> Open:
    """Opens a shop: `bench(house="…", rules={"our-ramp": "…"}, vehicle="…")`."""

    def opened(
        house: str = "", rules: dict[str, str] | None = None, vehicle: str = VEHICLE
    ) -> Bench:
        (tmp_path / "larch.yaml").write_text(vehicle, encoding="utf-8")
        text = "gonogo: house/1\nname: Hedge\n" + house
        for name, content in (rules or {}).items():
            (tmp_path / "ours").mkdir(exist_ok=True)
            (tmp_path / "ours" / f"{name}.yaml").write_text(content, encoding="utf-8")
        text += "rules: ours\n" if rules else ""
        (tmp_path / "house.yaml").write_text(text, encoding="utf-8")
        return Bench(tmp_path)

    return opened


def test_an_own_rule_judges_like_any_other(bench: Open) -> None:
    """What the shop learnt from two bent mudguards holds for every vehicle that it lets out."""
    finding = bench(rules={"our-ramp": OWN}).finding("our-ramp")
    assert finding is not None
    assert finding.rule.own
    assert finding.message == "The ramp of 100 ms is shorter than our 150 ms."
    assert finding.place.line == 3


def test_an_own_rule_can_be_waived(bench: Open) -> None:
    """The shop's rules are held to the same papers as those that come with gonogo."""
    waived = VEHICLE + (
        "waivers:\n  - {rule: our-ramp, accepts: 100, reason: Track only for two days., "
        "until: 2026-12-31}\n"
    )
    found = bench(rules={"our-ramp": OWN}, vehicle=waived)
    finding = found.finding("our-ramp")
    assert finding is not None
    assert finding.waived is not None
    assert found.finding("waiver-unknown-rule") is None


def test_without_a_house_the_catalogue_is_as_it_comes(tmp_path: Path) -> None:
    """Nothing has to be set up before the first check."""
    (tmp_path / "larch.yaml").write_text(VEHICLE, encoding="utf-8")
    shop = Bench(tmp_path).shop
    assert not shop.errors
    assert not any(rule.own for rule in shop.catalogue.rules.values())


@pytest.mark.parametrize(("letters", "told"), [(10, False), (20, True)])
def test_an_allowance_is_felt(letters: int, told: bool, bench: Open) -> None:
    """A shop that wants a reason of twenty letters is not content with twelve."""
    vehicle = VEHICLE + (
        "waivers:\n  - {rule: brake-cut-missing, reason: Track only 12, until: 2026-12-31}\n"
    )
    found = bench(f"allowances: {{reason_min_characters: {letters}}}\n", vehicle=vehicle)
    assert (found.finding("waiver-reason-short") is not None) is told


@pytest.mark.parametrize(("share", "flagged"), [(3, False), (2, True)])
def test_a_stricter_allowance_flags_sooner(share: float, flagged: bool, bench: Open) -> None:
    """2.5 % lost in the cable passes by default and not in a shop that allows 2 %."""
    vehicle = (
        "gonogo: profile/1\nvehicle: {name: Larch}\n"
        "pack: {nominal_V: 50, resistance_mohm: 40}\n"
        "wiring: {battery_cable_mm2: 16, battery_cable_m: 0.393}\n"
        "settings: {battery_current_A: 1140}\n"
    )
    # class 5 copper of 16 mm² has 1.21 mΩ/m at 20 °C and 1.157 times that at 60 °C; there and back
    found = bench(f"allowances: {{drop_percent: {share}}}\n", vehicle=vehicle)
    assert (found.finding("battery-cable-drop") is not None) is flagged


def severity_of(bench: Bench) -> str:
    """How grave the shop's own rule is to it."""
    finding = bench.finding("our-ramp")
    assert finding is not None
    return finding.severity


def test_a_severity_is_raised(bench: Open) -> None:
    """A advice that the shop calls a fault stops the vehicle."""
    assert severity_of(bench(rules={"our-ramp": OWN})) == "advice"
    assert severity_of(bench("severities: {our-ramp: fault}\n", {"our-ramp": OWN})) == "fault"


def test_a_severity_is_never_lowered(bench: Open) -> None:
    """That is what a waiver is for: a reason, a size and a date."""
    found = bench("severities: {battery-current-above-cells: advice}\n")
    assert found.errors == [("house.yaml", 3, 43)]
    rule = found.shop.catalogue.rules["battery-current-above-cells"]
    assert found.shop.catalogue.severity(rule) == "danger"
    assert "waiver" in found.shop.errors[0].message


def test_a_severity_of_an_unknown_rule_is_answered_with_the_nearest(bench: Open) -> None:
    """The usual mistake is a letter."""
    (error,) = bench("severities:\n  battery-curent-above-cells: danger\n").shop.errors
    assert (error.file, error.line) == ("house.yaml", 4)
    assert error.nearest == "battery-current-above-cells"


def test_the_same_severity_again_is_no_mistake(bench: Open) -> None:
    """Saying what holds anyway does no harm."""
    assert not bench("severities: {battery-current-above-cells: danger}\n").shop.errors


def test_an_id_that_comes_with_gonogo_is_taken(bench: Open) -> None:
    """A waiver that names a rule must not mean two."""
    taken = OWN.replace("our-ramp", "battery-current-above-cells")
    found = bench(rules={"battery-current-above-cells": taken})
    assert found.errors == [("ours/battery-current-above-cells.yaml", 1, 5)]
    assert not found.shop.catalogue.rules["battery-current-above-cells"].own


def test_two_own_rules_of_one_id_are_one_too_many(bench: Open) -> None:
    """The second is refused, whichever file it is in; the first holds."""
    found = bench(rules={"a-ramp": OWN, "b-ramp": OWN})
    assert found.errors == [("ours/b-ramp.yaml", 1, 5)]
    assert found.finding("our-ramp") is not None


BOUND = "at_least: 150"


@pytest.mark.parametrize(
    ("before", "after", "place", "words"),
    [
        pytest.param(
            BOUND,
            "at_least: settings.battery_current_A",
            (4, 11),
            ("ms", "A"),
            id="amperes against milliseconds",
        ),
        pytest.param(
            BOUND,
            "at_least: 2 * settings.batery_current_A",
            (4, 15),
            ("settings.batery_current_A",),
            id="a name nobody knows",
        ),
        pytest.param(
            BOUND,
            'at_least: "2 * settings.batery_current_A"',
            (4, 16),
            ("settings.batery_current_A",),
            id="a name nobody knows, in quotes",
        ),
        pytest.param(
            BOUND,
            "at_least: settings.battery_current_A + pack.full_V",
            (4, 11),
            ("A", "V"),
            id="volts added to amperes",
        ),
        pytest.param(
            BOUND, "at_least: pack.bms.port", (4, 11), ("number",), id="a text for a number"
        ),
        pytest.param(
            BOUND,
            "at_least: 150\napplies_when: settings.throttle.ramp_ms",
            (5, 15),
            ("condition",),
            id="a number for a condition",
        ),
        pytest.param(
            BOUND,
            "at_least: 150\napplies_when: settings.battery_current_A > pack.full_V",
            (5, 44),
            ("V", "A"),
            id="volts against amperes",
        ),
        pytest.param(
            "of: settings.throttle.ramp_ms",
            "of: settings.throttle.ramp",
            (3, 5),
            ("settings.throttle.ramp",),
            id="a quantity judged that is none",
        ),
        pytest.param(
            BOUND,
            "between: [100, settings.battery_current_A]",
            (4, 16),
            ("ms", "A"),
            id="the second end of two",
        ),
        pytest.param(
            BOUND,
            "at_least: 150 +\n  2 * settings.batery_current_A",
            (5, 7),
            ("settings.batery_current_A",),
            id="on the second line of a plain text",
        ),
        pytest.param(
            "our {limit}",
            "our {limt}",
            (5, 45),
            ("limt",),
            id="a word in a sentence that stands for nothing",
        ),
        pytest.param(
            "It loops.",
            '"Of {settings.throttle.ramp_s}."',
            (6, 15),
            ("settings.throttle.ramp_s",),
            id="a quantity in a sentence that is none",
        ),
        pytest.param(
            "of: settings.throttle.ramp_ms\nat_least: 150",
            "at: settings.throttle.ramp_ms\nflag_when: settings.throttle.ramp_ms < 150",
            (5, 45),
            ("limit",),
            id="a limit in a sentence of a rule without one",
        ),
        pytest.param(
            BOUND,
            "at_least: >-\n  150 +\n  settings.batery_current_A",
            (6, 3),
            ("settings.batery_current_A",),
            id="on the second line of a folded text",
        ),
    ],
)
def test_a_mistake_in_an_own_rule_is_shown_where_it_stands(
    before: str, after: str, place: tuple[int, int], words: tuple[str, ...], bench: Open
) -> None:
    """File, line and column of the part that does not fit; the other rules still hold."""
    assert before in OWN
    wrong = OWN.replace(before, after, 1).replace("our-ramp", "our-wrong")
    found = bench(rules={"our-ramp": OWN, "our-wrong": wrong})
    assert found.errors == [("ours/our-wrong.yaml", *place)]
    (error,) = found.shop.errors
    assert isinstance(error, HouseError)
    assert all(word in error.message for word in words)
    assert found.finding("our-ramp") is not None


def test_a_misspelt_name_in_an_own_rule_has_its_nearest(bench: Open) -> None:
    """And the line is shown, so that the reader need not open the file."""
    wrong = OWN.replace(BOUND, "at_least: settings.batery_current_A")
    (error,) = bench(rules={"our-ramp": wrong}).shop.errors
    assert error.nearest == "settings.battery_current_A"
    assert error.text == "at_least: settings.batery_current_A"


def test_a_rule_file_that_fits_no_schema_is_told_of(bench: Open) -> None:
    """One bad file takes itself out, and nothing else."""
    wrong = OWN.replace("severity: advice", "severity: mild").replace("our-ramp", "our-wrong")
    found = bench(rules={"our-ramp": OWN, "our-wrong": wrong})
    assert [error.line for error in found.shop.errors] == [2]
    assert found.finding("our-ramp") is not None


REQUIRED = "require:\n  - pack.connector_A\n  - vehicle.mass_kg\n"


@pytest.mark.parametrize(
    ("extra", "asked"),
    [
        ("", ["pack.connector_A", "vehicle.mass_kg"]),
        ("pack: {connector_A: 120}\n", ["vehicle.mass_kg"]),
    ],
)
def test_what_the_shop_requires_is_asked_for(extra: str, asked: list[str], bench: Open) -> None:
    """A sheet is not handed over with these left open."""
    found = bench(REQUIRED, vehicle=VEHICLE + extra).judged()
    assert [
        one.quantity for one in found.findings if one.rule.id == "required-entry-missing"
    ] == asked


def test_what_a_vehicle_does_not_have_is_not_required_of_it(bench: Open) -> None:
    """`fuse: none` has answered the question for its amperes."""
    vehicle = VEHICLE + "wiring: {fuse: none}\n"
    found = bench("require: [wiring.fuse.rated_A]\n", vehicle=vehicle)
    assert found.finding("required-entry-missing") is None


def test_a_required_quantity_that_nobody_knows_is_shown(bench: Open) -> None:
    """A list that asks for something that cannot be given would never be satisfied."""
    (error,) = bench("require:\n  - pack.conector_A\n").shop.errors
    assert isinstance(error, DocumentError)
    assert (error.file, error.line, error.nearest) == ("house.yaml", 4, "pack.connector_A")


def test_a_rule_added_changes_the_digest(bench: Open) -> None:
    """A report says by which catalogue it was judged; another rule is another catalogue."""
    digests = {
        bench().shop.catalogue.digest,
        bench(rules={"our-ramp": OWN}).shop.catalogue.digest,
        bench(rules={"our-ramp": OWN.replace("150", "160")}).shop.catalogue.digest,
        bench("severities: {our-ramp: fault}\n", {"our-ramp": OWN}).shop.catalogue.digest,
    }
    assert len(digests) == 4
    assert all(digest.startswith("sha256:") for digest in digests)
