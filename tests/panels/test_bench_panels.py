"""The panels to practise on: instruments to read, and the virtual bench."""

from __future__ import annotations

from itertools import islice
from typing import Any

import pytest

from enginemath.answers.tool_reading import TOOLS, settings
from enginemath.bench.practice_bench import BUBBLE, DROP, LEAK, PLUG_HOLE
from enginemath.panels.frame.tap import flow
from enginemath.units import Refused
from tests.panels.opened import SVG, alerted, drawn, opened, said, texts


class TestReadTheTools:
    def test_a_right_reading_is_praised_and_counted(self) -> None:
        panel = opened("read_the_tools", "micrometer", "mm", seed=9)
        first, second = islice(settings(TOOLS["micrometer", "mm"], 9), 2)
        panel.entry.take(first.shown)
        assert panel.entry.says == "right"
        assert panel.entry.locked
        panel.another.press()
        assert panel.setting == second
        assert panel.entry.text == ""
        assert not panel.entry.locked

    def test_a_slip_is_named_and_can_be_mended(self) -> None:
        panel = opened("read_the_tools", "burette", seed=4)
        right = panel.setting.reading
        panel.entry.take(f"{right - 0.20:.2f} mL")
        assert "top of the meniscus" in panel.entry.says
        panel.entry.take(f"{right:.2f} mL")
        assert panel.entry.says.startswith("right")

    def test_the_score_of_the_session_goes_on(self) -> None:
        before = said(opened("read_the_tools"))
        panel = opened("read_the_tools", "dial indicator", "in")
        panel.entry.take(panel.setting.shown)
        after = said(opened("read_the_tools"))
        assert after != before
        assert "dial indicator" in after

    def test_a_text_that_cannot_be_read_is_not_counted(self) -> None:
        panel = opened("read_the_tools")
        before = said(panel)
        panel.entry.take("23,45 mL")
        assert "decimal point" in panel.entry.says
        assert said(panel) == before

    def test_a_reading_without_its_unit_is_judged_and_the_unit_asked_for(self) -> None:
        panel = opened("read_the_tools")
        panel.entry.take(panel.setting.shown.removesuffix(" mL"))
        assert panel.entry.says == "right; write the unit: mL was taken"

    def test_a_feeler_gauge_is_felt_leaf_by_leaf(self) -> None:
        panel = opened("read_the_tools", "feeler gauge", "mm", seed=2)
        felt = {}
        for label, place in panel.leaf.options:
            panel.leaf.choose(place)
            felt[label] = drawn(panel).find(f"{SVG}title").text.split(" leaf ")[1]
        dragging = [label for label, how in felt.items() if how == "goes in with a drag"]
        assert dragging == [panel.setting.shown]
        assert list(felt.values()).count("does not go in") >= 1
        panel.entry.take(dragging[0])
        assert panel.entry.says.startswith("right")

    def test_every_instrument_is_drawn_without_its_reading(self) -> None:
        for name, unit in TOOLS:
            if name == "feeler gauge":
                continue  # its leaves are stamped, and the one that drags is the answer
            panel = opened("read_the_tools", name, unit, seed=5)
            assert alerted(panel) == ""
            assert panel.setting.shown not in " ".join(texts(panel))
            description = "".join(drawn(panel).itertext())
            assert panel.setting.shown not in description, "the answer is not given away"


def close(panel: Any, *, plug: float = 1, grease: float = 5) -> None:
    """Put plug, grease and plate on the head by hand."""
    panel.take("spark plug", plug)
    panel.take("line of grease", grease)
    panel.take("clear plate", 0)


def write(panel: Any, name: str, off: float = 0.0) -> None:
    """Write down what the burette shows, or so much more."""
    panel.take(name, f"{panel.bench.reading + off:.2f} mL")


def fill(panel: Any, angle: float = 20.0, *, tilted: bool = True) -> None:
    """Pour the closed chamber full with the tap, true readings written down but for the last."""
    write(panel, "start reading")
    while not panel.bench.full:
        if panel.bench.empty:
            write(panel, "end reading")
            panel.take("refill the burette", True)
            write(panel, "start reading")
        panel.take("tap", angle)
        if panel.bench.full and tilted and panel.bench.pour.bubble:
            panel.take("tap", 0.0)
            panel.take("tilt of the head", 3.0)
            angle = 8.0
    panel.take("tap", 0.0)


def poured(**how: Any) -> Any:
    """A panel with a pour that is written down, and measured beside true."""
    panel = opened("cc_the_chamber")
    tilted, off = how.pop("tilted", True), how.pop("off", 0.0)
    close(panel, **how)
    fill(panel, tilted=tilted)
    write(panel, "end reading", off)
    if off:
        panel.take("go on with this reading", True)
    panel.take("picture", "measured")
    return panel


def off_by(panel: Any) -> float:
    """How much too large the panel says that it was measured."""
    told = said(panel)
    measured, true = (float(told.split(word)[1].split()[0]) for word in ("measured ", "true "))
    return measured - true


class TestCcTheChamber:
    def test_a_careful_pour_is_inside_the_uncertainty(self) -> None:
        panel = poured()
        assert 0 <= off_by(panel) <= 0.06
        assert "a careful pour" in said(panel)
        assert "✓ inside the ±" in texts(panel)
        assert "em-ring" not in panel.svg

    @pytest.mark.parametrize(
        ("how", "slip", "cc"),
        [
            ({"plug": 0}, "plug hole open", PLUG_HOLE),
            ({"grease": 3}, "no grease, water crept out", LEAK),
            ({"off": 1.0}, "end 2 misread", 1.0),
        ],
    )
    def test_a_blunder_is_told_apart_from_the_uncertainty_and_named_in_the_drawing(
        self, how: dict[str, float], slip: str, cc: float
    ) -> None:
        panel = poured(**how)
        assert off_by(panel) == pytest.approx(cc, abs=0.06)
        assert "A blunder, not the ±" in said(panel)
        assert any(text.startswith(f"{slip} +{cc:.2f} cc") for text in texts(panel))
        assert "em-ring" in panel.svg

    def test_air_left_under_the_plate_reads_small(self) -> None:
        panel = poured(tilted=False)
        bubble = panel.bench.pour.bubble
        assert BUBBLE[0] <= bubble <= BUBBLE[1]
        assert off_by(panel) == pytest.approx(-bubble, abs=0.06)
        assert "Air kept the place of water." in said(panel)
        assert any("too small" in text for text in texts(panel))

    def test_warm_water_and_thick_grease_count_too(self) -> None:
        panel = opened("cc_the_chamber")
        for tick in panel.care.values():
            tick.take(False)
        close(panel)
        assert set(panel.bench.pour.slips) == {"grease in the chamber", "warm water shrank"}

    def test_a_misread_line_is_asked_about_with_a_ring_and_without_the_answer(self) -> None:
        panel = opened("cc_the_chamber")
        close(panel)
        right = panel.bench.reading
        write(panel, "start reading", 0.3)
        assert not panel.bench.start_is_noted
        assert panel.start.says.startswith("✗")
        assert f"{right:.2f}" not in panel.start.says
        assert "look here" in texts(panel)
        panel.take("go on with this reading", True)
        assert panel.bench.start_is_noted
        assert "look here" not in texts(panel)

    def test_the_tap_runs_while_it_is_held_the_faster_the_further(self) -> None:
        ran = []
        for angle in (8.0, 30.0, 90.0):
            panel = opened("cc_the_chamber")
            close(panel)
            write(panel, "start reading")
            before = panel.bench.reading
            for _ in range(20):
                panel.take("tap", angle)
            ran.append(panel.bench.reading - before)
        beats = [DROP + 0.95 * flow(angle) for angle in (8.0, 30.0, 90.0)]
        assert ran == [pytest.approx(cc, abs=DROP) for cc in beats]

    def test_a_short_press_lets_one_drop_fall(self) -> None:
        panel = opened("cc_the_chamber")
        close(panel)
        write(panel, "start reading")
        before = panel.bench.reading
        panel.take("tap", 2.0)
        assert "The tap is open." in panel.svg
        panel.take("tap", 0.0)
        assert "The tap is open." not in panel.svg
        assert panel.bench.reading == pytest.approx(before + DROP)

    def test_the_tap_is_shut_at_the_last_line(self) -> None:
        panel = opened("cc_the_chamber")
        close(panel)
        write(panel, "start reading")
        while not panel.bench.empty:
            panel.take("tap", 90.0)
        assert panel.tap.at == 0
        assert "last line" in said(panel)
        told, reading = said(panel), panel.bench.reading
        panel.take("tap", 90.0)
        assert (said(panel), panel.bench.reading) == (told, reading), "a hand that holds on"
        assert alerted(panel) == ""

    def test_running_on_spills_and_it_is_said_at_once(self) -> None:
        panel = opened("cc_the_chamber")
        close(panel)
        fill(panel)
        assert "spilled" not in said(panel)
        panel.take("tap", "0.60 cc")
        assert "water has spilled over the plate" in said(panel)
        assert "▲ overfull: it runs over the plate" in texts(panel)

    def test_tilting_lets_the_air_out(self) -> None:
        panel = opened("cc_the_chamber")
        close(panel)
        fill(panel, tilted=False)
        assert panel.bench.pour.bubble
        panel.take("tilt of the head", 2.0)
        assert panel.bench.pour.bubble
        panel.take("tilt of the head", 3.0)
        assert not panel.bench.pour.bubble
        assert panel.tilt.at == 0
        assert "not full yet" in said(panel)

    def test_the_next_step_is_said(self) -> None:
        panel = opened("cc_the_chamber")
        assert "plug\u00a0in\u00a0its\u00a0hole" in said(panel)
        close(panel)
        assert said(panel).endswith("Read it: write down the start.")
        write(panel, "start reading")
        assert said(panel).endswith("Drops at the end.")
        while not panel.bench.empty:
            panel.take("tap", 90.0)
        assert said(panel).endswith("Write down the end.")
        write(panel, "end reading")
        assert said(panel).endswith("Not full yet: refill the burette.")

    def test_the_plate_can_be_lifted_until_water_runs(self) -> None:
        panel = opened("cc_the_chamber")
        close(panel, plug=0)
        first = panel.bench.reading
        panel.take("clear plate", 20)
        assert "the plate is off" in said(panel)
        panel.take("spark plug", 0.9)
        assert panel.plug.at == 1, "near enough is in"
        panel.take("clear plate", 0)
        assert panel.bench.reading == first, "the same burette, filled once"
        assert panel.bench.pour.plug
        write(panel, "start reading")
        with pytest.raises(Refused):
            panel.take("clear plate", 20)

    def test_the_truth_waits_until_the_pour_is_written_down(self) -> None:
        panel = opened("cc_the_chamber")
        panel.take("picture", "measured")
        true = f"{panel.bench.true_of(1):.2f}"
        assert true not in panel.svg + said(panel)
        close(panel)
        fill(panel)
        assert true not in panel.svg + said(panel)
        write(panel, "end reading")
        assert true in panel.svg
        panel.take("pour again", True)
        assert true not in panel.svg + said(panel)

    def test_what_was_done_comes_back_with_the_same_readings(self) -> None:
        panel = poured(tilted=False)
        again = opened("cc_the_chamber")
        again.restore(panel.kept)
        assert again.told == panel.told
        assert again.svg.replace(again.key, panel.key) == panel.svg
        assert len(panel.kept) < 20, "what ran is kept as one amount"

    def test_reset_all_sets_the_bench_up_as_at_the_start(self) -> None:
        first = opened("cc_the_chamber")
        panel = poured()
        panel.reset_all.press()
        assert panel.bench.record() == []
        assert panel.svg.replace(panel.key, first.key) == first.svg

    def test_running_before_reading_is_refused_in_words(self) -> None:
        panel = opened("cc_the_chamber")
        close(panel)
        panel.taps[0].press()
        assert "write down the start reading first" in said(panel)
        assert alerted(panel) == ""

    def test_a_new_engine_is_a_new_bench(self) -> None:
        panel = poured()
        panel.engines.choose("heron-eight")
        assert panel.bench.count == 8
        assert panel.bench.record() == []
        assert [number for _, number in panel.cylinders.options] == [1, 2, 3, 4, 5, 6, 7, 8]
