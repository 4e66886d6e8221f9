"""Work on one paper inside a fence: whatever happens in there holds up nobody else."""

from __future__ import annotations

import contextlib
import signal
import threading
from collections.abc import Callable, Iterator
from typing import TypeVar

from enginemath.classroom.from_outside import clean
from enginemath.units import Refused

Result = TypeVar("Result")

MOST_SECONDS = 1.5
"""Of work for one paper; a plain one takes a hundredth of it."""


def fenced(work: Callable[[], Result]) -> Result:
    """The result of some work, or a refusal for whatever it raises.

    Raises:
        Refused: it refused, it took too long, there was no room, or the kit itself has a fault.

    >>> fenced(lambda: 1 // 0)
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: the kit fails on it (ZeroDivisionError: integer division or \
modulo by zero); mark it by hand, and tell those who keep the kit
    """
    try:
        with _in_time():
            return work()
    except Refused:
        raise
    except _TooLongError:
        raise Refused("takes too long to be read or marked; mark it by hand") from None
    except MemoryError:
        raise Refused("takes too much memory; mark it by hand") from None
    except RecursionError:
        raise Refused("nested too deep to be read; mark it by hand") from None
    except Exception as error:
        said = clean(f"{type(error).__name__}: {error}", 200)
        raise Refused(
            f"the kit fails on it ({said}); mark it by hand, and tell those who keep the kit"
        ) from None


class _TooLongError(BaseException):
    """Time is over; no `except Exception` on the way swallows it."""


@contextlib.contextmanager
def _in_time() -> Iterator[None]:
    """Break off after `MOST_SECONDS` of the processor's time, where the system can."""
    here = threading.current_thread() is threading.main_thread()
    if not here or not hasattr(signal, "ITIMER_VIRTUAL"):
        yield
        return

    def stop(*_: object) -> None:
        raise _TooLongError

    before = signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, MOST_SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)
