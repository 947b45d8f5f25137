"""What strains the pack: its C-rates, its sag against its voltage, its own heat, a dead short."""

from __future__ import annotations

import math

from .operand import NotWorked
from .pack_chemistry import usual_resistance
from .worked import worked


@worked(
    "pack.c_rate_per_h",
    "per_h",
    title="discharge rate",
    battery_A="settings.battery_current_A",
    capacity_Ah="pack.capacity_Ah",
    formula="battery_A / capacity_Ah",
    source="Definition of the C-rate.",
)
def c_rate(battery_A: float, capacity_Ah: float) -> float:
    """C-rate of the battery current limit.

    >>> c_rate(90.0, 30.0)
    3.0
    """
    return battery_A / capacity_Ah


@worked(
    "pack.rated_c_rate_per_h",
    "per_h",
    title="rated discharge rate",
    cells_A="pack.cells_continuous_A",
    capacity_Ah="pack.capacity_Ah",
    formula="cells_A / capacity_Ah",
    source="Definition of the C-rate.",
)
def rated_c_rate(cells_A: float, capacity_Ah: float) -> float:
    """Continuous current of the cells in capacities an hour; cells in parallel cancel out.

    >>> rated_c_rate(60.0, 20.0)
    3.0
    """
    return cells_A / capacity_Ah


@worked(
    "pack.sag_percent",
    "percent",
    title="voltage sag share",
    sag_V="pack.sag_V",
    nominal_V="pack.nominal_V",
    rises=("sag_V",),
    formula="100 * sag_V / nominal_V",
    source="Definition.",
)
def sag_percent(sag_V: float, nominal_V: float) -> float:
    """Share of the nominal voltage that is lost at the battery current limit, the pack warm.

    >>> sag_percent(6.0, 48.0)
    12.5
    """
    return 100.0 * sag_V / nominal_V


@worked(
    "pack.rated_sag_percent",
    "percent",
    title="voltage sag at the rated current",
    cells_A="pack.cells_continuous_A",
    pack_mohm="pack.resistance_mohm",
    nominal_V="pack.nominal_V",
    formula="100 * cells_A * pack_mohm / 1000 / nominal_V",
    source="Ohm's law.",
)
def rated_sag(cells_A: float, pack_mohm: float, nominal_V: float) -> float:
    """Share of their nominal voltage that the cells lose inside at their continuous current.

    For warm cells and the resistance over 10 s; a cell that loses a third is not rated for it.

    >>> rated_sag(100.0, 60.0, 48.0)
    12.5
    """
    return 100.0 * cells_A * pack_mohm / 1000.0 / nominal_V


@worked(
    "pack.heat_W",
    "W",
    title="heat inside the pack",
    battery_A="settings.battery_current_A",
    pack_mohm="pack.resistance_mohm",
    full_V="pack.full_V",
    cutoff_V="settings.low_voltage.cutoff_V",
    formula="min(battery_A, max(0, full_V - cutoff_V) * 1000 / pack_mohm) ** 2 * pack_mohm / 1000",
    applies_when="pack_mohm > 0",
    source="Joule's law; the cutoff ends a current that sags even the full pack to it.",
)
def heat(battery_A: float, pack_mohm: float, full_V: float, cutoff_V: float = 0.0) -> float:
    """Heat inside the pack at the battery current limit, or at what the cutoff leaves of it.

    For a warm pack and its resistance over 10 s; heat of reaction is left out.

    >>> heat(100.0, 60.0, 58.8, 42.0)
    600.0
    """
    if pack_mohm <= 0.0:
        raise NotWorked("a pack without resistance has no heat to work out")
    amperes = min(battery_A, max(0.0, full_V - cutoff_V) * 1000.0 / pack_mohm)
    return amperes**2 * pack_mohm / 1000.0


@worked(
    "pack.heat_per_h",
    "per_h",
    title="heat inside the pack for its energy",
    heat_W="pack.heat_W",
    energy_Wh="pack.energy_Wh",
    formula="heat_W / energy_Wh",
    source="Joule's law; energy stands for the mass of the cells.",
)
def heat_per_energy(heat_W: float, energy_Wh: float) -> float:
    """Heat in the pack, in W per Wh of its energy, which stands for its mass.

    At 1/h cells of 200 Wh/kg and 1000 J/(kg K) warm by 12 K a minute while nothing cools them;
    heavier cells, as of iron phosphate or lead-acid, by half of it or less. Both figures are from
    memory of the Handbook of Batteries, 4th edition.

    >>> heat_per_energy(600.0, 1500.0)
    0.4
    """
    return heat_W / energy_Wh


LIGHTEST_WH_PER_KG = 300.0  # of the cells on sale for small vehicles, from memory


@worked(
    "pack.least_mass_kg",
    "kg",
    title="least mass of the cells",
    energy_Wh="pack.energy_Wh",
    words="energy_Wh / 300 Wh/kg, the lightest cells on sale",
    source="Specific energy of lithium cells, from memory.",
)
def least_mass(energy_Wh: float) -> float:
    """What the cells of a pack weigh at the least, without case and wiring.

    >>> least_mass(3000.0)
    10.0
    """
    return energy_Wh / LIGHTEST_WH_PER_KG


HALF = 0.5  # the 1 kHz resistance of a warm cell, as a share of its resistance over 10 s
TWO_THIRDS = 2.0 / 3.0  # the same of a pack's, a third of it BMS, joints and connector


@worked(
    "pack.short_circuit_A",
    "A",
    title="short-circuit current",
    full_V="pack.full_V",
    series="pack.series",
    parallel="pack.parallel",
    cell_mohm="pack.cell.resistance_mohm",
    pack_mohm="pack.resistance_mohm",
    formula="full_V * 1000 / (min(series / parallel * cell_mohm, pack_mohm) / 2)",
    source="Ohm's law; half the 10 s resistance for the first milliseconds is common practice.",
)
def short_circuit(
    full_V: float, series: float, parallel: float, cell_mohm: float, pack_mohm: float = math.inf
) -> float:
    """Current that a dead short at the full, warm pack draws in its first milliseconds, at most.

    Cables, joints and BMS are left out, and half of the cells' resistance over 10 s is about the
    1 kHz one, so that a real short stays below; what breaks this breaks it. Of the cells' figure and
    one measured on the pack the lower counts: a pack that was cold reads high.

    >>> short_circuit(58.8, 14, 7, 28.0), short_circuit(58.8, 14, 7, 28.0, 49.0)
    (2100.0, 2400.0)
    """
    return full_V * 1000.0 / (min(series / parallel * cell_mohm, pack_mohm) * HALF)


@worked(
    "pack.short_circuit_A",
    "A",
    title="short-circuit current",
    full_V="pack.full_V",
    pack_mohm="pack.resistance_mohm",
    formula="full_V * 1000 / (pack_mohm * 2 / 3)",
    source=(
        "Ohm's law; half of the cells' resistance and all of BMS, joints and connector, which are "
        "about a third of the whole, is common practice without a source."
    ),
)
def short_circuit_of_pack(full_V: float, pack_mohm: float) -> float:
    """The same of a ready-made pack, by the resistance between its terminals over some seconds.

    That of BMS, joints and connector is there from the first instant; only that of the cells starts
    at half.

    >>> round(short_circuit_of_pack(58.8, 56.0))
    1575
    """
    return full_V * 1000.0 / (pack_mohm * TWO_THIRDS)


@worked(
    "pack.usual_short_circuit_A",
    "A",
    title="usual short-circuit current",
    stated_A="pack.short_circuit_A",
    formula="stated_A",
    source="The pack's own figure.",
)
def usual_short_circuit_as_known(stated_A: float) -> float:
    """The pack's own short-circuit current, where it is stated or its resistance is known.

    >>> usual_short_circuit_as_known(1800.0)
    1800.0
    """
    return stated_A


@worked(
    "pack.usual_short_circuit_A",
    "A",
    title="usual short-circuit current",
    cell_V="pack.cell_full_V",
    capacity_Ah="pack.capacity_Ah",
    chemistry="pack.cell.chemistry",
    words="cell_V * capacity_Ah / the table's usual resistance of one ampere-hour of chemistry",
    source="Ohm's law; table of chemistries: the usual resistance of one ampere-hour.",
)
def usual_short_circuit(cell_V: float, capacity_Ah: float, chemistry: str) -> float:
    """The same of usual cells, while nothing is known of the resistance; strong cells give more.

    Cells of twice the capacity have half the resistance, and of a row in series each brings its own
    volts: so it depends neither on the count in series nor on that in parallel.

    >>> round(usual_short_circuit(4.2, 20.0, "nmc"))
    1867
    """
    return cell_V * capacity_Ah * 1000.0 / usual_resistance(chemistry)


@worked(
    "pack.sustained_short_circuit_A",
    "A",
    title="sustained short-circuit current",
    full_V="pack.full_V",
    loop_mohm="pack.loop_mohm",
    falls=("loop_mohm",),
    formula="full_V * 1000 / loop_mohm",
    source="Ohm's law.",
)
def sustained_short_circuit(full_V: float, loop_mohm: float) -> float:
    """Current of a dead short at the controller's terminals after the first milliseconds.

    With the cells' resistance over 10 s and a warm cable; a discharged or cold pack gives less.

    >>> sustained_short_circuit(58.8, 60.0)
    980.0
    """
    return full_V * 1000.0 / loop_mohm
