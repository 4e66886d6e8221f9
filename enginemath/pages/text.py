"""The text of a step as HTML: formulas set, links led to pages, empty table cells named.

No number is broken from its unit or its ±, and no formula from the point behind it.
"""

from __future__ import annotations

import re
from functools import cache
from html import unescape
from typing import Any

import mistune

from enginemath.quiet_lab.formulas import with_mathml

_TABLE = re.compile(r"<table>.*?</table>", re.DOTALL)
_ROW = re.compile(r"<tr>(.*?)</tr>", re.DOTALL)
_CELL = re.compile(r"<(t[hd])([^>]*)>(.*?)</t[hd]>", re.DOTALL)
_TAGS = re.compile(r"<[^>]+>")
_UNIT = r"(?:mm|cm|cc|mL|in|cu in|thou|kPa|bar|psi|deg|rpm|litres?|mils?|minutes|m|ft|s|%|°C?F?)"
_NUMBER_AND_UNIT = re.compile(rf"(?<=\d) (?={_UNIT}(?![A-Za-z]))|(?<=\bcu) (?=in\b)")
_BETWEEN_TAGS = re.compile(r"(<[^>]*>)")
_BEFORE_PLUS_MINUS, _PLUS_MINUS = re.compile(r" (?=±)"), re.compile(r"±(?![.,;:?)])[ \u00a0]?")
_FORMULA_AND_POINT = re.compile(r"(<math(?:(?!</math>).)*</math>)([.,:;?!)]+)", re.DOTALL)
_LINK = re.compile(r'href="([^":]+)\.ipynb"')


@cache
def _markdown() -> Any:
    return mistune.create_markdown(escape=False, plugins=["table"])


def as_html(text: str) -> str:
    """A text in the notebook's mark-up as HTML.

    An empty cell of a table becomes a place to write in: ``data-reading`` names it by its row and
    its column.

    >>> as_html("*bore*")
    '<p><em>bore</em></p>'
    >>> print(as_html("| reading | mean |\\n|---|---|\\n| bore | |").splitlines()[10])
      <td data-reading="bore, mean"></td>
    """
    html = _markdown()(with_mathml(text)).strip()
    html = _LINK.sub(r'href="#\1"', html)
    html = _FORMULA_AND_POINT.sub(r'<span class="unbroken">\1\2</span>', html)
    return unbroken(_TABLE.sub(lambda table: _with_places(table[0]), html))


def unbroken(html: str) -> str:
    """Hold each number and its unit, and each ± and its number, on one line.

    >>> unbroken('<p title="5 mm">5 mm or 46.4 ± 0.1 cu in</p>').replace(chr(160), "_")
    '<p title="5 mm">5_mm or 46.4_±_0.1_cu_in</p>'
    """
    parts = _BETWEEN_TAGS.split(html)
    parts[::2] = [
        _PLUS_MINUS.sub(
            "±\u00a0", _BEFORE_PLUS_MINUS.sub("\u00a0", _NUMBER_AND_UNIT.sub("\u00a0", part))
        )
        for part in parts[::2]
    ]
    return "".join(parts)


@cache
def reading_names(text: str) -> tuple[str, ...]:
    """The names of all places to write in."""
    return tuple(unescape(name) for name in re.findall(r'data-reading="([^"]*)"', as_html(text)))


def _with_places(table: str) -> str:
    heads: list[str] = []
    taken: dict[str, int] = {}

    def row(found: re.Match[str]) -> str:
        cells = [(kind, look, inside) for kind, look, inside in _CELL.findall(found[1])]
        words = [_TAGS.sub("", inside).strip() for *_, inside in cells]
        if cells and cells[0][0] == "th":
            heads[:] = words
            return found[0]
        written = []
        for place, (kind, look, inside) in enumerate(cells):
            name = ""
            if not words[place] and words[0]:
                head = heads[place] if place < len(heads) else ""
                name = ", ".join(filter(None, (words[0], head)))
                again = taken[name] = taken.get(name, 0) + 1
                name = name if again == 1 else f"{name}, {again}"
            marked = f' data-reading="{name}"' if name else ""
            written.append(f"  <{kind}{look}{marked}>{inside}</{kind}>")
        return "<tr>\n" + "\n".join(written) + "\n</tr>"

    return _ROW.sub(row, table)
