"""Numbers to write down from words, and how the kit reads what was written."""

from __future__ import annotations

from dataclasses import dataclass

import pint

from enginemath.answers.question import Question
from enginemath.answers.verdict import Verdict
from enginemath.units import Refused, kind, read, show


@dataclass(frozen=True)
class Task:
    """Something said in a shop, the number that it means, and what it is often written as.

    Args:
        name: of what is written down, in the trade's words.
        words: as it is said.
        means: the number with its unit.
        slips: hint for the student (never the answer), by what earns it.
    """

    name: str
    words: str
    means: str
    slips: tuple[tuple[str, str], ...] = ()

    def judge(self, text: str) -> Verdict:
        """Judge what was written, whatever is in it.

        Args:
            text: what the student wrote.

        >>> TASKS[2].judge("0.38 in").sentence
        'not yet. Which place after the point is a thousandth: the second or the third?'
        """
        slips = [(hint, read(written)) for hint, written in self.slips]
        return Question(read(self.means), slips).judge(text)


_HUNDREDTH = "Which place after the point is a hundredth: the first, the second or the third?"
_THOUSANDTH = "Which place after the point is a thousandth: the second or the third?"
_SIXTEENTH = "Is a sixteenth a tenth? Write the fraction as it is said."

TASKS = {
    1: Task(
        "bore",
        "The micrometer shows eighty-seven millimetres and six hundredths.",
        "87.06 mm",
        (
            (_HUNDREDTH, "87.6 mm"),
            (_HUNDREDTH, "87.006 mm"),
            ("Is a bore as wide as a table?", "87.06 cm"),
        ),
    ),
    2: Task(
        "gap",
        "The feeler gauge says thirty-eight thousandths of an inch.",
        "38 thou",
        (
            (_THOUSANDTH, "0.38 in"),
            (_THOUSANDTH, "0.0038 in"),
            ("The word was thousandths. Are those whole inches?", "38 in"),
            ("The gauge is in inches. Which word or unit says so?", "0.038 mm"),
            ("The gauge is in inches. Which word or unit says so?", "38 mm"),
        ),
    ),
    3: Task(
        "length on the drawing",
        "The old drawing says four inches and three sixteenths.",
        "4 3/16 in",
        (
            (
                "Put a space between the whole and the fraction. How many whole inches are there?",
                "43/16 in",
            ),
            (_SIXTEENTH, "4.316 in"),
            (_SIXTEENTH, "4.3 in"),
            ("That is the fraction. Where are the whole inches?", "3/16 in"),
        ),
    ),
    4: Task(
        "poured volume",
        "The burette gave thirty-two and a quarter millilitres.",
        "32.25 mL",
        (
            ("How many hundredths are a quarter?", "32.4 mL"),
            ("How many hundredths are a quarter?", "32.025 mL"),
            ("Which unit is the burette marked in: litres or millilitres?", "32.25 L"),
        ),
    ),
    5: Task(
        "deck clearance",
        "The piston stands seven hundredths of a millimetre ABOVE the deck.",
        "-0.07 mm",
        (
            ("Does above the deck count the same way as below?", "0.07 mm"),
            (_HUNDREDTH, "-0.7 mm"),
            (_HUNDREDTH, "-0.007 mm"),
        ),
    ),
}
"""By number, from easy to hard."""


def task_numbered(number: int) -> Task:
    """One of the tasks.

    Raises:
        Refused: there is none with this number.
    """
    if number not in TASKS:
        raise Refused(f"task {number!r:.20}: they are numbered from 1 to {len(TASKS)}")
    return TASKS[number]


def how_read(text: str) -> str:
    """How the kit reads a text: in each unit that a shop uses, or why it does not.

    >>> print(how_read("50 thou"))
    "50 thou" is 1.270 mm = 0.0500 in = 50.0 thou
    >>> print(how_read("0,05 in"))
    "0,05 in": write a decimal point, not a comma (0.05)
    """
    try:
        return f'"{text}" is {" = ".join(write_a_number_numbers(text).values())}'
    except Refused as refusal:
        return str(refusal)


SHOWN = {
    "a length": ("mm", "in", "thou"),
    "a volume": ("cc", "ml", "cu_in"),
    "a pressure": ("kPa", "bar", "psi"),
    "an angle": ("deg",),
}


def write_a_number_numbers(text: str) -> dict[str, str]:
    """How the kit reads a number and says it again, without the panel.

    Args:
        text: a number with its unit.

    Returns:
        The same quantity in each unit that a shop uses for it.

    Raises:
        Refused: it cannot be read; says why.

    >>> write_a_number_numbers("3 29/32 in")
    {'mm': '99.219 mm', 'in': '3.9062 in', 'thou': '3906.2 thou'}
    """
    return _shown(read(text))


def _shown(quantity: pint.Quantity) -> dict[str, str]:
    what = kind(quantity.units)
    if what not in SHOWN:
        raise Refused(f"{what}: write a length, a volume, a pressure or an angle")
    return {unit: show(quantity, unit) for unit in SHOWN[what]}
