"""The options file of a plan (TOML, `format = 1`): every field checked as it is read."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Mapping
from typing import Any

import pint

from enginemath.change.changed import NO_LENGTH
from enginemath.change.cut_limits import CC_PER_MM, DECK_CUT, HEAD_CUT, OPEN_AREA, RISE, SQUISH
from enginemath.change.cuts import open_area_of
from enginemath.change.price_list import (
    AS_MEASURED,
    Cut,
    GasketOption,
    HeadCut,
    Options,
    PistonOption,
    Target,
    Tolerances,
)
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.engine.parts import Gasket, Piston
from enginemath.sheets.fields import READINGS, as_text, check_format, unknown
from enginemath.sheets.text_file import (
    SheetRefused,
    from_file,
    lines_from,
    load_toml,
    short,
    within,
)
from enginemath.units import Refused, deviation, in_mm, show

MOST_STEPS = 1_000_000
MOST_COMBINATIONS = 100_000_000_000
_HIGHEST_PRICE = 1e9

_STEP = Limit("step", "mm", 0, 20, above_low=True)
_TOLERANCE = Limit("standard uncertainty", "mm", 0, 1, usual=(0, 0.2))

_GASKET = READINGS["gasket"]
_PISTON = READINGS["piston"]
_FIELDS: dict[str, set[str]] = {
    "target": {"ratio", "aim", "squish"},
    "limits": {"deck_clearance_min"},
    "gasket": {"name", "price", *_GASKET},
    "deck_cut": {"step", "max", "price"},
    "head_cut": {"step", "max", "price", "cc_per_mm", "open_area"},
    "piston": {"name", "price", "compression_height_change", *_PISTON},
    "tolerances": {"deck_cut", "head_cut", "compressed_thickness"},
}
_LISTS = ("gasket", "piston")


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
    for name, content in written.items():
        if name != "format":
            _check_table(name, content)
    if "target" not in written:
        raise SheetRefused("missing; say which ratio is wanted", field="target")
    options = Options(
        target=_target(_Table("target", written["target"])),
        deck_clearance_min=_Table("limits", written.get("limits", {})).length(
            "deck_clearance_min", limits.DECK_CLEARANCE, NO_LENGTH
        ),
        gaskets=(GasketOption(), *_choices(written, "gasket", _gasket)),
        pistons=(PistonOption(), *_choices(written, "piston", _piston)),
        deck_cut=_deck_cut(written),
        head_cut=_head_cut(written),
        tolerances=_tolerances(_Table("tolerances", written.get("tolerances", {}))),
    )
    if options.combinations > MOST_COMBINATIONS:
        raise SheetRefused(
            f"{options.combinations:.2g} combinations would take hours to try "
            f"(at most {MOST_COMBINATIONS:.0e}): make the steps of the cuts coarser"
        )
    return options


def _check_table(name: str, content: Any) -> None:
    if name not in _FIELDS:
        raise SheetRefused(unknown(name, {*_FIELDS, "format"}), field=name)
    if name not in _LISTS:
        if not isinstance(content, Mapping):
            raise SheetRefused(f"{short(content)}: a table is wanted, [{name}]", field=name)
        _check_fields(name, name, content)
        return
    if not isinstance(content, list) or not all(isinstance(one, Mapping) for one in content):
        raise SheetRefused(
            f"one table for each {name} is wanted, each under [[{name}]]", field=name
        )
    for number, one in enumerate(content, start=1):
        _check_fields(name, f"{name}[{number}]", one)


def _check_fields(table: str, place: str, content: Mapping[str, Any]) -> None:
    for name in content:
        if name not in _FIELDS[table]:
            raise SheetRefused(unknown(name, _FIELDS[table]), field=f"{place}.{name}")


class _Table:
    """The fields of one table, each checked when it is asked for."""

    def __init__(self, place: str, content: Mapping[str, Any]):
        self.place, self.content = place, content

    def __contains__(self, name: str) -> bool:
        return name in self.content

    def field(self, name: str) -> str:
        return f"{self.place}.{name}"

    def reading(self, name: str, limit: Limit) -> pint.Quantity | None:
        """A text with a unit, perhaps with ±; None where there is none."""
        if name not in self.content:
            return None
        with within(self.field(name)):
            return limit.accept(as_text(self.content[name]))

    def length(
        self, name: str, limit: Limit, default: pint.Quantity | None = None
    ) -> pint.Quantity:
        """A text with a unit, without ±; missing only where there is a default."""
        value = self.reading(name, limit)
        if value is None:
            if default is None:
                raise SheetRefused("missing", field=self.field(name))
            return default
        return _exact(value, self.field(name))

    def number(self, name: str, low: float, high: float, if_missing: str) -> float:
        """A bare number."""
        if name not in self.content:
            raise SheetRefused(f"missing; {if_missing}", field=self.field(name))
        with within(self.field(name)):
            return _number(self.content[name], low, high)

    @property
    def price(self) -> float:
        return self.number("price", 0, _HIGHEST_PRICE, "write price = 0 if it costs nothing")


def _exact(value: pint.Quantity, field: str) -> pint.Quantity:
    if deviation(value.magnitude):
        raise SheetRefused(
            "write it without ±; how well the work is done belongs under [tolerances]", field=field
        )
    return value


def _number(value: Any, low: float, high: float) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise Refused(f"{short(value)}: write a number, without quotes")
    if not math.isfinite(value) or not low <= value <= high:
        raise Refused(f"{short(value)}: write a number from {low:g} to {high:.10g}")
    return value


def _pair(table: _Table, name: str, read: Callable[[Any], Any]) -> tuple[Any, Any]:
    """The lower and the upper end of a range."""
    pair, field = table.content[name], table.field(name)
    with within(field):
        if not isinstance(pair, list) or len(pair) != 2:
            raise Refused(f"{short(pair)}: the lower and the upper end are wanted, [low, high]")
        low, high = (read(end) for end in pair)
        if low > high:
            raise Refused("the lower end is above the upper end; exchanged?")
    return low, high


def _target(table: _Table) -> Target:
    if "ratio" not in table:
        raise SheetRefused("missing; write ratio = [9.0, 9.5]", field="target.ratio")
    low, high = _pair(table, "ratio", lambda end: _number(end, 1, limits.HIGHEST_RATIO))
    if low <= 1:
        raise SheetRefused("a compression ratio lies above 1", field="target.ratio")
    aim = (low + high) / 2
    if "aim" in table:
        aim = table.number("aim", 1, limits.HIGHEST_RATIO, "")
        if not low <= aim <= high:
            raise SheetRefused(f"{aim:g} lies outside the band {low:g} to {high:g}", "target.aim")
    squish = None
    if "squish" in table:
        squish = _pair(
            table,
            "squish",
            lambda end: _exact(SQUISH.accept(as_text(end)), "target.squish"),
        )
    return Target(low, high, aim, squish)


def _choices(
    written: Mapping[str, Any], name: str, choice: Callable[[_Table, str], Any]
) -> list[Any]:
    choices = []
    seen = {AS_MEASURED}
    for number, content in enumerate(written.get(name, []), start=1):
        table = _Table(f"{name}[{number}]", content)
        called = content.get("name")
        if not isinstance(called, str) or not called.strip():
            raise SheetRefused(f"missing; give every {name} a name", field=table.field("name"))
        key = " ".join(called.casefold().split())
        if key in seen:
            reason = (
                f"that is the {name} on the sheet, which is always a choice"
                if key == AS_MEASURED
                else f"two choices are called {short(called)}; give each its own name"
            )
            raise SheetRefused(reason, field=table.field("name"))
        seen.add(key)
        choices.append(choice(table, called))
    return choices


def _gasket(table: _Table, name: str) -> GasketOption:
    given = {field: table.reading(field, limit) for field, limit in _GASKET.items()}
    with within(table.place):
        gasket = Gasket(
            bore=given["bore"],
            compressed_thickness=given["compressed_thickness"],
            poured=given["volume"],
            free_thickness=given["free_thickness"],
        )
    return GasketOption(name, gasket, table.price)


def _piston(table: _Table, name: str) -> PistonOption:
    given = {field: table.reading(field, limit) for field, limit in _PISTON.items()}
    with within(table.place):
        piston = Piston(**{field: value for field, value in given.items() if value is not None})
    rise = table.length("compression_height_change", RISE, NO_LENGTH)
    return PistonOption(name, piston, rise, table.price)


def _deck_cut(written: Mapping[str, Any]) -> Cut | None:
    if "deck_cut" not in written:
        return None
    table = _Table("deck_cut", written["deck_cut"])
    return Cut(*_step_and_largest(table, DECK_CUT), table.price)


def _head_cut(written: Mapping[str, Any]) -> HeadCut | None:
    if "head_cut" not in written:
        return None
    table = _Table("head_cut", written["head_cut"])
    step, largest = _step_and_largest(table, HEAD_CUT)
    if ("cc_per_mm" in table) == ("open_area" in table):
        raise SheetRefused(
            "one of cc_per_mm and open_area is wanted: what a cut takes off a chamber",
            field="head_cut",
        )
    if "open_area" in table:
        area = table.length("open_area", OPEN_AREA)
    else:
        with within("head_cut.cc_per_mm"):
            area = open_area_of(_number(table.content["cc_per_mm"], *CC_PER_MM))
    return HeadCut(step, largest, table.price, open_area=area)


def _step_and_largest(table: _Table, limit: Limit) -> tuple[pint.Quantity, pint.Quantity]:
    step, largest = table.length("step", _STEP), table.length("max", limit)
    if 0 < in_mm(largest) < in_mm(step) * (1 - 1e-9):
        raise SheetRefused(
            f"{show(largest, 'mm')} is less than one step of {show(step, 'mm')}",
            field=table.field("max"),
        )
    if Cut(step, largest).steps > MOST_STEPS:
        raise SheetRefused(
            f"more than {MOST_STEPS} steps up to the largest cut; no shop cuts so finely",
            field=table.field("step"),
        )
    return step, largest


def _tolerances(table: _Table) -> Tolerances:
    return Tolerances(
        **{name: table.length(name, _TOLERANCE, NO_LENGTH) for name in _FIELDS["tolerances"]}
    )
