"""The way of the data: folders import only those before them, and siblings by name."""

import ast
from pathlib import Path
from typing import TypeGuard

import pytest

LINT = Path(__file__).parents[1] / "lint"
ORDER = (
    "documents",
    "tables",
    "quantities",
    "riding",
    "expressions",
    "judgement",
    "rehearsal",
    "tolerances",
    "suspicion",
    "comparison",
    "reports",
    "commands",
)
MODULES = sorted(LINT.rglob("*.py"))
NAMES = {path: ".".join(path.relative_to(LINT).with_suffix("").parts) for path in MODULES}
SMALL, LARGE = 80, 300
# Longer than a module should be, each for its reason; taken out when it is cut.
LONGER = {
    "documents.loading": "parts, modes and overrides are one walk through a document",
    "documents.validation": "a schema's complaints and their wording",
    "documents.yaml_tree": "the reader and its scalars",
    "expressions.compiler": "names, units and the tree in one walk",
    "expressions.expression": "the nodes of a tree, read one at a time",
    "judgement.proposal": "settings, their first values and what those wait for, one walk",
    "judgement.thresholds": "where each comparison of a rule may turn, one walk through its tree",
    "quantities.motor": "formulas, read one at a time",
    "quantities.pack": "formulas, read one at a time",
}


def test_every_folder_has_its_place_in_the_order() -> None:
    """A new folder has to say where in the data's way it stands."""
    folders = {path.parent.name for path in MODULES if path.parent != LINT}
    assert folders == set(ORDER)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(LINT)))
def test_imports_go_up_the_list(path: Path) -> None:
    """No going back: a quantity knows nothing of reports."""
    folder = path.parent.name if path.parent != LINT else None
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.ImportFrom):
            continue
        module = node.module or ""
        assert not module.startswith("gonogo.") or node.level == 0
        assert not (node.level == 0 and module.split(".")[0] in ("gonogo", "lint"))
        if node.level == 2 and folder is not None:
            head = module.split(".")[0]
            if head and head in ORDER:
                assert ORDER.index(head) <= ORDER.index(folder), f"{folder} imports {head}"


def test_no_module_hangs_on_itself() -> None:
    """A circle, were it only of types, is two modules that can be read only as one."""
    imports = {_name(path): _imported(path) for path in MODULES}
    left = dict(imports)
    while free := [name for name, below in left.items() if left.keys().isdisjoint(below)]:
        for name in free:
            del left[name]
    assert not left


def _name(path: Path) -> str:
    return ".".join(path.relative_to(LINT).with_suffix("").parts).removesuffix(".__init__")


def _imported(path: Path) -> set[str]:
    """The modules that a module takes from, wherever in it the import stands."""
    folders = path.relative_to(LINT).parts[:-1]
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level:
            above = folders[: len(folders) - node.level + 1]
            if node.module:
                names.add(".".join((*above, node.module)))
            else:
                names |= {".".join((*above, name.name)) for name in node.names}
    return names


@pytest.mark.parametrize("path", MODULES, ids=NAMES.get)
def test_a_module_is_read_in_one_sitting(path: Path) -> None:
    """300 lines, a function under 40: else it holds two thoughts."""
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= LARGE or NAMES[path] in LONGER
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            body = node.body[ast.get_docstring(node) is not None :] or node.body
            assert (node.end_lineno or 0) - body[0].lineno < 40, node.name


def test_what_is_read_together_stands_together() -> None:
    """A house of small rooms is all corridors: three modules of four hold 80 lines and more."""
    whole = [path for path in MODULES if path.name != "__init__.py"]
    small = [path for path in whole if len(path.read_text("utf-8").splitlines()) < SMALL]
    assert 4 * len(small) <= len(whole), sorted(NAMES[path] for path in small)


def test_the_top_level_holds_what_belongs_there() -> None:
    """A newcomer sees the whole house from the door."""
    visible = {path.name for path in LINT.parent.iterdir() if not path.name.startswith(".")}
    assert visible - {"gonogo.egg-info", "build"} == {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "lint",
        "schemas",
        "rules",
        "tests",
        "examples",
    }


# The steps in which a public name means one thing.
SETTLED = ORDER
# What a command, a format or a page must be called so that it can be used as one.
PROTOCOL = {"command", "run", "body", "record", "report", "detail", "inside", "sections", "page_of"}


def test_one_public_name_means_one_thing() -> None:
    """Who searches for a name finds one definition, and knows what an import of it brings."""
    homes: dict[str, list[str]] = {}
    for path in MODULES:
        if path.parent.name in SETTLED:
            for name in _defined(path):
                homes.setdefault(name, []).append(_name(path))
    twice = [f"{name} in {', '.join(found)}" for name, found in homes.items() if len(found) > 1]
    assert not twice, f"import the one, rename it or begin it with _: {'; '.join(twice)}"


def _defined(path: Path) -> set[str]:
    """The public names that a module's own lines bind: functions, classes and constants."""
    names: set[str] = set()
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            names |= {part.id for part in ast.walk(node) if _is_bound(part)}
    return {name for name in names if not name.startswith("_")} - PROTOCOL


def _is_bound(node: ast.AST) -> TypeGuard[ast.Name]:
    return isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
