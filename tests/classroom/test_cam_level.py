"""The level cam: from the stack to the effective ratio, its mistakes, and its marks."""

from __future__ import annotations

import csv
import math
from functools import cache
from io import StringIO
from pathlib import Path

import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from enginemath.answers.mistakes import AT_CLOSING
from enginemath.classroom.commands import mark
from enginemath.classroom.marking.judging import Judged, judge
from enginemath.classroom.marking.papers import Written
from enginemath.classroom.sets.assignment import Assignment
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.make_set import ClassSet
from enginemath.classroom.sets.questions import QUESTIONS
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.classroom.sets.variants import assign, told_apart
from enginemath.sheets import parse
from tests.answers.sheets import FULL, full
from tests.classroom.class_sets import SECRET, hand_in, make, right, run_cells, with_hints

CAM = LEVELS["cam"]


@cache
def drawn(id: str = "2") -> Assignment:
    return assign(ClassSecret(SECRET), id, CAM)


def judged(given: Assignment, **answers: float | str) -> dict[str, Judged]:
    """Right answers but for those given."""
    texts = {}
    for question in given.questions:
        answer = answers.get(question.name, given.right[question.name])
        texts[question.name] = answer if isinstance(answer, str) else question.written(answer)
    found = judge(given, {name: Written(text) for name, text in texts.items()})
    return {one.question.name: one for one in found}


def verdicts(found: dict[str, Judged]) -> dict[str, str]:
    return {name: one.kind for name, one in found.items() if one.kind != "right"}


def pin_below_its_top(radius: float, rod: float, turned: float) -> float:
    """By SciPy's brentq: the pin stands in the bore's axis, a rod's length from the crank pin."""
    across, up = radius * math.sin(turned), radius * math.cos(turned)
    height = brentq(lambda y: math.hypot(across, y - up) - rod, up, up + 2 * rod, xtol=1e-13)
    return radius + rod - height


def trapped(bore: float, radius: float, rod: float, turned: float) -> float:
    """By SciPy's quad: bore area times the piston's velocity, up to top dead centre; in cc."""

    def rise(angle: float) -> float:
        lean = math.sqrt(rod**2 - (radius * math.sin(angle)) ** 2)
        return radius * math.sin(angle) * (1 + radius * math.cos(angle) / lean)

    travelled, _ = quad(rise, turned, 2 * math.pi)
    return math.pi * (bore / 2) ** 2 * -travelled / 1000


def test_the_engine_of_the_table_of_mistakes() -> None:
    """Effective ratio 8.1344, as the school's table has it; the way there by SciPy."""
    table = Assignment(CAM, parse(FULL)).right
    turned = math.radians(240)
    assert table["piston_drop"] == pytest.approx(pin_below_its_top(44.25, 145, turned), abs=1e-9)
    assert table["trapped_volume"] == pytest.approx(trapped(92, 44.25, 145, turned), abs=1e-9)
    assert table["effective_ratio"] == pytest.approx(8.1344, abs=5e-5)


@pytest.mark.parametrize("id", "012345")
def test_drawn_engines_agree_with_scipy(id: str) -> None:
    r, answers = drawn(id).readings, drawn(id).right
    assert r.rod_length is not None
    assert r.crank_at_closing is not None
    turned = math.radians(r.crank_at_closing)
    drop = pin_below_its_top(r.stroke / 2, r.rod_length, turned)
    volume = trapped(r.bore, r.stroke / 2, r.rod_length, turned)
    assert answers["piston_drop"] == pytest.approx(drop, abs=1e-9)
    assert answers["trapped_volume"] == pytest.approx(volume, abs=1e-8)
    clearance = answers["clearance_volume"]
    assert answers["effective_ratio"] == pytest.approx(1 + volume / clearance, abs=1e-9)


@pytest.mark.parametrize("id", "012345")
def test_rod_and_cam_are_plausible(id: str) -> None:
    """Common practice, no source: rods of one and a half to two strokes, seat timing."""
    r = drawn(id).readings
    assert r.rod_length is not None
    assert r.crank_at_closing is not None
    assert 1.5 < r.rod_length / r.stroke < 2.0
    assert 220 <= r.crank_at_closing <= 252
    assert 6.0 < drawn(id).right["effective_ratio"] < drawn(id).right["compression_ratio"]


# By a pocket calculator, for the engine of the table: stroke 88.5, rod 145, closing at 60°.
TEMPTING = {
    "rod-ignored": 44.25 * (1 + 0.5),
    "angle-from-tdc": 44.25 + 145 - 44.25 * 0.5 - math.sqrt(145**2 - 0.75 * 44.25**2),
    "stroke-as-crank-radius": 88.5 + 145 + 88.5 * 0.5 - math.sqrt(145**2 - 0.75 * 88.5**2),
    "crank-radius-as-stroke": 22.125 + 145 + 22.125 / 2 - math.sqrt(145**2 - 0.75 * 22.125**2),
    "pushed-out-for-trapped": 88.5 - 71.53061,
    "intake-closing-ignored": 88.5,
    # Sine and cosine of 240 radians: 0.945445, 0.325781.
    "calculator-in-radians": 44.25 * (1 - 0.325781) + 145 - math.sqrt(145**2 - 41.83594**2),
}


@pytest.mark.parametrize(("id", "drop"), TEMPTING.items())
def test_what_each_mistake_gives(id: str, drop: float) -> None:
    """The same wrong piston shows in all three answers, each worked from the readings."""
    table = Assignment(CAM, full())
    area, clearance = math.pi * 46.0**2 / 1000, 66.6496
    assert table.tempting("piston_drop")[id] == pytest.approx(drop, abs=5e-5)
    assert table.tempting("trapped_volume")[id] == pytest.approx(area * drop, abs=5e-4)
    ratio = 1 + area * drop / clearance
    assert table.tempting("effective_ratio")[id] == pytest.approx(ratio, abs=5e-5)


@pytest.mark.parametrize("name", AT_CLOSING)
@pytest.mark.parametrize("id", "012345")
def test_no_two_numbers_are_written_alike(id: str, name: str) -> None:
    given, question = drawn(id), QUESTIONS[name]
    values = [given.right[name], *given.tempting(name).values()]
    assert {"rod-ignored", "angle-from-tdc"} < set(given.tempting(name))
    assert len({question.written(value) for value in values}) == len(values) > 8


def test_an_engine_whose_mistakes_cannot_be_told_apart_is_found() -> None:
    """A quarter turn after either dead centre the piston stands alike."""
    square = Assignment(CAM, parse(FULL.replace("60 deg", "90 deg")))
    assert square.tempting("piston_drop").get("angle-from-tdc") is None
    near = Assignment(CAM, parse(FULL.replace("60 deg", "89.9995 deg")))
    assert near.tempting("piston_drop")["angle-from-tdc"] == pytest.approx(
        near.right["piston_drop"], abs=1e-3
    )
    assert not told_apart(near, QUESTIONS["piston_drop"])
    assert told_apart(Assignment(CAM, full()), QUESTIONS["piston_drop"])


def test_one_wrong_piston_is_paid_for_once() -> None:
    e = drawn()
    drop = e.tempting("piston_drop")["rod-ignored"]
    volume = math.pi / 4 * e.readings.bore**2 * drop / 1000
    ratio = 1 + volume / e.right["clearance_volume"]
    found = judged(e, piston_drop=drop, trapped_volume=volume, effective_ratio=ratio)
    assert verdicts(found) == {
        "piston_drop": "mistake",
        "trapped_volume": "follows",
        "effective_ratio": "follows",
    }
    assert found["piston_drop"].mistakes == ("rod-ignored",)
    assert "how long the rod is" in found["piston_drop"].verdict.hint
    assert sum(one.points for one in found.values()) == len(found) - 1


def test_a_wrong_clearance_volume_is_carried_to_both_ratios() -> None:
    e, numbers = drawn(), drawn().right
    clearance = e.tempting("clearance_volume")["gasket-forgotten"]
    found = judged(
        e,
        clearance_volume=clearance,
        compression_ratio=1 + numbers["swept_volume"] / clearance,
        effective_ratio=1 + numbers["trapped_volume"] / clearance,
    )
    assert verdicts(found) == {
        "clearance_volume": "mistake",
        "compression_ratio": "follows",
        "effective_ratio": "follows",
    }


def test_a_wrong_swept_volume_scaled_to_what_is_left_is_carried() -> None:
    e, numbers = drawn(), drawn().right
    swept = 1.1 * numbers["swept_volume"]
    volume = swept * numbers["piston_drop"] / e.readings.stroke
    found = judged(
        e,
        swept_volume=swept,
        compression_ratio=1 + swept / numbers["clearance_volume"],
        trapped_volume=volume,
        effective_ratio=1 + volume / numbers["clearance_volume"],
    )
    follows = ("compression_ratio", "trapped_volume", "effective_ratio")
    assert verdicts(found) == {"swept_volume": "unknown"} | dict.fromkeys(follows, "follows")


def test_a_second_slip_on_top_is_named() -> None:
    e = drawn()
    drop = e.tempting("piston_drop")["angle-from-tdc"]
    volume = math.pi / 4 * e.readings.bore**2 * drop / 1000
    bare = volume / e.right["clearance_volume"]
    found = judged(e, piston_drop=drop, trapped_volume=volume, effective_ratio=bare)
    assert found["piston_drop"].mistakes == ("angle-from-tdc",)
    assert found["trapped_volume"].kind == "follows"
    assert found["effective_ratio"].mistakes == ("forgot-plus-one",)


@pytest.mark.parametrize("id", ["rod-ignored", "angle-from-tdc", "ratio-scaled-not-volume"])
def test_a_mistake_is_found_where_the_steps_are_left_out(id: str) -> None:
    wrong = drawn().tempting("effective_ratio")[id]
    found = judged(drawn(), piston_drop="", trapped_volume="", effective_ratio=wrong)
    assert found["effective_ratio"].mistakes == (id,)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> ClassSet:
    return make(tmp_path_factory.mktemp("set"), 6, "cam")


@pytest.fixture(scope="module")
def marks(made: ClassSet, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two leave the rod out, two count from the wrong dead centre, two are right."""
    folder = tmp_path_factory.mktemp("work")
    for number, entry in enumerate(made.key.entries):
        answers, e = right(entry), entry.assignment
        if number < 4:
            id = ("rod-ignored", "angle-from-tdc")[number // 2]
            drop = e.tempting("piston_drop")[id]
            volume = math.pi / 4 * e.readings.bore**2 * drop / 1000
            answers["piston_drop"] = f"{drop:.3f} mm"
            answers["trapped_volume"] = f"{volume:.2f} cc"
            answers["effective_ratio"] = f"{1 + volume / e.right['clearance_volume']:.3f}"
        hand_in(made, folder / "back", entry, answers)
    mark(folder / "back", folder / "marks", SECRET, None, made.folder)
    return folder / "marks"


def test_the_class_page_names_both_mistakes(marks: Path) -> None:
    page = (marks / "class.html").read_text(encoding="utf-8")
    for words in (
        "placed the piston at intake closing by the cosine alone, as if the rod were endless",
        "counted the intake closing from top dead centre, not from bottom dead centre",
    ):
        assert f"<strong>2 of 6 {words}</strong> (piston drop)." in page
    assert page.count("Lesson 10.") == 2


def test_the_gradebook_holds_every_step(marks: Path) -> None:
    text = (marks / "gradebook.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(StringIO(text, newline="")))
    assert [row["mistakes"] for row in rows] == [
        *["rod-ignored"] * 2,
        *["angle-from-tdc"] * 2,
        *[""] * 2,
    ]
    assert [row["score"] for row in rows] == ["8"] * 4 + ["9"] * 2
    assert [row["piston_drop_verdict"] for row in rows] == ["not yet"] * 4 + ["right"] * 2
    assert [row["effective_ratio_verdict"] for row in rows][:4] == ["carried forward"] * 4


def test_the_feedback_asks_and_does_not_tell(made: ClassSet, marks: Path) -> None:
    said = {"rod-ignored": "how long the rod is?", "angle-from-tdc": "From which dead centre"}
    for number, hint in zip((0, 2), said.values(), strict=True):
        entry = made.key.entries[number]
        page = (marks / "feedback" / f"{entry.student.file}.html").read_text(encoding="utf-8")
        assert hint in page
        for name in AT_CLOSING:
            assert entry.assignment.written(name) not in page


def test_the_instructors_pages_hold_the_answers(made: ClassSet) -> None:
    answers = (made.instructor / "answers.html").read_text(encoding="utf-8")
    summary = (made.instructor / "summary.html").read_text(encoding="utf-8")
    for entry in made.key.entries:
        for name in AT_CLOSING:
            assert f">{entry.assignment.written(name)}<" in answers
    assert "lengths in mm to three decimals" in answers
    assert "effective ratios" in summary
    typed = (made.instructor / "typed-answers.csv").read_text(encoding="utf-8-sig")
    assert "piston_drop,trapped_volume,effective_ratio" in typed


def test_the_sheet_says_what_was_read_and_what_to_work(made: ClassSet) -> None:
    entry = made.key.entries[0]
    page = (made.students / f"{entry.student.file}.html").read_text(encoding="utf-8")
    closes, rod = entry.written["cam"]["intake_closes"], entry.written["cylinder"]["rod_length"]
    assert f'valve on its seat, after bottom dead centre</td><td class="number">{closes}' in page
    assert f'rod length, centre to centre</td><td class="number">{rod}' in page
    assert f"intake closes {closes} after BDC" in page
    assert "r + L − r · cos α − √(L² − (r · sin α)²)" in page
    assert "π/4 · bore² · piston drop" in page
    assert "(trapped volume + clearance volume) ÷ clearance volume" in page


def test_the_notebook_checks_the_steps_and_tells_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, entry = with_hints(tmp_path, "cam")
    wrong = entry.assignment.tempting("piston_drop")["rod-ignored"]
    names = run_cells(file, {"piston_drop": f"{wrong:.3f} mm"})
    said = capsys.readouterr().out
    assert "piston drop: not yet. The rod leans as the crank turns." in said
    assert "effective ratio: nothing written yet" in said
    for name in AT_CLOSING:
        assert entry.assignment.written(name) not in said
    assert {"cos", "sin"} < set(names)
