"""A bench to practise on: careful work finds the truth, each slip costs what it should."""

from __future__ import annotations

import csv
from dataclasses import replace
from io import StringIO
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.bench.measuring import Fill, poured_volume
from enginemath.bench.practice_bench import BUBBLE, DROP, GREASE, PLUG_HOLE, VirtualBench
from enginemath.engine.parts import Chamber
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Refused

ENGINE = parse(EXAMPLE).engine


def fill_up(bench: VirtualBench, amount: float) -> None:
    """Let run until the chamber is full, refilling the burette, true readings written down."""
    while not bench.full:
        if bench.empty:
            bench.note_end(f"{bench.reading} mL")
            bench.refill()
            bench.note_start(f"{bench.reading} mL")
        bench.run(amount)


def begin_and_refill(bench: VirtualBench, cylinder: int) -> None:
    """Run out and note a whole burette, and note where the next one starts."""
    bench.begin(cylinder)
    bench.note_start(f"{bench.reading} mL")
    while not bench.empty:
        bench.run(5.0)
    bench.note_end(f"{bench.reading} mL")
    bench.refill()
    bench.note_start(f"{bench.reading} mL")


def pour(bench: VirtualBench, cylinder: int, amount: float, *, plug: bool = True) -> None:
    """Pour one chamber and write it down."""
    bench.begin(cylinder, plug=plug)
    bench.note_start(f"{bench.reading} mL")
    fill_up(bench, amount)
    bench.note_end(f"{bench.reading} mL")


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_careful_work_finds_the_true_volume_within_a_drop(seed: int) -> None:
    bench = VirtualBench(ENGINE, seed)
    for cylinder in (1, 2, 3, 4):
        pour(bench, cylinder, DROP)
    for truth in bench.truths():
        assert 0 <= truth.measured - truth.true <= DROP + 1e-9
        assert truth.true == pytest.approx(47.5, abs=0.61), "near the engine's own chambers"


def test_the_volumes_are_hidden_behind_a_seed() -> None:
    def true(seed: int) -> list[float]:
        bench = VirtualBench(ENGINE, seed)
        for cylinder in (1, 2, 3, 4):
            pour(bench, cylinder, DROP)
        return [truth.true for truth in bench.truths()]

    assert true(1) == true(1)
    assert true(1) != true(2)
    assert len(set(true(1))) > 1


def test_pouring_fast_near_the_end_traps_air_that_reads_small() -> None:
    bench = VirtualBench(ENGINE)
    pour(bench, 1, 3.0)
    bubble = bench.pours[-1].bubble
    assert bubble > 0
    errors = bench.truths()[-1].errors
    assert errors["air under the plate"] == pytest.approx(-bubble)


@pytest.mark.parametrize("seed", range(1, 13))
def test_a_bubble_left_under_the_plate_reads_small_though_drops_end_the_pour(seed: int) -> None:
    """What lesson 04 says of air: the fast run finds room, so nothing spills against it."""
    bench = VirtualBench(ENGINE, seed)
    for cylinder in (1, 2, 3, 4):
        begin_and_refill(bench, cylinder)
        for _ in range(4):
            bench.run(5.0)
        fill_up(bench, DROP)
        bench.note_end(f"{bench.reading} mL")
    for truth in bench.truths():
        assert -BUBBLE[1] <= truth.measured - truth.true <= -BUBBLE[0] + DROP
        assert truth.errors.get("spilled over the plate", 0.0) <= DROP


def test_running_fast_into_too_little_room_spills_and_the_air_stays() -> None:
    bench = VirtualBench(ENGINE)
    bench.begin(1)
    bench.note_start(f"{bench.reading} mL")
    while bench.pour.space - bench.pour.in_chamber > 3.0:
        if bench.empty:
            bench.note_end(f"{bench.reading} mL")
            bench.refill()
            bench.note_start(f"{bench.reading} mL")
        bench.run(1.0)
    missing, before = bench.pour.space - bench.pour.in_chamber, bench.reading
    bench.run(5.0)
    assert bench.full
    assert bench.pour.bubble > 0
    assert bench.pour.spilled == pytest.approx(bench.reading - before - missing + bench.pour.bubble)


def test_tilting_lets_the_air_out_and_room_is_left_to_fill() -> None:
    bench = VirtualBench(ENGINE)
    bench.begin(1)
    bench.note_start(f"{bench.reading} mL")
    fill_up(bench, 3.0)
    bench.chase_bubble()
    assert not bench.full
    fill_up(bench, DROP)
    bench.note_end(f"{bench.reading} mL")
    assert "air under the plate" not in bench.truths()[-1].errors


def test_an_open_plug_hole_reads_large() -> None:
    bench = VirtualBench(ENGINE)
    pour(bench, 1, DROP, plug=False)
    truth = bench.truths()[-1]
    assert truth.measured - truth.true == pytest.approx(PLUG_HOLE, abs=DROP + 1e-9)
    assert truth.errors["plug hole open"] == PLUG_HOLE


def test_running_on_after_it_is_full_spills() -> None:
    bench = VirtualBench(ENGINE)
    bench.begin(1)
    bench.note_start(f"{bench.reading} mL")
    fill_up(bench, DROP)
    bench.run(0.2)
    bench.note_end(f"{bench.reading} mL")
    truth = bench.truths()[-1]
    assert truth.errors["spilled over the plate"] == pytest.approx(truth.measured - truth.true)
    assert 0.2 - 1e-9 <= truth.errors["spilled over the plate"] <= 0.2 + DROP + 1e-9


def test_a_chamber_that_was_not_filled_reads_small() -> None:
    bench = VirtualBench(ENGINE)
    bench.begin(1)
    bench.note_start(f"{bench.reading} mL")
    bench.note_end("20 mL")
    assert bench.truths()[-1].errors["not filled to the plate"] < -40


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.sampled_from([DROP, 0.2, 1.0, 2.0, 5.0]), min_size=1, max_size=30),
    st.booleans(),
    st.floats(-0.3, 0.3),
    st.floats(-0.3, 0.3),
    st.integers(1, 20),
)
def test_slips_and_reading_errors_are_the_whole_difference(
    amounts: list[float], plug: bool, start_off: float, end_off: float, seed: int
) -> None:
    bench = VirtualBench(ENGINE, seed)
    bench.begin(1, plug=plug)
    bench.note_start(f"{max(bench.reading + start_off, 0):.4f} mL")
    for amount in amounts:
        if not bench.empty:
            bench.run(amount)
    typed = min(max(bench.reading + end_off, 0), bench.capacity)
    try:
        bench.note_end(f"{typed:.4f} mL")
    except Refused:
        return  # an end above the start is no fill
    truth = bench.truths()[-1]
    assert sum(truth.errors.values()) == pytest.approx(truth.measured - truth.true, abs=1e-9)


def test_the_record_is_like_the_classes_own() -> None:
    """Read back as a CSV file it gives the same volumes, fill by fill."""
    bench = VirtualBench(ENGINE)
    pour(bench, 2, DROP)
    pour(bench, 3, DROP)
    rows = list(csv.DictReader(StringIO(bench.record_csv())))
    assert list(rows[0]) == ["cylinder", "fill", "start", "end"]
    for truth in bench.truths():
        fills = [
            Fill(row["start"], row["end"]) for row in rows if row["cylinder"] == str(truth.cylinder)
        ]
        assert len(fills) > 1, "47 cc do not run out of 25 mL"
        assert poured_volume(fills).m_as("cc") == pytest.approx(truth.measured, abs=0.011)


def test_the_bench_keeps_the_order_of_the_work() -> None:
    bench = VirtualBench(ENGINE)
    with pytest.raises(Refused, match="put the plate on"):
        bench.run(1.0)
    with pytest.raises(Refused, match="there are 4"):
        bench.begin(5)
    bench.begin(1)
    with pytest.raises(Refused, match="start reading first"):
        bench.run(1.0)
    with pytest.raises(Refused, match="start reading first"):
        bench.note_end("5 mL")
    bench.note_start("0.5 mL")
    with pytest.raises(Refused, match="already"):
        bench.note_start("0.5 mL")
    with pytest.raises(Refused, match="end reading before"):
        bench.refill()
    for _ in range(60):
        if not bench.empty:
            bench.run(1.0)
    with pytest.raises(Refused, match="last line"):
        bench.run(1.0)


@pytest.mark.parametrize("typed", ["5", "5 mm", "", "99 mL", "-1 mL"])
def test_what_is_no_reading_is_refused(typed: str) -> None:
    bench = VirtualBench(ENGINE)
    bench.begin(1)
    with pytest.raises(Refused):
        bench.note_start(typed)
    assert not bench.start_is_noted


def careless(**slip: bool) -> dict[str, float]:
    """The errors of a pour that was careful but for one thing in its set-up."""
    bench = VirtualBench(ENGINE)
    bench.begin(1, **slip)
    bench.note_start(f"{bench.reading} mL")
    fill_up(bench, DROP)
    bench.note_end(f"{bench.reading} mL")
    truth = bench.truths()[-1]
    assert sum(truth.errors.values()) == pytest.approx(truth.measured - truth.true)
    return truth.errors


def test_thick_grease_takes_room_and_reads_small() -> None:
    assert careless(thin_grease=False)["grease in the chamber"] == -GREASE


def test_warm_water_shrinks_in_the_head_and_reads_large() -> None:
    """Water grows 0.021 % a kelvin near 20 °C (handbooks, from memory): 20 K on 47 cc, 0.2 cc."""
    shrank = careless(water_stood=False)["warm water shrank"]
    assert shrank == pytest.approx(47.5 * 0.00021 * 20, rel=0.02)


@pytest.mark.parametrize("slip", ["plug", "thin_grease", "water_stood"])
def test_what_is_drawn_is_full_when_the_chamber_is(slip: str) -> None:
    bench = VirtualBench(ENGINE)
    bench.begin(1, **{slip: False})
    bench.note_start(f"{bench.reading} mL")
    bench.run(DROP)
    assert 0 < bench.pour.shown < 2 * DROP
    fill_up(bench, DROP)
    assert bench.pour.shown == pytest.approx(bench.true_volume)


def test_liquid_that_was_run_and_not_written_down_is_told() -> None:
    bench = VirtualBench(ENGINE)
    begin_and_refill(bench, 1)
    bench.run(1.0)
    truth = bench.truths()[-1]
    assert truth.errors["run but not written down"] == pytest.approx(-1.0)
    assert sum(truth.errors.values()) == pytest.approx(truth.measured - truth.true)


@pytest.mark.parametrize("seed", range(1, 6))
@pytest.mark.parametrize("cc", [0.3, 0.6, 1.0])
def test_the_smallest_chamber_can_be_poured_with_every_slip(cc: float, seed: int) -> None:
    small = replace(ENGINE, chambers=(Chamber(f"{cc} cc"),) * ENGINE.count)
    bench = VirtualBench(small, seed)
    for plug, thin_grease in product((True, False), repeat=2):
        bench.begin(1, plug=plug, thin_grease=thin_grease)
        assert bench.pour.space > 0
        bench.note_start(f"{bench.reading} mL")
        bench.run(5.0)
        assert bench.pour.true > bench.pour.bubble
        assert 0 < bench.pour.shown <= bench.pour.true
