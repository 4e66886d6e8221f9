"""Which dimensions of an engine are taken by hand, and where in the drawing they are taken."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from enginemath.drawing.cylinder import stand_in_shapes
from enginemath.drawing.cylinder.large_engine import LargeEngine
from enginemath.drawing.paper.handles import KNOB, Handle
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from enginemath.units import MM_PER_INCH


@dataclass(frozen=True)
class Grip:
    """A dimension that can be taken by hand.

    Args:
        part: ``crank``, ``bore``, ``stroke``, ``chamber``, ``gasket``, ``deck``, ``crown``,
            ``deck cut`` or ``head cut``.
        name: of the dimension; the handle is called so.
        value, low, high, step: in the unit.
        unit: ``mm``, ``in``, ``cc`` or ``°``.
        decimals: of the number.
        says: what a screen reader adds to the number.
        first: see `handles.Handle`.
    """

    part: str
    name: str
    value: float
    low: float
    high: float
    step: float
    unit: str = "mm"
    decimals: int = 3
    says: str = ""
    first: bool = False


_CUTS = ("deck cut", "head cut")
_FINE_FEED = 3.0
"""How much further the hand goes than the face that is cut."""


def draw_grips(
    picture: Picture,
    grips: Iterable[Grip],
    sheet: DrawingSheet,
    engine: LargeEngine,
    lens: DrawingSheet | None = None,
    lens_at: tuple[float, float] = (0.0, 0.0),
) -> None:
    """Put a handle on each dimension, where it is measured.

    Args:
        sheet: of the engine.
        lens: the sheet of a magnifier over the bore's edge, where gasket and deck are taken.
        lens_at: how far right of the bore's edge gasket and deck are taken there, px.
    """
    for grip in grips:
        if grip.part == "crank":
            _on_the_pin(picture, grip, sheet, engine)
        elif grip.part in _CUTS:
            _on_a_face(picture, grip, lens or sheet, engine, lens_at)
        elif grip.part in ("gasket", "deck"):
            _in_a_gap(picture, grip, lens or sheet, engine, lens is not None, lens_at)
        else:
            _in_the_drawing(picture, grip, sheet, engine)


def _put(
    picture: Picture,
    grip: Grip,
    at: tuple[float, float],
    pull: tuple[float, float] | None = None,
    turn: tuple[float, float] | None = None,
) -> None:
    picture.handle(
        Handle(
            grip.name,
            *at,
            grip.value,
            grip.low,
            grip.high,
            grip.step,
            grip.unit,
            grip.decimals,
            pull,
            turn,
            grip.says,
        )
    )


def _mm(grip: Grip) -> float:
    return MM_PER_INCH if grip.unit == "in" else 1.0


def _on_the_pin(picture: Picture, grip: Grip, sheet: DrawingSheet, engine: LargeEngine) -> None:
    train = engine.train
    if train:
        _put(picture, grip, sheet.at(*train.crank_pin), turn=sheet.at(0.0, train.centre))


def _in_a_gap(
    picture: Picture,
    grip: Grip,
    sheet: DrawingSheet,
    engine: LargeEngine,
    magnified: bool,
    aside: tuple[float, float],
) -> None:
    view = engine.view
    if grip.part == "gasket":
        x, y = sheet.at(view.bore / 2, engine.shape.face)
        pull, shift = (0.0, -sheet.scale * _mm(grip)), aside[0]
    else:
        x, y = sheet.at(view.bore / 2, view.deck_clearance)
        pull, shift = (0.0, sheet.scale * _mm(grip)), aside[1]
    if not magnified:
        shift = (engine.shape.outer - view.bore / 2) * sheet.scale * 0.5
        shift = shift if grip.part == "gasket" else -2 * shift
    _put(picture, grip, (x + shift, y), pull)


def _on_a_face(
    picture: Picture,
    grip: Grip,
    sheet: DrawingSheet,
    engine: LargeEngine,
    aside: tuple[float, float],
) -> None:
    """On the face that is cut: the deck's is pulled down, the head's up."""
    of_head = grip.part == "head cut"
    x, y = sheet.at(engine.view.bore / 2, engine.shape.face if of_head else 0.0)
    way = _FINE_FEED * sheet.scale * _mm(grip) * (-1 if of_head else 1)
    _put(picture, grip, (x + (1.0 if of_head else 0.3) * aside[0], y), (0.0, way))


def _in_the_drawing(picture: Picture, grip: Grip, sheet: DrawingSheet, engine: LargeEngine) -> None:
    view, shape, scale = engine.view, engine.shape, sheet.scale
    if grip.part == "bore":
        at = sheet.at(view.bore / 2, view.deck_clearance + 0.45 * view.stroke)
        _put(picture, grip, at, (scale * _mm(grip) / 2, 0.0))
    elif grip.part == "stroke":
        in_the_wall = -(view.bore / 2 + shape.outer) / 2
        at = sheet.at(in_the_wall, view.deck_clearance + view.stroke)
        _put(picture, grip, at, (0.0, scale * _mm(grip)))
    elif grip.part == "chamber":
        of_one = stand_in_shapes.chamber(1.0, view.bore).height
        _put(picture, grip, sheet.at(0.0, shape.roof), (0.0, -of_one * scale))
    elif grip.part == "crown":
        body = shape.piston
        # Beside the chamber's handle, where the two would lie on each other.
        close = (engine.crown - shape.roof) * scale < 2.6 * KNOB * picture.style.frame
        aside = 3.0 * KNOB * picture.style.frame if close else 0.0
        if body.dome:
            # A dome's height grows with the third root of its volume.
            for_one = body.dome.height / (3 * -view.dish)
        else:
            for_one = stand_in_shapes.dish(1.0, view.bore).height
        x, y = sheet.at(0.0, _crown_taken(engine))
        _put(picture, grip, (x - aside, y), (0.0, for_one * scale))
    else:
        raise ValueError(f"nothing in the drawing is called {grip.part}")


def _crown_taken(engine: LargeEngine) -> float:
    """The height at which the crown is taken: a dome's top or a dish's floor, mm."""
    body = engine.shape.piston
    if body.dome:
        return engine.edge - body.dome.height
    return engine.edge + (body.dish.height if body.dish else 0.0)
