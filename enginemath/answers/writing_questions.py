"""Numbers to write down from words, and how the kit reads what was written."""

from __future__ import annotations

from dataclasses import dataclass

import pint

from enginemath.answers.question import Question
from enginemath.units import Refused, kind, read, show


@dataclass(frozen=True)
class Task:
    """Something said in a shop, the number that it means, and what it is often written as.

    Args:
        words: as it is said.
        means: the number with its unit.
        slips: hint for the student (never the answer), by what earns it.
    """

    words: str
    means: str
    slips: tuple[tuple[str, str], ...] = ()

    def verdict(self, answer: str) -> str:
        """Judge what was written in one sentence, whatever is in it.

        >>> TASKS[2].verdict("0.38 in")
        'not yet. A thousandth is the third place after the point.'
        """
        slips = [(hint, read(written)) for hint, written in self.slips]
        return Question(read(self.means), slips).verdict(answer)


TASKS = {
    1: Task(
        "The micrometer shows eighty-seven millimetres and six hundredths.",
        "87.06 mm",
        (
            ("A hundredth is the second place after the point.", "87.6 mm"),
            ("A hundredth is the second place after the point.", "87.006 mm"),
            ("Is a bore as wide as a table?", "87.06 cm"),
        ),
    ),
    2: Task(
        "The feeler gauge says thirty-eight thousandths of an inch.",
        "38 thou",
        (
            ("A thousandth is the third place after the point.", "0.38 in"),
            ("A thousandth is the third place after the point.", "0.0038 in"),
            ("Thousandths of an inch, not inches.", "38 in"),
            ("The gauge is in inches. Which word or unit says so?", "0.038 mm"),
            ("The gauge is in inches. Which word or unit says so?", "38 mm"),
        ),
    ),
    3: Task(
        "The old drawing says four inches and three sixteenths.",
        "4 3/16 in",
        (
            ("Put a space between the whole and the fraction.", "43/16 in"),
            ("A sixteenth is not a tenth: write the fraction as it is said.", "4.316 in"),
            ("A sixteenth is not a tenth: write the fraction as it is said.", "4.3 in"),
            ("The four whole inches are missing.", "3/16 in"),
        ),
    ),
    4: Task(
        "The burette gave thirty-two and a quarter millilitres.",
        "32.25 mL",
        (
            ("A quarter is twenty-five hundredths.", "32.4 mL"),
            ("A quarter is twenty-five hundredths.", "32.025 mL"),
            ("The burette is marked in millilitres, not in litres.", "32.25 L"),
        ),
    ),
    5: Task(
        "The piston stands seven hundredths of a millimetre ABOVE the deck.",
        "-0.07 mm",
        (
            ("Above the deck counts the other way than below.", "0.07 mm"),
            ("A hundredth is the second place after the point.", "-0.7 mm"),
            ("A hundredth is the second place after the point.", "-0.007 mm"),
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
