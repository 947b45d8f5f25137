"""A proposal as text: the diff, and beside it each value with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..documents.schema import canonical, properties
from ..judgement.defaults import Unfilled
from ..judgement.finding import Finding, Judgement
from ..judgement.formatting import shown
from ..judgement.rule import STOPS
from ..judgement.what_if import Setting
from .check_totals import VERDICT_WORDS
from .layout import Page, painted, row, set_beside, together

WROTE = "Written."
NOT_WRITTEN = "Nothing is written without --write."


def filled_text(
    settings: Sequence[Setting], open_: Iterable[Unfilled], after: Judgement, page: Page
) -> list[str]:
    """Why each proposed value is a careful one, and what stays open."""
    lines: list[str] = []
    for setting in settings:
        told = f"{_key(setting)} {_value(setting)}: {setting.because}"
        lines += row("" if lines else "propose", told, page)
    waiting = [
        (one.quantity, " and ".join(one.contrary) + " cannot all hold")
        if one.contrary
        else (one.quantity, f"waits for {', '.join(one.missing)}")
        for one in open_
    ]
    for number, (name, words) in enumerate(waiting):
        lines += row("" if number else "leave", f"{_short(name)} {words}", page)
    return [*lines, *_verdict(after, page)]


def mended_text(
    settings: Sequence[Setting], mended: Iterable[Finding], after: Judgement, page: Page
) -> list[str]:
    """What was moved, by which rule, and which findings are gone."""
    lines: list[str] = []
    for setting in settings:
        told = f"{_key(setting)} from {_value(setting, True)} to {_value(setting)}"
        told += f": {setting.because}" if setting.because else ""
        lines += row("" if lines else "move", told, page)
    gone = list(dict.fromkeys(finding.rule.id for finding in mended))
    lines += row("mends", ", ".join(gone), page)
    return [*lines, *_verdict(after, page)]


def stuck_text(obstacles: Sequence[tuple[str, ...]], page: Page) -> list[str]:
    """Why nothing is written: the smallest sets of rules that cannot all hold."""
    lines = [f" {painted('NOT MENDED', 'no-go', page.colour)}"]
    for names in sorted(obstacles, key=lambda one: (len(one) < 2, one)):
        if len(names) > 1:
            lines += row("clash", f"{' and '.join(names)} cannot all hold", page)
        else:
            lines += row("stands", f"{names[0]}, which no move of a setting mends", page)
    said = "Mending leaves build and readings as they are and raises no limit: nothing is written."
    return [*lines, *set_beside("", said, page, 12)]


def begun_text(open_: Iterable[Unfilled], after: Judgement, page: Page) -> list[str]:
    """What a new profile still waits for."""
    lines: list[str] = []
    for one in open_:
        words = f"{_short(one.quantity)} waits for {', '.join(one.missing)}"
        lines += row("" if lines else "leave", words, page)
    wanting = {name for one in after.not_judged if one.rule.gate for name in one.missing}
    if wanting:
        lines += row("next", f"take the readings: {', '.join(sorted(wanting))}", page)
    return [*lines, *_verdict(after, page)]


def refused_text(after: Judgement, page: Page) -> list[str]:
    """Why a new profile is not begun: what no setting can make right."""
    lines = [f" {painted('NOT BEGUN', 'no-go', page.colour)}"]
    for finding in after.findings:
        if finding.severity in STOPS and not finding.waived:
            lines += row(finding.severity, f"{finding.message} {finding.remedy}", page)
    return lines


def _verdict(after: Judgement, page: Page) -> list[str]:
    return row("then", VERDICT_WORDS[after.verdict], page, "bold")


def _key(setting: Setting) -> str:
    return ".".join(setting.keys).removeprefix("settings.")


def _short(name: str) -> str:
    return name.removeprefix("settings.")


def _value(setting: Setting, before: bool = False) -> str:
    value = setting.before if before else setting.entered
    key = f"settings.{'.'.join(setting.keys[2:])}" if setting.mode else ".".join(setting.keys)
    entry = properties().get(key) or canonical().get(setting.quantity)
    return together(shown(value, entry.unit if entry is not None else "", 6))
