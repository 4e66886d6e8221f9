"""The usual misreadings of each instrument, the likeliest first."""

from __future__ import annotations

from collections.abc import Iterator

from enginemath.answers.tool_reading.setting import Misreading, Misreadings
from enginemath.drawing.instruments.burette import MENISCUS
from enginemath.drawing.instruments.caliper import Vernier
from enginemath.drawing.instruments.dial_indicator import Face
from enginemath.drawing.instruments.screws import Screw

_THIMBLE_BACKWARDS = "Which way do the thimble's numbers grow? Count its lines that way."


def of_burette(reading: float) -> Iterator[Misreading]:
    yield Misreading(
        reading - MENISCUS,
        "Is that the top of the meniscus, at the glass, or its lowest point?",
        "meniscus",
    )
    above = int(reading + 1e-9) + 1
    yield Misreading(
        2 * above - reading,
        "A burette's numbers grow downwards. From which numbered line do you count?",
        "number",
    )
    yield Misreading(
        int(reading + 1e-9) + (reading % 1) / 10,
        "How many small lines are there to one mL? What is each worth?",
        "lines",
    )


def of_micrometer(screw: Screw) -> Misreadings:
    line = (
        "Look below the datum line: is there a half-millimetre line uncovered?"
        if screw.unit == "mm"
        else "Count the sleeve's lines again: is one more uncovered?"
    )

    def misreadings(reading: float) -> Iterator[Misreading]:
        yield Misreading(reading - screw.pitch, line, "sleeve")
        yield Misreading(
            reading + screw.pitch,
            "Look at the last sleeve line: is it uncovered, or does only its edge show?",
            "sleeve",
        )
        yield Misreading(_backwards(reading, screw.pitch), _THIMBLE_BACKWARDS, "thimble")
        if screw.vernier:
            division = screw.pitch / screw.divisions
            yield Misreading(
                reading - reading % division,
                "Look at the vernier: which of its lines meets a line? It gives the last figure.",
                "vernier",
            )
            yield Misreading(
                _backwards(reading, division),
                "Which way do the vernier's numbers grow? Count its lines that way.",
                "vernier",
            )

    return misreadings


def of_depth_micrometer(screw: Screw) -> Misreadings:
    def misreadings(reading: float) -> Iterator[Misreading]:
        yield Misreading(
            screw.travel - reading,
            "Is it read like an outside micrometer? Which of the sleeve's lines count here?",
            "sleeve",
        )
        yield Misreading(
            reading + screw.pitch,
            "Which line counts here: the first in sight or the last covered one?",
            "sleeve",
        )
        yield Misreading(
            reading - screw.pitch, "Count the covered lines again: is there one more?", "sleeve"
        )
        yield Misreading(_backwards(reading, screw.pitch), _THIMBLE_BACKWARDS, "thimble")

    return misreadings


def of_dial(face: Face) -> Misreadings:
    def misreadings(reading: float) -> Iterator[Misreading]:
        yield Misreading(
            reading - face.turn,
            "Look at the small hand: how many whole turns has the long one made?",
            "small hand",
        )
        yield Misreading(
            reading + face.turn,
            "Look at the small hand: has it reached that number yet?",
            "small hand",
        )
        yield Misreading(
            reading % face.turn,
            "What does the small hand count? Is it in your reading?",
            "small hand",
        )
        yield Misreading(
            _backwards(reading, face.turn),
            "Which way does the long hand turn? Count its divisions that way.",
            "long hand",
        )

    return misreadings


def of_caliper(vernier: Vernier) -> Misreadings:
    def misreadings(reading: float) -> Iterator[Misreading]:
        past = reading % vernier.division
        whole = reading - past
        yield Misreading(
            whole, "Look at the vernier: which of its lines meets a line of the beam?", "vernier"
        )
        yield Misreading(
            whole + vernier.line(reading) * vernier.least / 2,
            "What does each line of the vernier stand for? It is written on it.",
            "vernier",
        )
        yield Misreading(
            reading + vernier.division,
            "Which beam line counts: the one before the vernier's zero or the one after it?",
            "beam",
        )
        yield Misreading(
            reading - vernier.division,
            "Count the lines of the beam again: is there one more before the vernier's zero?",
            "beam",
        )

    return misreadings


def of_feeler(step: float) -> Misreadings:
    def misreadings(reading: float) -> Iterator[Misreading]:
        yield Misreading(
            reading - step, "Does that leaf drag, or does it go in loosely? What of the next one?"
        )
        yield Misreading(reading + step, "Does that leaf go in? What of the one before it?")

    return misreadings


def _backwards(reading: float, step: float) -> float:
    """A reading with its part past the last whole step counted from the next one down.

    >>> round(_backwards(5.78, 0.5), 2)
    5.72
    """
    part = reading % step
    return reading - part + step - part
