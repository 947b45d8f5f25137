"""Work shared out over processes, where there is enough of it to pay for them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TypeVar

from ..judgement.catalogue import catalogue

Item = TypeVar("Item")
Answer = TypeVar("Answer")


def shared_out(
    items: Sequence[Item],
    work: Callable[[Sequence[Item]], list[Answer]],
    jobs: int,
    worth_a_process: int,
) -> list[Answer]:
    """What each item comes to, in their order, by as many processes as pay for themselves.

    A process takes longer to start than fewer than `worth_a_process` items take.
    """
    workers = min(jobs, len(items) // worth_a_process)
    if workers < 2:
        return work(items)
    from concurrent.futures import ProcessPoolExecutor

    catalogue()  # once, before the processes part
    ends = [len(items) * number // workers for number in range(workers + 1)]
    with ProcessPoolExecutor(workers) as pool:
        waiting = [pool.submit(work, items[start:end]) for start, end in pairwise(ends)]
        return [answer for stretch in waiting for answer in stretch.result()]
