"""Stages, gates and needs: from when a finding counts, and what a verdict waits for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from gonogo import check
from gonogo.documents.error import ExpressionError, UsageError
from gonogo.documents.profile import Profile
from gonogo.documents.schema import canonical
from gonogo.judgement.catalogue import Catalogue
from gonogo.judgement.evaluation import gate_of, ruling
from gonogo.judgement.finding import Judgement
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import Rule
from gonogo.judgement.verdict import ask_of, fitness, in_order, reached, short_of, stage_of
from gonogo.quantities.book import Book
from gonogo.reports.check_totals import coverage
from gonogo.reports.profile_share import share

Judged = Callable[..., Judgement]
Rules = Callable[..., Rule]
Catalogues = Callable[..., Catalogue]
Books = Callable[..., Book]

CURRENT = {"id": "current-high", "of": "settings.battery_current_A", "at_most": 100}
HIGH = "settings: {battery_current_A: 120}\n"
LOW = "settings: {battery_current_A: 80}\n"


@pytest.mark.parametrize(
    ("stage", "severity", "stand", "ride"),
    [
        ("stand", "danger", "no-go", "no-go"),
        ("stand", "fault", "no-go", "no-go"),
        ("stand", "advice", "go", "go"),
        ("ride", "danger", "go", "no-go"),
        ("ride", "fault", "go", "no-go"),
        ("ride", "advice", "go", "go"),
    ],
)
def test_a_finding_counts_from_its_stage_on(
    stage: str, severity: str, stand: str, ride: str, judged: Judged, rules: Catalogues
) -> None:
    """Bad tyres keep nobody from turning the motor on the stand; a bad fuse does."""
    found = judged(HIGH, rules({**CURRENT, "stage": stage, "severity": severity}))
    assert found.stages == {"stand": stand, "ride": ride}


@pytest.mark.parametrize("severity", ["danger", "fault", "advice"])
@pytest.mark.parametrize(
    ("gate", "stand", "ride"),
    [("stand", "incomplete", "incomplete"), ("ride", "go", "incomplete"), (None, "go", "go")],
)
def test_a_gate_waits_from_its_stage_on(
    gate: str | None, stand: str, ride: str, severity: str, judged: Judged, rules: Catalogues
) -> None:
    """Nobody rides on what was not looked at, however grave it would be."""
    keys = {"gate": gate} if gate else {}
    found = judged("", rules({**CURRENT, "severity": severity, **keys}))
    assert found.stages == {"stand": stand, "ride": ride}
    assert [entry.gate for entry in found.not_checked] == [gate]


@pytest.mark.parametrize(
    ("use", "gate", "verdict"),
    [("street", "ride", "incomplete"), ("off_road", None, "go")],
)
def test_a_gate_may_hang_on_a_condition(
    use: str, gate: str | None, verdict: str, vehicle: Callable[..., Profile], rules: Catalogues
) -> None:
    """A tyre's speed letter is asked of a street vehicle, and only there."""
    by = rules({**CURRENT, "gate": "ride", "gate_when": "vehicle.use == 'street'"})
    profile = vehicle()
    told = replace(profile.givens["vehicle.name"], name="vehicle.use", value=use)
    whole = replace(profile, givens={**profile.givens, "vehicle.use": told})
    found = judge(whole, by, "2026-11-25")
    assert found.verdict == verdict
    assert found.not_checked[0].gate == gate


def test_an_unknown_condition_of_a_gate_holds(rule: Rules, book: Books) -> None:
    """Who does not say whether he rides on the street is asked as if he did."""
    one = rule(**CURRENT, gate="ride", gate_when="vehicle.use == 'street'")
    assert gate_of(one, book({})) == "ride"
    assert gate_of(one, book({"vehicle.use": "off_road"})) is None


# What is told of the bound, of the need and of whether the rule applies, and what comes of it.
TRUTH = [
    (120, True, True, "flagged", "flagged"),
    (120, True, None, "not_checked", "not_checked"),
    (120, True, False, "out_of_scope", "out_of_scope"),
    (120, None, True, "flagged", "flagged"),
    (120, None, None, "not_checked", "not_checked"),
    (80, True, True, "clear", "clear"),
    (80, True, None, "clear", "not_checked"),
    (80, True, False, "out_of_scope", "out_of_scope"),
    (80, None, True, "not_checked", "not_checked"),
    (80, None, None, "not_checked", "not_checked"),
    (None, True, True, "not_checked", "not_checked"),
    (None, None, True, "not_checked", "not_checked"),
    (None, True, False, "out_of_scope", "out_of_scope"),
]


@pytest.mark.parametrize(("current", "need", "applies", "plain", "gated"), TRUTH)
def test_what_a_rule_comes_to(
    current: float | None,
    need: bool | None,
    applies: bool | None,
    plain: str,
    gated: str,
    rule: Rules,
    book: Books,
) -> None:
    """One pulled wire that is not caught is a danger, whatever the other two would say."""
    values: dict[str, Any] = {}
    if current is not None:
        values["settings.battery_current_A"] = current
    if need is not None:
        values["readings.pack_V"] = 60.0
    if applies is not None:
        values["vehicle.wet"] = applies
    keys = {**CURRENT, "needs": ["readings.pack_V"], "applies_when": "vehicle.wet"}
    assert ruling(rule(**keys), book(values)).outcome == plain
    assert ruling(rule(**keys, gate="ride"), book(values)).outcome == gated


def test_what_is_missing_is_all_that_is_missing(rule: Rules, book: Books) -> None:
    """Asked once for the bound, the need and the condition, not one after the other."""
    one = rule(**CURRENT, gate="ride", needs=["readings.pack_V"], applies_when="vehicle.wet")
    assert ruling(one, book({})).missing == {
        "settings.battery_current_A",
        "readings.pack_V",
        "vehicle.wet",
    }


def test_a_need_that_is_not_there_is_out_of_scope(rule: Rules, book: Books) -> None:
    """No fuse has no rating, and nobody is asked for it."""
    one = rule(**CURRENT, needs=["wiring.fuse.rated_A"])
    values = {"settings.battery_current_A": 120}
    assert ruling(one, book(values, ("wiring.fuse",))).outcome == "out_of_scope"


def test_a_typical_value_is_no_answer_to_a_need(rule: Rules, book: Books) -> None:
    """A rating has to be read off the cell; what is worked out of such a one will do."""
    typical = rule(**CURRENT, needs=["pack.cell.full_V"])
    told = {"settings.battery_current_A": 80, "pack.cell.chemistry": "nmc"}
    waiting = ruling(typical, book(told))
    assert (waiting.outcome, waiting.missing) == ("not_checked", {"pack.cell.full_V"})
    assert ruling(typical, book({**told, "pack.cell.full_V": 4.2})).outcome == "clear"
    worked = rule(**CURRENT, needs=["pack.full_V"])
    guessed = ruling(worked, book({**told, "pack.series": 20}))
    assert (guessed.outcome, guessed.missing) == ("not_checked", {"pack.cell.full_V"})
    read = {**told, "pack.series": 20, "pack.cell.full_V": 4.2}
    assert ruling(worked, book(read)).outcome == "clear"


def test_modes_any_is_flagged_only_where_all_are(judged: Judged, rules: Catalogues) -> None:
    """A hill that one mode climbs is climbed; the finding stands at the base value."""
    by = rules({**CURRENT, "modes": "any", "severity": "fault"})
    mild = f"{HIGH}modes: {{soft: {{battery_current_A: 80}}}}\n"
    hard = f"{HIGH}modes: {{harder: {{battery_current_A: 140}}}}\n"
    assert judged(mild, by).findings == ()
    assert judged(mild, by).checked == 1
    (finding,) = judged(hard, by).findings
    assert (finding.value, finding.modes, finding.everywhere) == (120, (), True)
    assert judged(f"{LOW}modes: {{hard: {{battery_current_A: 140}}}}\n", by).findings == ()


def test_modes_any_waits_where_one_could_be_clear(judged: Judged, rules: Catalogues) -> None:
    """Unknown in a mode is not flagged, and not clear either."""
    by = rules(
        {
            "id": "climb",
            "modes": "any",
            "gate": "ride",
            "of": "settings.phase_current_A_rms",
            "at_least": "motor.phase_current_A_rms if settings.max_rpm > 1000 else 100",
        }
    )
    text = "settings: {phase_current_A_rms: 80, max_rpm: 900}\nmodes: {fast: {max_rpm: 2000}}\n"
    found = judged(text, by)
    assert (found.verdict, found.findings) == ("incomplete", ())


# ── coverage, and what is asked ───────────────────────────────────────────────────────────────


def test_the_headline_counts_rules_once(judged: Judged, rules: Catalogues) -> None:
    """Not once a mode, and at the stand without what counts on the road alone."""
    text = f"{LOW}modes: {{a: {{battery_current_A: 90}}, b: {{battery_current_A: 95}}}}\n"
    pack = {"id": "pack-low", "of": "pack.full_V", "at_least": 10}
    grip = {"id": "grip", "stage": "ride", "of": "vehicle.mass_kg", "at_most": 10}
    gone = {**CURRENT, "id": "fuse", "needs": ["wiring.fuse.rated_A"]}
    by = rules(CURRENT, pack, grip, gone)
    ride = judged(f"{text}wiring: {{fuse: none}}\n", by)
    assert coverage(share(ride)) == "1 of 3 rules"
    assert ride.out_of_scope == 1
    stand = check_at(ride.profile, by)
    assert coverage(share(stand)) == "1 of 2 rules"


def check_at(profile: Profile, by: Catalogue) -> Judgement:
    return judge(profile, by, "2026-11-25", stage="stand")


@pytest.mark.parametrize(
    ("keys", "text", "words"),
    [
        ({"gate": "ride"}, LOW, "fit for the stand and the ride"),
        ({"gate": "ride"}, "", "fit for the stand; 1 entry short of a ride"),
        ({"gate": "stand"}, "", "1 entry short of the stand"),
        ({"severity": "danger"}, HIGH, "not fit for the stand"),
        ({"stage": "ride"}, HIGH, "fit for the stand, not for a ride"),
    ],
)
def test_what_a_vehicle_is_fit_for(
    keys: dict[str, str], text: str, words: str, judged: Judged, rules: Catalogues
) -> None:
    """One line for somebody who stands beside it."""
    assert fitness(judged(text, rules({**CURRENT, **keys}))) == words


def test_readings_and_entries_are_counted_apart(judged: Judged, rules: Catalogues) -> None:
    """A reading means going to the workshop, an entry only to the label."""
    needs = ["readings.pack_V", "readings.wheel_turned", "wiring.battery_cable_m"]
    found = judged("", rules({**CURRENT, "gate": "ride", "needs": needs}))
    assert fitness(found) == "fit for the stand; 2 readings and 2 entries short of a ride"
    assert short_of(found.not_checked, "stand") == []
    assert short_of(found.not_checked, "ride") == in_order(["settings.battery_current_A", *needs])


@pytest.mark.parametrize("name", sorted(canonical()))
def test_each_ask_ends_with_the_key_to_enter(name: str) -> None:
    """An instruction that a builder can follow, and the place for the answer."""
    ask = ask_of(name)
    assert ask.endswith(f" ({name})")
    what = ask.removesuffix(f" ({name})")
    assert what[0].islower()
    assert not what.endswith(".")
    assert len(what.split()) >= 2
    if canonical()[name].kind == "boolean" and not name.startswith("settings."):
        assert not what.startswith("enter "), "`enter the wheel off the ground` is no sentence"


@pytest.mark.parametrize(
    ("stage", "asked", "counts"),
    [
        ("stand", "stand", True),
        ("stand", "ride", True),
        ("ride", "stand", False),
        ("ride", "ride", True),
        (None, "ride", False),
    ],
)
def test_a_ride_takes_in_the_stand(stage: Any, asked: Any, counts: bool) -> None:
    """What is fit for a ride is fit for the stand."""
    assert reached(stage, asked) is counts


def test_a_stage_that_is_none_is_refused(tmp_path: Any) -> None:
    """A word that means nothing must not mean a ride."""
    with pytest.raises(UsageError, match="stand or ride"):
        stage_of("road")
    path = tmp_path / "larch.yaml"
    path.write_text("gonogo: profile/1\nvehicle: {name: Larch}\n", encoding="utf-8")
    with pytest.raises(UsageError, match="stage=road"):
        check(path, stage="road")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "keys",
    [
        pytest.param({"gate": "stand", "stage": "ride"}, id="a gate before its stage"),
        pytest.param({"needs": ["pack.nowhere"]}, id="needs nothing known"),
        pytest.param({"needs": ["pack.full_V"], "always_checked": True}, id="waits and does not"),
        pytest.param({"modes": "any", "subject": "waiver"}, id="modes of a waiver"),
        pytest.param({"yields_to": ["current-high"]}, id="yields to itself"),
        pytest.param({"gate": "ride", "gate_when": "pack.full_V"}, id="a condition that is none"),
    ],
)
def test_keys_that_do_not_go_together_are_refused(keys: dict[str, Any], rule: Rules) -> None:
    """A rule that cannot mean what it says is not used."""
    with pytest.raises(ExpressionError):
        rule(**{**CURRENT, **keys})
