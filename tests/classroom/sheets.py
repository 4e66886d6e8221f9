"""The engine of the school's table of mistakes."""

from __future__ import annotations

from enginemath.buildsheet import Sheet, parse

FULL = """\
format = 1
name = "Table engine"
[cylinder]
count = 4
bore = "92.0 mm"
stroke = "88.5 mm"
rod_length = "145 mm"
[chamber]
fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]
[gasket]
bore = "93.2 mm"
compressed_thickness = "1.10 mm"
free_thickness = "1.35 mm"
[deck]
clearance = "0.35 mm"
[piston]
dish = "6.0 cc"
reliefs = "2.8 cc"
[ring_land]
height = "6.0 mm"
clearance = "0.60 mm"
[cam]
intake_closes = "60 deg"
"""


def full() -> Sheet:
    """The sheet with everything on it."""
    return parse(FULL)
