"""Where each field of a TOML text stands, which Python's own TOML reader does not say."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator

_TOKEN = re.compile(
    r'''
    (?P<text>  """ (?: \\. | [^\\] )*? (?: "{3,5} | \Z )  |  \'\'\' .*? (?: \'{3,5} | \Z )
             | " (?: \\. | [^"\\\n] )*+ "?                |  ' [^'\n]* '? )
    | (?P<comment> \#[^\n]* )
    | (?P<mark> [\[\]{}=,.\n] )
    | (?P<word> [^\s\[\]{}=,.\#"']+ )
    ''',
    re.VERBOSE | re.DOTALL,
)


_MARKS = frozenset("[]{}=,\n")
_DEEPEST, _MOST_WORK = 60, 3_000_000
"""Brackets in brackets; and steps that the names of a text may cost, half a second's worth.
Python's reader takes minutes over names of thousands of parts."""


def too_deep(text: str) -> bool:
    """Whether a text nests brackets or names deeper than any sheet; points in values are none.

    >>> too_deep("[" + ".".join("a" * 5000) + "]"), too_deep("v = [" + 5000 * "0.1, " + "]")
    (True, False)
    """
    depth = header = parts = work = longest = names = 0
    in_value, last = False, ""
    for token, _ in _tokens(text):
        if token == ".":
            parts += 1
        elif token in _MARKS:
            if token == "=" or (token == "]" and not in_value):
                work += parts**2 + (parts + 3) * header
                longest, names = max(longest, len(last)), names + 1
            if token == "]" and not in_value:
                header = parts
            parts = 0
        if token in ("[", "{"):
            depth += 1
        elif token in ("]", "}"):
            depth = max(0, depth - 1)
        elif token == "=":
            in_value = True
        elif token == "\n" and not (in_value and depth):
            in_value, depth = False, 0
        if depth > _DEEPEST or parts**2 + work > _MOST_WORK:
            return True
        last = token
    return longest * names > 10 * _MOST_WORK


def field_lines(text: str) -> dict[str, int]:
    """The line of each table, field and item.

    Args:
        text: TOML that Python's own reader has taken.

    Returns:
        Lines counted from 1, by names such as ``cylinder.bore``, ``chamber.volumes[2]`` and
        ``gasket[2].bore`` for the second ``[[gasket]]``.

    >>> field_lines("[chamber]\\nvolumes = [\\n'47.2 cc',\\n'47.5 cc',\\n]")
    {'chamber': 1, 'chamber.volumes': 2, 'chamber.volumes[1]': 3, 'chamber.volumes[2]': 4}
    """
    return _Walk(text).lines


def line_of(text: str, name: str) -> int | None:
    """The line of a field or item, or of the nearest thing round it that the text holds.

    >>> line_of("[deck]\\ndepth_at_bdc = '88.85 mm'", "deck.clearance")
    1
    """
    try:
        lines = field_lines(text)
    except RecursionError:
        return None
    while name and name not in lines:
        name = re.sub(r"(\[[0-9]+\]|(^|\.)[^.\[]*)$", "", name)
    return lines.get(name)


def written_twice(text: str) -> tuple[str, int, int] | None:
    """The first field or table that stands twice, which TOML does not allow.

    Args:
        text: TOML that is right but for its last line.

    Returns:
        Its name, and the lines of its first and its second place; None where nothing does.

    >>> written_twice("[cylinder]\\nbore = '92.0 mm'\\nbore = '92.5 mm'")
    ('cylinder.bore', 2, 3)
    """
    try:
        return _Walk(text).twice
    except RecursionError:
        return None


class _Walk:
    def __init__(self, text: str):
        self.lines: dict[str, int] = {}
        self.twice: tuple[str, int, int] | None = None
        self._given: dict[str, int] = {}
        self._values: set[str] = set()
        self._pieces: dict[str, int] = {}
        self._tokens = _tokens(text)
        self._next()
        table = ""
        while self._token:
            if self._token == "\n":
                self._next()
            elif self._token == "[":
                table = self._header()
            else:
                self._field(table)

    def _next(self) -> str:
        """Step on; returns the token that is left behind."""
        behind = getattr(self, "_token", "")
        self._token, self._line = next(self._tokens, ("", 0))
        return behind

    def _name(self, table: str) -> str:
        """A key with its dots, up to the mark after it."""
        line, name = self._line, table
        while self._token not in ("=", "]", "\n", ""):
            part = self._next()
            if part == ".":
                if name in self._values:
                    self._give(name, line)
                if name in self._pieces:
                    name = f"{name}[{self._pieces[name]}]"
            else:
                name = f"{name}.{_key(part)}".lstrip(".")
                self.lines.setdefault(name, line)
        return name

    def _give(self, name: str, line: int) -> None:
        if name in self._given and not self.twice:
            self.twice = name, self._given[name], line
        self._given.setdefault(name, line)

    def _header(self) -> str:
        line, depth = self._line, 0
        while self._token == "[":
            self._next()
            depth += 1
        name = self._name("")
        while self._token == "]":
            self._next()
        if depth == 1 or name not in self._pieces:
            self._give(name, line)
        if depth == 1:
            return name
        self._pieces[name] = self._pieces.get(name, 0) + 1
        piece = f"{name}[{self._pieces[name]}]"
        self.lines[piece] = line
        return piece

    def _field(self, table: str) -> None:
        line, name = self._line, self._name(table)
        self._give(name, line)
        self._values.add(name)
        self._next()  # the equals sign
        self._value(name)

    def _value(self, name: str) -> None:
        if self._token == "[":
            self._list(name)
        elif self._token == "{":
            self._inline_table(name)
        else:
            while self._token not in (",", "]", "}", "\n", ""):
                self._next()

    def _list(self, name: str) -> None:
        self._next()
        item = 1
        while self._token not in ("]", ""):
            if self._token == ",":
                item += 1
            if self._token in (",", "\n", "}"):
                self._next()
                continue
            self.lines[f"{name}[{item}]"] = self._line
            self._value(f"{name}[{item}]")
        self._next()

    def _inline_table(self, name: str) -> None:
        self._next()
        while self._token not in ("}", ""):
            if self._token in (",", "\n"):
                self._next()
            else:
                self._field(name)
        self._next()


def _tokens(text: str) -> Iterator[tuple[str, int]]:
    line, seen = 1, 0
    for token in _TOKEN.finditer(text):
        if token["comment"] is None:
            line += text.count("\n", seen, token.start())
            seen = token.start()
            yield token[0], line


def _key(written: str) -> str:
    if written[0] not in "\"'":
        return written
    try:
        return next(iter(tomllib.loads(f"{written} = 0")))
    except tomllib.TOMLDecodeError:
        return written  # it breaks off: nothing else has its name
