"""The panels to practise on: instruments to read, and the virtual bench."""

from __future__ import annotations

from itertools import islice

import pytest

from enginemath.answers.tool_reading import TOOLS, settings
from enginemath.units import plain_minus
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


class TestCcTheChamber:
    def pour(self, panel, amount: int) -> None:
        """Pour the chamber in hand with one of the taps, writing true readings down."""
        bench = panel.bench
        panel.start.take(f"{bench.reading} mL")
        while not bench.full:
            if bench.empty:
                panel.end.take(f"{bench.reading} mL")
                panel.refill.press()
                panel.start.take(f"{bench.reading} mL")
            panel.taps[amount].press()
        panel.end.take(f"{bench.reading} mL")

    def test_a_careful_pour_reads_true(self) -> None:
        panel = opened("cc_the_chamber")
        panel.care["plug"].take(True)
        panel.begin.press()
        self.pour(panel, 3)
        assert "full to the plate" in said(panel)
        assert "record" in panel.record.html
        panel.reveal.press()
        told = said(panel)
        true, measured = (
            float(told.split(word)[1].split(" cc")[0]) for word in ("true ", "measured ")
        )
        assert 0 <= measured - true <= 0.06
        assert "± " in told
        assert "error" in drawn(panel).get("class", "")

    def test_leaving_the_plug_out_is_told_at_the_end(self) -> None:
        panel = opened("cc_the_chamber")
        self.pour(panel, 1)
        panel.reveal.press()
        assert "plug hole open +1.20 cc" in said(panel)

    def test_each_care_not_taken_is_told_at_the_end(self) -> None:
        panel = opened("cc_the_chamber")
        for care in panel.care.values():
            care.take(False)
        assert drawn(panel).find(f".//{SVG}polygon[@class='em-grease']") is not None
        self.pour(panel, 3)
        panel.reveal.press()
        for slip in ("plug hole open", "grease in the chamber", "warm water shrank"):
            assert slip in said(panel)

    def second_fill(self, panel) -> None:
        """Run the burette empty, note it, refill it and note the start."""
        panel.start.take(f"{panel.bench.reading} mL")
        while not panel.bench.empty:
            panel.taps[0].press()
        panel.end.take(f"{panel.bench.reading} mL")
        panel.refill.press()
        panel.start.take(f"{panel.bench.reading} mL")

    def test_a_bubble_is_seen_under_the_plate_and_reads_small(self) -> None:
        panel = opened("cc_the_chamber")
        panel.care["plug"].take(True)
        self.second_fill(panel)
        for _ in range(4):
            panel.taps[0].press()
        assert "not full yet" in said(panel)
        while not panel.bench.full:
            panel.taps[3].press()
        assert "air" in texts(panel)
        assert "spilled" not in said(panel), "the last drop's rest is no spill"
        panel.end.take(f"{panel.bench.reading} mL")
        panel.reveal.press()
        told = plain_minus(said(panel))
        air = float(told.split("air under the plate ")[1].split(" cc")[0])
        off = float(told.split("(")[1].split(" cc")[0])
        assert off == pytest.approx(air, abs=0.06)
        assert air < -0.3

    def test_a_spill_is_said_at_once(self) -> None:
        panel = opened("cc_the_chamber")
        self.second_fill(panel)
        assert "spilled" not in said(panel)
        for _ in range(5):
            panel.taps[0].press()
        assert "full to the plate. Water has spilled over the plate." in said(panel)
        assert "spilled" in texts(panel)
        assert "Spilled: liquid lies on the plate" in drawn(panel).find(f"{SVG}desc").text
        panel.begin.press()
        assert "spilled" not in said(panel)
        assert "spilled" not in texts(panel)

    @pytest.mark.parametrize("projector", [False, True])
    def test_words_and_picture_agree_on_a_spill_drop_by_drop(self, projector: bool) -> None:
        panel = opened("cc_the_chamber", projector=projector)
        self.second_fill(panel)
        while not panel.bench.full:
            panel.taps[2].press()
        agreed = []
        for _ in range(4):
            agreed.append(("spilled over" in said(panel), "spilled" in texts(panel)))
            panel.taps[3].press()
        assert all(words == picture for words, picture in agreed)
        assert agreed[-1] == (True, True)

    def test_an_old_refusal_goes_when_something_else_succeeds(self) -> None:
        panel = opened("cc_the_chamber")
        panel.taps[0].press()
        assert "start reading first" in said(panel)
        panel.cylinders.choose(2)
        assert "start reading first" not in said(panel)
        panel.end.take("24.60 mL")
        assert "start reading first" in panel.end.says
        panel.start.take(f"{panel.bench.reading} mL")
        assert panel.start.says == "Written down."
        assert panel.end.says == ""
        panel.end.take("0 mL")
        assert panel.end.says
        panel.taps[0].press()
        assert panel.end.says == ""
        assert panel.start.says == "Written down."

    def test_the_next_step_is_said(self) -> None:
        panel = opened("cc_the_chamber")
        bench = panel.bench
        assert said(panel).endswith("Next: read the burette and write down the start.")
        panel.start.take(f"{bench.reading} mL")
        assert said(panel).endswith("Next: let run, drops at the end.")
        while not bench.empty:
            panel.taps[1].press()
        assert said(panel).endswith("Next: read the burette and write down the end.")
        panel.end.take(f"{bench.reading} mL")
        assert said(panel).endswith("Next: refill the burette.")
        panel.refill.press()
        self.pour(panel, 3)
        assert said(panel).endswith("Next: put the plate on another chamber.")
        panel.cylinders.choose(2)
        panel.begin.press()
        assert said(panel).startswith("Cylinder 2.")

    def test_the_truth_waits_for_a_record_and_hides_again_for_the_next_pour(self) -> None:
        panel = opened("cc_the_chamber")
        panel.reveal.press()
        assert "nothing is on the record yet" in said(panel)
        self.pour(panel, 3)
        assert "true" not in said(panel), "an early look does not open it later"
        panel.reveal.press()
        assert "true" in said(panel)
        panel.begin.press()
        assert "true" not in said(panel)

    def test_a_plug_fitted_in_the_middle_of_a_pour_waits_for_the_next(self) -> None:
        panel = opened("cc_the_chamber")
        panel.start.take(f"{panel.bench.reading} mL")
        panel.taps[0].press()
        panel.care["plug"].take(True)
        assert "when the plate is put on again" in said(panel)
        assert not panel.bench.pour.plug
        panel.begin.press()
        assert panel.bench.pour.plug

    def test_reset_all_sets_the_bench_up_as_at_the_start(self) -> None:
        panel = opened("cc_the_chamber")
        for care in panel.care.values():
            care.take(not care.on)
        self.pour(panel, 1)
        panel.reset_all.press()
        assert panel.bench.record() == []
        assert [care.on for care in panel.care.values()] == [False, True, True]
        assert (panel.bench.pour.plug, panel.bench.pour.thin_grease) == (False, True)

    def test_the_picture_does_not_tell_the_volume(self) -> None:
        panel = opened("cc_the_chamber")
        true = f"{panel.bench.true_volume:.2f}"
        assert true not in panel.svg
        assert true not in said(panel)

    def test_running_before_reading_is_refused_in_words(self) -> None:
        panel = opened("cc_the_chamber")
        panel.taps[0].press()
        assert "write down the start reading first" in said(panel)
        assert alerted(panel) == ""

    def test_a_new_engine_is_a_new_bench(self) -> None:
        panel = opened("cc_the_chamber")
        self.pour(panel, 1)
        panel.engines.choose("heron-eight")
        assert panel.bench.count == 8
        assert panel.bench.record() == []
        assert [number for _, number in panel.cylinders.options] == [1, 2, 3, 4, 5, 6, 7, 8]
