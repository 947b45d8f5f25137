"""The formats in which a command can answer, each set by modules of its own, read when asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from importlib import import_module
from typing import TYPE_CHECKING, Any, Protocol, TypeVar, cast

from ..documents.error import UsageError

if TYPE_CHECKING:
    from ..comparison.comparison import Comparison
    from ..judgement.finding import Judgement
    from ..reports.check_totals import Checked
    from ..reports.comparison_totals import Compared
    from ..reports.finding_origin import Origins
    from ..reports.history import History
    from ..reports.layout import Page
    from ..reports.section import Report, Section

Subject_contra = TypeVar("Subject_contra", contravariant=True)
Total_contra = TypeVar("Total_contra", contravariant=True)


class Format(Protocol[Subject_contra, Total_contra]):
    """A way to set what was found.

    `body` is what the report keeps of one subject, made by whichever process judged it: plain data
    that another process can hand over. `report` is the whole text, made once at the end.
    """

    def body(self, subject: Subject_contra, page: Page, /) -> Any: ...

    def report(self, total: Total_contra, page: Page, /) -> str: ...


class Paged:
    """A subject's page, set by a module that can set any page."""

    def __init__(self, subject: Any, setter: Any) -> None:
        self.subject, self.setter = subject, setter

    def body(self, subject: Any, page: Page, /) -> str:
        """The sections of one subject, set."""
        detail = self.setter.detail(page)._replace(every=page.every, unchecked=page.unchecked)
        sections = self.subject.sections(subject, detail)
        return cast(str, self.setter.inside(sections, page))

    def report(self, total: Any, page: Page, /) -> str:
        """The whole page, set."""
        return cast(str, self.setter.report(self.subject.page_of(total, page), page))


# Each format's module in `reports`, which has `body` and `report`; of a page two modules, that of
# the subject and that which sets it.
FORMATS = {
    "text": ("check_page", "text"),
    "json": ("record",),
    "markdown": ("check_page", "markdown"),
    "html": ("check_page", "html"),
    "sarif": ("sarif",),
    "junit": ("junit",),
    "lines": ("lines",),
}
COMPARISON_FORMATS = {
    "text": ("comparison_page", "text"),
    "json": ("comparison_record",),
    "markdown": ("comparison_page", "markdown"),
    "html": ("comparison_page", "html"),
    "sarif": ("comparison_sarif",),
    "lines": ("comparison_lines",),
}
HISTORY_FORMATS = {"text": ("history", "text"), "json": ("history",)}
ORIGIN_FORMATS = {"text": ("finding_origin", "text"), "json": ("finding_origin",)}
# What is printed and taken to the bench.
SHEET_FORMATS = ("text", "json", "html")
# What is kept in a folder.
PAGE_FORMATS = ("text", "html")
# What has a screen, and a record for machines.
PLAIN_FORMATS = ("text", "json")
# What is also drawn.
DRAWN_FORMATS = ("text", "json", "html")
# What goes into a review as well.
REHEARSAL_FORMATS = ("text", "json", "markdown", "html")
# What is read rather than judged.
TOPIC_FORMATS = ("text", "markdown", "html")


def check_format(form: str) -> Format[Judgement, Checked]:
    """The format of a check."""
    return cast("Format[Judgement, Checked]", _format(form, FORMATS))


def is_in_pieces(format_: Format[Any, Any]) -> bool:
    """Whether a format can write one subject after the other; its bodies are texts."""
    return hasattr(format_, "pieces")


def pieces_of(format_: Format[Any, Any], total: Any, page: Page) -> Iterable[str]:
    """The whole text, a subject at a time where the format can."""
    if is_in_pieces(format_):
        return cast("Iterable[str]", format_.pieces(total, page))  # type: ignore[attr-defined]
    return (format_.report(total, page),)


def comparison_format(form: str) -> Format[Comparison, Compared]:
    """The format of a comparison."""
    return cast("Format[Comparison, Compared]", _format(form, COMPARISON_FORMATS))


def history_format(form: str) -> Format[Any, History]:
    """The format of a history; it has no bodies."""
    return cast("Format[Any, History]", _format(form, HISTORY_FORMATS))


def origin_format(form: str) -> Format[Any, Origins]:
    """The format of what brought a finding; it has no bodies."""
    return cast("Format[Any, Origins]", _format(form, ORIGIN_FORMATS))


def known_format(form: str, formats: Iterable[str] = PLAIN_FORMATS) -> str:
    """The format asked for; raises UsageError with those that there are."""
    known = list(formats)
    if form not in known:
        raise UsageError(f"--format {form}: expected one of {', '.join(known)}.")
    return form


def _format(form: str, formats: Mapping[str, tuple[str, ...]]) -> Any:
    modules = [_report_module(name) for name in formats[known_format(form, formats)]]
    return Paged(*modules) if len(modules) == 2 else modules[0]


def _report_module(name: str) -> Any:
    return import_module(f"..reports.{name}", __package__)


def as_text(report: Report, page: Page) -> str:
    """A page for the terminal."""
    return cast(str, _report_module("text").report(report, page))


def sections_as_text(sections: Iterable[Section], page: Page) -> str:
    """Sections for the terminal, without a card round them."""
    return cast(str, _report_module("text").inside(tuple(sections), page)) + "\n"


def page_as(form: str, report: Report, page: Page) -> str:
    """A page in a format that sets any."""
    return cast(str, _report_module(form).report(report, page))


def page_or_record(
    form: str, report: Callable[[], Report], record: Callable[[], Any], page: Page
) -> str:
    """What a command answers: its page in a format that sets any, or in JSON its record."""
    if form == "json":
        from ..reports.record import json_text  # late: most answers are pages

        return json_text(record())
    return page_as(form, report(), page)
