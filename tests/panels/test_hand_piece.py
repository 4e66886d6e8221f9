"""A thing moved by hand: what its box takes, and what it refuses as every other box does."""

from __future__ import annotations

import pytest

from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.units import Refused


def plate(moved: list[float]) -> HandPiece:
    return HandPiece("plate", "plate", (0, 35), unit="mm", step=0.1, first=35.0, moved=moved.append)


def grease(moved: list[float]) -> HandPiece:
    return HandPiece("grease", "grease", (0, 9), unit="strokes", counted=True, moved=moved.append)


@pytest.mark.parametrize(
    ("typed", "place"), [("3", 3.0), ("3.5 mm", 3.5), (" 1/2 in", 12.7), ("−1", 0), ("99 mm", 35)]
)
def test_a_length_is_read_with_its_unit_or_without(typed: str, place: float) -> None:
    piece = plate([])
    piece.take(typed)
    assert (piece.at, piece.says) == (pytest.approx(place), "")


@pytest.mark.parametrize(("typed", "place"), [("3", 3.0), ("3 strokes", 3.0), ("1 1/2", 1.5)])
def test_a_count_is_read_with_the_name_of_what_is_counted(typed: str, place: float) -> None:
    piece = grease([])
    piece.take(typed)
    assert (piece.at, piece.says) == (place, "")


@pytest.mark.parametrize("hand_piece", [plate, grease])
@pytest.mark.parametrize("typed", ["1,5", "", "much", "3 cc", "1e99", "nan", "2 and 1"])
def test_what_no_box_takes_moves_nothing_and_is_told(typed: str, hand_piece: object) -> None:
    assert callable(hand_piece)
    moved: list[float] = []
    piece = hand_piece(moved)
    piece.take(typed)
    assert (piece.at, moved) == (piece.first, [])
    assert ("decimal point" in piece.says) == ("," in typed)
    assert piece.says


def test_what_its_panel_refuses_stays_where_it_was() -> None:
    def stuck(_: float) -> None:
        raise Refused("the plug is in the way")

    piece = HandPiece("plate", "plate", (0, 35), unit="mm", first=35, moved=stuck)
    piece.take("3 mm")
    assert (piece.at, piece.says, piece.moved) == (35, "the plug is in the way", False)
