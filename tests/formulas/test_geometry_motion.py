"""The piston's motion against textbooks, the law of cosines and SciPy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar, root_scalar
from uncertainties import ufloat

from enginemath.formulas import geometry
from enginemath.formulas.geometry import cylinder_volume, piston_drop
from enginemath.units import Quantity

cranks = st.floats(20.0, 60.0)
rod_shares = st.floats(2.8, 4.5)
offsets = st.floats(-2.0, 2.0)
angles = st.floats(0.0, 360.0)


def speed(radius: float, rod: float, angle: float, rpm: float, offset: float = 0.0) -> float:
    """Piston speed by central difference; positive downwards."""
    step = 0.01
    down = piston_drop(radius, rod, angle + step, offset)
    up = piston_drop(radius, rod, angle - step, offset)
    return (down - up) / (2 * step) * rpm * 6


def acceleration(radius: float, rod: float, angle: float, rpm: float) -> float:
    step = 0.1
    later = speed(radius, rod, angle + step, rpm)
    earlier = speed(radius, rod, angle - step, rpm)
    return (later - earlier) / (2 * step) * rpm * 6


class TestKhurmiAndGupta:
    """Khurmi & Gupta, Theory of Machines, ch. 15, read in a public copy.

    The book takes two terms of a series, so its values are near the true geometry, not on it:
    its printed value within the error of that series, the exact one (derived) to the last digit.
    """

    def test_fastest_angle_and_speed(self) -> None:
        """Ex 15.3 p. 527: 75° and 6.54 m/s; exact 74.529° and 6.5617 m/s."""
        found = minimize_scalar(
            lambda angle: -speed(0.3, 1.0, angle, 200),
            bounds=(20, 160),
            method="bounded",
            options={"xatol": 1e-5},
        )
        assert found.x == pytest.approx(75, abs=0.5)
        assert found.x == pytest.approx(74.529, abs=1e-2)
        assert -found.fun == pytest.approx(6.54, rel=4e-3)
        assert -found.fun == pytest.approx(6.5617, abs=6e-5)

    def test_speed_at_forty_degrees(self) -> None:
        """Ex 15.4 p. 528: 4.19 m/s; exact 4.1964."""
        found = speed(0.3, 1.5, 40, 180)
        assert found == pytest.approx(4.19, rel=2e-3)
        assert found == pytest.approx(4.1964, abs=6e-5)

    def test_acceleration_at_forty_degrees(self) -> None:
        """Ex 15.4 p. 528: 85.36 m/s²; exact 85.599."""
        found = acceleration(0.3, 1.5, 40, 180)
        assert found == pytest.approx(85.36, rel=4e-3)
        assert found == pytest.approx(85.599, abs=6e-4)

    def test_two_terms_give_the_printed_digits(self) -> None:
        """The book's own series, so that its printed digits are met too."""
        omega, n, angle = 180 * math.pi / 30, 1.5 / 0.3, math.radians(40)
        assert omega * 0.3 * (math.sin(angle) + math.sin(2 * angle) / (2 * n)) == pytest.approx(
            4.19, abs=5e-3
        )
        assert omega**2 * 0.3 * (math.cos(angle) + math.cos(2 * angle) / n) == pytest.approx(
            85.36, abs=1e-2
        )


# V/Vc for ratio 10 and rod 3.5 cranks; J. B. Heywood, Internal Combustion Engine Fundamentals
# (1988), §2.2 eqs 2.4-2.6 (formula from memory; numbers derived by the law of cosines).
@pytest.mark.parametrize(
    ("angle", "expected"),
    [(0.0, 1.0), (30.0, 1.764428415), (90.0, 6.156541152), (120.0, 8.239757538), (180.0, 10.0)],
)
def test_volume_over_clearance(angle: float, expected: float) -> None:
    radius, bore = 44.25, 92.0
    clearance = geometry.disc(bore, 2 * radius) / 9
    volume = cylinder_volume(bore, radius, 3.5 * radius, angle, clearance)
    assert volume / clearance == pytest.approx(expected, abs=1e-8)


@given(cranks, rod_shares, st.floats(0.5, 179.5))
def test_law_of_cosines(radius: float, rod_share: float, angle: float) -> None:
    """l² = r² + x² − 2·r·x·cos θ, solved for the pin's distance x by SciPy."""
    rod, cosine = rod_share * radius, math.cos(math.radians(angle))
    pin = root_scalar(
        lambda x: radius**2 + x**2 - 2 * radius * x * cosine - rod**2,
        bracket=(rod - radius, rod + radius),
        xtol=1e-12,
    ).root
    assert piston_drop(radius, rod, angle) == pytest.approx(rod + radius - pin, abs=1e-9)


@pytest.mark.parametrize("offset", [0.0, 1.2, -1.2])
def test_offset_crank_as_two_points_and_a_rod(offset: float) -> None:
    """The rod stays a rod: SciPy carries the pin round by the speed of its two ends."""
    radius, rod = 44.25, 145.0
    top = math.asin(offset / (rod + radius))  # crank's angle at the piston's top dead centre
    height = math.sqrt((rod + radius) ** 2 - offset**2)

    def slope(turned: float, pin: np.ndarray) -> list[float]:
        angle = top + turned
        across = offset - radius * math.sin(angle)
        up = pin[0] - radius * math.cos(angle)
        # |rod|² constant: across·d(across) + up·d(up) = 0
        return [across * radius * math.cos(angle) / up - radius * math.sin(angle)]

    turns = np.linspace(0, 2 * math.pi, 25)
    found = solve_ivp(slope, (0, 2 * math.pi), [height], t_eval=turns, rtol=1e-10, atol=1e-10)
    drops = piston_drop(radius, rod, np.degrees(turns), offset)
    assert list(drops) == pytest.approx(list(height - found.y[0]), abs=1e-6)


@given(cranks, rod_shares, offsets, angles)
def test_inches_and_millimetres_move_alike(
    radius: float, rod_share: float, offset: float, angle: float
) -> None:
    bare = piston_drop(radius, rod_share * radius, angle, offset)
    inches = (Quantity(mm / 25.4, "inch") for mm in (radius, rod_share * radius, offset))
    in_radius, in_rod, in_offset = inches
    drop = piston_drop(in_radius, in_rod, Quantity(angle, "degree"), in_offset)
    assert drop.m_as("mm") == pytest.approx(bare, abs=1e-9)


@given(cranks, rod_shares, offsets, angles)
def test_never_above_the_top_nor_below_the_bottom(
    radius: float, rod_share: float, offset: float, angle: float
) -> None:
    rod = rod_share * radius
    drop = piston_drop(radius, rod, angle, offset)
    assert -1e-9 <= drop <= geometry.true_stroke(radius, rod, offset) + 1e-9


@pytest.mark.parametrize("sides", [(5, 3, 4), (13, 5, 12), (17, -8, 15), (29, 20, 21)])
def test_reach_of_whole_right_triangles(sides: tuple[int, int, int]) -> None:
    """Pythagorean triples (school tables); the side does not tell left from right."""
    rod, sideways, along = sides
    assert geometry.reach(rod, sideways) == along


# 1 − cos of the common angles: school tables.
@pytest.mark.parametrize(
    ("angle", "share"), [(0, 0), (60, 0.25), (90, 0.5), (120, 0.75), (180, 1), (270, 0.5)]
)
def test_cosine_drop_at_the_common_angles(angle: float, share: float) -> None:
    assert geometry.cosine_drop(88.5, angle) == pytest.approx(88.5 * share, abs=1e-12)


@given(cranks, angles)
def test_a_very_long_rod_moves_as_the_cosine(radius: float, angle: float) -> None:
    """The first term that the limit leaves out, r²/2l·sin² θ, is at most r²/2l."""
    long = 1e4 * radius
    off = piston_drop(radius, long, angle) - geometry.cosine_drop(2 * radius, angle)
    assert abs(off) < 1.001 * radius**2 / (2 * long)


@given(cranks, rod_shares, offsets)
def test_crank_radius_is_the_inverse_of_true_stroke(
    radius: float, rod_share: float, offset: float
) -> None:
    rod = rod_share * radius
    stroke = geometry.true_stroke(radius, rod, offset)
    assert geometry.crank_radius(stroke, rod, offset) == pytest.approx(radius, rel=1e-12)


@given(cranks, rod_shares, st.floats(5.0, 175.0) | st.floats(185.0, 355.0))
def test_longer_rod_moves_more_slowly_near_the_top(
    radius: float, rod_share: float, angle: float
) -> None:
    short, long = (piston_drop(radius, share * radius, angle) for share in (rod_share, 5.0))
    assert long < short


def test_uncertain_angle_moves_the_piston_by_its_speed() -> None:
    drop = piston_drop(44.25, 145.0, Quantity(ufloat(60.0, 0.5), "degree"))
    slope = (piston_drop(44.25, 145.0, 60.1) - piston_drop(44.25, 145.0, 59.9)) / 0.2
    assert drop.std_dev == pytest.approx(0.5 * slope, rel=1e-4)
