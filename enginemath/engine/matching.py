"""Chambers matched: how much to take from which to reach the largest."""

from __future__ import annotations

import pint

from enginemath.engine.parts import Engine
from enginemath.units import in_cc

WORTH_TAKING = 0.05
"""In cc; less is not seen on a burette."""


def largest_chamber(engine: Engine) -> int:
    """The cylinder, from 0, with the largest chamber; the first of several."""
    volumes = [in_cc(chamber.volume) for chamber in engine.chambers]
    return volumes.index(max(volumes))


def to_match(engine: Engine) -> list[pint.Quantity]:
    """What each chamber has to grow by to be as large as the largest, volumes in cc.

    Metal can be taken and not put back, so the largest stays. What the readings have in common,
    like the burette's own error, drops out of the differences.

    Source: common practice: chambers are matched to the largest.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> sheet = EXAMPLE.replace('fills = [["0.60 mL", "25.00 mL"], ["0.00 mL", "23.10 mL"]]',
    ...     'volumes = ["47.5 cc", "47.1 cc", "47.4 cc", "47.5 cc"]')
    >>> [round(volume.m_as("cc"), 2) for volume in to_match(parse(sheet).engine)]
    [0.0, 0.4, 0.1, 0.0]
    """
    largest = engine.chambers[largest_chamber(engine)].volume
    return [largest - chamber.volume for chamber in engine.chambers]
