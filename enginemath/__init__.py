"""Volumes and ratios of an engine, from bench measurements.

>>> import enginemath as em
>>> cylinder = em.Cylinder("92.0 mm", "88.5 mm")
>>> print(em.show(cylinder.swept, "cc"))
588.31 cc
"""

from enginemath.bench.measuring import Fill, Repeats, known_depth_crown, poured_volume
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.engine.stack import Stack, mean_ratio, stack_of, stacks
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.formulas.geometry import annulus, disc, frustum, spherical_cap
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
    "clearance_volume",
    "compression_ratio",
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
    "spherical_cap",
    "stack_of",
    "stacks",
    "ureg",
    "write_sheet",
]
