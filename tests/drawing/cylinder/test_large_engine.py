"""The large engine of a lesson page: true to scale in every state, its letters clear."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.drawing.cylinder.counting import counting
from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.section import SectionView
from enginemath.drawing.cylinder.sizing import sizing
from enginemath.drawing.cylinder.taking_hold import taking_hold
from enginemath.drawing.cylinder.turning import CRANK, turned_on, turning
from enginemath.drawing.paper.handles import KNOB
from enginemath.drawing.paper.number_line import ratio_line, squish_line
from enginemath.drawing.paper.palette import PAGE, PAGE_PROJECTOR
from enginemath.drawing.paper.svg import Picture
from tests.drawing.engines import HERON, engines, volumes
from tests.drawing.reader import Reading, outside, overlaps, read
from tests.drawing.solids import centre, right_half, turned_volume

styles = st.sampled_from((PAGE, PAGE_PROJECTOR))
SIZE = [Grip(part, part, 90.0, 30, 200, 0.1) for part in ("bore", "stroke")]
MOST = 4.0
"""Milliseconds that a change may take; the least of several runs, as the machine is shared."""
_HANDLE = {"circle.handle-reach", "circle.handle-focus"}


def grips(view: SectionView) -> list[Grip]:
    return [
        Grip("chamber", "chamber volume", view.chamber, 0, 9999, 0.1, "cc", 2),
        Grip("crown", "dish volume", view.dish, -999, 999, 0.1, "cc", 2),
        Grip("gasket", "gasket thickness", view.gasket_thickness, 0.2, 4, 0.01),
        Grip("deck", "deck clearance", view.deck_clearance, -1, 2, 0.01),
    ]


def held(view: SectionView, **more) -> Picture:
    lines = [ratio_line(volumes(view).ratio, (9.0, 9.5)), squish_line(view.squish)]
    return taking_hold(view, lines, **more)


def clear(picture: Picture) -> Reading:
    """Everything lies inside and no letters touch."""
    reading = read(picture.svg())
    assert [left for left in outside(reading) if left.split(" ")[0] not in _HANDLE] == []
    assert overlaps(reading) == []
    least = 20 if picture.style is PAGE_PROJECTOR else 12
    assert min(text.size for text in reading.texts) >= least
    return reading


class TestTurning:
    @settings(max_examples=25, deadline=None)
    @given(
        engines(),
        styles,
        st.sampled_from(("mm", "in")),
        st.booleans(),
        st.sampled_from((None, 20, 60, 85)),
    )
    def test_is_clear_for_odd_engines(self, view, style, unit, told, closes) -> None:
        clearance = volumes(view).clearance if told else None
        picture = turning(
            view,
            [(0, view.angle % 360)],
            clearance=clearance,
            closes=closes,
            unit=unit,
            style=style,
            hint=True,
        )
        clear(picture)

    @settings(max_examples=25, deadline=None)
    @given(engines())
    def test_rod_and_crank_keep_their_lengths(self, view) -> None:
        view = replace(view, rod_length=view.rod_length or 1.7 * view.stroke)
        reading = read(turning(view).svg())
        walls = reading.all("wall")
        scale = (walls[1].box[0] - walls[0].box[2]) / view.bore
        piston_pin, crank_pin = centre(reading.one("rod-end")), centre(reading.one("crank-pin"))
        crank = centre(reading.one("crank-journal"))
        # Marks are written with two decimals of a px.
        assert math.dist(piston_pin, crank_pin) / scale == pytest.approx(
            view.rod_length, abs=0.06 / scale, rel=3e-4
        )
        assert math.dist(crank_pin, crank) / scale == pytest.approx(
            view.crank_radius, abs=0.06 / scale, rel=3e-4
        )
        top, bottom = (y for _, y in reading.first("level").points[1::2])
        assert (bottom - top) / scale == pytest.approx(view.stroke, abs=0.03 / scale, rel=3e-4)

    def test_graph_stands_level_with_the_piston(self) -> None:
        """r = 44.25, l = 145, 90°: r + l − √(l² − r²) = 51.1665 mm, by hand."""
        reading = read(turning(replace(HERON, angle=90.0), [(0, 90)]).svg())
        walls = reading.all("wall")
        scale = (walls[1].box[0] - walls[0].box[2]) / HERON.bore
        top = reading.first("level").points[0][1]
        _, now = centre(reading.one("now"))
        assert (now - top) / scale == pytest.approx(51.1665, abs=0.03)
        assert reading.first("piston").box[1] == pytest.approx(now, abs=0.02)
        assert reading.one("way").points[-1][1] == pytest.approx(now, abs=0.02)

    def test_only_what_was_turned_is_drawn(self) -> None:
        assert read(turning(HERON).svg()).all("way") == []
        ways = read(turning(HERON, [(0, 40), (200, 260)]).svg()).all("way")
        axis = read(turning(HERON, [(0, 360)]).svg()).one("way").box
        wide = axis[2] - axis[0]
        spans = [(way.box[2] - way.box[0]) / wide * 360 for way in ways]
        assert spans == pytest.approx([40, 60], abs=0.05)

    def test_the_crank_pin_is_its_handle(self) -> None:
        picture = turning(replace(HERON, angle=77.0))
        (handle,) = picture.handles
        reading = read(picture.svg())
        pin, middle = centre(reading.one("crank-pin")), centre(reading.one("crank-journal"))
        assert (handle.x, handle.y) == pytest.approx(pin, abs=0.02)
        assert handle.turn == pytest.approx(middle, abs=0.02)
        assert handle.told == "77°, piston 40.85 mm down"
        assert turning(HERON, grip=None).handles == []

    def test_without_a_rod_the_graph_is_taken(self) -> None:
        (handle,) = turning(replace(HERON, rod_length=None), grip=CRANK).handles
        assert handle.name == "crank angle"
        assert handle.turn is None
        assert handle.pull is not None
        assert handle.pull[1] == 0

    def test_volumes_are_told_only_when_given(self) -> None:
        assert " cc" not in turning(HERON).svg()
        told = turning(replace(HERON, angle=180.0), clearance=66.65)
        assert "66.65 cc at the top, 654.96 cc at the bottom" in told.description

    def test_intake_opens_and_traps(self) -> None:
        """What is above the piston 60° after the bottom is trapped.

        r = 44.25, l = 145: 44.25 + 145 + 44.25·cos 60° − √(145² − (44.25·sin 60°)²) = 71.531 mm;
        π/4 · 9.2² · 7.1531 = 475.51 cc, and 66.65 cc of clearance, by hand.
        """

        def valves(angle: float) -> list[float]:
            drawn = turning(replace(HERON, angle=angle), closes=60, clearance=66.65)
            return [valve.box[3] for valve in read(drawn.svg()).all("valve")]

        open_, shut = valves(110), valves(250)
        assert open_[0] > open_[1] + 5
        assert shut[0] == shut[1]
        told = read(turning(replace(HERON, angle=250.0), closes=60, clearance=66.65).svg())
        assert told.text("trapped").text == "intake closed: 542.16 cc trapped"
        parts = read(turning(HERON, [(0, 300)], closes=60).svg()).all("travelled")
        assert [part.marks["fill-opacity"] for part in parts] == ["0.3", "1"]

    def test_stretches_join_and_wrap(self) -> None:
        turned: tuple[tuple[float, float], ...] = ()
        for before, after in ((0, 100), (100, 60), (360, 300), (60, -20)):
            turned = turned_on(turned, before, after)
        assert turned == ((0, 100), (300, 360))
        assert turned_on((), 10, 400) == ((0, 360),)


class TestCounting:
    @settings(max_examples=25, deadline=None)
    @given(engines(), styles, st.floats(0, 26), st.floats(1, 30))
    def test_is_clear_for_odd_engines(self, view, style, laid, guess) -> None:
        clear(counting(view, volumes(view), laid, guess=guess, style=style))

    @settings(max_examples=25, deadline=None)
    @given(engines())
    def test_the_pile_is_the_big_space_to_scale(self, view) -> None:
        parts = volumes(view)
        reading = read(counting(view, parts, 99).svg())
        walls = reading.all("wall")
        scale = (walls[1].box[0] - walls[0].box[2]) / view.bore
        left, top, right, bottom = reading.one("big-space").box
        held_cc = math.pi / 4 * ((right - left) / scale) ** 2 * (bottom - top) / scale / 1000
        assert held_cc == pytest.approx(parts.swept + parts.clearance, rel=2e-3)
        slices = reading.all("slice")
        assert len(slices) == math.ceil(parts.ratio - 1e-9)
        last = slices[-1].box[3] - slices[-1].box[1]
        first = slices[0].box[3] - slices[0].box[1]
        assert last / first == pytest.approx(parts.ratio % 1 or 1, abs=0.03 / first)

    def test_a_slice_shows_each_part_by_its_share(self) -> None:
        reading = read(counting(HERON, volumes(HERON), 1).svg())
        wide = reading.one("slice").box[2] - reading.one("slice").box[0]
        chamber = reading.one("slice-chamber").box
        assert (chamber[2] - chamber[0]) / wide == pytest.approx(47.5 / 66.6496, abs=1e-3)

    def test_a_dome_is_taken_off_the_chamber(self) -> None:
        view = replace(HERON, dish=-8.0, reliefs=0.0)
        parts = volumes(view)
        reading = read(counting(view, parts, 1).svg())
        wide = reading.one("slice").box[2] - reading.one("slice").box[0]
        chamber = reading.one("slice-chamber").box
        share = (chamber[2] - chamber[0]) / wide
        assert share == pytest.approx((47.5 - 8.0) / parts.clearance, abs=1e-3)

    def test_nothing_of_the_result_before_the_guess(self) -> None:
        svg = counting(HERON, volumes(HERON)).svg()
        reading = read(svg)
        assert reading.all("marker") == reading.all("slice") == []
        assert not [t for t in reading.texts if t.kind in ("said", "count")]
        assert "66.6" not in reading.description + reading.title

    def test_it_counts_up(self) -> None:
        for laid in (0.4, 3.7, 8.2):
            said = read(counting(HERON, volumes(HERON), laid).svg()).text("…").text
            assert said == f"{int(laid)} …"
        assert read(counting(HERON, volumes(HERON), 10).svg()).text("times").text == "9.83 times"


class TestTakingHold:
    @settings(max_examples=25, deadline=None)
    @given(engines(), styles, st.sampled_from(("mm", "in")), st.booleans())
    def test_is_clear_for_odd_engines(self, view, style, unit, lens) -> None:
        picture = held(
            view,
            found=replace(view, chamber=1.1 * view.chamber),
            grips=grips(view),
            lens=("gasket", "deck") if lens else (),
            spoken=("chamber", "gasket", "deck", "crown", "crevice"),
            guess=9.0,
            unit=unit,
            style=style,
        )
        clear(picture)

    @pytest.mark.parametrize("part", ["chamber", "crown"])
    @pytest.mark.parametrize("dish", [6.0, -8.0])
    def test_a_pull_follows_the_outline(self, part: str, dish: float) -> None:
        """Pulled by what the handle says, the handle stands where the new drawing has it."""
        view = replace(HERON, dish=dish)
        name = "chamber" if part == "chamber" else "dish"
        more = replace(view, **{name: getattr(view, name) + 0.1})
        (before,) = [h for h in held(view, grips=grips(view), found=view).handles if name in h.name]
        (after,) = [h for h in held(more, grips=grips(more), found=view).handles if name in h.name]
        assert before.pull is not None
        assert after.y - before.y == pytest.approx(0.1 * before.pull[1], rel=0.02)

    @pytest.mark.parametrize(
        ("name", "field"),
        [("gasket thickness", "gasket_thickness"), ("deck clearance", "deck_clearance")],
    )
    def test_a_gap_is_pulled_in_the_magnifier(self, name: str, field: str) -> None:
        more = replace(HERON, **{field: getattr(HERON, field) + 0.2})
        found = []
        for view in (HERON, more):
            picture = held(view, grips=grips(view), found=HERON, lens=("gasket", "deck"))
            found += [handle for handle in picture.handles if handle.name == name]
        assert found[0].pull is not None
        assert found[1].y - found[0].y == pytest.approx(0.2 * found[0].pull[1], abs=0.02)
        assert abs(found[0].pull[1]) > 20, "a hundredth of a mm can be pulled"

    def test_magnifier_is_as_large_as_it_says(self) -> None:
        reading = read(held(HERON, lens=("gasket",)).svg())
        times = float(reading.text("times larger").text.split()[0])
        gaps = [s.box[3] - s.box[1] for s in reading.all("gasket")]
        assert gaps[1] / gaps[0] == pytest.approx(times, rel=0.02)

    def test_as_found_is_dashed_only_after_a_change(self) -> None:
        assert read(held(HERON, found=HERON).svg()).all("ghost") == []
        changed = read(held(replace(HERON, dish=7.0), found=HERON).svg())
        ghost = changed.all("ghost")
        assert ghost
        assert all(shape.marks["stroke-dasharray"] for shape in ghost)
        assert changed.text("as found")

    def test_a_lesson_names_what_it_speaks_of(self) -> None:
        told = {t.text for t in read(held(HERON, spoken=("chamber", "crevice")).svg()).texts}
        assert {"chamber", "ring-land crevice"} <= told
        assert not {"gasket", "dish", "deck clearance"} & told
        assert read(held(HERON).svg()).all("leader") == []

    @pytest.mark.parametrize("part", ["chamber", "gasket", "deck", "crown", "crevice"])
    def test_a_verdict_rings_the_part(self, part: str) -> None:
        reading = read(held(HERON, ring=part).svg())
        kind = {"crown": "dish"}.get(part, part)
        x, y = centre(reading.one("ring"))
        boxes = [shape.box for shape in reading.all(kind)]
        assert any(a - 1 <= x <= c + 1 and b - 1 <= y <= d + 1 for a, b, c, d in boxes)

    def test_a_part_has_one_place(self) -> None:
        """The magnified one, where there is a magnifier: a page puts its ring there."""
        svg = held(HERON, lens=("gasket", "deck")).svg()
        assert svg.count("em-part-gasket") == 1
        place, glass = (
            centre(read(svg).one("place em-part-gasket")),
            centre(read(svg).all("lens")[0]),
        )
        assert math.dist(place, glass) < 100

    def test_drawn_solids_hold_their_volume(self) -> None:
        reading = read(taking_hold(HERON).svg())
        walls = reading.all("wall")
        scale = (walls[1].box[0] - walls[0].box[2]) / HERON.bore
        for kind, volume in (("chamber", 47.5), ("dish", 6.0)):
            found = turned_volume(right_half(reading.first(kind))) / scale**3 / 1000
            assert found == pytest.approx(volume, rel=3e-3)


@settings(max_examples=20, deadline=None)
@given(engines(), styles)
def test_handles_lie_apart_from_letters_and_each_other(view, style) -> None:
    pictures = [
        held(view, grips=grips(view), lens=("gasket", "deck"), spoken=("chamber",), style=style),
        sizing(view, cylinders=4, grips=SIZE, style=style),
    ]
    for picture in pictures:
        knob = KNOB * style.frame
        texts = read(picture.svg()).texts
        for number, handle in enumerate(picture.handles):
            for text in texts:
                left, top, right, bottom = text.box
                across = max(left - handle.x, 0, handle.x - right)
                down = max(top - handle.y, 0, handle.y - bottom)
                # A few px of a letter's empty box may lie under the knob's edge.
                assert math.hypot(across, down) > knob - 8, (handle.name, text.text)
            for other in picture.handles[number + 1 :]:
                apart = math.dist((handle.x, handle.y), (other.x, other.y))
                assert apart > 1.5 * knob, (handle.name, other.name)
