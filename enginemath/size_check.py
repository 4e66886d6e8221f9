"""Answers about the size of an engine, and arguments about a printed one."""

from __future__ import annotations

from typing import Any

import pint

from enginemath.audit import evidence, record_of, what_if
from enginemath.bench import bore_after_overbore
from enginemath.buildsheet import Sheet
from enginemath.classroom import diagnose
from enginemath.classroom.answers import read_answer
from enginemath.classroom.quantities import asked_for
from enginemath.units import Refused, as_quantity, best, nominal

NUMBERS = ("bore", "stroke", "cylinders", "size")


def bored_out_verdict(sheet: Sheet, over: str | pint.Quantity, answer: str) -> str:
    """Judge an answer for the displacement after an overbore, whatever is written.

    Args:
        sheet: the engine before it was bored out.
        over: overbore on the diameter, a length.
        answer: what the student wrote.

    >>> from enginemath.buildsheet import EXAMPLE, parse
    >>> bored_out_verdict(parse(EXAMPLE), "0.50 mm", "2404.7 cc")
    'not yet. An overbore is told on the diameter, not on each side.'
    >>> bored_out_verdict(parse(EXAMPLE), "0.50 mm", "2378.9 cc")
    'right'
    """
    if not answer.strip():
        return "nothing written yet"
    after = _bored_out(sheet, over)
    try:
        diagnosis = diagnose(after, "displacement", answer)
        written = read_answer(answer, asked_for("displacement"))
    except Refused as refusal:
        return str(refusal)
    before, now = sheet.engine.displacement, after.engine.displacement
    slips = {
        "An overbore is told on the diameter, not on each side.": _bored_out(
            sheet, 2 * as_quantity(over)
        ).engine.displacement,
        "That is what it was before.": before,
        "That is how much it grows. How large is it now?": now - before,
    }
    if not diagnosis.correct:
        for hint, volume in slips.items():
            if written.holds(nominal(volume.m_as("cc"))):
                return f"not yet. {hint}"
    return diagnosis.says


def _bored_out(sheet: Sheet, over: str | pint.Quantity) -> Sheet:
    """The sheet with a wider bore written on it."""
    bore = best(bore_after_overbore(sheet.engine.cylinder.bore, over))
    cylinder = {**sheet.written["cylinder"], "bore": f"{bore:~}"}
    return Sheet({**sheet.written, "cylinder": cylinder})


def argument(row: str | int, number: str, should_be: str) -> list[str]:
    """What speaks for a misprint in a row of the records of 1985, as lines of text.

    Args:
        row: its number.
        number: that is doubted: one of `NUMBERS`.
        should_be: what it should be, with its unit; cylinders without.

    Raises:
        Refused: nothing written, no such row, or a number that cannot be.

    >>> print(*argument(130, "size", "303 cu in"), sep="\\n")
    row 130 as printed: 303.3 cu in worked out, 203 printed: +49.4 %
    with size 303 cu in: 303.3 cu in worked out, 303 printed: +0.1 %
    printed digits changed: 1
    this bore and stroke stand in row 126, of another size
    """
    record = record_of(_whole("row", row))
    doubted = str(number).strip().casefold()
    if not doubted:
        raise Refused("number: nothing written yet")
    if doubted not in NUMBERS:
        raise Refused(f'"{number:.40}": write one of {", ".join(NUMBERS)}')
    instead: dict[str, Any] = {
        doubted: _whole(doubted, should_be) if doubted == "cylinders" else should_be
    }
    return evidence(record, what_if(record, **instead))


def _whole(what: str, written: str | int) -> int:
    text = str(written).strip()
    if not text:
        raise Refused(f"{what}: nothing written yet")
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        raise Refused(f'{what} "{text:.40}": write a whole number, without a unit')
    return int(text)
