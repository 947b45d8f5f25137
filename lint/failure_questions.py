"""What a script asks about the failures of a vehicle."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from .shop_questions import PathText

if TYPE_CHECKING:
    from .rehearsal.rehearse import Failure


def rehearse(path: PathText, as_of: str | None = None) -> Mapping[str, tuple[Failure, ...]]:
    """What catches each single failure of the vehicle in a file, one at a time.

    Arguments and errors are those of `check`.

    Returns, by mode ("" for the base settings), a `Failure` for each that is possible on the vehicle,
    what nothing catches first: its `failure` and `title`; `effect`, what it does, each with the
    `quantity`, its `value`, `unit` and `after_ms`; `caught_by`, the entry that says what catches it or
    "rider", and `within_ms`; the classes of `severity` and `detection`; `covered`, None where an entry
    is `missing` that would tell; what to `do` where nothing catches it. Worked out, not tried.
    """
    from .documents.day import day_to_judge_by
    from .documents.error import DocumentErrors
    from .documents.loading import load_profile
    from .documents.repository import open_repository
    from .judgement.site_rules import shop_of
    from .rehearsal.rehearse import rehearsals

    judged_on = day_to_judge_by(as_of, "as_of=")
    repository, inside = open_repository(path)
    judging = shop_of(repository)
    if judging.errors:
        raise DocumentErrors(judging.errors)
    return rehearsals(load_profile(repository, inside), judging.catalogue, judged_on)
