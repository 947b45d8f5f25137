"""`gonogo history`: a profile's settings and verdicts, commit by commit."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..comparison.history import FOLLOWS_NONE, Followed, HistoryPoint, told_in
from ..comparison.story import episodes
from ..documents.day import day_to_judge_by, is_day
from ..documents.error import RevisionError, UsageError
from ..documents.git_commits import logged_commits
from ..documents.git_folder import git_folder
from ..documents.git_history import Step, from_top, has_commits, is_shallow
from ..documents.git_revision import Commit
from ..documents.house import House
from ..documents.repository import open_repository
from ..documents.schema import properties
from ..documents.text import quoted
from ..expressions.names import vocabulary
from ..judgement.catalogue import catalogue
from ..reports.history import History
from .completion import setting_names
from .formats import HISTORY_FORMATS, history_format, origin_format
from .history_reader import Reader
from .options import AsOf, Output, format_option
from .output import GO, NOT_READ, deliver, page_for
from .progress import Done, progress
from .sides import LAST_COMMIT, Shelf
from .slips import hint


def run(
    profile: Path,
    setting: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
    todays_rules: bool = False,
) -> int:
    """Print the history of a profile."""
    judged_on = day_to_judge_by(as_of)
    format_ = history_format(form)
    followed = None if setting is None else followed_of(setting)
    history = history_of(profile, judged_on, followed, todays_rules)
    deliver(format_.report(history, page_for(output, out)), output, out, (profile,))
    return GO


def run_origins(
    paths: Sequence[Path],
    rule: str,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
    todays_rules: bool = False,
) -> int:
    """Print which commit brought a rule's finding to each vehicle; status 3 if one cannot be read."""
    from .finding_origins import finding_origins  # late: most histories ask for no rule

    judged_on = day_to_judge_by(as_of)
    format_ = origin_format(form)
    day_of = partial(day_of_step, today=judged_on, todays_rules=todays_rules)
    origins = finding_origins(paths, rule, judged_on, day_of, todays_rules)
    deliver(format_.report(origins, page_for(output, out)), output, out, paths)
    return NOT_READ if origins.unread or any(one.error for one in origins.vehicles) else GO


def followed_of(setting: str) -> Followed:
    """The quantity that a name means: in full, without `settings.`, or `modes.NAME.` before it."""
    mode, name = "", setting
    if setting.startswith("modes.") and setting.count(".") > 1:
        _, mode, name = setting.split(".", 2)
    known = vocabulary()
    for candidate in (name, f"settings.{name}", f"vehicle.{name}" if mode else name):
        entry = properties().get(candidate)
        quantity = candidate if entry is None else entry.quantity
        if quantity in known:
            return Followed(quantity, mode)
    names = [name.removeprefix("settings.") for name in (*properties(), *known)]
    said = hint(name, names, "`gonogo help keys` lists all.")
    raise UsageError(f"No quantity is called {name or 'nothing'}. {said}")


def history_of(
    path: Path, judged_on: str, followed: Followed | None = None, todays_rules: bool = False
) -> History:
    """The story of a profile as its commits tell it, the first of all first."""
    top, inside = from_top(path)
    if os.path.isdir(path):
        raise UsageError(
            f"{quoted(str(path))} is a folder: expected a profile. "
            f"`gonogo history {path} --finding RULE` asks about all profiles in a folder."
        )
    commits = logged_commits(top) if has_commits(top) else ()
    house = _todays_house(path, top, inside) if todays_rules else None
    with progress(len(commits), "commits") as done:
        reader = Reader(top, commits, inside, house, done)
        points = [*reader.points()]
    if not points:
        raise RevisionError(
            f"No commit of its repository holds {quoted(str(path))}: it has no history yet."
        )
    disk = None if _is_bare(top) else reader.on_disk(path, inside)
    points += [disk] if disk else []
    day_of = partial(day_of_step, today=judged_on, todays_rules=todays_rules)
    with progress(len(points), "versions") as done:
        story = tuple(episodes(_counted(points, done), day_of, judged_on, followed))
    last = next((point.version for point in reversed(points) if point.version.profile), None)
    side = last.on(day_of(last.step)) if last else None
    return History(
        judged_on=judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        file=inside,
        name=side.judgement.profile.name if side else inside,
        shallow=is_shallow(top),
        followed=followed,
        spoken=FOLLOWS_NONE
        if followed is None
        else told_in(followed, side.hearing if side else None),
        episodes=story,
        todays_rules=todays_rules,
    )


def _counted(points: Iterable[HistoryPoint], done: Done) -> Iterator[HistoryPoint]:
    """The points, each told to be done once the next is asked for: to judge them takes the longest."""
    for point in points:
        yield point
        done(1)


def _is_bare(top: Path) -> bool:
    """Whether a repository has commits alone, and no files on the disk."""
    repository = git_folder(top)
    return repository is not None and repository.is_bare


def _todays_house(path: Path, top: Path, inside: str) -> House:
    """The house file that holds for a profile today, in a bare repository at HEAD; raises DocumentErrors."""
    if _is_bare(top):
        return Shelf(Commit(top, LAST_COMMIT), LAST_COMMIT).side(inside).repository.house()
    repository, _ = open_repository(path)
    return repository.house()


def day_of_step(step: Step, today: str, todays_rules: bool) -> str:
    """The day to judge a commit by: its own, which cannot lie ahead, or today."""
    own = step.day if step.day and is_day(step.day) else today
    return today if todays_rules else min(own, today)


def command(
    profile: Annotated[
        Path,
        typer.Argument(
            metavar="PROFILE",
            show_default=False,
            help="Profile whose history is shown; with --finding also a folder.",
        ),
    ],
    setting: Annotated[
        str | None,
        typer.Option(
            "--setting",
            metavar="NAME",
            help="Chart one value over the commits, such as battery_current_A.",
            autocompletion=setting_names,
        ),
    ] = None,
    finding: Annotated[
        str | None,
        typer.Option(
            "--finding",
            metavar="RULE",
            help="Show which commit brought this rule's finding, to each vehicle of a folder too.",
        ),
    ] = None,
    todays_rules: Annotated[
        bool,
        typer.Option(
            "--todays-rules",
            help="Check every commit by today's date and house file; without it, each by its own.",
        ),
    ] = False,
    form: Annotated[str, format_option(HISTORY_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show a profile commit by commit.

    Says what each commit changed and who made it, which findings are new or resolved, and what
    time alone did.
    """
    if finding is None:
        return run(profile, setting, form, output, as_of, todays_rules=todays_rules)
    if setting is not None:
        raise UsageError("--setting and --finding are two questions: ask one at a time.")
    return run_origins([profile], finding, form, output, as_of, todays_rules=todays_rules)
