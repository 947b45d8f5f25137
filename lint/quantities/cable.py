"""What a cable carries, to the battery or of a phase: by section, insulation, air and bundling."""

from __future__ import annotations

from collections.abc import Callable

from .conductor import (
    CARRIES,
    TABLE_WORDS,
    ampacity_at_or_below_A,
    ampacity_between_A,
    carried_A,
    is_usual_section,
)
from .operand import EXACT, NO_MORE, Side
from .worked import Formula, Sort, worked

CABLES = {"battery": "A", "phase": "A_rms"}


def of_each_cable(
    quantity: str, title: str, *, returns: Sort = "number", side: Side = EXACT, **parts: str
) -> Callable[[Formula], Formula]:
    """Declare a formula twice: `wiring.battery_cable_…` in A and `wiring.phase_cable_…` in A rms.

    `{cable}` in the title and in the inputs stands for the one or the other.
    """

    def declare(function: Formula) -> Formula:
        for cable, unit in CABLES.items():
            worked(
                f"wiring.{cable}_cable_{quantity}",
                unit if returns == "number" else "",
                title=title.format(cable=cable),
                returns=returns,
                side=side,
                **{key: text.format(cable=cable) for key, text in parts.items()},  # type: ignore[arg-type]
            )(function)
        return function

    return declare


@of_each_cable(
    "table_A",
    "{cable} cable current by the table",
    section_mm2="wiring.{cable}_cable_mm2",
    air_degC="wiring.air_degC",
    bundle_factor="house.bundle_factor",
    insulation_degC="wiring.{cable}_cable_insulation_degC",
    bundled="wiring.cables_bundled",
    words=TABLE_WORDS.format(row="the section next below it", insulation=70),
    source=CARRIES,
)
def cable_table(
    section_mm2: float,
    air_degC: float,
    bundle_factor: float,
    insulation_degC: float = 70.0,
    bundled: bool = False,
) -> float:
    """Continuous current of a cable, by its section in the table.

    Between two sections of the table that of the smaller one. Insulation counts as PVC where its
    temperature is not entered.

    >>> cable_table(8.366, 30.0, 0.7)
    54.0
    """
    return carried_A(ampacity_at_or_below_A(section_mm2), insulation_degC, air_degC) * (
        bundle_factor if bundled else 1.0
    )


@of_each_cable(
    "section_most_A",
    "largest current of the {cable} cable's section",
    section_mm2="wiring.{cable}_cable_mm2",
    air_degC="wiring.air_degC",
    bundle_factor="house.bundle_factor",
    insulation_degC="wiring.{cable}_cable_insulation_degC",
    bundled="wiring.cables_bundled",
    words=TABLE_WORDS.format(row="by a power of it between two sections", insulation=180),
    source=CARRIES,
)
def cable_section_most(
    section_mm2: float,
    air_degC: float,
    bundle_factor: float,
    insulation_degC: float = 180.0,
    bundled: bool = False,
) -> float:
    """Highest continuous current of a cable of this section, whatever its insulation.

    Between two sections of the table by a power of the section. Insulation counts as silicone, 180 °C,
    where its temperature is not entered.

    >>> round(cable_section_most(8.366, 30.0, 0.7), 1)
    109.1
    """
    return carried_A(ampacity_between_A(section_mm2), insulation_degC, air_degC) * (
        bundle_factor if bundled else 1.0
    )


@of_each_cable(
    "most_A",
    "largest {cable} cable rating",
    stated_A="wiring.{cable}_cable_stated_A",
    section_A="wiring.{cable}_cable_section_most_A",
    formula="min(stated_A, section_A)",
    source="The safer of two figures for one cable holds.",
)
def cable_most(stated_A: float, section_A: float) -> float:
    """Highest current of a cable: the one stated, or less if its section allows less.

    >>> cable_most(200.0, 121.2)
    121.2
    """
    return min(stated_A, section_A)


@of_each_cable(
    "most_A",
    "largest {cable} cable rating",
    section_A="wiring.{cable}_cable_section_most_A",
    formula="section_A",
    source="As its section allows.",
)
def cable_most_of_section(section_A: float) -> float:
    """The most that the section of a cable allows, where no current is stated.

    >>> cable_most_of_section(121.2)
    121.2
    """
    return section_A


@of_each_cable(
    "most_A",
    "largest {cable} cable rating",
    stated_A="wiring.{cable}_cable_stated_A",
    formula="stated_A",
    source="As stated for the cable.",
)
def cable_most_stated(stated_A: float) -> float:
    """The current stated for a cable whose section is not entered.

    >>> cable_most_stated(110.0)
    110.0
    """
    return stated_A


@of_each_cable(
    "A",
    "{cable} cable rating",
    stated_A="wiring.{cable}_cable_stated_A",
    most_A="wiring.{cable}_cable_most_A",
    formula="min(stated_A, most_A)",
    source="The safer of two figures for one cable holds.",
)
def cable_stated(stated_A: float, most_A: float) -> float:
    """Continuous current of a cable: as stated, and no more than its section can carry.

    >>> cable_stated(200.0, 121.2)
    121.2
    """
    return min(stated_A, most_A)


@of_each_cable(
    "A",
    "{cable} cable rating",
    table_A="wiring.{cable}_cable_table_A",
    formula="table_A",
    source="As its section allows.",
)
def cable_by_table(table_A: float) -> float:
    """Continuous current of a cable by its section, where none is stated.

    >>> cable_by_table(54.0)
    54.0
    """
    return table_A


@of_each_cable(
    "A",
    "{cable} cable rating",
    section_A="wiring.{cable}_cable_section_most_A",
    side=NO_MORE,
    formula="section_A",
    source="A cable thinner than the table's smallest carries no more than that one.",
)
def cable_at_most(section_A: float) -> float:
    """Upper bound for a cable whose section is below the smallest of the table.

    >>> cable_at_most(15.0)
    15.0
    """
    return section_A


@of_each_cable(
    "section_usual",
    "usual section of the {cable} cable",
    section_mm2="wiring.{cable}_cable_mm2",
    returns="boolean",
    words="section_mm2 within 5 % of a section of IEC 60228 or of a wire gauge",
    source="IEC 60228; ASTM B258.",
)
def cable_section_usual(section_mm2: float) -> bool:
    """Whether a cable's section is a standard one.

    >>> cable_section_usual(13.3), cable_section_usual(14.0)
    (True, False)
    """
    return is_usual_section(section_mm2)
