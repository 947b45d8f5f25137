"""A fleet: many vehicles in a line each, the worst first, with what they share told once before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from posixpath import relpath

from ..documents.known import KnownFinding, shown_entry
from ..documents.text import so_many
from ..judgement.finding import KnownOutcome
from ..judgement.rule import STOPS
from .check_totals import (
    WORST_FIRST,
    Checked,
    counted,
    coverage_share,
    folder_of,
    known_words,
    tally,
    verdict_note,
)
from .profile_share import Share
from .section import Card, Section, nonempty, row
from .shared_causes import (
    FINDINGS_TITLE,
    few_names,
    shared_causes,
    shared_findings,
    shared_section,
)

FEW_IN_FULL = 3  # so many vehicles are told in full; more are a fleet
HOW_TO_SEE_ALL = " · with `--full` every finding"
MOST_WAIVED = 3  # rules
MOST_FIT = 60  # names of vehicles in which nothing stops a ride


def is_fleet(count: int) -> bool:
    """Whether so many profiles are too many to tell all that was found in each."""
    return count > FEW_IN_FULL


def fleet_tally(checked: Checked) -> str:
    """How many of a fleet came to which verdict; empty where they are few."""
    many = is_fleet(len(checked.shares) + checked.unread_profiles)
    return tally(checked) if many else ""


def vehicle_names(shares: Sequence[Share], folder: str = "") -> dict[str, str]:
    """What each vehicle is called in a list, by its file: its name, or the file where two share it.

    Files are named from the folder that holds them all.
    """
    amounts = Counter(share.name for share in shares)
    return {
        share.file: share.name if amounts[share.name] == 1 else file_within(share.file, folder)
        for share in shares
    }


def file_within(file: str, folder: str) -> str:
    """A file as it is named from a folder above it; with its whole name where there is none."""
    return relpath(file, folder) if folder else file


def causes_section(checked: Checked) -> tuple[Section, ...]:
    """What several vehicles of a fleet share, told once; empty where they are few, or share nothing."""
    if not fleet_tally(checked):
        return ()
    files = [share.file for share in checked.shares]
    names = vehicle_names(checked.shares, folder_of(files))
    given = [(names[share.file], share.causes) for share in checked.shares]
    return (
        *shared_section(shared_causes(given)),
        *shared_section(shared_findings(given), FINDINGS_TITLE),
    )


def known_section(checked: Checked) -> tuple[Section, ...]:
    """What of a list of known findings is no longer found, by what became of it and on which vehicle.

    Empty where vehicles are few, since each says it then.
    """
    if not fleet_tally(checked):
        return ()
    names = vehicle_names(checked.shares, folder_of([share.file for share in checked.shares]))
    ways: dict[str, Callable[[KnownOutcome], tuple[KnownFinding, ...]]] = {
        "not checked": lambda known: known.unchecked,
        "corrected": lambda known: known.mended,
        "no longer applies": lambda known: known.off,
        "waived now": lambda known: known.waived,
    }
    rows = nonempty(
        row(
            label,
            *(
                f"{names[share.file]}: {', '.join(f'{e.severity} {shown_entry(e)}' for e in found)}"
                for share in checked.shares
                if share.known is not None and (found := told(share.known))
            ),
        )
        for label, told in ways.items()
    )
    return (Section("No longer found of the known list", rows),) if rows else ()


def vehicle_line(share: Share, name: str, file: str) -> tuple[str, str, str]:
    """A vehicle as a row: what it is called; file, line and gravest finding; counts, rules checked."""
    note = verdict_note(share)
    told = (*_gravest(share, file), _also_waived(share), f"({note})" if note else "")
    return (
        name,
        _joined(*told),
        _joined(
            known_words(share), counted(share.found), share.untried_count, coverage_share(share)
        ),
    )


def _gravest(share: Share, file: str) -> tuple[str, str]:
    """Where the finding that decided the verdict stands, and which it is, with how far it is past."""
    gravest = share.gravest
    if gravest is None:
        return file, share.worst
    own = gravest.file == share.file
    place = f"{file}:{gravest.line}" if own else f"{file}, {gravest.file}:{gravest.line}"
    rule = f"{gravest.state}: {gravest.rule}" if gravest.state else gravest.rule
    return place, f"{rule}, {gravest.past}" if gravest.past else rule


def _also_waived(share: Share) -> str:
    """What is waived beside the finding that decided the verdict: whoever rides relies on that too."""
    decided = share.gravest.rule if share.gravest is not None else ""
    rules = [rule for rule in share.waived_rules if rule != decided]
    if not rules:
        return ""
    until = "" if share.gravest and share.gravest.state == "waived" else share.waived_until
    return f"{'also ' if decided else ''}waived{f' until {until}' if until else ''}: {few_names(rules, MOST_WAIVED)}"


def _joined(*words: str) -> str:
    return " · ".join(word for word in words if word)


def gravest_first(shares: Sequence[Share]) -> list[Share]:
    """By verdict, what is not on a list of known findings first, then by how many dangers and faults stand.

    Else they stay in the order of the files.
    """
    return sorted(shares, key=_order)


def _order(share: Share) -> tuple[int, ...]:
    found = (-share.found.get(severity, 0) for severity in STOPS)
    ranks = (WORST_FIRST.index(verdict) for verdict in (share.counts_as, share.verdict))
    return *ranks, *found


def folded_cards(shares: Sequence[Share], names: dict[str, str]) -> tuple[Card, ...]:
    """Vehicles in which nothing stops a ride, as one card for those fit for the same."""
    fit: dict[str, list[str]] = {}
    for share in shares:
        advice = counted(share.found)
        name = names[share.file] + (f" ({advice})" if advice else "")
        fit.setdefault(share.fitness, []).append(name)
    untried = Counter(share.fitness for share in shares if share.untried)
    return tuple(
        Card(
            verdict="GO",
            tone="go",
            name=(count := so_many(len(told), "vehicle")),
            brief=(
                count,
                f"{_and_untried(fitness, untried[fitness])}: {few_names(told, MOST_FIT)}",
                "",
            ),
            short=True,
        )
        for fitness, told in fit.items()
    )


def _and_untried(fitness: str, untried: int) -> str:
    """What vehicles are fit for, and on how many of them a safety function was never tried."""
    return f"{fitness}; {untried} with safety functions never tried" if untried else fitness
