"""Each panel's plain twin: the same numbers, and those of a hand calculation.

The hand calculations are worked here from the readings on the sheets with π/4·d²·h and
sums alone. The trade's formulas: common practice, no source.
"""

from __future__ import annotations

import tomllib
from math import cos, pi, radians, sin
from typing import Any

import pytest

from enginemath.answers.tool_reading import TOOLS, settings
from enginemath.change.price_list_file import parse_options, read_options
from enginemath.panels import (
    add_it_up_numbers,
    bore_and_stroke_numbers,
    build_sheet_numbers,
    cc_the_chamber_numbers,
    choose_the_change_numbers,
    dish_and_dome_numbers,
    fuel_air_and_cam_numbers,
    gasket_and_deck_numbers,
    how_sure_numbers,
    read_the_tools_numbers,
    two_volumes_numbers,
    write_a_number_numbers,
)
from enginemath.sheets import kit_data, read_sheet
from enginemath.units import Refused, nominal, show, show_ratio
from tests.old_doors.kit import averages
from tests.panels.opened import control, opened, said, texts

AVERAGES = read_sheet(averages("heron-four"))
"""The Heron Four in bare numbers, to 1e-12."""


OPTIONS = read_options(kit_data.path("heron-four-options.toml"))


def four() -> dict[str, Any]:
    """The bare numbers on the Heron Four's sheet: mm and cc, cylinder 1."""
    sheet = tomllib.loads(averages("heron-four").read_text(encoding="utf-8"))

    def bare(text: str) -> float:
        return float(text.split()[0])

    return {
        "bore": bare(sheet["cylinder"]["bore"]),
        "stroke": bare(sheet["cylinder"]["stroke"]),
        "rod": bare(sheet["cylinder"]["rod_length"]),
        "chambers": [bare(text) for text in sheet["chamber"]["volumes"]],
        "gasket_bore": bare(sheet["gasket"]["bore"]),
        "thickness": bare(sheet["gasket"]["compressed_thickness"]),
        "free": bare(sheet["gasket"]["free_thickness"]),
        "decks": [bare(text) for text in sheet["deck"]["clearances"]],
        "crown": bare(sheet["piston"]["dish"]) + bare(sheet["piston"]["reliefs"]),
        "land_height": bare(sheet["ring_land"]["height"]),
        "land_clearance": bare(sheet["ring_land"]["clearance"]),
    }


def disc(diameter: float, height: float) -> float:
    """In cc from mm."""
    return pi / 4 * diameter**2 * height / 1000


def by_hand(number: int = 0, **changed: float) -> dict[str, float]:
    """Swept and clearance volume and ratio of one cylinder, worked by hand."""
    r = {**four(), **changed}
    deck = changed.get("deck", r["decks"][number])
    inner = r["bore"] - r["land_clearance"]
    crevice = disc(r["bore"], r["land_height"]) - disc(inner, r["land_height"])
    clearance = (
        r["chambers"][number] + disc(r["gasket_bore"], r["thickness"]) + disc(r["bore"], deck)
        + r["crown"] + crevice
    )  # fmt: skip
    swept = disc(r["bore"], r["stroke"])
    return {"swept": swept, "clearance": clearance, "ratio": (swept + clearance) / clearance}


def cc(volume: Any) -> float:
    return nominal(volume.m_as("cc"))


class TestTwins:
    @pytest.mark.parametrize("cylinder", [1, 2, 3, 4])
    def test_add_it_up(self, cylinder: int) -> None:
        numbers, hand = add_it_up_numbers(AVERAGES, cylinder), by_hand(cylinder - 1)
        assert cc(numbers["swept"]) == pytest.approx(hand["swept"], rel=1e-12)
        assert cc(numbers["clearance"]) == pytest.approx(hand["clearance"], rel=1e-12)
        assert numbers["ratio"] == pytest.approx(hand["ratio"], rel=1e-12)
        squish = four()["decks"][cylinder - 1] + four()["thickness"]
        assert numbers["squish"].m_as("mm") == pytest.approx(squish)

    def test_bore_and_stroke(self) -> None:
        numbers = bore_and_stroke_numbers("88.34 mm", "85.72 mm", 4, overbore="20 thou")
        assert cc(numbers["displacement"]) == pytest.approx(4 * disc(88.34 + 0.508, 85.72))

    @pytest.mark.parametrize("angle", [0, 37, 90, 180, 300])
    def test_two_volumes(self, angle: int) -> None:
        numbers, r = two_volumes_numbers(AVERAGES, f"{angle} deg"), four()
        crank, rod = r["stroke"] / 2, r["rod"]
        # The height of the piston pin over the crank's centre, by Pythagoras.
        pin = crank * cos(radians(angle)) + (rod**2 - (crank * sin(radians(angle))) ** 2) ** 0.5
        down = crank + rod - pin
        assert numbers["piston_down"].m_as("mm") == pytest.approx(down, abs=1e-9)
        above = by_hand()["clearance"] + disc(r["bore"], down)
        assert cc(numbers["above"]) == pytest.approx(above, rel=1e-12)

    def test_gasket_and_deck(self) -> None:
        numbers = gasket_and_deck_numbers(AVERAGES, one_side="0.30 mm", other_side="0.40 mm")
        assert numbers["ratio"] == pytest.approx(by_hand(deck=0.35)["ratio"], rel=1e-12)
        wrong = by_hand(deck=0.35, thickness=four()["free"])["ratio"]
        assert numbers["ratio_with_free_thickness"] == pytest.approx(wrong, rel=1e-12)

    def test_dish_and_dome(self) -> None:
        numbers = dish_and_dome_numbers("88.34 mm", "6.01 mm", "40.00 cc")
        assert cc(numbers["crown"]) == pytest.approx(40 - disc(88.34, 6.01))
        assert cc(dish_and_dome_numbers("100 mm", "10 mm", "70 cc")["crown"]) < 0, "a dome"

    def test_choose_the_change(self) -> None:
        numbers = choose_the_change_numbers(
            AVERAGES, OPTIONS, gasket="thin steel", deck_cut="0.20 mm", head_cut="0.10 mm"
        )
        # The head loses 4.8 cc a mm by heron-four-options.toml; 0.80 mm on 89.2 mm is the gasket.
        r = four()
        ratios = [
            by_hand(
                k,
                gasket_bore=89.2,
                thickness=0.80,
                deck=r["decks"][k] - 0.20,
                chambers=[c - 0.48 for c in r["chambers"]],  # type: ignore[arg-type]
            )["ratio"]
            for k in range(4)
        ]
        assert numbers["ratios"] == pytest.approx(ratios, rel=1e-9)
        assert numbers["ratio"] == pytest.approx(sum(ratios) / 4, rel=1e-9)
        assert numbers["squish"].m_as("mm") == pytest.approx(0.38 - 0.20 + 0.80)
        assert numbers["price"] == 72 + 150 + 85

    def test_fuel_air_and_cam(self) -> None:
        numbers, r = fuel_air_and_cam_numbers(AVERAGES), four()
        crank, rod, angle = r["stroke"] / 2, r["rod"], radians(180 + 52)
        pin = crank * cos(angle) + (rod**2 - (crank * sin(angle)) ** 2) ** 0.5
        trapped, clearance = disc(r["bore"], crank + rod - pin), by_hand()["clearance"]
        effective = (trapped + clearance) / clearance
        assert numbers["effective_ratio"] == pytest.approx(effective, rel=1e-12)
        # Standard air at 640 m: 93.87 kPa, ICAO standard atmosphere (value from memory).
        pressure = numbers["pressure"].m_as("kPa")
        assert pressure == pytest.approx(93.87 * effective**1.25, rel=1e-3)
        assert numbers["gauge"].m_as("kPa") == pytest.approx(pressure - 93.87, rel=1e-3)
        gamma = 1.4  # air
        efficiency = 1 - by_hand()["ratio"] ** (1 - gamma)
        assert nominal(numbers["efficiency"]) == pytest.approx(efficiency, rel=2e-3)

    def test_how_sure_is_the_root_of_the_sum_of_squares(self) -> None:
        """JCGM 100:2008, 5.1.2, with sensitivities by finite differences."""
        u = {"bore": 0.01, "stroke": 0.03, "gasket_bore": 0.05, "thickness": 0.02, "deck": 0.02,
             "crown": 0.05**0.5, "land_height": 0.05, "land_clearance": 0.02}  # fmt: skip
        r = {**four(), "deck": four()["decks"][0]}
        slopes = {
            name: (by_hand(**{name: r[name] + 1e-4})["ratio"]
                   - by_hand(**{name: r[name] - 1e-4})["ratio"]) / 2e-4
            for name in u
        }  # fmt: skip
        chamber = [
            by_hand(chambers=[four()["chambers"][0] + step])["ratio"]  # type: ignore[arg-type]
            for step in (1e-4, -1e-4)
        ]
        squares = [(slopes[name] * u[name]) ** 2 for name in u]
        squares.append(((chamber[0] - chamber[1]) / 2e-4 * 0.15) ** 2)
        found = how_sure_numbers(AVERAGES)
        assert found["ratio"].std_dev == pytest.approx(sum(squares) ** 0.5, rel=1e-5)
        shares = {line.name: line.share for line in found["budget"].lines}
        assert shares["bore"] == pytest.approx(squares[0] / sum(squares), rel=1e-3)

    def test_cc_the_chamber(self) -> None:
        numbers = cc_the_chamber_numbers([("0.60 mL", "25.00 mL"), ("0.05 mL", "22.60 mL")])
        assert cc(numbers["chamber"]) == pytest.approx(24.40 + 22.55)

    def test_read_the_tools(self) -> None:
        right = next(settings(TOOLS["burette", "mL"], 4)).shown
        assert read_the_tools_numbers("burette", "mL", right, seed=4).is_right
        assert not read_the_tools_numbers("burette", "mL", right, seed=4, turn=2).is_right

    def test_build_sheet(self) -> None:
        plans = build_sheet_numbers("heron-four", top=3)
        assert [plan["price"] for plan in plans] == sorted(plan["price"] for plan in plans)
        assert all(9.0 <= plan["compression_ratio"] <= 9.5 for plan in plans)

    def test_write_a_number(self) -> None:
        assert write_a_number_numbers("50 thou")["mm"] == "1.270 mm", "1 in = 25.4 mm, exact"
        assert write_a_number_numbers("1 cu in")["cc"] == "16.39 cc"
        with pytest.raises(Refused, match="no unit"):
            write_a_number_numbers("3.905")


class TestPanelsShowTheTwinsNumbers:
    def test_add_it_up_after_a_slider(self) -> None:
        panel = opened("add_it_up")
        control(panel, "compressed thickness").slide(1.10)
        ratio = show_ratio(by_hand(thickness=1.10)["ratio"])
        assert f"compression ratio {ratio}" in said(panel)
        assert f"ratio {ratio}" in texts(panel)
        panel.shows.take("the count")
        assert f"{ratio} times" in texts(panel)

    def test_add_it_up_of_each_cylinder(self) -> None:
        panel = opened("add_it_up")
        for number in range(4):
            panel.cylinders.choose(number)
            ratio = show_ratio(by_hand(number)["ratio"])
            assert f"Cylinder {number + 1}: compression ratio {ratio}" in said(panel)

    def test_two_volumes_at_an_angle(self) -> None:
        panel = opened("two_volumes")
        control(panel, "crank angle").slide(60)
        numbers = two_volumes_numbers("heron-four", "60 deg")
        assert show(numbers["above"], "cc") in said(panel)
        assert show(numbers["piston_down"], "mm") in said(panel)

    def test_bore_and_stroke_bored_out(self) -> None:
        panel = opened("bore_and_stroke")
        control(panel, "overbore").type("20 thou")
        assert f"displacement {4 * disc(88.34 + 0.508, 85.72):.2f} cc" in said(panel)
        panel.how_many.choose(6)
        assert f"displacement {6 * disc(88.34 + 0.508, 85.72):.2f} cc" in said(panel)

    def test_bore_and_stroke_names_the_bar_only_where_one_is_seen(self) -> None:
        panel = opened("bore_and_stroke")
        bar = f"engine as measured, {4 * disc(88.34, 85.72):.2f} cc"
        assert bar not in said(panel)
        control(panel, "overbore").type("20 thou")
        assert bar in said(panel)

    def test_gasket_and_deck_when_the_piston_rocks(self) -> None:
        panel = opened("gasket_and_deck")
        control(panel, "deck, one side").slide(0.30)
        assert "the piston rocks 0.080 mm" in said(panel)
        assert "deck clearance 0.340 mm" in said(panel)
        assert show_ratio(by_hand(deck=0.34)["ratio"]) in said(panel)

    def test_dish_and_dome_reading_and_crown_follow_each_other(self) -> None:
        panel = opened("dish_and_dome")
        control(panel, "poured").type("60.00 cc")
        flat = disc(88.34, 12.0)
        dish = control(panel, "dish (dome: minus)")
        assert dish.text == f"{60 - flat - 1.7:.2f} cc"
        assert "a dome" in said(panel)
        assert "no plate will lie flat" in said(panel)
        dish.slide(5.0)
        assert control(panel, "poured").text == f"{flat + 5.0 + 1.7:.2f} cc"
        assert "a flat plate works too and reads 6.70 cc" in said(panel)

    def test_choose_the_change(self) -> None:
        panel = opened("choose_the_change")
        panel.gaskets.take(3)
        control(panel, "deck cut").slide(0.20)
        numbers = choose_the_change_numbers(gasket="thin steel", deck_cut="0.20 mm")
        told = said(panel)
        assert f"Mean ratio {show_ratio(numbers['ratio'])}" in told
        assert f"squish clearance {show(numbers['squish'], 'mm')}" in told
        assert "Price 222" in told
        assert "not permission to cut or to run" in told

    @pytest.mark.parametrize(
        ("typed", "words"),
        [
            ("2.00 mm", "the shop cuts 0.400 mm at most"),
            ("0.12 mm", "the shop cuts in steps of 0.050 mm"),
            ("-0.1 mm", "cannot be negative"),
        ],
    )
    def test_a_cut_that_the_shop_does_not_make_is_refused(self, typed: str, words: str) -> None:
        panel = opened("choose_the_change")
        before = panel.svg
        deck_cut = control(panel, "deck cut")
        deck_cut.type(typed)
        assert words in deck_cut.says
        assert panel.svg == before

    def test_a_part_that_stands_the_piston_into_the_head_is_refused(self) -> None:
        options = parse_options(
            """
            format = 1
            [target]
            ratio = [9.0, 9.5]
            [[piston]]
            name = "far too tall"
            compression_height_change = "2.0 mm"
            price = 1
            """
        )
        panel = opened("choose_the_change", "heron-four", options)
        before = panel.svg
        panel.pistons.take(1)
        assert "meet the head" in said(panel)
        assert panel.svg == before

    def test_fuel_air_and_cam_by_fuel_and_altitude(self) -> None:
        panel = opened("fuel_air_and_cam")
        control(panel, "altitude").type("1500 m")
        # Standard air at 1500 m: 84.56 kPa, ICAO standard atmosphere (value from memory).
        numbers = fuel_air_and_cam_numbers("heron-four")
        pressure = 84.56 * numbers["effective_ratio"] ** 1.25
        found = float(said(panel).split("cranking pressure ")[1].split(" kPa")[0])
        assert found == pytest.approx(pressure, rel=1e-3)
        panel.fuels.choose(93)
        panel.heads.choose("aluminium")
        assert "premium pump fuel" in said(panel)
        assert "10 to 11" in said(panel)

    def test_a_change_leaves_the_outline_as_found(self) -> None:
        panel = opened("choose_the_change")
        assert "as found" not in texts(panel), "nothing is changed yet"
        panel.take("deck cut", "0.20 mm")
        assert "as found" in texts(panel)
        squish = four()["thickness"] + four()["decks"][0] - 0.20
        assert f"squish clearance {squish:.3f} mm" in panel.picture_now.title
        panel.take("deck cut", "0 mm")
        panel.take("head cut", "0.80 mm")
        assert "as found" in texts(panel)
        squish = four()["thickness"] + four()["decks"][0]
        assert f"squish clearance {squish:.3f} mm" in panel.picture_now.title, "it stays"

    def test_the_crank_turned_past_the_closing_traps_what_is_in(self) -> None:
        panel, r = opened("fuel_air_and_cam", predict=True), four()
        panel.take("picture", "the crank")
        panel.take("crank angle", "231 deg")
        assert "intake open" in texts(panel)
        panel.take("crank angle", "232 deg")  # 52° after bottom dead centre
        assert "intake closed: what is in is trapped" in texts(panel)
        assert "cc" not in " ".join(texts(panel)), "volumes would give the answer away"
        panel.guess.take("8")
        crank, rod, angle = r["stroke"] / 2, r["rod"], radians(180 + 52)
        pin = crank * cos(angle) + (rod**2 - (crank * sin(angle)) ** 2) ** 0.5
        trapped = disc(r["bore"], crank + rod - pin) + by_hand()["clearance"]
        assert f"intake closed: {trapped:.2f} cc trapped" in texts(panel)
        panel.take("intake closes, after BDC", "60 deg")
        assert "intake open" in texts(panel)
        panel.take("reset all", True)
        assert panel.picture_now.title.startswith("Crank 0°")

    def test_altitude_is_in_feet_where_lengths_are_in_inches(self) -> None:
        panel = opened("fuel_air_and_cam")
        panel.show_picture("the pressure")
        height = control(panel, "altitude")
        height.type("1524 m")
        panel.lengths.choose("in")
        assert height.text == "5000 ft"
        assert "At 5000 ft the air has 83 %" in said(panel)
        assert "5000 ft" in panel.svg
        panel.lengths.choose("mm")
        assert height.text == "1524 m"

    def test_how_sure_follows_the_doubt_about_one_reading(self) -> None:
        panel = opened("how_sure")
        before = how_sure_numbers("heron-four")["ratio"].std_dev
        share = {line.name: line.share for line in how_sure_numbers("heron-four")["budget"].lines}
        control(panel, "± pour scatter").type("0 cc")
        after = before * (1 - share["pour scatter"]) ** 0.5
        assert f"8.682 ± {after:.3f}" in said(panel)
        assert how_sure_numbers("heron-four")["ratio"].std_dev == before, "the kit's own stays"

    def test_how_sure_shows_its_lengths_in_inch_or_mm(self) -> None:
        panel = opened("how_sure")
        told, gauge = said(panel), control(panel, "± depth gauge")
        assert gauge.text == "0.017 mm"
        panel.lengths.choose("in")
        assert gauge.text == "0.0007 in"
        assert control(panel, "± burette").text.endswith(" cc")
        assert said(panel) == told, "showing is not changing"
        gauge.type("2 thou")
        assert gauge.text == "0.0020 in"
        assert said(panel) != told
        panel.engines.choose("heron-eight")
        assert panel.lengths.chosen == "in"
        panel.engines.choose("heron-four")
        assert panel.lengths.chosen == "mm"
        assert control(panel, "± depth gauge").text == "0.017 mm"

    def test_how_sure_shows_the_class(self) -> None:
        panel = opened("how_sure")
        panel.show_picture("the class's readings")
        # datasets/README.md: group D fitted a plug of too short a reach.
        assert "Look again at group D" in said(panel)

    def test_build_sheet_saves_the_planned_engine(
        self, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        from enginemath.engine.stack import mean_ratio

        monkeypatch.chdir(tmp_path)
        panel = opened("build_sheet")
        plan = build_sheet_numbers("heron-four")[0]
        panel.save.take("planned")
        ratio = nominal(mean_ratio(read_sheet("planned.toml").engine))
        assert ratio == pytest.approx(plan["compression_ratio"], rel=1e-9)
        assert panel.save.says == "Saved as planned.toml."
        panel.save.clear()
        panel.save.take("planned")
        assert "is there already" in panel.save.says

    @pytest.mark.parametrize("name", ["../x", "a/b", "C:x", "con", "NUL.toml", ".toml", "?"])
    def test_build_sheet_saves_in_its_own_folder_alone(
        self, name: str, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        inside = tmp_path / "lessons"
        inside.mkdir()
        monkeypatch.chdir(inside)
        panel = opened("build_sheet")
        panel.save.take(name)
        assert "without a folder" in panel.save.says
        assert list(tmp_path.rglob("*.toml")) == []

    def test_a_known_depth_does_not_lie_below_the_stroke(self) -> None:
        panel = opened("dish_and_dome", "heron-four")
        depth = control(panel, "known depth")
        before = panel.svg
        depth.type("90 mm")
        assert "deeper than the piston goes" in depth.says
        assert panel.svg == before

    def test_build_sheet_says_where_nothing_reaches_the_target(self) -> None:
        panel = opened("build_sheet", "heron-one")
        assert "No combination of the list keeps to every limit" in said(panel)

    def test_build_sheet_orders_what_the_work_order_orders(self) -> None:
        panel = opened("build_sheet")
        told = said(panel)
        assert "1. Cut the deck by 0.300 mm" in told
        assert "Fit the head gasket “medium steel”" in told
        assert "not permission to cut or to run" in told
        assert "Cylinder 1 is drawn" in told
        assert (
            f"ylinder 1's squish clearance {0.38 - 0.30 + 0.95:.3f} mm" in panel.picture_now.title
        )
        panel.plans.take(3)
        assert "Fit the head gasket “thin steel”" in said(panel)
