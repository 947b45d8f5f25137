"""A phase inductance that is not entered: between which ends it lies for a motor of this flux and rating."""

from __future__ import annotations

import math

from ..quantities.worked import worked

INDUCTANCE = "motor.phase_inductance_uH"
LEAST_INDUCTANCE, MOST_INDUCTANCE = "failure.least_inductance_uH", "failure.most_inductance_uH"
# Voltage across the reactance at the continuous current, as a share of the back-EMF: from slotless motors
# with surface magnets to those with buried ones; common practice, no source.
LEAST_SHARE, LARGEST_SHARE = 0.1, 1.5
# What a controller identified may be so much of what holds in use; see identified-inductance-off.
IDENTIFIED_LOW, IDENTIFIED_HIGH = 0.6, 1.7
IDENTIFIED = (
    "Inductance differs with current, frequency and the rotor's place; common practice, no source."
)
PER_UNIT = "ω·L·I over ω·λ is 0.1 to 1.5 in motors of such vehicles; common practice, no source."


@worked(
    LEAST_INDUCTANCE,
    "uH",
    title="least phase inductance by the identification",
    found_uH="readings.identification.found.phase_inductance_uH",
    formula="found_uH / 1.7",
    source=IDENTIFIED,
)
def least_identified(found_uH: float) -> float:
    """The least that a motor can have of which a controller found an inductance.

    >>> least_identified(85.0)
    50.0
    """
    return found_uH / IDENTIFIED_HIGH


@worked(
    MOST_INDUCTANCE,
    "uH",
    title="largest phase inductance by the identification",
    found_uH="readings.identification.found.phase_inductance_uH",
    formula="found_uH / 0.6",
    source=IDENTIFIED,
)
def most_identified(found_uH: float) -> float:
    """The most that a motor can have of which a controller found an inductance.

    >>> most_identified(60.0)
    100.0
    """
    return found_uH / IDENTIFIED_LOW


@worked(
    LEAST_INDUCTANCE,
    "uH",
    title="least phase inductance of a motor of this rating",
    flux_Vs="motor.flux_linkage_Vs",
    rated_A_rms="motor.phase_current_A_rms",
    formula="1000000 * 0.1 * flux_Vs / (sqrt(2) * rated_A_rms)",
    source=PER_UNIT,
)
def least_rated(flux_Vs: float, rated_A_rms: float) -> float:
    """The least that motors of this flux and continuous current have.

    >>> round(least_rated(0.02, 100.0), 3)
    14.142
    """
    return 1e6 * LEAST_SHARE * flux_Vs / (math.sqrt(2.0) * rated_A_rms)


@worked(
    MOST_INDUCTANCE,
    "uH",
    title="largest phase inductance of a motor of this rating",
    flux_Vs="motor.flux_linkage_Vs",
    rated_A_rms="motor.phase_current_A_rms",
    formula="1000000 * 1.5 * flux_Vs / (sqrt(2) * rated_A_rms)",
    source=PER_UNIT,
)
def most_rated(flux_Vs: float, rated_A_rms: float) -> float:
    """The most that motors of this flux and continuous current have.

    >>> round(most_rated(0.02, 100.0), 2)
    212.13
    """
    return 1e6 * LARGEST_SHARE * flux_Vs / (math.sqrt(2.0) * rated_A_rms)


@worked(
    LEAST_INDUCTANCE,
    "uH",
    title="least phase inductance of a motor of this label",
    flux_Vs="motor.flux_linkage_Vs",
    label_A_rms="motor.label_rating_A_rms",
    formula="1000000 * 0.1 * flux_Vs / (sqrt(2) * label_A_rms)",
    source=PER_UNIT,
)
def least_labelled(flux_Vs: float, label_A_rms: float) -> float:
    """The same while only a label tells of the motor's current.

    >>> round(least_labelled(0.02, 100.0), 3)
    14.142
    """
    return least_rated(flux_Vs, label_A_rms)


@worked(
    MOST_INDUCTANCE,
    "uH",
    title="largest phase inductance of a motor of this label",
    flux_Vs="motor.flux_linkage_Vs",
    label_A_rms="motor.label_rating_A_rms",
    formula="1000000 * 1.5 * flux_Vs / (sqrt(2) * label_A_rms)",
    source=PER_UNIT,
)
def most_labelled(flux_Vs: float, label_A_rms: float) -> float:
    """The same while only a label tells of the motor's current.

    >>> round(most_labelled(0.02, 100.0), 2)
    212.13
    """
    return most_rated(flux_Vs, label_A_rms)
