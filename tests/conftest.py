"""What all tests share: expected texts in files, renewed with one option, and a frozen catalogue."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from difflib import unified_diff
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest
from gonogo.comparison import consequence
from gonogo.judgement.catalogue import Catalogue, catalogue
from hypothesis import settings
from ruamel.yaml import YAML

# A busy machine is no failure; how long things take is measured in tests/benchmark.
settings.register_profile("gonogo", deadline=None)
settings.load_profile("gonogo")


# Every result is worked out, and nothing is left in the home of whoever runs the tests.
os.environ["GONOGO_STORE"] = "off"

Expect = Callable[[str, str], None]
ACCEPT = "--accept"
FROZEN = Path(__file__).parent / "catalogue"
RULES = "gonogo.rules"
READERS = (
    "gonogo.judgement.",
    "gonogo.rehearsal.",
    "gonogo.tolerances.",
    "gonogo.suspicion.",
    "gonogo.comparison.",
    "gonogo.reports.",
    "gonogo.commands.",
)


def pytest_addoption(parser: pytest.Parser) -> None:
    """`pytest --accept` writes what was said; the difference is then read before the commit."""
    parser.addoption(ACCEPT, action="store_true", help="renew the expected texts of all tests run")


@dataclass(frozen=True)
class Expectation:
    """What is expected stands in files of a folder: `expect("screens/go.txt", said)`."""

    folder: Path
    accept: bool

    def __call__(self, file: str, said: str) -> None:
        """Fail with the difference, line by line, or renew the file if that was asked for."""
        path = self.folder / file
        kept = path.read_bytes().decode("utf-8") if path.exists() else None
        if kept == said:
            return
        if self.accept:
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(said.encode("utf-8"))
            return
        pytest.fail(difference(file, kept, said), pytrace=False)


def difference(file: str, kept: str | None, said: str) -> str:
    """What is missing and what is new, and how to accept it."""
    after = f"Run the test with {ACCEPT} if this is as it should be."
    if kept is None:
        return f"{file} is not there; this was said:\n{said}\n{after}"
    lines = unified_diff(kept.splitlines(), said.splitlines(), "expected", "said", lineterm="")
    shown = "\n".join(lines) or "only line ends differ"
    return f"{file}\n{shown}\n\n{after}"


@pytest.fixture
def expect(request: pytest.FixtureRequest) -> Expect:
    """Holds a text against a file beside the test."""
    return Expectation(request.path.parent, request.config.getoption(ACCEPT))


@pytest.fixture(scope="module")
def frozen() -> Iterator[Catalogue]:
    """A test module judged by `tests/catalogue`, which no new rule, follow-up or quantity changes.

    `pytestmark = pytest.mark.usefixtures("frozen")`; what comes with gonogo is back after it.
    """
    known = set(YAML(typ="safe").load(FROZEN / "quantities.yaml"))
    assert known <= consequence.WORKED.keys()
    told = {name: specs for name, specs in consequence.WORKED.items() if name in known}
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(sys.modules, RULES, package(RULES, FROZEN / "rules"))
        patch.setattr(consequence, "WORKED", told)
        _forget()
        yield catalogue()
    _forget()


def package(name: str, folder: Path) -> ModuleType:
    """A folder as a package of that name, for whoever reads files from it."""
    spec = spec_from_file_location(name, folder / "__init__.py")
    assert spec is not None
    return module_from_spec(spec)


def _forget() -> None:
    """Whatever the modules that read rules have kept of them."""
    for name, module in list(sys.modules.items()):
        if name.startswith(READERS):
            for kept in vars(module).values():
                if hasattr(kept, "cache_clear"):
                    kept.cache_clear()
