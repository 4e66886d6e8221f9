"""A bench to practise on: chambers whose true volume is hidden, a burette, and what goes wrong.

Everything on it is invented; the slips and their sizes are common practice, no source.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from io import StringIO
from random import Random

import pint

from enginemath.bench.measuring import WATER, Fill, at_temperature
from enginemath.bench.tools import burette, poured_from
from enginemath.engine import limits
from enginemath.engine.parts import Engine
from enginemath.units import Quantity, Refused, in_cc, in_mm, nominal, read_as, show, signed

SPREAD = 0.6
"""How far a hidden volume may lie from the engine's own chamber, in cc; a tenth of a small one."""
DROP = 0.05
"""Smallest amount that the tap lets out, in cc."""
FAST = 2.0
"""So many cc let out at once carry air under the plate when the chamber is nearly full."""
NEAR_THE_END = 10.0
"""Less than so many cc missing is nearly full: 5 cc at once still find room, and the air stays."""
PLUG_HOLE = 1.2
"""What an open plug hole takes, in cc."""
LEAK = 0.8
"""What creeps out under a plate without grease, in cc."""
GREASE = 0.3
"""What a thick bead squeezed into the chamber fills, in cc."""
TAP_WARMER = Quantity(20.0, "kelvin")
"""How much warmer than the head the warm tap runs; in the head its water cools and shrinks."""
BUBBLE = (0.4, 1.4)
"""Smallest and largest bubble, in cc."""
BURETTES = (10, 25, 50)


@dataclass(frozen=True)
class NotedFill:
    """One fill: what was written down, and where the liquid truly stood, in mL."""

    start: float
    end: float
    true_start: float
    true_end: float


@dataclass
class Pour:
    """One pour of one chamber."""

    cylinder: int
    """The cylinder's number, counted from 1."""
    true: float
    """Volume of the chamber, in cc."""
    plug: bool = True
    thin_grease: bool = True
    greased: bool = True
    """Whether there is a line of grease all along the edge."""
    water_stood: bool = True
    """Whether the water has become as warm as the head."""
    bubble: float = 0.0
    in_chamber: float = 0.0
    """What is in the chamber now, in cc."""
    spilled: float = 0.0
    """What ran out of the burette after the chamber was full, in cc."""
    fills: list[NotedFill] = field(default_factory=list)

    @property
    def spill_shows(self) -> bool:
        """Whether more was spilled than the rest of the last drop."""
        return self.spilled > DROP

    @property
    def slips(self) -> dict[str, float]:
        """What was set up wrong: by how much the chamber takes more, in cc."""
        slips = {}
        if not self.plug:
            slips["plug hole open"] = PLUG_HOLE
        if not self.greased:
            slips["no grease, water crept out"] = LEAK
        elif not self.thin_grease:
            slips["grease in the chamber"] = -min(GREASE, self.true / 3)
        if not self.water_stood:
            cold = Quantity(self.true, "cc")
            warm = at_temperature(cold, TAP_WARMER, glass=0, liquid=WATER)
            slips["warm water shrank"] = (warm - cold).m_as("cc")
        return slips

    @property
    def space(self) -> float:
        """What the chamber will take as it stands, in cc."""
        return self.true + sum(self.slips.values()) - self.bubble

    @property
    def shown(self) -> float:
        """What stands between chamber and plate, in cc: the same share of it as of the space."""
        return self.in_chamber * (self.true - self.bubble) / self.space


@dataclass(frozen=True)
class Truth:
    """A pour beside the true volume, in cc.

    The slips and the reading errors together are the difference, exactly.
    """

    cylinder: int
    true: float
    measured: float
    errors: dict[str, float]
    u: float
    """Standard uncertainty that careful work with this burette has."""

    def __str__(self) -> str:
        """The pour in words.

        >>> print(Truth(1, 47.10, 46.30, {"air under the plate": -0.85, "readings": 0.05}, 0.07))
        cylinder 1: true 47.10 cc, you measured 46.30 cc (−0.80 cc): air under the plate \
−0.85 cc, readings +0.05 cc; careful work with this burette is sure to ± 0.07 cc
        """
        parts = ", ".join(f"{name} {signed(error, 2)} cc" for name, error in self.errors.items())
        off = signed(self.measured - self.true, 2)
        return (
            f"cylinder {self.cylinder}: true {self.true:.2f} cc, you measured "
            f"{self.measured:.2f} cc ({off} cc): {parts}; careful work "
            f"with this burette is sure to ± {self.u:.2f} cc"
        )


class VirtualBench:
    """A head on the bench, its chambers' true volumes hidden.

    Args:
        engine: whose head it resembles.
        seed: of the hidden volumes; the same seed gives a class the same head.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> bench = VirtualBench(parse(EXAMPLE).engine, seed=1)
    >>> bench.begin(1)
    >>> bench.note_start(f"{bench.reading} mL")
    >>> while not bench.full and not bench.empty:
    ...     bench.run(DROP)
    >>> bench.note_end(f"{bench.reading} mL")
    >>> print(bench.record_csv().splitlines()[0])
    cylinder,fill,start,end
    """

    def __init__(self, engine: Engine, seed: int = 1):
        self._name = f"bench of {engine.name}, {seed}"
        draw = Random(self._name)
        self._true = [
            round(cc + min(SPREAD, cc / 10) * draw.uniform(-1, 1), 2)
            for cc in (in_cc(chamber.volume) for chamber in engine.chambers)
        ]
        largest = max(self._true)
        self.capacity = next((size for size in BURETTES if largest < 2.5 * size), BURETTES[-1])
        self.bore = in_mm(engine.cylinder.bore)
        self.pours: list[Pour] = []
        self.reading = 0.0
        self._stood = 0
        self._start: tuple[float, float] | None = None
        self._noted = False

    @property
    def count(self) -> int:
        """Number of chambers."""
        return len(self._true)

    @property
    def pour(self) -> Pour:
        """The pour that is going on.

        Raises:
            Refused: none has begun.
        """
        if not self.pours:
            raise Refused("put the plate on a chamber first")
        return self.pours[-1]

    @property
    def true_volume(self) -> float:
        """The true volume of the chamber in hand, in cc; only a drawing may know."""
        return self.pour.true

    def true_of(self, cylinder: int) -> float:
        """The true volume of a cylinder's chamber, in cc; only a drawing may know."""
        return self._true[cylinder - 1]

    @property
    def full(self) -> bool:
        """Whether the liquid has reached the plate."""
        return self.pour.in_chamber >= self.pour.space - 1e-9

    @property
    def empty(self) -> bool:
        """Whether the burette has run down to its last line."""
        return self.reading >= self.capacity - 1e-9

    @property
    def start_is_noted(self) -> bool:
        """Whether the start reading of this fill is written down."""
        return self._start is not None

    @property
    def fill_is_noted(self) -> bool:
        """Whether both readings of this fill are written down."""
        return self._noted

    def begin(
        self,
        cylinder: int,
        *,
        plug: bool = True,
        thin_grease: bool = True,
        water_stood: bool = True,
        greased: bool = True,
        level: bool = False,
    ) -> None:
        """Put the plate on an empty chamber and fill the burette.

        Args:
            cylinder: counted from 1.
            plug: whether the spark plug is in.
            thin_grease: whether the grease is a thin line; a thick one is squeezed inwards.
            water_stood: whether the water is as warm as the head, not from the warm tap.
            greased: whether there is grease all along the edge.
            level: whether the head lies level: then air stays under the plate until it is tilted.

        A pour into which nothing has run is given up for the new one.
        """
        if not 1 <= cylinder <= self.count:
            raise Refused(f"cylinder {cylinder}: there are {self.count}")
        if self.pours and not self.pour.in_chamber and not self.pour.fills:
            self.pours.pop()
        self._stood = 0
        true = self.true_of(cylinder)
        begun = Pour(cylinder, true, plug, thin_grease, greased, water_stood)
        self.pours.append(begun)
        if level:
            begun.bubble = round(min(self._chance("air").uniform(*BUBBLE), true / 4), 2)
        self._fill_burette()

    def refill(self) -> None:
        """Fill the burette again, when the last fill is written down.

        Raises:
            Refused: the last fill has no end reading yet, or the chamber is full.
        """
        if self._start is not None:
            raise Refused("write down the end reading before you refill")
        if self.full and self.pour.fills:
            raise Refused("the chamber is full: put the plate on the next one")
        self._fill_burette()

    def note_start(self, typed: str) -> None:
        """Write down the start reading.

        Raises:
            Refused: it cannot be read, or it is there already.
        """
        if self._start is not None:
            raise Refused("the start reading is written down already")
        if self._noted:
            raise Refused("this fill is written down: refill the burette first")
        self._start = (self._read(typed), self.reading)

    def run(self, volume: float) -> None:
        """Let some liquid out of the burette.

        Args:
            volume: in cc, positive.

        Raises:
            Refused: no start reading yet, or the burette is empty.
        """
        pour = self.pour
        if self._start is None:
            raise Refused("write down the start reading first: you cannot read it afterwards")
        if self.empty:
            raise Refused("the burette is at its last line: write down the end reading and refill")
        volume = min(volume, self.capacity - self.reading)
        left = pour.space - pour.in_chamber
        if volume >= FAST and 0 < left < NEAR_THE_END and not pour.bubble:
            pour.bubble = round(
                min(self._chance("air").uniform(*BUBBLE), 0.9 * min(left, pour.true)), 2
            )
        self.reading = round(self.reading + volume, 4)
        over = pour.in_chamber + volume - pour.space
        pour.in_chamber = min(pour.in_chamber + volume, pour.space)
        pour.spilled += max(over, 0.0)

    def chase_bubble(self) -> None:
        """Tilt the head until the air is out from under the plate."""
        self.pour.bubble = 0.0

    def note_end(self, typed: str) -> None:
        """Write down the end reading: the fill is on the record.

        Raises:
            Refused: no start reading yet, or an end above the start.
        """
        if self._start is None:
            raise Refused("write down the start reading first")
        start, true_start = self._start
        end = self._read(typed)
        Fill(Quantity(start, "mL"), Quantity(end, "mL"))
        self.pour.fills.append(NotedFill(start, end, true_start, self.reading))
        self._start, self._noted = None, True

    def record(self) -> list[dict[str, str]]:
        """All fills on the record, as on the sheet by the bench."""
        return [
            {
                "cylinder": str(pour.cylinder),
                "fill": str(number),
                "start": f"{fill.start:.2f} mL",
                "end": f"{fill.end:.2f} mL",
            }
            for pour in self.pours
            for number, fill in enumerate(pour.fills, start=1)
        ]

    def record_csv(self) -> str:
        """The record as the text of a CSV file."""
        text = StringIO()
        table = csv.DictWriter(text, ["cylinder", "fill", "start", "end"], lineterminator="\n")
        table.writeheader()
        table.writerows(self.record())
        return text.getvalue()

    def measured(self, pour: Pour) -> pint.Quantity:
        """What the record says of a pour, with what the burette adds to its uncertainty, in cc."""
        fills = [Fill(Quantity(f.start, "mL"), Quantity(f.end, "mL")) for f in pour.fills]
        instrument = burette(Quantity(self.capacity, "mL"), "B")
        return poured_from(instrument, fills, f"chamber {pour.cylinder}")

    def truths(self) -> list[Truth]:
        """Every pour that is on the record, beside the true volume."""
        return [self._truth(pour) for pour in self.pours if pour.fills]

    def _truth(self, pour: Pour) -> Truth:
        measured = self.measured(pour).m_as("cc")
        readings = sum((f.end - f.true_end) - (f.start - f.true_start) for f in pour.fills)
        noted = sum(f.true_end - f.true_start for f in pour.fills)
        slips = {
            **pour.slips,
            "air under the plate": -pour.bubble,
            "spilled over the plate": pour.spilled,
            "not filled to the plate": pour.in_chamber - pour.space,
            "run but not written down": noted - (pour.in_chamber + pour.spilled),
        }
        errors = {name: error for name, error in slips.items() if abs(error) > 1e-6}
        errors["readings"] = readings
        return Truth(pour.cylinder, pour.true, measured.nominal_value, errors, measured.std_dev)

    def _fill_burette(self) -> None:
        other = [lines for lines in range(1, 20) if lines != self._stood]
        self._stood = self._chance("fill").choice(other)
        self.reading = round(self._stood * DROP, 2)
        self._start, self._noted = None, False

    def _chance(self, what: str) -> Random:
        """Chance that is the same when the same work is done again."""
        return Random(f"{self._name}, pour {len(self.pours)}, {what} {len(self.pour.fills)}")

    def _read(self, typed: str) -> float:
        reading = nominal(limits.BURETTE_READING.accept(read_as(typed, "mL")).m_as("mL"))
        if reading > self.capacity:
            scale = show(Quantity(self.capacity, "mL"), "ml")
            raise Refused(f"{typed}: the burette's scale ends at {scale}")
        return reading
