"""An options file that holds every field."""

OPTIONS = """\
format = 1

[target]
ratio = [9.8, 10.4]
aim = 10.1
squish = ["0.90 mm", "1.30 mm"]

[limits]
deck_clearance_min = "0.00 mm"

[[gasket]]
name = "thin"
bore = "93.2 mm"
compressed_thickness = "0.70 mm"
price = 38

[[gasket]]
name = "poured"
volume = "6.4 cc"
compressed_thickness = "0.95 mm"
price = 44.5

[deck_cut]
step = "0.05 mm"
max = "0.30 mm"
price = 140

[head_cut]
step = "0.05 mm"
max = "0.40 mm"
cc_per_mm = 4.1
price = 90

[[piston]]
name = "flat top"
dish = "0 cc"
reliefs = "2.8 cc"
compression_height_change = "-0.1 mm"
price = 260

[tolerances]
deck_cut = "0.02 mm"
head_cut = "0.02 mm"
compressed_thickness = "0.02 mm"
"""
