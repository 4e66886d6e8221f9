"""Many hands: the same work for every student, on every core where that pays.

No hand imports anything from the folder the kit is run in, none outlives the kit, and one who is
told to stop stops at once.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

ENOUGH = 40
"""Tasks from which on a second process is worth its start."""
_MOST = 4
_SAFE = "PYTHONSAFEPATH"
"""Tells Python to leave the current folder out of the places it imports from."""


def for_each(work: Callable[[Task], Result], tasks: Sequence[Task]) -> list[Result]:
    """The results of `work` for every task, in order.

    Args:
        work: a function of a module, or a `partial` of one; it has no effect but its result.
    """
    workers = min(os.cpu_count() or 1, _MOST) if _can_be_safe() else 1
    if len(tasks) >= ENOUGH and workers > 1:
        try:
            from concurrent.futures import ProcessPoolExecutor
            from concurrent.futures.process import BrokenProcessPool
        except ImportError:  # a browser's own Python has no processes
            return [work(task) for task in tasks]
        try:
            with _safe_path(), _stopped_with_us():
                pool = ProcessPoolExecutor(workers, initializer=_begin)
                try:
                    size = max(1, len(tasks) // (8 * workers))
                    with _ctrl_c_waits():
                        coming = pool.map(work, tasks, chunksize=size)
                    results = list(coming)
                except BaseException:
                    pool.shutdown(wait=False, cancel_futures=True)
                    raise
                pool.shutdown()
                return results
        except (OSError, NotImplementedError, BrokenProcessPool):
            pass  # no room for more processes: one does it all
    return [work(task) for task in tasks]


def _can_be_safe() -> bool:
    """Whether a process that we start heeds what we say about its path."""
    return bool(sys.flags.safe_path or not sys.flags.ignore_environment)


@contextmanager
def _safe_path() -> Iterator[None]:
    """Start every process without the current folder among the places it imports from."""
    before = os.environ.get(_SAFE)
    os.environ[_SAFE] = "1"
    try:
        yield
    finally:
        if before is None:
            del os.environ[_SAFE]
        else:
            os.environ[_SAFE] = before


@contextmanager
def _stopped_with_us() -> Iterator[None]:
    """Stop the hands at once where we are stopped ourselves."""
    import multiprocessing

    before = set(multiprocessing.active_children())
    try:
        yield
    except BaseException:
        for child in set(multiprocessing.active_children()) - before:
            child.terminate()
        raise


@contextmanager
def _ctrl_c_waits() -> Iterator[None]:
    """Let Ctrl-C wait while hands are started: theirs is not the time to heed it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT])
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin() -> None:
    """A hand leaves Ctrl-C to us, and ends when we are gone, however we went."""
    import multiprocessing

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: Any) -> None:
    parent.join()
    os._exit(1)
