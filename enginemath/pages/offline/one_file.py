"""The one file: the page with all that it needs inside, for a stick or a learning platform.

Browsers keep bytes in a page only as text. Base 64 makes three bytes four; here the file is written
in UTF-16, and each letter carries 15 bits, so that fifteen bytes become sixteen.
"""

from __future__ import annotations

import gzip
import json
from pathlib import Path

from enginemath.pages.offline.page import (
    SCRIPT,
    SHEETS,
    STARTING,
    STEPS,
    STYLE,
    page_text,
    scripts,
    sheets_told,
    styles,
)
from enginemath.pages.student_sheet import papers

_FIRST = 0x1000
"""Letters from here on are no mark-up, no half of a pair, and no browser changes them."""
_INSIDE = (
    "pyodide.asm.wasm",
    "pyodide.mjs",
    "pyodide.asm.mjs",
    "pyodide-lock.json",
    "memory.bin",
    "data.bin",
    "python_stdlib.zip",
    "late.bin",
    "code.bin",
)
"""In the order in which Python can use them: each is handed on as soon as it is read."""
HAND = "<script>hand(document.currentScript.previousElementSibling);</script>"


def one_file(edition: Path, licences: Path) -> bytes:
    """The page with all that goes with it, as bytes of UTF-16.

    Args:
        edition: folder of the edition's files.
        licences: folder of the licences' texts.
    """
    worker, line, *of_page = (
        (edition / name).read_text(encoding="utf-8")
        for name in ("worker.js", "line.js", "sheets.js", *scripts())
    )
    sheets = edition / SHEETS
    known = json.dumps({"inside": True, **sheets_told(sheets.is_file())})
    told = f'<script type="application/json" id="edition">{known}</script>'
    begun = _script(worker, 'type="text/plain" id="worker"') + told + _script(line)
    texts = sorted(licences.glob("*.txt"), key=lambda path: (path.name != "README.txt", path.name))
    whole = "\n\n".join(f"{path.name}\n\n{path.read_text('utf-8')}" for path in texts)
    data = _inside(json.dumps(papers()).encode(), 'id="paper"', packed=True)
    data += _inside(whole.encode(), 'id="licences"', packed=True)
    if sheets.is_file():
        data += _inside(sheets.read_bytes(), 'id="sheets"', packed=True)
    data += "".join(map(_script, of_page))
    data += "\n".join(_file(edition / name) + HAND for name in _INSIDE) + _script("handedAll();")
    looks = [(edition / name).read_text(encoding="utf-8") for name in styles()]
    begun += "".join(f"<style>{css}</style>\n" for css in looks)
    text = STYLE.sub("", SCRIPT.sub("", page_text())).replace("</head>", f"{begun}</head>")
    text = text.replace('<meta charset="utf-8">', '<meta charset="utf-16">')
    text = text.replace("{lab}", "").replace("{paper}", "").replace(STEPS, STARTING)
    text = text.replace("</body>", f"{data}</body>")
    return b"\xff\xfe" + text.encode("utf-16-le")


def _script(code: str, attributes: str = "") -> str:
    assert "</script" not in code
    return f"<script {attributes}>{code}</script>\n"


def _file(path: Path) -> str:
    packed = path.suffix not in (".bin", ".zip")
    return _inside(path.read_bytes(), f'data-file="{path.name}"', packed=packed)


def _inside(data: bytes, name: str, *, packed: bool) -> str:
    data = gzip.compress(data, 9, mtime=0) if packed else data
    marks = f'{name} data-size="{len(data)}"' + ' data-packed="yes"' * packed
    return f'<script type="text/plain" {marks}>{lettered(data)}</script>'


def lettered(data: bytes) -> str:
    """Bytes as letters of 15 bits each.

    >>> [hex(ord(letter)) for letter in lettered(bytes([255, 255, 0]))]
    ['0x8fff', '0x5000']
    """
    letters = []
    for start in range(0, len(data), 15):
        part = data[start : start + 15]
        count = -(-8 * len(part) // 15)
        bits = int.from_bytes(part, "big") << (15 * count - 8 * len(part))
        letters += [chr(_FIRST + (bits >> place & 0x7FFF)) for place in _PLACES[-count:]]
    return "".join(letters)


_PLACES = range(105, -1, -15)
