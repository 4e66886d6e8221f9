"""Readings and working told apart: who reads well and works right is right, whatever is read."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from enginemath.answers.own_readings.judging import OwnPaper, judge_own_paper
from enginemath.answers.own_readings.record import Record, record_from, record_of, record_of_text
from enginemath.answers.own_readings.taking import blank
from enginemath.sheets import EXAMPLE, parse, read_sheet
from enginemath.sheets.kit_data import path
from enginemath.units import Refused
from tests.classroom.bay_sets import AtTheBench

STEPS = (
    *("swept_volume", "displacement", "chamber_volume", "gasket_volume", "deck_volume"),
    *("crown_volume", "clearance_volume", "compression_ratio"),
)
RESULTS, INCHES = "results", "results in inches"
"""Sheets of format 1: no reading of theirs is on record."""
PLACES = [("heron-one", 1), ("heron-four", 3), ("heron-eight", 2)]
PLACES += [(RESULTS, 2), (INCHES, 1)]


IN_INCHES = """\
format = 1
name = "Dome, in inches"
[cylinder]
count = 8
bore = "3.8150 ± 0.0005 in"
stroke = "3.398 ± 0.001 in"
[chamber]
volume = "62.25 ± 0.15 cc"
[gasket]
bore = "3.880 ± 0.002 in"
compressed_thickness = "0.0390 ± 0.0005 in"
free_thickness = "0.047 in"
[deck]
clearance = "0.0115 ± 0.0005 in"
[piston]
known_depth = { depth = "0.4500 ± 0.0005 in", poured = "79.00 ± 0.15 cc" }
[ring_land]
height = "0.260 ± 0.002 in"
clearance = "0.0220 ± 0.0005 in"
"""


@cache
def record(engine: str, cylinder: int) -> Record:
    if engine in (RESULTS, INCHES):
        return record_of(parse(EXAMPLE if engine == RESULTS else IN_INCHES), cylinder)
    return record_of(read_sheet(path(f"{engine}.toml")), cylinder)


records = st.sampled_from([record(*place) for place in PLACES])
FOUR = record("heron-four", 3)


def answers(student: AtTheBench) -> dict[str, str]:
    decimals = dict.fromkeys(STEPS, 2) | {"compression_ratio": 3}
    worked = student.worked()
    return {name: f"{worked[name]:.{decimals[name]}f}" for name in STEPS}


def judged(student: AtTheBench, **changed: str) -> OwnPaper:
    return judge_own_paper(student.record, student.texts, answers(student) | changed)


def disc_of(bore: float) -> float:
    """The swept volume of the four with another bore, and the stroke on record."""
    return math.pi / 4 * bore**2 * FOUR.readings.stroke / 1000


def blunders(paper: OwnPaper) -> list[str]:
    return [each.asked.what for each in paper.readings if each.is_blunder]


@given(record=records, seed=st.integers(0, 10**6))
@settings(max_examples=25, deadline=None)
def test_who_reads_well_and_works_right_is_right(record: Record, seed: int) -> None:
    paper = judged(AtTheBench(record, seed))
    assert blunders(paper) == []
    assert {step.verdict.kind for step in paper.steps.values()} == {"right"}
    assert {reading.verdict.kind for reading in paper.readings} == {"right"}


@given(data=st.data(), record=records, seed=st.integers(0, 10**6))
@settings(max_examples=40, deadline=None)
def test_a_blunder_at_the_bench_is_named_and_is_no_slip(
    data: st.DataObject, record: Record, seed: int
) -> None:
    what = data.draw(st.sampled_from([thing.what for thing in record.to_read]))
    far = data.draw(st.floats(1.4, 3.0)) * data.draw(st.sampled_from([-1, 1]))
    paper = judged(AtTheBench(record, seed, {what: far}))
    assert blunders(paper) == [what]
    assert {step.verdict.kind for step in paper.steps.values()} == {"right"}
    rests = {name for name, things in paper.rests_on.items() if what in {t.what for t in things}}
    assert ("compression_ratio" in rests) == (what != "free thickness")


Slip = Callable[[AtTheBench, dict[str, float]], tuple[str, float]]


def without(part: str) -> Slip:
    return lambda _, w: ("clearance_volume", w["clearance_volume"] - w[part])


def uncompressed(student: AtTheBench, _: dict[str, float]) -> tuple[str, float]:
    opening = math.pi / 400 * student.numbers["gasket bore"] ** 2
    return "gasket_volume", opening * student.numbers["free thickness"] / 10


def ends_alone(student: AtTheBench, _: dict[str, float]) -> tuple[str, float]:
    ends = [t for name, t in student.texts.items() if name.startswith("read_chamber_end")]
    return "chamber_volume", sum(float(text.removesuffix(" mL")) for text in ends)


SLIPS: dict[str, Slip] = {
    "radius-for-diameter": lambda _, w: ("gasket_volume", 4 * w["gasket_volume"]),
    "forgot-plus-one": lambda _, w: ("compression_ratio", w["compression_ratio"] - 1),
    "gasket-forgotten": without("gasket_volume"),
    "deck-forgotten": without("deck_volume"),
    "gasket-uncompressed": uncompressed,
    "start-reading-not-subtracted": ends_alone,
    "one-cylinder-for-whole-engine": lambda _, w: ("displacement", w["swept_volume"]),
}


@given(seed=st.integers(0, 10**6), mistake=st.sampled_from(list(SLIPS)))
@settings(max_examples=25, deadline=None)
def test_one_slip_on_good_readings_is_named_and_is_no_blunder(seed: int, mistake: str) -> None:
    student = AtTheBench(FOUR, seed)
    step, value = SLIPS[mistake](student, student.worked())
    paper = judged(student, **{step: f"{value:.3f}"})
    assert blunders(paper) == []
    found = paper.steps[step].verdict
    assert (found.kind, found.mistakes) == ("mistake", (mistake,))
    others = {name: each.verdict.kind for name, each in paper.steps.items() if name != step}
    assert set(others.values()) <= {"right"}


def test_a_blunder_and_a_slip_are_told_apart_on_one_paper() -> None:
    student = AtTheBench(FOUR, 5, {"chamber": 4.0})
    paper = judged(student, compression_ratio=f"{student.worked()['compression_ratio'] - 1:.3f}")
    assert blunders(paper) == ["chamber"]
    assert paper.steps["compression_ratio"].verdict.mistakes == ("forgot-plus-one",)
    assert [thing.what for thing in paper.rests_on["compression_ratio"]] == ["chamber"]
    assert paper.rests_on["swept_volume"] == ()


@pytest.mark.parametrize(
    ("box", "text", "asks"),
    [
        ("read_bore", "88.85 mm", "thimble"),
        ("read_bore", "3.4783 mm", "did you mean 3.4783 in"),
        ("read_compressed_thickness", "0.135 mm", "decimal point"),
        ("read_gasket_bore", "92.3 mm", "show zero"),
        ("read_chamber_end_2", "1.10 mL", "a fill missing"),
        ("read_chamber_end_3", "24.05 mL", "stand here twice"),
        ("read_chamber_end_2", "25.80 mL", "numbered mark"),
    ],
)
def test_a_blunder_asks_for_its_usual_cause(box: str, text: str, asks: str) -> None:
    student = AtTheBench(FOUR, 1)
    student.texts |= {"read_chamber_start_2": "0.40 mL", "read_chamber_end_2": "23.65 mL"}
    student.texts |= {"read_chamber_start_1": "0.55 mL", "read_chamber_end_1": "23.80 mL"}
    student.texts[box] = text
    if "end_3" in box:
        student.texts["read_chamber_start_3"] = "0.60 mL"
    paper = judge_own_paper(FOUR, student.texts, {})
    (told,) = [each for each in paper.readings if each.verdict.kind != "right"]
    assert asks in told.verdict.sentence
    assert told.verdict.kind in ("mistake", "unreadable")


def test_above_and_below_the_deck_exchanged() -> None:
    student = AtTheBench(FOUR, 1)
    for side in ("one_side", "other_side"):
        student.texts[f"read_deck_clearance_{side}"] = "-0.44 mm"
    (odd,) = [r for r in judge_own_paper(FOUR, student.texts, {}).readings if r.is_blunder]
    assert "below the deck or above it?" in odd.verdict.hint


def test_a_verdict_never_says_what_stands_on_record() -> None:
    student = AtTheBench(FOUR, 1, {thing.what: 3.0 for thing in FOUR.to_read})
    for reading in judged(student).readings:
        said = reading.verdict.sentence
        for number in (FOUR.expected[reading.asked.what].value, reading.taken.value):
            assert f"{number:.2f}"[:-1] not in said


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("88.34", "right", "write the unit: mm was taken"),
        ("3.478 in", "right", "right"),
        ("88,34 mm", "unreadable", "decimal point"),
        ("88.34 cc", "unreadable", "length"),
        ("eighty-eight", "unreadable", "number"),
        ("88.34 mm + 1", "unreadable", "88.34 mm + 1"),
        ("", "nothing_written", "nothing written yet"),
        ("-88 mm", "unreadable", "cannot be negative"),
        ("9" * 400, "unreadable", ""),
    ],
)
def test_a_reading_s_text(text: str, kind: str, says: str) -> None:
    (bore, *_) = judge_own_paper(FOUR, {"read_bore": text}, {}).readings
    assert bore.verdict.kind == kind
    assert says in bore.verdict.sentence


@given(st.dictionaries(st.sampled_from([b.name for b in FOUR.boxes]), st.text(max_size=20)))
@settings(max_examples=15, deadline=None)
def test_any_text_gets_a_sentence(texts: dict[str, str]) -> None:
    paper = judge_own_paper(FOUR, texts, dict.fromkeys(STEPS, "12.34"))
    assert all(each.verdict.sentence for each in paper.readings)
    assert all(each.verdict.sentence for each in paper.steps.values())


def test_what_rests_on_a_missing_reading_is_right_or_not_judged() -> None:
    """From the record where it is right; where it is not, nobody can say what was read."""
    student = AtTheBench(FOUR, 2)
    for name in [*student.texts]:
        if name.startswith(("read_bore", "read_depth", "read_deck")):
            del student.texts[name]
    far = judged(student, swept_volume="531.00 cc", gasket_volume="9.99 cc")
    assert far.steps["swept_volume"].verdict.kind == "unreadable"
    assert "your own bore" in far.steps["swept_volume"].verdict.sentence
    assert far.steps["gasket_volume"].verdict.kind != "unreadable"
    near = judged(student, swept_volume=f"{disc_of(FOUR.readings.bore):.2f} cc")
    assert near.steps["swept_volume"].verdict.kind == "right"


def test_numbers_of_the_record_are_not_taken_for_the_own() -> None:
    student = AtTheBench(FOUR, 3, {"bore": 2.5})
    paper = judged(student, swept_volume=f"{disc_of(FOUR.readings.bore):.2f}")
    found = paper.steps["swept_volume"].verdict
    assert found.kind == "unknown"
    assert "your own readings" in found.hint
    assert "on record" in found.tells


def test_readings_that_leave_no_room_make_no_answer_wrong() -> None:
    student = AtTheBench(FOUR, 3)
    for side in ("one_side", "other_side"):
        student.texts[f"read_deck_clearance_{side}"] = "-7.9 mm"
    student.texts |= {"read_chamber_end_1": "0.60 mL", "read_chamber_start_2": ""}
    student.texts["read_chamber_end_2"] = ""
    student.texts["read_chamber_start_1"] = "0.40 mL"
    paper = judge_own_paper(FOUR, student.texts, {"clearance_volume": "68 cc", "deck_volume": ""})
    assert "no room is left" in paper.steps["clearance_volume"].verdict.sentence
    assert paper.steps["deck_volume"].verdict.kind == "nothing_written"


@pytest.mark.parametrize("place", PLACES)
def test_a_blank_record_judges_the_working_and_holds_no_reading(place: tuple[str, int]) -> None:
    known = record(*place)
    student, empty = AtTheBench(known, 4), blank(known)
    shown = str(empty.as_dict())
    for expected in known.expected.values():
        assert f"{expected.value:.3f}" not in shown
    wrong = f"{student.worked()['compression_ratio'] - 1:.3f}"
    paper = judge_own_paper(empty, student.texts, answers(student) | {"compression_ratio": wrong})
    kinds = {name: step.verdict.kind for name, step in paper.steps.items()}
    assert kinds.pop("compression_ratio") == "mistake"
    assert set(kinds.values()) == {"right"}
    without_any = judge_own_paper(empty, {}, answers(student))
    assert {step.verdict.kind for step in without_any.steps.values()} == {"unreadable"}


def test_a_sheet_of_results_has_all_of_them_read_again() -> None:
    example = record_of(parse(EXAMPLE), 2)
    assert [thing.what for thing in example.to_read] == [
        *("bore", "stroke", "deck clearance", "chamber", "gasket bore"),
        *("compressed thickness", "free thickness", "dish", "reliefs"),
    ]
    assert example.told == (("cylinders", "4"),)


def test_what_the_table_does_not_hold_is_told() -> None:
    text = path("heron-four.toml").read_text(encoding="utf-8")
    rows = path("heron-four-readings.csv").read_text(encoding="utf-8").splitlines()
    kept = [row for row in rows if not row.startswith(("compressed", "free"))]
    written = text.replace("[gasket]", '[gasket]\ncompressed_thickness = "1.35 ± 0.02 mm"')
    sheet = parse(written, tables={"heron-four-readings.csv": "\n".join(kept)})
    found = record_of(sheet, 1)
    assert "compressed thickness" not in {thing.what for thing in found.to_read}
    assert ("compressed thickness", "1.350 mm") in found.told
    student = AtTheBench(found, 1)
    student.numbers["compressed thickness"] = 1.35
    paper = judged(student)
    assert {step.verdict.kind for step in paper.steps.values()} == {"right"}


@pytest.mark.parametrize("text", ["", "{}", "[]", "7", '{"readings": {"bore": 1}}', "[" * 10_000])
def test_a_record_s_text_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="take the sheet anew"):
        record_of_text(text)


@pytest.mark.parametrize(
    ("part", "name", "value"),
    [
        ("readings", "bore", "wide"),
        ("readings", "bore", math.inf),
        ("expected", "bore", {"value": "x", "allowed": 1}),
    ],
)
def test_a_record_holds_numbers(part: str, name: str, value: object) -> None:
    data = FOUR.as_dict()
    data[part][name] = value
    with pytest.raises((ValueError, TypeError)):
        record_from(data)
