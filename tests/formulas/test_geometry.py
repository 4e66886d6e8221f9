"""Plain solids against published values and SciPy; one formula for every kind of number.

The piston's motion has its own file, test_geometry_motion.py.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from uncertainties import ufloat

from enginemath.formulas import geometry
from enginemath.formulas.geometry import (
    annulus,
    cylinder_volume,
    disc,
    disc_area,
    frustum,
    piston_drop,
    spherical_cap,
    true_stroke,
)
from enginemath.units import Quantity, read

lengths = st.floats(1.0, 200.0)


class TestPublished:
    def test_spherical_cap(self) -> None:
        """Machinery's Handbook, Volumes of Solids, spherical segment (formula from memory);
        the value by numerical integration. Mouth 60 mm, depth 10 mm."""
        assert spherical_cap(60.0, 10.0) / 1000 == pytest.approx(14.660765716752367, abs=1e-9)

    def test_frustum(self) -> None:
        """Machinery's Handbook, Volumes of Solids, frustum of cone (formula from memory);
        the value by numerical integration. 50 and 58 mm, 12 mm high."""
        assert frustum(50.0, 58.0, 12.0) / 1000 == pytest.approx(27.532918016060947, abs=1e-9)

    def test_sine_and_cosine_of_the_common_angles(self) -> None:
        """Half, root two over two, root three over two: school tables."""
        for degrees, sine in ((0, 0), (30, 0.5), (45, 0.5**0.5), (60, 0.75**0.5), (90, 1)):
            assert geometry.sin(degrees) == pytest.approx(sine, abs=1e-15)
            assert geometry.cos(90 - degrees) == pytest.approx(sine, abs=1e-15)


class TestAgainstIntegration:
    """SciPy adds up thin discs."""

    @given(lengths, st.floats(0.05, 1.0))
    def test_cap(self, mouth: float, share: float) -> None:
        radius = mouth / 2
        depth = share * radius
        sphere = (radius**2 + depth**2) / (2 * depth)
        cap, _ = quad(lambda z: math.pi * (2 * sphere * z - z * z), 0, depth, epsabs=1e-10)
        assert spherical_cap(mouth, depth) == pytest.approx(cap, rel=1e-9)

    @given(lengths, lengths, lengths)
    def test_frustum(self, top: float, bottom: float, height: float) -> None:
        def area(z: float) -> float:
            return math.pi / 4 * (top + (bottom - top) * z / height) ** 2

        assert frustum(top, bottom, height) == pytest.approx(quad(area, 0, height)[0], rel=1e-9)

    @given(lengths, st.floats(0.01, 0.99), lengths)
    def test_annulus(self, outer: float, share: float, height: float) -> None:
        inner = share * outer
        ring, _ = quad(lambda r: 2 * math.pi * r * height, inner / 2, outer / 2)
        assert annulus(outer, inner, height) == pytest.approx(ring, rel=1e-9)

    @given(lengths)
    def test_disc_area(self, diameter: float) -> None:
        area, _ = quad(lambda r: 2 * math.pi * r, 0, diameter / 2)
        assert disc_area(diameter) == pytest.approx(area, rel=1e-9)


class TestShapesAgree:
    @given(lengths, lengths)
    def test_a_frustum_with_straight_walls_is_a_disc(self, diameter: float, height: float) -> None:
        assert frustum(diameter, diameter, height) == pytest.approx(disc(diameter, height))

    @given(lengths)
    def test_a_cap_as_deep_as_its_radius_is_half_a_sphere(self, diameter: float) -> None:
        assert spherical_cap(diameter, diameter / 2) == pytest.approx(math.pi * diameter**3 / 12)

    @given(lengths, st.floats(0.1, 0.9), lengths)
    def test_a_ring_is_a_disc_less_a_disc(self, outer: float, share: float, height: float) -> None:
        ring = disc(outer, height) - disc(share * outer, height)
        assert annulus(outer, share * outer, height) == pytest.approx(ring, rel=1e-9)

    @given(lengths, lengths)
    def test_a_negative_height_takes_away(self, diameter: float, height: float) -> None:
        assert disc(diameter, -height) == -disc(diameter, height)

    @given(lengths, lengths, st.floats(0.1, 10.0))
    def test_twice_as_large_is_eight_times_the_volume(
        self, diameter: float, height: float, factor: float
    ) -> None:
        larger = disc(factor * diameter, factor * height)
        assert larger == pytest.approx(factor**3 * disc(diameter, height))


def brute_height(radius: float, rod: float, offset: float, crank: float) -> float:
    """Piston above the crank's centre, by coordinates; the pin runs on the line x = offset."""
    across = offset - radius * math.sin(crank)
    return radius * math.cos(crank) + math.sqrt(rod * rod - across * across)


class TestPinOffsetAgainstSearch:
    """SciPy looks for the highest and the lowest place of the piston."""

    @given(st.floats(20, 60), st.floats(2.8, 4.5), st.floats(-4, 4))
    def test_true_stroke(self, radius: float, share: float, offset: float) -> None:
        rod = share * radius

        def extreme(sign: int, near: float) -> float:
            found = minimize_scalar(
                lambda crank: sign * brute_height(radius, rod, offset, crank),
                bounds=(near - 1, near + 1),
                method="bounded",
                options={"xatol": 1e-9},
            )
            return sign * found.fun

        travel = extreme(-1, 0.0) - extreme(1, math.pi)
        assert true_stroke(radius, rod, offset) == pytest.approx(travel, abs=1e-9)
        assert true_stroke(radius, rod, offset) >= 2 * radius - 1e-12

    @pytest.mark.parametrize("offset", [1.5, -1.5])
    def test_angles_count_from_the_pistons_own_top(self, offset: float) -> None:
        radius, rod = 44.25, 145.0
        top = minimize_scalar(
            lambda crank: -brute_height(radius, rod, offset, crank),
            bounds=(-0.5, 0.5),
            method="bounded",
            options={"xatol": 1e-10},
        )
        assert top.x == pytest.approx(math.asin(offset / (rod + radius)), abs=1e-6)
        for degrees in range(0, 360, 15):
            height = brute_height(radius, rod, offset, top.x + math.radians(degrees))
            drop = piston_drop(radius, rod, float(degrees), offset)
            assert drop == pytest.approx(-top.fun - height, abs=1e-6)


Case = tuple[Callable[..., Any], tuple[float, ...], int | None]

# One formula, any number: name, arguments in mm or degrees, and which argument is an angle.
FORMULAS: list[Case] = [
    (disc, (92.0, 1.1), None),
    (disc_area, (92.0,), None),
    (annulus, (92.0, 91.4, 6.0), None),
    (spherical_cap, (60.0, 10.0), None),
    (frustum, (50.0, 58.0, 12.0), None),
    (true_stroke, (44.25, 145.0), None),
    (true_stroke, (44.25, 145.0, 1.2), None),
    (geometry.crank_radius, (88.5, 145.0, 1.2), None),
    (piston_drop, (44.25, 145.0, 70.0), 2),
    (piston_drop, (44.25, 145.0, 70.0, 1.2), 2),
]


@pytest.fixture(params=FORMULAS, ids=[formula.__name__ for formula, _, _ in FORMULAS])
def case(request: pytest.FixtureRequest) -> Case:
    return request.param


class TestAnyNumber:
    def test_arrays(self, case: Case) -> None:
        formula, arguments, angle = case
        scales = np.array([0.8, 1.0, 1.3])
        columns = [
            np.full(3, a) if position == angle else a * scales
            for position, a in enumerate(arguments)
        ]
        one_by_one = [formula(*row) for row in zip(*columns, strict=True)]
        assert formula(*columns) == pytest.approx(one_by_one, rel=1e-13)

    def test_quantities_in_inches(self, case: Case) -> None:
        formula, arguments, angle = case
        quantities = [
            Quantity(math.radians(a), "radian") if position == angle else Quantity(a / 25.4, "inch")
            for position, a in enumerate(arguments)
        ]
        result = formula(*quantities)
        unit = {1: "mm", 2: "mm**2", 3: "mm**3"}[int(result.dimensionality["[length]"])]
        assert result.m_as(unit) == pytest.approx(formula(*arguments), rel=1e-12)

    def test_uncertainty_is_carried(self, case: Case) -> None:
        """Against the formula's own slope, by central difference (JCGM 100:2008, 5.1.2)."""
        formula, arguments, _ = case
        first, *others = arguments
        u = 1e-3 * first
        slope = (formula(first + u, *others) - formula(first - u, *others)) / (2 * u)
        result = formula(ufloat(first, u), *others)
        assert result.nominal_value == pytest.approx(formula(*arguments), rel=1e-13)
        assert result.std_dev == pytest.approx(abs(slope) * u, rel=1e-4)

    def test_uncertain_quantities(self, case: Case) -> None:
        formula, arguments, angle = case
        first, *others = arguments
        lengths = [
            Quantity(a, "degree" if position == angle else "mm")
            for position, a in enumerate(others, start=1)
        ]
        result = formula(Quantity(ufloat(first, 0.01), "mm"), *lengths)
        bare = formula(ufloat(first, 0.01), *others)
        assert result.m.nominal_value == pytest.approx(bare.nominal_value, rel=1e-13)
        assert result.m.std_dev == pytest.approx(bare.std_dev, rel=1e-12)


@pytest.mark.parametrize(
    "angle",
    [60.0, 60, np.float64(60.0), Quantity(60.0, "degree"), Quantity(math.pi / 3, "radian")],
    ids=repr,
)
def test_any_angle(angle: Any) -> None:
    assert geometry.cos(angle) == pytest.approx(0.5, abs=1e-15)
    assert geometry.sin(angle) == pytest.approx(0.75**0.5, abs=1e-15)


def test_angles_in_arrays_and_with_uncertainty() -> None:
    degrees = np.array([0.0, 30.0, 90.0])
    assert geometry.sin(degrees) == pytest.approx(np.array([0.0, 0.5, 1.0]))
    assert geometry.sin(Quantity(degrees, "degree")) == pytest.approx(np.array([0.0, 0.5, 1.0]))
    uncertain = geometry.sin(ufloat(60.0, 1.0))
    assert uncertain.std_dev == pytest.approx(math.radians(1.0) * 0.5)
    assert geometry.sin(read("60 ± 1 deg")).std_dev == pytest.approx(uncertain.std_dev)


def test_volume_at_the_dead_centres() -> None:
    bore, radius, rod, clearance = 92.0, 44.25, 145.0, 66_649.6
    assert cylinder_volume(bore, radius, rod, 0.0, clearance) == clearance
    assert cylinder_volume(bore, radius, rod, 180.0, clearance) == pytest.approx(
        clearance + disc(bore, 2 * radius)
    )
