"""What a script asks beyond the verdict: which entry is wrong, does it hold everywhere, what catches a failure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from .shop_questions import PathText

if TYPE_CHECKING:
    from .rehearsal.rehearse import Failure
    from .suspicion.ranking import Suspects
    from .tolerances.corners import Corners


def suspects(path: PathText, as_of: str | None = None) -> Suspects:
    """Which one entry, or which fault of the machine, explains the dangers and faults of a profile.

    Arguments and errors are those of `check`.

    Returns `Suspects`: the `judgement` of the profile; its `suspects`, at most five, the likeliest
    first, each with its `hypothesis` (its `changes`, each of a `site` to what would be `entered`), the
    keys of its `same_class`, the rules that it `explains`, `leaves` and `brings`, the `verdict` that the
    profile would get, and a `probability`, by our own guesses; `none_of_these`, that of any other cause;
    `next`, what to read or look up. Without a danger or fault there is nothing in it.
    """
    from . import _with_catalogue
    from .documents.day import day_to_judge_by
    from .judgement.judge import judge
    from .suspicion.ranking import ranked

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path)
    return ranked(profile, catalogue, judged_on, judge(profile, catalogue, judged_on))


def corners(path: PathText, as_of: str | None = None, mode: str | None = None) -> Corners:
    """Whether the profile in a file holds everywhere within the tolerances of what is entered.

    Arguments: `path`, the profile's file; `as_of`, the day to judge by, `2026-11-25`, today if left out;
    `mode`, one of its modes, in whose settings alone it is judged.

    Raises what `gonogo.check` raises, and `UsageError` for a mode that there is not.

    Returns `Corners`: its `judgement` with everything as entered, and `everywhere`, the verdict at every
    corner, "undecided" where that could not be told; `rules`, each with its `rule` and `severity`,
    whether it `holds` "everywhere", "somewhere", "nowhere" or is "undecided", the `share` of the box in
    which it does, and in `at_corner` the worst `corner` with what is said there `in_words`; `settle`, the
    entries that alone would settle rules; `rooms`, how far each entry may be off; `untold`, the entries
    of which no tolerance is known.
    """
    from . import _with_catalogue
    from .documents.day import day_to_judge_by
    from .tolerances.corners import corners_of

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path)
    return corners_of(profile, catalogue, judged_on, mode)


def rehearse(path: PathText, as_of: str | None = None) -> Mapping[str, tuple[Failure, ...]]:
    """What catches each single failure of the vehicle in a file, one at a time.

    Arguments and errors are those of `check`.

    Returns, by mode ("" for the base settings), a `Failure` for each that is possible on the vehicle,
    what nothing catches first: its `failure` and `title`; `effect`, what it does, each with the
    `quantity`, its `value`, `unit` and `after_ms`; `caught_by`, the entry that says what catches it or
    "rider", and `within_ms`; the classes of `severity` and `detection`; `covered`, None where an entry
    is `missing` that would tell; what to `do` where nothing catches it. Worked out, not tried.
    """
    from . import _with_catalogue
    from .documents.day import day_to_judge_by
    from .rehearsal.rehearse import rehearsals

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path)
    return rehearsals(profile, catalogue, judged_on)
