"""Work files of the lesson pages marked: judged anew, counted, and no file stops another."""

from __future__ import annotations

import csv
import json
import time
from io import StringIO
from pathlib import Path

import pytest

from enginemath.answers.mistakes import CATALOGUE
from enginemath.classroom.commands import mark
from enginemath.classroom.editions import LIST
from enginemath.classroom.marking.marks import Report
from enginemath.classroom.sets.make_set import ClassSet
from enginemath.cli import main
from enginemath.pages.lesson_book import Book
from enginemath.pages.steps import lesson_named
from enginemath.sheets.kit_data import kit_folder
from enginemath.units import Refused
from tests.classroom.class_sets import SECRET, hand_in, make, right
from tests.classroom.work_files import ADD_IT_UP, RIGHT, lesson, put, sheet, work

TURN = next(step.number for step in lesson_named(ADD_IT_UP).steps if step.boxes)
BUILD_STEPS = len(lesson_named("11-build-sheet").steps)
RADIUS = {"my_swept": "522.5 cc"}
"""The bore taken for the radius: four times the swept volume."""


@pytest.fixture
def back(tmp_path: Path) -> Path:
    folder = tmp_path / "back"
    folder.mkdir()
    return folder


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> ClassSet:
    return make(tmp_path_factory.mktemp("set"), 3, "flat")


def marked(back: Path, out: Path, made: ClassSet | None = None) -> Report:
    key = made.folder if made else None
    return mark(back, out, SECRET if made else None, key=key, book=Book())


def gradebook(out: Path) -> list[dict[str, str]]:
    text = (out / "gradebook.csv").read_text(encoding="utf-8-sig")
    return list(csv.DictReader(StringIO(text, newline="")))


def page(out: Path, name: str = "class.html") -> str:
    return (out / name).read_text(encoding="utf-8")


def test_lessons_need_no_key_and_every_answer_is_judged_again(back: Path, tmp_path: Path) -> None:
    put(back, work("T-01", "Ada Nowak", {ADD_IT_UP: lesson(RIGHT, kind="mistake")}))
    put(back, work("T-02", "Bo Lind", {ADD_IT_UP: lesson(RIGHT | RADIUS, kind="right")}))
    report = marked(back, tmp_path / "marks")
    assert str(report).startswith("lessons of 2 of 2 students marked: 07\n")
    ada, bo = gradebook(tmp_path / "marks")
    assert (ada["id"], ada["07-add-it-up_right"], ada["lesson_mistakes"]) == ("T-01", "5", "")
    assert (bo["id"], bo["07-add-it-up_right"]) == ("T-02", "4"), (
        "the file says right: not believed"
    )
    assert bo["lesson_mistakes"] == "radius-for-diameter"
    assert bo["work_files"] == "T-02-handed-in.json"


def test_what_is_done_is_counted(back: Path, tmp_path: Path) -> None:
    done = lesson(
        {"my_swept": "130.63 cc", "my_ratio": " "},
        guesses={
            "predict": {"text": "higher"},
            "add_it_up": {"text": "9"},
            "9": {"text": "no guess is asked"},
        },
        readings={"18: bore, reading 1": "88.34 mm", "18: bore, reading 2": ""},
        reached=900,
    )
    put(back, work("T-01", "Ada", {ADD_IT_UP: done}))
    marked(back, tmp_path / "marks")
    (row,) = gradebook(tmp_path / "marks")
    told = {name.rpartition("_")[2]: cell for name, cell in row.items() if name.startswith("07")}
    assert told.pop("step") == told.pop("steps")
    assert [told[name] for name in ("guesses", "readings")] == ["2", "1"]
    assert [told[name] for name in ("right", "nearly", "written", "asked")] == ["1", "0", "1", "5"]


def test_the_class_page_says_what_to_teach_again(back: Path, tmp_path: Path) -> None:
    for number in range(5):
        wrong = RADIUS if number < 3 else {"my_ratio": "8.263"} if number == 3 else {}
        put(back, work(f"T-{number}", f"N{number}", {ADD_IT_UP: lesson(RIGHT | wrong)}))
    marked(back, tmp_path / "marks")
    told = page(tmp_path / "marks").partition("<h2>Lesson 07")[0]
    radius = CATALOGUE["radius-for-diameter"]
    assert f"3 of 5 {radius.tells}" in told
    assert radius.hint in told
    assert f"Lesson 07 Add it up, step {TURN}" in told
    assert CATALOGUE["forgot-plus-one"].tells not in told, "one student alone"
    assert CATALOGUE["forgot-plus-one"].tells in page(tmp_path / "marks")


def test_feedback_gives_hints_and_no_answer(back: Path, tmp_path: Path) -> None:
    name = "<script>alert(1)</script> 🔧 \u05d0\u05d1"
    wrong = {"my_swept": "522.5 cc", "my_ratio": "<b>9,8</b>"}
    found = {"asked": "the ratio", "is": "8.68", "off": "<b>0.52</b> too high"}
    guesses = {"predict": {"text": "<i>higher</i>"}, "add_it_up": {"text": "9.2", **found}}
    put(back, work("T-01", name, {ADD_IT_UP: lesson(wrong, guesses=guesses, reached=TURN)}))
    marked(back, tmp_path / "marks")
    (file,) = (tmp_path / "marks" / "feedback" / "lessons").iterdir()
    told = file.read_text(encoding="utf-8")
    assert "&lt;script&gt;alert(1)" in told
    assert "<script" not in told
    assert "&lt;i&gt;higher" in told
    assert "the ratio: you said “9.2”, it is 8.68: &lt;b&gt;0.52&lt;/b&gt; too high" in told
    (asked,) = lesson_named(ADD_IT_UP).steps[-1].predicted
    assert asked.asked in told
    assert asked.found not in told, "the lesson was not finished"
    assert CATALOGUE["radius-for-diameter"].hint.split(".")[0] in told
    for answer in ("130.6", "1.741", "0.648", "15.8", "9.26"):
        assert answer not in told


BUILD_SHEET = "11-build-sheet"
EIGHT = {
    "eight_gasket": "thin steel",
    "eight_piston": "flat top",
    "eight_deck_cut": "0 in",
    "eight_head_cut": "0 in",
}
"""Boxes that stand only in the older edition of the lesson: an order for the Heron Eight."""


def older_edition(name: str) -> str:
    listed = json.loads((kit_folder("lessons") / LIST).read_text("utf-8"))[name]
    return next(str(each) for each in listed if each != lesson_named(name).edition)


def test_work_in_an_older_edition_is_judged_by_what_that_asked(back: Path, tmp_path: Path) -> None:
    texts = {**EIGHT, "my_left": "0.06 mm"}
    older, newer = (
        lesson(texts, reached=27, edition=older_edition(BUILD_SHEET)),
        lesson({"my_left": "0.06 mm"}, reached=2, edition=lesson_named(BUILD_SHEET).edition),
    )
    put(back, work("T-01", "Ada", {BUILD_SHEET: older}))
    put(back, work("T-02", "Bo", {BUILD_SHEET: newer}))
    report = marked(back, tmp_path / "marks")
    assert "lessons of 2 of 2 students marked: 11\n" in str(report)
    ada, bo = gradebook(tmp_path / "marks")
    columns = [f"{BUILD_SHEET}_{each}" for each in ("right", "written", "asked", "steps")]
    assert [ada[each] for each in columns] == ["1", "2", "4", "27"]
    assert [bo[each] for each in columns] == ["1", "1", "3", f"{BUILD_STEPS}"]
    told = page(tmp_path / "marks")
    assert "<h2>Lesson 11 The build sheet</h2>" in told
    assert "<h2>Lesson 11 The build sheet, an older edition</h2>" in told
    assert "gasket, piston, deck cut, head cut" in told
    assert "not judged" not in told.casefold()
    (file,) = (tmp_path / "marks" / "feedback" / "lessons").glob("*[aA]da*")
    assert "thin steel, flat top, 0 in, 0 in" in file.read_text("utf-8")


@pytest.mark.parametrize("edition", ["", "0" * 64], ids=["none", "of no kit"])
def test_answers_to_what_this_kit_never_asked_are_named_and_counted(
    back: Path, tmp_path: Path, edition: str
) -> None:
    texts = {**RIGHT, **EIGHT, "my_<i>": "7", "my_blank": " "}
    put(back, work("T-01", "Ada", {ADD_IT_UP: lesson(texts, edition=edition)}))
    report = marked(back, tmp_path / "marks")
    assert "marked: 07; 5 answers to questions of another edition not judged" in str(report)
    (row,) = gradebook(tmp_path / "marks")
    assert row["07-add-it-up_right"] == "5"
    told = (
        "lesson 07: 5 answers are to questions of another edition, which this kit has not, and not "
        "judged: eight_gasket, eight_piston, eight_deck_cut, eight_head_cut, my_<i>"
    )
    assert row["lesson_notes"] == told
    assert told.replace("<i>", "&lt;i&gt;") in page(tmp_path / "marks")
    assert "Not judged: 5 answers to questions that this edition does not ask." in page(
        tmp_path / "marks"
    )
    (file,) = (tmp_path / "marks" / "feedback" / "lessons").iterdir()
    assert "“thin steel”, “flat top”, “0 in”, “0 in”, “7”" in file.read_text("utf-8")


HALF_A_LETTER = '{"format": 1, "student": {"name": "\\ud83d", "id": "T-09\\ud83d"}, "lessons": {}}'


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('{"format": 1, "lessons": {', "is cut off"),
        ("", "is not a student's work"),
        ("nothing", "is not a student's work"),
        ('{"format": 2}', "is of a newer format (2); bring the kit up to date"),
        ('{"format": ' + "9" * 4000 + "}", "is of a newer format (99999999999999999999); bring"),
        ('{"format": 1}', "no id in it"),
        ('{"format": 1, "student": {"id": 7}}', "is not a student's work"),
        ('{"format": 1, "lessons": [1]}', "is not a student's work"),
        ('{"format": 1, "sets": {"a": 1}}', "is not a student's work"),
        ("[" * 200_000, "is not a student's work"),
        ("1" * 100_000, "is not a student's work"),
        ("[" + "[],\n" * 500_000 + "[]]", "holds more than a student's work can"),
        (" " * 5_000_001, "too large"),
        (
            json.dumps({"format": 1, "lessons": {str(n): {} for n in range(5001)}}),
            "holds more than",
        ),
        (json.dumps({"format": 1, "sets": {str(n): {} for n in range(5001)}}), "holds more than"),
        ('{"format": 1, "student": {"id": "\\u0000"}}\0', "not a text file"),
    ],
)
def test_a_file_that_is_no_work_is_told_and_holds_up_nobody(
    back: Path, tmp_path: Path, made: ClassSet, text: str, told: str
) -> None:
    put(back, work("1000", "Student 0", {ADD_IT_UP: lesson(RIGHT)}))
    marked(back, tmp_path / "alone", made)
    (back / "1001-handed-in.json").write_text(text, encoding="utf-8")
    started = time.process_time()
    report = marked(back, tmp_path / "marks", made)
    assert time.process_time() - started < 2
    (fault,) = report.faults
    assert str(fault).startswith("1001-handed-in.json: ")
    assert told in str(fault)
    before, after = gradebook(tmp_path / "alone"), gradebook(tmp_path / "marks")
    assert before[::2] == after[::2]
    assert told in after[1]["notes"], "the student of whom the file is by its name"
    assert told in page(tmp_path / "marks").replace("&#39;", "'")


def test_hostile_entries_are_text_and_cost_no_time(back: Path, tmp_path: Path) -> None:
    trap = tmp_path / "trap"
    code = f"__import__('os').system('touch {trap}')"
    odd = {
        **{f"box {number}": "9" for number in range(20_000)},
        "my_swept": code,
        "my_gasket": "9" * 100_000,
        "my_deck": "9**9**9 cc",
        "my_clearance": "0e999",
        "my_ratio": "\u202e9.26",
    }
    many = {f"lesson {number}": lesson({}) for number in range(2_000)}
    one = lesson(odd, guesses={"²": {"text": "x"}, "-1": {"text": "x"}, "9" * 50: {"text": "x"}})
    put(back, work("../../x", "=cmd()", {ADD_IT_UP: one, "../../etc/passwd": one, **many}))
    (back / "half.json").write_text(HALF_A_LETTER, encoding="utf-8")
    Book().lesson(ADD_IT_UP)
    started = time.process_time()
    report = marked(back, tmp_path / "marks")
    assert time.process_time() - started < 2
    assert report.faults == ()
    assert not trap.exists()
    by_id = {row["id"]: row for row in gradebook(tmp_path / "marks")}
    assert by_id["../../x"]["07-add-it-up_right"] == "0"
    assert by_id["../../x"]["name"] == "'=cmd()"
    assert "this kit has no lesson ../../etc/passwd" in by_id["../../x"]["lesson_notes"]
    assert "T-09?" in by_id
    assert {file.name for file in (tmp_path / "marks").iterdir()} == {
        *("class.html", "gradebook.csv", "feedback")
    }


def test_a_fault_of_the_kit_is_a_note_on_that_lesson(back: Path, tmp_path: Path) -> None:
    class Failing(Book):
        def judge(self, name, texts, edition=""):  # type: ignore[no-untyped-def]
            if texts.get("my_swept") == "1":
                raise OverflowError("too large")
            return super().judge(name, texts, edition)

    put(back, work("A", "A", {ADD_IT_UP: lesson({"my_swept": "1"})}))
    put(back, work("B", "B", {ADD_IT_UP: lesson(RIGHT)}))
    mark(back, tmp_path / "marks", book=Failing())
    first, second = gradebook(tmp_path / "marks")
    assert "lesson 07 the kit fails on it (OverflowError: too large)" in first["lesson_notes"]
    assert second["07-add-it-up_right"] == "5"


def test_of_two_files_the_better_of_each_lesson_counts_and_both_are_told(
    back: Path, tmp_path: Path
) -> None:
    written = {"my_bore": "87.63 mm"}
    put(back, work("T-01", "Ada Nowak", {ADD_IT_UP: lesson(RIGHT)}), "a.json")
    other = {ADD_IT_UP: lesson({"my_swept": "1 cc"}), "00-start-here": lesson(written)}
    put(back, work("t-01 ", "Bo Lind", other), "b.json")
    marked(back, tmp_path / "marks")
    (row,) = gradebook(tmp_path / "marks")
    assert row["07-add-it-up_right"] == "5", "a file signed with this id never lowers the mark"
    assert row["00-start-here_written"] == "1"
    assert "2 work files came back" in row["lesson_notes"]
    assert "ask whose it is" in row["lesson_notes"]


def test_any_number_of_forged_files_lowers_nothing(back: Path, tmp_path: Path) -> None:
    done = lesson(RIGHT, guesses={"predict": {"text": "9"}}, readings={"18: bore": "88.3 mm"})
    put(back, work("T-01", "Ada Nowak", {ADD_IT_UP: done}))
    marked(back, tmp_path / "alone")
    for number in range(30):
        texts = RIGHT if number % 2 else {"my_swept": f"{number} cc"}
        put(back, work("T-01", "Ada Nowak", {ADD_IT_UP: lesson(texts)}), f"z{number}.json")
    marked(back, tmp_path / "marks")
    (alone,), (row,) = gradebook(tmp_path / "alone"), gradebook(tmp_path / "marks")
    told = {"lesson_notes", "work_files"}
    assert {n: c for n, c in alone.items() if n not in told} == {
        n: c for n, c in row.items() if n not in told
    }
    assert "31 work files came back" in row["lesson_notes"]


def test_with_a_key_the_roster_says_who_is_in_the_class(
    back: Path, tmp_path: Path, made: ClassSet
) -> None:
    put(back, work("1001", "student 1", {ADD_IT_UP: lesson(RIGHT)}))
    put(back, work("9", "Stranger", {ADD_IT_UP: lesson(RIGHT)}))
    report = marked(back, tmp_path / "marks", made)
    assert [str(fault) for fault in report.faults] == [
        "9-handed-in.json: id 9: no such student on the roster"
    ]
    rows = gradebook(tmp_path / "marks")
    assert [row["07-add-it-up_right"] for row in rows] == ["", "5", ""]
    assert [row["lesson_notes"] for row in rows] == ["nothing came back", "", "nothing came back"]


def test_a_gradebook_without_work_files_stays_as_it_was(
    back: Path, tmp_path: Path, made: ClassSet
) -> None:
    for entry in made.key.entries[:2]:
        hand_in(made, back, entry, right(entry))
    marked(back, tmp_path / "before", made)
    assert "lesson" not in page(tmp_path / "before", "gradebook.csv")
    put(back, work("1002", "Student 2", {ADD_IT_UP: lesson(RIGHT)}))
    marked(back, tmp_path / "after", made)
    before, after = (
        page(tmp_path / name, "gradebook.csv").splitlines() for name in ("before", "after")
    )
    assert all(new.startswith(f"{old},") for old, new in zip(before, after, strict=True))
    for name in ("student-0-1000", "student-1-1001"):
        told = f"feedback/{name}.html"
        assert page(tmp_path / "before", told) == page(tmp_path / "after", told)


def test_a_class_set_s_answers_in_a_work_file_are_marked_by_the_key(
    back: Path, tmp_path: Path, made: ClassSet
) -> None:
    first, second, third = made.key.entries
    put(back, work("1000", "Student 0", {}, {"mine": sheet(first, right(first))}))
    put(back, work("1001", "Student 1", {}, {"mine": sheet(second, {"swept_volume": "1 cc"})}))
    report = marked(back, tmp_path / "marks", made)
    assert report.faults == ()
    rows = gradebook(tmp_path / "marks")
    assert [row["score"] for row in rows] == ["5", "0", ""]
    assert rows[0]["file"] == "1000-handed-in.json"
    assert rows[2]["notes"] == "nothing came back"
    assert third.student.file not in {file.stem for file in (tmp_path / "marks/feedback").iterdir()}


def test_a_sheet_signed_with_another_s_id_is_told_and_lowers_nobody(
    back: Path, tmp_path: Path, made: ClassSet
) -> None:
    first, second, _ = made.key.entries
    hand_in(made, back, first, right(first))
    put(back, work("1001", "Student 1", {ADD_IT_UP: lesson(RIGHT)}, {"x": sheet(first, {})}))
    forged = {**sheet(second, {"swept_volume": "1 cc"}), "sheet": "0123456789abcdef"}
    put(back, work("1000", "Student 0", {}, {"x": forged}), "of another set.json")
    report = marked(back, tmp_path / "marks", made)
    assert [str(fault) for fault in report.faults] == [
        "1001-handed-in.json: the sheet of Student 0 (1000), signed as Student 1 (1001): "
        "not marked, ask both"
    ]
    rows = gradebook(tmp_path / "marks")
    assert [row["score"] for row in rows] == ["5", "", ""]
    assert rows[1]["07-add-it-up_right"] == "5", "the lessons of that file are marked"


def test_a_genuine_sheet_in_a_work_file_outranks_a_typed_row(
    back: Path, tmp_path: Path, made: ClassSet
) -> None:
    entry = made.key.entries[0]
    put(back, work("1000", "Student 0", {}, {"x": sheet(entry, {"swept_volume": "1 cc"})}))
    cells = right(entry)
    row = ",".join(["1000", *cells.values()])
    (back / "typed.csv").write_text(f"id,{','.join(cells)}\n{row}\n", encoding="utf-8")
    marked(back, tmp_path / "marks", made)
    told = gradebook(tmp_path / "marks")[0]
    assert told["score"] == "0"
    assert "has no mark of the sheet: ask whose it is" in told["notes"]


def test_a_sheet_of_another_class_set_alone_is_told(
    back: Path, tmp_path: Path, made: ClassSet
) -> None:
    entry = made.key.entries[1]
    other = {**sheet(entry, right(entry)), "sheet": "0" * 16}
    put(back, work("1001", "Student 1", {ADD_IT_UP: lesson(RIGHT)}, {"x": other}))
    marked(back, tmp_path / "marks", made)
    notes = [row["notes"] for row in gradebook(tmp_path / "marks")]
    assert notes == [
        "nothing came back",
        "1001-handed-in.json holds sheets of another class set alone",
        "nothing came back",
    ]


def test_nothing_to_mark_without_a_key_is_told_as_before(back: Path, tmp_path: Path) -> None:
    (back / "a.json").write_text("{}", encoding="utf-8")
    with pytest.raises(Refused, match="no key beside"):
        marked(back, tmp_path / "marks")
    assert not (tmp_path / "marks").exists()


def test_marking_again_gives_the_same_bytes(back: Path, tmp_path: Path) -> None:
    for number in range(45):  # as many as more than one hand takes
        put(back, work(f"T-{number}", f"N{number}", {ADD_IT_UP: lesson(RIGHT | RADIUS)}))
    for name in ("one", "two"):
        marked(back, tmp_path / name)
    one, two = (
        {file.name: file.read_bytes() for file in (tmp_path / name).rglob("*") if file.is_file()}
        for name in ("one", "two")
    )
    assert len(one) == 47
    assert one == two


def test_the_command_marks_lessons(
    back: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put(back, work("T-01", "Ada Nowak", {ADD_IT_UP: lesson(RIGHT)}))
    (back / "notes.txt").write_text("x", encoding="utf-8")
    assert main(["mark", str(back), "--out", str(tmp_path / "marks")]) == 0
    said = capsys.readouterr().out
    assert said.startswith("lessons of 1 of 1 students marked: 07\n")
    assert "notes.txt: no work file; for papers of a class set say where it is with --key" in said
    assert json.loads((back / "T-01-handed-in.json").read_text())["format"] == 1
