"""The panels to practise on: instruments to read, and the virtual bench."""

from __future__ import annotations

from itertools import islice

import pytest

from enginemath.answers.tool_reading import TOOLS, settings
from enginemath.units import plain_minus
from tests.panels.opened import SVG, drawn, opened, said, texts


class TestReadTheTools:
    def test_a_right_reading_is_praised_and_counted(self) -> None:
        panel = opened("read_the_tools", "micrometer", "mm", seed=9)
        first, second = islice(settings(TOOLS["micrometer", "mm"], 9), 2)
        panel.entry.box.value = first.shown
        assert said(panel.entry.feedback) == f"Right: {first.shown}."
        assert panel.entry.box.disabled
        panel.another.click()
        assert panel.setting == second
        assert panel.entry.box.value == ""
        assert not panel.entry.box.disabled

    def test_a_slip_is_named_and_can_be_mended(self) -> None:
        panel = opened("read_the_tools", "burette", seed=4)
        right = panel.setting.reading
        panel.entry.box.value = f"{right - 0.20:.2f} mL"
        assert "top of the meniscus" in said(panel.entry.feedback)
        panel.entry.box.value = f"{right:.2f} mL"
        assert said(panel.entry.feedback).startswith("Right")

    def test_the_score_of_the_session_goes_on(self) -> None:
        before = said(opened("read_the_tools").status)
        panel = opened("read_the_tools", "dial indicator", "in")
        panel.entry.box.value = panel.setting.shown
        after = said(opened("read_the_tools").status)
        assert after != before
        assert "dial indicator" in after

    def test_a_text_without_a_unit_is_not_counted(self) -> None:
        panel = opened("read_the_tools")
        before = said(panel.status)
        panel.entry.box.value = "23.45"
        assert "no unit" in said(panel.entry.feedback)
        assert said(panel.status) == before

    def test_a_feeler_gauge_is_felt_leaf_by_leaf(self) -> None:
        panel = opened("read_the_tools", "feeler gauge", "mm", seed=2)
        felt = {}
        for label, place in panel.leaf.list.options:
            panel.leaf.list.value = place
            felt[label] = drawn(panel).find(f"{SVG}title").text.split(" leaf ")[1]
        dragging = [label for label, how in felt.items() if how == "goes in with a drag"]
        assert dragging == [panel.setting.shown]
        assert list(felt.values()).count("does not go in") >= 1
        panel.entry.box.value = dragging[0]
        assert said(panel.entry.feedback).startswith("Right")

    def test_every_instrument_is_drawn_without_its_reading(self) -> None:
        for name, unit in TOOLS:
            if name == "feeler gauge":
                continue  # its leaves are stamped, and the one that drags is the answer
            panel = opened("read_the_tools", name, unit, seed=5)
            assert said(panel.alert) == ""
            assert panel.setting.shown not in " ".join(texts(panel))
            description = "".join(drawn(panel).itertext())
            assert panel.setting.shown not in description, "the answer is not given away"


class TestCcTheChamber:
    def pour(self, panel, amount: int) -> None:
        """Pour the chamber in hand with one of the taps, writing true readings down."""
        bench = panel.bench
        panel.start.box.value = f"{bench.reading} mL"
        while not bench.full:
            if bench.empty:
                panel.end.box.value = f"{bench.reading} mL"
                panel.refill.click()
                panel.start.box.value = f"{bench.reading} mL"
            panel.taps[amount].click()
        panel.end.box.value = f"{bench.reading} mL"

    def test_a_careful_pour_reads_true(self) -> None:
        panel = opened("cc_the_chamber")
        panel.care["plug"].value = True
        panel.begin.click()
        self.pour(panel, 3)
        assert "full to the plate" in said(panel.status)
        assert "record" in panel.record.value
        panel.reveal.click()
        told = said(panel.status)
        true, measured = (
            float(told.split(word)[1].split(" cc")[0]) for word in ("true ", "measured ")
        )
        assert 0 <= measured - true <= 0.06
        assert "± " in told
        assert "error" in drawn(panel).get("class", "")

    def test_leaving_the_plug_out_is_told_at_the_end(self) -> None:
        panel = opened("cc_the_chamber")
        self.pour(panel, 1)
        panel.reveal.click()
        assert "plug hole open +1.20 cc" in said(panel.status)

    def test_each_care_not_taken_is_told_at_the_end(self) -> None:
        panel = opened("cc_the_chamber")
        for care in panel.care.values():
            care.value = False
        assert drawn(panel).find(f".//{SVG}polygon[@class='em-grease']") is not None
        self.pour(panel, 3)
        panel.reveal.click()
        for slip in ("plug hole open", "grease in the chamber", "warm water shrank"):
            assert slip in said(panel.status)

    def second_fill(self, panel) -> None:
        """Run the burette empty, note it, refill it and note the start."""
        panel.start.box.value = f"{panel.bench.reading} mL"
        while not panel.bench.empty:
            panel.taps[0].click()
        panel.end.box.value = f"{panel.bench.reading} mL"
        panel.refill.click()
        panel.start.box.value = f"{panel.bench.reading} mL"

    def test_a_bubble_is_seen_under_the_plate_and_reads_small(self) -> None:
        panel = opened("cc_the_chamber")
        panel.care["plug"].value = True
        self.second_fill(panel)
        for _ in range(4):
            panel.taps[0].click()
        assert "not full yet" in said(panel.status)
        while not panel.bench.full:
            panel.taps[3].click()
        assert "air" in texts(panel)
        assert "spilled" not in said(panel.status), "the last drop's rest is no spill"
        panel.end.box.value = f"{panel.bench.reading} mL"
        panel.reveal.click()
        told = plain_minus(said(panel.status))
        air = float(told.split("air under the plate ")[1].split(" cc")[0])
        off = float(told.split("(")[1].split(" cc")[0])
        assert off == pytest.approx(air, abs=0.06)
        assert air < -0.3

    def test_a_spill_is_said_at_once(self) -> None:
        panel = opened("cc_the_chamber")
        self.second_fill(panel)
        assert "spilled" not in said(panel.status)
        for _ in range(5):
            panel.taps[0].click()
        assert "full to the plate. Water has spilled over the plate." in said(panel.status)
        assert "spilled" in texts(panel)
        assert "Spilled: liquid lies on the plate" in drawn(panel).find(f"{SVG}desc").text
        panel.begin.click()
        assert "spilled" not in said(panel.status)
        assert "spilled" not in texts(panel)

    @pytest.mark.parametrize("projector", [False, True])
    def test_words_and_picture_agree_on_a_spill_drop_by_drop(self, projector: bool) -> None:
        panel = opened("cc_the_chamber", projector=projector)
        self.second_fill(panel)
        while not panel.bench.full:
            panel.taps[2].click()
        agreed = []
        for _ in range(4):
            agreed.append(("spilled over" in said(panel.status), "spilled" in texts(panel)))
            panel.taps[3].click()
        assert all(words == picture for words, picture in agreed)
        assert agreed[-1] == (True, True)

    def test_an_old_refusal_goes_when_something_else_succeeds(self) -> None:
        panel = opened("cc_the_chamber")
        panel.taps[0].click()
        assert "start reading first" in said(panel.status)
        panel.cylinders.value = 2
        assert "start reading first" not in said(panel.status)
        panel.end.box.value = "24.60 mL"
        assert "start reading first" in said(panel.end.feedback)
        panel.start.box.value = f"{panel.bench.reading} mL"
        assert said(panel.start.feedback) == "Written down."
        assert said(panel.end.feedback) == ""
        panel.end.box.value = "0 mL"
        assert said(panel.end.feedback)
        panel.taps[0].click()
        assert said(panel.end.feedback) == ""
        assert said(panel.start.feedback) == "Written down."

    def test_the_next_step_is_said(self) -> None:
        panel = opened("cc_the_chamber")
        bench = panel.bench
        assert said(panel.status).endswith("Next: read the burette and write down the start.")
        panel.start.box.value = f"{bench.reading} mL"
        assert said(panel.status).endswith("Next: let run, drops at the end.")
        while not bench.empty:
            panel.taps[1].click()
        assert said(panel.status).endswith("Next: read the burette and write down the end.")
        panel.end.box.value = f"{bench.reading} mL"
        assert said(panel.status).endswith("Next: refill the burette.")
        panel.refill.click()
        self.pour(panel, 3)
        assert said(panel.status).endswith("Next: put the plate on another chamber.")
        panel.cylinders.value = 2
        panel.begin.click()
        assert said(panel.status).startswith("Cylinder 2.")

    def test_the_truth_waits_for_a_record_and_hides_again_for_the_next_pour(self) -> None:
        panel = opened("cc_the_chamber")
        panel.reveal.click()
        assert "nothing is on the record yet" in said(panel.status)
        self.pour(panel, 3)
        assert "true" not in said(panel.status), "an early look does not open it later"
        panel.reveal.click()
        assert "true" in said(panel.status)
        panel.begin.click()
        assert "true" not in said(panel.status)

    def test_a_plug_fitted_in_the_middle_of_a_pour_waits_for_the_next(self) -> None:
        panel = opened("cc_the_chamber")
        panel.start.box.value = f"{panel.bench.reading} mL"
        panel.taps[0].click()
        panel.care["plug"].value = True
        assert "when the plate is put on again" in said(panel.status)
        assert not panel.bench.pour.plug
        panel.begin.click()
        assert panel.bench.pour.plug

    def test_reset_all_sets_the_bench_up_as_at_the_start(self) -> None:
        panel = opened("cc_the_chamber")
        for care in panel.care.values():
            care.value = not care.value
        self.pour(panel, 1)
        panel.reset_all.click()
        assert panel.bench.record() == []
        assert [care.value for care in panel.care.values()] == [False, True, True]
        assert (panel.bench.pour.plug, panel.bench.pour.thin_grease) == (False, True)

    def test_the_picture_does_not_tell_the_volume(self) -> None:
        panel = opened("cc_the_chamber")
        true = f"{panel.bench.true_volume:.2f}"
        assert true not in panel.image.value
        assert true not in said(panel.status)

    def test_running_before_reading_is_refused_in_words(self) -> None:
        panel = opened("cc_the_chamber")
        panel.taps[0].click()
        assert "write down the start reading first" in said(panel.status)
        assert said(panel.alert) == ""

    def test_a_new_engine_is_a_new_bench(self) -> None:
        panel = opened("cc_the_chamber")
        self.pour(panel, 1)
        panel.engines.value = "heron-eight"
        assert panel.bench.count == 8
        assert panel.bench.record() == []
        assert list(panel.cylinders.options) == [1, 2, 3, 4, 5, 6, 7, 8]
