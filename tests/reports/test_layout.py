"""The screen: nothing on it is wider than it, and nothing on it moves a terminal."""

from __future__ import annotations

from gonogo.documents.text import clean
from gonogo.reports import prose, text
from gonogo.reports.layout import Page
from gonogo.reports.section import Card, Report, Row, Section
from gonogo.reports.text import inside
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len


def wrapped(text: str, width: int) -> list[str]:
    """The lines of a text on a page of that width."""
    lines = prose.wrapped(prose.prose([(text,)], width), width)
    return prose.printed(lines, Page(width=width))


@given(st.text(), st.integers(min_value=8, max_value=80))
def test_no_line_is_wider_than_the_page(text: str, width: int) -> None:
    """A line that runs over the edge is broken by the terminal, in the middle of a number."""
    assert all(cell_len(line) <= width for line in wrapped(text, width))


@given(st.text(alphabet=st.characters(codec="ascii", exclude_characters="\x00"), max_size=300))
def test_wrapping_loses_no_letter(text: str) -> None:
    """Whatever is said is said in full; only spaces may go."""
    assert "".join(wrapped(text, 30)).replace(" ", "") == clean(text).replace(" ", "")


def test_a_number_keeps_its_unit_beside_it() -> None:
    """`120` at the end of a line and `A rms` on the next reads as two things."""
    assert wrapped("at most 120 A rms", 15) == ["at most", "120 A rms"]


def test_a_wide_letter_takes_two_columns() -> None:
    """A terminal gives a wide letter two columns, so four of them fit on eight."""
    assert wrapped("車車車車車", 8) == ["車車車車", "車"]


def test_a_long_path_breaks_after_a_slash() -> None:
    """A broken path is easier to put together again at a slash."""
    path = "vehicles/workshop/spring/larch.yaml"
    assert wrapped(path, 28) == ["vehicles/workshop/spring/", "larch.yaml"]


def test_text_beside_a_label_hangs_under_itself() -> None:
    """The margin holds labels and nothing else, so that the eye finds them."""
    rows = (Row("why", (("Cells overheat and can vent.",),)),)
    lines = inside([Section("", rows)], Page(width=28)).split("\n")
    assert lines == [" why         Cells overheat", "             and can vent."]


def test_a_heading_that_is_too_long_goes_on_below_and_leaves_the_name_whole() -> None:
    """A name that runs down one letter a line is no name."""
    waived = "GO WITH WAIVERS (1 danger until 2027-03-01)"
    card = Card(waived, "go", "Foxglove", passage=f"{waived} → ")
    lines = text.report(Report("diff", (card,)), Page()).splitlines()
    head = lines[: next(at for at, line in enumerate(lines) if "──" in line)]
    assert max(map(len, head)) <= 80 and len(head) == 2
    assert " ".join(" ".join(head).split()) == f"▐ {waived} → {waived} Foxglove"
