"""Volumes and ratios of an engine, from bench measurements.

>>> import enginemath as em
>>> cylinder = em.Cylinder("92.0 mm", "88.5 mm")
>>> print(em.show(cylinder.swept, "cc"))
588.31 cc
"""

import os as _os
import sys as _sys

if (
    _sys.argv[:1] == ["-m"]
    and not _sys.flags.safe_path
    and _os.path.realpath(_sys.path[0]) != _os.path.dirname(_os.path.dirname(__file__))
):
    # `python -m enginemath` would import from the folder it is run in, perhaps a student's.
    del _sys.path[0]

from enginemath.bench.measuring import Fill, Repeats, known_depth_crown, poured_volume
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.engine.stack import Stack, mean_ratio, stack_of, stacks
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import annulus, cos, disc, frustum, sin, spherical_cap
from enginemath.sheets import Sheet, read_sheet, sheet_of, write_sheet
from enginemath.units import Quantity, Refused, read, show, show_ratio, ureg

__all__ = [
    "Chamber",
    "Cylinder",
    "Deck",
    "Engine",
    "Fill",
    "Gasket",
    "Piston",
    "Quantity",
    "Refused",
    "Repeats",
    "RingLand",
    "Sheet",
    "Stack",
    "annulus",
    "check_own_readings",
    "check_sheet",
    "clearance_volume",
    "compression_ratio",
    "cos",
    "disc",
    "frustum",
    "known_depth_crown",
    "mean_ratio",
    "poured_volume",
    "read",
    "read_sheet",
    "sheet_of",
    "show",
    "show_ratio",
    "sin",
    "spherical_cap",
    "stack_of",
    "stacks",
    "ureg",
    "write_sheet",
]


def check_sheet(sheet: str, target: float | None = None, **answers: object) -> None:
    """Say of each answer on a worksheet whether it is right, and if not, which mistake it shows.

    Args:
        sheet: the text of the build sheet with the engine's readings.
        target: ratio to reach, where the worksheet has one.
        answers: what was written for each step, such as ``gasket_volume="7.50 cc"``. What follows
            from an earlier slip is told from a slip of its own.

    >>> from enginemath.sheets import EXAMPLE
    >>> check_sheet(EXAMPLE, gasket_volume="9.21 cc", clearance_volume="67.84 cc", deck_volume="")
    gasket volume: not yet. How thick is the gasket once the head is bolted down?
    clearance volume: right from your own numbers. Your method is right here. The number rests on \
your gasket volume: mend that first.
    deck volume: nothing written yet
    """
    from enginemath.lesson.checking import check_sheet as check

    check(sheet, target, **answers)


def check_own_readings(bench: str, **written: object) -> None:
    """Say of each answer whether it is right from the readings that a student took.

    Args:
        bench: what is read of the engine in the bay, as a class set's sheet holds it.
        written: readings and answers, such as ``read_bore="88.34 mm"`` and
            ``swept_volume="525.3 cc"``. Only what the readings give counts as right.

    Raises:
        Refused: `bench` is no such text.
    """
    from enginemath.lesson.checking import check_own_readings as check

    check(bench, **written)
