"""The `gonogo` command, `python -m gonogo` too: what a process does before it answers, and after."""

from __future__ import annotations

import gc

# Hardly anything here refers to itself in a circle; looking for it all the time costs a tenth.
COLLECT_AFTER = 150_000


def main() -> None:
    """Answer the command line and leave with the answer's status.

    Nothing is looked through for what is no longer needed while all is being read in, nor at the
    end, when all goes at once.
    """
    gc.set_threshold(COLLECT_AFTER, 20, 50)
    from .commands.main import main as answer

    try:
        answer()
    finally:
        gc.freeze()


if __name__ == "__main__":
    main()
