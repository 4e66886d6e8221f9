"""Engines of the trade beyond the petrol four: diesels, two-strokes, worn bores, block heights.

What is expected is worked by hand beside each check; ranges of the trade are common practice, no
source, unless a line says so.
"""

# ruff: noqa: E501

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest

from enginemath.change.plan_report import plan_report
from enginemath.change.price_list_file import parse_options
from enginemath.cli import main
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stacks
from enginemath.formulas.geometry import reach
from enginemath.sheets import Sheet, parse, read_sheet, sheet_of, write_sheet
from enginemath.sheets.ratio_page import report_csv, report_page
from enginemath.sheets.ratio_report import findings, ratio_text, sheet_report
from enginemath.sheets.so_far import text_so_far
from enginemath.sheets.text_file import SheetRefused
from enginemath.units import in_cc, in_mm, nominal

PETROL = re.compile(r"pump|anti-?knock|octane|petrol|knock", re.IGNORECASE)

DIESEL = """\
format = 2
name = "Heron Diesel"
[cylinder]
count = 4
bore = "92.0 mm"
stroke = "95.0 mm"
rod_length = "158 mm"
[chamber]
volume = "0 cc"
[gasket]
bore = "93.5 mm"
compressed_thickness = "1.35 ± 0.02 mm"
[deck]
clearance = ["-0.62 mm", "-0.60 mm", "-0.64 mm", "-0.61 mm"]
[piston]
dish = "33.3 ± 0.1 cc"
[cam]
intake_closes = "42 deg"
checking_lift = "0 mm"
[fuel]
kind = "diesel"
"""
DIESEL_OPTIONS = """\
format = 1
target = { ratio = [17.0, 18.5], squish = ["0.65 mm", "1.00 mm"] }
deck_cut = { step = "0.05 mm", max = "0.10 mm", price = 200 }
tolerances = { deck_cut = "0.01 mm" }
[[gasket]]
name = "grade 1"
bore = "93.5 mm"
compressed_thickness = "1.35 mm"
price = 60
"""

TWO_STROKE = """\
format = 2
name = "Heron Two-stroke"
[cylinder]
count = 1
bore = "54.0 mm"
stroke = "54.0 mm"
rod_length = "105 mm"
exhaust_closes = "85 ± 1 deg"
[chamber]
volume = "11.0 cc"
[gasket]
bore = "55 mm"
compressed_thickness = "0.5 mm"
[deck]
clearance = "0.4 mm"
[piston]
dome = "0 cc"
"""


def warned(sheet: Sheet) -> list[str]:
    return sheet_report(sheet)["warnings"]


# Diesel


def test_a_diesel_with_a_flat_head_and_a_bowl_worked_by_hand() -> None:
    """π/4·9.2²·(9.5) swept; gasket π/4·9.35²·0.135, the piston above the deck takes away."""
    swept = math.pi / 4 * 9.2**2 * 9.5
    clearance = math.pi / 4 * (9.35**2 * 0.135 - 9.2**2 * 0.062) + 33.3
    (first, *_) = stacks(parse(DIESEL).engine)
    assert nominal(first.ratio) == pytest.approx(1 + swept / clearance)
    assert in_cc(first.chamber) == 0


def test_a_diesel_raises_no_false_alarm() -> None:
    assert warned(parse(DIESEL)) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("33.3 ± 0.1", "60", "ratios from 10."),
        ("1.35 ± 0.02", "1.10 ± 0.02", "Piston to head, diesel: 0.46"),
        ("1.35 ± 0.02", "2.20 ± 0.02", "Piston to head, diesel: 1.6"),
        ('"-0.62 mm"', '"-1.8 mm"', "the piston would meet the head"),
    ],
)
def test_a_diesel_has_rules_of_thumb_of_its_own(old: str, new: str, says: str) -> None:
    try:
        said = warned(parse(DIESEL.replace(old, new)))
    except SheetRefused as refusal:
        said = [str(refusal)]
    assert any(says in line for line in said)
    assert not any(PETROL.search(line) for line in said)


def test_the_same_piston_above_the_deck_is_an_alarm_in_a_petrol_engine() -> None:
    petrol = DIESEL.replace("diesel", "petrol").replace('"0 cc"', '"5 cc"')
    assert any("deck clearance −0.62 mm is unusual" in line for line in warned(parse(petrol)))


def test_a_flat_head_without_a_chamber_is_a_diesel_s_alone() -> None:
    with pytest.raises(SheetRefused, match=r"chamber\.volume: chamber volume 0 cc: cannot be zero"):
        parse(DIESEL.replace("diesel", "petrol"))


def test_a_prechamber_counts_and_is_told_apart() -> None:
    text = DIESEL.replace('volume = "0 cc"', 'volume = "1.0 cc"\nprechamber = "16.0 ± 0.1 cc"')
    report = sheet_report(parse(text.replace("33.3 ± 0.1 cc", "16.3 cc")))
    first = report["cylinders"][0]
    assert first["chamber_cc"] == pytest.approx(17.0)
    assert first["prechamber_cc"] == pytest.approx(16.0)
    assert first["compression_ratio"] == pytest.approx(
        sheet_report(parse(DIESEL))["cylinders"][0]["compression_ratio"]
    )
    assert "prechamber" in {line["source"] for line in report["budget"]}


def test_a_prechamber_is_poured_like_a_chamber() -> None:
    table = "what,start,end,tool\nprechamber,0.0 mL,16.0 mL,burette\n"
    text = DIESEL.replace(
        "[cylinder]", '[tools.burette]\nkind = "burette"\nsize = "50 mL"\n[cylinder]'
    )
    text = text.replace("format = 2", 'format = 2\nreadings = "p.csv"')
    engine = parse(text, tables={"p.csv": table}).engine
    assert in_cc(engine.chambers[3].volume) == pytest.approx(16.0)


def test_no_word_of_pump_fuel_in_anything_that_is_printed_of_a_diesel(tmp_path: Path) -> None:
    sheet, options = tmp_path / "d.toml", tmp_path / "o.toml"
    sheet.write_text(DIESEL), options.write_text(DIESEL_OPTIONS)
    out = [
        str(tmp_path / name) for name in ("r.html", "r.csv", "p.html", "p.csv", "o.html", "o.txt")
    ]
    both = [str(sheet), str(options)]
    assert main(["ratio", str(sheet), "--html", out[0], "--csv", out[1]]) == 0
    assert main(["plan", *both, "--html", out[2], "--csv", out[3]]) == 0
    assert main(["order", *both, "--plan", "1", "--out", out[4]]) == 0
    assert main(["order", *both, "--plan", "2", "--out", out[5]]) == 0
    printed = [Path(name).read_text(encoding="utf-8") for name in out]
    assert not [found for text in printed if (found := PETROL.search(text))]
    assert "may stand above the deck" in printed[2]


def test_no_word_of_pump_fuel_on_the_screen(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet, options = tmp_path / "d.toml", tmp_path / "o.toml"
    sheet.write_text(DIESEL), options.write_text(DIESEL_OPTIONS)
    for words in (["ratio", str(sheet)], ["plan", str(sheet), str(options)]):
        assert main(words) == 0
        assert main([*words, "--json"]) == 0
    assert not PETROL.search(capsys.readouterr().out)


def test_a_least_deck_clearance_that_is_written_holds_for_a_diesel_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet, options = tmp_path / "d.toml", tmp_path / "o.toml"
    sheet.write_text(DIESEL)
    options.write_text(f'{DIESEL_OPTIONS}[limits]\ndeck_clearance_min = "-0.66 mm"\n')
    assert main(["plan", str(sheet), str(options), "--json"]) == 0
    plans = json.loads(capsys.readouterr().out)["plans"]
    assert {plan["deck_cut_mm"] for plan in plans} == {0}


def test_a_diesel_s_sheet_reads_back_as_it_was_saved(tmp_path: Path) -> None:
    text = DIESEL.replace('volume = "0 cc"', 'volume = "1.0 cc"\nprechamber = "16.0 cc"')
    for sheet in (parse(text), parse(TWO_STROKE)):
        write_sheet(sheet_of(sheet.engine), tmp_path / "again.toml")
        again = read_sheet(tmp_path / "again.toml").engine
        assert (again.fuel, again.strokes) == (sheet.engine.fuel, sheet.engine.strokes)
        assert [in_cc(c.volume) for c in again.chambers] == pytest.approx(
            [in_cc(c.volume) for c in sheet.engine.chambers]
        )
        assert sheet_report(Sheet(sheet_of(again).written)).get("trapped_ratio") == pytest.approx(
            sheet_report(sheet).get("trapped_ratio")
        )


def test_a_diesel_s_range_so_far_is_a_diesel_s() -> None:
    """From the bore and the stroke alone; the whole sheet's 17.4 lies inside."""
    text = re.sub(r"(?s)\[chamber\].*\[fuel\]", "[fuel]", DIESEL)
    low, high = text_so_far(text)["ratio_range"]
    assert 10 < low < 17.4 < high < 40


# Two-stroke


def trapped_by_hand(closes: float) -> float:
    """The piston's place from the cosine rule of crank and rod, not from the library's formula."""
    angle, r, rod = math.radians(180 + closes), 27.0, 105.0
    pin = r * math.cos(angle) + math.sqrt(rod**2 - (r * math.sin(angle)) ** 2)
    clearance = 11.0 + math.pi / 4 * (5.5**2 * 0.05 + 5.4**2 * 0.04)
    return 1 + math.pi / 4 * 5.4**2 * (r + rod - pin) / 10 / clearance


def test_where_the_exhaust_closes_gives_the_trapped_ratio() -> None:
    report = sheet_report(parse(TWO_STROKE))
    assert report["strokes"] == 2
    assert report["trapped_ratio"] == pytest.approx(trapped_by_hand(85))
    slope = (trapped_by_hand(86) - trapped_by_hand(84)) / 2
    assert report["u_trapped_ratio"] == pytest.approx(abs(slope), rel=1e-3)
    assert "effective_ratio" not in report
    assert report["cylinders"][0]["trapped_ratio"] == report["trapped_ratio"]
    said = findings(report)
    assert said[0].startswith("Full stroke: compression ratio")
    assert any(line.startswith("Trapped ratio") for line in said)
    assert not any("full stroke" in line for line in report["warnings"])


@pytest.mark.parametrize("left_out", ["exhaust_closes.*\n", "rod_length.*\n"])
def test_without_it_the_result_says_that_it_is_the_full_stroke_s(left_out: str) -> None:
    text = re.sub(left_out, "strokes = 2\n", TWO_STROKE)
    sheet = parse(text)
    report = sheet_report(sheet)
    assert "trapped_ratio" not in report
    assert any("ratio is that over the full stroke" in line for line in report["warnings"])
    assert "Full stroke: compression ratio" in ratio_text(sheet.engine, report)
    assert "the full stroke" in report_page([sheet_report(sheet)], [sheet.engine])


def test_the_page_names_the_trapped_ratio() -> None:
    page = report_page([sheet_report(parse(TWO_STROKE))], [parse(TWO_STROKE).engine])
    assert '<th scope="col">trapped</th>' in page
    assert "Trapped ratio" in page
    assert "trapped_ratio" in report_csv([sheet_report(parse(TWO_STROKE))]).splitlines()[0]


# Bores that are worn


WORN = {
    "top, across": (92.06, 92.05),
    "top, along": (92.03,),
    "middle, across": (92.02,),
    "middle, along": (92.01,),
    "bottom, across": (92.00,),
    "bottom, along": (91.99,),
}


def worn(places: dict[str, tuple[float, ...]]) -> Sheet:
    rows = [f'bore,1,"{place}",{mm:.3f} mm,gauge' for place, mms in places.items() for mm in mms]
    rows += [f"bore,{n},,92.02 mm,gauge" for n in (2, 3, 4)]
    text = re.sub('bore = "92.0 mm"\n', "", DIESEL).replace(
        "format = 2", 'format = 2\nreadings = "b.csv"'
    )
    text = text.replace("[cylinder]", '[tools.gauge]\nkind = "bore gauge"\n[cylinder]')
    return parse(text, tables={"b.csv": "\n".join(["what,cylinder,place,reading,tool", *rows])})


def test_three_heights_and_two_directions_give_taper_out_of_round_and_the_mean() -> None:
    """Across: 92.055 to 92.00; along: 92.03 to 91.99. At the top 92.055 against 92.03."""
    report = sheet_report(worn(WORN))
    first, second = report["cylinders"][:2]
    assert first["bore_taper_mm"] == pytest.approx(0.055)
    assert first["bore_out_of_round_mm"] == pytest.approx(0.025)
    assert (second["bore_taper_mm"], second["bore_out_of_round_mm"]) == (None, None)
    once_each = {place: mms[:1] for place, mms in WORN.items()}
    assert in_mm(worn(once_each).engine.cylinders[0].bore) == pytest.approx(
        sum(mms[0] for mms in WORN.values()) / 6
    )
    said = findings(report)
    assert "Taper of the bores, mm: no. 1 0.055" in said
    assert "Out of round of the bores, mm: no. 1 0.025" in said
    assert "Taper of the bores, mm: no. 1 0.055" in report_page(
        [sheet_report(worn(WORN))], [worn(WORN).engine]
    )
    assert "bore_taper_in" in report_csv([sheet_report(worn(WORN))], "in").splitlines()[0]


def test_words_and_order_of_a_place_do_not_matter() -> None:
    other = {
        "Across / top of the bore": (92.05,),
        "upper along": (92.03,),
        "lower, across side": (92.0,),
    }
    first = sheet_report(worn(other))["cylinders"][0]
    assert first["bore_taper_mm"] == pytest.approx(0.05)
    assert first["bore_out_of_round_mm"] == pytest.approx(0.02)


def test_wear_beyond_the_usual_is_said() -> None:
    oval = {"top, across": (92.16,), "top, along": (92.08,), "bottom, across": (92.00,)}
    said = [line for line in warned(worn(oval)) if "of a bore" in line]
    assert [line.split(":")[1].strip() for line in said] == [
        "Taper of a bore",
        "Out of round of a bore",
    ]
    assert "0.13 mm (0.005 in)" in said[0]
    assert "0.05 mm (0.002 in)" in said[1]


# Chambers


def test_what_to_take_from_which_chamber() -> None:
    text = DIESEL.replace(
        'volume = "0 cc"', 'volumes = ["30.2 cc", "30.6 cc", "30.6 cc", "29.9 ± 0.1 cc"]'
    )
    text = text.replace("diesel", "petrol").replace("-0.", "0.").replace("33.3 ± 0.1 cc", "20 cc")
    sheet = parse(text)
    report = sheet_report(sheet)
    taken = [cylinder["take_to_match_cc"] for cylinder in report["cylinders"]]
    assert taken == pytest.approx([0.4, 0.0, 0.0, 0.7])
    (said,) = [line for line in findings(report) if line.startswith("Chambers matched")]
    assert said == (
        "Chambers matched to the largest, no. 2 with 30.60 cc: take from 1: 0.40 cc; "
        "4: 0.70 ± 0.10 cc. Pour again before grinding"
    )
    page = re.sub("</?span[^>]*>", "", report_page([sheet_report(sheet)], [sheet.engine]))
    assert "take from 1: 0.40 cc" in page
    assert "take from 1: 0.40 cc" in " ".join(ratio_text(sheet.engine, report).split())


def test_chambers_that_match_are_left_alone() -> None:
    assert not any("matched" in line for line in findings(sheet_report(parse(DIESEL))))


# The height budget

HEIGHTS = {
    "block_height": ("deck", "229.58 mm"),
    "rod_length": ("cylinder", "158.00 mm"),
    "stroke": ("cylinder", "95.00 mm"),
    "compression_height": ("piston", "24.70 mm"),
    "clearance": ("deck", "-0.62 mm"),
}


def budget(**heights: str) -> str:
    """A sheet with these heights alone; 47.5 + 158 + 24.7 − 0.62 = 229.58."""
    text = DIESEL
    for line in ("stroke = .*", "rod_length = .*", "clearance = .*"):
        text = re.sub(f"{line}\n", "", text)
    for name, value in heights.items():
        table = HEIGHTS[name][0]
        text = text.replace(f"[{table}]\n", f'[{table}]\n{name} = "{value}"\n')
    return text


@pytest.mark.parametrize("missing", HEIGHTS)
def test_all_but_one_give_that_one(missing: str) -> None:
    known = {name: value for name, (_, value) in HEIGHTS.items() if name != missing}
    report = sheet_report(parse(budget(**known)))
    engine: Engine = parse(budget(**known)).engine
    first = report["cylinders"][0]
    found = {
        "block_height": first["block_height_mm"],
        "compression_height": first["compression_height_mm"],
        "rod_length": in_mm(engine.cylinder.rod_length),
        "stroke": in_mm(engine.cylinder.stroke),
        "clearance": in_mm(engine.decks[0].clearance),
    }
    for name, (_, value) in HEIGHTS.items():
        assert found[name] == pytest.approx(float(value.split()[0]), abs=1e-9), name
    assert report["warnings"] == []


@pytest.mark.parametrize(
    ("block", "says"),
    [
        ("229.62 mm", ""),
        ("229.68 mm", "0.100 mm too much for their ±"),
        ("229.68 ± 0.03 mm", ""),
        ("229.48 mm", "0.100 mm too little for their ±"),
    ],
)
def test_all_of_them_are_checked_with_their_spread(block: str, says: str) -> None:
    heights = {name: value for name, (_, value) in HEIGHTS.items()}
    said = warned(parse(budget(**{**heights, "block_height": block})))
    assert [says in line for line in said] == ([True] if says else [])
    if says:
        assert "half the stroke 47.500 mm, rod 158.000 mm, compression height 24.700 mm" in said[0]


def test_a_pin_that_is_offset_stands_lower_at_the_top() -> None:
    """Rod and crank in one line, leaning: √(205.5² − 2²) in place of 205.5, the crank a little less."""
    known = {name: value for name, (_, value) in HEIGHTS.items() if name != "clearance"}
    text = budget(**known).replace("[cylinder]\n", '[cylinder]\npin_offset = "2.0 mm"\n')
    deck = in_mm(parse(text).engine.decks[0].clearance)
    radius = 47.5 * math.sqrt(1 - 4 / (158**2 - 47.5**2))
    assert deck == pytest.approx(229.58 - reach(158 + radius, 2.0) - 24.70)
    assert deck == pytest.approx(-0.62 + 2**2 / (2 * 205.5) + 47.5 - radius, abs=1e-5)


def test_a_block_height_that_follows_is_the_height_to_cut_to() -> None:
    """229.58 mm from the four others; one that is written among the options goes before it."""
    known = {name: value for name, (_, value) in HEIGHTS.items() if name != "block_height"}
    sheet = parse(budget(**known))
    for written, height in (("", 229.58), ('heights = { block = "229.70 mm" }\n', 229.70)):
        text = DIESEL_OPTIONS.replace("target =", f"{written}target =")
        plan = plan_report(sheet, parse_options(text))["plans"][-1]
        assert plan["deck_cut_mm"] == pytest.approx(0.05)
        assert plan["deck_heights_mm"] == {"all": pytest.approx(height - 0.05)}


def test_every_cylinder_has_its_own_height_where_they_differ() -> None:
    known = {name: value for name, (_, value) in HEIGHTS.items() if name != "compression_height"}
    decks = 'clearance = ["-0.62 mm", "-0.60 mm", "-0.62 mm", "-0.62 mm"]'
    sheet = parse(budget(**known).replace('clearance = "-0.62 mm"', decks))
    said = findings(sheet_report(sheet))
    assert "Block height 229.580 mm" in said
    assert (
        "Compression height by cylinder, mm: no. 1 24.700; no. 2 24.680; no. 3 24.700; no. 4 24.700"
        in said
    )


def test_block_and_compression_height_are_read_in_the_table_too() -> None:
    table = "what,cylinder,reading\nblock height,,229.58 mm\ncompression height,,24.70 mm\n"
    text = budget(rod_length="158.00 mm", stroke="95.00 mm")
    text = text.replace("format = 2", 'format = 2\nreadings = "h.csv"')
    engine = parse(text, tables={"h.csv": table}).engine
    assert [in_mm(deck.clearance) for deck in engine.decks] == pytest.approx([-0.62] * 4)


# What cannot be

BAD = {
    "strokes": (DIESEL, "count = 4", "count = 4\nstrokes = 3", "cylinder.strokes: 3: write 2 or 4"),
    "strokes in quotes": (DIESEL, "count = 4", 'count = 4\nstrokes = "2"', "write 2 or 4, without"),
    "true is no stroke": (DIESEL, "count = 4", "count = 4\nstrokes = true", "write 2 or 4"),
    "a port on a four-stroke": (TWO_STROKE, "count = 1", "count = 1\nstrokes = 4", "traps the charge of a two-stroke alone"),
    "intake of a two-stroke": (TWO_STROKE, "[deck]", '[cam]\nintake_closes = "60 deg"\n[deck]', "trapped where its exhaust closes"),
    "an angle of 5": (TWO_STROKE, "85 ± 1 deg", "5 deg", "exhaust closing 5 deg: outside what an engine can have"),
    "radians": (TWO_STROKE, "85 ± 1 deg", "85 rad", "did you mean 85 deg?"),
    "a length for an angle": (TWO_STROKE, "85 ± 1 deg", "85 mm", "an angle"),
    "a negative prechamber": (DIESEL, 'volume = "0 cc"', 'volume = "0 cc"\nprechamber = "-1 cc"', "prechamber −1 cc: cannot be negative"),
    "no such fuel": (DIESEL, 'kind = "diesel"', 'kind = "Diesel fuel"', 'write "petrol", "diesel"'),
    "a height of nothing": (DIESEL, "[deck]", '[deck]\nblock_height = "0 mm"', "block height 0 mm"),
    "a height in inches": (DIESEL, "[deck]", '[deck]\nblock_height = "9.025 mm"', "did you mean 9.025 in?"),
    "a budget that cannot be": (budget(block_height="160 mm", rod_length="158 mm", stroke="95 mm", compression_height="24.7 mm"), "x", "x", "deck.clearance: deck clearance"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_is_one_sentence_and_nothing_is_written(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text, old, new, says = BAD[name]
    file, page = tmp_path / "bad.toml", tmp_path / "page.html"
    file.write_text(text.replace(old, new, 1))
    assert main(["ratio", str(file), "--html", str(page)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert says in told.err
    assert not page.exists()
