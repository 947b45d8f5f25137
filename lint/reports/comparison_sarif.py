"""What a change brought in the static analysis results format, 2.1.0: new and worse findings alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..comparison.comparison import Comparison
from ..documents.location import Place
from .changed_line import line_for_gate
from .comparison_news import (
    BASELINE_STATES,
    brought_findings,
    brought_gates,
    not_compared,
    passage_words,
    path_of,
)
from .comparison_record import known_added_record
from .comparison_sums import known_added_words
from .comparison_totals import CEASED_WORDS, CeasedAs, Compared, Revised
from .finding_words import modes_in_words
from .fingerprint import Fingerprints, vehicle_fingerprint
from .layout import Page
from .loosening import loosening_told, loosenings_record, shared_loosenings
from .record import house_record, tried_record
from .sarif_log import (
    file_location,
    finding_result,
    log_text,
    notification,
    plain_result,
    rule_descriptor,
    set_allowances,
    unread_notification,
    waiting_result,
)
from .vehicle_news import news

# No rule of a catalogue has a point in its name.
CEASED_RULES: Mapping[CeasedAs, str] = {
    "gone": "vehicle.gone",
    "no_profile": "vehicle.no-profile",
    "retired": "vehicle.retired",
}
CEASED_BECAUSE: Mapping[CeasedAs, str] = {
    "gone": "A vehicle whose profile is gone is judged by nobody, and may still be ridden.",
    "no_profile": "A file that is no longer a profile is judged by nobody; its vehicle may still be ridden.",
    "retired": "The shop says in its house file that it no longer has the vehicle.",
}


def body(comparison: Comparison, page: Page) -> dict[str, Any]:
    """What the change brought to one vehicle, and the rules behind it; `page` decides nothing here."""
    if comparison.new is None:
        return {"rules": {}, "results": []}
    new = comparison.new
    set_to, known = set_allowances(new), Fingerprints(new.profile)
    file = new.profile.file
    found, gates = list(brought_findings(comparison)), brought_gates(comparison)
    named = [one.finding.rule for one in found] + [gate.rule for gate in gates]
    results = []
    for one in found:
        words = modes_in_words(one.modes, one.everywhere)
        mark = known.of_finding(one.finding, one.profile)
        state = BASELINE_STATES[one.way]
        result = finding_result(one.finding, file, mark, words, state)
        result["message"]["text"] = f"{one.way.capitalize()}: {result['message']['text']}"
        results.append(result)
    for gate in gates:
        at = line_for_gate(gate, comparison)
        results.append(waiting_result(gate, at, file, known.of_waiting(gate), "new"))
    return {"rules": {rule.id: rule_descriptor(rule, set_to) for rule in named}, "results": results}


def report(compared: Compared, page: Page) -> str:
    """One log with one run: results are what is new against the old side, vehicles that are gone too."""
    rules: dict[str, Any] = {}
    results: list[Any] = []
    for revised in compared.revised:
        rules |= revised.body["rules"]
        results += revised.body["results"]
        if revised.ceased:
            rules[CEASED_RULES[revised.ceased]] = _ceased_rule(revised.ceased)
            results.append(_ceased(revised, revised.ceased))
    notifications = [unread_notification(error) for error in compared.unread]
    notifications += [
        notification("warning", why, Place(file, 1, 1)) for file, why in not_compared(compared)
    ]
    for file in dict.fromkeys(one.file for one in compared.known_added):
        words = known_added_words(compared)
        notifications.append(notification("warning", words, Place(file, 1, 1)))
    notifications += [
        notification("warning", loosening_told(one), Place(one.file, 1, 1))
        for one in shared_loosenings(compared)
    ]
    properties = {
        "against": compared.against,
        **known_added_record(compared),
        **loosenings_record(compared),
        "unchanged": compared.unchanged,
        "vehicles": {path_of(revised): _vehicle(revised) for revised in compared.revised},
    }
    return log_text(compared.tool, rules, results, notifications, properties)


def _vehicle(revised: Revised) -> dict[str, Any]:
    return {
        "old": dict(revised.old.stages) if revised.old else None,
        "new": dict(revised.new.stages) if revised.new else None,
        "house": house_record(revised.side),
        **tried_record(revised.side),
        "told": ", ".join(part for part in (passage_words(revised), news(revised)) if part),
    }


def _ceased_rule(ceased: CeasedAs) -> dict[str, Any]:
    because = {"text": CEASED_BECAUSE[ceased]}
    level = "none" if ceased == "retired" else "error"
    return {
        "id": CEASED_RULES[ceased],
        "shortDescription": because,
        "fullDescription": because,
        "help": because,
        "defaultConfiguration": {"level": level},
    }


def _ceased(revised: Revised, ceased: CeasedAs) -> dict[str, Any]:
    """A vehicle without a profile; of one that is retired nothing has to be done."""
    rule, file = CEASED_RULES[ceased], path_of(revised)
    why = f" {revised.why}." if revised.why else ""
    message = f"{CEASED_WORDS[ceased]}: {revised.side.name}.{why} {CEASED_BECAUSE[ceased]}"
    level = "none" if ceased == "retired" else "error"
    identity = revised.side.identity
    mark = vehicle_fingerprint(("id", identity.id) if identity else ("file", file), rule)
    return plain_result(rule, level, message, file_location(file), mark, "new")
