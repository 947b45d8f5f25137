"""Values tried without an edit: in the text where an edit would put them, and nothing written."""

from __future__ import annotations

import codecs
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.error import DocumentErrors, EditError, UsageError
from gonogo.documents.loading import load
from gonogo.documents.profile import Profile, TriedValue
from gonogo.documents.repository import open_repository
from gonogo.documents.trial import Trials
from gonogo.documents.trial_edit import TrialValue, with_value
from gonogo.documents.trial_values import trials_of, trials_of_values, value_to_try
from ruamel.yaml import YAML

HEAD = "gonogo: profile/1\nvehicle: {name: Larch}\n"
PART = "gonogo: part/1\npart: {name: A motor, source: {title: Our sheet}}\n"


def said(text: str, key: str, typed: str) -> Any:
    """What a document says once a value was tried in it, read by another reader of YAML."""
    (trial,) = trials_of([f"{key}={typed}"])
    data = with_value(text.encode(), trial.keys, trial.tried, "larch.yaml")
    value = YAML(typ="safe", pure=True).load(data.decode())
    for step in trial.keys:
        value = value[int(step)] if isinstance(value, list) else value[step]
    return value


@pytest.mark.parametrize(
    ("text", "key", "typed", "value"),
    [
        pytest.param("a: {b: 75}\n", "a.b", "90", 90, id="in brackets"),
        pytest.param("a:\n  b: 75  # as sold\n  c: 1\n", "a.b", "90.5", 90.5, id="in a line"),
        pytest.param("a:\n  b: 75\n", "a.c", "90", 90, id="a key that is new"),
        pytest.param("a: 1\n", "x.y.z", "90", 90, id="sections that are new"),
        pytest.param("a: {}\n", "a.b", "none", "none", id="in an empty section"),
        pytest.param("a:\n  b:\n    c: 1\n    d: 2\n", "a.b", "none", "none", id="for a section"),
        pytest.param("a: {b: {c: 1}, d: 2}\n", "a.b", "none", "none", id="for one in brackets"),
        pytest.param("a: {b: none}\n", "a.b.c", "5", 5, id="a section where there is none"),
        pytest.param("a: [1, 2, 3]\n", "a.1", "9", 9, id="an item of a list"),
        pytest.param("a:\n  - b: 1\n    c: 2\n  - b: 3\n", "a.0.b", "9", 9, id="a key of an item"),
        pytest.param("a:\n  - b: 1\n", "a.0.c", "9", 9, id="a new key of an item"),
        pytest.param("a:\n  - 1\n  - 2\n", "a", "[3, 4]", [3, 4], id="for a list in lines"),
        pytest.param("a: [1, 2]\n", "a", "[3]", [3], id="for a list in brackets"),
        pytest.param("a: {b: 'x'}\n", "a.b", "y z", "y z", id="for a text in quotes"),
        pytest.param("a: {b: x}\n", "a.b", "y, z", "y, z", id="a text that brackets would part"),
        pytest.param("a: {b: x}\n", "a.b", '"5"', "5", id="a text that looks like a number"),
        pytest.param("a: {b: x}\n", "a.b", "{c: 1, d: [2]}", {"c": 1, "d": [2]}, id="a section"),
        pytest.param("a:\n  b:\n  c: 1\n", "a.b", "90", 90, id="where nothing stands yet"),
        pytest.param("a: {b: true}\n", "a.b", "false", False, id="a truth"),
        pytest.param(
            "a:\r\n  b: 75\r\n  c: 1\r\n", "a.b", "90", 90, id="line ends of another system"
        ),
    ],
)
def test_a_value_stands_where_it_was_meant(text: str, key: str, typed: str, value: Any) -> None:
    """Another reader of YAML finds it there."""
    assert said(text, key, typed) == value


def test_all_else_stays() -> None:
    """What was not meant to be tried is as the file has it."""
    text = "# Ours\na: {b: 75, c: [1, 2]}  # as sold\nd:\n  e: 5\n"
    (trial,) = trials_of(["a.b=90"])
    told = with_value(text.encode(), trial.keys, trial.tried, "a.yaml").decode()
    assert told == text.replace("75", "90")


def test_a_mark_of_byte_order_does_no_harm() -> None:
    """Some editors write one."""
    told = with_value(codecs.BOM_UTF8 + b"a: 1\n", ("a",), TrialValue("2", 2), "a.yaml")
    assert told.decode("utf-8-sig") == "a: 2\n"


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        pytest.param("a: &x {b: 1}\nc: *x\n", ("a", "b"), id="an alias would change too"),
        pytest.param("a: &x {b: 1}\nc: *x\n", ("c", "b"), id="through an alias"),
        pytest.param("a: [1, 2]\n", ("a", "2"), id="past the end of a list"),
        pytest.param("a: [1, 2]\n", ("a", "b"), id="a list has no keys"),
        pytest.param("a: [1, 2\n", ("a",), id="no YAML"),
    ],
)
def test_what_would_change_more_is_refused(text: str, keys: tuple[str, ...]) -> None:
    """A trial of something else than was asked for answers another question."""
    with pytest.raises(EditError):
        with_value(text.encode(), keys, TrialValue("9", 9), "a.yaml")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("settings.max_rpm", "expected key=value"),
        ("=5", "expected key=value"),
        ("settings..max_rpm=5", "expected key=value"),
        ("settings.max_rpm=", "found no value"),
        ("settings.max_rpm=12_000", "Did you mean `12000`"),
        ("settings.max_rpm=.inf", "finite"),
        ("settings.max_rpm=[1, 2", "Found"),
        ("settings.max_rpm=5\nwaivers: []", "several lines|Found"),
        ("settings.max_rpm=5, x: 6", "Found"),
        ("settings.max_rpm=!!int 5", "Found"),
    ],
)
def test_a_text_that_says_no_value_is_refused(text: str, words: str) -> None:
    """By the reader of documents, so that a slip there is a slip here."""
    with pytest.raises(UsageError, match=words):
        trials_of([text])


def test_one_key_has_one_value() -> None:
    """Which of two counts nobody should have to guess."""
    with pytest.raises(UsageError, match="twice"):
        trials_of(["settings.max_rpm=5", "settings.max_rpm=6"])


def test_plain_data_is_taken_as_it_is() -> None:
    """From Python a text stays a text, and none is none."""
    values: Mapping[str, object] = {
        "a.b": 5,
        "a.c": "7",
        "a.d": "none",
        "a.e": [1.5, 2],
        "a.f": True,
    }
    told = {trial.key: trial.tried.value for trial in trials_of_values(values, "set=")}
    assert told == values
    with pytest.raises(UsageError, match="plain data"):
        trials_of_values({"a": object()}, "set=")
    assert value_to_try("none", "x").value == "none"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A profile that takes a motor, and has settings of its own."""
    (tmp_path / "house.yaml").write_text("gonogo: house/1\n", "utf-8")
    (tmp_path / "motor.yaml").write_text(
        f"{PART}motor: {{magnets: 14, kv_rpm_per_V: 70, phase_current_A_rms: 110, max_rpm: 5000}}\n",
        "utf-8",
    )
    (tmp_path / "larch.yaml").write_text(
        f"{HEAD}motor: {{part: motor.yaml, magnets: 14}}\n"
        "settings: {battery_current_A: 75, max_rpm: 4000}\n"
        "modes: {eco: {max_rpm: 3000}}\n",
        "utf-8",
    )
    return tmp_path


def tried(folder: Path, *texts: str) -> Profile:
    """A profile with values tried."""
    return Trials(trials_of(texts)).load(*open_repository(folder / "larch.yaml"))


def test_a_profile_has_the_value_and_says_what_its_file_says(shop: Path) -> None:
    """And the file on the disk is as it was."""
    before = {path: path.read_bytes() for path in shop.iterdir()}
    profile = tried(shop, "settings.battery_current_A=90", "modes.eco.battery_current_A=40")
    assert profile.value("settings.battery_current_A") == 90
    own = profile.modes["eco"]["settings.battery_current_A"]
    assert own is not None and own.value == 40
    assert profile.tried == (
        TriedValue("settings.battery_current_A", "90", "75", "larch.yaml"),
        TriedValue("modes.eco.battery_current_A", "40", None, "larch.yaml"),
    )
    assert {path: path.read_bytes() for path in shop.iterdir()} == before


def test_a_lower_rating_is_tried_beside_the_part(shop: Path) -> None:
    """As a profile may have it: the part says otherwise, and the report says what."""
    profile = tried(shop, "motor.max_rpm=4500")
    assert profile.value("motor.max_rpm") == 4500
    assert [one.quantity for one in profile.overrides] == ["motor.max_rpm"]
    assert profile.tried == (TriedValue("motor.max_rpm", "4500", "5000", "motor.yaml"),)


def test_a_higher_rating_is_tried_in_the_part(shop: Path) -> None:
    """A profile may not raise it; the question is what if the part were another."""
    profile = tried(shop, "motor.max_rpm=6000", "settings.max_rpm=4100")
    assert profile.value("motor.max_rpm") == 6000
    assert profile.givens["motor.max_rpm"].place.file == "motor.yaml"
    assert profile.overrides == ()
    assert profile.tried == (
        TriedValue("motor.max_rpm", "6000", "5000", "motor.yaml", in_part=True),
        TriedValue("settings.max_rpm", "4100", "4000", "larch.yaml"),
    )
    assert load(shop / "larch.yaml").value("motor.max_rpm") == 5000


def test_a_higher_rating_inside_a_part_of_a_part_is_tried_there(shop: Path) -> None:
    """The innermost file says it."""
    (shop / "cell.yaml").write_text(
        f"{PART}cell: {{chemistry: nmc, full_V: 4.2, continuous_A: 10}}\n", "utf-8"
    )
    (shop / "pack.yaml").write_text(
        f"{PART}pack: {{series: 14, parallel: 4, cell: {{part: cell.yaml}}}}\n", "utf-8"
    )
    (shop / "larch.yaml").write_text(f"{HEAD}pack: {{part: pack.yaml}}\n", "utf-8")
    profile = tried(shop, "pack.cell.continuous_A=20")
    assert profile.value("pack.cell.continuous_A") == 20
    assert profile.tried == (
        TriedValue("pack.cell.continuous_A", "20", "10", "cell.yaml", in_part=True),
    )
    assert profile.overrides == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("settings.batery_current_A=90", "Did you mean `battery_current_A`"),
        ("setings.battery_current_A=90", "Did you mean `settings`"),
        ("settings.battery_current_A=-5", "from 1 to 2000"),
        ("settings.battery_current_A=yes", "number of amperes"),
        ('settings.battery_current_A="90"', "without quotes"),
        ("motor.part=moter.yaml", "part file of a motor.* Did you mean `motor.yaml`"),
        ("settings.battery_current_A.x=5", "Found a section"),
    ],
)
def test_a_value_that_cannot_be_is_wrong_usage(shop: Path, text: str, words: str) -> None:
    """The file is in order; what was typed is not."""
    with pytest.raises(UsageError, match=words) as caught:
        tried(shop, text)
    assert text.partition("=")[0] in str(caught.value)


def test_a_file_that_cannot_be_read_is_told_as_such(shop: Path) -> None:
    """No trial hides what is wrong with the file itself."""
    (shop / "larch.yaml").write_text(f"{HEAD}settings: {{max_rpm: fast}}\n", "utf-8")
    with pytest.raises(DocumentErrors):
        tried(shop, "settings.battery_current_A=90")
    (shop / "larch.yaml").write_text(f"{HEAD}settings: {{max_rpm: 5\n", "utf-8")
    with pytest.raises(DocumentErrors):
        tried(shop, "settings.battery_current_A=90")
