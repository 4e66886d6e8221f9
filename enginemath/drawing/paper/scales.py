"""Scales: from numbers to places on the paper, with round ticks; and labels set apart."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from enginemath.drawing.paper.svg import Picture, Point
from enginemath.units import true_minus


@dataclass(frozen=True)
class Scale:
    """A straight scale from numbers to px.

    Args:
        low, high: numbers at the two ends.
        start, end: px at the two ends; an upward axis has its start below its end.

    >>> Scale(8, 12, 0, 400)(9.5)
    150.0
    """

    low: float
    high: float
    start: float
    end: float

    def __call__(self, number: float) -> float:
        share = (number - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def inside(self, number: float) -> float:
        """Place of a number, held at the nearer end where it lies outside."""
        return self(min(max(number, self.low), self.high))

    @property
    def unit(self) -> float:
        """Px for a step of one, with its sign."""
        return (self.end - self.start) / (self.high - self.low)


def tick_step(span: float, about: int) -> float:
    """A round step, 1, 2 or 5 times a power of ten, for about so many ticks.

    >>> tick_step(4.0, 8), tick_step(0.35, 5)
    (0.5, 0.1)
    """
    rough = span / max(about, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    return next((m * power for m in (1, 2, 5) if rough <= m * power * 1.0001), 10 * power)


def ticks(low: float, high: float, about: int = 6) -> list[float]:
    """Round numbers from low to high.

    >>> ticks(8.2, 10.1, 5)
    [8.5, 9.0, 9.5, 10.0]
    """
    step = tick_step(high - low, about)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    decimals = max(0, -math.floor(math.log10(step)))
    return [round(k * step, decimals) for k in range(first, last + 1)]


def tick_text(number: float, step: float) -> str:
    """A tick's number with the decimals that its step needs.

    >>> tick_text(9.0, 0.5), tick_text(1200.0, 200)
    ('9.0', '1200')
    """
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return true_minus(f"{number + 0.0:.{decimals}f}")


_PREFERRED = (
    1.00, 1.12, 1.25, 1.40, 1.60, 1.80, 2.00, 2.24, 2.50, 2.80,
    3.15, 3.55, 4.00, 4.50, 5.00, 5.60, 6.30, 7.10, 8.00, 9.00,
)  # fmt: skip


def preferred(largest: float) -> float:
    """The largest preferred number that is not above a given one.

    A scale taken from these stands still while a slider moves a little.

    Source: Renard series R20, ISO 3:1973 (numbers from memory).

    >>> preferred(1.73), preferred(0.61)
    (1.6, 0.56)
    """
    power = 10.0 ** math.floor(math.log10(largest) + 1e-12)
    step = next(p for p in reversed(_PREFERRED) if p * power <= largest * (1 + 1e-9))
    return float(f"{step * power:.3g}")


def kept_apart(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places as near as can be to those wanted, in their order, at least a gap apart.

    Args:
        wanted: places in rising order.
        gap: least distance between neighbours.
        low, high: the ends that no place goes beyond, as far as there is room.

    >>> kept_apart([10, 11, 30], 6, 0, 40)
    [7.5, 13.5, 30.0]
    """
    # Neighbours that would collide are pooled; each pool sits around the mean of its wishes.
    pools: list[tuple[float, int]] = []
    for k, place in enumerate(wanted):
        total, count = place - k * gap, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            before, members = pools.pop()
            total, count = total + before, count + members
        pools.append((total, count))
    room = high - (len(wanted) - 1) * gap
    starts = [max(low, min(total / count, room)) for total, count in pools for _ in range(count)]
    return [start + k * gap for k, start in enumerate(starts)]


@dataclass(frozen=True)
class DrawingSheet:
    """Where a drawing to scale stands on the paper.

    Args:
        x, y: px of the drawing's origin.
        scale: px for one mm.
    """

    x: float
    y: float
    scale: float

    def at(self, right: float, down: float) -> tuple[float, float]:
        """The paper's point for a point in mm, right of and below the origin."""
        return self.x + right * self.scale, self.y + down * self.scale


def block(
    picture: Picture,
    sheet: DrawingSheet,
    kind: str,
    left: float,
    top: float,
    width: float,
    height: float,
    **attributes: str | float,
) -> None:
    """A rectangle from its upper left corner, mm right of and below the sheet's origin."""
    x, y = sheet.at(left, top)
    picture.rect(kind, x, y, width * sheet.scale, height * sheet.scale, **attributes)


def outline(
    picture: Picture,
    sheet: DrawingSheet,
    kind: str,
    points: Iterable[Point],
    **attributes: str | float,
) -> None:
    """A closed outline through points, each in mm right of and below the sheet's origin."""
    picture.shape(kind, [sheet.at(*point) for point in points], **attributes)
