"""An engine held against a plan's limits."""

from __future__ import annotations

import math

import pytest

from enginemath.change.limits_kept import LimitCheck


@pytest.mark.parametrize(
    ("limit", "line", "breaks"),
    [
        (
            LimitCheck("ratio", (9.2, 9.4), 9.0, 9.5),
            "ratio 9.200 to 9.400, wanted 9.000 to 9.500: kept",
            [],
        ),
        (
            LimitCheck("ratio", (8.9, 9.6), 9.0, 9.5),
            "ratio 8.900 to 9.600, wanted 9.000 to 9.500: BROKEN",
            [
                "ratio of cylinder 1 is 8.900, below 9.000",
                "ratio of cylinder 2 is 9.600, above 9.500",
            ],
        ),
        (
            LimitCheck("squish", (1.0, 1.2, 1.3), 0.9, 1.15, "mm"),
            "squish 1.000 to 1.300 mm, wanted 0.900 to 1.150 mm: BROKEN",
            ["squish of cylinder 3 is 1.300 mm, above 1.150 mm"],
        ),
        (
            LimitCheck("squish", (1.016, 1.016), 0.889, 1.143, "in"),
            "squish 0.0400 in, wanted 0.0350 to 0.0450 in: kept",
            [],
        ),
        (
            LimitCheck("squish", (None, None), 0.9, 1.15, "mm"),
            "squish not known, wanted 0.900 to 1.150 mm: BROKEN",
            ["squish is wanted and not known: the gasket's compressed thickness is not given"],
        ),
        (
            LimitCheck("deck clearance", (0.1, -0.05), 0.0, math.inf, "mm"),
            "deck clearance −0.050 to 0.100 mm, wanted 0.000 mm or more: BROKEN",
            ["deck clearance of cylinder 2 is −0.050 mm, below 0.000 mm"],
        ),
    ],
)
def test_one_line_and_what_breaks(limit: LimitCheck, line: str, breaks: list[str]) -> None:
    assert str(limit) == line
    assert list(limit.breaks()) == breaks
    assert limit.kept == (not breaks)


def test_a_limit_that_is_touched_is_kept() -> None:
    assert LimitCheck("squish", (0.3 - 0.1 - 0.2 + 0.9,), 0.9, 1.15, "mm").kept
    assert not LimitCheck("squish", (0.899_999,), 0.9, 1.15, "mm").kept
