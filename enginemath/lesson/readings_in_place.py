"""A group's readings as they stand on the thing itself: nothing in the drawing is worked out."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable
from dataclasses import dataclass
from html import escape

import pint

from enginemath.bench.measuring import Fill, poured_volume
from enginemath.drawing.charts.class_readings import class_readings
from enginemath.drawing.cylinder.both_sides import both_sides
from enginemath.drawing.cylinder.sizing import sizing
from enginemath.drawing.cylinder.turning import turning
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.at_depth import at_depth
from enginemath.drawing.pouring.by_hand import Written, by_hand
from enginemath.drawing.pouring.head_on_bench import Bench
from enginemath.drawing.pouring.known_depth import KnownDepthView
from enginemath.formulas.geometry import disc
from enginemath.lesson.loading import load_sheet
from enginemath.sheets.class_readings import (
    deck_sides,
    every_pour,
    fills_of_group,
    free_thickness,
    gauge_readings,
    group_sheet,
    record,
)
from enginemath.units import in_cc, in_mm, magnitude_in, nominal, read, show, unit_of

_FEW, _ABOVE_FEW, _ABOVE_MANY = 4, 540.0, 430.0
"""A chart's height, px, so that the table of few or of many chambers has room below it."""
_SMALL, _LARGE = 25.0, 50.0
"""Burettes of the school, mL: the small one where every fill ends within it."""


@dataclass(frozen=True)
class InPlace:
    """Readings in a drawing, and in words for who does not see it."""

    drawn_in: Callable[[Style], Picture]
    told: str

    @property
    def picture(self) -> Picture:
        """The drawing as a notebook shows it."""
        return self.drawn_in(SCREEN)

    def __repr__(self) -> str:
        return self.told

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        data = b64encode(self.picture.svg().encode()).decode()
        image = f'<img alt="{escape(self.told)}" style="max-width:100%;max-height:560px" '
        source = f'src="data:image/svg+xml;base64,{data}">'
        return {"text/plain": self.told, "text/html": image + source}


def draw_bore_and_stroke(engine: str) -> InPlace:
    """An engine's bore and stroke, measured in the drawing.

    Args:
        engine: such as ``"heron-eight"``.

    >>> draw_bore_and_stroke("heron-eight")
    Bore 96.901 mm, stroke 86.309 mm
    """
    view = section_view(load_sheet(engine).engine)

    def draw(style: Style) -> Picture:
        return sizing(view, tell=False, style=style)

    return InPlace(draw, draw(SCREEN).title)


def draw_crank(engine: str, angle: float) -> InPlace:
    """An engine with its crank at an angle, and how far its piston is down there.

    Args:
        engine: such as ``"heron-one"``.
        angle: after top dead centre, degrees.

    >>> draw_crank("heron-one", 90)
    Crank 90°, piston 27.41 mm down
    """
    view = section_view(load_sheet(engine).engine, angle)

    def draw(style: Style) -> Picture:
        return turning(view, [(0.0, angle)], grip=None, style=style)

    return InPlace(draw, draw(SCREEN).title)


def draw_pour(engine: str, *, cylinder: int, group: str) -> InPlace:
    """How a group poured a chamber: the head on the bench, and what it wrote down.

    Args:
        engine: such as ``"heron-four"``.
        cylinder: counted from 1.
        group: letter.

    Raises:
        Refused: no such reading on record.

    >>> draw_pour("heron-four", cylinder=2, group="D")
    Group D, cylinder 2, chamber. Fill 1: start 0.25 mL, end 24.80 mL. \
Fill 2: start 0.50 mL, end 23.30 mL.
    """
    poured = fills_of_group(engine, cylinder, group)
    bore = in_mm(next(iter(gauge_readings(engine, "bore", cylinder).values())))
    about = round(in_cc(nominal(poured_volume(poured))))

    def draw(style: Style) -> Picture:
        bench = Bench(about, bore, inside=about)
        return by_hand(bench, _ml(poured[-1].end), capacity=_burette(poured),
                       written=_written(poured), style=style)  # fmt: skip

    return InPlace(draw, f"Group {group}, cylinder {cylinder}, chamber. {_told(poured)}")


def draw_pours(engine: str) -> InPlace:
    """The chamber volume that each group poured, a point for each, chambers side by side.

    Args:
        engine: such as ``"heron-four"``.

    >>> print(draw_pours("heron-four"))
    Readings of 4 chambers by 5 groups
    """
    pours = {
        f"{number}": {group: [in_cc(volume)] for group, volume in groups.items()}
        for number, groups in every_pour(engine).items()
    }
    height = _ABOVE_MANY if len(pours) > _FEW else _ABOVE_FEW

    def draw(style: Style) -> Picture:
        return class_readings(pours, size=style.framed(940, height), style=style)

    return InPlace(draw, draw(SCREEN).title)


def draw_known_depth(engine: str, *, cylinder: int, group: str) -> InPlace:
    """How a group poured a crown: the piston down in its bore, and what it wrote down.

    Args:
        engine, cylinder, group: see `draw_pour`.

    Raises:
        Refused: no such reading on record.

    >>> draw_known_depth("heron-one", cylinder=1, group="B").told[-29:]
    'Bore 58.64 mm, depth 3.97 mm.'
    """
    poured = fills_of_group(engine, cylinder, group, "known-depth")
    bore = _as_read(engine, cylinder, group, "bore")
    (depth, *_) = [
        row["depth"] for row in record(f"{engine}-known-depth", cylinder=cylinder, group=group)
    ]
    unit = depth.split()[-1]
    view = KnownDepthView(
        in_mm(read(bore)),
        in_mm(read(depth)),
        poured=in_cc(poured_volume(poured)),
        reading=_ml(poured[-1].end),
        dish=in_cc(poured_volume(poured)) - in_cc(disc(read(bore), read(depth))),
        capacity=_burette(poured),
    )

    def draw(style: Style) -> Picture:
        return at_depth(view, tell=False, written=_written(poured), unit=unit, style=style)

    told = f"Group {group}, cylinder {cylinder}, known depth. {_told(poured)}"
    return InPlace(draw, f"{told} Bore {bore}, depth {depth}.")


def draw_sides(engine: str, *, cylinder: int, group: str) -> InPlace:
    """What a group read of gasket and deck, at both sides of the pin.

    Args:
        engine, cylinder, group: see `draw_pour`.

    Raises:
        Refused: no such reading on record.

    >>> print(draw_sides("heron-four", cylinder=3, group="B"))
    Group B, cylinder 3. Bore 88.35 mm, gasket bore 89.90 mm, compressed thickness 1.33 mm, \
free thickness 1.61 mm. Deck clearance 0.47 mm at one side of the pin, 0.40 mm at the other.
    """
    sides = deck_sides(engine, cylinder=cylinder, group=group)
    free = gauge_readings(engine, "free thickness")[group]
    free_told = free_thickness(engine, group)
    unit = sides[0].split()[-1]
    view = section_view(group_sheet(engine, cylinder=cylinder, group=group).engine)

    def draw(style: Style) -> Picture:
        left, right = (in_mm(read(side)) for side in sides)
        return both_sides(view, (left, right), free=in_mm(free), bores=True, unit=unit,
                          style=style)  # fmt: skip

    read_off = [
        f"{what} {_as_read(engine, cylinder, group, what)}"
        for what in ("bore", "gasket bore", "compressed thickness")
    ]
    lengths = ", ".join([*read_off, f"free thickness {free_told}"])
    return InPlace(
        draw,
        f"Group {group}, cylinder {cylinder}. {lengths[0].upper()}{lengths[1:]}. Deck clearance "
        f"{sides[0]} at one side of the pin, {sides[1]} at the other.",
    )


def _as_read(engine: str, cylinder: int, group: str, what: str) -> str:
    rows = record(f"{engine}-gauge", cylinder=cylinder, group=group)
    return next(row["reading"] for row in rows if row["what"] == what)


def _written(poured: list[Fill]) -> list[Written]:
    return [Written(show(fill.start, "ml"), show(fill.end, "ml")) for fill in poured]


def _told(poured: list[Fill]) -> str:
    fills = [
        f"Fill {number}: start {show(fill.start, 'ml')}, end {show(fill.end, 'ml')}."
        for number, fill in enumerate(poured, 1)
    ]
    return " ".join(fills)


def _ml(reading: pint.Quantity) -> float:
    return float(nominal(magnitude_in(unit_of("mL"), reading)))


def _burette(poured: list[Fill]) -> float:
    return _SMALL if all(_ml(fill.end) <= _SMALL for fill in poured) else _LARGE
