"""Questions whose answers follow from bench readings alone, and which slip gives which other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

import pint

from enginemath.answers.question import Question
from enginemath.answers.verdict import NOTHING_WRITTEN, RIGHT, Verdict, not_yet, unreadable
from enginemath.bench.measuring import Fill, deck_clearance, poured_volume
from enginemath.engine.parts import Engine
from enginemath.units import (
    Quantity,
    Refused,
    as_quantity,
    best,
    in_cc,
)


def of_pour(fills: Sequence[Fill]) -> Question:
    """The volume of a pour of one or several fills.

    Args:
        fills: in the order of the record, the burette refilled between them.
    """
    ends = [fill.end.to("cc") for fill in fills]
    starts = [fill.start.to("cc") for fill in fills]
    nothing = Quantity(0.0, "cc")
    one_fill = "How often was the burette filled? Add up what ran out in every fill."
    return Question(
        poured_volume(fills),
        [
            ("A burette seldom starts at zero. What ran out in each fill?", sum(ends, nothing)),
            (
                "Do you add the start reading, or take it off?",
                sum(ends, nothing) + sum(starts, nothing),
            ),
            *((one_fill, fill.volume) for fill in fills[:: len(fills) - 1 or 1] if len(fills) > 1),
            (
                "The burette was refilled. Has not each fill a start and an end of its own?",
                abs(ends[-1] - starts[0]),
            ),
            (
                "You took off the first start reading only. Which start has each other fill?",
                sum(ends, nothing) - starts[0],
            ),
        ],
        "burette",
    )


def of_mean(readings: Sequence[pint.Quantity], careless: pint.Quantity | None = None) -> Question:
    """The mean of several readings of one thing.

    Args:
        readings: those that belong in it.
        careless: one more, which does not belong in it.

    >>> of_mean([Quantity(46.6, "cc"), Quantity(46.8, "cc")]).judge("93.40 cc").sentence
    'not yet. That is the sum. How many readings are in it?'
    """
    total = sum(readings[1:], readings[0])
    slips = [("That is the sum. How many readings are in it?", total)]
    slips += [("That is one reading alone. What of the others?", reading) for reading in readings]
    if careless is not None:
        everything = (total + careless) / (len(readings) + 1)
        slips.append(
            ("The careless reading is still in it. What is the mean without it?", everything)
        )
    return Question(total / len(readings), slips)


@dataclass(frozen=True)
class OddPour:
    """The pour that lies farthest from what the other groups poured into the same chamber.

    Args:
        pours: volume of each pour, by cylinder and group.
    """

    pours: Mapping[int, Mapping[str, pint.Quantity]]

    @property
    def where(self) -> tuple[int, str]:
        """Cylinder and group of the odd one."""
        all_pours = [(cylinder, group) for cylinder in self.pours for group in self.pours[cylinder]]
        return max(all_pours, key=lambda pour: abs(self.gap(*pour)))

    def gap(self, cylinder: int, group: str) -> float:
        """How far a pour lies above the middle of the others in its chamber, in cc."""
        pours = {name: in_cc(volume) for name, volume in self.pours[cylinder].items()}
        return pours.pop(group) - median(pours.values())

    def judge(self, cylinder: str, group: str) -> Verdict:
        """Judge which pour a student picks, whatever is written.

        Args:
            cylinder: its number.
            group: its letter.
        """
        number, letter, count = _last_word(cylinder), _last_word(group), len(self.pours)
        if not number and not letter:
            return NOTHING_WRITTEN
        if not number:
            return unreadable(f"write the number of its cylinder too, 1 to {count}")
        if number not in map(str, self.pours):
            return unreadable(f'"{cylinder}": write the number of a cylinder, 1 to {count}')
        chamber = self.pours[int(number)]
        letters = f"{min(chamber)} to {max(chamber)}"
        if not letter:
            return unreadable(f"write the letter of its group too, {letters}")
        if letter not in chamber:
            return unreadable(f'"{group}": write the letter of a group, {letters}')
        if (int(number), letter) == self.where:
            return RIGHT
        return not_yet("Which pour lies farthest from the others of its own chamber?", "chamber")

    def kept_mean(self, cylinder: str) -> Question | None:
        """The mean of a chamber without the odd pour; None where it is of another chamber."""
        number, odd = self.where
        if _last_word(cylinder) != str(number):
            return None
        chamber = self.pours[number]
        kept = [volume for group, volume in chamber.items() if group != odd]
        return of_mean(kept, careless=chamber[odd])


def _last_word(text: str) -> str:
    """``"C"`` from ``" group c"``."""
    return (text.split() or [""])[-1].upper()


def of_deck(one_side: str | pint.Quantity, other_side: str | pint.Quantity) -> Question:
    """Deck clearance of a piston that rocks.

    Args:
        one_side: of the pin, positive below the deck.
        other_side: of the pin.

    >>> of_deck("0.43 mm", "0.37 mm").judge("0.80 mm").sentence
    'not yet. Look at the deck. You added both sides. What turns a sum into a mean?'
    """
    one, other = as_quantity(one_side), as_quantity(other_side)
    alone = "That is one side of the pin. The piston rocks: what of the other side?"
    return Question(
        deck_clearance(one, other),
        [
            (alone, one),
            (alone, other),
            (
                "You added both sides. What turns a sum into a mean?",
                one + other,
            ),
            ("That is how far the piston rocks. How deep does it stand?", abs(one - other)),
            (
                "That is half of the rock. Is the mean not between both readings?",
                abs(one - other) / 2,
            ),
        ],
        "deck",
    )


def of_squish(engine: Engine, cylinder: int = 1) -> Question:
    """Squish clearance of one cylinder, counted from 1.

    Raises:
        Refused: no such cylinder, or the gasket's compressed thickness is not known.
    """
    index, gasket = engine.place(cylinder), engine.gasket
    squish = engine.squish(index)
    if squish is None or gasket.compressed_thickness is None:
        raise Refused("squish clearance: the gasket's compressed thickness is not known")
    deck, compressed = best(engine.decks[index].clearance), best(gasket.compressed_thickness)
    slips = [
        ("Is the deck clearance all that lies between piston and head?", deck),
        ("Does the piston come up level with the deck?", compressed),
        (
            "Below the deck, is there more room than the gasket alone gives, or less?",
            abs(compressed - deck),
        ),
    ]
    if gasket.free_thickness is not None:
        slips.append(
            ("How thick is the gasket once the head is bolted down?", gasket.free_thickness + deck)
        )
    return Question(squish, slips, "gasket")
