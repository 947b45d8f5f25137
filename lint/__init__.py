"""gonogo: hold a vehicle's controller settings against everything its build can bear.

    >>> import gonogo
    >>> judgement = gonogo.check("vehicles/larch.yaml")            # doctest: +SKIP
    >>> judgement.verdict, [finding.message for finding in judgement.findings]   # doctest: +SKIP

Everything returned is a plain frozen dataclass. What cannot be read raises
`gonogo.documents.error.DocumentErrors`; so does a shop's own rule that cannot be used, since a
judgement without it would be none of that shop's.
"""

from __future__ import annotations

from os import PathLike
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .comparison.comparison import Comparison
    from .documents.profile import Profile
    from .judgement.catalogue import Catalogue
    from .judgement.finding import Judgement
    from .judgement.window import Window

__version__ = "0.1.0"
__all__ = ["__version__", "check", "compare", "load", "windows"]

PathText = str | PathLike[str]


def load(path: PathText) -> Profile:
    """The profile in a file, with its parts and its house file."""
    from .documents.loading import load as load_path

    return load_path(path)


def check(path: PathText, as_of: str | None = None, strict: bool = False) -> Judgement:
    """The judgement of the profile in a file.

    `as_of` is the day to judge by, `2026-11-25`; today if left out. With `strict` a caution is
    NO-GO too. The own rules of the shop's house file are judged as well.
    """
    from .documents.day import day_to_judge_by
    from .judgement.judge import judge

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path)
    return judge(profile, catalogue, judged_on, strict)


def windows(path: PathText, as_of: str | None = None) -> tuple[Window, ...]:
    """What each setting of the profile in a file may be, with the others as they stand."""
    from .documents.day import day_to_judge_by
    from .judgement.evaluation import hear
    from .judgement.window import windows as all_windows

    judged_on = day_to_judge_by(as_of, "as_of=")
    profile, catalogue = _with_catalogue(path)
    return all_windows(hear(profile, catalogue, judged_on), catalogue)


def compare(old: PathText, new: PathText, as_of: str | None = None) -> Comparison:
    """Two profiles side by side: what changed, what it does, whether it is still safe.

    The new side's catalogue says how grave a finding is.
    """
    from .comparison.comparison import compare as side_by_side
    from .comparison.comparison import judged_side
    from .documents.day import day_to_judge_by

    judged_on = day_to_judge_by(as_of, "as_of=")
    sides = [_with_catalogue(path) for path in (old, new)]
    before, after = (judged_side(profile, catalogue, judged_on) for profile, catalogue in sides)
    return side_by_side(before, after, sides[1][1])


def _with_catalogue(path: PathText) -> tuple[Profile, Catalogue]:
    """A profile, and the rules that its shop judges by."""
    from .documents.error import DocumentErrors
    from .documents.loading import load_profile
    from .documents.repository import open_repository
    from .judgement.site_rules import shop_of

    repository, inside = open_repository(path)
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    return load_profile(repository, inside), shop.catalogue
