"""What a lesson's first line imports: trade words, a check, and errors in plain sentences."""

from __future__ import annotations

from typing import Any

import pint

from enginemath import bench_check
from enginemath.bench import (
    Fill,
    Repeats,
    flat_plate_crown,
    known_depth_crown,
    poured_volume,
    what_the_crown_is,
)
from enginemath.buildsheet import Sheet, read_sheet
from enginemath.claims import against_claims
from enginemath.classroom import diagnose
from enginemath.compression import clearance_volume, compression_ratio
from enginemath.datasets import path
from enginemath.geometry import annulus, disc
from enginemath.groupsheet import deck_sides, group_sheet, record
from enginemath.panels import add_it_up
from enginemath.readings import (
    chamber_pours,
    deck_readings,
    fills,
    gauge_readings,
    known_depth_crowns,
)
from enginemath.stack import mean_ratio, stacks
from enginemath.units import Refused, in_plain_words, read, show, show_ratio

__all__ = [
    "Fill",
    "Repeats",
    "add_it_up",
    "against_claims",
    "annulus",
    "chamber_pours",
    "check",
    "check_deck",
    "check_pour",
    "check_squish",
    "clearance_volume",
    "compression_ratio",
    "deck_readings",
    "disc",
    "fills",
    "flat_plate_crown",
    "gauge_readings",
    "givens",
    "group_sheet",
    "known_depth_crown",
    "known_depth_crowns",
    "load_sheet",
    "mean_ratio",
    "poured_volume",
    "read",
    "show",
    "show_ratio",
    "show_record",
    "stacks",
    "what_the_crown_is",
]


def load_sheet(name: str) -> Sheet:
    """Open one of the kit's build sheets by its short name: ``"heron-four"``.

    Raises:
        Refused: no such sheet.

    >>> load_sheet("heron-four").name
    'Heron Four'
    """
    return read_sheet(path(f"{name}.toml"))


def givens(sheet: Sheet) -> None:
    """Print what was read on the bench, as it was written down, and nothing worked out.

    >>> givens(load_sheet("heron-one"))  # doctest: +ELLIPSIS
    Heron One
    cylinder: count 1
    cylinder: bore 58.64 ± 0.01 mm
    ...
    """
    print(sheet.name)
    for table, readings in sheet.written.items():
        if isinstance(readings, dict):
            for name, value in readings.items():
                print(f"{table.replace('_', ' ')}: {name.replace('_', ' ')} {_given(value)}")


def _given(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name} {text}" for name, text in value.items())
    if isinstance(value, list):
        return "; ".join(_given(item) for item in value)
    return str(value)


def show_record(table: str, *, cylinder: int, group: str | None = None) -> None:
    """Print rows of a record sheet, as the class wrote them, and nothing worked out.

    Args:
        table: name of the data file without its ending.
        cylinder: counted from 1.
        group: letter; None for all groups.

    >>> show_record("heron-four-deck", cylinder=2, group="D")
    group  cylinder  side   reading
    D      2         left   0.43 mm
    D      2         right  0.40 mm
    """
    rows = record(table, cylinder=cylinder, group=group)
    lines = [list(rows[0]), *(list(row.values()) for row in rows)]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    for line in lines:
        print("  ".join(map(str.ljust, line, widths)).rstrip())


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


def check_pour(
    engine: str, *, cylinder: int, group: str, volume: Any, method: str = "pours"
) -> None:
    """Say whether the volume of a pour on record is right, and if not, what went wrong.

    Args:
        engine: such as ``"heron-four"``.
        cylinder: counted from 1.
        group: letter.
        volume: the answer.
        method: ``"pours"`` for the chambers, ``"known-depth"`` for the pistons.

    >>> check_pour("heron-four", cylinder=2, group="D", volume="24.55 cc")
    poured volume: not yet. How often was the burette filled? Add up what ran out in every fill.
    """
    question = bench_check.of_pour(fills(engine, cylinder, method)[group])
    print(f"poured volume: {question.verdict(_as_written(volume))}")


def check_deck(engine: str, *, cylinder: int, group: str, clearance: Any) -> None:
    """Say whether the deck clearance from a group's two readings is right, and if not, why.

    >>> check_deck("heron-four", cylinder=2, group="D", clearance="0.43 mm")
    deck clearance: not yet. That is one side of the pin. The piston rocks: use both sides.
    """
    question = bench_check.of_deck(*deck_sides(engine, cylinder=cylinder, group=group))
    print(f"deck clearance: {question.verdict(_as_written(clearance))}")


def check_squish(sheet: Sheet, *, clearance: Any, cylinder: int = 1) -> None:
    """Say whether a squish clearance is right, and if not, what went wrong.

    >>> check_squish(load_sheet("heron-one"), clearance="1.04 mm")
    squish clearance: not yet. How thick is the gasket once the head is bolted down?
    """
    question = bench_check.of_squish(sheet.engine, cylinder)
    print(f"squish clearance: {question.verdict(_as_written(clearance))}")


def _verdict(sheet: Sheet, quantity: str, answer: Any) -> str:
    text = _as_written(answer)
    if not text.strip():
        return "nothing written yet"
    try:
        return diagnose(sheet, quantity, text).says
    except Refused as refusal:
        return str(refusal)


def _as_written(answer: Any) -> str:
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

    def show_sentence(_shell: Any, _kind: Any, error: BaseException, *_: Any, **__: Any) -> None:
        print(say_plainly(error))

    shell.set_custom_exc((Exception,), show_sentence)


_speak_plainly_here()
