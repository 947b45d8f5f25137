"""What a script asks about a whole shop; `gonogo` hands it out beside what it asks about one profile."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from os import PathLike
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .reports.shop import WholeShop
    from .reports.uses import Uses

PathText = str | PathLike[str]


def uses(
    name: PathText,
    paths: Sequence[PathText] = (),
    set: Mapping[str, object] | object | None = None,
    as_of: str | None = None,
) -> Uses:
    """Who takes up a part, a key of the house file or a rule, and what they get from it.

    Arguments: `name`, a part's file, which may be gone, a key such as "house.drop_percent", or the id of
    a rule; `paths`, the profiles or folders to look through, without one the whole shop of a part, else
    this folder; `set`, values to try: of a part by their keys, of a key of the house file the value
    alone; nothing is written; `as_of` as in `check`.

    Raises `UsageError` for a name that nothing has, and a value that cannot stand there.

    Returns a `Uses`: `by_part`, the vehicles that name the part, each with its `sections`, the values it
    `gets` and those `overridden`; `by_rule`, what each rule that rests on the key, or the one asked for,
    comes to on each vehicle: its `outcome` and `margin`; `what_if`, with values tried: the
    `outcomes`, each with the verdict `old` and `new` and the findings that would be new, worse or gone;
    `unread`, what could not be read.
    """
    from pathlib import Path

    from .commands.use_search import uses_of
    from .commands.use_target import paths_of
    from .documents.day import day_to_judge_by
    from .documents.trial_values import typed_values

    judged_on = day_to_judge_by(as_of, "as_of=")
    where = paths_of(str(name), [Path(path) for path in paths])
    return uses_of(str(name), where, typed_values(set), judged_on)


def shop(path: PathText, as_of: str | None = None, commits: int = 0) -> WholeShop:
    """All vehicles under a folder, the worst first.

    Arguments: `path`, the folder, or one profile; `as_of` as in `check`; `commits`, how many to look back.

    Raises `UsageError` where `as_of` is no day, or there is no profile; what cannot be read is in
    `unread`, and no vehicle of it is among the others.

    Returns a `WholeShop`: its `vehicles`, each with its `file`, its `name`, the verdicts in `stages`, the
    `tightest` margin, the age `readings_days`, what is `due` within 30 days, the `asks` that a ride waits
    for, and the `trend`, a `verdict` a commit; `unread`, each place that cannot be read.
    """
    from pathlib import Path

    from .commands.due import SOON_days
    from .commands.shop import whole_shop
    from .documents.day import day_to_judge_by

    judged_on = day_to_judge_by(as_of, "as_of=")
    return whole_shop([Path(path)], judged_on, SOON_days, commits, seen=False)
