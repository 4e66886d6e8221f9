"""The engine on the map's page."""

from __future__ import annotations

from functools import cache

from enginemath.drawing.cylinder.section import section
from enginemath.drawing.cylinder.views import section_view
from enginemath.engine.parts import one_cylinder, plain
from enginemath.panels.frame.engines import kit_engine

ANGLE = 104.0
"""Of the crank after top dead centre: everything is in sight."""


@cache
def engine_picture() -> str:
    """One cylinder of the bench engine in section, as SVG."""
    engine = one_cylinder(plain(kit_engine("heron-four")), 0)
    return section(section_view(engine, ANGLE), size=(900, 640), key="map").svg()
