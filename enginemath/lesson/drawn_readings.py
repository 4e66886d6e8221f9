"""An engine's readings where they were taken: the drawing, and below it what was read."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass, replace
from html import escape

from enginemath.drawing.cylinder.part_keys import PartKey, draw_keys
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.large_line import STRIP
from enginemath.drawing.paper.palette import PAGE
from enginemath.drawing.paper.svg import Picture
from enginemath.engine.parts import plain
from enginemath.sheets import Sheet
from enginemath.sheets.bench_sheet import BenchFields
from enginemath.units import Refused

_KEYS = (
    ("swept", "swept", {"bore": "bore", "depth at bdc": "depth at BDC", "stroke": "stroke"}),
    ("chamber", "chamber", {"chamber": ""}),
    ("gasket", "gasket", {"gasket bore": "opening", "compressed thickness": "compressed",
                          "free thickness": "free"}),
    ("deck", "deck", {"deck clearance": "clearance"}),
    ("crown", "crown", {"known depth": "lowered", "poured to it": "poured", "dish": "dish",
                        "dome": "dome", "reliefs": "reliefs"}),
    ("crevice", "ring land", {"land diameter": "diameter", "land height": "height"}),
)  # fmt: skip
"""Of each part its hatch, its name, and the readings that belong to it."""

_STILL = replace(PAGE, small=14.4)
"""A still picture is the same on the projector: its small letters are large enough there too."""


@dataclass(frozen=True)
class DrawnReadings:
    """The drawing of one cylinder with what was read; nothing is worked out."""

    sheet: Sheet

    @property
    def picture(self) -> Picture:
        """The drawing: its volumes are not told."""
        view = section_view(plain(self.sheet.engine))
        picture = taking_hold(
            view, lens=("gasket", "deck"), strip=True, key="readings", style=_STILL
        )
        picture.title = f"{self.sheet.name}: the top of its cylinder, and what was read"
        keys = self.keys()
        told = (f"{key.name}: {', '.join(key.readings)}" for key in keys)
        picture.description = f"{'; '.join(told)}."
        draw_keys(picture, keys, picture.height - (STRIP - 26) * picture.style.frame)
        return picture

    def keys(self) -> list[PartKey]:
        """The means of what was read, by part.

        Raises:
            Refused: the sheet holds no readings.

        >>> from enginemath.lesson import load_sheet
        >>> DrawnReadings(load_sheet("heron-one")).keys()[2].readings[:2]
        ['opening 59.800 mm', 'compressed 0.620 mm']
        """
        fields = self.sheet.readings
        if not isinstance(fields, BenchFields):
            raise Refused(f"{self.sheet.name}: this sheet has no table of readings")
        means = {}
        for line in fields.measured.told():
            told, _, _ = line.partition(",")
            for what in (what for _, _, names in _KEYS for what in names):
                if told.startswith(f"{what} ") and told[len(what) + 1].isdigit():
                    means[what] = told.removeprefix(what).strip()
        return [
            PartKey(part, name, [f"{short} {means[what]}".strip() for what, short in names.items()
                                 if what in means])
            for part, name, names in _KEYS
            if any(what in means for what in names)
        ]  # fmt: skip

    def __repr__(self) -> str:
        return f"{self.picture.title}. {self.picture.description}"

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        data = b64encode(self.picture.svg().encode()).decode()
        image = f'<img alt="{escape(repr(self))}" style="max-width:100%" '
        return {
            "text/plain": repr(self),
            "text/html": f'{image}src="data:image/svg+xml;base64,{data}">',
        }


def show_readings(sheet: Sheet) -> DrawnReadings:
    """An engine's readings where they were taken.

    >>> from enginemath.lesson import *
    >>> print(show_readings(load_sheet("heron-one")).picture.title)
    Heron One: the top of its cylinder, and what was read
    """
    return DrawnReadings(sheet)
