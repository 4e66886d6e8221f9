"""Build sheet `format = 2`: readings, tools and banks; every dimension by cylinder."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import pint

from enginemath.bench.how_sure.labels import named
from enginemath.bench.measuring import Fill, known_depth_crown, poured_volume
from enginemath.bench.tools import Instrument, instrument
from enginemath.engine import limits
from enginemath.engine.can_be import refuse_what_cannot_be
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.engine.rules_of_thumb import BORE_OUT_OF_ROUND, BORE_TAPER
from enginemath.formulas.compression import depth_at_bdc
from enginemath.sheets import height_budget
from enginemath.sheets.fields import Fields
from enginemath.sheets.height_budget import HEIGHTS
from enginemath.sheets.measured import WHATS, Measured
from enginemath.sheets.readings_table import Row, read_table, rows_of
from enginemath.sheets.text_file import SheetRefused, short, within
from enginemath.sheets.toml_table import (
    Table,
    check_layout,
    number_of,
    reading_of,
    table_of,
    tables_of,
)
from enginemath.units import (
    CC,
    Quantity,
    Refused,
    best,
    deviation,
    in_cc,
    in_mm,
    nominal,
    shop_unit,
    show,
)

DEAD_CENTRES_AGREE = Quantity(0.05, "mm")
"""How far stroke, deck clearance and depth at bottom dead centre may disagree."""


@dataclass(frozen=True)
class Field:
    """A field of the sheet, and what the table of readings calls it."""

    table: str
    name: str
    limit: Limit
    what: str = ""

    @property
    def path(self) -> str:
        """As a refusal names it: ``cylinder.bore``."""
        return f"{self.table}.{self.name}"


FIELDS = {
    field.path: field
    for field in (
        Field("cylinder", "bore", limits.BORE, "bore"),
        Field("cylinder", "stroke", limits.STROKE, "stroke"),
        Field("cylinder", "rod_length", limits.ROD_LENGTH, "rod length"),
        Field("cylinder", "pin_offset", limits.PIN_OFFSET, "pin offset"),
        Field("chamber", "volume", limits.CHAMBER, "chamber"),
        Field("chamber", "prechamber", limits.PRECHAMBER, "prechamber"),
        Field("gasket", "bore", limits.GASKET_BORE, "gasket bore"),
        Field("gasket", "compressed_thickness", limits.GASKET_THICKNESS, "compressed thickness"),
        Field("gasket", "free_thickness", limits.GASKET_THICKNESS, "free thickness"),
        Field("gasket", "volume", limits.GASKET_VOLUME),
        Field("deck", "clearance", limits.DECK_CLEARANCE, "deck clearance"),
        Field("deck", "depth_at_bdc", limits.DEPTH_AT_BDC, "depth at bdc"),
        Field("deck", "block_height", limits.BLOCK_HEIGHT, "block height"),
        Field("piston", "dish", limits.DISH, "dish"),
        Field("piston", "dome", limits.DOME, "dome"),
        Field("piston", "reliefs", limits.RELIEFS, "reliefs"),
        Field("piston", "compression_height", limits.COMPRESSION_HEIGHT, "compression height"),
        Field("ring_land", "height", limits.LAND_HEIGHT, "land height"),
        Field("ring_land", "clearance", limits.LAND_CLEARANCE),
        Field("ring_land", "diameter", limits.LAND_DIAMETER, "land diameter"),
        Field("cam", "intake_closes", limits.INTAKE_CLOSES, "intake closes"),
        Field("cylinder", "exhaust_closes", limits.EXHAUST_CLOSES, "exhaust closes"),
    )
}
"""Every field that is one text with a unit for all cylinders, or a list of them."""

_ONE_FOR_ALL = {
    "cam": {"checking_lift": limits.CHECKING_LIFT},
    "site": {"altitude": limits.ALTITUDE},
}
_OTHER_FIELDS = {
    "cylinder": {"count", "strokes"},
    "chamber": {"volumes", "fills"},
    "gasket": {"reuse"},
    "deck": {"clearances"},
    "piston": {"known_depth", "flat"},
    "ring_land": {"filled"},
    "head": {"material"},
    "fuel": {"antiknock_index", "kind"},
}
_PLURALS = {"chamber.volume": "volumes", "deck.clearance": "clearances"}
"""Fields whose list stands under a name of its own in format 1."""
BESIDE = ("format", "name", "readings", "record", "tools")
LAYOUT: dict[str, set[str]] = {"bank": {"name", "cylinders"}}
for _field in FIELDS.values():
    LAYOUT.setdefault(_field.table, set()).add(_field.name)
for _table, _names in (*_ONE_FOR_ALL.items(), *_OTHER_FIELDS.items()):
    LAYOUT.setdefault(_table, set()).update(_names)
CLAIMED = {
    what.replace(" ", "_"): what for what in WHATS if what not in ("known depth", "plug hole pour")
}
"""What a sheet may hold as claimed by its maker, and what the table of readings calls it."""
LAYOUT["claimed"] = {*CLAIMED}
TOOL = ("kind", "size", "class", "limit", "division", "note")
HEADS = ("iron", "aluminium")
FUELS = ("petrol", "diesel", "ethanol", "methanol", "gas", "racing petrol")


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
        rows = _rows(written, folder, tables or {})
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
        return _tools(self.written.get("tools", {}))

    @cached_property
    def banks(self) -> tuple[str, ...]:
        """The bank of each cylinder, in their order; empty where the sheet names none."""
        return _banks(tables_of(self.written, "bank"), self.count)

    def _list(self, field: Field) -> list[pint.Quantity] | None:
        """A field's value for each cylinder as written; one value is one reading, shared."""
        table = self._tables[field.table]
        plural = _PLURALS.get(field.path, "")
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
        bores = self._list(FIELDS["cylinder.bore"])
        if bores is None:
            raise MissingReadings(["bore"], self)
        return in_mm(bores[max(0, cylinder - 1)])

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
        limit = _ONE_FOR_ALL.get(table, {}).get(name)
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
        said = [
            *self.measured.blunders(),
            *self.measured.against_claims(self.claims),
            *self.measured.taken_from_others(),
        ]
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
                yield f"cylinder {values.index(max(values)) + 1}: {rule.says(max(values))}"

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


def check_bench_sheet(written: Mapping[str, Any]) -> None:
    """Refuse tables and fields that format 2 does not know."""
    check_layout(written, LAYOUT, beside=BESIDE, lists=("bank",))
    record = written.get("record", {})
    if not isinstance(record, Mapping):
        raise SheetRefused(f"{short(record)}: a table is wanted, [record]", field="record")
    for name, value in record.items():
        if not isinstance(value, (str, int, float, datetime.date, datetime.time)):
            raise SheetRefused(f"{short(value)}: a text is wanted", field=f"record.{name}")


def bench_engine(fields: BenchFields) -> Engine:
    """Build the engine that a sheet of format 2 describes.

    Raises:
        MissingReadings: names all that the ratio needs and the sheet has not.
        SheetRefused: a reading that cannot be, or readings that contradict each other.
    """
    _ = fields.gasket_is_reused, fields.crevice_is_poured, fields.piston_is_flat, fields.claims
    missing = missing_readings(fields)
    if missing:
        raise MissingReadings(missing, fields)
    each = range(1, fields.count + 1)
    cylinders = _alike(each, lambda n: _cylinder(fields, n))
    gaskets = _alike(each, lambda n: _gasket(fields, n))
    pistons = _alike(each, lambda n: _piston(fields, n, cylinders[n - 1]))
    lands = _alike(each, lambda n: _ring_land(fields, n, cylinders[n - 1]))
    decks = tuple(Deck(_deck(fields, n)) for n in each)
    chambers = []
    for n in each:
        with within("chamber.volume"):
            volume = fields.chamber(n)
            assert volume is not None
            prechamber = fields.value("chamber.prechamber", n)
            chambers.append(Chamber(volume, prechamber, fields.is_diesel))
    with _in_its_field():
        engine = Engine(
            name=fields.written["name"],
            cylinder=cylinders[0],
            chambers=tuple(chambers),
            gasket=gaskets[0],
            decks=decks,
            piston=pistons[0],
            ring_land=lands[0],
            intake_closes=fields.reading("cam", "intake_closes"),
            altitude=fields.reading("site", "altitude"),
            antiknock_index=fields.antiknock_index,
            checking_lift=fields.reading("cam", "checking_lift"),
            head=fields.word("head", "material", HEADS),
            fuel=fields.word("fuel", "kind", FUELS),
            strokes=fields.strokes,
            exhaust_closes=fields.reading("cylinder", "exhaust_closes"),
            cylinders=cylinders,
            gaskets=gaskets,
            pistons=pistons,
            ring_lands=lands,
            banks=fields.banks,
        )
        refuse_what_cannot_be(engine)
    return engine


@contextmanager
def _in_its_field() -> Iterator[None]:
    """What is refused of an engine's parts together is told by the field of the sheet."""
    try:
        yield
    except SheetRefused:
        raise
    except Refused as refusal:
        known = refusal.field.partition(".")[0] in LAYOUT
        field = refusal.field if known else ".".join(filter(None, ("sheet", refusal.field)))
        raise SheetRefused(str(refusal), field=field) from None


def missing_readings(fields: BenchFields) -> list[str]:
    """What the ratio needs and the sheet has not, in the order of the bench.

    A ring land of which only a part was read is not left out in silence.
    """
    has = {path: _cylinders_with(fields, path) for path in FIELDS}
    every = {*range(1, fields.count + 1)}
    stroke, clearance = has["cylinder.stroke"], has["deck.clearance"]
    depth = has["deck.depth_at_bdc"]
    of_stroke, of_deck = (
        {n for n in every if fields.height(path, n) is not None}
        for path in (height_budget.STROKE, height_budget.DECK)
    )
    chambers = every if fields.fills else has["chamber.volume"]
    opening = has["gasket.volume"]
    needed = {
        "bore": has["cylinder.bore"],
        "stroke or depth at bdc": stroke | depth | of_stroke,
        "deck clearance": clearance | (depth & stroke) | of_deck,
        "chamber": chambers,
        "gasket bore": opening | has["gasket.bore"],
        "compressed thickness": opening | has["gasket.compressed_thickness"],
    }
    if fields.crown_is_missing and fields.crown_is_awaited:
        needed["known depth"] = set()
    gap = has["ring_land.clearance"] | has["ring_land.diameter"]
    has_land = has["ring_land.height"] or gap or "ring_land" in fields.written
    if has_land and not fields.crevice_is_poured:
        needed["land height"] = has["ring_land.height"]
        needed["land diameter"] = gap
    found = [
        name if len(lacking) == fields.count else f"{name} (cylinder{_s(lacking)} {_and(lacking)})"
        for name, there in needed.items()
        if (lacking := sorted(every - there))
    ]
    return [f"{name}{_as_dish(fields)}" if name == "chamber" else name for name in found]


def _as_dish(fields: BenchFields) -> str:
    """Where the chamber is missing and a dish has its size, what was perhaps meant."""
    dish = fields.value("piston.dish", 1)
    if dish is None or nominal(dish.m_as("cc")) < _LARGE_DISH:
        return ""
    return f" (the dish of {show(dish, 'cc')} is large for a dish: is that the chamber?)"


_LARGE_DISH = 30.0
"""cc; common practice, no source."""


def _cylinders_with(fields: BenchFields, path: str) -> set[int]:
    return {n for n in range(1, fields.count + 1) if fields.value(path, n) is not None}


def _alike(each: range, build: Callable[[int], Any]) -> tuple[Any, ...]:
    """One part a cylinder; where all are equal, one part for all."""
    parts = [build(n) for n in each]
    if all(part == parts[0] for part in parts[1:]):
        return (parts[0],) * len(parts)
    return tuple(parts)


def _cylinder(fields: BenchFields, n: int) -> Cylinder:
    with within("cylinder"):
        return Cylinder(
            bore=_there(fields.value("cylinder.bore", n)),
            stroke=_stroke(fields, n),
            rod_length=fields.height(height_budget.ROD, n),
            pin_offset=fields.value("cylinder.pin_offset", n) or Quantity(0, "mm"),
        )


def _there(value: pint.Quantity | None) -> pint.Quantity:
    assert value is not None, "missing readings are refused before"
    return value


def _stroke(fields: BenchFields, n: int) -> pint.Quantity:
    stroke = fields.value("cylinder.stroke", n)
    if stroke is not None:
        return stroke
    depth, clearance = fields.value("deck.depth_at_bdc", n), fields.value("deck.clearance", n)
    if depth is None:
        return _there(fields.height(height_budget.STROKE, n))
    with within("deck.depth_at_bdc"):
        return limits.STROKE.accept(depth - _there(clearance))


def _deck(fields: BenchFields, n: int) -> pint.Quantity:
    stroke, depth = fields.value("cylinder.stroke", n), fields.value("deck.depth_at_bdc", n)
    clearance = fields.value("deck.clearance", n)
    if clearance is None:
        if depth is not None:
            with within("deck.depth_at_bdc"):
                return limits.DECK_CLEARANCE.accept(depth - _there(stroke))
        with within("deck.block_height"):
            return _there(fields.height(height_budget.DECK, n))
    if stroke is not None and depth is not None:
        _refuse_disagreement(n, stroke, clearance, depth)
    return clearance


def _refuse_disagreement(
    n: int, stroke: pint.Quantity, clearance: pint.Quantity, depth: pint.Quantity
) -> None:
    together, unit = depth_at_bdc(stroke, clearance), shop_unit(depth)
    gap = depth - together
    allowed = in_mm(DEAD_CENTRES_AGREE) + 2 * deviation(gap.m_as("mm"))
    if abs(in_mm(gap)) <= allowed + 1e-9:
        return
    said = [show(best(length), unit) for length in (depth, stroke, clearance, together)]
    raise SheetRefused(
        f"cylinder {n}: depth at bottom dead centre {said[0]} is not stroke {said[1]} plus deck "
        f"clearance {said[2]} ({said[3]}); the depth holds the deck clearance already: is it "
        "counted twice?",
        field="deck.depth_at_bdc",
    )


def _gasket(fields: BenchFields, n: int) -> Gasket:
    with within("gasket"):
        return Gasket(
            bore=fields.value("gasket.bore", n),
            compressed_thickness=fields.value("gasket.compressed_thickness", n),
            poured=fields.value("gasket.volume", n),
            free_thickness=fields.value("gasket.free_thickness", n),
        )


def _piston(fields: BenchFields, n: int, cylinder: Cylinder) -> Piston:
    given = {name: fields.value(f"piston.{name}", n) for name in ("dish", "dome", "reliefs")}
    given = {name: value for name, value in given.items() if value is not None}
    known, flat = fields.known_depth_of(n), fields.piston_is_flat
    if flat and given.keys() - {"reliefs"}:
        raise SheetRefused("a flat piston has no dish and no dome", field="piston.flat")
    if known is None:
        with within("piston"):
            return Piston(**given)
    twice = given if flat else given.keys() - {"reliefs"}
    if twice:
        raise SheetRefused(
            f"the pour holds the whole crown already; leave out {' and '.join(twice)}",
            field="piston.known_depth",
        )
    depth, poured = known
    crown = known_depth_crown(poured, cylinder.bore, depth).to("cc")
    if flat and in_cc(crown) < 0:
        raise SheetRefused(
            f"flat = true, and the pour says that {show(-crown, 'cc')} stand above the edge",
            field="piston.flat",
        )
    with within("piston.known_depth"):
        return Piston.with_crown(crown, known, crown if flat else given.get("reliefs"))


def _ring_land(fields: BenchFields, n: int, cylinder: Cylinder) -> RingLand | None:
    height = fields.value("ring_land.height", n)
    if height is None or (fields.crevice_is_poured and fields.known_depth_of(n)):
        return None
    clearance = fields.value("ring_land.clearance", n)
    with within("ring_land"):
        if clearance is None:
            clearance = cylinder.bore - _there(fields.value("ring_land.diameter", n))
        return RingLand(height=height, clearance=clearance)


# Pieces of the file


def _rows(written: Mapping[str, Any], folder: Path | None, tables: Mapping[str, str]) -> list[Row]:
    names = written.get("readings", [])
    names = [names] if isinstance(names, str) else names
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        raise SheetRefused(
            f'{short(names)}: the name of a table is wanted, like "readings.csv", or a list',
            field="readings",
        )
    rows: list[Row] = []
    for name in names:
        if name in tables:
            rows += rows_of(tables[name], name)
            continue
        path = Path(name)
        if path.is_absolute() or ".." in path.parts:
            raise SheetRefused(
                f"{short(name)}: the table stands beside the sheet", field="readings"
            )
        rows += read_table((folder or Path()) / path)
    return rows


def _tools(written: Any) -> dict[str, Instrument]:
    if not isinstance(written, Mapping):
        raise SheetRefused(f"{short(written)}: write [tools.burette] and so on", field="tools")
    found = {}
    for name, given in written.items():
        if not isinstance(given, Mapping):
            raise SheetRefused(
                f'{short(given)}: write [tools.{name}] and below it kind = "…"',
                field=f"tools.{name}",
            )
        table = Table(f"tools.{name}", given)
        table.only(TOOL)
        for key in given:
            if not isinstance(given[key], str):
                raise table.refusal(key, f"{short(given[key])}: write it in quotes")
        kind = table.written("kind")
        if kind is None:
            raise table.refusal("kind", 'missing; like "burette" or "micrometer"')
        with within(f"tools.{name}"):
            found[name] = instrument(
                " ".join(kind.split()).casefold(),
                size=table.written("size"),
                grade=table.written("class"),
                limit=table.written("limit"),
                division=table.written("division"),
            )
    return found


def _banks(tables: Sequence[Table], count: int) -> tuple[str, ...]:
    if not tables:
        return ()
    of: dict[int, str] = {}
    for table in tables:
        name, cylinders = table.written("name"), table.written("cylinders")
        if not isinstance(name, str) or not name.strip():
            raise table.refusal("name", 'missing; like "left"')
        if name in of.values():
            raise table.refusal("name", f"{short(name)}: two banks have this name")
        if not isinstance(cylinders, list) or not cylinders:
            raise table.refusal("cylinders", "missing; a list of numbers, like [1, 3, 5, 7]")
        for place, number in enumerate(cylinders, start=1):
            item = f"cylinders[{place}]"
            if type(number) is not int or not 1 <= number <= count:
                raise table.refusal(item, f"{short(number)}: the engine has cylinders 1 to {count}")
            if number in of:
                raise table.refusal(item, f"cylinder {number}: stands in bank {of[number]} already")
            of[number] = name
    without = [n for n in range(1, count + 1) if n not in of]
    if without:
        raise SheetRefused(f"cylinder{_s(without)} {_and(without)}: in no bank", field="bank")
    return tuple(of[n] for n in range(1, count + 1))


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
        found = f"{len(several)} values" if isinstance(several, list) else short(several)
        raise SheetRefused(
            f"{found}: a list of {count} is wanted, one for each cylinder", field=path
        )
    return several


def _and(items: Sequence[Any]) -> str:
    *first, last = map(str, items)
    return f"{', '.join(first)} and {last}" if first else last


def _or(words: Sequence[str]) -> str:
    quoted = [f'"{word}"' for word in words]
    return f"{', '.join(quoted[:-1])} or {quoted[-1]}"


def _s(items: Sequence[Any]) -> str:
    return "s" if len(items) > 1 else ""
