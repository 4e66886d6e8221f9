"""Questions about the room in a cylinder, and arguments about a printed size."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import pint

from enginemath.answers.diagnosis import diagnose
from enginemath.answers.quantities import asked_for
from enginemath.answers.question import Question, judge_text
from enginemath.answers.tolerance import WORKED
from enginemath.answers.verdict import Verdict, not_yet
from enginemath.answers.wording import HINTS
from enginemath.answers.written_answer import Answer
from enginemath.bench.measuring import bore_after_overbore
from enginemath.engine.parts import Cylinder, Engine, plain, with_each
from enginemath.engine.stack import stack_of
from enginemath.formulas.geometry import cosine_drop, cylinder_volume, disc
from enginemath.sheets import Sheet, sheet_of
from enginemath.sheets.printed_records import evidence, record_of, what_if
from enginemath.units import Quantity, Refused, as_quantity, best, in_cc

_HALF_A_TURN = Quantity(180.0, "degree")

NUMBERS = ("bore", "stroke", "cylinders", "size")


def judge_bored_out(sheet: Sheet, over: str | pint.Quantity, text: str) -> Verdict:
    """Judge an answer for the displacement after an overbore, whatever is written.

    Args:
        sheet: the engine before it was bored out.
        over: overbore on the diameter, a length.
        text: what the student wrote.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> judge_bored_out(parse(EXAMPLE), "0.50 mm", "2404.7 cc").sentence
    'not yet. Is an overbore told on the diameter, or on each side?'
    >>> judge_bored_out(parse(EXAMPLE), "0.50 mm", "2378.9 cc").sentence
    'right'
    """
    after = _bored_out(sheet, over)
    before, now = sheet.engine.displacement, after.engine.displacement
    slips = {
        "Is an overbore told on the diameter, or on each side?": _bored_out(
            sheet, 2 * as_quantity(over)
        ).engine.displacement,
        "That is what it was before. What is it now?": before,
        "That is how much it grows. How large is it now?": now - before,
    }

    def judge(answer: Answer) -> Verdict:
        found = diagnose(after, "displacement", text)
        hint = None if found.correct else _hint(answer, slips.items())
        return not_yet(hint, "bore") if hint else found.verdict

    return judge_text(text, asked_for("displacement"), judge)


def judge_deck_volume(sheet: Sheet, sides: tuple[str, str], text: str) -> Verdict:
    """Judge an answer for the deck volume of a piston that rocks, whatever is written.

    Args:
        sheet: the engine as measured.
        sides: deck clearance on either side of the pin.
        text: what the student wrote.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> judge_deck_volume(parse(EXAMPLE), ("0.40 mm", "0.30 mm"), "2.66 cc").sentence
    'not yet. Look at the deck. That is one side of the pin. What of the other side?'
    """
    bore = sheet.engine.cylinder.bore
    one, other = (disc(bore, as_quantity(side)) for side in sides)
    middle, last_digit = (one + other) / 2, disc(bore, _last_digit(sides[0])) / 2
    rounded = middle - last_digit, middle + last_digit
    alone = "That is one side of the pin. What of the other side?"
    slips = [
        (alone, one),
        (alone, other),
        ("You added both sides. What turns a sum into a mean?", one + other),
    ]

    def judge(answer: Answer) -> Verdict:
        found = diagnose(sheet, "deck_volume", text).verdict
        if found.kind not in ("mistake", "unknown"):
            return found
        hint = _hint(answer, slips)
        if not hint and any(answer.holds(in_cc(volume)) for volume in rounded):
            return Verdict("nearly", HINTS["rounded"])
        return not_yet(hint, "deck") if hint else found

    return judge_text(text, asked_for("deck_volume"), judge)


def _last_digit(reading: str) -> pint.Quantity:
    """What the last digit of a reading is worth."""
    number, _, unit = reading.partition(" ")
    return Quantity(10.0 ** -len(number.partition(".")[2]), unit)


def judge_above_piston(
    engine: Engine, angle: str | pint.Quantity, text: str, cylinder: int = 1
) -> Verdict:
    """Judge an answer for the volume above a piston at a crank angle, whatever is written.

    Args:
        engine: its rod length is known.
        angle: of the crank after top dead centre.
        text: what the student wrote.
        cylinder: counted from 1.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> judge_above_piston(parse(EXAMPLE).engine, "180 deg", "588.3 cc").sentence
    'not yet. That is what the piston sweeps. What was above it before it came down?'
    >>> judge_above_piston(parse(EXAMPLE).engine, "180 deg", "654.4 cc").sentence
    'right'
    """
    turned = as_quantity(angle)
    clearance = stack_of(engine, engine.place(cylinder)).clearance
    above = _above_piston(engine.cylinder, clearance)
    right = above(turned)
    no_rod = cosine_drop(engine.cylinder.swept, turned)
    slips = {
        "That is what the piston sweeps. What was above it before it came down?": right - clearance,
        "That is what is left at the top. Where is the piston now?": clearance,
        "That is the room at the very bottom. Is the piston there?": above(_HALF_A_TURN),
        "Which way does the crank count: from the top or from the bottom?": above(
            _HALF_A_TURN - turned
        ),
        "The rod leans. Does the piston move as evenly as the cosine?": clearance + no_rod,
        "That is half of the stroke. Is the piston there?": clearance + engine.cylinder.swept / 2,
        "Is the clearance volume there once, or taken off?": right - 2 * clearance,
    }
    return Question(right, list(slips.items()), tolerance=WORKED).judge(text)


def _above_piston(
    cylinder: Cylinder, clearance: pint.Quantity
) -> Callable[[pint.Quantity], pint.Quantity]:
    """The volume above a piston, by crank angle."""

    def above(angle: pint.Quantity) -> pint.Quantity:
        radius, rod = cylinder.crank_radius, cylinder.rod_length
        return cylinder_volume(cylinder.bore, radius, rod, angle, clearance, cylinder.pin_offset)

    return above


def _hint(written: Answer, slips: Iterable[tuple[str, pint.Quantity]]) -> str | None:
    """The hint of the slip that gives what was written."""
    return next((hint for hint, volume in slips if written.holds(in_cc(volume))), None)


def _bored_out(sheet: Sheet, over: str | pint.Quantity) -> Sheet:
    """The sheet with a wider bore written on it."""
    bore = best(bore_after_overbore(sheet.engine.cylinder.bore, over))
    return sheet_of(with_each(plain(sheet.engine), "cylinder", lambda old: replace(old, bore=bore)))


def argument(row: str | int, number: str, should_be: str) -> list[str]:
    """What speaks for a misprint in a row of the records of 1985, as lines of text.

    Args:
        row: its number.
        number: that is doubted: one of `NUMBERS`.
        should_be: what it should be; a bare number is in the unit that is printed.

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
        doubted: _whole(doubted, should_be)
        if doubted == "cylinders"
        else _as_printed(should_be, doubted)
    }
    return evidence(record, what_if(record, **instead))


def _as_printed(written: str, what: str) -> str:
    """A number in the unit of the records where it has none of its own."""
    bare = re.fullmatch(r"[0-9]*\.?[0-9]+", written.strip())
    return f"{written.strip()} {'cu in' if what == 'size' else 'in'}" if bare else written


def _whole(what: str, written: str | int) -> int:
    text = str(written).strip()
    if not text:
        raise Refused(f"{what}: nothing written yet")
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        raise Refused(f'{what} "{text:.40}": write a whole number, without a unit')
    return int(text)
