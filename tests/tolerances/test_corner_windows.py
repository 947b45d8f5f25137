"""Windows at every corner: inside the plain ones, and kept at points by chance."""

from __future__ import annotations

import io
import json
from pathlib import Path
from random import Random

import gonogo
import pytest
from gonogo.commands.formats import as_text
from gonogo.commands.output import page_for
from gonogo.commands.window import run
from gonogo.documents.error import SeveralMotors, UsageError
from gonogo.documents.profile import BASE
from gonogo.judgement.evaluation import hear
from gonogo.judgement.rule import SEVERITIES, STOPS, Severity
from gonogo.judgement.sweep import Key, key_of
from gonogo.judgement.window import Window, window_of
from gonogo.reports.window import detail_page, table_page
from gonogo.reports.window_record import window_record
from gonogo.tolerances.clauses import CornerClause
from gonogo.tolerances.corner_windows import CornerWindows
from gonogo.tolerances.enclosure import Box
from gonogo.tolerances.extent import undecided_span
from gonogo.tolerances.search import BoxQuestion
from jsonschema import Draft202012Validator

from .example_vehicles import DAY, EXAMPLES, ROOT, WORKSHOP, plainly_flagged

SETTINGS = ("settings.max_rpm", "settings.battery_current_A", "settings.phase_current_A_rms")
BRACKEN = WORKSHOP / "bracken.yaml"
TEASEL = next(path for path in EXAMPLES if path.stem == "teasel")


@pytest.mark.parametrize("setting", SETTINGS)
@pytest.mark.parametrize("stem", ["teasel", "comfrey", "burdock"])
def test_no_value_inside_breaks_a_rule_at_a_point_by_chance(stem: str, setting: str) -> None:
    """Values of the setting and of all that may be off together, asked of the judge itself."""
    path = next(path for path in EXAMPLES if path.stem == stem)
    profile, catalogue = gonogo._with_catalogue(path)
    hearing = hear(profile, catalogue, DAY)
    windows = CornerWindows(profile, catalogue, hearing)
    plain = window_of(setting, BASE, hearing, catalogue)
    window = windows.window(plain)
    assert window is not None
    key = key_of(setting, profile.givens[setting])
    chance = Random(f"{stem} {setting}")
    if window.hard is None:
        assert plain.hard is None or stem == "comfrey"  # it fails at a corner whatever this is
        return
    assert plain.hard is not None
    low = key.first if window.hard.low.limit is None else round(key.steps(window.hard.low.limit))
    high = key.last if window.hard.high.limit is None else round(key.steps(window.hard.high.limit))
    plain_high = plain.hard.high.limit
    assert plain_high is None or (window.hard.high.limit or 0.0) <= plain_high
    start, step = key.line
    for clause in windows.clauses:
        if clause.counts_as not in STOPS or setting not in clause.rule.reads:
            continue
        for _ in range(3):
            box = windows.bench.tolerated.box(clause.rule)
            point = {name: chance.choice(side) for name, side in box.items()}
            point[setting] = start + step * chance.randint(low, high)
            assert not plainly_flagged(clause, windows.bench, point), (clause.rule.id, point)


def test_the_command_answers_as_windows_do() -> None:
    """The same record, with narrower ends; and a screen that says which windows these are."""
    told = []
    for corners in (False, True):
        out = io.StringIO()
        assert run(TEASEL, "max_rpm", None, "json", None, DAY, corners, out) == 0
        record = json.loads(out.getvalue())
        schema = json.loads((ROOT / "schemas/windows.schema.json").read_text("utf-8"))
        Draft202012Validator(schema).validate(record)
        assert record.get("corners", False) == corners
        told.append(record["windows"][0]["hard"]["high"]["limit"])
    assert told[1] < told[0]
    out = io.StringIO()
    assert run(TEASEL, "max_rpm", None, "text", None, DAY, True, out) == 0
    assert "every corner" in out.getvalue()


@pytest.mark.parametrize(
    ("stem", "setting"),
    [
        ("burdock", "settings.battery_current_A"),
        ("burdock", "settings.low_voltage.taper_from_V"),
        ("teasel", "settings.max_rpm"),
        ("comfrey", "settings.phase_current_A_rms"),
    ],
)
def test_every_end_stands_in_the_list_of_its_limits(stem: str, setting: str) -> None:
    """An end that no line explains, or a line inside it, leaves the reader to guess which holds."""
    path = next(path for path in EXAMPLES if path.stem == stem)
    profile, catalogue = gonogo._with_catalogue(path)
    hearing = hear(profile, catalogue, DAY)
    plain = window_of(setting, BASE, hearing, catalogue)
    window = CornerWindows(profile, catalogue, hearing).window(plain)
    assert window is not None and window.at_corners
    for span, severities in ((window.hard, STOPS), (window.good, SEVERITIES)):
        if span is None:
            assert window.flagged_regardless or len(window.conflict) == 2
            continue
        told = [rule for rule in window.rules if rule.severity in severities]
        lows = [rule.low for rule in told if rule.low is not None]
        highs = [rule.high for rule in told if rule.high is not None]
        assert span.low.limit == max(lows, default=None)
        assert span.high.limit == min(highs, default=None)
        for end in (span.low, span.high):
            assert end.rule is None or end.rule in {rule.rule for rule in told}
    assert plain.rules and window.rules != plain.rules
    for rule in plain.rules:
        alike = [one for one in window.rules if one.rule == rule.rule]
        narrower = [one for one in alike if one.high is not None and one.high <= (rule.high or 0.0)]
        assert rule.high is None or narrower or rule.rule in window.flagged_regardless, rule


def test_the_cold_acts_on_the_cells_alone_and_the_cable_counts_once() -> None:
    """Burdock at 45 A: 51.2 V less the cells' sag, aged by half and cold by 2.2, less that of the cable.

    Worked out here of the entries; copper at −6 °C conducts a tenth better than at 20 °C (IEC 60028, from
    memory), so that its sag is not understated. The cable may be longer by a tenth.
    """
    path = next(path for path in EXAMPLES if path.stem == "burdock")
    profile, catalogue = gonogo._with_catalogue(path)
    hearing = hear(profile, catalogue, DAY)
    plain = window_of("settings.low_voltage.taper_from_V", BASE, hearing, catalogue)
    window = CornerWindows(profile, catalogue, hearing).window(plain)
    assert window is not None
    book = hearing.books[BASE]

    def number(name: str) -> float:
        return float(str(book.operand(name).value))

    pack = 45.0 * number("pack.resistance_mohm") / 1000.0
    cable = 45.0 * number("wiring.battery_cable_mohm") / 1000.0
    rows = number("pack.series") / number("pack.parallel")
    aged = (
        pack + 0.5 * 45.0 * rows * number("pack.cell.resistance_mohm") / 1000.0
    )  # joints do not age
    factor, nominal = number("house.cold_sag_factor"), number("pack.nominal_V")
    for found, sag in (
        (plain, factor * pack + cable),
        (window, factor * aged + 1.1 * cable),
    ):
        limit = next(r.high for r in found.rules if r.rule == "low-voltage-taper-in-the-cold")
        assert limit is not None and 0.0 <= nominal - sag - limit <= found.step


def of_bracken(setting: str) -> tuple[Window, Window | None]:
    """A setting's window as everything is entered, and at every corner."""
    profile, catalogue = gonogo._with_catalogue(BRACKEN)
    hearing = hear(profile, catalogue, DAY)
    plain = window_of(setting, BASE, hearing, catalogue)
    return plain, CornerWindows(profile, catalogue, hearing).window(plain)


def test_what_a_corner_breaks_whatever_is_entered_is_named() -> None:
    """No value fits: the rule is named, once, instead of a conflict of one."""
    _, window = of_bracken("settings.field_weakening_A_rms")
    assert window is not None and window.hard is None and window.good is None
    assert window.conflict == ("stalls-on-grade",) and window.undecided == ()
    assert "stalls-on-grade" in window.flagged_regardless
    page = as_text(
        detail_page([window], gonogo._with_catalogue(BRACKEN)[0]), page_for(None, io.StringIO())
    )
    assert "nothing: stalls-on-grade is broken at a corner" in page


def test_a_setting_that_only_makes_a_stall_less_grave_heals_none() -> None:
    """Below 1 kW of shaft power it is an advice, and the same vehicle stalls at the same corner."""
    plain, window = of_bracken("settings.battery_current_A")
    assert plain.hard is not None and window is not None
    assert window.hard is None and window.conflict == ("stalls-on-grade",)
    assert "stalls-on-grade" not in {rule.rule for rule in window.rules}
    _, phase = of_bracken("settings.phase_current_A_rms")  # it decides the stall, and bounds it
    assert phase is not None and phase.hard is not None
    assert phase.hard.low.rule == "stalls-on-grade"


@pytest.mark.parametrize(
    "setting",
    ["max_rpm", "over_voltage_trip_V", "regen.battery_current_A", "regen.phase_current_A_rms"],
)
def test_a_pack_lost_in_regen_leaves_windows(setting: str) -> None:
    """72 V and 14 A for 2 ms into 2640 µF are 82.6 V, with the windings 84.8 V: below 90 V."""
    _, window = of_bracken(f"settings.{setting}")
    assert window is not None and window.hard is not None and window.undecided == ()
    assert window.margin is not None and window.margin >= 0.0


@pytest.mark.parametrize("severities", [STOPS, ("advice",)])
def test_what_is_not_decided_is_not_called_broken(severities: tuple[Severity, ...]) -> None:
    """A search that gives up has found no value that fails; but nothing is promised either."""
    path = next(path for path in EXAMPLES if path.stem == "mallow")
    profile, catalogue = gonogo._with_catalogue(path)
    hearing = hear(profile, catalogue, DAY)
    plain = window_of("settings.max_rpm", BASE, hearing, catalogue)
    windows = CornerWindows(profile, catalogue, hearing)
    about = windows._about(key_of("settings.max_rpm", profile.givens["settings.max_rpm"]))
    doubted = next(clause for clause in about if clause.counts_as in severities)
    asked = windows._question

    def question(clause: CornerClause, key: Key, run: tuple[int, int]) -> tuple[BoxQuestion, Box]:
        real, box = asked(clause, key, run)
        if clause is not doubted:
            return real, box
        return BoxQuestion(lambda _: undecided_span(real.excess(box)), lambda _: False), box

    windows._question = question  # type: ignore[method-assign]
    window = windows.window(plain)
    assert window is not None and window.good is None
    assert window.undecided == (doubted.rule.id,)
    assert doubted.rule.id not in window.flagged_regardless
    assert (window.hard is None) == (doubted.counts_as in STOPS)
    page = as_text(detail_page([window], profile), page_for(None, io.StringIO()))
    assert f"{doubted.rule.id} at a corner; that is no proof" in " ".join(page.split())
    if window.hard is None:
        assert f"not known: {doubted.rule.id} is not decided at a corner" in page
        assert "not decided" in as_text(
            table_page([window], profile), page_for(None, io.StringIO())
        )
    found = window_record(window)
    schema = json.loads((ROOT / "schemas/windows.schema.json").read_text("utf-8"))
    whole = {**schema, **schema["$defs"]["window"]}
    Draft202012Validator(whole).validate(found)
    assert found["undecided"] == [doubted.rule.id]


def test_a_profile_without_settings_is_told_so(tmp_path: Path) -> None:
    """No mode was asked for, so that none can be left out."""
    path = tmp_path / "larch.yaml"
    path.write_text("gonogo: profile/1\nvehicle: {name: Larch}\n", "utf-8")
    with pytest.raises(UsageError, match="enter one first"):
        run(path, None, None, "text", None, DAY, True, io.StringIO())


def test_a_mode_has_no_such_window() -> None:
    """What was not worked out is not shown as if it were."""
    with pytest.raises(UsageError, match="leave out --mode"):
        run(TEASEL, "max_rpm", "junior", "text", None, DAY, True, io.StringIO())


def test_several_motors_have_no_such_windows_yet() -> None:
    """One clear sentence, no half answer."""
    with pytest.raises(SeveralMotors):
        run(WORKSHOP / "bindweed.yaml", None, None, "text", None, DAY, True, io.StringIO())


def test_what_no_value_mends_leaves_the_other_rules_their_window() -> None:
    """The stall at the worst corner has nothing to do with field weakening: its limits are said beside it."""
    profile, catalogue = gonogo._with_catalogue(BRACKEN)
    hearing = hear(profile, catalogue, DAY)
    name = "settings.field_weakening_A_rms"
    window = CornerWindows(profile, catalogue, hearing).window(
        window_of(name, BASE, hearing, catalogue)
    )
    assert window is not None and window.hard is None and window.otherwise is not None
    dangers = [
        rule.high for rule in window.rules if rule.severity in STOPS and rule.high is not None
    ]
    assert window.otherwise.high.limit == min(dangers)
    record = window_record(window)
    assert record["hard"] is None and record["otherwise"]["high"]["limit"] == min(dangers)
    page = as_text(detail_page([window], profile), page_for(None, io.StringIO()))
    assert "otherwise" in page and "by all other rules" in page
