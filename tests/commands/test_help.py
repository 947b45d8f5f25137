"""`gonogo help`: topics, commands and keys explained where they are needed."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from gonogo.commands.formats import page_as
from gonogo.commands.help import KEYS, OTHER_TOPICS, run
from gonogo.commands.main import COMMANDS, status
from gonogo.documents.error import UsageError
from gonogo.documents.schema import canonical, properties
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.entry_uses import Need, entry_uses
from gonogo.judgement.first_ride import first_ride
from gonogo.judgement.verdict import STAGES
from gonogo.reports.keys import keys_page, part_that_holds
from gonogo.reports.layout import Page
from gonogo.reports.section import Code, Notice, Passage, Table, Toned, Verbatim
from gonogo.reports.topic import TOPICS, inline, title_of_topic, topic_page, topic_text
from rich.cells import cell_len

Expect = Callable[[str, str], None]
WIDTHS = (50, 80, 120)


def printed(*arguments: object, every: bool = False) -> str:
    """What the command prints."""
    out = io.StringIO()
    assert run(*arguments, out=out, every=every) == 0  # type: ignore[arg-type]
    return out.getvalue()


def test_the_list_names_every_topic() -> None:
    """Whoever starts asks what there is to read."""
    said = printed()
    assert [name for name in (*TOPICS, KEYS) if f" {name} " not in said] == []


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_fits_the_terminal(name: str, width: int) -> None:
    """Words wrap; what is to be copied stands as it is."""
    page = topic_page(topic_text(name))
    kept = {
        line
        for section in page.cards[0].sections
        for block in section.blocks
        if isinstance(block, Verbatim)
        for line in block.lines
    }
    lines = page_as("text", page, Page(width=width)).split("\n")
    assert all(cell_len(line) <= width or line.strip() in map(str.strip, kept) for line in lines)


def test_markdown_is_read_as_it_is_written() -> None:
    """Headings, paragraphs, points that go on, tables, code and links."""
    text = "# A `b`\n\nOne\ntwo *x*.\n\n- p\n  q\n- r\n\n| h | i |\n|---|---|\n| `c` | d |\n\n"
    page = topic_page(f"{text}## Then\n\n```sh\n# no heading\n\ngo\n```\n")
    first, then = page.cards[0].sections
    assert (page.title, then.title) == ("A b", "Then")
    assert first.blocks == (
        Passage(("One two ", Toned("x", "bold"), ".")),
        Passage(("p q",), "•"),
        Passage(("r",), "•"),
        Table(("h", "i"), (((Code("c"),), ("d",)),)),
    )
    assert then.blocks == (Verbatim(("# no heading", "", "go"), "sh"),)
    assert inline("see [all](status.md)")[-2] == Code("gonogo help status")


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_is_a_page_too(name: str) -> None:
    """Every line of its code stands on it, and its Markdown is the file itself."""
    page = HTMLText()
    page.feed(printed(name, "html"))
    for block in re.findall(r"^```\w*\n(.*?)^```$", topic_text(name), re.DOTALL | re.MULTILINE):
        assert block in page.text
    assert printed(name, "markdown") == topic_text(name)


class HTMLText(HTMLParser):
    """The text of a page."""

    text = ""

    def handle_data(self, data: str) -> None:
        """A piece of it."""
        self.text += data


def test_a_command_shows_its_own_help(capsys: pytest.CaptureFixture[str]) -> None:
    """Nobody has to know which of the two ways it is."""
    for name in (name for name in COMMANDS if name not in TOPICS):
        assert status(["help", name]) == 0
        assert f"Usage: gonogo {name} " in capsys.readouterr().out


def test_a_topic_of_a_commands_name_is_reached(capsys: pytest.CaptureFixture[str]) -> None:
    """It says where the command's options are told; so every topic that is listed can be read."""
    assert [name for name in COMMANDS if name in TOPICS] == ["shop", "waivers"]
    for name in TOPICS:
        assert status(["help", name]) == 0
        said = " ".join(capsys.readouterr().out.split())
        assert title_of_topic(name) in said and "Usage:" not in said
        assert (f"gonogo {name} --help shows the usage" in said) == (name in COMMANDS)


@pytest.mark.parametrize(("word", "topic"), OTHER_TOPICS.items())
def test_a_word_that_a_topic_explains_leads_to_it(word: str, topic: str) -> None:
    """Whoever is told to write `retired` into the house file asks for just that word."""
    assert topic in TOPICS and word not in (*TOPICS, *COMMANDS)
    assert printed(word) == printed(topic)
    assert word.removesuffix("s").removesuffix(".yaml") in topic_text(topic).lower()


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("finding", "findings"),
        ("waiver", "waivers"),
        ("chek", "check"),
        ("keyz", "keys"),
        ("settings.max_rpn", "settings.max_rpm"),
        ("fuse-missing", "gonogo rules fuse-missing"),
        ("qwertz", "`gonogo help` lists"),
    ],
)
def test_a_typing_mistake_is_answered_with_the_nearest_name(slip: str, meant: str) -> None:
    """Whoever asks for help gets it."""
    with pytest.raises(UsageError) as mistake:
        run(slip)
    assert meant in str(mistake.value)


# ── keys ──────────────────────────────────────────────────────────────────────────────────────


def test_every_key_is_told_once() -> None:
    """A quantity once, its other units beside it."""
    paths = [use.entry.path for use in entry_uses()]
    assert len(paths) == len(set(paths)) == len(canonical())
    others = [other.path for use in entry_uses() for other in use.others]
    assert sorted([*paths, *others]) == sorted(properties())


def test_first_come_the_keys_that_the_stages_wait_for() -> None:
    """A first ride needs fewer keys than a hand-over, and the stand fewer still."""
    needs = [use.need for use in entry_uses()]
    assert needs.count(Need.STAND) < 30 < needs.count(Need.RIDE) < 80
    assert set(first_ride(catalogue())) <= {
        use.entry.path for use in entry_uses() if use.need in (*STAGES, Need.BESIDE)
    }
    first = {use.entry.path for use in entry_uses() if use.need == Need.STAND}
    assert {"pack.full_V", "settings.battery_current_A", "wiring.fuse"} <= first
    for use in entry_uses():
        if use.need in STAGES and use.entry.path != "vehicle.name":
            assert any(rule.gate for rule in (*use.readers, *use.through)), use.entry.path


def test_a_key_is_explained_with_all_that_is_known(expect: Expect) -> None:
    """Purpose, unit, label, measurement, part file, what stands for it, and the rules."""
    expect("screens/key.txt", printed("settings.phase_current_A_rms"))


@pytest.mark.parametrize("name", ["settings.phase_current_A_peak", "phase_current_A_peak"])
def test_a_key_is_found_in_whatever_way_it_is_asked_for(name: str) -> None:
    """By another unit, or by its last word alone."""
    assert "settings.phase_current_A_rms: phase current limit" in printed(name)


def test_a_section_tells_its_keys() -> None:
    """All of them, as the schema has them."""
    below = [path for path in properties() if f"{path}.".startswith("pack.bms.")]
    assert printed("pack.bms").count("\n key ") == len(below) > 5


def test_a_part_file_may_hold_what_makes_a_part() -> None:
    """A cell lies in a pack, and settings in neither."""
    assert part_that_holds("pack.cell.full_V") == "cell"
    assert part_that_holds("pack.series") == "pack"
    assert part_that_holds("wiring.fuse.rated_A") == part_that_holds("readings.pack_V") == ""


@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize("width", WIDTHS)
def test_the_keys_fit_the_terminal(width: int, full: bool) -> None:
    """Nothing sticks out."""
    lines = page_as("text", keys_page(full), Page(width=width)).split("\n")
    assert max(map(cell_len, lines)) <= width


LONG_KEY = 26  # letters; a longer one leaves its unit no room beside it


def test_a_long_unit_breaks_no_line_of_the_keys() -> None:
    """`km/h` is wider than its column; the row stays one line, and its title in its column."""
    lines = page_as("text", keys_page(False), Page(width=80)).split("\n")
    limit = next(line for line in lines if line.strip().startswith("speed_limit_km_h"))
    rider = next(line for line in lines if line.strip().startswith("rider_kg"))
    assert limit.index("vehicle speed limit") == rider.index("mass of rider")
    broken = [before for before, line in pairwise(lines) if re.match(r" *(km/h|A rms) ", line)]
    assert all(len(key.strip()) > LONG_KEY for key in broken)


def test_the_keys_are_a_page_to_print() -> None:
    """In Markdown and HTML every key is explained."""
    for form in ("markdown", "html"):
        said = printed(KEYS, form).replace("<wbr>", "")
        assert [use.entry.path for use in entry_uses() if use.entry.path not in said] == []
        assert "on a label" in said


def test_what_is_read_by_no_rule_is_no_key_of_a_first_ride() -> None:
    """But the name, which the schema asks for."""
    for use in entry_uses():
        if not (use.readers or use.through) and use.entry.path != "vehicle.name":
            assert use.need == Need.REST


def test_a_notice_names_all_rules_where_one_key_is_asked_for() -> None:
    """In the long list those that only calculate with it are counted; of very many some are named."""
    series = next(use for use in entry_uses() if use.entry.path == "pack.series")
    said = " ".join(printed("pack.series").split())
    assert all(rule.id in said for rule in series.readers)
    named = [rule for rule in series.through if rule.id in said]
    assert len(named) >= 16 and f"and {len(series.through) - len(named)} more" in said
    blocks = [block for section in keys_page(True).cards[0].sections for block in section.blocks]
    assert any("and" in str(block) for block in blocks if isinstance(block, Notice))


@pytest.mark.parametrize(
    ("asked", "named"),
    [
        pytest.param("battery", ("pack", "battery_cable_mm2"), id="a section's other name"),
        pytest.param("voltage", ("settings.low_voltage", "nominal_V"), id="what a unit measures"),
        pytest.param("ESC", ("controller",), id="a word of the workshop in capitals"),
        pytest.param("estop", ("wiring.kill_switch",), id="a key's other name"),
        pytest.param("battery cable", ("battery_cable_m",), id="two words"),
        pytest.param("cutoffs", ("cutoff_V",), id="several of them"),
    ],
)
def test_a_word_is_answered_with_the_keys_in_which_it_stands(
    asked: str, named: tuple[str, ...]
) -> None:
    """Nobody knows the keys by heart; the words of the trade are known to everybody."""
    said = printed(asked)
    assert f"Keys with the word {asked}" in said
    assert [name for name in named if name not in said.split()] == []


def test_a_word_that_may_be_one_of_several_is_not_said_of_each() -> None:
    """A battery's type is its chemistry: that makes no series cell count of a battery."""
    assert " series " not in printed("battery")


@pytest.mark.parametrize(("asked", "named"), [("BMS", "pack.bms"), ("MAX_RPM", "motor.max_rpm")])
def test_a_key_in_capitals_is_the_same_key(asked: str, named: str) -> None:
    """As a label has it."""
    assert f" {named}: " in printed(asked)
