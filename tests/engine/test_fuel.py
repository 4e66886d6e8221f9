"""Advice on fuel and altitude: rules of thumb, common practice, no source."""

from __future__ import annotations

import pytest

from enginemath.engine.fuel import fuel_advice, running_warnings
from enginemath.engine.parts import Chamber, Cylinder, Deck, Engine, Gasket
from enginemath.units import Quantity, Refused


def engine(chamber: str = "60 cc", **more: object) -> Engine:
    """An invented flat-top engine: ratio 9.17 with the chamber of 60 cc."""
    rod = more.pop("rod_length", "145 mm")
    return Engine(
        "Heron One",
        Cylinder("92.0 mm", "88.5 mm", rod),
        (Chamber(chamber),),
        Gasket("93.2 mm", "1.10 mm"),
        (Deck("0.68 mm"),),
        **more,
    )


def test_every_sentence_is_labelled_as_a_rule_of_thumb() -> None:
    advice = fuel_advice(9.83, 87, effective_ratio=8.13, altitude=Quantity(1200, "m"))
    assert len(advice) == 3
    assert all("common practice, no source" in sentence for sentence in advice)
    assert not any("is safe" in sentence for sentence in advice)


@pytest.mark.parametrize(
    ("ratio", "index", "head", "says"),
    [
        (9.83, 87, "iron", "above the usual 9 to 9.5"),
        (9.83, 91, "iron", "within the usual 9 to 10"),
        (9.83, 91, "aluminium", "below the usual 10 to 11"),
        (9.83, 98, "iron", "Is it the research octane number?"),
        (9.83, 80, "iron", "below 87 expect knock"),
    ],
)
def test_band_by_fuel_and_head(ratio: float, index: float, head: str, says: str) -> None:
    assert says in fuel_advice(ratio, index, head)[0]


def test_altitude_says_how_much_air_is_left() -> None:
    """83 % at 5000 ft: US Standard Atmosphere 1976."""
    (_, said) = fuel_advice(9.0, 87, altitude=Quantity(5000, "foot"))
    assert "At 5000 ft the air has 83 % of its pressure at sea level" in said
    assert "falls by perhaps 1.0 to 7.6" in said
    assert "knock when it is driven down" in said


def test_low_ground_earns_no_sentence() -> None:
    assert len(fuel_advice(9.0, 87, altitude=Quantity(250, "m"))) == 1


def test_altitude_beyond_standard_air_is_refused() -> None:
    with pytest.raises(Refused, match="standard air"):
        fuel_advice(9.0, 87, altitude=Quantity(30_000, "m"))


class TestDoubts:
    def test_nothing_known_nothing_said(self) -> None:
        assert running_warnings(engine()) == []

    def test_timing_asks_for_its_lift(self) -> None:
        (said,) = running_warnings(engine(intake_closes="70 deg"))
        assert "valve lift not stated" in said

    def test_timing_without_a_rod_is_no_error(self) -> None:
        (said,) = running_warnings(engine(intake_closes="70 deg", rod_length=None))
        assert "valve lift not stated" in said

    def test_too_much_for_the_fuel(self) -> None:
        _, effective, static = running_warnings(
            engine("47 cc", intake_closes="40 deg", antiknock_index=87)
        )
        assert effective.startswith("Effective ratio on pump fuel")
        assert "above the usual 7.5 to 8.5" in effective
        assert "above the usual 9 to 9.5" in static

    def test_ratio_inside_the_band_is_not_mentioned(self) -> None:
        assert running_warnings(engine("60 cc", antiknock_index=87)) == []

    def test_fuel_without_a_rule_is_named(self) -> None:
        (said,) = running_warnings(engine(antiknock_index=98))
        assert "no rule of thumb" in said
