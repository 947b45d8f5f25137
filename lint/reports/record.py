"""The report as a record for machines: JSON, held to `schemas/report.schema.json`."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from ..documents.profile import TriedValue
from ..documents.text import escaped_in_json
from ..judgement.finding import Finding, Grade, Judgement, NotChecked, Related, WorkingLine
from ..judgement.untried import untried
from ..judgement.verdict import ask_of, in_order
from ..quantities.number import tidy
from .check_totals import Checked, Unread
from .known import known_record, mark_record
from .layout import Page
from .profile_share import Share
from .shared_causes import causes_record, findings_record

REPORT_EDITION = "report/1"


def exact(value: Any) -> Any:
    """A value as JSON writes it: whole numbers whole, floats without the dust of binary.

    >>> exact(0.1 + 0.2), exact(120.0), exact(("hall",))
    (0.3, 120, ['hall'])
    """
    if isinstance(value, float):
        return tidy(value)
    if isinstance(value, tuple | list):
        return [exact(member) for member in value]
    if isinstance(value, Mapping):
        return {str(key): exact(member) for key, member in value.items()}
    return value


def body(judgement: Judgement, page: Page) -> str:
    """A profile's findings and what was not checked, as they stand in it; `page` decides nothing here."""
    told = {
        **_untried(judgement),
        "findings": [finding_record(finding) for finding in judgement.findings],
        "not_checked": [not_checked_record(rule) for rule in judgement.not_checked],
    }
    return _members(told, IN_PROFILE)


def _untried(judgement: Judgement) -> dict[str, Any]:
    """The safety functions that nobody tried on a vehicle that may be ridden; left out where there are none."""
    readings = [one.reading for one in untried(judgement)]
    return {"never_tried": readings} if readings else {}


def finding_record(finding: Finding) -> dict[str, Any]:
    """One finding; `of` is there only where the rule judges another quantity than it points at.

    `motors` is there only where it is about some of several motors.
    """
    pointed: dict[str, Any] = {"motors": list(finding.motors)} if finding.motors else {}
    pointed["quantity"] = finding.quantity
    if finding.of and finding.of != finding.quantity:
        pointed["of"] = finding.of
    return {
        "rule": finding.rule.id,
        "severity": finding.severity,
        "stage": finding.rule.stage,
        "modes": [] if finding.everywhere else list(finding.modes),
        **pointed,
        "entered_as": finding.entered_as,
        "file": finding.place.file,
        "line": finding.place.line,
        "column": finding.place.column,
        "related": list(map(_related, finding.related)),
        "message": finding.message,
        "because": finding.because,
        "remedy": finding.remedy,
        "value": exact(finding.value),
        "limit": _limit(finding.low, finding.high),
        "steps": list(map(_step, finding.steps)),
        "unit": finding.unit,
        "margin": _margin(finding),
        "working": [_working(line) for line in finding.working],
        "also": list(finding.also),
        "waived": _waived(finding),
        **mark_record(finding.known),
    }


def _related(related: Related) -> dict[str, Any]:
    place = related.place
    return {
        "quantity": related.quantity,
        "file": place.file,
        "line": place.line,
        "column": place.column,
    }


def _step(step: Grade) -> dict[str, Any]:
    limit = _limit(step.low, step.high)
    return {"severity": step.severity, "limit": limit, "reached": step.reached}


def _limit(low: float | None, high: float | None) -> dict[str, Any] | None:
    ends = {"low": low, "high": high}
    return {end: exact(limit) for end, limit in ends.items() if limit is not None} or None


def _margin(finding: Finding) -> dict[str, Any] | None:
    if finding.margin is None:
        return None
    return {"absolute": exact(finding.margin), "share": exact(finding.share)}


def _working(line: WorkingLine) -> dict[str, Any]:
    record = {
        "quantity": line.quantity,
        "value": exact(line.value),
        "unit": line.unit,
        "origin": line.origin,
        "formula": line.formula,
        "from": list(line.inputs),
    }
    return record if line.side == "exact" else {**record, "side": line.side}


def _waived(finding: Finding) -> dict[str, Any] | None:
    waiver = finding.waived
    if waiver is None:
        return None
    return {"until": waiver.until, "accepts": exact(waiver.accepts), "reason": waiver.reason}


def not_checked_record(rule: NotChecked) -> dict[str, Any]:
    """A rule that could not be checked, and what it lacks."""
    record: dict[str, Any] = {
        "rule": rule.rule.id,
        "severity": rule.severity,
        "gate": rule.gate,
        "stage": rule.rule.stage,
        "modes": list(rule.modes),
        "missing": list(rule.missing),
        "ask": [ask_of(name) for name in in_order(rule.missing)],
    }
    record |= mark_record(rule.known)
    return {**record, "reason": rule.reason} if rule.reason else record


def unread_record(error: Unread) -> dict[str, Any]:
    """One error of a document."""
    return {
        "file": error.file,
        "line": error.line,
        "column": error.column,
        "found": error.found,
        "wanted": error.wanted,
        "message": error.message,
        "affects": list(error.affects),
    }


def counts_record(share: Share) -> dict[str, int]:
    """What a verdict rests on."""
    return {
        "checked": share.checked,
        "not_checked": share.not_checked,
        "out_of_scope": share.out_of_scope,
        "waived": share.waived,
        "waived_dangers": share.waived_by.get("danger", 0),
    }


def house_record(share: Share) -> dict[str, Any] | None:
    """The house file that held, and how many of its own rules; None without one."""
    return {"file": share.house, "rules": share.house_rules} if share.house else None


def _held_record(share: Share) -> dict[str, Any]:
    """How many settings the controller was seen to hold; nothing where nothing was read back."""
    if share.held is None:
        return {}
    held, settings = share.held
    return {"held": {"held": held, "settings": settings}}


def tried_record(share: Share) -> dict[str, Any]:
    """The values that were tried, each beside what the file says; nothing where none was."""
    if not share.tried:
        return {}
    return {"tried_values": list(map(tried_value_record, share.tried))}


def tried_value_record(tried: TriedValue) -> dict[str, Any]:
    """A value that was tried, beside what the file says."""
    return {
        "key": tried.key,
        "value": tried.value,
        "said": tried.said,
        "file": tried.file,
        "in_part": tried.in_part,
    }


def json_text(record: Any) -> str:
    """A record as text, readable as it stands; what nobody sees is escaped.

    Raises ValueError for a number that is not finite: JSON has none, and no report should.
    """
    text = json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False)
    return escaped_in_json(text) + "\n"


def _causes_record(checked: Checked) -> dict[str, Any]:
    """What several profiles share, as the summary of a fleet has it; nothing where they share nothing."""
    given = [(share.file, share.causes) for share in checked.shares]
    told = {"shared_causes": causes_record(given), "shared_findings": findings_record(given)}
    return {key: entries for key, entries in told.items() if entries}


def _members(record: Mapping[str, Any], indent: str = "") -> str:
    """The members of a record as they stand between its braces, further in by an indent."""
    inside = json_text(record).removeprefix("{").removesuffix("\n}\n")
    return inside.replace("\n", f"\n{indent}") if indent else inside


IN_PROFILE = "    "  # how far a profile of the report stands in


def report(checked: Checked, page: Page) -> str:
    """The whole report as text, its keys in the order that the schema lists them."""
    return "".join(pieces(checked, page))


def pieces(checked: Checked, page: Page) -> Iterator[str]:
    """The same a profile at a time, so that a thousand need no more room than one."""
    head = {
        "gonogo": REPORT_EDITION,
        "verdict": checked.verdict,
        "judged_on": checked.judged_on,
        "tool": checked.tool,
        "catalogue": checked.catalogue,
    }
    tail = {
        **_causes_record(checked),
        "errors": [unread_record(error) for error in checked.unread],
        "others": [{"file": other.file, "kind": other.kind} for other in checked.others],
    }
    yield f'{{{_members(head)},\n  "profiles": ['
    for number, share in enumerate(checked.shares):
        members = _members(_profile_record(share), IN_PROFILE)
        yield f"{',' if number else ''}\n{IN_PROFILE}{{{members},{share.body}\n{IN_PROFILE}}}"
    yield ("\n  ]" if checked.shares else "]") + f",{_members(tail)}\n}}\n"


def _profile_record(share: Share) -> dict[str, Any]:
    """What stands of a profile before its body."""
    return {
        "file": share.file,
        "name": share.name,
        "stage": share.stage,
        "verdict": share.verdict,
        "stages": share.stages,
        "fitness": share.fitness,
        "counts": counts_record(share),
        "house": house_record(share),
        **_held_record(share),
        **tried_record(share),
        **({} if share.known is None else {"known": known_record(share.known)}),
    }
