"""The corners of a profile for machines: what each rule, mode and entry comes to."""

from __future__ import annotations

from typing import Any

from ..documents.motors import entry_path
from ..quantities.registry import unit_of
from ..tolerances.corners import Corners, Room, RuleCorners
from ..tolerances.mode_corners import ModeCorners
from .record import exact

CORNERS_EDITION = "corners/1"


def record(corners: Corners) -> dict[str, Any]:
    """The corners as plain data."""
    judgement = corners.judgement
    return {
        "gonogo": CORNERS_EDITION,
        "file": judgement.profile.file,
        "name": judgement.profile.name,
        "judged_on": judgement.judged_on,
        "mode": corners.mode,
        "verdict": {"as_measured": judgement.stages["ride"], "everywhere": corners.everywhere},
        "rules": [_rule_record(rule) for rule in corners.rules],
        "modes": [_mode_record(one) for one in corners.modes],
        "settle": [{"quantity": one.quantity, "rules": list(one.rules)} for one in corners.settle],
        "settle_together": [
            {"quantities": list(one.quantities), "rules": list(one.rules)}
            for one in corners.settle_together
        ],
        "tolerances": [_room_record(room) for room in corners.rooms],
        "unknown": list(corners.untold),
    }


def _mode_record(one: ModeCorners) -> dict[str, Any]:
    return {
        "mode": one.mode,
        "fails": [
            {
                "rule": failure.rule.id,
                "severity": failure.severity,
                "holds": failure.holds,
                "in_words": failure.in_words,
            }
            for failure in one.fails
        ],
    }


def _rule_record(rule: RuleCorners) -> dict[str, Any]:
    found = rule.at_corner
    return {
        "rule": rule.rule.id,
        "severity": rule.severity,
        "holds": rule.holds,
        "as_measured": rule.measured,
        "corner": exact(found.corner),
        "in_words": found.in_words or None,
        "modes": list(found.modes),
        "share": round(rule.share, 4),
        "past": found.past,
        "waived": found.waived,
        "told_by": found.told_by or None,
        "motors": list(rule.motors),
    }


def _room_record(room: Room) -> dict[str, Any]:
    return {
        "quantity": room.quantity,
        "unit": unit_of(entry_path(room.quantity)),
        "entered": exact(room.entered),
        "low": exact(room.side.low),
        "high": exact(room.side.high),
        "reasons": [reach.tolerance.reason for reach in room.reaches],
        "sources": [reach.tolerance.source for reach in room.reaches],
    }
