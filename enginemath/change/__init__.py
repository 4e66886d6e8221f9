"""What is changed on an engine so that it suits its fuel: cuts, fitted parts, the plan, the order.

Each change gives a new engine, so that volumes, squish, deck clearance and ratio follow. A change
that would stand a piston into the head is refused. Whether a cut is wise is for the maker's
minimum and a qualified machine shop to decide.
"""

from enginemath.change.changed import effect
from enginemath.change.cuts import (
    AngleCut,
    cut_deck,
    cut_head,
    cut_head_at_angle,
    metal_left,
    open_area_of,
)
from enginemath.change.fitting import (
    bore_out,
    change_stroke,
    fit_gasket,
    fit_piston,
    fit_rods,
)
from enginemath.change.plan_report import plan_report, plan_text
from enginemath.change.price_list import Options
from enginemath.change.price_list_file import parse_options, read_options
from enginemath.formulas.vee import intake_face_cut, manifold_drop

__all__ = [
    "AngleCut",
    "Options",
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
    "parse_options",
    "plan_report",
    "plan_text",
    "read_options",
]
