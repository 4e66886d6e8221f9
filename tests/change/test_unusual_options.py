"""Slips of unit in the options file: said, with what was perhaps meant, and nothing else said."""

from __future__ import annotations

import pytest

from enginemath.change.plan_report import plan_report, plan_text
from enginemath.change.price_list_file import parse_options
from enginemath.change.unusual_options import option_warnings
from enginemath.engine.unusual import warnings
from enginemath.sheets import EXAMPLE, kit_data, parse, read_sheet
from tests.change.options_text import OPTIONS

HERON = kit_data.path("heron-four-options.toml").read_text(encoding="utf-8")


def said(sheet: str, text: str) -> list[str]:
    return list(
        option_warnings(
            read_sheet(kit_data.path(f"heron-{sheet}.toml")).engine, parse_options(text)
        )
    )


@pytest.mark.parametrize(
    ("old", "new", "of_what", "meant"),
    [
        ("cc_per_mm = 4.8", 'open_area = "48 mm**2"', "than a tenth", "48 cm² (4.8 cc per mm)"),
        ("cc_per_mm = 4.8", 'open_area = "7.4 mm**2"', "less than a tenth", "7.4 in²"),
        ("cc_per_mm = 4.8", "cc_per_mm = 48", "larger than the bore", "48 cm² (4.8 cc per mm)"),
        ("cc_per_mm = 4.8", "cc_per_mm = 0.48", "less than a tenth", "48 cm² (4.8 cc per mm)"),
        ('"0.30 mm"', '"0.30 in"', "compression height change 0.3 in", "0.3 mm?"),
        ('"0.90 mm", "1.15 mm"', '"0.035 mm", "0.045 mm"', "squish clearance", "0.035 in?"),
        ('"0.90 mm", "1.15 mm"', '"0.35 in", "0.45 in"', "squish clearance", "0.35 mm?"),
        ('max = "0.40 mm"', 'max = "0.30 in"', "deck cut 0.3 in", "0.3 mm?"),
        ('max = "0.80 mm"', 'max = "0.70 in"', "head cut 0.7 in", "0.7 mm?"),
        ('min = "0.00 mm"', 'min = "0.05 in"', "deck clearance", "0.05 mm?"),
        ('thickness = "1.10 mm"', 'thickness = "0.20 in"', 'gasket "composite"', "0.2 mm?"),
    ],
)  # fmt: skip
def test_a_slip_is_said(old: str, new: str, of_what: str, meant: str) -> None:
    assert old in HERON
    sentences = said("four", HERON.replace(old, new, 1))
    assert of_what in sentences[0]
    assert f"did you mean {meant}" in sentences[0]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("cc_per_mm = 4.8", 'open_area = "48 cm**2"'),
        ("cc_per_mm = 4.8", 'open_area = "7.4 sq in"'),
        ("cc_per_mm = 4.8", "cc_per_mm = 2.5"),
        ("cc_per_mm = 4.8", "cc_per_mm = 6.2"),
        ('"0.30 mm"', '"-1.20 mm"'),
        ('"0.30 mm"', '"0.030 in"'),
        ('"0.90 mm", "1.15 mm"', '"0.035 in", "0.045 in"'),
        ('"0.90 mm", "1.15 mm"', '"0 mm", "1.2 mm"'),
        ('"0.90 mm", "1.15 mm"', '"0.5 mm", "9 mm"'),
        ('min = "0.00 mm"', 'min = "-0.30 mm"'),
        ('max = "0.80 mm"', 'max = "2.5 mm"'),
        ('thickness = "1.10 mm"', 'thickness = "0.13 in"'),
    ],
)
def test_what_may_well_be_meant_is_passed_over(old: str, new: str) -> None:
    assert old in HERON
    assert said("four", HERON.replace(old, new, 1)) == []


@pytest.mark.parametrize("name", ["four", "eight"])
def test_the_kit_s_own_options_are_passed_over(name: str) -> None:
    text = kit_data.path(f"heron-{name}-options.toml").read_text(encoding="utf-8")
    assert said(name, text) == []


def test_slips_are_said_even_where_nothing_fits() -> None:
    text = HERON.replace('"0.90 mm", "1.15 mm"', '"0.035 mm", "0.045 mm"')
    report = plan_report(read_sheet(kit_data.path("heron-four.toml")), parse_options(text))
    assert report["feasible"] == 0
    assert any("did you mean 0.035 in?" in words for words in report["warnings"])
    assert "did you mean 0.035 in?" in " ".join(plan_text(report).split())


def test_a_gasket_that_hangs_in_is_marked_wherever_it_is_listed() -> None:
    small = parse_options(OPTIONS.replace('bore = "93.2 mm"', 'bore = "91.0 mm"'))
    report = plan_report(parse(EXAMPLE), small, 1000)
    assert {plan["gasket"] for plan in report["plans"] if plan["gasket_hangs_in"]} == {"thin"}
    assert {plan["gasket"] for plan in report["front"] if plan["gasket_hangs_in"]} <= {"thin"}
    rows = plan_text(report).splitlines()
    listed = [row for row in rows if " thin " in row and " none" in row]
    assert listed
    assert all("thin (hangs into the bore)" in row for row in listed)
    assert 'gasket "thin": its bore 91.000 mm is smaller than the cylinder\'s 92.000 mm: ' in (
        " ".join(report["warnings"])
    )


@pytest.mark.parametrize("opening", ["91.0 mm", "3.62 in", "91.999 mm"])
def test_sheet_and_options_say_it_of_a_gasket_that_hangs_in_with_the_same_words(
    opening: str,
) -> None:
    """What the sheet's own gasket is said to do is said of the same gasket on offer."""
    engine = parse(EXAMPLE.replace('bore = "93.2 mm"', f'bore = "{opening}"')).engine
    offered = parse_options(OPTIONS.replace('bore = "93.2 mm"', f'bore = "{opening}"'))
    (of_sheet,) = [words for words in warnings(engine) if "hang" in words]
    (of_options,) = [
        words for words in option_warnings(parse(EXAMPLE).engine, offered) if "hang" in words
    ]
    of_sheet = of_sheet.removeprefix("gasket: ").removesuffix("; are they exchanged?")
    assert of_sheet == of_options.removeprefix('gasket "thin": ')
    assert of_sheet.endswith("it would hang into the cylinder")


@pytest.mark.parametrize("opening", ["92.0 mm", "92.001 mm", "3.65 in"])
def test_a_gasket_as_wide_as_the_bore_is_passed_over(opening: str) -> None:
    engine = parse(EXAMPLE.replace('bore = "93.2 mm"', f'bore = "{opening}"')).engine
    offered = parse_options(OPTIONS.replace('bore = "93.2 mm"', f'bore = "{opening}"'))
    assert not any(
        "hang" in words for words in [*warnings(engine), *option_warnings(engine, offered)]
    )
