"""A short table of numbers, worked on a column at a time, in plain Python."""

from __future__ import annotations

import csv
import operator
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from enginemath.units import Refused
from enginemath.units.columns import in_columns

DIGITS = 2
"""Decimals of a number in print, at most."""


class Column(Sequence[Any]):
    """Numbers or words, one for each row; what is done to a column is done to each.

    None stands for what is not known, and whatever is worked out from it is not known either.

    >>> bore = Column([3.47, None, 2.68])
    >>> print(bore + 0.03, bore > 3)
    3.50, -, 2.71 yes, -, no
    """

    def __init__(self, items: Iterable[Any]):
        self._items = tuple(items)

    def __len__(self) -> int:
        return len(self._items)

    def __getitem__(self, which: Any) -> Any:
        found = self._items[which]
        return Column(found) if isinstance(which, slice) else found

    def __iter__(self) -> Iterator[Any]:
        return iter(self._items)

    def __str__(self) -> str:
        return ", ".join(_printed(self))

    __repr__ = __str__

    def _each(self, work: Callable[[Any], Any]) -> Column:
        return Column(None if item is None else work(item) for item in self)

    def _with(self, other: Any, work: Callable[[Any, Any], Any]) -> Column:
        if not isinstance(other, Column):
            return self._each(lambda mine: work(mine, other))
        if len(self) != len(other):
            raise Refused(f"a column of {len(self)} rows does not fit one of {len(other)}")
        pairs = zip(self, other, strict=True)
        return Column(None if a is None or b is None else work(a, b) for a, b in pairs)

    def __add__(self, other: Any) -> Column:
        return self._with(other, operator.add)

    def __sub__(self, other: Any) -> Column:
        return self._with(other, operator.sub)

    def __mul__(self, other: Any) -> Column:
        return self._with(other, operator.mul)

    def __truediv__(self, other: Any) -> Column:
        return self._with(other, operator.truediv)

    def __pow__(self, other: Any) -> Column:
        return self._with(other, operator.pow)

    def __radd__(self, other: Any) -> Column:
        return self._with(other, lambda mine, given: given + mine)

    def __rsub__(self, other: Any) -> Column:
        return self._with(other, lambda mine, given: given - mine)

    def __rmul__(self, other: Any) -> Column:
        return self._with(other, lambda mine, given: given * mine)

    def __rtruediv__(self, other: Any) -> Column:
        return self._with(other, lambda mine, given: given / mine)

    def __neg__(self) -> Column:
        return self._each(operator.neg)

    def __abs__(self) -> Column:
        return self._each(abs)

    def __lt__(self, other: Any) -> Column:
        return self._with(other, operator.lt)

    def __le__(self, other: Any) -> Column:
        return self._with(other, operator.le)

    def __gt__(self, other: Any) -> Column:
        return self._with(other, operator.gt)

    def __ge__(self, other: Any) -> Column:
        return self._with(other, operator.ge)

    def __eq__(self, other: Any) -> Column:  # type: ignore[override]
        return self._with(other, operator.eq)

    __hash__ = None  # type: ignore[assignment]

    def between(self, low: float, high: float) -> Column:
        """Whether each is in a range, its ends included.

        >>> print(Column([1, 2, 3]).between(2, 3))
        no, yes, yes
        """
        return self._each(lambda item: low <= item <= high)

    def among(self, these: Iterable[Any]) -> Column:
        """Whether each is one of these.

        >>> print(Column([54, 55, 56]).among([55, 112]))
        no, yes, no
        """
        wanted = set(these)
        return self._each(lambda item: item in wanted)


class NumberTable:
    """Columns by name, rows in order.

    A column is asked for by its name, rows by a column of yes and no:

    >>> cars = NumberTable({"row": [1, 2, 3], "bore_in": [3.47, None, 2.68]})
    >>> print(cars[cars.bore_in > 3])
    row  bore_in
      1     3.47
    """

    def __init__(self, columns: Mapping[str, Iterable[Any]]):
        self._columns = {name: Column(column) for name, column in columns.items()}

    @classmethod
    def read(cls, file: Path) -> NumberTable:
        """The rows of a CSV file; a column in which all is numbers is one of numbers."""
        with file.open(encoding="utf-8", newline="") as lines:
            rows = list(csv.DictReader(lines))
        return cls({name: _read([row[name] for row in rows]) for name in rows[0]})

    @property
    def names(self) -> list[str]:
        """Names of the columns."""
        return list(self._columns)

    def __len__(self) -> int:
        return len(next(iter(self._columns.values()), ()))

    def __getattr__(self, name: str) -> Column:
        columns = self.__dict__.get("_columns", {})
        if name in columns:
            return columns[name]
        raise AttributeError(f"no column {name}; there are: {', '.join(columns)}")

    def __getitem__(self, which: str | Column | Sequence[str]) -> Any:
        if isinstance(which, str):
            return getattr(self, which)
        if isinstance(which, Column):
            return self._where([bool(keep) for keep in which])
        return NumberTable({name: getattr(self, name) for name in which})

    def _where(self, kept: Sequence[bool]) -> NumberTable:
        return NumberTable(
            {
                name: [item for item, keep in zip(column, kept, strict=True) if keep]
                for name, column in self._columns.items()
            }
        )

    def known(self, *names: str) -> NumberTable:
        """The rows in which these columns are known; all columns where none is named.

        >>> len(NumberTable({"bore_in": [3.47, None, 2.68]}).known("bore_in"))
        2
        """
        columns = [getattr(self, name) for name in names or self.names]
        return self._where([None not in row for row in zip(*columns, strict=True)])

    def first(self, count: int) -> NumberTable:
        """The first few rows."""
        return NumberTable({name: column[:count] for name, column in self._columns.items()})

    def with_columns(self, **columns: Column) -> NumberTable:
        """The same rows with more columns."""
        for name, column in columns.items():
            if len(column) != len(self):
                raise Refused(f"{name}: {len(column)} rows, the table has {len(self)}")
        return NumberTable({**self._columns, **columns})

    def __str__(self) -> str:
        printed = [[name, *_printed(column)] for name, column in self._columns.items()]
        numbers = [
            place
            for place, column in enumerate(self._columns.values())
            if not any(isinstance(item, str) for item in column)
        ]
        return "\n".join(in_columns(list(zip(*printed, strict=True)), right=numbers))

    __repr__ = __str__


def _read(texts: Sequence[str]) -> list[Any]:
    """Whole numbers, else numbers, else words; an empty place is not known."""
    for kind in (int, float):
        try:
            return [kind(text) if text else None for text in texts]
        except ValueError:
            continue
    return [text or None for text in texts]


def _printed(column: Column) -> list[str]:
    """As few decimals as show all the numbers, up to the most that are printed."""
    floats = [round(item, DIGITS) for item in column if isinstance(item, float)]
    places = max((len(repr(item).partition(".")[2]) for item in floats), default=0)
    return [_one(item, places) for item in column]


def _one(item: Any, places: int) -> str:
    if item is None:
        return "-"
    if isinstance(item, bool):
        return "yes" if item else "no"
    return f"{item:.{places}f}" if isinstance(item, float) else str(item)
