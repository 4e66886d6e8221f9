"""What a student reads on the bench, and the boxes that it is written in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

READABLE = (
    *("bore", "stroke", "depth at bdc", "deck clearance", "chamber", "gasket bore"),
    *("compressed thickness", "free thickness", "known depth", "dish", "dome", "reliefs"),
    *("land height", "land diameter"),
)
"""What a student can be asked to read, by its name in the table of readings."""
UNITS = ("mm", "in", "cc")
MOST_FILLS = 9
_READ = "read_"
_SIDES = ("one_side", "other_side")
_SIDES_SAID = ("one side of pin", "other side of pin")
_NAME = re.compile(
    rf"{_READ}({'|'.join(what.replace(' ', '_') for what in READABLE)})"
    rf"(?:_({'|'.join(_SIDES)})|_(start|end)_([1-9]))?"
)


@dataclass(frozen=True)
class ReadingBox:
    """A box for one number that a tool shows.

    Args:
        name: under which it is written: ``read_chamber_start_1``.
        unit: in which a bare number is taken: ``"mm"``, ``"in"`` or ``"mL"``.
    """

    name: str
    unit: str

    @property
    def label(self) -> str:
        """What stands beside the box, below the name of what is read.

        >>> ReadingBox("read_chamber_start_1", "mL").label, ReadingBox("read_bore", "mm").label
        ('fill 1, start', 'bore')
        """
        return label_of(self.name)


@dataclass(frozen=True)
class ToRead:
    """One thing that is read on the bench.

    Args:
        what: as the table of readings calls it, see `READABLE`.
        unit: in which its boxes ask: ``"mm"``, ``"in"`` or ``"cc"``.
        sides: how many places are read: 2 for both sides of the piston's pin.
        fills: of the burette that have a box, the last one to spare; 0: it is no pour.
        tool: in shop words; empty where the record says none.
    """

    what: str
    unit: str
    sides: int = 1
    fills: int = 0
    tool: str = ""

    @property
    def is_known_depth(self) -> bool:
        """Whether the piston is lowered a depth, which is read as well."""
        return self.what == "known depth"

    @property
    def words(self) -> str:
        """What is read, as it is said.

        >>> ToRead("depth at bdc", "mm").words
        'depth at BDC'
        """
        return said_of(self.what)

    @property
    def title(self) -> str:
        """The same as a heading."""
        return self.words[0].upper() + self.words[1:]

    @property
    def boxes(self) -> tuple[ReadingBox, ...]:
        """Its boxes, in the order in which they are filled.

        >>> [box.name for box in ToRead("deck clearance", "mm", sides=2).boxes]
        ['read_deck_clearance_one_side', 'read_deck_clearance_other_side']
        """
        return tuple(self._boxes())

    def _boxes(self) -> Iterator[ReadingBox]:
        name = _READ + self.what.replace(" ", "_")
        if self.sides == 2:
            yield from (ReadingBox(f"{name}_{side}", self.unit) for side in _SIDES)
        elif self.is_known_depth or not self.fills:
            yield ReadingBox(name, self.unit)
        for fill in range(1, self.fills + 1):
            yield from (ReadingBox(f"{name}_{end}_{fill}", "mL") for end in ("start", "end"))


def is_reading_box(name: str) -> bool:
    """Whether a name is that of a box for a reading.

    >>> is_reading_box("read_bore"), is_reading_box("read_mind"), is_reading_box("swept_volume")
    (True, False, False)
    """
    return bool(_NAME.fullmatch(name))


def spare_boxes(names: Sequence[str]) -> set[str]:
    """Those of the last fill, which may stay empty.

    >>> sorted(spare_boxes(["read_chamber_start_1", "read_chamber_start_2", "read_chamber_end_2"]))
    ['read_chamber_end_2', 'read_chamber_start_2']
    """
    fills = {name: found[4] for name in names if (found := _NAME.fullmatch(name)) and found[4]}
    return {name for name, fill in fills.items() if fill == max(fills.values()) != "1"}


def said_of(what: str) -> str:
    """A thing that is read, as it is said."""
    return {"depth at bdc": "depth at BDC", "chamber": "chamber volume"}.get(what, what)


def label_of(name: str) -> str:
    """What stands beside a box.

    >>> label_of("read_known_depth"), label_of("read_deck_clearance_other_side")
    ('known depth', 'other side of pin')
    """
    found = _NAME.fullmatch(name)
    if not found:
        return name.replace("_", " ")
    what, side, end, fill = found.groups()
    if side:
        return _SIDES_SAID[_SIDES.index(side)]
    return f"fill {fill}, {end}" if end else said_of(what.replace("_", " "))


def full_label_of(name: str) -> str:
    """What a box is for, where nothing else says what is read.

    >>> full_label_of("read_chamber_end_2"), full_label_of("read_bore")
    ('chamber volume, fill 2, end', 'bore')
    """
    found = _NAME.fullmatch(name)
    if not found or not (found[2] or found[3]):
        return label_of(name)
    return f"{said_of(found[1].replace('_', ' '))}, {label_of(name)}"
