"""A check in the static analysis results format, 2.1.0, that code hosts show beside a change."""

from __future__ import annotations

from typing import Any

from ..documents.location import Place
from ..judgement.finding import Judgement, KnownMark
from .check_totals import Checked
from .fingerprint import Fingerprints
from .known import baseline_state
from .layout import Page
from .record import house_record, tried_record
from .sarif_log import (
    finding_result,
    log_text,
    rule_descriptor,
    set_allowances,
    unread_notification,
    waiting_result,
)


def body(judgement: Judgement, page: Page) -> dict[str, Any]:
    """A profile's results, and the rules that they name; `page` decides nothing here."""
    gates = [gate for gate in judgement.not_checked if gate.gate]
    set_to = set_allowances(judgement)
    named = [finding.rule for finding in judgement.findings] + [gate.rule for gate in gates]
    known, file = Fingerprints(judgement.profile), judgement.profile.file
    first = Place(file, 1, 1)
    return {
        "rules": {rule.id: rule_descriptor(rule, set_to) for rule in named},
        "results": [
            *(
                finding_result(one, file, known.of_finding(one), state=_state(one.known))
                for one in judgement.findings
            ),
            *(
                waiting_result(gate, first, file, known.of_waiting(gate), _state(gate.known))
                for gate in gates
            ),
        ],
    }


def _state(mark: KnownMark | None) -> str:
    """How a result stands to the list of known findings; nothing without a list."""
    return "" if mark is None else baseline_state(mark)


def report(checked: Checked, page: Page) -> str:
    """One log with one run for all profiles."""
    rules: dict[str, Any] = {}
    results: list[Any] = []
    for share in checked.shares:
        rules |= share.body["rules"]
        results += share.body["results"]
    properties = {
        "verdict": checked.verdict,
        "verdicts": {share.file: share.stages for share in checked.shares},
        "houses": {share.file: house_record(share) for share in checked.shares},
        **_tried(checked),
        **_untried_in(checked),
        "others": {other.file: other.kind for other in checked.others},
    }
    notifications = [unread_notification(error) for error in checked.unread]
    return log_text(checked.tool, rules, results, notifications, properties)


def _tried(checked: Checked) -> dict[str, Any]:
    """The values that were tried, by profile; nothing where none was."""
    tried = {
        share.file: tried_record(share)["tried_values"] for share in checked.shares if share.tried
    }
    return {"tried_values": tried} if tried else {}


def _untried_in(checked: Checked) -> dict[str, Any]:
    """What nobody tried of a vehicle that may be ridden, by profile; nothing where all was."""
    untried = {share.file: share.untried for share in checked.shares if share.untried}
    return {"never_tried": untried} if untried else {}
