"""Build sheet `format = 2`: its fields, every dimension by cylinder, with what was read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

import pint

from enginemath.bench.how_sure.labels import named
from enginemath.bench.measuring import Fill, poured_volume
from enginemath.bench.tools import Instrument
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.engine.rules_of_thumb import BORE_OUT_OF_ROUND, BORE_TAPER
from enginemath.sheets import height_budget
from enginemath.sheets.bench_layout import (
    CLAIMED,
    FIELDS,
    FUELS,
    LAYOUT,
    ONE_FOR_ALL,
    PLURALS,
    Field,
)
from enginemath.sheets.bench_tables import banks_of, rows_beside, tools_of
from enginemath.sheets.fields import Fields
from enginemath.sheets.height_budget import HEIGHTS
from enginemath.sheets.measured import Measured
from enginemath.sheets.second_look import second_look
from enginemath.sheets.text_file import SheetRefused, short, within
from enginemath.sheets.toml_table import (
    Table,
    number_of,
    reading_of,
    table_of,
    tables_of,
)
from enginemath.sheets.what_is_read import WHATS
from enginemath.units import (
    CC,
    Quantity,
    deviation,
    in_mm,
    nominal,
    shop_unit,
    show,
)
from enginemath.units.words import count as count_of


class MissingReadings(SheetRefused):
    """A sheet on which readings are missing that the ratio needs: names all of them.

    `so_far` holds what was read.
    """

    def __init__(self, names: Sequence[str], so_far: BenchFields):
        super().__init__(f"readings missing: {', '.join(names)}")
        self.names, self.so_far = tuple(names), so_far

    def __reduce__(self) -> Any:
        """What another process is told of it: the sentence, without the sheet."""
        return SheetRefused, (self.reason, self.field, self.file, self.line)


class BenchFields(Fields):
    """The fields of a sheet of format 2, with what its table of readings adds.

    Args:
        written: the sheet's tables as written.
        folder: in which its table of readings stands.
        tables: texts of tables by their names, in place of files.
        so_far: whether readings are still being taken: then half a fill is none yet.

    Raises:
        SheetRefused: a table, field or reading that cannot be.
    """

    def __init__(
        self,
        written: Mapping[str, Any],
        folder: Path | None = None,
        tables: Mapping[str, str] | None = None,
        so_far: bool = False,
    ):
        self.written = written
        self._tables = {name: table_of(written, name) for name in LAYOUT if name != "bank"}
        rows = rows_beside(written, folder, tables or {})
        self.rows = [row.so_far for row in rows] if so_far else rows
        self.measured = Measured(self.rows, self.tools, self.count, self._written_bore)
        self._values: dict[tuple[str, int], pint.Quantity | None] = {}
        self._written_values = {path: self._list(field) for path, field in FIELDS.items()}

    # What is written

    @property
    def record(self) -> Mapping[str, Any]:
        """When, by whom and of which engine; free text that is printed."""
        return self.written.get("record", {})

    @cached_property
    def tools(self) -> dict[str, Instrument]:
        """The tools, by the names that the rows use."""
        return tools_of(self.written.get("tools", {}))

    @cached_property
    def banks(self) -> tuple[str, ...]:
        """The bank of each cylinder, in their order; empty where the sheet names none."""
        return banks_of(tables_of(self.written, "bank"), self.count)

    def _list(self, field: Field) -> list[pint.Quantity] | None:
        """A field's value for each cylinder as written; one value is one reading, shared."""
        table = self._tables[field.table]
        plural = PLURALS.get(field.path, "")
        value, several = table.written(field.name), table.written(plural) if plural else None
        if several is not None:
            if value is not None:
                raise table.refusal(
                    plural, f"give {field.name} for all cylinders or {plural}, not both"
                )
            return self._each(several, field, plural)
        if isinstance(value, list):
            return self._each(value, field, field.name)
        one = table.reading(field.name, self._limit(field))
        return None if one is None else [named(one, field.limit.name)] * self.count

    def _limit(self, field: Field) -> Limit:
        """What a field can be; the flat head of a diesel may hold no chamber."""
        flat = field.path == "chamber.volume" and self.is_diesel
        return limits.CHAMBER_OF_A_DIESEL if flat else field.limit

    @cached_property
    def is_diesel(self) -> bool:
        """Whether the sheet says so."""
        return self.word("fuel", "kind", FUELS) == "diesel"

    def _each(self, several: Any, field: Field, name: str) -> list[pint.Quantity]:
        path = f"{field.table}.{name}"
        return [
            named(
                reading_of_item(text, self._limit(field), f"{path}[{n}]"),
                f"{field.limit.name}, cylinder {n}",
            )
            for n, text in enumerate(_as_many(several, self.count, path), start=1)
        ]

    def _written_bore(self, cylinder: int) -> float:
        """In mm; 0 as long as it is missing: then no disc is taken off a known-depth pour."""
        bores = self._list(FIELDS["cylinder.bore"])
        return 0.0 if bores is None else in_mm(bores[max(0, cylinder - 1)])

    # Written and read

    def value(self, path: str, cylinder: int) -> pint.Quantity | None:
        """A field for a cylinder, counted from 1: from the readings, or else as written.

        Raises:
            SheetRefused: both are there, and apart by more than both their ±.
        """
        if (path, cylinder) not in self._values:
            self._values[path, cylinder] = self._value(path, cylinder)
        return self._values[path, cylinder]

    def _value(self, path: str, cylinder: int) -> pint.Quantity | None:
        field, written = FIELDS[path], self._written_values[path]
        of_sheet = written[cylinder - 1] if written else None
        of_table = self.measured.value(field.what, cylinder) if field.what else None
        if of_table is None:
            return of_sheet
        if of_sheet is not None:
            self._refuse_apart(field, cylinder, of_sheet, of_table)
        with within(f"readings, {field.what}"):
            return field.limit.accept(of_table)

    @staticmethod
    def _refuse_apart(
        field: Field, cylinder: int, written: pint.Quantity, read: pint.Quantity
    ) -> None:
        gap = (written - read).to(written.units).magnitude
        both = deviation(written.magnitude) + deviation(read.m_as(written.units))
        if abs(nominal(gap)) > both * (1 + 1e-9) + 1e-12:
            unit = shop_unit(written) if field.limit.unit == "mm" else field.limit.unit
            raise SheetRefused(
                f"{show(written, unit)} written, and {show(read, unit)} from the readings of "
                f"{field.what}, cylinder {cylinder}: further apart than both their ±; leave one "
                "out",
                field=field.path,
            )

    def values(self, path: str) -> list[pint.Quantity] | None:
        """A field for each cylinder; None where one of them has none."""
        found = [self.value(path, n) for n in range(1, self.count + 1)]
        return (
            None if any(value is None for value in found) else [v for v in found if v is not None]
        )

    def reading(self, table: str, name: str) -> pint.Quantity | None:
        """One field; where each cylinder has its own, that of cylinder 1."""
        limit = ONE_FOR_ALL.get(table, {}).get(name)
        if limit is not None:
            value = self._tables[table].reading(name, limit)
            return None if value is None else named(value, limit.name)
        return self.value(f"{table}.{name}", 1)

    def readings(self, table: str, name: str, count: int) -> list[pint.Quantity] | None:
        """One field for each cylinder."""
        del count
        return self.values(f"{table}.{name}")

    # The crown and the chamber

    def chamber(self, cylinder: int) -> pint.Quantity | None:
        """What a cylinder has in the head, written, read or filled, a prechamber included."""
        if self.fills:
            if self._written_values["chamber.volume"] or "chamber" in self.measured:
                raise SheetRefused("one of volume, volumes and fills is wanted", field="chamber")
            volume: pint.Quantity | None = self._filled
        else:
            volume = self.value("chamber.volume", cylinder)
        behind_a_throat = self.value("chamber.prechamber", cylinder)
        if volume is None or behind_a_throat is None:
            return volume
        return volume + behind_a_throat

    @cached_property
    def _filled(self) -> pint.Quantity:
        with within("chamber.fills"):
            return limits.CHAMBER.accept(poured_volume(self.fills))

    @cached_property
    def fills(self) -> tuple[Fill, ...]:
        """The burette's fills for the chamber; empty where the sheet has none."""
        return super().fills

    @property
    def fills_in_cc(self) -> tuple[tuple[float, float], ...]:
        """Start and end of each fill of the chamber of one cylinder, in the mean of its pours."""
        if self.fills or self.count > 1 or "chamber" not in self.measured:
            return super().fills_in_cc
        return tuple(self.measured.mean_fills(1) or self.measured.mean_fills(0))

    @cached_property
    def known_depth(self) -> tuple[pint.Quantity, pint.Quantity] | None:
        """Depth and poured volume of the known-depth method, of cylinder 1; None without."""
        return self.known_depth_of(1)

    def known_depth_of(self, cylinder: int) -> tuple[pint.Quantity, pint.Quantity] | None:
        """Depth and poured volume of the known-depth method of a cylinder; None without."""
        read = self.measured.known_depth(cylinder)
        written = self._written_known_depths
        if read is None:
            return written[cylinder - 1] if written else None
        if written:
            raise SheetRefused(
                "written, and read in the table too: leave one out", field="piston.known_depth"
            )
        return read

    @cached_property
    def _written_known_depths(self) -> list[tuple[pint.Quantity, pint.Quantity]] | None:
        given = self._tables["piston"].written("known_depth")
        if given is None:
            return None
        if not isinstance(given, list):
            return [_known_depth(given, "piston.known_depth", "")] * self.count
        path = "piston.known_depth"
        return [
            _known_depth(pair, f"{path}[{n}]", f", cylinder {n}")
            for n, pair in enumerate(_as_many(given, self.count, path), start=1)
        ]

    @property
    def crevice_is_poured(self) -> bool:
        """Whether the known-depth pour holds the gap above the top ring: no grease filled it."""
        return self._yes_or_no("ring_land", "filled") is False

    @cached_property
    def claims(self) -> dict[str, pint.Quantity]:
        """What the maker claims, by what is read; of dish, dome and reliefs the "crown" too."""
        table = self._tables["claimed"]
        read = {what: table.reading(name, WHATS[what].limit) for name, what in CLAIMED.items()}
        found = {what: claim for what, claim in read.items() if claim is not None}
        signs = {"dish": 1, "dome": -1, "reliefs": 1}
        crown = [sign * found[what].to(CC) for what, sign in signs.items() if what in found]
        return {**found, "crown": sum(crown[1:], crown[0])} if crown else found

    @property
    def piston_is_flat(self) -> bool:
        """Whether all that was poured above the piston's edge are its valve reliefs."""
        return bool(self._yes_or_no("piston", "flat"))

    @property
    def gasket_is_reused(self) -> bool:
        """Whether the next build keeps this gasket."""
        return bool(self._yes_or_no("gasket", "reuse"))

    def _yes_or_no(self, table: str, name: str) -> bool | None:
        value = self._tables[table].written(name)
        if value is None or isinstance(value, bool):
            return value
        raise self._tables[table].refusal(
            name, f"{short(value)}: write true or false, without quotes"
        )

    def word(self, table: str, name: str, known: Sequence[str]) -> str | None:
        """A field that is one of some words; None where there is none."""
        value = self._tables[table].written(name)
        if value is None:
            return None
        if value not in known:
            raise self._tables[table].refusal(name, f"{short(value)}: write {_or(known)}")
        return value

    @property
    def antiknock_index(self) -> float | None:
        """Antiknock index of the fuel, (R+M)/2, or None."""
        index = self._tables["fuel"].written("antiknock_index")
        if index is None:
            return None
        with within("fuel.antiknock_index"):
            return number_of(index, *limits.ANTIKNOCK_INDEX, like="87")

    @property
    def strokes(self) -> int:
        """Of one working cycle, 4 or 2; a port that closes is a two-stroke's."""
        written = self._tables["cylinder"].written("strokes")
        if written is None:
            return 4 if self.value("cylinder.exhaust_closes", 1) is None else 2
        if written not in (2, 4) or isinstance(written, bool):
            raise self._tables["cylinder"].refusal(
                "strokes", f"{short(written)}: write 2 or 4, without quotes"
            )
        return int(written)

    def heights(self, cylinder: int) -> dict[str, pint.Quantity]:
        """What was measured of the height budget, by the names of `height_budget.HEIGHTS`.

        Stroke and deck clearance may come from the depth at bottom dead centre.
        """
        found = {path: self.value(path, cylinder) for path in HEIGHTS}
        depth = self.value("deck.depth_at_bdc", cylinder)
        stroke, clearance = found[height_budget.STROKE], found[height_budget.DECK]
        if depth is not None and clearance is None and stroke is not None:
            found[height_budget.DECK] = depth - stroke
        if depth is not None and stroke is None and clearance is not None:
            found[height_budget.STROKE] = depth - clearance
        return {path: value for path, value in found.items() if value is not None}

    def height(self, path: str, cylinder: int) -> pint.Quantity | None:
        """One length of the height budget: as measured, or from the four others; None without."""
        known = self.heights(cylinder)
        if path not in known and len(known) == len(HEIGHTS) - 1:
            with within(path):
                return FIELDS[path].limit.accept(
                    height_budget.missing_height(known, self._pin_offset(cylinder))
                )
        return known.get(path)

    def _pin_offset(self, cylinder: int) -> pint.Quantity:
        offset = self.value("cylinder.pin_offset", cylinder)
        return Quantity(0.0, "mm") if offset is None else offset

    def warnings(self) -> list[str]:
        """What in the table of readings deserves a second look."""
        said = second_look(self.measured, self.claims)
        every = [self.heights(n) for n in range(1, self.count + 1)]
        said += height_budget.disagreements(every, self._pin_offset(1))
        said += self._of_bores()
        if self.crown_is_missing:
            said.append("no dish, dome, reliefs or known-depth pour: the piston is taken as flat")
        pours_it = self.known_depth is not None and "ring_land" in self.written
        if pours_it and self._yes_or_no("ring_land", "filled") is None:
            said.append(
                "ring land: say whether grease filled the gap while the crown was poured "
                "(filled = true or false); taken as filled, so its volume is added"
            )
        return said

    def _of_bores(self) -> Iterator[str]:
        """The worst taper and the worst out of round, where they are more than usual."""
        shapes = [self.measured.bore_shape(n) for n in range(1, self.count + 1)]
        for rule, values in (
            (BORE_TAPER, [shape.taper or 0.0 for shape in shapes]),
            (BORE_OUT_OF_ROUND, [shape.out_of_round or 0.0 for shape in shapes]),
        ):
            if rule.place(max(values)) == "above":
                worst, unit = values.index(max(values)) + 1, self.measured.shop_unit("bore")
                yield f"cylinder {worst}: {rule.says(max(values), unit)}"

    @property
    def crown_is_missing(self) -> bool:
        """Whether nothing at all is said of the crown."""
        return (
            not any(
                self.value(f"piston.{name}", 1) is not None for name in ("dish", "dome", "reliefs")
            )
            and self.known_depth is None
        )

    @property
    def crown_is_awaited(self) -> bool:
        """Whether the table has a row for the crown that is still blank."""
        of_crown = ("known depth", "dish", "dome", "reliefs")
        return any(row.what in of_crown and row.is_blank and not row.left_out for row in self.rows)


def _known_depth(pair: Any, path: str, whose: str) -> tuple[pint.Quantity, pint.Quantity]:
    if not isinstance(pair, Mapping):
        raise SheetRefused(f'{short(pair)}: write {{ depth = "…", poured = "…" }}', field=path)
    table = Table(path, pair)
    table.only(("depth", "poured"))
    found = []
    for name, limit in (("depth", limits.KNOWN_DEPTH), ("poured", limits.POURED)):
        value = table.reading(name, limit)
        if value is None:
            raise table.refusal(name, 'missing; write { depth = "…", poured = "…" }')
        found.append(named(value, f"{limit.name}{whose}"))
    return found[0], found[1]


def reading_of_item(value: Any, limit: Limit, path: str) -> pint.Quantity:
    """One item of a list."""
    with within(path):
        return reading_of(value, limit)


def _as_many(several: Any, count: int, path: str) -> list[Any]:
    if not isinstance(several, list) or len(several) != count:
        found = count_of(len(several), "value") if isinstance(several, list) else short(several)
        raise SheetRefused(
            f"{found}: a list of {count} is wanted, one for each cylinder", field=path
        )
    return several


def _or(words: Sequence[str]) -> str:
    quoted = [f'"{word}"' for word in words]
    return f"{', '.join(quoted[:-1])} or {quoted[-1]}"
