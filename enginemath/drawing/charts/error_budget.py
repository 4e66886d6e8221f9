"""What each reading adds to the uncertainty of a result, as bars."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.paper import axes
from enginemath.drawing.paper.palette import PARTS, SCREEN, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import fitted, text_width
from enginemath.units import fixed, percent

WIDTH, ROW = 700.0, 2.1


@dataclass(frozen=True)
class BudgetBar:
    """One line of an error budget.

    Args:
        name: of the reading.
        share: of the variance, 0 to 1.
        part: whose colour the bar has; one of `palette.PARTS`.
    """

    name: str
    share: float
    part: str = "metal"


def error_budget(
    bars: Sequence[BudgetBar],
    *,
    of: str = "compression ratio",
    value: float,
    u: float,
    unit: str = "",
    decimals: int = 2,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw an error budget, the largest share on top.

    Args:
        bars: one line each.
        of: name of the result.
        value, u: of the result and its standard uncertainty, in the unit.
        unit: of the result.
        decimals: of the printed result.
        size: width and height, px; by default as high as the lines need.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> bars = [BudgetBar("chamber volume", 0.81, "chamber"), BudgetBar("bore", 0.19, "swept")]
    >>> error_budget(bars, value=9.827, u=0.05).description
    'chamber volume 81 %, bore 19 % of the variance.'
    """
    text = style.text
    ordered = sorted(bars, key=lambda bar: -bar.share)
    width, height = size or (WIDTH * style.frame, (ROW * len(bars) + 5.6) * text)
    result = f"{of} {fixed(value, decimals)} ± {fixed(u, decimals)} {unit}".rstrip()
    told = ", ".join(f"{bar.name} {percent(bar.share)}" for bar in ordered)
    picture = Picture(
        "error-budget",
        width,
        height,
        title=f"Error budget: {result} (one standard uncertainty)",
        description=f"{told} of the variance.",
        key=key,
        style=style,
    )
    names = [fitted(bar.name, 0.42 * width, text) for bar in ordered]
    left = max(text_width(name, text) for name in names) + 1.6 * text
    scale = Scale(0.0, 1.0, left, width - 4.6 * text)
    top, row = 2.8 * text, (height - 5.6 * text) / len(bars)
    picture.label(
        fitted(result, width - 1.6 * text, text, bold=True), 0.8 * text, 1.2 * text, bold=True
    )
    for number, (bar, name) in enumerate(zip(ordered, names, strict=True)):
        _bar(picture, bar, name, scale, top + row * (number + 0.5), 0.66 * row)
    base = top + row * len(bars)
    picture.lines("zero", ((left, top, left, base),))
    shares = Scale(0.0, 100.0, scale.start, scale.end)
    axes.across(picture, shares, base, "share of the variance, %", about=5)
    return picture


def _bar(
    picture: Picture, bar: BudgetBar, name: str, scale: Scale, y: float, height: float
) -> None:
    """A bar around a level, its name before it and its share after it."""
    style, text = picture.style, picture.style.text
    zero, end = scale(0.0), scale(bar.share)
    part = bar.part if bar.part in PARTS else "metal"
    at = zero, y - height / 2, end - zero, height
    picture.rect(f"bar-{part}", *at, fill=picture.hatch(part), stroke_width=style.thin)
    picture.label(name, zero - 0.6 * text, y, anchor="end", kind="name")
    picture.label(percent(bar.share), end + 0.5 * text, y, kind="measure")
