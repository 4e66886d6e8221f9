"""The answers in a notebook or a table, taken as they were written: nothing is ever run."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from enginemath.classroom.from_outside import clean, json_of, no_surrogates
from enginemath.classroom.marking.literals import HALF, Written, assigned, mentions
from enginemath.classroom.sets.notebook import METADATA, SIGNED
from enginemath.sheets.csv_table import comma_is_decimal, rows_or_refusals
from enginemath.units import Refused

_LONGEST_CELL = 100_000
"""Of code with answers in it, also of all such cells of one paper together: over some texts of
twice the length Python's reader takes four times as long."""
_LONGEST_ANSWER = 200
_MOST_TOLD = 20
_OWN_CHECK = re.compile(r"\bcheck\w*\s*\(")
"""Stands in the cell that the kit itself puts into a notebook that gives hints."""


@dataclass
class Paper:
    """What one student wrote, wherever it stood.

    Args:
        signed: the id that the student's cell or row says.
        issued: the id and the tag of the sheet that was handed out, where they are still there.
        notes: what the instructor should know.
    """

    signed: str = ""
    issued: tuple[str, str] | None = None
    answers: dict[str, Written] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def read_notebook(text: str, names: Collection[str]) -> Paper:
    """The answers in a notebook, in whatever state it came back.

    Args:
        text: of the file.
        names: of the questions.

    Raises:
        Refused: not a notebook, or not a whole one.
    """
    try:
        content = json_of(text)
    except Refused:
        raise
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        where = f" at line {line}" if line else ""
        raise Refused(f"not a whole notebook: it breaks off or is damaged{where}") from None
    cells = content.get("cells") if isinstance(content, dict) else None
    if not isinstance(cells, list):
        raise Refused("not a notebook: no cells in it")
    paper = Paper(issued=_issued(content))
    wanted = {*names, SIGNED}
    found: dict[str, list[Written]] = {}
    mentioned: dict[str, list[int]] = {}
    room = _LONGEST_CELL
    for place, cell in enumerate(cells, start=1):
        source = _source(cell) if isinstance(cell, dict) else ""
        if len(source) > room:
            if any(name in source for name in wanted):
                paper.notes.append(f"cell {place} is too long to be read")
            continue
        is_code = isinstance(cell, dict) and cell.get("cell_type") == "code"
        said = mentions(source, wanted) if is_code else {n for n in wanted if n in source}
        if not said:
            continue
        room -= len(source)
        taken = set()
        if is_code:
            for name, written in assigned(source, wanted):
                found.setdefault(name, []).append(written)
                taken.add(name)
        if not _OWN_CHECK.search(source):
            for name in said - taken:
                mentioned.setdefault(name, []).append(place)
    signature = _last(found.pop(SIGNED, []))
    paper.signed = signature.text
    paper.answers = {name: _last(every) for name, every in found.items()}
    for name, answer in paper.answers.items():
        if answer.before:
            earlier = ", ".join(clean(each, 40) for each in answer.before[:_MOST_TOLD])
            said_name = name.replace("_", " ")
            paper.notes.append(
                f"{said_name} was written more than once: the last counts, not {earlier}"
            )
    paper.notes += _not_read(mentioned, paper.answers, names)
    return paper


def _not_read(
    mentioned: Mapping[str, list[int]], answers: Mapping[str, Written], names: Collection[str]
) -> Iterator[str]:
    """A note on each name that a cell speaks of where nothing was read as its answer."""
    for name in names:
        if name in mentioned and answers.get(name, Written()).is_blank:
            places = mentioned[name]
            cells = f"cell{'s' if len(places) > 1 else ''} {', '.join(map(str, places[:5]))}"
            yield f"{name.replace('_', ' ')} is mentioned but not read ({cells})"


def _issued(content: Mapping[str, Any]) -> tuple[str, str] | None:
    metadata = content.get("metadata")
    mark = metadata.get(METADATA) if isinstance(metadata, dict) else None
    if not isinstance(mark, dict):
        return None
    student, sheet = (mark.get(name, "") for name in ("student", "sheet"))
    return tuple(  # type: ignore[return-value]
        no_surrogates(each)[:100] if isinstance(each, str) else "?" for each in (student, sheet)
    )


def _source(cell: Mapping[str, Any]) -> str:
    source = cell.get("source", "")
    if isinstance(source, list):
        source = "".join(line for line in source if isinstance(line, str))
    return no_surrogates(source) if isinstance(source, str) else ""


def _last(every: list[Written]) -> Written:
    """The last answer that says something, and a half-written one only where no other does."""
    said = [written for written in every if not written.is_blank]
    said = [written for written in said if written.doubt != HALF] or said
    if not said:
        return Written()
    last = said[-1]
    others = dict.fromkeys(each.text or "code" for each in said[:-1])
    others.pop(last.text or "code", None)
    return Written(last.text, last.doubt, tuple(others))


def read_table(
    text: str, names: Collection[str], refused: list[tuple[int, Refused]] | None = None
) -> list[tuple[int, Paper]]:
    """The answers in a filled table: its row number and paper for each row with an answer.

    Commas are read as points where they can only be decimal commas.

    Args:
        text: of a CSV file with a column id and a column for each question, in any order.
        names: of the questions.
        refused: takes the rows that cannot be read; without it the first such is raised.

    Raises:
        Refused: not such a table.

    >>> read_table("id,compression ratio\\n7,9.83\\n8,\\n", ["compression_ratio"])[0][1].answers
    {'compression_ratio': Written(text='9.83', doubt='', before=())}
    """
    rows = rows_or_refusals(text)
    _, first = next(rows, (1, Refused("empty")))
    if isinstance(first, Refused):
        raise first
    headings = [re.sub(r"[\s_-]+", "_", heading.casefold()) for heading in first]
    asked = {place: name for place, name in enumerate(headings) if name in names}
    signed = next((headings.index(name) for name in ("id", SIGNED) if name in headings), None)
    if signed is None or not asked:
        raise Refused("no table of answers: a column id and a column for each question are wanted")
    decimal = comma_is_decimal(text)
    papers = []
    for row, cells in rows:
        if isinstance(cells, Refused):
            if refused is None:
                raise cells
            refused.append((row, cells))
            continue
        written = {
            name: no_surrogates(cells[place][:_LONGEST_ANSWER]).lstrip("'")
            for place, name in asked.items()
            if place < len(cells) and cells[place]
        }
        if written:
            id = cells[signed] if signed < len(cells) else ""
            paper = Paper(signed=id)
            for name, answer in written.items():
                pointed = _DECIMAL_COMMA.sub(r"\1.\2", answer) if decimal else answer
                paper.answers[name] = Written(pointed, typed=True)
            if any(paper.answers[name].text != answer for name, answer in written.items()):
                paper.notes.append("decimal commas are read as points, as in the whole table")
            papers.append((row, paper))
    return papers


_DECIMAL_COMMA = re.compile(r"(?<![0-9,])([0-9]*),([0-9]+)(?![0-9,])")
