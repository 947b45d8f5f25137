"""How the code is cut: modules, their imports, and what a reader passes who follows a profile.

    python tests/benchmark/structure.py [ROOT]

`ROOT` is a checkout of gonogo, this one if left out; two can be laid side by side. It prints, for
the whole and for each folder of `lint/`, the modules, their lines, the imports among them and the
longest chain of these; then the modules and functions that run while one profile is read and
judged, everything that is read once (rules, tables, schemas) left out. A module is a file that is
no `__init__.py`; an import counts once a pair, wherever it stands in the file.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable, Mapping
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import FrameType

ROOT = Path(__file__).parents[2]
PACKAGES = {"gonogo": "lint", "gonogo.rules": "rules", "gonogo.schemas": "schemas"}
VEHICLE = Path("examples/workshop/vehicles/bracken.yaml")
JUDGED_ON = "2026-11-25"
SMALL, LARGE = 80, 300
Imports = Mapping[str, frozenset[str]]


def modules_of(lint: Path) -> dict[str, Path]:
    """The files of the code by their dotted names."""
    return {
        ".".join(path.relative_to(lint).with_suffix("").parts): path
        for path in sorted(lint.rglob("*.py"))
        if path.name != "__init__.py"
    }


def lines_of(path: Path) -> int:
    """How long a file is."""
    return len(path.read_text(encoding="utf-8").splitlines())


def imports_of(modules: Mapping[str, Path]) -> Imports:
    """The modules that each module takes something from."""
    return {name: _taken(name, path) & modules.keys() for name, path in modules.items()}


def _taken(name: str, path: Path) -> frozenset[str]:
    above = name.split(".")[:-1]
    taken: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level:
            start = above[: len(above) - node.level + 1]
            middle = node.module.split(".") if node.module else []
            taken.add(".".join(start + middle))
            taken |= {".".join((*start, *middle, one.name)) for one in node.names}
    return frozenset(taken - {name})


def levels(imports: Imports) -> int:
    """The longest chain of modules of which each needs the next; a circle is an error."""
    known: dict[str, int] = {}

    def level(name: str, way: tuple[str, ...] = ()) -> int:
        if name in way:
            raise ValueError(" → ".join((*way, name)))
        if name not in known:
            below = (level(one, (*way, name)) for one in imports[name])
            known[name] = 1 + max(below, default=0)
        return known[name]

    return max(map(level, imports), default=0)


def within(imports: Imports, folder: str) -> Imports:
    """The imports among the modules of one folder."""
    names = {name for name in imports if name.startswith(f"{folder}.")}
    return {name: imports[name] & names for name in names}


def row(title: str, imports: Imports, modules: Mapping[str, Path]) -> str:
    """A line of the table."""
    lengths = [lines_of(modules[name]) for name in imports]
    edges = sum(map(len, imports.values()))
    apart = f"{sum(n < SMALL for n in lengths):6}{sum(n > LARGE for n in lengths):6}"
    return f"{title:12}{len(imports):8}{sum(lengths):8}{edges:8}{levels(imports):8}{apart}"


def opened(root: Path) -> None:
    """Make `gonogo` the code of that checkout, whatever is installed."""
    for name, folder in PACKAGES.items():
        spec = spec_from_file_location(name, root / folder / "__init__.py")
        assert spec is not None and spec.loader is not None
        sys.modules[name] = module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])


def passed(work: Callable[[], object], lint: Path) -> set[tuple[str, str]]:
    """The functions of the code that run meanwhile, each with its module."""
    met: set[tuple[str, str]] = set()
    top = f"{lint}/"

    def look(frame: FrameType, event: str, _: object) -> None:
        code = frame.f_code
        if event == "call" and code.co_filename.startswith(top) and code.co_name[0] != "<":
            met.add((code.co_filename.removeprefix(top), code.co_qualname))

    sys.setprofile(look)
    try:
        work()
    finally:
        sys.setprofile(None)
    return met


def way_of_a_profile(root: Path) -> str:
    """What runs while a profile is read and judged a second time."""
    opened(root)
    import gonogo

    def check() -> object:
        return gonogo.check(root / VEHICLE, as_of=JUDGED_ON)

    check()
    met = passed(check, root / "lint")
    lines = []
    for title, folders in (("read and judged", ("",)), ("judged", ("expressions/", "judgement/"))):
        own = {(file, name) for file, name in met if file.startswith(folders)}
        modules = {file for file, _ in own}
        lines.append(f"a profile, {title}: {len(modules)} modules, {len(own)} functions")
    return "\n".join(lines)


def main(root: Path) -> None:
    """Print the table and the way."""
    modules = modules_of(root / "lint")
    imports = imports_of(modules)
    folders = sorted({name.split(".")[0] for name in modules if "." in name})
    print(f"{'':12}modules   lines imports  levels   <{SMALL}  >{LARGE}")
    print(row("all", imports, modules))
    for folder in folders:
        print(row(folder, within(imports, folder), modules))
    print(way_of_a_profile(root))


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve() if len(sys.argv) > 1 else ROOT)
