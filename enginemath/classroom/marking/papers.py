"""The answers in a notebook or a table, taken as they were written: nothing is ever run."""

from __future__ import annotations

import ast
import json
import re
import warnings
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from enginemath.classroom.from_outside import clean, csv_rows
from enginemath.classroom.sets.notebook import METADATA, SIGNED
from enginemath.units import Refused

_LONGEST_CELL = 200_000
_LONGEST_ANSWER = 200
_CODE = "this is code; write the number itself"
_HALF = "this line cannot be read; write the number between quotes, with nothing after them"


@dataclass(frozen=True)
class Written:
    """One answer as it was written.

    Args:
        text: empty where nothing was.
        doubt: why it cannot be taken as an answer, or empty.
        before: other answers that were written to the same question earlier.
    """

    text: str = ""
    doubt: str = ""
    before: tuple[str, ...] = ()

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written."""
        return not self.text and not self.doubt


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
        content = json.loads(text)
    except (ValueError, RecursionError) as error:
        line = f" at line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        raise Refused(f"not a whole notebook: it breaks off or is damaged{line}") from None
    cells = content.get("cells") if isinstance(content, dict) else None
    if not isinstance(cells, list):
        raise Refused("not a notebook: no cells in it")
    paper = Paper(issued=_issued(content))
    wanted = {*names, SIGNED}
    found: dict[str, list[Written]] = {}
    for place, cell in enumerate(cells, start=1):
        if not isinstance(cell, dict) or cell.get("cell_type") != "code":
            continue
        source = _source(cell)
        if not any(name in source for name in wanted):
            continue
        if len(source) > _LONGEST_CELL:
            paper.notes.append(f"cell {place} is too long to be read")
            continue
        for name, written in _assigned(source, wanted):
            found.setdefault(name, []).append(written)
    signature = _last(found.pop(SIGNED, []))
    paper.signed = signature.text
    paper.answers = {name: _last(every) for name, every in found.items()}
    for name, answer in paper.answers.items():
        if answer.before:
            earlier = ", ".join(clean(each, 40) for each in answer.before)
            said = name.replace("_", " ")
            paper.notes.append(f"{said} was written more than once: the last counts, not {earlier}")
    return paper


def _issued(content: Mapping[str, Any]) -> tuple[str, str] | None:
    metadata = content.get("metadata")
    mark = metadata.get(METADATA) if isinstance(metadata, dict) else None
    if not isinstance(mark, dict):
        return None
    return str(mark.get("student", ""))[:100], str(mark.get("sheet", ""))[:100]


def _source(cell: Mapping[str, Any]) -> str:
    source = cell.get("source", "")
    if isinstance(source, list):
        source = "".join(line for line in source if isinstance(line, str))
    return source if isinstance(source, str) else ""


def _assigned(source: str, names: Collection[str]) -> Iterator[tuple[str, Written]]:
    """Every plain assignment to one of the names, in order."""
    lines = ["" if re.match(r"\s*[%!?]", line) else line for line in source.splitlines()]
    whole = _statements("\n".join(lines))
    if whole is not None:
        yield from _in_order(whole, names, lines)
        return
    # Half-written code: what stands complete in one line still counts.
    for line in map(str.strip, lines):
        statements = _statements(line)
        if statements is not None:
            yield from _in_order(statements, names, [line])
        elif (begun := re.match(r"(\w+)\s*=", line)) and begun[1] in names:
            yield begun[1], Written(doubt=_HALF)


def _statements(source: str) -> list[ast.stmt] | None:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return ast.parse(source).body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        return None


def _in_order(
    statements: list[ast.stmt], names: Collection[str], lines: list[str]
) -> Iterator[tuple[str, Written]]:
    for statement in statements:
        targets: list[ast.expr] = []
        if isinstance(statement, ast.Assign):
            targets = statement.targets
        elif isinstance(statement, ast.AnnAssign) and statement.value is not None:
            targets = [statement.target]
        for target in targets:
            if isinstance(target, ast.Name) and target.id in names:
                assert isinstance(statement, (ast.Assign, ast.AnnAssign))
                yield target.id, _literal(statement.value, lines)


def _literal(value: ast.expr | None, lines: list[str]) -> Written:
    number, sign = value, ""
    if isinstance(value, ast.UnaryOp) and isinstance(value.op, (ast.USub, ast.UAdd)):
        number, sign = value.operand, "-" if isinstance(value.op, ast.USub) else ""
    if isinstance(number, ast.Constant):
        if number.value is None or number.value is ...:
            return Written()
        if isinstance(number.value, str) and number is value:
            return Written(" ".join(number.value.split())[:_LONGEST_ANSWER])
        if type(number.value) in (int, float):
            # As it was typed: 9.80 says more than 9.8.
            return Written(sign + _typed(number, lines)[:_LONGEST_ANSWER])
    if isinstance(value, ast.Tuple) and all(isinstance(e, ast.Constant) for e in value.elts):
        # A decimal comma is told so where answers are read.
        return Written(_typed(value, lines)[:_LONGEST_ANSWER])
    return Written(doubt=_CODE)


def _typed(number: ast.expr, lines: list[str]) -> str:
    row = lines[number.lineno - 1].encode()
    return row[number.col_offset : number.end_col_offset].decode().replace("_", "")


def _last(every: list[Written]) -> Written:
    """The last answer that says something, and a half-written one only where no other does."""
    said = [written for written in every if not written.is_blank]
    said = [written for written in said if written.doubt != _HALF] or said
    if not said:
        return Written()
    last = said[-1]
    others = dict.fromkeys(each.text or "code" for each in said[:-1])
    others.pop(last.text or "code", None)
    return Written(last.text, last.doubt, tuple(others))


def read_table(text: str, names: Collection[str]) -> list[tuple[int, Paper]]:
    """The answers in a filled table: its row number and paper for each row with an answer.

    Args:
        text: of a CSV file with a column id and a column for each question, in any order.
        names: of the questions.

    Raises:
        Refused: not such a table.

    >>> read_table("id,compression ratio\\n7,9.83\\n8,\\n", ["compression_ratio"])[0][1].answers
    {'compression_ratio': Written(text='9.83', doubt='', before=())}
    """
    rows = list(csv_rows(text))
    if not rows:
        raise Refused("empty")
    headings = [re.sub(r"[\s_-]+", "_", heading.casefold()) for heading in rows[0][1]]
    asked = {place: name for place, name in enumerate(headings) if name in names}
    signed = next((headings.index(name) for name in ("id", SIGNED) if name in headings), None)
    if signed is None or not asked:
        raise Refused("no table of answers: a column id and a column for each question are wanted")
    papers = []
    for row, cells in rows[1:]:
        answers = {
            name: Written(cells[place][:_LONGEST_ANSWER].lstrip("'"))
            for place, name in asked.items()
            if place < len(cells) and cells[place]
        }
        if answers:
            id = cells[signed] if signed < len(cells) else ""
            papers.append((row, Paper(signed=id, answers=answers)))
    return papers
