"""A page of many vehicles in a real headless Chromium: those of one verdict alone, and all on paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from .chromium import browser, made, scripted, sheets

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("frozen")]
VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
# Walks through the choices with the keys of a keyboard, as a browser obeys them, and counts what shows.
COUNT = """<script>addEventListener("load", () => {
  const seen = (what) => [...document.querySelectorAll(what)].filter((one) => one.getClientRects().length);
  const told = [...document.querySelectorAll(".filter input")].map((one) => {
    one.focus(); one.click();
    return [one.id, document.activeElement === one, seen("tr.of").length, seen("article.of").length];
  });
  document.documentElement.dataset.told = JSON.stringify(told).replaceAll('"', "");
});</script></body>"""


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """The whole workshop."""
    return made(tmp_path / "workshop.html", "check", str(VEHICLES), "--as-of", "2026-11-25")


def test_a_choice_leaves_the_vehicles_of_one_verdict(workshop: Path) -> None:
    """Who mends the refused ones reads those alone; the policy of the page forbids scripts."""
    text = workshop.read_text("utf-8")
    rows = {word: len(re.findall(rf'<tr class="of of-{word}"', text)) for word in ("no-go", "go")}
    tags = {word: len(re.findall(rf'"tag of of-{word}"', text)) for word in ("no-go", "go")}
    shown = browser(
        "--virtual-time-budget=4000", "--dump-dom",
        scripted(workshop, COUNT, "counting.html").as_uri(), folder=workshop.parent,
    )  # fmt: skip
    found = re.search(r'data-told="\[(.*?)\]"', shown)
    assert found is not None
    told = dict(re.findall(r"\[show-([a-z-]+),true,(\d+,\d+)\]", found[1] + "]"))
    assert told["no-go"] == f"{rows['no-go']},{tags['no-go']}" and rows["no-go"] > 3
    assert told["go"] == f"{rows['go']},{tags['go']}" and rows["go"] > 3
    assert told["every"] == f"{text.count('<tr class=')},{text.count('<article')}"


def test_paper_has_everything_whatever_was_chosen(workshop: Path) -> None:
    """A print of a part would lie in a folder as if it were the whole."""
    text = workshop.read_text("utf-8")
    chosen = text.replace('id="show-every" checked', 'id="show-every"')
    chosen = chosen.replace('id="show-no-go"', 'id="show-no-go" checked')
    assert chosen != text
    workshop.write_text(chosen, "utf-8")
    assert len(sheets(workshop, "tr.of > td:first-child")) == text.count('<tr class="of')
