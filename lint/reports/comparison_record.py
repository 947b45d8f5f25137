"""The comparison as a record for machines: JSON, held to `schemas/comparison.schema.json`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..comparison.change import ValueChange
from ..comparison.comparison import Comparison
from ..comparison.consequence import Consequence
from ..comparison.finding_change import WAYS, FindingChange, Way
from ..comparison.margin import Distance, Margin
from ..comparison.ride_change import RideChange
from ..judgement.finding import NotChecked
from ..riding.ride_figures import Figure
from .changed_sources import sources_record
from .comparison_fleet import in_several_record, sources_of
from .comparison_totals import Compared, Revised
from .failure_change import failures_record
from .layout import Page
from .loosening import loosening_record, loosenings_record
from .profile_share import Share
from .record import (
    counts_record,
    exact,
    finding_record,
    house_record,
    json_text,
    not_checked_record,
    tried_record,
    unread_record,
)
from .ride import why

COMPARISON_EDITION = "comparison/1"
TREE_EDITION = "comparisons/1"


def body(comparison: Comparison, page: Page) -> dict[str, Any]:
    """What one vehicle's record holds below its sides; `page` decides nothing here."""
    return {
        "changes": [change_record(change) for change in comparison.made],
        "equivalent": [change_record(change) for change in comparison.equivalent],
        "threshold": exact(comparison.threshold),
        "ride": [_ride_change(moved) for moved in comparison.ride],
        "consequences": [_consequence(moved) for moved in comparison.consequences],
        **failures_record(comparison.failures),
        "findings": {
            **{way: _findings(comparison, way) for way in WAYS},
            "unchecked": [finding_change_record(change) for change in comparison.unchecked],
            **_unflagged(comparison),
        },
        "not_checked": {
            "introduced": [_not_checked(rule) for rule in comparison.waiting.introduced],
            "resolved": [_not_checked(rule) for rule in comparison.waiting.resolved],
        },
        "margins": [_margin(margin) for margin in comparison.margins],
        "follow_ups": [
            {"do": work.do, "because": work.because, "changed": list(work.changed)}
            for work in comparison.follow_ups
        ],
    }


def _findings(comparison: Comparison, way: Way) -> list[dict[str, Any]]:
    """The findings of a way; what is no longer checked or no longer flagged has a list of its own."""
    told = comparison.of_way(way)
    changes = (change for change in told if way != "resolved" or change.is_resolved)
    return [finding_change_record(change) for change in changes]


def _unflagged(comparison: Comparison) -> dict[str, Any]:
    """What went, or is less grave, only since a rule of the shop was changed; nothing where none did."""
    told = [finding_change_record(change) for change in comparison.unflagged]
    return {"unflagged": told} if told else {}


def change_record(change: ValueChange) -> dict[str, Any]:
    """One change; `old` and `new` are in the unit of the key on the new side."""
    record: dict[str, Any] = {
        "quantity": change.quantity,
        "mode": change.mode or None,
        "kind": change.kind,
        "category": change.category,
        "subsystem": change.subsystem,
        "entered_as": change.entered_as,
        "old_entered_as": change.old_as,
        "old": exact(change.old),
        "new": exact(change.new),
        "unit": change.unit,
        "by": exact(change.by),
        "step": exact(change.step),
        "share": change.share,
        "file": change.place.file if change.place else None,
        "line": change.place.line if change.place else None,
    }
    record |= _of_motors(change)
    inside = change.inner_changes
    if inside:
        record["inside"] = [
            {"at": place.at, "old": exact(place.old), "new": exact(place.new)} for place in inside
        ]
    return record


def _of_motors(one: ValueChange | Consequence | Margin) -> dict[str, Any]:
    return {"motors": list(one.motors)} if one.motors else {}


def _consequence(moved: Consequence) -> dict[str, Any]:
    record: dict[str, Any] = {
        "quantity": moved.quantity,
        "mode": moved.mode or None,
        "old": exact(moved.old),
        "new": exact(moved.new),
        "unit": moved.unit,
        "by": exact(moved.by),
        "share": moved.share,
        "restates": moved.restates,
    }
    for name, side in (("old_side", moved.old_side), ("new_side", moved.new_side)):
        if side.startswith("no "):
            record[name] = side
    return record | _of_motors(moved)


def _ride_change(moved: RideChange) -> dict[str, Any]:
    return {
        "figure": moved.figure,
        "mode": moved.mode or None,
        "unit": moved.unit,
        "old": _ridden(moved.old, moved.old_limit, moved.old_at),
        "new": _ridden(moved.new, moved.new_limit, moved.new_at),
        "share": moved.share,
    }


def _ridden(figure: Figure, limit: str, at: float | None) -> dict[str, Any]:
    """One side of a figure: its value where it is exact, its ends, and why where it is not."""
    record = {
        "value": exact(figure.value),
        "low": exact(figure.low),
        "high": exact(figure.high),
        "limited_by": limit or None,
        "at": exact(at),
    }
    return record if figure.value is not None else {**record, "why": why(figure)}


def finding_change_record(change: FindingChange) -> dict[str, Any]:
    """A finding as it stands, or as it was last, with what it was on the other side."""
    record = finding_record(change.finding)
    record["modes"] = list(change.modes)
    record["everywhere"] = change.everywhere
    if change.old is not None and change.new is not None:
        record["before"] = {
            "severity": change.old.severity,
            "value": exact(change.old.value),
            "unit": change.old.unit,
            "message": change.old.message,
            "waived": change.old.waived is not None,
        }
        record["improved"] = change.improved
    else:
        record["other_side"] = change.other_side
    if change.missing:
        record["missing"] = list(change.missing)
    if change.rule_changed:
        record["rule_changed"] = list(change.rule_changed)
    if change.is_let_through:
        record["let_through"] = True
    if change.is_waived_here:
        record["waived_here"] = True
    if change.is_waived_longer:
        record["waived_longer"] = True
    return record


def _not_checked(rule: NotChecked) -> dict[str, Any]:
    record = not_checked_record(rule)
    record.pop("reason", None)
    return record


def _margin(margin: Margin) -> dict[str, Any]:
    return {
        "rule": margin.rule.id,
        "severity": margin.severity,
        "quantity": margin.quantity,
        "mode": margin.mode or None,
        "unit": margin.unit,
        "old": _distance(margin.old),
        "new": _distance(margin.new),
        "by": exact(margin.by),
        **_of_motors(margin),
    }


def _distance(distance: Distance) -> dict[str, Any]:
    share = None if distance.share is None else round(distance.share, 4)
    return {
        "value": exact(distance.value),
        "limit": {"high" if distance.upper else "low": exact(distance.limit)},
        "margin": exact(distance.room),
        "share": share,
    }


def _side(share: Share | None) -> dict[str, Any] | None:
    if share is None:
        return None
    return {
        "file": share.file,
        "name": share.name,
        "stages": share.stages,
        "counts": counts_record(share),
        "house": house_record(share),
        **tried_record(share),
    }


def _revised(revised: Revised, head: Mapping[str, Any]) -> dict[str, Any]:
    """One vehicle's comparison."""
    verdict = {
        "old": revised.old.verdict if revised.old else None,
        "new": revised.new.verdict if revised.new else None,
    }
    sides = {"old": _side(revised.old), "new": _side(revised.new), "verdict": verdict}
    flags = {
        "harms": revised.harms,
        "waived_here": dict(revised.waived_here),
        **({"unflagged": dict(revised.unflagged)} if revised.unflagged else {}),
        "hides": revised.hides,
        "empty": revised.empty,
    }
    if revised.loosened:
        flags["loosened"] = [loosening_record(one) for one in revised.loosened]
    if revised.waived_longer:
        flags["waived_longer"] = dict(revised.waived_longer)
    unread = {"old_not_read": revised.unread or revised.why} if revised.is_unknown else {}
    ceased = {"ceased": {"as": revised.ceased, "why": revised.why}} if revised.ceased else {}
    returned = {"returned": True} if revised.returned else {}
    return {**head, **sides, **flags, **unread, **ceased, **returned, **revised.body}


def known_added_record(compared: Compared) -> dict[str, Any]:
    """What the change put on lists of known findings; nothing where it put nothing there."""
    added = [one._asdict() for one in compared.known_added]
    return {"known_added": added} if added else {}


def record(compared: Compared) -> dict[str, Any]:
    """Two sides as one record, a tree's as a list of them."""
    shared = {
        "judged_on": compared.judged_on,
        "tool": compared.tool,
        "catalogue": compared.catalogue,
    }
    errors = [unread_record(error) for error in compared.unread]
    if compared.against is None and compared.revised:
        head = {"gonogo": COMPARISON_EDITION, **shared}
        return {**_revised(compared.revised[0], head), "errors": errors}
    return {
        "gonogo": TREE_EDITION,
        **shared,
        "against": compared.against,
        "unchanged": compared.unchanged,
        **({"left_out": list(compared.left_out)} if compared.left_out else {}),
        "shared_changes": sources_record(sources_of(compared)),
        "new_in_several": in_several_record(compared),
        **known_added_record(compared),
        **loosenings_record(compared),
        "comparisons": [
            _revised(revised, {"gonogo": COMPARISON_EDITION}) for revised in compared.revised
        ],
        "errors": errors,
    }


def report(compared: Compared, page: Page) -> str:
    """The record as text."""
    return json_text(record(compared))
