"""What a sheet can say before all its readings are there."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from pathlib import Path
from typing import Any, NamedTuple

import pint

from enginemath.bench.measuring import known_depth_crown
from enginemath.engine.rules_of_thumb import COMMON_PRACTICE, PISTON_BELOW_DECK
from enginemath.engine.stack import PARTS
from enginemath.formulas.compression import compression_ratio
from enginemath.formulas.geometry import annulus, disc
from enginemath.sheets.bench_engine import missing_readings
from enginemath.sheets.bench_layout import check_bench_sheet
from enginemath.sheets.bench_sheet import BenchFields
from enginemath.sheets.build_sheet import Sheet, parse
from enginemath.sheets.fields import check_sheet
from enginemath.sheets.ratio_report import sheet_report
from enginemath.sheets.readings_table import Row, table_text
from enginemath.sheets.text_file import from_file, lines_from, load_toml
from enginemath.units import (
    MM,
    MM3_PER_CC,
    MM_PER_INCH,
    fixed,
    in_cc,
    magnitude_in,
    nominal,
    shop_unit,
    show_ratio,
    true_minus,
)
from enginemath.units.columns import folded, in_columns
from enginemath.units.printing import printable

Range = tuple[float, float]

STROKE_TO_BORE: Range = (0.8, 1.25)
CHAMBER_TO_SWEPT: Range = (0.06, 0.14)
CROWN_TO_SWEPT: Range = (-0.01, 0.03)
CHAMBER_TO_SWEPT_OF_A_DIESEL: Range = (0.0, 0.02)
CROWN_TO_SWEPT_OF_A_DIESEL: Range = (0.03, 0.06)
CROWN_BESIDE_A_PRECHAMBER: Range = (0.0, 0.015)
"""Of a diesel whose chamber is in the head: a recess, and no bowl."""
DECK_OF_A_DIESEL: Range = (-0.8, 0.3)
THICKNESS: Range = (0.6, 1.6)
WIDER: Range = (0.5, 3.0)
"""Of a gasket's opening than the bore, mm. All nine: common practice, no source."""
USUAL_BORE: Range = (65.0, 110.0)
"""mm, of a car's engine; common practice, no source."""


def report_so_far(path: str | os.PathLike[str], unit: str = "") -> dict[str, Any]:
    """The report of a sheet, or what can be said already where readings are missing.

    Args:
        path: of the sheet, format 1 or 2.
        unit: "in" or "mm" of the lengths in `assumed`; by default that of the bore.

    Returns:
        `missing`, names in the order of the bench; where there are none, the whole report of
        `ratio_report.sheet_report` besides. Else `name`, the `cylinders` with the volumes that
        are known, in cc, and `ratio_range`: from what is known, and the usual range of what is
        missing; None before the bore is known. `assumed` says which range was taken for what.

    Raises:
        SheetRefused: a sheet or a reading that cannot be.
    """
    folder = Path(path).parent
    return from_file(path, lambda text: text_so_far(text, folder, unit=unit))


def text_so_far(
    text: str,
    folder: Path | None = None,
    tables: Mapping[str, str] | None = None,
    unit: str = "",
) -> dict[str, Any]:
    """As `report_so_far`, of a sheet's text; `tables` are texts by name in place of files.

    >>> bored = text_so_far('format = 2\\nname = "x"\\n[cylinder]\\ncount = 1\\nbore = "92 mm"')
    >>> bored["missing"][:3]
    ['stroke or depth at bdc', 'deck clearance', 'chamber']
    >>> [round(ratio, 1) for ratio in bored["ratio_range"]]
    [6.0, 19.1]
    """
    with lines_from(text):
        fields, missing = what_is_missing(text, folder, tables)
        if not missing:
            sheet: Sheet = parse(text, folder, {**(tables or {}), **_tables_of(fields)})
            return {"missing": [], **sheet_report(sheet, unit)}
        return _partly(fields, missing, unit)


def _tables_of(fields: BenchFields) -> dict[str, str]:
    """The tables, half a fill left out."""
    by_file: dict[str, list[Row]] = {}
    for row in fields.rows:
        by_file.setdefault(row.file, []).append(row)
    return {file: table_text(rows) for file, rows in by_file.items() if file}


def what_is_missing(
    text: str, folder: Path | None = None, tables: Mapping[str, str] | None = None
) -> tuple[BenchFields, list[str]]:
    """What a sheet's text holds so far, and the names of all that its ratio still needs."""
    written = load_toml(text)
    # One of format 1 is looked at as one of format 2, which may still miss readings.
    as_bench_sheet = {**written, "format": 2} if written.get("format") == 1 else written
    check_sheet(as_bench_sheet)
    check_bench_sheet(as_bench_sheet)
    fields = BenchFields(as_bench_sheet, folder, tables, so_far=True)
    return fields, missing_readings(fields)


def usual_ranges(
    fields: BenchFields,
) -> tuple[dict[str, tuple[float, float, bool]], Range]:
    """The volumes and the ratio over the usual ranges of all that is missing, the bore too.

    Returns:
        Of the swept volume and of each part, cc: least and most over all cylinders, and whether it
        is known in every one; and the ends of the ratio.
    """
    found: dict[str, tuple[float, float, bool]] = {}
    ratios: list[float] = []
    for n in range(1, fields.count + 1):
        known = _Known(fields, n)
        is_bored = known.bore is not None
        for bore in (known.bore,) if is_bored else USUAL_BORE:
            known.bore = bore
            for name, (low, high, is_known) in known.ranges().items():
                least, most, all_known = found.get(name, (low, high, True))
                all_known = all_known and is_known and is_bored
                found[name] = min(low, least), max(high, most), all_known
            ratios += known.ratio_range or ()
    return found, (min(ratios), max(ratios))


def _partly(fields: BenchFields, missing: list[str], unit: str) -> dict[str, Any]:
    known = [_Known(fields, n) for n in range(1, fields.count + 1)]
    ranges = [each.ratio_range for each in known]
    bore = fields.value("cylinder.bore", 1)
    unit = unit or ("mm" if bore is None else shop_unit(bore))
    there = [each for each in ranges if each is not None]
    whole = (min(low for low, _ in there), max(high for _, high in there)) if there else None
    return {
        "missing": missing,
        "name": fields.written["name"],
        "cylinders": [each.volumes(n) for n, each in enumerate(known, start=1)],
        "ratio_range": list(whole) if whole else None,
        "assumed": _assumed([each.assumed for each in known], unit),
        "warnings": fields.warnings(),
    }


def _assumed(each: Sequence[Mapping[str, Usual]], unit: str) -> list[str]:
    """What was taken as usual, over all cylinders."""
    said = []
    for name in dict.fromkeys(name for one in each for name in one):
        usual = [one[name] for one in each if name in one]
        low, high = min(one.low for one in usual), max(one.high for one in usual)
        of = usual[0].of
        if of == "mm" and unit == "in":
            low, high, of = low / MM_PER_INCH, high / MM_PER_INCH, "in"
        said.append(f"{name} {true_minus(f'{low:.4g}')} to {true_minus(f'{high:.4g}')} {of}")
    return said


class Usual(NamedTuple):
    """The usual range of what is missing, and what its numbers are of."""

    low: float
    high: float
    of: str


class _Known:
    """What is known of one cylinder, in mm and cc."""

    def __init__(self, fields: BenchFields, n: int):
        self._fields, self._n = fields, n
        self.assumed: dict[str, Usual] = {}
        self.bore, self.stroke = self._mm("cylinder.bore"), self._mm("cylinder.stroke")
        deck, depth = self._mm("deck.clearance"), self._mm("deck.depth_at_bdc")
        if self.stroke is None and depth is not None and deck is not None:
            self.stroke = depth - deck
        if deck is None and depth is not None and self.stroke is not None:
            deck = depth - self.stroke
        self.deck = deck
        self.gasket_bore = self._mm("gasket.bore")
        self.thickness = self._mm("gasket.compressed_thickness")
        self.parts = dict(self._parts())

    def _mm(self, path: str) -> float | None:
        value = self._fields.value(path, self._n)
        return None if value is None else float(nominal(magnitude_in(MM, value)))

    def _cc(self, path: str) -> float | None:
        value = self._fields.value(path, self._n)
        return None if value is None else in_cc(value)

    def _parts(self) -> Iterator[tuple[str, float]]:
        """The parts of the clearance that are known, in cc."""
        chamber = self._fields.chamber(self._n)
        if chamber is not None:
            yield "chamber", in_cc(chamber)
        poured = self._cc("gasket.volume")
        if poured is not None:
            yield "gasket", poured
        elif self.gasket_bore is not None and self.thickness is not None:
            yield "gasket", disc(self.gasket_bore, self.thickness) / MM3_PER_CC
        if self.bore is not None and self.deck is not None:
            yield "deck", disc(self.bore, self.deck) / MM3_PER_CC
        crown = self._crown()
        if crown is not None:
            yield "crown", crown
        crevice = self._crevice()
        if crevice is not None:
            yield "crevice", crevice

    def _crown(self) -> float | None:
        known = self._fields.known_depth_of(self._n) if self.bore is not None else None
        if known is not None:
            depth, poured = known
            bore: pint.Quantity = self.bore * MM
            return in_cc(known_depth_crown(poured, bore, depth))
        volumes = {name: self._cc(f"piston.{name}") for name in ("dish", "dome", "reliefs")}
        if all(volume is None for volume in volumes.values()):
            return None
        dish, dome, reliefs = (volume or 0.0 for volume in volumes.values())
        return dish - dome + reliefs

    def _crevice(self) -> float | None:
        height, gap = self._mm("ring_land.height"), self._mm("ring_land.clearance")
        land = self._mm("ring_land.diameter")
        if self._fields.crevice_is_poured:
            return 0.0
        if self.bore is None or height is None:
            return None
        if gap is None and land is not None:
            gap = self.bore - land
        return None if gap is None else annulus(self.bore, self.bore - gap, height) / MM3_PER_CC

    def volumes(self, number: int) -> dict[str, Any]:
        swept = None
        if self.bore is not None and self.stroke is not None:
            swept = disc(self.bore, self.stroke) / MM3_PER_CC
        known = {f"{name}_cc": self.parts.get(name) for name in PARTS}
        return {"number": number, "swept_cc": swept, **known}

    def ranges(self) -> dict[str, tuple[float, float, bool]]:
        """Of the swept volume and of each part: least, most, and whether it is known; cc."""
        if self.bore is None:
            return {}
        swept = [disc(self.bore, stroke) / MM3_PER_CC for stroke in self._strokes(self.bore)]
        found = {"swept": (min(swept), max(swept), self.stroke is not None)}
        for part in PARTS:
            ends = [end for each in swept for end in self._ends(part, self.bore, each)]
            found[part] = min(ends), max(ends), part in self.parts
        return found

    def _strokes(self, bore: float) -> Range:
        if self.stroke is not None:
            return self.stroke, self.stroke
        return self._usual("stroke", (bore * STROKE_TO_BORE[0], bore * STROKE_TO_BORE[1]))

    @property
    def ratio_range(self) -> Range | None:
        """Least and most that the ratio can be, over the usual range of what is missing."""
        bore = self.bore
        if bore is None:
            return None
        ratios = []
        for stroke in self._strokes(bore):
            swept = disc(bore, stroke) / MM3_PER_CC
            ends = [self._ends(name, bore, swept) for name in PARTS]
            for parts in product(*ends):
                if sum(parts) > 0:
                    ratios.append(compression_ratio(swept, sum(parts)))
        return (min(ratios), max(ratios)) if ratios else None

    def _ends(self, part: str, bore: float, swept: float) -> Range:
        if part in self.parts:
            return self.parts[part], self.parts[part]
        chamber, crown = CHAMBER_TO_SWEPT, CROWN_TO_SWEPT
        if self._fields.is_diesel:
            chamber, crown = CHAMBER_TO_SWEPT_OF_A_DIESEL, CROWN_TO_SWEPT_OF_A_DIESEL
            if self._fields.value("chamber.prechamber", self._n) is not None:
                crown = CROWN_BESIDE_A_PRECHAMBER
        usual: dict[str, Callable[[], Range]] = {
            "chamber": lambda: self._share("chamber", chamber, swept),
            "crown": lambda: self._share("crown", crown, swept),
            "gasket": lambda: self._usual_gasket(bore),
            "deck": lambda: self._usual_deck(bore),
            "crevice": lambda: (0.0, 0.0),
        }
        return usual[part]()

    def _share(self, name: str, share: Range, swept: float) -> Range:
        low, high = (100 * end for end in share)
        self._take(name, Usual(low, high, "% of the swept volume"))
        return share[0] * swept, share[1] * swept

    def _usual_gasket(self, bore: float) -> Range:
        opening = self.gasket_bore
        wide = (
            (opening,) * 2
            if opening is not None
            else self._usual("gasket bore", (bore + WIDER[0], bore + WIDER[1]))
        )
        known = self.thickness
        thick = (
            (known,) * 2 if known is not None else self._usual("compressed thickness", THICKNESS)
        )
        low, high = zip(wide, thick, strict=True)
        return disc(*low) / MM3_PER_CC, disc(*high) / MM3_PER_CC

    def _usual_deck(self, bore: float) -> Range:
        ends = PISTON_BELOW_DECK.low or 0.0, PISTON_BELOW_DECK.high or 0.0
        if self._fields.is_diesel:
            ends = DECK_OF_A_DIESEL
        low, high = self._usual("deck clearance", ends)
        return disc(bore, low) / MM3_PER_CC, disc(bore, high) / MM3_PER_CC

    def _usual(self, name: str, ends: Range) -> Range:
        self._take(name, Usual(*ends, "mm"))
        return ends

    def _take(self, name: str, usual: Usual) -> None:
        before = self.assumed.get(name, usual)
        self.assumed[name] = Usual(
            min(usual.low, before.low), max(usual.high, before.high), usual.of
        )


def so_far_text(report: dict[str, Any]) -> str:
    """What can be said so far, for the shop; lengths are in the unit of `report_so_far`.

    >>> bored = text_so_far('format = 2\\nname = "x"\\n[cylinder]\\ncount = 1\\nbore = "92 mm"')
    >>> print(so_far_text(bored).splitlines()[1])
    Readings missing: stroke or depth at bdc, deck clearance, chamber, gasket bore, compressed
    """
    names = ("swept_cc", *(f"{name}_cc" for name in PARTS))
    rows: list[tuple[str, ...]] = [("cylinder", "swept", *PARTS), ("", *("cc" for _ in names))]
    for cylinder in report["cylinders"]:
        cells = (cylinder[name] for name in names)
        shown = ("?" if cell is None else fixed(cell, 2) for cell in cells)
        rows.append((str(cylinder["number"]), *shown))
    lines = [
        printable(report["name"]),
        *folded([f"Readings missing: {', '.join(report['missing'])}"]),
        "",
        *in_columns(rows, right=range(len(rows[0]))),
        "",
    ]
    lines += folded([ratio_so_far(report)])
    return "\n".join([*lines, *folded(f"! {warning}" for warning in report["warnings"])])


def ratio_so_far(report: dict[str, Any]) -> str:
    """The range of the ratio, and what it rests on, in a sentence."""
    if not report["ratio_range"]:
        return "Ratio so far: nothing can be said before the bore is read"
    low, high = map(show_ratio, report["ratio_range"])
    return (
        f"Ratio so far: between {low} and {high}, with the usual for what is missing "
        f"({COMMON_PRACTICE}): {'; '.join(report['assumed'])}"
    )
