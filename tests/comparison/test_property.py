"""What holds for every pair of revisions, whatever was changed."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

import pytest
from gonogo.comparison.change import ValueChange
from gonogo.comparison.comparison import Comparison, compare
from gonogo.comparison.consequence import unmoved
from gonogo.comparison.finding_change import FindingChange
from gonogo.comparison.judged_side import judged_side
from gonogo.comparison.statement import Statement, statement
from gonogo.documents.error import DocumentErrors
from gonogo.documents.schema import Property, properties
from gonogo.judgement.finding import Finding
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st

from .revision import JUDGED_ON, Plain, bench_of, changed

FEW = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
MODE = ("battery_current_A", "phase_current_A_rms", "max_rpm", "speed_limit_km_h")
HEADS = ("settings", "pack", "wiring", "controller", "motor", "throttle", "readings", "drivetrain")


def changeable() -> list[Property]:
    """Everything with a value of its own."""
    kinds = ("number", "integer", "boolean", "text")
    return [
        entry
        for entry in properties().values()
        if entry.kind in kinds
        and entry.path.startswith(HEADS)
        and (entry.kind != "text" or entry.choices)
    ]


@st.composite
def value_of(draw: st.DrawFn, entry: Property) -> Any:
    """Something that the schema lets one enter, often near one end."""
    if entry.kind == "boolean":
        return draw(st.booleans())
    if entry.kind == "text":
        return draw(st.sampled_from(entry.choices))
    step = entry.step or 1
    low = int((entry.lowest or 0) / step) + bool(entry.strictly_above)
    high = int((entry.highest or 0) / step)
    count = draw(st.integers(low, min(high, low + 400)) | st.integers(low, high))
    value = round(count * step, 9)
    return int(value) if entry.kind == "integer" else value


@st.composite
def alterations(draw: st.DrawFn) -> dict[str, Any]:
    """A handful of values set or taken away, and perhaps a mode."""
    found: dict[str, Any] = {}
    for entry in draw(st.lists(st.sampled_from(changeable()), max_size=6)):
        found[entry.path] = draw(st.none() | value_of(entry))
        for other in properties().values():
            if other.quantity == entry.quantity and other is not entry:
                found[other.path] = None
    for name in draw(st.lists(st.sampled_from(MODE), max_size=2)):
        head = "vehicle" if name == "speed_limit_km_h" else "settings"
        found[f"modes.sport.{name}"] = draw(value_of(properties()[f"{head}.{name}"]))
    return found


def pair(bike: Plain, one: dict[str, Any], other: dict[str, Any]) -> tuple[Any, Any, Any]:
    """Two revisions of the vehicle, judged, and the catalogue."""
    try:
        was, known = bench_of({"bike.yaml": json.dumps(changed(bike, one))})
        now, _ = bench_of({"bike.yaml": json.dumps(changed(bike, other))})
    except DocumentErrors:
        assume(False)
    return was, now, known


def applied(stated: Statement, made: Iterable[ValueChange]) -> Statement:
    """The statement with the changes made: from the old side they lead to the new one."""
    result = dict(stated)
    for change in made:
        key = (change.mode, change.quantity)
        if change.after is None:
            result.pop(key, None)
        else:
            result[key] = change.after
    return result


@FEW
@given(one=alterations(), other=alterations())
def test_applying_the_changes_to_the_old_side_gives_the_new(
    bike: Plain, one: dict[str, Any], other: dict[str, Any]
) -> None:
    """A change that is not told is one that nobody reviews."""
    was, now, known = pair(bike, one, other)
    before, after = statement(was.hearing.profile), statement(now.hearing.profile)
    assert applied(before, compare(was, now, known).changes) == after
    assert applied(after, compare(now, was, known).changes) == before


def names(
    finding_changes: tuple[FindingChange, ...], improved: bool | None = None
) -> set[tuple[Any, ...]]:
    """Findings by rule and place."""
    return {
        (one.finding.rule.id, one.finding.quantity, one.modes, one.everywhere, one.other_side)
        for one in finding_changes
        if improved is None or one.improved == improved
    }


def moves(compared: Comparison, turned: bool) -> set[Any]:
    """Changes and consequences as pairs of values, old and new swapped where turned."""
    found: list[tuple[Any, ...]] = [
        (one.mode, one.quantity, repr(one.before), repr(one.after)) for one in compared.changes
    ]
    found += [
        (one.mode, one.quantity, repr(one.old), repr(one.new)) for one in compared.consequences
    ]
    return {(*one[:2], one[3], one[2]) if turned else one for one in found}


@FEW
@given(one=alterations(), other=alterations())
def test_a_change_and_its_opposite_are_mirror_images(
    bike: Plain, one: dict[str, Any], other: dict[str, Any]
) -> None:
    """What comes in one way goes out the other."""
    was, now, known = pair(bike, one, other)
    there, back = compare(was, now, known), compare(now, was, known)
    assert names(there.of_way("introduced")) == names(back.of_way("resolved"))
    assert names(there.of_way("resolved")) == names(back.of_way("introduced"))
    assert names(there.of_way("worsened")) == names(back.of_way("standing"), improved=True)
    assert names(there.of_way("standing"), False) == names(back.of_way("standing"), False)
    assert there.waiting.introduced == back.waiting.resolved
    assert moves(there, False) == moves(back, True)
    rooms = {(one.rule.id, one.mode, one.old.share, one.new.share) for one in there.margins}
    turned = {(one.rule.id, one.mode, one.new.share, one.old.share) for one in back.margins}
    assert {one[:2] for one in rooms} == {one[:2] for one in turned}
    assert there.is_empty == back.is_empty


@FEW
@given(one=alterations())
def test_a_profile_against_itself_is_empty(bike: Plain, one: dict[str, Any]) -> None:
    """Whatever is wrong with it stands, and nothing is new."""
    was, now, known = pair(bike, one, one)
    itself = compare(was, now, known)
    assert itself.is_empty
    assert itself.changes == itself.consequences == itself.margins == itself.follow_ups == ()
    assert not itself.rewritten
    assert {one.way for one in itself.finding_changes} <= {"standing"}


@FEW
@given(one=alterations(), other=alterations())
def test_every_finding_of_both_sides_is_accounted_for(
    bike: Plain, one: dict[str, Any], other: dict[str, Any]
) -> None:
    """What stands and what came are the new findings; what stands and what went are the old."""
    was, now, known = pair(bike, one, other)
    found = compare(was, now, known).finding_changes
    new = {matter.new.rule.id for matter in found if matter.new is not None}
    old = {matter.old.rule.id for matter in found if matter.old is not None}
    assert new == {finding.rule.id for finding in now.judgement.findings}
    assert old == {finding.rule.id for finding in was.judgement.findings}


def equivalent(value: Any, turn: bool) -> Any:
    """The same values: keys the other way round, whole numbers with a point."""
    if isinstance(value, dict):
        keys = [*value] if not turn else ["gonogo", *reversed([k for k in value if k != "gonogo"])]
        return {key: equivalent(value[key], turn) for key in keys if key in value}
    if isinstance(value, list):
        return [equivalent(member, turn) for member in value]
    return value


@FEW
@given(one=alterations(), turn=st.booleans(), indent=st.sampled_from((None, 1, 4)))
def test_order_spelling_and_space_change_nothing(
    bike: Plain, one: dict[str, Any], turn: bool, indent: int | None
) -> None:
    """A tidy-up is no change of the vehicle."""
    document = changed(bike, one)
    try:
        was, known = bench_of({"bike.yaml": json.dumps(document)})
    except DocumentErrors:
        assume(False)
    text = json.dumps(equivalent(document, turn), indent=indent).replace(": 5,", ": 5.0,")
    text = "# tidied\n" + text.replace('"pole_pairs": 5.0', '"pole_pairs": 5')
    try:
        now, _ = bench_of({"bike.yaml": text})
    except DocumentErrors:
        pytest.fail(text)
    assert compare(was, now, known).is_empty


def about(finding: Finding) -> tuple[str, str]:
    """What a finding is: its rule, and for a rule that flags several settings or papers, which."""
    return finding.rule.id, "" if finding.rule.subject == "profile" else finding.quantity


@FEW
@given(one=alterations(), other=alterations())
@example(one={"pack.series": 22}, other={"pack.series": None, "pack.parallel": 1})
def test_without_modes_introduced_and_resolved_are_what_the_two_checks_differ_by(
    bike: Plain, one: dict[str, Any], other: dict[str, Any]
) -> None:
    """The comparison says of each rule what two reports laid side by side would say."""
    plain = [
        {path: value for path, value in made.items() if not path.startswith("modes.")}
        for made in (one, other)
    ]
    was, now, known = pair(bike, *plain)
    before = {about(finding) for finding in was.judgement.findings}
    after = {about(finding) for finding in now.judgement.findings}
    told = compare(was, now, known)
    assert {about(matter.finding) for matter in told.of_way("introduced")} == after - before
    assert {about(matter.finding) for matter in told.of_way("resolved")} == before - after
    lost = {waiting.rule.id for waiting in told.waiting.introduced}
    assert lost == {one.rule.id for one in now.judgement.not_checked} - {
        one.rule.id for one in was.judgement.not_checked
    }


@FEW
@given(one=alterations(), other=alterations())
def test_a_side_judged_after_the_other_is_judged_as_if_alone(
    bike: Plain, one: dict[str, Any], other: dict[str, Any]
) -> None:
    """What a change does not reach is not judged twice; the verdict must not notice."""
    was, now, known = pair(bike, one, other)
    spared = unmoved(was.hearing, now.hearing.profile, known)
    alone = now.hearing.rulings[""]
    assert {name: alone[name] for name in spared} == spared
    assert judged_side(now.hearing.profile, known, JUDGED_ON, before=was).judgement == now.judgement
