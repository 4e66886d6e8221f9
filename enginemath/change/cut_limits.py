"""What each cut and height can be; the usual bounds are common practice, no source."""

from __future__ import annotations

from enginemath.engine.limits import Limit

DECK_CUT = Limit("deck cut", "mm", 0, 10, usual=(0, 1))
HEAD_CUT = Limit("head cut", "mm", 0, 20, usual=(0, 2))
OPEN_AREA = Limit("open area at the face", "cm**2", 0, 2000, usual=(5, 300), above_low=True)
CC_PER_MM = (0, 200)
RISE = Limit("compression height change", "mm", -30, 30, usual=(-3, 3))
HEIGHT = Limit("height", "mm", 0, 2000, usual=(50, 600), above_low=True)
MINIMUM = Limit("maker's minimum", "mm", 0, 2000, usual=(50, 600), above_low=True)
WIDTH = Limit("width of the face", "mm", 0, 2000, usual=(50, 600), above_low=True)
FROM_EDGE = Limit("distance from the shallow edge", "mm", 0, 2000)
SQUISH = Limit("squish clearance", "mm", 0, 25, usual=(0.3, 3))
TO_VALVE = Limit("piston to valve", "mm", 0, 50, usual=(1, 8))
