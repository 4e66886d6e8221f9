"""An eight with two banks, on a sheet of format 2, and a price list that uses every field."""

from __future__ import annotations

SHEET = """\
format = 2
name = "Bay 3 eight"
[[bank]]
name = "left"
cylinders = [1, 3, 5, 7]
[[bank]]
name = "right"
cylinders = [2, 4, 6, 8]
[cylinder]
count = 8
bore = "3.786 ± 0.0005 in"
stroke = "3.480 ± 0.001 in"
rod_length = "5.700 in"
[chamber]
volumes = ["58.9 ± 0.3 cc", "59.6 ± 0.3 cc", "59.1 ± 0.3 cc", "59.5 ± 0.3 cc",
           "58.8 ± 0.3 cc", "59.8 ± 0.3 cc", "59.0 ± 0.3 cc", "59.4 ± 0.3 cc"]
[gasket]
bore = "3.90 in"
compressed_thickness = "0.045 ± 0.001 in"
[deck]
clearances = ["0.024 ± 0.001 in", "0.014 ± 0.001 in", "0.025 ± 0.001 in", "0.015 ± 0.001 in",
              "0.024 ± 0.001 in", "0.016 ± 0.001 in", "0.026 ± 0.001 in", "0.015 ± 0.001 in"]
block_height = "9.025 in"
[piston]
reliefs = "5.0 cc"
"""

OPTIONS = """\
format = 1
[target]
ratio = [9.7, 10.5]
aim = 10.2
squish = ["0.035 in", "0.048 in"]
[limits]
block_height_min = "9.000 in"
head_height_min = "4.480 in"
minimums_from = "shop manual, page 12"
intake_valve_min = "0.080 in"
exhaust_valve_min = "0.100 in"
[heights]
head = "4.520 in"
intake_valve = "0.120 in"
exhaust_valve = "0.135 in"
[[bank]]
name = "right"
head_height = "4.500 in"
[[gasket]]
name = "steel"
bore = "3.90 in"
compressed_thickness = "0.036 in"
price = 128
[[gasket]]
name = "composite"
bore = "3.90 in"
compressed_thickness = "0.041 in"
price = 64
[[gasket]]
name = "copper"
bore = "3.90 in"
compressed_thickness = "0.050 in"
price = 1
stock = 0
[[piston]]
name = "next size"
reliefs = "5.0 cc"
overbore = "0.030 in"
deeper_valve_pockets = "0.010 in"
price = 640
stock = 1
[[rods]]
name = "long"
length = "5.710 in"
price = 480
[[crank]]
name = "stroker"
stroke = "3.500 in"
price = 900
[deck_cut]
step = "0.004 in"
max = "0.020 in"
clean_up = "0.004 in"
price = 260
[head_cut]
step = "0.004 in"
max = "0.012 in"
open_area = "9.4 sq in"
price = 170
[tolerances]
deck_cut = "0.0008 in"
head_cut = "0.001 in"
compressed_thickness = "0.0005 in"
"""
