"""Answers in a cell of code, taken where they are literals: nothing is ever run.

However a student comes to write one down - `a = 9`, `a, b = 9, 8`, `(a := 9)`, `a: 9`, `a == 9`,
under `if`, with capitals, behind a magic - a number or a text that stands there is an answer.
"""

from __future__ import annotations

import ast
import re
import unicodedata
import warnings
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

CODE = "this is code; write the number itself"
HALF = "this line cannot be read; write the number between quotes, with nothing after them"
_LONGEST_ANSWER = 200
_MAGIC = re.compile(r"\s*(?:%+\w+\s*(?:-\S+\s+(?:[0-9]+\s+)?)*|!+|\?+)")
_BEGUN = re.compile(r"\s*([A-Za-z]\w*(?:[ -]\w+)*)\s*(?::=|==?|:)")


@dataclass(frozen=True)
class Written:
    """One answer as it was written.

    Args:
        text: empty where nothing was.
        doubt: why it cannot be taken as an answer, or empty.
        before: other answers that were written to the same question earlier.
        typed: whether it was typed into a table whose columns have no unit; none is missing then.
    """

    text: str = ""
    doubt: str = ""
    before: tuple[str, ...] = ()
    typed: bool = field(default=False, repr=False, compare=False)

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written."""
        return not self.text and not self.doubt


def mentions(source: str, names: Collection[str]) -> set[str]:
    """Those names that a cell speaks of: with capitals, with spaces or nothing for the low lines.

    >>> mentions("Deck volume: 2.33", ["deck_volume", "swept_volume"])
    {'deck_volume'}
    """
    folded = _folded(source)
    return {name for name in names if name.replace("_", "") in folded}


def _folded(text: str) -> str:
    """As names are compared: Python takes a letter of double width for the plain one as well."""
    plain = text if text.isascii() else unicodedata.normalize("NFKC", text)
    return re.sub("[ _-]+", "", plain.casefold())


def assigned(source: str, names: Collection[str]) -> Iterator[tuple[str, Written]]:
    """Every answer that a cell gives to one of the names, in order.

    >>> [*assigned("if True:\\n    Deck_Volume = '2.33 cc'", ["deck_volume"])]
    [('deck_volume', Written(text='2.33 cc', doubt='', before=()))]
    """
    lines = [_without_magic(line, names) for line in source.splitlines()]
    whole = _parsed("\n".join(lines))
    if whole is not None:
        yield from _answers(whole, names, lines)
        return
    # Half-written code: what stands complete in one line still counts.
    for line in map(str.strip, lines):
        if not mentions(line, names):
            continue
        alone = _parsed(line)
        if alone is not None:
            yield from _answers(alone, names, [line])
        elif (begun := _BEGUN.match(line)) and (name := _named(begun[1], names)):
            yield name, Written(doubt=HALF)


def _without_magic(line: str, names: Collection[str]) -> str:
    """A line as Python takes it: an answer behind a magic is kept, a command is not."""
    magic = _MAGIC.match(line)
    if not magic or not magic[0].strip():
        return line
    rest = line[magic.end() :]
    return rest if "%" in magic[0] and _named(rest.partition("=")[0], names) else ""


def _named(written: str, names: Collection[str]) -> str | None:
    folded = _folded(written.strip())
    return next((name for name in names if name.replace("_", "") == folded), None)


def _parsed(source: str) -> ast.Module | None:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return ast.parse(source)
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        return None


def _answers(
    tree: ast.Module, names: Collection[str], lines: list[str]
) -> Iterator[tuple[str, Written]]:
    found = [
        (node.lineno, node.col_offset, name, _literal(value, lines))
        for statement in _statements(tree)
        for node, value in _pairs(statement)
        if (name := _named(node.id, names))
    ]
    for _, _, name, written in sorted(found, key=lambda each: each[:2]):
        yield name, written


_OWN_NAMES = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Lambda)
"""What is named inside of these is not the notebook's."""


def _statements(tree: ast.Module) -> Iterator[ast.AST]:
    """Every statement and expression, also those under `if` and its like."""
    waiting: list[ast.AST] = [tree]
    while waiting:
        node = waiting.pop()
        yield node
        waiting += [
            inner for inner in ast.iter_child_nodes(node) if not isinstance(inner, _OWN_NAMES)
        ]


def _pairs(node: ast.AST) -> Iterator[tuple[ast.Name, ast.AST]]:
    """Names and what is written for them in one statement."""
    if isinstance(node, ast.Assign):
        for target in node.targets:
            yield from _matched(target, node.value)
    elif isinstance(node, ast.AnnAssign):
        # `a: "9"` is not Python's way to give a value, and yet a student's.
        value = node.value or node.annotation
        if node.value or isinstance(value, (ast.Constant, ast.UnaryOp, ast.Tuple)):
            yield from _matched(node.target, value)
    elif isinstance(node, (ast.NamedExpr, ast.AugAssign)):
        given: ast.AST = node if isinstance(node, ast.AugAssign) else node.value
        yield from _matched(node.target, given)
    elif (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Compare)
        and isinstance(node.value.ops[0], ast.Eq)
        and len(node.value.ops) == 1
    ):
        yield from _matched(node.value.left, node.value.comparators[0])


def _matched(target: ast.expr, value: ast.AST) -> Iterator[tuple[ast.Name, ast.AST]]:
    if isinstance(target, ast.Starred):
        target = target.value
    if isinstance(target, ast.Name):
        yield target, value
    elif isinstance(target, (ast.Tuple, ast.List)):
        values: list[ast.AST] = []
        if isinstance(value, (ast.Tuple, ast.List)):
            values = [*value.elts]
        starred = any(isinstance(each, ast.Starred) for each in (*target.elts, *values))
        if starred or len(values) != len(target.elts):
            values = [target] * len(target.elts)  # nobody's literal: it is code
        for inner, one in zip(target.elts, values, strict=True):
            yield from _matched(inner, one)


def _literal(value: ast.AST, lines: list[str]) -> Written:
    number, sign = value, ""
    if isinstance(value, ast.UnaryOp) and isinstance(value.op, (ast.USub, ast.UAdd)):
        number, sign = value.operand, "-" if isinstance(value.op, ast.USub) else ""
    if isinstance(number, ast.Constant):
        if number.value is None or number.value is ...:
            return Written()
        if isinstance(number.value, str) and number is value:
            text = number.value.encode("utf-8", "replace").decode()
            return Written(" ".join(text.split())[:_LONGEST_ANSWER])
        if type(number.value) in (int, float):
            # As it was typed: 9.80 says more than 9.8.
            return Written(sign + _typed(number, lines)[:_LONGEST_ANSWER])
    if isinstance(value, ast.Tuple) and all(isinstance(e, ast.Constant) for e in value.elts):
        # A decimal comma is told so where answers are read.
        typed = _typed(value, lines)[:_LONGEST_ANSWER]
        return Written(typed) if typed else Written(doubt=CODE)
    return Written(doubt=CODE)


def _typed(node: ast.expr, lines: list[str]) -> str:
    """As it stands in its line; empty where it goes over more than one."""
    if node.lineno != node.end_lineno:
        return ""
    row = lines[node.lineno - 1].encode()
    typed = row[node.col_offset : node.end_col_offset].decode(errors="replace")
    return typed.replace("_", "")
