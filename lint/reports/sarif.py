"""The report in the static analysis results format, 2.1.0, that code hosts show beside a change."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from ..documents.location import Place
from ..documents.text import clean
from ..judgement.finding import Finding, Judgement, NotChecked
from ..judgement.rule import Rule, Severity
from ..judgement.verdict import ask_of
from .check_totals import Checked, Unread
from .finding_words import missing_words, modes_in_words
from .known import baseline_state
from .layout import Page
from .record import house_record, json_text, tried_record
from .rules import Allowances, condition_in_words, limit_in_words, scope_in_words, sentence

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
ROOT = "%SRCROOT%"
# A danger and a fault both refuse the vehicle. A required rule not checked is a note: hosts hide `open`.
LEVELS: dict[Severity, str] = {"danger": "error", "fault": "error", "advice": "warning"}


def body(judgement: Judgement, page: Page) -> dict[str, Any]:
    """A profile's results, and the rules that they name; `page` decides nothing here."""
    gates = [gate for gate in judgement.not_checked if gate.gate]
    given = judgement.profile.house.allowances
    set_to = {name: allowance.number for name, allowance in given.items()}
    named = [finding.rule for finding in judgement.findings] + [gate.rule for gate in gates]
    return {
        "rules": {rule.id: _rule(rule, set_to) for rule in named},
        "results": [
            *(_result(finding) for finding in judgement.findings),
            *(_waiting(gate, judgement.profile.file) for gate in gates),
        ],
    }


def _rule(rule: Rule, set_to: Allowances) -> dict[str, Any]:
    """A rule as the reader of a finding may look it up: with names where a finding has numbers."""
    because, remedy = (sentence(rule, text, set_to) for text in (rule.because, rule.remedy))
    limit, scope = limit_in_words(rule, set_to), scope_in_words(rule, set_to)
    flags = condition_in_words(rule, set_to)
    lines = {"Why": because, "Do": remedy, "Limit": limit, "Flags when": flags}
    lines["Applies when"] = scope
    told = [clean(f"{label}: {text}") for label, text in lines.items() if text]
    return {
        "id": rule.id,
        "shortDescription": {"text": clean(because)},
        "fullDescription": {"text": clean(f"{because} {remedy}")},
        "help": {"text": "\n".join((*told, clean(f"Source: {rule.source}")))},
        "defaultConfiguration": {"level": LEVELS[rule.severity]},
        "properties": {
            "severity": rule.severity,
            "stage": rule.stage,
            "gate": rule.gate,
            "topic": rule.topic,
        },
    }


def _location(place: Place, message: str = "") -> dict[str, Any]:
    location: dict[str, Any] = {
        "physicalLocation": {
            "artifactLocation": _artifact(place.file),
            "region": {"startLine": max(place.line, 1), "startColumn": max(place.column, 1)},
        }
    }
    return {**location, "message": {"text": message}} if message else location


def _artifact(file: str) -> dict[str, str]:
    """A file below the root; one that is not there was named as the call did, from anywhere."""
    if file.startswith("/"):
        return {"uri": f"file://{quote(file)}"}
    if file.startswith("../"):
        return {"uri": quote(file)}
    return {"uri": quote(file), "uriBaseId": ROOT}


def _result(finding: Finding) -> dict[str, Any]:
    where = modes_in_words(finding.modes, finding.everywhere)
    message = " ".join(
        part for part in (finding.message, f"({where})" if where else "", finding.remedy) if part
    )
    result: dict[str, Any] = {
        "ruleId": finding.rule.id,
        "level": LEVELS[finding.severity],
        "message": {"text": clean(message)},
        "locations": [_location(finding.place)],
    }
    if finding.related:
        result["relatedLocations"] = [
            {"id": number, **_location(related.place, related.quantity)}
            for number, related in enumerate(finding.related, start=1)
        ]
    if finding.waived:
        until = f"{finding.waived.reason} (until {finding.waived.until})"
        result["suppressions"] = [{"kind": "external", "justification": clean(until)}]
    if finding.known:
        result["baselineState"] = baseline_state(finding.known)
    properties = {
        "severity": finding.severity,
        "stage": finding.rule.stage,
        "quantity": finding.quantity,
    }
    return {**result, "properties": properties}


def _waiting(gate: NotChecked, file: str) -> dict[str, Any]:
    """A gate that could not be checked: it points at the profile's first line."""
    asks = "; ".join(map(ask_of, gate.missing)) or missing_words(gate)
    purpose = "a ride" if gate.gate == "ride" else "the stand"
    return {
        "ruleId": gate.rule.id,
        "level": "note",
        "message": {"text": clean(f"Not checked, and required for {purpose}: {asks}.")},
        "locations": [_location(Place(file, 1, 1))],
        "properties": {"gate": gate.gate},
    }


def _notification(error: Unread) -> dict[str, Any]:
    return {
        "level": "error",
        "message": {"text": clean(error.message)},
        "locations": [_location(Place(error.file, error.line, error.column))],
    }


def report(checked: Checked, page: Page) -> str:
    """One log with one run; each rule once, in the order of their names."""
    rules: dict[str, Any] = {}
    results: list[Any] = []
    for share in checked.shares:
        rules |= share.body["rules"]
        results += share.body["results"]
    order = {name: index for index, name in enumerate(sorted(rules))}
    log = {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "gonogo",
                        "version": checked.tool,
                        "rules": [rules[name] for name in order],
                    }
                },
                "invocations": [
                    {
                        "executionSuccessful": not checked.unread,
                        "toolExecutionNotifications": _notifications(checked.unread),
                    }
                ],
                "properties": {
                    "verdict": checked.verdict,
                    "verdicts": {share.file: share.stages for share in checked.shares},
                    "houses": {share.file: house_record(share) for share in checked.shares},
                    **_tried(checked),
                    "others": {other.file: other.kind for other in checked.others},
                },
                "columnKind": "unicodeCodePoints",
                "results": [{**entry, "ruleIndex": order[entry["ruleId"]]} for entry in results],
            }
        ],
    }
    return json_text(log)


def _tried(checked: Checked) -> dict[str, Any]:
    """The values that were tried, by profile; nothing where none was."""
    tried = {share.file: tried_record(share)["tried"] for share in checked.shares if share.tried}
    return {"tried": tried} if tried else {}


def _notifications(errors: Iterable[Unread]) -> list[dict[str, Any]]:
    return [_notification(error) for error in errors]
