"""What each dimension can be, and what was probably meant where it cannot."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.units import Quantity, Refused, nominal, read

ALL = {name: limit for name, limit in vars(limits).items() if isinstance(limit, Limit)}

# Dimensions of engines that run: from a 10 cc model engine over a 50 cc single and an inline
# four to a 16-litre diesel and a slow stationary engine. From memory, rounded; no model is meant.
REAL = [
    (limits.BORE, ["0.94 in", "38 mm", "39.0 mm", "92.0 mm", "4.125 in", "141 mm", "200 mm"]),
    (limits.STROKE, ["0.87 in", "41.4 mm", "88.5 mm", "3.48 in", "171 mm", "7 in", "300 mm"]),
    (limits.ROD_LENGTH, ["1.6 in", "85 mm", "145 mm", "5.7 in", "10.5 in", "600 mm"]),
    (limits.PIN_OFFSET, ["0 mm", "1.5 mm", "-0.060 in"]),
    (limits.CHAMBER, ["0.9 cc", "5.2 cc", "47.5 cc", "2.9 cu in", "118 mL", "180 cc", "0.4 L"]),
    (limits.GASKET_BORE, ["0.96 in", "39.5 mm", "93.2 mm", "4.200 in", "146 mm", "205 mm"]),
    (limits.GASKET_THICKNESS, ["0.004 in", "0.25 mm", "1.10 mm", "39 thou", "0.12 in", "3.2 mm"]),
    (limits.GASKET_VOLUME, ["0.07 cc", "0.3 cc", "7.5 cc", "0.6 cu in", "30 cc"]),
    (limits.DECK_CLEARANCE, ["-0.9 mm", "-0.005 in", "0 mm", "0.35 mm", "25 thou", "2.5 mm"]),
    (limits.DEPTH_AT_BDC, ["0.9 in", "41.6 mm", "88.85 mm", "3.935 in", "172 mm"]),
    (limits.DISH, ["0 cc", "0.5 cc", "6.0 cc", "27.5 cc", "140 cc", "8 cu in"]),
    (limits.DOME, ["0 cc", "1.2 cc", "12.5 cc", "45 cc"]),
    (limits.RELIEFS, ["0 cc", "0.4 cc", "2.8 cc", "7 cc"]),
    (limits.KNOWN_DEPTH, ["5 mm", "12.70 mm", "0.500 in", "1 in"]),
    (limits.POURED, ["6 cc", "93.2 cc", "0.5 L"]),
    (limits.LAND_HEIGHT, ["2 mm", "6.0 mm", "0.300 in", "18 mm"]),
    (limits.LAND_CLEARANCE, ["0.15 mm", "0.60 mm", "0.024 in", "1.2 mm"]),
    (limits.INTAKE_CLOSES, ["0 deg", "34 deg", "60 deg", "74°", "110 deg"]),
    (limits.ALTITUDE, ["-100 ft", "0 m", "1200 m", "5280 ft", "4300 m"]),
    (limits.BURETTE_READING, ["0.00 mL", "25.00 mL", "100 mL"]),
    (limits.OVERBORE, ["0 mm", "30 thou", "0.060 in", "1 mm"]),
]


@pytest.mark.parametrize(
    ("limit", "text"), [(limit, text) for limit, texts in REAL for text in texts], ids=str
)
def test_what_engines_have_is_accepted(limit: Limit, text: str) -> None:
    assert limit.accept(text) == read(text)


# The slip, and the question that it must bring up.
MEANT = [
    # mm written for inches, and inches for mm.
    (limits.BORE, "3.905 mm", "did you mean 3.905 in?"),
    (limits.BORE, "92.0 in", "did you mean 92 mm?"),
    (limits.STROKE, "3.48 mm", "did you mean 3.48 in?"),
    (limits.STROKE, "88.5 in", "did you mean 88.5 mm?"),
    (limits.ROD_LENGTH, "5.7 mm", "did you mean 5.7 in?"),
    (limits.ROD_LENGTH, "145 in", "did you mean 145 mm?"),
    (limits.GASKET_BORE, "4.200 mm", "did you mean 4.2 in?"),
    (limits.GASKET_BORE, "93.2 in", "did you mean 93.2 mm?"),
    (limits.GASKET_THICKNESS, "0.0433 mm", "did you mean 0.0433 in?"),
    (limits.GASKET_THICKNESS, "1.10 in", "did you mean 1.1 mm?"),
    (limits.DEPTH_AT_BDC, "3.935 mm", "did you mean 3.935 in?"),
    (limits.DEPTH_AT_BDC, "88.85 in", "did you mean 88.85 mm?"),
    (limits.PIN_OFFSET, "1.5 in", "did you mean 1.5 mm?"),
    (limits.DECK_CLEARANCE, "0.5 in", "did you mean 0.5 mm?"),
    (limits.KNOWN_DEPTH, "12.7 in", "did you mean 12.7 mm?"),
    # Thousandths.
    (limits.GASKET_THICKNESS, "39 mm", "did you mean 39 thou?"),
    (limits.GASKET_THICKNESS, "39 in", "did you mean 39 thou?"),
    (limits.GASKET_THICKNESS, "1.1 thou", "did you mean 1.1 mm?"),
    (limits.DECK_CLEARANCE, "25 mm", "did you mean 25 thou?"),
    (limits.DECK_CLEARANCE, "25 in", "did you mean 25 thou?"),
    (limits.BORE, "3.905 thou", "did you mean 3.905 in?"),
    (limits.BORE, "92 thou", "did you mean 92 mm?"),
    (limits.BORE, "3905 mm", "did you mean 3905 thou?"),
    # Centimetres and metres.
    (limits.BORE, "9.2 mm", "did you mean 9.2 cm?"),
    (limits.STROKE, "8.85 mm", "did you mean 8.85 cm?"),
    (limits.BORE, "92 cm", "did you mean 92 mm?"),
    (limits.GASKET_THICKNESS, "1.1 cm", "did you mean 1.1 mm?"),
    (limits.BORE, "92 m", "did you mean 92 mm?"),
    # Volumes.
    (limits.CHAMBER, "47.5 L", "did you mean 47.5 cc?"),
    (limits.CHAMBER, "47.5 mm3", "did you mean 47.5 cc?"),
    (limits.CHAMBER, "0.0475 cc", "did you mean 0.0475 L?"),
    (limits.CHAMBER, "250 cu in", "did you mean 250 cc?"),
    (limits.DISH, "120 cu in", "did you mean 120 cc?"),
    # Angles and heights.
    (limits.INTAKE_CLOSES, "60 rad", "did you mean 60 deg?"),
    (limits.ALTITUDE, "12000 m", "did you mean 12000 ft?"),
    # Nothing to guess.
    (limits.BORE, "1e9 mm", "outside what an engine can have (15 to 400 mm)"),
    (limits.BORE, "273.81 in", "outside what an engine can have (0.591 to 15.7 in)"),
    (limits.BORE, "0 mm", "cannot be zero"),
    (limits.BORE, "-92 mm", "cannot be negative"),
    (limits.STROKE, "0 in", "cannot be zero"),
    (limits.CHAMBER, "0 cc", "cannot be zero"),
    (limits.CHAMBER, "-47.5 cc", "cannot be negative"),
    (limits.GASKET_THICKNESS, "0 mm", "cannot be zero"),
    (limits.GASKET_THICKNESS, "-1.1 mm", "cannot be negative"),
    (limits.LAND_CLEARANCE, "0 mm", "cannot be zero"),
    (limits.DISH, "-6 cc", "a negative dish is a dome"),
    (limits.DOME, "-6 cc", "a negative dome is a dish"),
    (limits.RELIEFS, "-1 cc", "cannot be negative"),
    (limits.INTAKE_CLOSES, "200 deg", "outside what an engine can have (0 to 130 deg)"),
    (limits.DECK_CLEARANCE, "-12 mm", "outside what an engine can have (-8 to 10 mm)"),
    # The wrong kind, or no number at all: the reading is named.
    (limits.BORE, "92 cc", "bore 92 cc: a length is wanted here, and this is a volume"),
    (limits.CHAMBER, "47.5 mm", "chamber volume 47.5 mm: a volume is wanted here"),
    (limits.INTAKE_CLOSES, "60 mm", "intake closing 60 mm: an angle is wanted here"),
    (limits.BORE, "92.0", 'bore "92.0": no unit'),
    (limits.BORE, "92,0 mm", 'bore "92,0 mm": write a decimal point'),
    # So unsure that it says nothing.
    (limits.BORE, "92 ± 95 mm", "± 95 mm is so wide that the reading says nothing"),
    (limits.CHAMBER, "47.5 ± 1e9 cc", "so wide"),
    (limits.DECK_CLEARANCE, "0 ± 1e20 mm", "so wide"),
]


@pytest.mark.parametrize(("limit", "text", "words"), MEANT, ids=lambda each: str(each)[:30])
def test_what_cannot_be_is_refused_with_what_was_meant(limit: Limit, text: str, words: str) -> None:
    with pytest.raises(Refused) as refusal:
        limit.accept(text)
    said = str(refusal.value)
    assert words in said
    assert said.startswith(limit.name)
    assert said.splitlines() == [said]


# Possible, but worth a second look.
UNUSUAL = [
    (limits.DECK_CLEARANCE, "0.05 in", "unusual (0 to 0.0315 in): did you mean 0.05 mm?"),
    (limits.DECK_CLEARANCE, "-0.3 mm", "unusual (0 to 0.8 mm): measure it again"),
    (limits.GASKET_THICKNESS, "0.12 mm", "did you mean 0.12 in?"),
    (limits.CHAMBER, "2.9 cc", "did you mean 2.9 cu in?"),
    (limits.CHAMBER, "47.5 cu in", "did you mean 47.5 cc?"),
    (limits.LAND_CLEARANCE, "0.022 mm", "did you mean 0.022 in?"),
    (limits.ALTITUDE, "5000 m", "did you mean 5000 ft?"),
    (limits.ALTITUDE, "-400 m", "measure it again"),
    (limits.BORE, "250 mm", "measure it again"),
    # In a unit that nobody reads an altitude in.
    (limits.ALTITUDE, "1200 mm", "altitude 1200 mm: did you mean 1200 m?"),
    (limits.ALTITUDE, "5280 in", "did you mean 5280 ft?"),
    # So unsure that the ± is doubted.
    (limits.BORE, "92.0 ± 50 mm", "bore 92 mm: ± 50 mm is more than a tenth of it"),
    (limits.STROKE, "3.48 ± 0.40 in", "± 0.4 in is more than a tenth of it"),
    (limits.CHAMBER, "47.5 ± 5 cc", "more than a tenth"),
    (limits.GASKET_THICKNESS, "1.1 ± 0.3 mm", "more than a tenth"),
    (limits.POURED, "93.2 ± 10 cc", "more than a tenth"),
]


@pytest.mark.parametrize(("limit", "text", "words"), UNUSUAL, ids=lambda each: str(each)[:30])
def test_what_is_unusual_passes_with_a_question(limit: Limit, text: str, words: str) -> None:
    warning = limit.warning(limit.accept(text))
    assert warning is not None
    assert warning.startswith(f"{limit.name} ")
    assert words in warning


@pytest.mark.parametrize(
    ("limit", "text"),
    [
        (limits.BORE, "92.0 ± 0.05 mm"),
        (limits.CHAMBER, "3.0 ± 0.3 cc"),
        (limits.GASKET_THICKNESS, "1.10 ± 0.03 mm"),
        (limits.GASKET_THICKNESS, "0.25 ± 0.05 mm"),
        (limits.GASKET_THICKNESS, "0.010 ± 0.002 in"),
        (limits.LAND_CLEARANCE, "0.15 ± 0.05 mm"),
        (limits.DECK_CLEARANCE, "0.02 ± 0.10 mm"),
        (limits.DISH, "0.5 ± 0.5 cc"),
        (limits.ALTITUDE, "0 mm"),
        (limits.ALTITUDE, "30 ± 50 m"),
    ],
    ids=str,
)
def test_what_a_plain_tool_is_good_for_brings_no_question(limit: Limit, text: str) -> None:
    assert limit.warning(limit.accept(text)) is None


@pytest.mark.parametrize(("limit", "texts"), REAL, ids=lambda each: getattr(each, "name", ""))
def test_the_middle_of_what_engines_have_brings_no_question(limit: Limit, texts: list[str]) -> None:
    middle = sorted(texts, key=lambda text: read(text).m_as(limit.unit))[len(texts) // 2]
    assert limit.warning(limit.accept(middle)) is None


@pytest.mark.parametrize("limit", ALL.values(), ids=ALL)
class TestEveryLimit:
    def test_bounds_are_in_order(self, limit: Limit) -> None:
        low, high = limit.usual or (limit.low, limit.high)
        assert limit.low <= low < high <= limit.high

    def test_ends_belong_to_the_range_and_a_hair_beyond_does_not(self, limit: Limit) -> None:
        hair = 1e-9 * (limit.high - limit.low)
        assert limit.can_be(limit.high)
        assert limit.can_be(limit.low) is not limit.above_low
        assert not limit.can_be(limit.high + hair)
        assert not limit.can_be(limit.low - hair)
        assert limit.can_be(limit.low + hair)

    def test_not_a_number_is_refused(self, limit: Limit) -> None:
        for value in (math.nan, math.inf, ufloat(math.nan, 0.1)):
            with pytest.raises(Refused, match="not a number that can be measured"):
                limit.accept(Quantity(value, limit.unit))


def test_a_guess_is_itself_acceptable_and_usual() -> None:
    for limit, text, words in MEANT:
        if "did you mean" in words:
            guess = words.removeprefix("did you mean ").rstrip("?")
            assert limit.is_usual(limit.accept(guess)), text


def test_what_is_left_of_a_deck_after_whole_steps_is_nothing_unusual() -> None:
    assert 0.35 - 7 * 0.05 < 0
    assert limits.DECK_CLEARANCE.warning(Quantity(0.35 - 7 * 0.05, "mm")) is None


@given(st.sampled_from(list(ALL.values())), st.floats(0.001, 0.999))
def test_inches_and_millimetres_get_the_same_answer(limit: Limit, share: float) -> None:
    value = limit.low + share * (limit.high - limit.low)
    other = {"mm": "inch", "cc": "cubic_inch", "m": "foot", "deg": "radian"}[limit.unit]
    quantity = Quantity(value, limit.unit)
    accepted = limit.accept(quantity.to(other))
    assert nominal(accepted.m_as(limit.unit)) == pytest.approx(value)
    assert str(accepted.units) == str(Quantity(1, other).units)


def test_a_quantity_keeps_its_unit_and_its_uncertainty() -> None:
    bore = limits.BORE.accept("3.905 ± 0.001 in")
    assert str(bore.units) == "inch"
    assert bore.magnitude.std_dev == pytest.approx(0.001)
