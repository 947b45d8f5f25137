"""Where an entry that is missing of several motors would stand: under a motor, or the vehicle's."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..documents.motors import IN_PLACE_OF, MOTOR, MOTORS, OF_ONE_MOTOR
from ..documents.profile import Profile

OWN_SECTIONS = ("settings", *IN_PLACE_OF)
OWN_READINGS = tuple(".".join(("readings", *keys)) for keys in OF_ONE_MOTOR)


def keys_lacking(name: str, motor: str, profile: Profile) -> Iterator[str]:
    """Where an entry that a rule lacks of one motor would stand."""
    mates = [one for one, view in profile.motors.items() if name not in view.givens]
    everybody = len(mates) == len(profile.motors)
    return keys_missing(name, [motor], everybody, profile)


def keys_missing(
    name: str, lacking: Iterable[str], by_all: bool, profile: Profile
) -> Iterator[str]:
    """Where a missing entry would stand: under each motor that lacks it, or in the vehicle's section."""
    section = name.split(".")[0]
    for motor in lacking:
        box = profile.motors[motor].sections.get(section)
        own = section in IN_PLACE_OF and box != profile.sections.get(section)
        if section == MOTOR:
            yield f"{MOTORS}.{motor}.{name.removeprefix('motor.')}"
        elif name.startswith(OWN_READINGS) or (section in OWN_SECTIONS and (own or not by_all)):
            yield f"{MOTORS}.{motor}.{name}"
        else:
            yield name
