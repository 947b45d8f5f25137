"""What readings of the bring-up should come to, against definitions and hand calculation."""

from __future__ import annotations

import pytest
from gonogo.quantities.expected import identified_offset_difference


@pytest.mark.parametrize(
    ("forward", "reverse", "apart"),
    [
        pytest.param(42.0, 45.0, 3.0, id="beside each other"),
        pytest.param(358.0, 3.0, 5.0, id="about the whole turn"),
        pytest.param(-10.0, 350.0, 0.0, id="one angle in two ways of counting"),
        pytest.param(-300.0, 300.0, 120.0, id="more than a turn apart as written"),
        pytest.param(0.0, 180.0, 180.0, id="opposite, the most there is"),
    ],
)
def test_offsets_are_apart_the_shorter_way(forward: float, reverse: float, apart: float) -> None:
    """A good sensor near the zero of its turn is not called wrong."""
    assert identified_offset_difference(forward, reverse) == pytest.approx(apart)
    assert identified_offset_difference(reverse, forward) == pytest.approx(apart)
