"""What no engine has, seen only where its parts stand together."""

from __future__ import annotations

import pint

from enginemath.engine import limits
from enginemath.engine.limits import said
from enginemath.engine.parts import Engine, Gasket
from enginemath.engine.stack import stacks
from enginemath.units import Refused, in_mm, nominal, show_ratio

SMALLEST_OPENING = 0.5
"""Of a gasket, as a share of the bore; a smaller one is no gasket of this engine. Common practice,
no source."""


def refuse_small_opening(gasket: Gasket, bore: pint.Quantity) -> None:
    """Refuse a gasket that no engine of this bore can have.

    Args:
        gasket: on the sheet, or one that could be fitted.
        bore: of the cylinder, a length.

    Raises:
        Refused: its opening is under half of the bore.

    >>> from enginemath.units import Quantity
    >>> refuse_small_opening(Gasket("1.60 in", "1.1 mm"), Quantity(92.0, "mm"))
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: 1.6 in, under half of the bore 92 mm: such a gasket would close the \
cylinder; measure both again
    """
    opening = gasket.bore
    if opening is not None and in_mm(opening) < SMALLEST_OPENING * in_mm(bore):
        raise Refused(
            f"{said(opening)}, under half of the bore {said(bore)}: such a gasket "
            "would close the cylinder; measure both again",
            field="gasket.bore",
        )


def refuse_what_cannot_be(engine: Engine) -> None:
    """Refuse an engine whose parts do not go together.

    Args:
        engine: its parts.

    Raises:
        Refused: a stack that cannot be (`stack.stack_of`), a gasket's opening under half of the
            bore, a rod shorter than the stroke, or a ratio above the kit's highest; names the
            field.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> parse(EXAMPLE.replace('bore = "93.2 mm"', 'bore = "1.60 in"'))
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: line 11: gasket.bore: 1.6 in, under half of the \
bore 92 mm: such a gasket would close the cylinder; measure both again
    """
    for gasket, cylinder in zip(engine.gaskets, engine.cylinders, strict=True):
        refuse_small_opening(gasket, cylinder.bore)
    for cylinder in engine.cylinders:
        rod, stroke = cylinder.rod_length, cylinder.stroke
        if rod is not None and in_mm(rod) < in_mm(stroke):
            raise Refused(
                f"{said(rod)}, shorter than the stroke {said(stroke)}: no crank turns on such a "
                "rod; measure it between the centres of its two holes",
                field="cylinder.rod_length",
            )
    for number, stack in enumerate(stacks(engine), start=1):
        if nominal(stack.ratio) > limits.HIGHEST_RATIO:
            raise Refused(
                f"cylinder {number}: a compression ratio of {show_ratio(nominal(stack.ratio))}, "
                f"above {limits.HIGHEST_RATIO:g}, the highest that this kit takes for an "
                "engine's: check every volume and its unit",
                field="chamber",
            )
