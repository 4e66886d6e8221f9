"""The pictures of readings being taken: one for each kind, whole, following the number."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree

import pytest

from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.taking.at_the_bench import HEIGHT, WIDTH, Seen, at_the_bench
from enginemath.drawing.taking.known_so_far import Known, Part, known_so_far
from enginemath.drawing.taking.scenes import SCENES, Taken, taking
from enginemath.sheets.own_engine.bench_order import TAKINGS
from enginemath.sheets.what_is_read import WHATS

BOXES = ("reading", "depth", "start", "end")
EIGHT = {"left": [1, 3, 5, 7], "right": [2, 4, 6, 8]}


def check(picture: Picture) -> None:
    """Well formed, every letter inside and large enough, every fill there."""
    svg = picture.svg()
    ElementTree.fromstring(svg)
    for label in picture.labels:
        assert label.left >= 0, label
        assert label.top >= 0, label
        assert label.right <= picture.width, label
        assert label.bottom <= picture.height, label
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)]
    assert min(sizes) >= 13
    named = {*re.findall(r'id="([^"]+)"', svg)}
    assert {*re.findall(r"url\(#([^)]+)\)", svg)} <= named
    assert not [name for name in named if " " in name]


def test_every_kind_of_reading_has_its_picture_and_its_words() -> None:
    assert {*SCENES} == {*WHATS} == {*TAKINGS}


@pytest.mark.parametrize("what", SCENES)
def test_each_picture_is_whole_at_every_box_place_and_number(what: str) -> None:
    numbers = ((None, "?"), (0.53, "0.53 mm"), (-3.0, "−3.0 mm"), (700.0, "700.000 mL"))
    boxes = BOXES if TAKINGS[what].is_poured else ("reading",)
    for box in boxes:
        for place in (*TAKINGS[what].places, ""):
            for value, shown in numbers:
                taken = Taken(what, box, place, value, shown, "in", 101.6)
                check(taking(taken, what))
                check(at_the_bench(taken, Seen(EIGHT, at=3), what))


@pytest.mark.parametrize("what", ["deck clearance", "bore", "chamber", "known depth"])
def test_the_picture_follows_the_number(what: str) -> None:
    box = "end" if TAKINGS[what].is_poured else "reading"

    def shapes(value: float | None) -> str:
        drawn = taking(Taken(what, box, "", value, "?", "mm", 0.2), what, key="same").svg()
        return drawn.partition("<defs>")[2]

    assert len({shapes(None), shapes(0.5), shapes(0.7), shapes(30.0)}) == 4


def test_left_and_right_of_the_pin_are_two_places() -> None:
    left, right = (
        taking(Taken("deck clearance", place=f"{side} of the pin"), "x", key="same").svg()
        for side in ("left", "right")
    )
    assert left != right


@pytest.mark.parametrize("cylinders", [1, 2, 3, 4, 6, 8, 12, 16, 24])
@pytest.mark.parametrize("banked", [False, True])
def test_every_engine_is_seen_from_above(cylinders: int, banked: bool) -> None:
    every = range(1, cylinders + 1)
    banks = {"left": [*every[::2]], "right": [*every[1::2]]} if banked else {"": [*every]}
    banks = {name: numbers for name, numbers in banks.items() if numbers}
    notes = [(f"{n} · middle", "101.613 mm") for n in every]
    picture = at_the_bench(Taken("bore"), Seen(banks, at=cylinders, notes=notes), "x")
    assert (picture.width, picture.height) == (WIDTH, HEIGHT)
    check(picture)
    numbers = [label.text for label in picture.labels]
    assert all(str(n) in numbers for n in every)


PARTS = [Part(name, name, "716.8 ± 0.4 cc", True) for name in ("swept", "chamber", "gasket")]


@pytest.mark.parametrize(
    "known",
    [
        Known(PARTS, "ratio 5.7 to 19.4", ("wide", "still"), (5.7, 19.4), foot="usual ranges"),
        Known(PARTS, "ratio 9.67 ± 0.03", ("95 %", ""), (9.61, 9.73), 9.67, [9.66] * 8),
        Known(PARTS, "ratio 9.67", ("", ""), (9.67, 9.67), 9.67, [9.67]),
        Known(PARTS, "ratio 18.2 ± 2.0", ("", ""), (12.0, 24.0), 18.2, [14.0, 22.0]),
        Known(PARTS, "ratio 3 to 80", ("", ""), (3.0, 80.0)),
        Known([], "not yet"),
    ],
    ids=lambda known: known.ratio,
)
def test_what_is_known_is_whole(known: Known) -> None:
    check(known_so_far(known))
