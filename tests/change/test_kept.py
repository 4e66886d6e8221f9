"""The chance that every limit is kept, against work that is done over and over by dice.

The simulation is written apart from the library: readings are drawn with their ±, cuts and gaskets
as they turn out, and every cylinder is worked out in inches and cc.
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from enginemath.change.plan_report import plan_report
from enginemath.change.price_list_file import parse_options
from enginemath.sheets import parse
from tests.change.eight import OPTIONS, SHEET

DRAWS = 25_000
CC = 16.387064
BLOCK, HEAD = 9.025, {"left": 4.520, "right": 4.500}


def simulated(plan: dict[str, Any]) -> float:
    """How often every limit holds in every cylinder."""
    draw = np.random.default_rng(7)
    bore, stroke = draw.normal(3.786, 0.0005, DRAWS), draw.normal(3.480, 0.001, DRAWS)
    old_gasket = draw.normal(0.045, 0.001, DRAWS)
    if plan["piston"] == "next size":
        bore = bore + 0.030
    lift, travel = 0.010 * (plan["rods"] == "long"), stroke
    if plan["crank"] == "stroker":
        lift, travel = lift + (3.500 - stroke) / 2, np.full(DRAWS, 3.500)
    thick = {"steel": 0.036, "composite": 0.041}[plan["gasket"]]
    area, swept = np.pi / 4 * bore**2, np.pi / 4 * bore**2 * travel * CC
    kept = np.ones(DRAWS, dtype=bool)
    chambers = [58.9, 59.6, 59.1, 59.5, 58.8, 59.8, 59.0, 59.4]
    decks = [0.024, 0.014, 0.025, 0.015, 0.024, 0.016, 0.026, 0.015]
    for bank, places in (("left", (0, 2, 4, 6)), ("right", (1, 3, 5, 7))):
        cuts = {face: plan[f"{face}_cuts_mm"][bank] / 25.4 for face in ("deck", "head")}
        deck_cut = draw.normal(cuts["deck"], 0.0008 if cuts["deck"] else 0, DRAWS)
        head_cut = draw.normal(cuts["head"], 0.001 if cuts["head"] else 0, DRAWS)
        gasket = draw.normal(thick, 0.0005, DRAWS)
        kept &= (deck_cut <= BLOCK - 9.000 + 1e-9) & (head_cut <= HEAD[bank] - 4.480 + 1e-9)
        for place in places:
            before = draw.normal(decks[place], 0.001, DRAWS)
            deck = before - lift - deck_cut
            clearance = draw.normal(chambers[place], 0.3, DRAWS) - 9.4 * CC * head_cut
            clearance += np.pi / 4 * 3.90**2 * gasket * CC + area * deck * CC + 5.0
            ratio, squish = 1 + swept / clearance, deck + gasket
            kept &= (ratio >= 9.7) & (ratio <= 10.5) & (deck >= -1e-9)
            kept &= (squish >= 0.035) & (squish <= 0.048)
            nearer = (before + old_gasket) - squish + head_cut
            nearer = nearer - 0.010 * (plan["piston"] == "next size")
            kept &= nearer <= 0.035
    return float(kept.mean())


@pytest.fixture(scope="module")
def plans() -> list[dict[str, Any]]:
    """The first plans of the eight with two banks."""
    found: list[dict[str, Any]] = plan_report(parse(SHEET), parse_options(OPTIONS), 40)["plans"]
    return found


def test_it_is_what_simulated_work_keeps(plans: list[dict[str, Any]]) -> None:
    assert len(plans) == 40
    gaps = [plan["kept_probability"] - simulated(plan) for plan in plans]
    assert max(map(abs, gaps)) < 0.03
    assert abs(float(np.mean(gaps))) < 0.01
    assert max(plan["kept_probability"] for plan in plans) > 0.4


def test_a_plan_on_a_limit_is_a_coin_toss() -> None:
    """One cylinder alone on the tight end of its squish: 0.024 + 0.036 − 0.020 = 0.040 in."""
    one = re.sub(r"count = 8", "count = 1", SHEET)
    one = one[: one.index("[[bank]]")] + one[one.index("[cylinder]") :]
    one = re.sub(r"volumes = \[[^]]*\]", 'volume = "58.9 cc"', one)
    one = re.sub(r"clearances = \[[^]]*\]", 'clearance = "0.024 in"', one)
    text = """
        format = 1
        target = { ratio = [9, 11], squish = ["0.040 in", "0.060 in"] }
        gasket = [{ name = "g", bore = "3.90 in", compressed_thickness = "0.036 in", price = 1 }]
        deck_cut = { step = "0.020 in", max = "0.020 in", price = 1, needed = true }
        tolerances = { deck_cut = "0.001 in" }
    """
    (plan,) = plan_report(parse(one), parse_options(text))["plans"]
    assert plan["kept_probability"] == pytest.approx(0.5, abs=0.005)
    assert plan["in_band_probability"] > 0.99


def test_plans_of_one_price_stand_in_the_order_of_their_chances(
    plans: list[dict[str, Any]],
) -> None:
    ranks = [
        (plan["price"], -round(plan["kept_probability"], 2), round(plan["from_aim"], 9))
        for plan in plans
    ]
    assert ranks == sorted(ranks)
    assert len({price for price, *_ in ranks}) < len(ranks)
