"""Answers about the room in a cylinder, and arguments about a printed size."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pint

from enginemath.answers.diagnosis import CLOSE, diagnose
from enginemath.answers.quantities import Asked, asked_for
from enginemath.answers.wording import ask_for_unit
from enginemath.answers.written_answer import Answer, read_answer
from enginemath.bench.measuring import bore_after_overbore
from enginemath.engine.parts import Cylinder, Engine
from enginemath.engine.stack import stack_of
from enginemath.formulas.geometry import cosine_drop, cylinder_volume
from enginemath.sheets import Sheet
from enginemath.sheets.printed_records import evidence, record_of, what_if
from enginemath.units import Quantity, Refused, as_quantity, best, in_cc

_HALF_A_TURN = Quantity(180.0, "degree")

NUMBERS = ("bore", "stroke", "cylinders", "size")


def bored_out_verdict(sheet: Sheet, over: str | pint.Quantity, answer: str) -> str:
    """Judge an answer for the displacement after an overbore, whatever is written.

    Args:
        sheet: the engine before it was bored out.
        over: overbore on the diameter, a length.
        answer: what the student wrote.

    >>> from enginemath.sheets import EXAMPLE, parse
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
    hint = None if diagnosis.correct else _hint(written, slips)
    return ask_for_unit(f"not yet. {hint}", written.taken_as) if hint else diagnosis.says


def above_piston_verdict(
    engine: Engine, angle: str | pint.Quantity, answer: str, cylinder: int = 1
) -> str:
    """Judge an answer for the volume above a piston at a crank angle, whatever is written.

    Args:
        engine: its rod length is known.
        angle: of the crank after top dead centre.
        answer: what the student wrote.
        cylinder: counted from 1.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> above_piston_verdict(parse(EXAMPLE).engine, "180 deg", "588.3 cc")
    'not yet. That is what the piston sweeps. What was above it before it came down?'
    >>> above_piston_verdict(parse(EXAMPLE).engine, "180 deg", "654.4 cc")
    'right'
    """
    if not answer.strip():
        return "nothing written yet"
    try:
        written = read_answer(answer, Asked("volume", "cc"))
    except Refused as refusal:
        return str(refusal)
    turned = as_quantity(angle)
    clearance = stack_of(engine, engine.place(cylinder)).clearance
    above = _above_piston(engine.cylinder, clearance)
    right = above(turned)
    no_rod = cosine_drop(engine.cylinder.swept, turned)
    slips = {
        "That is what the piston sweeps. What was above it before it came down?": right - clearance,
        "That is what is left at the top.": clearance,
        "That is the room at the very bottom.": above(_HALF_A_TURN),
        "Which way does the crank count: from the top or from the bottom?": above(
            _HALF_A_TURN - turned
        ),
        "The rod leans. Does the piston move as evenly as the cosine?": clearance + no_rod,
        "That is half of the stroke. Is the piston there?": clearance + engine.cylinder.swept / 2,
        "The clearance volume is there once, not taken off.": right - 2 * clearance,
    }
    return ask_for_unit(_judged(written, in_cc(right), slips), written.taken_as)


def _judged(written: Answer, right: float, slips: Mapping[str, pint.Quantity]) -> str:
    close = written.holds(right) or abs(written.value - right) <= CLOSE * right
    if written.sensible and close:
        return "right"
    if written.holds(right):
        return "right as far as it goes; write one more digit"
    return f"not yet. {_hint(written, slips) or _side(written.value, right)}"


def _above_piston(
    cylinder: Cylinder, clearance: pint.Quantity
) -> Callable[[pint.Quantity], pint.Quantity]:
    """The volume above a piston, by crank angle."""

    def above(angle: pint.Quantity) -> pint.Quantity:
        radius, rod = cylinder.crank_radius, cylinder.rod_length
        return cylinder_volume(cylinder.bore, radius, rod, angle, clearance, cylinder.pin_offset)

    return above


def _hint(written: Answer, slips: Mapping[str, pint.Quantity]) -> str | None:
    """The hint of the slip that gives what was written."""
    return next((hint for hint, volume in slips.items() if written.holds(in_cc(volume))), None)


def _side(value: float, right: float) -> str:
    return f"It is too {'large' if value > right else 'small'}: go step by step."


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
        raise Refused(f'"{doubted:.40}": write one of {", ".join(NUMBERS)}')
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
