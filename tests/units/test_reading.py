"""How a number with a unit may be written, and what is said of one that may not.

The two tables are the documentation of the notation.
"""

from __future__ import annotations

import math
import warnings

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from enginemath.units import (
    Quantity,
    Refused,
    as_quantity,
    deviation,
    nominal,
    read,
    read_as,
    ureg,
)

# Written, value, standard uncertainty, unit.
ACCEPTED = [
    # Decimals.
    ("92.0 mm", 92.0, 0, "mm"),
    ("92 mm", 92.0, 0, "mm"),
    ("92. mm", 92.0, 0, "mm"),
    ("0.5 mm", 0.5, 0, "mm"),
    (".5 mm", 0.5, 0, "mm"),
    ("1e2 mm", 100.0, 0, "mm"),
    ("1.5E-3 m", 0.0015, 0, "m"),
    ("92.0mm", 92.0, 0, "mm"),
    ("  92.0   mm  ", 92.0, 0, "mm"),
    ("92.0\N{NO-BREAK SPACE}mm", 92.0, 0, "mm"),
    ("92.0\N{THIN SPACE}mm", 92.0, 0, "mm"),
    # Signs: hyphen, minus sign, and the dash that a word processor makes of it.
    ("-.5 mm", -0.5, 0, "mm"),
    ("- 0.35 mm", -0.35, 0, "mm"),
    ("\N{MINUS SIGN}0.35 mm", -0.35, 0, "mm"),
    ("\N{EN DASH}0.35 mm", -0.35, 0, "mm"),
    ("+0.35 mm", 0.35, 0, "mm"),
    # Fractions of an inch.
    ("3 29/32 in", 3.90625, 0, "inch"),
    ('3 29/32"', 3.90625, 0, "inch"),
    ("29/32 in", 0.90625, 0, "inch"),
    ("29 / 32 in", 0.90625, 0, "inch"),
    ("29/32in", 0.90625, 0, "inch"),
    ("-3 29/32 in", -3.90625, 0, "inch"),
    ("5/4 in", 1.25, 0, "inch"),
    # An uncertainty after ±, or of the last digits in brackets (JCGM 100:2008, 7.2.2).
    ("59.0 ± 0.4 cc", 59.0, 0.4, "cc"),
    ("59.0±0.4cc", 59.0, 0.4, "cc"),
    ("(59.0 ± 0.4) cc", 59.0, 0.4, "cc"),
    ("59.0 +/- 0.4 cc", 59.0, 0.4, "cc"),
    ("59.0 +- 0.4 cc", 59.0, 0.4, "cc"),
    ("59.0(4) cc", 59.0, 0.4, "cc"),
    ("59.0 (4) cc", 59.0, 0.4, "cc"),
    ("59.00(12) cc", 59.0, 0.12, "cc"),
    ("59(4) cc", 59.0, 4.0, "cc"),
    ("59.0(1.2) cc", 59.0, 1.2, "cc"),
    ("-0.35(2) mm", -0.35, 0.02, "mm"),
    ("3 29/32 ± 1/64 in", 3.90625, 0.015625, "inch"),
    ("0.00 ± 0.02 mm", 0.0, 0.02, "mm"),
    ("59.0 ± 0 cc", 59.0, 0, "cc"),
    ("59.0(0) cc", 59.0, 0, "cc"),
    # Lengths.
    ("50 thou", 50.0, 0, "thou"),
    ("12 thousandths", 12.0, 0, "thou"),
    ("0.050 in", 0.05, 0, "inch"),
    ("0.050 in.", 0.05, 0, "inch"),
    ("0.050 IN", 0.05, 0, "inch"),
    ("0.050 inches", 0.05, 0, "inch"),
    ("0.050″", 0.05, 0, "inch"),
    ("0.050''", 0.05, 0, "inch"),
    ("9.2 cm", 9.2, 0, "cm"),
    ("92 millimetres", 92.0, 0, "mm"),
    ("92 millimeters", 92.0, 0, "mm"),
    ("25 µm", 25.0, 0, "micrometer"),
    ("25 microns", 25.0, 0, "micrometer"),
    ("1200 m", 1200.0, 0, "m"),
    ("5280 ft", 5280.0, 0, "foot"),
    # Volumes.
    ("47.5 cc", 47.5, 0, "cc"),
    ("47.5 c.c.", 47.5, 0, "cc"),
    ("47.5 cm3", 47.5, 0, "cc"),
    ("47.5 cm^3", 47.5, 0, "cc"),
    ("47.5 cm**3", 47.5, 0, "cc"),
    ("47.5 cm³", 47.5, 0, "cc"),
    ("47.5 cubic centimetres", 47.5, 0, "cc"),
    ("24.40 mL", 24.4, 0, "mL"),
    ("24.40 ml", 24.4, 0, "mL"),
    ("2.0 L", 2.0, 0, "liter"),
    ("350 cu in", 350.0, 0, "cu_in"),
    ("350 cu. in.", 350.0, 0, "cu_in"),
    ("350 cu.in.", 350.0, 0, "cu_in"),
    ("350 cubic inches", 350.0, 0, "cu_in"),
    ("350 in³", 350.0, 0, "cu_in"),
    ("350 cid", 350.0, 0, "cu_in"),
    # Areas, angles, temperatures, pressures, speeds.
    ("41 cm**2", 41.0, 0, "cm**2"),
    ("41 sq cm", 41.0, 0, "cm**2"),
    ("6.4 sq. in.", 6.4, 0, "inch**2"),
    ("60 deg", 60.0, 0, "degree"),
    ("60°", 60.0, 0, "degree"),
    ("20 °C", 20.0, 0, "degC"),
    ("68 °F", 68.0, 0, "degF"),
    ("101.3 kPa", 101.3, 0, "kPa"),
    ("14.7 psi", 14.7, 0, "psi"),
    ("250 rpm", 250.0, 0, "rpm"),
]

NO_UNIT = 'no unit; write it after the number, like "'
LIKE_THIS = 'write a number and its unit, like "92.0 mm"'
WORK_OUT = "work it out first; write one number and its unit"
TWO = "two units"
NO_NUMBER = "not a number that can be measured"
BEFORE = 'write the uncertainty before the unit, like "59.0 ± 0.4 cc"'

# Written, what is said of it.
REFUSED = [
    # No unit, or no number.
    ("92.0", NO_UNIT + '92.0 mm" or "92.0 cc"'),
    (" 92.0 ", NO_UNIT + '92.0 mm"'),
    ("3 29/32", NO_UNIT + '3 29/32 mm"'),
    ("3\n29/32", NO_UNIT + '3 29/32 mm"'),
    ("59.0 ± 0.4", NO_UNIT + '59.0 ± 0.4 mm"'),
    ("1e5", NO_UNIT),
    ("", "nothing written"),
    (" \t\n", "nothing written"),
    ("mm", LIKE_THIS),
    ("about 5 mm", LIKE_THIS),
    ("~5 mm", LIKE_THIS),
    ("five mm", LIKE_THIS),
    (". mm", LIKE_THIS),
    ("5.0.0 mm", LIKE_THIS),
    ("'5 mm'", LIKE_THIS),
    ("None", LIKE_THIS),
    ("９2 mm", LIKE_THIS),  # a full-width digit
    ("1" * 90 + " mm", "too long"),
    # A comma is never guessed at.
    ("3,905 in", "write a decimal point, not a comma (3.905 or 3905)"),
    ("92,0 mm", "write a decimal point, not a comma (92.0 or 920)"),
    ("0,35 mm", "write a decimal point, not a comma (0.35)"),
    ("59 ± 0,4 cc", "write a decimal point, not a comma (0.4)"),
    ("1,234.5 cc", "leave the comma out (1234.5)"),
    ("1,234,567 cc", "leave the comma out (1234567)"),
    ("1.234,5 cc", "write a decimal point, not a comma (1234.5)"),
    ("1 234,5 cc", "write a decimal point, not a comma (1234.5)"),
    ("3,905", "write a decimal point, not a comma"),
    # Not a measurement.
    ("nan mm", NO_NUMBER),
    ("inf cc", NO_NUMBER),
    ("-infinity mm", NO_NUMBER),
    ("1e999 mm", NO_NUMBER),
    ("1e200 mm", NO_NUMBER),
    ("5 ± 1e200 mm", NO_NUMBER),
    ("5 ± 1e999 mm", NO_NUMBER),
    # Units that the kit does not know.
    ("5 furlongs", '"furlongs" is no unit this kit knows'),
    ("5 mm?", '"mm?" is no unit'),
    ("5 mm/s", '"mm/s" is no unit'),
    ("5 mm*2", '"mm*2" is no unit'),
    ("5 cm 3", '"cm 3" is no unit'),
    ("5 c m", '"c m" is no unit'),
    ("5'", '"\'" is no unit'),
    ("20 C", '"C" is no unit'),
    ("0x10 mm", '"x10 mm" is no unit'),
    ("0.35 mm below", '"mm below" is no unit'),
    ("60° 30'", "is no unit"),
    ("40 mil", "a mil is a thousandth of an inch to some and a millimetre to others"),
    # Two values, two units.
    ("92 mm in", TWO),
    ("92 m m", TWO),
    ("92 mm 3 in", TWO),
    ("92 mm = 3.622 in", TWO),
    ("92 mm / 3.6 in", TWO),
    ("3 ft 2 in", TWO),
    # Expressions are never evaluated.
    ("9**9 mm", WORK_OUT),
    ("2+3 mm", WORK_OUT),
    ("2 * 3 mm", WORK_OUT),
    ("3-5 mm", WORK_OUT),
    ("3 – 5 mm", WORK_OUT),
    ("--5 mm", WORK_OUT),
    ("(5) mm", WORK_OUT),
    ("(59.0 ± 0.4 cc", WORK_OUT),
    ("92.0 mm (3.622 in)", WORK_OUT),
    ("1.5/2 in", WORK_OUT),
    ("1/2/3 in", WORK_OUT),
    ("__import__('os').getcwd() mm", LIKE_THIS),
    # Fractions.
    ("3-29/32 in", 'write a mixed number with a space, like "3 29/32 in"'),
    ("1/0 in", "no such fraction"),
    ("3 29/3 in", "no such fraction"),
    # Uncertainties.
    ("59.0 cc ± 0.4", BEFORE),
    ("59.0 cc ± 0.4 cc", BEFORE),
    ("59.0 ± -0.4 cc", BEFORE),
    ("59.0 ± 0.4 ± 0.3 cc", LIKE_THIS),
    ("3 29/32(1) in", "write the uncertainty after ±"),
    ("1e2(1) mm", "write the uncertainty after ±"),
    ("59.0() cc", WORK_OUT),
]


def written(rows: list[tuple]) -> list[str]:
    return [repr(row[0])[:40] for row in rows]


@pytest.mark.parametrize(("text", "value", "spread", "unit"), ACCEPTED, ids=written(ACCEPTED))
def test_accepted(text: str, value: float, spread: float, unit: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        quantity = read(text)
    assert quantity.units == ureg.Unit(unit)
    assert nominal(quantity.magnitude) == pytest.approx(value, rel=1e-15)
    assert deviation(quantity.magnitude) == pytest.approx(spread, rel=1e-12)


@pytest.mark.parametrize(("text", "words"), REFUSED, ids=written(REFUSED))
def test_refused(text: str, words: str) -> None:
    with pytest.raises(Refused) as refusal:
        read(text)
    said = str(refusal.value)
    assert words in said
    assert said.splitlines() == [said]
    assert said.startswith(f'"{text[:5].translate(dict.fromkeys(range(32), "?"))}')


def test_the_tables_are_long_enough_to_document() -> None:
    assert len(ACCEPTED) >= 60
    assert len(REFUSED) >= 60
    for rows in (ACCEPTED, REFUSED):
        assert len({row[0] for row in rows}) == len(rows)


@pytest.mark.parametrize("value", [92.0, 92, None, True, ["92 mm"], b"92 mm"])
def test_what_is_no_text_is_refused(value: object) -> None:
    with pytest.raises(Refused, match="write a number and its unit in quotes"):
        read(value)  # type: ignore[arg-type]


LETTERS = "0123456789 .,/+-±()*^eE\"'°µ²³½–−\n\t_mcinLthouadegkPrsf"


@given(st.one_of(st.text(), st.text(LETTERS, max_size=30)))
@example("\N{ARABIC-INDIC DIGIT FIVE} mm")
@example("\ud800")
@example("5 \N{LINE SEPARATOR}mm,")
def test_any_text_is_read_or_refused_in_one_line(text: str) -> None:
    try:
        quantity = read(text)
    except Refused as refusal:
        said = str(refusal)
        assert said.splitlines() == [said]
        assert len(said) < 300
    else:
        assert math.isfinite(nominal(quantity.magnitude))
        assert math.isfinite(deviation(quantity.magnitude))


@given(
    st.floats(-1e6, 1e6),
    st.floats(0, 1e3),
    st.sampled_from(["mm", "in", "thou", "cc", "mL", "cu in", "deg", "m"]),
)
def test_what_python_prints_reads_back_equal(value: float, spread: float, unit: str) -> None:
    quantity = read(f"{value!r} ± {spread!r} {unit}")
    assert nominal(quantity.magnitude) == value
    assert deviation(quantity.magnitude) == spread


@given(st.integers(0, 20), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_are_exact(whole: int, top: int, bottom: int) -> None:
    quantity = read(f"{whole} {top % bottom}/{bottom} in")
    assert quantity.magnitude == whole + (top % bottom) / bottom


class TestKinds:
    def test_read_as(self) -> None:
        assert read_as("50 thou", "mm").m_as("inch") == pytest.approx(0.05)

    @pytest.mark.parametrize(
        ("text", "unit", "words"),
        [
            ("5 cc", "mm", '"5 cc": a length is wanted here, and this is a volume'),
            ("5 mm", "cc", '"5 mm": a volume is wanted here, and this is a length'),
            ("5 mm", "mm**2", "an area is wanted here, and this is a length"),
            ("5 mm", "deg", "an angle is wanted here, and this is a length"),
            ("5 deg", "mm", "a length is wanted here, and this is an angle"),
            ("5 psi", "cc", "a volume is wanted here, and this is a pressure"),
            ("5 °C", "kPa", "a pressure is wanted here, and this is a temperature"),
            ("5 rpm", "mm", "this is a speed of rotation"),
        ],
    )
    def test_another_kind_of_thing_is_refused(self, text: str, unit: str, words: str) -> None:
        with pytest.raises(Refused) as refusal:
            read_as(text, unit)
        assert words in str(refusal.value)

    @pytest.mark.parametrize(
        ("unit", "offers"),
        [
            ("mm", '"88.3 mm" or "88.3 in"'),
            ("in", '"88.3 mm" or "88.3 in"'),
            ("mL", '"88.3 cc" or "88.3 cu in"'),
            ("kPa", '"88.3 kPa" or "88.3 psi"'),
            ("m", '"88.3 m" or "88.3 ft"'),
            ("deg", '"88.3 deg"'),
        ],
    )
    def test_a_missing_unit_is_offered_in_the_wanted_kind(self, unit: str, offers: str) -> None:
        with pytest.raises(Refused) as refusal:
            read_as("88.3", unit)
        assert str(refusal.value).endswith(f"like {offers}")

    def test_a_quantity_passes_as_it_is(self) -> None:
        bore = Quantity(92, "mm")
        assert as_quantity(bore) is bore


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("½ in", 0.5),
        ("3½ in", 3.5),
        ("3 ½ in", 3.5),
        ("3 29⁄32 in", 3.90625),
        ("3 ²⁹⁄₃₂ in", 3.90625),
        ("3²⁹⁄₃₂ in", 3.90625),
        ("3²⁹/32 in", 3.90625),
        ("²⁹⁄₃₂ in", 0.90625),
        ("3 29∕32 in", 3.90625),
        ("⅞ in", 0.875),
        ("−⅛ in", -0.125),
        ("3½ ± 1/1000 in", 3.5),
    ],
)
def test_fractions_as_phones_type_them(text: str, inches: float) -> None:
    assert nominal(read(text).m_as("inch")) == pytest.approx(inches, rel=1e-15)


@pytest.mark.parametrize(
    "text", ["½½ in", "3½4 in", "²⁄ in", "3 ₂⁄₃ in", "²⁄₀ in", "1²⁄₃²⁄₃ in", "↉ in", "½", "3½/4 in"]
)
def test_what_is_no_fraction_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        read(text)
