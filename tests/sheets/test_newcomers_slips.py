"""What a newcomer writes into a first sheet: each slip is told in shop words, with its line."""

from __future__ import annotations

import pytest

from enginemath.engine.unusual import warnings
from enginemath.sheets.build_sheet import EXAMPLE, parse
from enginemath.sheets.text_file import SheetRefused

BORE = 'bore = "92.0 mm"'
AS_BENCH_SHEET = EXAMPLE.replace("format = 1", "format = 2")


def refused(text: str) -> SheetRefused:
    with pytest.raises(SheetRefused) as refusal:
        parse(text)
    return refusal.value


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("bore = 3.5 in", '3.5 in: write it in quotes, bore = "3.5 in"'),
        ("bore = 92mm  # standard", '92mm: write it in quotes, bore = "92 mm"'),
        ('bore = 3.5"', 'write it in quotes, bore = "3.5 in"'),
        ("bore = 3.5 ± 0.1 in", 'write it in quotes, bore = "3.5 ± 0.1 in"'),
        ("bore = .040", 'write the number and its unit in quotes, bore = "0.040 in"'),
        ("bore = 92.", 'write the number and its unit in quotes, bore = "92 in"'),
        ("bore = 92,0", 'write a point, and the unit, in quotes, bore = "92.0 mm"'),
        ("bore = 92,0 mm", 'write a point, and the unit, in quotes, bore = "92.0 mm"'),
        ("bore = “92.0 mm”", 'the quotes are curly; write straight ones, bore = "92.0 mm"'),
        ('bore = "92.0 mm”', 'the quotes are curly; write straight ones, bore = "92.0 mm"'),
        ("bore = ‘92.0 mm’", 'the quotes are curly; write straight ones, bore = "92.0 mm"'),
    ],
)
def test_a_value_that_is_no_toml(written: str, told: str) -> None:
    refusal = refused(EXAMPLE.replace(BORE, written))
    assert told in str(refusal)
    assert (refusal.line, refusal.field) == (5, "cylinder.bore")


def test_a_bare_number_and_a_count_with_a_word() -> None:
    assert 'in quotes, like "92.0 mm"' in str(refused(EXAMPLE.replace(BORE, "bore = 92.0")))
    assert "write the number alone, count = 4" in str(
        refused(EXAMPLE.replace("count = 4", "count = 4 cylinders"))
    )


@pytest.mark.parametrize("text", [EXAMPLE, AS_BENCH_SHEET])
@pytest.mark.parametrize(
    ("old", "new", "field", "told"),
    [
        ("[gasket]", '[gasket]\nclearance = "0.35 mm"', "gasket.clearance", "belongs below [deck]"),
        ("[deck]", '[deck]\nrod_length = "145 mm"', "deck.rod_length", "below [cylinder]"),
        ("[cylinder]", '[cylinder]\ndish = "6 cc"', "cylinder.dish", "below [piston]"),
        ("[cylinder]", 'bore = "92 mm"\n[cylinder]', "bore", "below [cylinder] or [gasket]"),
        ("compressed_thickness", "thickness", "gasket.thickness", "write compressed_thickness"),
        ("compressed_thickness", "thicknes", "gasket.thicknes", "mean compressed_thickness"),
        (BORE, 'diameter = "92 mm"', "cylinder.diameter", "write bore"),
    ],
)
def test_a_field_in_the_wrong_place_or_by_another_name(
    text: str, old: str, new: str, field: str, told: str
) -> None:
    refusal = refused(text.replace(old, new, 1))
    assert refusal.field == field
    assert told in str(refusal)
    assert "free" not in str(refusal)
    assert refusal.line


def test_a_free_thickness_that_was_meant_is_still_suggested() -> None:
    text = EXAMPLE.replace("free_thickness", "free_thicknes")
    assert "did you mean free_thickness?" in str(refused(text))


@pytest.mark.parametrize("text", [EXAMPLE, AS_BENCH_SHEET])
def test_a_rod_shorter_than_the_stroke(text: str) -> None:
    refusal = refused(text.replace('"145 mm"', '"80 mm"'))
    assert "80 mm, shorter than the stroke 88.5 mm" in str(refusal)
    assert refusal.field == "cylinder.rod_length"


def test_a_chamber_typed_as_the_dish() -> None:
    def said(chamber: str, dish: str) -> str:
        fills = 'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]'
        text = EXAMPLE.replace(fills, f'volume = "{chamber}"').replace('"6.0 cc"', f'"{dish}"')
        return " ".join(warnings(parse(text).engine))

    asked = "dish and chamber are both 47.5 cc: was the chamber typed as the dish?"
    assert asked in said("47.5 cc", "47.5 cc")
    assert "dish 47.5 cc, and chamber 20 cc: are they exchanged?" in said("20 cc", "47.5 cc")
    for chamber, dish in (("47.5 cc", "6.0 cc"), ("12 cc", "14 cc"), ("2 cc", "50 cc")):
        assert "dish" not in said(chamber, dish)


def test_a_chamber_that_is_missing_beside_a_dish_of_its_size() -> None:
    sheet = 'format = 2\nname = "x"\n[cylinder]\ncount = 4\n[piston]\ndish = "64 cc"\n'
    assert "chamber (the dish of 64.00 cc is large for a dish: is that the chamber?)" in str(
        refused(sheet)
    )
    assert "large" not in str(refused(sheet.replace("64", "6")))


def test_all_that_is_missing_is_named_at_once_in_bench_order() -> None:
    told = str(refused('format = 1\nname = "x"\n[cylinder]\ncount = 4\nbore = "92 mm"\n'))
    assert told.endswith(
        "missing: cylinder.stroke, deck.clearance, chamber.volume, gasket.bore, "
        "gasket.compressed_thickness"
    )
    told = str(refused('format = 2\nname = "x"\n[cylinder]\ncount = 4\nbore = "92 mm"\n'))
    assert told.endswith(
        "readings missing: stroke or depth at bdc, deck clearance, chamber, gasket bore, "
        "compressed thickness"
    )


def test_curly_quotes_inside_braces() -> None:
    refusal = refused(EXAMPLE.replace(BORE, "known_depth = { depth = ”6 mm”, poured = ”17 cc” }"))
    assert 'write straight ones, known_depth = { depth = "6 mm", poured = "17 cc" }' in str(refusal)
