"""The lessons, copied among the pages so that each becomes one."""

from __future__ import annotations

from pathlib import Path

import nbformat


def copy(lessons: Path, pages: Path) -> None:
    """Bring the copies up to date; what has not changed keeps its date and is not built again."""
    pages.mkdir(exist_ok=True)
    wanted = {lesson.name: lesson for lesson in lessons.glob("*.ipynb")}
    for old in pages.glob("*.ipynb"):
        if old.name not in wanted:
            old.unlink()
    for name, lesson in wanted.items():
        page, text = pages / name, _as_page(lesson)
        if not page.exists() or page.read_text(encoding="utf-8") != text:
            page.write_text(text, encoding="utf-8")


def _as_page(lesson: Path) -> str:
    """A lesson as committed, less the words that stand in for a panel: its picture is there."""
    notebook = nbformat.read(lesson, as_version=4)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs = [output for output in cell.outputs if not _stands_in(output)]
    return nbformat.writes(notebook)


def _stands_in(output: nbformat.NotebookNode) -> bool:
    data = output.get("data", {})
    return set(data) == {"text/plain"} and data["text/plain"].startswith("<panel:")
