"""Predict first: the answer is hidden until a guess is given."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from enginemath.panels.frame.setting import EntryBox
from enginemath.units import Number, Refused, fixed, nominal, read, read_as, show

EXACTLY = "exactly"
"""How far off a guess is that shows the answer's own digits."""


@dataclass(frozen=True)
class Found:
    """What was guessed, and what was found.

    Args:
        guess: as it was typed; empty where nobody guessed.
        answer: to its last shown digit.
        off: how far the guess is off, in words; empty where nobody guessed.
    """

    guess: str
    answer: str
    off: str


@dataclass(frozen=True)
class Prediction:
    """What to guess.

    Args:
        text: the question.
        answer: gives the answer, a quantity or a bare number.
        unit: in which the answer is shown; empty for a bare number.
        above: what a bare number must be above: 1 for a ratio.
        decimals: of a bare number.
        asks: the question in a few words, for a list of guesses.
    """

    text: str
    answer: Callable[[], Number]
    unit: str = ""
    above: float = 1.0
    decimals: int = 2
    asks: str = ""

    def read(self, guess: str) -> Number:
        """A guess as it was typed.

        Raises:
            Refused: no number, or no fitting unit.
        """
        if self.unit:
            return read_as(guess, self.unit)
        return read_number(guess, self.above)

    def shown(self, number: Number) -> str:
        """A guess or the answer, to its last shown digit."""
        return show(number, self.unit) if self.unit else fixed(nominal(number), self.decimals)

    def judge(self, guess: str) -> str:
        """Say how far a guess is off.

        >>> Prediction("the ratio?", lambda: 9.8270).judge("10")
        'You guessed 10.00. It is 9.83: you were 0.17 too high.'
        """
        said, found = self.shown(self.read(guess)), self.compare(guess)
        if found.off == EXACTLY:
            return f"You guessed {said}, and {found.answer} it is."
        return f"You guessed {said}. It is {found.answer}: you were {found.off}."

    def compare(self, guess: str = "") -> Found:
        """A guess beside the answer, as both stand now.

        Args:
            guess: as it was typed; empty where nobody guessed.

        >>> Prediction("the ratio?", lambda: 9.8270).compare("10")
        Found(guess='10', answer='9.83', off='0.17 too high')
        """
        answer = self.answer()
        right = self.shown(answer)
        if not guess:
            return Found("", right, "")
        guessed, guess = self.read(guess), " ".join(guess.split())
        if self.shown(guessed) == right:
            return Found(guess, right, EXACTLY)
        side = "high" if guessed > answer else "low"
        return Found(guess, right, f"{self.shown(abs(guessed - answer))} too {side}")


_BARE = re.compile(r"\s*([0-9]{1,6}(?:\.[0-9]*)?|\.[0-9]+)\s*(?:(?::|to)\s*1|%)?\s*")


def read_number(text: str, above: float = 1.0) -> float:
    """A bare number as it is typed: ``9.5``, ``9.5:1``, ``9.5 to 1``, ``40 %``.

    Args:
        text: what was typed.
        above: what it must be above.

    Raises:
        Refused: not a number, a decimal comma, or too small.

    >>> read_number("9.5:1"), read_number("40 %")
    (9.5, 40.0)
    """
    match = _BARE.fullmatch(text)
    if match is None:
        if re.search(r"[0-9],[0-9]", text):
            read(text)  # refuses every comma between digits, and says what to write
        raise Refused("write one number, like 9.5")
    number = float(match[1])
    if number <= above:
        raise Refused(f"{number:g}: it is above {above:g}")
    return number


class Guess(EntryBox):
    """A question, a box for the guess, and after it the judgement."""

    def __init__(self, prediction: Prediction, given: Callable[[], None]):
        self.prediction, self._tell = prediction, given
        self.found: Found | None = None
        super().__init__(prediction.text, "show the answer", self._judge, name="guess")

    @property
    def given(self) -> bool:
        """Whether the answer may be shown."""
        return self.found is not None

    @property
    def guessed(self) -> Number | None:
        """The guess, once it is given."""
        return self.prediction.read(self.text) if self.given and self.text else None

    def ask(self, prediction: Prediction | None) -> None:
        """Ask anew, unless a guess was given already."""
        if prediction is not None and not self.given:
            self.prediction = prediction
            self.ask_for(prediction.text)

    def waive(self) -> None:
        """Show the answer without a guess: an instructor has heard the class's."""
        self._give(self.prediction.compare())

    def _judge(self, typed: str) -> str:
        judgement = self.prediction.judge(typed)
        self._give(self.prediction.compare(typed))
        return judgement

    def _give(self, found: Found) -> None:
        self.found, self.locked = found, True
        self._tell()
