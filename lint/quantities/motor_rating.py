"""What the motor's ratings say of one another: its current, its power, its speed and its winding."""

from __future__ import annotations

import math

from .conductor import warming
from .motor import HOT_degC
from .worked import worked


@worked(
    "motor.rated_speed_share",
    "",
    title="rated speed over no-load speed",
    rated_rpm="motor.rated_rpm",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    nominal_V="pack.nominal_V",
    formula="rated_rpm / (modulation * kv * nominal_V)",
    source="Definition of kv; the share of the voltage that the controller can use is common practice.",
)
def rated_speed_share(rated_rpm: float, modulation: float, kv: float, nominal_V: float) -> float:
    """Rated speed of the motor, as a share of its no-load speed on the nominal pack voltage.

    A motor labelled for half of the pack's voltage comes to half of its usual share.

    >>> round(rated_speed_share(3000.0, 0.95, 60.0, 66.0), 3)
    0.797
    """
    return rated_rpm / (modulation * kv * nominal_V)


@worked(
    "motor.speed_at_rating_rpm",
    "rpm",
    title="motor speed at its rated current",
    rated_rpm="motor.rated_rpm",
    formula="rated_rpm",
    source="The motor's label.",
)
def speed_at_rating(rated_rpm: float) -> float:
    """Speed at which the motor delivers its rated power: as its label says.

    >>> speed_at_rating(3000.0)
    3000.0
    """
    return rated_rpm


@worked(
    "motor.speed_at_rating_rpm",
    "rpm",
    title="motor speed at its rated current",
    share="house.rated_speed_share",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    nominal_V="pack.nominal_V",
    formula="share * modulation * kv * nominal_V",
    source="The usual share of the no-load speed is common practice.",
)
def speed_at_rating_usual(share: float, modulation: float, kv: float, nominal_V: float) -> float:
    """The same while the rated speed is not given: a share of the no-load speed.

    >>> round(speed_at_rating_usual(0.8, 0.95, 60.0, 50.0), 6)
    2280.0
    """
    return share * modulation * kv * nominal_V


@worked(
    "motor.rating_A_rms",
    "A_rms",
    title="motor rated current",
    continuous_A_rms="motor.phase_current_A_rms",
    formula="continuous_A_rms",
    source="The motor's datasheet.",
)
def rating(continuous_A_rms: float) -> float:
    """Phase current that the motor is rated for: its continuous current.

    >>> rating(120.0)
    120.0
    """
    return continuous_A_rms


@worked(
    "motor.rating_A_rms",
    "A_rms",
    title="motor rated current",
    label_A_rms="motor.label_current_A_rms",
    formula="label_A_rms",
    source="The motor's label.",
)
def rating_of_label(label_A_rms: float) -> float:
    """The same while only the rated power is given: the current that makes it.

    >>> rating_of_label(16.0)
    16.0
    """
    return label_A_rms


@worked(
    "motor.rated_loss_percent",
    "percent",
    title="winding loss at the motor's rated current",
    rating_A_rms="motor.rating_A_rms",
    phase_mohm="motor.phase_to_neutral_mohm",
    constant="motor.torque_constant_Nm_per_A_rms",
    rpm="motor.speed_at_rating_rpm",
    formula="100 * 3 * rating_A_rms * phase_mohm / 1000 * (1 + 0.00393 * (120 - 20)) "
    "/ (constant * 2 * pi * rpm / 60)",
    source="Joule's law in three phases over torque times speed; copper at 120 °C by IEC 60028.",
)
def rated_loss(rating_A_rms: float, phase_mohm: float, constant: float, rpm: float) -> float:
    """Heat in the hot winding at the motor's rated current, as a share of its shaft power there.

    >>> round(rated_loss(120.0, 8.0, 0.195, 3283.0), 2)
    5.98
    """
    shaft_W_per_A = constant * 2.0 * math.pi * rpm / 60.0
    return 100.0 * 3.0 * rating_A_rms * phase_mohm / 1000.0 * warming(HOT_degC) / shaft_W_per_A


@worked(
    "motor.label_rating_A_rms",
    "A_rms",
    title="phase current that the motor's label stands for",
    factor="house.label_overload_factor",
    label_A_rms="motor.label_current_A_rms",
    formula="factor * label_A_rms",
    source="How much more than its label a motor withstands is common practice.",
)
def label_rating(factor: float, label_A_rms: float) -> float:
    """Phase current that stands in for a continuous rating, where the label has its power only.

    >>> round(label_rating(1.5, 15.92), 2)
    23.88
    """
    return factor * label_A_rms


@worked(
    "motor.label_rating_A_rms",
    "A_rms",
    title="phase current that the motor's label stands for",
    factor="house.label_overload_factor",
    rated_W="motor.rated_power_W",
    modulation="house.modulation",
    nominal_V="pack.nominal_V",
    formula="factor * rated_W / (sqrt(3 / 2) * modulation * nominal_V)",
    source="Power balance of a sine drive at its highest voltage; the factor is common practice.",
)
def label_rating_least(factor: float, rated_W: float, modulation: float, nominal_V: float) -> float:
    """The same while kv is not known: the least current that makes the rated power on this pack.

    Less than the true one, as the rated speed lies below the no-load speed; it stops holding where
    the motor is made for a higher voltage than the pack's.

    >>> round(label_rating_least(1.5, 1000.0, 0.95, 48.0), 2)
    26.86
    """
    return factor * least_label_current(rated_W, modulation, nominal_V)


def least_label_current(rated_W: float, modulation: float, nominal_V: float) -> float:
    """The least phase current, A rms, that makes the rated power on a pack of this voltage.

    >>> round(least_label_current(1000.0, 0.95, 48.0), 2)
    17.91
    """
    return rated_W / (math.sqrt(3.0 / 2.0) * modulation * nominal_V)
