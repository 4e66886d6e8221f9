"""Who works on which cylinder: dealt out to groups, or to students where there are enough."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from enginemath.classroom.sets.roster import Student
from enginemath.engine.parts import Engine
from enginemath.units import Refused


@dataclass(frozen=True)
class Bench:
    """Where a student works.

    Args:
        engine: its place among the engines, from 0.
        cylinder: counted from 1.
        bank: its name; empty where the engine has none.
        group: name of the group; empty where a student works alone.
    """

    engine: int
    cylinder: int
    bank: str = ""
    group: str = ""


def deal(
    students: Sequence[Student], engines: Sequence[Engine], *, by_bank: bool = False
) -> tuple[Bench, ...]:
    """Deal the cylinders of some engines out.

    The roster's groups stay together. Without groups each student has a cylinder, or, where they
    are more than the cylinders, neighbours on the roster share one. More groups than places
    begin again with the first place.

    Args:
        students: in the order of the roster.
        engines: in the order in which they were given; they are dealt in turn.
        by_bank: whether a group gets a bank, and its students the cylinders of it in turn; an
            engine without banks is one.

    Returns:
        One for each student.

    Raises:
        Refused: groups for some students only, or no engine with banks to deal by.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> five = [Student(str(n), f"S{n}") for n in range(5)]
    >>> [bench.cylinder for bench in deal(five, [parse(EXAMPLE).engine])]
    [1, 1, 2, 3, 4]
    """
    without = [student.name for student in students if not student.group]
    if without and len(without) < len(students):
        raise Refused(
            f"roster: {without[0]} has no group, and others have one; write a group for all or none"
        )
    if by_bank and not any(engine.banks for engine in engines):
        raise Refused("by bank: no sheet names a [[bank]]; deal the engines out by cylinder")
    places = _places(engines, by_bank)
    groups = _groups(students, len(places))
    units = list(dict.fromkeys(groups))
    met = dict.fromkeys(units, 0)
    benches = []
    for unit in groups:
        engine, cylinders = places[units.index(unit) % len(places)]
        cylinder = cylinders[met[unit] % len(cylinders)]
        met[unit] += 1
        banks = engines[engine].banks
        bank = banks[cylinder - 1] if banks else ""
        benches.append(Bench(engine, cylinder, bank, unit if isinstance(unit, str) else ""))
    return tuple(benches)


def _groups(students: Sequence[Student], places: int) -> list[str | int]:
    """The group of each student by its name; a number for one who works alone."""
    if students[0].group:
        return [student.group for student in students]
    if len(students) <= places:
        return list(range(len(students)))
    least, larger = divmod(len(students), places)
    sizes = [least + (place < larger) for place in range(places)]
    return [str(number) for number, size in enumerate(sizes, start=1) for _ in range(size)]


def _places(engines: Sequence[Engine], by_bank: bool) -> list[tuple[int, list[int]]]:
    """The places to work at: an engine and the cylinders there, each engine in its turn."""
    by_engine = [
        [(number, cylinders) for cylinders in _shares(engine, by_bank)]
        for number, engine in enumerate(engines)
    ]
    return [place for together in zip_longest(*by_engine) for place in together if place]


def _shares(engine: Engine, by_bank: bool) -> list[list[int]]:
    every = list(range(1, engine.count + 1))
    if not by_bank:
        return [[cylinder] for cylinder in every]
    if not engine.banks:
        return [every]
    names = dict.fromkeys(engine.banks)
    return [[n for n in every if engine.banks[n - 1] == name] for name in names]
