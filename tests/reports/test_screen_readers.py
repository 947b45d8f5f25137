"""What a screen reader makes of the pages for paper and phone, read from their elements."""

from __future__ import annotations

import io
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
from gonogo.commands import bringup, enter, sheet

VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
DAY = "2026-11-25"
PAGES = [("sheet", "bracken"), ("sheet", "bindweed"), ("sheet", "ragwort"), ("enter", "bracken")]
PAGES += [("bringup", "ragwort")]


class Element:
    """An element with its attributes, its words and what it is made of."""

    def __init__(self, tag: str, attributes: dict[str, str]) -> None:
        self.tag, self.attributes = tag, attributes
        self.words = ""
        self.parts: list[Element] = []

    def all(self, *tags: str) -> list[Element]:
        """Every part of these kinds, in order; what is hidden from a screen reader left out."""
        found = []
        for part in self.parts:
            if part.attributes.get("aria-hidden") != "true":
                found += [part] * (part.tag in tags) + part.all(*tags)
        return found


class Tree(HTMLParser):
    """The elements of a page; one that is never closed would show at the end."""

    EMPTY = ("meta", "br", "wbr", "input")

    def __init__(self, text: str) -> None:
        super().__init__()
        self.root = Element("", {})
        self.open = [self.root]
        self.feed(text)
        assert self.open == [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].parts.append(element)
        if tag not in self.EMPTY:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in self.EMPTY:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop().tag == tag

    def handle_data(self, data: str) -> None:
        for element in self.open:
            element.words += data


@pytest.fixture(scope="module", params=PAGES, ids=lambda asked: "-".join(asked))
def page(request: pytest.FixtureRequest) -> Element:
    command, name = request.param
    out = io.StringIO()
    path = VEHICLES / f"{name}.yaml"
    if command == "bringup":
        bringup.run(path, {}, prints=True, form="html", as_of=DAY, out=out)
    else:
        {"sheet": sheet, "enter": enter}[command].run(path, form="html", as_of=DAY, out=out)
    return Tree(out.getvalue()).root


def test_the_page_says_its_language_and_its_title(page: Element) -> None:
    """Else numbers and units are read in the wrong tongue."""
    assert page.all("html")[0].attributes["lang"] == "en"
    assert page.all("title")[0].words == page.all("h1")[0].words
    assert len(page.all("main")) == 1


def test_headings_go_down_one_step_at_a_time(page: Element) -> None:
    """Who jumps from heading to heading misses none."""
    levels = [int(one.tag[1]) for one in page.all("h1", "h2", "h3", "h4", "h5", "h6")]
    assert levels.count(1) == 1 == levels[0] and len(levels) > 5
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert all(one.words.strip() for one in page.all("h1", "h2", "h3", "h4"))


def test_each_column_has_a_head_and_each_row_its_cells(page: Element) -> None:
    """A cell is read with the head of its column."""
    for table in page.all("table"):
        heads = [one for row in table.all("thead") for one in row.all("th")]
        assert heads and all(one.attributes["scope"] == "col" for one in heads)
        assert all(one.words.strip() for one in heads)
        for row in table.all("tbody")[0].all("tr"):
            group = row.all("th")
            if group:
                assert group[0].attributes["scope"] == "rowgroup" and len(group) == 1
            else:
                assert len([one for one in row.parts if one.tag == "td"]) == len(heads)


def test_each_drawing_is_told_in_words_and_in_a_table(page: Element) -> None:
    """Who does not see a plot has its title, its ends and its numbers."""
    sections = page.all("section")
    for place, section in enumerate(sections):
        for drawing in section.all("svg"):
            assert drawing.attributes["role"] == "img"
            assert drawing.attributes["aria-label"].startswith(section.all("h3")[0].words)
            assert any(one.all("table") for one in sections[place : place + 3])


def test_boxes_and_room_to_write_have_a_name(page: Element) -> None:
    """Not eight times "underscore"."""
    names = {
        one.attributes.get("aria-label")
        for one in page.all("span")
        if one.words.startswith(("☐", "☑", "_"))
    }
    assert names <= {"to tick", "done", "room to write"} and "room to write" in names


def test_points_of_one_list_are_one_list(page: Element) -> None:
    """A reader says how many there are."""
    assert all(len(one.all("li")) > 1 for one in page.all("ul"))
