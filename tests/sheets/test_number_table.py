"""The kit's small table against pandas."""

from __future__ import annotations

import io
import math
import operator
from collections.abc import Callable
from pathlib import Path

import pandas
import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.formulas.geometry import disc
from enginemath.sheets.kit_data import cars, path
from enginemath.sheets.number_table import Column, NumberTable
from enginemath.units import Refused

numbers = st.one_of(st.none(), st.integers(-900, 900), st.floats(-900, 900))
columns = st.lists(numbers, min_size=1, max_size=12)


def as_pandas(column: list[float | None]) -> pandas.Series:
    return pandas.Series(column, dtype=float)


def same(mine: Column, theirs: pandas.Series) -> bool:
    """What is not known here is no number there."""
    return [math.nan if item is None else item for item in mine] == pytest.approx(
        theirs.tolist(), nan_ok=True
    )


@pytest.fixture(scope="module")
def frame() -> pandas.DataFrame:
    return pandas.read_csv(path("cars-1985.csv"))


@pytest.mark.parametrize("work", [operator.add, operator.sub, operator.mul])
@given(columns, st.floats(-9, 9), st.data())
def test_sums_of_columns(
    work: Callable[[object, object], object], left: list, number: float, data: st.DataObject
) -> None:
    right = data.draw(st.lists(numbers, min_size=len(left), max_size=len(left)))
    mine, theirs = (Column(left), Column(right)), (as_pandas(left), as_pandas(right))
    assert same(work(*mine), work(*theirs))
    assert same(work(mine[0], number), work(theirs[0], number))
    assert same(work(number, mine[0]), work(number, theirs[0]))


@given(columns)
def test_quotients_powers_and_signs(items: list) -> None:
    mine, theirs = Column(items), as_pandas(items)
    assert same(mine / 7, theirs / 7)
    assert same(100 / (abs(mine) + 1), 100 / (theirs.abs() + 1))
    assert same(-(mine**2), -(theirs**2))


@given(columns, st.integers(-900, 900))
def test_rows_by_yes_and_no(items: list, limit: int) -> None:
    table, frame = NumberTable({"x": items}), pandas.DataFrame({"x": as_pandas(items)})
    for work in (operator.lt, operator.le, operator.gt, operator.ge, operator.eq):
        assert same(table[work(table.x, limit)].x, frame[work(frame.x, limit)].x)
    assert same(table[table.x.between(-5, limit)].x, frame[frame.x.between(-5, limit)].x)
    these = items[:2]
    known = [item for item in these if item is not None]
    assert same(table[table.x.among(known)].x, frame[frame.x.isin(known)].x)


def test_the_cars_are_read_alike(frame: pandas.DataFrame) -> None:
    table = cars()
    assert table.names == list(frame.columns)
    for name in table.names:
        if frame[name].dtype.kind in "if":
            assert same(table[name], frame[name])
        else:
            assert list(table[name]) == frame[name].tolist()
    known, theirs = table.known("bore_in"), frame.dropna(subset="bore_in")
    swept = known.cylinders * disc(known.bore_in, known.stroke_in)
    assert same(swept, theirs.cylinders * disc(theirs.bore_in, theirs.stroke_in))


def test_print_reads_back(frame: pandas.DataFrame) -> None:
    table = cars().known().first(20)
    back = pandas.read_csv(io.StringIO(str(table)), sep=r"\s\s+", engine="python")
    assert back.equals(frame.dropna().head(20).reset_index(drop=True))


def test_words_stand_left_and_numbers_right() -> None:
    table = NumberTable(
        {"fuel": ["gas", "diesel", None], "off": [0.5, -12.345, None], "n": [1, 20, 3]}
    )
    assert str(table).splitlines() == [
        "fuel       off   n",
        "gas       0.50   1",
        "diesel  -12.35  20",
        "-            -   3",
    ]
    assert repr(table) == str(table)


def test_bad_input_is_refused_in_a_sentence(tmp_path: Path) -> None:
    table = NumberTable({"x": [1, 2]})
    with pytest.raises(AttributeError, match="no column bores; there are: x"):
        table.bores  # noqa: B018
    with pytest.raises(AttributeError, match="no column y"):
        table["y"]
    with pytest.raises(Refused, match="2 rows does not fit one of 1"):
        table.x + Column([1])
    with pytest.raises(Refused, match="y: 3 rows, the table has 2"):
        table.with_columns(y=Column([1, 2, 3]))
