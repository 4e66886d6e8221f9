"""The engine of the school's table of mistakes."""

from __future__ import annotations

from enginemath.sheets import EXAMPLE, Sheet, parse

FULL = (
    EXAMPLE
    + """\
[ring_land]
height = "6.0 mm"
clearance = "0.60 mm"
[cam]
intake_closes = "60 deg"
"""
)


def full() -> Sheet:
    """The sheet with everything on it."""
    return parse(FULL)
