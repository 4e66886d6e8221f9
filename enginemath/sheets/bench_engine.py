"""The engine that a build sheet of `format = 2` describes, and what it still lacks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pint

from enginemath.bench.measuring import known_depth_crown
from enginemath.engine import limits
from enginemath.engine.can_be import refuse_what_cannot_be
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.formulas.compression import depth_at_bdc
from enginemath.sheets import height_budget
from enginemath.sheets.bench_layout import FIELDS, FUELS, HEADS, LAYOUT
from enginemath.sheets.bench_sheet import BenchFields, MissingReadings
from enginemath.sheets.engine_from_sheet import DEAD_CENTRES_AGREE
from enginemath.sheets.text_file import SheetRefused, within
from enginemath.units import (
    Quantity,
    Refused,
    best,
    deviation,
    in_cc,
    in_mm,
    nominal,
    shop_unit,
    show,
)
from enginemath.units.words import numbered


def bench_engine(fields: BenchFields) -> Engine:
    """Build the engine that a sheet of format 2 describes.

    Raises:
        MissingReadings: names all that the ratio needs and the sheet has not.
        SheetRefused: a reading that cannot be, or readings that contradict each other.
    """
    _ = fields.gasket_is_reused, fields.crevice_is_poured, fields.piston_is_flat, fields.claims
    missing = missing_readings(fields)
    if missing:
        raise MissingReadings(missing, fields)
    each = range(1, fields.count + 1)
    cylinders = _alike(each, lambda n: _cylinder(fields, n))
    gaskets = _alike(each, lambda n: _gasket(fields, n))
    pistons = _alike(each, lambda n: _piston(fields, n, cylinders[n - 1]))
    lands = _alike(each, lambda n: _ring_land(fields, n, cylinders[n - 1]))
    decks = tuple(Deck(_deck(fields, n)) for n in each)
    chambers = []
    for n in each:
        with within("chamber.volume"):
            volume = fields.chamber(n)
            assert volume is not None
            prechamber = fields.value("chamber.prechamber", n)
            chambers.append(Chamber(volume, prechamber, fields.is_diesel))
    with _in_its_field():
        engine = Engine(
            name=fields.written["name"],
            cylinder=cylinders[0],
            chambers=tuple(chambers),
            gasket=gaskets[0],
            decks=decks,
            piston=pistons[0],
            ring_land=lands[0],
            intake_closes=fields.reading("cam", "intake_closes"),
            altitude=fields.reading("site", "altitude"),
            antiknock_index=fields.antiknock_index,
            checking_lift=fields.reading("cam", "checking_lift"),
            head=fields.word("head", "material", HEADS),
            fuel=fields.word("fuel", "kind", FUELS),
            strokes=fields.strokes,
            exhaust_closes=fields.reading("cylinder", "exhaust_closes"),
            cylinders=cylinders,
            gaskets=gaskets,
            pistons=pistons,
            ring_lands=lands,
            banks=fields.banks,
        )
        refuse_what_cannot_be(engine)
    return engine


@contextmanager
def _in_its_field() -> Iterator[None]:
    """What is refused of an engine's parts together is told by the field of the sheet."""
    try:
        yield
    except SheetRefused:
        raise
    except Refused as refusal:
        known = refusal.field.partition(".")[0] in LAYOUT
        field = refusal.field if known else ".".join(filter(None, ("sheet", refusal.field)))
        raise SheetRefused(str(refusal), field=field) from None


def missing_readings(fields: BenchFields) -> list[str]:
    """What the ratio needs and the sheet has not, in the order of the bench.

    A ring land of which only a part was read is not left out in silence.
    """
    has = {path: _cylinders_with(fields, path) for path in FIELDS}
    every = {*range(1, fields.count + 1)}
    stroke, clearance = has["cylinder.stroke"], has["deck.clearance"]
    depth = has["deck.depth_at_bdc"]
    of_stroke, of_deck = (
        {n for n in every if fields.height(path, n) is not None}
        for path in (height_budget.STROKE, height_budget.DECK)
    )
    chambers = every if fields.fills else has["chamber.volume"]
    opening = has["gasket.volume"]
    needed = {
        "bore": has["cylinder.bore"],
        "stroke or depth at bdc": stroke | depth | of_stroke,
        "deck clearance": clearance | (depth & stroke) | of_deck,
        "chamber": chambers,
        "gasket bore": opening | has["gasket.bore"],
        "compressed thickness": opening | has["gasket.compressed_thickness"],
    }
    if fields.crown_is_missing and fields.crown_is_awaited:
        needed["known depth"] = set()
    gap = has["ring_land.clearance"] | has["ring_land.diameter"]
    has_land = has["ring_land.height"] or gap or "ring_land" in fields.written
    if has_land and not fields.crevice_is_poured:
        needed["land height"] = has["ring_land.height"]
        needed["land diameter"] = gap
    found = [
        name if len(lacking) == fields.count else f"{name} ({numbered('cylinder', lacking)})"
        for name, there in needed.items()
        if (lacking := sorted(every - there))
    ]
    return [f"{name}{_as_dish(fields)}" if name == "chamber" else name for name in found]


def _as_dish(fields: BenchFields) -> str:
    """Where the chamber is missing and a dish has its size, what was perhaps meant."""
    dish = fields.value("piston.dish", 1)
    if dish is None or nominal(dish.m_as("cc")) < _LARGE_DISH:
        return ""
    return f" (the dish of {show(dish, 'cc')} is large for a dish: is that the chamber?)"


_LARGE_DISH = 30.0
"""cc; common practice, no source."""


def _cylinders_with(fields: BenchFields, path: str) -> set[int]:
    return {n for n in range(1, fields.count + 1) if fields.value(path, n) is not None}


def _alike(each: range, build: Callable[[int], Any]) -> tuple[Any, ...]:
    """One part a cylinder; where all are equal, one part for all."""
    parts = [build(n) for n in each]
    if all(part == parts[0] for part in parts[1:]):
        return (parts[0],) * len(parts)
    return tuple(parts)


def _cylinder(fields: BenchFields, n: int) -> Cylinder:
    with within("cylinder"):
        return Cylinder(
            bore=_there(fields.value("cylinder.bore", n)),
            stroke=_stroke(fields, n),
            rod_length=fields.height(height_budget.ROD, n),
            pin_offset=fields.value("cylinder.pin_offset", n) or Quantity(0, "mm"),
        )


def _there(value: pint.Quantity | None) -> pint.Quantity:
    assert value is not None, "missing readings are refused before"
    return value


def _stroke(fields: BenchFields, n: int) -> pint.Quantity:
    stroke = fields.value("cylinder.stroke", n)
    if stroke is not None:
        return stroke
    depth, clearance = fields.value("deck.depth_at_bdc", n), fields.value("deck.clearance", n)
    if depth is None:
        return _there(fields.height(height_budget.STROKE, n))
    with within("deck.depth_at_bdc"):
        return limits.STROKE.accept(depth - _there(clearance))


def _deck(fields: BenchFields, n: int) -> pint.Quantity:
    stroke, depth = fields.value("cylinder.stroke", n), fields.value("deck.depth_at_bdc", n)
    clearance = fields.value("deck.clearance", n)
    if clearance is None:
        if depth is not None:
            with within("deck.depth_at_bdc"):
                return limits.DECK_CLEARANCE.accept(depth - _there(stroke))
        with within("deck.block_height"):
            return _there(fields.height(height_budget.DECK, n))
    if stroke is not None and depth is not None:
        _refuse_disagreement(n, stroke, clearance, depth)
    return clearance


def _refuse_disagreement(
    n: int, stroke: pint.Quantity, clearance: pint.Quantity, depth: pint.Quantity
) -> None:
    together, unit = depth_at_bdc(stroke, clearance), shop_unit(depth)
    gap = depth - together
    allowed = in_mm(DEAD_CENTRES_AGREE) + 2 * deviation(gap.m_as("mm"))
    if abs(in_mm(gap)) <= allowed + 1e-9:
        return
    said = [show(best(length), unit) for length in (depth, stroke, clearance, together)]
    raise SheetRefused(
        f"cylinder {n}: depth at bottom dead centre {said[0]} is not stroke {said[1]} plus deck "
        f"clearance {said[2]} ({said[3]}); the depth holds the deck clearance already: is it "
        "counted twice?",
        field="deck.depth_at_bdc",
    )


def _gasket(fields: BenchFields, n: int) -> Gasket:
    with within("gasket"):
        return Gasket(
            bore=fields.value("gasket.bore", n),
            compressed_thickness=fields.value("gasket.compressed_thickness", n),
            poured=fields.value("gasket.volume", n),
            free_thickness=fields.value("gasket.free_thickness", n),
        )


def _piston(fields: BenchFields, n: int, cylinder: Cylinder) -> Piston:
    given = {name: fields.value(f"piston.{name}", n) for name in ("dish", "dome", "reliefs")}
    given = {name: value for name, value in given.items() if value is not None}
    known, flat = fields.known_depth_of(n), fields.piston_is_flat
    if flat and given.keys() - {"reliefs"}:
        raise SheetRefused("a flat piston has no dish and no dome", field="piston.flat")
    if known is None:
        with within("piston"):
            return Piston(**given)
    twice = given if flat else given.keys() - {"reliefs"}
    if twice:
        raise SheetRefused(
            f"the pour holds the whole crown already; leave out {' and '.join(twice)}",
            field="piston.known_depth",
        )
    depth, poured = known
    crown = known_depth_crown(poured, cylinder.bore, depth).to("cc")
    if flat and in_cc(crown) < 0:
        raise SheetRefused(
            f"flat = true, and the pour says that {show(-crown, 'cc')} stand above the edge",
            field="piston.flat",
        )
    with within("piston.known_depth"):
        return Piston.with_crown(crown, known, crown if flat else given.get("reliefs"))


def _ring_land(fields: BenchFields, n: int, cylinder: Cylinder) -> RingLand | None:
    height = fields.value("ring_land.height", n)
    if height is None or (fields.crevice_is_poured and fields.known_depth_of(n)):
        return None
    clearance = fields.value("ring_land.clearance", n)
    with within("ring_land"):
        if clearance is None:
            clearance = cylinder.bore - _there(fields.value("ring_land.diameter", n))
        return RingLand(height=height, clearance=clearance)


# Pieces of the file
