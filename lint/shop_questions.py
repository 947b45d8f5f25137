"""What a script asks about a whole shop; `gonogo` hands it out beside what it asks about one profile."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from os import PathLike
from typing import TYPE_CHECKING

if TYPE_CHECKING:
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
