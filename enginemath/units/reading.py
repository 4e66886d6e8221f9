"""Numbers read as a shop writes them.

Text is read with a small grammar of our own and never evaluated; pint gets a number and a unit.
"""

from __future__ import annotations

import re
import unicodedata

import pint
from uncertainties import ufloat

from enginemath.units.printing import printable
from enginemath.units.registry import Quantity, Refused, kind, require_kind

_SPELLINGS = {
    "mm": "mm millimeter millimeters millimetre millimetres",
    "cm": "cm centimeter centimeters centimetre centimetres",
    "m": "m meter meters metre metres",
    "micrometer": "µm μm um micron microns micrometer micrometers",
    "inch": "in inch inches \" ″ ” ''",
    "thou": "thou thous thousandth thousandths",
    "foot": "ft foot feet",
    "cc": "cc cm3 cm^3 cm**3 cm³ ccm cucm cubiccm cubiccentimeters cubiccentimetres",
    "mL": "ml milliliter milliliters millilitre millilitres",
    "liter": "l liter liters litre litres",
    "mm**3": "mm3 mm^3 mm**3 mm³ cumm cubicmm",
    "cu_in": "cuin in3 in^3 in**3 in³ ci cid cubicin cubicinch cubicinches",
    "mm**2": "mm2 mm^2 mm**2 mm² sqmm",
    "cm**2": "cm2 cm^2 cm**2 cm² sqcm",
    "inch**2": "in2 in^2 in**2 in² sqin squareinch squareinches",
    "degree": "deg degree degrees °",
    "radian": "rad radian radians",
    "degC": "degc °c celsius",
    "degF": "degf °f fahrenheit",
    "kelvin": "k kelvin",
    "Pa": "pa pascal pascals",
    "hPa": "hpa mbar millibar",
    "kPa": "kpa",
    "MPa": "mpa",
    "bar": "bar",
    "psi": "psi psia lb/in2 lb/in^2",
    "inHg": "inhg",
    "mmHg": "mmhg",
    "rpm": "rpm r/min",
}
_UNITS = {word: unit for unit, words in _SPELLINGS.items() for word in words.split()}
_POWERS = ("cu", "cubic", "sq", "square")

_FRACTION = r"(?:[0-9]+\s+)?[0-9]+\s*/\s*[0-9]+"
_DECIMAL = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_NUMBER = rf"(?:{_FRACTION}|{_DECIMAL})"
_VALUE = re.compile(
    rf"""\s*(?P<open>\()?\s*
    (?P<sign>[+-])?\s*(?P<number>{_NUMBER})
    (?:\s*\((?P<last_digits>[0-9]*\.?[0-9]+)\)|\s*±\s*(?P<spread>{_NUMBER}))?
    \s*(?P<close>\))?
    \s*(?P<unit>(?:[^\W\d_]|["″”°'])[^(),;±+\-]*)?\s*""",
    re.VERBOSE,
)
_FITTING = {
    "m": ("m", "ft"),
    "a length": ("mm", "in"),
    "a volume": ("cc", "cu in"),
    "an area": ("cm2", "sq in"),
    "a pressure": ("kPa", "psi"),
    "a temperature": ("°C", "°F"),
}
_EXAMPLES = {
    "a volume": "47.5 cc",
    "an area": "48 cm2",
    "an angle": "60 deg",
    "a pressure": "1175 kPa",
    "a temperature": "20 °C",
}
"""What is written where this kind of thing is wanted; elsewhere a length."""
_COMMA = re.compile(
    r"(?P<whole>[0-9]{1,3}(?:[ .][0-9]{3})+|[0-9]+),(?P<rest>[0-9]+(?:,[0-9]{3})*\.?[0-9]*)"
)
"""A number with a decimal comma, or with commas between thousands."""
_LONGEST = 80
_LARGEST = 1e30
"""Far beyond any measurement in any unit, and its square is still a number."""


_MINUS = str.maketrans(dict.fromkeys("−–‐‑‒", "-"))


def plain_minus(text: str) -> str:
    """A text with the keyboard's minus sign, whichever short stroke was written.

    >>> plain_minus("–8 cc"), plain_minus("−8 cc")
    ('-8 cc', '-8 cc')
    """
    return text.translate(_MINUS)


_ONE_LETTER = re.compile("(?<=[0-9])(?=[¼-¾⅐-⅞](?![0-9]))")
"""Between a whole number and a fraction in one letter."""
_FRACTION_LETTERS = re.compile("[¼-¾⅐-⅞](?![0-9])")


_RAISED = re.compile("(?P<whole>[0-9])?(?P<top>[⁰¹²³⁴-⁹]+)[/⁄∕](?P<below>[₀-₉]+|[0-9]+)")
"""A fraction with small digits: raised above the slash, and lowered or plain below it."""


def _lowered(fraction: re.Match[str]) -> str:
    whole, top, below = fraction["whole"], fraction["top"], fraction["below"]
    digits = unicodedata.normalize("NFKC", f"{top}/{below}")
    return f"{whole} {digits}" if whole else digits


def plain_fractions(text: str) -> str:
    """A text with fractions in digits and the keyboard's slash, as phones do not write them.

    >>> plain_fractions("3½ in"), plain_fractions("3 29⁄32 in"), plain_fractions("3²⁹⁄₃₂ in")
    ('3 1/2 in', '3 29/32 in', '3 29/32 in')
    """
    apart = _ONE_LETTER.sub(" ", _RAISED.sub(_lowered, text))
    digits = _FRACTION_LETTERS.sub(lambda one: unicodedata.normalize("NFKC", one[0]), apart)
    return digits.replace("⁄", "/").replace("∕", "/")


def read(text: str, unit: str = "") -> pint.Quantity:
    """Read a number with a unit, as a shop writes it.

    Args:
        text: a decimal or a fraction, perhaps with a standard uncertainty, then one unit:
            ``"50 thou"``, ``"3 29/32 in"``, ``"59.0 ± 0.4 cc"``, ``"59.0(4) cc"``.
        unit: one of the wanted kind, if it is known: a refusal then offers what fits.

    Returns:
        A quantity in the unit that was written; its magnitude is a number with uncertainty
        where one was given. The uncertainty is one standard uncertainty.

    Raises:
        Refused: no unit, an unknown unit, two units, a decimal comma, an expression,
            or no finite number. The message says what was read and what to write instead.

    Source: notation of an uncertainty: JCGM 100:2008, 7.2.2.

    >>> print(read("3 29/32 in"))
    3.90625 inch
    >>> print(read("3½ in"), read("½ in"))
    3.5 inch 0.5 inch
    >>> print(read("59.0(4) cc"))
    59.0+/-0.4 cc
    >>> read("3,905 in")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: "3,905 in": write a decimal point, not a comma (3.905 or 3905)
    """
    if not isinstance(text, str):
        raise Refused(f'{_quote(text)}: write a number and its unit in quotes, like "92.0 mm"')
    plain = plain_fractions(plain_minus(text)).replace("+/-", "±").replace("+-", "±")
    match = _VALUE.fullmatch(plain) if len(plain) <= _LONGEST else None
    if match is None or not _well_bracketed(match):
        raise Refused(f"{_quote(text)}: {_why_not_a_number(plain, unit)}")
    if match["unit"] is None:
        bare = " ".join(plain.split())
        offers = _offers(unit) if unit else ("mm", "cc")
        like = " or ".join([f'"{bare} {each}"' for each in offers])
        raise Refused(f"{_quote(text)}: no unit; write it after the number, like {like}")
    written = _unit(text, match["unit"])
    value = _finite(text, match["number"])
    if match["sign"] == "-":
        value = -value
    spread = _spread(text, match)
    return Quantity(ufloat(value, spread) if spread else value, written)


def _offers(unit: str) -> tuple[str, ...]:
    """Units that fit where one of this kind is wanted."""
    return _FITTING.get(unit) or _FITTING.get(kind(unit)) or (unit,)


def _kind_of(unit: str) -> str:
    return kind(unit) if unit else ""


def read_as(text: str, unit: str) -> pint.Quantity:
    """Read a number with a unit that must measure the same kind of thing as `unit`.

    Args:
        text: see `read`.
        unit: a unit of the wanted kind: ``"mm"`` for any length.

    Returns:
        A quantity in the unit that was written.

    Raises:
        Refused: as `read`, and where the text measures another kind of thing.

    >>> print(read_as("50 thou", "mm").to("inch"))
    0.05 inch
    >>> read_as("5 cc", "mm")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: "5 cc": a length is wanted here, and this is a volume
    """
    quantity = read(text, unit)
    require_kind(quantity, unit, _quote(text))
    return quantity


def read_number(text: str) -> float:
    """Read a number that has no unit: so many strokes, half a turn.

    Args:
        text: a decimal or a fraction, perhaps with a sign.

    Returns:
        A bare number.

    Raises:
        Refused: a unit, an uncertainty, a decimal comma, an expression, or no finite number.

    >>> read_number("1 1/2"), read_number("-0.4")
    (1.5, -0.4)
    >>> read_number("0,5")
    Traceback (most recent call last):
        ...
    enginemath.units.Refused: "0,5": write a decimal point, not a comma (0.5)
    """
    plain = plain_fractions(plain_minus(text))
    match = _VALUE.fullmatch(plain) if len(plain) <= _LONGEST else None
    if match is None:
        raise Refused(f"{_quote(text)}: {_why_not_a_number(plain, '')}")
    if match["unit"] or match["open"] or match["spread"] or match["last_digits"]:
        raise Refused(f"{_quote(text)}: write one number alone")
    value = _finite(text, match["number"])
    return -value if match["sign"] == "-" else value


def as_quantity(value: str | pint.Quantity, unit: str = "") -> pint.Quantity:
    """A quantity as it is, a text as `read` reads it.

    >>> print(as_quantity("50 thou") + as_quantity(Quantity(0.95, "inch")))
    1000.0 thou
    """
    return value if isinstance(value, Quantity) else read(value, unit)


def _quote(text: object) -> str:
    shown = text if isinstance(text, str) else repr(text)
    shown = printable(shown)
    return f'"{shown}"' if len(shown) <= _LONGEST else f'"{shown[:_LONGEST]}…"'


def _well_bracketed(match: re.Match[str]) -> bool:
    """Brackets come in a pair, and only round a value with its uncertainty."""
    if match["open"] is None:
        return match["close"] is None
    return match["close"] is not None and match["spread"] is not None


def _unit(text: str, written: str) -> str:
    apart = re.sub(r"\b(cu|sq)\.", r"\1 ", written.casefold())
    words = re.sub(r"\.(?![0-9])", "", apart).split() or [""]
    unit = _UNITS.get("".join(words))
    if unit is not None and (len(words) == 1 or words[0] in _POWERS):
        return unit
    if words[0] in ("mil", "mils"):
        raise Refused(
            f"{_quote(text)}: a mil is a thousandth of an inch to some and a millimetre to others; "
            "write thou or mm"
        )
    if sum(word in _UNITS for word in words) > 1:
        raise Refused(f"{_quote(text)}: two units; write one number and one unit")
    raise Refused(
        f"{_quote(text)}: {_quote(written.strip())} is no unit this kit knows; "
        "write mm, cm, in, thou, cc, mL, cu in, deg, kPa, psi …"
    )


_WORK_IT_OUT = "work it out first; write one number and its unit"


def _why_not_a_number(text: str, unit: str) -> str:
    like = f'like "{_EXAMPLES.get(_kind_of(unit), "92.0 mm")}"'
    if not text.strip():
        return f"nothing written; write a number and its unit, {like}"
    if len(text) > _LONGEST:
        return f"too long; write one number and its unit, {like}"
    comma = _COMMA.search(text)
    if comma:
        whole = re.sub("[ .]", "", comma["whole"])
        with_point, without = f"{whole}.{comma['rest']}", f"{whole}{comma['rest']}"
        if "," in comma["rest"] or "." in comma["rest"]:
            return f"leave the comma out ({without.replace(',', '')})"
        sure = whole != comma["whole"] or whole.startswith("0")
        meant = with_point if sure else f"{with_point} or {without}"
        return f"write a decimal point, not a comma ({meant})"
    if re.search(r"\b(nan|inf|infinity)\b", text, re.IGNORECASE):
        return "not a number that can be measured"
    if text.count("±") == 1 and re.search(r"[a-zµ°\"]\s*±|±\s*-", text, re.IGNORECASE):
        return 'write the uncertainty before the unit, like "59.0 ± 0.4 cc"'
    if re.search(rf"\d\s*[^\d\s.()±+\-*/^]+\s*[+-]?\s*{_NUMBER}", text):
        return "two units or two numbers; write one number and one unit"
    if re.search(r"\d\s*-\s*\d+\s*/\s*\d", text):
        return 'write a mixed number with a space, like "3 29/32 in"'
    if re.search(r"\d", text) and re.search(r"[-+*/^()]", text):
        return _WORK_IT_OUT
    return f"write a number and its unit, {like}"


def _finite(text: str, number: str) -> float:
    value = _number(number)
    if value is None:
        raise Refused(f'{_quote(text)}: no such fraction; write one like "3 29/32 in"')
    if not value < _LARGEST:
        raise Refused(f"{_quote(text)}: not a number that can be measured")
    return value


def _number(number: str) -> float | None:
    if "/" not in number:
        return float(number)
    whole_and_top, bottom = number.split("/")
    *whole, top = whole_and_top.split()
    if int(bottom) == 0 or (whole and int(top) >= int(bottom)):
        return None
    return int(whole[0] if whole else 0) + int(top) / int(bottom)


def _spread(text: str, match: re.Match[str]) -> float | None:
    if match["spread"]:
        return _finite(text, match["spread"])
    digits = match["last_digits"]
    if not digits:
        return None
    if "/" in match["number"] or "e" in match["number"].casefold():
        raise Refused(f'{_quote(text)}: write the uncertainty after ±, like "59.0 ± 0.4 cc"')
    if "." in digits:
        return float(digits)
    decimals = len(match["number"].partition(".")[2])
    return int(digits) / 10**decimals
