"""Panels opened without a browser: what the tests share."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from typing import Any

from ipywidgets import Widget

from enginemath import panels
from enginemath.panels.frame.setting import Choice

SVG = "{http://www.w3.org/2000/svg}"
ALL = {
    "write_a_number": {},
    "bore_and_stroke": {"predict": False},
    "two_volumes": {"predict": False},
    "read_the_tools": {},
    "cc_the_chamber": {},
    "gasket_and_deck": {"predict": False},
    "dish_and_dome": {"predict": False},
    "add_it_up": {"predict": False},
    "how_sure": {"predict": False},
    "choose_the_change": {"predict": False},
    "fuel_air_and_cam": {"predict": False},
    "build_sheet": {},
}
"""Every panel, with the arguments that open it without a guess."""
OF_AN_ENGINE = [
    "bore_and_stroke",
    "two_volumes",
    "gasket_and_deck",
    "dish_and_dome",
    "add_it_up",
    "choose_the_change",
    "fuel_air_and_cam",
]
"""Panels whose controls move the parts of one cylinder."""
WITH_A_GUESS = [*OF_AN_ENGINE, "how_sure"]


def opened(name: str, *arguments: Any, **named: Any) -> Any:
    """A panel, open."""
    return getattr(panels, name)(*arguments, **{**ALL[name], **named})


def drawn(panel: Any) -> ElementTree.Element:
    """The picture of a panel, read as XML."""
    return ElementTree.fromstring(panel.svg)


def texts(panel: Any) -> list[str]:
    """Every text in the picture."""
    return ["".join(node.itertext()) for node in drawn(panel).iter(f"{SVG}text")]


def said(panel: Any) -> str:
    """What a panel says below its picture: the numbers in words, or what it refuses."""
    return panel.refusal or panel.told


def alerted(panel: Any) -> str:
    """The error that a panel shows, if any."""
    return panel.trouble.says if panel.trouble else ""


def control(panel: Any, name: str) -> Any:
    """The control of a dimension."""
    return next(part for part in panel.controls if part.name == name)


def choices(panel: Any) -> list[Choice]:
    """What can be chosen beside the picture."""
    return [part for part in panel.left if isinstance(part, Choice)]


def step(control: Any, steps: int) -> None:
    """Move a slider by some steps."""
    control.slide(control.at + steps * control.step)


def inside(widget: Widget) -> list[Widget]:
    """A widget and everything in it."""
    return [widget, *(part for child in getattr(widget, "children", ()) for part in inside(child))]
