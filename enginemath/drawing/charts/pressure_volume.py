"""Pressure against volume, for one cycle or several."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.charts.plane import DASHES, key_line, plot
from enginemath.drawing.paper.palette import BLUE, REDDISH_PURPLE, SCREEN, VERMILLION, Style
from enginemath.drawing.paper.svg import Picture
from enginemath.units import fixed

WIDTH, HEIGHT = 640.0, 440.0
_COLOURS = (BLUE, VERMILLION, REDDISH_PURPLE)


@dataclass(frozen=True)
class Curve:
    """One run through volumes and pressures.

    Args:
        name: said in the key.
        volumes: cc.
        pressures: absolute, kPa, as many as volumes.
    """

    name: str
    volumes: Sequence[float]
    pressures: Sequence[float]


def pressure_volume(
    curves: Sequence[Curve],
    *,
    here: tuple[float, float] | None = None,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw pressure against volume.

    Args:
        curves: at most three.
        here: volume and pressure of a point to mark, cc and kPa.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> pressure_volume([Curve("ratio 9", [600, 67], [100, 2200])]).title
    'Pressure against volume: ratio 9'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    picture = Picture(
        "pressure-volume",
        width,
        height,
        title=f"Pressure against volume: {', '.join(curve.name for curve in curves)}",
        description=_description(curves, here),
        key=key,
        style=style,
    )
    text = style.text
    volumes = [v for curve in curves for v in curve.volumes]
    pressures = [p for curve in curves for p in curve.pressures]
    level, rising = plot(
        picture,
        (0.0, 1.05 * max(volumes)),
        "volume, cc",
        (0.0, 1.05 * max(pressures)),
        "absolute pressure, kPa",
        top=5.2,
    )
    x = level.start
    for curve, colour, dash in zip(curves, _COLOURS, DASHES, strict=False):
        attributes: dict[str, str | float] = {
            "stroke": colour,
            "stroke_width": 1.5 * style.line,
            "stroke_dasharray": dash,
        }
        points = [
            (level(v), rising(p)) for v, p in zip(curve.volumes, curve.pressures, strict=True)
        ]
        picture.trace("curve", points, **attributes)
        x = key_line(picture, x, 1.2 * text, curve.name, **attributes)
    if here:
        _mark(picture, level(here[0]), rising(here[1]), here)
    return picture


def _mark(picture: Picture, x: float, y: float, here: tuple[float, float]) -> None:
    style, text = picture.style, picture.style.text
    picture.circle("here", x, y, 0.4 * text, fill=style.ink, stroke=style.paper)
    right = x < 0.6 * picture.width
    side = text if right else -text
    low = y > picture.height / 2
    said = f"{fixed(here[0], 1)} cc, {fixed(here[1], 0)} kPa"
    picture.label(
        said,
        x + side,
        y - text if low else y,
        anchor="start" if right else "end",
        bold=True,
        kind="measure",
    )


def _description(curves: Sequence[Curve], here: tuple[float, float] | None) -> str:
    told = [
        f"{curve.name}: from {fixed(max(curve.volumes), 1)} to {fixed(min(curve.volumes), 1)} cc, "
        f"highest pressure {fixed(max(curve.pressures), 0)} kPa"
        for curve in curves
    ]
    if here:
        told.append(f"now {fixed(here[0], 1)} cc and {fixed(here[1], 0)} kPa")
    return "; ".join(told) + "."
