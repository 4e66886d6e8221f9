"""Cuts of deck and head: what they take off, and which are refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad

from enginemath.change.cuts import AngleCut, cut_deck, cut_head, cut_head_at_angle, open_area_of
from enginemath.change.fitting import fit_piston
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stack_of, stacks
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Quantity, Refused, deviation, nominal, read
from tests.change.engines import engines, mm

depths = st.floats(0, 0.5)


@pytest.fixture
def engine() -> Engine:
    return parse(EXAMPLE).engine


class TestDeckCut:
    @given(engines(), depths)
    @settings(max_examples=30)
    def test_takes_a_disc_of_the_bore_off_every_cylinder(self, engine: Engine, cut: float) -> None:
        after = cut_deck(engine, mm(cut))
        area = math.pi / 4 * engine.cylinder.bore.m_as("cm") ** 2
        for old, new in zip(stacks(engine), stacks(after), strict=True):
            lost = (old.clearance - new.clearance).m_as("cc")
            assert lost == pytest.approx(area * cut / 10, abs=1e-9)
            assert new.swept == old.swept
            assert new.ratio >= old.ratio
        for number in range(engine.count):
            lower = (engine.squish(number) - after.squish(number)).m_as("mm")
            assert lower == pytest.approx(cut, abs=1e-9)

    @given(engines(), depths)
    @settings(max_examples=30)
    def test_a_lower_piston_undoes_it(self, engine: Engine, cut: float) -> None:
        back = fit_piston(cut_deck(engine, mm(cut)), engine.piston, rise=mm(-cut))
        for old, new in zip(stacks(engine), stacks(back), strict=True):
            assert new.ratio == pytest.approx(old.ratio, rel=1e-12)

    @given(engines(), depths, depths)
    @settings(max_examples=30)
    def test_two_cuts_are_one_deeper_cut(self, engine: Engine, one: float, other: float) -> None:
        twice = cut_deck(cut_deck(engine, mm(one)), mm(other))
        once = cut_deck(engine, mm(one + other))
        assert stack_of(twice).ratio == pytest.approx(stack_of(once).ratio, rel=1e-12)

    def test_in_inches_and_in_mm_it_is_one_cut(self, engine: Engine) -> None:
        assert stack_of(cut_deck(engine, "10 thou")).ratio == pytest.approx(
            stack_of(cut_deck(engine, "0.254 mm")).ratio, rel=1e-12
        )

    def test_names_the_cylinder_whose_piston_would_meet_the_head(self) -> None:
        engine = parse(
            EXAMPLE.replace(
                'clearance = "0.35 mm"',
                'clearances = ["0.35 mm", "0.35 mm", "0.10 mm", "0.35 mm"]',
            )
        ).engine
        with pytest.raises(Refused, match=r"deck cut 1\.300 mm: cylinder 3: .* meet the head"):
            cut_deck(engine, "1.3 mm")
        assert cut_deck(engine, "1.1 mm").squish(2).m_as("mm") == pytest.approx(0.1)

    def test_its_uncertainty_goes_into_every_ratio(self, engine: Engine) -> None:
        after = cut_deck(engine, "0.20 ± 0.02 mm")
        first, second = (stack.ratio for stack in stacks(after)[:2])
        assert deviation(first) > 0
        assert deviation(first - second) == pytest.approx(0, abs=1e-12)

    @pytest.mark.parametrize(
        ("cut", "words"),
        [
            ("-0.1 mm", "cannot be negative"),
            ("0.1 cc", "a length is wanted"),
            ("15 mm", "did you mean 15 thou"),
            ("0.1", "no unit"),
        ],
    )
    def test_refuses_what_no_cut_can_be(self, engine: Engine, cut: str, words: str) -> None:
        with pytest.raises(Refused, match=words):
            cut_deck(engine, cut)


class TestHeadCut:
    @given(engines(), depths, st.floats(5, 60))
    @settings(max_examples=30)
    def test_takes_open_area_times_depth_off_every_chamber(
        self, engine: Engine, cut: float, area: float
    ) -> None:
        after = cut_head(engine, mm(cut), Quantity(area, "cm**2"))
        for number in range(engine.count):
            lost = engine.chambers[number].volume - after.chambers[number].volume
            assert lost.m_as("cc") == pytest.approx(area * cut / 10, abs=1e-9)
            assert after.squish(number) == engine.squish(number)
            assert after.decks[number] == engine.decks[number]

    def test_cc_per_mm_is_an_open_area(self, engine: Engine) -> None:
        by_volume = cut_head(engine, "0.3 mm", open_area_of(4.1))
        assert by_volume.chambers[0].volume.m_as("cc") == pytest.approx(47.5 - 0.3 * 4.1)

    @pytest.mark.parametrize("cc_per_mm", [0, -1, 1e6, math.nan])
    def test_refuses_an_area_that_cannot_be(self, cc_per_mm: float) -> None:
        with pytest.raises(Refused, match="write a number above 0"):
            open_area_of(cc_per_mm)

    def test_refuses_a_cut_that_leaves_no_chamber(self, engine: Engine) -> None:
        with pytest.raises(Refused, match=r"takes 49\.20 cc off a chamber of 47\.50 cc"):
            cut_head(engine, "12 mm", "41 cm**2")

    def test_refuses_a_cut_that_lets_the_dome_fill_the_chamber(self) -> None:
        engine = parse(EXAMPLE.replace('dish = "6.0 cc"', 'dome = "40 cc"')).engine
        with pytest.raises(Refused, match="nothing is left to burn in"):
            cut_head(engine, "8 mm", "41 cm**2")


class TestAngleCut:
    @pytest.mark.parametrize(("near", "far"), [(60.0, 100.0), (20.0, 140.0)])
    def test_takes_what_the_plane_takes_off_a_round_opening(self, near: float, far: float) -> None:
        """Against SciPy: the depth of the plane integrated over the opening."""
        cut = AngleCut("0.20 mm", "1.00 mm", width="160 mm")
        radius, centre = (far - near) / 2, (far + near) / 2
        volume, _ = dblquad(
            lambda _, x: 0.20 + 0.80 * x / 160,
            near,
            far,
            lambda x: -math.sqrt(max(0.0, radius**2 - (x - centre) ** 2)),
            lambda x: math.sqrt(max(0.0, radius**2 - (x - centre) ** 2)),
        )
        engine = parse(EXAMPLE).engine
        area = Quantity(math.pi * radius**2, "mm**2")
        after = cut_head_at_angle(engine, cut, mm(centre), area)
        lost = (engine.chambers[0].volume - after.chambers[0].volume).m_as("mm**3")
        assert lost == pytest.approx(volume, rel=1e-6)

    def test_without_an_angle_it_is_a_flat_cut(self, engine: Engine) -> None:
        flat = AngleCut("0.3 mm", "0.3 mm", width="160 mm")
        assert nominal(flat.angle.magnitude) == 0
        after = cut_head_at_angle(engine, flat, "50 mm", "41 cm**2")
        expected = cut_head(engine, "0.3 mm", "41 cm**2")
        assert after.chambers[0].volume.m_as("cc") == pytest.approx(
            expected.chambers[0].volume.m_as("cc")
        )

    def test_its_angle(self) -> None:
        cut = AngleCut("0 mm", "2 mm", width="100 mm")
        assert math.tan(cut.angle.m_as("radian")) == pytest.approx(0.02)

    def test_refuses_exchanged_edges_and_a_place_off_the_face(self) -> None:
        with pytest.raises(Refused, match=r"exchanged\?"):
            AngleCut("1 mm", "0.2 mm", width="160 mm")
        with pytest.raises(Refused, match="the face is 160"):
            AngleCut("0 mm", "1 mm", width="160 mm").depth_at(read("170 mm"))
