"""What a phase cable carries: by section, insulation, air and bundling, or as stated."""

from __future__ import annotations

from .conductor import (
    CARRIES,
    TABLE_WORDS,
    ampacity_at_or_above_A,
    ampacity_at_or_below_A,
    carried_A,
    is_usual_section,
)
from .operand import NO_MORE
from .worked import worked


@worked(
    "wiring.phase_cable_table_A",
    "A_rms",
    title="phase cable current by the table",
    section_mm2="wiring.phase_cable_mm2",
    air_degC="wiring.air_degC",
    bundle_factor="house.bundle_factor",
    insulation_degC="wiring.phase_cable_insulation_degC",
    bundled="wiring.cables_bundled",
    words=TABLE_WORDS.format(row="below", insulation=70),
    source=CARRIES,
)
def phase_cable_table(
    section_mm2: float,
    air_degC: float,
    bundle_factor: float,
    insulation_degC: float = 70.0,
    bundled: bool = False,
) -> float:
    """Continuous current (rms) of a phase cable, by its section in the table.

    Between two sections of the table that of the smaller one. Insulation counts as PVC where its
    temperature is not entered.

    >>> phase_cable_table(8.366, 30.0, 0.7)
    54.0
    """
    return carried_A(ampacity_at_or_below_A(section_mm2), insulation_degC, air_degC) * (
        bundle_factor if bundled else 1.0
    )


@worked(
    "wiring.phase_cable_section_most_A",
    "A_rms",
    title="largest current of the phase cable's section",
    section_mm2="wiring.phase_cable_mm2",
    air_degC="wiring.air_degC",
    bundle_factor="house.bundle_factor",
    insulation_degC="wiring.phase_cable_insulation_degC",
    bundled="wiring.cables_bundled",
    words=TABLE_WORDS.format(row="above", insulation=180),
    source=CARRIES,
)
def phase_cable_section_most(
    section_mm2: float,
    air_degC: float,
    bundle_factor: float,
    insulation_degC: float = 180.0,
    bundled: bool = False,
) -> float:
    """Highest continuous current of a phase cable of this section, whatever its insulation.

    Between two sections of the table that of the larger one. Insulation counts as silicone, 180 °C,
    where its temperature is not entered.

    >>> round(phase_cable_section_most(8.366, 30.0, 0.7), 1)
    121.2
    """
    return carried_A(ampacity_at_or_above_A(section_mm2), insulation_degC, air_degC) * (
        bundle_factor if bundled else 1.0
    )


@worked(
    "wiring.phase_cable_most_A",
    "A_rms",
    title="largest phase cable rating",
    stated_A="wiring.phase_cable_stated_A",
    section_A="wiring.phase_cable_section_most_A",
    formula="min(stated_A, section_A)",
    source="The safer of two figures for one cable holds.",
)
def phase_cable_most(stated_A: float, section_A: float) -> float:
    """Highest current of a phase cable: the one stated, or less if its section allows less.

    >>> phase_cable_most(200.0, 121.2)
    121.2
    """
    return min(stated_A, section_A)


@worked(
    "wiring.phase_cable_most_A",
    "A_rms",
    title="largest phase cable rating",
    section_A="wiring.phase_cable_section_most_A",
    formula="section_A",
    source="As its section allows.",
)
def phase_cable_most_of_section(section_A: float) -> float:
    """The most that the section of a phase cable allows, where no current is stated.

    >>> phase_cable_most_of_section(121.2)
    121.2
    """
    return section_A


@worked(
    "wiring.phase_cable_most_A",
    "A_rms",
    title="largest phase cable rating",
    stated_A="wiring.phase_cable_stated_A",
    formula="stated_A",
    source="As stated for the cable.",
)
def phase_cable_most_stated(stated_A: float) -> float:
    """The current stated for a phase cable whose section is not entered.

    >>> phase_cable_most_stated(110.0)
    110.0
    """
    return stated_A


@worked(
    "wiring.phase_cable_A",
    "A_rms",
    title="phase cable rating",
    stated_A="wiring.phase_cable_stated_A",
    most_A="wiring.phase_cable_most_A",
    formula="min(stated_A, most_A)",
    source="The safer of two figures for one cable holds.",
)
def phase_cable_stated(stated_A: float, most_A: float) -> float:
    """Continuous current of a phase cable: as stated, and no more than its section can carry.

    >>> phase_cable_stated(200.0, 121.2)
    121.2
    """
    return min(stated_A, most_A)


@worked(
    "wiring.phase_cable_A",
    "A_rms",
    title="phase cable rating",
    table_A="wiring.phase_cable_table_A",
    formula="table_A",
    source="As its section allows.",
)
def phase_cable_by_table(table_A: float) -> float:
    """Continuous current of a phase cable by its section, where none is stated.

    >>> phase_cable_by_table(54.0)
    54.0
    """
    return table_A


@worked(
    "wiring.phase_cable_A",
    "A_rms",
    title="phase cable rating",
    section_A="wiring.phase_cable_section_most_A",
    side=NO_MORE,
    formula="section_A",
    source="A cable thinner than the table's smallest carries no more than that one.",
)
def phase_cable_at_most(section_A: float) -> float:
    """Upper bound for a phase cable whose section is below the smallest of the table.

    >>> phase_cable_at_most(15.0)
    15.0
    """
    return section_A


@worked(
    "wiring.phase_cable_section_usual",
    "",
    title="usual section of the phase cable",
    section_mm2="wiring.phase_cable_mm2",
    returns="boolean",
    words="section_mm2 within 3 % of a section of IEC 60228 or of a wire gauge",
    source="IEC 60228; ASTM B258.",
)
def phase_cable_section_usual(section_mm2: float) -> bool:
    """Whether the phase cables' section is a standard one.

    >>> phase_cable_section_usual(10.0)
    True
    """
    return is_usual_section(section_mm2)
