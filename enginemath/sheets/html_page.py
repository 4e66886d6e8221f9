"""HTML pages, filled from the templates (`*.html`) that stand beside the code that fills them."""

from __future__ import annotations

import re
from functools import cache
from html import escape, unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from enginemath.units.printing import NO_BREAK, unbroken

if TYPE_CHECKING:
    from jinja2 import Environment

_HOUSE = Path(__file__).parents[1]
_AFTER_A_SIGN = re.compile(r"(?<= [−+]) ")
_JOINERS = "\u200d\ufe0f"
"""What holds an emoji together; not printable alone."""


def fill(template: str, **parts: object) -> str:
    """Fill a template.

    Every text that it is given is escaped and put on one line of printable letters. A drawing's
    SVG goes in as it is, where the template says `safe`; where it says `held`, no line breaks
    between a number and its unit, or after a sign.

    Args:
        template: its file, from the library's own folder: ``"classroom/marking/feedback.html"``.
        parts: what the template shows, by the names that it uses.

    Returns:
        The page, which ends with a line end.

    Raises:
        jinja2.UndefinedError: a part is missing.

    >>> print(fill("change/work_order/link.html", file="a.html", page="PGI+", says="<b>"))
    <a download="a.html" href="data:text/html;charset=utf-8;base64,PGI+">&lt;b&gt;</a>
    """
    return _templates().get_template(template).render(parts)


@cache
def _templates() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(_HOUSE),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_on_one_line,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["held"] = _held_together
    environment.filters["css_text"] = _as_css_text
    return environment


def _held_together(value: str) -> Any:
    """A text as HTML: no line breaks between a number and its unit or its ±, or after a sign."""
    from jinja2.filters import do_mark_safe

    words = _AFTER_A_SIGN.sub(NO_BREAK, unbroken(_on_one_line(value))).split(" ")
    return do_mark_safe(
        " ".join(
            f'<span class="held">{escape(word.replace(NO_BREAK, " "))}</span>'
            if NO_BREAK in word
            else escape(word)
            for word in words
        )
    )


def _as_css_text(html: str) -> Any:
    """What a piece of HTML says, as a string of a style sheet: no mark of it can end the string."""
    from jinja2.filters import do_mark_safe

    letters = _on_one_line(unescape(str(html)))
    plain = (
        c if c == " " or (c.isascii() and c.isalpha()) else f"\\{ord(c):06x} " for c in letters
    )
    return do_mark_safe(f'"{"".join(plain)}"')


def _on_one_line(value: Any) -> Any:
    """A text without line ends or letters that nobody can see; all else, and HTML, as it is."""
    if not isinstance(value, str) or hasattr(value, "__html__") or value.isprintable():
        return value
    words = " ".join(value.split())
    return "".join(c if c.isprintable() or c in _JOINERS else "?" for c in words)
