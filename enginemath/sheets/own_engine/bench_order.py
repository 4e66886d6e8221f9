"""What is read on an engine, in the order of the bench: where, and with what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from enginemath.sheets.readings_table import Row
from enginemath.sheets.what_is_read import WHATS

MANY_CYLINDERS = 2
"""From more cylinders than these on, each chamber is poured once: they stand for each other."""


@dataclass(frozen=True)
class Taking:
    """How one thing is read.

    Args:
        what: as the table of readings calls it.
        tool: name in the sheet's ``[tools]``; for a pour, of the burette.
        how: what is done, for one who does it for the first time.
        places: where it is read, one reading each; a single empty one where that is plain.
        each: whether on every cylinder; else once for all.
        where: in place of "cylinder 3" in a heading, for what is no cylinder's own.
        depth_tool: of a known-depth pour.
    """

    what: str
    tool: str
    how: str
    places: tuple[str, ...] = ("",)
    each: bool = False
    where: str = ""
    depth_tool: str = ""

    @property
    def is_poured(self) -> bool:
        """Whether a burette's start and end are read."""
        return WHATS[self.what].is_poured


TAKINGS = {
    taking.what: taking
    for taking in (
        Taking(
            "deck clearance",
            "dial",
            "Piston at the top. Dial on its bridge, zero on the deck, then over the piston, both "
            "sides of the pin, as it rocks. Above the deck is minus.",
            ("left of the pin", "right of the pin"),
            each=True,
        ),
        Taking(
            "depth at bdc",
            "depth gauge",
            "Piston at the bottom: from the deck to the piston's edge, in line with the pin.",
            each=True,
        ),
        Taking(
            "bore",
            "bore gauge",
            "Across the bore, clear of the ring ridge, rocked to the smallest reading.",
            ("top", "middle", "bottom"),
            each=True,
        ),
        Taking(
            "known depth",
            "burette",
            "Lower the piston until all of its crown is below the deck; read the depth of its "
            "edge. Grease round the edge, plate on, pour until no bubble is left.",
            depth_tool="depth gauge",
        ),
        Taking(
            "chamber",
            "burette",
            "Head level, plug and valves in, grease round the chamber, plate on. Pour until no "
            "bubble is left. Zero is at the top: the burette is read downwards.",
            each=True,
        ),
        Taking(
            "gasket bore",
            "caliper",
            "The opening of the gasket, not the cylinder: it is a little larger all round.",
            ("along", "across"),
            where="its own opening",
        ),
        Taking(
            "compressed thickness",
            "micrometer",
            "A used one of the same kind, wiped clean, at the fire ring. As it comes from the box "
            "it is thicker: that is its free thickness.",
            ("front", "middle", "rear"),
            where="at the fire ring",
        ),
        Taking(
            "free thickness",
            "micrometer",
            "A new gasket as it comes from the box, at the fire ring. The ratio goes by the "
            "compressed one.",
            ("front", "middle", "rear"),
            where="at the fire ring",
        ),
        Taking(
            "stroke",
            "depth gauge",
            "Depth of the piston's edge at the bottom, less the same at the top. Plus the deck "
            "clearance it would be the depth at the bottom.",
        ),
        Taking(
            "rod length",
            "caliper",
            "From the middle of the pin's hole to the middle of the crank's: between the near "
            "edges, plus half of both holes.",
            where="between the centres",
        ),
        Taking(
            "dish",
            "burette",
            "Piston out of the engine, crown up and level, plate across it. Pour until no bubble "
            "is left.",
        ),
        Taking(
            "dome",
            "burette",
            "A plate does not lie on a dome: pour at a known depth, and the dome comes out as a "
            "minus. Here the maker's volume is written.",
        ),
        Taking(
            "reliefs",
            "burette",
            "The pockets for the valves, poured alone where the dish was not poured with them.",
        ),
        Taking(
            "land height",
            "caliper",
            "From the crown's edge down to the upper side of the top ring.",
            where="above the top ring",
        ),
        Taking(
            "land diameter",
            "micrometer",
            "Across the piston above its top ring: the bore less this is the gap, both sides "
            "together.",
            where="above the top ring",
        ),
        Taking(
            "block height",
            "caliper",
            "From the middle of the crank's bearings to the deck, at right angles to it.",
            where="deck to crank",
        ),
        Taking(
            "compression height",
            "caliper",
            "From the middle of the pin to the flat edge of the crown.",
            where="pin to crown",
        ),
        Taking(
            "pin offset",
            "caliper",
            "How far the pin lies beside the middle of the piston; from the maker, or both sides "
            "read and half the difference taken.",
        ),
        Taking(
            "intake closes",
            "degree wheel",
            "Zero at top dead centre, found with a stop. Turn past bottom dead centre until the "
            "valve is back at its checking lift.",
            where="after bottom dead centre",
        ),
        Taking(
            "exhaust closes",
            "degree wheel",
            "Of a two-stroke: zero at top dead centre, found with a stop. Turn past bottom dead "
            "centre until the piston just shuts the port.",
            where="after bottom dead centre",
        ),
        Taking(
            "prechamber",
            "burette",
            "Of a diesel: the room behind the throat, glow plug and injector in. Pour it through "
            "the throat until no bubble is left; it is added to the chamber.",
            each=True,
        ),
        Taking(
            "plug hole pour",
            "burette",
            "Piston at the top of compression, both valves shut, plug hole upright. Pour to the "
            "lowest thread: a check on the sum of all the others.",
            each=True,
        ),
    )
}
"""Every reading that a table can hold, the needed ones first, in the order of the bench."""

NEEDED = (
    *("deck clearance", "depth at bdc", "bore", "known depth", "chamber"),
    *("gasket bore", "compressed thickness"),
)
"""What a first ratio is worked out from."""

TOOLS = {
    "dial": ("dial indicator", "0.01 mm or 0.0005 in; on a bridge that spans the bore"),
    "depth gauge": ("depth gauge", "with a vernier; a depth micrometer is better"),
    "bore gauge": ("bore gauge", "set with a micrometer or a ring"),
    "burette": ("burette", "size and class stand on the glass"),
    "caliper": ("caliper", ""),
    "micrometer": ("micrometer", ""),
    "degree wheel": ("degree wheel", ""),
}
"""By the name that rows use: its kind, and what is to be said of it."""


def readings_to_take(cylinders: int, unit: str) -> Iterator[Row]:
    """The rows of a new table: one for each reading, blank, in the order of the bench.

    Args:
        cylinders: how many.
        unit: "in" or "mm", of lengths.

    >>> rows = list(readings_to_take(8, "in"))
    >>> len(rows), rows[0].what, rows[0].place, rows[-1].what
    (62, 'deck clearance', 'left of the pin', 'compressed thickness')
    """
    number = 1
    for what in NEEDED:
        for row in _of(TAKINGS[what], cylinders, unit):
            number += 1
            yield Row(number, **row)


def _of(taking: Taking, cylinders: int, unit: str) -> Iterator[dict[str, Any]]:
    poured = taking.is_poured
    pours = ("1", "2", "3") if poured and cylinders <= MANY_CYLINDERS else ("1",)
    about: dict[str, Any] = {"what": taking.what, "tool": taking.tool}
    about["unit"] = "mL" if poured else unit
    if taking.depth_tool:
        about |= {"depth_unit": unit, "depth_tool": taking.depth_tool}
    for cylinder in range(1, cylinders + 1) if taking.each else (_once(taking),):
        for pour in pours if poured else ("",):
            for place in taking.places:
                yield about | {"cylinder": cylinder, "pour": pour, "place": place}


def _once(taking: Taking) -> int:
    """A pour over a piston is a cylinder's own, and stands for all; a gasket is nobody's own."""
    return 1 if taking.is_poured else 0


def in_bench_order(whats: Sequence[str]) -> list[str]:
    """The kinds of reading that are among some, in the order of the bench.

    >>> in_bench_order(["chamber", "bore", "chamber"])
    ['bore', 'chamber']
    """
    return [what for what in TAKINGS if what in whats]
