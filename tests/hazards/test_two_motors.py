"""Several motors on one pack: sums are refused that no motor alone would reach, and nothing else changes.

`two_motors.yaml` changes the sound build with two hubs in `sound/`, or the one named as `base`, in the way of `test_hazards`.
"""

from __future__ import annotations

import copy
import io
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from gonogo import check
from gonogo.commands import check as check_command
from gonogo.documents.error import DocumentErrors, PairGivenTwice, WrongValue
from gonogo.judgement.finding import Finding, Judgement
from ruamel.yaml import YAML

from .test_hazards import CASES as OTHER_CASES
from .test_hazards import DAY, SOUND, base, changed, found, loaded, placed, written, wrong

CASES = loaded("two_motors.yaml")
ROOT = Path(__file__).parent.parent.parent
WORKSHOP = ROOT / "examples" / "workshop"
ON_THE_BATTERY = ("pack", "wiring")
# Readings of one motor, which stand under it once there are several.
OF_ONE = ("identification", "wheel_turned", "no_load", "entered")


def twin() -> Any:
    return loaded("sound/twin-hub-scooter.yaml")


def built(case: Mapping[str, Any]) -> Any:
    """The build of a case: the sound one that it names, or the one with two hubs, changed."""
    whole = loaded(f"sound/{case['base']}.yaml") if "base" in case else twin()
    return changed(whole, case["change"])


def judged(change: Any, folder: Path) -> Judgement:
    return check(written(changed(twin(), change), folder), as_of=DAY)


def of_rule(judgement: Judgement, rule: str) -> list[Finding]:
    return [finding for finding in judgement.findings if finding.rule.id == rule]


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["id"]))
def test_two_motors_come_to_what_an_engineer_says(case: Mapping[str, Any], tmp_path: Path) -> None:
    """A pack of 100 A bears 60 A, and not twice 60 A."""
    judgement = check(written(built(case), tmp_path), as_of=DAY)
    told = (judgement.verdict, wrong(judgement))
    allowed = {
        "no-go": ("no-go",),
        "not-go": ("no-go", "incomplete"),
        "not-danger": ("go",),
        "flagged": ("go", "no-go"),
    }[case["expect"]]
    assert judgement.verdict in allowed, told
    assert set(case.get("rules", ())) <= found(judgement), told


@pytest.mark.parametrize(
    "case", [one for one in CASES if "alone" in one], ids=lambda case: str(case["id"])
)
def test_either_motor_alone_is_clear_of_it(case: Mapping[str, Any], tmp_path: Path) -> None:
    """Else the case would say nothing about the sum."""
    build = built(case)
    assert case["rules"]
    for name, motor in build["motors"].items():
        alone = check(written(build | {"motors": {name: motor}}, tmp_path), as_of=DAY)
        assert found(alone).isdisjoint(case["rules"]), name


def told(judgement: Judgement) -> tuple[Any, ...]:
    """All that a judgement says but for places in the file."""
    findings = [
        (
            one.rule.id,
            one.severity,
            one.modes,
            one.message,
            one.remedy,
            one.value,
            one.low,
            one.high,
        )
        for one in judgement.findings
    ]
    waiting = [(one.rule.id, one.missing, one.gate, one.modes) for one in judgement.not_checked]
    counts = (judgement.checked, judgement.out_of_scope, judgement.waived)
    stages = tuple(judgement.stages.items())
    return stages, sorted(map(repr, findings)), sorted(map(repr, waiting)), counts


def with_one_motor() -> Iterator[Path]:
    for path in (*sorted((WORKSHOP / "vehicles").glob("*.yaml")), *SOUND):
        if "motor" in YAML(typ="safe").load(path):
            yield path


@pytest.mark.parametrize("path", list(with_one_motor()), ids=lambda path: path.stem)
def test_one_motor_under_its_name_is_judged_as_before(path: Path, tmp_path: Path) -> None:
    """A name is no reason for another verdict."""
    shutil.copytree(WORKSHOP, tmp_path / "shop")
    folder = tmp_path / "shop" / "vehicles"
    build = YAML(typ="safe").load(path)
    single = told(check(written(build, folder), as_of=DAY))
    build["motors"] = {"rear hub": build.pop("motor")}
    assert told(check(written(build, folder), as_of=DAY)) == single


def halved(section: Any) -> None:
    """Half of each current at the battery, in the settings or in a mode."""
    for one in (section, section.get("regen")):
        if isinstance(one, dict) and "battery_current_A" in one:
            one["battery_current_A"] = one["battery_current_A"] / 2


def twinned(build: Any) -> Any:
    """The build with two of its motor on its controller, each with half of the battery's currents.

    And with half the inductance, so that the windings of both hold at a cut-off what those of one do.
    """
    build = copy.deepcopy(build)
    for section in (build.get("settings", {}), *build.get("modes", {}).values()):
        halved(section)
    motor, readings = build.pop("motor"), build.get("readings", {})
    held_uH = motor.get("phase_inductance_uH")
    if held_uH is None and "part" in motor:
        held_uH = base()["motor"]["phase_inductance_uH"]  # the parts of these cases have the base's
    if held_uH is not None:
        motor = motor | {"phase_inductance_uH": held_uH / 2}
    own = {key: readings.pop(key) for key in OF_ONE if key in readings}
    shown = readings.get("temperature", {})
    own["temperature"] = {key: shown.pop(key) for key in ("motor_degC", "warm") if key in shown}
    build["motors"] = {name: copy.deepcopy(motor | {"readings": own}) for name in ("left", "right")}
    return build


def halves() -> list[Mapping[str, Any]]:
    """The hazards of one motor whose currents at the battery are entered."""
    return [
        case
        for case in OTHER_CASES
        if isinstance(case["change"].get("motor", {}), Mapping)
        and not case["id"].startswith(("regen-by-phase", "regen-phase-only"))
    ]


@pytest.mark.parametrize("case", halves(), ids=lambda case: str(case["id"]))
def test_a_battery_feels_two_halves_as_one(case: Mapping[str, Any], tmp_path: Path) -> None:
    """Kirchhoff: what one motor draws, two of half of it draw too, so the same rules speak up."""
    build = changed(base(), case["change"])
    placed(case, tmp_path)
    try:
        one = check(written(build, tmp_path, "one"), as_of=DAY)
    except DocumentErrors:
        with pytest.raises(DocumentErrors):
            check(written(twinned(build), tmp_path, "two"), as_of=DAY)
        return
    two = check(written(twinned(build), tmp_path, "two"), as_of=DAY)
    battery = [
        {
            (finding.rule.id, finding.severity, finding.modes)
            for finding in judgement.findings
            if finding.rule.topic in ON_THE_BATTERY
        }
        for judgement in (one, two)
    ]
    assert battery[0] == battery[1]


def test_the_windings_of_both_motors_empty_into_one_input(tmp_path: Path) -> None:
    """60 µH and 80 A rms in each of two: 1.152 J into 2 mF, from 99 V and 20 A for 2 ms."""
    change = {"motor": {"phase_inductance_uH": 120}, "settings": {"over_voltage_trip_V": 99}}
    judgement = check(written(twinned(changed(base(), change)), tmp_path), as_of=DAY)
    (one,) = [one for one in judgement.findings if one.rule.id == "regen-bus-rise-bms"]
    assert one.value == pytest.approx(((99.0 + 20.0) ** 2 + 2.0 * 1.152 / 0.002) ** 0.5)


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["id"]))
def test_the_order_of_motors_changes_nothing(case: Mapping[str, Any], tmp_path: Path) -> None:
    """The same vehicle, described from its other end."""
    build = built(case)
    turned = build | {"motors": dict(reversed(build["motors"].items()))}
    sides = [
        {
            (one.rule.id, one.severity, one.modes, repr(one.value), tuple(sorted(one.motors)))
            for one in judgement.findings
        }
        for judgement in (check(written(each, tmp_path), as_of=DAY) for each in (build, turned))
    ]
    assert sides[0] == sides[1]


def test_a_sum_is_told_once_with_its_addends(tmp_path: Path) -> None:
    """The reader sees which motor brings how much, and the line of the one that brings most."""
    judgement = judged({"motors": {"rear": {"settings": {"battery_current_A": 45}}}}, tmp_path)
    (one,) = of_rule(judgement, "battery-current-above-bms")
    assert one.message.startswith("All motors together (front 22 A, rear 45 A): ")
    assert one.remedy.startswith(
        "For all motors together (38 A for motor rear, the others unchanged): "
    )
    assert (one.value, one.motors) == (67.0, ())
    assert one.entered_as == "motors.rear.settings.battery_current_A"


def test_what_only_one_motor_has_names_it_and_its_line(tmp_path: Path) -> None:
    """Two motors of one kind: somebody has to know which to unscrew."""
    judgement = judged({"motors": {"rear": {"settings": {"phase_current_A_rms": 100}}}}, tmp_path)
    (one,) = of_rule(judgement, "phase-current-above-controller")
    assert one.message.startswith("Motor rear: ") and one.motors == ("rear",)
    assert one.entered_as == "motors.rear.settings.phase_current_A_rms"
    assert "100" in judgement.profile.line(one.place)


def test_what_is_alike_for_all_motors_is_told_once(tmp_path: Path) -> None:
    """A reader does not read the same twice."""
    judgement = judged({"settings": {"phase_current_A_rms": 70}}, tmp_path)
    (one,) = of_rule(judgement, "phase-current-above-controller")
    assert (one.motors, one.message[:7]) == ((), "The pha")
    (pack,) = of_rule(judged({"pack": {"bms": "none"}}, tmp_path), "bms-missing")
    assert pack.motors == ()


def test_each_motor_asks_for_what_it_lacks(tmp_path: Path) -> None:
    """A reading of the other motor would be no answer."""
    judgement = judged({"motors": {"rear": {"readings": "~remove"}}}, tmp_path)
    missing = {name for one in judgement.not_checked for name in one.missing}
    assert "motors.rear.readings.wheel_turned" in missing
    assert not any(name.startswith("motors.front.readings") for name in missing)


def test_a_finding_about_the_bus_says_whose_controller_bears_least(tmp_path: Path) -> None:
    """The rear one's trip is set where the front one's controller is already gone."""
    rear = {"controller": {"max_V": 90}, "settings": {"over_voltage_trip_V": 85}}
    judgement = judged({"motors": {"rear": rear}}, tmp_path)
    (one,) = of_rule(judgement, "over-voltage-trip-above-controller")
    assert one.message.startswith("Motor rear, on one DC bus with the controller of motor front: ")
    assert (one.value, one.high) == (85.0, 63.0)
    assert "motors.front.controller.max_V" in {each.entered_as for each in one.related}


def test_what_a_controller_of_unknown_voltage_bears_is_no_more_than_the_other_s(
    tmp_path: Path,
) -> None:
    """Enough to refuse a trip above the other's, and no GO for one below it."""
    rear: dict[str, Any] = {"controller": {"max_V": "~remove"}}
    waiting = judged({"motors": {"rear": rear}}, tmp_path)
    missing = {name for one in waiting.not_checked for name in one.missing}
    assert waiting.verdict == "incomplete"
    assert {one for one in missing if one.endswith("max_V")} == {"motors.rear.controller.max_V"}
    rear["settings"] = {"over_voltage_trip_V": 85}
    refused = judged({"motors": {"rear": rear}}, tmp_path)
    assert "over-voltage-trip-above-controller" in found(refused)


def test_a_comparison_of_motors_asks_for_what_is_behind_it(tmp_path: Path) -> None:
    """The share by which they differ is nobody's entry."""
    cart = loaded("sound/cart-with-two-rear-motors.yaml")
    ramp = {"settings": {"throttle": {"ramp_ms": "~remove"}}}
    change = ramp | {"motors": {"left": {"settings": {"throttle": {"ramp_ms": 500}}}}}
    judgement = check(written(changed(cart, change), tmp_path), as_of=DAY)
    (one,) = [one for one in judgement.not_checked if one.rule.id == "motors-differ-in-ramp"]
    assert one.missing == ("motors.right.settings.throttle.ramp_ms",)
    assert judgement.verdict == "incomplete"


def test_a_sum_asks_only_the_motor_whose_part_is_missing(tmp_path: Path) -> None:
    """What the front one draws is entered already."""
    change = {
        "settings": {"battery_current_A": "~remove"},
        "motors": {"front": {"settings": {"battery_current_A": 22}}},
        "modes": "~remove",
    }
    missing = {name for one in judged(change, tmp_path).not_checked for name in one.missing}
    currents = {name for name in missing if name.endswith("settings.battery_current_A")}
    assert currents == {"motors.rear.settings.battery_current_A"}


WAIVER = {
    "rule": "phase-current-above-motor-burst",
    "accepts": 65,
    "until": "2026-12-24",
    "reason": "Bench runs of ten seconds only, watched.",
}


@pytest.mark.parametrize(
    ("motor", "verdict"), [("rear", "no-go"), ("front", "no-go"), (None, "go-with-waivers")]
)
def test_a_waiver_covers_the_motor_that_it_names(
    motor: str | None, verdict: str, tmp_path: Path
) -> None:
    """What was looked at on one motor was not looked at on the other."""
    bolder = {"controller": {"phase_current_A_rms": 80}}
    waiver = WAIVER if motor is None else WAIVER | {"motor": motor}
    change = {
        "settings": {"phase_current_A_rms": 65, "battery_current_A": 28},
        "motors": {"front": bolder, "rear": bolder},
        "pack": {"connector_A": 100},
        "wiring": {
            "fuse": {"rated_A": 80},
            "battery_cable_A": 100,
            "battery_cable_mm2": 16,
            "phase_cable_A": 70,
        },
        "waivers": [waiver],
    }
    judgement = judged(change, tmp_path)
    kept = [one.motors for one in of_rule(judgement, WAIVER["rule"]) if one.waived is None]
    assert judgement.verdict == verdict, wrong(judgement)
    assert kept == ([] if motor is None else [tuple({"front", "rear"} - {motor})])
    assert "waiver-covers-nothing" not in found(judgement)


def complaint(change: Any, folder: Path) -> Any:
    with pytest.raises(DocumentErrors) as raised:
        judged(change, folder)
    return raised.value.errors[0]


def test_one_motor_and_several_are_not_both_given(tmp_path: Path) -> None:
    """Nobody could say which of them the vehicle has."""
    error = complaint({"motor": {"kv_rpm_per_V": 10}}, tmp_path)
    assert isinstance(error, PairGivenTwice) and "`motor` and `motors`" in error.found


def test_without_any_motor_nobody_gets_a_go(tmp_path: Path) -> None:
    """What drives it is not known."""
    build = {key: value for key, value in twin().items() if key != "motors"}
    assert check(written(build, tmp_path), as_of=DAY).verdict != "go"


def test_a_reading_of_one_motor_has_to_say_of_which(tmp_path: Path) -> None:
    """One motor turned forward is no promise of the other."""
    error = complaint({"readings": {"wheel_turned": "forward"}}, tmp_path)
    assert isinstance(error, WrongValue)
    assert "`motors.front.readings` and `motors.rear.readings`" in error.wanted


@pytest.mark.parametrize("key", ["mode", "motor"])
def test_a_waiver_names_what_the_profile_has(key: str, tmp_path: Path) -> None:
    """One for a motor that is not there would cover nothing, unseen."""
    error = complaint({"waivers": [WAIVER | {key: "left"}]}, tmp_path)
    assert error.found == "`left`" and f"a {key} of this profile" in error.wanted


def test_a_motor_from_a_part_file_is_overlaid_as_one_motor_is(tmp_path: Path) -> None:
    """Two of one make, one of them with other figures beside its part."""
    build = twin()
    front = {key: value for key, value in build["motors"]["front"].items()}
    own = {key: front.pop(key) for key in ("controller", "settings", "readings") if key in front}
    source = {"title": "Leaflet", "revision": "1", "page": "1"}
    written(
        {"gonogo": "part/1", "part": {"name": "Hub", "source": source}, "motor": front},
        tmp_path,
        "hub",
    )
    build["motors"]["front"] = {"part": "hub.yaml", **own}
    whole = check(written(twin(), tmp_path), as_of=DAY)
    parted = check(written(build, tmp_path), as_of=DAY)
    assert told(parted)[0] == told(whole)[0] and found(parted) == found(whole)
    build["motors"]["front"]["max_rpm"] = 3000
    raised = check(written(build, tmp_path), as_of=DAY)
    (one,) = of_rule(raised, "override-raises-rating")
    assert (one.entered_as, one.motors) == ("motors.front.max_rpm", ("front",))


OWN_RULE = """gonogo: rule/1
id: own-battery-limit
severity: fault
of: settings.battery_current_A
at_most: {most}
says: The battery current of {{of}} is above {{limit}}.
because: The shop leaves a reserve.
remedy: Lower it.
source: The shop.
examples:
  - {{given: {{settings.battery_current_A: {most}}}, outcome: clear}}
  - {{given: {{settings.battery_current_A: {past}}}, outcome: flagged}}
  - {{given: {{}}, outcome: not_checked}}
"""


@pytest.mark.parametrize(("most", "flagged"), [(43, True), (44, False)])
def test_a_shop_s_own_rule_about_the_battery_is_held_against_the_sum(
    most: int, flagged: bool, tmp_path: Path
) -> None:
    """A shop's reserve is one of the pack, whoever draws on it."""
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "limit.yaml").write_text(OWN_RULE.format(most=most, past=most + 1))
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nrules: own\n")
    assert ("own-battery-limit" in found(judged({}, tmp_path))) == flagged


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit", "lines", "markdown", "html"])
def test_every_report_names_the_motor(form: str, tmp_path: Path) -> None:
    """In CI too somebody has to know which motor it is."""
    change = {"motors": {"rear": {"settings": {"phase_current_A_rms": 100}}}}
    path = written(changed(twin(), change), tmp_path)
    out = io.StringIO()
    check_command.run([path], form=form, as_of=DAY, out=out)
    assert "Motor rear" in out.getvalue()
