"""The parts of a log in the static analysis results format, 2.1.0: rules, results, notices, the whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import quote

from ..documents.location import Place
from ..documents.profile import Waiver
from ..documents.text import clean
from ..judgement.finding import Finding, Judgement, NotChecked
from ..judgement.rule import Rule, Severity
from ..judgement.verdict import ask_of
from .check_totals import Unread
from .finding_words import missing_words, modes_in_words
from .fingerprint import FINGERPRINT
from .record import exact, json_text
from .rules import Allowances, condition_in_words, limit_in_words, scope_in_words, sentence

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
ROOT = "%SRCROOT%"
ROOT_WORDS = "The top of the repository, or of the shop where there is none."
# A danger and a fault both refuse the vehicle. A required rule not checked is a note: hosts hide `open`.
LEVELS: dict[Severity, str] = {"danger": "error", "fault": "error", "advice": "warning"}


def set_allowances(judgement: Judgement) -> dict[str, float]:
    """The numbers that the shop has set otherwise, for the sentences of its rules."""
    given = judgement.profile.house.allowances
    return {name: allowance.number for name, allowance in given.items()}


def rule_descriptor(rule: Rule, set_to: Allowances) -> dict[str, Any]:
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


def location_of(place: Place, message: str = "") -> dict[str, Any]:
    """A place in a file; one that no document gives has only its message."""
    location: dict[str, Any] = {}
    if place.file:
        region = {"startLine": max(place.line, 1), "startColumn": max(place.column, 1)}
        location["physicalLocation"] = {"artifactLocation": _artifact(place.file), "region": region}
    return {**location, "message": {"text": clean(message)}} if message else location


def file_location(file: str) -> dict[str, Any]:
    """A file as a whole, also one that is no more."""
    return {"physicalLocation": {"artifactLocation": _artifact(file)}}


def _artifact(file: str) -> dict[str, str]:
    """A file below the root; one that is not there was named as the call did, from anywhere."""
    if file.startswith("/"):
        return {"uri": f"file://{quote(file)}"}
    if file.startswith("../"):
        return {"uri": quote(file)}
    return {"uri": quote(file), "uriBaseId": ROOT}


def finding_result(
    finding: Finding, file: str, fingerprint: str, modes: str | None = None, state: str = ""
) -> dict[str, Any]:
    """A finding in the profile `file` as a result, with its `state` against a former run, if any.

    `modes` are in words, where they are not the finding's own.

    A log has `suppressions` in all results or in none (3.27.23): it is empty where no waiver covers it.
    """
    where = modes_in_words(finding.modes, finding.everywhere) if modes is None else modes
    message = " ".join(
        part for part in (finding.message, f"({where})" if where else "", finding.remedy) if part
    )
    result = _result(
        finding.rule.id,
        LEVELS[finding.severity],
        message,
        location_of(finding.place),
        fingerprint,
        state,
    )
    if finding.place.file != file:
        result["analysisTarget"] = _artifact(file)
    if finding.related:
        result["relatedLocations"] = [
            {"id": number, **location_of(related.place, related.entered_as or related.quantity)}
            for number, related in enumerate(finding.related, start=1)
        ]
    result["suppressions"] = [_suppression(finding.waived)] if finding.waived else []
    properties: dict[str, Any] = {
        "severity": finding.severity,
        "stage": finding.rule.stage,
        "quantity": finding.quantity,
    }
    if finding.motors:
        properties["motors"] = list(finding.motors)
    return {**result, "properties": properties}


def waiting_result(
    gate: NotChecked, place: Place, file: str, fingerprint: str, state: str = ""
) -> dict[str, Any]:
    """A required rule that could not be checked of the profile `file`: it has no line of its own there."""
    asks = "; ".join(map(ask_of, gate.missing)) or missing_words(gate)
    purpose = "a ride" if gate.gate == "ride" else "the stand"
    message = f"Not checked, and required for {purpose}: {asks}."
    result = _result(gate.rule.id, "note", message, location_of(place), fingerprint, state)
    if place.file != file:
        result["analysisTarget"] = _artifact(file)
    return {**result, "properties": {"gate": gate.gate}}


def plain_result(
    rule: str, level: str, message: str, location: Mapping[str, Any], fingerprint: str, state: str
) -> dict[str, Any]:
    """What is told of a vehicle as a whole; at the level `none` it is no harm."""
    result = _result(rule, level, message, location, fingerprint, state)
    return {**result, "kind": "informational"} if level == "none" else result


def _result(
    rule: str, level: str, message: str, location: Mapping[str, Any], fingerprint: str, state: str
) -> dict[str, Any]:
    return {
        "ruleId": rule,
        "level": level,
        "message": {"text": clean(message)},
        "locations": [location],
        "partialFingerprints": {FINGERPRINT: fingerprint},
        **({"baselineState": state} if state else {}),
        "suppressions": [],
    }


def _suppression(waiver: Waiver) -> dict[str, Any]:
    """A waiver is written in the document that was judged: 3.35.2 calls that `inSource`."""
    properties: dict[str, Any] = {"until": waiver.until}
    if waiver.accepts is not None:
        properties["accepts"] = exact(waiver.accepts)
    return {
        "kind": "inSource",
        "status": "accepted",
        "justification": clean(f"{waiver.reason} (until {waiver.until})"),
        "location": location_of(waiver.place),
        "properties": properties,
    }


def unread_notification(error: Unread) -> dict[str, Any]:
    """What could not be read, and which profiles wait for it."""
    return notification("error", error.words, Place(error.file, error.line, error.column))


def notification(level: str, message: str, place: Place) -> dict[str, Any]:
    """A notice of the run itself."""
    return {"level": level, "message": {"text": clean(message)}, "locations": [location_of(place)]}


def log_text(
    tool: str,
    rules: Mapping[str, Any],
    results: Sequence[Mapping[str, Any]],
    notifications: Sequence[Mapping[str, Any]],
    properties: Mapping[str, Any],
) -> str:
    """One log with one run; each rule once, in the order of their names.

    The run did its work unless one of the notifications is an error.
    """
    order = {name: index for index, name in enumerate(sorted(rules))}
    successful = all(one["level"] != "error" for one in notifications)
    driver = {"name": "gonogo", "version": tool, "rules": [rules[name] for name in order]}
    run = {
        "tool": {"driver": driver},
        "originalUriBaseIds": {ROOT: {"description": {"text": ROOT_WORDS}}},
        "invocations": [
            {
                "executionSuccessful": successful,
                "toolExecutionNotifications": list(notifications),
            }
        ],
        "properties": properties,
        "columnKind": "unicodeCodePoints",
        "results": [{**entry, "ruleIndex": order[entry["ruleId"]]} for entry in results],
    }
    return json_text({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]})
