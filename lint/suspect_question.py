"""What a program asks about a profile that contradicts itself, as `gonogo suspect` answers it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .shop_questions import PathText

if TYPE_CHECKING:
    from .suspicion.ranking import Suspects


def suspects(path: PathText, as_of: str | None = None) -> Suspects:
    """Which one entry, or which fault of the machine, explains the dangers and faults of a profile.

    Arguments and errors are those of `check`.

    Returns `Suspects`: the `judgement` of the profile; its `suspects`, at most five, the likeliest
    first, each with its `hypothesis` (its `changes`, each of a `site` to what would be `entered`), the
    keys of its `same_class`, the rules that it `explains`, `leaves` and `brings`, the `verdict` that the
    profile would get, and a `probability`, by our own guesses; `none_of_these`, that of any other cause;
    `next`, what to read or look up. Without a danger or fault there is nothing in it.
    """
    from .documents.day import day_to_judge_by
    from .documents.error import DocumentErrors
    from .documents.loading import load_profile
    from .documents.repository import open_repository
    from .judgement.judge import judge
    from .judgement.site_rules import shop_of
    from .suspicion.ranking import ranked

    judged_on = day_to_judge_by(as_of, "as_of=")
    repository, inside = open_repository(path)
    judging = shop_of(repository)
    if judging.errors:
        raise DocumentErrors(judging.errors)
    profile = load_profile(repository, inside)
    judgement = judge(profile, judging.catalogue, judged_on)
    return ranked(profile, judging.catalogue, judged_on, judgement)
