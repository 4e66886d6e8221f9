"""What a table of readings can hold, in the order of the bench."""

from __future__ import annotations

from typing import NamedTuple

from enginemath.engine import limits
from enginemath.engine.limits import Limit


class What(NamedTuple):
    """Something that is read: what it can be, and whether it is poured."""

    limit: Limit
    is_poured: bool = False


WHATS = {
    "bore": What(limits.BORE),
    "stroke": What(limits.STROKE),
    "depth at bdc": What(limits.DEPTH_AT_BDC),
    "rod length": What(limits.ROD_LENGTH),
    "deck clearance": What(limits.DECK_CLEARANCE),
    "chamber": What(limits.CHAMBER, is_poured=True),
    "prechamber": What(limits.PRECHAMBER, is_poured=True),
    "known depth": What(limits.POURED, is_poured=True),
    "gasket bore": What(limits.GASKET_BORE),
    "compressed thickness": What(limits.GASKET_THICKNESS),
    "free thickness": What(limits.GASKET_THICKNESS),
    "dish": What(limits.DISH, is_poured=True),
    "dome": What(limits.DOME, is_poured=True),
    "reliefs": What(limits.RELIEFS, is_poured=True),
    "land height": What(limits.LAND_HEIGHT),
    "land diameter": What(limits.LAND_DIAMETER),
    "block height": What(limits.BLOCK_HEIGHT),
    "compression height": What(limits.COMPRESSION_HEIGHT),
    "pin offset": What(limits.PIN_OFFSET),
    "intake closes": What(limits.INTAKE_CLOSES),
    "exhaust closes": What(limits.EXHAUST_CLOSES),
    "plug hole pour": What(limits.CLEARANCE, is_poured=True),
}
"""By the name in the column `what`."""

READ_ON_EACH = ("bore", "deck clearance", "chamber", "plug hole pour")
"""What is never taken over from another cylinder: it has to be read on every one."""
