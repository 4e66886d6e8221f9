"""JupyterLab as a class room wants it: it asks nothing of the network and answers at once."""

from __future__ import annotations

import os
from pathlib import Path

SETTINGS = Path(__file__).parent
"""The folder with the settings of JupyterLab and its server, and with the pages' templates."""

PAGES = "/enginemath/"
"""Where the lesson pages lie on Jupyter's own server."""
SAY_ADDRESS = "ENGINEMATH_SAY_ADDRESS"
"""Name of the environment's variable that holds a path: its whole address is to be printed."""


def environment() -> dict[str, str]:
    """The environment in which Jupyter finds these settings and templates first.

    >>> environment()["JUPYTER_CONFIG_PATH"].split(os.pathsep)[0] == str(SETTINGS)
    True
    """
    paths = {
        name: os.pathsep.join([str(SETTINGS), *filter(None, [os.environ.get(name)])])
        for name in ("JUPYTER_CONFIG_PATH", "JUPYTER_PATH")
    }
    return {**os.environ, **paths}
