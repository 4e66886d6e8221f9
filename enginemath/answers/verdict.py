"""The verdict on an answer: one type for lessons, worksheets, diagnosis, audit and marks."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from typing import Any, Literal

Kind = Literal[
    "right",
    "nearly",
    "follows",
    "mistake",
    "unknown",
    "unreadable",
    "nothing_written",
]

_SIGNS = {
    "right": "✓",
    "follows": "✓",
    "nearly": "½",
    "mistake": "✗",
    "unknown": "✗",
    "unreadable": "?",
    "nothing_written": "–",
}
_WORDS = {
    "right": "right",
    "follows": "right from your own numbers",
    "nearly": "nearly",
    "mistake": "not yet",
    "unknown": "not yet",
    "unreadable": "not readable",
    "nothing_written": "nothing written yet",
}
_UNEXPLAINED = "no usual slip gives this number: show your working, step by step."
ONE_MORE_DIGIT = "Right as far as it goes: write one more digit."

PLACES = {
    "chamber": "Look at the chamber.",
    "gasket": "Look at the gasket.",
    "deck": "Look at the deck.",
    "crown": "Look at the piston's crown.",
    "crevice": "Look at the ring land.",
    "bore": "Look at the bore.",
    "stroke": "Look at the stroke.",
    "rod": "Look at the rod.",
    "crank": "Look at the crank.",
    "burette": "Look at the burette.",
}
"""The parts of a drawing that a student can be sent to, with the words that send there."""
_NAMED = {"crown": ("crown", "dish", "dome", "reliefs", "pour"), "crevice": ("ring",)}


@dataclass(frozen=True)
class Verdict:
    """What is made of one answer.

    A verdict never tells a student the right answer, nor how far off an answer is: it says where
    to look, then asks.

    Args:
        kind: ``"right"``; ``"nearly"``: the method is right, the digits are not; ``"follows"``:
            right from the student's own earlier numbers; a ``"mistake"`` that is known; or
            ``"unknown"``; ``"unreadable"``: the text is refused; ``"nothing_written"``.
        hint: for the student, one or two sentences; why a text is refused.
        place: part of the drawing to look at: one of `PLACES`, or empty.
        mistakes: ids of the mistakes of method, see `CATALOGUE`.
        tells: for the instructor; may hold the answer.
        taken_as: unit that a number without one was taken to be in; empty where none is missing.
    """

    kind: Kind
    hint: str = ""
    place: str = ""
    mistakes: tuple[str, ...] = ()
    tells: str = ""
    taken_as: str = ""

    @property
    def is_right(self) -> bool:
        """Whether the answer is right, with or without its unit."""
        return self.kind == "right"

    @property
    def sign(self) -> str:
        """One character: ✓ ½ ✗ ? or –."""
        return _SIGNS[self.kind]

    @property
    def word(self) -> str:
        """The verdict in a few words."""
        return _WORDS[self.kind]

    @property
    def where(self) -> str:
        """Where to look first, as a sentence; empty where there is no such place."""
        return PLACES.get(self.place, "")

    @property
    def advice(self) -> str:
        """What to say besides the word: where to look, the hint, and that the unit is missing."""
        hint = self.hint
        if self.where and self.kind == "mistake" and not self._names_its_place():
            hint = f"{self.where} {hint}"
        unit = f"Write the unit: {self.taken_as} was taken." if self.taken_as else ""
        return " ".join(filter(None, (hint, unit)))

    def _names_its_place(self) -> bool:
        words = _NAMED.get(self.place, (self.place,))
        return any(word in self.hint.casefold() for word in words)

    @property
    def sentence(self) -> str:
        """All of it for the student.

        >>> Verdict("right").sentence, Verdict("right", taken_as="cc").sentence
        ('right', 'right; write the unit: cc was taken')
        >>> Verdict("mistake", "Which one did you measure?", "bore").sentence
        'not yet. Look at the bore. Which one did you measure?'
        >>> NOTHING_WRITTEN.sentence, unreadable('"9,8": write a decimal point').sentence
        ('nothing written yet', '"9,8": write a decimal point')
        """
        if self.kind == "unreadable":
            return self.hint
        if self.kind == "nothing_written":
            return self.word
        if self.is_right and self.taken_as and not self.hint:
            return f"right; write the unit: {self.taken_as} was taken"
        joint = ", and" if self.kind == "unknown" and self.hint == _UNEXPLAINED else "."
        return f"{self.word}{joint} {self.advice}" if self.advice else self.word

    def __str__(self) -> str:
        return self.sentence

    def without_unit(self, taken_as: str) -> Verdict:
        """The same verdict on a number that was taken to be in a unit; empty: it had its own."""
        return replace(self, taken_as=taken_as)

    def as_dict(self) -> dict[str, Any]:
        """Plain texts, ready for JSON; `tells` is for the instructor alone.

        >>> Verdict("nearly").as_dict()["sign"], Verdict("nearly").as_dict()["word"]
        ('½', 'nearly')
        """
        return asdict(self) | {
            "mistakes": list(self.mistakes),
            "sign": self.sign,
            "word": self.word,
            "where": self.where,
            "sentence": self.sentence,
        }


RIGHT = Verdict("right")
NOTHING_WRITTEN = Verdict("nothing_written", "Nothing is written here.")
UNKNOWN = Verdict(
    "unknown", _UNEXPLAINED, tells="no usual mistake gives this number: ask for the working"
)
TOO_COARSE = Verdict("nearly", ONE_MORE_DIGIT, tells="rounded too far")


def unreadable(reason: str) -> Verdict:
    """The verdict on a text that is refused.

    Args:
        reason: in shop words, with what to write instead.
    """
    return Verdict("unreadable", reason, tells=reason)


def not_yet(hint: str, place: str = "") -> Verdict:
    """The verdict on an answer that shows a slip.

    Args:
        hint: for the student.
        place: part of the drawing to look at.
    """
    return Verdict("mistake", hint, place)


def too_large(given: float, right: float) -> Verdict:
    """The verdict on a number that no slip gives: on which side of the right one it lies."""
    side = "large" if abs(given) > abs(right) else "small"
    return Verdict("unknown", f"It is too {side}: go step by step.")
