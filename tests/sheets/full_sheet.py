"""A sheet with every table, and a way to change it."""

from __future__ import annotations

# An invented engine: swept 588.3135 cc, clearance 66.6496 cc, ratio 9.8270 (derived by hand).
FULL = """\
format = 1
name = "Bench engine, bay 3"
[cylinder]
count = 4
bore = "92.0 mm"
stroke = "88.5 mm"
rod_length = "145 mm"
pin_offset = "0 mm"
[chamber]
volume = "47.5 cc"
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
[site]
altitude = "1200 m"
[fuel]
antiknock_index = 87
"""


def changed(*changes: tuple[str, str], text: str = FULL) -> str:
    """The sheet with each first text, which must stand there once, exchanged for the second."""
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text
