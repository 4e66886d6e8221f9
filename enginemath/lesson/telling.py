"""Where a lesson's words go: printed below the cell, or to the page that has asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from enginemath.answers.verdict import Verdict

Display = Callable[[str], None]
Listen = Callable[[str, Verdict], None]
_display: ContextVar[Display | None] = ContextVar("display", default=None)
_listen: ContextVar[Listen | None] = ContextVar("listen", default=None)


@contextmanager
def page_for(display: Display, listen: Listen) -> Iterator[None]:
    """Within, a page takes what a lesson shows.

    Args:
        display: takes what a notebook would display, as HTML.
        listen: takes each line that tells a verdict, and the verdict.
    """
    before = _display.set(display), _listen.set(listen)
    try:
        yield
    finally:
        _display.reset(before[0])
        _listen.reset(before[1])


def tell(name: str, verdict: Verdict) -> None:
    """Print a verdict behind the name of what was asked for.

    >>> tell("bore", Verdict("right"))
    bore: right
    """
    line = f"{name}: {verdict}" if name else str(verdict)
    print(line)
    listen = _listen.get()
    if listen:
        listen(line, verdict)


def display_html(html: str) -> None:
    """Display a piece of HTML."""
    display_here = _display.get()
    if display_here:
        display_here(html)
        return
    from IPython.display import HTML, display

    display(HTML(html))
