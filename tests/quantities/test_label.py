"""Words for a finding: they say something even where half of what they tell of is missing."""

from __future__ import annotations

import pytest
from gonogo.quantities import label
from gonogo.quantities.operand import NotWorked


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        pytest.param([], "no whole number of cells in series", id="between two counts"),
        pytest.param([15], "15 cells in series", id="one"),
        pytest.param([15, 16], "15 or 16 cells in series", id="two"),
        pytest.param([8, 9, 10, 11], "8 to 11 cells in series", id="a run"),
    ],
)
def test_counts_are_told_as_they_are_spoken(counts: list[int], words: str) -> None:
    """A mechanic counts cells; a list of twenty numbers helps nobody."""
    assert label.reading_fits(counts) == words


def test_volts_are_told_from_empty_to_full_without_gaps() -> None:
    """One that is not told is left out, not shown as missing."""
    assert label.cell_voltages_given(3.0, 3.0, None, 4.2) == (
        "minimum 3 V, working minimum 3 V, full 4.2 V"
    )
    assert label.pack_voltages_given(nominal_V=50.4, full_V=48.0) == "nominal 50.4 V, full 48 V"


def test_no_volts_are_no_words() -> None:
    """With nothing told there is nothing out of order either."""
    with pytest.raises(NotWorked):
        label.pack_voltages_given()


@pytest.mark.parametrize(
    ("shown_degC", "set_to", "words"),
    [
        pytest.param(-42.0, "kty83-110", "kty84-130 or a short circuit", id="another kind"),
        pytest.param(-40.0, "ntc-10k-3950", "an open circuit", id="a thermistor without a wire"),
        pytest.param(40.0, "kty83-110", "no usual kind of sensor", id="nothing known"),
    ],
)
def test_a_cold_reading_points_to_a_kind_or_a_broken_wire(
    shown_degC: float, set_to: str, words: str
) -> None:
    """An open or a short circuit is an answer too."""
    assert label.cold_reading_fits(shown_degC, set_to, 14.0, 3.0) == words
    assert label.cold_reading_fits_controller(shown_degC, set_to, 14.0, 3.0) == words


def test_no_more_than_three_kinds_are_named() -> None:
    """Thermistors of one size agree when cold, and a dozen names would not tell them apart."""
    assert label.cold_reading_fits(20.0, "ntc-10k-3950", 20.0, 3.0).count(" or ") == 2


def test_an_unknown_kind_has_no_curve_to_go_by() -> None:
    """Then only the shortest form is left."""
    with pytest.raises(NotWorked):
        label.cold_reading_fits(20.0, "hair", 20.0, 3.0)
