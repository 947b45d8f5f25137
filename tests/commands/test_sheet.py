"""`gonogo sheet`: a record for every example, on the screen and on paper, and what its plots say."""

from __future__ import annotations

import io
import re
from hashlib import sha256
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from gonogo import __version__, check, load, ride
from gonogo.commands import sheet
from gonogo.commands.output import GO, INCOMPLETE, NO_GO
from gonogo.documents.error import UsageError
from gonogo.expressions.names import title_of
from gonogo.reports.plot import EDGE_LEFT, EDGE_RIGHT, PLOT_WIDE
from gonogo.reports.ride import figure_words

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
DAY = "2026-11-25"
STATUS = {"go": GO, "go-with-waivers": GO, "no-go": NO_GO, "incomplete": INCOMPLETE}
EVIL = '</svg><script>alert("1")</script><b onload=x>'


def said(path: Path, form: str = "text", **asked: Any) -> tuple[int, str]:
    out = io.StringIO()
    ended = sheet.run(path, form=form, as_of=DAY, out=out, **asked)
    return ended, out.getvalue()


class Page(HTMLParser):
    """What a page is made of: its elements in order, its drawings and its headings."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.headings: list[int] = []
        self.labels: list[str] = []
        self.polylines: list[list[tuple[float, float]]] = []
        self.words: list[str] = []
        self.outside: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        self.tags.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag == "svg":
            assert told["role"] == "img"
            self.labels.append(told["aria-label"])
        if tag == "polyline":
            pairs = (pair.split(",") for pair in told["points"].split())
            self.polylines.append([(float(x), float(y)) for x, y in pairs])
        self.outside += [
            f"{key}={told[key]}" for key in ("src", "href", "xlink:href") if key in told
        ]

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_every_example_gives_a_record(path: Path) -> None:
    """In each format, no wider than a screen, and never better than the check of a ride."""
    judgement = check(path, as_of=DAY)
    ended, text = said(path)
    assert ended in (STATUS[judgement.verdict], NO_GO)
    assert max(map(len, text.splitlines())) <= 80
    for title in ("Measured", "Not measured", "Waivers", "Due next", "Throttle voltage"):
        assert re.search(rf"^ *{title}", text, re.MULTILINE), title
    again, html = said(path, "html")
    page = Page(html)
    assert again == ended
    assert page.headings[0] == 1
    steps = zip(page.headings, page.headings[1:], strict=False)
    assert all(after <= before + 1 for before, after in steps)
    assert {"script", "link", "img", "iframe", "object"}.isdisjoint(page.tags)
    assert page.outside == []
    assert "svg" in page.tags and all(page.labels)


def test_a_waived_value_is_no_obstacle() -> None:
    """What somebody accepted until a day is entered as it stands, and the record says so."""
    path = EXAMPLES / "workshop" / "vehicles" / "yarrow.yaml"
    ended, text = said(path)
    assert ended == GO == STATUS[check(path, as_of=DAY).verdict]
    assert "2027-06-30" in text and "in force" in text and "Cannot be entered" not in text
    assert re.search(r"Accepted\s+by\s+____", text), "who accepted it is named by hand"
    late = io.StringIO()
    assert sheet.run(path, as_of="2027-07-01", out=late) == NO_GO
    assert "over for 1 day" in late.getvalue()


def test_several_motors_are_told_each() -> None:
    """Each has its values, its readings and its throttle; they ride together."""
    path = EXAMPLES / "workshop" / "vehicles" / "bindweed.yaml"
    _, text = said(path)
    words = " ".join(text.split())
    first = ride(path, as_of=DAY)[0]
    top = first.flat_top_speed_km_h.value
    assert top is not None and f"base settings {top:.1f} km/h" in words
    assert "Force and power in numbers" in words
    for motor in ("left", "right"):
        assert f"Values: Motor {motor}" in words
        assert f"Throttle voltage, motor {motor}" in words
        assert f"motor identification, motor {motor}" in words
        assert f"motors.{motor}.readings.wheel_turned" in "".join(text.split())


def test_digests_are_those_of_the_files(tmp_path: Path) -> None:
    """Anybody can see with a plain tool whether the record is still about these files."""
    path = EXAMPLES / "workshop" / "vehicles" / "bracken.yaml"
    _, html = said(path, "html")
    files = load(path).files
    assert len(files) > 3
    for name in files:
        digest = sha256((EXAMPLES / "workshop" / name).read_bytes()).hexdigest()
        assert digest in html.replace("<wbr>", "")


def test_the_plots_are_those_of_the_ride() -> None:
    """Each point of the force curve read back from the drawing is the one that was worked out."""
    path = EXAMPLES / "workshop" / "vehicles" / "vetch.yaml"
    rides = ride(path, as_of=DAY)
    page = Page(said(path, "html")[1])
    assert len(page.polylines) == 2 * len(rides)
    for number, one in enumerate(rides):
        for line, values in (
            (page.polylines[number], [point.force_N for point in one.points]),
            (
                page.polylines[len(rides) + number],
                [point.force_N * point.speed_km_h / 3600.0 for point in one.points],
            ),
        ):
            assert len(line) == len(one.points)
            fastest = max(other.points[-1].speed_km_h for other in rides)
            room = PLOT_WIDE - EDGE_LEFT - EDGE_RIGHT
            across = [(x - EDGE_LEFT) / room for x, _ in line]
            ratio = one.points[-1].speed_km_h / across[-1]
            assert ratio >= fastest - 1e-6
            assert [ratio * x for x in across] == pytest.approx(
                [point.speed_km_h for point in one.points], abs=ratio / room
            )
            # Upwards only the shape: equal steps of value are equal steps of the drawing.
            high, low = max(values), min(values)
            top, foot = min(y for _, y in line), max(y for _, y in line)
            told = [low + (foot - y) / (foot - top) * (high - low) for _, y in line]
            assert told == pytest.approx(values, abs=(high - low) / (foot - top))


def test_the_scale_says_the_voltages_of_the_profile() -> None:
    """The words for who does not see the drawing hold the numbers of the profile."""
    path = EXAMPLES / "workshop" / "vehicles" / "bracken.yaml"
    profile = load(path)
    page = Page(said(path, "html")[1])
    throttle = next(label for label in page.labels if label.startswith("Throttle voltage"))
    pack = next(label for label in page.labels if label.startswith("Pack voltage"))
    for name, entry in (("start", "start_V"), ("full", "full_V"), ("lost below", "lost_below_V")):
        assert f"{name} {profile.value(f'settings.throttle.{entry}'):g} V" in throttle
    for name, entry in (("cutoff", "cutoff_V"), ("taper from", "taper_from_V")):
        assert f"{name} {profile.value(f'settings.low_voltage.{entry}'):g} V" in pack


def test_a_hostile_name_is_text(tmp_path: Path) -> None:
    """Names of vehicle, mode and waiver's reason come from strangers."""
    path = tmp_path / "wren.yaml"
    path.write_text(
        f"""gonogo: profile/1
vehicle: {{name: '{EVIL}', use: private_land, wheels: 3}}
controller: {{firmware: '{EVIL}'}}
pack: {{full_V: 54.75}}
settings: {{battery_current_A: 75, throttle: {{start_V: 1.0, full_V: 4.0}}}}
modes: {{eco: {{battery_current_A: 40}}}}
waivers:
  - {{rule: fuse-missing, reason: '{EVIL} because', until: "2027-01-01"}}
""",
        encoding="utf-8",
    )
    _, html = said(path, "html")
    page = Page(html)
    assert "script" not in page.tags and "b" not in page.tags
    assert html.count("&lt;script&gt;alert") >= 4
    assert EVIL in "".join(page.words)


def test_the_firmware_stands_on_the_record(tmp_path: Path) -> None:
    """A record holds for the program that was set up, and nobody can tell it from outside."""
    path = tmp_path / "wren.yaml"
    build = "gonogo: profile/1\nvehicle: {name: Wren}\ncontroller: {firmware: hare 3.2}\n"
    path.write_text(build, encoding="utf-8")
    assert "controller firmware hare 3.2" in said(path)[1]


def test_one_mode_alone() -> None:
    """Only its settings, its rides and its plots."""
    path = EXAMPLES / "workshop" / "vehicles" / "bracken.yaml"
    _, text = said(path, mode="lane")
    assert "mode lane" in text.lower() and "Values: Base settings" not in text
    with pytest.raises(UsageError, match="no such mode"):
        said(path, mode="nowhere")
    with pytest.raises(UsageError, match="--format"):
        said(path, "sarif")


def test_the_switches_that_nobody_tried_come_first() -> None:
    """A kill switch that was never opened stands above every reading that is missing."""
    path = EXAMPLES / "workshop" / "vehicles" / "fescue.yaml"
    known = {name for name in load(path).givens if name.startswith("readings.tried.")}
    assert not known
    text = said(path)[1]
    part = text[text.index(" Not measured") :]
    first = re.search(r"· (.*\n.*)", part)
    assert "Never tried:" in part and first is not None and "kill switch" in first[1]
    tried = re.findall(r"readings\.tried\.(\w+)", part)
    assert tried[0] == "kill_switch" and len(tried) == len(set(tried)) > 1


def test_the_next_mechanic_and_the_rider_find_what_they_need() -> None:
    """Fuse, cells and names as they are entered; range and cautions with this vehicle's values."""
    path = EXAMPLES / "workshop" / "vehicles" / "bracken.yaml"
    profile = load(path)
    text = said(path)[1]
    words = " ".join(text.split())
    for name in ("wiring.fuse.rated_A", "pack.series", "pack.parallel", "controller.max_V"):
        given = profile.givens.get(name)
        if given is not None:
            assert re.search(rf"{re.escape(title_of(name))} +{given.entered}\b", text), name
    assert profile.parts["controller"] in words and profile.parts["motor"] in words
    one = next(each for each in ride(path, as_of=DAY) if not each.mode)
    assert f"base settings {figure_words(one.flat_top_speed_km_h, 'km_h')}" in words
    stop = float(str(profile.value("settings.regen.stop_V")))
    assert f"regen fades, and it ends at {stop:g} V" in words
    assert f"checked as of {DAY} with gonogo {__version__}" in text


def test_a_vehicle_without_regen_is_told_nothing_of_its_regen() -> None:
    """Burdock is said to have none: a caution about what is not there makes the others doubtful."""
    path = EXAMPLES / "workshop" / "vehicles" / "burdock.yaml"
    assert load(path).givens["settings.regen"].value == "none"
    words = " ".join(said(path)[1].split())
    assert "regen fades" not in words and "regen may be off" not in words
    assert "charge no pack colder than" in words


def test_the_first_part_of_the_record_is_the_one_to_sign() -> None:
    """Verdict, vehicle, ride, cautions and room to sign, before any table of values.

    What forbids to turn or ride stands above the room to sign, what is only advice below it.
    """
    titles = _titles("burdock")
    assert titles[:6] == [
        "May it turn, may it ride",
        "The vehicle",
        "The ride",
        "Riding and charging",
        "Law and practice",
        "Signatures",
    ]
    titles = _titles("ragwort")
    assert titles.index("Found") == 1 and titles[6] == "Signatures"


def _titles(vehicle: str) -> list[str]:
    text = said(EXAMPLES / "workshop" / "vehicles" / f"{vehicle}.yaml", "html")[1]
    return [re.sub(r"<[^>]+>", "", one) for one in re.findall(r"<h3>(.*?)</h3>", text)]


def test_what_nobody_read_back_or_tried_stands_at_the_signature(tmp_path: Path) -> None:
    """Whoever signs takes over what has no record, and reads it there and at the head."""
    path = EXAMPLES / "workshop" / "vehicles" / "bracken.yaml"
    assert not {name for name in load(path).givens if "entered" in name or ".tried." in name}
    text = said(path)[1]
    head, _, rest = text.partition("May it turn")
    assert "never tried: kill switch, brake cut, lost throttle · not read back" in head
    to_sign = rest[rest.index(" Signatures") : rest.index("handed over by")]
    assert "not read back: nobody has seen what the controller holds" in to_sign
    assert "never tried" in to_sign and "kill switch, brake cut, lost throttle" in to_sign
    page = said(path, "html")[1]
    signed = page[page.index("Signatures</h3>") :]
    assert "nobody has seen what the controller holds" in signed[: signed.index("</section>")]


def test_what_was_read_back_and_tried_is_told_at_the_signature() -> None:
    """Of a vehicle with a record of both nothing is said to be missing."""
    path = EXAMPLES.parent / "tests" / "hazards" / "sound" / "scooter-all-wheels.yaml"
    text = said(path)[1]
    to_sign = text[text.index(" Signatures") : text.index("handed over by")]
    assert "never tried" not in to_sign and "not read back" in to_sign


def test_what_could_not_be_read_was_not_measured(tmp_path: Path) -> None:
    """An answer of `none` is no reading; nothing noticed is one; the steps have their titles."""
    text = (EXAMPLES.parent / "tests/hazards/sound/scooter-all-wheels.yaml").read_text("utf-8")
    assert "  soaked_h: 12\n" in text and "cell_groups_V" not in text
    path = tmp_path / "read.yaml"
    path.write_text(text.replace("  soaked_h: 12\n", "  cell_groups_V: none\n", 1), "utf-8")
    record = said(path)[1]
    measured, _, rest = record[record.index(" Measured") :].partition(" Not measured")
    assert "cell group readings" not in measured and "Polarity, Precharge" in measured
    missing = rest[: rest.index("Waivers")]
    assert "Could not be read:" in missing and "cell group readings" in missing
    assert "Never read back:" in missing


def test_a_phone_has_each_entry_of_the_vehicle_beside_its_value() -> None:
    """One pair a row, which paper alone sets in two columns."""
    page = said(EXAMPLES / "workshop" / "vehicles" / "teasel.yaml", "html")[1]
    vehicle = page[page.index("The vehicle</h3>") :]
    rows = re.findall(r"<tr>(<td.*?)</tr>", vehicle[: vehicle.index("</section>")], re.DOTALL)
    assert len(rows) > 10 and {row.count("<td") for row in rows} == {2}
