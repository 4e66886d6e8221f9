"""A chart of printed sizes against sizes worked out, with a description in words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from enginemath.drawing.charts.sizes import SizePoint, sizes
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.sheets.printed_records import Record, records, spoken_rows
from enginemath.units import signed

_ON_A_PAGE = 940.0, 530.0
"""Width and height, px, so that a few lines have room below it."""
BAND = 5.0
"""How many per cent a printed size may be off and still pass."""


@dataclass(frozen=True)
class Chart:
    """A picture for a notebook or a page, and what it shows in words."""

    drawn_in: Callable[[Style], Picture]
    says: str

    @property
    def picture(self) -> Picture:
        """As a notebook shows it."""
        return self.drawn_in(SCREEN)

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {"text/html": self.picture.svg(), "text/plain": self.says}


def chart_of_sizes(band: float = BAND) -> Chart:
    """The records of 1985: size worked out from bore and stroke, against the printed size.

    Args:
        band: per cent off that is still let pass; what lies outside carries its row number.
    """
    inside = [record for record in records() if abs(record.off) <= band]
    outside = [record for record in records() if abs(record.off) > band]
    says = _description(inside, outside, band)
    points = [
        SizePoint(spoken_rows(record.row for record in found), printed, worked_out, found[0].off)
        for (printed, worked_out), found in _together([*inside, *outside], "worked_out").items()
    ]

    def draw(style: Style) -> Picture:
        size = None if style is SCREEN else style.framed(*_ON_A_PAGE)
        return sizes(points, band, description=says, size=size, key="sizes", style=style)

    return Chart(draw, says)


def _together(found: Sequence[Record], what: str) -> dict[tuple[float, float], list[Record]]:
    """Records by the point at which they lie."""
    points = defaultdict(list)
    for record in found:
        points[record.size, getattr(record, what)].append(record)
    return dict(points)


def _description(inside: Sequence[Record], outside: Sequence[Record], band: float) -> str:
    every = sorted(record.size for record in (*inside, *outside))
    far = [
        f"{spoken_rows(record.row for record in found)}: {signed(found[0].off, 1)} %"
        for found in sorted(_together(outside, "off").values(), key=lambda found: found[0].off)
    ]
    return "\n".join(
        (
            f"Chart of {len(every)} engines; sizes printed: {every[0]:g} to {every[-1]:g} cu in.",
            "Above: size worked out, against size printed. Most points lie on the slanted line,",
            "where both are equal. Below: how far off, in per cent of the printed size.",
            f"{len(inside)} points (rings) lie in the grey band, within {band:g} %.",
            f"{len(outside)} points (triangles) lie outside it:",
            *far,
        )
    )
