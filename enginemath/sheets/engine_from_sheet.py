"""An engine from the fields of a build sheet."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

import pint

from enginemath.bench.measuring import known_depth_crown, poured_volume
from enginemath.engine import limits
from enginemath.engine.can_be import refuse_what_cannot_be
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.engine.stack import mean
from enginemath.formulas.compression import depth_at_bdc
from enginemath.sheets.fields import READINGS, Fields
from enginemath.sheets.text_file import SheetRefused, within
from enginemath.units import Quantity, Refused, best, in_mm, shop_unit, show

DEAD_CENTRES_AGREE = Quantity(0.05, "mm")
"""How far stroke, deck clearance and depth at bottom dead centre may disagree."""


def engine_from(fields: Fields) -> Engine:
    """Build the engine that a sheet describes.

    Raises:
        SheetRefused: a reading that cannot be, or readings that contradict each other.
    """
    for table, names in READINGS.items():
        for name in names:
            fields.reading(table, name)
    count = fields.count
    stroke, clearances = _dead_centres(fields, count)
    with within("cylinder"):
        cylinder = Cylinder(
            bore=fields.needed("cylinder", "bore"),
            stroke=stroke,
            rod_length=fields.reading("cylinder", "rod_length"),
            pin_offset=fields.reading("cylinder", "pin_offset") or Quantity(0, "mm"),
        )
    with within("gasket"):
        gasket = Gasket(
            bore=fields.reading("gasket", "bore"),
            compressed_thickness=fields.reading("gasket", "compressed_thickness"),
            poured=fields.reading("gasket", "volume"),
            free_thickness=fields.reading("gasket", "free_thickness"),
        )
    piston = _piston(fields, cylinder)
    chambers = _chambers(fields, count)
    ring_land = _ring_land(fields)
    with _in_the_sheet(fields):
        engine = Engine(
            name=fields.written["name"],
            cylinder=cylinder,
            chambers=chambers,
            gasket=gasket,
            decks=tuple(Deck(clearance) for clearance in clearances),
            piston=piston,
            ring_land=ring_land,
            intake_closes=fields.reading("cam", "intake_closes"),
            altitude=fields.reading("site", "altitude"),
            antiknock_index=fields.antiknock_index,
        )
        refuse_what_cannot_be(engine)
    return engine


@contextlib.contextmanager
def _in_the_sheet(fields: Fields) -> Iterator[None]:
    """Name the field of the sheet that holds what an engine's refusal names."""
    try:
        yield
    except SheetRefused:
        raise
    except Refused as refusal:
        field = refusal.field
        if field.startswith("decks"):
            field = _deck_field(fields, field.removeprefix("decks"))
        elif fields.known_depth and field not in ("gasket.bore", "chamber"):
            field = "piston.known_depth.poured"
        raise SheetRefused(str(refusal), field=field) from None


def _deck_field(fields: Fields, place: str) -> str:
    deck = fields.table("deck")
    if "clearances" in deck:
        return f"deck.clearances{place}"
    return "deck.clearance" if "clearance" in deck else "deck.depth_at_bdc"


def _dead_centres(fields: Fields, count: int) -> tuple[pint.Quantity, list[pint.Quantity]]:
    """Stroke and deck clearances: any two of stroke, clearance, depth at BDC give the third."""
    stroke = fields.reading("cylinder", "stroke")
    depth = fields.reading("deck", "depth_at_bdc")
    clearances = fields.readings("deck", "clearance", count)
    if clearances is None:
        if depth is None or stroke is None:
            raise SheetRefused(
                "missing; read it at top dead centre, or give both cylinder.stroke and "
                "deck.depth_at_bdc",
                field="deck.clearance",
            )
        with within("deck.depth_at_bdc"):
            return stroke, [limits.DECK_CLEARANCE.accept(depth - stroke)] * count
    clearance = mean(clearances)
    if depth is None:
        if stroke is None:
            raise SheetRefused(
                "missing; measure it, or give deck.depth_at_bdc", field="cylinder.stroke"
            )
    elif stroke is None:
        with within("deck.depth_at_bdc"):
            stroke = limits.STROKE.accept(depth - clearance)
    elif not _agree(stroke, clearance, depth):
        raise SheetRefused(_disagreement(stroke, clearance, depth), field="deck.depth_at_bdc")
    return stroke, clearances


def _agree(stroke: pint.Quantity, clearance: pint.Quantity, depth: pint.Quantity) -> bool:
    gap = in_mm(depth - depth_at_bdc(stroke, clearance))
    return abs(gap) <= DEAD_CENTRES_AGREE.m_as("mm") + 1e-9


def _disagreement(stroke: pint.Quantity, clearance: pint.Quantity, depth: pint.Quantity) -> str:
    unit = shop_unit(depth)

    def said(length: pint.Quantity) -> str:
        return show(best(length), unit)

    return (
        f"depth at bottom dead centre {said(depth)} is not stroke {said(stroke)} plus "
        f"deck clearance {said(clearance)} ({said(depth_at_bdc(stroke, clearance))}); the depth "
        "holds the deck clearance already: is it counted twice?"
    )


def _chambers(fields: Fields, count: int) -> tuple[Chamber, ...]:
    given = [name for name in ("volume", "volumes", "fills") if name in fields.table("chamber")]
    if len(given) != 1:
        found = f"not {' and '.join(given)} together" if given else "none is there"
        raise SheetRefused(f"one of volume, volumes and fills is wanted; {found}", field="chamber")
    if fields.fills:
        with within("chamber.fills"):
            return (Chamber(poured_volume(fields.fills)),) * count
    return tuple(Chamber(volume) for volume in fields.readings("chamber", "volume", count) or ())


def _piston(fields: Fields, cylinder: Cylinder) -> Piston:
    if fields.known_depth:
        depth, poured = fields.known_depth
        crown = known_depth_crown(poured, cylinder.bore, depth).to("cc")
        with within("piston.known_depth.poured"):
            return Piston.with_crown(crown, fields.known_depth)
    with within("piston"):
        given = {name: fields.reading("piston", name) for name in fields.table("piston")}
        return Piston(**given)


def _ring_land(fields: Fields) -> RingLand | None:
    if "ring_land" not in fields.written:
        return None
    with within("ring_land"):
        return RingLand(
            height=fields.needed("ring_land", "height"),
            clearance=fields.needed("ring_land", "clearance"),
        )
