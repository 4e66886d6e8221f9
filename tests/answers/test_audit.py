"""The audit: where a hand calculation first went wrong, and what only follows from that.

The engine and its numbers are those of the table of mistakes (derived by a second method): swept
588.3135 cc, clearance 66.6496 cc, ratio 9.8270, effective 8.1344.
"""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from enginemath.answers.audit import Audit, audit
from enginemath.answers.by_hand.steps import STEPS
from enginemath.sheets import EXAMPLE, Sheet, parse
from enginemath.units import Refused

TABLE = (
    EXAMPLE
    + '[ring_land]\nheight = "6.0 mm"\nclearance = "0.60 mm"\n[cam]\nintake_closes = "60 deg"\n'
)
RIGHT = {
    "chamber_volume": "47.50 cc",
    "swept_volume": "588.31 cc",
    "displacement": "2353.3 cc",
    "gasket_volume": "7.504 cc",
    "deck_volume": "2.327 cc",
    "crown_volume": "8.80 cc",
    "crevice_volume": "0.519 cc",
    "clearance_volume": "66.65 cc",
    "compression_ratio": "9.827",
    "piston_drop": "71.531 mm",
    "trapped_volume": "475.51 cc",
    "effective_ratio": "8.134",
}


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    return parse(TABLE)


def verdicts(found: Audit) -> dict[str, str]:
    return {step.name: step.verdict for step in found.steps}


def test_right_working_has_no_slip(sheet: Sheet) -> None:
    found = audit(sheet, RIGHT)
    assert set(verdicts(found).values()) == {"right"}
    assert found.first_slip is None
    assert list(verdicts(found)) == [name for name, step in STEPS.items() if not step.to_target]
    assert str(found).endswith("No slip.")


@pytest.mark.parametrize(
    ("step", "written", "mistake"),
    [
        ("swept_volume", "2353.25 cc", "radius-for-diameter"),
        ("swept_volume", "590.64 cc", "depth-at-bdc-as-stroke"),
        ("gasket_volume", "9.210 cc", "gasket-uncompressed"),
        ("gasket_volume", "7.312 cc", "cylinder-bore-for-gasket-bore"),
        ("deck_volume", "-2.327 cc", "deck-sign"),
        ("crown_volume", "-3.20 cc", "dish-subtracted"),
        ("crown_volume", "6.00 cc", "reliefs-forgotten"),
        ("chamber_volume", "48.10 cc", "start-reading-not-subtracted"),
        ("chamber_volume", "23.10 cc", "refill-not-counted"),
        ("crevice_volume", "1.034 cc", "land-clearance-on-each-side"),
        ("clearance_volume", "59.15 cc", "gasket-forgotten"),
        ("compression_ratio", "8.827", "forgot-plus-one"),
        ("compression_ratio", "0.1018", "ratio-upside-down"),
        ("piston_drop", "66.375 mm", "rod-ignored"),
        ("piston_drop", "27.281 mm", "angle-from-tdc"),
        ("trapped_volume", "441.24 cc", "rod-ignored"),
        ("effective_ratio", "7.620", "rod-ignored"),
    ],
)
def test_one_slip_is_found_where_it_was_made(
    sheet: Sheet, step: str, written: str, mistake: str
) -> None:
    found = audit(sheet, RIGHT | {step: written})
    assert found.first_slip is not None
    assert found.first_slip.name == step
    assert mistake in found.first_slip.mistakes
    assert [other.name for other in found.slips] == [step]


def test_nobody_is_accused_of_what_the_working_belies(sheet: Sheet) -> None:
    """36.31 is π·b²·h in the swept volume as well, but that is written and right."""
    found = audit(sheet, RIGHT | {"compression_ratio": "36.31"})
    assert found.first_slip is not None
    assert found.first_slip.mistakes == ("whole-engine-for-one-cylinder",)
    unseen = audit(sheet, {"compression_ratio": "36.31"})
    assert unseen.first_slip is not None
    assert unseen.first_slip.mistakes == ("radius-for-diameter",)


def test_nor_after_an_earlier_slip(sheet: Sheet) -> None:
    """2353.3/68.35 + 1, with the free thickness in the clearance."""
    slipped = {"gasket_volume": "9.210 cc", "clearance_volume": "68.35 cc"}
    found = audit(sheet, RIGHT | slipped | {"compression_ratio": "35.43"})
    assert found.slips[-1].mistakes == ("whole-engine-for-one-cylinder",)


def test_a_right_crown_belies_the_deck_counted_twice(sheet: Sheet) -> None:
    """66.650 − 7.504 + 2.327 = 61.473, and 66.650 − 2 · 2.327 − 0.519 = 61.478."""
    unseen = audit(sheet, {"clearance_volume": "61.47 cc"})
    assert unseen.slips[0].mistakes == ("gasket-forgotten", "deck-counted-twice-in-pour")
    found = audit(sheet, {"crown_volume": "8.80 cc", "clearance_volume": "61.47 cc"})
    assert found.slips[0].mistakes == ("deck-sign", "crevice-forgotten")


def test_what_is_left_out_of_the_sum_may_be_right_itself(sheet: Sheet) -> None:
    found = audit(sheet, RIGHT | {"clearance_volume": "64.32 cc"})
    assert found.first_slip is not None
    assert found.first_slip.mistakes == ("deck-forgotten",)


class TestErrorCarriedForward:
    """The free thickness taken for the gasket: 9.210 cc, so clearance 68.355, ratio 9.6067."""

    CARRIED = RIGHT | {
        "gasket_volume": "9.210 cc",
        "clearance_volume": "68.35 cc",
        "compression_ratio": "9.607",
    }

    def test_what_is_consistent_with_the_slip_follows(self, sheet: Sheet) -> None:
        found = audit(sheet, self.CARRIED)
        assert verdicts(found)["clearance_volume"] == "follows"
        assert verdicts(found)["compression_ratio"] == "follows"
        assert [step.name for step in found.slips] == ["gasket_volume"]

    def test_a_second_slip_on_top_is_named_as_well(self, sheet: Sheet) -> None:
        found = audit(sheet, self.CARRIED | {"compression_ratio": "8.607"})
        assert [step.name for step in found.slips] == ["gasket_volume", "compression_ratio"]
        assert found.slips[1].mistakes == ("forgot-plus-one",)
        assert "from the numbers before" in found.slips[1].says

    @pytest.mark.parametrize(
        ("written", "mistake"), [("7.456", "rod-ignored"), ("7.765", "ratio-scaled-not-volume")]
    )
    def test_so_is_a_slip_in_the_effective_ratio(
        self, sheet: Sheet, written: str, mistake: str
    ) -> None:
        """By the cosine 0.75 of the stroke remains, in truth 0.80824: 9.607 · 0.80824 is 7.765."""
        between = ("piston_drop", "trapped_volume")
        working = {name: text for name, text in self.CARRIED.items() if name not in between}
        found = audit(sheet, working | {"effective_ratio": written})
        assert [step.name for step in found.slips] == ["gasket_volume", "effective_ratio"]
        assert found.slips[1].mistakes == (mistake,)

    def test_what_rests_on_the_piston_follows(self, sheet: Sheet) -> None:
        """66.375 mm by the cosine: 441.24 cc, and with 66.650 cc a ratio of 7.620."""
        by_cosine = {"piston_drop": "66.375 mm", "trapped_volume": "441.24 cc"}
        found = audit(sheet, RIGHT | by_cosine | {"effective_ratio": "7.620"})
        assert [step.name for step in found.slips] == ["piston_drop"]
        assert verdicts(found)["trapped_volume"] == verdicts(found)["effective_ratio"] == "follows"

    def test_a_part_forgotten_on_top_is_named_as_well(self, sheet: Sheet) -> None:
        """Without the reliefs: 68.355 − 2.8."""
        found = audit(sheet, self.CARRIED | {"clearance_volume": "65.55 cc"})
        assert [step.name for step in found.slips][:2] == ["gasket_volume", "clearance_volume"]
        assert found.slips[1].mistakes == ("reliefs-forgotten",)

    def test_it_is_found_without_the_steps_between(self, sheet: Sheet) -> None:
        found = audit(sheet, {"gasket_volume": "9.210 cc", "compression_ratio": "9.607"})
        assert verdicts(found) == {"gasket_volume": "slip", "compression_ratio": "follows"}

    def test_a_right_answer_after_a_slip_is_right(self, sheet: Sheet) -> None:
        found = audit(sheet, RIGHT | {"gasket_volume": "9.210 cc"})
        assert verdicts(found)["clearance_volume"] == "right"


def test_numbers_rounded_on_the_way_are_no_slip(sheet: Sheet) -> None:
    """Whole cc: 588 and 67 make 9.776."""
    working = {"swept_volume": "588 cc", "clearance_volume": "67 cc", "compression_ratio": "9.776"}
    assert audit(sheet, working).first_slip is None


def test_a_number_that_nothing_explains_is_a_slip_without_a_name(sheet: Sheet) -> None:
    found = audit(sheet, RIGHT | {"gasket_volume": "5.4321 cc"})
    assert found.first_slip is not None
    assert (found.first_slip.name, found.first_slip.mistakes) == ("gasket_volume", ())
    assert "ask for the working" in found.first_slip.says


@given(st.sampled_from([n for n in RIGHT if n.endswith("volume")]), st.floats(1.05, 1.6))
@settings(max_examples=15, deadline=None)
def test_whatever_the_slip_is_the_rest_follows(step: str, factor: float) -> None:
    """A wrong part, and everything after it worked rightly from what was written, by plain sums."""
    volumes = {name: float(text.split()[0]) for name, text in RIGHT.items() if "volume" in name}
    wrong = round(volumes[step] * factor, 3)
    assume(wrong not in [round(volumes[step], places) for places in range(3)])  # no rounding either
    volumes[step] = wrong
    if step != "clearance_volume":
        parts = ("chamber", "gasket", "deck", "crown", "crevice")
        volumes["clearance_volume"] = math.fsum(volumes[f"{part}_volume"] for part in parts)
    ratio = volumes["swept_volume"] / volumes["clearance_volume"] + 1
    working = {name: f"{volume:.3f} cc" for name, volume in volumes.items()}
    found = audit(parse(TABLE), working | {"compression_ratio": f"{ratio:.3f}"})
    judged = verdicts(found)
    assert judged[step] in ("slip", "right")
    if judged[step] == "slip":
        assert [other.name for other in found.slips] == [step]


def test_cylinders_that_differ_are_worked_each_by_itself() -> None:
    chambers = 'volumes = ["44 cc", "47 cc", "48 cc", "51 cc"]'
    fills = 'fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]'
    sheet = parse(TABLE.replace(fills, chambers))
    gasket = math.pi / 4 * 9.32**2 * 0.135
    rest = gasket + 2.3267 + 8.8 + 0.5185
    each = [588.3135 / (chamber + rest) + 1 for chamber in (44, 47, 48, 51)]
    found = audit(
        sheet,
        {
            "gasket_volume": f"{gasket:.3f} cc",
            "clearance_volume": f"{47.5 + rest:.2f} cc",
            "compression_ratio": f"{sum(each) / 4:.3f}",
        },
    )
    assert verdicts(found)["compression_ratio"] == "follows"


@pytest.mark.parametrize(
    ("working", "words"),
    [
        ({"gasket volume": "7.5 cc"}, "did you mean gasket_volume?"),
        ({"head": "7.5 cc"}, "there are chamber_volume"),
        ({"gasket_volume": "7,5 cc"}, "gasket volume: .*write a decimal point, not a comma"),
        ({"compression_ratio": "9.8 cc"}, "compression ratio: .*a ratio has no unit"),
        ({"deck_volume": ""}, "deck volume"),
    ],
)
def test_refusals_name_the_step(sheet: Sheet, working: dict[str, str], words: str) -> None:
    with pytest.raises(Refused, match=words):
        audit(sheet, working)


def test_a_clearance_of_nothing_is_survived(sheet: Sheet) -> None:
    found = audit(sheet, {"clearance_volume": "0.0 cc", "compression_ratio": "9.827"})
    assert verdicts(found) == {"clearance_volume": "slip", "compression_ratio": "right"}
    json.dumps(found.as_dict(), allow_nan=False)


def test_as_json(sheet: Sheet) -> None:
    found = audit(sheet, TestErrorCarriedForward.CARRIED)
    told = json.loads(json.dumps(found.as_dict(), allow_nan=False))
    assert told["first_slip"] == "gasket_volume"
    assert [step["name"] for step in told["steps"]] == list(RIGHT)
    assert replace(found).as_dict() == found.as_dict()


class TestToATarget:
    """Ratio 10.4 by another gasket: 588.31 / 9.4 = 62.587, less 66.650 is -4.063, over an opening
    of 68.2216 cm² -0.596 mm: 1.10 becomes 0.504, and squish 0.35 + 0.504."""

    STEPS = RIGHT | {
        "wanted_clearance": "62.59 cc",
        "volume_change": "-4.06 cc",
        "gasket_thickness": "0.504 mm",
        "squish_clearance": "0.854 mm",
    }

    def test_every_step_is_right(self, sheet: Sheet) -> None:
        found = audit(sheet, self.STEPS, 10.4)
        assert set(verdicts(found).values()) == {"right"}
        assert list(verdicts(found)) == list(STEPS)

    def test_one_slip_and_what_follows(self, sheet: Sheet) -> None:
        """588.31 / 10.4 = 56.569, less 66.65 is -10.081: -1.478 mm, and nothing is left."""
        slipped = {
            "wanted_clearance": "56.57 cc",
            "volume_change": "-10.08 cc",
            "gasket_thickness": "-0.378 mm",
            "squish_clearance": "-0.028 mm",
        }
        found = audit(sheet, RIGHT | slipped, 10.4)
        assert [(step.name, step.mistakes) for step in found.slips] == [
            ("wanted_clearance", ("forgot-plus-one",))
        ]
        assert {verdicts(found)[name] for name in list(slipped)[1:]} == {"follows"}

    @pytest.mark.parametrize(
        ("target", "words"), [(None, "no target ratio"), (1.0, "more than 1"), (math.nan, "more")]
    )
    def test_a_target_that_cannot_be_is_refused(
        self, sheet: Sheet, target: float | None, words: str
    ) -> None:
        with pytest.raises(Refused, match=words):
            audit(sheet, {"wanted_clearance": "62.59 cc"}, target)
