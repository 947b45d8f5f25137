"""The changed line that a finding comes from: a review shows what stands beside the change, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from ..comparison.change import ValueChange
from ..comparison.comparison import Comparison
from ..documents.location import Place
from ..documents.profile import Profile
from ..judgement.finding import Finding, NotChecked, Related
from ..quantities.registry import affected

MOST_RELATED = 16  # places, as many as a finding has of its own


def at_changed_line(finding: Finding, comparison: Comparison) -> Finding:
    """A finding that points at a line which the change made, and rests on what it pointed at before.

    It stays where it is if that line changed, or if none of those that did has to do with its rule. An entry
    that is gone is pointed at where it stood.
    """
    if comparison.old is None or comparison.new is None:
        return finding
    now = comparison.new.profile
    found = list(_changed(finding.rule.id, _reads(finding, comparison), comparison))
    lines = {(place.file, place.line) for _, place in found}
    if not found or (finding.place.file, finding.place.line) in lines:
        return finding
    _, place = min(found, key=lambda one: _distance(finding, *one))
    before = Related(finding.quantity, finding.place, finding.entered_as)
    rest = (one for one in finding.related if one.place != place)
    stood = (before,) if finding.place.file in now.texts else ()
    return replace(finding, place=place, related=(*stood, *rest)[:MOST_RELATED])


def line_for_gate(gate: NotChecked, comparison: Comparison) -> Place:
    """Where what a required rule reads was lost: in the vehicle's own file, else in a part or the house file.

    The vehicle's first line where no line that changed is left of it.
    """
    profile = comparison.judgement.profile
    first = Place(profile.file, 1, 1)
    if comparison.old is None or comparison.new is None:
        return first
    found = [place for _, place in _changed(gate.rule.id, gate.rule.reads, comparison)]
    return next((place for place in found if place.file == profile.file), next(iter(found), first))


def _changed(
    rule: str, reads: frozenset[str], comparison: Comparison
) -> Iterator[tuple[ValueChange, Place]]:
    """The changes that move what a rule reads, or the rule itself, and where each stands."""
    assert comparison.new is not None
    now = comparison.new.profile
    own = (f"rules.{rule}", f"severities.{rule}")
    for change in comparison.made:
        name = change.quantity
        if name in own or not affected(frozenset((name,))).isdisjoint(reads):
            place = _place(change, now)
            if place is not None:
                yield change, place


def _reads(finding: Finding, comparison: Comparison) -> frozenset[str]:
    """What the finding's rule reads; of rules that leave no value what those of them read that are told."""
    told = {one.finding.rule.id: one.finding.rule for one in comparison.finding_changes}
    rules = [finding.rule, *(told[name] for name in finding.conflict if name in told)]
    return frozenset().union(*(rule.reads for rule in rules))


def _place(change: ValueChange, now: Profile) -> Place | None:
    """Where a change stands on the new side; None where nothing of it does."""
    head, _, name = change.quantity.partition(".")
    if head == "rules":
        held = (rule.file for rule in now.house.rules if rule.value["id"] == name)
        return next((Place(file, 1, 1) for file in held), None)
    if head in ("severities", "require"):
        return now.house.places.get(change.quantity)
    if change.place is None:
        return None
    texts = {**now.texts, **({now.house.file: now.house.text} if now.house.file else {})}
    file = change.place.file
    if file in texts and change.kind != "removed":
        return change.place
    without = next((one for one in _without_revision(file) if one in texts), None)
    if without is None:
        return None
    last = max(texts[without].count("\n"), 1)
    return Place(without, min(change.place.line, last), 1)


def _without_revision(file: str) -> Iterable[str]:
    """The names that a file of the old side may have on the new one: `HEAD:a.yaml` is `a.yaml`."""
    return (file, file.partition(":")[2])


def _distance(finding: Finding, change: ValueChange, place: Place) -> tuple[bool, bool, bool]:
    """How near a change is to a finding: at a line that it rests on, read by its rule itself, in its file."""
    rests = {(one.place.file, one.place.line) for one in finding.related}
    return (
        (place.file, place.line) not in rests,
        change.quantity not in finding.rule.reads,
        place.file != finding.place.file,
    )
