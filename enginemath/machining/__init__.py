"""What the machine shop does to an engine: cuts, and other gaskets, pistons, rods and strokes.

Each change gives a new engine, so that volumes, squish, deck clearance and ratio follow. A change
that would stand a piston into the head is refused. Whether a cut is wise is for the maker's
minimum and a qualified machine shop to decide.
"""

from enginemath.machining.cuts import (
    AngleCut,
    cut_deck,
    cut_head,
    cut_head_at_angle,
    open_area_of,
)
from enginemath.machining.effect import effect
from enginemath.machining.fitting import (
    bore_out,
    change_stroke,
    fit_gasket,
    fit_piston,
    fit_rods,
)
from enginemath.machining.metal import metal_left
from enginemath.machining.vee import intake_face_cut, manifold_drop

__all__ = [
    "AngleCut",
    "bore_out",
    "change_stroke",
    "cut_deck",
    "cut_head",
    "cut_head_at_angle",
    "effect",
    "fit_gasket",
    "fit_piston",
    "fit_rods",
    "intake_face_cut",
    "manifold_drop",
    "metal_left",
    "open_area_of",
]
