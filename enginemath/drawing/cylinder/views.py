"""The plain numbers that a drawing takes, from an engine."""

from __future__ import annotations

from enginemath.drawing.cylinder.section import SectionView
from enginemath.drawing.cylinder.volume_blocks import StackView
from enginemath.engine.parts import Engine
from enginemath.engine.stack import Stack
from enginemath.formulas.compression import height_of
from enginemath.units import in_cc, in_mm


def section_view(engine: Engine, angle: float = 0.0) -> SectionView:
    """The first cylinder of an engine for the section; angle in degrees after TDC."""
    cylinder, gasket, piston, land = (
        engine.cylinder,
        engine.gasket,
        engine.piston,
        engine.ring_land,
    )
    opening = gasket.bore if gasket.bore is not None else cylinder.bore
    thickness = gasket.compressed_thickness
    if thickness is None:
        thickness = height_of(gasket.volume, opening)
    return SectionView(
        bore=in_mm(cylinder.bore),
        stroke=in_mm(cylinder.stroke),
        chamber=in_cc(engine.chambers[0].volume),
        gasket_bore=in_mm(opening),
        gasket_thickness=in_mm(thickness),
        deck_clearance=in_mm(engine.decks[0].clearance),
        dish=in_cc(piston.net_dish),
        reliefs=in_cc(piston.reliefs),
        land_height=in_mm(land.height) if land else None,
        land_clearance=in_mm(land.clearance) if land else None,
        rod_length=None if cylinder.rod_length is None else in_mm(cylinder.rod_length),
        pin_offset=in_mm(cylinder.pin_offset),
        angle=angle,
        gasket_poured=None if gasket.poured is None else in_cc(gasket.volume),
    )


def stack_view(stack: Stack, engine: Engine) -> StackView:
    """The volumes of a cylinder for the column of blocks."""
    piston = engine.piston
    return StackView(
        swept=in_cc(stack.swept),
        chamber=in_cc(stack.chamber),
        gasket=in_cc(stack.gasket),
        deck=in_cc(stack.deck),
        dish=in_cc(piston.net_dish),
        reliefs=in_cc(piston.reliefs),
        crevice=in_cc(stack.crevice),
    )
