"""The judge: base and modes, what is counted, and how findings become a verdict."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from shutil import copytree

import pytest
from gonogo import check
from gonogo.documents.loading import load
from gonogo.documents.profile import Profile
from gonogo.judgement.catalogue import Catalogue, catalogue, catalogue_of
from gonogo.judgement.finding import Finding, Judgement
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import Rule

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
Judged = Callable[..., Judgement]
Rules = Callable[..., Catalogue]

CURRENT = {
    "id": "current-high",
    "of": "settings.battery_current_A",
    "at_most": 100,
    "says": "It is {of}, above {limit}.",
}
RAMP = {
    "id": "ramp-short",
    "severity": "advice",
    "of": "settings.throttle.ramp_ms",
    "at_least": 150,
}
FUSE = {
    "id": "fuse-far",
    "severity": "fault",
    "of": "wiring.fuse.rated_A",
    "at_most": "2 * settings.battery_current_A",
}


def told(judgement: Judgement) -> dict[str, list[tuple[tuple[str, ...], bool]]]:
    """The findings by rule: their modes, and whether base and every mode agree."""
    found: dict[str, list[tuple[tuple[str, ...], bool]]] = {}
    for finding in judgement.findings:
        found.setdefault(finding.rule.id, []).append((finding.modes, finding.everywhere))
    return found


@pytest.mark.parametrize(
    ("settings", "modes", "findings"),
    [
        pytest.param(120, "", [((), False)], id="no modes: the base settings"),
        pytest.param(120, "{a: {battery_current_A: 80}}", [((), False)], id="a mode that is mild"),
        pytest.param(
            120, "{a: {throttle: {ramp_ms: 300}}}", [((), True)], id="a mode that leaves it alone"
        ),
        pytest.param(
            120,
            "{a: {battery_current_A: 120}, b: {max_rpm: 3000}}",
            [((), False), (("a",), False)],
            id="a line of its own in a mode has a finding of its own",
        ),
        pytest.param(80, "{a: {battery_current_A: 120}}", [(("a",), False)], id="in a mode only"),
        pytest.param(80, "{a: {battery_current_A: 90}}", [], id="in none"),
        pytest.param(
            80,
            "{a: {battery_current_A: 120}, b: {battery_current_A: 130}}",
            [(("a",), False), (("b",), False)],
            id="two values are two findings",
        ),
        pytest.param(
            120,
            "{a: {battery_current_A: 130}, b: {battery_current_A: 80}}",
            [((), False), (("a",), False)],
            id="base and one mode, differently",
        ),
    ],
)
def test_a_finding_says_in_which_modes_it_holds(
    settings: int,
    modes: str,
    findings: list[tuple[tuple[str, ...], bool]],
    judged: Judged,
    rules: Rules,
) -> None:
    """A rider who only ever rides one mode has to know whether it is that one."""
    text = f"settings: {{battery_current_A: {settings}}}\n" + (f"modes: {modes}\n" if modes else "")
    assert told(judged(text, rules(CURRENT))).get("current-high", []) == findings


def test_a_limit_that_a_mode_moves_is_felt_in_that_mode(judged: Judged, rules: Rules) -> None:
    """The fuse stays as it is, and is too large only for the mild mode."""
    text = (
        "wiring: {fuse: {rated_A: 150}}\nsettings: {battery_current_A: 100}\n"
        "modes: {walk: {battery_current_A: 40}, fast: {battery_current_A: 90}}\n"
    )
    assert told(judged(text, rules(FUSE))) == {"fuse-far": [(("walk",), False)]}


def test_the_same_in_several_modes_is_one_finding(judged: Judged, rules: Rules) -> None:
    """One line to change, one finding, and the modes that it holds in."""
    text = (
        "wiring: {fuse: {rated_A: 150}}\nsettings: {battery_current_A: 100}\n"
        "modes: {walk: {battery_current_A: 40}, rain: {battery_current_A: 40}}\n"
    )
    assert told(judged(text, rules(FUSE))) == {"fuse-far": [(("walk", "rain"), False)]}


def test_the_same_in_base_and_every_mode_is_told_of_all(judged: Judged, rules: Rules) -> None:
    """The modes change the current and leave the fuse as wrong as it was."""
    text = (
        "wiring: {fuse: {rated_A: 300}}\nsettings: {battery_current_A: 100}\n"
        "modes: {walk: {battery_current_A: 100}, lane: {throttle: {ramp_ms: 300}}}\n"
    )
    assert told(judged(text, rules(FUSE))) == {"fuse-far": [((), True)]}


def test_a_finding_of_a_mode_stands_at_the_modes_line(judged: Judged, rules: Rules) -> None:
    """The value to change is the one in the mode."""
    text = "settings: {battery_current_A: 80}\nmodes:\n  a: {battery_current_A: 120}\n"
    (finding,) = judged(text, rules(CURRENT)).findings
    assert (finding.place.line, finding.entered_as) == (5, "modes.a.battery_current_A")


def test_a_rule_for_readings_taken_in_the_base_settings_leaves_modes_alone(
    judged: Judged, rules: Rules
) -> None:
    """A free spin was done in the base settings; a slow mode says nothing about it."""
    text = "settings: {battery_current_A: 80}\nmodes: {a: {battery_current_A: 120}}\n"
    assert told(judged(text, rules({**CURRENT, "modes": "base"}))) == {}
    assert told(judged(text, rules(CURRENT))) == {"current-high": [(("a",), False)]}


def test_a_mode_that_removes_a_setting_leaves_its_rule_open(judged: Judged, rules: Rules) -> None:
    """`null` is not telling, and what is not told in a mode is not judged in that mode."""
    text = "settings: {battery_current_A: 80}\nmodes: {a: {battery_current_A: null}}\n"
    found = judged(text, rules(CURRENT))
    assert [(one.modes, one.missing) for one in found.not_checked] == [
        (("a",), ("settings.battery_current_A",))
    ]


def test_two_modes_with_limits_of_their_own_have_findings_of_their_own(
    judged: Judged, rules: Rules
) -> None:
    """One fuse, two modes, two limits: the milder mode's number would hide the other's."""
    text = (
        "wiring: {fuse: {rated_A: 150}}\nsettings: {battery_current_A: 100}\n"
        "modes: {walk: {battery_current_A: 40}, rain: {battery_current_A: 60}}\n"
    )
    findings = judged(text, rules(FUSE)).findings
    assert [(one.modes, one.value, one.high) for one in findings] == [
        (("walk",), 150, 80),
        (("rain",), 150, 120),
    ]


def test_two_modes_with_a_lowest_of_their_own_have_findings_of_their_own(
    judged: Judged, rules: Rules
) -> None:
    """The same for a bound from below."""
    short = {"id": "fuse-short", "of": "wiring.fuse.rated_A", "at_least": FUSE["at_most"]}
    text = (
        "wiring: {fuse: {rated_A: 150}}\nsettings: {battery_current_A: 50}\n"
        "modes: {fast: {battery_current_A: 80}, race: {battery_current_A: 90}}\n"
    )
    findings = judged(text, rules(short)).findings
    assert [(one.modes, one.low) for one in findings] == [(("fast",), 160), (("race",), 180)]


def test_two_modes_with_values_of_their_own_have_findings_of_their_own(
    judged: Judged, rules: Rules
) -> None:
    """Both hang on one line of the build, and each comes to a number of its own."""
    emf = {"id": "emf-high", "of": "motor.back_emf_V", "at": "motor.kv_rpm_per_V", "at_most": 60}
    text = (
        "motor: {kv_rpm_per_V: 50}\nsettings: {max_rpm: 2000, field_weakening_A_rms: 20}\n"
        "modes: {fast: {max_rpm: 4000}, race: {max_rpm: 5000}}\n"
    )
    findings = judged(text, rules(emf)).findings
    assert [(one.modes, one.value) for one in findings] == [(("fast",), 80), (("race",), 100)]


def test_a_gap_in_two_modes_is_told_of_both(judged: Judged, rules: Rules) -> None:
    """Who fills it in one mode and reads no more rides the other one unjudged."""
    text = (
        "settings: {battery_current_A: 80}\n"
        "modes: {a: {battery_current_A: null}, b: {battery_current_A: null}, c: {reverse_rpm: 9}}\n"
    )
    judgement = judged(text, rules(CURRENT))
    assert [one.modes for one in judgement.not_checked] == [("a", "b")]


def test_a_gap_of_the_base_settings_is_not_told_as_a_modes(judged: Judged, rules: Rules) -> None:
    """What is missing in the base settings is missing there, be it missing in a mode as well."""
    about = {
        "id": "both-told",
        "flag_when": "settings.battery_current_A > 0 and settings.reverse_rpm > 5000",
        "at": "settings.battery_current_A",
    }
    text = "settings: {battery_current_A: 80}\nmodes: {a: {battery_current_A: 60}}\n"
    judgement = judged(text, rules(about))
    assert [(one.modes, one.missing) for one in judgement.not_checked] == [
        ((), ("settings.reverse_rpm",))
    ]


def test_different_gaps_are_told_apart(judged: Judged, rules: Rules) -> None:
    """The base lacks one entry, the mode two: each is told with what it lacks."""
    about = {
        "id": "both-told",
        "flag_when": "settings.battery_current_A > 0 and settings.reverse_rpm > 5000",
        "at": "settings.battery_current_A",
    }
    text = "settings: {battery_current_A: 80}\nmodes: {a: {battery_current_A: null}}\n"
    judgement = judged(text, rules(about))
    assert [(one.modes, one.missing) for one in judgement.not_checked] == [
        ((), ("settings.reverse_rpm",)),
        (("a",), ("settings.battery_current_A", "settings.reverse_rpm")),
    ]


@pytest.mark.parametrize(
    ("modes", "judged_rules", "out_of_scope"),
    [
        pytest.param("", 1, 0, id="judged in the base settings"),
        pytest.param("{a: {battery_current_A: 60}}", 1, 0, id="and in a mode"),
        pytest.param("{a: {battery_current_A: null}}", 0, 0, id="open in a mode: not judged"),
        pytest.param(
            "{a: {battery_current_A: 60}, b: {battery_current_A: null}}", 0, 0, id="or in another"
        ),
    ],
)
def test_a_rule_counts_as_judged_when_it_is_so_everywhere(
    modes: str, judged_rules: int, out_of_scope: int, judged: Judged, rules: Rules
) -> None:
    """`GO · 71 of 80 rules` would otherwise count a rule that one mode leaves open."""
    text = "settings: {battery_current_A: 80}\n" + (f"modes: {modes}\n" if modes else "")
    judgement = judged(text, rules(CURRENT))
    assert (judgement.checked, judgement.out_of_scope) == (judged_rules, out_of_scope)


def test_a_mode_that_switches_regen_off_is_out_of_scope(judged: Judged, rules: Rules) -> None:
    """Without regen in a mode nothing about regen is asked there."""
    about = {
        "id": "regen-high",
        "of": "settings.regen.battery_current_A",
        "at_most": 20,
    }
    text = "settings: {regen: {battery_current_A: 30}}\nmodes: {a: {regen: none}}\n"
    found = judged(text, rules(about))
    assert told(found) == {"regen-high": [((), False)]}
    assert not found.not_checked


@pytest.mark.parametrize(
    "of",
    ["settings.regen.stop_V", "settings.regen.battery_current_A", "settings.regen.taper_from_V"],
)
def test_a_mode_that_switches_regen_on_is_asked_all_about_it(
    of: str, judged: Judged, rules: Rules
) -> None:
    """Where the base has no regen and a mode has, its stop is missing there, not out of scope."""
    about = {"id": "regen-told", "of": of, "at_least": 1}
    text = "settings: {regen: none}\nmodes: {a: {regen: {phase_current_A_rms: 20}}}\n"
    found = judged(text, rules(about))
    assert [(one.modes, one.missing) for one in found.not_checked] == [(("a",), (of,))]


@pytest.mark.parametrize(
    ("current", "ramp", "gate_told", "strict", "verdict"),
    [
        (80, 200, True, False, "go"),
        (80, 200, True, True, "go"),
        (120, 200, True, False, "no-go"),
        (80, 100, True, False, "go"),
        (80, 100, True, True, "no-go"),
        (80, 200, False, False, "incomplete"),
        (80, 100, False, False, "incomplete"),
        (80, 100, False, True, "no-go"),
        (120, 200, False, False, "no-go"),
    ],
)
@pytest.mark.parametrize("severity", ["danger", "fault"])
def test_the_verdict(
    severity: str,
    current: int,
    ramp: int,
    gate_told: bool,
    strict: bool,
    verdict: str,
    judged: Judged,
    rules: Rules,
) -> None:
    """A danger or a fault stops; advice only where it is asked to; an open gate is no GO."""
    gate = {"id": "gate", "gate": "ride", "of": "controller.max_V", "at_least": 60}
    text = f"settings: {{battery_current_A: {current}, throttle: {{ramp_ms: {ramp}}}}}\n"
    text += "controller: {max_V: 90}\n" if gate_told else ""
    found = judged(text, rules({**CURRENT, "severity": severity}, RAMP, gate), strict=strict)
    assert found.verdict == verdict


@pytest.mark.parametrize(("current", "verdict"), [(120, "go-with-waivers"), (131, "no-go")])
def test_a_waived_danger_lets_go_up_to_what_was_accepted(
    current: int, verdict: str, judged: Judged, rules: Rules
) -> None:
    """A waiver is no blank cheque."""
    text = (
        f"settings: {{battery_current_A: {current}}}\nwaivers:\n  - {{rule: current-high, "
        "accepts: 130, reason: Trial on the bench only., until: 2026-12-31}\n"
    )
    assert judged(text, rules(CURRENT)).verdict == verdict


def test_an_open_gate_in_one_mode_is_no_go_for_it(judged: Judged, rules: Rules) -> None:
    """INCOMPLETE as long as one mode may be ridden unjudged."""
    text = "settings: {battery_current_A: 80}\nmodes: {a: {battery_current_A: null}}\n"
    assert judged(text, rules({**CURRENT, "gate": "ride"})).verdict == "incomplete"


def test_a_judgement_says_whose_it_is_and_of_which_day(
    vehicle: Callable[..., Profile], rules: Rules
) -> None:
    """A report without a name could lie on any bench."""
    profile = vehicle("settings: {battery_current_A: 80}\n")
    judgement = judge(profile, rules(CURRENT), "2026-11-25")
    assert judgement.profile is profile
    assert judgement.judged_on == "2026-11-25"


def test_the_worst_stands_first(judged: Judged, rules: Rules) -> None:
    """Danger before fault before advice, gates before others, what is waived last."""
    text = (
        "settings: {battery_current_A: 40, throttle: {ramp_ms: 100}}\n"
        "wiring: {fuse: {rated_A: 150}}\n"
        "waivers:\n  - {rule: b-danger, accepts: 40, reason: Trial on the bench only., "
        "until: 2026-12-31}\n"
    )
    low = {"of": "settings.battery_current_A", "at_most": 30}
    found = judged(
        text,
        rules(
            RAMP,
            FUSE,
            {"id": "a-danger", **low},
            {"id": "b-danger", **low},
            {"id": "z-gate", "gate": "ride", **low},
        ),
    )
    order = [finding.rule.id for finding in found.findings]
    assert order == ["z-gate", "a-danger", "fuse-far", "ramp-short", "b-danger"]


def test_what_is_not_judged_names_what_to_give(judged: Judged, rules: Rules) -> None:
    """Down to the keys of a profile, gates first."""
    about = {
        "id": "gate",
        "gate": "ride",
        "of": "settings.battery_current_A",
        "at_most": "pack.cells_continuous_A",
    }
    found = judged("pack: {parallel: 6}\n", rules(RAMP, about))
    assert [(one.rule.id, one.missing) for one in found.not_checked] == [
        ("gate", ("pack.cell.continuous_A", "settings.battery_current_A")),
        ("ramp-short", ("settings.throttle.ramp_ms",)),
    ]


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_each_rule_is_counted_once(path: Path) -> None:
    """Judged, not judged and out of scope are all there is."""
    profile = load(path)
    known = catalogue()
    found = judge(profile, known, "2026-11-25")
    open_rules = {one.rule.id for one in found.not_checked}
    assert found.checked + len(open_rules) + found.out_of_scope == len(known.rules)


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_what_is_missing_can_be_given(path: Path) -> None:
    """Every name that a reader is asked for is a key of a profile."""
    from gonogo.documents.motors import entry_path
    from gonogo.documents.schema import canonical, properties

    open_rules = check(path, as_of="2026-11-25").not_checked
    asked = {entry_path(name) for one in open_rules for name in one.missing}
    assert asked <= {*properties(), *canonical()}


def shuffled(text: str, dice: random.Random) -> str:
    """A profile's sections in another order; its first key stays first."""
    first, *rest = text.split("\n\n")
    dice.shuffle(rest)
    return "\n\n".join([first.rstrip("\n"), *(part.strip("\n") for part in rest)]) + "\n"


def essence(finding: Finding) -> tuple[object, ...]:
    """What a finding says, without the lines that it stands on."""
    return (
        finding.rule.id,
        finding.severity,
        finding.modes,
        finding.everywhere,
        finding.entered_as,
        finding.message,
        finding.remedy,
        finding.value,
    )


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the workshop to write other vehicles into."""
    copy = tmp_path_factory.mktemp("turned") / "workshop"
    copytree(EXAMPLES / "workshop", copy)
    return copy


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_the_order_of_sections_changes_nothing(path: Path, workshop: Path) -> None:
    """Two builders who write the same vehicle in another order get the same answer."""
    text = path.read_text(encoding="utf-8")
    as_written = check(path, as_of="2026-11-25")
    turned = workshop / "vehicles" / path.name
    turned.write_text(shuffled(text, random.Random(7)), encoding="utf-8")
    found = check(turned, as_of="2026-11-25")
    assert found.verdict == as_written.verdict
    assert {essence(one) for one in found.findings} == {essence(one) for one in as_written.findings}
    assert {one.rule.id for one in found.not_checked} == {
        one.rule.id for one in as_written.not_checked
    }


@pytest.mark.parametrize("seed", range(3))
def test_the_order_of_rules_changes_nothing(seed: int) -> None:
    """A rule file that sorts elsewhere judges the same."""
    known = catalogue()
    mixed: list[Rule] = list(known.rules.values())
    random.Random(seed).shuffle(mixed)
    other = catalogue_of(mixed, known.digest)
    for path in VEHICLES[:4]:
        profile: Profile = load(path)
        assert judge(profile, other, "2026-11-25") == judge(profile, known, "2026-11-25")


def test_the_order_of_modes_changes_nothing(vehicle: Callable[..., Profile], rules: Rules) -> None:
    """Modes are looked up by name."""
    text = (
        "settings: {battery_current_A: 120}\n"
        "modes: {a: {battery_current_A: 130}, b: {battery_current_A: 130}, "
        "c: {battery_current_A: 80}}\n"
    )
    profile = vehicle(text)
    turned = replace(profile, modes=dict(reversed(profile.modes.items())))
    by = rules(CURRENT)
    one, other = judge(profile, by, "2026-11-25"), judge(turned, by, "2026-11-25")
    assert {(f.rule.id, frozenset(f.modes), f.value) for f in one.findings} == {
        (f.rule.id, frozenset(f.modes), f.value) for f in other.findings
    }


def test_a_finding_that_a_mode_words_otherwise_is_one_finding(tmp_path: Path) -> None:
    """Regen without a stop is one mistake, however much regen each mode asks for."""
    bracken = Path(__file__).parents[2] / "examples/workshop/vehicles/bracken.yaml"
    text = bracken.read_text(encoding="utf-8").replace("    stop_V: 66.0 ", "    #")
    copy = tmp_path / "workshop"
    copytree(bracken.parents[1], copy)
    (copy / "vehicles" / "bracken.yaml").write_text(text, encoding="utf-8")
    judgement = check(copy / "vehicles" / "bracken.yaml", as_of="2026-11-25")
    [finding] = [one for one in judgement.findings if one.rule.id == "regen-stop-missing"]
    assert finding.modes == ()
    assert finding.everywhere


def test_a_setting_that_is_only_left_out_closes_no_window(tmp_path: Path) -> None:
    """Field weakening without a highest speed is one danger; entering the speed cures it."""
    copytree(Path(__file__).parents[2] / "examples" / "workshop", tmp_path / "workshop")
    bike = tmp_path / "workshop" / "vehicles" / "bracken.yaml"
    text = bike.read_text(encoding="utf-8")
    base = text[: text.index("modes:")].replace("  max_rpm: 4900\n", "")
    bike.write_text(base.replace("weakening_A_rms: 0", "weakening_A_rms: 60"), encoding="utf-8")
    findings = check(bike, as_of="2026-11-25").findings
    stops = [one.rule.id for one in findings if one.severity != "advice"]
    assert stops == ["max-rpm-missing-with-field-weakening"]
