"""Trying every combination: how many are feasible, the best, the trade-off, the nearest misses."""

from __future__ import annotations

from enginemath.change.price_list import Options
from enginemath.change.search.grid import grid_of
from enginemath.change.search.result import SearchResult
from enginemath.change.search.try_few import search_few
from enginemath.engine.parts import Engine
from enginemath.units import Refused

FEW = 10_000
"""Up to here a plain loop is no slower than it takes to import NumPy."""


def search(engine: Engine, options: Options, top: int) -> SearchResult:
    """Try every combination; an interrupt of a long search keeps what was found so far.

    Args:
        engine: as measured.
        options: with the target and the limits.
        top: number of plans, and of nearest misses, to keep.

    Raises:
        Refused: too many combinations where NumPy is missing.
    """
    grid = grid_of(engine, options)
    if options.combinations <= FEW:
        return search_few(grid, options, top)
    try:
        from enginemath.change.search.arrays import arrays_of
        from enginemath.change.search.try_many import search_many
    except ImportError as missing:
        raise Refused(
            f"{options.combinations} combinations are too many here: more than {FEW} are tried "
            "with NumPy, which is missing; make the steps of the cuts wider"
        ) from missing
    return search_many(arrays_of(grid), options, top)
