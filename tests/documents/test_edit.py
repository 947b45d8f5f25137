"""Edits: a value changed or added, and every byte beside it as it was."""

from __future__ import annotations

import pytest
from gonogo.documents.edit import Edit, edited
from gonogo.documents.error import EditError
from gonogo.documents.written import number_text
from hypothesis import given, settings
from hypothesis import strategies as st

NAMES = ("max_rpm", "battery_current_A", "pole_pairs", "reverse_rpm", "pack_nominal_V")
BOM = b"\xef\xbb\xbf"

spaces = st.sampled_from((" ", "  ", "   "))
comments = st.sampled_from(("", " # as found", '   # 48 V?  über 60 km/h, "quoted"', " #"))
numbers = st.integers(0, 99999).map(lambda n: n / 10).map(str) | st.integers(1, 9999).map(str)
ends = st.sampled_from(("\n", "\r\n"))


@st.composite
def documents(draw: st.DrawFn) -> tuple[list[str], dict[str, int], str]:
    """A document in pieces, every second of which is a value; and which piece is whose."""
    end = draw(ends)
    pieces = [f"gonogo: profile/1{draw(comments)}{end}{end}vehicle: {{name: 'Élan # 2'}}{end}"]
    where: dict[str, int] = {}
    names = draw(st.permutations(NAMES))
    flow = draw(st.booleans())
    pieces[-1] += "settings: {" if flow else f"settings:{draw(comments)}{end}"
    margin = draw(spaces)
    for number, name in enumerate(names):
        last = number == len(names) - 1
        if flow:
            pieces[-1] += f"{name}:{draw(spaces)}"
        else:
            if draw(st.booleans()):
                pieces[-1] += f"{end}{margin}# {name} comes next{end}"
            pieces[-1] += f"{margin}{name}:{draw(spaces)}"
        where[name] = len(pieces)
        pieces.append(draw(numbers))
        if flow:
            pieces.append("}" if last else f"{draw(st.sampled_from((', ', ' ,', ',  ')))}")
        else:
            pieces.append(f"{draw(comments)}{end}")
    pieces[-1] += f"{draw(comments)}{end}readings: {{ambient_degC: 17}}"
    pieces[-1] += draw(st.sampled_from(("", end, end + end)))
    return pieces, where, end


@settings(max_examples=150, deadline=None)
@given(documents(), st.sets(st.sampled_from(NAMES)), st.integers(1, 9999), st.booleans())
def test_an_edit_leaves_every_other_byte_alone(
    document: tuple[list[str], dict[str, int], str], changed: set[str], value: int, bom: bool
) -> None:
    """Comments, quotation marks, spaces and line ends belong to whoever wrote them."""
    pieces, where, _ = document
    wanted = list(pieces)
    for name in changed:
        wanted[where[name]] = number_text(value, pieces[where[name]])
    mark = BOM if bom else b""
    data = mark + "".join(pieces).encode()
    changes = [Edit(("settings", name), value) for name in changed]
    assert edited(data, changes, "larch.yaml") == mark + "".join(wanted).encode()


@settings(max_examples=150, deadline=None)
@given(documents(), st.integers(1, 80))
def test_an_added_value_takes_nothing_away(
    document: tuple[list[str], dict[str, int], str], value: int
) -> None:
    """What was there stays there, in its order; only the new entry comes between."""
    pieces, _, end = document
    before = "".join(pieces).encode()
    after = edited(before, [Edit(("settings", "low_voltage", "stop_V"), value)], "larch.yaml")
    at = next(
        (n for n, (a, b) in enumerate(zip(before, after, strict=False)) if a != b), len(before)
    )
    grown = len(after) - len(before)
    # A shared letter may be counted to either side of the new entry; so allow for its length.
    assert any(
        before[:cut] == after[:cut] and before[cut:] == after[cut + grown :]
        for cut in range(max(0, at - grown), at + 1)
    )
    new = after.replace(b"\r\n", b"\n")
    assert f"stop_V: {value}".encode() in new
    assert (b"\r\n" in after) == (end == "\r\n")


CASES = [
    pytest.param(
        "settings:\n  throttle: {full_V: 4}\n",
        ("settings", "throttle", "start_V"),
        "settings:\n  throttle: {start_V: 1, full_V: 4}\n",
        id="first of a section in braces",
    ),
    pytest.param(
        "settings:\n  throttle: {}\n",
        ("settings", "throttle", "start_V"),
        "settings:\n  throttle: {start_V: 1}\n",
        id="only one of a section in braces",
    ),
    pytest.param(
        "settings:\n    throttle:\n        full_V: 4   # worn\n",
        ("settings", "throttle", "start_V"),
        "settings:\n    throttle:\n        start_V: 1\n        full_V: 4   # worn\n",
        id="first of a section in lines",
    ),
    pytest.param(
        "settings:\n  throttle:\n    start_V: 1.1  # a\n\n# end",
        ("settings", "throttle", "full_V"),
        "settings:\n  throttle:\n    start_V: 1.1  # a\n    full_V: 1\n\n# end",
        id="behind the one before it, with its comment",
    ),
    pytest.param(
        "settings:\n   pole_pairs: 5",
        ("settings", "throttle", "full_V"),
        "settings:\n   pole_pairs: 5\n   throttle:\n      full_V: 1",
        id="a section that was not there, in the file's own indentation",
    ),
    pytest.param(
        "settings: {pole_pairs: 5}\nreadings: {ambient_degC: 7}\n",
        ("settings", "throttle", "full_V"),
        "settings: {pole_pairs: 5, throttle: {full_V: 1}}\nreadings: {ambient_degC: 7}\n",
        id="a section in braces inside braces",
    ),
    pytest.param(
        "vehicle: {name: X}\nreadings: {ambient_degC: 7}\n",
        ("settings", "pole_pairs"),
        "vehicle: {name: X}\nsettings:\n  pole_pairs: 1\nreadings: {ambient_degC: 7}\n",
        id="a whole section, where the schema puts it",
    ),
    pytest.param(
        "settings:\n  throttle: {start_V: 1.0, # low\n    full_V: 4, }  # high\n",
        ("settings", "throttle", "lost_above_V"),
        "settings:\n  throttle: {start_V: 1.0, # low\n    full_V: 4, lost_above_V: 1, }  # high\n",
        id="braces over two lines with a comma at the end",
    ),
    pytest.param(
        "modes:\n  lane: {throttle: {ramp_ms: 90}}\n",
        ("modes", "lane", "max_rpm"),
        "modes:\n  lane: {max_rpm: 1, throttle: {ramp_ms: 90}}\n",
        id="in a mode",
    ),
]


@pytest.mark.parametrize(("before", "keys", "after"), CASES)
def test_a_new_entry_stands_where_a_reader_looks_for_it(
    before: str, keys: tuple[str, ...], after: str
) -> None:
    """In its section, in the file's own style."""
    assert edited(before.encode(), [Edit(keys, 1)], "larch.yaml").decode() == after


def test_a_quoted_text_keeps_its_marks() -> None:
    """Somebody put them there for a reason."""
    text = b"settings: {direction: 'forward', temperature: {motor: {sensor: pt100}}}\n"
    changes = [
        Edit(("settings", "direction"), "reversed"),
        Edit(("settings", "temperature", "motor", "sensor"), "pt1000"),
    ]
    after = edited(text, changes, "larch.yaml")
    assert after == text.replace(b"forward", b"reversed").replace(b"pt100", b"pt1000")


def test_a_value_that_others_share_is_not_changed_behind_their_backs() -> None:
    """The alias of another mode would move with it, unseen."""
    text = b"settings: &all {max_rpm: 4000}\nmodes: {lane: *all}\n"
    with pytest.raises(EditError) as caught:
        edited(text, [Edit(("settings", "max_rpm"), 3000)], "larch.yaml")
    assert caught.value.file == "larch.yaml"
    assert "Nothing was written to" in str(caught.value)


@pytest.mark.parametrize("between", [" ", "   ", "  # the sticker's\n    ", "\n\n    "])
def test_a_value_that_has_a_name_keeps_it(between: str) -> None:
    """The name and the comment behind it are the builder's own."""
    text = f"settings:\n  max_rpm: &top{between}4000  # as found\n"
    after = edited(text.encode(), [Edit(("settings", "max_rpm"), 3900)], "larch.yaml")
    assert after.decode() == text.replace("4000", "3900")


def test_a_value_and_its_alias_are_both_replaced() -> None:
    """Where both are meant, each gets its own."""
    text = b"settings: {max_rpm: &top 4000}\nmodes: {yard: {max_rpm: *top}}\n"
    changes = [
        Edit(("settings", "max_rpm"), 3900),
        Edit(("modes", "yard", "max_rpm"), 1200),
    ]
    wanted = b"settings: {max_rpm: &top 3900}\nmodes: {yard: {max_rpm: 1200}}\n"
    assert edited(text, changes, "larch.yaml") == wanted


def test_an_alias_is_replaced_where_it_stands() -> None:
    """Only this use of the shared value is meant."""
    text = b"settings: {reverse_rpm: &slow 300, max_rpm: *slow}\n"
    after = edited(text, [Edit(("settings", "max_rpm"), 200)], "larch.yaml")
    assert after == b"settings: {reverse_rpm: &slow 300, max_rpm: 200}\n"


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(b"settings: none\n", id="no section where one must be"),
        pytest.param(b"settings: {a: 1\n", id="no YAML"),
    ],
)
def test_what_cannot_be_edited_is_left_alone(text: bytes) -> None:
    """Better nothing than a guess."""
    with pytest.raises(EditError):
        edited(text, [Edit(("settings", "pole_pairs"), 7)], "larch.yaml")
