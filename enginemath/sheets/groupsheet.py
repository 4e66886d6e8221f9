"""A build sheet as one group of the class would write it for one cylinder, from its readings."""

from __future__ import annotations

from typing import Any

from enginemath.bench.measuring import deck_clearance, poured_volume
from enginemath.sheets.build_sheet import Sheet
from enginemath.sheets.class_readings import ByGroup, chamber_pours, fills_of_group, record
from enginemath.sheets.kit_data import rows
from enginemath.units import Quantity, read, unit_text


def every_pour(engine: str) -> dict[int, ByGroup]:
    """The chamber volume that each group poured, in cc, by cylinder.

    >>> [len(by_group) for by_group in every_pour("heron-four").values()]
    [5, 5, 5, 5]
    """
    numbers = {int(row["cylinder"]) for row in rows(f"{engine}-pours.csv")}
    return {number: chamber_pours(engine, number) for number in sorted(numbers)}


def deck_sides(engine: str, *, cylinder: int, group: str) -> tuple[str, str]:
    """What a group read on the left and on the right of the pin, positive below the deck.

    >>> deck_sides("heron-four", cylinder=2, group="D")
    ('0.43 mm', '0.40 mm')
    """
    one, other = record(f"{engine}-deck", cylinder=cylinder, group=group)
    return one["reading"], other["reading"]


def group_sheet(engine: str, *, cylinder: int, group: str) -> Sheet:
    """The build sheet of one group for one cylinder.

    Args:
        engine: such as ``"heron-four"``.
        cylinder: counted from 1.
        group: letter.

    Raises:
        Refused: the group did not measure this cylinder, or its readings cannot be.

    >>> sheet = group_sheet("heron-eight", cylinder=3, group="C")
    >>> sheet.name
    'Heron Eight, cylinder 3, group C'
    >>> sheet.written["piston"]
    {'known_depth': {'depth': '0.449 in', 'poured': '78.65 cc'}}
    """
    which: dict[str, Any] = {"cylinder": cylinder, "group": group}
    gauge = {row["what"]: row["reading"] for row in record(f"{engine}-gauge", **which)}
    pours = record(f"{engine}-pours", **which)
    piston = record(f"{engine}-known-depth", **which)
    poured = poured_volume(fills_of_group(engine, cylinder, group, "known-depth"))
    land = read(gauge["bore"]) - read(gauge["land diameter"])
    sides = deck_sides(engine, cylinder=cylinder, group=group)
    return Sheet(
        {
            "format": 1,
            "name": f"{engine.replace('-', ' ').title()}, cylinder {cylinder}, group {group}",
            "cylinder": {"count": 1, "bore": gauge["bore"]},
            "chamber": {"fills": [[row["start"], row["end"]] for row in pours]},
            "gasket": {
                "bore": gauge["gasket bore"],
                "compressed_thickness": gauge["compressed thickness"],
                "free_thickness": _free_thickness(engine, group),
            },
            "deck": {
                "clearance": _written(deck_clearance(*sides)),
                "depth_at_bdc": gauge["depth at bdc"],
            },
            "piston": {"known_depth": {"depth": piston[0]["depth"], "poured": _written(poured)}},
            "ring_land": {"height": gauge["land height"], "clearance": _written(land)},
        }
    )


def _free_thickness(engine: str, group: str) -> str:
    """Each group had one gasket that was never bolted down, for the whole engine."""
    return next(
        row["reading"]
        for row in rows(f"{engine}-gauge.csv")
        if row["what"] == "free thickness" and row["group"] == group
    )


def _written(quantity: Quantity) -> str:
    """A worked-out reading as a sheet holds it; more digits than an instrument has are noise."""
    return f"{round(quantity.magnitude, 4):.10g} {unit_text(quantity.units)}"
