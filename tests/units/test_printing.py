"""Numbers as a shop writes them."""

from __future__ import annotations

import pytest
from uncertainties import ufloat

from enginemath.units import (
    Quantity,
    fixed,
    percent,
    plain_minus,
    read,
    shop_unit,
    show,
    show_ratio,
    signed,
    true_minus,
)


@pytest.mark.parametrize(
    ("text", "unit", "printed"),
    [
        ("3.905 in", "in", "3.9050 in"),
        ("50 thou", "in", "0.0500 in"),
        ("0.032 in", "thou", "32.0 thou"),
        ("92 mm", "mm", "92.000 mm"),
        ("9.2 cm", "mm", "92.000 mm"),
        ("92 mm", "in", "3.6220 in"),
        ("3 13/16 in", "mm", "96.838 mm"),
        ("47.5 cc", "cc", "47.50 cc"),
        ("47.5 mL", "cc", "47.50 cc"),
        ("47.5 cc", "ml", "47.50 mL"),
        ("350 cu in", "cu_in", "350.000 cu in"),
        ("350 cu in", "l", "5.735 L"),
        ("60 deg", "deg", "60.0°"),
        ("14.7 psi", "kPa", "101 kPa"),
        ("41 cm2", "cm2", "41.00 cm²"),
        ("20 °C", "degF", "68.0 °F"),
        ("59.0 ± 0.4 cc", "cc", "59.00 ± 0.40 cc"),
        ("-0.00001 mm", "mm", "0.000 mm"),
        ("-5.48 cc", "cc", "−5.48 cc"),
        ("-0.004(1) in", "in", "−0.0040 ± 0.0010 in"),
    ],
)
def test_printed_as_a_shop_writes_it(text: str, unit: str, printed: str) -> None:
    assert show(read(text), unit) == printed


@pytest.mark.parametrize(
    ("ratio", "decimals", "printed"),
    [
        (9.8270, 2, "9.83"),
        (9.8270, 3, "9.827"),
        (Quantity(9.8270, ""), 2, "9.83"),
        (ufloat(9.8270, 0.052), 2, "9.83 ± 0.05"),
    ],
)
def test_ratios_to_two_places_and_three_where_compared(
    ratio: object, decimals: int, printed: str
) -> None:
    assert show_ratio(ratio, decimals) == printed


@pytest.mark.parametrize(
    ("text", "unit"),
    [("3.9 in", "in"), ("50 thou", "in"), ("1 ft", "in"), ("92 mm", "mm"), ("9.2 cm", "mm")],
)
def test_a_shop_reads_lengths_in_the_unit_it_wrote(text: str, unit: str) -> None:
    assert shop_unit(read(text)) == unit


def test_an_uncertainty_is_printed_with_the_same_decimals() -> None:
    assert fixed(ufloat(9.8, 0.1), 1) == "9.8 ± 0.1"
    assert fixed(-0.0004, 3) == "0.000"


@pytest.mark.parametrize(
    ("number", "printed"),
    [(1.5, "+1.50"), (-1.5, "−1.50"), (0.0, "+0.00"), (-0.004, "+0.00"), (-0.006, "−0.01")],
)
def test_a_difference_is_printed_with_its_sign(number: float, printed: str) -> None:
    assert signed(number, 2) == printed


@pytest.mark.parametrize("printed", ["-5.48 cc", "-1e-05", "1e-05 in", "0.5"])
def test_the_minus_sign_of_a_number_can_be_read_back(printed: str) -> None:
    assert true_minus(printed).startswith("−") == printed.startswith("-")
    assert plain_minus(true_minus(printed)) == printed
    assert read(show(read("-5.48 cc"), "cc")) == Quantity(-5.48, "cc")


@pytest.mark.parametrize(
    ("share", "printed"),
    [(0.0, "0 %"), (1e-9, "<1 %"), (0.004, "<1 %"), (0.006, "1 %"), (0.994, "99 %"),
     (0.996, ">99 %"), (1 - 1e-12, ">99 %"), (1.0, "100 %")],
)  # fmt: skip
def test_a_share_is_never_all_or_nothing_unless_it_is(share: float, printed: str) -> None:
    assert percent(share) == printed
