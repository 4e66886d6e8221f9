"""The guides' quiz banks: ten questions each, and every number in an answer worked out again."""

from __future__ import annotations

import re
from math import hypot, sqrt
from pathlib import Path

import pytest

from enginemath import clearance_volume, compression_ratio, disc
from enginemath.bench.how_sure.distributions import coverage_factor
from enginemath.formulas.compression import clearance_for
from enginemath.formulas.geometry import piston_drop

GUIDES = sorted((Path(__file__).parents[2] / "instructor" / "guides").glob("*.md"))
PARTS = (
    "**Slides.**",
    "## An easier and a harder path",
    "- **The fast pair.**",
    "- **Who was absent.**",
    "## The whys, answered",
)
ROW = re.compile(r"^\| (\d+) \| (.+) \| (.+) \|$", re.MULTILINE)


def quiz(guide: Path) -> dict[int, str]:
    """The answers of a guide's quiz bank by their numbers."""
    bank = guide.read_text("utf-8").partition("## Ten questions for the quiz bank")[2]
    return {int(number): answer for number, _, answer in ROW.findall(bank)}


@pytest.mark.parametrize("guide", GUIDES, ids=lambda guide: guide.stem)
def test_a_guide_serves_every_pace(guide: Path) -> None:
    text = guide.read_text("utf-8")
    assert [part for part in PARTS if part not in text] == []
    assert list(quiz(guide)) == list(range(1, 11))


@pytest.mark.parametrize("guide", GUIDES, ids=lambda guide: guide.stem)
def test_every_reason_that_a_student_writes_has_a_model_answer(guide: Path) -> None:
    lesson = (guide.parents[2] / "lessons" / f"{guide.stem}.ipynb").read_text("utf-8")
    asked = re.findall(r'my reason \|\\n",\s+"\|[-|]+\\n",\s+"\| ([^|]+?) \|', lesson)
    whys = guide.read_text("utf-8").partition(PARTS[-1])[2].partition("\n## ")[0].casefold()
    assert [each for each in asked if each.partition(",")[0].casefold() not in whys] == []
    assert len(asked) == lesson.count("| my reason |")


def cc(diameter: float, height: float) -> float:
    """A disc's volume in cc from mm."""
    return float(disc(diameter, height)) / 1000


def ratio(chamber: float) -> float:
    """Of lesson 07's cylinder, with a chamber in cc."""
    clearance = clearance_volume(chamber, cc(82, 1.1), cc(80, 0.3), 3, 0.3)
    return float(compression_ratio(cc(80, 90), clearance))


MM_OF_AN_INCH, CC_OF_A_CUBIC_INCH = 25.4, 16.387064
WORKED_OUT = {
    (0, 2): 10 * MM_OF_AN_INCH / 1000,
    (0, 6): 20 * MM_OF_AN_INCH / 1000,
    (1, 1): cc(80, 90),
    (1, 2): 4 * cc(80, 90),
    (1, 3): cc(80.5, 90) - cc(80, 90),
    (1, 4): cc(80, 90.5) - cc(80, 90),
    (1, 5): disc(4, 3),
    (1, 6): 8 * disc(4, 3),
    (1, 7): disc(3.5, 3.5) * CC_OF_A_CUBIC_INCH,
    (2, 1): compression_ratio(500, 50),
    (2, 2): clearance_for(10, 450),
    (2, 3): 8.5 + 1,
    (2, 4): piston_drop(40, 140, 90),
    (2, 5): piston_drop(40, 140, 180),
    (2, 9): compression_ratio(56, 8),
    (3, 1): 12.5 + 0.27,
    (3, 2): 0.475 + 0.0183,
    (3, 3): 3 + 0.42,
    (4, 1): (24.55 - 0.45) + (23.10 - 0.70),
    (4, 2): (46.4 + 46.5 + 46.3) / 3,
    (5, 1): cc(93, 1.2),
    (5, 2): cc(93, 1.5),
    (5, 3): cc(92, 0.4),
    (5, 4): 0.4 + 1.2,
    (5, 5): (0.30 + 0.44) / 2,
    (5, 6): (0.44 - 0.30) / 2,
    (5, 7): disc(3.95, 0.047) * CC_OF_A_CUBIC_INCH,
    (6, 1): cc(90, 10),
    (6, 2): 70 - cc(90, 10),
    (6, 3): 55 - cc(90, 10),
    (6, 4): cc(90, 0.4),
    (7, 1): cc(80, 90),
    (7, 2): cc(82, 1.1),
    (7, 3): cc(80, 0.3),
    (7, 4): clearance_volume(38, cc(82, 1.1), cc(80, 0.3), 3, 0.3),
    (7, 5): ratio(38),
    (7, 6): ratio(39),
    (7, 8): 90.3 - 0.3,
    (8, 1): 0.06 / sqrt(4),
    (8, 2): 0.02 / sqrt(3),
    (8, 3): hypot(0.03, 0.04),
    (8, 4): 0.08 / sqrt(16),
    (8, 5): coverage_factor(0.95, 2),
    (8, 6): coverage_factor(0.95),
    (9, 1): clearance_for(9.5, 500),
    (9, 2): clearance_for(9.0, 500) - clearance_for(9.5, 500),
    (9, 3): 0.45 - 0.20 + 1.00,
    (9, 4): cc(90, 0.1),
    (10, 1): 900 + 101.3,
    (10, 2): 0.75 * 1200,
    (10, 3): 100 * (1 - 8 ** (1 - 1.4)),
    (10, 4): 100 * (1 - 10 ** (1 - 1.4)),
    (10, 5): 100 * (1 - 12 ** (1 - 1.4)),
    (11, 2): 88.5 / 2 + 145 + 31.2 + 0.35,
    (11, 3): 0.44 - 0.14,
}
"""By lesson and question, from the numbers in the question."""


@pytest.mark.parametrize(("lesson", "question"), WORKED_OUT)
def test_an_answer_is_what_its_question_gives(lesson: int, question: int) -> None:
    answer = quiz(GUIDES[lesson])[question].replace("−", "-")
    *_, number = re.findall(r"-?[0-9]+(?:\.[0-9]+)?", answer)
    digits = len(number.partition(".")[2])
    assert f"{WORKED_OUT[lesson, question]:.{digits}f}" == number
