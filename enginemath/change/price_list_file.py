"""The options file of a plan (TOML, `format = 1`): every field checked as it is read."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import pint

from enginemath.change.changed import NO_LENGTH
from enginemath.change.cut_limits import (
    CC_PER_MM,
    DECK_CUT,
    HEAD_CUT,
    HEIGHT,
    MINIMUM,
    OPEN_AREA,
    RISE,
    SQUISH,
    TO_VALVE,
)
from enginemath.change.cuts import open_area_of
from enginemath.change.price_list import (
    AS_MEASURED,
    BankOption,
    CrankOption,
    Cut,
    GasketOption,
    HeadCut,
    Heights,
    Minimums,
    Options,
    PistonOption,
    RodOption,
    Target,
    Tolerances,
    ValveClearance,
)
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Gasket, Piston
from enginemath.sheets.fields import READINGS
from enginemath.sheets.text_file import (
    SheetRefused,
    from_file,
    lines_from,
    load_toml,
    short,
    within,
)
from enginemath.sheets.toml_table import (
    Layout,
    Table,
    check_format,
    check_layout,
    number_of,
    reading_of,
    table_of,
    tables_of,
)
from enginemath.units import Refused, deviation, in_mm, show

MOST_STEPS = 1_000_000
MOST_COMBINATIONS = 100_000_000_000
_HIGHEST_PRICE = 1e9
_MOST_IN_STOCK = 1_000_000
_POCKETS = "deeper_valve_pockets"

_STEP = Limit("step", "mm", 0, 20, above_low=True)
_TOLERANCE = Limit("standard uncertainty", "mm", 0, 1, usual=(0, 0.2))

_GASKET = READINGS["gasket"]
_PISTON = READINGS["piston"]
_LAYOUT: Layout = {
    "target": ("ratio", "aim", "squish"),
    "limits": (
        "deck_clearance_min",
        "block_height_min",
        "head_height_min",
        "minimums_from",
        "intake_valve_min",
        "exhaust_valve_min",
    ),
    "heights": ("block", "head", "intake_valve", "exhaust_valve"),
    "bank": ("name", "block_height", "head_height", "deck_clean_up", "head_clean_up"),
    "gasket": ("name", "price", "stock", *_GASKET),
    "deck_cut": ("step", "max", "price", "clean_up", "needed"),
    "head_cut": ("step", "max", "price", "clean_up", "needed", "cc_per_mm", "open_area"),
    "piston": (
        "name",
        "price",
        "stock",
        "compression_height_change",
        "overbore",
        "deeper_valve_pockets",
        *_PISTON,
    ),
    "rods": ("name", "price", "stock", "length"),
    "crank": ("name", "price", "stock", "stroke"),
    "tolerances": ("deck_cut", "head_cut", "compressed_thickness"),
}


def read_options(path: str | os.PathLike[str]) -> Options:
    """Read an options file, which is never touched.

    Raises:
        SheetRefused: the file cannot be read, or as `parse_options`; names the file.
    """
    return from_file(path, parse_options)


def parse_options(text: str) -> Options:
    """Read the text of an options file.

    Raises:
        SheetRefused: not TOML, an unknown or a missing field, a newer format, a value that
            cannot be, two choices of one name, or too many combinations; names field and line.

    >>> options = parse_options('''
    ... format = 1
    ... [target]
    ... ratio = [9.0, 9.5]
    ... [[gasket]]
    ... name = "thin"
    ... bore = "93.2 mm"
    ... compressed_thickness = "0.70 mm"
    ... price = 38
    ... ''')
    >>> options.target.aim, [choice.name for choice in options.gaskets]
    (9.25, ['as measured', 'thin'])
    """
    with lines_from(text):
        return _options(load_toml(text))


def _options(written: Mapping[str, Any]) -> Options:
    check_format(written, "options file")
    check_layout(written, _LAYOUT, lists=("gasket", "piston", "rods", "crank", "bank"))
    if "target" not in written:
        raise SheetRefused("missing; say which ratio is wanted", field="target")
    wanted, heights = table_of(written, "limits"), table_of(written, "heights")
    options = Options(
        target=_target(table_of(written, "target")),
        deck_clearance_min=_exact(wanted, "deck_clearance_min", limits.DECK_CLEARANCE, NO_LENGTH),
        gaskets=(GasketOption(), *_choices(written, "gasket", _gasket)),
        pistons=(PistonOption(), *_choices(written, "piston", _piston)),
        deck_cut=_deck_cut(table_of(written, "deck_cut")) if "deck_cut" in written else None,
        head_cut=_head_cut(table_of(written, "head_cut")) if "head_cut" in written else None,
        tolerances=_tolerances(table_of(written, "tolerances")),
        rods=(RodOption(), *_choices(written, "rods", _rods)),
        cranks=(CrankOption(), *_choices(written, "crank", _crank)),
        minimums=_minimums(wanted),
        heights=Heights(heights.reading("block", HEIGHT), heights.reading("head", HEIGHT)),
        valves=tuple(_valves(wanted, heights)),
        banks=tuple(_banks(written)),
        least_deck_is_written="deck_clearance_min" in wanted,
    )
    if options.combinations > MOST_COMBINATIONS:
        raise SheetRefused(
            f"{options.combinations:.2g} combinations would take hours to try "
            f"(at most {MOST_COMBINATIONS:.0e}): make the steps of the cuts coarser"
        )
    return options


def _exact(
    table: Table, name: str, limit: Limit, if_missing: pint.Quantity | None = None
) -> pint.Quantity:
    """A reading without ±; it must be there unless `if_missing` stands for it."""
    value = table.reading(name, limit)
    if value is None:
        if if_missing is None:
            raise table.refusal(name, "missing")
        return if_missing
    with table.within(name):
        return _without_spread(value)


def _without_spread(value: pint.Quantity) -> pint.Quantity:
    if deviation(value.magnitude):
        raise Refused("write it without ±; how well the work is done belongs under [tolerances]")
    return value


def _price(table: Table) -> float:
    if "price" not in table:
        raise table.refusal("price", "missing; write price = 0 if it costs nothing")
    return table.number("price", 0, _HIGHEST_PRICE)


def _target(table: Table) -> Target:
    if "ratio" not in table:
        raise table.refusal("ratio", "missing; write ratio = [9.0, 9.5]")
    low, high = table.pair("ratio", lambda end: number_of(end, 1, limits.HIGHEST_RATIO))
    if low <= 1:
        raise table.refusal("ratio", "a compression ratio lies above 1")
    aim = (low + high) / 2
    if "aim" in table:
        aim = table.number("aim", 1, limits.HIGHEST_RATIO)
        if not low <= aim <= high:
            raise table.refusal("aim", f"{aim:g} lies outside the band {low:g} to {high:g}")
    squish = None
    if "squish" in table:
        squish = table.pair("squish", lambda end: _without_spread(reading_of(end, SQUISH)))
    return Target(low, high, aim, squish)


def _choices(
    written: Mapping[str, Any], name: str, choice: Callable[[Table, str], Any]
) -> list[Any]:
    choices = []
    seen = {AS_MEASURED}
    for table in tables_of(written, name):
        called = table.written("name")
        if not isinstance(called, str) or not called.strip():
            raise table.refusal("name", f"missing; give every {name} a name")
        key = " ".join(called.casefold().split())
        if key in seen:
            reason = (
                f"that is the {name} on the sheet, which is always a choice"
                if key == AS_MEASURED
                else f"two choices are called {short(called)}; give each its own name"
            )
            raise table.refusal("name", reason)
        seen.add(key)
        choices.append(choice(table, called))
    return choices


def _stock(table: Table) -> int | None:
    return table.whole_number("stock", 0, _MOST_IN_STOCK) if "stock" in table else None


def _rods(table: Table, name: str) -> RodOption:
    length = _exact(table, "length", limits.ROD_LENGTH)
    return RodOption(name, length, _price(table), _stock(table))


def _crank(table: Table, name: str) -> CrankOption:
    stroke = _exact(table, "stroke", limits.STROKE)
    return CrankOption(name, stroke, _price(table), _stock(table))


def _minimums(wanted: Table) -> Minimums:
    found = {what: wanted.reading(f"{what}_height_min", MINIMUM) for what in ("block", "head")}
    for what, minimum in found.items():
        if minimum is not None:
            with wanted.within(f"{what}_height_min"):
                _without_spread(minimum)
    source = wanted.written("minimums_from")
    if source is None:
        if any(minimum is not None for minimum in found.values()):
            raise wanted.refusal(
                "minimums_from",
                "missing; say where the maker's minimum was looked up: a guess is no minimum",
            )
        return Minimums()
    if not isinstance(source, str) or not source.strip():
        raise wanted.refusal("minimums_from", 'write it in words, like "shop manual, page 12"')
    return Minimums(found["block"], found["head"], " ".join(source.split()))


def _valves(wanted: Table, heights: Table) -> Iterator[ValveClearance]:
    for valve in ("intake", "exhaust"):
        least = wanted.reading(f"{valve}_valve_min", TO_VALVE)
        measured = heights.reading(f"{valve}_valve", TO_VALVE)
        if least is None:
            continue
        with wanted.within(f"{valve}_valve_min"):
            _without_spread(least)
        if measured is None:
            raise heights.refusal(
                f"{valve}_valve",
                f"missing; a least from piston to {valve} valve is wanted, so write what it is now",
            )
        yield ValveClearance(valve, measured, least)


def _banks(written: Mapping[str, Any]) -> Iterator[BankOption]:
    seen = set()
    for table in tables_of(written, "bank"):
        name = table.written("name")
        if not isinstance(name, str) or not name.strip():
            raise table.refusal("name", 'missing; the name of a bank on the sheet, like "left"')
        if name in seen:
            raise table.refusal("name", f"{short(name)}: two tables are of this bank")
        seen.add(name)
        yield BankOption(
            name,
            Heights(table.reading("block_height", HEIGHT), table.reading("head_height", HEIGHT)),
            _clean_up(table, "deck_clean_up", DECK_CUT),
            _clean_up(table, "head_clean_up", HEAD_CUT),
        )


def _clean_up(table: Table, name: str, limit: Limit) -> pint.Quantity | None:
    return _exact(table, name, limit) if name in table else None


def _needed(table: Table) -> bool:
    needed = table.written("needed")
    if needed is None or isinstance(needed, bool):
        return bool(needed)
    raise table.refusal("needed", f"{short(needed)}: write true or false, without quotes")


def _gasket(table: Table, name: str) -> GasketOption:
    given = {field: table.reading(field, limit) for field, limit in _GASKET.items()}
    with within(table.place):
        gasket = Gasket(
            bore=given["bore"],
            compressed_thickness=given["compressed_thickness"],
            poured=given["volume"],
            free_thickness=given["free_thickness"],
        )
    return GasketOption(name, gasket, _price(table), _stock(table))


def _piston(table: Table, name: str) -> PistonOption:
    given = {field: table.reading(field, limit) for field, limit in _PISTON.items()}
    with within(table.place):
        piston = Piston(**{field: value for field, value in given.items() if value is not None})
    rise = _exact(table, "compression_height_change", RISE, NO_LENGTH)
    over = NO_LENGTH
    if "overbore" in table:
        over = _exact(table, "overbore", limits.OVERBORE)
    pockets = _exact(table, _POCKETS, RISE) if _POCKETS in table else None
    return PistonOption(name, piston, rise, _price(table), over, pockets, _stock(table))


def _deck_cut(table: Table) -> Cut:
    step, largest = _step_and_largest(table, DECK_CUT)
    return Cut(step, largest, _price(table), *_least(table, DECK_CUT, largest))


def _head_cut(table: Table) -> HeadCut:
    step, largest = _step_and_largest(table, HEAD_CUT)
    if ("cc_per_mm" in table) == ("open_area" in table):
        raise SheetRefused(
            "one of cc_per_mm and open_area is wanted: what a cut takes off a chamber",
            field="head_cut",
        )
    if "open_area" in table:
        area = _exact(table, "open_area", OPEN_AREA)
    else:
        cc_per_mm = table.number("cc_per_mm", *CC_PER_MM)
        with table.within("cc_per_mm"):
            area = open_area_of(cc_per_mm)
    least = _least(table, HEAD_CUT, largest)
    return HeadCut(step, largest, _price(table), *least, open_area=area)


def _least(table: Table, limit: Limit, largest: pint.Quantity) -> tuple[pint.Quantity, bool]:
    """The least cut that cleans a face up, and whether it has to be made."""
    least = _exact(table, "clean_up", limit, NO_LENGTH)
    if in_mm(least) > in_mm(largest):
        reason = f"{show(least, 'mm')} is more than the largest cut of {show(largest, 'mm')}"
        raise table.refusal("clean_up", reason)
    return least, _needed(table)


def _step_and_largest(table: Table, limit: Limit) -> tuple[pint.Quantity, pint.Quantity]:
    step, largest = _exact(table, "step", _STEP), _exact(table, "max", limit)
    if 0 < in_mm(largest) < in_mm(step) * (1 - 1e-9):
        reason = f"{show(largest, 'mm')} is less than one step of {show(step, 'mm')}"
        raise table.refusal("max", reason)
    if in_mm(largest) > MOST_STEPS * in_mm(step):
        reason = f"more than {MOST_STEPS} steps up to the largest cut; no shop cuts so finely"
        raise table.refusal("step", reason)
    return step, largest


def _tolerances(table: Table) -> Tolerances:
    return Tolerances(
        **{name: _exact(table, name, _TOLERANCE, NO_LENGTH) for name in _LAYOUT["tolerances"]}
    )
