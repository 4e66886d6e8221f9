"""A change chosen by pencil: what it makes of the engine, its price, and the limits it breaks."""

from __future__ import annotations

from enginemath.choosing.price_list import price_list
from enginemath.choosing.verdict import keeps_all, verdict
from enginemath.choosing.wishes import WISHES, by_wish, compared
from enginemath.choosing.written import choice_of, of_wanted_clearance, with_target

__all__ = [
    "WISHES",
    "by_wish",
    "choice_of",
    "compared",
    "keeps_all",
    "of_wanted_clearance",
    "price_list",
    "verdict",
    "with_target",
]
