"""Make the sample class: its set, and what came back, some of it broken.

    python instructor/make_sample_class.py

Every student and engine is invented. What each of them did is said in `sample-class/README.md`,
and `tests/classroom/test_sample_class.py` marks it.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

from enginemath.classroom.sets.key import Entry
from enginemath.classroom.sets.levels import LEVELS
from enginemath.classroom.sets.make_set import make_class_set
from enginemath.classroom.sets.roster import read_roster
from enginemath.classroom.sets.secret import FILE as SECRET_FILE
from enginemath.classroom.sets.secret import ClassSecret
from enginemath.formulas.compression import compression_ratio

SAMPLE = Path(__file__).parent / "sample-class"
SECRET = "sample class of the Tin Heron school"
LEVEL = LEVELS["full"]

Answers = dict[str, str]


def all_right(entry: Entry) -> Answers:
    """Every answer as it should be."""
    return {name: entry.assignment.written(name) for name in entry.assignment.right}


def carried_on(entry: Entry, **wrong: float) -> Answers:
    """Some volumes wrong, and the rest worked right from them."""
    right = entry.assignment.right
    numbers = {**right, **wrong}
    numbers["clearance_volume"] += numbers["gasket_volume"] - right["gasket_volume"]
    numbers["displacement"] *= numbers["swept_volume"] / right["swept_volume"]
    numbers["compression_ratio"] = compression_ratio(
        numbers["swept_volume"], numbers["clearance_volume"]
    )
    return {q.name: q.written(numbers[q.name]) for q in LEVEL.questions}


def filled(text: str, answers: Answers) -> dict[str, Any]:
    """A notebook with answers in its cells."""
    content: dict[str, Any] = json.loads(text)
    for cell in content["cells"]:
        name, blank, _ = "".join(cell["source"]).partition(' = ""')
        if blank and name in answers:
            cell["source"] = [f'{name} = "{answers[name]}"']
    return content


def code(source: str) -> dict[str, Any]:
    """A cell that a student added."""
    return {
        "cell_type": "code",
        "execution_count": 7,
        "id": f"added-{len(source)}",
        "metadata": {},
        "outputs": [],
        "source": source.splitlines(keepends=True),
    }


def main() -> None:
    """Make all of it again."""
    for folder in ("set", "returned"):
        shutil.rmtree(SAMPLE / folder, ignore_errors=True)
    students = read_roster(SAMPLE / "roster.csv")
    kept = SAMPLE / "set" / "instructor" / SECRET_FILE
    kept.parent.mkdir(parents=True)
    kept.write_text(SECRET + "\n", encoding="utf-8")
    made = make_class_set(students, SAMPLE / "set", LEVEL, ClassSecret(SECRET))
    back = SAMPLE / "returned"
    (back / "period B").mkdir(parents=True)
    entry = made.key.by_id
    blank = {
        id: (made.students / f"{each.student.file}.ipynb").read_text(encoding="utf-8")
        for id, each in entry.items()
    }

    def hand_in(name: str, content: dict[str, Any]) -> None:
        (back / name).write_text(json.dumps(content, indent=1, ensure_ascii=False) + "\n", "utf-8")

    def tempting(id: str, question: str, mistake: str) -> float:
        return entry[id].assignment.tempting(question)[mistake]

    def by_name(id: str) -> str:
        return f"{entry[id].student.file}.ipynb"

    hand_in(by_name("2101"), filled(blank["2101"], all_right(entry["2101"])))
    free = tempting("2102", "gasket_volume", "gasket-uncompressed")
    hand_in(by_name("2102"), filled(blank["2102"], carried_on(entry["2102"], gasket_volume=free)))
    forgot = all_right(entry["2103"])
    forgot["compression_ratio"] = f"{entry['2103'].assignment.right['compression_ratio'] - 1:.3f}"
    hand_in("final FINAL (2).ipynb", filled(blank["2103"], forgot))
    wide = tempting("2104", "swept_volume", "radius-for-diameter")
    hand_in(by_name("2104"), filled(blank["2104"], carried_on(entry["2104"], swept_volume=wide)))

    shuffled = filled(blank["2105"], all_right(entry["2105"]))
    shuffled["cells"] = [*shuffled["cells"][::-1], code('deck_volume = "7.77 cc"')]
    hand_in(by_name("2105"), shuffled)

    half = filled(blank["2106"], all_right(entry["2106"]))
    half["metadata"] = {}
    half["cells"] = [cell for cell in half["cells"] if "crown" not in "".join(cell["source"])]
    half["cells"].append(code("%matplotlib inline\ncompression_ratio = swept_volume /"))
    hand_in("period B/Untitled7.ipynb", half)

    free = tempting("2107", "gasket_volume", "gasket-uncompressed")
    hand_in(
        f"period B/{by_name('2107')}",
        filled(blank["2107"], carried_on(entry["2107"], gasket_volume=free)),
    )
    commas = {name: text.replace(".", ",") for name, text in all_right(entry["2108"]).items()}
    worked = filled(blank["2108"], commas)
    worked["cells"].append(code("deck_volume = 3.1416 / 4 * 8.1 ** 2 * 0.03"))
    hand_in(f"period B/{by_name('2108')}", worked)

    whole = json.dumps(filled(blank["2109"], all_right(entry["2109"])), indent=1)
    (back / "period B" / by_name("2109")).write_text(whole[: len(whole) // 2], "utf-8")
    (back / "period B" / "teo.docx").write_bytes(b"PK\x03\x04" + bytes(200))
    friend = filled(blank["2111"], all_right(entry["2111"]))
    hand_in(f"period B/{by_name('2111')}", friend)
    copied = json.loads(json.dumps(friend).replace("student_id = '2111'", "student_id = '2112'"))
    hand_in("period B/rafi.ipynb", copied)

    names = [question.name for question in LEVEL.questions]
    paper = carried_on(entry["2113"])
    paper["gasket_volume"], paper["deck_volume"] = paper["deck_volume"], ""
    rows = [["id", "name", *names], ["2113", "Odile Sartre", *(paper[name] for name in names)]]
    rows.append(["2999", "=cmd()", *("1" for _ in names)])
    table = "\n".join(",".join(row) for row in rows) + "\n"
    (back / "typed-answers.csv").write_text(table, "utf-8")
    shutil.rmtree(made.students)


if __name__ == "__main__":
    main()
