"""What a unit measures, the factors between units, and numbers with their uncertainty."""

from __future__ import annotations

import pint
import pytest
from uncertainties import ufloat

from enginemath.units import (
    Quantity,
    Refused,
    best,
    deviation,
    in_plain_words,
    kind,
    magnitude_in,
    magnitude_of,
    nominal,
    read,
    require_kind,
    unit_of,
    ureg,
)


def test_a_bare_number_is_no_length() -> None:
    with pytest.raises(Refused, match="this is a bare number"):
        require_kind(Quantity(5, ""), "mm", "bore")


def test_a_kind_without_a_name_says_its_unit() -> None:
    assert kind(ureg.Unit("kg")) == "something in kg"


@pytest.mark.parametrize(
    ("a", "b", "words"),
    [
        ("92 mm", "47.5 cc", "a length (mm) and a volume (cc)"),
        ("14.7 psi", "3 in", "a pressure (psi) and a length (in)"),
        ("47.5 cc", None, "a volume (cc) and a bare number"),
    ],
)
def test_dimension_errors_in_plain_words(a: str, b: str | None, words: str) -> None:
    with pytest.raises(pint.DimensionalityError) as error:
        read(a) + (read(b) if b else 1)
    said = in_plain_words(error.value)
    assert said == f"{words} cannot be added, compared or converted into each other"


def test_numbers_with_and_without_uncertainty() -> None:
    sure, unsure = 9.8, ufloat(9.8, 0.1)
    assert (nominal(sure), deviation(sure)) == (9.8, 0)
    assert (nominal(unsure), deviation(unsure)) == (9.8, 0.1)
    assert magnitude_of(Quantity(2, "cm") / Quantity(10, "mm")) == pytest.approx(2)
    assert best(Quantity(unsure, "cc")) == Quantity(9.8, "cc")


@pytest.mark.parametrize(
    ("number", "unit", "into"),
    [
        (3.478, "inch", "mm"),
        (47.5, "cc", "mL"),
        (20.0, "degC", "degF"),
        (68.0, "degF", "kelvin"),
        (0.0, "degC", "kelvin"),
        (ufloat(3.478, 0.001), "inch", "mm"),
    ],
)
def test_a_magnitude_is_the_one_that_pint_converts_to(number: float, unit: str, into: str) -> None:
    quantity = Quantity(number, unit)
    found, expected = magnitude_in(unit_of(into), quantity), quantity.m_as(into)
    assert (nominal(found), deviation(found)) == (nominal(expected), deviation(expected))


def test_a_length_has_no_magnitude_in_cc() -> None:
    for _ in range(2):
        with pytest.raises(pint.DimensionalityError):
            magnitude_in(unit_of("cc"), Quantity(92, "mm"))


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("in", "inch"),
        ("mm", "mm"),
        ("cc", "cm**3"),
        ("cu_in", "inch**3"),
        ("deg", "degree"),
        ("", ""),
    ],
)
def test_a_printed_unit_is_looked_up_once(name: str, unit: str) -> None:
    assert Quantity(1, unit_of(name)).m_as(unit) == pytest.approx(1, rel=1e-15)
    assert unit_of(name) is unit_of(name)


def test_a_refusal_names_the_place_it_is_imported_from() -> None:
    assert f"{Refused.__module__}.{Refused.__qualname__}" == "enginemath.units.Refused"


# NIST SP 811 (2008), appendix B.8; to the last digit printed there. "From memory" where marked.
@pytest.mark.parametrize(
    ("unit", "factor", "si", "tolerance"),
    [
        ("cubic_inch", 1.638706e-05, "m**3", 8.2e-12),
        ("gallon", 3.785412e-03, "m**3", 1.9e-09),
        ("fluid_ounce", 2.957353e-05, "m**3", 1.5e-11),
        ("foot**3", 2.831685e-02, "m**3", 1.5e-08),
        ("psi", 6894.757, "Pa", 3.5e-3),  # from memory
        ("atm", 101325, "Pa", 0.051),  # from memory
        ("mmHg", 133.3224, "Pa", 6.7e-5),  # from memory
        ("inch", 0.0254, "m", 1.3e-8),  # from memory
        ("thou", 2.54e-05, "m", 1.3e-11),  # from memory
    ],
)
def test_factors(unit: str, factor: float, si: str, tolerance: float) -> None:
    assert Quantity(1, unit).m_as(si) == pytest.approx(factor, abs=tolerance)


def test_inches_are_exact() -> None:
    """1 in = 25.4 mm and 1 in³ = 16.387064 cc, both exact by definition."""
    assert Quantity(1, "inch").m_as("mm") == pytest.approx(25.4, rel=1e-15)
    assert Quantity(1, "cubic_inch").m_as("cc") == pytest.approx(16.387064, rel=1e-15)
    assert Quantity(1, "mL").m_as("cc") == pytest.approx(1, rel=1e-15)
