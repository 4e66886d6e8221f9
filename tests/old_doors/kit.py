"""The kit's engines as they stood in format 1: averages of the readings, each with a ±."""

from __future__ import annotations

from pathlib import Path

KIT = Path(__file__).with_name("stored") / "kit"


def averages(engine: str) -> Path:
    """The sheet of an engine as it was before its readings stood in one table.

    >>> averages("heron-one").name
    'heron-one.toml'
    """
    return KIT / f"{engine}.toml"
