"""A build sheet read, worked out and saved."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from enginemath.engine.can_be import refuse_what_cannot_be
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.engine.stack import mean_ratio, stack_of, stacks
from enginemath.sheets import EXAMPLE, Sheet, kit_data, parse, read_sheet, sheet_of, write_sheet
from enginemath.sheets.text_file import SheetRefused
from enginemath.units import Quantity, Refused, deviation, in_cc, nominal

from .full_sheet import FULL, changed


def ratio(text: str) -> float:
    return nominal(mean_ratio(parse(text).engine))


class TestTheExample:
    def test_ratio(self) -> None:
        stack = stack_of(parse(FULL).engine)
        assert stack.swept.m_as("cc") == pytest.approx(588.3135, abs=5e-5)
        assert stack.clearance.m_as("cc") == pytest.approx(66.6496, abs=5e-5)
        assert stack.ratio == pytest.approx(9.8270, abs=5e-5)

    def test_everything_on_it_reaches_the_engine(self) -> None:
        engine = parse(FULL).engine
        assert engine.name == "Bench engine, bay 3"
        assert engine.count == 4
        cylinder, gasket, land = engine.cylinder, engine.gasket, engine.ring_land
        assert land is not None
        found = [
            (cylinder.bore, 92.0, "mm"),
            (cylinder.stroke, 88.5, "mm"),
            (cylinder.rod_length, 145, "mm"),
            (cylinder.pin_offset, 0, "mm"),
            (engine.chambers[3].volume, 47.5, "cc"),
            (gasket.bore, 93.2, "mm"),
            (gasket.compressed_thickness, 1.10, "mm"),
            (gasket.free_thickness, 1.35, "mm"),
            (engine.decks[3].clearance, 0.35, "mm"),
            (engine.piston.dish, 6.0, "cc"),
            (engine.piston.reliefs, 2.8, "cc"),
            (land.height, 6.0, "mm"),
            (land.clearance, 0.60, "mm"),
            (engine.intake_closes, 60, "deg"),
            (engine.altitude, 1200, "m"),
        ]
        for quantity, value, unit in found:
            assert quantity is not None
            assert quantity.m_as(unit) == pytest.approx(value)
        assert engine.antiknock_index == 87

    def test_the_free_thickness_changes_nothing(self) -> None:
        assert ratio(changed(('free_thickness = "1.35 mm"\n', ""))) == ratio(FULL)

    def test_the_kits_own_example_is_a_sheet(self) -> None:
        assert ratio(EXAMPLE) == pytest.approx(9.8962, abs=5e-5)  # without the crevice


INCHES = [
    ("92.0 mm", f"{92.0 / 25.4!r} in"),
    ("88.5 mm", f"{88.5 / 25.4!r} in"),
    ("47.5 cc", f"{47.5 / 16.387064!r} cu in"),
    ("93.2 mm", f"{93.2 / 25.4!r} in"),
    ("1.10 mm", f"{1.10 / 0.0254!r} thou"),
    ("0.35 mm", f"{0.35 / 0.0254!r} thou"),
    ("6.0 cc", f"{6.0 / 16.387064!r} cu in"),
    ("2.8 cc", f"{2.8 / 16.387064!r} cu in"),
    ("6.0 mm", f"{6.0 / 25.4!r} in"),
    ("0.60 mm", f"{0.60 / 25.4!r} in"),
]


def test_the_same_engine_in_inches_has_the_same_ratio() -> None:
    inches = changed(*((f'"{old}"', f"'{new}'") for old, new in INCHES))
    assert ratio(inches) == pytest.approx(ratio(FULL), rel=1e-12)


VOLUMES_EACH = ", ".join(['"47.5 cc"'] * 4)
DECKS_EACH = ", ".join(['"0.35 mm"'] * 4)
GASKET_CC = math.pi / 4 * 93.2**2 * 1.10 / 1000
KNOWN_DEPTH_CC = math.pi / 4 * 92**2 * 12.7 / 1000 + 8.8

SAME = {
    "fills": (
        'volume = "47.5 cc"',
        'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]',
    ),
    "one chamber each": ('volume = "47.5 cc"', f"volumes = [{VOLUMES_EACH}]"),
    "one deck each": ('clearance = "0.35 mm"', f"clearances = [{DECKS_EACH}]"),
    "gasket poured": (
        'bore = "93.2 mm"\ncompressed_thickness = "1.10 mm"',
        f'volume = "{GASKET_CC!r} cc"',
    ),
    "crown by known depth": (
        'dish = "6.0 cc"\nreliefs = "2.8 cc"',
        f'known_depth = {{ depth = "12.70 mm", poured = "{KNOWN_DEPTH_CC!r} cc" }}',
    ),
    "reliefs in the dish": ('dish = "6.0 cc"\nreliefs = "2.8 cc"', 'dish = "8.8 cc"'),
}


class TestWaysToSayTheSame:
    """Other fields for the same readings give the same ratio."""

    @pytest.mark.parametrize("change", SAME.values(), ids=SAME)
    def test_same_ratio(self, change: tuple[str, str]) -> None:
        assert ratio(changed(change)) == pytest.approx(9.8270, abs=5e-5)

    def test_a_known_depth_can_find_a_dome(self) -> None:
        poured = math.pi / 4 * 92**2 * 12.7 / 1000 - 4.5
        sheet = changed(
            ('dish = "6.0 cc"\nreliefs = "2.8 cc"',
             f'known_depth = {{ depth = "12.70 mm", poured = "{poured!r} cc" }}')
        )  # fmt: skip
        assert parse(sheet).engine.piston.dome.m_as("cc") == pytest.approx(4.5)

    @pytest.mark.parametrize("piston", ["", "[piston]\n", '[piston]\nreliefs = "0 cc"\n'])
    def test_a_flat_piston_needs_no_fields(self, piston: str) -> None:
        sheet = changed(('[piston]\ndish = "6.0 cc"\nreliefs = "2.8 cc"\n', piston))
        assert parse(sheet).engine.piston.crown.m_as("cc") == 0

    def test_each_cylinder_has_its_own_ratio(self) -> None:
        sheet = changed(
            ('volume = "47.5 cc"', 'volumes = ["47.2 cc", "47.5 cc", "47.6 cc", "47.4 cc"]')
        )
        ratios = [nominal(stack.ratio) for stack in stacks(parse(sheet).engine)]
        assert ratios == pytest.approx(
            [1 + 588.3135 / (66.6496 + gap) for gap in (-0.3, 0.0, 0.1, -0.1)], abs=5e-5
        )

    def test_optional_tables_may_be_left_out(self) -> None:
        engine = parse(FULL.partition("[ring_land]")[0]).engine
        assert engine.ring_land is None
        assert engine.intake_closes is None
        assert engine.altitude is None
        assert engine.antiknock_index is None

    def test_comments_order_and_dotted_keys_do_not_matter(self) -> None:
        rearranged = (
            "# bay 3\nformat=1\nname='Bench engine, bay 3'\npiston.dish='6.0 cc'\n"
            "piston.reliefs='2.8 cc'\ndeck.clearance='0.35 mm'\nchamber={volume='47.5 cc'}\n"
            "[gasket]\ncompressed_thickness='1.10 mm'\nbore='93.2 mm'\n"
            "[cylinder]\nstroke='88.5 mm'\nbore='92.0 mm'\ncount=4\n"
            "[ring_land]\nclearance='0.60 mm'\nheight='6.0 mm'\n"
        )
        assert ratio(rearranged) == pytest.approx(ratio(FULL))


STROKE, CLEARANCE = 'stroke = "88.5 mm"\n', 'clearance = "0.35 mm"\n'
DEPTH = 'depth_at_bdc = "88.85 mm"\n'


TWO = {
    "no depth": FULL,
    "no stroke": changed((STROKE, ""), (CLEARANCE, CLEARANCE + DEPTH)),
    "no clearance": changed((CLEARANCE, DEPTH)),
    "all three": changed((CLEARANCE, CLEARANCE + DEPTH)),
}


class TestStrokeClearanceAndDepth:
    """Any two of stroke, deck clearance and depth at bottom dead centre give the third."""

    @pytest.mark.parametrize("text", TWO.values(), ids=TWO)
    def test_any_two(self, text: str) -> None:
        engine = parse(text).engine
        assert engine.cylinder.stroke.m_as("mm") == pytest.approx(88.5)
        assert [deck.clearance.m_as("mm") for deck in engine.decks] == pytest.approx([0.35] * 4)
        assert ratio(text) == pytest.approx(9.8270, abs=5e-5)

    def test_above_the_deck(self) -> None:
        sheet = changed((CLEARANCE, 'depth_at_bdc = "88.35 mm"\n'))
        assert parse(sheet).engine.decks[0].clearance.m_as("mm") == pytest.approx(-0.15)

    def test_a_clearance_each_and_a_depth_give_the_stroke_by_their_mean(self) -> None:
        each = 'clearances = ["0.30 mm", "0.40 mm", "0.32 mm", "0.38 mm"]\n'
        engine = parse(changed((STROKE, ""), (CLEARANCE, each + DEPTH))).engine
        assert engine.cylinder.stroke.m_as("mm") == pytest.approx(88.5)

    @pytest.mark.parametrize("depth", ["88.80 mm", "88.90 mm", "88.85 mm", "3.49900 in"])
    def test_a_disagreement_of_five_hundredths_passes(self, depth: str) -> None:
        parse(changed((CLEARANCE, f'{CLEARANCE}depth_at_bdc = "{depth}"\n')))

    @pytest.mark.parametrize("depth", ["88.799 mm", "88.901 mm", "88.5 mm", "89.2 mm"])
    def test_more_is_refused_and_names_all_three(self, depth: str) -> None:
        with pytest.raises(SheetRefused) as refusal:
            parse(changed((CLEARANCE, f'{CLEARANCE}depth_at_bdc = "{depth}"\n')))
        said = str(refusal.value)
        assert refusal.value.field == "deck.depth_at_bdc"
        for words in ("depth at bottom dead centre", "stroke 88.500 mm", "clearance 0.350 mm"):
            assert words in said
        assert "is it counted twice?" in said

    def test_the_depth_taken_for_the_stroke(self) -> None:
        """The classic slip: the stroke is the depth, and the deck is added again."""
        with pytest.raises(SheetRefused, match=r"89\.200 mm\); the depth holds the deck clearance"):
            parse(changed((STROKE, 'stroke = "88.85 mm"\n'), (CLEARANCE, CLEARANCE + DEPTH)))

    def test_in_inches_it_speaks_inches(self) -> None:
        sheet = changed(
            (STROKE, 'stroke = "3.4842 in"\n'),
            (CLEARANCE, 'clearance = "0.0138 in"\ndepth_at_bdc = "3.4842 in"\n'),
        )
        with pytest.raises(SheetRefused, match=r"3\.4842 in is not stroke 3\.4842 in plus"):
            parse(sheet)


class TestUncertainty:
    def test_it_is_carried_to_the_ratio(self) -> None:
        unsure = mean_ratio(parse(changed(('"47.5 cc"', '"47.5 ± 0.3 cc"'))).engine)
        slope = 588.3135 / 66.6496**2
        assert deviation(unsure) == pytest.approx(0.3 * slope, rel=1e-4)

    def test_one_reading_for_all_is_one_reading(self) -> None:
        shared = mean_ratio(parse(changed(('"47.5 cc"', '"47.5 ± 0.3 cc"'))).engine)
        four = ", ".join(['"47.5 ± 0.3 cc"'] * 4)
        each = mean_ratio(parse(changed(('volume = "47.5 cc"', f"volumes = [{four}]"))).engine)
        assert deviation(each) == pytest.approx(deviation(shared) / 2)

    def test_the_depth_at_bottom_dead_centre_shares_the_clearance(self) -> None:
        """Stroke = depth − clearance: a deeper reading of one is a shorter other."""
        text = changed(
            (STROKE, ""), (CLEARANCE, f"{CLEARANCE.replace('0.35', '0.35 ± 0.02')}{DEPTH}")
        )
        engine = parse(text).engine
        total = engine.cylinder.stroke + engine.decks[0].clearance
        assert deviation(total.m_as("mm")) == pytest.approx(0, abs=1e-12)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "engine.toml"
    path.write_text(FULL, encoding="utf-8")
    return path


class TestOnDisk:
    def test_reading_does_not_touch_the_file(self, file: Path) -> None:
        before = file.stat()
        assert read_sheet(file) == parse(FULL)
        after = file.stat()
        assert file.read_text("utf-8") == FULL
        assert (after.st_mtime_ns, after.st_ino) == (before.st_mtime_ns, before.st_ino)

    def test_saved_it_reads_back_equal(self, file: Path) -> None:
        sheet = read_sheet(file)
        write_sheet(sheet, file)
        assert read_sheet(file) == sheet

    def test_windows_line_ends_and_a_byte_order_mark(self, file: Path) -> None:
        file.write_bytes(b"\xef\xbb\xbf" + FULL.replace("\n", "\r\n").encode())
        assert read_sheet(file) == parse(FULL)

    def test_a_refusal_names_the_file_and_the_line(self, file: Path) -> None:
        file.write_text(changed(("92.0 mm", "3.622 mm")), encoding="utf-8")
        with pytest.raises(SheetRefused) as refusal:
            read_sheet(file)
        assert str(refusal.value) == (
            f"{file}, line 5: cylinder.bore: bore 3.622 mm: did you mean 3.622 in?"
        )

    @pytest.mark.parametrize("name", ["heron-one", "heron-four", "heron-eight"])
    def test_the_schools_own_sheets(self, name: str, tmp_path: Path) -> None:
        sheet = read_sheet(kit_data.path(f"{name}.toml"))
        write_sheet(sheet, tmp_path / "copy.toml")
        copy = read_sheet(tmp_path / "copy.toml")
        assert copy == sheet
        assert nominal(mean_ratio(copy.engine)) == nominal(mean_ratio(sheet.engine))
        write_sheet(copy, tmp_path / "again.toml")
        (table,) = copy.table_names
        (tmp_path / table).write_text("what,reading\nbore,92 mm\n", encoding="utf-8")
        with pytest.raises(SheetRefused, match="other readings; save the sheet to another folder"):
            write_sheet(sheet, tmp_path / "copy.toml")


class TestEquality:
    def test_equal_by_what_is_written(self) -> None:
        assert parse(FULL) == parse("# another comment\n" + FULL)
        assert parse(FULL) != parse(changed(("92.0 mm", "92.1 mm")))
        assert parse(FULL) != parse(changed(("92.0 mm", "92.00 mm")))


def spread(values: st.SearchStrategy[float]) -> st.SearchStrategy[Any]:
    """Plain or uncertain magnitudes."""
    return st.tuples(values, st.one_of(st.just(0.0), st.floats(1e-4, 0.02))).map(
        lambda pair: ufloat(*pair) if pair[1] else pair[0]
    )


def quantity(low: float, high: float, *units: str) -> st.SearchStrategy[Quantity]:
    """Quantities between bounds given in the first unit, written in any of the units."""

    def written(magnitude: Any, unit: str) -> Quantity:
        return Quantity(magnitude, units[0]).to(unit)

    return st.builds(written, spread(st.floats(low, high)), st.sampled_from(units))


LENGTHS = ("mm", "inch", "thou", "cm")
VOLUMES = ("cc", "mL", "cubic_inch", "mm**3", "liter", "fluid_ounce")


@st.composite
def engines(draw: st.DrawFn) -> Engine:
    count = draw(st.integers(1, 8))
    cylinder = Cylinder(
        draw(quantity(38, 140, *LENGTHS)),
        draw(quantity(36, 170, *LENGTHS)),
        draw(st.one_of(st.none(), quantity(100, 300, *LENGTHS))),
        draw(quantity(-2, 2, *LENGTHS)),
    )
    deepest = min(60.0, in_cc(cylinder.swept) / 2)
    chamber = quantity(5, 180, *VOLUMES)
    deck = quantity(0.0, 1.5, *LENGTHS)
    gasket = draw(
        st.one_of(
            st.builds(
                Gasket, quantity(40, 150, *LENGTHS), quantity(0.3, 2.0, *LENGTHS),
                free_thickness=st.one_of(st.none(), quantity(2.1, 3.0, *LENGTHS)),
            ),
            st.builds(Gasket, poured=quantity(1.0, 40.0, *VOLUMES)),
        )
    )  # fmt: skip
    return Engine(
        name=draw(st.text(st.characters(exclude_categories=["Cs"])).filter(str.strip)),
        cylinder=cylinder,
        chambers=tuple(
            Chamber(volume)
            for volume in draw(
                st.one_of(
                    st.lists(chamber, min_size=count, max_size=count),
                    chamber.map(lambda volume: [volume] * count),
                )
            )
        ),
        gasket=gasket,
        decks=tuple(map(Deck, draw(st.lists(deck, min_size=count, max_size=count)))),
        piston=draw(
            st.one_of(
                st.builds(
                    Piston,
                    dish=quantity(0, deepest, *VOLUMES),
                    reliefs=quantity(0, 8, *VOLUMES),
                ),
                st.builds(Piston, dome=quantity(0, 4, *VOLUMES)),
            )
        ),
        ring_land=draw(
            st.one_of(
                st.none(),
                st.builds(RingLand, quantity(2, 15, *LENGTHS), quantity(0.1, 1.5, *LENGTHS)),
            )
        ),
        intake_closes=draw(st.one_of(st.none(), quantity(20, 90, "degree", "radian"))),
        altitude=draw(st.one_of(st.none(), quantity(0, 3000, "m", "foot"))),
        antiknock_index=draw(st.one_of(st.none(), st.integers(60, 130), st.floats(60, 130))),
    )


def goes_together(engine: Engine) -> bool:
    try:
        refuse_what_cannot_be(engine)
    except Refused:
        return False
    return True


@given(engines())
@settings(max_examples=60)
def test_any_engine_written_down_reads_back_equal(engine: Engine) -> None:
    assume(goes_together(engine))
    sheet = sheet_of(engine)
    again = parse(tomli_w.dumps(dict(sheet.written)))
    assert again == sheet
    before, after = mean_ratio(engine), mean_ratio(again.engine)
    assert nominal(after) == pytest.approx(nominal(before), rel=1e-9)
    assert deviation(after) == pytest.approx(deviation(before), rel=1e-6)


def test_a_unit_that_no_shop_writes_is_written_in_one_that_it_does() -> None:
    engine = replace(parse(FULL).engine, piston=Piston(dish=Quantity(0.2, "fluid_ounce")))
    assert sheet_of(engine).written["piston"]["dish"].endswith(" cc")


def test_readings_that_happen_to_agree_stay_one_for_each_cylinder() -> None:
    engine = parse(FULL).engine
    each = replace(engine, chambers=tuple(Chamber("47.5 ± 0.3 cc") for _ in range(4)))
    shared = replace(engine, chambers=(Chamber("47.5 ± 0.3 cc"),) * 4)
    assert sheet_of(each).written["chamber"] == {"volumes": ["47.5 ± 0.3 cc"] * 4}
    assert sheet_of(shared).written["chamber"] == {"volume": "47.5 ± 0.3 cc"}


def test_a_dish_of_nothing_keeps_its_uncertainty() -> None:
    engine = replace(parse(FULL).engine, piston=Piston(dish="0.0 ± 0.3 cc"))
    assert deviation(mean_ratio(sheet_of(engine).engine)) == pytest.approx(
        deviation(mean_ratio(engine))
    )


KNOWN_DEPTH = """\
format = 1
name = "Poured at a known depth"
[cylinder]
count = 1
bore = "92.0 ± 0.2 mm"
stroke = "88.5 mm"
[chamber]
volume = "47.5 cc"
[gasket]
bore = "93.2 mm"
compressed_thickness = "1.10 mm"
[deck]
clearance = "0.35 mm"
[piston]
known_depth = { depth = "12.70 mm", poured = "93.2 cc" }
"""


def test_a_crown_by_known_depth_stays_tied_to_the_bore() -> None:
    """A larger bore sweeps more and leaves less for the dish: one bore, not two."""
    engine = parse(KNOWN_DEPTH).engine
    again = sheet_of(engine)
    assert again.written["piston"] == {"known_depth": {"depth": "12.7 mm", "poured": "93.2 cc"}}
    assert deviation(mean_ratio(again.engine)) == pytest.approx(
        deviation(mean_ratio(engine)), rel=1e-9
    )


@pytest.mark.parametrize("change", ["bore", "piston"])
def test_a_crown_that_the_readings_no_longer_give_is_written_as_a_volume(change: str) -> None:
    engine = parse(KNOWN_DEPTH).engine
    if change == "bore":
        engine = replace(engine, cylinder=replace(engine.cylinder, bore="92.5 mm"))
    else:
        engine = replace(engine, piston=Piston(dish="6.0 cc"))
    again = sheet_of(engine)
    assert set(again.written["piston"]) == {"dish"}
    assert nominal(mean_ratio(again.engine)) == pytest.approx(nominal(mean_ratio(engine)))


def test_an_engine_that_cannot_be_written_is_refused() -> None:
    with pytest.raises(SheetRefused, match="name: missing"):
        sheet_of(replace(parse(FULL).engine, name=""))
    with pytest.raises(SheetRefused, match="antiknock_index"):
        sheet_of(replace(parse(FULL).engine, antiknock_index=8.7))


def test_a_sheet_made_of_tables_is_checked_too() -> None:
    with pytest.raises(SheetRefused, match="format: missing"):
        Sheet({"name": "no format"})
