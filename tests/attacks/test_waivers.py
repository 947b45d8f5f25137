"""What is only accepted is counted: in every format, and whatever else the verdict hangs on."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path

import gonogo
import pytest
from gonogo.commands.main import status

BENCH = Path(__file__).parents[1] / "commands" / "bench" / "juniper.yaml"
DAY = "2026-11-25"
UNTIL = "2027-03-31"
pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def waived(tmp_path: Path) -> tuple[Path, Counter[str]]:
    """A profile of which every danger and fault that can be accepted is, and how many those are."""
    path = tmp_path / "juniper.yaml"
    text = BENCH.read_text("utf-8")
    path.write_text(text, "utf-8")
    lines = [
        f"  - {{rule: {finding.rule.id}, reason: On the roller stand only, until: {UNTIL}"
        + (f", accepts: {finding.value}" if isinstance(finding.value, int | float) else "")
        + "}\n"
        for finding in gonogo.check(path, as_of=DAY).findings
        if finding.severity != "advice"
    ]
    path.write_text(f"{text}\nwaivers:\n{''.join(lines)}", "utf-8")
    found = Counter(
        finding.severity for finding in gonogo.check(path, as_of=DAY).findings if finding.waived
    )
    assert found["danger"] >= 2
    return path, found


def said(form: str, path: Path, capsys: pytest.CaptureFixture[str], *more: str) -> str:
    status(["check", str(path), "--as-of", DAY, "--format", form, *more])
    return capsys.readouterr().out


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_every_page_says_how_many_dangers_are_waived_and_until_when(
    form: str, waived: tuple[Path, Counter[str]], capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever reads the head of a page alone knows what was accepted."""
    path, found = waived
    page = re.sub(r"<[^>]*>", "", said(form, path, capsys))
    assert re.search(rf"{found['danger']} dangers?( waived)? until {UNTIL}", page)
    assert page.count(f"until {UNTIL}") > sum(found.values())


def test_the_short_list_says_it_too(
    waived: tuple[Path, Counter[str]], capsys: pytest.CaptureFixture[str]
) -> None:
    """The list of a hundred vehicles is what is read every day."""
    path, found = waived
    line = said("text", path, capsys, "--quiet")
    assert re.search(rf"{found['danger']} dangers?( waived)? until\s+{UNTIL}", line)


def test_records_for_machines_count_them(
    waived: tuple[Path, Counter[str]], capsys: pytest.CaptureFixture[str]
) -> None:
    """A dashboard adds them up."""
    path, found = waived
    whole = json.loads(said("json", path, capsys))
    (share,) = whole["profiles"]
    assert share["counts"]["waived_dangers"] == found["danger"]
    assert sum(one["waived"] is not None for one in share["findings"]) == sum(found.values())
    sarif = json.loads(said("sarif", path, capsys))
    suppressed = [one for one in sarif["runs"][0]["results"] if one.get("suppressions")]
    assert len(suppressed) == sum(found.values())
    junit = said("junit", path, capsys)
    assert junit.count(f"until {UNTIL}") >= found["danger"]


def test_strict_refuses_what_is_only_accepted(waived: tuple[Path, Counter[str]]) -> None:
    """A release is not made over an accepted danger."""
    path, _ = waived
    assert status(["check", str(path), "--as-of", DAY, "--strict"]) == 1
