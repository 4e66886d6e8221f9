"""The kit's own working of a lesson, run for a page; a student's text is data in it, never code."""

from __future__ import annotations

import ast
import re
from base64 import b64encode
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, redirect_stdout
from dataclasses import asdict, dataclass
from io import StringIO
from typing import Any

from enginemath.pages.steps import OPENING, Box, Cell
from enginemath.panels.frame.panel import Panel
from enginemath.units import plain_minus

TOLD = ("check_misprint", "check_choice", "compare_choice")
"""Checks that lay out evidence or limits; their lines are no verdicts on single boxes."""
_PLACES = {
    "chamber": "chamber",
    "gasket": "gasket",
    "deck": "deck",
    "piston's crown": "crown",
    "ring land": "crevice",
    "bore": "bore",
    "stroke": "stroke",
    "rod": "rod",
    "crank": "crank",
    "burette": "burette",
}
_LOOK = re.compile(rf"Look at the ({'|'.join(_PLACES)})")


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
        kind: ``right``, ``near``, ``wrong``, ``refused``, ``none`` or ``told``.
        says: the sentence.
        place: part of the drawing to look at; empty for none.
    """

    boxes: tuple[str, ...]
    label: str
    kind: str
    says: str
    place: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Plain data."""
        return {**asdict(self), "boxes": list(self.boxes)}


class Working:
    """The names of one open lesson, and what its cells show."""

    def __init__(self) -> None:
        self.names: dict[str, Any] = {}
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
        return [*shown, *_seen(value)], None

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
            lines = self._lines(statement)
            if answers and isinstance(statement, ast.Expr):
                judged += _by_box(statement, answers, lines, keys)
            elif lines:
                judged.append(Judged((), "", "told", "\n".join(lines)))
        return judged

    def _lines(self, statement: ast.stmt) -> list[str]:
        printed = StringIO()
        try:
            with redirect_stdout(printed):
                self._do([statement])
        except Exception as error:
            from enginemath.lesson.plainly import say_plainly

            return [say_plainly(error)]
        return printed.getvalue().splitlines()

    def _do(self, statements: list[ast.stmt]) -> None:
        exec(_compiled(ast.Module(statements, [])), self.names)

    @contextmanager
    def _caught(self, shown: list[Shown]) -> Iterator[None]:
        """What the kit would display in a notebook is put on the page."""
        from enginemath.lesson import showing

        with showing.shown_by(lambda html: shown.append(Shown("html", html))):
            yield


def with_unit(text: str, unit: str) -> str:
    """An answer as the judge reads it: a bare number is in the box's unit.

    >>> with_unit("130.6", "cc"), with_unit("130.6 cc", "cc"), with_unit("", "cc")
    ('130.6 cc', '130.6 cc', '')
    """
    bare = re.fullmatch(r"[-−+]?[\d.,/ ]*\d[\d.,]*(\s*±\s*[\d.]+)?", text.strip())
    return f"{text.strip()} {unit}" if bare and unit else text


def kind_of(sentence: str) -> str:
    """The kind of verdict that a sentence is.

    >>> [kind_of(s) for s in ("right", "nothing written yet", "not yet. Look again.", "no unit")]
    ['right', 'none', 'wrong', 'refused']
    """
    if sentence.startswith(("right as far", "nearly")):
        return "near"
    if sentence.startswith("right"):
        return "right"
    if "nothing written yet" in sentence or sentence.startswith("find the"):
        return "none"
    return "wrong" if sentence.startswith("not yet") else "refused"


def _by_box(
    statement: ast.Expr, answers: list[str], lines: list[str], keys: dict[str, str]
) -> list[Judged]:
    """Give each line to the boxes that it is about."""
    call = statement.value
    name = call.func.id if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) else ""
    boxes = tuple(keys[answer] for answer in answers)
    if name in TOLD:
        blank = any("nothing written yet" in line for line in lines)
        return [Judged(boxes, "", "none" if blank else "told", "\n".join(lines))]
    first = len(answers) - len(lines) + 1
    if first < 1 or not lines:
        return [Judged(boxes, "", kind_of(lines[0]) if lines else "none", "\n".join(lines))]
    shares = [boxes[:first], *((box,) for box in boxes[first:])]
    return [_judged(share, line) for share, line in zip(shares, lines, strict=True)]


def _judged(boxes: tuple[str, ...], line: str) -> Judged:
    label, colon, sentence = line.partition(": ")
    if not colon or '"' in label:
        label, sentence = "", line
    look = _LOOK.search(sentence)
    place = _PLACES[look[1]] if look else ""
    return Judged(boxes, label, kind_of(sentence), sentence, place)


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


def _seen(value: Any) -> list[Shown]:
    """A value as a page shows it."""
    if value is None:
        return []
    picture = getattr(value, "picture", value)
    if hasattr(picture, "svg"):
        return [Shown("svg", picture.svg(), f"{picture.title}. {picture.description}")]
    if hasattr(value, "png"):
        return [Shown("png", b64encode(value.png).decode(), str(value.says))]
    return [Shown("text", plain_minus(str(value)))]
