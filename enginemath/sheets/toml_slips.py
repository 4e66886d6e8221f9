"""What a newcomer's line of a sheet lacks, in shop words, where TOML's own reader gives up."""

from __future__ import annotations

import re
import tomllib

_CURLY = "“”„‟«»‘’‚"
_FIELD = re.compile(r"\s*(?P<name>[\w.\"-]+)\s*=\s*(?P<value>[^#]*?)\s*(?:#.*)?$")
_NUMBER = r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
_SIZE = re.compile(
    rf"(?P<number>{_NUMBER})\s*(?P<unit>(?:±.*)?[A-Za-zµ°²³\"″'][A-Za-z0-9 µ°²³\"″'±./+-]*)?"
)
_NUMBERS = ("format", "count", "antiknock_index")
"""Fields that are bare numbers."""
_INCH_MARKS = "\"″'"
_HEADER = re.compile(r"\s*\[\[?\s*(?P<table>[\w.\" -]+?)\s*\]\]?")


def slip_of(text: str, number: int) -> tuple[str, str] | None:
    """What is wrong with a line, and the field that it is about.

    Args:
        text: of the whole file.
        number: of the line at which the reader gave up, from 1.

    Returns:
        The field's name and what to write; None where it is no slip of these.

    >>> slip_of("[cylinder]\\nbore = 3.5 in", 2)
    ('cylinder.bore', '3.5 in: write it in quotes, bore = "3.5 in"')
    >>> slip_of("[deck]\\nclearance = .040", 2)
    ('deck.clearance', '.040: write the number and its unit in quotes, clearance = "0.040 in"')
    """
    lines = text.split("\n")
    if not 1 <= number <= len(lines):
        return None
    found = _FIELD.fullmatch(lines[number - 1].rstrip("\r"))
    if found is None or _can_be_read(lines[number - 1]):
        return None  # what is broken stands in another line
    name, value = found["name"], found["value"]
    field = ".".join(filter(None, (_table_above(lines[: number - 1]), name)))
    says = _of_value(name, value)
    return (field, f"{value[:60]}: {says}") if says else None


def _can_be_read(line: str) -> bool:
    try:
        tomllib.loads(line)
    except (ValueError, RecursionError):
        return False
    return True


def _table_above(lines: list[str]) -> str:
    headers = [match["table"] for line in lines if (match := _HEADER.match(line))]
    return headers[-1] if headers else ""


def _of_value(name: str, value: str) -> str:
    if any(mark in value for mark in _CURLY):
        plain = value.translate({ord(mark): '"' for mark in _CURLY})
        pairs = plain.count('"') == 2 or plain.lstrip().startswith(("{", "["))
        whole = plain if pairs else f'"{plain.replace(chr(34), "")}"'
        return f"the quotes are curly; write straight ones, {name} = {whole}"
    size = _SIZE.fullmatch(value)
    if size is None:
        return ""
    number = _with_nought(size["number"].replace(",", "."))
    unit = (size["unit"] or "").strip()
    if name in _NUMBERS:
        return f"write the number alone, {name} = {number}"
    if "," in size["number"]:
        said = f"{number} {unit}".strip() if unit else f"{number} mm"
        return f'write a point, and the unit, in quotes, {name} = "{said}"'
    if unit and unit[0] in _INCH_MARKS:
        unit = "in"
    if unit:
        return f'write it in quotes, {name} = "{number} {unit}"'
    return f'write the number and its unit in quotes, {name} = "{number} in"'


def _with_nought(number: str) -> str:
    """`.040` as `0.040`, `92.` as `92`."""
    sign = number[0] if number[0] in "+-" else ""
    digits = number.lstrip("+-").rstrip(".")
    return f"{sign}{'0' if digits.startswith('.') else ''}{digits}"
