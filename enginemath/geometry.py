"""Where worksheets that were handed out before look for the geometry: see `formulas.geometry`."""

from enginemath.formulas.geometry import *  # noqa: F403
from enginemath.formulas.geometry import π  # noqa: F401
