"""The one reader of TOML tables: what a field must be, and how a refusal names it."""

from __future__ import annotations

from typing import Any

import pytest

from enginemath.engine import limits
from enginemath.sheets.text_file import SheetRefused
from enginemath.sheets.toml_table import Table, check_layout, table_of, tables_of

GASKET = {"bore": "93.2 mm", "price": 38, "many": 4, "band": [9.0, 9.5]}


@pytest.fixture
def gasket() -> Table:
    return Table("gasket[2]", GASKET)


def test_a_reading_that_is_asked_for_twice_is_one_reading() -> None:
    table = Table("gasket", {"bore": "93.2 ± 0.1 mm"})
    first, second = (table.reading("bore", limits.GASKET_BORE) for _ in range(2))
    assert first is not None
    assert first is second
    assert (first - second).m.std_dev == 0


def test_what_is_not_there(gasket: Table) -> None:
    assert gasket.reading("volume", limits.GASKET_VOLUME) is None
    assert gasket.written("volume") is None
    assert "volume" not in gasket
    assert list(gasket) == list(GASKET)
    assert len(gasket) == 4


def test_numbers(gasket: Table) -> None:
    assert gasket.number("price", 0, 100) == 38
    assert gasket.whole_number("many", 1, 4) == 4
    assert gasket.pair("band", float) == (9.0, 9.5)


@pytest.mark.parametrize("value", [True, "38", [38], {}, None])
def test_what_is_no_number(value: Any) -> None:
    table = Table("gasket[2]", {"price": value})
    with pytest.raises(SheetRefused, match=r"gasket\[2\].price: .*: write a number, without"):
        table.number("price", 0, 100)
    with pytest.raises(SheetRefused, match=r": write a number from 0 to 100, like 38$"):
        table.number("price", 0, 100, like="38")
    with pytest.raises(SheetRefused, match="write a whole number from 0 to 100, without quotes"):
        table.whole_number("price", 0, 100)


@pytest.mark.parametrize("value", [-0.1, 100.1, float("nan"), float("inf"), 10**400])
def test_a_number_out_of_its_bounds(value: float) -> None:
    """The last one is more than a float holds."""
    with pytest.raises(SheetRefused, match=r"price: .*write a number from 0 to 100"):
        Table("gasket", {"price": value}).number("price", 0, 100)


def test_a_count_is_no_float() -> None:
    with pytest.raises(SheetRefused, match=r"4.0: write a whole number"):
        Table("cylinder", {"count": 4.0}).whole_number("count", 1, 24)


@pytest.mark.parametrize("pair", [9.0, [9.0], [9.0, 9.5, 10.0], {"low": 9.0}])
def test_a_range_has_two_ends(pair: Any) -> None:
    with pytest.raises(SheetRefused, match=r"band: .*the lower and the upper end are wanted"):
        Table("gasket", {"band": pair}).pair("band", float)


def test_an_unknown_field_with_the_one_that_was_meant(gasket: Table) -> None:
    with pytest.raises(SheetRefused, match=r"^gasket\[2\].many: unknown; no such field$"):
        gasket.only({"bore", "price", "band"})
    with pytest.raises(SheetRefused, match=r"^gasket\[2\].bore: unknown; did you mean bores\?$"):
        gasket.only({"bores"})


def test_tables_under_one_name() -> None:
    written = {"gasket": [{"price": 1}, {"price": 2}], "deck": {}}
    assert [table.place for table in tables_of(written, "gasket")] == ["gasket[1]", "gasket[2]"]
    assert tables_of(written, "piston") == []
    assert list(table_of(written, "limits")) == []


@pytest.mark.parametrize(
    ("written", "refusal"),
    [
        ({"deck": 3}, r"^deck: 3: a table is wanted, \[deck\]$"),
        ({"deck": [{}]}, r"^deck: \[a table\]: a table is wanted, \[deck\]$"),
        ({"gasket": {}}, r"^gasket: one table for each gasket is wanted, each under \[\[gasket\]"),
        ({"gasket": [{}, 3]}, r"^gasket: one table for each gasket is wanted"),
        ({"gasket": [{}, {"bora": 1}]}, r"^gasket\[2\].bora: unknown; did you mean bore\?$"),
        ({"formt": 1}, r"^formt: unknown; did you mean format\?$"),
    ],
)
def test_a_layout_is_kept(written: dict[str, Any], refusal: str) -> None:
    layout = {"deck": ("clearance",), "gasket": ("bore",)}
    with pytest.raises(SheetRefused, match=refusal):
        check_layout(written, layout, lists=("gasket",))
