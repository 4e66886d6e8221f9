"""What is left to cut, and what a cut does to the intake side of a V."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.change.changed import effect
from enginemath.change.cuts import cut_head, metal_left
from enginemath.formulas.vee import intake_face_cut, manifold_drop
from enginemath.sheets import EXAMPLE, parse
from enginemath.units import Quantity, Refused, nominal


class TestMetalLeft:
    def test_what_is_left_after_a_cut(self) -> None:
        left = metal_left("9.000 in", minimum="8.990 in", cut="4 thou")
        assert left.m_as("thou") == pytest.approx(6.0)

    def test_down_to_the_minimum_is_allowed(self) -> None:
        assert nominal(metal_left("132.6 mm", "132.3 mm", "0.3 mm").m_as("mm")) == pytest.approx(0)

    @pytest.mark.parametrize(
        ("height", "cut", "words"),
        [
            ("132.60 mm", "0.31 mm", "at most 0.300 mm may be cut"),
            ("132.20 mm", "0 mm", "cut nothing"),
        ],
    )
    def test_below_the_minimum_is_refused(self, height: str, cut: str, words: str) -> None:
        with pytest.raises(Refused, match=words):
            metal_left(height, minimum="132.30 mm", cut=cut)


class TestVee:
    @pytest.mark.parametrize(
        ("formula", "expected"),
        # V8 workshop-manual milling factors for a 90° V whose intake face stands square to the
        # deck (trade lore, from memory); printed to three digits, tolerance 0.005.
        [(intake_face_cut, 1.0), (manifold_drop, 1.414)],
    )
    def test_published_factors(self, formula: object, expected: float) -> None:
        assert formula(1.0, 45.0, 45.0) == pytest.approx(expected, abs=0.005)  # type: ignore[operator]

    @given(st.floats(0.05, 2), st.floats(5, 75), st.floats(0, 75))
    def test_the_ports_line_up_again(self, cut: float, bank: float, face: float) -> None:
        """Against vectors: the head slides down its bank, its face is cut square to itself, the
        manifold comes straight down - and both meet at the port as before."""
        β, ψ = math.radians(bank), math.radians(face)
        head = -cut * np.array([math.sin(β), math.cos(β)])
        into_head = -np.array([-math.cos(ψ), math.sin(ψ)])
        down = np.array([0.0, -1.0])
        # Along the face the ports shift alike; across it the cut closes the gap.
        along = np.array([math.sin(ψ), math.cos(ψ)])
        drop = head @ along / (down @ along)
        loss = (drop * down - head) @ into_head
        assert manifold_drop(cut, bank, face) == pytest.approx(drop)
        assert intake_face_cut(cut, bank, face) == pytest.approx(loss)

    def test_takes_quantities(self) -> None:
        cut, bank = Quantity(10, "thou"), Quantity(45, "degree")
        assert intake_face_cut(cut, bank, bank).m_as("thou") == pytest.approx(10)
        assert manifold_drop(cut, bank, bank).m_as("inch") == pytest.approx(0.014142, abs=1e-6)


def test_effect_names_what_changes_and_what_stays() -> None:
    engine = parse(EXAMPLE).engine
    lines = effect(engine, cut_head(engine, "0.5 mm", "41 cm**2")).splitlines()
    changed = {line.split("  ")[0] for line in lines if "becomes" in line}
    assert changed == {"chamber", "clearance volume", "ratio"}
    assert sum("stays" in line for line in lines) == 7
