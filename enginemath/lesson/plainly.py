"""What went wrong in a cell, said in one sentence in place of a traceback."""

from __future__ import annotations

from typing import Any

import pint

from enginemath.units import Refused, in_plain_words


def as_written(answer: Any) -> str:
    if isinstance(answer, str):
        return answer
    if answer is None or answer is ...:
        return ""
    if isinstance(answer, pint.Quantity):
        return f"{answer:~}"
    return repr(answer)


def say_plainly(error: BaseException) -> str:
    """One sentence for a student about what went wrong in a cell.

    >>> say_plainly(NameError("name 'bor' is not defined", name="bor"))
    'bor is not a name that has a value yet: run the cells above, check its spelling, or put \
your answer in quotes'
    >>> say_plainly(SyntaxError("invalid syntax", ("", 1, 15, "my_ratio = 9.26 cc")))
    'line 1 is not written so that the kit can read it: put an answer in quotes, with its unit, \
like "92.0 mm"'
    """
    if isinstance(error, Refused):
        return str(error)
    if isinstance(error, pint.DimensionalityError):
        return in_plain_words(error)
    if isinstance(error, NameError):
        name = error.name or "a word here"
        return (
            f"{name} is not a name that has a value yet: run the cells above, check its "
            "spelling, or put your answer in quotes"
        )
    if isinstance(error, SyntaxError):
        return (
            f"line {error.lineno} is not written so that the kit can read it: put an answer in "
            'quotes, with its unit, like "92.0 mm"'
        )
    return f"this cell could not be worked out ({type(error).__name__}: {error})"


def speak_plainly_here() -> None:
    """Show one sentence in place of a traceback, in a notebook."""
    try:
        from IPython import get_ipython
    except ImportError:
        return
    shell = get_ipython()
    if shell is None:
        return

    def show_sentence(_shell: Any, _kind: Any, error: BaseException, *_: Any, **__: Any) -> None:
        print(say_plainly(error))

    shell.set_custom_exc((Exception,), show_sentence)
