"""The motor: pole pairs, kv and torque, and what its winding and magnets withstand."""

from __future__ import annotations

import math

from ..tables.table import column
from .conductor import warming
from .operand import NoMoreThan, NotWorked
from .worked import worked

HOT_degC = 120.0


@worked(
    "motor.copper_loss_W",
    "W",
    title="winding heat, cold",
    current_A_rms="motor.driven_A_rms",
    phase_mohm="motor.phase_to_neutral_mohm",
    rises=("current_A_rms",),
    formula="3 * current_A_rms ** 2 * phase_mohm / 1000",
    source="Joule's law in three phases.",
)
def copper_loss(current_A_rms: float, phase_mohm: float) -> float:
    """Heat in the winding at the phase current limit, copper at 20 °C.

    >>> copper_loss(100.0, 10.0)
    300.0
    """
    return 3.0 * current_A_rms**2 * phase_mohm / 1000.0


@worked(
    "motor.copper_loss_hot_W",
    "W",
    title="winding heat, hot",
    loss_W="motor.copper_loss_W",
    rises=("loss_W",),
    formula="loss_W * (1 + 0.00393 * (120 - 20))",
    source="IEC 60028: copper gains 0.393 % of its resistance at 20 °C for each kelvin.",
)
def copper_loss_hot(loss_W: float) -> float:
    """Heat in the winding at the phase current limit, copper at 120 °C.

    >>> round(copper_loss_hot(300.0), 1)
    417.9
    """
    return loss_W * warming(HOT_degC)


@worked(
    "motor.copper_share_percent",
    "percent",
    title="winding loss in battery power",
    loss_W="motor.copper_loss_hot_W",
    battery_A="settings.battery_current_A",
    nominal_V="pack.nominal_V",
    rises=("loss_W",),
    formula="100 * loss_W / (battery_A * nominal_V)",
    source="Definition.",
)
def copper_share(loss_W: float, battery_A: float, nominal_V: float) -> float:
    """Winding loss at the phase current limit, as a share of the battery power limit.

    Above 100 % the battery limit lowers the phase current even at standstill.

    >>> copper_share(1500.0, 60.0, 50.0)
    50.0
    """
    return 100.0 * loss_W / (battery_A * nominal_V)


@worked(
    "motor.insulation_degC",
    "degC",
    title="insulation temperature limit",
    insulation_class="motor.insulation_class",
    words="table value for class insulation_class",
    source="IEC 60085 Electrical insulation – Thermal evaluation and designation, table 1.",
)
def insulation(insulation_class: str) -> float:
    """Highest hot-spot temperature of the winding's insulation over its whole life.

    A sensor reads less than the hot spot.

    >>> insulation("F")
    155.0
    """
    return _max_degC("insulation_classes", "insulation_class", insulation_class)


@worked(
    "motor.magnet_degC",
    "degC",
    title="magnet temperature limit",
    grade="motor.magnet_grade",
    words="table value for grade",
    source="Temperature suffixes of sintered neodymium magnets, trade convention.",
)
def magnet(grade: str) -> float:
    """Temperature up to which the magnets keep their strength in a usual motor.

    >>> magnet("SH")
    150.0
    """
    return _max_degC("magnet_grades", "magnet_grade", grade)


@worked(
    "motor.magnet_limit_degC",
    "degC",
    title="winding temperature limit of the magnets",
    magnet_degC="motor.magnet_degC",
    cooler_K="house.magnet_cooler_K",
    formula="magnet_degC + cooler_K",
    source="Common practice: the winding is the hotter of the two.",
)
def magnet_limit(magnet_degC: float, cooler_K: float) -> float:
    """Winding temperature at which the magnets reach their own limit.

    For a motor that is heated by its winding; magnets heated by eddy currents at high speed may be
    the hotter part.

    >>> magnet_limit(150.0, 20.0)
    170.0
    """
    return magnet_degC + cooler_K


KV_AT_degC = 20.0
UNTOLD_COLD_degC = -5.0  # the coldest day where none is entered: common practice


@worked(
    "motor.cold_kv_factor",
    "",
    title="cold back-EMF factor",
    least="house.cold_magnet_factor",
    ambient_degC="vehicle.min_ambient_degC",
    grade="motor.magnet_grade",
    words="1 + flux loss of grade a kelvin × (20 °C − ambient_degC, or −5 °C if none is entered), "
    "no less than least",
    source="Temperature coefficients of remanence of the classes of IEC 60404-8-1, from memory.",
)
def cold_kv_factor(least: float, ambient_degC: float = UNTOLD_COLD_degC, grade: str = "N") -> float:
    """Back-EMF of the coldest magnets, as a multiple of what kv gives at 20 °C.

    For a motor as cold as the air, at −5 °C where no coldest day is entered; magnets not given are
    taken for neodymium ones.

    >>> round(cold_kv_factor(1.03, -24.0), 4), cold_kv_factor(1.03, 8.0)
    (1.0528, 1.03)
    """
    loss_percent = column("magnet_grades", "magnet_grade", "flux_loss_percent_per_K").get(grade)
    if loss_percent is None:
        raise NotWorked(f"no loss of flux is known for {grade}")
    return max(least, 1.0 + float(loss_percent) / 100.0 * (KV_AT_degC - ambient_degC))


@worked(
    "motor.cold_coercivity_factor",
    "",
    title="strength of cold magnets against demagnetisation",
    grade="motor.magnet_grade",
    ambient_degC="vehicle.min_ambient_degC",
    words="1 − coercivity loss of grade a kelvin × (20 °C − ambient_degC, or −5 °C if none is entered), "
    "no more than 1",
    source="Temperature coefficients of coercivity: of ferrite 0.2 to 0.5 % a kelvin, from memory of "
    "data sheets; neodymium and samarium-cobalt grow stronger in the cold.",
)
def cold_coercivity_factor(grade: str = "ferrite", ambient_degC: float = UNTOLD_COLD_degC) -> float:
    """Demagnetising current that the coldest magnets withstand, as a share of that at 20 °C.

    For a motor as cold as the air, at −5 °C where no coldest day is entered; ferrite alone is weaker
    in the cold, and magnets not given may be ferrite.

    >>> round(cold_coercivity_factor("ferrite", -20.0), 2), cold_coercivity_factor("SH", -20.0)
    (0.84, 1.0)
    """
    known = column("magnet_grades", "magnet_grade", "cold_coercivity_loss_percent_per_K")
    if grade not in known:
        raise NotWorked(f"no loss of coercivity is known for {grade}")
    loss_percent = float(known[grade] or 0.0)
    return 1.0 - loss_percent / 100.0 * max(0.0, KV_AT_degC - ambient_degC)


def _max_degC(name: str, key: str, value: str) -> float:
    degC = column(name, key, "max_degC").get(value)
    if degC is None:
        raise NotWorked(f"no temperature is known for {value}")
    return float(degC)


@worked(
    "motor.pole_pairs_from_magnets",
    "",
    title="pole pair count from the magnet count",
    magnets="motor.magnets",
    formula="magnets / 2",
    applies_when="round(magnets / 2) * 2 == magnets",
    source="Definition of a pole pair: one north and one south pole.",
)
def pole_pairs_from_magnets(magnets: float) -> float:
    """Pole pairs of the rotor: half of its magnets.

    Counts poles, not pieces: where two magnets side by side make one pole, they are one. An odd
    number is a miscount.

    >>> pole_pairs_from_magnets(20)
    10.0
    """
    if magnets % 2:
        raise NotWorked("an odd number of poles makes no pairs: count them again")
    return magnets / 2


@worked(
    "motor.pole_pairs",
    "",
    title="motor pole pair count",
    from_magnets="motor.pole_pairs_from_magnets",
    formula="from_magnets",
    source="Definition of a pole pair: one north and one south pole.",
)
def pole_pairs(from_magnets: float) -> float:
    """Pole pairs of the motor, where its datasheet does not give them.

    >>> pole_pairs(10.0)
    10.0
    """
    return from_magnets


@worked(
    "motor.flux_linkage_Vs",
    "Vs",
    title="flux linkage",
    kv="motor.kv_rpm_per_V",
    pole_pairs="motor.pole_pairs",
    formula="60 / (2 * pi * kv * sqrt(3) * pole_pairs)",
    source="Definition of kv: rpm per volt of peak line-to-line back-EMF; a phase has 1/√3 of it.",
)
def flux_linkage(kv: float, pole_pairs: float) -> float:
    """Peak flux of the magnets through one phase winding.

    For cold magnets and a sine-shaped back-EMF.

    >>> round(flux_linkage(100.0, 7), 6)
    0.007876
    """
    return 60.0 / (2.0 * math.pi * kv * math.sqrt(3.0) * pole_pairs)


@worked(
    "motor.torque_constant_Nm_per_A_rms",
    "Nm_per_A_rms",
    title="torque constant",
    kv="motor.kv_rpm_per_V",
    formula="sqrt(3 / 2) * 60 / (2 * pi * kv)",
    source="Power balance of the sine-driven machine: 3/2 · e_peak · i_peak = torque · speed.",
)
def torque_constant(kv: float) -> float:
    """Torque for each ampere (rms) of phase current, field weakening off.

    Short of saturation; a motor with buried magnets gives a little more.

    >>> round(torque_constant(100.0), 5)
    0.11695
    """
    return math.sqrt(3.0 / 2.0) * 60.0 / (2.0 * math.pi * kv)


@worked(
    "motor.torque_Nm",
    "Nm",
    title="motor torque",
    constant="motor.torque_constant_Nm_per_A_rms",
    current="motor.driven_A_rms",
    burst="motor.phase_current_burst_A_rms",
    rises=("current",),
    formula="constant * current",
    no_more_when="current > burst",
    source="Definition of the torque constant.",
)
def torque(constant: float, current: float, burst: float = math.inf) -> float:
    """Torque at the motor's shaft at the phase current limit.

    Above the burst rating the iron saturates: the torque is then no more than this.

    >>> torque(0.1, 150.0, 200.0)
    15.0
    """
    return constant * current if current <= burst else NoMoreThan(constant * current)
