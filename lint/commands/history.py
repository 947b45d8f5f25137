"""`gonogo history`: a profile's settings and verdicts, commit by commit."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..comparison.comparison import judged_side
from ..comparison.history import FOLLOWS_NONE, Followed, Version, episodes, told_in
from ..documents.day import day_to_judge_by
from ..documents.error import DocumentErrors, RevisionError, UsageError
from ..documents.git_history import Step, from_top, has_commits, is_shallow, steps, touching
from ..documents.git_revision import Commit
from ..documents.loading import load_profile
from ..documents.schema import properties
from ..documents.text import quoted
from ..expressions.names import vocabulary
from ..judgement.catalogue import catalogue
from ..judgement.site_rules import shop_of
from ..reports.history import COMMIT_LETTERS, History
from .completion import setting_names
from .formats import HISTORY_FORMATS, history_format
from .options import AsOf, Output, format_option
from .output import GO, deliver, page_for
from .progress import Done, progress, unseen
from .sides import ProfilePath, Shelf, on_disk
from .slips import hint

NOT_COMMITTED = "not committed yet"
TAKEN_AWAY = "The profile was removed or renamed here."


def run(
    profile: Path,
    setting: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the history of a profile."""
    judged_on = day_to_judge_by(as_of)
    format_ = history_format(form)
    followed = None if setting is None else followed_of(setting)
    history = history_of(profile, judged_on, followed)
    deliver(format_.report(history, page_for(output, out)), output, out, (profile,))
    return GO


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


def history_of(path: Path, judged_on: str, followed: Followed | None = None) -> History:
    """The story of a profile as its commits tell it, the first of all first."""
    top, inside = from_top(path)
    own = steps(top, inside) if has_commits(top) else ()
    if not own:
        raise RevisionError(
            f"No commit of its repository holds {quoted(str(path))}: it has no history yet."
        )
    with progress(len(own), "commits") as done:
        reader = Reader(top, judged_on, done)
        line = reader.line(own)
        versions = [reader.version(step) for step in line]
    if os.path.lexists(path):
        versions.append(reader.on_disk(path, inside))
    touched = {step.commit for step in own}
    story = [
        episode
        for episode in episodes(versions, followed)
        if episode.step.commit in touched or episode.has_news
    ]
    last = next((version.side for version in reversed(versions) if version.side), None)
    hearing = last.hearing if last else None
    return History(
        judged_on=judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        file=inside,
        name=last.judgement.profile.name if last else inside,
        shallow=is_shallow(top),
        followed=followed,
        spoken=FOLLOWS_NONE if followed is None else told_in(followed, hearing),
        episodes=tuple(story),
    )


class Reader:
    """Reads and judges a profile at each commit, once."""

    def __init__(self, top: Path, judged_on: str, done: Done = unseen) -> None:
        self.top = top
        self.done = done
        self.judged_on = judged_on
        self._read: dict[str, Version] = {}

    def line(self, own: Sequence[Step]) -> list[Step]:
        """Every commit that touched the profile, or a file that it read at some time."""
        read = {name for step in own for name in self._files(self.version(step), step)}
        names = {step.commit: step.path for step in own}
        apart = {step.commit for step in touching(self.top, sorted(read))} if read else set()
        line: list[Step] = []
        for step in touching(self.top, sorted({*names.values(), *read})):
            name = names.get(step.commit) or (line[-1].path if line else "")
            if name and step.commit in names.keys() | apart:
                line.append(replace(step, path=name))
        return line

    def version(self, step: Step) -> Version:
        """The profile as it was at a commit."""
        if step.commit not in self._read:
            commit = Commit(self.top, step.commit)
            shelf = Shelf(commit, step.commit[:COMMIT_LETTERS])
            self._read[step.commit] = (
                self._judged(step, shelf.side(step.path))
                if shelf.holds(step.path)
                else Version(step, None, None, TAKEN_AWAY)
            )
            commit.close()
            self.done(1)
        return self._read[step.commit]

    def on_disk(self, path: Path, inside: str) -> Version:
        """The profile as it lies on the disk."""
        return self._judged(Step("", "", NOT_COMMITTED, inside), on_disk(path))

    def _judged(self, step: Step, side: ProfilePath) -> Version:
        try:
            profile = load_profile(side.repository, side.path)
        except DocumentErrors as broken:
            return Version(step, None, None, str(broken.errors[0]))
        shop = shop_of(side.repository)
        if shop.errors:  # without one of its rules it would be no judgement of that shop
            return Version(step, None, None, str(shop.errors[0]))
        judged_by = shop.catalogue
        return Version(step, judged_side(profile, judged_by, self.judged_on), judged_by)

    def _files(self, version: Version, step: Step) -> set[str]:
        """What a profile read at a commit besides its own file, from git's top."""
        if version.side is None:
            return set()
        profile = version.side.judgement.profile
        shown = [*profile.files, *(document.file for document in profile.house.rules)]
        return {file.removeprefix(f"{step.commit[:COMMIT_LETTERS]}:") for file in shown} - {
            step.path
        }


def command(
    profile: Annotated[
        Path,
        typer.Argument(
            metavar="PROFILE", show_default=False, help="Profile whose history is shown."
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
    form: Annotated[str, format_option(HISTORY_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show a profile commit by commit.

    Says what each commit changed, and which findings are new or resolved.
    """
    return run(profile, setting, form, output, as_of)
