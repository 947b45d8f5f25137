"""`gonogo diff`: two revisions side by side: what changed, what it does, is it still safe?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..comparison.comparison import (
    Comparison,
    compare,
    new_vehicle,
    vehicle_gone,
)
from ..comparison.consequence import THRESHOLD
from ..comparison.finding_change import JudgedSide
from ..comparison.harm_sources import JudgedBy
from ..comparison.judged_side import judged_side
from ..documents.day import day_to_judge_by
from ..documents.error import DocumentError, DocumentErrors
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..documents.trial import Trials
from ..documents.trial_values import trials_of
from ..judgement.catalogue import catalogue
from ..reports.check_totals import UNREAD
from ..reports.comparison_totals import Compared, Revised, revised
from .asked_sides import AskedSides, pairing_of
from .batch import Order, Result, Shops, results, unread
from .changed_files import SourceHarm, source_changes
from .formats import COMPARISON_FORMATS, comparison_format
from .options import AsOf, Jobs, Output, Quiet, Tried, format_option, processors
from .output import GO, INCOMPLETE, NO_GO, NOT_READ, deliver, page_for
from .pair import Pair, Pairing, moved_words, wrong_with_shops
from .range_pairing import is_untouched
from .sides import ProfilePath

PAIRS_A_PROCESS = 20  # pairs


def run(
    sides: Sequence[str],
    against: str | None = None,
    form: str = "text",
    output: Path | None = None,
    quiet: bool = False,
    jobs: int = 1,
    strict: bool = False,
    as_of: str | None = None,
    out: TextIO | None = None,
    here: Path | None = None,
    every: bool = False,
    full: bool = False,
    tried: Sequence[str] = (),
    staged: bool = False,
) -> int:
    """Compare what is asked for, print the report, and answer with the exit status."""
    judged_on = day_to_judge_by(as_of)
    format_ = comparison_format(form)
    page = page_for(output, out, quiet)._replace(every=every, whole=full)
    trials = trials_of(tried)
    asked = AskedSides(sides, against, staged, bool(trials), here or Path.cwd(), form)
    pairing = pairing_of(asked, judged_on)
    order = Order(form, page, judged_on, strict, pairing.against, trials=trials)
    compared = compared_pairs(pairing, order, jobs)
    deliver(format_.report(compared, page), output, out, sides)
    return comparison_status(compared, strict)


class Comparer:
    """Compares pairs, each side judged by the rules of its shop."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self.body = comparison_format(order.form).body
        self.shops = Shops()
        self.load_new = Trials(order.trials).load if order.trials else load_profile

    def result(self, pair: Pair) -> Result[Revised]:
        """A vehicle's share of the report; none where nothing has changed."""
        file = _file(pair)
        try:
            new = None if pair.new is None else self.load_new(pair.new.repository, pair.new.path)
        except DocumentErrors as broken:
            return Result(file, None, pair.new.as_typed(broken) if pair.new else broken.errors)
        if new is not None and is_untouched(pair, new):
            return Result(file, None)
        try:
            old = None if pair.old is None else load_profile(pair.old.repository, pair.old.path)
        except DocumentErrors as broken:
            return self._without_old(pair, new, broken)
        comparison = self._comparison(pair, old, new)
        if pair.touched is not None and comparison.is_empty:
            return Result(file, None)
        sources = self._sources(pair, comparison)
        body = self.body(comparison, self.order.page)
        share = revised(comparison, body, sources=sources.changes, harm=sources.harm)
        kind, why = pair.ceased or (None, "")
        why = f"not compared: {pair.unknown}" if pair.unknown else why
        told = replace(share, ceased=kind, why=why, returned=pair.returned)
        return Result(file, replace(told, moved=moved_words(pair)) if self.order.against else told)

    def _sources(self, pair: Pair, comparison: Comparison) -> SourceHarm:
        if pair.old is None or pair.new is None:
            return SourceHarm()
        judged_by = (self.shops.of(side.repository).catalogue for side in (pair.old, pair.new))
        return source_changes(pair.old, pair.new, comparison, JudgedBy(*judged_by))

    def _without_old(
        self, pair: Pair, new: Profile | None, broken: DocumentErrors
    ) -> Result[Revised]:
        """A side that cannot be read is an error; in a tree that is being put right it is none."""
        assert pair.old is not None
        if self.order.against is None or new is None:
            file = pair.old.missing or pair.old.repository.named(pair.old.path)
            return Result(file, None, pair.old.as_typed(broken))
        comparison = self._comparison(pair, None, new)
        body = self.body(comparison, self.order.page)
        return Result(_file(pair), revised(comparison, body, f"not compared: {broken.errors[0]}"))

    def _comparison(self, pair: Pair, old: Profile | None, new: Profile | None) -> Comparison:
        before = self._judged(pair.old, old)
        after = self._judged(pair.new, new, before)
        if before is None:
            assert after is not None
            return new_vehicle(after, pair.old is not None or bool(pair.unknown), pair.returned)
        if after is None:
            return vehicle_gone(before)
        assert pair.new is not None
        return compare(before, after, self.shops.of(pair.new.repository).catalogue)

    def _judged(
        self, side: ProfilePath | None, profile: Profile | None, before: JudgedSide | None = None
    ) -> JudgedSide | None:
        if side is None or profile is None:
            return None
        judged_by = self.shops.of(side.repository).catalogue
        return judged_side(profile, judged_by, self.order.judged_on, self.order.strict, before)


def _file(pair: Pair) -> str:
    side = pair.new or pair.old
    assert side is not None
    return side.missing or side.repository.named(side.path)


def compared_pairs(pairing: Pairing, order: Order, jobs: int = 1) -> Compared:
    """The whole of the report, in the order of the pairs, each error once."""
    compared = results(pairing.pairs, order, Comparer, jobs, PAIRS_A_PROCESS)
    met: list[tuple[DocumentError, str | None]] = [(error, None) for error in pairing.errors]
    met += [(error, result.file) for result in compared for error in result.errors]
    in_doubt = {error.file for error in pairing.of_ids}
    files = {result.file for result in compared}
    met += [(error, error.file if error.file in files else None) for error in pairing.of_ids]
    shops = wrong_with_shops(pair.new.repository for pair in pairing.pairs if pair.new)
    met += [(error, None) for error in shops]
    same = sum(result.share is None and not result.errors for result in compared)
    return Compared(
        judged_on=order.judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        against=order.against,
        threshold=THRESHOLD,
        revised=tuple(
            result.share
            for result in compared
            if result.share is not None and result.file not in in_doubt
        ),
        unchanged=pairing.unchanged + same,
        unread=unread(met),
        known_added=pairing.known_added,
        left_out=pairing.left_out,
        broken=sum(
            _is_broken(pair, result) or (result.share is not None and result.file in in_doubt)
            for pair, result in zip(pairing.pairs, compared, strict=True)
        ),
    )


def _is_broken(pair: Pair, result: Result[Revised]) -> bool:
    """Whether a profile that changed, or whose part did, cannot be read now."""
    if not result.errors or pair.new is None:
        return False
    return pair.touched is None or any(error.file in pair.touched for error in result.errors)


def comparison_status(compared: Compared, strict: bool) -> int:
    """1 for a new or worse danger or fault, a grave failure that nothing catches any more, one waived, for longer or for more, one put on a list, a vehicle or house file gone, or a shop that asks for less, 4 for a required rule no longer checked.

    With `strict` the whole new side is judged, whatever it was before.
    """
    if any(error.label == UNREAD for error in compared.unread):
        return NOT_READ
    verdicts = {revised.new.verdict for revised in compared.revised if revised.new is not None}
    refused = strict and not verdicts.isdisjoint(("no-go", "go-with-waivers"))
    lost = bool(compared.unread) or any(revised.is_missing for revised in compared.revised)
    lost = lost or compared.records_harm
    if any(one.harms or one.waives for one in compared.revised) or lost or refused:
        return NO_GO
    hidden = any(revised.hides for revised in compared.revised)
    return INCOMPLETE if hidden or (strict and "incomplete" in verdicts) else GO


def command(
    sides: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[SIDE]...",
            show_default=False,
            help="OLD and NEW, each a path, REV:path or, as staged, :path; one PROFILE alone is "
            "compared with the last commit; with --against, --staged or after REV..REV, the PATHs to search.",
        ),
    ] = None,
    against: Annotated[
        str | None,
        typer.Option(
            "--against",
            metavar="REV",
            help="Compare every profile that changed since this branch left REV (the merge base).",
        ),
    ] = None,
    staged: Annotated[
        bool,
        typer.Option(
            "--staged",
            help="Compare every profile as it is staged for a commit with the last commit.",
        ),
    ] = False,
    form: Annotated[str, format_option(COMPARISON_FORMATS)] = "text",
    output: Output = None,
    quiet: Quiet = False,
    jobs: Jobs = None,
    strict: Annotated[
        bool,
        typer.Option(
            "--strict",
            help="Judge the whole new side, not only changes; advice and waived dangers are NO-GO too.",
        ),
    ] = False,
    as_of: AsOf = None,
    every: Annotated[
        bool, typer.Option("--all", help="Show calculated values that changed by 5% or less too.")
    ] = False,
    full: Annotated[
        bool, typer.Option("--full", help="Tell each of more than 3 changed vehicles in full too.")
    ] = False,
    tried: Tried = None,
) -> int:
    """Compare two revisions of a profile.

    Says what changed, what that does to the vehicle, and whether it is still safe. What nothing catches
    any more and may injure or destroy counts as a new fault does.
    """
    return run(
        sides or [],
        against,
        form,
        output,
        quiet,
        jobs or processors(),
        strict,
        as_of,
        every=every,
        full=full,
        tried=tried or (),
        staged=staged,
    )
