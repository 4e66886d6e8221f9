"""Every panel of an engine, opened on engines that are far from the kit's own."""

from __future__ import annotations

import math
from typing import Any

import pytest

from enginemath.sheets import Sheet, parse
from enginemath.units import show_ratio
from tests.drawing.reader import outside, overlaps, read
from tests.panels.opened import WITH_A_GUESS, alerted, control, opened, said, texts

LONG = "Engine of the third bay, taken in with a broken gasket and no papers at all"
SHEETS = {
    "single-50cc": """
        name = "Moped"
        [cylinder]
        count = 1
        bore = "39 mm"
        stroke = "41.4 mm"
        rod_length = "85 mm"
        [chamber]
        volume = "5.2 ± 0.1 cc"
        [gasket]
        bore = "39.5 mm"
        compressed_thickness = "0.25 mm"
        [deck]
        clearance = "0 mm"
        """,
    "popped-up": """
        name = "<script>alert(1)</script>"
        [cylinder]
        count = 2
        bore = "81 mm"
        stroke = "77.4 mm"
        rod_length = "137 mm"
        [chamber]
        volume = "45 ± 0.3 cc"
        [gasket]
        bore = "82 mm"
        compressed_thickness = "0.45 mm"
        free_thickness = "0.6 mm"
        [deck]
        clearance = "-0.20 mm"
        [piston]
        dome = "6 cc"
        reliefs = "2 cc"
        """,
    "gasket-poured": f"""
        name = "{LONG}"
        [cylinder]
        count = 8
        bore = "4.250 in"
        stroke = "3.760 in"
        rod_length = "6.135 in"
        [chamber]
        volume = "76 ± 0.5 cc"
        [gasket]
        volume = "11.2 cc"
        [deck]
        clearance = "0.012 in"
        """,
    "diesel-16-litre": """
        name = "Lorry"
        [cylinder]
        count = 6
        bore = "144 mm"
        stroke = "165 mm"
        rod_length = "262 mm"
        [chamber]
        volume = "22 ± 0.5 cc"
        [gasket]
        bore = "147 mm"
        compressed_thickness = "1.4 mm"
        [deck]
        clearance = "0.10 mm"
        [piston]
        dish = "121 cc"
        """,
    "in-its-band": """
        name = "Nothing to do"
        [cylinder]
        count = 4
        bore = "88.34 mm"
        stroke = "85.72 mm"
        rod_length = "137 mm"
        [chamber]
        volume = "57.5 ± 0.3 cc"
        [gasket]
        bore = "89.2 mm"
        compressed_thickness = "0.70 mm"
        [deck]
        clearance = "0.30 mm"
        """,
    "tall-dome": """
        name = "Hill climber"
        [cylinder]
        count = 1
        bore = "103 mm"
        stroke = "138 mm"
        rod_length = "275 mm"
        [chamber]
        volume = "213 ± 0.5 cc"
        [gasket]
        bore = "123 mm"
        compressed_thickness = "1.0 mm"
        [deck]
        clearance = "-0.22 mm"
        [piston]
        dome = "119 cc"
        """,
}
RUNNING = '[cam]\nintake_closes = "52.25 deg"\n[site]\naltitude = "640 m"\n'
EVERY_PANEL = [*WITH_A_GUESS, "build_sheet", "cc_the_chamber"]


def sheet_of(name: str) -> Sheet:
    return parse(f"format = 1\n{SHEETS[name]}\n{RUNNING}")


def is_drawn_well(panel: Any) -> None:
    """There is a picture, nothing of it is cut off, no two texts touch, and no error is shown."""
    reading = read(panel.svg)
    assert alerted(panel) == ""
    assert "✗" not in said(panel)
    assert outside(reading) == []
    assert overlaps(reading) == []


@pytest.mark.parametrize("projector", [False, True], ids=["screen", "projector"])
@pytest.mark.parametrize("engine", SHEETS)
@pytest.mark.parametrize("name", EVERY_PANEL)
def test_it_is_drawn_well_in_both_units(name: str, engine: str, projector: bool) -> None:
    panel = opened(name, sheet_of(engine), projector=projector)
    is_drawn_well(panel)
    if hasattr(panel, "lengths"):
        panel.lengths.choose("in" if panel.lengths.chosen == "mm" else "mm")
        is_drawn_well(panel)


@pytest.mark.parametrize("engine", SHEETS)
@pytest.mark.parametrize("name", WITH_A_GUESS)
def test_its_sliders_reach_their_ends(name: str, engine: str) -> None:
    panel = opened(name, sheet_of(engine))
    for moved in [part for part in panel.controls if part not in panel.hidden()]:
        for end in (moved.low, moved.high):
            moved.slide(end)
            is_drawn_well(panel)
            moved.reset()
            assert moved.says == "", moved.dial.name


@pytest.mark.parametrize("engine", [*SHEETS, "heron-one", "heron-four", "heron-eight"])
@pytest.mark.parametrize("name", WITH_A_GUESS)
def test_its_question_has_an_answer_that_it_does_not_give_away(name: str, engine: str) -> None:
    panel = opened(name, sheet_of(engine) if engine in SHEETS else engine, predict=True)
    question = panel.guess.prediction
    right = question.shown(question.answer())
    assert right not in question.text
    panel.guess.take(right)
    assert panel.answer_is_shown
    is_drawn_well(panel)


@pytest.mark.parametrize("name", ["bore_and_stroke", "two_volumes", "gasket_and_deck"])
def test_a_question_changes_its_unit_with_the_lengths(name: str) -> None:
    panel = opened(name, "heron-four", predict=True)
    assert " mm" in panel.guess.label
    panel.lengths.choose("in")
    assert " mm" not in panel.guess.label
    assert " in" in panel.guess.label


def test_the_ratio_keeps_clear_of_the_crown_volume_beside_it() -> None:
    panel = opened("dish_and_dome")
    for poured in ("104 cc", "480 cc"):
        control(panel, "poured").type(poured)
        is_drawn_well(panel)


def test_an_angle_is_written_as_its_box_shows_it() -> None:
    panel = opened("fuel_air_and_cam", projector=True)
    panel.show_picture("the pressure")
    intake = control(panel, "intake closes, after BDC")
    intake.type("52.3456789 deg")
    assert intake.text == "52.3°"
    assert any(text.startswith("valve shut 52.3° after the bottom") for text in texts(panel))
    is_drawn_well(panel)


def test_a_plan_that_changes_nothing_is_told_and_drawn() -> None:
    panel = opened("build_sheet", sheet_of("in-its-band"))
    assert panel.plans.chosen["price"] == 0
    assert "as measured, the engine keeps to every limit" in said(panel)
    is_drawn_well(panel)
    ratio = show_ratio(panel.plans.chosen["compression_ratio"])
    assert f"Mean ratio {ratio}" in said(panel)


@pytest.mark.parametrize("name", ["add_it_up", "gasket_and_deck", "bore_and_stroke", "two_volumes"])
def test_a_gasket_that_was_poured_gets_no_thickness_and_no_squish(name: str) -> None:
    """The sheet says 11.2 cc and no more: what is drawn is no reading."""
    panel = opened(name, sheet_of("gasket-poured"))
    reading = read(panel.svg)
    told = f"{reading.description} {' '.join(texts(panel))}"
    if name in ("add_it_up", "gasket_and_deck"):  # the others' pictures do not speak of the gasket
        assert "squish clearance not known" in texts(panel)
        assert "11.20 cc" in texts(panel)
        assert "its thickness not known" in told
    else:
        assert "gasket" not in told
        assert "squish" not in told
    thickness = 11.2e3 / (math.pi / 4 * (4.25 * 25.4) ** 2) / 25.4
    assert f"{thickness:.4f}" not in told


def test_a_high_effective_ratio_stands_on_its_line() -> None:
    panel = opened("fuel_air_and_cam", sheet_of("diesel-16-litre"))
    panel.show_picture("the pressure")
    reading = read(panel.svg)
    said_on_it = next(t for t in reading.texts if t.text.startswith("effective "))
    effective = float(said_on_it.text.split()[1])
    assert effective > 12
    ticks = [t for t in reading.texts if t.kind == "tick" and t.box[1] > said_on_it.box[3]]
    assert max(float(tick.text) for tick in ticks) >= effective - 1


def test_the_start_depth_leaves_a_tall_dome_under_the_plate() -> None:
    panel = opened("dish_and_dome", sheet_of("tall-dome"))
    reading = read(panel.svg)
    assert reading.one("dome").box[1] > reading.first("wall").box[1]


@pytest.mark.parametrize("name", ["add_it_up", "gasket_and_deck"])
def test_a_gasket_that_hangs_into_the_bore_is_told_in_the_unit_shown(name: str) -> None:
    panel = opened(name, "heron-four")
    assert "hang" not in said(panel)
    panel.lengths.choose("in")
    control(panel, "bore").type("91 mm")
    told = said(panel)
    assert "its bore 3.5394 in is smaller than the cylinder's 3.5827 in" in told
