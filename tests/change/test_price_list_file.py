"""The options file: every field, and every refusal with its field and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from enginemath.change.price_list_file import parse_options, read_options
from enginemath.sheets import kit_data
from enginemath.sheets.text_file import SheetRefused
from tests.change.options_text import OPTIONS


def test_every_field_is_read() -> None:
    options = parse_options(OPTIONS)
    assert (options.target.low, options.target.high, options.target.aim) == (9.8, 10.4, 10.1)
    assert [limit.m_as("mm") for limit in options.target.squish or ()] == [0.90, 1.30]
    assert [choice.name for choice in options.gaskets] == ["as measured", "thin", "poured"]
    assert [choice.price for choice in options.gaskets] == [0, 38, 44.5]
    assert [choice.name for choice in options.pistons] == ["as measured", "flat top"]
    assert options.pistons[1].rise.m_as("mm") == -0.1
    assert options.deck_cut is not None
    assert (options.deck_cut.steps, options.deck_cut.price) == (6, 140)
    assert options.head_cut is not None
    assert options.head_cut.open_area.m_as("cm**2") == pytest.approx(41)
    assert options.tolerances.head_cut.m_as("mm") == 0.02
    assert options.shape == (3, 2, 1, 1, 7, 9)
    assert options.combinations == 378


def test_only_a_target_is_needed() -> None:
    options = parse_options("format = 1\n[target]\nratio = [9, 10]")
    assert options.combinations == 1
    assert options.target.aim == 9.5
    assert options.target.squish is None


@pytest.mark.parametrize("name", ["heron-four-options.toml", "heron-eight-options.toml"])
def test_the_kit_s_own_options(name: str) -> None:
    assert read_options(kit_data.path(name)).combinations > 400


@pytest.mark.parametrize(
    ("step", "largest", "steps"),
    [
        ("0.1 mm", "0.3 mm", 3),  # 0.3 / 0.1 is a little less than 3 in floats
        ("0.05 mm", "0.38 mm", 7),
        ("2 thou", "0.010 in", 5),
        ("0.1 mm", "0 mm", 0),
    ],
)
def test_steps_up_to_the_largest_cut(step: str, largest: str, steps: int) -> None:
    text = OPTIONS.replace(
        'step = "0.05 mm"\nmax = "0.30 mm"', f'step = "{step}"\nmax = "{largest}"'
    )
    assert parse_options(text).shape[4] == steps + 1


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("format = 1\n", "", None, "format: missing"),
        ("format = 1", "format = 2", 1, "the options file is from a newer kit"),
        ("ratio = [9.8, 10.4]\n", "", 3, "target.ratio: missing; write ratio = [9.0, 9.5]"),
        ("[9.8, 10.4]", "[10.4, 9.8]", 4, "target.ratio: the lower end is above the upper end"),
        ("[9.8, 10.4]", "9.8", 4, "target.ratio: 9.8: the lower and the upper end are wanted"),
        ("[9.8, 10.4]", "[0.5, 10.4]", 4, "target.ratio: 0.5: write a number from 1 to 40"),
        ("[9.8, 10.4]", "[1, 10.4]", 4, "target.ratio: a compression ratio lies above 1"),
        ("[9.8, 10.4]", '["9.8", 10.4]', 4, "write a number, without quotes"),
        ("[9.8, 10.4]", "[nan, 10.4]", 4, "target.ratio: nan: write a number"),
        ("aim = 10.1", "aim = 11", 5, "target.aim: 11 lies outside the band 9.8 to 10.4"),
        ("aim = 10.1", "aim = true", 5, "target.aim: true: write a number, without quotes"),
        ('["0.90 mm", "1.30 mm"]', '["1.30 mm", "0.90 mm"]', 6, "target.squish: the lower end"),
        ('["0.90 mm", "1.30 mm"]', "[0.9, 1.3]", 6, "write the number and its unit in quotes"),
        ('"0.90 mm", ', '"0.90 cc", ', 6, "a length is wanted here, and this is a volume"),
        ("deck_clearance_min", "deck_clearence_min", 9, "did you mean deck_clearance_min?"),
        ('"0.00 mm"', '"0.00 ± 0.01 mm"', 9, "how well the work is done belongs under [tolera"),
        ('name = "thin"\n', "", 11, "gasket[1].name: missing; give every gasket a name"),
        ('name = "poured"', 'name = " Thin"', 18, "two choices are called ' Thin'"),
        ('"thin"', '"as measured"', 12, "that is the gasket on the sheet, which is always"),
        ("price = 38\n", "", 11, "gasket[1].price: missing; write price = 0"),
        ("price = 44.5", "price = -1", 21, "gasket[2].price: -1: write a number from 0"),
        ("price = 44.5", "price = 1" + "0" * 400, 21, "write a number from 0"),
        ("price = 44.5", "price = nan", 21, "gasket[2].price: nan: write a number from 0"),
        ('step = "0.05 mm"\nmax', 'step = "5e-324 mm"\nmax', 24, "more than"),
        ("price = 44.5", 'price = "44.5"', 21, "gasket[2].price: '44.5': write a number"),
        ('volume = "6.4 cc"', 'bore = "93.2 in"', 19, "did you mean 93.2 mm?"),
        ('bore = "93.2 mm"\n', "", 11, "gasket[1].bore: bore missing: give a gasket's"),
        ("[[gasket]]\nname = \"thin\"", '[gasket]\nname = "thin"', 17, "gasket: written twice"),
        ("price = 44.5", "price = 44.5\nprice = 45", 22, "gasket[2].price: written twice"),
        ("[[piston]]", "[piston]", 34, "one table for each piston is wanted"),
        ('step = "0.05 mm"\nmax = "0.30', 'step = "0 mm"\nmax = "0.30', 24, "cannot be zero"),
        ('max = "0.30 mm"', 'max = "0.03 mm"', 25, "0.030 mm is less than one step of 0.050 mm"),
        ('max = "0.30 mm"\n', "", 23, "deck_cut.max: missing"),
        ('step = "0.05 mm"\nmax = "0.30 mm"', 'step = "1e-8 mm"\nmax = "0.30 mm"', 24, "more than"),
        ("cc_per_mm = 4.1", "", 28, "one of cc_per_mm and open_area is wanted"),
        ("cc_per_mm = 4.1", 'cc_per_mm = 4.1\nopen_area = "41 cm²"', 28, "one of cc_per_mm and"),
        ("cc_per_mm = 4.1", "cc_per_mm = 0", 31, "head_cut.cc_per_mm: 0 cc per mm"),
        ("cc_per_mm = 4.1", 'open_area = "41 cc"', 31, "an area is wanted here"),
        ('dish = "0 cc"', 'dish = "4 cc"\ndome = "4 cc"', 37, "a dish and a dome at once"),
        ('dish = "0 cc"', "known_depth = 3", 36, "piston[1].known_depth: unknown"),
        ('head_cut = "0.02 mm"', 'head_cut = "2 mm"', 43, "did you mean 2 thou?"),
        ("[tolerances]", "[tolerance]", 41, "tolerance: unknown; did you mean tolerances?"),
        ("format = 1\n", "format = 1\nlimit = 3\n", 2, "limit: unknown; did you mean limits?"),
    ],
)  # fmt: skip
def test_refusals_name_field_and_line(old: str, new: str, line: int | None, words: str) -> None:
    assert old in OPTIONS
    with pytest.raises(SheetRefused) as refused:
        parse_options(OPTIONS.replace(old, new, 1))
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)
    if line is not None:
        assert refused.value.line == line


def test_a_number_is_no_table() -> None:
    with pytest.raises(SheetRefused, match=r"line 2: deck_cut: 3: a table is wanted"):
        parse_options("format = 1\ndeck_cut = 3\n[target]\nratio = [9, 10]")


def test_too_many_combinations_are_refused() -> None:
    fine = OPTIONS.replace("0.05 mm", "0.000001 mm")
    with pytest.raises(SheetRefused, match="would take hours to try"):
        parse_options(fine)


def test_the_file_is_named(tmp_path: Path) -> None:
    file = tmp_path / "choices.toml"
    file.write_text(OPTIONS.replace("price = 38", "price = no"), encoding="utf-8")
    with pytest.raises(SheetRefused, match=r"choices\.toml, line 15: not TOML"):
        read_options(file)
    with pytest.raises(SheetRefused, match="cannot be read"):
        read_options(tmp_path / "missing.toml")
