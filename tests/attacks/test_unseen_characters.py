"""What nobody sees is no part of a document, and no report sends it to a terminal or a browser."""

from __future__ import annotations

import io
import json
import unicodedata
from pathlib import Path

import pytest
from gonogo.commands import check, diff, mend, window, working
from gonogo.commands.formats import COMPARISON_FORMATS, FORMATS
from gonogo.commands.main import status
from gonogo.documents.document import try_document
from gonogo.documents.error import NotText
from gonogo.documents.files import WorkingTree
from gonogo.documents.text import clean, decode
from gonogo.documents.yaml_tree import grow

# By the Unicode Standard: Cc, Cf, Zl and Zp, and what is Default_Ignorable_Code_Point besides, as in
# DerivedCoreProperties.txt (from memory: no library at hand knows that property).
IGNORED = (
    *(0x34F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x180B, 0x180D, 0x180F, 0x3164, 0xFFA0),
    *(0x2065, 0xFFF0, 0xFFF8, 0xE0000, 0xE0041, 0xE007F, 0xE0100, 0xE01EF, 0xE0FFF, 0xFE00, 0xFE0D),
)
# Format characters that are drawn: signs above numbers in Arabic, Syriac, Kaithi and hieroglyphs.
DRAWN = ("ARABIC", "SYRIAC", "KAITHI", "EGYPTIAN")
FORMATS_OF_UNICODE = [
    code
    for code in range(0x110000)
    if unicodedata.category(chr(code)) in ("Cc", "Cf", "Zl", "Zp")
    and not unicodedata.name(chr(code), "").startswith(DRAWN)
]
LINES = {0x09, 0x0A, 0x0D}
# Marks that scripts and signs need in a document: joiners, the plain marks of direction.
NEEDED = {0x61C, 0x200C, 0x200D, 0x200E, 0x200F}
UNSEEN = {*FORMATS_OF_UNICODE, *IGNORED, *NEEDED, 0xFE0E, 0xFE0F} - {0x0A}
HOSTILE = "Al\u200fd\u200de\u200cr\u061c\u200e\ufe0f"  # all that a document may hold of them
PROFILE = (
    "gonogo: profile/1\n"
    "vehicle: {name: NAME, use: private_land}\n"
    "pack: {series: 15, cell: {full_V: 3.65}}  # NAME\n"
    "settings: {battery_current_A: 75, max_rpm: 3000, low_voltage: {cutoff_V: 80}}  # NAME\n"
    "modes: {slow: {max_rpm: 100}}\n"
    "waivers:\n"
    "  - {rule: brake-cut-missing, reason: NAME says so for this week., until: 2026-12-31}\n"
)


def test_each_unseen_character_is_refused_at_its_place() -> None:
    """A name that looks like another is another vehicle."""
    passed = []
    for code in UNSEEN - LINES - NEEDED - {0xFE0E, 0xFE0F}:
        try:
            decode(f"a: 1\nb: Al{chr(code)}der\n".encode("utf-8", "surrogatepass"), "a.yaml")
            passed.append(f"U+{code:04X}")
        except NotText as refused:
            assert (refused.line, refused.column) == (2, 6)
    assert passed == []


@pytest.mark.parametrize("escape", [r"\e", r"\0", r"\N", r"\L", r"\P", r"\x7f", r"\u202e"])
@pytest.mark.parametrize("escape_too", [r"\u200b", r"\U000E0041", r"\u2066", r"\ufeff", r"\u00ad"])
def test_an_escape_hides_nothing(escape: str, escape_too: str) -> None:
    """A text in quotes can name a character that no editor lets through."""
    tree = grow(f'a: 1\nb: "Al{escape}der"\n"c{escape_too}": 1\n', "a.yaml")
    assert [(error.line, error.column) for error in tree.errors] == [(2, 4), (3, 1)]


def test_marks_of_a_script_are_read_as_they_stand() -> None:
    """A name in Persian needs its joiner, a comment in Hebrew its mark."""
    tree = grow(f"a: {HOSTILE}\n", "a.yaml")
    assert tree.errors == () and tree.root is not None and tree.root.value == {"a": HOSTILE}


def test_no_unseen_character_is_shown() -> None:
    """Whatever a text holds, what is shown of it can be seen."""
    left = [f"U+{code:04X}" for code in UNSEEN if chr(code) in clean(f"a{chr(code)}b")]
    assert left == []


def unseen_in(text: str) -> set[str]:
    return {f"U+{ord(letter):04X}" for letter in text if ord(letter) in UNSEEN}


@pytest.fixture
def hostile(tmp_path: Path) -> Path:
    """A profile whose name, comments, reason and file all hold what nobody sees."""
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nname: Hedge\n", "utf-8")
    path = tmp_path / "al\u202e\x1b[2J\u200b\U000e0041\x85der.yaml"
    path.write_text(PROFILE.replace("NAME", HOSTILE), "utf-8")
    return path


@pytest.mark.parametrize("form", FORMATS)
def test_no_report_holds_an_unseen_character(form: str, hostile: Path) -> None:
    """A file's name must not paint a GO over a NO-GO, nor hide a word in a comment on a change."""
    hostile.with_name("alder.yaml").write_bytes(hostile.read_bytes())
    out = io.StringIO()
    check.run([hostile.parent], form, as_of="2026-11-25", out=out)
    said = out.getvalue()
    assert "low_voltage" in said or form in ("sarif", "junit", "lines")
    assert unseen_in(said) == set()
    if form in ("json", "sarif"):
        json.loads(said)


@pytest.mark.parametrize("form", COMPARISON_FORMATS)
def test_no_comparison_holds_one(form: str, hostile: Path) -> None:
    """The same of two revisions."""
    other = hostile.with_name("other.yaml")
    other.write_bytes(hostile.read_bytes().replace(b"75", b"70"))
    out = io.StringIO()
    diff.run([str(hostile), str(other)], form=form, as_of="2026-11-25", out=out)
    assert out.getvalue().strip() and unseen_in(out.getvalue()) == set()


def test_no_other_command_says_one(hostile: Path) -> None:
    """Windows, workings and differences quote documents too."""
    out = io.StringIO()
    for form in ("text", "json"):
        window.run(hostile, form=form, as_of="2026-11-25", out=out)
        working.run(hostile, "pack.full_V", form=form, as_of="2026-11-25", out=out)
    mend.run(hostile, as_of="2026-11-25", out=out)
    assert "cutoff_V" in out.getvalue() and unseen_in(out.getvalue()) == set()


def test_no_error_says_one(hostile: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A document that is refused is quoted, and so is an argument that nobody understands."""
    hostile.write_text(f"gonogo: profile/1\nvehicle: {{{HOSTILE}: {HOSTILE}}}\n", "utf-8")
    for form in FORMATS:
        status(["check", str(hostile), "--format", form])
    status(["che\x1b\u202eck"])
    status(["check", "no\x1b\u202ewhere.yaml"])
    said = capsys.readouterr()
    assert "NOT READ" in said.out and "no command" in said.err
    assert unseen_in(said.out + said.err) == set()


def test_a_refused_line_is_cleaned_where_it_is_quoted(hostile: Path) -> None:
    """The error keeps the line as it stands; who shows it cleans it."""
    hostile.write_text(f"gonogo: profile/1\nvehicle: {{{HOSTILE}: 1}}\n", "utf-8")
    reading = try_document(WorkingTree(hostile.parent), hostile.name)
    assert reading.errors
    assert all(unseen_in(str(error)) == set() for error in reading.errors)
