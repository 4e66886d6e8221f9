"""The page of the static pages: the same as a server gives, with its line to Python before it."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path

SHEETS = "sheets.json"
"""A class's sheets, where there are any."""
PAPER = "paper"
"""Folder of the sheets to print."""
SITE = Path(__file__).parents[1] / "site"
SCRIPT = re.compile(r'<script src="\{site\}/([^"]+)" defer></script>\n')
"""A script of the page: `page.html` names them all, in their order."""
STYLE = re.compile(r'<link rel="stylesheet" href="\{site\}/([^"]+)">\n')
LINE = '<script src="{site}/line.js"></script>'
"""Before anything that it would wait for: Python begins with it."""
SHEETS_SCRIPT = '<script src="{site}/sheets.js" defer></script>'
STEPS = '<div class="steps" aria-live="off">'
STARTING = (
    f'{STEPS}<section class="starting"><p>One moment. If nothing more comes, this browser is too '
    "old, or a file of these pages is missing: they need WebAssembly and workers, as Chromium and "
    "its kin have them from 103 on, Firefox from 114, Safari from 16.4.</p></section>"
)
"""Stands in the page until it starts; `page.css` shows it late."""
_NOTHING_FROM_ELSEWHERE = (
    "default-src 'none'; script-src 'self' blob: 'wasm-unsafe-eval'; worker-src 'self' blob:; "
    "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; connect-src 'self' data: blob:; "
    "base-uri 'none'; form-action 'none'"
)


def page_text() -> str:
    """The page as a server has it, its places not filled yet."""
    return (SITE / "page.html").read_text(encoding="utf-8")


def scripts() -> list[str]:
    """The page's scripts, in the order in which they are read."""
    return SCRIPT.findall(page_text())


def styles() -> list[str]:
    """The page's styles, in their order."""
    return STYLE.findall(page_text())


def sheets_told(there: bool) -> dict[str, str]:
    """What a page is told of sheets."""
    return {"sheets": SHEETS} if there else {}


def page(edition: str, hashes: Mapping[str, str], lab: str = "") -> str:
    """The folder's page.

    Args:
        edition: folder of the edition's files.
        hashes: of each file, as a browser checks it.
        lab: address before a notebook's name; empty where there are no notebooks.
    """
    told = json.dumps({"name": edition, "hashes": dict(hashes), **sheets_told(SHEETS in hashes)})
    policy = f'<meta http-equiv="Content-Security-Policy" content="{_NOTHING_FROM_ELSEWHERE}">'
    line = f'<script type="application/json" id="edition">{told}</script>\n{LINE}\n'
    text = _before_first(STYLE, line, page_text())
    text = _before_first(SCRIPT, f"{SHEETS_SCRIPT}\n", text)
    text = text.replace("</title>", f"</title>\n{policy}")
    text = _whole_or_not(text.replace(STEPS, STARTING), hashes)
    return text.replace("{site}", edition).replace("{lab}", lab).replace("{paper}", PAPER)


def _before_first(sought: re.Pattern[str], more: str, text: str) -> str:
    found = sought.search(text)
    assert found
    return text[: found.start()] + more + text[found.start() :]


def _whole_or_not(text: str, hashes: Mapping[str, str]) -> str:
    """Scripts and styles are named with their hashes: a browser takes no half of one."""

    def named(found: re.Match[str]) -> str:
        return f'{found[0]} integrity="{hashes[found[1]]}"' if found[1] in hashes else found[0]

    return re.sub(r'(?:src|href)="\{site\}/([^"]+)"', named, text)
