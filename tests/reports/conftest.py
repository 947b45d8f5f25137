"""Hand-made judgements, so that a report is tested apart from what the rules say today."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.formats import check_format
from gonogo.documents.loading import load
from gonogo.documents.location import Place
from gonogo.documents.profile import Profile, Waiver
from gonogo.judgement.finding import Finding, Judgement, NotChecked, Related, WorkingLine
from gonogo.judgement.rule import Rule
from gonogo.judgement.rule_file import rule_of
from gonogo.reports.check_totals import Checked, Unread
from gonogo.reports.layout import Page
from gonogo.reports.profile_share import share

HERE = Path(__file__).parent
DIGEST = f"sha256:{'0' * 64}"
NO_GO = {"stand": "no-go", "ride": "no-go"}
INCOMPLETE = {"stand": "go", "ride": "incomplete"}
WAIVED = {"stand": "go-with-waivers", "ride": "go-with-waivers"}
GO = {"stand": "go", "ride": "go"}
Set = Callable[..., str]


@pytest.fixture
def larch() -> Profile:
    """A profile on which the hand-made findings hang."""
    return load(HERE / "vehicles" / "larch.yaml")


def rule(name: str, severity: str = "danger", **more: Any) -> Rule:
    """A rule with as little in it as a report reads."""
    data = {
        "id": name,
        "severity": severity,
        "of": "settings.battery_current_A",
        "at_most": "pack.cells_continuous_A",
        "says": "The limit is {of}.",
        "because": "Cells overheat, age fast and can vent.",
        "remedy": "Set it to {limit} or less.",
        "source": "Common practice.",
        **more,
    }
    return rule_of(data, "pack", f"pack/{name}.yaml")


@pytest.fixture
def too_much_current(larch: Profile) -> Finding:
    """A danger with a bound, a working and two related values, one in another file."""
    return Finding(
        rule=rule("battery-current-above-cells", gate="ride"),
        severity="danger",
        modes=(),
        everywhere=False,
        quantity="settings.battery_current_A",
        entered_as="settings.battery_current_A",
        of=None,
        place=larch.givens["settings.battery_current_A"].place,
        related=(
            Related("pack.parallel", larch.givens["pack.parallel"].place),
            Related("pack.cell.continuous_A", Place("parts/cells/energy-5.yaml", 7, 3)),
        ),
        message="The battery current limit of 180 A is above the 120 A that the cells give "
        "continuously.",
        because="Cells overheat, age fast and can vent.",
        remedy="Set it to 120 A or less.",
        value=180,
        low=None,
        high=120.0,
        unit="A",
        margin=-60.0,
        share=-0.5,
        working=(
            WorkingLine(
                quantity="pack.cells_continuous_A",
                value=120.0,
                unit="A",
                origin="worked",
                side="exact",
                formula="parallel × cell.continuous_A",
                numbers="6 × 20 A",
                inputs=("pack.parallel", "pack.cell.continuous_A"),
            ),
        ),
    )


@pytest.fixture
def short_clearance(larch: Profile) -> Finding:
    """Advice about a worked quantity, in one mode, that points at the setting behind it."""
    return Finding(
        rule=rule("throttle-clearance-small", "advice"),
        severity="advice",
        modes=("trail",),
        everywhere=False,
        quantity="settings.throttle.start_V",
        entered_as="settings.throttle.start_V",
        of="throttle.clearance_V",
        place=larch.givens["settings.throttle.start_V"].place,
        related=(),
        message="The throttle starts only 0.07 V above its highest rest reading of 0.84 V.",
        because="A cold morning or a bent bracket makes the vehicle creep.",
        remedy="Set it to 0.94 V or more.",
        value=0.07,
        low=0.1,
        high=None,
        unit="V",
        margin=-0.03,
        share=-0.3,
        working=(),
    )


@pytest.fixture
def waiver(larch: Profile) -> Waiver:
    """What a builder accepts, and until when."""
    return Waiver(
        rule="battery-current-above-cells",
        accepts=190.0,
        reason="Bench test on a cooled pack.",
        until="2026-12-31",
        mode=None,
        entered_as="waivers.0",
        place=larch.place,
        places={},
    )


@pytest.fixture
def waiting() -> tuple[NotChecked, ...]:
    """A gate and two other rules for want of a reading."""
    return (
        NotChecked(
            rule("throttle-start-above-rest", gate="ride"),
            "danger",
            (),
            ("readings.throttle.rest_V",),
            gate="ride",
        ),
        NotChecked(
            rule("sag-reaches-taper", "advice"),
            "advice",
            (),
            ("pack.cell.resistance_mohm", "wiring.battery_cable_m"),
        ),
        NotChecked(
            rule("cable-drop-high", "advice"), "advice", ("trail",), ("wiring.battery_cable_m",)
        ),
    )


@pytest.fixture
def no_go(
    larch: Profile,
    too_much_current: Finding,
    short_clearance: Finding,
    waiting: tuple[NotChecked, ...],
) -> Judgement:
    """A danger, advice, and rules not judged."""
    findings = (too_much_current, short_clearance)
    return Judgement(larch, NO_GO, findings, waiting, 71, 14, "2026-11-25")


@pytest.fixture
def incomplete(no_go: Judgement) -> Judgement:
    """Nothing worse than advice, but a gate waits."""
    return replace(no_go, stages=INCOMPLETE, findings=no_go.findings[1:])


@pytest.fixture
def go_waived(no_go: Judgement, waiver: Waiver) -> Judgement:
    """A danger that is waived for a while."""
    danger, advice = no_go.findings
    findings = (advice, replace(danger, waived=waiver))
    return replace(no_go, stages=WAIVED, findings=findings, not_checked=())


@pytest.fixture
def go(no_go: Judgement) -> Judgement:
    """Nothing found, nothing waiting."""
    profile = replace(no_go.profile, file="vehicles/alder.yaml", name="Alder")
    return Judgement(profile, GO, (), (), 85, 9, "2026-11-25")


@pytest.fixture
def not_read() -> Unread:
    """A number with its unit inside, in a part that two profiles take."""
    return Unread(
        file="parts/controllers/six.yaml",
        line=5,
        column=22,
        found="`200 A`",
        wanted="a number without its unit, which the key says already",
        message="Found `200 A`; wanted a number without its unit, which the key says already. "
        "Did you mean `200`?",
        affects=("vehicles/elm.yaml", "vehicles/oak.yaml"),
        nearest="200",
        text="  battery_current_A: 200 A",
    )


def checked_of(
    format_: Any, judgements: tuple[Judgement, ...], page: Page, unread: tuple[Unread, ...] = ()
) -> Checked:
    """What a check of these judgements came to, with the bodies that the format gives."""
    shares = tuple(share(each, format_.body(each, page)) for each in judgements)
    return Checked("2026-11-25", "0.1.0", DIGEST, shares, unread)


@pytest.fixture
def report() -> Set:
    """Sets judgements in a format: `report(form, judgement, …, page=…, unread=…)`."""

    def set_(form: str, *judgements: Judgement, page: Page | None = None, unread: Any = ()) -> str:
        page = page or Page(alone=len(judgements) == 1)
        format_ = check_format(form)
        text: str = format_.report(checked_of(format_, judgements, page, unread), page)
        return text

    return set_
