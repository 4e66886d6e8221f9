"""The pour by hand: every level is true, every blunder can be seen, letters are clear."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from enginemath.drawing.pouring.by_hand import LIFTED, Written, by_hand
from enginemath.drawing.pouring.head_on_bench import Bench
from enginemath.drawing.pouring.measured import Blunder, Comparison, measured
from tests.drawing.reader import outside, overlaps, read
from tests.drawing.solids import centre, right_half, turned_volume

HERON = Bench(47.5, 92.0)
FILLS = [Written("0.35 mL", "24.60 mL"), Written("0.80 mL")]
_HANDLE = {"circle.handle-reach", "circle.handle-focus"}


def grips(*parts: str) -> list[Grip]:
    return [Grip(part, part, 0, 0, 90, 1, "", 0) for part in parts]


@st.composite
def benches(draw) -> Bench:
    """A chamber of a 50 cc single to one of a 16-litre diesel, in any state of its pour."""
    bore = draw(st.floats(36, 180))
    chamber = bore**3 / 1000 * draw(st.floats(0.03, 0.12))
    return Bench(
        chamber,
        bore,
        inside=chamber * draw(st.floats(0, 1.02)),
        plug=draw(st.sampled_from((0.0, 1.0))),
        grease=draw(st.integers(0, 5)),
        plate=draw(st.sampled_from((0.0, LIFTED * bore))),
        tilt=draw(st.sampled_from((0.0, 3.0))),
        bubble=draw(st.sampled_from((0.0, 0.01))) * chamber,
        spilled=draw(st.sampled_from((0.0, 0.8))),
    )


def clear(picture) -> None:
    reading = read(picture.svg())
    assert [left for left in outside(reading) if left.split(" ")[0] not in _HANDLE] == []
    assert overlaps(reading) == []
    least = 20 if picture.style is PAGE_PROJECTOR else 12
    assert min((text.size for text in reading.texts), default=least) >= least


@settings(max_examples=30, deadline=None)
@given(benches(), st.floats(0, 25), st.booleans(), st.sampled_from((PAGE, PAGE_PROJECTOR)))
def test_is_clear_in_every_state(bench: Bench, reading: float, burette: bool, style) -> None:
    parts = ("tap", "tilt") if burette else ("plug", "grease", "plate")
    if burette:
        bench = replace(bench, plate=0.0)
    clear(
        by_hand(
            bench,
            reading,
            tap=40,
            burette=burette,
            written=FILLS if burette else (),
            grips=grips(*parts),
            ring="meniscus" if burette else "",
            style=style,
        )
    )


@settings(max_examples=30, deadline=None)
@given(
    benches(),
    st.floats(-0.2, 0.2),
    st.sampled_from(("bubble", "plug", "grease", "spill", "end 1")),
    st.sampled_from((PAGE, PAGE_PROJECTOR)),
)
def test_comparison_is_clear(bench: Bench, off: float, place: str, style) -> None:
    value = bench.chamber * (1 + off)
    found = Comparison(value, 0.12, bench.chamber)
    blunders = [Blunder(place, "this went wrong", value - bench.chamber)]
    picture = measured(
        found, replace(bench, plate=0, tilt=0), written=FILLS, blunders=blunders, style=style
    )
    clear(picture)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.85])
def test_water_stands_as_high_as_its_volume(share: float) -> None:
    cc = share * HERON.chamber
    reading = read(by_hand(replace(HERON, inside=cc)).svg())
    heads = reading.all("head")
    scale = (heads[1].box[2] - heads[0].box[0]) / (2 * 0.64 * HERON.bore)
    found = turned_volume(right_half(reading.one("water"))) / scale**3 / 1000
    assert found == pytest.approx(cc, rel=5e-3)


def test_water_stays_level_in_a_tilted_head() -> None:
    reading = read(by_hand(replace(HERON, inside=20, tilt=3)).svg())
    left, right = reading.one("water").points[:2]
    assert left[1] == pytest.approx(right[1], abs=0.02)
    turned = reading.first("face").points
    slope = math.degrees(math.atan2(turned[1][1] - turned[0][1], turned[1][0] - turned[0][0]))
    assert slope == pytest.approx(3, abs=0.01)


def test_a_bubble_wanders_to_the_hole_when_tilted() -> None:
    def bubble_at(tilt: float) -> tuple[float, float]:
        bench = replace(HERON, inside=46.8, bubble=0.7, tilt=tilt)
        reading = read(by_hand(bench).svg())
        return centre(reading.one("bubble"))[0], centre(reading.one("in-the-hole"))[0]

    level, tilted = bubble_at(0), bubble_at(3)
    assert level[0] > level[1] + 200
    assert tilted[0] == pytest.approx(tilted[1], abs=15)


def test_what_is_wrong_can_be_seen() -> None:
    def kinds(**more) -> set[str]:
        return {s.kind for s in read(by_hand(replace(HERON, inside=47.4, **more)).svg()).shapes}

    good = kinds()
    assert not {"plug-hole", "leak", "spill", "bubble"} & good
    assert "plug-hole" in kinds(plug=0)
    assert "leak" in kinds(grease=3)
    assert "spill" in kinds(spilled=0.5)
    assert "bubble" in kinds(bubble=0.5)


def test_water_is_drawn_as_water_everywhere() -> None:
    bench = replace(HERON, inside=47.5, spilled=0.5, plug=0.0)
    for shape in read(by_hand(bench, 20.0, tap=45).svg()).shapes:
        if shape.kind in ("water", "spill", "plug-hole", "column-liquid", "stream", "nozzle"):
            assert "-hatch-water" in shape.marks["fill"], shape.kind


class TestHandles:
    def test_tap_turns_round_its_cock(self) -> None:
        shut, open_ = (by_hand(HERON, tap=tap, grips=grips("tap")).handles[0] for tap in (0, 90))
        assert shut.turn == open_.turn
        assert shut.turn is not None
        x, y = shut.turn
        assert shut.y == pytest.approx(y)
        assert shut.x > x
        assert open_.x == pytest.approx(x)
        assert open_.y > y

    @pytest.mark.parametrize(
        ("part", "change", "units"),
        [("plate", {"plate": 10.0}, 10), ("plug", {"plug": 1.0}, 1), ("tilt", {"tilt": 1.0}, 1)],
    )
    def test_a_pull_follows_the_thing(self, part: str, change, units: float) -> None:
        start = replace(HERON, plug=0.0)
        before, after = (
            by_hand(bench, burette=part == "tilt", grips=grips(part)).handles[0]
            for bench in (start, replace(start, **change))
        )
        assert before.pull is not None
        # The head turns about its far foot: a small turn moves its side nearly straight up.
        slack = 6.0 if part == "tilt" else 0.05
        assert after.x - before.x == pytest.approx(units * before.pull[0], abs=slack)
        assert after.y - before.y == pytest.approx(units * before.pull[1], abs=slack)

    def test_grease_is_laid_along_the_edge(self) -> None:
        (handle,) = by_hand(
            replace(HERON, grease=2, plate=40.0), burette=False, grips=grips("grease")
        ).handles
        reading = read(by_hand(replace(HERON, grease=2, plate=40.0), burette=False).svg())
        end = reading.all("grease")[-1].points[-1]
        assert (handle.x, handle.y) == pytest.approx(end, abs=0.02)


class TestComparison:
    def test_bars_are_as_long_as_the_volumes(self) -> None:
        reading = read(measured(Comparison(46.75, 0.12, 47.4), HERON).svg())
        water, chamber = (reading.one(f"bar-{part}").box for part in ("water", "chamber"))
        share = (water[2] - water[0]) / (chamber[2] - chamber[0])
        assert share == pytest.approx(46.75 / 47.4, abs=1e-4)
        band = reading.all("interval")[0].box
        assert (band[2] - band[0]) / (water[2] - water[0]) == pytest.approx(0.24 / 46.75, abs=1e-4)

    def test_verdict_comes_in_sign_word_and_colour(self) -> None:
        good = read(measured(Comparison(47.34, 0.12, 47.4), HERON).svg()).text("inside the ±")
        bad = read(measured(Comparison(46.75, 0.12, 47.4), HERON).svg()).text("too small")
        assert good.text.startswith("✓")
        assert bad.text.startswith("✗")
        assert good.fill != bad.fill

    def test_only_what_the_spread_does_not_explain_is_pointed_at(self) -> None:
        blunders = [Blunder("plug", "plug left out", 0.9), Blunder("grease", "no seal", 0.05)]
        picture = measured(Comparison(48.35, 0.12, 47.4), HERON, blunders=blunders)
        reading = read(picture.svg())
        assert reading.text("plug left out").text == "plug left out +0.90 cc"
        assert not [t for t in reading.texts if "no seal" in t.text]
        x, y = centre(reading.one("ring"))
        left, top, right, bottom = reading.one("plug").box
        assert left < x < right
        assert top < y < bottom

    def test_magnified_as_it_says(self) -> None:
        reading = read(measured(Comparison(46.75, 0.12, 47.4), HERON).svg())
        times = float(reading.text("times larger").text.split()[0])
        bars, glass = (
            [reading.one(f"{kind}-{part}").box[2] for part in ("water", "chamber")]
            for kind in ("bar", "glass")
        )
        assert (glass[1] - glass[0]) / (bars[1] - bars[0]) == pytest.approx(times, rel=0.06)
