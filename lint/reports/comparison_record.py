"""The comparison as a record for machines: JSON, held to `schemas/comparison.schema.json`."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from ..comparison.change import Change
from ..comparison.comparison import Comparison
from ..comparison.consequence import Consequence
from ..comparison.finding_change import WAYS, Matter
from ..comparison.margin import Margin, Reach
from ..judgement.finding import NotJudged
from .check_totals import Share
from .comparison_totals import Compared, Revised
from .layout import Page
from .record import exact, finding_record, unread_record

EDITION = "comparison/1"
TREE = "comparisons/1"


def body(comparison: Comparison, page: Page) -> dict[str, Any]:
    """What one vehicle's record holds below its sides; `page` decides nothing here."""
    return {
        "changes": [change_record(change) for change in comparison.made],
        "respelt": [change_record(change) for change in comparison.respelt],
        "threshold": exact(comparison.threshold),
        "consequences": [_consequence(one) for one in comparison.consequences],
        "findings": {
            way: [matter_record(matter) for matter in comparison.of_way(way)] for way in WAYS
        },
        "not_judged": {
            "lost": [_not_judged(one) for one in comparison.waiting.lost],
            "gained": [_not_judged(one) for one in comparison.waiting.gained],
        },
        "margins": [_margin(margin) for margin in comparison.margins],
        "follow_ups": [
            {"do": one.do, "because": one.because, "changed": list(one.changed)}
            for one in comparison.follow_ups
        ],
    }


def change_record(change: Change) -> dict[str, Any]:
    """One change; `old` and `new` are in the unit of the key on the new side."""
    said: dict[str, Any] = {
        "quantity": change.quantity,
        "mode": change.mode or None,
        "kind": change.kind,
        "sort": change.sort,
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
    inside = change.inside
    if inside:
        said["inside"] = [
            {"at": one.at, "old": exact(one.old), "new": exact(one.new)} for one in inside
        ]
    return said


def _consequence(one: Consequence) -> dict[str, Any]:
    said: dict[str, Any] = {
        "quantity": one.quantity,
        "mode": one.mode or None,
        "old": exact(one.old),
        "new": exact(one.new),
        "unit": one.unit,
        "by": exact(one.by),
        "share": one.share,
        "restates": one.restates,
    }
    for name, side in (("old_side", one.old_side), ("new_side", one.new_side)):
        if side.startswith("no "):
            said[name] = side
    return said


def matter_record(matter: Matter) -> dict[str, Any]:
    """A finding as it stands, or as it was last, with what it was on the other side."""
    said = finding_record(matter.finding)
    said["modes"] = list(matter.modes)
    said["everywhere"] = matter.everywhere
    if matter.old is not None and matter.new is not None:
        said["before"] = {
            "severity": matter.old.severity,
            "value": exact(matter.old.value),
            "unit": matter.old.unit,
            "message": matter.old.message,
            "waived": matter.old.waived is not None,
        }
        said["eased"] = matter.eased
    else:
        said["elsewhere"] = matter.elsewhere
    return said


def _not_judged(one: NotJudged) -> dict[str, Any]:
    return {
        "rule": one.rule.id,
        "severity": one.severity,
        "gate": one.rule.gate,
        "modes": list(one.modes),
        "missing": list(one.missing),
    }


def _margin(margin: Margin) -> dict[str, Any]:
    return {
        "rule": margin.rule.id,
        "severity": margin.severity,
        "quantity": margin.quantity,
        "mode": margin.mode or None,
        "unit": margin.unit,
        "old": _reach(margin.old),
        "new": _reach(margin.new),
        "by": exact(margin.by),
    }


def _reach(reach: Reach) -> dict[str, Any]:
    share = None if reach.share is None else round(reach.share, 4)
    return {
        "value": exact(reach.value),
        "limit": {"high" if reach.upper else "low": exact(reach.limit)},
        "margin": exact(reach.room),
        "share": share,
    }


def _side(share: Share | None) -> dict[str, Any] | None:
    if share is None:
        return None
    return {
        "file": share.file,
        "name": share.name,
        "counts": {
            "judged": share.judged,
            "not_judged": share.not_judged,
            "out_of_scope": share.out_of_scope,
            "waived": share.waived,
        },
    }


def revised_record(one: Revised, head: Mapping[str, Any]) -> dict[str, Any]:
    """One vehicle's comparison."""
    verdict = {
        "old": one.old.verdict if one.old else None,
        "new": one.new.verdict if one.new else None,
    }
    said = {**head, "old": _side(one.old), "new": _side(one.new), "verdict": verdict}
    said |= {"harms": one.harms, "hides": one.hides, "empty": one.empty}
    if one.unread:
        said["old_not_read"] = one.unread
    return {**said, **one.body}


def record(compared: Compared) -> dict[str, Any]:
    """Two sides as one record, a tree's as a list of them."""
    told = {
        "judged_on": compared.judged_on,
        "tool": compared.tool,
        "catalogue": compared.catalogue,
    }
    errors = [unread_record(error) for error in compared.unread]
    if compared.since is None and compared.revised:
        head = {"gonogo": EDITION, **told}
        return {**revised_record(compared.revised[0], head), "errors": errors}
    return {
        "gonogo": TREE,
        **told,
        "since": compared.since,
        "unchanged": compared.unchanged,
        "comparisons": [revised_record(one, {"gonogo": EDITION}) for one in compared.revised],
        "errors": errors,
    }


def report(compared: Compared, page: Page) -> str:
    """The record as text, readable as it stands."""
    return json.dumps(record(compared), indent=2, ensure_ascii=False) + "\n"
