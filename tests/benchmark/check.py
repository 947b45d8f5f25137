"""How long a check takes, beside the least that such a check could take.

Run it where gonogo is installed with `pip install .`, as the README has it, on a machine that has
nothing else to do:

    python tests/benchmark/check.py --counts 100 1000 10000 50000

Without counts it takes 100 and 1,000; 50,000 take an hour. It prints ratios and judges none; the tests
hold no clock, since machines differ.

- Many profiles: a thousand of them, made from the example workshop's vehicles, judged by one
  process; its CPU time over that of a plain loop that reads the same files as YAML (parsed in C)
  and holds them against the same schema. Meant to stay within 1. The same once more by as many
  processes as there are processors, in wall time over that of the loop. A run that finds all results
  in the store is meant to take a tenth of the loop.
- Memory: the most that each of those checks takes in a process of its own, for text and JSON, and what
  one more profile takes since the count before. Meant to be flat: a few kilobytes, for its line.
- One profile: a whole process that judges one of the examples, over one that only imports the
  libraries. Both take turns, and medians are compared. Meant to stay within 1.5. A document that
  fits its schema needs no jsonschema (`lint/documents/fitting.py`); the floor imports it all the
  same, as a check of a document that does not fit does. What is left beside the other libraries
  alone is printed too.
"""

from __future__ import annotations

import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
from argparse import ArgumentParser
from collections.abc import Callable, Sequence
from io import StringIO
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

from gonogo.commands.check import run
from gonogo.commands.options import processors
from gonogo.documents.schema import schema
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
COUNTS = (100, 1000)
PROFILES = 1000  # of more one run is enough
REPEATS = 3
TURNS = 25
JUDGED_ON = "2026-11-25"
LIBRARIES = "import typer, rich, jsonschema, ruamel.yaml"
LESS = "import typer, rich, ruamel.yaml"
# What differs from one vehicle to the next: too little for a verdict to turn on it.
VARIED = re.compile(r"^( +(?:mass_kg|rider_kg|ramp_ms): )([0-9]+)", re.MULTILINE)
MOST_VARIED = 8
NAME = re.compile(r"^  name: .*$", re.MULTILINE)


def workshop_of(folder: Path, count: int) -> list[Path]:
    """The example workshop with as many vehicles, each with a name and figures of its own."""
    shutil.copytree(WORKSHOP, folder, ignore=shutil.ignore_patterns("vehicles"))
    models = [path.read_text("utf-8") for path in sorted((WORKSHOP / "vehicles").glob("*.yaml"))]
    (folder / "vehicles").mkdir()
    paths = [folder / "vehicles" / f"{number:04}.yaml" for number in range(count)]
    for number, path in enumerate(paths):
        path.write_text(varied(models[number % len(models)], number // len(models)), "utf-8")
    return paths


def varied(text: str, round_: int) -> str:
    """A vehicle's text with a name of its own, and figures a little larger."""

    def larger(match: re.Match[str]) -> str:
        return f"{match[1]}{int(match[2]) + round_ % MOST_VARIED}"

    return NAME.sub(rf"\g<0> {round_}", VARIED.sub(larger, text))


def plain_loop(paths: Sequence[Path]) -> int:
    """The yardstick: each file read and held against the schema; how many do not fit."""
    reader = YAML(typ="safe")
    validator = Draft202012Validator(schema("profile"))
    return sum(any(validator.iter_errors(reader.load(path.read_bytes()))) for path in paths)


def cpu_s(work: Callable[[], object], repeats: int) -> float:
    """The least CPU time of a few runs: what else the machine does only adds to it."""
    return min(_taken_s(work, process_time) for _ in range(repeats))


def wall_s(work: Callable[[], object], repeats: int) -> float:
    """The least wall time of a few runs."""
    return min(_taken_s(work, perf_counter) for _ in range(repeats))


def _taken_s(work: Callable[[], object], clock: Callable[[], float]) -> float:
    start = clock()
    work()
    return clock() - start


def many(count: int) -> None:
    """Many profiles in one process, beside the plain loop; then the same once more with the store."""
    with tempfile.TemporaryDirectory() as place:
        os.environ["XDG_CACHE_HOME"] = str(Path(place) / "cache")
        paths = workshop_of(Path(place) / "workshop", count)
        if plain_loop(paths[:PROFILES]):
            sys.exit("Some of the profiles made do not fit the schema: the ratio would flatter us.")
        shop = [paths[0].parents[1]]

        def checked(store: str, jobs: int = 1) -> None:
            run(shop, as_of=JUDGED_ON, out=StringIO(), store=store, jobs=jobs)

        repeats = REPEATS if count <= PROFILES else 1
        plain_s = cpu_s(lambda: plain_loop(paths), repeats)
        check_s = cpu_s(lambda: checked("off"), repeats)
        plain_wall_s = wall_s(lambda: plain_loop(paths), repeats)
        check_wall_s = wall_s(lambda: checked("off", processors()), repeats)
        checked("clear")
        again_s = cpu_s(lambda: checked("use"), repeats)
    print(f"{count} profiles, CPU: check {check_s:.2f} s, plain loop {plain_s:.2f} s")
    print(f"  ratio {check_s / plain_s:.2f}, meant to stay within 1")
    print(f"  wall with {processors()} jobs: ratio {check_wall_s / plain_wall_s:.2f}")
    print(
        f"  with the store {again_s:.2f} s, ratio {again_s / plain_s:.3f}, meant to stay within 0.1"
    )


def memory(form: str, counts: Sequence[int]) -> None:
    """The most that a check takes, in a process of its own for each count, and what one more profile takes.

    As Linux counts it for the program that runs: what `getrusage` says is at least what its parent took.
    """
    if not Path("/proc/self/status").exists():
        print("memory: not measured, for there is no /proc here")
        return
    code = (
        "import sys, os; from pathlib import Path; from gonogo.commands.check import run; "
        "run([Path(sys.argv[1])], sys.argv[2], as_of=sys.argv[3], store='off', out=open(os.devnull, 'w')); "
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM:')))"
    )
    before: tuple[int, int] | None = None
    for count in sorted(counts):
        with tempfile.TemporaryDirectory() as place:
            workshop_of(Path(place) / "workshop", count)
            command = [sys.executable, "-c", code, str(Path(place) / "workshop"), form, JUDGED_ON]
            told = subprocess.run(command, capture_output=True, text=True, check=True)
        peak_kB, more = int(told.stdout), ""
        if before is not None:
            more = f", {(peak_kB - before[1]) / (count - before[0]):.1f} kB for one more"
        print(f"memory, {form}: {peak_kB} kB for {count}{more}")
        before = count, peak_kB


def process_s(command: Sequence[str]) -> tuple[float, float]:
    """Wall and CPU time of a whole process."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, check=False)
    wall, after = perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def one() -> None:
    """One small profile in a process of its own, beside a process that imports the libraries."""
    command = shutil.which("gonogo", path=str(Path(sys.executable).parent))
    if command is None:
        sys.exit(f"gonogo is not installed beside {sys.executable}.")
    profile = min((WORKSHOP / "vehicles").glob("*.yaml"), key=lambda path: path.stat().st_size)
    python = [sys.executable, "-c"]
    commands = ([*python, LIBRARIES], [command, "check", str(profile)], [*python, LESS])
    for each in commands:
        process_s(each)  # once unmeasured: all files are in memory
    turns = [[process_s(each) for each in commands] for _ in range(TURNS)]
    print(f"One profile ({profile.name}), medians of {TURNS} turns")
    for place, kind in enumerate(("wall", "CPU")):
        imports_s, check_s, less_s = (
            median(turn[side][place] for turn in turns) for side in range(3)
        )
        print(f"  {kind}: check {check_s:.3f} s, imports {imports_s:.3f} s")
        print(f"  ratio {check_s / imports_s:.2f}, meant to stay within 1.5")
        print(f"  beside {LESS.removeprefix('import ')}: {check_s / less_s:.2f}")


def main() -> None:
    """Print all ratios."""
    parser = ArgumentParser(description="How long a check takes.")
    parser.add_argument("--counts", nargs="+", type=int, default=COUNTS, metavar="N")
    counts = parser.parse_args().counts
    for count in counts:
        many(count)
    for form in ("text", "json"):
        memory(form, counts)
    one()


if __name__ == "__main__":
    main()
