"""From the rows of a readings table to what they say of an engine, with every source of its ±."""

from __future__ import annotations

import math
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from itertools import zip_longest
from statistics import fmean
from typing import NamedTuple

import pint
from uncertainties import ufloat

from enginemath.bench.how_sure.averaging import Reading, averages
from enginemath.bench.how_sure.labels import Label
from enginemath.bench.tools import Instrument, rectangular, resolution
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.formulas.geometry import disc_area
from enginemath.sheets.bore_shape import BoreShape, shape_of
from enginemath.sheets.readings_table import Row
from enginemath.sheets.toml_table import unknown
from enginemath.sheets.what_is_read import READ_ON_EACH, WHATS
from enginemath.units import (
    MM3_PER_CC,
    MM_PER_INCH,
    Number,
    Quantity,
    Refused,
    best,
    deviation,
    kind,
    nominal,
    read,
    shop_unit,
    show,
    unit_of,
)
from enginemath.units.any_number import settled
from enginemath.units.words import count as counted
from enginemath.units.words import listed, numbered

_OVER_THE_PIN = re.compile(r"\bpin\b|cent(re|er)|middle", re.IGNORECASE)
"""Names of places where a piston that rocks stands still."""
_PLAIN = re.compile(r'([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))\s*([A-Za-z"°][A-Za-z0-9 "°]*)')


class _Read(NamedTuple):
    """A cell: its number in the shop's unit, the ± written with it, and its last digit's step."""

    value: float
    given: float
    step: float


class Measured:
    """What the readings say of each cylinder.

    Args:
        rows: of the table; those left out and those still blank are not used.
        tools: by the names that the rows use.
        count: of the engine's cylinders.
        bore_of: the bore in mm of a cylinder, where the table holds none.

    Raises:
        SheetRefused: a row that cannot be; names the file, the row and the column.

    >>> from enginemath.sheets.readings_table import rows_of
    >>> from enginemath.bench.tools import MICROMETER
    >>> table = "what,cylinder,reading,tool\\nbore,1,92.01 mm,mic\\nbore,1,92.03 mm,mic"
    >>> measured = Measured(rows_of(table), {"mic": MICROMETER}, 1)
    >>> print(show(measured.value("bore", 1), "mm"))
    92.020 ± 0.010 mm
    """

    def __init__(
        self,
        rows: Sequence[Row],
        tools: Mapping[str, Instrument],
        count: int,
        bore_of: Callable[[int], float] | None = None,
    ):
        self._tools, self._count, self._bore_of = tools, count, bore_of
        self._by_what: dict[str, list[Row]] = defaultdict(list)
        self.left_out = [row for row in rows if row.left_out]
        self._units: dict[tuple[str, str], float | None] = {}
        self._known_cells: dict[str, dict[int, list[Reading]]] = {}
        self._in_inches: dict[str, bool] = {}
        self._floors: dict[tuple[str, str], float] = {}
        self._fitting: dict[tuple[str, str], bool] = {}
        for row in rows:
            self._check(row)
            if not (row.left_out or row.is_blank):
                self._by_what[row.what].append(row)
        for what, found in self._by_what.items():
            self._refuse_both_ways(what, found)
        self._own_errors: dict[str, dict[str, Number]] = {}
        self._values: dict[str, dict[int, Number]] = {}
        for what in self._by_what:
            if not WHATS[what].is_poured:
                self._values[what] = self._averaged([what], WHATS[what].limit.unit)[what]
        self._values |= self._pours_averaged()

    def _check(self, row: Row) -> None:
        if row.what not in WHATS:
            raise row.refusal(f"{row.what!r:.40}: {unknown(row.what, WHATS)}", "what")
        if row.cylinder > self._count:
            raise row.refusal(
                f"{row.cylinder}: the engine has {counted(self._count, 'cylinder')}", "cylinder"
            )
        for name, column in ((row.tool, "tool"), (row.depth_tool, "depth tool")):
            if name and name not in self._tools:
                raise row.refusal(f"{name!r:.40}: {self._no_such_tool()}", column)

    def _no_such_tool(self) -> str:
        if not self._tools:
            return "the sheet has no [tools]"
        return f"not in [tools]; there are {listed(sorted(self._tools))}"

    @staticmethod
    def _refuse_both_ways(what: str, rows: Sequence[Row]) -> None:
        for_all = next((row for row in rows if not row.cylinder), None)
        of_one = next((row for row in rows if row.cylinder), None)
        if for_all and of_one:
            raise for_all.refusal(
                f"{what} for all cylinders, and row {of_one.number} has cylinder "
                f"{of_one.cylinder}'s own: number all or none",
                "cylinder",
            )

    # What was read

    @property
    def whats(self) -> list[str]:
        """What was read, in the order of the table."""
        return [*self._by_what]

    def means(self, what: str) -> Mapping[int, Number]:
        """Means by cylinder, 0 for what all cylinders share; in mm, cc or degrees."""
        return self._values.get(what, {})

    def not_read(self, what: str) -> list[int]:
        """Cylinders on which it was not read, though it was on others."""
        keys = {row.cylinder for row in self._by_what[what]}
        return [] if 0 in keys else [n for n in range(1, self._count + 1) if n not in keys]

    def __contains__(self, what: str) -> bool:
        return what in self._by_what

    def value(self, what: str, cylinder: int) -> pint.Quantity | None:
        """What was read of a cylinder, counted from 1; None where nothing was.

        Where only other cylinders were read, and the part is alike in all, their mean is taken,
        with how much they differ among themselves as one source more.
        """
        found = self._values.get(what)
        if found is None or what == "known depth":
            return None
        if 0 in found or cylinder in found:
            return self._in_shop_unit(what, found.get(cylinder, found.get(0)))
        if what in READ_ON_EACH:
            return None
        return self._in_shop_unit(what, _like_the_others(what, found))

    def _in_shop_unit(self, what: str, number: Number) -> pint.Quantity:
        """In inches where the first reading was written so."""
        unit = WHATS[what].limit.unit
        if unit == "mm" and self._is_in_inches(what):
            return settled(Quantity(number / MM_PER_INCH, unit_of("in")))
        return Quantity(number, unit_of(unit))

    def shop_unit(self, what: str) -> str:
        """In which unit a length was read: in or mm."""
        return "in" if self._is_in_inches(what) else "mm"

    def _is_in_inches(self, what: str) -> bool:
        """Whether most of its lengths were; one read with another gauge changes nothing."""
        if what not in self._in_inches:
            texts = (row.depth or row.reading for row in self._by_what[what])
            units = Counter(f"1 {plain[2]}" if (plain := _PLAIN.fullmatch(text)) else text
                            for text in texts)  # fmt: skip
            ((unit, _),) = units.most_common(1)
            self._in_inches[what] = shop_unit(read(unit)) == "in"
        return self._in_inches[what]

    def repeats(self, what: str) -> Mapping[int, Sequence[Reading]]:
        """Every reading of one thing by cylinder, 0 for what all cylinders share; in mm or cc.

        Of a known-depth pour it is what the crown adds to the disc above it.
        """
        return self._cells(what) if what in self._by_what else {}

    def rows_of(self, what: str) -> Sequence[Row]:
        """The rows of one thing that are used."""
        return self._by_what.get(what, ())

    def known_depth(self, cylinder: int) -> tuple[pint.Quantity, pint.Quantity] | None:
        """Depth and poured volume of a known-depth pour; None where there is none."""
        if "known depth" not in self._by_what:
            return None
        found = self._known_depths
        if cylinder in found:
            depth, poured = found[cylinder]
        else:
            pours = {0: found[0]} if 0 in found else found
            depths = [pair[0] for pair in pours.values()]
            depth = sum(depths[1:], depths[0]) / len(depths)
            # What lies below the edge is the piston's; the disc above it is this cylinder's own.
            level = {
                key: pair[1] - self.area(key) * pair[0] + self.area(cylinder) * depth
                for key, pair in pours.items()
            }
            poured = _like_the_others("known depth pour", level)
        length = Quantity(depth, unit_of("mm"))
        if self._is_in_inches("known depth"):
            length = Quantity(depth / MM_PER_INCH, unit_of("in"))
        return settled(length), settled(Quantity(poured, unit_of("cc")))

    def bore_shape(self, cylinder: int) -> BoreShape:
        """Taper and out of round of a cylinder's bore, counted from 1, by the places read."""
        return shape_of(self._cells("bore").get(cylinder, ()) if "bore" in self else ())

    def told(self) -> list[str]:
        """The mean of each thing that was read, a line each, as it is used by hand.

        Where cylinders differ there is one for each, in their order.
        """
        lines = []
        for what in self._by_what:
            found = {key: self._in_shop_unit(what, v) for key, v in self._values[what].items()}
            if what != "known depth":
                lines.append(self._line(what, what, found))
                continue
            pairs = {key: self.known_depth(key or 1) for key in found}
            for place, name in enumerate(("known depth", "poured to it")):
                lines.append(self._line(what, name, {k: p[place] for k, p in pairs.items() if p}))
        return lines

    def mean_fills(self, cylinder: int) -> list[tuple[float, float]]:
        """Start and end of each fill of the chamber, in cc, in the mean of its pours.

        Empty where the pours took different numbers of fills, or were read as one volume.
        """
        pours = _by_pour([row for row in self._by_what["chamber"] if row.cylinder == cylinder])
        if len({len(fills) for fills in pours.values()}) != 1:
            return []
        found = []
        for together in zip(*pours.values(), strict=True):
            ends = [[cell.value for cell, _ in self._ends("chamber", row)] for row in together]
            if any(len(each) != 2 for each in ends):
                return []
            found.append((fmean(start for _, start in ends), fmean(end for end, _ in ends)))
        return found

    def _line(self, what: str, name: str, found: Mapping[int, pint.Quantity]) -> str:
        counts = sorted({len(readings) for readings in self._cells(what).values()})
        printed = {"a volume": "cc", "an angle": "deg"}
        said = [
            show(best(one), printed.get(kind(one.units)) or shop_unit(one))
            for one in found.values()
        ]
        shown = said[0] if len({*said}) == 1 else "; ".join(said)
        alike = 0 in found or len(found) == self._count
        whose = "" if alike else f" of {numbered('cylinder', found)}"
        many = "one reading" if counts == [1] else f"mean of {' or '.join(map(str, counts))}"
        return f"{name}{whose} {shown}, {many}"

    # From cells to readings

    def _averaged(
        self, whats: Sequence[str], unit: str, poured: bool = False
    ) -> dict[str, dict[int, Number]]:
        """Means of what was read by one hand in one way."""
        cells = {(what, key): cell for what in whats for key, cell in self._cells(what).items()}
        found: dict[str, dict[int, Number]] = defaultdict(dict)
        for (what, key), mean in averages(cells, self._errors(unit), unit, poured).items():
            found[what][key] = settled(mean)
        return found

    def _pours_averaged(self) -> dict[str, dict[int, Number]]:
        """All that was poured from one burette scatters alike, unless it shows that it does not."""
        by_tool: dict[frozenset[str], list[str]] = defaultdict(list)
        for what in self._by_what:
            if WHATS[what].is_poured:
                by_tool[frozenset(row.tool for row in self._by_what[what])].append(what)
        found: dict[str, dict[int, Number]] = {}
        for whats in by_tool.values():
            found |= self._averaged(whats, "cc", poured=True)
        return found

    def _cells(self, what: str) -> dict[int, list[Reading]]:
        """Readings of one thing by cylinder, worked out once."""
        if what not in self._known_cells:
            self._known_cells[what] = (
                self._known_depth_cells if what == "known depth" else self._cells_of(what)
            )
        return self._known_cells[what]

    def _cells_of(self, what: str) -> dict[int, list[Reading]]:
        by_cylinder: dict[int, list[Row]] = defaultdict(list)
        for row in self._by_what[what]:
            by_cylinder[row.cylinder].append(row)
        take = self._pours if WHATS[what].is_poured else self._lengths
        cells = {key: take(what, rows) for key, rows in sorted(by_cylinder.items())}
        if what == "deck clearance":
            cells = _leaning(cells)
        return {key: _without_floor_of_one(readings) for key, readings in cells.items()}

    def _lengths(self, what: str, rows: Sequence[Row]) -> list[Reading]:
        self._refuse_twice(rows)
        if what == "deck clearance":
            return self._both_sides(rows)
        return [self._length(what, row) for row in rows]

    def _length(self, what: str, row: Row) -> Reading:
        if row.start or row.end:
            raise row.refusal(f"{what} is read, not poured: write it under reading", "start")
        cell = self._cell(row, row.reading, WHATS[what].limit, "reading")
        tool = self._tool(row, row.tool, WHATS[what].limit.unit, "tool")
        return Reading(
            cell.value,
            {row.tool: 1.0} if tool else {},
            0.0 if cell.given else self._floor(tool, cell, WHATS[what].limit.unit),
            given=cell.given,
            group=row.group,
            place=row.place,
            rows=(row.number,),
        )

    def _both_sides(self, rows: Sequence[Row]) -> list[Reading]:
        """One reading from both sides of the pin, the first of each side with the first, …"""
        by_stance: dict[tuple[str, str], dict[str, list[Reading]]] = defaultdict(
            lambda: defaultdict(list)
        )
        for row in rows:
            reading = self._length("deck clearance", row)
            by_stance[row.group, row.pour][row.place].append(reading)
        in_order = [*dict.fromkeys(row.place for row in rows)]
        found = []
        for sides in by_stance.values():
            for together in zip_longest(*(sides[place] for place in in_order if place in sides)):
                found.append(_as_one([side for side in together if side], in_order))
        return found

    def _pours(self, what: str, rows: Sequence[Row]) -> list[Reading]:
        limit = WHATS[what].limit
        found = []
        for fills in _by_pour(rows).values():
            self._refuse_twice(fills)
            reading = self._pour(what, fills)
            if not limit.can_be(reading.value):
                try:
                    limit.accept(Quantity(reading.value, limit.unit))
                except Refused as refusal:
                    raise fills[0].refusal(str(refusal)) from None
            found.append(reading)
        return found

    def _pour(self, what: str, fills: Sequence[Row]) -> Reading:
        """A pour in one or several fills; the burette's own error comes with every fill."""
        volume = 0.0
        floors, given, tools = [], [], dict[str, float]()
        for row in fills:
            tool = self._tool(row, row.tool, "cc", "tool")
            for cell, sign in self._ends(what, row):
                volume += sign * cell.value
                given.append(cell.given)
                floors.append(0.0 if cell.given else self._floor(tool, cell, "cc"))
            if tool:
                tools[row.tool] = tools.get(row.tool, 0.0) + 1
        return Reading(
            volume,
            tools,
            math.hypot(*floors),
            given=math.hypot(*given),
            group=fills[0].group,
            place=fills[0].place,
            rows=tuple(row.number for row in fills),
        )

    def _ends(self, what: str, row: Row) -> list[tuple[_Read, int]]:
        limit = limits.BURETTE_READING
        if row.reading:
            if row.start or row.end:
                raise row.refusal("give start and end, or a reading, not all", "reading")
            return [(self._cell(row, row.reading, limit, "reading"), 1)]
        for column in ("start", "end"):
            if not getattr(row, column):
                raise row.refusal("missing; a fill has a start and an end", column)
        start = self._cell(row, row.start, limit, "start")
        end = self._cell(row, row.end, limit, "end")
        if not end.value > start.value:
            if end.value == start.value:
                raise row.refusal(
                    f"{what}: start and end both read {row.end}; nothing was poured", "end"
                )
            raise row.refusal(
                f"{what}: the fill runs backwards: {row.start} to {row.end}; a burette is read "
                "downwards: are start and end exchanged?",
                "end",
            )
        return [(end, 1), (start, -1)]

    @staticmethod
    def _refuse_twice(rows: Sequence[Row]) -> None:
        seen: dict[tuple[str, ...], Row] = {}
        for row in rows:
            is_fill = WHATS[row.what].is_poured
            if not (is_fill or row.pour):
                continue
            key = row.group, row.place, row.pour, row.fill
            first = seen.setdefault(key, row)
            if first is not row:
                who = f"group {row.group} " if row.group else ""
                whose = f" of cylinder {row.cylinder}" if row.cylinder else ""
                raise row.refusal(
                    f"{who}read {row.what}{whose} twice under one pour, first in row "
                    f"{first.number}: number the pours, or the fills of one pour"
                )

    # The known-depth pour

    @cached_property
    def _known_depth_cells(self) -> dict[int, list[Reading]]:
        """What stands above the piston's edge, less the disc down to it: one number a pour."""
        cells: dict[int, list[Reading]] = defaultdict(list)
        for key, pours in self._known_depth_pours.items():
            for pour, depth, floor in pours:
                area = self.area(key)
                below = Reading(
                    pour.value - area * depth,
                    pour.tools,
                    math.hypot(pour.floor, area * floor),
                    given=pour.given,
                    group=pour.group,
                    rows=pour.rows,
                )
                cells[key].append(below)
        return {key: _without_floor_of_one(readings) for key, readings in sorted(cells.items())}

    @cached_property
    def _known_depth_pours(self) -> dict[int, list[tuple[Reading, float, float]]]:
        """By cylinder: the pour, the depth in mm and the floor of its reading."""
        found: dict[int, list[tuple[Reading, float, float]]] = defaultdict(list)
        self._depth_tools: dict[int, list[str]] = defaultdict(list)
        self._depth_given: dict[int, list[float]] = defaultdict(list)
        for fills in _by_pour(self._by_what["known depth"]).values():
            self._refuse_twice(fills)
            with_depth = [row for row in fills if row.depth]
            if not with_depth:
                raise fills[0].refusal("missing; how far the edge stood below the deck", "depth")
            row = with_depth[0]
            for other in with_depth[1:]:
                if other.depth != row.depth:
                    raise other.refusal(
                        f"{other.depth}, and {row.depth} in row {row.number} of the same pour",
                        "depth",
                    )
            cell = self._cell(row, row.depth, limits.KNOWN_DEPTH, "depth")
            tool = self._tool(row, row.depth_tool, "mm", "depth tool")
            floor = 0.0 if cell.given or not tool else self._floor(tool, cell, "mm")
            key = row.cylinder
            found[key].append((self._pour("known depth", fills), cell.value, floor))
            self._depth_tools[key].append(row.depth_tool if tool else "")
            self._depth_given[key].append(cell.given)
        return found

    @cached_property
    def _known_depths(self) -> dict[int, tuple[Number, Number]]:
        """By cylinder, the depth in mm and the poured volume in cc."""
        below = self._values["known depth"]
        of_tools, found = self._errors("mm"), {}
        for key, pours in self._known_depth_pours.items():
            depths = [depth for _, depth, _ in pours]
            depth: Number = fmean(depths)
            poured = below[key] + self.area(key) * depth
            floor = pours[0][2]
            if floor and len({*depths}) == 1 and len(depths) > 1:
                label = Label("known depth: reading the scale", "mm", kind="division")
                depth = depth + ufloat(0.0, floor, label)
            given = math.hypot(*self._depth_given[key]) / len(depths)
            if given:
                label = Label(f"known depth, cylinder {key}" if key else "known depth", "mm")
                depth = depth + ufloat(0.0, given, label)
            for name in filter(None, self._depth_tools[key]):
                depth = depth - of_tools[name] / len(depths)
            found[key] = depth, poured
        return found

    def area(self, cylinder: int) -> float:
        """Of the bore, in cc for each mm of depth."""
        bores = self._values.get("bore", {})
        bore = bores.get(cylinder, bores.get(0))
        if bore is None and bores and self._bore_of is None:
            bore = fmean([nominal(each) for each in bores.values()])
        if bore is None:
            bore = self._bore_of(cylinder) if self._bore_of else 0.0
        return disc_area(float(nominal(bore))) / MM3_PER_CC

    # Cells and tools

    def _cell(self, row: Row, text: str, limit: Limit, column: str) -> _Read:
        """A cell with a number and a unit; the plain ones, which are nearly all, at once."""
        plain = _PLAIN.fullmatch(text)
        if plain:
            number, unit = plain[1], plain[2]
            factor = self._factor(unit.rstrip(), limit.unit)
            if factor is not None and limit.can_be(value := float(number) * factor):
                decimals = len(number.partition(".")[2])
                return _Read(value, 0.0, factor * 10.0**-decimals)
        try:
            quantity = limit.accept(text)
        except Refused as refusal:
            raise row.refusal(str(refusal), column) from None
        magnitude = quantity.m_as(unit_of(limit.unit))
        return _Read(float(nominal(magnitude)), deviation(magnitude), 0.0)

    def _factor(self, unit: str, wanted: str) -> float | None:
        if (unit, wanted) not in self._units:
            try:
                one = read(f"1 {unit}")
                fits = kind(one.units) == kind(unit_of(wanted))
                self._units[unit, wanted] = float(one.m_as(unit_of(wanted))) if fits else None
            except Refused:
                self._units[unit, wanted] = None
        return self._units[unit, wanted]

    def _tool(self, row: Row, name: str, unit: str, column: str) -> Instrument | None:
        if not name:
            return None
        tool = self._tools[name]
        if (name, unit) not in self._fitting:
            self._fitting[name, unit] = kind(tool.limit.units) == kind(unit_of(unit))
        if not self._fitting[name, unit]:
            raise row.refusal(
                f"{name}: a {tool.name} does not measure {kind(unit_of(unit))}", column
            )
        return tool

    def _floor(self, tool: Instrument | None, cell: _Read, unit: str) -> float:
        """Half a division; without a tool, half a step of the last digit that was written."""
        if tool is None:
            return resolution(cell.step)
        key = str(id(tool)), unit
        if key not in self._floors:
            self._floors[key] = float(resolution(tool.division.m_as(unit_of(unit))))
        return self._floors[key]

    def _errors(self, unit: str) -> dict[str, Number]:
        """Each tool's own error: one unknown, wherever the tool is used."""
        if unit not in self._own_errors:
            self._own_errors[unit] = {
                name: ufloat(
                    0.0,
                    rectangular(tool.limit.m_as(unit_of(unit))),
                    Label(name, unit, kind="tool"),
                )
                for name, tool in self._tools.items()
                if kind(tool.limit.units) == kind(unit_of(unit))
            }
        return self._own_errors[unit]


def _by_pour(rows: Sequence[Row]) -> dict[tuple[int, str, str, str], list[Row]]:
    pours: dict[tuple[int, str, str, str], list[Row]] = defaultdict(list)
    for row in rows:
        pours[row.cylinder, row.group, row.place, row.pour].append(row)
    return pours


def _without_floor_of_one(readings: list[Reading]) -> list[Reading]:
    """One value that no tool and no repeat stands behind is taken as exact."""
    if len(readings) > 1 or readings[0].tools:
        return readings
    return [readings[0]._replace(floor=0.0)]


def _leaning(cells: Mapping[int, list[Reading]]) -> dict[int, list[Reading]]:
    """Each stance read on one side alone may lean as far as the piston that was seen to rock most.

    Source: common practice, no source.
    """
    both = (reading.rock for cell in cells.values() for reading in cell if not reading.one_sided)
    most = max(map(abs, both), default=0.0)
    return {
        key: [one._replace(rock=one.rock * most) if one.one_sided else one for one in cell]
        for key, cell in cells.items()
    }


def is_side(place: str) -> bool:
    """Whether a place lies at one side of the pin, where a piston that rocks moves."""
    return bool(place) and not _OVER_THE_PIN.search(place)


def _as_one(sides: Sequence[Reading], places: Sequence[str]) -> Reading:
    """The mean of what was read in one stance, at some of the places of its cylinder.

    One side alone leans by ± 1 of what `_leaning` finds, with the sign of its side.
    """
    count = len(sides)
    values = [side.value for side in sides]
    rock, one_sided = (max(values) - min(values)) / 2, False
    if count == 2:
        rock = (values[0] - values[1]) / 2
    elif count == 1 and is_side(sides[0].place):
        rock, one_sided = 1.0 if sides[0].place == places[0] else -1.0, True
    tools: dict[str, float] = defaultdict(float)
    for side in sides:
        for tool in side.tools:
            tools[tool] += 1 / count
    return Reading(
        fmean(values),
        dict(tools),
        math.hypot(*(side.floor for side in sides)) / count,
        rock,
        one_sided,
        math.hypot(*(side.given for side in sides)) / count,
        sides[0].group,
        rows=tuple(row for side in sides for row in side.rows),
    )


def _like_the_others(what: str, found: Mapping[int, Number]) -> Number:
    """The mean of the others; how much one more may differ from it is one source more."""
    values = [*found.values()]
    count = len(values)
    mean = sum(values[1:], values[0]) / count
    if count > 1:
        middle = fmean([nominal(value) for value in values])
        s = (math.fsum((nominal(v) - middle) ** 2 for v in values) / (count - 1)) ** 0.5
        if s:
            label = Label(f"{what}: cylinders not read", "", count - 1, "scatter", count)
            mean = mean + ufloat(0.0, s, label)
    return mean
