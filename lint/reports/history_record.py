"""A history as a record for machines: JSON, held to `schemas/comparison.schema.json`."""

from __future__ import annotations

import json
from typing import Any

from ..comparison.history import Episode
from .comparison_record import change_record, matter_record
from .layout import Page
from .record import exact
from .told import Told

EDITION = "history/1"


def record(told: Told) -> dict[str, Any]:
    """The whole story as plain data."""
    return {
        "gonogo": EDITION,
        "judged_on": told.judged_on,
        "tool": told.tool,
        "catalogue": told.catalogue,
        "file": told.file,
        "name": told.name,
        "shallow": told.shallow,
        "quantity": told.followed.quantity if told.followed else None,
        "unit": told.unit if told.followed else None,
        "steps": [_step(episode, told) for episode in told.episodes],
    }


def _step(episode: Episode, told: Told) -> dict[str, Any]:
    judgement = episode.judgement
    counts = None
    if judgement is not None:
        counts = {
            "judged": judgement.judged,
            "not_judged": len(judgement.not_judged),
            "out_of_scope": judgement.out_of_scope,
            "waived": judgement.waived,
        }
    said: dict[str, Any] = {
        "commit": episode.step.commit or None,
        "day": episode.step.day or None,
        "subject": episode.step.subject,
        "file": episode.step.path,
        "verdict": judgement.verdict if judgement is not None else None,
        "counts": counts,
        "changes": [change_record(change) for change in episode.changes],
    }
    for way in ("introduced", "worsened", "resolved"):
        said[way] = [matter_record(one) for one in episode.matters if one.way == way]
    said["error"] = episode.error or None
    return said if told.followed is None else {**said, "value": exact(told.value(episode))}


def report(told: Told, page: Page) -> str:
    """The record as text, readable as it stands."""
    return json.dumps(record(told), indent=2, ensure_ascii=False) + "\n"
