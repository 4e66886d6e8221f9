"""Every plan by its price and its distance from the aim; the point's shape says the metal cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.charts.plane import plot
from enginemath.drawing.paper.palette import BLUE, ORANGE, SCREEN, VERMILLION, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import fitted, text_width
from enginemath.units import fixed, words

WIDTH, HEIGHT = 700.0, 460.0


@dataclass(frozen=True)
class PlanPoint:
    """One plan.

    Args:
        name: what is changed, for the label of a chosen plan.
        price: in the shop's money.
        ratio: that it gives.
        metal: cut off deck and head together, mm.
    """

    name: str
    price: float
    ratio: float
    metal: float


def trade_off(
    plans: Sequence[PlanPoint],
    aim: float,
    *,
    chosen: int | None = None,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw price against distance from the aim.

    Args:
        plans: one or more.
        aim: ratio aimed at.
        chosen: which plan to mark, counted from 0.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> plans = [PlanPoint("thin gasket", 38, 9.10, 0.0), PlanPoint("deck cut", 140, 9.24, 0.2)]
    >>> trade_off(plans, 9.25, chosen=1).title
    '2 plans by price and distance from the aim 9.25; chosen: deck cut, ratio 9.24, price 140'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    title = f"{words.count(len(plans), 'plan')} by price and distance from the aim {fixed(aim, 2)}"
    if chosen is not None:
        title += f"; chosen: {_said(plans[chosen])}"
    most = max(plan.metal for plan in plans)
    picture = Picture(
        "trade-off",
        width,
        height,
        title=title,
        description=_description(plans, aim, most),
        key=key,
        style=style,
    )
    away = [abs(plan.ratio - aim) for plan in plans]
    prices = [plan.price for plan in plans]
    level, rising = plot(
        picture,
        (0.0, 1.08 * max(away) or 0.1),
        "distance of the ratio from the aim",
        (0.0, 1.12 * max(prices) or 1.0),
        "price",
        top=6.6,
    )
    _best_line(picture, plans, away, level, rising)
    seen = set()
    for plan, distance in zip(plans, away, strict=True):
        x, y = level(distance), rising(plan.price)
        spot = (round(x), round(y), _class(plan.metal, most))
        if spot not in seen:
            seen.add(spot)
            _point(picture, x, y, spot[2])
    if chosen is not None:
        point = level(away[chosen]), rising(plans[chosen].price)
        _chosen(picture, plans[chosen], *point, level.start)
    _key(picture, level.start, most)
    return picture


def _class(metal: float, most: float) -> int:
    """0 nothing cut, 1 up to half of the most that any plan cuts, 2 more."""
    if metal <= 0:
        return 0
    return 1 if metal <= most / 2 else 2


def _point(picture: Picture, x: float, y: float, kind: int) -> None:
    """A ring, a diamond or a square."""
    style, r = picture.style, 0.36 * picture.style.text
    if kind == 0:
        picture.circle("uncut", x, y, r, stroke=BLUE, fill=style.paper)
    elif kind == 1:
        r *= 1.25
        corners = ((x, y - r), (x + r, y), (x, y + r), (x - r, y))
        picture.shape("half-cut", corners, fill=ORANGE, stroke_width=style.thin)
    else:
        picture.rect(
            "much-cut",
            x - 0.9 * r,
            y - 0.9 * r,
            1.8 * r,
            1.8 * r,
            fill=style.ink,
            stroke_width=style.thin,
        )


def _best_line(
    picture: Picture, plans: Sequence[PlanPoint], away: Sequence[float], level: Scale, rising: Scale
) -> None:
    """Steps through the plans that no other plan beats in both price and distance."""
    best: list[tuple[float, float]] = []
    for distance, price in sorted((a, plan.price) for a, plan in zip(away, plans, strict=True)):
        if not best or price < best[-1][1]:
            best.append((distance, price))
    steps: list[tuple[float, float]] = []
    for distance, price in best:
        x, y = level(distance), rising(price)
        if steps:
            steps.append((x, steps[-1][1]))
        steps.append((x, y))
    if len(steps) > 1:
        picture.trace("best", steps, stroke=picture.style.quiet, stroke_dasharray="5 3")


def _chosen(picture: Picture, plan: PlanPoint, x: float, y: float, left: float) -> None:
    """A ring around the chosen plan, and the same ring with its name above the chart."""
    style, text = picture.style, picture.style.text
    bold = 1.6 * style.line
    for at_x, at_y, size in ((x, y, 0.95), (left + 0.5 * text, 2.7 * text, 0.55)):
        picture.circle("chosen", at_x, at_y, size * text, stroke=VERMILLION, stroke_width=bold)
    room = picture.width - left - 3.0 * text
    said = fitted(f"chosen: {_said(plan)}", room, text, bold=True)
    picture.label(said, left + 1.4 * text, 2.7 * text, bold=True, kind="measure")


def _key(picture: Picture, x: float, most: float) -> None:
    text, small = picture.style.text, picture.style.small
    half = fixed(most / 2, 2)
    names = ["no metal cut", f"up to {half} mm", f"more than {half} mm"]
    for kind, name in enumerate(names if most > 0 else names[:1]):
        _point(picture, x + 0.5 * text, 1.2 * text, kind)
        picture.label(name, x + 1.4 * text, 1.2 * text, size=small, kind="key-name")
        x += 2.8 * text + text_width(name, small)


def _said(plan: PlanPoint) -> str:
    return f"{plan.name}, ratio {fixed(plan.ratio, 2)}, price {plan.price:g}"


def _description(plans: Sequence[PlanPoint], aim: float, most: float) -> str:
    cheapest = min(plans, key=lambda plan: plan.price)
    nearest = min(plans, key=lambda plan: abs(plan.ratio - aim))
    return (
        f"Cheapest: {_said(cheapest)}. Nearest to the aim: {_said(nearest)}. "
        f"Most metal cut: {fixed(most, 2)} mm. The dashed steps join the plans that none beats in "
        "both price and distance."
    )
