"""The bench on the map's page: one engine, and on it the place of each lesson."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginemath.drawing.bench_map import Stop, bench_map
from enginemath.drawing.cylinder.views import section_view
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from enginemath.engine.parts import one_cylinder, plain
from enginemath.panels.frame.engines import engine_of

_PLACES = {
    0: ("the bench", "bench"),
    1: ("bore, stroke", "bore"),
    2: ("crank", "crank"),
    3: ("the tools", "tools"),
    4: ("chamber", "chamber"),
    5: ("gasket, deck", "gasket"),
    6: ("dish", "crown"),
    7: ("the whole stack", "stack"),
    8: ("the ±", "spread"),
    9: ("change", "change"),
    10: ("cam and air", "cam"),
    11: ("the sheet", "sheet"),
}
"""By number of the lesson: what is written on the map, and where."""


def map_picture(lessons: Sequence[dict[str, Any]], next_one: str, *, projector: bool) -> str:
    """The map as SVG, each lesson a link.

    Args:
        lessons: as the message ``map`` tells them.
        next_one: name of the lesson to go on with.
        projector: large type.
    """
    engine = one_cylinder(plain(engine_of("heron-four")), 0)
    stops = [
        Stop(
            f"{lesson['number']:02d}",
            lesson["title"],
            *_PLACES[lesson["number"]],
            f"#{lesson['name']}",
            lesson["state"] == "done",
        )
        for lesson in lessons
    ]
    at = next(f"{lesson['number']:02d}" for lesson in lessons if lesson["name"] == next_one)
    style = PAGE_PROJECTOR if projector else PAGE
    return bench_map(section_view(engine), stops, at=at, key="map", style=style).svg()
