"""A sheet's readings as a student has them on the bench: plain numbers to work from by hand.

Lengths are in mm, volumes in cc, angles in degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pint

from enginemath.engine.parts import Cylinder, Engine, Gasket, Piston, RingLand
from enginemath.engine.stack import mean
from enginemath.formulas.compression import depth_at_bdc
from enginemath.sheets import Sheet
from enginemath.units import in_cc, in_mm, nominal, shop_unit


@dataclass(frozen=True)
class Readings:
    """What the sheet gives; one chamber and one deck where the cylinders are alike."""

    count: int
    bore: float
    stroke: float
    rod_length: float | None
    """None: the piston follows the cosine alone."""
    pin_offset: float
    fills: tuple[tuple[float, float], ...]
    chambers: tuple[float, ...]
    gasket_bore: float | None
    thickness: float | None
    free_thickness: float | None
    gasket_poured: float | None
    decks: tuple[float, ...]
    depth_at_bdc: float
    dish: float
    dome: float
    reliefs: float
    known_depth: float | None
    poured: float
    land_height: float
    land_clearance: float
    crank_at_closing: float | None
    """Crank angle after top dead centre when the intake closes."""
    in_inches: bool
    target: float | None = None
    """Ratio to reach."""


def readings_of(sheet: Sheet, target: float | None = None) -> Readings:
    """The readings of a sheet as plain numbers.

    Args:
        sheet: the engine as measured.
        target: ratio to reach, where one is wanted.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> readings = readings_of(parse(EXAMPLE))
    >>> readings.bore, readings.fills
    (92.0, ((0.6, 25.0), (0.0, 23.1)))
    """
    engine, fields = sheet.engine, sheet.readings
    decks = [in_mm(deck.clearance) for deck in engine.decks]
    chambers = [in_cc(chamber.volume) for chamber in engine.chambers]
    cylinders = list(zip(chambers, decks, strict=True))
    alike = 1 if len(set(cylinders)) == 1 else engine.count
    depth = fields.reading("deck", "depth_at_bdc")
    return _readings(
        engine,
        (engine.cylinder, engine.gasket, engine.piston, engine.ring_land),
        chambers[:alike],
        decks[:alike],
        # Where the reliefs are told apart, a hand works with dish and reliefs.
        None if in_cc(engine.piston.reliefs) else fields.known_depth,
        at_bdc=None if depth is None else in_mm(depth),
        fills=fields.fills_in_cc,
        target=target,
    )


def readings_of_cylinder(sheet: Sheet, cylinder: int) -> Readings:
    """The readings of one cylinder, as if all were like it; its chamber is one volume.

    Args:
        sheet: the engine as measured.
        cylinder: counted from 1.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> readings_of_cylinder(parse(EXAMPLE), 3).chambers
    (47.5,)
    """
    engine = sheet.engine
    place = engine.place(cylinder)
    parts = (
        engine.cylinders[place],
        engine.gaskets[place],
        engine.pistons[place],
        engine.ring_lands[place],
    )
    chamber, deck = engine.chambers[place].volume, engine.decks[place].clearance
    return _readings(
        engine, parts, [in_cc(chamber)], [in_mm(deck)], engine.pistons[place].known_depth
    )


def _readings(
    engine: Engine,
    parts: tuple[Cylinder, Gasket, Piston, RingLand | None],
    chambers: Sequence[float],
    decks: Sequence[float],
    known: tuple[pint.Quantity, pint.Quantity] | None,
    *,
    at_bdc: float | None = None,
    fills: tuple[tuple[float, float], ...] = (),
    target: float | None = None,
) -> Readings:
    block, gasket, piston, land = parts
    stroke, closes = in_mm(block.stroke), engine.intake_closes
    return Readings(
        count=engine.count,
        bore=in_mm(block.bore),
        stroke=stroke,
        rod_length=_mm_or_none(block.rod_length),
        pin_offset=in_mm(block.pin_offset),
        fills=fills,
        chambers=tuple(chambers),
        gasket_bore=_mm_or_none(gasket.bore),
        thickness=_mm_or_none(gasket.compressed_thickness),
        free_thickness=_mm_or_none(gasket.free_thickness),
        gasket_poured=None if gasket.poured is None else in_cc(gasket.poured),
        decks=tuple(decks),
        depth_at_bdc=depth_at_bdc(stroke, mean(decks)) if at_bdc is None else at_bdc,
        dish=0.0 if known else in_cc(piston.dish),
        dome=0.0 if known else in_cc(piston.dome),
        reliefs=0.0 if known else in_cc(piston.reliefs),
        known_depth=in_mm(known[0]) if known else None,
        poured=in_cc(known[1]) if known else 0.0,
        land_height=in_mm(land.height) if land else 0.0,
        land_clearance=in_mm(land.clearance) if land else 0.0,
        crank_at_closing=None if closes is None else 180.0 + nominal(closes.m_as("degree")),
        in_inches=shop_unit(block.bore) == "in",
        target=target,
    )


def _mm_or_none(length: pint.Quantity | None) -> float | None:
    return None if length is None else in_mm(length)
