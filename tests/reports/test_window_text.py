"""The bar and the table of windows: where today's value lies, at a glance and in any width."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from gonogo.commands.formats import as_text
from gonogo.documents.loading import load
from gonogo.judgement.window import End, RuleSpan, Span, Window
from gonogo.reports.layout import Page
from gonogo.reports.window import detail_page, margin_words, table_page
from gonogo.reports.window_bar import BAR, bar
from rich.cells import cell_len

HERE = Path(__file__).parent
OPEN = End(None, None)
WINDOW = Window(
    quantity="settings.battery_current_A",
    entered_as="settings.battery_current_A",
    mode="",
    unit="A",
    step=1,
    lowest=1,
    highest=2000,
    today=50,
    hard=Span(End(0, "spin"), End(100, "cells")),
    good=Span(End(20, "spin"), End(80, "half")),
    rules=(
        RuleSpan("battery-current-above-cells", "danger", "", None, 100),
        RuleSpan("battery-current-far-above-connector", "danger", "trail", 0, 120),
    ),
    conflict=(),
    flagged_regardless=(),
    not_checked=(),
    depends_on=(),
)


@pytest.mark.parametrize(
    ("window", "drawn"),
    [
        pytest.param(WINDOW, " ├░░━━●━░░┤ ", id="in the middle"),
        pytest.param(replace(WINDOW, today=0), " ├●░━━━━░░┤ ", id="on the lower end"),
        pytest.param(replace(WINDOW, today=100), " ├░░━━━━░●┤ ", id="on the upper end"),
        pytest.param(replace(WINDOW, today=101), " ├░░━━━━░░┤●", id="above"),
        pytest.param(replace(WINDOW, today=-1), "●├░░━━━━░░┤ ", id="below"),
        pytest.param(replace(WINDOW, today=None), " ├░░━━━━░░┤ ", id="not set"),
        pytest.param(replace(WINDOW, good=None), " ├░░░░●░░░┤ ", id="never without advice"),
        pytest.param(replace(WINDOW, hard=None), " no value fits", id="nothing fits"),
        pytest.param(
            replace(WINDOW, hard=Span(End(0, "spin"), OPEN), good=None, today=50),
            " ├░░░░●░░░╌ ",
            id="nothing bounds it above",
        ),
    ],
)
def test_the_bar_shows_where_today_lies(window: Window, drawn: str) -> None:
    """Shaded is with advice, heavy without, a broken end is open."""
    assert bar(window) == drawn.ljust(BAR)


@pytest.mark.parametrize(
    ("today", "words"),
    [
        pytest.param(90.0, "10 A left, 10%", id="inside"),
        pytest.param(100.0, "0 A left, 0%", id="on the limit"),
        pytest.param(130.0, "30 A outside", id="outside"),
        pytest.param(None, "", id="not set"),
    ],
)
def test_the_margin_in_words(today: float | None, words: str) -> None:
    """A colour alone would not do."""
    assert margin_words(replace(WINDOW, today=today)) == words


def test_a_margin_of_temperature_is_in_kelvin() -> None:
    """A difference of 5 °C is 5 K."""
    assert margin_words(replace(WINDOW, unit="degC", today=95)) == "5 K left, 5%"


@pytest.mark.parametrize("width", [40, 60, 80])
def test_the_table_fits_the_page(width: int) -> None:
    """A narrow terminal moves the margin below, and cuts nothing off."""
    profile = load(HERE / "vehicles" / "larch.yaml")
    found = [
        WINDOW,
        replace(
            WINDOW,
            quantity="settings.temperature.controller.taper_from_degC",
            unit="degC",
            conflict=("one-rule-of-several-words", "another-rule-of-several-words"),
            hard=None,
        ),
    ]
    for text in (
        as_text(table_page(found, profile), Page(width)),
        as_text(detail_page(found, profile), Page(width)),
    ):
        assert all(cell_len(line) <= width for line in text.splitlines()), text
        joined = "".join(text.split())
        assert "another-rule-of-several-words" in joined
    assert "battery-current-far-above-connector" in "".join(
        as_text(detail_page(found, profile), Page(width)).split()
    )
