"""What a lesson's first line imports: trade words, a check, and errors in plain sentences."""

from __future__ import annotations

from typing import Any

import pint

from enginemath.buildsheet import Sheet, read_sheet
from enginemath.classroom import diagnose
from enginemath.datasets import path
from enginemath.units import Refused, in_plain_words


def load_sheet(name: str) -> Sheet:
    """Open one of the kit's build sheets by its short name: ``"heron-four"``.

    Raises:
        Refused: no such sheet.

    >>> load_sheet("heron-four").name
    'Heron Four'
    """
    return read_sheet(path(f"{name}.toml"))


def check(sheet: Sheet, **answers: Any) -> None:
    """Say of each answer whether it is right, and if not, which mistake it shows.

    Args:
        sheet: the engine that the question is about.
        answers: by quantity, such as ``compression_ratio="9.83"`` or
            ``clearance_volume="66.65 cc"``. An empty answer is asked for.

    >>> check(load_sheet("heron-four"), compression_ratio="")
    compression ratio: nothing written yet
    """
    for quantity, answer in answers.items():
        print(f"{quantity.replace('_', ' ')}: {_verdict(sheet, quantity, answer)}")


def _verdict(sheet: Sheet, quantity: str, answer: Any) -> str:
    text = answer if isinstance(answer, str) else _as_written(answer)
    if not text.strip():
        return "nothing written yet"
    try:
        return diagnose(sheet, quantity, text).says
    except Refused as refusal:
        return str(refusal)


def _as_written(answer: Any) -> str:
    if answer is None or answer is ...:
        return ""
    if isinstance(answer, pint.Quantity):
        return f"{answer:~}"
    return repr(answer)


def say_plainly(error: BaseException) -> str:
    """One sentence for a student about what went wrong in a cell.

    >>> say_plainly(NameError("name 'bor' is not defined", name="bor"))
    "bor is not a name that has a value yet: run the cells above, check its spelling, or put \
your answer in quotes"
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
    return f"this cell could not be worked out ({type(error).__name__}: {error})"


def _speak_plainly_here() -> None:
    """In a notebook, show one sentence in place of a traceback."""
    try:
        from IPython import get_ipython
    except ImportError:
        return
    shell = get_ipython()
    if shell is None:
        return

    def show_sentence(shell: Any, kind: Any, error: BaseException, trace: Any, **_: Any) -> None:
        print(say_plainly(error))

    shell.set_custom_exc((Exception,), show_sentence)


_speak_plainly_here()
