"""Editions of a lesson: which one a notebook holds, and whether it once came with the kit.

What runs on a page is the kit's own. A work folder may hold a lesson as an older kit brought it;
it runs if its edition is one of those on the list that comes with the lessons.
"""

from __future__ import annotations

import hashlib
import json
from functools import cache, lru_cache
from typing import Any

from enginemath.classroom.from_outside import json_of
from enginemath.sheets.kit_data import kit_folder

LIST = "editions.json"
"""Beside the lessons: by the lesson's name, its editions in every kit that was handed out."""
TEXTS = "editions"
"""Folder beside the lessons: the text of every edition on the list, see `stripped`."""
_METADATA = ("part", "picture", "tags", "takes", "units")
"""Of a cell, as far as a page heeds it."""


def edition_of(notebook: str) -> str:
    """A digest of all in a notebook that a page shows or runs; outputs do not count.

    Args:
        notebook: its text.

    Returns:
        Letters and digits; empty where it is no notebook.

    >>> one = '{"cells": [{"cell_type": "code", "source": "1", "metadata": {}}]}'
    >>> edition_of(one) == edition_of(one.replace('"metadata"', '"outputs": [1], "metadata"'))
    True
    >>> edition_of(one) == edition_of(one.replace('"1"', '"2"')), edition_of("{")
    (False, '')
    """
    try:
        cells = json_of(notebook)["cells"]
        parts = [
            [each["cell_type"], "".join(each["source"]), _read_by_pages(each.get("metadata", {}))]
            for each in cells
        ]
    except (ValueError, LookupError, TypeError, RecursionError):
        return ""
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


def _read_by_pages(metadata: dict[str, Any]) -> dict[str, Any]:
    return {
        name: metadata[name] for name in ("part", "picture", "tags", "units") if name in metadata
    }


def came_with_a_kit(name: str, edition: str) -> bool:
    """Whether some kit was handed out with this edition of a lesson.

    Args:
        name: of the lesson, its file's without ending.
        edition: see `edition_of`.
    """
    return bool(edition) and edition in _listed().get(name, ())


def stripped(notebook: str) -> str:
    """A notebook without outputs and all else that neither shows nor runs: the same edition.

    >>> one = '{"cells": [{"cell_type": "code", "source": ["1"], "outputs": [2], "metadata": {}}]}'
    >>> edition_of(stripped(one)) == edition_of(one), "outputs" in stripped(one)
    (True, False)
    """
    cells = [
        {
            "cell_type": each["cell_type"],
            "metadata": {k: v for k, v in each.get("metadata", {}).items() if k in _METADATA},
            "source": "".join(each["source"]),
        }
        for each in json_of(notebook)["cells"]
    ]
    return json.dumps({"cells": cells}, ensure_ascii=False, indent=1) + "\n"


def file_of_edition(name: str, edition: str) -> str:
    """Where in the folder `TEXTS` the text of an edition stands."""
    return f"{name}-{edition[:12]}.json"


@lru_cache(256)
def text_of_edition(name: str, edition: str) -> str:
    """A notebook's text in an edition that came with a kit; empty where the kit has it no more.

    Args:
        name: of the lesson.
        edition: see `edition_of`.
    """
    if not came_with_a_kit(name, edition):
        return ""
    file = kit_folder("lessons") / TEXTS / file_of_edition(name, edition)
    text = file.read_text(encoding="utf-8") if file.is_file() else ""
    return text if edition_of(text) == edition else ""


@cache
def _listed() -> dict[str, list[str]]:
    file = kit_folder("lessons") / LIST
    if not file.is_file():
        return {}
    found: dict[str, list[str]] = json.loads(file.read_text(encoding="utf-8"))
    return found
