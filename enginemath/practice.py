"""Practice at reading instruments: a setting at random, and what a reading of it shows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from random import Random

import pint

from enginemath.drawing.instruments import burette, caliper, depth_micrometer, dial_indicator
from enginemath.drawing.instruments.screws import SCREWS, Screw
from enginemath.units import Quantity, Refused, read_as, unit_of


@dataclass(frozen=True)
class Slip:
    """A usual misreading: what it gives in place of the right reading, and how to avoid it."""

    gives: float
    says: str


@dataclass(frozen=True)
class Tool:
    """An instrument to be read.

    Args:
        name: in shop words.
        unit: of its scale: ``mm``, ``in`` or ``mL``.
        step: finest reading.
        decimals: of a reading.
        low, high: ends of the settings, on whole steps.
        slips: the usual misreadings of a setting, the likeliest first.
        bases: what is added to the scale: frames of a micrometer, rods of a depth micrometer.
        how: the rule for reading it, one sentence.
    """

    name: str
    unit: str
    step: float
    decimals: int
    low: float
    high: float
    slips: Callable[[float], Iterator[Slip]]
    how: str
    bases: tuple[float, ...] = (0.0,)


@dataclass(frozen=True)
class Setting:
    """An instrument set to a reading; `base` is part of the reading."""

    tool: Tool
    reading: float
    base: float = 0.0

    @property
    def shown(self) -> str:
        """The right reading as it is written down."""
        return f"{self.reading:.{self.tool.decimals}f} {self.tool.unit}"


@dataclass(frozen=True)
class Judgement:
    """What a typed reading shows."""

    right: bool
    off: pint.Quantity
    """Typed less right."""
    says: str


def settings(tool: Tool, seed: int) -> Iterator[Setting]:
    """Settings of an instrument without end, the same ones for the same seed.

    >>> drawn = settings(TOOLS["burette", "mL"], seed=1)
    >>> next(drawn).shown, next(drawn).shown
    ('23.75 mL', '14.65 mL')
    """
    draw = Random(f"{tool.name}, {tool.unit}, {seed}")
    steps = round((tool.high - tool.low) / tool.step)
    while True:
        base = draw.choice(tool.bases)
        scale = tool.low + draw.randint(0, steps) * tool.step
        yield Setting(tool, round(base + scale, tool.decimals), base)


def judge(setting: Setting, typed: str) -> Judgement:
    """Say how far a typed reading is off, and which misreading it shows.

    Args:
        setting: of the instrument.
        typed: a number with its unit.

    Raises:
        Refused: no number with a unit of the right kind.

    >>> setting = Setting(TOOLS["micrometer", "mm"], 5.78)
    >>> judge(setting, "5.78 mm").right
    True
    >>> judge(setting, "5.28 mm").says
    '0.50 mm too small. A half-millimetre line below the datum line was missed.'
    """
    tool = setting.tool
    reading = read_as(typed, tool.unit).m_as(unit_of(tool.unit))
    if hasattr(reading, "nominal_value"):
        raise Refused(f"{typed}: write the reading alone, without ±")
    off = reading - setting.reading
    quantity = Quantity(off, unit_of(tool.unit))
    if abs(off) < 0.51 * tool.step:
        return Judgement(True, quantity, f"Right: {setting.shown}.")
    distance = f"{abs(off):.{tool.decimals}f} {tool.unit} too {'large' if off > 0 else 'small'}."
    for slip in _slips(setting):
        if abs(reading - slip.gives) < 0.51 * tool.step:
            return Judgement(False, quantity, f"{distance} {slip.says}")
    if abs(off) < 1.51 * tool.step:
        near = "One step of the scale: look at it square on, eye level with the mark."
        return Judgement(False, quantity, f"{distance} {near}")
    return Judgement(False, quantity, f"{distance} {tool.how}")


def _slips(setting: Setting) -> Iterator[Slip]:
    scale = setting.reading - setting.base
    for slip in setting.tool.slips(scale):
        yield Slip(slip.gives + setting.base, slip.says)
    if setting.base:
        yield Slip(scale, f"The tool begins at {setting.base:g} {setting.tool.unit}: add it.")


def _burette(reading: float) -> Iterator[Slip]:
    yield Slip(
        reading - burette.MENISCUS,
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


def _micrometer(screw: Screw) -> Callable[[float], Iterator[Slip]]:
    line = (
        "A half-millimetre line below the datum line was missed."
        if screw.unit == "mm"
        else "A sleeve line, 0.025 in, was missed."
    )

    def slips(reading: float) -> Iterator[Slip]:
        turned = reading % screw.pitch
        yield Slip(reading - screw.pitch, line)
        yield Slip(
            reading + screw.pitch,
            "One sleeve line too many: it is not yet uncovered, only its edge shows.",
        )
        yield Slip(
            reading - turned + screw.pitch - turned,
            "The thimble's lines were counted backwards: they grow the way its numbers do.",
        )
        if screw.vernier:
            division = screw.pitch / screw.divisions
            tenths = reading % division
            yield Slip(reading - tenths, "The vernier, the last figure, was left out.")
            yield Slip(
                reading - tenths + division - tenths, "The vernier's lines were counted backwards."
            )

    return slips


def _depth_micrometer(screw: Screw) -> Callable[[float], Iterator[Slip]]:
    def slips(reading: float) -> Iterator[Slip]:
        turned = reading % screw.pitch
        yield Slip(
            screw.travel - reading,
            "The sleeve was read like an outside micrometer's: here the covered lines count.",
        )
        yield Slip(
            reading + screw.pitch,
            "The first line in sight was taken: the last covered line counts.",
        )
        yield Slip(reading - screw.pitch, "A covered line was missed.")
        yield Slip(
            reading - turned + screw.pitch - turned,
            "The thimble's lines were counted backwards: they grow the way its numbers do.",
        )

    return slips


def _dial(face: dial_indicator.Face) -> Callable[[float], Iterator[Slip]]:
    def slips(reading: float) -> Iterator[Slip]:
        turned = reading % face.turn
        yield Slip(reading - face.turn, "A revolution was missed: look at the small hand.")
        yield Slip(
            reading + face.turn,
            "One revolution too many: the small hand has not reached that number yet.",
        )
        yield Slip(turned, "The revolutions were left out: the small hand counts them.")
        yield Slip(
            reading - turned + face.turn - turned,
            "The long hand's divisions were counted backwards.",
        )

    return slips


def _caliper(vernier: caliper.Vernier) -> Callable[[float], Iterator[Slip]]:
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


def _feeler(step: float) -> Callable[[float], Iterator[Slip]]:
    def slips(reading: float) -> Iterator[Slip]:
        yield Slip(reading - step, "That leaf goes in loosely: the next one goes in and drags.")
        yield Slip(reading + step, "That leaf does not go in: the one before it drags.")

    return slips


def leaves(tool: Tool) -> list[float]:
    """The leaves of a feeler gauge, in its unit, thinnest first."""
    count = round((tool.high - tool.low) / tool.step) + 3
    return [round(tool.low + (place - 1) * tool.step, tool.decimals) for place in range(count)]


FEELER = "feeler gauge"


def _tools() -> Iterator[Tool]:
    yield Tool(
        "burette", "mL", 0.05, 2, 1.0, 48.0, _burette,
        "Read the lowest point of the meniscus, from the line above it downwards, to half a line.",
    )  # fmt: skip
    how = "Add the number uncovered, the lines after it, and the thimble's line at the datum line."
    yield Tool("micrometer", "mm", 0.01, 2, 0.5, 24.5, _micrometer(SCREWS["mm"]), how,
               bases=(0.0, 25.0, 75.0))  # fmt: skip
    yield Tool("micrometer", "in", 0.0001, 4, 0.025, 0.975, _micrometer(SCREWS["in"]), how,
               bases=(0.0, 1.0, 3.0))  # fmt: skip
    how = "Take the last covered number, the covered lines after it, and the thimble's line."
    depth = depth_micrometer.SCREWS
    yield Tool("depth micrometer", "mm", 0.01, 2, 0.5, 24.5, _depth_micrometer(depth["mm"]), how,
               bases=(0.0, 25.0, 75.0))  # fmt: skip
    yield Tool("depth micrometer", "in", 0.001, 3, 0.025, 0.975, _depth_micrometer(depth["in"]),
               how, bases=(0.0, 1.0, 3.0))  # fmt: skip
    faces = dial_indicator.FACES
    how = "The small hand counts whole turns of the long one; add the long hand's divisions."
    yield Tool("dial indicator", "mm", 0.01, 2, 0.0, 9.99, _dial(faces["mm"]), how)
    yield Tool("dial indicator", "in", 0.001, 3, 0.0, 0.999, _dial(faces["in"]), how)
    verniers = caliper.VERNIERS
    how = "Take the beam line just before the vernier's zero; add the vernier line that meets one."
    yield Tool("vernier caliper", "mm", 0.02, 2, 2.0, 120.0, _caliper(verniers["mm"]), how)
    yield Tool("vernier caliper", "in", 0.001, 3, 0.1, 4.5, _caliper(verniers["in"]), how)
    how = "Try thicker leaves until one drags; the next must not go in."
    yield Tool(FEELER, "mm", 0.05, 2, 0.30, 0.70, _feeler(0.05), how)
    yield Tool(FEELER, "in", 0.002, 3, 0.012, 0.028, _feeler(0.002), how)


TOOLS = {(tool.name, tool.unit): tool for tool in _tools()}
"""By name and unit."""


@dataclass
class Tally:
    """How a session goes: readings tried and right, by instrument."""

    tried: Counter[str] = field(default_factory=Counter)
    right: Counter[str] = field(default_factory=Counter)

    def note(self, tool: Tool, judgement: Judgement) -> None:
        """Count one reading."""
        self.tried[tool.name] += 1
        self.right[tool.name] += judgement.right

    def __str__(self) -> str:
        """The score in words.

        >>> tally = Tally()
        >>> tool = TOOLS["burette", "mL"]
        >>> tally.note(tool, judge(Setting(tool, 23.45), "23.25 mL"))
        >>> print(tally)
        0 of 1 right (burette 0 of 1)
        """
        if not self.tried:
            return "no reading yet"
        each = ", ".join(f"{name} {self.right[name]} of {n}" for name, n in self.tried.items())
        return f"{self.right.total()} of {self.tried.total()} right ({each})"
