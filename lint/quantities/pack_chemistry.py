"""What cells of a chemistry take at most: voltages, C-rates, and the BMS's charge cutoff."""

from __future__ import annotations

from ..tables.table import column
from .operand import NotWorked
from .worked import worked


def _of_chemistry(chemistry: str, key: str) -> float:
    value = column("chemistries", "chemistry", key).get(chemistry)
    if value is None:
        raise NotWorked(f"the chemistry {chemistry} has no such figure")
    return float(value)


@worked(
    "pack.chemistry_full_V",
    "V",
    title="usual full cell voltage of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: the typical full voltage.",
)
def typical_full(chemistry: str) -> float:
    """Voltage to which most cells of this chemistry are charged, whatever is entered here.

    >>> typical_full("lto")
    2.7
    """
    return _of_chemistry(chemistry, "full_V")


@worked(
    "pack.chemistry_max_cell_V",
    "V",
    title="maximum cell voltage of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: the usual highest full voltage.",
)
def chemistry_max_cell(chemistry: str) -> float:
    """Highest usual voltage of a full cell of this chemistry.

    >>> chemistry_max_cell("lfp")
    3.65
    """
    return _of_chemistry(chemistry, "max_charge_V")


@worked(
    "pack.chemistry_max_sold_cell_V",
    "V",
    title="highest full cell voltage sold",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: the highest full voltage of any cell sold.",
)
def chemistry_max_sold_cell(chemistry: str) -> float:
    """Voltage above which no cell of this chemistry is sold as full.

    >>> chemistry_max_sold_cell("nmc")
    4.4
    """
    return _of_chemistry(chemistry, "max_sold_full_V")


@worked(
    "pack.chemistry_equalise_V",
    "V",
    title="equalising voltage of a cell",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: the end of an equalising charge.",
)
def chemistry_equalise(chemistry: str) -> float:
    """Voltage of a cell up to which a charge may equalise the blocks; of lead-acid alone.

    >>> chemistry_equalise("lead_acid"), chemistry_equalise("lead_acid_flooded")
    (2.45, 2.6)
    """
    return _of_chemistry(chemistry, "equalise_V")


@worked(
    "pack.chemistry_gassing_V",
    "V",
    title="highest charge voltage of a cell",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: above it no charger of lead-acid goes.",
)
def chemistry_gassing(chemistry: str) -> float:
    """Voltage of a cell above which any lead-acid battery gasses and heats dangerously.

    >>> chemistry_gassing("lead_acid")
    2.6
    """
    return _of_chemistry(chemistry, "gassing_V")


@worked(
    "pack.chemistry_min_cell_V",
    "V",
    title="minimum cell voltage of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: the lowest minimum voltage.",
)
def chemistry_min_cell(chemistry: str) -> float:
    """Voltage below which no datasheet of this chemistry discharges a cell.

    >>> chemistry_min_cell("nmc")
    2.5
    """
    return _of_chemistry(chemistry, "min_discharge_V")


@worked(
    "pack.chemistry_bms_over_V",
    "V",
    title="usual BMS charge cutoff of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: what a BMS adds.",
)
def bms_over(chemistry: str) -> float:
    """How far above a full cell a BMS for this chemistry stops the charge at the latest.

    >>> bms_over("lfp")
    0.15
    """
    return _of_chemistry(chemistry, "bms_over_V")


@worked(
    "pack.chemistry_bms_far_over_V",
    "V",
    title="BMS charge cutoff danger of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: what no BMS for it adds.",
)
def bms_far_over(chemistry: str) -> float:
    """How far above a full cell a BMS no longer protects cells of this chemistry.

    >>> bms_far_over("nmc")
    0.2
    """
    return _of_chemistry(chemistry, "bms_far_over_V")


@worked(
    "pack.chemistry_usual_c_rate_per_h",
    "per_h",
    title="usual discharge rate of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: usual continuous C-rate.",
)
def usual_c_rate(chemistry: str) -> float:
    """Highest usual continuous C-rate of a cell.

    >>> usual_c_rate("nmc")
    10.0
    """
    return _of_chemistry(chemistry, "usual_c_rate_per_h")


@worked(
    "pack.chemistry_most_c_rate_per_h",
    "per_h",
    title="highest discharge rate of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: highest continuous C-rate.",
)
def most_c_rate(chemistry: str) -> float:
    """Continuous C-rate of a cell that no datasheet exceeds.

    >>> most_c_rate("lfp")
    30.0
    """
    return _of_chemistry(chemistry, "most_c_rate_per_h")


@worked(
    "pack.chemistry_usual_charge_per_h",
    "per_h",
    title="usual charge rate of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: usual charging C-rate.",
)
def usual_charge(chemistry: str) -> float:
    """Highest usual charge C-rate of a cell.

    >>> usual_charge("lead_acid")
    0.5
    """
    return _of_chemistry(chemistry, "usual_charge_per_h")


@worked(
    "pack.chemistry_most_charge_per_h",
    "per_h",
    title="highest charge rate of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: highest charging C-rate.",
)
def most_charge(chemistry: str) -> float:
    """Charge C-rate of a cell that no datasheet exceeds.

    >>> most_charge("lto")
    15.0
    """
    return _of_chemistry(chemistry, "most_charge_per_h")


@worked(
    "pack.chemistry_charge_from_degC",
    "degC",
    title="usual minimum charging temperature of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: charging temperatures.",
)
def chemistry_charge_from(chemistry: str) -> float:
    """Temperature from which most cells of this chemistry may be charged, whatever is entered.

    >>> chemistry_charge_from("lto")
    -20.0
    """
    return _of_chemistry(chemistry, "charge_from_degC")


@worked(
    "pack.chemistry_charge_to_degC",
    "degC",
    title="usual maximum charging temperature of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: charging temperatures.",
)
def chemistry_charge_to(chemistry: str) -> float:
    """Temperature up to which most cells of this chemistry may be charged, whatever is entered.

    >>> chemistry_charge_to("lead_acid")
    40.0
    """
    return _of_chemistry(chemistry, "charge_to_degC")


def usual_resistance(chemistry: str) -> float:
    """Resistance of a warm cell of 1 Ah in its first milliseconds, in mΩ; half of it for 2 Ah.

    >>> usual_resistance("lfp")
    35.0
    """
    return _of_chemistry(chemistry, "usual_mohm_Ah")
