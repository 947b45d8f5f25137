"""What all tests share: expected texts kept in files, and one option that renews them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path

import pytest

Expect = Callable[[str, str], None]
ACCEPT = "--accept"


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
    lines = unified_diff(kept.splitlines(), said.splitlines(), f"{file}, expected", "said", "", "")
    shown = "\n".join(lines) or "only line ends differ"
    return f"{file}\n{shown}\n\n{after}"


@pytest.fixture
def expect(request: pytest.FixtureRequest) -> Expect:
    """Holds a text against a file beside the test."""
    return Expectation(request.path.parent, request.config.getoption(ACCEPT))
