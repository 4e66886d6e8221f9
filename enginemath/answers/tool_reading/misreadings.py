"""The usual misreadings of each instrument, the likeliest first."""

from __future__ import annotations

from collections.abc import Iterator

from enginemath.answers.tool_reading.setting import Misreadings, Slip
from enginemath.drawing.instruments.burette import MENISCUS
from enginemath.drawing.instruments.caliper import Vernier
from enginemath.drawing.instruments.dial_indicator import Face
from enginemath.drawing.instruments.screws import Screw

_THIMBLE_BACKWARDS = "The thimble's lines were counted backwards: they grow the way its numbers do."


def of_burette(reading: float) -> Iterator[Slip]:
    yield Slip(
        reading - MENISCUS,
        "That is the top of the meniscus, at the glass; read its lowest point.",
    )
    above = int(reading + 1e-9) + 1
    yield Slip(
        2 * above - reading,
        "A burette's numbers grow downwards: count from the line above, not from the one below.",
    )
    yield Slip(
        int(reading + 1e-9) + (reading % 1) / 10,
        "Each small line is a tenth of a mL, not a hundredth.",
    )


def of_micrometer(screw: Screw) -> Misreadings:
    line = (
        "A half-millimetre line below the datum line was missed."
        if screw.unit == "mm"
        else "A sleeve line, 0.025 in, was missed."
    )

    def slips(reading: float) -> Iterator[Slip]:
        yield Slip(reading - screw.pitch, line)
        yield Slip(
            reading + screw.pitch,
            "One sleeve line too many: it is not yet uncovered, only its edge shows.",
        )
        yield Slip(_backwards(reading, screw.pitch), _THIMBLE_BACKWARDS)
        if screw.vernier:
            division = screw.pitch / screw.divisions
            yield Slip(reading - reading % division, "The vernier, the last figure, was left out.")
            yield Slip(_backwards(reading, division), "The vernier's lines were counted backwards.")

    return slips


def of_depth_micrometer(screw: Screw) -> Misreadings:
    def slips(reading: float) -> Iterator[Slip]:
        yield Slip(
            screw.travel - reading,
            "The sleeve was read like an outside micrometer's: here the covered lines count.",
        )
        yield Slip(
            reading + screw.pitch,
            "The first line in sight was taken: the last covered line counts.",
        )
        yield Slip(reading - screw.pitch, "A covered line was missed.")
        yield Slip(_backwards(reading, screw.pitch), _THIMBLE_BACKWARDS)

    return slips


def of_dial(face: Face) -> Misreadings:
    def slips(reading: float) -> Iterator[Slip]:
        yield Slip(reading - face.turn, "A revolution was missed: look at the small hand.")
        yield Slip(
            reading + face.turn,
            "One revolution too many: the small hand has not reached that number yet.",
        )
        yield Slip(
            reading % face.turn, "The revolutions were left out: the small hand counts them."
        )
        yield Slip(
            _backwards(reading, face.turn), "The long hand's divisions were counted backwards."
        )

    return slips


def of_caliper(vernier: Vernier) -> Misreadings:
    def slips(reading: float) -> Iterator[Slip]:
        past = reading % vernier.division
        whole = reading - past
        yield Slip(whole, "The vernier was left out: find its line that meets a line of the beam.")
        yield Slip(
            whole + vernier.line(reading) * vernier.least / 2,
            f"Each vernier line stands for {vernier.least:g} {vernier.unit}.",
        )
        yield Slip(
            reading + vernier.division,
            "The beam line after the vernier's zero was taken: take the one before it.",
        )
        yield Slip(reading - vernier.division, "A line of the beam was missed.")

    return slips


def of_feeler(step: float) -> Misreadings:
    def slips(reading: float) -> Iterator[Slip]:
        yield Slip(reading - step, "That leaf goes in loosely: the next one goes in and drags.")
        yield Slip(reading + step, "That leaf does not go in: the one before it drags.")

    return slips


def _backwards(reading: float, step: float) -> float:
    """A reading with its part past the last whole step counted from the next one down.

    >>> round(_backwards(5.78, 0.5), 2)
    5.72
    """
    part = reading % step
    return reading - part + step - part
