"""The rules of thumb. The expected ranges are common practice, no source, unless a line says so."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from enginemath.engine import rules_of_thumb
from enginemath.engine.rules_of_thumb import RULES, Rule
from enginemath.units import Quantity, Refused, kind, plain_minus, show_ratio, ureg


@pytest.mark.parametrize(
    ("rule", "low", "high", "unit"),
    [
        (rules_of_thumb.REGULAR_FUEL, 9.0, 9.5, ""),
        (rules_of_thumb.PREMIUM_IRON_HEAD, 9.0, 10.0, ""),
        (rules_of_thumb.PREMIUM_ALUMINIUM_HEAD, 10.0, 11.0, ""),
        (rules_of_thumb.EFFECTIVE_RATIO, 7.5, 8.5, ""),
        (rules_of_thumb.SQUISH, 0.9, 1.15, "mm"),
        (rules_of_thumb.PISTON_TO_INTAKE_VALVE, 2.0, None, "mm"),
        (rules_of_thumb.PISTON_TO_EXHAUST_VALVE, 2.5, None, "mm"),
        (rules_of_thumb.PISTON_BELOW_DECK, 0.0, 0.5, "mm"),
        (rules_of_thumb.CHAMBERS_MATCHED, None, 1.0, "cc"),
        (rules_of_thumb.PISTON_TO_HEAD_DIESEL, 0.6, 1.3, "mm"),
        (rules_of_thumb.BORE_TAPER, None, 0.13, "mm"),
        (rules_of_thumb.BORE_OUT_OF_ROUND, None, 0.05, "mm"),
        (rules_of_thumb.POURS, 3, None, ""),
        (rules_of_thumb.COMPRESSION_TEST, 75, None, "percent"),  # service manuals
        (rules_of_thumb.SPARK_IGNITION, 8, 12, ""),  # Heywood (1988) §2.2, from memory
        (rules_of_thumb.COMPRESSION_IGNITION, 12, 24, ""),  # Heywood (1988) §2.2, from memory
    ],
)
def test_ranges_of_the_trade(rule: Rule, low: float, high: float, unit: str) -> None:
    assert (rule.low, rule.high, rule.unit) == (low, high, unit)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_each_rule_says_where_it_comes_from_and_what_it_does_not_say(rule: Rule) -> None:
    assert (
        rule.status in (rules_of_thumb.COMMON_PRACTICE, "service manuals")
        or "Heywood" in rule.status
    )
    assert rule.caution.endswith(".")
    assert rule.low is not None or rule.high is not None
    if rule.low is not None and rule.high is not None:
        assert rule.low < rule.high
    assert kind(ureg.Unit(rule.unit))
    middle = rule.low if rule.low is not None else rule.high
    said = rule.says(middle)
    assert rule.status in said
    assert rule.caution in said


def test_no_two_rules_share_a_name() -> None:
    assert len({rule.name for rule in RULES}) == len(RULES) == 18


@pytest.mark.parametrize(
    ("value", "place"),
    [(0.88, "below"), (0.9, "inside"), (1.15, "inside"), (1.16, "above"),
     (0.35 - 3 * 0.05 + 0.7, "inside"), (Quantity(0.035, "inch"), "inside"),
     (Quantity(0.040, "inch"), "inside"), (Quantity(30, "thou"), "below"),
     (ufloat(1.0, 0.5), "inside")],
)  # fmt: skip
def test_place_of_a_squish_clearance(value: object, place: str) -> None:
    assert rules_of_thumb.SQUISH.place(value) == place


def test_a_value_that_is_shown_at_an_end_is_not_beyond_it() -> None:
    """ "8.5: above the usual 7.5 to 8.5" would puzzle anybody."""
    assert rules_of_thumb.EFFECTIVE_RATIO.place(8.504) == "inside"
    assert rules_of_thumb.EFFECTIVE_RATIO.place(8.506) == "above"
    assert rules_of_thumb.SQUISH.place(1.15049) == "inside"
    assert rules_of_thumb.SQUISH.place(1.15051) == "above"
    assert rules_of_thumb.PISTON_BELOW_DECK.place(0.35 - 7 * 0.05) == "inside"


def test_one_sided_rules() -> None:
    assert rules_of_thumb.POURS.place(2) == "below"
    assert rules_of_thumb.POURS.place(30) == "inside"
    assert rules_of_thumb.CHAMBERS_MATCHED.place(Quantity(1.4, "cc")) == "above"
    assert rules_of_thumb.CHAMBERS_MATCHED.range == "at most 1 cc"
    assert rules_of_thumb.COMPRESSION_TEST.range == "at least 75 %"


def test_sentence_shows_value_range_status_and_caution() -> None:
    said = rules_of_thumb.SQUISH.says(Quantity(0.030, "inch"))
    assert said == (
        "Squish clearance, steel rods: 0.762 mm is below the usual 0.9 to 1.15 mm (0.035 to "
        "0.045 in) (common practice, no source). Tighter risks contact of piston and head; above "
        "about 1.3 mm (0.050 in) it has little effect."
    )


@pytest.mark.parametrize("rule", [rule for rule in RULES if "ratio" in rule.name.casefold()])
def test_a_ratio_is_printed_as_the_kit_prints_ratios(rule: Rule) -> None:
    assert f": {show_ratio(9.8270)} is " in rule.says(9.8270)
    assert ": 10.00 is " in rule.says(9.9951)


def test_other_numbers_keep_their_digits() -> None:
    assert ": 1.298 is " in rules_of_thumb.CRANKING_EXPONENT.says(1.2984)
    assert ": 0.762 mm is " in rules_of_thumb.SQUISH.says(0.762)
    assert ": 73.5 %, but " in rules_of_thumb.COMPRESSION_TEST.says(73.5)
    assert ": 3, and " in rules_of_thumb.POURS.says(3)


def test_the_dust_of_a_sum_is_neither_printed_nor_judged() -> None:
    assert " 1.151 mm is above " in rules_of_thumb.SQUISH.says(1.1504999999991)
    assert " 0.9 mm is within " in rules_of_thumb.SQUISH.says(0.8999499999991)
    assert " 0 mm is within " in rules_of_thumb.PISTON_BELOW_DECK.says(0.35 - 7 * 0.05)
    assert " 8.50 is within " in rules_of_thumb.EFFECTIVE_RATIO.says(8.5049999)


@given(
    st.sampled_from(RULES),
    st.sampled_from(("low", "high")),
    st.sampled_from((0.5, 0.05, 0.005, 0.0005)),
    st.sampled_from((-1, 1)),
    st.floats(-1e-6, 1e-6) | st.floats(-2e-15, 2e-15) | st.floats(-1, 1),
)
def test_what_is_printed_is_what_is_judged(
    rule: Rule, name: str, step: float, side: int, off: float
) -> None:
    """Above all half a last digit beyond an end, where a sum's dust decides the rounding."""
    end = getattr(rule, name)
    if end is None:
        return
    value = end + side * step + off
    printed = rule.says(value).removeprefix(f"{rule.name}: ").split()[0].rstrip(",")
    assert rule.place(value) == rule.place(float(plain_minus(printed)))


def test_sentence_of_a_rule_with_one_end() -> None:
    assert rules_of_thumb.POURS.says(2).startswith(
        "Pours of a chamber: 2, but the usual is at least"
    )
    assert ": 5, and the usual is at least" in rules_of_thumb.POURS.says(5)


@pytest.mark.parametrize(
    ("index", "head", "rule"),
    [
        (87, "iron", rules_of_thumb.REGULAR_FUEL),
        (87, "aluminium", rules_of_thumb.REGULAR_FUEL),
        (89, "iron", rules_of_thumb.REGULAR_FUEL),
        (91, "iron", rules_of_thumb.PREMIUM_IRON_HEAD),
        (93, "aluminium", rules_of_thumb.PREMIUM_ALUMINIUM_HEAD),
        (85, "iron", None),
        (98, "iron", None),
        (float("nan"), "iron", None),
    ],
)
def test_fuel_by_index_and_head(index: float, head: str, rule: Rule | None) -> None:
    assert rules_of_thumb.fuel_rule(index, head) is rule


def test_better_fuel_and_cooler_head_bear_no_less() -> None:
    highs = [
        rules_of_thumb.fuel_rule(index, head).high
        for index, head in ((87, "iron"), (91, "iron"), (91, "aluminium"))
    ]
    assert highs == sorted(highs)


def test_a_head_of_another_metal_is_refused() -> None:
    with pytest.raises(Refused, match="'steel': write iron or aluminium"):
        rules_of_thumb.fuel_rule(87, "steel")
