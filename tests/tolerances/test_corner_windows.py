"""Windows at every corner: inside the plain ones, and kept at points by chance."""

from __future__ import annotations

import io
import json
from random import Random

import gonogo
import pytest
from gonogo.commands.formats import as_text
from gonogo.commands.output import page_for
from gonogo.commands.window import run
from gonogo.documents.error import SeveralMotors, UsageError
from gonogo.documents.profile import BASE
from gonogo.judgement.evaluation import hear
from gonogo.judgement.rule import SEVERITIES, STOPS
from gonogo.judgement.sweep import key_of
from gonogo.judgement.window import window_of
from gonogo.reports.window import detail_page
from gonogo.tolerances.corner_windows import CornerWindows
from jsonschema import Draft202012Validator

from .example_vehicles import DAY, EXAMPLES, ROOT, WORKSHOP, plainly_flagged

SETTINGS = ("settings.max_rpm", "settings.battery_current_A", "settings.phase_current_A_rms")
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


def test_what_a_corner_breaks_whatever_is_entered_is_named() -> None:
    """No value fits: the rule is named, once, instead of a conflict of one."""
    path = next(path for path in EXAMPLES if path.stem == "mallow")
    profile, catalogue = gonogo._with_catalogue(path)
    hearing = hear(profile, catalogue, DAY)
    plain = window_of("settings.max_rpm", BASE, hearing, catalogue)
    windows = CornerWindows(profile, catalogue, hearing)
    about = windows._about(key_of("settings.max_rpm", profile.givens["settings.max_rpm"]))
    stop = next(clause for clause in about if clause.counts_as in STOPS)
    windows._holds = lambda clause, key, run: clause is not stop  # type: ignore[method-assign]
    window = windows.window(plain)
    assert window is not None and window.hard is None and window.good is None
    assert window.conflict == (stop.rule.id,)
    assert stop.rule.id in window.flagged_regardless
    page = as_text(detail_page([window], profile), page_for(None, io.StringIO()))
    assert f"nothing: {stop.rule.id} is broken at a corner" in page


def test_a_mode_has_no_such_window() -> None:
    """What was not worked out is not shown as if it were."""
    with pytest.raises(UsageError, match="leave out --mode"):
        run(TEASEL, "max_rpm", "junior", "text", None, DAY, True, io.StringIO())


def test_several_motors_have_no_such_windows_yet() -> None:
    """One clear sentence, no half answer."""
    with pytest.raises(SeveralMotors):
        run(WORKSHOP / "bindweed.yaml", None, None, "text", None, DAY, True, io.StringIO())
