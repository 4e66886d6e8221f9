"""The instructor's guides: one for each lesson; its answers and its screen are the lesson's own."""

from __future__ import annotations

import ast
import re
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any

import nbformat
import pytest

from enginemath.answers.tool_reading import TOOLS, settings
from enginemath.pages import server
from enginemath.pages.steps import Lesson, Step, lesson_named
from enginemath.panels.frame.setting import Group
from tests.panels.opened import ALL, opened, said

ROOT = Path(__file__).parents[2]
SITE = Path(server.__file__).parent / "site"
SOLVED = sorted((ROOT / "instructor" / "solved").glob("*.ipynb"))
SECTIONS = [
    "Time",
    "On the screen",
    "Board plan",
    "Questions and likely answers",
    "Answers",
    "Common mistakes and what to say",
    "Bench set-up",
    "Safety",
    "Without an engine",
    "No power, no network",
]
ITALIC = r"(?<!\*)\*([^*]+)\*(?!\*)"
OF_A_NOTEBOOK = r"\b(?:cells?|sliders?|Shift|Kernel|reset all)\b|tick \*projector|in quotes"
COUNTED = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight"]
each_lesson = pytest.mark.parametrize("solved", SOLVED, ids=lambda path: path.stem)


def guide_of(solved: Path) -> str:
    return (ROOT / "instructor" / "guides" / f"{solved.stem}.md").read_text(encoding="utf-8")


def section(page: str, name: str) -> str:
    """What stands under a heading, as running text; empty where there is none."""
    _, _, rest = page.partition(f"\n## {name}\n")
    return rest.partition("\n## ")[0]


def rows(text: str, *heads: str) -> list[list[str]]:
    """The rows of the table with these heads, stars and backquotes left out."""
    _, _, table = text.partition(f"| {' | '.join(heads)} |\n")
    lines = table.partition("\n\n")[0].splitlines()[1:]
    return [[re.sub(r"[*`]", "", cell).strip() for cell in line.split("|")[1:-1]] for line in lines]


def cells(solved: Path) -> list[nbformat.NotebookNode]:
    return nbformat.read(solved, as_version=4).cells


def student_text(solved: Path) -> str:
    """The text cells of the student's lesson."""
    shown = (cell for cell in cells(solved) if "instructor" not in cell.metadata.get("tags", []))
    return "\n" + "\n\n".join(cell.source for cell in shown if cell.cell_type == "markdown")


def panel_of(solved: Path, **how: Any) -> Any:
    """The lesson's panel, open and its guess given; `how` opens it otherwise."""
    for cell in cells(solved):
        if cell.cell_type == "code" and (call := re.match(r"(\w+)\((.*)\)$", cell.source)):
            name, arguments = call.groups()
            if name in ALL:
                engine = [ast.literal_eval(arguments)] if arguments else []
                return opened(name, *engine, **{key: how[key] for key in how if key in ALL[name]})
    raise AssertionError(f"no panel in {solved.stem}")


def labels(panel: Any) -> set[str]:
    """What stands beside or on the controls; the number of a step left out."""
    groups = [part.title for part in panel.left if isinstance(part, Group)]
    told = [each for setting in panel.settings for each in (setting.label, *on_it(setting))]
    return {panel.title, *(re.sub(r"^\d+\. ", "", label) for label in (*groups, *told))}


def on_it(setting: Any) -> list[str]:
    """What stands on the button of a line to type on."""
    return [setting.button] if hasattr(setting, "button") else []


def move(panel: Any, name: str, to: str) -> None:
    """Set a control, or choose from a list, as a hand would."""
    for control in panel.controls:
        if control.dial.name == name:
            control.type(to)
            assert not control.refused, control.says
            return
    labels = [label for label, _ in panel.setting_named(name).options]
    panel.take(name, next(label for label in labels if label.startswith(to)))


@each_lesson
def test_every_lesson_has_a_guide_with_all_sections(solved: Path) -> None:
    headings = re.findall(r"^## ([^(\n]+?)(?: \(.*\))?$", guide_of(solved), re.MULTILINE)
    assert [heading for heading in headings if heading in SECTIONS] == SECTIONS


@each_lesson
def test_the_time_adds_up_to_a_period(solved: Path) -> None:
    times = re.findall(r"^\| (\d+)–(\d+) \|", section(guide_of(solved), "Time"), re.MULTILINE)
    assert times[0][0] == "0"
    assert times[-1][1] == "45"
    assert [end for _, end in times[:-1]] == [start for start, _ in times[1:]]


@each_lesson
def test_the_time_names_the_lesson_s_own_steps(solved: Path) -> None:
    lesson, page = lesson_named(solved.stem), guide_of(solved)
    named = [row[1] for row in rows(section(page, "Time"), "minutes", "step", "you", "class")]
    assert [text for text in named if no_step(text, lesson)] == []
    told = " ".join(named)
    for step in lesson.steps:
        names = [step.title, *parts_of(step)]
        assert step.title in ("On the bench", "What we found") or any(
            each in told for each in names
        )


def parts_of(step: Step) -> list[str]:
    """The titles of a step's parts, without their numbers."""
    return [re.sub(r"^\d+ · ", "", part.title) for part in step.parts]


def no_step(named: str, lesson: Lesson) -> str:
    """What in a list of steps and of their parts is the title of none."""
    for step in lesson.steps:
        numbered = sum(part.title[0].isdigit() for part in step.parts)
        for count in (COUNTED[len(step.parts)], f"1–{numbered}"):
            named = re.sub(rf"{re.escape(step.title)},? {count}\b(?: parts)?", "", named)
    titles = [title for step in lesson.steps for title in (step.title, *parts_of(step))]
    for title in sorted(titles, key=len, reverse=True):
        named = named.replace(title, "")
    return re.sub(r"[,;: ]+", " ", named).strip()


@each_lesson
def test_a_guide_speaks_of_the_page_and_names_its_buttons(solved: Path) -> None:
    """Its reader has never seen a notebook: where one is meant, the paragraph says so."""
    lesson, page = lesson_named(solved.stem), guide_of(solved)
    for paragraph in re.split(r"\n\n|\n(?=- )|\n(?=\|)", page):
        if "notebook" not in paragraph:
            assert not re.search(OF_A_NOTEBOOK, paragraph), paragraph
            assert not re.search(r"`\w+\(", paragraph), paragraph
    there = {title for step in lesson.steps for title in (step.title, *parts_of(step))}
    there |= labels(panel_of(solved, predict=True)) - {"reset all"} | buttons()
    on_screen = section(page, "On the screen")
    named = {" ".join(name.split()) for name in re.findall(ITALIC, on_screen)}
    assert named <= there


@cache
def buttons() -> set[str]:
    """What stands on the page's own buttons."""
    scripts = "".join(file.read_text(encoding="utf-8") for file in SITE.glob("*.js"))
    texts = re.findall(r'"([a-z][a-z ]+)"', scripts + (SITE / "page.html").read_text("utf-8"))
    texts += re.findall(r"<button[^>]*>([^<]+)<", (SITE / "page.html").read_text("utf-8"))
    return set(texts)


def test_a_step_that_is_not_there_is_found() -> None:
    lesson = lesson_named("02-two-volumes-one-ratio")
    assert no_step("Work it: Any angle; Your turn, two parts, Exit ticket", lesson) == ""
    assert no_step("Safety, Predict", lesson) == "Safety"
    assert no_step("Your turn 1–4", lesson) == "1–4"
    assert {"show", "put all back", "engine and units", "hand in"} <= buttons()
    assert "reset all things" not in buttons()


@each_lesson
def test_the_guide_s_answers_are_the_solved_lesson_s(solved: Path) -> None:
    answers = section(guide_of(solved), "Answers")
    table = " ".join(cell for row in rows(answers, "question", "answer") for cell in row)
    for cell in cells(solved):
        if "answer" in cell.metadata.get("tags", []):
            for node in ast.parse(cell.source).body:
                assert isinstance(node, ast.Assign)
                written = ast.literal_eval(node.value)
                assert re.search(rf"(?<![\d.]){re.escape(written)}(?!\d)", table), written


@each_lesson
def test_every_question_of_the_exit_ticket_is_answered(solved: Path) -> None:
    asked = re.findall(r"^(\d)\. ", section(student_text(solved), "Exit ticket"), re.MULTILINE)
    _, _, answered = section(guide_of(solved), "Answers").partition("**Exit ticket.**")
    assert re.findall(r"\s(\d)\. ", answered) == asked == ["1", "2", "3"]


@each_lesson
def test_what_the_lesson_names_is_on_the_panel(solved: Path) -> None:
    there = labels(panel_of(solved, predict=True))
    named = re.findall(ITALIC, section(student_text(solved), "See"))
    assert {" ".join(name.split()) for name in named} <= there


@each_lesson
def test_what_the_guide_says_of_the_screen_is_so(solved: Path) -> None:
    page = section(guide_of(solved), "On the screen")
    moves = rows(page, "move", "to", "it says")
    for names, to, says in moves:
        panel = panel_of(solved)
        for name, value in zip(names.split("; "), to.split("; "), strict=True):
            move(panel, name, value)
        assert says in said(panel), (names, to)
    for typed, says in rows(page, "type", "it says"):
        panel = panel_of(solved)
        panel.entry.take(typed)
        assert says in panel.entry.says, typed
    assert moves or solved.stem[:2] in ("00", "03", "04")


@each_lesson
def test_the_answer_to_the_panel_s_guess_is_in_the_guide(solved: Path) -> None:
    panel = panel_of(solved)
    question = type(panel).prediction(panel)
    page = " ".join(section(guide_of(solved), "On the screen").split())
    if question is None:
        assert re.search(r"asks no(thing| guess)", page)
    else:
        assert f"*show the answer*: {question.shown(question.answer())}" in page


def test_the_settings_of_the_tools() -> None:
    page = section(guide_of(SOLVED[3]), "On the screen")
    listed = rows(page, "instrument", "first five settings")
    assert len(listed) >= 7
    for instrument, readings in listed:
        name, unit = instrument.rsplit(", ", 1)
        first = [setting.shown for setting in islice(settings(TOOLS[name, unit], 1), 5)]
        assert [f"{reading} {unit}" for reading in readings.split(", ")] == first


def test_the_true_volumes_of_the_head() -> None:
    panel = panel_of(SOLVED[4])
    listed = rows(
        section(guide_of(SOLVED[4]), "On the screen"), "cylinder of the head", "true volume"
    )
    assert len(listed) == panel.bench.count
    for cylinder, volume in listed:
        panel.bench.begin(int(cylinder))
        assert f"{panel.bench.true_volume:.2f} cc" == volume


def test_a_bubble_on_purpose_reads_small_as_the_guide_says() -> None:
    page = " ".join(section(guide_of(SOLVED[4]), "On the screen").split())
    said_to_be = re.search(r"(\S+) cc if it is the first pour, (\S+) cc after a careful", page)
    assert said_to_be
    alone = panel_of(SOLVED[4])
    pour_with_air(alone, let_out=False)
    after_a_careful_one = panel_of(SOLVED[4])
    pour_with_air(after_a_careful_one, let_out=True)
    pour_with_air(after_a_careful_one, let_out=False)
    for panel, too_small in zip((alone, after_a_careful_one), said_to_be.groups(), strict=True):
        truth = panel.bench.truths()[-1]
        assert f"{truth.true - truth.measured:.1f}" == too_small


def pour_with_air(panel: Any, *, let_out: bool) -> None:
    """Pour cylinder 1 full, write it down, and empty the head again."""
    for name, place in (("spark plug", 1), ("line of grease", 5), ("clear plate", 0)):
        panel.take(name, place)
    bench = panel.bench
    panel.start.take(f"{bench.reading:.2f} mL")
    while not bench.full:
        if bench.empty:
            panel.end.take(f"{bench.reading:.2f} mL")
            panel.refill.press()
            panel.start.take(f"{bench.reading:.2f} mL")
        panel.take("tap", "0.05 cc")
        if bench.full and let_out and bench.pour.bubble:
            panel.take("tilt of the head", 3)
    panel.end.take(f"{bench.reading:.2f} mL")
    panel.again.press()


def test_a_wrong_name_and_a_wrong_number_are_found() -> None:
    assert "chamber" in labels(panel_of(SOLVED[7]))
    assert "combustion room" not in labels(panel_of(SOLVED[7]))
    panel = panel_of(SOLVED[7])
    move(panel, "chamber", "45.9 cc")
    assert "ratio 8.80" in said(panel)
    assert "ratio 8.68" not in said(panel)
    assert rows("| a | b |\n|---|---|\n| *x* | `y` |\n\nend", "a", "b") == [["x", "y"]]
