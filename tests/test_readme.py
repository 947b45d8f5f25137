"""What the README and the topics show is what the tool does."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import gonogo
import pytest
from gonogo.commands.main import COMMANDS
from gonogo.documents.text import so_many
from gonogo.judgement.catalogue import catalogue
from gonogo.reports.topic import TOPICS

from . import terminal_picture
from .shown_pages import DAY, ELLIPSIS, PAGES, ROOT, acted, bench, blocks, is_shown, uncounted

README = (ROOT / "README.md").read_text("utf-8")
PROFILE = (ROOT / "lint" / "topics" / "profile.md").read_text("utf-8")
BEGINS = "gonogo: profile/1"
DOCUMENTED = (0, 1, 4)  # GO, NO-GO, INCOMPLETE


def block(begins: str, page: str) -> str:
    """The fenced block of a page that begins with these words."""
    found = re.search(rf"^```\w*\n({re.escape(begins)}.*?)^```$", page, re.MULTILINE | re.DOTALL)
    assert found is not None, begins
    return found[1]


def stages(path: Path, text: str) -> dict[str, str]:
    """The verdicts of a profile of that text."""
    path.write_text(text, "utf-8")
    return dict(gonogo.check(path, as_of=DAY).stages)


def test_the_whole_profile_is_go_by_labels_and_a_multimeter(tmp_path: Path) -> None:
    """Whoever copies it begins with a vehicle that may be ridden."""
    path = tmp_path / "wren.yaml"
    assert stages(path, block(BEGINS, PROFILE)) == {"stand": "go", "ride": "go"}
    assert gonogo.check(path, as_of=DAY).findings == ()


def test_without_its_readings_it_may_turn_on_the_stand(tmp_path: Path) -> None:
    """Settings entered, nothing measured: that is what the first stage is for."""
    text = block(BEGINS, PROFILE)
    path = tmp_path / "wren.yaml"
    assert stages(path, text[: text.index("readings:")]) == {"stand": "go", "ride": "incomplete"}
    findings = gonogo.check(path, as_of=DAY).findings
    assert {finding.rule.id for finding in findings} == {"readings-missing"}


def test_a_vehicle_fits_into_ten_lines(tmp_path: Path) -> None:
    """From the labels to a verdict of the stand, without a part file."""
    text = block(BEGINS, README)
    assert len(text.splitlines()) == 10
    assert stages(tmp_path / "wren.yaml", text) == {"stand": "go", "ride": "incomplete"}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_what_a_page_shows_is_what_is_printed(page: Path, tmp_path: Path) -> None:
    """Every call answers, and every screen is one, up to what an ellipsis leaves out."""
    for screen, shown in acted(page, bench(tmp_path)):
        assert (shown.status in DOCUMENTED, shown.err) == (True, ""), shown.call
        assert is_shown(screen or f" {ELLIPSIS}\n", shown.out), f"{shown.call}\n{shown.out}"


def test_a_screen_that_is_not_printed_is_noticed() -> None:
    """Else the test above could not fail."""
    out = " GO · 3 of 4 rules\n fit\n\n GO\n"
    assert is_shown(" GO · 8 of 9 rules\n …\n GO\n", out)
    assert is_shown(" GO · 8 of 9 rules\n …\n", out)
    for wrong in (" NO-GO\n …\n", " GO · 8 of 9 rules\n", " GO · 8 of 9 rules\n …\n NO\n"):
        assert not is_shown(wrong, out), wrong


YAML = [
    pytest.param(block.text, id=f"{page.stem}-{number}")
    for page in PAGES
    for number, block in enumerate(blocks(page))
    if block.language == "yaml" and not block.text.startswith((BEGINS, "gonogo: house"))
]


@pytest.mark.parametrize("text", YAML)
def test_what_a_page_shows_of_a_document_can_be_read(text: str, tmp_path: Path) -> None:
    """Each piece is put where it belongs in the whole profile, or beside it if it is a part."""
    hub = next(one.text for one in blocks(ROOT / "lint/topics/parts.md") if one.language == "yaml")
    whole = block(BEGINS, PROFILE)
    part = tmp_path / "parts" / "motors" / "hub.yaml"
    part.parent.mkdir(parents=True)
    (tmp_path / "house.yaml").write_text("gonogo: house/1\n", "utf-8")
    part.write_text(text if text.startswith("gonogo: part") else hub, "utf-8")
    if text.startswith("gonogo: part"):
        text = "motor:\n  part: ../parts/motors/hub.yaml\n"
    key = text.partition("\n")[0]
    kept = re.sub(rf"^{key.partition(':')[0]}:.*\n(^[ ].*\n)*", "", whole, flags=re.MULTILINE)
    path = tmp_path / "vehicles" / "wren.yaml"
    path.parent.mkdir()
    path.write_text(f"{text}{kept}" if key.startswith("#") else f"{kept}{text}", "utf-8")
    profile = gonogo.load(path)
    assert profile.name == "Wren"
    assert {waiver.rule for waiver in profile.waivers} <= catalogue().rules.keys()


def test_the_house_file_shown_holds(tmp_path: Path) -> None:
    """Its allowance is taken, and its severity is a rule's."""
    (tmp_path / "house.yaml").write_text(
        block("gonogo: house/1", (ROOT / "lint/topics/shop.md").read_text("utf-8")), "utf-8"
    )
    path = tmp_path / "wren.yaml"
    path.write_text(block(BEGINS, PROFILE), "utf-8")
    house = gonogo.load(path).house
    assert house.allowances["house.drop_percent"].value == 2
    assert house.severities.keys() <= catalogue().rules.keys()


@pytest.mark.parametrize(
    "text",
    [block.text for page in PAGES for block in blocks(page) if block.language == "python"],
)
def test_the_python_shown_runs(text: str) -> None:
    """From the top of the checkout, as it stands."""
    done = subprocess.run(
        [sys.executable, "-c", text], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("go ")


def test_the_readme_is_read_in_three_minutes() -> None:
    """At 230 words a minute, code and picture apart."""
    prose = re.sub(
        r"^```.*?^```$|<!--.*?-->|\]\([^)]*\)", "", README, flags=re.DOTALL | re.MULTILINE
    )
    words = [word for word in prose.split() if any(map(str.isalpha, word))]
    assert len(words) <= 700, so_many(len(words), "word")


def test_the_readme_names_every_command_and_links_every_topic() -> None:
    """What is not in it is not found."""
    assert [name for name in COMMANDS if f"`gonogo {name}" not in README] == []
    assert [name for name in TOPICS if f"(lint/topics/{name}.md)" not in README] == []
    linked = re.findall(r"\]\(([^)#]+)\)", README)
    assert linked and all((ROOT / path).exists() for path in linked)


def test_the_picture_is_what_a_check_prints_today() -> None:
    """Drawn anew by `python -m tests.terminal_picture`; how many rules there are does not age it."""
    drawn = terminal_picture.drawn(terminal_picture.screen())
    kept = terminal_picture.PICTURE.read_text("utf-8")
    assert WHERE.sub("", uncounted(kept)) == WHERE.sub("", uncounted(drawn))


# How far a count of rules moves what stands behind it.
WHERE = re.compile(r' x="[\d.]+"| textLength="[\d.]+"')


def test_a_topic_links_only_topics() -> None:
    """On the terminal a link is a call of the help."""
    for name in TOPICS:
        text = (ROOT / "lint" / "topics" / f"{name}.md").read_text("utf-8")
        for target in re.findall(r"\]\(([^)]+)\)", text):
            assert target.removesuffix(".md") in TOPICS, (name, target)
