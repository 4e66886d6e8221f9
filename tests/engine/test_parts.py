"""The parts guard the door: what cannot be is refused, and volumes agree with hand arithmetic."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import FrozenInstanceError, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.engine.parts import (
    Chamber,
    Cylinder,
    Deck,
    Engine,
    Gasket,
    Piston,
    RingLand,
    one_cylinder,
    with_each,
)
from enginemath.units import Quantity, Refused, deviation, in_cc, in_mm, nominal, read


def cc(quantity: Any) -> float:
    return nominal(quantity.m_as("cc"))


def mm(quantity: Any) -> float:
    return nominal(quantity.m_as("mm"))


CYLINDER = Cylinder("92.0 mm", "88.5 mm", rod_length="145 mm")
ENGINE = Engine(
    name="Bench engine",
    cylinder=CYLINDER,
    chambers=(Chamber("47.5 cc"),) * 4,
    gasket=Gasket("93.2 mm", "1.10 mm", free_thickness="1.35 mm"),
    decks=(Deck("0.35 mm"),) * 4,
    piston=Piston(dish="6.0 cc", reliefs="2.8 cc"),
    ring_land=RingLand("6.0 mm", "0.60 mm"),
    intake_closes="60 deg",
    altitude="1200 m",
    antiknock_index=87,
)


class TestVolumes:
    """Against π/4·d²·h worked by hand, in mm³ over 1000."""

    def test_swept(self) -> None:
        assert cc(CYLINDER.swept) == pytest.approx(math.pi / 4 * 92**2 * 88.5 / 1000)

    def test_displacement_is_all_cylinders(self) -> None:
        assert cc(ENGINE.displacement) == pytest.approx(4 * cc(CYLINDER.swept))

    def test_gasket(self) -> None:
        assert cc(ENGINE.gasket.volume) == pytest.approx(math.pi / 4 * 93.2**2 * 1.10 / 1000)

    def test_a_poured_gasket_needs_no_bore(self) -> None:
        gasket = Gasket(poured="8.10 cc", compressed_thickness="1.10 mm")
        assert cc(gasket.volume) == pytest.approx(8.10)

    def test_deck_above_and_below(self) -> None:
        disc = math.pi / 4 * 92**2 * 0.35 / 1000
        assert cc(Deck("0.35 mm").volume("92.0 mm")) == pytest.approx(disc)
        assert cc(Deck("-0.35 mm").volume("92.0 mm")) == pytest.approx(-disc)
        assert cc(Deck("0 mm").volume("92.0 mm")) == 0

    def test_crown_signs(self) -> None:
        assert cc(Piston().crown) == 0
        assert cc(Piston(dish="6.0 cc", reliefs="2.8 cc").crown) == pytest.approx(8.8)
        assert cc(Piston(dome="6.0 cc", reliefs="2.8 cc").crown) == pytest.approx(-3.2)
        assert cc(Piston(dish="0.5 cu in").crown) == pytest.approx(0.5 * 16.387064)

    @pytest.mark.parametrize("crown", [-12.5, -1e-6, 0.0, 1e-6, 27.5])
    def test_a_piston_by_its_whole_crown(self, crown: float) -> None:
        assert cc(Piston.with_crown(Quantity(crown, "cc")).crown) == pytest.approx(crown)

    def test_ring_land_is_diametral(self) -> None:
        ring = math.pi / 4 * (92.0**2 - 91.4**2) * 6.0 / 1000
        assert cc(RingLand("6.0 mm", "0.60 mm").volume("92.0 mm")) == pytest.approx(ring)

    def test_squish_is_deck_clearance_plus_compressed_thickness(self) -> None:
        """Common practice, no source."""
        squish = ENGINE.squish()
        assert squish is not None
        assert mm(squish) == pytest.approx(0.35 + 1.10)
        assert replace(ENGINE, gasket=Gasket(poured="7.5 cc")).squish() is None

    def test_each_cylinder_has_its_own_deck(self) -> None:
        decks = (Deck("0.35 mm"), Deck("0.30 mm"), Deck("0.25 mm"), Deck("0.40 mm"))
        engine = replace(ENGINE, decks=decks)
        assert [mm(engine.squish(number)) for number in range(4)] == pytest.approx(
            [1.45, 1.40, 1.35, 1.50]
        )


class TestPublishedDisplacement:
    """Tolerances cover the rounding of the source."""

    @pytest.mark.parametrize(
        ("bore", "stroke", "count", "displacement", "unit", "tolerance"),
        [
            # NAVEDTRA 14264 Construction Mechanic Basic (US Navy), ch. 2 "Linear Measurements",
            # read in a public copy; rounds pi to 3.14 and 1.75² to 3.06.
            ("3.5 in", "4 in", 1, 38.43, "cubic_inch", 0.08),
            ("3.5 in", "4 in", 8, 307.44, "cubic_inch", 0.6),
            # FAA-H-8083-32 AMT Handbook Powerplant vol. 1 ch. 1 (from memory).
            ("5.5 in", "5.5 in", 14, 1829.4, "cubic_inch", 0.1),
            # Mathur & Sharma, Internal Combustion Engine, Example 1.1 p. 3, read in a public copy.
            ("68 mm", "75 mm", 4, 1089.5, "cc", 0.05),
        ],
    )
    def test_displacement(
        self, bore: str, stroke: str, count: int, displacement: float, unit: str, tolerance: float
    ) -> None:
        engine = replace(
            ENGINE,
            cylinder=Cylinder(bore, stroke),
            chambers=(Chamber("60 cc"),) * count,
            decks=(Deck("0 mm"),) * count,
        )
        assert engine.displacement.m_as(unit) == pytest.approx(displacement, abs=tolerance)


class TestCrank:
    def test_radius_is_half_the_stroke_without_an_offset(self) -> None:
        assert mm(CYLINDER.crank_radius) == pytest.approx(44.25)

    def test_with_an_offset_the_crank_is_a_little_smaller(self) -> None:
        offset = replace(CYLINDER, pin_offset="2 mm")
        assert 44.2 < mm(offset.crank_radius) < 44.25

    def test_travel_is_the_stroke_as_measured(self) -> None:
        for offset in ("0 mm", "2 mm", "-2 mm"):
            cylinder = replace(CYLINDER, pin_offset=offset)
            lowest = max(mm(cylinder.piston_drop(170 + turn / 10)) for turn in range(200))
            assert lowest == pytest.approx(88.5, abs=1e-3)

    def test_needs_the_rod(self) -> None:
        with pytest.raises(Refused, match="rod length: needed for anything with a crank angle"):
            _ = Cylinder("92 mm", "88.5 mm").crank_radius


# What cannot be, and what is said of it.
IMPOSSIBLE: list[tuple[Callable[[], object], str]] = [
    (lambda: Cylinder("3.905 mm", "88.5 mm"), "bore 3.905 mm: did you mean 3.905 in?"),
    (lambda: Cylinder("92 mm", "3.48 mm"), "stroke 3.48 mm: did you mean 3.48 in?"),
    (lambda: Cylinder("92", "88.5 mm"), 'bore "92": no unit'),
    (lambda: Cylinder(92.0, "88.5 mm"), 'bore "92.0": write a number and its unit in quotes'),
    (lambda: Cylinder(None, "88.5 mm"), "bore"),
    (lambda: Cylinder("92 cc", "88.5 mm"), "a length is wanted here, and this is a volume"),
    (lambda: Cylinder("0 mm", "88.5 mm"), "bore 0 mm: cannot be zero"),
    (lambda: Cylinder("-92 mm", "88.5 mm"), "bore −92 mm: cannot be negative"),
    (lambda: Cylinder(Quantity(math.nan, "mm"), "88.5 mm"), "not a number that can be measured"),
    (
        lambda: Cylinder("92 mm", "88.5 mm", "44 mm"),
        "rod length 44.000 mm: shorter than half the stroke (44.250 mm); the crank could not turn",
    ),
    (
        lambda: Cylinder("4 in", "4 in", "2 in", pin_offset="0.05 in"),
        "rod length 2.0000 in: shorter than half the stroke (2.0000 in)",
    ),
    (lambda: Cylinder("92 mm", "88.5 mm", "5.7 mm"), "did you mean 5.7 in?"),
    (lambda: Chamber("0 cc"), "chamber volume 0 cc: cannot be zero"),
    (lambda: Chamber("47.5 mm"), "a volume is wanted here, and this is a length"),
    (lambda: Gasket("93.2 mm", "0.0433 mm"), "did you mean 0.0433 in?"),
    (lambda: Gasket("93.2 mm", "0 mm"), "gasket thickness 0 mm: cannot be zero"),
    (lambda: Gasket("93.2 mm"), "compressed thickness missing: give a gasket's bore and its"),
    (lambda: Gasket(compressed_thickness="1.1 mm"), "bore missing: give a gasket's bore and its"),
    (lambda: Gasket(), "bore and compressed thickness missing: give"),
    (lambda: Gasket("93.2 mm", "1.1 mm", "7.5 cc"), "give a gasket's bore or its volume, not both"),
    (
        lambda: Gasket("93.2 mm", "1.35 mm", free_thickness="1.10 mm"),
        "thinner free (1.100 mm) than compressed (1.350 mm): are they exchanged?",
    ),
    (
        lambda: Gasket("3.9 in", "0.047 in", free_thickness="0.039 in"),
        "thinner free (0.0390 in) than compressed (0.0470 in)",
    ),
    (lambda: Deck("88.85 mm"), "deck clearance 88.85 mm: outside what an engine can have"),
    (lambda: Piston(dish="6 cc", dome="4 cc"), "a dish and a dome at once"),
    (lambda: Piston(dish="-6 cc"), "a negative dish is a dome"),
    (lambda: Piston(dome="-6 cc"), "a negative dome is a dish"),
    (lambda: Piston(dish=None), "dish"),
    (lambda: RingLand("0 mm", "0.6 mm"), "ring land height 0 mm: cannot be zero"),
    (lambda: RingLand("6 mm", "-0.6 mm"), "ring land clearance −0.6 mm: cannot be negative"),
    (lambda: replace(ENGINE, chambers=()), "0 chambers and 4 deck clearances"),
    (lambda: replace(ENGINE, decks=(Deck("0.35 mm"),)), "4 chambers and 1 deck clearances"),
    (lambda: replace(ENGINE, intake_closes="60 mm"), "an angle is wanted here"),
    (lambda: replace(ENGINE, altitude="12000 m"), "did you mean 12000 ft?"),
    (
        lambda: replace(ENGINE, decks=(Deck("0.35 mm"),) * 3 + (Deck("-1.2 mm"),)),
        "cylinder 4: the piston stands 1.200 mm above the deck, the gasket is 1.100 mm: "
        "the piston would meet the head",
    ),
]


@pytest.mark.parametrize(("make", "words"), IMPOSSIBLE, ids=[words[:40] for _, words in IMPOSSIBLE])
def test_what_cannot_be_is_refused(make: Callable[[], object], words: str) -> None:
    with pytest.raises(Refused) as refusal:
        make()
    said = str(refusal.value)
    assert words in said
    assert said.splitlines() == [said]


def test_a_part_does_not_change() -> None:
    with pytest.raises(FrozenInstanceError):
        CYLINDER.bore = read("93 mm")  # type: ignore[misc]


def test_a_part_keeps_the_unit_that_was_written() -> None:
    assert str(Cylinder("3.905 in", "3 29/32 in").bore) == "3.905 inch"


bores = st.floats(30, 150)
strokes = st.floats(25, 180)


@given(bores, strokes)
def test_inches_and_millimetres_are_one_engine(bore: float, stroke: float) -> None:
    metric = Cylinder(Quantity(bore, "mm"), Quantity(stroke, "mm"))
    inches = Cylinder(Quantity(bore / 25.4, "inch"), Quantity(stroke / 25.4, "inch"))
    assert cc(inches.swept) == pytest.approx(cc(metric.swept), rel=1e-12)


@given(bores, strokes, st.floats(0.001, 0.1), st.floats(0.001, 0.1))
def test_uncertainty_of_the_swept_volume(
    bore: float, stroke: float, u_bore: float, u_stroke: float
) -> None:
    """(u/V)² = (2·u_bore/bore)² + (u_stroke/stroke)²; JCGM 100:2008, 5.1.6."""
    cylinder = Cylinder(f"{bore!r} ± {u_bore!r} mm", f"{stroke!r} ± {u_stroke!r} mm")
    volume = cylinder.swept.m_as("cc")
    relative = math.hypot(2 * u_bore / bore, u_stroke / stroke)
    assert deviation(volume) / nominal(volume) == pytest.approx(relative, rel=1e-9)


@given(bores, st.floats(0.2, 3.0), st.floats(0.01, 0.5))
def test_a_thicker_or_wider_gasket_holds_more(bore: float, thick: float, more: float) -> None:
    gasket = Gasket(Quantity(bore, "mm"), Quantity(thick, "mm"))
    thicker = Gasket(Quantity(bore, "mm"), Quantity(thick + more, "mm"))
    wider = Gasket(Quantity(bore + more, "mm"), Quantity(thick, "mm"))
    assert thicker.volume > gasket.volume
    assert wider.volume > gasket.volume


@pytest.mark.parametrize("cylinder", [0, -1, 2, 1.5, "1", float("nan")])
def test_a_cylinder_that_is_not_there_is_refused(cylinder: Any) -> None:
    engine = Engine(
        "one", Cylinder("92.0 mm", "88.5 mm"), (Chamber("47.5 cc"),),
        Gasket("93.2 mm", "1.10 mm"), (Deck("0.35 mm"),),
    )  # fmt: skip
    assert engine.place(1) == 0
    with pytest.raises(Refused, match="there are 1, counted from 1"):
        engine.place(cylinder)


class TestEachCylinder:
    """Parts that cylinders share, or have of their own."""

    ENGINE = Engine(
        "demo",
        Cylinder("80 mm", "80 mm"),
        (Chamber("40 cc"),) * 2,
        Gasket("81 mm", "1 mm"),
        (Deck("0.2 mm"),) * 2,
        cylinders=(Cylinder("80 mm", "80 mm"), Cylinder("80.5 mm", "80 mm")),
        banks=("left", "right"),
    )

    def test_each_has_its_own_swept_volume(self) -> None:
        volumes = [in_cc(cylinder.swept) for cylinder in self.ENGINE.cylinders]
        assert volumes == pytest.approx([402.1239, 407.1661], abs=5e-4)
        assert in_cc(self.ENGINE.displacement) == pytest.approx(sum(volumes))
        assert not self.ENGINE.shares("cylinder")
        assert self.ENGINE.shares("gasket")

    def test_a_part_put_in_for_all_is_every_cylinder_s(self) -> None:
        bored = replace(self.ENGINE, cylinder=Cylinder("81 mm", "80 mm"))
        assert bored.shares("cylinder")
        thick = with_each(self.ENGINE, "gasket", lambda _: Gasket("81 mm", "2 mm"))
        assert in_mm(thick.squish(1)) == pytest.approx(2.2)
        assert not thick.shares("cylinder")

    def test_one_cylinder_is_an_engine_of_its_own(self) -> None:
        second = one_cylinder(self.ENGINE, 1)
        assert in_mm(second.cylinder.bore) == 80.5
        assert second.count == 1
        assert second.banks == ("right",)

    def test_too_few_parts_or_banks_are_refused(self) -> None:
        with pytest.raises(Refused, match="1 banks named for 2 cylinders"):
            replace(self.ENGINE, banks=("left",))
        with pytest.raises(Refused, match="3 cylinders for 2 cylinders"):
            replace(self.ENGINE, cylinders=(*self.ENGINE.cylinders, Cylinder("79 mm", "80 mm")))
