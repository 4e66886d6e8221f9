"""Quantities: one unit registry, and the reading and printing of numbers as a shop writes them."""

from __future__ import annotations

from enginemath.units.printing import (
    fixed,
    percent,
    printable,
    shop_unit,
    show,
    show_ratio,
    unit_text,
)
from enginemath.units.reading import as_quantity, plain_minus, read, read_as
from enginemath.units.registry import (
    CC,
    CC_PER_CUBIC_INCH,
    MM,
    MM3_PER_CC,
    MM_PER_INCH,
    Number,
    Quantity,
    Refused,
    best,
    deviation,
    in_cc,
    in_mm,
    in_plain_words,
    kind,
    magnitude_in,
    magnitude_of,
    nominal,
    require_kind,
    unit_of,
    ureg,
)

__all__ = [
    "CC",
    "CC_PER_CUBIC_INCH",
    "MM",
    "MM3_PER_CC",
    "MM_PER_INCH",
    "Number",
    "Quantity",
    "Refused",
    "as_quantity",
    "best",
    "deviation",
    "fixed",
    "in_cc",
    "in_mm",
    "in_plain_words",
    "kind",
    "magnitude_in",
    "magnitude_of",
    "nominal",
    "percent",
    "plain_minus",
    "printable",
    "read",
    "read_as",
    "require_kind",
    "shop_unit",
    "show",
    "show_ratio",
    "unit_of",
    "unit_text",
    "ureg",
]

Refused.__module__ = __name__  # where users import it from, as a traceback should say
