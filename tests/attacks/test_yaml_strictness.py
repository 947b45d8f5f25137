"""A document says to every reader of YAML 1.2.2 what it says here, or it is refused at its place.

The documents are our own; each group names the production of the specification that it is about. Most
of the first are taken by the library that parses them, or read otherwise than they say.
"""

from __future__ import annotations

from typing import Any

import pytest
from gonogo.documents.error import NotText
from gonogo.documents.text import decode
from gonogo.documents.yaml_tree import grow

REFUSED = [
    # 7.3.3 ns-plain-first: `?` and `:` begin a word where no blank follows
    pytest.param(
        "pack: { ?series: 4 }\n", (1, 9), id="a flow key that begins with a question mark"
    ),
    pytest.param("a: [?x, 1]\n", (1, 5), id="a flow item that begins with a question mark"),
    pytest.param("a: [\n  # so\n  ?x]\n", (3, 3), id="the same behind a comment"),
    pytest.param("a: {? :x}\n", (1, 7), id="a flow key that begins with a colon"),
    # 7.4 ns-plain-safe: a dash before a bracket or comma is no word
    pytest.param("a: [-]\n", (1, 5), id="a dash alone"),
    pytest.param("a: [1, -, 2]\n", (1, 8), id="a dash alone among items"),
    # 6.9.2 ns-anchor-char: a colon belongs to a name
    pytest.param("a: &an:chor 5\n", (1, 7), id="an anchor with a colon in its name"),
    pytest.param("a: &x 5\nb: [*x:, 1]\n", (2, 5), id="an alias with a colon behind its name"),
    # 6.6 c-nb-comment-text after s-separate-in-line
    pytest.param("a: [1, 2]#two\n", (1, 10), id="a comment right after a bracket"),
    pytest.param("a: {b: 1}#two\n", (1, 10), id="a comment right after a brace"),
    pytest.param("a: [1,#one\n    2]\n", (1, 7), id="a comment right after a comma"),
    pytest.param('a: "48"#volts\n', (1, 8), id="a comment right after a quotation"),
    pytest.param("a: '48'#volts\n", (1, 8), id="a comment right after an apostrophe"),
    pytest.param("a: >#why\n  because\n", (1, 5), id="a comment right after a fold"),
    pytest.param("a: |-#why\n  because\n", (1, 6), id="a comment right after a bar"),
    pytest.param("%YAML 1.2#\n---\na: 1\n", (1, 10), id="a comment right after a directive"),
    # 6.1, 6.3 s-flow-line-prefix: lines in quotes and brackets are indented, by spaces
    pytest.param("a: [1,\n2]\n", (2, 1), id="a list at the outer indentation"),
    pytest.param("a:\n  b: {c: 1,\n  d: 2}\n", (3, 3), id="a section at the outer indentation"),
    pytest.param("- [a,\nb]\n", (2, 1), id="a list in a list at the outer indentation"),
    pytest.param('a: "one\ntwo"\n', (2, 1), id="a quotation at the outer indentation"),
    pytest.param("a:\n  b: 'one\n  two'\n", (3, 3), id="apostrophes at the outer indentation"),
    pytest.param('a: "one\n\ttwo"\n', (2, 1), id="a tab that indents a quotation"),
    pytest.param("a: [\n\t1,\n  2]\n", (2, 1), id="a tab that indents an item"),
    pytest.param("a:\n  b: [\n \t 1]\n", (3, 2), id="a tab behind too few spaces"),
    pytest.param('a: "one\n\t\n  two"\n', (2, 1), id="a tab alone in a quotation"),
    # 8.1, 8.1.1.1: the indentation of a text after `|` or `>`
    pytest.param("a: >\n    \n  text\n", (3, 3), id="blanks longer than the text's first line"),
    pytest.param("a: |\n \n   \n  text\n", (4, 3), id="the longest of several lines of blanks"),
    pytest.param(
        "a: >\n  \n # text\nb: 1\n", (2, 3), id="blanks before a text that looks a comment"
    ),
    pytest.param("a: |+\n   ", (2, 4), id="nothing but blanks that are kept"),
    pytest.param("a: |\n  text\n   ", (3, 4), id="a last line of blanks"),
    pytest.param("a:\n|\n  text\n", (2, 1), id="a bar at the outer indentation"),
    # 10.3.2: what YAML 1.1 reads otherwise
    pytest.param("a: 0777\n", (1, 4), id="a number of base eight"),
    pytest.param("a: 1_000\n", (1, 4), id="a number with an underscore"),
    pytest.param("a: 22:22\n", (1, 4), id="a number of base sixty"),
    pytest.param("%YAML 1.1\n---\na: 1\n", (1, 1), id="a document that says it is of YAML 1.1"),
    # 6.7, 5.2: characters and names (those the library refuses itself)
    pytest.param("a: 1\n\tb: 2\n", (2, 1), id="a tab that indents a section"),
    pytest.param("a: 1\na: 2\n", (2, 1), id="a key twice"),
    pytest.param("a: 1\n---\nb: 2\n", (2, 1), id="a second document"),
]


@pytest.mark.parametrize(("text", "place"), REFUSED)
def test_what_readers_of_yaml_disagree_on_is_refused(text: str, place: tuple[int, int]) -> None:
    """The phone app and the bench must not see two numbers in one file."""
    errors = grow(text, "alder.yaml").errors
    assert [(error.line, error.column) for error in errors][:1] == [place], errors


READ: list[Any] = [
    pytest.param("a: ?x\n", "?x", id="a question mark in lines of their own"),
    pytest.param("a: ['x?y', 'z ?a']\n", ["x?y", "z ?a"], id="question marks in quotes"),
    pytest.param("a: {? b : 1}\n", {"b": 1}, id="a key the long way"),
    pytest.param("a: {'b':1, \"c\" :2}\n", {"b": 1, "c": 2}, id="a colon tight to quotes"),
    pytest.param("a: x  # [1]#2, ?a :b *c:\n", "x", id="all of it in a comment"),
    pytest.param("a: '[1]#2, ?a :b *c:'\n", "[1]#2, ?a :b *c:", id="all of it in a quotation"),
    pytest.param("a: no#1\n", "no#1", id="a number sign in a word"),
    pytest.param("a: [1, # one\n  2]\n", [1, 2], id="a comment in a list"),
    pytest.param("a: [1,\n# one\n  2]\n", [1, 2], id="a comment at the outer indentation"),
    pytest.param("a: [\n  1,\n]\n", [1], id="a closing bracket at the outer indentation"),
    pytest.param("a: [\n  {b: 1},\n  ] # so\n", [{"b": 1}], id="a closing bracket with a comment"),
    pytest.param("a: [\n \t1]\n", [1], id="a tab behind enough spaces"),
    pytest.param('a: "one\n\n  two"\n', "one\ntwo", id="an empty line in a quotation"),
    pytest.param("a: |\n  x\n    \n  y\n", "x\n  \ny\n", id="blanks within a text"),
    pytest.param("a: |\n \n  x\n", "\nx\n", id="short blanks before a text"),
    pytest.param("a: |1\n  \n x\n", " \nx\n", id="blanks below an indentation that is said"),
    pytest.param("a: &x 5\n", 5, id="an anchor"),
    pytest.param("a: [&x 5, *x]\n", [5, 5], id="an alias before a bracket"),
    pytest.param("%YAML 1.2 # so\n---\na: 1\n", 1, id="a directive with a comment"),
    pytest.param("a: -1\r\nb: 2\r\n", -1, id="lines as Windows ends them"),
]


@pytest.mark.parametrize(("text", "value"), READ)
def test_what_all_readers_read_alike_is_read(text: str, value: Any) -> None:
    """Strictness refuses what could be two things, and nothing else."""
    tree = grow(text, "alder.yaml")
    assert tree.errors == () and tree.root is not None
    assert tree.root.value["a"] == value


@pytest.mark.parametrize("word", ["on", "off", "no", "Yes", "OFF"])
@pytest.mark.parametrize("text", ["vehicle: {name: WORD}\n", "modes: {WORD: {}}\n"])
def test_a_word_that_was_a_truth_stands_in_quotes(word: str, text: str) -> None:
    """A vehicle named `No` is to an older reader one without a name."""
    plain, quoted = (grow(text.replace("WORD", it), "a.yaml") for it in (word, f'"{word}"'))
    assert [error.nearest for error in plain.doubts] == [f'"{word}"']
    assert (plain.errors, quoted.errors, quoted.doubts) == ((), (), ())


@pytest.mark.parametrize("key", ["0777", "1_000", ".inf", "0x1F"])
def test_a_key_that_was_another_number_is_doubted(key: str) -> None:
    """Modes may be called by numbers, but not by ones that readers write differently."""
    assert len(grow(f"modes: {{{key}: 1}}\n", "a.yaml").doubts) == 1


@pytest.mark.parametrize("mark", ["utf-16", "utf-16-be", "utf-32"])
def test_only_utf_8_is_read(mark: str) -> None:
    """YAML may be UTF-16 (5.2); ours is not, and says what to do about it."""
    with pytest.raises(NotText) as refused:
        decode("\ufeffa: 1\n".encode(mark), "alder.yaml")
    assert (refused.value.line, refused.value.column) == (1, 1)
    assert "UTF-8" in refused.value.wanted
