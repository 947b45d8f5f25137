"""`gonogo known`: writes down what is found today, so that a check can tell what is new or worse."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Annotated, NamedTuple, TextIO

import typer

from ..comparison.known_findings import recorded_finding, with_known
from ..documents.atomic_write import write
from ..documents.day import day_to_judge_by
from ..documents.error import DocumentError, DocumentErrors, NoProfile
from ..documents.known import (
    Known,
    KnownAsk,
    KnownVehicle,
    known_root,
    known_text,
    named_in_list,
    path_in_list,
    place_of_known,
    read_known,
    refuse_other_shops,
)
from ..documents.loading import load_profile, wrong_with_others
from ..documents.search import Search, find
from ..judgement.catalogue import Catalogue
from ..judgement.finding import Judgement, KnownMark
from ..judgement.judge import judge
from ..reports.check_totals import Unread
from ..reports.known_change import KnownChange, known_page, vehicle_change
from .batch import Shops, unread
from .formats import as_text
from .options import AsOf, Writes, profiles_argument
from .output import GO, NOT_READ, deliver, page_for, shown_from


class _Judged(NamedTuple):
    """A profile judged and held against the list, with its path there."""

    path: str
    judgement: Judgement
    catalogue: Catalogue


def run(
    file: Path,
    paths: Sequence[Path],
    writes: bool = False,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Show what the list would come to, and write it if asked to; nothing while a file is not read."""
    day = day_to_judge_by(as_of)
    search = find(paths, shown_from(paths, "text"))
    if not (search.profiles or search.errors):
        raise NoProfile([str(path) for path in paths])
    repository, inside = place_of_known(file)
    refuse_other_shops(repository, str(file), search.profiles)
    is_new = not os.path.lexists(file)
    known = (
        Known(str(file), root=known_root(repository)) if is_new else read_known(repository, inside)
    )
    before = b"" if is_new else repository.files.read(inside)
    judged, errors = _judged(search, known, day)
    looked_at = [_vehicle(known, one, day) for one in judged]
    rest = [one for one in known.vehicles if not _is_among(one, looked_at)]
    kept = [one for one in rest if repository.files.exists(one.file)]
    text = known_text([*looked_at, *kept]).encode()
    change = KnownChange(
        file=known.file,
        day=day,
        vehicles=tuple(
            vehicle_change(one.judgement.profile.name, one.path, one.judgement) for one in judged
        ),
        not_looked_at=tuple(map(named_in_list, kept)),
        gone=tuple(named_in_list(one) for one in rest if one not in kept),
        unread=errors,
    )
    if writes and not errors and text != before:
        write(file, before, text)
        change = change._replace(written=True)
    deliver(as_text(known_page(change), page_for(None, out)), None, out)
    return NOT_READ if errors else GO


def _judged(search: Search, known: Known, day: str) -> tuple[list[_Judged], tuple[Unread, ...]]:
    """Every profile that can be read, and what cannot."""
    met: list[tuple[DocumentError, str | None]] = [(one, None) for one in search.errors]
    # The list itself was read before; the other documents may be wrong by themselves.
    met += [(one, None) for one in wrong_with_others(search)]
    shops, judged = Shops(), list[_Judged]()
    for listed in search.profiles:
        shop = shops.of(listed.repository)
        met += [(error, listed.file) for error in shop.errors]
        try:
            profile = load_profile(listed.repository, listed.path)
        except DocumentErrors as broken:
            met += [(error, listed.file) for error in broken.errors]
            continue
        judgement = judge(profile, shop.catalogue, day)
        path = path_in_list(known, listed.repository, listed.path)
        held = with_known(judgement, known, path, shop.catalogue)
        judged.append(_Judged(path, held, shop.catalogue))
    return judged, unread(met)


def _is_among(vehicle: KnownVehicle, looked_at: Iterable[KnownVehicle]) -> bool:
    """Whether an entry of the list is about a profile that was looked at."""
    return any(vehicle.is_of(one.file, one.id) for one in looked_at)


def _vehicle(known: Known, one: _Judged, day: str) -> KnownVehicle:
    """What is found on a vehicle; what was recorded and is no worse keeps its day."""
    judgement = one.judgement
    profile = judgement.profile
    findings = [
        recorded_finding(finding, profile, _day(finding.known, day), one.catalogue)
        for finding in judgement.findings
        if finding.known is not None
    ]
    own_id = profile.value("vehicle.id")
    assert judgement.known is not None
    kept = (*judgement.known.told_with, *judgement.known.unchecked)
    gates = {gate.rule.id: gate for gate in judgement.not_checked if gate.gate}
    missing = {
        name: sorted({each for gate in judgement.not_checked if gate.rule.id == name for each in gate.missing})
        for name in gates
    }  # fmt: skip
    asks = [
        KnownAsk(name, tuple(missing[name]), _day(gate.known, day)) for name, gate in gates.items()
    ]
    return KnownVehicle(
        one.path,
        own_id if isinstance(own_id, str) else None,
        tuple(sorted((*findings, *kept), key=lambda each: (each.rule, each.entry, each.modes))),
        tuple(sorted(asks)),
    )


def _day(mark: KnownMark | None, today: str) -> str:
    is_kept = mark is not None and mark.state == "recorded" and mark.recorded
    return mark.recorded if is_kept and mark is not None and mark.recorded else today


def command(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="The list to write, such as known.yaml.")
    ],
    paths: Annotated[list[Path] | None, profiles_argument("record")] = None,
    writes: Writes = False,
    as_of: AsOf = None,
) -> int:
    """Record today's findings as known, each with its size, for `gonogo check --known FILE`.

    Nothing is accepted by it: a vehicle stays NO-GO, but what is new or worse stands out. Recording
    again takes off what was corrected and names what it adds. Exit status: 0, or 3 if a document
    cannot be read; then nothing is written.
    """
    return run(file, paths or [Path()], writes, as_of)
