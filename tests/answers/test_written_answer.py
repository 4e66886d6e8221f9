"""Answers are read as literals, with the precision they were written to, and never evaluated."""

from __future__ import annotations

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.answers.quantities import QUANTITIES, asked_for
from enginemath.answers.written_answer import read_answer
from enginemath.units import Refused

RATIO, VOLUME = QUANTITIES["compression_ratio"], QUANTITIES["swept_volume"]
CUBIC_INCH = 16.387064  # cc; NIST SP 811 (2008), appendix B.8


@pytest.mark.parametrize(
    ("text", "value", "half_width"),
    [
        ("9.83", 9.83, 0.005),
        (" 9.8 ", 9.8, 0.05),
        ("9.80", 9.8, 0.005),
        ("10", 10, 0.5),
        ("9.83:1", 9.83, 0.005),
        ("9.8 : 1", 9.8, 0.05),
        ("9.8 to 1", 9.8, 0.05),
        ("9.8:1.0", 9.8, 0.05),
        (".102", 0.102, 0.0005),
        ("-8.8", -8.8, 0.05),
        ("−8.8", -8.8, 0.05),
        ("+9.83", 9.83, 0.005),
        ("9.83e0", 9.83, 0.005),
        ("98.3e-1", 9.83, 0.005),
        ("9 5/8", 9.625, 1 / 16),
        ("9⅝", 9.625, 1 / 16),
    ],
)
def test_ratios(text, value, half_width):
    answer = read_answer(text, RATIO)
    assert answer.value == pytest.approx(value, rel=1e-12)
    assert answer.half_width == pytest.approx(half_width, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "value", "half_width"),
    [
        ("588.3", 588.3, 0.05),
        ("588.3 cc", 588.3, 0.05),
        ("588.3cm³", 588.3, 0.05),
        ("588.31 mL", 588.31, 0.005),
        ("0.5883 L", 588.3, 0.05),
        ("588313 mm^3", 588.313, 0.0005),
        ("35.9 cu in", 35.9 * CUBIC_INCH, 0.05 * CUBIC_INCH),
        ("-2.33 cc", -2.33, 0.005),
        ("5.883e2 cc", 588.3, 0.05),
        ("59.0 ± 0.4 cc", 59.0, 0.05),
        ("(59.0 ± 0.4) cc", 59.0, 0.05),
        ("(\u00a059.0 ± 0.4) cc", 59.0, 0.05),
        ("½ cc", 0.5, 0.25),
        ("47½ cc", 47.5, 0.25),
        ("59.0(4) cc", 59.0, 0.05),
        ("47 1/2 cc", 47.5, 0.25),
    ],
)
def test_volumes(text, value, half_width):
    answer = read_answer(text, VOLUME)
    assert answer.value == pytest.approx(value, rel=1e-12)
    assert answer.half_width == pytest.approx(half_width, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("9,83", "decimal point, not a comma"),
        ("9,83:1", "decimal point, not a comma"),
        ("9.83 cc", "a ratio has no unit"),
        ("about ten", "one plain number"),
        ("", "nothing written"),
        ("   ", "nothing written"),
        ("654.96/66.65", "one plain number"),
        ("588.31+66.65", "one plain number"),
        ("1:9.83", "one plain number"),
        ("9.83:10", "one plain number"),
        ("9.83.1", "one plain number"),
        ("9.83 %", "one plain number"),
        ("__import__('os')", "one plain number"),
        ("nan", "one plain number"),
        ("1e999", "too large"),
        ("0e999", "too large"),
        ("-0e13", "too large"),
        ("9" * 70 + " 1/2", "too large"),
        ("1e-999", "too small"),
        ("1/0", "over zero"),
        ("9" * 200, "one plain number"),
    ],
)
def test_no_ratio(text, reason):
    with pytest.raises(Refused, match=reason):
        read_answer(text, RATIO)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("588,3 cc", "decimal point, not a comma"),
        ("588.3 mm", "a volume is wanted here, and this is a length"),
        ("588.3 quarts", "no unit this kit knows"),
        ("588.3 cc cc", "two units"),
        ("3.14*46**2 cc", "work it out first"),
        ("nan cc", "not a number"),
        ("1e400 cc", "not a number"),
        ("1e13 cc", "too large"),
        (".0E+576", "too large"),
        (".0E+576 cc", "too large"),
        ("5e-324 cc", "too small"),
        ("1/0", "over zero"),
        ("588.3:1", "."),
        ("x" * 10_000, "too long"),
    ],
)
def test_no_volume(text, reason):
    with pytest.raises(Refused, match=reason):
        read_answer(text, VOLUME)


def test_only_text_is_an_answer():
    with pytest.raises(Refused, match="in quotes"):
        read_answer(9.83, RATIO)  # type: ignore[arg-type]


@given(st.text(max_size=90), st.sampled_from(list(QUANTITIES)))
def test_anything_is_read_or_refused(text, quantity):
    with contextlib.suppress(Refused):
        answer = read_answer(text, asked_for(quantity))
        assert math.isfinite(answer.value)
        assert answer.half_width > 0


@given(
    st.decimals(min_value=-9000, max_value=9000, places=3),
    st.sampled_from(["", " cc", "cc", " mL"]),
)
def test_a_number_is_read_as_it_is_written(number, unit):
    answer = read_answer(f"{number}{unit}", VOLUME)
    assert answer.value == pytest.approx(float(number), abs=1e-12)
    assert answer.half_width == pytest.approx(0.0005)


@given(st.floats(0.01, 9999), st.integers(1, 4))
def test_a_rounded_number_holds_what_was_rounded(number, decimals):
    assert read_answer(f"{number:.{decimals}f}", VOLUME).holds(number)


@pytest.mark.parametrize(
    ("text", "sensible"),
    [
        ("9.8", True),  # a decimal
        ("10", False),
        ("588", True),  # a part in 500 or better
        ("67 cc", False),
        ("0.6 L", False),
        ("0.588 L", True),
        ("2353 cc", True),
    ],
)
def test_too_few_digits(text, sensible):
    asked = RATIO if text in ("9.8", "10") else VOLUME
    assert read_answer(text, asked).sensible is sensible


@pytest.mark.parametrize("minus", ["-", "−", "–", "‑"])
def test_any_short_stroke_is_a_minus(minus: str) -> None:
    assert read_answer(f"{minus}8.0 cc", QUANTITIES["crown_volume"]).value == -8.0
    assert read_answer(f"{minus} 8.0 cc", QUANTITIES["crown_volume"]).value == -8.0


def test_one_digit_of_a_large_unit_says_little() -> None:
    gasket = QUANTITIES["gasket_volume"]
    assert not read_answer(".1 cu in", gasket).sensible
    assert read_answer("0.46 cu in", gasket).sensible
    assert read_answer("7.5 cc", gasket).sensible
