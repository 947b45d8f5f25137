"""Three vehicles on their stands: the profile of each before anything was read, and what is there."""

from __future__ import annotations

import io
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from gonogo.judgement.bring_up_steps import bring_up_steps, tick_of
from ruamel.yaml import YAML

from .machine import Machine
from .terminal import Answer, Session, bring_up

DAY = "2026-11-25"
PROFILES = Path(__file__).parent / "vehicles"
SOUND: Mapping[str, Machine] = {
    "scooter": Machine(
        cells=23,
        cell_V=3.31,
        pack_mohm=28,
        full=False,
        kv_rpm_per_V=9.4,
        pole_pairs=23,
        phase_mohm=14,
        turning_W=190,
        sensor="kty83-110",
        sensor_set="kty83-110",
    ),
    "trike": Machine(
        cells=16,
        cell_V=3.41,
        pack_mohm=20,
        full=False,
        kv_rpm_per_V=60,
        pole_pairs=4,
        phase_mohm=6,
        turning_W=160,
        sensor="kty84-130",
        sensor_set="kty84-130",
    ),
    "chair": Machine(
        cells=12,
        cells_a_group=6,
        cell_V=2.14,
        pack_mohm=16,
        full=False,
        kv_rpm_per_V=150,
        pole_pairs=4,
        phase_mohm=30,
        turning_W=52,
        rest_share=0.144,
        full_share=0.85,
        brake_cut="",
    ),
    "bike": Machine(
        cells=16,
        cell_V=4.18,
        pack_mohm=32,
        full=True,
        kv_rpm_per_V=62,
        pole_pairs=4,
        phase_mohm=6,
        turning_W=280,
        sensor="pt1000",
        sensor_set="pt1000",
        position_sensor="encoder",
    ),
}
TRUTHS = {"yes": True, "no": False}


def on_the_stand(folder: Path, vehicle: str) -> Path:
    """The profile of a vehicle, with no reading in it."""
    return Path(shutil.copy(PROFILES / f"{vehicle}.yaml", folder))


def begun(path: Path, shows: Mapping[str, str], until: str) -> None:
    """Note in a profile what was read before an entry came to its turn."""
    readings: dict[str, Any] = {"taken": DAY, "steps_done": []}
    for step in bring_up_steps():
        names = [one.entry for one in step.readings]
        for name in names[: names.index(until)] if until in names else names:
            if shows.get(name):
                put(readings, name.removeprefix("readings."), typed(shows[name]))
        if until in names:
            break
        if not step.readings:
            readings["steps_done"].append(tick_of(step.step))
    yaml = YAML()
    yaml.width = 100_000
    yaml.default_flow_style = True  # as somebody notes them on one line
    whole = {"readings": {key: value for key, value in readings.items() if value != []}}
    out = io.StringIO()
    yaml.dump(whole, out)
    inner = out.getvalue().strip().removeprefix("{").removesuffix("}")
    with path.open("a", encoding="utf-8") as file:
        file.write(f"{inner}\n")


def put(section: dict[str, Any], path: str, value: Any) -> None:
    *above, last = path.split(".")
    for key in above:
        section = section.setdefault(key, {})
    section[last] = value


def typed(answer: str) -> Any:
    if ", " in answer:
        return [typed(one) for one in answer.split(", ")]
    try:
        return float(answer)
    except ValueError:
        return TRUTHS.get(answer, answer)


def somebody(shows: Mapping[str, str]) -> Answer:
    """Somebody who types in what the machine shows, ticks what was done, and stops when told to."""

    def answer(entry: str, question: str) -> str:
        if "Measure again" in question:
            return ""
        return shows.get(entry, "") if entry else "yes"

    return answer


def played(path: Path, machine: Machine, columns: int = 80) -> Session:
    """A bring-up by somebody who measures a machine."""
    return bring_up(path, somebody(machine.shows()), DAY, columns)
