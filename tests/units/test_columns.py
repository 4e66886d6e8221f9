from __future__ import annotations

from enginemath.units.columns import in_columns


def test_a_column_is_as_wide_as_its_widest_cell_and_nothing_trails() -> None:
    rows = [("a", "bbb", ""), ("aaaa", "b", "c")]
    assert in_columns(rows) == ["a     bbb", "aaaa  b    c"]


def test_cells_end_level_where_wanted() -> None:
    rows = [("9.83", "cc"), ("10.02", "cu in")]
    assert in_columns(rows, right=[0]) == [" 9.83  cc", "10.02  cu in"]
