"""A TOML table as somebody wrote it: each field is checked as it is read, and refused by its name.

Build sheets and price lists are read with it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import AbstractContextManager
from typing import Any

import pint

from enginemath.engine.limits import Limit
from enginemath.sheets.text_file import SheetRefused, short, within
from enginemath.units import Refused

Layout = Mapping[str, Collection[str]]
"""The tables that a file may hold, and the fields of each."""


class Table:
    """The fields of one table.

    A field is checked when it is asked for, and read once: a reading that is asked for twice is
    one reading, with one uncertainty.

    Args:
        place: the name that a refusal says, such as ``gasket[2]``.
        fields: as written.

    >>> from enginemath.engine.limits import BORE
    >>> table = Table("cylinder", {"bore": "92.0 mm", "stroke": 88.5})
    >>> print(table.reading("bore", BORE))
    92.0 millimeter
    >>> table.reading("stroke", BORE)
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: cylinder.stroke: 88.5: write the number and its \
unit in quotes, like "92.0 mm"
    """

    def __init__(self, place: str, fields: Mapping[str, Any]):
        self.place, self.fields = place, fields
        self._read: dict[str, pint.Quantity] = {}

    def __contains__(self, name: str) -> bool:
        return name in self.fields

    def __iter__(self) -> Iterator[str]:
        return iter(self.fields)

    def __len__(self) -> int:
        return len(self.fields)

    def written(self, name: str) -> Any:
        """A field as written; None where there is none."""
        return self.fields.get(name)

    def refusal(self, name: str, reason: str) -> SheetRefused:
        """One field with what is wrong with it, to be raised."""
        return SheetRefused(reason, field=f"{self.place}.{name}")

    def within(self, name: str) -> AbstractContextManager[None]:
        """Put the field's name in front of whatever is refused inside."""
        return within(f"{self.place}.{name}")

    def only(self, known: Collection[str]) -> None:
        """Refuse a field that is not known, with the one that was perhaps meant."""
        for name in self.fields:
            if name not in known:
                raise self.refusal(name, unknown(name, known))

    def reading(self, name: str, limit: Limit) -> pint.Quantity | None:
        """A text with a unit, perhaps with ±; None where there is none.

        Raises:
            SheetRefused: it cannot be; names the field.
        """
        if self.written(name) is None:
            return None
        if name not in self._read:
            with self.within(name):
                self._read[name] = reading_of(self.fields[name], limit)
        return self._read[name]

    def number(self, name: str, low: float, high: float, like: str = "") -> float:
        """A bare number from `low` to `high`, such as `like`.

        Raises:
            SheetRefused: it is not; names the field.
        """
        with self.within(name):
            return number_of(self.fields[name], low, high, like)

    def whole_number(self, name: str, low: int, high: int) -> int:
        """A bare whole number from `low` to `high`.

        Raises:
            SheetRefused: it is not; names the field.
        """
        value = self.fields[name]
        if type(value) is not int or not low <= value <= high:
            reason = f"write a whole number from {low} to {high}, without quotes"
            raise self.refusal(name, f"{short(value)}: {reason}")
        return value

    def pair(self, name: str, end_of: Callable[[Any], Any]) -> tuple[Any, Any]:
        """The lower and the upper end of a range, each read by `end_of`.

        Raises:
            SheetRefused: there are not two ends, they are exchanged, or one of them cannot be.
        """
        pair = self.fields[name]
        with self.within(name):
            if not isinstance(pair, list) or len(pair) != 2:
                raise Refused(f"{short(pair)}: the lower and the upper end are wanted, [low, high]")
            low, high = (end_of(end) for end in pair)
            if low > high:
                raise Refused("the lower end is above the upper end; exchanged?")
        return low, high


def check_format(written: Mapping[str, Any], what: str, newest: int = 1) -> None:
    """Refuse a file without a format, and one from a newer kit.

    Args:
        written: the file's tables and fields.
        what: what the file is called in the refusal.
        newest: the newest format that this kit reads.

    Raises:
        SheetRefused: says which format to write.

    >>> check_format({"format": 7}, "sheet")
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: format: 7: this kit reads format 1; the sheet is \
from a newer kit
    """
    found = written.get("format")
    if found is None:
        later = f" (or {newest})" if newest > 1 else ""
        reason = f"missing; write format = 1 on the first line{later}"
    elif type(found) is not int or found < 1:
        reason = f"{short(found)}: write format = 1{f' or {newest}' if newest > 1 else ''}"
    elif found > newest:
        reason = f"{short(found)}: this kit reads format {newest}; the {what} is from a newer kit"
    else:
        return
    raise SheetRefused(reason, field="format")


def check_layout(
    written: Mapping[str, Any],
    layout: Layout,
    beside: Collection[str] = ("format",),
    lists: Collection[str] = (),
) -> None:
    """Refuse tables and fields that the layout does not know.

    Args:
        written: the file's tables and fields.
        layout: the tables that are known, with the fields of each.
        beside: the fields that stand beside the tables.
        lists: the tables that may stand several times, each under ``[[its name]]``.

    Raises:
        SheetRefused: names the table or the field.

    >>> check_layout({"format": 1, "dekc": {}}, {"deck": {"clearance"}})
    Traceback (most recent call last):
        ...
    enginemath.sheets.text_file.SheetRefused: dekc: unknown; did you mean deck?
    """
    for name, content in written.items():
        if name in beside:
            continue
        if name not in layout:
            where = "" if isinstance(content, (Mapping, list)) else _belongs(name, layout, "")
            raise SheetRefused(where or unknown(name, {*layout, *beside}), field=name)
        tables = _tables(name, content) if name in lists else [_table(name, content)]
        for table in tables:
            for field in table:
                if field not in layout[name]:
                    raise table.refusal(field, _misplaced(field, name, layout))


_MEANT = {
    ("gasket", "thickness"): "compressed_thickness",
    ("gasket", "diameter"): "bore",
    ("cylinder", "diameter"): "bore",
    ("cylinder", "rod"): "rod_length",
    ("cylinder", "cylinders"): "count",
    ("chamber", "size"): "volume",
    ("chamber", "cc"): "volume",
    ("deck", "depth"): "clearance",
    ("deck", "height"): "block_height",
}
"""The trade's word for a field, where another word is the field's name."""


def _misplaced(field: str, table: str, layout: Layout) -> str:
    """What to say of a field that its table does not know."""
    known = layout[table]
    meant = _MEANT.get((table, field), "")
    if meant in known:
        return f"unknown; write {meant}"
    return _belongs(field, layout, table) or unknown(field, known)


def _belongs(field: str, layout: Layout, table: str) -> str:
    """The tables to which a field belongs; empty where none knows it."""
    tables = [f"[{name}]" for name, fields in layout.items() if field in fields and name != table]
    if not tables:
        return ""
    *first, last = tables
    return f"unknown here; it belongs below {' or '.join([*first, last])}"


def _table(name: str, content: Any) -> Table:
    if not isinstance(content, Mapping):
        raise SheetRefused(f"{short(content)}: a table is wanted, [{name}]", field=name)
    return Table(name, content)


def _tables(name: str, content: Any) -> list[Table]:
    if not isinstance(content, list) or not all(isinstance(one, Mapping) for one in content):
        raise SheetRefused(
            f"one table for each {name} is wanted, each under [[{name}]]", field=name
        )
    return tables_of({name: content}, name)


def tables_of(written: Mapping[str, Any], name: str) -> list[Table]:
    """The tables that stand under one name, the first with the place ``name[1]``."""
    return [
        Table(f"{name}[{number}]", one) for number, one in enumerate(written.get(name, ()), start=1)
    ]


def table_of(written: Mapping[str, Any], name: str) -> Table:
    """The table of that name; empty where there is none."""
    return Table(name, written.get(name, {}))


def reading_of(value: Any, limit: Limit) -> pint.Quantity:
    """A reading must be text: a bare number has no unit."""
    if not isinstance(value, str):
        raise Refused(f'{short(value)}: write the number and its unit in quotes, like "92.0 mm"')
    return limit.accept(value)


def number_of(value: Any, low: float, high: float, like: str = "") -> float:
    """A bare number within its bounds, such as `like`."""
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if is_number and low <= value <= high:
        return value
    reason = f"write a number from {low:g} to {high:.10g}"
    if like:
        reason += f", like {like}"
    elif not is_number:
        reason = "write a number, without quotes"
    raise Refused(f"{short(value)}: {reason}")


def unknown(name: str, known: Collection[str]) -> str:
    """What to say of a field that is not known."""
    from difflib import get_close_matches

    close = get_close_matches(name, known, n=1, cutoff=0.7)
    if close == ["free_thickness"] and "free" not in name:
        close = ["compressed_thickness"]  # the ratio goes by it; the free one is never suggested
    return f"unknown; did you mean {close[0]}?" if close else "unknown; no such field"
