"""Lessons as pages: a student's notebook, one step at a time, with its panel alive."""

from __future__ import annotations


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    """What Jupyter's own server loads; see `server`."""
    return [{"module": "enginemath.pages.server"}]
