"""What the hand takes first wears a ring until it was moved; before the guess too."""

from __future__ import annotations

import pytest

from enginemath.drawing.paper.handles import TAKE
from tests.panels.opened import control, opened, said

FIRST = {
    "write_a_number": "cut off the deck",
    "gasket_and_deck": "deck, one side",
    "dish_and_dome": "known depth",
    "how_sure": "my bar: burette",
}


@pytest.mark.parametrize("name", FIRST)
def test_one_handle_wears_a_ring_until_it_was_moved(name: str) -> None:
    asks = {} if name == "write_a_number" else {"predict": True}
    panel = opened(name, **asks)
    if name == "write_a_number":
        panel.show_picture("the cut")
    ringed = [handle.name for handle in panel.picture_now.handles if handle.first]
    assert ringed == [FIRST[name]]
    assert panel.svg.count(f'stroke="{TAKE}"') == 1
    setting = panel.setting_named(ringed[0])
    panel.take(setting.name, setting.at + 4 * setting.step)
    assert not any(handle.first for handle in panel.picture_now.handles)


def test_before_the_guess_the_piston_rocks_and_the_mean_stays() -> None:
    panel = opened("gasket_and_deck", predict=True)
    asked = panel.guess.prediction
    panel.take("deck, one side", 0.45)
    assert control(panel, "deck, other side").text == "0.310 mm"  # 2 · 0.380 - 0.450
    assert "rocks 0.140 mm: the mean of both sides stays 0.380 mm" in said(panel)
    right = asked.shown(asked.answer())
    panel.take("guess", right)
    assert "deck clearance 0.380 mm" in said(panel)
    panel.take("deck, one side", 0.55)
    assert control(panel, "deck, other side").text == "0.310 mm", "now each side is its own"
