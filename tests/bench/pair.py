"""A cart with two motors on its stand: the profile of the workshop's before anything was read, and what is there."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import gonogo
from gonogo.judgement.bring_up_steps import tick_of
from ruamel.yaml import YAML

from .machine import Machine
from .stand import DAY, put, typed

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
MOTORS = ("left", "right")
# What is read on one motor; all else is read once, and of a cart with two motors shown by its left side.
OF_ONE_MOTOR = ("identification", "wheel_turned", "no_load", "temperature")
SIDE = Machine(
    cells=16,
    cell_V=3.33,
    pack_mohm=20,
    full=False,
    kv_rpm_per_V=73,
    pole_pairs=4,
    phase_mohm=15,
    turning_W=112,
    rest_share=0.16,
    full_share=0.845,
    sensor="pt1000",
    sensor_set="pt1000",
    ambient_degC=14.0,
)
MIRRORED = "readings.identification.for.direction"


def cart_on_the_stand(folder: Path) -> Path:
    """The profile of the cart, with no reading in it."""
    shutil.copytree(WORKSHOP, folder / "workshop")
    path = folder / "workshop" / "vehicles" / "bindweed.yaml"
    head, _, tail = path.read_text("utf-8").partition("\nreadings:")
    modes = tail[tail.index("\nmodes:") :]
    lines = head.splitlines()
    kept = [line for number, line in enumerate(lines) if not _of_a_motors_readings(lines, number)]
    path.write_text("\n".join(kept) + f"\n{modes}", "utf-8")
    return path


def _of_a_motors_readings(lines: list[str], number: int) -> bool:
    """Whether a line belongs to the readings of a motor, which stand four spaces in."""
    while lines[number].startswith("      "):
        number -= 1
    return lines[number] == "    readings:"


def cart_shows(**faults: Mapping[str, Any]) -> dict[str, str]:
    """What meters and displays show, by the keys of the profile; `faults` of one motor by its name."""
    sides = {name: replace(SIDE, **faults.get(name, {})).shows() for name in MOTORS}
    sides["left"][MIRRORED] = "reversed"
    shown: dict[str, str] = {}
    for name, shows in sides.items():
        for key, value in shows.items():
            if key.startswith(tuple(f"readings.{one}" for one in OF_ONE_MOTOR)):
                shown[f"motors.{name}.{key}"] = value
            else:
                shown.setdefault(key, value)
    for end in ("rest", "full"):  # the pedal's second track has half the slope
        first, *_ = shown[f"readings.throttle.{end}_V"].split(", ")
        shown[f"readings.throttle.second_{end}_V"] = f"{float(first) / 2:.2f}"
    return shown


def cart_begun(path: Path, shows: Mapping[str, str], until: str) -> None:
    """Note in the profile what was read before an entry came to its turn."""
    yaml = YAML()
    yaml.width = 100_000
    whole = yaml.load(path.read_text("utf-8"))
    put(whole, "readings.taken", DAY)
    ticks: list[str] = []
    for step in gonogo.bringup_plan(path, DAY):
        keys = [one.key for one in step.readings]
        for key in keys[: keys.index(until)] if until in keys else keys:
            if key in shows:
                put(whole, key, typed(shows[key]))
        if until in keys:
            break
        ticks += [] if keys else [tick_of(step.spec.step)]
    put(whole, "readings.steps_done", ticks)
    with path.open("w", encoding="utf-8") as file:
        yaml.dump(whole, file)
