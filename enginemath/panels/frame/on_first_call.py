"""What is read from its file when it is first called: of the kit's rooms a lesson uses few."""

from __future__ import annotations

import builtins
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib import import_module
from inspect import Signature, signature
from types import ModuleType
from typing import Any


class OnFirstCall:
    """A function, or a class, that is still in its file.

    Args:
        file: the module that holds it.
        name: its name there.

    >>> fixed = OnFirstCall("enginemath.units", "fixed")
    >>> fixed(8.6824, 2)
    '8.68'
    """

    def __init__(self, file: str, name: str):
        self.__module__, self.__name__, self.__qualname__ = file, name, name

    def from_file(self) -> Any:
        """The function itself; its file is read at the first time."""
        if "__wrapped__" not in vars(self):
            self.__wrapped__ = getattr(import_module(self.__module__), self.__name__)
        return self.__wrapped__

    @property
    def __doc__(self) -> str | None:  # type: ignore[override]
        return str(self.from_file().__doc__)

    @property
    def __signature__(self) -> Signature:
        return signature(self.from_file())

    def __call__(self, *given: Any, **named: Any) -> Any:
        """What the function gives."""
        return self.from_file()(*given, **named)

    def __instancecheck__(self, thing: object) -> bool:
        return isinstance(thing, self.from_file())

    def __repr__(self) -> str:
        return f"<function {self.__qualname__}>"


@contextmanager
def on_first_call() -> Iterator[None]:
    """Within, `from file import function` reads no file: the function does, when it is called.

    It holds for the importing file alone, and not for what other threads import meanwhile.

    >>> with on_first_call():
    ...     from enginemath.units import fixed
    >>> fixed, fixed(8.6824, 2)
    (<function fixed>, '8.68')
    """
    here = sys._getframe(2).f_globals
    import_now = builtins.__import__

    def import_later(
        name: str,
        globals: Mapping[str, object] | None = None,
        locals: Mapping[str, object] | None = None,
        fromlist: Sequence[str] | None = (),
        level: int = 0,
    ) -> Any:
        if globals is here and fromlist and not level:
            return _File(name)
        return import_now(name, globals, locals, fromlist, level)

    builtins.__import__ = import_later
    try:
        yield
    finally:
        builtins.__import__ = import_now


def read_all(room: ModuleType) -> None:
    """Read now what a room has left for a first call, before a hand waits for it."""
    for each in list(vars(room).values()):  # a file that is read adds its name
        if isinstance(each, OnFirstCall):
            each.from_file()


class _File:
    """A file that is not read yet."""

    def __init__(self, file: str):
        self._file = file

    def __getattr__(self, name: str) -> OnFirstCall:
        return OnFirstCall(self._file, name)
