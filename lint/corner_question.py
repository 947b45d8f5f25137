"""What a script asks about tolerances: the corners of a profile."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .shop_questions import PathText

if TYPE_CHECKING:
    from .tolerances.corners import Corners


def corners(path: PathText, as_of: str | None = None) -> Corners:
    """Whether the profile in a file holds everywhere within the tolerances of what is entered.

    Arguments: `path`, the profile's file; `as_of`, the day to judge by, `2026-11-25`, today if left out.

    Raises what `gonogo.check` raises, and `SeveralMotors` for a vehicle of several motors.

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
    return corners_of(profile, catalogue, judged_on)
