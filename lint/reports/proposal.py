"""The page of a proposal: beside the diff, each value with its reason, and the verdict then."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..documents.schema import canonical, properties
from ..expressions.formatting import shown
from ..judgement.finding import Finding, Judgement
from ..judgement.proposal import Setting, Unfilled
from ..judgement.rule import STOPS
from ..judgement.verdict import ask_of, fitness, short_of
from .check_totals import verdict_words
from .profile_share import share
from .section import Row, Section, row

WROTE = "Written."
NOT_WRITTEN = "Not written yet; --write writes it."
UNTOUCHED = "Only settings may be changed, and no limit may be raised: nothing was written."


def filled_section(
    settings: Sequence[Setting],
    open_: Iterable[Unfilled],
    after: Judgement,
    second: Sequence[Setting] = (),
) -> Section:
    """Why each proposed value is a careful one, what readings change, and what is still missing."""
    proposed = [f"{_key(setting)} {_value(setting)}: {setting.because}" for setting in settings]
    rows = (*_listed("propose", proposed), *_listed("measured", _moves(second)))
    return Section("", (*rows, *_left_open(open_), _result(after)))


def _moves(settings: Iterable[Setting]) -> list[str]:
    """Each setting from what it is to what it would be, and why."""
    moves = []
    for setting in settings:
        because = f": {setting.because}" if setting.because else ""
        moves.append(f"{_key(setting)} from {_value(setting, True)} to {_value(setting)}{because}")
    return moves


def _left_open(unfilled: Iterable[Unfilled]) -> list[Row]:
    lines = []
    for entry in unfilled:
        conflict = f"conflict of {' and '.join(entry.conflict)}"
        why = conflict if entry.conflict else f"missing {', '.join(entry.missing)}"
        lines.append(f"{_short(entry.quantity)}: {why}")
    return _listed("not set", lines)


def mended_section(
    settings: Sequence[Setting],
    mended: Iterable[Finding],
    after: Judgement,
    stale_comments: Sequence[int] = (),
) -> Section:
    """What was changed, by which rule, which findings are gone, and what comments to check."""
    mended = tuple(mended)
    blamed = [
        replace(one, because=_with(_blamed(one.for_rule, mended), one.because))
        if one.for_rule
        else one
        for one in settings
    ]
    gone = ", ".join(dict.fromkeys(finding.rule.id for finding in mended))
    lines = [f"check the comment in line\u00a0{number}" for number in stale_comments]
    rows = (*_listed("change", _moves(blamed)), *_listed("comment", lines), row("fixes", gone))
    return Section("", (*rows, _result(after)))


def _with(blamed: str, beyond: str) -> str:
    """Why a value moved, and why it moved further than it must."""
    return f"{blamed}; {beyond}" if beyond else blamed


def _blamed(rule: str, findings: Iterable[Finding]) -> str:
    """The rule that a value was moved for, as a check names it."""
    for finding in findings:
        if finding.rule.id == rule:
            return rule
        if rule in finding.also:
            return f"{finding.rule.id}, with it {rule}"
    return f"to keep {rule} met"


def stuck_section(obstacles: Sequence[tuple[str, ...]], before: Judgement) -> Section:
    """Why nothing is written: the smallest sets of conflicting rules.

    Of them a check has named those that flag; each of the others would, if those were met.
    """
    found = {finding.rule.id for finding in before.findings}
    rows = []
    for names in sorted(obstacles, key=lambda names: (len(names) < 2, names)):
        flagged = [name for name in names if name in found] or list(names)
        others = [name for name in names if name not in flagged]
        if others:
            breaks = f"what meets it breaks {' or '.join(others)}"
            rows.append(row("still open", f"{' and '.join(flagged)}: {breaks}"))
        elif len(names) > 1:
            rows.append(row("conflict", f"{' and '.join(names)}: no value meets both"))
        else:
            rows.append(row("still open", f"{names[0]}: no setting can fix it"))
    return Section("", (Row("NOT CHANGED", (), "no-go"), *rows, row("", UNTOUCHED)))


def begun_section(open_: Iterable[Unfilled], after: Judgement, most: int | None = None) -> Section:
    """What a new profile still lacks: first for the stand, then for a ride, and at most so much."""
    stand = short_of(after.not_checked, "stand")
    names = [*stand, *(one for one in short_of(after.not_checked, "ride") if one not in stand)]
    asks = [ask_of(name) for name in names[:most]]
    if len(names) > len(asks):
        asks.append(f"and {len(names) - len(asks)} more before a ride")
    return Section("", (*_left_open(open_), *_listed("next", asks), _result(after)))


def refused_section(after: Judgement) -> Section:
    """Why a new profile is not created: what no setting can put right."""
    return Section("", (Row("NOT CREATED", (), "no-go"), *_stopping(after)))


def found_section(after: Judgement) -> Section:
    """What stops a new profile, which may be written all the same."""
    return Section("", tuple(_stopping(after)))


def _stopping(after: Judgement) -> list[Row]:
    return [
        row(finding.severity, f"{finding.message} {finding.remedy}")
        for finding in after.findings
        if finding.severity in STOPS and not finding.waived
    ]


def _listed(label: str, lines: Sequence[str]) -> list[Row]:
    return [row("" if number else label, line) for number, line in enumerate(lines)]


def _result(after: Judgement) -> Row:
    return row("result", verdict_words(share(after)), fitness(after), tone="bold")


def _key(setting: Setting) -> str:
    return _short(".".join(setting.keys))


def _short(name: str) -> str:
    return name.removeprefix("settings.")


def _value(setting: Setting, before: bool = False) -> str:
    value = setting.before if before else setting.entered
    key = f"settings.{'.'.join(setting.keys[2:])}" if setting.mode else ".".join(setting.keys)
    entry = properties().get(key) or canonical().get(setting.quantity)
    return shown(value, entry.unit if entry is not None else "", 6)
