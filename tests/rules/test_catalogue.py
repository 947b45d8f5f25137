"""The rules as a body: ids, sentences, units, and that a weaker part never helps."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from gonogo import check
from gonogo.documents.loading import load
from gonogo.documents.profile import Given
from gonogo.documents.schema import canonical, properties
from gonogo.expressions.formatting import PLACEHOLDER
from gonogo.expressions.names import rule_names, vocabulary
from gonogo.expressions.unit_arithmetic import common
from gonogo.judgement.catalogue import catalogue, rule_texts
from gonogo.judgement.evaluation import book_of, ruling
from gonogo.judgement.rule import Rule
from gonogo.quantities.book import Book
from gonogo.quantities.registry import affected, rests_on
from gonogo.reports.rules import explained
from gonogo.reports.section import Code, Row

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
REVISIONS = sorted(
    path
    for path in (EXAMPLES / "revisions").rglob("*.yaml")
    if path.read_text(encoding="utf-8").startswith("gonogo: profile/")
)
TODAY = "2026-11-25"
RULES = list(catalogue().rules.values())
EACH = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
LINE = 80


def sentences(rule: Rule) -> dict[str, str]:
    steps = {
        f"because of step {n}": step.because for n, step in enumerate(rule.steps) if step.because
    }
    instead = {"instead": rule.instead} if rule.instead else {}
    return {"says": rule.says, "because": rule.because, "remedy": rule.remedy, **instead, **steps}


def test_an_id_is_unique_across_topics() -> None:
    """A waiver that names a rule means one."""
    names = Counter(name for _, name in rule_texts())
    assert not [name for name, count in names.items() if count > 1]
    assert len(names) == len(RULES)


@EACH
def test_an_id_is_made_of_words(rule: Rule) -> None:
    """It is read aloud in a waiver; a code would have to be looked up."""
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", rule.id)


UNSAID = r"\w_\w|[a-z]\.[a-z]|given\(|[*{}]|[=<>!]="
CODE = re.compile(rf"{UNSAID}| if .* else | [<>=/] ")
CODE_IN_FORMULA = re.compile(UNSAID)  # a formula in words may have signs and an `if`


@EACH
def test_no_page_of_a_rule_shows_an_expression(rule: Rule) -> None:
    """A rule is read by people who build vehicles, not by people who write rules."""
    (card,) = explained(rule).cards
    rows = [row for section in card.sections for row in section.blocks if isinstance(row, Row)]
    said = _said_in(row for row in rows if row.label != "calc")
    formulas = _said_in(row for row in rows if row.label == "calc")
    assert {row.label for row in rows} >= {"says", "why", "do"}
    assert {row.label for row in rows} & {"limit", "flags when"}
    assert [text for text in said if CODE.search(text.replace(rule.source, ""))] == []
    assert [text for text in formulas if CODE_IN_FORMULA.search(text)] == []


def _said_in(rows: Iterable[Row]) -> list[str]:
    return [piece for row in rows for line in row.lines for piece in line if isinstance(piece, str)]


@EACH
def test_a_key_is_shown_only_beside_what_it_means(rule: Rule) -> None:
    """Keys are for typing: the value judged, and the allowances that a house file may set."""
    (card,) = explained(rule).cards
    rows = [row for section in card.sections for row in section.blocks if isinstance(row, Row)]
    with_keys = {row.label for row in rows for line in row.lines if any(_is_key(x) for x in line)}
    assert with_keys <= {"judges", "allowance", "needs", "yields to"}


def _is_key(piece: object) -> bool:
    return isinstance(piece, Code)


@EACH
def test_the_units_of_a_bound_are_those_of_what_it_bounds(rule: Rule) -> None:
    """Amperes are never held against volts, nor rms against DC."""
    names = vocabulary(rule.subject)
    for end in (rule.low, rule.high):
        if end is None or end.type.unit is None:
            continue
        assert rule.of is not None
        unit = names[rule.of].unit
        assert unit is not None
        assert common(unit, end.type.unit, "compared with").scale == pytest.approx(
            end.type.unit.scale, rel=1e-12
        )


@EACH
def test_a_sentence_shows_only_what_exists(rule: Rule) -> None:
    """`{limit}` of a rule without one, or a misspelt quantity, would be shown as not told."""
    ends = {"flag_when": set(), "between": {"low", "high"}}.get(rule.bound, {"limit"})
    ends |= {"beyond"} if any(step.low or step.high for step in rule.steps) else set()
    allowed = {"of"} | ends if rule.points_at else ends
    for sentence in sentences(rule).values():
        words = set(PLACEHOLDER.findall(sentence))
        assert all(word in rule_names(rule.subject) for word in words - allowed)
        assert set(re.findall(r"\{([^}]*)\}", sentence)) == words


# Words that help where they are known, in findings that do not hang on them.
BESIDE: dict[str, set[str]] = {
    "load-above-own-cable": {"wiring.load_on_cable_name"},
    "load-above-own-fuse": {"wiring.load_on_fuse_name"},
    "load-fuse-above-own-cable": {"wiring.fuse_on_cable_name"},
    "load-without-fuse": {"wiring.load_without_fuse"},
    "battery-cable-drop": {"wiring.drop_percent"},
    "cell-group-above-full": {"readings.fullest_cell_group"},
    "cell-group-below-minimum": {"readings.cell_groups_below_minimum"},
    "cell-groups-apart": {"readings.emptiest_cell_group", "readings.fullest_cell_group"},
    "cell-voltages-out-of-order": {"pack.cell.voltages_given"},
    "cold-readings-differ": {"motor.cold_reading_remedy"},
    "downhill-back-emf": {"motor.back_emf_V"},
    "low-voltage-cutoff-below-bms": {"pack.cell_at_cutoff_V"},
    "low-voltage-cutoff-near-bms": {"pack.bms_under_voltage_V"},
    "no-load-kv-off": {"motor.kv_basis_fits"},
    "pack-heats-itself": {"pack.c_rate_per_h"},
    "pack-reading-full-other-count": {"pack.cell_from_full_reading_V", "pack.reading_fits"},
    "pack-reading-outside": {"pack.reading_fits"},
    "pack-voltages-out-of-order": {"pack.voltages_given"},
    "regen-bus-rise-contactor": {"controller.bus_rise_ms"},
    "regen-current-above-wiring": {"wiring.path_weakest"},
    "reverse-too-fast": {"ride.reverse_speed_km_h"},
    "speed-above-limit": {"ride.reachable_km_h"},
    "speed-above-tyre": {"ride.reachable_km_h"},
    "throttle-start-near-rest": {"throttle.ample_clearance_V"},
    "tyre-without-speed-letter": {"ride.reachable_km_h"},
}


@pytest.mark.parametrize(
    "rule", [rule for rule in RULES if rule.subject == "profile"], ids=lambda rule: rule.id
)
def test_a_sentence_shows_what_the_rule_was_judged_by(rule: Rule) -> None:
    """So that a finding which could be made can also be told."""
    known = {name for read in rule.reads for name in rests_on(read)}
    shown = {
        word for sentence in sentences(rule).values() for word in PLACEHOLDER.findall(sentence)
    }
    beside = {word for word in shown - known if "." in word and not word.startswith("house.")}
    assert beside == BESIDE.get(rule.id, set())


# Rules about a setting that may be none, flagged only where it is not, or none is what they are about.
OF_WHAT_IS_SET = {
    "controller-stop-missing",  # it says: if the controller has them
    "motor-sensor-kind-not-read",
    "motor-sensor-kind-wrong",
    "pole-pairs-differ-from-motor",
    "pole-pairs-not-half-magnets",
    "throttle-middle-rest-without-limits",  # its own `applies_when` leaves out a throttle of none
    "throttle-signal-fault-limit-missing",
}


@EACH
def test_a_setting_that_is_none_is_not_told_to_be_set(rule: Rule) -> None:
    """Nobody can lower a limit that his controller does not have."""
    at = rule.points_at or ""
    may_be_none = any(
        properties()[name].can_be_none
        for name in (at, at.rpartition(".")[0])
        if at.startswith("settings.") and name in properties()
    )
    if rule.instead:
        assert may_be_none and rule.of != at
        assert not re.match(r"(Set|Lower|Raise) it\b", rule.instead)
    elif may_be_none and rule.of != at and properties()[at].can_be_none:
        assert rule.id in OF_WHAT_IS_SET or not re.match(r"(Set|Lower|Raise)\b", rule.remedy)


@pytest.mark.parametrize("path", [*VEHICLES, *REVISIONS], ids=lambda path: path.stem)
def test_no_finding_of_an_example_shows_a_gap(path: Path) -> None:
    """'The throttle starts at not told' helps nobody."""
    for finding in check(path, as_of=TODAY).findings:
        for text in (finding.message, finding.because, finding.remedy):
            assert not re.search(r"not told|not known|[{}]|None|nan", text), text


@EACH
def test_a_sentence_is_one_and_fits_two_lines(rule: Rule) -> None:
    """Read at the bench, at arm's length, once."""
    for sentence in sentences(rule).values():
        assert re.match(r"[A-Z{]", sentence)
        assert sentence.endswith(".")
        assert ". " not in sentence
        assert len(PLACEHOLDER.sub("123.4 A", sentence)) <= 2 * LINE


@EACH
def test_a_sentence_is_in_plain_words(rule: Rule) -> None:
    """Keys and code belong in a file; a person is told of a stop, not of `stop_V`."""
    for sentence in sentences(rule).values():
        plain = PLACEHOLDER.sub("", sentence)
        assert "_" not in plain
        assert "`" not in plain
        assert not re.search(r"==|<=|>=|\bnull\b|\bTrue\b|\bFalse\b", plain)


@EACH
def test_a_danger_says_what_it_does_to_somebody(rule: Rule) -> None:
    """A rule without a reason is a superstition."""
    assert rule.because != rule.says
    assert len(rule.because.split()) >= 4
    assert rule.source


def test_a_gate_can_be_answered() -> None:
    """Each hangs on entries that a builder can make."""
    for rule in (rule for rule in RULES if rule.gate):
        roots = {name for read in rule.reads for name in rests_on(read)}
        assert any(name in canonical() for name in roots)


# A weaker part never helps.

RATINGS = {name: entry.rating for name, entry in canonical().items() if entry.rating}
STEPS = (2.5, 1.8, 1.4, 1.2, 1.1, 1.0, 0.9, 0.8, 0.6, 0.4)
# Where less of a rating rightly ends a finding, and why.
EXEMPT = {
    # An entry that contradicts the others is a wrong entry, in either direction.
    ("cell-voltages-out-of-order", "pack.cell.working_minimum_V"),
    ("cell-peak-below-continuous", "pack.cell.continuous_A"),
    ("cell-peak-below-continuous", "pack.cells_continuous_A"),
    # A cell rated for more than it can give is a wrong entry; rated for less it may be right.
    ("cell-rate-unlikely", "pack.cell.continuous_A"),
    ("cell-rate-unlikely", "pack.cells_continuous_A"),
    ("cell-charge-rate-unlikely", "pack.cell.charge_A"),
    ("cell-charge-rate-unlikely", "pack.cells_charge_A"),
    ("cell-rating-against-resistance", "pack.cell.continuous_A"),
    ("cell-rating-against-resistance", "pack.cells_continuous_A"),
    # So is one that is charged in a cold or a heat that no cell of its chemistry withstands,
    ("cell-charge-from-unlikely", "pack.cell.charge_from_degC"),
    ("cell-charge-to-unlikely", "pack.cell.charge_to_degC"),
    # a controller's continuous current above the most that it gives,
    ("controller-continuous-above-rating", "controller.phase_current_continuous_A_rms"),
    # a motor's current that its own label contradicts,
    ("motor-current-above-label", "motor.phase_current_A_rms"),
    ("winding-resistance-unlikely", "motor.phase_current_A_rms"),
    ("winding-resistance-unlikely", "motor.rated_power_W"),
    ("motor-label-above-current", "motor.rated_power_W"),
    ("rated-power-unlikely", "motor.rated_power_W"),
    # a burst that its continuous current contradicts,
    ("burst-current-unlikely", "motor.phase_current_burst_A_rms"),
    ("burst-time-unlikely", "motor.phase_current_burst_A_rms"),
    ("burst-time-unlikely", "motor.phase_current_burst_s"),
    # a BMS whose trip is told below what it bears all the time,
    ("bms-trip-below-continuous", "pack.bms.continuous_A"),
    ("bms-trip-unlikely", "pack.bms.trip_A"),
    ("bms-charge-rating-unlikely", "pack.bms.charge_A"),
    # a part that is made for more than any such part, or than all that it is connected to,
    ("cell-peak-unlikely", "pack.cell.peak_A"),
    ("cell-peak-unlikely", "pack.cells_peak_A"),
    ("connector-rating-unlikely", "pack.connector_A"),
    ("fuse-voltage-unlikely", "wiring.fuse.rated_V"),
    ("fuse-breaking-unlikely", "wiring.fuse.breaking_A"),
    ("contactor-rating-unlikely", "wiring.contactor.rated_A"),
    ("contactor-voltage-unlikely", "wiring.contactor.rated_V"),
    ("controller-currents-unlikely", "controller.battery_current_A"),
    ("controller-currents-unlikely", "controller.phase_current_A_rms"),
    ("controller-voltage-unlikely", "controller.max_V"),
    ("controller-electrical-speed-unlikely", "controller.max_electrical_rpm"),
    # and a cable stated for more than its section can carry.
    ("battery-cable-rating-unlikely", "wiring.battery_cable_stated_A"),
    ("phase-cable-rating-unlikely", "wiring.phase_cable_stated_A"),
}


@cache
def base(path: Path) -> tuple[Book, dict[str, Given]]:
    profile = load(path)
    return book_of(profile, TODAY), dict(profile.givens)


def flagged(rules: list[Rule], book: Book) -> set[str]:
    return {rule.id for rule in rules if ruling(rule, book).outcome == "flagged"}


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_a_lower_rating_never_ends_a_finding(path: Path) -> None:
    """A part that bears less cannot make a build safe that was not; only advice may change."""
    book, givens = base(path)
    tried = 0
    for name, rating in RATINGS.items():
        given = givens.get(name)
        if given is None or not isinstance(given.value, int | float):
            continue
        moved = affected(frozenset({name}))
        rules = [
            rule
            for rule in catalogue().about("profile")
            if rule.severity != "advice" and not moved.isdisjoint(rule.reads)
        ]
        before: set[str] = set()
        for factor in STEPS if rating == "upper" else STEPS[::-1]:
            weaker = book.changed({name: replace(given, value=given.value * factor)})
            after = flagged(rules, weaker)
            ended = {rule for rule in before - after if (rule, name) not in EXEMPT}
            assert not ended, (name, given.value * factor)
            before = after
            tried += 1
    assert tried > 100


# Until all three wires are pulled, the assumptions stand that the readings would overrule.
ASSUMED = {"throttle-signal-fault-limit-missing", "throttle-upper-fault-limit-near-supply"}


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_a_verdict_does_not_hang_on_what_nobody_told(path: Path) -> None:
    """A reading or rating taken away leaves dangers open; it makes no new one."""
    book, givens = base(path)
    dangers = [rule for rule in catalogue().about("profile") if rule.severity == "danger"]
    sound = flagged(dangers, book)
    for name in givens:
        if not name.startswith(("readings.", "controller.", "pack.cell.", "motor.")):
            continue
        moved = affected(frozenset({name}))
        touched = [rule for rule in dangers if not moved.isdisjoint(rule.reads)]
        assumed = ASSUMED if name.startswith("readings.throttle.open_") else set()
        assert not flagged(touched, book.changed({name: None})) - sound - assumed, name


def test_no_rule_is_written_twice() -> None:
    """Two hands that saw the same hole would tell the rider of it twice."""
    judged: dict[object, list[str]] = {}
    for rule in RULES:
        bounds = (rule.bound, rule.low, rule.high, rule.condition, rule.applies)
        judged.setdefault((rule.subject, rule.of, *map(str, bounds)), []).append(rule.id)
    assert [ids for ids in judged.values() if len(ids) > 1] == []
