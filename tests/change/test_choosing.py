"""A choice made by pencil, against every combination worked out by plain arithmetic."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from enginemath.answers.change_questions import of_wanted_clearance
from enginemath.change.combination import choice_of, with_target
from enginemath.change.job import job_of_choices
from enginemath.change.limits_kept import check_limits, choice_report, keeps_all
from enginemath.change.price_list import Options
from enginemath.change.price_list_file import read_options
from enginemath.change.wishes import by_wish, compared
from enginemath.sheets import Sheet, read_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Refused


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return read_sheet(path("heron-four.toml"))


@pytest.fixture(scope="module")
def options() -> Options:
    return read_options(path("heron-four-options.toml"))


KEEP = {"gasket": "as measured", "piston": "as measured", "deck_cut": "0 mm", "head_cut": "0 mm"}


@dataclass(frozen=True)
class ByHand:
    """One combination, from the numbers of the sheet and the price list, written out here."""

    names: dict[str, str]
    ratios: tuple[float, ...]
    squishes: tuple[float, ...]
    decks: tuple[float, ...]
    price: float
    metal: float

    @property
    def kept(self) -> bool:
        slack = 1e-9
        return (
            min(self.ratios) >= 9.0
            and max(self.ratios) <= 9.5
            and min(self.squishes) >= 0.90 - slack
            and max(self.squishes) <= 1.15 + slack
            and min(self.decks) >= -slack
        )


def every_combination() -> Iterator[ByHand]:
    bore, stroke = 88.34, 85.72
    area = math.pi / 4 * bore**2 / 1000  # cc for each mm
    swept = area * stroke
    crevice = math.pi / 4 * (bore**2 - (bore - 0.56) ** 2) * 6.40 / 1000
    gaskets = {
        "as measured": (89.9, 1.35, 0), "composite": (89.9, 1.10, 26),
        "medium steel": (89.2, 0.95, 58), "thin steel": (89.2, 0.80, 72),
    }  # fmt: skip
    pistons = {
        "as measured": (10.1, 0.0, 0), "flat top": (1.7, 0.0, 236),
        "shallow dish": (5.9, 0.0, 248), "tall, same dish": (10.1, 0.30, 312),
    }  # fmt: skip
    for (gasket, (opening, thick, cost)), (
        piston,
        (crown, rise, more),
    ), deck, head in itertools.product(gaskets.items(), pistons.items(), range(9), range(17)):
        decks = tuple(c - rise - deck * 0.05 for c in (0.38, 0.41, 0.44, 0.40))
        chambers = [c - 4.8 * head * 0.05 for c in (46.90, 47.40, 46.60, 47.20)]
        disc = math.pi / 4 * opening**2 * thick / 1000
        left = [
            chamber + disc + area * gap + crown + crevice
            for chamber, gap in zip(chambers, decks, strict=True)
        ]
        yield ByHand(
            {
                "gasket": gasket,
                "piston": piston,
                "deck_cut": f"{deck * 0.05:.2f} mm",
                "head_cut": f"{head * 0.05:.2f} mm",
            },
            tuple((swept + volume) / volume for volume in left),
            tuple(gap + thick for gap in decks),
            decks,
            cost + more + (150 if deck else 0) + (85 if head else 0),
            (deck + head) * 0.05,
        )


ALL = list(every_combination())


@pytest.mark.parametrize("by_hand", ALL[::37])
def test_a_choice_is_judged_as_by_hand(by_hand: ByHand, sheet: Sheet, options: Options) -> None:
    choice = choice_of(options, **by_hand.names)
    assert choice.price == by_hand.price
    assert keeps_all(job_of_choices(sheet, options), choice) == by_hand.kept


def test_three_wishes_are_three_plans(sheet: Sheet, options: Options) -> None:
    kept = [by_hand for by_hand in ALL if by_hand.kept]
    best = {
        "cheapest": min(by_hand.price for by_hand in kept),
        "best squish": min(min(by_hand.squishes) for by_hand in kept),
        "least metal": min(by_hand.metal for by_hand in kept),
    }
    assert best == {"cheapest": 208, "best squish": pytest.approx(0.93), "least metal": 0}
    _, cheapest, squish, metal = by_wish(job_of_choices(sheet, options)).splitlines()
    assert cheapest.split()[1] == "208"
    assert "0.350 mm  0.000 mm  medium steel" in cheapest
    assert "0.930 mm" in squish
    assert "0.000 mm  0.000 mm  medium steel  tall, same dish" in metal


def test_a_choice_is_placed_among_all(sheet: Sheet, options: Options) -> None:
    kept = sum(by_hand.kept for by_hand in ALL)
    thin = choice_of(options, **{**KEEP, "gasket": "thin steel", "deck_cut": "0.10 mm"})
    assert compared(job_of_choices(sheet, options), thin) == (
        f"Of {len(ALL)} combinations, {kept} keep to every limit. "
        "Yours is one; 3 of the others cost less."
    )
    nothing = choice_of(options, **KEEP)
    assert compared(job_of_choices(sheet, options), nothing).endswith("Yours is not one of them.")
    cheapest = choice_of(options, **{**KEEP, "gasket": "medium steel", "deck_cut": "0.30 mm"})
    assert compared(job_of_choices(sheet, options), cheapest).endswith("no other costs less.")


def test_another_band_keeps_squish_and_limits(sheet: Sheet, options: Options) -> None:
    farm = with_target(options, 8.4, 8.8)
    assert (farm.target.low, farm.target.high, farm.target.aim) == (8.4, 8.8, pytest.approx(8.6))
    assert farm.target.squish == options.target.squish
    with pytest.raises(Refused, match="no combination keeps to every limit"):
        by_wish(job_of_choices(sheet, farm))


def test_a_head_cut_leaves_the_squish(sheet: Sheet, options: Options) -> None:
    """Common practice, no source: only what moves the flats closes the gap."""
    shaved = choice_of(options, **{**KEEP, "head_cut": "0.75 mm"})
    lines = choice_report(job_of_choices(sheet, options), shaved)
    assert "ratio 9.024 to 9.109, wanted 9.000 to 9.500: kept" in lines
    assert "squish 1.730 to 1.790 mm, wanted 0.900 to 1.150 mm: BROKEN" in lines


def test_a_piston_that_meets_the_head_is_said(sheet: Sheet, options: Options) -> None:
    meets = choice_of(
        with_target(options, 9, 10),
        **{**KEEP, "gasket": "thin steel", "piston": "tall, same dish", "deck_cut": "0.40 mm"},
    )
    after = choice_report(job_of_choices(sheet, options), meets)
    assert any("squish" in line and "BROKEN" in line for line in after)
    assert not keeps_all(job_of_choices(sheet, options), meets)


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"gasket": ""}, 'gasket: nothing written yet; write "as measured" to keep it'),
        ({"gasket": "thn steel"}, "did you mean thin steel"),
        ({"piston": "gold"}, "not on the list; there are: as measured, flat top"),
        ({"piston": 3}, "put the name in quotes"),
        ({"deck_cut": ""}, 'deck cut: nothing written yet; write "0 mm" for no cut'),
        ({"deck_cut": "0.20"}, "no unit"),
        ({"deck_cut": "0,20 mm"}, "decimal point"),
        ({"deck_cut": "0.07 mm"}, "the shop cuts in steps of 0.050 mm"),
        ({"deck_cut": "0.45 mm"}, "the shop cuts 0.400 mm at most"),
        ({"deck_cut": "-0.05 mm"}, "deck cut"),
        ({"head_cut": "3 cc"}, "a length is wanted here"),
        ({"head_cut": "1e300 mm"}, "head cut"),
        ({"head_cut": "a little"}, "head cut"),
    ],
)
def test_what_cannot_be_is_refused_in_shop_words(
    changed: dict[str, str], says: str, options: Options
) -> None:
    with pytest.raises(Refused, match=says):
        choice_of(options, **{**KEEP, **changed})


def test_names_and_cuts_are_read_as_a_shop_writes_them(options: Options) -> None:
    choice = choice_of(
        options, gasket="  Thin  STEEL ", piston="As measured", deck_cut="0.2 mm", head_cut="0 in"
    )
    assert choice.gasket.name == "thin steel"
    assert choice.deck_cut.m_as("mm") == pytest.approx(0.2)


def test_the_uncertainty_of_a_reading_is_not_a_broken_limit(sheet: Sheet, options: Options) -> None:
    kept = [limit.what for limit in check_limits(sheet.engine, options) if limit.kept]
    assert kept == ["deck clearance"]


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("62.55 cc", "right"),
        ("3.817 cu in", "right"),
        ("55.89 cc", "What is left without it?"),
        ("68.46 cc", "That is what is there now"),
        ("5.91 cc", "How much stays"),
        ("62.55", "right; write the unit: cc was taken"),
        ("62.55 mm", "a volume is wanted"),
        ("", "nothing written yet"),
        ("1/0 cc", "no such fraction"),
        ("9e99 cc", "not a number that can be measured"),
    ],
)
def test_the_clearance_for_a_wanted_ratio(answer: str, says: str, sheet: Sheet) -> None:
    """525.40 / 8.4 = 62.55 cc; cylinder 3 has 68.46 cc now (worked by hand)."""
    verdict = of_wanted_clearance(sheet.engine, 9.4, cylinder=3).judge(answer).sentence
    assert says in verdict


@pytest.mark.parametrize("ratio", [1.0, 0.5, 41.0, math.nan])
def test_no_clearance_is_asked_for_a_ratio_that_cannot_be(ratio: float) -> None:
    with pytest.raises(Refused, match="a compression ratio lies above 1"):
        of_wanted_clearance(read_sheet(path("heron-four.toml")).engine, ratio)
