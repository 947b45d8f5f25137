"""The comparison on paper: at 80 columns, as a record, as Markdown and as a page that stands alone."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from html.parser import HTMLParser

import pytest
from gonogo.commands.diff import run
from gonogo.commands.formats import COMPARISON_FORMATS, comparison_format
from gonogo.documents.schema import schema_text
from gonogo.reports.comparison_totals import Compared, revised
from gonogo.reports.layout import Page
from jsonschema import Draft202012Validator, FormatChecker
from markdown_it import MarkdownIt
from referencing import Registry, Resource
from rich.cells import cell_len

from .revision import STORIES, Plain, changed, compared

Expect = Callable[[str, str], None]
ENDINGS = {"text": "txt", "markdown": "md", "lines": "lines.txt"}
pytestmark = pytest.mark.usefixtures("frozen")
NAMES = sorted(path.name for path in STORIES.iterdir() if path.is_dir())
EVIL = "<script>alert(1)</script> | `x` *b* [l](http://example.org) # &amp;"


def told(name: str, form: str, capsys: pytest.CaptureFixture[str]) -> str:
    """The report of one story."""
    run([f"{name}/before.yaml", f"{name}/after.yaml"], form=form, as_of="2026-11-25",
        here=STORIES)  # fmt: skip
    return capsys.readouterr().out


def report(form: str, old: Plain, new: Plain, page: Page | None = None) -> str:
    """Two documents compared and reported in a format."""
    page = page or Page()
    comparison = compared(old, new)
    format_ = comparison_format(form)
    body = format_.body(comparison, page)
    whole = Compared("2026-11-25", "0.1.0", f"sha256:{'0' * 64}", None, 0.01,
                     (revised(comparison, body),), 0, ())  # fmt: skip
    return format_.report(whole, page)


def validator() -> Draft202012Validator:
    """The schema of comparisons, with that of reports, from which it takes its words."""
    resources = [
        (f"urn:gonogo:{name}", Resource.from_contents(json.loads(schema_text(name))))
        for name in ("report", "comparison")
    ]
    return Draft202012Validator(
        json.loads(schema_text("comparison")),
        registry=Registry().with_resources(resources),
        format_checker=FormatChecker(),
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_screen_is_as_expected(
    name: str, capsys: pytest.CaptureFixture[str], expect: Expect
) -> None:
    """Verdicts, findings, settings, what they do, margins and work, in this order."""
    expect(f"screens/{name}.txt", told(name, "text", capsys))


@pytest.mark.parametrize("form", COMPARISON_FORMATS)
def test_a_hotter_tune_in_each_format(form: str, bike: Plain, expect: Expect) -> None:
    """Whole, so that a change of a report is seen as its reader will see it."""
    hot = changed(bike, {"settings.battery_current_A": 95, "modes.town.max_rpm": 3000})
    said = report(form, bike, hot)
    expect(f"screens/hotter.{ENDINGS.get(form, form)}", said)


def test_a_small_change_is_shown_when_asked_for(bike: Plain) -> None:
    """A quarter of a volt in a cable is noise beside what changed, and yet nothing is hidden."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    brief, whole = report("text", bike, hot), report("text", bike, hot, Page(every=True))
    assert "pack.loaded_V" in whole and "pack.loaded_V" not in brief
    assert "1 that changed by less; --all shows them" in brief
    assert "changed by less" not in whole


def test_the_first_lines_say_what_the_change_comes_to(bike: Plain) -> None:
    """Whoever reads five lines knows whether to ride, what is felt and what to do."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    text = " ".join(report("text", bike, hot).partition("New findings")[0].split())
    for words in (
        "worst new danger: The battery current limit of 95 A is above the 90 A",
        "(+27%)",
        "tightest battery-current-above-cells: margin 15 → −5 A, exceeded",
        "work Check fuse, cable and protection board",
    ):
        assert words in text


@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_wider_than_the_page(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """80 columns at the bench."""
    assert max(cell_len(line) for line in told(name, "text", capsys).split("\n")) <= 80


@pytest.mark.parametrize("width", [40, 57])
def test_a_narrow_terminal_gets_narrow_lines(bike: Plain, width: int) -> None:
    """A phone beside the vehicle."""
    hot = changed(bike, {"settings.battery_current_A": 95, "settings.max_rpm": 6400})
    text = report("text", bike, hot, Page(width=width))
    assert max(cell_len(line) for line in text.split("\n")) <= width


def test_colour_says_nothing_that_words_do_not(bike: Plain) -> None:
    """Without the colours the same text is left."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    plain = report("text", bike, hot)
    painted = report("text", bike, hot, Page(colour=True))
    assert painted != plain and re.sub(r"\x1b\[[0-9;]*m", "", painted) == plain


@pytest.mark.parametrize("name", NAMES)
def test_the_record_fits_its_schema(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Machines rely on it."""
    record = json.loads(told(name, "json", capsys))
    assert list(validator().iter_errors(record)) == []


def test_the_schema_keeps_step_with_that_of_reports() -> None:
    """A finding in a comparison has all that a finding in a report has."""
    comparison, reported = (json.loads(schema_text(name)) for name in ("comparison", "report"))
    ours = comparison["$defs"]["finding"]
    theirs = reported["$defs"]["finding"]
    assert theirs["properties"].keys() <= ours["properties"].keys()
    assert set(theirs["required"]) <= set(ours["required"])


def test_the_record_has_the_form_of_the_design(bike: Plain) -> None:
    """Top-level keys, and a change with its numbers."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    record = json.loads(report("json", bike, hot))
    assert record["gonogo"] == "comparison/1"
    assert record["verdict"] == {"old": "go", "new": "no-go"}
    assert list(record["findings"]) == [
        "introduced",
        "worsened",
        "resolved",
        "standing",
        "unchecked",
    ]
    (change,) = record["changes"]
    keys = ("quantity", "mode", "old", "new", "unit", "share")
    assert [change[key] for key in keys] == [
        "settings.battery_current_A",
        None,
        75,
        95,
        "A",
        0.2667,
    ]
    assert record["threshold"] == 0.01 and record["harms"] is True


class Page_(HTMLParser):
    """Tags and attributes of a page, and its text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.open: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.text = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in ("meta", "br", "wbr", "input"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.mark.parametrize("name", NAMES)
def test_the_page_stands_alone(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """It is mailed, printed and read without a network."""
    text = told(name, "html", capsys)
    page = Page_(text)
    assert page.open == []
    assert not {"script", "link", "img", "iframe", "object"} & set(page.tags)
    assert not {"src", "href", "onclick", "style"} & {key for key, _ in page.attributes}
    assert "url(" not in text and "@import" not in text and "://" not in text


def test_names_that_hold_markup_show_as_they_stand(bike: Plain) -> None:
    """A vehicle's name is no place for code."""
    evil = changed(bike, {"vehicle.name": EVIL, "settings.battery_current_A": 95})
    page = Page_(report("html", bike, evil))
    assert "script" not in page.tags and "<script>alert(1)</script>" in page.text
    text = report("markdown", bike, evil)
    rendered = MarkdownIt("commonmark").enable("table").render(text)
    shown = Page_(rendered)
    assert not {"script", "a", "em"} & set(shown.tags)
    assert "<script>alert(1)</script> | `x` *b* [l](http://example.org)" in shown.text


@pytest.mark.parametrize("name", NAMES)
def test_markdown_tables_have_as_many_cells_as_heads(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A review comment that falls apart is not read."""
    text = told(name, "markdown", capsys)
    tables = [part for part in text.split("\n\n") if part.startswith("|")]
    rendered = MarkdownIt("commonmark").enable("table").render(text)
    assert rendered.count("<table>") == len(tables)
    for table in tables:
        counts = {len(re.findall(r"(?<!\\)\|", row)) for row in table.split("\n")}
        assert len(counts) == 1, table


def test_nothing_changed_is_said_in_every_format(bike: Plain) -> None:
    """Silence could also be a mistake."""
    for form in ("text", "markdown", "html"):
        assert "Both sides say the same." in report(form, bike, bike)


def test_what_is_not_judged_any_more_is_not_called_resolved(bike: Plain) -> None:
    """A reading that was taken away has put nothing right."""
    creeping = changed(bike, {"settings.throttle.start_V": 0.84})
    blind = changed(creeping, {"readings.throttle.rest_V": None})
    for form in ("text", "markdown", "html"):
        text = " ".join(report(form, creeping, blind).split())
        assert "not resolved: a value is missing now" in text
        assert "No longer checked" in text
