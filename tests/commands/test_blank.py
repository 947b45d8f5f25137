"""`gonogo new --blank`: a form for an editor, of which every line can be uncommented."""

from __future__ import annotations

import io
import re
from pathlib import Path

import gonogo
import pytest
from gonogo.commands import new
from gonogo.documents.blank_profile import ENTRY, REMARK, blank_text
from gonogo.documents.error import DocumentErrors, UsageError
from gonogo.documents.files import WorkingTree
from gonogo.documents.loading import load_profile
from gonogo.documents.profile import Profile
from gonogo.documents.repository import Draft, Repository
from gonogo.documents.schema import properties
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.first_ride import first_ride
from gonogo.judgement.proposal import starting_points

DAY = "2026-11-25"
NAMES = first_ride(catalogue())
BLANK = blank_text(NAMES, {"vehicle.name": "Wren"}, "All of it.")
LINES = BLANK.splitlines()
ENTRY_LINE = re.compile(r"# ( *)([a-z]\w*):(?: ([^#]*\S))? *(?:#.*)?")


def _entries() -> dict[str, list[int]]:
    """Each entry with its line, behind those of its sections."""
    found: dict[str, list[int]] = {}
    above: list[tuple[int, str, int]] = []
    for number, line in enumerate(LINES):
        plain = f"{ENTRY}{line}" if line == "vehicle:" else line
        told = ENTRY_LINE.fullmatch(plain)
        if told is None:
            continue
        above = [one for one in above if one[0] < len(told[1])]
        keys = [*(key for _, key, _ in above), told[2]]
        if told[3] is None:
            above.append((len(told[1]), told[2], number))
        else:
            found[".".join(keys)] = [*(line for _, _, line in above), number]
    return found


ENTRIES = _entries()


def read(text: str, folder: Path) -> Profile:
    repository = Repository(Draft(WorkingTree(folder), "wren.yaml", text.encode()))
    return load_profile(repository, "wren.yaml")


def uncommented(numbers: list[int]) -> str:
    kept = [line.removeprefix(ENTRY) if at in numbers else line for at, line in enumerate(LINES)]
    return "\n".join(kept) + "\n"


def test_it_holds_every_entry_of_a_first_ride() -> None:
    """And nothing that cannot be uncommented; of a pair of keys one."""
    assert list(ENTRIES) == NAMES
    assert {properties()[name].quantity for name in NAMES} >= {
        name for name in starting_points() if properties()[name].kind != "section"
    }


@pytest.mark.parametrize("name", ENTRIES)
def test_each_line_uncommented_is_a_valid_entry(name: str, tmp_path: Path) -> None:
    """With the lines of its sections, and the value that stands there as an example."""
    profile = read(uncommented(ENTRIES[name]), tmp_path)
    assert profile.givens[properties()[name].quantity].value is not None


def test_an_editor_may_uncomment_all_of_it(tmp_path: Path) -> None:
    """What explains stays a comment, and the examples fit beside each other."""
    text = uncommented(list(range(len(LINES))))
    assert text.count(REMARK) == BLANK.count(REMARK)
    assert set(read(text, tmp_path).givens) >= {properties()[name].quantity for name in NAMES}


def test_nobody_rides_on_the_examples(tmp_path: Path) -> None:
    """They are of no vehicle: whoever takes them all for his own is stopped."""
    path = tmp_path / "wren.yaml"
    path.write_text(uncommented(list(range(len(LINES)))), "utf-8")
    assert gonogo.check(path, as_of=DAY).stages == {"stand": "no-go", "ride": "no-go"}


def test_every_entry_is_explained_and_has_its_unit() -> None:
    """What it is for stands above, the unit beside."""
    for name, numbers in ENTRIES.items():
        entry = properties()[name]
        remark = LINES[numbers[-1] - 1]
        above = numbers[-1] - 1
        while not LINES[above].startswith(f"{REMARK} "):
            above -= 1
        assert remark.startswith(REMARK), name
        if entry.unit and entry.kind != "list":
            assert "  # " in LINES[numbers[-1]], name


def test_the_file_as_it_is_written_waits_for_everything(tmp_path: Path) -> None:
    """No example counts before somebody has taken it."""
    path, out = tmp_path / "my-cart.yaml", io.StringIO()
    assert new.run(path, {}, [], out=out, blank=True) == 0
    assert f"{len(NAMES)} lines to uncomment" in out.getvalue()
    assert read(path.read_text("utf-8"), tmp_path).name == "My cart"
    judgement = gonogo.check(path, as_of=DAY)
    assert judgement.stages == {"stand": "incomplete", "ride": "incomplete"}
    assert [finding.rule.id for finding in judgement.findings] == ["readings-missing"]
    assert max(map(len, path.read_text("utf-8").splitlines())) <= 80


def test_answers_by_option_are_entered(tmp_path: Path) -> None:
    """They stand as values; the other key of their pair is left out, which would contradict."""
    path = tmp_path / "cart.yaml"
    also = ["controller.phase_current_A_peak=200", "wiring.fuse=none"]
    new.run(path, {"name": "Tern", "wheels": "4"}, also, blank=True, out=io.StringIO())
    text = path.read_text("utf-8")
    assert "\n  wheels: 4\n" in text and "\n  fuse: none\n" in text
    assert "\ncontroller:\n" in text and "\n  phase_current_A_peak: 200\n" in text
    assert "#   phase_current_A_rms: 180 " not in text
    assert read(text, tmp_path).name == "Tern"


def test_what_a_shop_requires_is_there_too(tmp_path: Path) -> None:
    """A line that its house file asks for."""
    house = "gonogo: house/1\nname: Loft\nrequire: [vehicle.wheelbase_mm]\n"
    (tmp_path / "house.yaml").write_text(house)
    new.run(tmp_path / "wren.yaml", {}, [], blank=True, out=io.StringIO())
    assert "#   wheelbase_mm: 1250" in (tmp_path / "wren.yaml").read_text("utf-8")


def test_nothing_is_written_over_or_wrongly(tmp_path: Path) -> None:
    """A file that is there is somebody's."""
    path = tmp_path / "wren.yaml"
    twice = ["controller.phase_current_A_rms=9", "controller.phase_current_A_peak=9"]
    with pytest.raises(DocumentErrors):
        new.run(path, {}, twice, blank=True, out=io.StringIO())
    assert not path.exists()
    path.write_text("mine")
    with pytest.raises(UsageError):
        new.run(path, {}, [], blank=True, out=io.StringIO())
    assert path.read_text() == "mine"


def written_for(folder: Path, motors: str, *also: str) -> str:
    """The file for several motors."""
    path, out = folder / "cart.yaml", io.StringIO()
    assert new.run(path, {}, list(also), blank=True, motors=motors, out=out) == 0
    text = path.read_text("utf-8")
    if not also:  # every line with a value is counted
        told = [ENTRY_LINE.fullmatch(line) for line in text.splitlines()]
        count = sum(one is not None and one[3] is not None for one in told)
        assert f"{count} lines to uncomment" in out.getvalue()
    return text


def test_several_motors_have_each_its_label_controller_and_readings(tmp_path: Path) -> None:
    """All of it may be uncommented, and nothing of one motor stands for all."""
    text = written_for(tmp_path, "left, no")
    assert read(text, tmp_path).motors == {}
    whole = "\n".join(line.removeprefix(ENTRY) for line in text.splitlines()) + "\n"
    assert whole.count(REMARK) == text.count(REMARK)
    profile = read(whole, tmp_path)
    assert list(profile.motors) == ["left", "no"]
    assert "vehicle.motors_on" in profile.givens
    wanted = {properties()[name].quantity for name in NAMES}
    for name, view in profile.motors.items():
        assert set(view.givens) >= wanted
        own = {one for one, given in view.givens.items() if given.entered_as.startswith("motors.")}
        assert own >= {one for one in wanted if one.startswith(("motor.", "controller."))}
        assert (
            view.givens["readings.no_load.rpm"].entered_as == f"motors.{name}.readings.no_load.rpm"
        )
        assert view.givens["readings.throttle.rest_V"].entered_as == "readings.throttle.rest_V"
    (tmp_path / "cart.yaml").write_text(whole, "utf-8")
    assert gonogo.check(tmp_path / "cart.yaml", as_of=DAY).stages["stand"] == "no-go"
    assert max(map(len, text.splitlines())) <= 80


def test_label_figures_by_option_are_those_of_each_motor(tmp_path: Path) -> None:
    """One label for two motors of a kind; a controller each, not one for both."""
    text = written_for(tmp_path, "left,right", "controller.max_V=60", "motor.pole_pairs=7")
    views = read(text, tmp_path).motors
    assert [view.value("motor.pole_pairs") for view in views.values()] == [7, 7]
    assert len({view.sections["controller"] for view in views.values()}) == 2


@pytest.mark.parametrize(
    ("motors", "also", "blank"),
    [
        pytest.param("left", [], True, id="one is no several"),
        pytest.param("left,left", [], True, id="the same twice"),
        pytest.param(",".join("abcdefghi"), [], True, id="more than eight"),
        pytest.param("left,a:b", [], True, id="a name that cannot be a key"),
        pytest.param("left,", [], True, id="a name without a letter"),
        pytest.param(
            "left,right", ["readings.no_load.rpm=3000"], True, id="a reading of one of them"
        ),
        pytest.param("left,right", [], False, id="without --blank"),
    ],
)
def test_motors_that_cannot_be_told_apart_are_refused(
    motors: str, also: list[str], blank: bool, tmp_path: Path
) -> None:
    """Nothing is written, and no reading of one motor passes for that of all."""
    path = tmp_path / "cart.yaml"
    with pytest.raises(UsageError):
        new.run(path, {}, also, blank=blank, motors=motors, out=io.StringIO())
    assert not path.exists()
