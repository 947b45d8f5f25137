"""The motor: pole pairs, kv and torque, and the heat in its winding and magnets."""

from __future__ import annotations

import math

from ..tables.table import column
from .conductor import warming
from .operand import NO_LESS, NoMoreThan, NotWorked
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
    """Temperature up to which the magnets keep their strength, at an ordinary load line.

    >>> magnet("SH")
    150.0
    """
    return _max_degC("magnet_grades", "magnet_grade", grade)


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
    """Pole pairs of a rotor with so many poles round it.

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
    "motor.driven_A_rms",
    "A_rms",
    title="phase current in use",
    setting_A_rms="settings.phase_current_A_rms",
    controller_A_rms="controller.phase_current_A_rms",
    combine="least",
    source="The weakest part in series sets the current.",
)
def driven(setting_A_rms: float, controller_A_rms: float) -> float:
    """Phase current that the motor is really driven with.

    >>> driven(150.0, 120.0)
    120.0
    """
    return min(setting_A_rms, controller_A_rms)


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


@worked(
    "motor.no_load_rpm",
    "rpm",
    title="no-load motor speed",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    full_V="pack.full_V",
    formula="modulation * kv * full_V",
    source="Definition of kv; the share of the voltage that the controller can use is common practice.",
)
def no_load(modulation: float, kv: float, full_V: float) -> float:
    """Speed of the unloaded motor on the full pack, field weakening off.

    >>> no_load(0.95, 60.0, 60.0)
    3420.0
    """
    return modulation * kv * full_V


@worked(
    "motor.downhill_rpm",
    "rpm",
    title="motor speed downhill",
    downhill_km_h="house.downhill_km_h",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    clutch="motor.one_way_clutch",
    formula="1000 / 60 * downhill_km_h / circumference_m * ratio",
    applies_when="ratio == 1 and not clutch",
    source="Definition of speed; how fast a hill makes it is common practice.",
)
def downhill(
    downhill_km_h: float, ratio: float, circumference_m: float, clutch: bool = False
) -> float:
    """Speed that a descent gives to a direct-drive hub motor, whatever its controller allows.

    >>> round(downhill(60.0, 1.0, 2.0))
    500
    """
    if ratio != 1.0 or clutch:
        raise NotWorked(
            "only a direct-drive hub without a one-way clutch is held to downhill speed"
        )
    return 1000.0 / 60.0 * downhill_km_h / circumference_m * ratio


@worked(
    "motor.max_operating_rpm",
    "rpm",
    title="highest motor speed in use",
    max_rpm="settings.max_rpm",
    ratio="drivetrain.ratio",
    clutch="motor.one_way_clutch",
    formula="max_rpm",
    applies_when="ratio != 1 or clutch",
    source="Common practice.",
)
def max_operating_geared(max_rpm: float, ratio: float, clutch: bool = False) -> float:
    """Speed that the motor may reach behind a gear or a one-way clutch: the limit set.

    >>> max_operating_geared(5400.0, 8.0)
    5400.0
    """
    if ratio == 1.0 and not clutch:
        raise NotWorked("a direct-drive hub is turned by the road as well")
    return max_rpm


@worked(
    "motor.max_operating_rpm",
    "rpm",
    title="highest motor speed in use",
    max_rpm="settings.max_rpm",
    downhill_rpm="motor.downhill_rpm",
    formula="max(max_rpm, downhill_rpm)",
    source="Common practice: a direct-drive hub is turned by the road as well.",
)
def max_operating_hub(max_rpm: float, downhill_rpm: float) -> float:
    """Speed that a direct-drive hub may reach: the limit set, or a hill.

    >>> max_operating_hub(450.0, 500.0)
    500.0
    """
    return max(max_rpm, downhill_rpm)


@worked(
    "motor.max_operating_rpm",
    "rpm",
    title="highest motor speed in use",
    max_rpm="settings.max_rpm",
    side=NO_LESS,
    formula="max_rpm",
    source="Common practice; the drivetrain is not given, so the road may turn it faster.",
)
def max_operating_at_least(max_rpm: float) -> float:
    """The least speed that the motor may reach, while the drivetrain is not given.

    >>> max_operating_at_least(450.0)
    450.0
    """
    return max_rpm


@worked(
    "motor.back_emf_V",
    "V",
    title="back-EMF",
    rpm="motor.max_operating_rpm",
    kv="motor.kv_rpm_per_V",
    rises=("rpm",),
    formula="rpm / kv",
    source="Definition of kv: rpm per volt of peak line-to-line back-EMF.",
)
def back_emf(rpm: float, kv: float) -> float:
    """Back-EMF, V peak line-to-line, of the spinning motor when the controller trips (outputs off).

    For magnets at room temperature: colder ones give a few percent more, hot ones less.

    >>> back_emf(5400.0, 60.0)
    90.0
    """
    return rpm / kv


@worked(
    "motor.electrical_rpm",
    "electrical_rpm",
    title="electrical motor speed",
    rpm="settings.max_rpm",
    pole_pairs="motor.pole_pairs",
    formula="rpm * pole_pairs",
    source="Definition of a pole pair: one electrical turn for each in a mechanical one.",
)
def electrical(rpm: float, pole_pairs: float) -> float:
    """Electrical rpm that the controller has to follow at the highest speed.

    >>> electrical(8000.0, 7)
    56000.0
    """
    return rpm * pole_pairs
