"""A phase inductance that nobody entered: what is known of a failure without it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands.proposal import opened
from gonogo.documents.profile import BASE
from gonogo.judgement.evaluation import mode_books
from gonogo.judgement.motor_books import books_of_motors
from gonogo.rehearsal.failure_book import TRIALS, FailureBook
from gonogo.rehearsal.inductance import (
    LEAST_INDUCTANCE,
    MOST_INDUCTANCE,
    least_identified,
    most_identified,
)
from gonogo.rehearsal.rehearse import Failure

from ..hazards.test_hazards import SOUND, base, changed, written

DAY = "2026-11-25"
VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
NONE_ENTERED: Mapping[str, Any] = {"motor": {"phase_inductance_uH": "~remove"}}
INDUCTANCE = "motor.phase_inductance_uH"


def rehearsed(tmp_path: Path, *changes: Mapping[str, Any]) -> dict[str, Failure]:
    build = base()
    for change in changes:
        build = changed(build, change)
    path = written(build, tmp_path)
    return {one.failure: one for one in gonogo.rehearse(path, as_of=DAY)[""]}


def test_what_holds_at_both_ends_is_known(tmp_path: Path) -> None:
    """Flux 18.4 mVs and 120 A: 1.8 mVs to 27.6 mVs over 170 A peak, 10.8 µH to 162 µH."""
    entered, found = rehearsed(tmp_path), rehearsed(tmp_path, NONE_ENTERED)
    top = found["bms-opens-at-top-speed"]
    assert top.covered is entered["bms-opens-at-top-speed"].covered is True
    assert top.assumed == "phase inductance of 11 µH to 160 µH"
    assert not entered["bms-opens-at-top-speed"].assumed
    for name, failure in found.items():
        if failure.covered is not None:
            assert failure.covered is entered[name].covered


def test_what_differs_between_the_ends_is_not_known(tmp_path: Path) -> None:
    """50 A peak into small capacitors: within the maximum at one end, past it at the other."""
    few = {"controller": {"input_capacitance_uF": 450}}
    assert rehearsed(tmp_path, few)["bms-opens-at-top-speed"].covered is True
    failure = rehearsed(tmp_path, few, NONE_ENTERED)["bms-opens-at-top-speed"]
    assert (failure.covered, failure.missing, failure.assumed) == (None, (INDUCTANCE,), "")


def test_what_fails_at_both_ends_is_uncovered(tmp_path: Path) -> None:
    """A back-EMF above the controller's maximum is that with any inductance."""
    fast = {"settings": {"max_rpm": 7400, "field_weakening_A_rms": 60}}
    failure = rehearsed(tmp_path, fast, NONE_ENTERED)["bms-opens-at-top-speed"]
    assert failure.covered is False


def test_without_a_rating_it_is_asked_for(tmp_path: Path) -> None:
    """Nothing then tells the ends."""
    unrated = {"motor": {"phase_current_A_rms": "~remove", "phase_current_burst_A_rms": "~remove"}}
    failure = rehearsed(tmp_path, NONE_ENTERED, unrated)["two-phases-shorted"]
    assert failure.covered is None and INDUCTANCE in failure.missing


def test_an_identification_narrows_it() -> None:
    """A controller's 60 µH: 35 µH to 100 µH, the ends of the rule that compares the two."""
    assert least_identified(60.0) == pytest.approx(35.29, rel=1e-3)
    assert most_identified(60.0) == pytest.approx(100.0)


@pytest.mark.parametrize(
    "path", [*SOUND, *sorted(VEHICLES.glob("*.yaml"))], ids=lambda path: path.stem
)
def test_the_inductance_of_each_build_lies_between_the_ends(path: Path) -> None:
    """Builds that enter one: what is assumed of others is true of them."""
    profile = opened(path, DAY)
    whole = profile.profile
    books = (
        [books[BASE].own for books in books_of_motors(whole, profile.judged_on)[1].values()]
        if whole.motors
        else [mode_books(whole, profile.judged_on)[BASE]]
    )
    for book in map(FailureBook, books):
        entered, least, most = map(book.operand, (INDUCTANCE, LEAST_INDUCTANCE, MOST_INDUCTANCE))
        if entered.known and least.known:
            assert least.number <= entered.number <= most.number
            assert not book.trials
        elif entered.missing and least.known:
            tried = [trial.operand(INDUCTANCE).number for trial in book.trials]
            assert len(tried) == TRIALS and tried == sorted(tried)
            assert (tried[0], tried[-1]) == pytest.approx((least.number, most.number))
