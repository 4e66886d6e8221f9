"""The drawing on a sheet about the bay: where each reading is taken, and no number of it."""

from __future__ import annotations

from enginemath.answers.own_readings.record import Record
from enginemath.classroom.sets.figure import Labels, section
from enginemath.drawing.cylinder.cylinder import SectionView

_NAMES = {
    "chamber": "chamber",
    "gasket bore": "gasket bore",
    "compressed thickness": "gasket, compressed",
    "deck clearance": "deck clearance",
    "dish": "dish",
    "dome": "dome",
    "reliefs": "valve reliefs",
    "land height": "ring land",
}
_PARTS = {
    "gasket bore": "gasket",
    "compressed thickness": "gasket body",
    "deck clearance": "deck",
    "land height": "land",
}
"""Under which name the drawing knows a part, where it is another."""


def bay_figure(record: Record) -> str:
    """A common cylinder in section with the names of what is read, as SVG text.

    It is drawn to no scale of this engine's: nothing can be measured on it.
    """
    asked = {thing.what for thing in record.to_read}
    r, shape = record.readings, 0.0
    if r.known_depth is not None or r.dish or r.dome:
        shape = -9.0 if _is_domed(record) else 10.0
    view = SectionView(
        bore=90.0,
        stroke=80.0,
        chamber=62.0,
        gasket_bore=93.0,
        gasket_thickness=2.6,
        deck_clearance=1.9,
        dish=shape,
        reliefs=3.0 if r.reliefs else 0.0,
        land_height=7.0 if r.land_height else None,
        land_clearance=1.4 if r.land_height else None,
        angle=180.0,
    )
    names = {_PARTS.get(what, what): name for what, name in _NAMES.items() if what in asked}
    names |= {"chamber": "chamber", "swept": "swept volume"}
    if r.known_depth is not None:
        names["dome" if shape < 0 else "dish"] = "crown, by known depth"
    by_depth = "depth at bdc" in asked and "stroke" not in asked
    upright = "depth\nat BDC" if by_depth else "stroke"
    says = f"Where each reading is taken: bore, {upright}, {', '.join(names.values())}."
    return section(view, Labels("bore", upright, by_depth, names, says.replace("\n", " ")))


def _is_domed(record: Record) -> bool:
    r = record.readings
    if r.known_depth is None:
        return r.dome > r.dish
    return record.expected["known depth"].value < 0 if "known depth" in record.expected else False
