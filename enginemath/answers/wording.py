"""The sentences of a diagnosis: what the instructor reads, and what the student is asked."""

from __future__ import annotations

from collections.abc import Sequence

from enginemath.answers.quantities import Asked
from enginemath.answers.verdict import ONE_MORE_DIGIT
from enginemath.units import fixed, printable

ASK_FOR_WORKING = "Show your working: more than one slip would give your number."

MOST_RIVALS = 3

NOTES = {
    "rounded": "Early rounding ({}), not a mistake of method: round once, at the end.",
    "cut off": "The method is right; the last digits were cut off, not rounded (early rounding).",
    "coarse": "Right as far as it goes, but rounded too far: ask for one more digit.",
    "one cylinder": "Right for {} alone; the mean over the cylinders is asked for.",
}
"""For the instructor, where the method is right."""

HINTS = {
    "rounded": "The method looks right. Keep more digits on the way, and round once, at the end.",
    "cut off": "The method looks right. Round the last digit; do not cut it off.",
    "coarse": ONE_MORE_DIGIT,
    "one cylinder": "That is one cylinder. What does the whole engine give on average?",
}
"""For the student, where the method is right."""


def number(value: float, asked: Asked) -> str:
    """A number with its unit, finely enough to compare.

    >>> from enginemath.answers.quantities import QUANTITIES
    >>> number(9.82696, QUANTITIES["compression_ratio"]), number(7.5044, QUANTITIES["deck_volume"])
    ('9.827', '7.504 cc')
    """
    decimals = 3 if abs(value) >= 1 else 4
    return " ".join([fixed(value, decimals), asked.unit]).strip()


def for_instructor(
    tells: Sequence[str], predicted: float, asked: Asked, rivals: Sequence[str] = ()
) -> str:
    """What was done, what it gives, and what else would give the same answer.

    >>> from enginemath.answers.quantities import QUANTITIES
    >>> print(for_instructor(["forgot the gasket"], 10.947, QUANTITIES["compression_ratio"],
    ...                      ["deck-sign"]))
    The student forgot the gasket: 10.947. So would deck-sign: ask for the working.
    """
    says = f"The student {'; and '.join(tells)}: {number(predicted, asked)}."
    if rivals:
        more = " and more" if len(rivals) > MOST_RIVALS else ""
        return f"{says} So would {', '.join(rivals[:MOST_RIVALS])}{more}: ask for the working."
    if len(tells) > 1:
        return f"{says} Two slips together are only a guess: ask for the working."
    return says


def report(asked: Asked, written: str, expected: float, correct: bool, says: Sequence[str]) -> str:
    """The diagnosis as text for the instructor."""
    shown = printable(written.strip())
    verdict = "right" if correct else "not right"
    lines = [f"{asked.words}: {shown} written, {number(expected, asked)} expected: {verdict}"]
    lines += [f"  {place}. {each}" for place, each in enumerate(says, start=1)]
    if not correct and not says:
        lines.append("  No usual mistake gives this number: ask for the working.")
    return "\n".join(lines)
