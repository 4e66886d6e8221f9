"""Rules of thumb: one table, that warnings, panels and lessons share.

Each is a range with a caution, not a promise, and says where it comes from.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from enginemath.units import (
    MM_PER_INCH,
    Number,
    Refused,
    deviation,
    nominal,
    plain_minus,
    show_ratio,
    true_minus,
)
from enginemath.units.any_number import bare

COMMON_PRACTICE = "common practice, no source"


class Rule(NamedTuple):
    """A range that the trade goes by.

    Args:
        name: what is judged, as a sentence begins.
        low: lower end, or None where there is none.
        high: upper end, or None.
        unit: of both ends, as pint names it; empty for a bare number.
        status: where the rule comes from.
        caution: what it does not say.
        of_ratio: whether it judges a compression ratio, which is printed as one.
    """

    name: str
    low: float | None
    high: float | None
    unit: str
    status: str
    caution: str
    of_ratio: bool = False

    def place(self, value: Number) -> str:
        """Where a value lies: ``"below"``, ``"inside"`` or ``"above"`` the range.

        Value and range are compared as they are printed, a length in mm and in inches: what
        reads 0.9 mm or 0.035 in is not below 0.9 mm (0.035 in).

        Args:
            value: a quantity, or a bare number in the rule's unit.

        >>> SQUISH.place(1.45), EFFECTIVE_RATIO.place(8.1)
        ('above', 'inside')
        """
        numbers = self._as_printed(float(plain_minus(self._digits(value))))
        for end, place in ((self.low, "below"), (self.high, "above")):
            if end is None:
                continue
            pairs = zip(numbers, self._rounded(end), strict=True)
            if all(
                number < limit if place == "below" else number > limit for number, limit in pairs
            ):
                return place
        return "inside"

    def _as_printed(self, number: float) -> tuple[float, ...]:
        return (number, _in_inches(number)) if self.unit == "mm" else (number,)

    def _rounded(self, end: float) -> tuple[float, ...]:
        return (end, _to_five_thou(end)) if self.unit == "mm" else (end,)

    @property
    def range(self) -> str:
        """The range in words, lengths in inches too.

        >>> SQUISH.range, PISTON_TO_INTAKE_VALVE.range, EFFECTIVE_RATIO.range
        ('0.9 to 1.15 mm (0.035 to 0.045 in)', 'at least 2 mm (0.080 in)', '7.5 to 8.5')
        """
        ends = [end for end in (self.low, self.high) if end is not None]
        text = _ends([f"{end:g}" for end in ends], _PRINTED.get(self.unit, self.unit))
        if self.unit == "mm":
            text += f" ({_ends([f'{_to_five_thou(end):.3f}' for end in ends], 'in')})"
        if self.high is None:
            return f"at least {text}"
        return text if self.low is not None else f"at most {text}"

    def range_in(self, unit: str) -> str:
        """The range in words, with the shop's unit of lengths first.

        >>> SQUISH.range_in("in"), PISTON_TO_INTAKE_VALVE.range_in("in")
        ('0.035 to 0.045 in (0.9 to 1.15 mm)', 'at least 0.080 in (2 mm)')
        """
        return _led_by(self.range, unit)

    def says(self, value: Number, unit: str = "mm") -> str:
        """Judge a value in one or two sentences, with the rule's status and caution.

        A value with a ± is compared as an interval: what is outside by less than it is unsure
        lies about the end.

        Args:
            value: a quantity, or a bare number in the rule's unit.
            unit: of lengths that comes first, mm or in.

        >>> print(EFFECTIVE_RATIO.says(9.0361))
        Effective ratio on pump fuel: 9.04 is above the usual 7.5 to 8.5 (common practice, no
        source). It depends on the valve lift at which the cam timing was read.
        >>> from uncertainties import ufloat
        >>> EFFECTIVE_RATIO.says(ufloat(8.57, 0.13))[:71]
        'Effective ratio on pump fuel: 8.57 ± 0.13 is about the upper end of the'
        """
        shown = self._shown(value, unit)
        place, end = self.place(value), self._end_within(value)
        if self.low is None or self.high is None:
            judged = f"{shown}, {'and' if place == 'inside' else 'but'} the usual is"
        elif end:
            judged = f"{shown} is about the {end} end of the usual"
        else:
            judged = f"{shown} is {'within' if place == 'inside' else place} the usual"
        said = f"{self.name}: {judged} {self.range} ({self.status}). {self.caution}"
        return _led_by(said, unit)

    def _shown(self, value: Number, unit: str) -> str:
        if self.unit == "mm" and unit == "in":
            number = bare(value, self.unit) / MM_PER_INCH
            best, u = f"{nominal(number):.4f}", deviation(number)
            return true_minus(f"{best} ± {u:.4f} in" if u else f"{best} in")
        own = _PRINTED.get(self.unit, self.unit)
        return f"{self._digits(value)}{self._spread(value)} {own}".strip()

    def _end_within(self, value: Number) -> str:
        """The end of the range that the value's 95 % reaches from outside: upper, lower or none.

        Source: twice the standard uncertainty each way; JCGM 100:2008, 6.3.3.
        """
        number = bare(value, self.unit)
        best, reach = nominal(number), 2 * deviation(number)
        if reach and self.high is not None and best - reach <= self.high < best:
            return "upper"
        if reach and self.low is not None and best < self.low <= best + reach:
            return "lower"
        return ""

    def _spread(self, value: Number) -> str:
        u = deviation(bare(value, self.unit))
        if not u:
            return ""
        return f" ± {show_ratio(u)}" if self.of_ratio else f" ± {u:.2g}"

    def _digits(self, value: Number) -> str:
        """A value's number as it is printed; what is judged is this and no finer."""
        number = round(nominal(bare(value, self.unit)), 9) + 0.0
        return show_ratio(number) if self.of_ratio else true_minus(f"{number:.4g}")


_PRINTED = {"percent": "%", "degree": "°"}


def _in_inches(mm: float) -> float:
    """As it is printed."""
    return round(mm / MM_PER_INCH, 4)


_IN_BOTH = re.compile(r"((?:[\d.]+ to )?[\d.]+) mm \(((?:[\d.]+ to )?[\d.]+) in\)")


def _led_by(text: str, unit: str) -> str:
    return _IN_BOTH.sub(r"\2 in (\1 mm)", text) if unit == "in" else text


def _to_five_thou(mm: float) -> float:
    """Inches, in the steps in which the trade gives a rule of thumb: finer what is wear."""
    step = 0.005 if mm >= 0.2 else 0.001
    return step * round(mm / MM_PER_INCH / step)


def _ends(ends: list[str], unit: str) -> str:
    return f"{' to '.join(ends)} {unit}".strip()


REGULAR_FUEL = Rule(
    "Ratio for regular pump fuel, antiknock index 87",
    9.0,
    9.5,
    "",
    COMMON_PRACTICE,
    "Naturally aspirated. Chamber shape, cam, load and altitude move it; too much brings knock.",
    of_ratio=True,
)
PREMIUM_IRON_HEAD = Rule(
    "Ratio for premium pump fuel, antiknock index 91 to 93, iron head",
    9.0,
    10.0,
    "",
    COMMON_PRACTICE,
    "Naturally aspirated. Chamber shape, cam, load and altitude move it; too much brings knock.",
    of_ratio=True,
)
PREMIUM_ALUMINIUM_HEAD = Rule(
    "Ratio for premium pump fuel, antiknock index 91 to 93, aluminium head",
    10.0,
    11.0,
    "",
    COMMON_PRACTICE,
    "About one more than with an iron head. Naturally aspirated. Chamber shape, cam, load and "
    "altitude move it; too much brings knock.",
    of_ratio=True,
)
EFFECTIVE_RATIO = Rule(
    "Effective ratio on pump fuel",
    7.5,
    8.5,
    "",
    COMMON_PRACTICE,
    "It depends on the valve lift at which the cam timing was read.",
    of_ratio=True,
)
OCTANE_WITH_ALTITUDE = Rule(
    "Fall of the fuel's needed antiknock index with each 300 m of altitude",
    0.2,
    1.5,
    "",
    COMMON_PRACTICE,
    "Engines that set their own spark need the fuel more nearly as at sea level. An engine that "
    "is built for the height can knock when it is driven down.",
)
SQUISH = Rule(
    "Squish clearance, steel rods",
    0.9,
    1.15,
    "mm",
    COMMON_PRACTICE,
    "Tighter risks contact of piston and head; above about 1.3 mm (0.050 in) it has little effect.",
)
PISTON_TO_HEAD_DIESEL = Rule(
    "Piston to head, diesel",
    0.6,
    1.3,
    "mm",
    COMMON_PRACTICE,
    "The maker gives a gasket for each step of how far the pistons stand above the deck: his table "
    "decides.",
)
PISTON_TO_INTAKE_VALVE = Rule(
    "Piston to intake valve",
    2.0,
    None,
    "mm",
    COMMON_PRACTICE,
    "Check it with clay or a light spring, valve timing as it will run; the cam's maker decides.",
)
PISTON_TO_EXHAUST_VALVE = Rule(
    "Piston to exhaust valve",
    2.5,
    None,
    "mm",
    COMMON_PRACTICE,
    "The valve runs hot and grows; the cam's maker decides.",
)
PISTON_BELOW_DECK = Rule(
    "Piston below the deck",
    0.0,
    0.5,
    "mm",
    COMMON_PRACTICE,
    "Judge it together with the gasket, as squish clearance.",
)
CHAMBERS_MATCHED = Rule(
    "Largest less smallest chamber",
    None,
    1.0,
    "cc",
    COMMON_PRACTICE,
    "Careful work matches them within 0.5 cc; pour again before grinding.",
)
BORE_TAPER = Rule(
    "Taper of a bore",
    None,
    0.13,
    "mm",
    COMMON_PRACTICE,
    "The maker's wear limit decides whether it is bored out.",
)
BORE_OUT_OF_ROUND = Rule(
    "Out of round of a bore",
    None,
    0.05,
    "mm",
    COMMON_PRACTICE,
    "The maker's wear limit decides whether it is bored out.",
)
POURS = Rule(
    "Pours of a chamber",
    3,
    None,
    "",
    COMMON_PRACTICE,
    "Their spread shows how far one pour can be trusted.",
)
COMPRESSION_TEST = Rule(
    "Lowest cylinder as a share of the highest",
    75,
    None,
    "percent",
    "service manuals",
    "The engine's own manual decides. A low cylinder asks for a leak-down test, not for a ratio.",
)
CRANKING_EXPONENT = Rule(
    "Polytropic exponent of compression on the starter",
    1.2,
    1.35,
    "",
    COMMON_PRACTICE,
    "Leaks, cold walls and slow cranking lower it; compare cylinders rather than trust one figure.",
)
SPARK_IGNITION = Rule(
    "Ratio of a spark-ignition engine",
    8,
    12,
    "",
    "Heywood (1988) §2.2, from memory",
    "What has been built, not what an engine will bear.",
    of_ratio=True,
)
COMPRESSION_IGNITION = Rule(
    "Ratio of a compression-ignition engine",
    12,
    24,
    "",
    "Heywood (1988) §2.2, from memory",
    "What has been built, not what an engine will bear.",
    of_ratio=True,
)

RULES = tuple(rule for rule in list(globals().values()) if isinstance(rule, Rule))
"""All rules of thumb, in the order above."""


_PREMIUM = {"iron": PREMIUM_IRON_HEAD, "aluminium": PREMIUM_ALUMINIUM_HEAD}


def fuel_rule(antiknock_index: float, head: str = "iron") -> Rule | None:
    """The rule of thumb for the static ratio that a pump fuel allows.

    Args:
        antiknock_index: (R+M)/2 as on a North American pump. Elsewhere the pump shows the
            research octane number, which is about 4 to 5 higher (common practice).
        head: ``"iron"`` or ``"aluminium"``; the trade's rule for regular fuel does not ask.

    Returns:
        The rule, or None where the trade has none: below 87 and above 93. A fuel between
        regular and premium is judged as regular.

    Raises:
        Refused: another head.

    >>> fuel_rule(87).range, fuel_rule(91, "aluminium").range, fuel_rule(98)
    ('9 to 9.5', '10 to 11', None)
    """
    if head not in _PREMIUM:
        raise Refused(f"head {head!r:.40}: write {' or '.join(_PREMIUM)}")
    if not 87 <= antiknock_index <= 93:
        return None
    return _PREMIUM[head] if antiknock_index >= 91 else REGULAR_FUEL
