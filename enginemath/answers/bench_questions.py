"""Answers that follow from bench readings alone: right, or which slip gives them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

import pint

from enginemath.answers.question import Question
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
                "The burette was refilled. Each fill has a start and an end of its own.",
                abs(ends[-1] - starts[0]),
            ),
            ("You took off the first start reading only.", sum(ends, nothing) - starts[0]),
        ],
    )


def of_mean(readings: Sequence[pint.Quantity], careless: pint.Quantity | None = None) -> Question:
    """The mean of several readings of one thing.

    Args:
        readings: those that belong in it.
        careless: one more, which does not belong in it.

    >>> of_mean([Quantity(46.6, "cc"), Quantity(46.8, "cc")]).verdict("93.40 cc")
    'not yet. That is the sum. How many readings are in it?'
    """
    total = sum(readings[1:], readings[0])
    slips = [("That is the sum. How many readings are in it?", total)]
    slips += [("That is one reading alone.", reading) for reading in readings]
    if careless is not None:
        everything = (total + careless) / (len(readings) + 1)
        slips.append(("The careless reading is still in it.", everything))
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
        places = [(cylinder, group) for cylinder in self.pours for group in self.pours[cylinder]]
        return max(places, key=lambda place: abs(self.gap(*place)))

    def gap(self, cylinder: int, group: str) -> float:
        """How far a pour lies above the middle of the others in its chamber, in cc."""
        pours = {name: in_cc(volume) for name, volume in self.pours[cylinder].items()}
        return pours.pop(group) - median(pours.values())

    def verdict(self, cylinder: str, group: str) -> str:
        """Judge which pour a student picks, whatever is written."""
        number, letter = _last_word(cylinder), _last_word(group)
        if not number or not letter:
            return "nothing written yet"
        if number not in map(str, self.pours):
            return f'"{cylinder}": write the number of a cylinder, 1 to {len(self.pours)}'
        chamber = self.pours[int(number)]
        if letter not in chamber:
            return f'"{group}": write the letter of a group, {min(chamber)} to {max(chamber)}'
        if (int(number), letter) == self.where:
            return "right"
        gap = abs(self.gap(int(number), letter))
        return f"not yet. That one lies {gap:.2f} cc from the others' middle; one lies farther"

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

    >>> of_deck("0.43 mm", "0.37 mm").verdict("0.80 mm")
    'not yet. You added both sides. What turns a sum of two readings into their mean?'
    """
    one, other = as_quantity(one_side), as_quantity(other_side)
    alone = "That is one side of the pin. The piston rocks: use both sides."
    return Question(
        deck_clearance(one, other),
        [
            (alone, one),
            (alone, other),
            (
                "You added both sides. What turns a sum of two readings into their mean?",
                one + other,
            ),
            ("That is how far the piston rocks, not how deep it stands.", abs(one - other)),
            (
                "That is half of the rock. Is the mean not between both readings?",
                abs(one - other) / 2,
            ),
        ],
    )


def of_squish(engine: Engine, cylinder: int = 1) -> Question:
    """Squish clearance of one cylinder, counted from 1.

    Raises:
        Refused: no such cylinder, or the gasket's compressed thickness is not known.
    """
    place, gasket = engine.place(cylinder), engine.gasket
    squish = engine.squish(place)
    if squish is None or gasket.compressed_thickness is None:
        raise Refused("squish clearance: the gasket's compressed thickness is not known")
    deck, compressed = best(engine.decks[place].clearance), best(gasket.compressed_thickness)
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
    return Question(squish, slips)
