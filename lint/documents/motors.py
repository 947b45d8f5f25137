"""Several motors in one profile: which sections each may have of its own, and what its keys stand for."""

from __future__ import annotations

from collections.abc import Iterator

from .document import Document
from .error import DocumentError, WrongValue
from .schema import properties
from .text import quoted

MOTOR, MOTORS = "motor", "motors"
LAID_OVER = ("settings", "readings")  # sections of a motor that lie over the vehicle's
IN_PLACE_OF = (
    "controller",
    "drivetrain",
)  # sections of a motor that stand in place of the vehicle's
# Readings that are taken on one motor and say nothing about another.
OF_ONE_MOTOR = (
    ("identification",),
    ("wheel_turned",),
    ("no_load",),
    ("entered",),
    ("temperature", "motor_degC"),
    ("temperature", "warm"),
)


def motor_readings(document: Document) -> Iterator[DocumentError]:
    """Readings of one motor that do not say of which: nobody shall take them for all motors."""
    names = " and ".join(quoted(f"{MOTORS}.{name}.readings") for name in document.value[MOTORS])
    for keys in OF_ONE_MOTOR:
        node = document.root
        for key in ("readings", *keys):
            if key not in node.below:
                break
            node = node.below[key]
        else:
            at = document.key_place("readings", *keys)
            found = f"{quoted(keys[-1])} without the motor that it was taken on"
            wanted = f"it under each motor, in {names}"
            line = document.line(at.line)
            yield WrongValue(at.file, at.line, at.column, found, wanted, text=line)


def motor_of(path: str) -> str:
    """The motor that a key under `motors` is of; "" for any other key.

    >>> motor_of("motors.rear.readings.no_load.rpm"), motor_of("readings.pack_V")
    ('rear', '')
    """
    return path.split(".", 2)[1] if path.startswith(f"{MOTORS}.") else ""


def key_under(motor: str, path: str) -> str:
    """The key of a setting or reading under a motor; where that is "", the vehicle's.

    >>> key_under("rear", "readings.wheel_turned"), key_under("", "readings.pack_V")
    ('motors.rear.readings.wheel_turned', 'readings.pack_V')
    """
    return f"{MOTORS}.{motor}.{path}" if motor else path


def entry_path(path: str) -> str:
    """The key of a profile with one motor that a key under `motors` stands for; any other is itself.

    >>> entry_path("motors.rear.kv_rpm_per_V"), entry_path("motors.rear.settings.max_rpm")
    ('motor.kv_rpm_per_V', 'settings.max_rpm')
    """
    if not path.startswith(f"{MOTORS}."):
        return path
    inner = path.split(".", 2)[-1]
    return inner if inner in properties() else f"{MOTOR}.{inner}"
