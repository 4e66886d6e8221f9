"""Every length of a report is in its shop's own unit; the other may stand in brackets behind it.

Left as they are: the table "as measured", which has a column for each unit, and a finish in µm.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from enginemath.change.plan_report import plan_report, plan_text
from enginemath.change.price_list import Options
from enginemath.change.price_list_file import parse_options, read_options
from enginemath.change.work_order import first_orders, order_text
from enginemath.engine.rules_of_thumb import SQUISH
from enginemath.sheets import Sheet, parse, read_sheet
from enginemath.sheets.ratio_report import ratio_text, sheet_report
from enginemath.units import shop_unit
from tests.change import eight

KIT = Path(__file__).parents[3] / "datasets"
OTHER = {"mm": "in", "in": "mm"}


def in_the_other_unit(text: str, unit: str) -> list[str]:
    """Lengths that are not in the unit; what stands in brackets behind one that is is passed."""
    flat = re.sub(r"\s+", " ", text)
    number = r"(?:[-−]?[\d.]+(?: ± [\d.]+)?(?: to )?)+"
    beside = rf"({number} {unit}) \({number} {OTHER[unit]}\)"
    return re.findall(rf"{number} {OTHER[unit]}\b(?! (?:price|it)\b)", re.sub(beside, r"\1", flat))


def engine_text(dice: random.Random, unit: str) -> tuple[str, str]:
    """A four-cylinder whose decks, chambers and squish deserve a word, and what could be done."""

    def length(mm: float) -> str:
        return f"{mm / 25.4:.4f} in" if unit == "in" else f"{mm:.3f} mm"

    bore = dice.uniform(70, 105)
    decks = ", ".join(f'"{length(dice.uniform(0.1, 0.6))}"' for _ in range(4))
    swept = 3.1416 / 4 * bore**3 / 1000
    chambers = ", ".join(f'"{swept * dice.uniform(0.09, 0.1):.1f} ± 0.3 cc"' for _ in range(4))
    # A gasket of some makers is poured, and thick by a slip.
    poured = dice.random() < 0.3
    gasket = (
        f'volume = "{3.1416 / 4 * bore**2 * 6 / 1000:.1f} cc"'
        if poured
        else f'bore = "{length(bore * dice.choice([1.01, 1.2]))}"\n'
        f'compressed_thickness = "{length(dice.choice([0.6, 1.1, 2.0, 3.5]))}"'
    )
    sheet = f"""format = 1
name = "four"
[cylinder]
count = 4
bore = "{length(bore)}"
stroke = "{length(bore * 0.98)}"
[chamber]
volumes = [{chambers}]
[gasket]
{gasket}
[deck]
clearances = [{decks}]
"""
    options = f"""format = 1
[target]
ratio = [8, 14]
squish = ["{length(0.3)}", "{length(2.5)}"]
[limits]
deck_clearance_min = "{length(-0.5)}"
[tolerances]
deck_cut = "{length(0.02)}"
[deck_cut]
step = "{length(0.1)}"
max = "{length(0.2)}"
price = 100
[[gasket]]
name = "new"
bore = "{length(bore + dice.choice([-1, 1]))}"
compressed_thickness = "{length(dice.choice([0.7, 1.4]))}"
price = 40
[[piston]]
name = "next size"
overbore = "{length(0.5)}"
deeper_valve_pockets = "{length(0)}"
dish = "2 cc"
price = 300
"""
    return sheet, options


def random_engines(unit: str) -> Iterator[tuple[Sheet, Options]]:
    for seed in range(8):
        sheet, options = engine_text(random.Random(seed), unit)
        yield parse(sheet), parse_options(options)


def kit_engines(unit: str) -> Iterator[tuple[Sheet, Options]]:
    if unit == "in":
        yield parse(eight.SHEET), parse_options(eight.OPTIONS)
    for name in ("heron-four", "heron-eight"):
        sheet = read_sheet(KIT / f"{name}.toml")
        if shop_unit(sheet.engine.cylinder.bore) == unit:
            yield sheet, read_options(KIT / f"{name}-options.toml")


@pytest.mark.parametrize("engines", [random_engines, kit_engines])
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_report_has_lengths_of_its_own_unit_alone(
    engines: Callable[[str], Iterator[tuple[Sheet, Options]]], unit: str
) -> None:
    warned = 0
    for sheet, options in engines(unit):
        plan = plan_report(sheet, options)
        assert plan["unit"] == unit
        report = sheet_report(sheet)
        warned += sum("deck clearances differ" in warning for warning in report["warnings"])
        assert not in_the_other_unit(ratio_text(sheet.engine, report), unit)
        assert not in_the_other_unit(plan_text(plan), unit)
        assert plan["plans"] or plan["nearest_misses"]
        for order in first_orders(sheet, options, 1):
            text = order_text(order)
            agreed, _, measured = text.partition("The engine as measured")
            assert measured
            assert not in_the_other_unit(agreed, unit)
    assert warned or engines is kit_engines


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_another_unit_is_asked_for(unit: str) -> None:
    for sheet, options in random_engines(OTHER[unit]):
        text = ratio_text(sheet.engine, sheet_report(sheet, unit), unit)
        as_read = r"(gasket bore|bore|gasket thickness) [\d.]+ \w+"
        plan = plan_text(plan_report(sheet, options, unit=unit))
        for said in (text, plan):
            assert "deck clearances differ" not in said or f" {unit}: read" in said
            assert not in_the_other_unit(re.sub(as_read, r"\1", said.split("\n!")[0]), unit)


def test_the_test_sees_a_length_of_the_other_unit() -> None:
    assert in_the_other_unit("squish 1.2\nmm and 0.035 to 0.045 in (0.9 to 1.15 mm)", "in")
    assert not in_the_other_unit("squish 0.0350 in (0.889 mm), 0.9 ± 0.1 in (20 ± 2 mm)", "in")


@pytest.mark.parametrize(
    ("squish", "in_mm", "in_inches", "place"),
    [
        (1.5799, "1.58 mm", "0.0622 in", "above"),
        (0.8885, "0.8885 mm", "0.0350 in", "inside"),  # as printed it is the end itself
        (0.85, "0.85 mm", "0.0335 in", "below"),
    ],
)
def test_a_rule_of_thumb_is_led_by_the_shops_unit(
    squish: float, in_mm: str, in_inches: str, place: str
) -> None:
    assert SQUISH.place(squish) == place
    assert f": {in_mm} is " in SQUISH.says(squish)
    assert "0.9 to 1.15 mm (0.035 to 0.045 in)" in SQUISH.says(squish)
    assert f": {in_inches} is " in SQUISH.says(squish, "in")
    assert "0.035 to 0.045 in (0.9 to 1.15 mm)" in SQUISH.says(squish, "in")
