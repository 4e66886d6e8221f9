from __future__ import annotations

from xml.etree import ElementTree

from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR, SCREEN
from enginemath.drawing.paper.svg import Picture
from tests.drawing.reader import read

DECK = Handle("deck clearance", 40, 60, 0.35, 0, 2, 0.01, pull=(0, 30), says="ratio 9.83")
CRANK = Handle("crank angle", 80, 60, 77, 0, 360, 5, "°", 0, turn=(80, 90))


def picture(*handles: Handle, style=SCREEN) -> Picture:
    drawn = Picture("trial", 200, 150, title="A <trial>", description="Of handles.", style=style)
    for handle in handles:
        drawn.handle(handle)
    return drawn


def sliders(drawn: Picture) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(drawn.svg())
    return [element for element in root.iter() if element.attrib.get("role") == "slider"]


def test_a_handle_is_a_slider_as_the_standard_asks() -> None:
    """WAI-ARIA 1.2, role slider: focusable, a name, least, most and present value."""
    (slider,) = sliders(picture(DECK))
    marks = slider.attrib
    assert marks["tabindex"] == "0"
    assert marks["aria-label"] == marks["data-handle"] == "deck clearance"
    least, now, most = (float(marks[f"aria-value{end}"]) for end in ("min", "now", "max"))
    assert (least, now, most) == (0, 0.35, 2)
    assert marks["aria-valuetext"] == "0.350 mm, ratio 9.83"
    assert marks["aria-orientation"] == "vertical"
    assert marks["data-pull"] == "0 30"
    assert marks["transform"] == "translate(40.00 60.00)"


def test_what_turns_says_its_middle() -> None:
    (slider,) = sliders(picture(CRANK))
    assert slider.attrib["data-turn"] == "80.00 90.00"
    assert slider.attrib["aria-valuetext"] == "77°"
    assert "data-pull" not in slider.attrib


def test_sliders_do_not_lie_in_an_image() -> None:
    """The children of an img are not told (WAI-ARIA 1.2, children presentational)."""
    root = ElementTree.fromstring(picture(DECK, CRANK).svg())
    assert root.attrib["role"] == "group"
    (image,) = [g for g in root.iter() if g.attrib.get("role") == "img"]
    assert not [g for g in image.iter() if g.attrib.get("role") == "slider"]
    assert image.attrib["aria-labelledby"].split()[1].endswith("-desc")
    assert ElementTree.fromstring(picture().svg()).attrib["role"] == "img"


def test_names_are_escaped() -> None:
    drawn = picture(Handle('bore" onload="x', 1, 1, 5, 0, 9, 1, pull=(1, 0)))
    (slider,) = sliders(drawn)
    assert slider.attrib["aria-label"] == 'bore" onload="x'
    assert "onload" not in slider.attrib


def test_handles_and_places_move_with_their_picture() -> None:
    part = picture(DECK, CRANK)
    part.place_of("deck", 40, 60, 12)
    whole = Picture("whole", 500, 300, title="Whole", description="Two.")
    whole.place(part, 100, 50)
    deck, crank = sliders(whole)
    assert deck.attrib["transform"] == "translate(140.00 110.00)"
    assert crank.attrib["data-turn"] == "180.00 140.00"
    assert whole.places["deck"] == (type(whole.places["deck"]))(140, 110, 12)


def test_a_ring_is_drawn_round_its_place_alone() -> None:
    drawn = picture()
    drawn.place_of("gasket", 60, 40, 20)
    drawn.look_here("dish")
    assert read(drawn.svg()).all("ring") == []
    drawn.look_here("gasket")
    reading = read(drawn.svg())
    assert reading.one("ring").box == (40, 20, 80, 60)
    assert reading.text("look here").box[1] > 60


def test_a_finger_can_hit_it() -> None:
    """WCAG 2.2, success criterion 2.5.5: 44 px across."""
    for style in (PAGE, PAGE_PROJECTOR):
        reading = read(picture(DECK, style=style).svg())
        left, _, right, _ = reading.one("handle-reach").box
        assert right - left >= 44


def test_page_letters_are_large_enough() -> None:
    assert min(PAGE.text, PAGE.small, PAGE.heading) >= 12
    assert min(PAGE_PROJECTOR.text, PAGE_PROJECTOR.small, PAGE_PROJECTOR.heading) >= 20
