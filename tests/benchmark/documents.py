"""How long hostile documents of up to 1 MiB take, against reading a plain list of as many bytes.

    .venv/bin/python tests/benchmark/documents.py

The floor is the parser alone: all events of a list of numbers of 20,000 values, the most that a
document may hold, in the same run. It asserts nothing; `tests/attacks/test_slow_documents.py` does.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

from gonogo.documents.document import try_document
from ruamel.yaml.cyaml import CParser  # type: ignore[attr-defined]
from ruamel.yaml.events import StreamEndEvent

sys.path.insert(0, str(Path(__file__).parents[2]))
from tests.attacks.slow_documents import DOCUMENTS, WARM

TIMES = 3
PLAIN = "k:\n" + "".join(f"  - {number:046d}\n" for number in range(20_000))


class Tree(NamedTuple):
    """One file in memory."""

    data: bytes
    prefix: str = ""

    def read(self, path: str) -> bytes:
        return self.data


def parsed() -> None:
    """The floor: what any reader of YAML does."""
    parser = CParser(PLAIN)
    while type(parser.get_event()) is not StreamEndEvent:
        pass


def least(call: Callable[[], object]) -> float:
    """Seconds of the quickest of some calls."""
    seconds = []
    for _ in range(TIMES):
        start = perf_counter()
        call()
        seconds.append(perf_counter() - start)
    return min(seconds)


def main() -> None:
    """Print each document's time as a multiple of the floor's, the slowest first."""
    for text in WARM:
        try_document(Tree(text.encode()), "alder.yaml")  # type: ignore[arg-type]
    floor = least(parsed)
    print(f"floor: {len(PLAIN) / 2**20:.2f} MiB of plain YAML parsed in {floor:.3f} s")
    ratios = {}
    for name, made in DOCUMENTS.items():
        tree = Tree(made().encode())
        ratios[name] = least(lambda tree=tree: try_document(tree, "alder.yaml")) / floor  # type: ignore[misc]
    for name, ratio in sorted(ratios.items(), key=lambda one: -one[1]):
        print(f"{ratio:6.1f} × floor  {name}")


if __name__ == "__main__":
    main()
