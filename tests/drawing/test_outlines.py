"""Each drawing against its stored outline: elements, classes, whole px.

The outlines stand in `outlines/`. After a change that is meant, look at the pictures, then renew:

    RENEW_OUTLINES=1 python -m pytest tests/drawing/test_outlines.py
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from enginemath.drawing.bench_map import PLACES, Stop, bench_map
from enginemath.drawing.charts.budget_by_hand import HandBar, budget_by_hand
from enginemath.drawing.charts.class_readings import class_readings
from enginemath.drawing.charts.error_budget import BudgetBar, error_budget
from enginemath.drawing.charts.pressure_volume import Curve, pressure_volume
from enginemath.drawing.charts.trade_off import PlanPoint, trade_off
from enginemath.drawing.charts.volume_angle import VolumeView, volume_against_angle
from enginemath.drawing.cylinder.both_sides import both_sides
from enginemath.drawing.cylinder.counting import counting
from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.overview import overview
from enginemath.drawing.cylinder.part_keys import PartKey, draw_keys
from enginemath.drawing.cylinder.section import section
from enginemath.drawing.cylinder.shelf import Item, Shelf, draw_shelves
from enginemath.drawing.cylinder.sizing import sizing
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.trapping import Hill, trapping
from enginemath.drawing.cylinder.turning import turning
from enginemath.drawing.cylinder.volume_blocks import stack
from enginemath.drawing.instruments.burette import burette
from enginemath.drawing.instruments.caliper import caliper
from enginemath.drawing.instruments.depth_micrometer import depth_micrometer
from enginemath.drawing.instruments.dial_indicator import dial_indicator
from enginemath.drawing.instruments.feeler import feeler
from enginemath.drawing.instruments.micrometer import micrometer
from enginemath.drawing.paper.large_line import Said
from enginemath.drawing.paper.number_line import number_line, ratio_line, squish_line
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR, PROJECTOR, SCREEN
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.pouring.at_depth import at_depth
from enginemath.drawing.pouring.by_hand import Written, by_hand
from enginemath.drawing.pouring.head_on_bench import Bench
from enginemath.drawing.pouring.known_depth import KnownDepthView, known_depth
from enginemath.drawing.pouring.measured import Blunder, Comparison, measured
from enginemath.drawing.pouring.pour import PourView, pour
from enginemath.engine.stack import stack_of

from .engines import HERON, engine_of, volumes
from .reader import outline

FOLDER = Path(__file__).with_name("outlines")
DOME = replace(HERON, dish=-8.0, deck_clearance=-0.2, angle=0.0)
SMALL = replace(HERON, bore=39.0, stroke=41.4, chamber=5.2, gasket_bore=39.5, gasket_thickness=0.3,
                dish=0.0, reliefs=0.0, land_height=None, land_clearance=None, rod_length=None,
                angle=120.0)  # fmt: skip
STOPS = [
    Stop(f"{number:02d}", place, place, place, f"lesson/{number}", done=number < 4)
    for number, place in enumerate(PLACES)
]
BARS = [
    HandBar("burette", "± 0.03 cc", 0.015, 0.72, "water", Grip("bar", "± burette", 3, 0, 9, 1),
            0.005, thought=0.4),
    HandBar("depth gauge", "± 0.02 mm", 0.009, 0.28, "metal", thought=0.8),
]  # fmt: skip
SHELVES = [
    Shelf("gasket", [Item("as measured", "1.350 mm", thickness=1.35),
                     Item("thin steel", "0.950 mm", "72", thickness=0.95)], 1),
    Shelf("piston", [Item("as measured", "6.00 cc", dish=6.0),
                     Item("tall", "dome 2.00 cc", "310", dish=-2.0, rise=0.5)], 0, held=False),
]  # fmt: skip


def _on_paper(draw: Callable[[Picture], None]) -> Picture:
    """What is drawn into a picture of something else, alone."""
    paper = Picture("made-up", 400, 400, title="t", description="d", style=PAGE)
    draw(paper)
    return paper


PICTURES = {
    "bench-map": lambda: bench_map(HERON, STOPS, at="04"),
    "bench-map-dome-projector": lambda: bench_map(DOME, STOPS, at="08", style=PAGE_PROJECTOR),
    "section": lambda: section(HERON),
    "section-dome-inch": lambda: section(DOME, unit="in", crank=False),
    "section-small": lambda: section(SMALL),
    "section-projector": lambda: section(HERON, style=PROJECTOR),
    "stack": lambda: stack(volumes(HERON)),
    "stack-dome": lambda: stack(volumes(DOME), unit="in"),
    "turning": lambda: turning(HERON, [(0, 60)], hint=True),
    "turning-intake": lambda: turning(
        replace(HERON, angle=290.0), [(0, 290)], clearance=66.65, closes=60
    ),
    "turning-no-rod-projector": lambda: turning(
        replace(HERON, rod_length=None, dish=-8.0),
        [(0, 60)],
        clearance=66.65,
        unit="in",
        style=PAGE_PROJECTOR,
    ),
    "sizing": lambda: sizing(
        replace(HERON, bore=94.0),
        cylinders=4,
        found=HERON,
        grips=[Grip("bore", "bore", 94.0, 86, 98, 0.1)],
    ),
    "counting": lambda: counting(HERON, volumes(HERON), 3.4, guess=6),
    "counting-dome": lambda: counting(DOME, volumes(DOME), 99, guess=20),
    "taking-hold": lambda: taking_hold(
        replace(HERON, gasket_thickness=0.85),
        [ratio_line(10.2, (9.0, 9.5)), squish_line(1.2)],
        found=HERON,
        grips=[Grip("gasket", "gasket thickness", 0.85, 0.4, 2.4, 0.01)],
        spoken=("chamber", "crown", "crevice"),
        lens=("gasket", "deck"),
        guess=9.0,
        before=9.83,
        ring="gasket",
    ),
    "ratio-line": lambda: number_line(ratio_line(9.83, (9.0, 9.5), aim=9.25, interval=(9.7, 10))),
    "squish-line": lambda: number_line(squish_line(1.0)),
    "pour": lambda: pour(PourView(47.5, 92.0, poured=24.4, reading=25.0, start=0.6)),
    "pour-careless": lambda: pour(
        PourView(47.5, 92.0, poured=47.2, reading=23.1, bubble=0.3, plug=False), tell=False
    ),
    "pour-spilled": lambda: pour(
        PourView(47.5, 92.0, poured=47.5, reading=24.0, start=0.6, spilled=0.85)
    ),
    "pour-spilled-projector": lambda: pour(
        PourView(47.5, 92.0, poured=47.1, reading=24.0, bubble=0.4, plug=False, spilled=5.0),
        tell=False,
        style=PROJECTOR,
    ),
    "by-hand-open": lambda: by_hand(
        Bench(47.5, 92.0, plug=0, grease=2, plate=36.0),
        burette=False,
        grips=[Grip(part, part, 0, 0, 5, 1, "", 0) for part in ("plug", "grease", "plate")],
    ),
    "by-hand": lambda: by_hand(
        Bench(47.5, 92.0, inside=46.9, bubble=0.6, tilt=1.5),
        22.35,
        tap=20,
        written=[Written("0.35 mL", "24.60 mL"), Written("0.80 mL")],
        grips=[Grip("tap", "tap", 20, 0, 90, 5, "°", 0)],
        ring="bubble",
    ),
    "by-hand-spilled-projector": lambda: by_hand(
        Bench(47.5, 92.0, inside=47.5, plug=0, grease=3, spilled=0.8), 23.3, style=PAGE_PROJECTOR
    ),
    "measured": lambda: measured(
        Comparison(46.75, 0.12, 47.4),
        Bench(47.4, 92.0, inside=46.7, bubble=0.7),
        written=[Written("0.35 mL", "24.60 mL"), Written("0.80 mL", "23.30 mL")],
        blunders=[Blunder("bubble", "the bubble", -0.71)],
    ),
    "both-sides": lambda: both_sides(
        HERON, (0.30, 0.40), squish_line(1.45), free=1.35, guess=1.0, ring="gasket"
    ),
    "at-depth": lambda: at_depth(
        KnownDepthView(92.0, 12.7, 93.23, 43.23, 6.0, 2.8),
        grips=[Grip("depth", "known depth", 12.7, 1, 30, 0.05)],
    ),
    "at-depth-open": lambda: at_depth(
        KnownDepthView(92.0, 12.7, 0.0, 0.0, -9.0, grease=2, plate=36.0),
        tell=False,
        grips=[Grip(part, part, 0, 0, 36, 1, "", 0) for part in ("depth", "grease", "plate")],
    ),
    "at-depth-forgotten": lambda: at_depth(
        KnownDepthView(92.0, 12.7, 93.75, 43.75, 6.0, 2.8, grease=4, crevice=0.52)
    ),
    "at-depth-dome-projector": lambda: at_depth(
        KnownDepthView(92.0, 12.7, 40.0, 40.0, -9.0), tap=40, unit="in", style=PAGE_PROJECTOR
    ),
    "known-depth": lambda: known_depth(KnownDepthView(92.0, 12.7, 93.22, 43.22, 6.0, 2.8)),
    "known-depth-dome": lambda: known_depth(
        KnownDepthView(92.0, 12.7, 40.0, 40.0, -9.0), unit="in"
    ),
    "burette": lambda: burette(23.45),
    "micrometer-mm": lambda: micrometer(5.78),
    "micrometer-inch": lambda: micrometer(3.3624, "in", base=3.0),
    "depth-micrometer": lambda: depth_micrometer(5.78),
    "dial-indicator": lambda: dial_indicator(3.27),
    "caliper-mm": lambda: caliper(37.46),
    "caliper-inch": lambda: caliper(1.237, "in"),
    "feeler": lambda: feeler(0.45, [0.40, 0.45, 0.50], 1),
    "pressure-volume": lambda: pressure_volume(
        [Curve("ratio 9", [600, 200, 67, 67, 200, 600], [100, 430, 2200, 6000, 1300, 280])],
        here=(200, 430),
    ),
    "volume-angle": lambda: volume_against_angle(
        VolumeView(92.0, 88.5, 145.0, 66.65, angle=-75.0, intake_closes=60.0), without_rod=True
    ),
    "trade-off": lambda: trade_off(
        [
            PlanPoint("thin gasket", 38, 9.10, 0.0),
            PlanPoint("deck cut", 140, 9.24, 0.2),
            PlanPoint("deck and head cut", 230, 9.26, 0.5),
        ],
        9.25,
        chosen=1,
    ),
    "error-budget": lambda: error_budget(
        [BudgetBar("chamber volume", 0.81, "chamber"), BudgetBar("bore", 0.19, "swept")],
        value=9.827,
        u=0.052,
    ),
    "budget-by-hand": lambda: budget_by_hand(
        BARS, 0.0176, 0.0176, [Said("ratio 8.68 ± 0.02")], ratio_line(8.68), guess=0.02, own=0.015
    ),
    "budget-by-hand-own-projector": lambda: budget_by_hand(
        BARS, 0.0176, 0.0176, shown=False, style=PAGE_PROJECTOR
    ),
    "class-readings": lambda: class_readings(
        {c: {"A": [47.4, 47.6], "B": [47.9, 48.1]} for c in "12"}, stands_off={"B"}
    ),
    "shelves": lambda: _on_paper(lambda paper: draw_shelves(paper, SHELVES, 20, 380)),
    "part-keys": lambda: _on_paper(
        lambda paper: draw_keys(
            paper,
            [
                PartKey("deck", "deck", ["left 0.300 mm", "right 0.400 mm"]),
                PartKey("gasket", "gasket", ["compressed 1.350 mm"]),
            ],
            10,
        )
    ),
    "trapping": lambda: trapping(
        replace(HERON, angle=240.0),
        452.0,
        [Curve("640 m", [519, 67], [94, 1179]), Curve("sea level", [519, 67], [101, 1270])],
        [Said("effective 7.8", "✓ in the band"), Said("gauge 1085 kPa")],
        ratio_line(7.8, (7.5, 8.5)),
        closes=Grip("intake", "intake closes, after BDC", 60, 0, 90, 1, "°", 0),
        hill=Hill(
            0.25,
            "640 m high, the air has 94 kPa",
            Grip("altitude", "altitude", 640, 0, 2500, 10, "m", 0),
        ),
        guess=9.0,
        before=8.2,
    ),
    "trapping-no-hill-projector": lambda: trapping(
        replace(DOME, angle=232.0, rod_length=None),
        460.0,
        [Curve("here", [519, 67], [101, 1270])],
        [Said("effective 7.8")],
        ratio_line(7.8),
        style=PAGE_PROJECTOR,
    ),
    "overview": lambda: overview(
        engine_of(HERON),
        stack_of(engine_of(HERON)),
        ratio_line(volumes(HERON).ratio, (9.0, 9.5)),
        squish_line(HERON.squish),
        unit="mm",
        key="overview",
        style=SCREEN,
    ),
}


@pytest.mark.parametrize("name", PICTURES)
def test_outline_is_as_stored(name: str) -> None:
    found, stored = outline(PICTURES[name]().svg()), FOLDER / f"{name}.txt"
    if os.environ.get("RENEW_OUTLINES"):
        FOLDER.mkdir(exist_ok=True)
        stored.write_text(found, encoding="utf-8")
    assert found == stored.read_text(encoding="utf-8"), "see the top of this file"


def test_every_stored_outline_has_its_picture() -> None:
    assert {path.stem for path in FOLDER.glob("*.txt")} == set(PICTURES)
