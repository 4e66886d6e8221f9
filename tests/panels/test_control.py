"""One dimension to move: slider, typed text, units, refusals, reset."""

from __future__ import annotations

from typing import Any

import pytest

from enginemath.panels import add_it_up
from enginemath.panels.frame import dial
from enginemath.panels.frame.control import Control
from enginemath.panels.frame.setting import Choice
from enginemath.units import Quantity, Refused, read, unit_of
from tests.panels.opened import step

DECK = dial.DECK


@pytest.fixture
def taken() -> list[Any]:
    return []


@pytest.fixture
def deck(taken: list[Any]) -> Control:
    def take(control: Control, value: Any) -> None:
        if value.m_as("mm") < -0.3:
            raise Refused("the piston would meet the head")
        taken.append(value)

    return Control(DECK, read("0.38 mm"), "mm", take)


def test_the_slider_gives_the_step_it_stands_on(deck: Control, taken: list[Any]) -> None:
    deck.slide(0.1 + 0.2)  # 0.30000000000000004
    assert taken == [Quantity(0.3, "mm")]
    assert deck.text == "0.300 mm"


@pytest.mark.parametrize(
    ("typed", "shown", "mm"),
    [
        ("50 thou", "1.270 mm", 1.27),
        ("0.0125 in", "0.318 mm", 0.3175),
        ("-.05 mm", "-0.050 mm", -0.05),
        ("1/64 in", "0.397 mm", 0.396875),
        ("0.40 ± 0.02 mm", "0.400 mm", 0.40),
    ],
)
def test_a_typed_number_is_kept_exactly_and_shown_as_the_shop_writes_it(
    deck: Control, taken: list[Any], typed: str, shown: str, mm: float
) -> None:
    deck.type(typed)
    assert deck.text == shown
    assert taken[-1].m_as("mm") == pytest.approx(mm, abs=1e-12)
    assert deck.last_good is taken[-1]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("0.4", "no unit"),
        ("5 cc", "a length is wanted here, and this is a volume"),
        ("0,4 mm", "decimal point, not a comma"),
        ("400 mm", "outside what an engine can have"),
        ("abc", "write a number and its unit"),
        ("", "nothing written"),
        ("__import__('os')", "write a number"),
        ("nan mm", "not a number that can be measured"),
    ],
)
def test_a_bad_text_says_why_beside_the_box_and_changes_nothing(
    deck: Control, taken: list[Any], typed: str, words: str
) -> None:
    deck.type(typed)
    assert words in deck.says
    assert deck.text == typed, "the text stays, to be mended"
    assert taken == []
    assert deck.last_good == read("0.38 mm")


def test_what_the_engine_refuses_is_said_and_the_last_good_value_stays(
    deck: Control, taken: list[Any]
) -> None:
    deck.slide(0.2)
    deck.slide(-0.4)
    assert "meet the head" in deck.says
    assert deck.last_good == Quantity(0.2, "mm")
    deck.slide(0.25)
    assert deck.says == ""
    assert len(taken) == 2


def test_an_entry_of_another_kind_is_refused(deck: Control, taken: list[Any]) -> None:
    for entry in (True, False, float("nan"), float("inf")):
        with pytest.raises(Refused):
            deck.take(entry)
    assert (taken, deck.says) == ([], "")


def test_nothing_goes_back_to_the_first_value(deck: Control) -> None:
    deck.take(0.9)
    assert deck.text == "0.900 mm"
    deck.take(None)
    assert deck.text == "0.380 mm"


def test_inch_and_mm_change_what_is_shown_and_not_the_value(
    deck: Control, taken: list[Any]
) -> None:
    deck.type("50 thou")
    deck.show_in("in")
    assert (deck.text, deck.step) == ("0.0500 in", 0.0005)
    deck.show_in("mm")
    assert (deck.text, deck.step) == ("1.270 mm", 0.01)
    assert deck.last_good == Quantity(50.0, "thou")
    assert len(taken) == 1, "showing is not changing"


def test_a_volume_stays_in_cc_where_lengths_are_in_inches() -> None:
    chamber = Control(dial.CHAMBER, read("46.9 cc"), "mm", lambda *_: None)
    chamber.show_in("in")
    assert chamber.text == "46.90 cc"


def test_reset_goes_back_to_the_first_value(deck: Control, taken: list[Any]) -> None:
    deck.slide(0.9)
    deck.reset()
    assert taken[-1] == read("0.38 mm")
    assert deck.text == "0.380 mm"


def test_the_handle_stands_on_a_step_so_that_the_browser_does_not_move_it() -> None:
    moved: list[Any] = []
    bore = Control(dial.BORE, read("88.34 mm"), "mm", lambda _, value: moved.append(value))
    steps = (bore.at - bore.low) / bore.step
    assert steps == pytest.approx(round(steps), abs=1e-9)
    assert bore.text == "88.340 mm", "the value itself is not rounded"
    # A browser that rounds in another way sends the same place back with dust on it.
    bore.slide(bore.at + 1e-13)
    assert moved == []


def test_a_typed_value_beyond_the_slider_widens_it(deck: Control, taken: list[Any]) -> None:
    assert deck.high == 1.5
    deck.type("3.2 mm")
    assert deck.high == pytest.approx(3.2)
    assert taken[-1] == read("3.2 mm")


def test_a_step_back_from_beyond_the_end_keeps_the_ends(deck: Control) -> None:
    """Other ends would ask for another slider, and the keyboard would be lost."""
    deck.type("3.2 mm")
    step(deck, -1)
    assert deck.high == pytest.approx(3.2)
    deck.reset()
    assert deck.high == 1.5


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("part", [dial.BORE, dial.STROKE, dial.THICKNESS, dial.DECK, dial.RELIEFS])
def test_a_slider_never_leaves_the_limits_of_its_dimension(part: Any, unit: str) -> None:
    first = Quantity(part.limit.usual[0] + 0.5, part.limit.unit)
    moved = Control(part, first, unit, lambda *_: None)
    for end in (moved.low, moved.high):
        part.limit.accept(Quantity(end, unit_of(moved.unit)))


def test_enough_decimals_are_shown(deck: Control) -> None:
    """At least three of a millimetre, four of an inch."""
    deck.type("0.3456 mm")
    assert deck.text == "0.346 mm"
    deck.show_in("in")
    assert deck.text == "0.0136 in"


def test_a_handle_goes_along_a_list_and_escape_leads_back() -> None:
    chosen: list[str] = []
    parts = Choice("gasket", "gasket", [(name, name) for name in ("old", "thick", "thin")])
    parts.then = lambda: chosen.append(parts.chosen)
    assert (parts.low, parts.at, parts.high, parts.step) == (0, 0, 2, 1)
    parts.take(2)
    parts.take(None)
    assert chosen == ["thin", "old"]
    assert parts.state()["text"] == "old"


def test_the_crank_is_turned_once_round_before_the_lesson_goes_on() -> None:
    panel = add_it_up("heron-four")
    panel.show_picture("the crank")
    for angle in range(0, 300, 10):
        panel.take("crank angle", angle)
        assert panel.view().waits
    panel.take("crank angle", 300)
    assert panel.view().waits == ""
