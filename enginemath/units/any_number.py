"""What lets one formula take a float, a NumPy array, a quantity or a number with uncertainty."""

from __future__ import annotations

from typing import Any

from enginemath.units.registry import Number, Quantity, magnitude_in, nominal, unit_of


def bare(number: Number, unit: str) -> Number:
    """The magnitude of a quantity in a unit; a number without a unit as it is.

    >>> bare(Quantity(5, "inch"), "mm"), bare(127.0, "mm")
    (127.0, 127.0)
    """
    return magnitude_in(unit_of(unit), number) if hasattr(number, "m_as") else number


def with_unit(number: Number, unit: str, like: Number) -> Number:
    """A bare number as a quantity where `like` is one; as it is where `like` has no unit.

    >>> print(with_unit(84.3, "kPa", like=Quantity(5000, "foot")))
    84.3 kilopascal
    >>> with_unit(84.3, "kPa", like=1524.0)
    84.3
    """
    return Quantity(number, unit_of(unit)) if hasattr(like, "m_as") else number


def settled(number: Number) -> Number:
    """A number whose readings are written out now, once, and not by all that is worked out of it.

    Args:
        number: bare, plain or uncertain, or a quantity of one.

    Returns:
        The same number.

    >>> settled(3.0)
    3.0
    """
    _ = getattr(getattr(number, "magnitude", number), "derivatives", None)
    return number


def lower_of(a: Number, b: float) -> Number:
    """A bare number, or a limit where that is smaller; element by element in an array.

    >>> lower_of(3.0, 8.0), lower_of(9.0, 8.0)
    (3.0, 8.0)
    """
    if hasattr(a, "shape"):
        import numpy

        return numpy.minimum(a, b)
    return a if nominal(a) < b else b


def higher_of(a: Number, b: float) -> Number:
    """A bare number, or a limit where that is larger; element by element in an array.

    >>> higher_of(3.0, 8.0), higher_of(9.0, 8.0)
    (8.0, 9.0)
    """
    return a + b - lower_of(a, b)


def where(condition: Any, yes: Number, no: Number) -> Number:
    """One number where a condition holds, the other where not; element by element in an array.

    >>> where(3.0 > 2.0, 3.0, 2.0)
    3.0
    """
    if hasattr(condition, "shape") and condition.shape:
        import numpy

        return numpy.where(condition, yes, no)
    return yes if condition else no


def lies_within(number: Number, low: float, high: float) -> bool:
    """Whether a bare number, and each element of an array, lies in a range; NaN does not.

    >>> lies_within(3.0, 0, 8), lies_within(float("nan"), 0, 8)
    (True, False)
    """
    value = nominal(number)
    inside = (value >= low) & (value <= high)
    return bool(inside.all() if hasattr(inside, "all") else inside)
