"""Make the students' lessons from the solved notebooks, and run both.

    python instructor/make_lessons.py            # all
    python instructor/make_lessons.py 06 07      # some
    python instructor/make_lessons.py --check    # say which lessons are out of date, run nothing
    python instructor/make_lessons.py --editions # before a kit is handed out: list its editions

The solved notebook is the source. A cell's tags say what becomes of it:

- ``answer``: only assignments; each right-hand side becomes an empty answer for the student;
- ``instructor``: left out of the student's notebook;
- ``notebook``: not on the page.

Text between ``<!-- notebook -->`` and ``<!-- end -->`` is for the notebook alone, text in
``<!-- page … -->`` for the page alone.
"""

from __future__ import annotations

import argparse
import ast
import json
import re
import sys
from concurrent.futures import ThreadPoolExecutor
from copy import deepcopy
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbformat import NotebookNode

from enginemath.classroom.editions import LIST, TEXTS, edition_of, file_of_edition, stripped

SOLVED = Path(__file__).parent / "solved"
LESSONS = Path(__file__).parents[1] / "lessons"
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


UNIT = re.compile(r'^(\w+) = "[-−]?[\d.]+(?: ± [\d.]+)? ?([A-Za-z%][^"]*)"', re.MULTILINE)
UNIT_IS_ASKED = ("check_written", "check_misprint")
"""Checks of answers whose unit is for the student to find."""


def blank(solved: NotebookNode) -> NotebookNode:
    """The student's notebook: no instructor's cells, no answers, no outputs.

    Of an answer its unit alone stays, for the page to put it beside the box.
    """
    lesson = deepcopy(solved)
    lesson.cells = [cell for cell in lesson.cells if "instructor" not in tags(cell)]
    for place, cell in enumerate(lesson.cells):
        if "answer" in tags(cell):
            units = dict(UNIT.findall(cell.source))
            if units and not lesson.cells[place + 1].source.startswith(UNIT_IS_ASKED):
                cell.metadata.units = units
            cell.source = without_answers(cell.source)
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    return lesson


def without_answers(source: str) -> str:
    """Replace the right-hand side of every assignment by an empty answer.

    >>> print(without_answers('my_ratio = "9.83"  # two decimals'))
    my_ratio = ""  # two decimals
    """
    lines = source.splitlines()
    for node in ast.parse(source).body:
        if not isinstance(node, ast.Assign) or node.lineno != node.end_lineno:
            raise ValueError(f"an answer cell holds one-line assignments only: {source!r}")
        line, value = lines[node.lineno - 1], node.value
        before = line.encode()[: value.col_offset].decode()
        after = line.encode()[value.end_col_offset :].decode()
        lines[node.lineno - 1] = f'{before}""{after}'
    return "\n".join(lines)


def tags(cell: NotebookNode) -> list[str]:
    """A cell's tags."""
    return cell.metadata.get("tags", [])


def sources(notebook: NotebookNode) -> list[tuple[str, str]]:
    """What a notebook says, without outputs."""
    return [(cell.cell_type, cell.source) for cell in notebook.cells]


def run(notebook: NotebookNode) -> NotebookNode:
    """Run every cell and keep what it prints; drop what differs from machine to machine."""
    NotebookClient(notebook, timeout=120, kernel_name="python3", coalesce_streams=True).execute()
    notebook.metadata = nbformat.from_dict(METADATA)
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
        for output in cell.get("outputs", []):
            output.get("data", {}).pop("application/vnd.jupyter.widget-view+json", None)
    return notebook


def make(solved_path: Path) -> Path:
    """Run one solved notebook and write the student's lesson made from it."""
    solved = nbformat.read(solved_path, as_version=4)
    lesson_path = LESSONS / solved_path.name
    nbformat.write(run(solved), solved_path)
    nbformat.write(run(blank(solved)), lesson_path)
    return lesson_path


def out_of_date(solved_path: Path) -> bool:
    """Whether the student's lesson is not what the solved notebook gives."""
    lesson_path = LESSONS / solved_path.name
    if not lesson_path.exists():
        return True
    solved, lesson = (nbformat.read(path, as_version=4) for path in (solved_path, lesson_path))
    return sources(blank(solved)) != sources(lesson)


def list_editions() -> None:
    """Add the lessons as they stand to the list by which pages know an older edition.

    Their texts are kept beside it: work that comes back in an older edition is judged by that.
    """
    file = LESSONS / LIST
    known = json.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    for lesson in sorted(LESSONS.glob("*.ipynb")):
        editions = known.setdefault(lesson.stem, [])
        text = lesson.read_text(encoding="utf-8")
        edition = edition_of(text)
        if edition not in editions:
            editions.append(edition)
        kept = LESSONS / TEXTS / file_of_edition(lesson.stem, edition)
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(stripped(text), encoding="utf-8")
    file.write_text(json.dumps(known, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def main() -> int:
    """Make the lessons that were asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("numbers", nargs="*", help="such as 06; all if none is given")
    parser.add_argument("--check", action="store_true", help="say which are out of date")
    parser.add_argument("--editions", action="store_true", help="add all to the list of editions")
    options = parser.parse_args()
    if options.editions:
        list_editions()
        return 0
    wanted = tuple(options.numbers) or ("",)
    paths = [path for path in sorted(SOLVED.glob("*.ipynb")) if path.name.startswith(wanted)]
    if options.check:
        stale = [path.name for path in paths if out_of_date(path)]
        print(*(f"out of date: {name}" for name in stale), sep="\n")
        return 1 if stale else 0
    with ThreadPoolExecutor(max_workers=2) as two_at_once:
        for lesson_path in two_at_once.map(make, paths):
            print(lesson_path.name)
    return 0


if __name__ == "__main__":
    sys.exit(main())
