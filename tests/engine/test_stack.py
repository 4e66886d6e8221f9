"""An engine's stack of volumes, the ratio of each cylinder, and which way each change moves it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket, Piston, RingLand
from enginemath.engine.stack import Stack, mean, mean_ratio, stack_of, stacks
from enginemath.units import Quantity, Refused, deviation, nominal, read

CC_PER_CU_IN = 16.387064  # exact


def engine(**changes: object) -> Engine:
    parts: dict[str, object] = {
        "name": "Bench engine",
        "cylinder": Cylinder("92.0 mm", "88.5 mm", rod_length="145 mm"),
        "chambers": (Chamber("47.5 cc"),),
        "gasket": Gasket("93.2 mm", "1.10 mm"),
        "decks": (Deck("0.35 mm"),),
        "piston": Piston(dish="6.0 cc", reliefs="2.8 cc"),
        "ring_land": RingLand("6.0 mm", "0.60 mm"),
    }
    return Engine(**{**parts, **changes})  # type: ignore[arg-type]


def ratio(of: Engine, number: int = 0) -> float:
    return nominal(stack_of(of, number).ratio)


class TestByHand:
    """The parts worked with π/4·d²·h, in mm³ over 1000."""

    def test_parts(self) -> None:
        stack = stack_of(engine())
        by_hand = {
            "chamber": 47.5,
            "gasket": math.pi / 4 * 93.2**2 * 1.10 / 1000,
            "deck": math.pi / 4 * 92.0**2 * 0.35 / 1000,
            "crown": 8.8,
            "crevice": math.pi / 4 * (92.0**2 - 91.4**2) * 6.0 / 1000,
        }
        assert list(stack.parts) == list(by_hand)
        for name, volume in by_hand.items():
            assert stack.parts[name].m_as("cc") == pytest.approx(volume), name
        assert stack.clearance.m_as("cc") == pytest.approx(math.fsum(by_hand.values()))

    def test_ratio(self) -> None:
        """588.3135 and 66.6496 cc give 9.8270; derived by hand."""
        stack = stack_of(engine())
        assert stack.swept.m_as("cc") == pytest.approx(588.3135, abs=5e-5)
        assert stack.clearance.m_as("cc") == pytest.approx(66.6496, abs=5e-5)
        assert stack.ratio == pytest.approx(9.8270, abs=5e-5)

    def test_a_dome_and_a_piston_above_the_deck_take_away(self) -> None:
        high = engine(piston=Piston(dome="6.0 cc", reliefs="2.8 cc"), decks=(Deck("-0.35 mm"),))
        stack = stack_of(high)
        assert stack.crown.m_as("cc") == pytest.approx(-3.2)
        assert stack.deck.m_as("cc") == pytest.approx(-math.pi / 4 * 92.0**2 * 0.35 / 1000)

    def test_without_a_ring_land_the_crevice_is_nothing(self) -> None:
        assert stack_of(engine(ring_land=None)).crevice.m_as("cc") == 0


class TestCylinders:
    def four(self) -> Engine:
        volumes = ("47.2 cc", "47.5 cc", "47.6 cc", "47.4 cc")
        decks = ("0.35 mm", "0.30 mm", "0.35 mm", "0.40 mm")
        return engine(
            chambers=tuple(Chamber(volume) for volume in volumes),
            decks=tuple(Deck(clearance) for clearance in decks),
        )

    def test_each_has_its_own_ratio(self) -> None:
        ratios = [ratio(self.four(), number) for number in range(4)]
        assert ratios == pytest.approx([stack.ratio for stack in stacks(self.four())])
        assert len(set(ratios)) == 4

    def test_the_mean_of_the_ratios_is_not_the_ratio_of_the_mean_chamber(self) -> None:
        far = engine(chambers=(Chamber("40 cc"), Chamber("55 cc")), decks=(Deck("0.35 mm"),) * 2)
        of_the_mean = ratio(engine(chambers=(Chamber("47.5 cc"),)))
        assert nominal(mean_ratio(far)) == pytest.approx((ratio(far, 0) + ratio(far, 1)) / 2)
        assert nominal(mean_ratio(far)) > of_the_mean + 0.01

    def test_a_shared_reading_does_not_average_out(self) -> None:
        """One chamber value for all: its uncertainty is that of one. One each: less by √4."""
        shared = Chamber("47.5 ± 0.4 cc")
        together = engine(chambers=(shared,) * 4, decks=(Deck("0.35 mm"),) * 4)
        each = replace(together, chambers=tuple(Chamber("47.5 ± 0.4 cc") for _ in range(4)))
        one = deviation(stack_of(together).ratio)
        assert deviation(mean_ratio(together)) == pytest.approx(one)
        assert deviation(mean_ratio(each)) == pytest.approx(one / 2)

    def test_mean(self) -> None:
        assert mean([9.0, 9.5, 10.0]) == pytest.approx(9.5)


def test_a_stack_is_kept_by_its_own_engine_alone() -> None:
    before = engine()
    kept = stack_of(before)
    after = replace(before, chambers=(Chamber("40.0 cc"),))
    assert stack_of(before) is kept
    assert nominal(stack_of(after).chamber.magnitude) == 40.0
    assert before == engine()


def test_nothing_left_to_burn_in_is_refused() -> None:
    with pytest.raises(Refused, match=r"cylinder 1: the parts add up to −.* cc above the piston"):
        stack_of(engine(piston=Piston(dome="80 cc")))


def test_with_part() -> None:
    stack = stack_of(engine())
    thinner = stack.with_part("gasket", read("5.0 mL"))
    assert thinner.gasket.m_as("cc") == pytest.approx(5.0)
    assert thinner.ratio > stack.ratio
    assert stack.with_part("gasket", stack.gasket) == stack


# Which way each change moves the ratio.
HIGHER = {
    "larger bore": {"cylinder": Cylinder("92.5 mm", "88.5 mm")},
    "longer stroke": {"cylinder": Cylinder("92.0 mm", "89.0 mm")},
    "smaller chamber": {"chambers": (Chamber("46.5 cc"),)},
    "thinner gasket": {"gasket": Gasket("93.2 mm", "0.90 mm")},
    "smaller gasket bore": {"gasket": Gasket("92.6 mm", "1.10 mm")},
    "higher piston": {"decks": (Deck("0.10 mm"),)},
    "smaller dish": {"piston": Piston(dish="4.0 cc", reliefs="2.8 cc")},
    "dome": {"piston": Piston(dome="2.0 cc", reliefs="2.8 cc")},
    "shallower reliefs": {"piston": Piston(dish="6.0 cc", reliefs="2.0 cc")},
    "top ring nearer the crown": {"ring_land": RingLand("4.0 mm", "0.60 mm")},
    "tighter ring land": {"ring_land": RingLand("6.0 mm", "0.40 mm")},
}


@pytest.mark.parametrize("change", HIGHER.values(), ids=HIGHER)
def test_what_raises_the_ratio(change: dict[str, object]) -> None:
    assert ratio(engine(**change)) > ratio(engine()) + 1e-3


lengths = {
    "bore": st.floats(38, 140),
    "square": st.floats(0.8, 1.3),
    "wider": st.floats(0.2, 3.0),
    "thick": st.floats(0.3, 2.5),
    "deck": st.floats(-0.2, 1.0),
}


@given(**lengths, wanted=st.floats(6.0, 20.0), crown=st.floats(-0.1, 0.3), land=st.floats(0.1, 1.0))
def test_one_engine_in_inches_and_in_millimetres_has_one_ratio(
    bore: float,
    square: float,
    wider: float,
    thick: float,
    deck: float,
    wanted: float,
    crown: float,
    land: float,
) -> None:
    stroke = square * bore
    clearance = math.pi / 4 * bore**2 * stroke / 1000 / (wanted - 1)

    def built(unit: str, mm: float, volume: str, cc: float) -> Engine:
        def length(value: float) -> Quantity:
            return Quantity(value / mm, unit)

        return Engine(
            "either",
            Cylinder(length(bore), length(stroke)),
            (Chamber(Quantity(clearance / cc, volume)),),
            Gasket(length(bore + wider), length(thick)),
            (Deck(length(deck)),),
            Piston.with_crown(Quantity(crown * clearance / cc, volume)),
            RingLand(length(5.0), length(land)),
        )

    inches, metric = built("inch", 25.4, "cubic_inch", CC_PER_CU_IN), built("mm", 1, "cc", 1)
    assert ratio(inches) == pytest.approx(ratio(metric), rel=1e-12)
    assert ratio(metric) == pytest.approx(
        1 + metric.cylinder.swept.m_as("cc") / stack_of(metric).clearance.m_as("cc")
    )


@given(st.floats(0.2, 2.0), st.floats(0.01, 1.0))
def test_a_thicker_gasket_always_lowers_the_ratio(thick: float, more: float) -> None:
    thin, thicker = (
        engine(gasket=Gasket(Quantity(93.2, "mm"), Quantity(thickness, "mm")))
        for thickness in (thick, thick + more)
    )
    assert ratio(thicker) < ratio(thin)


@given(st.floats(-1.0, 3.0), st.floats(0.001, 1.0))
def test_a_deeper_piston_always_lowers_the_ratio(deck: float, more: float) -> None:
    high, deep = (engine(decks=(Deck(Quantity(d, "mm")),)) for d in (deck, deck + more))
    assert ratio(deep) < ratio(high)


def test_uncertainty_reaches_the_ratio_from_every_part() -> None:
    sure = engine()
    assert deviation(stack_of(sure).ratio) == 0
    unsure = {
        "cylinder": Cylinder("92.00 ± 0.01 mm", "88.5 mm"),
        "chambers": (Chamber("47.5 ± 0.3 cc"),),
        "gasket": Gasket("93.2 mm", "1.10 ± 0.02 mm"),
        "decks": (Deck("0.35 ± 0.02 mm"),),
        "piston": Piston(dish="6.0 ± 0.2 cc", reliefs="2.8 cc"),
        "ring_land": RingLand("6.0 mm", "0.60 ± 0.05 mm"),
    }
    alone = [deviation(stack_of(engine(**{name: part})).ratio) for name, part in unsure.items()]
    assert min(alone) > 0
    together = deviation(stack_of(engine(**unsure)).ratio)
    assert together == pytest.approx(math.hypot(*alone), rel=1e-9)


def test_a_stack_of_bare_quantities() -> None:
    stack = Stack(*map(read, ("588.3135 cc", "47.5 cc", "7.5044 cc", "2.3267 cc", "8.8 cc")))
    assert stack.clearance.m_as("cc") == pytest.approx(66.1311)
