"""Running the programs that the pages are built with."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

from enginemath.units import Refused

_WAIT = 900


def run(
    command: Sequence[str | Path], failed: str, *, folder: Path | None = None, given: str = ""
) -> str:
    """Run a program to its end; what it said.

    Args:
        command: the program, and what it is told.
        failed: what is said where it fails, before its own last line.
        folder: that it works in.
        given: to its input; what is secret goes there, since others can read a command.

    Raises:
        Refused: it failed, or took too long.
    """
    try:
        done = subprocess.run(
            [str(part) for part in command],
            cwd=folder,
            input=given,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
            timeout=_WAIT,
        )
    except subprocess.TimeoutExpired:
        raise Refused(f"{failed}: not done within {_WAIT // 60} minutes") from None
    if done.returncode:
        lines = (done.stderr or done.stdout).strip().splitlines() or ["it did not say why"]
        raise Refused(f"{failed}: {lines[-1][:200]}")
    return done.stdout
