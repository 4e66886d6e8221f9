"""The shell of every page: complete in itself, offline, and clean on Letter and A4."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from html import escape
from pathlib import Path

from enginemath.classroom.from_outside import clean


@cache
def _style() -> str:
    return Path(__file__).with_name("page.css").read_text(encoding="utf-8")


def page(title: str, parts: Iterable[str]) -> str:
    """A whole HTML page.

    Args:
        title: plain text.
        parts: HTML.
    """
    body = "\n".join(part for part in parts if part)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta http-equiv="Content-Security-Policy" '
        "content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\">\n"
        f"<title>{text(title)}</title>\n<style>\n{_style()}</style>\n</head>\n<body>\n"
        f"{body}\n</body>\n</html>\n"
    )


def text(said: object, longest: int = 600) -> str:
    """Plain text, made safe to stand in a page.

    >>> text("<script>alert(1)</script>")
    '&lt;script&gt;alert(1)&lt;/script&gt;'
    """
    return escape(clean(str(said), longest))


def table(
    headings: Sequence[str], rows: Iterable[Sequence[str]], numbers: Sequence[int] = ()
) -> str:
    """A table of cells that are HTML already.

    Args:
        numbers: columns to be set flush right, counted from 0.
    """

    def cells(row: Sequence[str], tag: str) -> str:
        return "".join(
            f'<{tag} class="number">{cell}</{tag}>'
            if place in numbers
            else f"<{tag}>{cell}</{tag}>"
            for place, cell in enumerate(row)
        )

    head = f"<thead><tr>{cells(headings, 'th')}</tr></thead>" if headings else ""
    body = "\n".join(f"<tr>{cells(row, 'td')}</tr>" for row in rows)
    return f"<table>{head}<tbody>\n{body}\n</tbody></table>"


def bullets(items: Iterable[str]) -> str:
    """A list of items that are HTML already; nothing where there is none."""
    listed = "".join(f"<li>{item}</li>\n" for item in items)
    return f"<ul>\n{listed}</ul>" if listed else ""
