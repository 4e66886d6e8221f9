"""The kit's own working of a lesson, run for a page; a student's text is data in it, never code."""

from __future__ import annotations

import ast
import re
from base64 import b64encode
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, redirect_stdout
from dataclasses import asdict, dataclass, replace
from io import StringIO
from pathlib import Path
from typing import Any

from enginemath.answers.verdict import NOTHING_WRITTEN, Verdict, unreadable
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.pages.steps import OPENING, Box, Cell
from enginemath.panels.frame.panel import Panel
from enginemath.units import plain_minus

TOLD = ("check_misprint", "check_choice", "compare_choice", "show_order")
"""Checks of several boxes together: their lines are evidence, or one verdict on all of them."""
Heard = dict[str, Verdict]
"""The verdicts that were told, by their lines."""


@dataclass(frozen=True)
class Shown:
    """One thing that a working shows.

    Args:
        kind: ``text``, ``svg``, ``png`` or ``html``.
        value: the text, the picture, or the picture in base 64.
        says: a picture in words.
    """

    kind: str
    value: str
    says: str = ""

    def as_dict(self) -> dict[str, str]:
        """Plain data."""
        return asdict(self)


@dataclass(frozen=True)
class Judged:
    """A verdict on one or more boxes.

    Args:
        boxes: keys of the boxes that it is about; it stands below the last.
        label: the quantity's trade name.
        kind: as `Verdict` has it; ``told`` for lines that judge no box.
        sign: one character.
        says: the sentence.
        place: part of the drawing to look at; empty for none.
        verdict: as the judge gave it, with what is for the instructor alone; None where it is told.
    """

    boxes: tuple[str, ...]
    label: str
    kind: str
    sign: str
    says: str
    place: str = ""
    verdict: Verdict | None = None

    @staticmethod
    def of(verdict: Verdict, boxes: tuple[str, ...], label: str = "") -> Judged:
        """A verdict as the judge gave it."""
        sign, place = verdict.sign, verdict.place if verdict.kind == "mistake" else ""
        return Judged(boxes, label, verdict.kind, sign, verdict.sentence, place, verdict)

    @staticmethod
    def told(lines: list[str], boxes: tuple[str, ...] = ()) -> Judged:
        """Lines that lay something out and judge no box."""
        return Judged(boxes, "", "told", "·", "\n".join(lines))

    def as_dict(self) -> dict[str, Any]:
        """Plain data for the page; nothing of it is for the instructor alone."""
        return {
            "boxes": list(self.boxes),
            **{name: getattr(self, name) for name in ("label", "kind", "sign", "says", "place")},
        }


class Working:
    """The names of one open lesson, and what its cells show.

    Args:
        style: in which readings are drawn.
        folder: in which a student's own sheets lie.
    """

    def __init__(self, style: Style = PAGE, folder: Path | None = None) -> None:
        self.names: dict[str, Any] = {}
        self.style, self.folder = style, folder
        exec(OPENING, self.names)

    def run(self, cell: Cell) -> tuple[list[Shown], Panel | None]:
        """Run a cell.

        Returns:
            What it shows, and its panel where it opens one.
        """
        *body, last = ast.parse(cell.code).body
        value, printed = None, StringIO()
        shown: list[Shown] = []
        with redirect_stdout(printed), self._caught(shown):
            if isinstance(last, ast.Expr):
                self._do(body)
                value = eval(_compiled(ast.Expression(last.value)), self.names)
            else:
                self._do([*body, last])
        if printed.getvalue():
            shown.insert(0, Shown("text", printed.getvalue().rstrip("\n")))
        if isinstance(value, Panel):
            return shown, value
        return [*shown, *_seen(value, self.style)], None

    def judge(self, cell: Cell, boxes: list[Box], texts: Mapping[str, str]) -> list[Judged]:
        """Judge what stands in boxes by the check that follows them.

        Args:
            cell: the check.
            boxes: of its step.
            texts: what is typed, by the box's key.
        """
        keys = {box.name: box.key for box in boxes}
        for box in boxes:
            self.names[box.name] = with_unit(texts.get(box.key, ""), box.unit)
        used: dict[str, list[str]] = {box.name: [box.name] for box in boxes}
        judged: list[Judged] = []
        for statement in ast.parse(cell.code).body:
            answers = _answers_in(statement, used)
            for target in _targets(statement):
                used[target] = [*used.get(target, []), *answers]
            lines, heard = self._lines(statement)
            if answers and isinstance(statement, ast.Expr):
                boxes_of = tuple(keys[answer] for answer in answers)
                judged += _by_box(statement, boxes_of, lines, heard)
            elif lines:
                judged.append(Judged.told(lines))
        return judged

    def _lines(self, statement: ast.stmt) -> tuple[list[str], Heard]:
        """What a statement prints, and the verdicts in it."""
        printed, heard = StringIO(), Heard()
        try:
            with redirect_stdout(printed), self._caught([], heard):
                self._do([statement])
        except Exception as error:
            from enginemath.lesson.plainly import say_plainly

            says = say_plainly(error)
            return [says], {says: unreadable(says)}
        return printed.getvalue().splitlines(), heard

    def _do(self, statements: list[ast.stmt]) -> None:
        exec(_compiled(ast.Module(statements, [])), self.names)

    @contextmanager
    def _caught(self, shown: list[Shown], heard: Heard | None = None) -> Iterator[None]:
        """What the kit would display in a notebook is put on the page; verdicts are heard."""
        from enginemath.lesson import loading, telling

        told = {} if heard is None else heard
        page = telling.page_for(lambda html: shown.append(Shown("html", html)), told.__setitem__)
        with page, loading.working_in(self.folder):
            yield


def with_unit(text: str, unit: str) -> str:
    """An answer as the judge reads it: a bare number is in the box's unit.

    >>> with_unit("130.6", "cc"), with_unit("130.6 cc", "cc"), with_unit("", "cc")
    ('130.6 cc', '130.6 cc', '')
    """
    bare = re.fullmatch(r"[-−+]?[\d.,/ ]*\d[\d.,]*(\s*±\s*[\d.]+)?", text.strip())
    return f"{text.strip()} {unit}" if bare and unit else text


def _by_box(
    statement: ast.Expr, boxes: tuple[str, ...], lines: list[str], heard: Heard
) -> list[Judged]:
    """Give each line to the boxes that it is about."""
    call = statement.value
    name = call.func.id if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) else ""
    first = len(boxes) - len(lines) + 1
    if name in TOLD or first < 1 or not lines:
        if any("nothing written yet" in line for line in lines):
            return [replace(Judged.of(NOTHING_WRITTEN, boxes), says="\n".join(lines))]
        if len(lines) == 1 and lines[0] in heard:
            return [Judged.of(heard[lines[0]], boxes)]
        return [Judged.told(lines, boxes)]
    shares = [boxes[:first], *((box,) for box in boxes[first:])]
    return [_judged(share, line, heard) for share, line in zip(shares, lines, strict=True)]


def _judged(boxes: tuple[str, ...], line: str, heard: Heard) -> Judged:
    if line in heard:
        verdict = heard[line]
        label = line.removesuffix(verdict.sentence).removesuffix(": ")
        return Judged.of(verdict, boxes, label)
    label, _, says = line.rpartition(": ")
    return replace(Judged.of(NOTHING_WRITTEN, boxes, label), says=says)


def labels(cell: Cell, boxes: list[Box], judged: list[Judged]) -> dict[str, str]:
    """The trade name of each box: as its verdict says it, else as the check asks for it."""
    asked: dict[str, str] = {}
    for node in ast.walk(ast.parse(cell.code)):
        if isinstance(node, ast.Call):
            for word in node.keywords:
                if isinstance(word.value, ast.Name) and word.arg:
                    asked[word.value.id] = word.arg.replace("_", " ")
        if isinstance(node, ast.Dict):
            for key, value in zip(node.keys, node.values, strict=True):
                if isinstance(key, ast.Constant) and isinstance(value, ast.Name):
                    asked[value.id] = str(key.value).replace("_", " ")
    told = {v.boxes[0]: v.label for v in judged if len(v.boxes) == 1 and v.label}
    asked |= {box.name: box.takes for box in boxes if box.takes}
    plain = {box.key: box.name.removeprefix("my_").replace("_", " ") for box in boxes}
    return {box.key: told.get(box.key) or asked.get(box.name) or plain[box.key] for box in boxes}


def _answers_in(node: ast.AST, used: Mapping[str, list[str]]) -> list[str]:
    """The answers that a piece of code uses, each once, in their order."""
    names = [each for each in ast.walk(node) if isinstance(each, ast.Name)]
    names.sort(key=lambda each: (each.lineno, each.col_offset))
    found = [answer for each in names for answer in used.get(each.id, [])]
    return list(dict.fromkeys(found))


def _targets(statement: ast.stmt) -> list[str]:
    """The names that a statement gives a value."""
    if isinstance(statement, ast.Assign):
        targets = statement.targets
    elif isinstance(statement, ast.AugAssign):
        targets = [statement.target]
    else:
        return []
    return [target.id for target in targets if isinstance(target, ast.Name)]


def _compiled(tree: Any) -> Any:
    mode = "eval" if isinstance(tree, ast.Expression) else "exec"
    return compile(ast.fix_missing_locations(tree), "<lesson>", mode)


def _seen(value: Any, style: Style) -> list[Shown]:
    """A value as a page shows it."""
    if value is None:
        return []
    if hasattr(value, "drawn_in"):
        return [Shown("svg", value.drawn_in(style).svg(), getattr(value, "says", repr(value)))]
    picture = getattr(value, "picture", value)
    if hasattr(picture, "svg"):
        return [Shown("svg", picture.svg(), f"{picture.title}. {picture.description}")]
    if hasattr(value, "png"):
        return [Shown("png", b64encode(value.png).decode(), str(value.says))]
    return [Shown("text", plain_minus(str(value)))]
