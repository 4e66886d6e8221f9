"""The class's raw readings of a bench engine, group by group, as lengths and volumes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

import pint

from enginemath.bench.measuring import Fill, deck_clearance, known_depth_crown, poured_volume
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.sheets.build_sheet import Sheet
from enginemath.sheets.kit_data import rows
from enginemath.units import Quantity, Refused, read, unit_text

ByGroup = dict[str, pint.Quantity]
"""One reading a group, groups in the order of the record."""

_LIMITS = {
    "bore": limits.BORE,
    "depth at bdc": limits.DEPTH_AT_BDC,
    "rod length": limits.ROD_LENGTH,
    "gasket bore": limits.GASKET_BORE,
    "compressed thickness": limits.GASKET_THICKNESS,
    "free thickness": limits.GASKET_THICKNESS,
    "land diameter": limits.BORE,
    "land height": limits.LAND_HEIGHT,
}


def record(table: str, *, cylinder: int, group: str | None = None) -> list[dict[str, str]]:
    """Rows of a record sheet, as the class wrote them.

    Args:
        table: name of the data file without its ending: ``"heron-four-deck"``.
        cylinder: counted from 1.
        group: letter; None for all groups.

    Raises:
        Refused: no such table, or nothing on record.

    >>> record("heron-four-deck", cylinder=2, group="D")[0]
    {'group': 'D', 'cylinder': '2', 'side': 'left', 'reading': '0.43 mm'}
    """
    found = [
        row
        for row in rows(f"{table}.csv")
        if row["cylinder"] == str(cylinder) and group in (None, row["group"])
    ]
    if not found:
        whose = f"group {group}, " if group else ""
        raise Refused(f"{table}: {whose}cylinder {cylinder}: no reading on record")
    return found


def fills(engine: str, cylinder: int, method: str = "pours") -> dict[str, list[Fill]]:
    """The burette's fills that each group recorded for one cylinder, counted from 1.

    Args:
        engine: such as ``"heron-four"``.
        method: ``"pours"`` for the chambers, ``"known-depth"`` for the pistons.

    >>> [str(fill.start) for fill in fills("heron-four", 1)["A"]]
    ['0.8 milliliter', '0.75 milliliter']
    """
    by_group = defaultdict(list)
    for row in record(f"{engine}-{method}", cylinder=cylinder):
        by_group[row["group"]].append(Fill(row["start"], row["end"]))
    return dict(by_group)


def fills_of_group(engine: str, cylinder: int, group: str, method: str = "pours") -> list[Fill]:
    """The burette's fills that one group recorded; see `fills`.

    Raises:
        Refused: no such group poured it.
    """
    recorded = fills(engine, cylinder, method)
    if group not in recorded:
        raise Refused(f"group {group!r:.20}: there are {', '.join(sorted(recorded))}")
    return recorded[group]


def chamber_pours(engine: str, cylinder: int) -> ByGroup:
    """The chamber volume that each group poured, in cc.

    >>> from enginemath.units import show
    >>> show(chamber_pours("heron-four", 1)["A"], "cc")
    '46.80 cc'
    """
    return {group: poured_volume(poured) for group, poured in fills(engine, cylinder).items()}


def deck_readings(engine: str, cylinder: int) -> ByGroup:
    """The deck clearance that each group read, the mean of both sides of the pin.

    >>> from enginemath.units import show
    >>> show(deck_readings("heron-four", 1)["A"], "mm")
    '0.380 mm'
    """
    sides = defaultdict(list)
    for row in record(f"{engine}-deck", cylinder=cylinder):
        sides[row["group"]].append(row["reading"])
    return {group: deck_clearance(*both) for group, both in sides.items()}


def gauge_readings(engine: str, what: str, cylinder: int | None = None) -> ByGroup:
    """What each group read with micrometer, gauge or caliper.

    Args:
        engine: such as ``"heron-four"``.
        what: "bore", "depth at bdc", "rod length", "gasket bore", "compressed thickness",
            "free thickness", "land diameter" or "land height".
        cylinder: counted from 1; None where the reading is of the whole engine.

    Raises:
        Refused: no such reading on record.

    >>> from enginemath.units import show
    >>> show(gauge_readings("heron-four", "bore", 1)["A"], "mm")
    '88.330 mm'
    """
    limit = _LIMITS.get(what, Limit(what, "mm", 0, 1000))
    found = {
        row["group"]: limit.accept(row["reading"])
        for row in rows(f"{engine}-gauge.csv")
        if row["what"] == what and (cylinder is None or row["cylinder"] == str(cylinder))
    }
    if not found:
        raise Refused(f"{what}: no such reading of {engine} on record")
    return found


def known_depth_crowns(engine: str, cylinder: int, bore: pint.Quantity) -> ByGroup:
    """The crown volume that each group found by the known-depth method, in cc; dish positive.

    >>> from enginemath.units import read, show
    >>> show(known_depth_crowns("heron-four", 1, read("88.34 mm"))["A"], "cc")
    '10.01 cc'
    """
    depths = {
        row["group"]: limits.KNOWN_DEPTH.accept(row["depth"])
        for row in record(f"{engine}-known-depth", cylinder=cylinder)
    }
    return {
        group: known_depth_crown(poured_volume(poured), bore, depths[group]).to("cc")
        for group, poured in fills(engine, cylinder, "known-depth").items()
    }


_TABLES = {
    "chamber": "pours",
    "deck clearance": "deck",
    "poured": "known-depth",
    "known depth": "known-depth",
}
"""Where the readings stand that no gauge has read."""


def readings_of(
    engine: str, what: str, cylinder: int | None = None, leave_out: Iterable[str] = ()
) -> list[pint.Quantity]:
    """All that the class read of one thing, as lengths or volumes.

    Args:
        engine: such as ``"heron-four"``.
        what: "chamber", "deck clearance", "known depth", "poured" (above the lowered piston),
            "land clearance", or what `readings.gauge_readings` knows.
        cylinder: counted from 1; None for all cylinders.
        leave_out: letters of groups whose reading is known to be wrong.

    Raises:
        Refused: no such reading on record.

    >>> [len(readings_of("heron-four", what)) for what in ("bore", "known depth", "chamber")]
    [20, 20, 20]
    >>> len(readings_of("heron-four", "chamber", 3, leave_out="C"))
    4
    """
    if what == "rod length":
        return [*gauge_readings(engine, what).values()]
    numbers = _cylinders(engine, what) if cylinder is None else [cylinder]
    return [
        reading
        for number in numbers
        for group, reading in _by_group(engine, what, number).items()
        if group not in leave_out
    ]


def _cylinders(engine: str, what: str) -> list[int]:
    """Those that are on record in the table where the readings stand."""
    table = _TABLES.get(what, "gauge")
    found = {row["cylinder"] for row in rows(f"{engine}-{table}.csv")}
    return sorted(int(cylinder) for cylinder in found if cylinder)


def _by_group(engine: str, what: str, cylinder: int) -> dict[str, pint.Quantity]:
    if what == "chamber":
        return chamber_pours(engine, cylinder)
    if what == "deck clearance":
        return deck_readings(engine, cylinder)
    if what == "poured":
        poured = fills(engine, cylinder, "known-depth")
        return {group: poured_volume(every) for group, every in poured.items()}
    if what == "known depth":
        record = rows(f"{engine}-known-depth.csv")
        return {
            row["group"]: read(row["depth"]) for row in record if row["cylinder"] == str(cylinder)
        }
    if what == "land clearance":
        bores = gauge_readings(engine, "bore", cylinder)
        lands = gauge_readings(engine, "land diameter", cylinder)
        return {group: bores[group] - land for group, land in lands.items()}
    return gauge_readings(engine, what, cylinder)


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
                "free_thickness": free_thickness(engine, group),
            },
            "deck": {
                "clearance": _written(deck_clearance(*sides)),
                "depth_at_bdc": gauge["depth at bdc"],
            },
            "piston": {"known_depth": {"depth": piston[0]["depth"], "poured": _written(poured)}},
            "ring_land": {"height": gauge["land height"], "clearance": _written(land)},
        }
    )


def free_thickness(engine: str, group: str) -> str:
    """Each group had one gasket that was never bolted down, for the whole engine."""
    return next(
        row["reading"]
        for row in rows(f"{engine}-gauge.csv")
        if row["what"] == "free thickness" and row["group"] == group
    )


def _written(quantity: Quantity) -> str:
    """A worked-out reading as a sheet holds it; more digits than an instrument has are noise."""
    return f"{round(quantity.magnitude, 4):.10g} {unit_text(quantity.units)}"
