"""How many small mistakes in the formulas and in the judge the tests notice.

    python -m pip install -e '.[test]' mutmut==3.8.1
    python tests/benchmark/mutants.py [--sample N] [--seed N] [--minutes N] [GROUP | MUTANT ...]

A mutant is a module with one mistake, made by an operator of the library mutmut: a number one
higher, a sign or a comparison turned, an argument dropped, a value that is None. It is killed if a
test fails, the module's own first, and lives if none does. mutmut's own runner cannot map `gonogo`
to `lint/` and passes functions with a decorator by, which all worked quantities are; so only its
operators are used, each mutant is put in the place of its module when that is imported, and the
tests run in a process forked for it. A sample is tried in an order of chance, so what is tried when
the minutes are over is a sample too. Without names all groups are sampled; `--sample 0` is all of
them, in hours. A mutant's name, as printed, tries it again.

Not mutated is what does not run or is only read: annotations, docstrings, a text with a space in
it, and the `source` and `words` of a quantity.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import os
import random
import resource
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from importlib.machinery import ModuleSpec
from importlib.util import spec_from_loader
from pathlib import Path
from time import monotonic
from types import CodeType, ModuleType

import hypothesis
import libcst as cst
import libcst.matchers as m
import pytest
from libcst.metadata import MetadataWrapper, PositionProvider
from mutmut.mutation.mutators import mutation_operators

ROOT = Path(__file__).parents[2]
SAMPLE, SEED, JOBS, MINUTES = 150, 1, 2, 60.0
ALIKE = 24  # characters shown on both sides of a mistake
CPU_S = 90  # a mutant that runs for longer does not end
LOADED_ONCE = ("pint", "ruamel.yaml", "jsonschema", "rich", "jinja2", "deepdiff", "typer")
OPTIONS = (
    *("-x", "-q", "--tb=no", "-p", "no:cacheprovider", "-p", "no:xdist"),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),  # hypothesis is loaded before the fork
)
TYPES_ONLY = m.Call(func=m.Name("cast") | m.Name("TypeVar")) | m.Subscript(
    value=m.Name("Literal") | m.Name("Callable")
)
READ_ONLY = m.Arg(keyword=m.Name("source") | m.Name("words"))
KILLED, LIVED, ENDLESS, LEFT = "killed", "lived", "endless", "left"


@dataclass(frozen=True)
class Group:
    """Modules of one folder, and the tests that are theirs, the quick ones first."""

    folder: str
    modules: tuple[str, ...]
    tests: tuple[tuple[str, ...], ...]

    def rounds(self, module: str) -> Iterator[tuple[str, ...]]:
        """What is asked one after the other, until a test fails: the module's own test first."""
        own = f"tests/{self.folder}/test_{module}.py"
        if (ROOT / own).exists():
            yield (own,)
        yield from self.tests


QUANTITIES = tuple(path.stem for path in sorted((ROOT / "lint/quantities").glob("[!_]*.py")))
OF_THE_JUDGE = (
    (
        "tests/judgement",
        "--ignore=tests/judgement/test_promises.py",
        "--ignore=tests/judgement/test_thresholds.py",
    ),
    ("tests/judgement/test_thresholds.py",),
)
GROUPS = {
    "quantities": Group(
        "quantities",
        QUANTITIES,
        (("tests/quantities", "tests/references", "--ignore=tests/references/test_provenance.py"),),
    ),
    "expressions": Group(
        "expressions",
        ("arithmetic", "compiler"),
        (("tests/expressions",), *OF_THE_JUDGE),
    ),
    "judgement": Group(
        "judgement",
        ("evaluation", "judge", "sweep"),
        OF_THE_JUDGE,
    ),
}


@dataclass(frozen=True)
class Mutant:
    """A module with one mistake."""

    group: str
    module: str
    number: int
    line: int
    before: str
    after: str
    tree: cst.Module
    node: cst.CSTNode
    mistake: cst.CSTNode

    @property
    def name(self) -> str:
        return f"{self.module}:{self.number}"

    @property
    def source(self) -> str:
        changed = self.tree.deep_replace(self.node, self.mistake)
        assert isinstance(changed, cst.Module)
        return changed.code

    def __str__(self) -> str:
        where = f"{GROUPS[self.group].folder}/{self.module}.py:{self.line}"
        return f"{self.name}  {where}  {self.before}  ->  {self.after}"


class Mistakes(m.MatcherDecoratableVisitor):
    """Every node that runs, with what an operator makes of it."""

    METADATA_DEPENDENCIES = (PositionProvider,)

    def __init__(self) -> None:
        super().__init__()
        self.made: list[tuple[int, cst.CSTNode, cst.CSTNode]] = []

    def on_visit(self, node: cst.CSTNode) -> bool:
        if isinstance(node, cst.Annotation | cst.Import | cst.ImportFrom | cst.TypeAlias):
            return False
        if m.matches(node, TYPES_ONLY) or m.matches(node, READ_ONLY):
            return False
        if isinstance(node, cst.SimpleString) and " " in node.value:
            return False
        for kind, operator in mutation_operators:
            if isinstance(node, kind):
                line = self.get_metadata(PositionProvider, node).start.line
                mistakes = once(node, list(operator(node)))
                self.made += [(line, node, mistake) for mistake in mistakes]
        return True


def once(node: cst.CSTNode, mistakes: list[cst.CSTNode]) -> list[cst.CSTNode]:
    """Without what is certain to be killed: each text once, a declared argument only dropped."""
    if isinstance(node, cst.SimpleString):
        return mistakes[:1]
    if isinstance(node, cst.Call) and m.matches(node.func, m.Name("worked")):
        return [one for one in mistakes if len(one.args) < len(node.args)]  # type: ignore[attr-defined]
    return mistakes


def mutants(group: str, module: str) -> Iterator[Mutant]:
    """All mutants of a module, in the order of its text."""
    path = ROOT / "lint" / GROUPS[group].folder / f"{module}.py"
    wrapper = MetadataWrapper(cst.parse_module(path.read_text(encoding="utf-8")))
    visitor = Mistakes()
    wrapper.visit(visitor)
    tree = wrapper.module
    for number, (line, node, mistake) in enumerate(visitor.made):
        before, after = difference(_shown(tree, node), _shown(tree, mistake))
        yield Mutant(group, module, number, line, before, after, tree, node, mistake)


def _shown(tree: cst.Module, node: cst.CSTNode) -> str:
    return " ".join(tree.code_for_node(node).split())


def difference(before: str, after: str) -> tuple[str, str]:
    """Two texts without most of what they begin and end with alike."""
    start = alike(before, after)
    end = alike(before[start:][::-1], after[start:][::-1])
    start, end = max(start - ALIKE, 0), max(end - ALIKE, 0)
    return before[start : len(before) - end], after[start : len(after) - end]


def alike(before: str, after: str) -> int:
    """How many characters two texts begin with alike."""
    pairs = zip(before, after, strict=False)
    return next(
        (at for at, (old, new) in enumerate(pairs) if old != new), min(len(before), len(after))
    )


def runs(source: str) -> bool:
    """Whether Python takes the text at all."""
    try:
        ast.parse(source)
    except SyntaxError:
        return False
    return True


class Instead:
    """Gives one module's import another text."""

    def __init__(self, name: str, path: Path, source: str) -> None:
        self.name, self.path, self.source = name, path, source

    def find_spec(self, name: str, *_: object) -> ModuleSpec | None:
        return spec_from_loader(name, self, origin=str(self.path)) if name == self.name else None

    def create_module(self, spec: ModuleSpec) -> None:
        return None

    def exec_module(self, module: ModuleType) -> None:
        module.__file__ = str(self.path)
        exec(self.code(), module.__dict__)  # noqa: S102

    def code(self) -> CodeType:
        return compile(self.source, str(self.path), "exec", dont_inherit=True)


def outcome(mutant: Mutant) -> str:
    """What the tests make of it: killed, endless or lived."""
    source = mutant.source
    for tests in GROUPS[mutant.group].rounds(mutant.module):
        status = tried(mutant.group, mutant.module, source, tests)
        if status is None:
            return ENDLESS
        if status:
            return KILLED
    return LIVED


def tried(group: str, module: str, source: str, tests: Sequence[str]) -> int | None:
    """The exit status of these tests in a process of their own, None if they do not end."""
    child = os.fork()
    if child == 0:
        status = 70
        try:
            status = int(_tests_run(group, module, source, tests))
        finally:
            os._exit(status)
    _, ended = os.waitpid(child, 0)
    return None if os.WIFSIGNALED(ended) else os.waitstatus_to_exitcode(ended)


def _tests_run(group: str, module: str, source: str, tests: Sequence[str]) -> int:
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    folder = GROUPS[group].folder
    path = ROOT / "lint" / folder / f"{module}.py"
    sys.meta_path.insert(0, Instead(f"gonogo.{folder}.{module}", path, source))  # type: ignore[arg-type]
    return pytest.main([*OPTIONS, *tests])


def prepare() -> None:
    """Load once what every mutant needs, except gonogo."""
    os.chdir(ROOT)
    hypothesis.settings.register_profile(
        "mutants", max_examples=25, deadline=None, derandomize=True, database=None
    )
    hypothesis.settings.load_profile("mutants")
    for name in LOADED_ONCE:
        importlib.import_module(name)


def sound(groups: Iterable[str]) -> bool:
    """Whether the tests pass without a mistake, so that a failure means something."""
    for group in groups:
        module = GROUPS[group].modules[0]
        source = (ROOT / "lint" / GROUPS[group].folder / f"{module}.py").read_text("utf-8")
        for tests in GROUPS[group].rounds(module):
            if tried(group, module, source, tests) != 0:
                print(f"{' '.join(tests)} does not pass without a mutant", file=sys.stderr)
                return False
    return True


def chosen(names: Sequence[str], sample: int, seed: int) -> list[Mutant]:
    """The mutants that were named, or a sample of each group."""
    kept: list[Mutant] = []
    for group, its in GROUPS.items():
        made = [mutant for module in its.modules for mutant in mutants(group, module)]
        print(f"{group}: {len(made)} mutants", file=sys.stderr)
        if not names or group in names:
            picked = random.Random(seed).sample(
                range(len(made)), min(sample or len(made), len(made))
            )
            kept += [made[place] for place in picked]
        else:
            kept += [one for one in made if one.name in names]
    return [one for one in kept if runs(one.source)]


def main() -> int:
    """Try the mutants; print the score of each group and all that lived."""
    parser = argparse.ArgumentParser(description="How many small mistakes the tests notice.")
    parser.add_argument("names", nargs="*", metavar="GROUP | MUTANT")
    parser.add_argument("--sample", type=int, default=SAMPLE)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--minutes", type=float, default=MINUTES)
    parser.add_argument("--jobs", type=int, default=JOBS)
    told = parser.parse_args()
    prepare()
    tried_ones = chosen(told.names, told.sample, told.seed)
    if not sound({one.group for one in tried_ones}):
        return 1
    over = monotonic() + 60 * told.minutes
    scores: Counter[tuple[str, str]] = Counter()
    with ThreadPoolExecutor(told.jobs) as pool:
        ends = pool.map(lambda mutant: outcome(mutant) if monotonic() < over else LEFT, tried_ones)
        for mutant, end in zip(tried_ones, ends, strict=True):
            scores[mutant.group, end] += 1
            if end == LIVED:
                print(mutant, flush=True)
    if not told.names or GROUPS.keys() & set(told.names):
        print(f"seed {told.seed}, {scores.total()} sampled")
    for group in GROUPS:
        lived, killed, endless = (scores[group, end] for end in (LIVED, KILLED, ENDLESS))
        if total := lived + killed + endless:
            share = 100 * (killed + endless) / total
            print(
                f"{group}: {total} tried, {killed} killed, {endless} endless, {lived} lived: {share:.1f} %"
            )
    return 0


if __name__ == "__main__":
    sys.exit(main())
