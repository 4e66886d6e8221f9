"""Invented engines from a 50 cc single to a 16-litre diesel, as the drawings take them."""

from __future__ import annotations

from hypothesis import strategies as st

from enginemath.drawing.cylinder.section import SectionView
from enginemath.drawing.cylinder.volume_blocks import StackView
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.formulas.geometry import annulus, disc
from enginemath.units import Quantity

HERON = SectionView(
    bore=92.0, stroke=88.5, chamber=47.5, gasket_bore=93.2, gasket_thickness=1.10,
    deck_clearance=0.35, dish=6.0, reliefs=2.8, land_height=6.0, land_clearance=0.60,
    rod_length=145.0, angle=60.0,
)  # fmt: skip
"""The trade notes' invented engine."""


def volumes(view: SectionView) -> StackView:
    """The volumes of a drawn engine, cc."""
    crevice = 0.0
    if view.land_height and view.land_clearance:
        crevice = annulus(view.bore, view.bore - view.land_clearance, view.land_height) / 1000
    return StackView(
        swept=disc(view.bore, view.stroke) / 1000,
        chamber=view.chamber,
        gasket=disc(view.gasket_bore, view.gasket_thickness) / 1000,
        deck=disc(view.bore, view.deck_clearance) / 1000,
        dish=view.dish,
        reliefs=view.reliefs,
        crevice=crevice,
    )


def engine_of(view: SectionView) -> Engine:
    """The engine, with one cylinder, that a section shows."""

    def mm(length: float) -> Quantity:
        return Quantity(length, "mm")

    def cc(volume: float) -> Quantity:
        return Quantity(volume, "cc")

    land = None
    if view.land_height and view.land_clearance:
        land = RingLand(mm(view.land_height), mm(view.land_clearance))
    return Engine(
        "drawn",
        Cylinder(
            mm(view.bore),
            mm(view.stroke),
            mm(view.rod_length) if view.rod_length else None,
            mm(view.pin_offset),
        ),
        (Chamber(cc(view.chamber)),),
        Gasket(mm(view.gasket_bore), mm(view.gasket_thickness)),
        (Deck(mm(view.deck_clearance)),),
        Piston(cc(max(view.dish, 0.0)), cc(max(-view.dish, 0.0)), cc(view.reliefs)),
        land,
    )


@st.composite
def engines(draw) -> SectionView:
    """Bore 36 to 180 mm, stroke 30 to 200 mm, flat, dished or domed, ratio 6 to 23."""
    bore, stroke = draw(st.floats(36, 180)), draw(st.floats(30, 200))
    gasket = draw(st.floats(0.2, 3.0))
    deck = draw(st.floats(max(-0.3, 0.1 - gasket), 2.0))
    clearance = disc(bore, stroke) / 1000 / (draw(st.floats(6, 23)) - 1)
    chamber = clearance * draw(st.floats(0.25, 1.0))
    crown = draw(st.sampled_from(("flat", "dish", "dome")))
    share = draw(st.floats(0.02, 0.6))
    dish = {"flat": 0.0, "dish": share * clearance, "dome": -share * chamber}[crown]
    land = draw(st.booleans())
    rod = stroke * draw(st.floats(1.4, 2.2)) if draw(st.booleans()) else None
    return SectionView(
        bore=bore,
        stroke=stroke,
        chamber=chamber,
        gasket_bore=bore + draw(st.floats(0, 4)),
        gasket_thickness=gasket,
        deck_clearance=deck,
        dish=dish,
        reliefs=draw(st.sampled_from((0.0, 0.04))) * clearance,
        land_height=draw(st.floats(0.04, 0.1)) * bore if land else None,
        land_clearance=draw(st.floats(0.2, 1.0)) if land else None,
        rod_length=rod,
        pin_offset=draw(st.floats(-2, 2)) if rod else 0.0,
        angle=draw(st.floats(0, 720)),
    )
