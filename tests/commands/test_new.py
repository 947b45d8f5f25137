"""`gonogo new` on a terminal: from labels to a verdict, and no answer lost on the way."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from pathlib import Path

import gonogo
import pytest
import typer
from gonogo.commands import new
from gonogo.commands.answer import entry_value
from gonogo.commands.entry_questions import entry_question, explanation, questions_told
from gonogo.commands.questions import given_also
from gonogo.documents.error import UsageError
from gonogo.documents.schema import properties
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

DAY = "2026-11-25"
ROOT = Path(__file__).parents[2]
# What stands on the labels of a scooter, and two readings of its throttle.
SCOOTER = {
    "vehicle.use": "private_land",
    "pack.cell.chemistry": "nmc",
    "pack.series": "13",
    "pack.continuous_A": "30",
    "pack.bms": "30",
    "pack.bms.continuous_A": "30",
    "pack.bms.cell_low_V": "2.8",
    "pack.connector_A": "none",
    "wiring.fuse": "40",
    "wiring.fuse.rated_V": "80",
    "wiring.disconnect": "plug",
    "wiring.battery_cable_mm2": "6",
    "wiring.phase_cable_mm2": "4",
    "controller.max_V": "60 V",
    "controller.min_V": "30",
    "controller.battery_current_A": "25 A",
    "controller.phase_current_A_rms": "55",
    "motor.pole_pairs": "15",
    "motor.phase_current_A_rms": "20",
    "throttle.kind": "hall",
    "throttle": "hall",
    "throttle.supply_V": "5",
    "readings.throttle.rest_V": "0.84, 0.86",
    "readings.throttle.full_V": "4.1",
    "readings.throttle.supply_V": "5",
}


class Bench:
    """Somebody at a terminal who has some answers, and says yes or no at the end."""

    def __init__(self, told: Mapping[str, str], ends: Mapping[str, str]) -> None:
        names = ["vehicle.name", "vehicle.use", *properties()]
        self.told = {self.asks(name): told.get(name, "") for name in names}
        self.ends = ends
        self.asked: list[str] = []

    @staticmethod
    def asks(name: str) -> str:
        if name == "vehicle.use":
            return "Where is it ridden: off_road, street or private_land?"
        return entry_question(name).asks

    def __call__(self, question: str) -> str:
        last = question.splitlines()[-1]
        assert len(self.asked) < 120, "asked without end"
        self.asked.append(last)
        for words, answer in self.ends.items():
            if last.startswith(words):
                if answer == "^C":
                    raise typer.Abort
                return answer
        return self.told.get(last, "")


def conversed(
    path: Path, told: Mapping[str, str], ends: Mapping[str, str]
) -> tuple[int, str, list[str]]:
    bench, out = Bench(told, ends), io.StringIO()
    status = new.run(path, {}, [], False, DAY, bench, out)
    return status, out.getvalue(), bench.asked


def test_labels_alone_reach_the_stand(tmp_path: Path) -> None:
    """Without one part file; the label figures become part files that the next vehicle can take."""
    path = tmp_path / "finch.yaml"
    ends = {"Go on?": "no", "Write": "yes", "Keep": "yes"}
    status, said, asked = conversed(path, SCOOTER, ends)
    assert status == 0, said
    assert len(asked) <= 28
    assert "fit for the stand" in said
    assert gonogo.check(path, as_of=DAY).stages["stand"] == "go"
    profile = YAML(typ="safe").load(path)
    assert profile["readings"]["throttle"]["rest_V"] == [0.84, 0.86]
    assert profile["controller"] == {"part": "parts/controllers/finch.yaml"}
    part = YAML(typ="safe").load(tmp_path / "parts/controllers/finch.yaml")
    assert part["controller"]["max_V"] == 60
    stopped = {"Its number": "1", Bench.asks("wiring.fuse"): "^C", "Write": "no"}
    _, said, asked = conversed(tmp_path / "wren.yaml", SCOOTER, stopped)
    assert "+  part: parts/controllers/finch.yaml" in said
    assert Bench.asks("controller.max_V") not in asked


@pytest.mark.parametrize("answer", ["yes", "no", "^C"])
def test_no_answer_is_lost_when_it_is_stopped(tmp_path: Path, answer: str) -> None:
    """A call comes in, and a dozen answers are typed already."""
    path = tmp_path / "finch.yaml"
    ends = {Bench.asks("pack.continuous_A"): "^C", "Write": answer, "Keep": "no"}
    status, said, _ = conversed(path, SCOOTER, ends)
    assert status == 130
    assert "+  series: 13" in said
    assert path.exists() == (answer == "yes")
    if path.exists():
        assert "Unfinished" in path.read_text("utf-8")
        assert gonogo.check(path, as_of=DAY).verdict != "go"


def test_what_would_be_refused_is_told_and_may_be_written(tmp_path: Path) -> None:
    """The answers are worth keeping, whatever the verdict; the file is NO-GO like any other."""
    path = tmp_path / "finch.yaml"
    ends = {Bench.asks("wiring.fuse"): "^C", "Write": "yes", "Keep": "no"}
    status, said, _ = conversed(path, {**SCOOTER, "controller.max_V": "50"}, ends)
    assert status == 130
    assert "danger" in said and "54.6 V" in said
    assert gonogo.check(path, as_of=DAY).stages["stand"] == "no-go"


def test_what_is_not_known_says_what_it_leaves_open(tmp_path: Path) -> None:
    """An empty line is an answer, and it has a price."""
    path = tmp_path / "finch.yaml"
    ends = {Bench.asks("wiring.disconnect"): "^C", "Write": "no"}
    _, said, _ = conversed(path, {**SCOOTER, "wiring.fuse": ""}, ends)
    assert "Not known. The stand then lacks these checks:" in said
    assert "danger: fuse-missing" in said
    assert not path.exists()


def test_a_slip_costs_one_question_and_a_question_mark_none(tmp_path: Path) -> None:
    """Nobody types a dozen answers twice."""
    typed = iter(["?", "many", "13"])
    heard: list[str] = []

    class Slipping(Bench):
        def __call__(self, question: str) -> str:
            heard.append(question)
            if question.splitlines()[-1] == self.asks("pack.series"):
                return next(typed)
            return super().__call__(question)

    bench = Slipping(SCOOTER, {Bench.asks("pack.continuous_A"): "^C", "Write": "no"})
    out = io.StringIO()
    new.run(tmp_path / "finch.yaml", {}, [], False, DAY, bench, out)
    assert "+  series: 13" in out.getvalue()
    about = [one for one in heard if one.endswith(bench.asks("pack.series"))]
    assert len(about) == 3
    assert "Measurement: Measure the voltage of the full pack" in about[1].replace("\n      ", " ")
    assert "expected a whole number from 1 to 100, found 'many'" in about[2]


# What tape, scale and labels say of the same scooter for a ride.
RIDDEN = {
    **SCOOTER,
    "vehicle.speed_limit_km_h": "30",
    "vehicle.mass_kg": "20",
    "vehicle.rider_kg": "90",
    "motor.temperature_sensor": "none",
    "motor.max_rpm": "900",
    "drivetrain.ratio": "1",
    "drivetrain.circumference_mm": "0.8 m",
}


def test_going_on_asks_what_a_ride_needs_of_the_build(tmp_path: Path) -> None:
    """Speeds and masses first, then what first values wait for, then the other figures."""
    path = tmp_path / "finch.yaml"
    ends = {"Go on?": "yes", "Does a display": "no", "Write": "yes", "Keep": "no"}
    _, _, asked = conversed(path, RIDDEN, ends)
    later = asked[next(n for n, one in enumerate(asked) if one.startswith("Go on?")) + 1 :]
    first = ["vehicle.speed_limit_km_h", "vehicle.max_downhill_km_h", "vehicle.mass_kg"]
    assert later[:3] == [Bench.asks(name) for name in first]
    order = ("motor.max_rpm", "drivetrain.ratio", "wiring.fuse.breaking_A", "motor.one_way_clutch")
    places = [later.index(Bench.asks(name)) for name in order]
    assert places == sorted(places)
    assert len(later) == len(set(later))
    profile = YAML(typ="safe").load(path)
    assert profile["vehicle"]["speed_limit_km_h"] == 30
    assert (
        profile["settings"]["max_rpm"] == 620
    )  # 30 km/h on 0.8 m a turn, below 80% of the motor's
    assert "Go on? A ride needs" in next(one for one in asked if one.startswith("Go on?"))


@pytest.mark.parametrize(
    ("answer", "stands"),
    [
        pytest.param("no", "none", id="none"),
        pytest.param("", None, id="not known"),
        pytest.param("yes", {"circumference_mm": 800, "ratio": 1}, id="fitted"),
    ],
)
def test_a_display_is_asked_for(tmp_path: Path, answer: str, stands: object) -> None:
    """Nothing is written of a display that nobody said is there."""
    path = tmp_path / "finch.yaml"
    ends = {"Go on?": "yes", "Does a display": answer, "Write": "yes", "Keep": "no"}
    conversed(path, RIDDEN, ends)
    assert YAML(typ="safe").load(path)["settings"].get("speed_shown") == stands


def test_a_yes_writes_at_once_and_part_files_are_another_question(tmp_path: Path) -> None:
    """Whoever leaves at the last question has the profile; before it there is nothing."""
    path = tmp_path / "finch.yaml"
    there: list[tuple[str, bool]] = []

    class Watching(Bench):
        def __call__(self, question: str) -> str:
            there.append((question, path.exists()))
            return super().__call__(question)

    bench, out = Watching(SCOOTER, {"Go on?": "no", "Write": "yes", "Keep": "^C"}), io.StringIO()
    new.run(path, {}, [], False, DAY, bench, out)
    assert [was for _, was in there[-2:]] == [False, True]
    assert "\n  parts/motors/finch.yaml\n" in there[-1][0]
    assert "Written." in out.getvalue()
    assert not (tmp_path / "parts").exists()
    assert gonogo.check(path, as_of=DAY).stages["stand"] == "go"


def test_a_question_mark_explains_every_question(tmp_path: Path) -> None:
    """The first line promises it."""
    heard: list[str] = []
    put: set[str] = set()

    class Wondering(Bench):
        def __call__(self, question: str) -> str:
            heard.append(question)
            last = question.splitlines()[-1]
            if last not in put:
                put.add(last)
                return "?"
            return super().__call__(question)

    ends = {"Go on?": "yes", "Does a display": "no", "Write": "yes", "Keep": "yes"}
    new.run(tmp_path / "finch.yaml", {}, [], False, DAY, Wondering(RIDDEN, ends), io.StringIO())
    for before, again in zip(heard[::2], heard[1::2], strict=True):
        assert again.endswith(before.splitlines()[-1])
        assert len(again) > len(before) + 40
        assert "xpected" not in again


def test_the_questions_fit_their_schema_and_ask_for_entries() -> None:
    """A misspelt key would never be asked for in these words."""
    schema = json.loads((ROOT / "schemas" / "questions.schema.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    data = YAML(typ="safe").load(ROOT / "rules" / "questions.yaml")
    Draft202012Validator(schema).validate(data)
    for one in data["questions"]:
        named = [one["of"], *one.get("first", ()), *one.get("otherwise", ())]
        assert {*named, one.get("enters", one["of"])} <= properties().keys()


@pytest.mark.parametrize("name", sorted(questions_told()))
def test_every_question_can_be_explained(name: str) -> None:
    """`?` says what it is and where the answer goes."""
    said = explanation(name)
    assert properties()[name].description.split()[0] in said
    assert "Enter if not known." in said
    assert entry_question(name).asks.rstrip().endswith("?")


@pytest.mark.parametrize(
    ("name", "word"),
    [
        pytest.param("motor.pole_pairs", "ten turns", id="a turned wheel"),
        pytest.param("motor.kv_rpm_per_V", "1.414", id="a meter at a turned motor"),
        pytest.param("motor.line_to_line_mohm", "Half of it", id="two leads, halved"),
        pytest.param("pack.series", "4.2 V", id="a full pack"),
    ],
)
def test_a_measurement_replaces_the_datasheet(name: str, word: str) -> None:
    """Most motors come without one."""
    assert word in explanation(name).replace("\n      ", " ")


@pytest.mark.parametrize(
    ("name", "answer", "says"),
    [
        pytest.param(
            "pack.cell.chemistry", "li-ion", "which of nmc, nca, lco and lfp", id="unclear"
        ),
        pytest.param("pack.cell.chemistry", "sodiom_ion", "Did you mean sodium_ion", id="a slip"),
        pytest.param("wiring.battery_cable_mm2", "4 AWG", "battery_cable_awg: 4", id="another key"),
        pytest.param("motor.line_to_line_mohm", "40 MΩ", "in mΩ", id="a mega is no milli"),
        pytest.param("motor.line_to_line_mohm", "40 MOHM", "in mΩ", id="nor in words"),
        pytest.param("drivetrain.circumference_mm", "1.43 s", "in mm", id="another kind of unit"),
        pytest.param("wiring.fuse.rated_V", "80 V AC", "in V", id="volts of the mains"),
        pytest.param("controller.phase_current_A_rms", "80 A peak", "A rms", id="a peak"),
        pytest.param(
            "readings.ambient_degC", "293 K", "in °C", id="a difference is no temperature"
        ),
        pytest.param("motor.phase_current_A_rms", "80 A max", "continuous", id="a maximum"),
        pytest.param("pack.cell.full_V", "4,2", "Did you mean 4.2?", id="a decimal comma"),
        pytest.param("motor.phase_current_A_rms", "80/200 A", "A rms", id="two ratings"),
        pytest.param("pack.series", "13p", "whole number", id="in parallel, not in series"),
        pytest.param("drivetrain.ratio", "54/0", "a number", id="nothing to divide by"),
        pytest.param("vehicle.use", "", "? explains", id="nothing, where something is needed"),
    ],
)
def test_an_answer_that_is_none_says_what_is_wanted(name: str, answer: str, says: str) -> None:
    """And never takes one thing for another."""
    with pytest.raises(UsageError) as refused:
        entry_value(name, answer)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("name", "answer", "value"),
    [
        pytest.param("readings.throttle.rest_V", "0.82,0.90,0.86", [0.82, 0.9, 0.86], id="a list"),
        pytest.param("readings.throttle.rest_V", "[0.82, 0.9]", [0.82, 0.9], id="in brackets"),
        pytest.param("readings.throttle.rest_V", "0.82", 0.82, id="one reading"),
        pytest.param("readings.throttle.rest_V", "0.82 V; 0.9 V", [0.82, 0.9], id="in volts"),
        pytest.param("readings.throttle.rest_V", "0.82 0.9", [0.82, 0.9], id="as they are read"),
        pytest.param(
            "controller.temperature_sensors",
            "pt1000, ntc-10k-3950",
            ["pt1000", "ntc-10k-3950"],
            id="words",
        ),
        pytest.param(
            "drivetrain.stages",
            "{driving_teeth: 14, driven_teeth: 52}",
            [{"driving_teeth": 14, "driven_teeth": 52}],
            id="a stage",
        ),
        pytest.param("controller.max_V", "60 V", 60, id="with its unit"),
        pytest.param("controller.max_V", "60 V max", 60, id="the most, where the most is meant"),
        pytest.param("controller.battery_current_A", "max. 45 A", 45, id="and with it in front"),
        pytest.param("controller.max_V", "30–60 V", 60, id="the upper end of a range"),
        pytest.param("controller.min_V", "30 - 60 V", 30, id="and its lower end"),
        pytest.param("wiring.fuse.rated_V", "DC 80 V", 80, id="direct voltage in front"),
        pytest.param("wiring.fuse.rated_V", "80 V =", 80, id="and by its sign"),
        pytest.param("drivetrain.ratio", "54T/11T", 4.90909091, id="teeth with their letter"),
        pytest.param("drivetrain.ratio", "direct", 1, id="no gear at all"),
        pytest.param("pack.cell.full_V", "58.4 V / 16 cells", 3.65, id="with what is counted"),
        pytest.param("motor.pole_pairs", "15 pairs", 15, id="pairs of poles"),
        pytest.param(
            "motor.temperature_sensor", "NTC 10k", "ntc-10k", id="no B value on the label"
        ),
        pytest.param("vehicle.wet", "no", False, id="yes or no"),
        pytest.param("wiring.battery_cable_mm2", "25 mm²", 25, id="square millimetres"),
        pytest.param("motor.kv_rpm_per_V", "62 rpm/V", 62, id="a unit with a stroke"),
        pytest.param(
            "controller.phase_current_A_rms", "50 A", 50, id="amperes of the rms asked for"
        ),
        pytest.param("wiring.fuse.rated_V", "80 V DC", 80, id="volts of a battery"),
        pytest.param("wiring.fuse.rated_V", "80 V dc", 80, id="in small letters"),
        pytest.param("wiring.fuse.rated_V", "80vdc", 80, id="in one word"),
        pytest.param("wiring.fuse.rated_A", "60 AMPS", 60, id="in words"),
        pytest.param("pack.series", "16S", 16, id="cells in series"),
        pytest.param("pack.series", "13s4p", 13, id="the whole marking, of which the series"),
        pytest.param("pack.parallel", "13S4P", 4, id="and of which the parallel"),
        pytest.param("motor.pole_pairs", "30 magnets", 15, id="two poles to a pair"),
        pytest.param("motor.pole_pairs", "28 Poles", 14, id="poles of the label"),
        pytest.param("motor.magnets", "30 magnets", 30, id="a magnet a pole"),
        pytest.param("readings.isolation_kohm", "2 Mohm", 2000, id="the top of a meter's range"),
        pytest.param("drivetrain.ratio", "54/11", 4.90909091, id="teeth by teeth"),
        pytest.param("drivetrain.ratio", "54 : 11", 4.90909091, id="with a colon"),
        pytest.param("pack.cell.full_V", "58.4/16", 3.65, id="the charger by the cells"),
        pytest.param("pack.cell.full_V", "58.4 V ÷ 16", 3.65, id="with its unit"),
        pytest.param("drivetrain.circumference_mm", "1.66 m", 1660, id="metres for millimetres"),
        pytest.param("drivetrain.circumference_mm", "166 cm", 1660, id="centimetres"),
        pytest.param("drivetrain.circumference_mm", "1660 MM", 1660, id="with capitals"),
        pytest.param("wiring.fuse.breaking_A", "2 kA", 2000, id="kiloamperes"),
        pytest.param("controller.phase_current_A_rms", "0.2 kA", 200, id="of the rms too"),
        pytest.param("readings.throttle.rest_V", "840 mV; 0.9 V", [0.84, 0.9], id="millivolts"),
        pytest.param("settings.throttle.ramp_ms", "0.3 s", 300, id="seconds"),
        pytest.param("pack.connector_A", "None", "none", id="none with a capital"),
        pytest.param("pack.cell.chemistry", "LiFePO4", "lfp", id="the word on the label"),
        pytest.param("vehicle.use", "Street", "street", id="with a capital"),
    ],
)
def test_an_answer_is_read_as_it_is_meant(name: str, answer: str, value: object) -> None:
    """A label has its unit, and a throttle several readings."""
    assert entry_value(name, answer) == value


@pytest.mark.parametrize(
    ("name", "answer", "wanted"),
    [
        pytest.param("motor.pole_pairs", "15 magnets", "whole number", id="an odd count of poles"),
        pytest.param("readings.isolation_kohm", "OL", "top of its range", id="a meter's overload"),
        pytest.param("readings.isolation_kohm", "0.L", "top of its range", id="as some show it"),
    ],
)
def test_what_is_no_figure_is_asked_for_again(name: str, answer: str, wanted: str) -> None:
    """With what to enter in its place."""
    with pytest.raises(UsageError, match=wanted):
        entry_value(name, answer)


def test_a_section_is_given_at_once() -> None:
    """As it would stand in the profile."""
    readings = "readings={taken: 2026-11-02, throttle: {rest_V: [0.8, 0.9]}}"
    told = given_also(
        ["pack.cell={chemistry: lfp, full_V: 3.65}", "wiring.fuse = {rated_A: 80}", readings]
    )
    assert told == {
        "readings.taken": "2026-11-02",
        "readings.throttle.rest_V": [0.8, 0.9],
        "pack.cell.chemistry": "lfp",
        "pack.cell.full_V": 3.65,
        "wiring.fuse.rated_A": 80,
    }


def test_a_part_is_given_as_in_a_profile(tmp_path: Path) -> None:
    """By its own file, in a section that has an option of its own and in one that is given whole."""
    part = tmp_path / "parts" / "hub.yaml"
    part.parent.mkdir()
    part.write_text("gonogo: part/1\n")
    profile = tmp_path / "vehicles" / "wren.yaml"
    for pair in (f"motor.part={part}", f"motor={{part: {part}, magnets: 20}}"):
        assert given_also([pair], profile)["motor.part"] == "../parts/hub.yaml"


@pytest.mark.parametrize(
    "pair",
    [
        "pack.cell={chemistry: lfp, fulL_V: 3}",
        "pack.cell={chemistry: li-ion}",
        "pack.cell={broken",
        "readings.throttle.rest_V=[0.8,",
        "readings.throttle.rest_V=0,84",
        "readings.throttle.rest_V=0.8, 900",
        "readings.throttle.rest_V=[]",
        "readings.throttle.rest_V=,",
        "readings.throttle.rest_V=[0.8, {a: 1}]",
        "readings.throttle={rest_V: [0.8, open]}",
        "drivetrain.stages=14:52",
        "drivetrain.stages=[{driving_teeth: 14}]",
        "wiring.fuse=80",
        "pack.bms={part: other.yaml}",
        "motor.part=not-there.yaml",
    ],
)
def test_a_section_given_wrongly_is_told(pair: str) -> None:
    """With a sentence, not in a profile that cannot be read."""
    with pytest.raises(UsageError):
        given_also([pair])


def test_options_alone_need_no_part_file(tmp_path: Path) -> None:
    """A script gives the label figures one by one."""
    names = [name for name in SCOOTER if name not in ("wiring.fuse", "pack.bms", "throttle")]
    also = [f"{name}={SCOOTER[name]}" for name in names if name != "vehicle.use"]
    also += ["wiring.fuse.rated_A=40", "readings.taken=2026-11-25"]
    told = {"name": "Finch", "use": "private_land"}
    out = io.StringIO()
    status = new.run(tmp_path / "finch.yaml", told, also, True, DAY, None, out)
    assert status == 0, out.getvalue()
    assert gonogo.check(tmp_path / "finch.yaml", as_of=DAY).stages["stand"] == "go"


def test_back_asks_the_question_before_again_and_loses_nothing(tmp_path: Path) -> None:
    """A slip of the finger in the third answer does not cost the two before, nor the fourth."""
    path = tmp_path / "trike.yaml"
    asked: list[str] = []
    told = iter(["Trike", "street", "3", "nmc", "13", "back", "back", "lfp", "="])

    def ask(question: str) -> str:
        asked.append(question)
        try:
            return next(told)
        except StopIteration:
            raise KeyboardInterrupt from None

    out = io.StringIO()
    new.run(path, {}, [], True, "2026-11-02", ask, out)
    written = path.read_text(encoding="utf-8")
    assert "chemistry: lfp" in written
    assert "series: 13" in written
    assert "name: Trike" in written
    assert "before: nmc; = keeps it" in asked[7]
    assert "before: 13; = keeps it" in asked[8]


def test_back_at_the_first_question_says_so(tmp_path: Path) -> None:
    """There is nothing before it."""
    asked: list[str] = []
    told = iter(["back", "Trike"])

    def ask(question: str) -> str:
        asked.append(question)
        try:
            return next(told)
        except StopIteration:
            raise KeyboardInterrupt from None

    new.run(tmp_path / "trike.yaml", {}, [], True, "2026-11-02", ask, io.StringIO())
    assert asked[1].startswith("This is the first question.")


def test_back_at_the_last_question_returns_to_the_questions(tmp_path: Path) -> None:
    """Who sees a wrong figure in the profile shown corrects it before it is written."""
    path = tmp_path / "trike.yaml"
    said: list[str] = []
    backs = iter(["back", "back"])

    def ask(question: str) -> str:
        said.append(question)
        if "Write" in question:
            return next(backs, "yes")
        if "Go on?" in question:
            return "no"
        return "street" if "ridden" in question else ""

    new.run(path, {}, [], False, "2026-11-02", ask, io.StringIO())
    assert sum("Write" in question for question in said) == 3
    assert sum("Go on?" in question for question in said) == 3
    assert path.exists()
