"""What in the options was perhaps written in a wrong unit: sentences for the shop, no refusals."""

from __future__ import annotations

from collections.abc import Iterator

import pint

from enginemath.change.cut_limits import DECK_CUT, HEAD_CUT, RISE, SQUISH
from enginemath.change.price_list import GasketOption, Options, PistonOption
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Engine
from enginemath.engine.unusual import of_hanging_in
from enginemath.formulas.geometry import disc_area
from enginemath.units import (
    MM3_PER_CC,
    Quantity,
    best,
    in_mm,
    nominal,
    printable,
    shop_unit,
    show,
    unit_text,
)

OPEN_AREA_SHARE = (0.1, 1.2)
"""The chamber's opening at the head's face, against the bore's area: common practice, no source."""
_LIKELY_SHARE = (0.3, 1.1)


def option_warnings(engine: Engine, options: Options) -> Iterator[str]:
    """Say which options cannot well be meant as they are written, with what was perhaps meant.

    Args:
        engine: as measured.
        options: what could be done to it.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> from enginemath.change.price_list_file import parse_options
    >>> text = 'format = 1\\ntarget = { ratio = [9, 10], squish = ["0.035 mm", "0.045 mm"] }'
    >>> next(option_warnings(parse(EXAMPLE).engine, parse_options(text)))
    'squish clearance 0.035 mm is unusual (0.3 to 3 mm): did you mean 0.035 in?'
    """
    yield from _squish(options)
    yield from _meant_otherwise("", limits.DECK_CLEARANCE, options.deck_clearance_min)
    for gasket in options.gaskets:
        yield from _gasket(engine, gasket)
    for piston in options.pistons:
        yield from _piston(piston)
    for cut, limit in ((options.deck_cut, DECK_CUT), (options.head_cut, HEAD_CUT)):
        if cut and shop_unit(cut.largest) == "in":
            yield from _meant_otherwise("", limit, cut.largest)
    if options.head_cut:
        yield from _open_area(engine, options.head_cut.open_area)


def _squish(options: Options) -> Iterator[str]:
    """A range counts as a slip where no usual squish lies in it."""
    if options.target.squish is None or SQUISH.usual is None:
        return
    tight, wide = options.target.squish
    if in_mm(wide) < SQUISH.usual[0] or in_mm(tight) > SQUISH.usual[1]:
        yield from filter(None, (SQUISH.warning(tight), SQUISH.warning(wide)))


def _gasket(engine: Engine, option: GasketOption) -> Iterator[str]:
    gasket, what = option.gasket, f'gasket "{printable(option.name)}": '
    if gasket is None:
        return
    yield from _meant_otherwise(what, limits.GASKET_BORE, gasket.bore)
    yield from _meant_otherwise(what, limits.GASKET_THICKNESS, gasket.compressed_thickness)
    yield from _meant_otherwise(what, limits.GASKET_VOLUME, gasket.poured)
    for warning in of_hanging_in(gasket, engine.cylinder.bore):
        yield f"{what}{warning}"


def _piston(option: PistonOption) -> Iterator[str]:
    what, piston = f'piston "{printable(option.name)}": ', option.piston
    yield from _meant_otherwise(what, RISE, option.rise)
    if piston:
        yield from _meant_otherwise(what, limits.DISH, piston.dish)
        yield from _meant_otherwise(what, limits.DOME, piston.dome)
        yield from _meant_otherwise(what, limits.RELIEFS, piston.reliefs)


def _meant_otherwise(what: str, limit: Limit, value: pint.Quantity | None) -> Iterator[str]:
    """Only where another unit makes it usual: what is merely unusual may be meant."""
    warning = None if value is None else limit.warning(value)
    if warning and "did you mean" in warning:
        yield f"{what}{warning}"


def _open_area(engine: Engine, area: pint.Quantity) -> Iterator[str]:
    bore = disc_area(best(engine.cylinder.bore))
    share = (area / bore).m_as("")
    low, high = OPEN_AREA_SHARE
    if low <= share <= high:
        return
    than = "less than a tenth of" if share < low else "larger than"
    meant = next((each for each in _readings(area) if _likely(each, bore)), None)
    ask = f"did you mean {_area(meant)}?" if meant is not None else "measure it again"
    yield f"head cut: an open area of {_area(area)} is {than} the bore's {show(bore, 'cm2')}: {ask}"


def _readings(area: pint.Quantity) -> Iterator[pint.Quantity]:
    """The same number in another unit, or with its point elsewhere; the likeliest first."""
    yield Quantity(area.magnitude, "cm**2")
    for shift in (0.1, 10, 0.01, 100):
        yield Quantity(area.magnitude * shift, area.units)
    yield Quantity(area.magnitude, "inch**2")


def _likely(area: pint.Quantity, bore: pint.Quantity) -> bool:
    low, high = _LIKELY_SHARE
    return low <= (area / bore).m_as("") <= high


def _area(area: pint.Quantity) -> str:
    cc_per_mm = area.m_as("mm**2") / MM3_PER_CC
    return f"{nominal(area.magnitude):.4g} {unit_text(area.units)} ({cc_per_mm:.3g} cc per mm)"
