"""gonogo: hold a vehicle's controller settings against everything its build can bear.

    >>> import gonogo
    >>> judgement = gonogo.check("vehicles/larch.yaml")            # doctest: +SKIP
    >>> judgement.verdict, [finding.message for finding in judgement.findings]   # doctest: +SKIP

Everything returned is a plain frozen dataclass. What cannot be read raises
`gonogo.documents.error.DocumentErrors`.
"""

from __future__ import annotations

from datetime import date
from os import PathLike
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .documents.profile import Profile
    from .judgement.finding import Judgement

__version__ = "0.1.0"
__all__ = ["__version__", "check", "load"]

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
    from .documents.error import DocumentErrors
    from .documents.loading import load_profile
    from .documents.repository import open_repository
    from .judgement.judge import judge
    from .judgement.shop import shop_of

    judged_on = _day(as_of)
    repository, inside = open_repository(path)
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    profile = load_profile(repository, inside)
    return judge(profile, shop.catalogue, judged_on, strict)


def _day(as_of: str | None) -> str:
    """The day to judge by; today if none is asked for."""
    from .documents.error import UsageError

    try:
        return (date.fromisoformat(as_of) if as_of else date.today()).isoformat()
    except ValueError:
        raise UsageError(f"as_of={as_of!r}: it takes a day such as 2026-11-25.") from None
