"""Findings about the papers themselves: parts overruled, values only typical, entries required."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from gonogo.documents.loading import load
from gonogo.documents.profile import Profile
from gonogo.judgement.catalogue import Catalogue, catalogue
from gonogo.judgement.finding import Finding, Judgement
from gonogo.judgement.judge import judge

Judged = Callable[..., Judgement]
Rules = Callable[..., Catalogue]
Overruled = Callable[..., Finding | None]

KNOWN = catalogue().rules
RAISED = KNOWN["override-raises-rating"]
TYPICAL = KNOWN["typical-values-in-danger-rules"]
REQUIRED = KNOWN["required-entry-missing"]

CONTROLLER = (
    "gonogo: part/1\npart: {name: Six, source: {title: Six}}\n"
    "controller:\n  min_V: 40\n  max_V: 90\n  phase_current_A_peak: 300\n"
)


@pytest.fixture
def overruled(tmp_path: Path, rules: Rules) -> Overruled:
    """The finding about a key beside a part."""

    def found(line: str) -> Finding | None:
        (tmp_path / "six.yaml").write_text(CONTROLLER, encoding="utf-8")
        (tmp_path / "larch.yaml").write_text(
            "gonogo: profile/1\nvehicle: {name: Larch}\n"
            f"controller:\n  part: six.yaml\n  {line}\n",
            encoding="utf-8",
        )
        found = judge(load(tmp_path / "larch.yaml"), rules(RAISED), "2026-11-25").findings
        return found[0] if found else None

    return found


@pytest.mark.parametrize(
    ("line", "raised"),
    [
        pytest.param("max_V: 91", True, id="more than it bears"),
        pytest.param("max_V: 90", False, id="the same"),
        pytest.param("max_V: 89", False, id="the careful side"),
        pytest.param("min_V: 39", True, id="a lower end, lowered"),
        pytest.param("min_V: 41", False, id="a lower end, raised"),
        pytest.param("phase_current_A_peak: 301", True, id="peak over peak"),
        pytest.param("phase_current_A_rms: 212", False, id="212 A rms are 299.8 A peak"),
        pytest.param("phase_current_A_rms: 213", True, id="213 A rms are 301.2 A peak"),
        pytest.param("max_degC: 90", False, id="something that the part does not say"),
    ],
)
def test_a_rating_made_more_generous_is_told(line: str, raised: bool, overruled: Overruled) -> None:
    """It takes the ground from every rule that reads it."""
    assert (overruled(line) is not None) is raised


def test_an_override_stands_at_its_line(overruled: Overruled) -> None:
    """Beside the part, where somebody wrote it."""
    finding = overruled("max_V: 96")
    assert finding is not None
    assert (finding.place.line, finding.quantity) == (5, "controller.max_V")
    assert "90" in finding.message
    assert "96" in finding.message


@pytest.mark.parametrize(
    ("line", "words"),
    [
        pytest.param(
            "phase_current_A_peak: 320", ("300 A peak", "320 A peak"), id="as both were entered"
        ),
        pytest.param(
            "phase_current_A_rms: 250", ("212.1 A rms", "250 A rms"), id="as the profile entered it"
        ),
    ],
)
def test_an_override_is_told_in_the_unit_entered(
    line: str, words: tuple[str, ...], overruled: Overruled
) -> None:
    """A builder who wrote 320 A peak does not look for 226."""
    finding = overruled(line)
    assert finding is not None
    assert all(word in finding.message for word in words)


PACK = "pack: {{series: 16, cell: {{chemistry: nmc{more}}}}}\ncontroller: {{max_V: 90}}\n"
DANGER = {"id": "full", "of": "pack.full_V", "at_most": "controller.max_V"}


@pytest.mark.parametrize(
    ("severity", "more", "told"),
    [
        ("danger", "", True),
        ("danger", ", full_V: 4.2", False),
        ("fault", "", False),
    ],
)
def test_a_danger_judged_by_a_typical_value_says_so(
    severity: str, more: str, told: bool, judged: Judged, rules: Rules
) -> None:
    """Cells of one chemistry differ, and this cell's own limits may be narrower."""
    by = rules({**DANGER, "severity": severity}, TYPICAL)
    found = judged(PACK.format(more=more), by).findings
    assert [one.rule.id for one in found] == ([TYPICAL.id] if told else [])
    assert all("pack.cell.full_V" in one.message for one in found)


def test_a_typical_value_far_below_a_rule_is_found(judged: Judged, rules: Rules) -> None:
    """Through the working of a worked quantity of another section."""
    text = (
        "pack: {series: 16, cell: {chemistry: nmc}}\nmotor: {kv_rpm_per_V: 60}\n"
        "drivetrain: {ratio: 8, circumference_mm: 2000}\n"
    )
    about = {"id": "speed", "of": "ride.no_load_speed_km_h", "at_most": 300}
    found = judged(text, rules(about, TYPICAL))
    assert not found.not_checked
    assert [one.rule.id for one in found.findings] == [TYPICAL.id]


def test_a_danger_not_judged_needed_no_typical_value(judged: Judged, rules: Rules) -> None:
    """What was not judged cannot have been judged by a table."""
    text = "pack: {series: 16, cell: {chemistry: nmc}}\n"
    assert judged(text, rules(DANGER, TYPICAL)).findings == ()


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ("", True),
        ("pack: {connector_A: 90}\n", False),
    ],
)
def test_an_entry_that_the_shop_requires(
    text: str, missing: bool, vehicle: Callable[..., Profile], rules: Rules
) -> None:
    """What the shop decided to know of every vehicle."""
    profile = vehicle(text)
    asking = replace(profile, house=replace(profile.house, require=("pack.connector_A",)))
    found = judge(asking, rules(REQUIRED), "2026-11-25").findings
    assert [one.quantity for one in found] == (["pack.connector_A"] if missing else [])


def test_rules_about_papers_are_counted(judged: Judged, rules: Rules) -> None:
    """With no override and no required entry there is nothing for their rules to judge."""
    found = judged("", rules(RAISED, REQUIRED, TYPICAL))
    assert (found.checked, found.out_of_scope, found.not_checked) == (1, 2, ())


def test_a_rule_about_a_paper_may_lack_something_too(judged: Judged, rules: Rules) -> None:
    """A shop's own rule about waivers that asks for the riders' weight waits until it is told."""
    about = {
        "id": "our-waivers",
        "subject": "waiver",
        "of": "waiver.left_days",
        "at_most": 30,
        "applies_when": "vehicle.rider_kg > 0",
    }
    text = "waivers:\n  - {rule: x-y, reason: Trial on the bench only., until: 2027-12-31}\n"
    found = judged(text, rules(about))
    assert [(one.rule.id, one.missing) for one in found.not_checked] == [
        ("our-waivers", ("vehicle.rider_kg",))
    ]
