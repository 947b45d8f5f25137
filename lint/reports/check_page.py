"""The page of a check: a card for each profile with its findings, and one for what was not read."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator, Sequence
from itertools import groupby

from ..documents.profile import Profile
from ..judgement.finding import Finding, Judgement, NotChecked
from ..judgement.rule import SEVERITIES, Severity, Stage
from ..judgement.verdict import reached
from .check_totals import (
    TONES,
    VERDICT_WORDS,
    Checked,
    counted,
    coverage,
    coverage_share,
    folder_of,
    known_words,
    scope,
    summed_up,
    verdict_note,
    verdict_words,
    waived_danger,
)
from .finding_words import (
    against_limit,
    amount,
    can_change,
    details,
    ladder_words,
    missing_words,
    modes_in_words,
    waiver_words,
    working_words,
)
from .fleet import (
    HOW_TO_SEE_ALL,
    causes_section,
    file_within,
    fleet_tally,
    folded_cards,
    gravest_first,
    known_section,
    vehicle_line,
    vehicle_names,
)
from .known import is_recorded, known_sections, mark_words
from .layout import Page
from .profile_share import Share
from .section import (
    Card,
    Code,
    Detail,
    Excerpt,
    Line,
    Notice,
    Report,
    Row,
    Section,
    Toned,
    nonempty,
    row,
)
from .shared_causes import few_names
from .surroundings import house_words, houses_held, tried_in_words
from .unread_cards import unread_cards

MOST_CHANGING = 8


def sections(judgement: Judgement, detail: Detail) -> tuple[Section, ...]:
    """The findings, worst first, and what was not checked: before them in an incomplete report."""
    passed = detail.passed or detail.unchecked
    if not detail.inside or (judgement.verdict == "go" and not passed):
        return ()
    stage = judgement.stage
    told = [one for one in judgement.findings if not is_recorded(one)]
    now = [one for one in told if reached(one.rule.stage, stage)]
    later = [one for one in told if not reached(one.rule.stage, stage)]
    titled = (("", now), ("Before a ride", later))
    parts = [
        Section(title, tuple(finding_notice(one, judgement.profile) for one in found))
        for title, found in titled
        if found
    ]
    parts += known_sections(judgement)
    if judgement.not_checked:
        waiting = Section("", (waiting_notice(judgement.not_checked, stage, detail),), "list")
        parts.insert(0 if judgement.verdict == "incomplete" else len(parts), waiting)
    return tuple(parts)


def finding_notice(finding: Finding, profile: Profile, was: str = "") -> Notice:
    """One finding: what is wrong, what to do, why; then where, the two numbers, what they rest on.

    `was` says what it was on the old side of a comparison.
    """
    modes = modes_in_words(finding.modes, finding.everywhere)
    calculation = (Code(working_words(line, profile)) for line in finding.working)
    rows = [
        row("do", finding.remedy, tone="bold", role="act"),
        row("why", finding.because),
        row("modes", _modes(finding, profile), role="place"),
        *_place_rows(finding, profile),
        row("value", against_limit(finding), ladder_words(finding)),
        row("waived", waiver_words(finding)),
        row("known", mark_words(finding)),
        row("was", was),
        row("calc", *calculation, role="working"),
        row("inputs", _related(finding, profile), role="aside"),
        row("rule", Code(finding.rule.id), role="working"),
        row("also", ", ".join(finding.also), role="working"),
    ]
    place: Line = (Code(finding.place.file), f" line {finding.place.line}")
    named: Line = (Code(finding.entered_as or finding.quantity),)
    return Notice(
        label=finding.severity.upper(),
        text=(finding.message,),
        rows=nonempty(rows),
        tone=finding.severity,
        where=(named, place, *([(modes,)] if modes else [])),
    )


def _modes(finding: Finding, profile: Profile) -> str:
    """The modes in which it holds; empty where it holds in all of them, or there are none."""
    if finding.everywhere or not profile.modes:
        return ""
    of_documents = finding.rule.subject != "profile" or finding.rule.modes == "base"
    return ", ".join(finding.modes) or ("" if of_documents else "base settings only")


def _place_rows(finding: Finding, profile: Profile) -> list[Row]:
    place = finding.place
    if place == profile.place:
        return [row("missing", Code(finding.quantity), role="place")]
    file = Code(place.file if place.file != profile.file else "")
    excerpt = Excerpt(profile.line(place), place.column)
    return [
        row("file", file, role="place"),
        row(f"line {place.line}", excerpt, role="place"),
    ]


def _related(finding: Finding, profile: Profile) -> str:
    """The given quantities that the limit depends on, and where to find each; another file once."""
    told = []
    for file, some in groupby(finding.related, key=lambda related: related.place.file):
        names = [(one.entered_as or one.quantity, str(one.place.line)) for one in some]
        if file == profile.file:
            told += [f"{name} (line\u00a0{line})" for name, line in names]
            continue
        lines = list(dict.fromkeys(line for _, line in names))
        word = f"line{'s' if len(lines) > 1 else ''}\u00a0{', '.join(lines)}"
        told.append(f"{', '.join(name for name, _ in names)} ({_from_here(file, profile)} {word})")
    return ", ".join(told)


def _from_here(file: str, profile: Profile) -> str:
    """A file as the profile itself would name it; in a revision its address, which is no path."""
    revision, mark, _ = profile.file.partition(":")
    if mark and file.startswith(f"{revision}:"):
        return file
    return posixpath.relpath(file, posixpath.dirname(profile.file) or ".")


def waiting_notice(waiting: Sequence[NotChecked], stage: Stage, detail: Detail) -> Notice:
    """What could not be checked: what the stage asked for requires first, as instructions."""
    rows = details(waiting, detail.waiting)
    if stage == "stand" and (names := can_change(waiting)):
        rows.append(
            row(
                "can change",
                f"a danger or fault of the stand, by {few_names(names, MOST_CHANGING)}",
            )
        )
    if detail.unchecked:
        rows += [Row(label, lines, tone) for label, lines, tone in _one_by_one(waiting)]
    return Notice("NOT CHECKED", (amount(waiting, stage),), tuple(rows), "bold")


def _one_by_one(waiting: Sequence[NotChecked]) -> Iterator[tuple[str, tuple[Line, ...], Severity]]:
    """Each rule that could not be checked with what it lacks, the gravest first."""
    for severity in SEVERITIES:
        lines: dict[str, Line] = {}
        for entry in waiting:
            if entry.severity == severity:
                words = f": {missing_words(entry)}"
                lines.setdefault(f"{entry.rule.id}{words}", (Code(entry.rule.id), words))
        if lines:
            yield severity, tuple(lines.values()), severity


def page_of(checked: Checked, page: Page) -> Report:
    """The whole report: what could not be read first, then what stops a ride, then GO, and the sum."""
    folder = folder_of([share.file for share in checked.shares])
    names = vehicle_names(checked.shares, folder)
    alone = page.alone and bool(checked.shares) and not (checked.unread or checked.others)
    several = len(houses_held(checked.shares)) > 1
    shares = gravest_first(checked.shares)
    cards = [
        _card(
            share,
            "" if alone else folder,
            page,
            names[share.file] == share.name,
            house_words(share) if alone or several else "",
        )
        for share in shares
    ]
    unread = unread_cards(checked.unread)
    folded = [share for share, card in zip(shares, cards, strict=True) if card.short]
    return Report(
        title="gonogo check",
        cards=(*unread, *cards),
        lead=summed_up(checked),
        judged_on=f"Checked as of {checked.judged_on}",
        tool=checked.tool,
        closing=summed_up(checked) + (HOW_TO_SEE_ALL if page.fleet else ""),
        folder="" if alone else folder,
        alone=alone,
        tally=fleet_tally(checked),
        summary=(*known_section(checked), *causes_section(checked)),
        first=len(unread),
        fleet=page.fleet,
        folded=folded_cards(folded, names) if page.fleet else (),
    )


def _card(share: Share, folder: str, page: Page, unique: bool, house: str) -> Card:
    """A profile's card; in a table it goes by its vehicle's name where that is `unique`.

    `house` says which house file held, where the report as a whole does not.
    """
    tone = TONES[share.verdict]
    tried = tried_in_words(share.tried, share.file)
    word, note = VERDICT_WORDS[share.verdict], verdict_note(share)
    closing = _joined(scope([share]), house, waived_danger(share))
    findings = [words for words in (counted(share.found), waived_danger(share)) if words]
    listed = [*findings, share.untried_count] if share.untried else findings
    file = file_within(share.file, folder)
    told = page.alone or page.unchecked or page.whole
    short = share.verdict == "go" and not share.waived and not told
    worst = _joined(waived_danger(share), share.worst) if share.worst else _joined(*listed)
    worst = _joined(f"({note})", worst if share.tried else "") if note else worst
    if short and not page.quiet:
        note_told = f"({note})" if note else ""
        words = (note_told, *findings, share.fitness, share.untried, house)
        worst = _joined(file if unique else "", *words)
    worst = _joined(known_words(share), worst) if page.quiet else worst
    row = (share.name if unique else file, worst, coverage_share(share))
    return Card(
        verdict=word,
        tone=tone,
        name=share.name,
        note=note,
        coverage=coverage(share),
        about=(
            *([(Toned(tried, "bold"),)] if tried else []),
            (Code(share.file), *(f" · {words}" for words in findings)),
            (share.fitness,),
            *(((share.untried,),) if share.untried else ()),
        ),
        inside=share.body,
        closing=(
            (Toned(verdict_words(share), tone), f" · {closing}"),
            *(((share.single,),) if share.single else ()),
        ),
        brief=vehicle_line(share, row[0], file) if page.fleet else row,
        short=short,
    )


def _joined(*parts: str) -> str:
    return " · ".join(part for part in parts if part)
