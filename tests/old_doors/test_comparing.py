"""The comparison itself: it lets gains through, and nothing else."""

from __future__ import annotations

from typing import Any

import pytest

from tests.old_doors.comparing import differences

STORED = {"ratio": 9.827, "right": True, "front": None, "plans": [{"price": 38, "says": "thin"}]}


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"new": [1, 2]},
        {"ratio": 9.827 * (1 + 1e-13)},
        {"plans": [{"price": 38.0, "says": "thin", "new": 1}]},
    ],
)
def test_gains_and_the_last_bits_of_a_number_are_let_through(change: dict[str, Any]) -> None:
    assert list(differences(STORED, STORED | change)) == []


@pytest.mark.parametrize(
    "change",
    [
        {"ratio": 9.827 * (1 + 1e-11)},
        {"ratio": "9.827"},
        {"ratio": None},
        {"right": 1},
        {"right": False},
        {"front": []},
        {"plans": []},
        {"plans": [{"price": 38}]},
        {"plans": [{"price": 38, "says": "Thin"}]},
        {"plans": [*STORED["plans"], {}]},  # type: ignore[misc]
    ],
)
def test_a_loss_or_a_change_is_found(change: dict[str, Any]) -> None:
    assert len(list(differences(STORED, STORED | change))) == 1


def test_a_missing_key_is_found() -> None:
    assert list(differences(STORED, {})) == [
        f"{key}: {value!r} stored, missing" for key, value in STORED.items()
    ]
