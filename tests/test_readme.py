"""What the README shows is what the tool does."""

from __future__ import annotations

import io
import re
from pathlib import Path

import gonogo
from gonogo.commands import check

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
DAY = "2026-11-25"


def block(begins: str) -> str:
    """The fenced block that begins with these words."""
    found = re.search(rf"^```\w*\n({re.escape(begins)}.*?)^```$", README, re.MULTILINE | re.DOTALL)
    assert found is not None, begins
    return found[1]


def test_the_first_profile_is_go_by_labels_and_a_multimeter(tmp_path: Path) -> None:
    """Whoever copies it begins with a vehicle that may be ridden."""
    path = tmp_path / "wren.yaml"
    path.write_text(block("gonogo: profile/1"), "utf-8")
    judgement = gonogo.check(path, as_of=DAY)
    assert judgement.findings == ()
    assert judgement.stages == {"stand": "go", "ride": "go"}


def test_without_its_readings_it_may_turn_on_the_stand(tmp_path: Path) -> None:
    """Settings entered, nothing measured: that is what the first stage is for."""
    text = block("gonogo: profile/1")
    path = tmp_path / "wren.yaml"
    path.write_text(text[: text.index("readings:")], "utf-8")
    judgement = gonogo.check(path, as_of=DAY)
    assert judgement.stages == {"stand": "go", "ride": "incomplete"}
    assert {finding.rule.id for finding in judgement.findings} == {"readings-missing"}


def test_the_finding_shown_is_the_one_that_check_prints() -> None:
    """Every line of it, up to what is left out with an ellipsis; rules that come later only count."""
    out = io.StringIO()
    vehicle = ROOT / "examples" / "workshop" / "vehicles" / "dock.yaml"
    assert check.run([vehicle], as_of=DAY, out=out) == 1
    shown, closing = uncounted(block(" ▐ NO-GO")).split(" …\n")
    assert uncounted(out.getvalue()).startswith(shown)
    assert uncounted(out.getvalue()).endswith(closing)


def uncounted(text: str) -> str:
    """A report without how many rules there are."""
    counts = r"[0-9]+ (of # rules|rules checked|not checked|out of scope)"
    return re.sub(counts, r"# \1", re.sub("of [0-9]+ rules", "of # rules", text))
