"""What people read, without what machines read: the sentences of a page or a lesson."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat

ROOT = Path(__file__).parents[1]
LESSONS = sorted((ROOT / "lessons").glob("*.ipynb"))
PAGES = sorted(
    [
        *ROOT.glob("*.md"),
        *(ROOT / "datasets").glob("*.md"),
        *(ROOT / "docs").rglob("*.md"),
        *(ROOT / "instructor").rglob("*.md"),
    ]
)


def markdown_of(path: Path) -> str:
    """A page as it is, or the text cells of a notebook."""
    if path.suffix != ".ipynb":
        return path.read_text(encoding="utf-8")
    cells = nbformat.read(path, as_version=4).cells
    return "\n\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


def without_code(markdown: str) -> str:
    """Leave out blocks and words of code, formulas, comments, pictures, and where links lead."""
    text = re.sub(r"^( *)(`{3,}|:{3,})[^\n]*\n.*?^\1\2 *$", "", markdown, flags=re.M | re.S)
    text = re.sub(r"<!--.*?-->|\$\$.*?\$\$|`[^`]*`|\$[^$\n]+\$", "", text, flags=re.S)
    text = re.sub(r"!\[[^\]]*\]\([^)]*\)|<[a-z/][^>]*>|<?https?://\S+", "", text)
    return re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text)


def sentences(markdown: str) -> str:
    """The running text: no headings, no tables, a full stop after every paragraph and item."""
    lines = without_code(markdown).splitlines()
    kept = [line for line in lines if not re.match(r"\s*(#|\|)", line)]
    blocks = re.split(r"\n\s*\n|\n(?=\s*(?:[-*]|\d+\.)\s)", "\n".join(kept))
    plain = (re.sub(r"^\s*(?:[-*]|\d+\.)\s+|[*_]", "", block).strip() for block in blocks)
    joined = (" ".join(block.split()) for block in plain if block)
    return "\n".join(block if block[-1] in ".!?:" else f"{block}." for block in joined)
