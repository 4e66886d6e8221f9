"""Many hands: the same work for every student, on every core where that pays."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

ENOUGH = 40
"""Tasks from which on a second process is worth its start."""
_MOST = 4


def for_each(work: Callable[[Task], Result], tasks: Sequence[Task]) -> list[Result]:
    """The results of `work` for every task, in order.

    Args:
        work: a function of a module, or a `partial` of one; it has no effect but its result.
    """
    workers = min(os.cpu_count() or 1, _MOST)
    if len(tasks) >= ENOUGH and workers > 1:
        try:
            from concurrent.futures import ProcessPoolExecutor
            from concurrent.futures.process import BrokenProcessPool
        except ImportError:  # a browser's own Python has no processes
            return [work(task) for task in tasks]
        try:
            with ProcessPoolExecutor(workers) as pool:
                return list(pool.map(work, tasks, chunksize=max(1, len(tasks) // (8 * workers))))
        except (OSError, NotImplementedError, BrokenProcessPool):
            pass  # no room for more processes: one does it all
    return [work(task) for task in tasks]
