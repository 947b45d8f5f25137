"""Steps: how grave a finding is, further out and further."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from gonogo.documents.error import ExpressionError
from gonogo.documents.given import Given
from gonogo.documents.house import House
from gonogo.documents.location import Place
from gonogo.documents.profile import Profile
from gonogo.judgement.catalogue import Catalogue, catalogue_of
from gonogo.judgement.evaluation import ruling
from gonogo.judgement.finding import Judgement, Verdict
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import Rule
from gonogo.judgement.rule_file import rule_of
from gonogo.quantities.book import Book
from gonogo.reports.check_totals import WORST_FIRST
from gonogo.reports.finding_words import ladder_words
from hypothesis import given
from hypothesis import strategies as st

Judged = Callable[..., Judgement]
Rules = Callable[..., Rule]
Catalogues = Callable[..., Catalogue]
Books = Callable[..., Book]

CURRENT = {
    "id": "current-high",
    "severity": "advice",
    "of": "settings.battery_current_A",
    "at_most": 100,
}
FAULT = {"severity": "fault", "beyond": 150}
DANGER = {"severity": "danger", "beyond": "2 * pack.connector_A"}
NAME = "settings.battery_current_A"
SENTENCES = {"says": "It is {of}.", "because": "It hurts.", "remedy": "Mend it.", "source": "Ours."}


def graded(keys: dict[str, Any], values: dict[str, Any], rule: Rules, book: Books) -> str | None:
    decided = ruling(rule(**keys), book(values))
    return decided.severity if decided.outcome == "flagged" else None


@pytest.mark.parametrize(
    ("current", "severity"),
    [
        (100, None),
        (101, "advice"),
        (150, "advice"),
        (151, "fault"),
        (240, "fault"),
        (241, "danger"),
    ],
)
def test_each_step_begins_past_its_limit(
    current: float, severity: str | None, rule: Rules, book: Books
) -> None:
    """On the limit of a step it is not reached, as with every other limit."""
    keys = {**CURRENT, "steps": [FAULT, DANGER]}
    values = {NAME: current, "pack.connector_A": 120}
    assert graded(keys, values, rule, book) == severity


@pytest.mark.parametrize(
    ("bound", "beyond", "value", "severity"),
    [
        ({"below": 100}, 150, 100, "advice"),
        ({"below": 100}, 150, 150, "danger"),
        ({"at_least": 100}, 50, 50, "advice"),
        ({"at_least": 100}, 50, 49, "danger"),
        ({"above": 100}, 50, 50, "danger"),
        ({"between": [90, 110]}, [50, 150], 89, "advice"),
        ({"between": [90, 110]}, [50, 150], 49, "danger"),
        ({"between": [90, 110]}, [50, 150], 150, "advice"),
        ({"between": [90, 110]}, [50, 150], 151, "danger"),
        # written the other way round, it begins with the bound itself
        ({"at_most": 100}, 80, 101, "danger"),
        ({"at_least": 100}, 120, 99, "danger"),
    ],
)
def test_a_step_lies_on_the_side_of_its_bound(
    bound: dict[str, Any], beyond: Any, value: float, severity: str, rule: Rules, book: Books
) -> None:
    """Further out is up for an upper limit, down for a lower one."""
    keys = {"id": "x", "severity": "advice", "of": NAME, **bound}
    keys["steps"] = [{"severity": "danger", "beyond": beyond}]
    assert graded(keys, {NAME: value}, rule, book) == severity


@pytest.mark.parametrize(
    ("wet", "severity"), [(True, "danger"), (False, "advice"), (None, "advice")]
)
def test_a_step_may_hang_on_a_condition(
    wet: bool | None, severity: str, rule: Rules, book: Books
) -> None:
    """What is advice in the dry may be a danger in the wet; unknown raises nothing by itself."""
    keys = {**CURRENT, "steps": [{"severity": "danger", "when": "vehicle.wet"}]}
    values = {NAME: 120} | ({} if wet is None else {"vehicle.wet": wet})
    assert graded(keys, values, rule, book) == severity


def test_an_undecided_step_is_open(judged: Judged, rules: Catalogues) -> None:
    """The finding stands as it is known to be, and a gate stays open for the rest."""
    by = rules({**CURRENT, "gate": "ride", "steps": [DANGER]})
    found = judged("settings: {battery_current_A: 120}\n", by)
    (finding,), (entry,) = found.findings, found.not_checked
    assert (finding.severity, entry.severity) == ("advice", "danger")
    assert (entry.missing, entry.gate) == (("pack.connector_A",), "ride")
    assert (found.verdict, found.checked) == ("incomplete", 0)


def test_a_step_below_what_is_reached_is_not_asked_for(judged: Judged, rules: Catalogues) -> None:
    """A danger cannot become a fault by knowing more."""
    fault = {"severity": "fault", "beyond": "pack.connector_A"}
    danger = {"severity": "danger", "beyond": 110}
    found = judged(
        "settings: {battery_current_A: 120}\n", rules({**CURRENT, "steps": [fault, danger]})
    )
    assert found.findings[0].severity == "danger"
    assert found.not_checked == ()


def test_a_step_of_what_is_not_there_is_not_reached(judged: Judged, rules: Catalogues) -> None:
    """Without a fuse no step is measured by its rating."""
    step = {"severity": "danger", "beyond": "wiring.fuse.rated_A"}
    text = "settings: {battery_current_A: 120}\nwiring: {fuse: none}\n"
    found = judged(text, rules({**CURRENT, "steps": [step]}))
    assert [finding.severity for finding in found.findings] == ["advice"]
    assert found.not_checked == ()


def test_a_step_tells_its_own_reason_and_limit(judged: Judged, rules: Catalogues) -> None:
    """The harm of the danger is not that of the advice."""
    step = {"severity": "danger", "beyond": 110, "because": "It burns above {beyond}."}
    by = rules({**CURRENT, "says": "It is {of}, above {beyond}.", "steps": [step]})
    (grave,) = judged("settings: {battery_current_A: 120}\n", by).findings
    (mild,) = judged("settings: {battery_current_A: 105}\n", by).findings
    assert (grave.message, grave.because) == ("It is 120 A, above 110 A.", "It burns above 110 A.")
    assert (mild.message, mild.because) == ("It is 105 A, above 100 A.", "It hurts.")
    assert ladder_words(mild) == "advice above 100 A · danger above 110 A"
    assert [step.reached for step in (*mild.steps, *grave.steps)] == [False, True]


def test_a_step_that_cannot_be_waived_stays(judged: Judged, rules: Catalogues) -> None:
    """Advice may be accepted; what it grows into may not."""
    step = {"severity": "danger", "beyond": 130, "waivable": False}
    by = rules({**CURRENT, "steps": [step]})
    waiver = (
        "waivers: [{rule: current-high, accepts: 150, until: 2027-06-01, "
        "reason: measured on the bench with a cooled pack}]\n"
    )
    mild = judged("settings: {battery_current_A: 120}\n" + waiver, by, strict=True)
    grave = judged("settings: {battery_current_A: 140}\n" + waiver, by)
    assert (mild.verdict, grave.verdict) == ("go", "no-go")
    assert mild.findings[0].waived is not None


@pytest.mark.parametrize(
    ("steps", "key"),
    [
        ([{"severity": "advice", "beyond": 150}], "steps.0.severity"),
        ([{"severity": "danger", "beyond": 150}, FAULT], "steps.1.severity"),
        ([{"severity": "danger", "beyond": "pack.full_V"}], "steps.0.beyond"),
        ([{"severity": "danger", "beyond": [1, 2]}], "steps.0.beyond"),
        ([{"severity": "danger", "when": "pack.full_V"}], "steps.0.when"),
    ],
)
def test_steps_that_make_no_ladder_are_refused(
    steps: list[dict[str, Any]], key: str, rule: Rules
) -> None:
    """Each is graver than the one before, in the unit of what is judged."""
    with pytest.raises(ExpressionError) as refused:
        rule(**{**CURRENT, "steps": steps})
    assert refused.value.key == key


def test_a_condition_has_no_limit_to_go_beyond(rule: Rules) -> None:
    """A rule that flags on a condition takes `when` in its steps."""
    keys = {"id": "x", "severity": "advice", "at": NAME, "flag_when": "vehicle.wet"}
    with pytest.raises(ExpressionError, match="when"):
        rule(**keys, steps=[{"severity": "danger", "beyond": 150}])


@given(st.floats(1, 500), st.floats(100, 500), st.booleans())
def test_a_step_never_makes_a_verdict_better(current: float, beyond: float, waits: bool) -> None:
    """Whatever is raised, NO-GO stays NO-GO and an open gate stays open."""
    step = {"severity": "danger", "beyond": "pack.connector_A" if waits else beyond}
    plain = verdict_at(current, {**CURRENT, "severity": "fault", "gate": "ride"})
    stepped = verdict_at(current, {**CURRENT, "severity": "fault", "gate": "ride", "steps": [step]})
    assert WORST_FIRST.index(stepped) <= WORST_FIRST.index(plain)


def verdict_at(current: float, keys: dict[str, Any]) -> Verdict:
    """The verdict of a vehicle of which only its current is told, by one rule."""
    place = Place("bench.yaml", 1, 1)
    givens = {NAME: Given(NAME, current, NAME, current, 1.0, place)}
    profile = Profile(
        "bench.yaml", "Bench", givens, frozenset(), {}, (), (), House(), {}, place, {}
    )
    by = catalogue_of([rule_of({**SENTENCES, **keys}, "pack", "x.yaml")], "sha256:0")
    return judge(profile, by, "2026-11-25").verdict
