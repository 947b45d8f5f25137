"""The six tune changes of `examples/revisions/`, judged by all that comes with gonogo."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence

import pytest
from gonogo.commands.diff import run
from gonogo.commands.formats import COMPARISON_FORMATS
from gonogo.comparison.comparison import Comparison, compare
from gonogo.comparison.finding_change import Way
from gonogo.comparison.judged_side import judged_side
from gonogo.documents.loading import load
from gonogo.judgement.catalogue import catalogue
from rich.cells import cell_len

from .revision import EXAMPLES, JUDGED_ON
from .test_report import validator

STORY_NAMES = sorted(path.name for path in (EXAMPLES / "revisions").iterdir() if path.is_dir())


def revision(name: str) -> Comparison:
    """Before and after of one story."""
    folder = EXAMPLES / "revisions" / name
    old, new = (
        judged_side(load(folder / side), catalogue(), JUDGED_ON)
        for side in ("before.yaml", "after.yaml")
    )
    return compare(old, new, catalogue())


def rules(compared: Comparison, way: Way) -> list[str]:
    """The rules whose findings passed in one way."""
    return sorted(matter.finding.rule.id for matter in compared.of_way(way))


@pytest.mark.parametrize(
    ("name", "verdicts", "introduced", "resolved"),
    [
        ("road-to-trail", ("go", "go"), [], []),
        ("bigger-pack", ("go", "go"), [], []),
        (
            "throttle-exchanged",
            ("go", "go"),
            [],
            ["throttle-rest-varies"],
        ),
        ("tidy-up", ("go", "go"), [], []),
        ("motor-exchanged", ("go", "no-go"), ["identification-for-other-pole-pairs"], []),
        (
            "hotter-tune",
            ("go", "no-go"),
            [
                "battery-current-above-cells",
                "battery-current-above-fuse",
                "back-emf-above-controller",
                "speed-above-limit",
            ],
            [],
        ),
    ],
)
def test_a_story_brings_in_and_resolves_what_it_says(
    name: str, verdicts: tuple[str, str], introduced: Sequence[str], resolved: Sequence[str]
) -> None:
    """The README of the examples has the same table; a rule added since may speak besides."""
    told = revision(name)
    assert told.old is not None and told.new is not None
    assert (told.old.verdict, told.new.verdict) == verdicts
    assert set(introduced) <= set(rules(told, "introduced"))
    assert set(resolved) <= set(rules(told, "resolved"))
    assert told.harms_by_finding == (verdicts[1] == "no-go")


def test_a_tidy_up_is_no_change() -> None:
    """Spelt and ordered otherwise, the hub moved into a part."""
    told = revision("tidy-up")
    assert told.is_empty and told.rewritten
    assert not (told.made or told.consequences or told.margins or told.follow_ups)


def test_the_trail_tune_keeps_the_road_as_a_mode() -> None:
    """Geared down, with a legal mode."""
    told = revision("road-to-trail")
    assert "road" in {change.mode for change in told.made}
    ratio = next(one for one in told.consequences if one.quantity == "drivetrain.ratio")
    assert (ratio.old, ratio.new) == (pytest.approx(9), pytest.approx(42 / 14 * 48 / 13))


def test_a_motor_exchanged_asks_for_the_identification_run() -> None:
    """And for the temperature check, since its sensor is another kind."""
    work = " ".join(one.do for one in revision("motor-exchanged").follow_ups)
    assert "motor identification" in work and "motor temperature" in work


@pytest.mark.parametrize("form", sorted(COMPARISON_FORMATS))
def test_all_stories_are_told_in_every_format(form: str) -> None:
    """Whatever the rules say of them, on a page of eighty columns."""
    for name in STORY_NAMES:
        out = io.StringIO()
        sides = [f"{name}/before.yaml", f"{name}/after.yaml"]
        run(sides, form=form, as_of=JUDGED_ON, here=EXAMPLES / "revisions", out=out)
        assert out.getvalue()
        if form == "text":
            assert max(cell_len(line) for line in out.getvalue().split("\n")) <= 80
        if form == "json":
            assert list(validator().iter_errors(json.loads(out.getvalue()))) == []
