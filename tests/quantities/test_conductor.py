"""Copper conductors."""

from __future__ import annotations

import pytest
from gonogo.quantities import conductor


@pytest.mark.parametrize("section_mm2", conductor.sections_mm2())
def test_the_standard_allows_more_than_its_section_of_copper_would_have(
    section_mm2: float,
) -> None:
    """The highest resistance allowed lies 4 to 16 % above solid copper of the nominal section."""
    allowed = conductor.standard_mohm_per_m(section_mm2)
    assert allowed is not None
    assert 1.04 < allowed / conductor.copper_mohm_per_m(section_mm2) < 1.16
