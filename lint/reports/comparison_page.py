"""The page of a comparison: what passed from one side to the other, what it does, what to do now."""

from __future__ import annotations

from collections.abc import Sequence

from ..comparison.change import ValueChange
from ..comparison.comparison import Comparison
from ..comparison.consequence import Consequence
from ..comparison.followup import FollowUp
from ..comparison.margin import Margin
from .check_totals import TONES
from .comparison_fleet import (
    fleet_sections,
    folded_rows,
    harmed_alike,
    harmed_first,
    in_few_words,
    is_folded,
    listed_names,
    many,
)
from .comparison_summary import in_short
from .comparison_sums import known_added_words, tree_summed_up
from .comparison_totals import Compared, Revised
from .comparison_words import (
    Chapter,
    change_movement,
    chapters,
    entry_steps,
    margin_limit,
    margin_movement,
    margin_way,
    of_each,
    of_motors,
    percentage,
    respelling,
    short_key,
    signed,
    worked_movement,
)
from .failure_change import failure_sections
from .finding_changes import finding_sections
from .layout import Page
from .loosening import loosened_cards
from .ride_change import ride_section
from .section import (
    Card,
    Code,
    Detail,
    Line,
    Notice,
    Report,
    Section,
    Table,
    Toned,
    row,
)
from .surroundings import tried_in_words
from .unread_cards import unread_cards
from .vehicle_news import news, passage, scope_words, vehicle_brief

TAGLINE = "Two revisions side by side: what changed, what it does, is it still safe?"
SEEN = 0.05  # of the larger value: a calculated value that moved by less is shown with --all
ONLY_SPELLING = "Only spelling, order, comments or places differ: every value is the same."


def sections(comparison: Comparison, detail: Detail) -> tuple[Section, ...]:
    """Five lines, then findings, then what changed, what that does, the margins, and what to do."""
    if comparison.new is None or not detail.inside:
        return ()
    parts = [
        in_short(comparison),
        *finding_sections(comparison, detail),
        *(_chapter(chapter) for chapter in chapters(comparison.changes)),
        _same(comparison),
        ride_section(comparison.ride, percentage(comparison.threshold).lstrip("+")),
        *failure_sections(comparison.failures),
        _consequences(comparison, detail),
        _margins(comparison.margins, detail),
        Section("To do", tuple(_work(work) for work in comparison.follow_ups), "work"),
    ]
    return tuple(part for part in parts if part.blocks)


def _chapter(chapter: Chapter) -> Section:
    rows = tuple(_change_cells(change) for change in chapter.changes)
    table = Table(("part", "value", "old → new", "by"), rows, right=(3,))
    return Section(chapter.title, (table,) if rows else ())


def _change_cells(change: ValueChange) -> tuple[Line, ...]:
    steps = entry_steps(change) if change.category == "setting" else ""
    how_far = _joined(signed(change.by), steps, percentage(change.share))
    name = Code(short_key(change.entered_as))
    return (change.subsystem,), (name, of_motors(change)), (change_movement(change),), (how_far,)


def _joined(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _same(comparison: Comparison) -> Section:
    """What looks like a change in the document and is none."""
    lines = [respelling(change) for change in comparison.equivalent]
    if comparison.rewritten and not comparison.made and not lines:
        lines.append(ONLY_SPELLING)
    if comparison.is_empty and not comparison.rewritten:
        lines.append("Both sides say the same.")
    return Section("No change", tuple(row("same", line) for line in lines))


def _consequences(comparison: Comparison, detail: Detail) -> Section:
    moved = [one for one in comparison.consequences if not one.restates]
    shown = moved if detail.every else [one for one in moved if _is_seen(one)]
    rows = tuple(map(_consequence_cells, shown))
    least = percentage(comparison.threshold if detail.every else SEEN).lstrip("+")
    fewer = len(moved) - len(shown)
    counted = (row("more", f"{fewer} that changed by less; --all shows them"),) if fewer else ()
    title = f"Calculated values that changed by more than {least}"
    table = Table(("mode", "quantity", "old → new", "by"), rows, right=(3,))
    return Section(title, (*((table,) if rows else ()), *counted))


def _is_seen(moved: Consequence) -> bool:
    """Whether a calculated value moved far enough to be shown unasked; one without a share did."""
    return moved.share is None or abs(moved.share) > SEEN


def _consequence_cells(moved: Consequence) -> tuple[Line, ...]:
    how_far = _joined(signed(moved.by), percentage(moved.share))
    mode = f"in {moved.mode}" if moved.mode else ""
    name = Code(moved.quantity)
    return (mode,), (name, of_each(moved)), (worked_movement(moved),), (how_far,)


def _margins(margins: Sequence[Margin], detail: Detail) -> Section:
    """The smallest margins of those that changed; the larger ones only counted."""
    rows = tuple(_margin_cells(margin) for margin in margins[: detail.margins])
    more = len(margins) - len(rows)
    counted = (row("more", f"{more} with larger margins"),) if more else ()
    table = Table(("way", "rule", "margin", "limit"), rows)
    title = "Margins, smallest first"
    return Section(title, (table, *counted) if rows else ())


def _margin_cells(margin: Margin) -> tuple[Line, ...]:
    where = f" in {margin.mode}" if margin.mode else ""
    name: Line = (Code(margin.rule.id), where, of_each(margin))
    tone = margin.severity if margin.new.room < 0 else "faint"
    room = margin_movement(margin)
    return (Toned(margin_way(margin), tone),), name, (room,), (margin_limit(margin),)


def _work(work: FollowUp) -> Notice:
    names = [Code(short_key(name)) for name in work.changed]
    because_of: Line = tuple(fragment for name in names for fragment in (", ", name))[1:]
    return Notice(
        "do", (work.do,), (row("why", work.because), row("because of", because_of)), "bold"
    )


def page_of(compared: Compared, page: Page) -> Report:
    """The whole report: what could not be read, a card for each vehicle, the sum of a tree.

    Of many vehicles what they come to stands first, and a screen has a line for each.
    """
    total = tree_summed_up(compared) if compared.against is not None else ""
    in_a_tree, fleet = compared.against is not None, many(compared)
    in_lines = fleet and not (page.whole or page.quiet)
    names = listed_names(compared) if fleet else {}
    folds = harmed_alike(compared) if in_lines else frozenset()
    told = [
        _card(
            revised,
            in_a_tree,
            page,
            names.get(revised.side.file, ""),
            rank,
            revised.side.file in folds,
        )
        for rank, revised in enumerate(harmed_first(compared))
    ]
    unread = unread_cards(compared.unread)
    lists = [*loosened_cards(compared, page.whole), *_lists(compared)]
    return Report(
        title="gonogo diff",
        cards=(*unread, *lists, *told) if in_a_tree else (*told, *unread),
        lead=total or TAGLINE,
        judged_on=f"Both sides checked as of {compared.judged_on}",
        tool=compared.tool,
        closing=total,
        alone=not total,
        tally=total if fleet else "",
        summary=fleet_sections(compared, page.whole) if fleet else (),
        first=len(unread) + len(lists),
        fleet=in_lines,
        folded=folded_rows(compared) if in_lines else (),
    )


def _lists(compared: Compared) -> list[Card]:
    """A card for what the change put on lists of known findings, which a check then lets pass."""
    added = compared.known_added
    if not added:
        return []
    rows = tuple(
        ((one.severity or "not checked",), (Code(one.rule),), (Code(one.vehicle),)) for one in added
    )
    files = ", ".join(dict.fromkeys(one.file for one in added))
    return [
        Card(
            verdict="RECORDED AS KNOWN",
            tone="no-go" if compared.records_harm else "incomplete",
            name=files,
            about=((known_added_words(compared),),),
            sections=(Section("", (Table(("severity", "rule", "vehicle"), rows, labels=False),)),),
            brief=(files, known_added_words(compared), ""),
        )
    ]


def _card(
    revised: Revised, in_a_tree: bool, page: Page, listed_as: str, rank: int, in_fold: bool
) -> Card:
    """A vehicle's card; `listed_as` is its name in the list of a fleet."""
    sides = [(word, side) for word, side in (("old", revised.old), ("new", revised.new)) if side]
    about: list[Line] = [(f"{word} ", Code(side.file)) for word, side in sides]
    tried = tried_in_words(revised.side.tried, revised.side.file)
    about = [(Toned(tried, "bold"),), *about] if tried else about
    about += [(words,) for words in (revised.unread, news(revised)) if words]
    is_named = bool(listed_as) and not page.quiet
    is_row = is_named or (in_a_tree and page.quiet)
    before, verdict = in_few_words(revised) if is_row else passage(revised)
    brief = vehicle_brief(revised, listed_as if is_named else revised.side.file, page.quiet)
    return Card(
        verdict=verdict,
        tone="no-go" if revised.is_missing else TONES[revised.side.verdict],
        name=revised.side.name,
        passage=before,
        about=tuple(about),
        inside=revised.body,
        closing=tuple(row(word, scope_words(side)) for word, side in sides),
        brief=brief,
        rank=rank,
        in_fold=in_fold,
        short=in_a_tree and (revised.empty or (is_named and is_folded(revised))),
    )
