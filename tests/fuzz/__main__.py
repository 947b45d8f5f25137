"""`python -m tests.fuzz --minutes 60`: try input by chance for that long, and print what broke."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from .campaign import KINDS, campaign


def main() -> int:
    """Ends with 1 where a promise was broken."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--minutes", type=float, default=1.0, help="how long to try")
    parser.add_argument("--seed", type=int, default=1, help="where chance begins")
    parser.add_argument(
        "--only", default=",".join(KINDS), help="kinds of input, with commas between"
    )
    parser.add_argument("--keep", type=Path, help="a folder for what broke something, made smaller")
    options = parser.parse_args()
    kinds = options.only.split(",")
    if unknown := set(kinds) - set(KINDS):
        parser.error(f"no such kind: {', '.join(sorted(unknown))}; there are {', '.join(KINDS)}")
    if options.keep is not None:
        options.keep.mkdir(parents=True, exist_ok=True)
    end = time.monotonic() + 60 * options.minutes
    tally = campaign(kinds, options.seed, lambda _: time.monotonic() > end, options.keep)
    print("\n".join(tally.lines()))
    return 1 if tally.broken else 0


if __name__ == "__main__":
    sys.exit(main())
