"""A profile that a command works on, and what it proposes for the file, written when asked for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from ..documents.atomic_write import diff, write
from ..documents.day import day_to_judge_by
from ..documents.edit import Edit, edited
from ..documents.error import DocumentError, DocumentErrors, UsageError
from ..documents.file_names import missing_as_typed
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..documents.repository import Draft, Repository, open_repository
from ..documents.text import clean_lines
from ..judgement.catalogue import Catalogue
from ..judgement.finding import Judgement
from ..judgement.judge import judge
from ..judgement.proposal import Setting
from ..judgement.site_rules import shop_of
from ..reports.layout import Page
from ..reports.proposal import NOT_WRITTEN, WROTE
from ..reports.section import Section
from .formats import sections_as_text
from .output import deliver

if TYPE_CHECKING:
    from rich.text import Text


@dataclass(frozen=True, slots=True)
class OpenedProfile:
    """A profile with all that it is judged by. `data` are its file's bytes as they were read."""

    path: Path
    repository: Repository
    inside: str
    data: bytes
    profile: Profile
    catalogue: Catalogue
    judged_on: str

    def edited(self, settings: Iterable[Setting]) -> bytes:
        """The file's bytes with the settings entered, and nothing else touched."""
        changes = [Edit(setting.keys, setting.entered) for setting in settings]
        return edited(self.data, changes, self.profile.file)

    def refuse_unknown_mode(self, mode: str | None) -> None:
        """Raise UsageError where the profile has no mode of that name."""
        if mode is not None and mode not in self.profile.modes:
            known = ", ".join(self.profile.modes)
            told = f"Modes: {known}." if known else "It has only the base settings."
            raise UsageError(f"--mode {mode}: no such mode in the profile. {told}")

    def as_drafted(self, data: bytes) -> Profile:
        """The profile as it would be read if its file held these bytes."""
        return drafted(self.repository, self.inside, data)


def drafted(repository: Repository, inside: str, data: bytes) -> Profile:
    """A profile read from bytes that are not written yet, with the parts and house on the disk."""
    return load_profile(Repository(Draft(repository.files, inside, data)), inside)


def opened(path: Path, as_of: str | None = None) -> OpenedProfile:
    """The profile in a file; raises DocumentErrors for all that keeps it from use."""
    judged_on = day_to_judge_by(as_of)
    on_disk, inside = open_repository(path)
    try:
        data = on_disk.files.read(inside)
    except DocumentError as unreadable:
        raise DocumentErrors([missing_as_typed(path, unreadable)]) from unreadable
    # What is judged and what is edited are the same bytes, whoever saves the file meanwhile.
    repository = Repository(Draft(on_disk.files, inside, data))
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    profile = load_profile(repository, inside)
    return OpenedProfile(path, repository, inside, data, profile, shop.catalogue, judged_on)


@dataclass(frozen=True, slots=True)
class Proposal:
    """A file as it would be, and the judgement that it would get."""

    profile: OpenedProfile
    data: bytes
    judgement: Judgement

    @property
    def stale_comments(self) -> tuple[int, ...]:
        """The lines whose value changes beside a comment, which may speak of the old one."""
        now, then = self.profile.data.splitlines(), self.data.splitlines()
        if len(now) != len(then):
            return ()
        return tuple(
            number
            for number, (before, after) in enumerate(zip(now, then, strict=True), start=1)
            if before != after and b" #" in after
        )

    @property
    def diff(self) -> str:
        """The unified diff against what stands there now, for the eye."""
        return clean_lines(diff(self.profile.data, self.data, self.profile.profile.file))


def proposed(profile: OpenedProfile, data: bytes) -> Proposal:
    """The file's new bytes, read and judged as if they were written."""
    judgement = judge(profile.as_drafted(data), profile.catalogue, profile.judged_on)
    return Proposal(profile, data, judgement)


def settle(
    proposal: Proposal, reasons: Section, writes: bool, page: Page, out: TextIO | None
) -> None:
    """Write the file if asked to, then show the diff with the reasons."""
    if writes:
        write(proposal.profile.path, proposal.profile.data, proposal.data)
    words = f"\n {WROTE if writes else NOT_WRITTEN}\n"
    deliver(f"{_set(proposal.diff, page)}\n{sections_as_text([reasons], page)}{words}", None, out)


def _set(difference: str, page: Page) -> str:
    """The diff for a terminal: what goes in red, what comes in green, long lines hanging below.

    Where nobody sees it, it stays as another program reads it.
    """
    if not page.seen:
        return difference
    from ..reports.prose import printed

    lines = [line for text in difference.splitlines() for line in _hanging(text, page.widest)]
    return "\n".join(printed(lines, page)) + "\n"


def _hanging(line: str, width: int) -> Iterator[Text]:
    """A line of a diff as long as it may be; what goes on stands below its text."""
    from rich.text import Text

    from ..reports.prose import wrapped

    tone = {"-": "red", "+": "green", "@": "dim"}.get(line[:1], "")
    if line.startswith(("---", "+++")):
        tone = "bold"
    indent = len(line) - len(line[1:].lstrip())
    hang = min(indent + 2, width // 2)
    first, *others = wrapped(Text(line[indent:], tone), max(width - hang, 1))
    yield Text(line[:indent] + first.plain, tone)
    for more in others:
        yield Text(" " * hang).append_text(more)
