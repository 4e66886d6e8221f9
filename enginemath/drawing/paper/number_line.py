"""A number on a line with the band that it should fall in: the ratio, or the squish clearance."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.drawing.paper import axes
from enginemath.drawing.paper.palette import BAND, SCREEN, WARNING, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.units import MM_PER_INCH, fixed

WIDTH, HEIGHT = 990.0, 106.0


@dataclass(frozen=True)
class LineView:
    """One number and its band.

    Args:
        name: of the number.
        value: the number; in mm for a length.
        low, high: ends of the line.
        band: target, from and to.
        aim: a mark inside the band.
        interval: the value's own uncertainty, from and to.
        decimals: of the printed number.
        unit: printed after it; with ``in``, numbers are shown in inches.
    """

    name: str
    value: float
    low: float
    high: float
    band: tuple[float, float] | None = None
    aim: float | None = None
    interval: tuple[float, float] | None = None
    decimals: int = 2
    unit: str = ""

    def shown(self, number: float) -> str:
        """A number as it is printed.

        >>> LineView("squish clearance", 1.45, 0, 2, decimals=3, unit="mm").shown(1.45)
        '1.450 mm'
        """
        return f"{self._digits(number)} {self.unit}".rstrip()

    def _digits(self, number: float) -> str:
        shown = number / MM_PER_INCH if self.unit == "in" else number
        return fixed(shown, self.decimals)

    @property
    def band_shown(self) -> str:
        """The band's ends, with two decimals of a mm or three of an inch.

        >>> squish_line(1.45).band_shown
        '0.90 to 1.15'
        """
        if self.band is None:
            return ""
        inch = self.unit == "in"
        return " to ".join(
            fixed(end / MM_PER_INCH, 3) if inch else fixed(end, 2) for end in self.band
        )

    @property
    def standing(self) -> str:
        """Where the number stands, in words.

        >>> LineView("ratio", 9.83, 8, 12, band=(9.0, 9.5)).standing
        '0.33 above the band 9.00 to 9.50'
        """
        if self.band is None:
            return ""
        low, high = self.band
        band = f"the band {self._digits(low)} to {self.shown(high)}"
        if self.value > high:
            return f"{self._digits(self.value - high)} above {band}"
        if self.value < low:
            return f"{self._digits(low - self.value)} below {band}"
        return f"inside {band}"


def ratio_line(
    value: float,
    band: tuple[float, float] | None = None,
    *,
    low: float = 6.0,
    high: float = 14.0,
    aim: float | None = None,
    interval: tuple[float, float] | None = None,
) -> LineView:
    """The compression ratio on its line, two decimals; the line grows to hold the value.

    >>> ratio_line(9.83, (9.0, 9.5)).shown(9.827)
    '9.83'
    """
    while value > high:
        high *= 1.5
    while value < low:
        low /= 2
    return LineView("compression ratio", value, low, high, band, aim, interval)


def squish_line(
    value: float, band: tuple[float, float] | None = (0.90, 1.15), *, unit: str = "mm"
) -> LineView:
    """The squish clearance on its line; the band is common practice with steel rods, no source.

    >>> squish_line(1.45).standing
    '0.300 above the band 0.900 to 1.150 mm'
    """
    low, high = min(0.0, value), max(2.0, 1.1 * value)
    return LineView(
        "squish clearance", value, low, high, band, decimals=4 if unit == "in" else 3, unit=unit
    )


def number_line(
    view: LineView,
    *,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw a number on its line.

    Args:
        view: number, band and ends.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> number_line(ratio_line(9.83, (9.0, 9.5))).title
    'Compression ratio 9.83, 0.33 above the band 9.00 to 9.50'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    said = f"{view.name} {view.shown(view.value)}"
    title = ", ".join(part for part in (said, view.standing) if part)
    picture = Picture(
        "number-line",
        width,
        height,
        title=title[0].upper() + title[1:],
        description=_description(view),
        key=key,
        style=style,
    )
    text = style.text
    inches = MM_PER_INCH if view.unit == "in" else 1.0
    left, right, y = 2.6 * text, width - 2.6 * text, height - 2.8 * text
    scale = Scale(view.low, view.high, left, right)
    high = 1.3 * text
    if view.band:
        a, b = map(scale.inside, view.band)
        picture.rect("band", a, y - high, b - a, high, fill=BAND, stroke_width=style.thin)
    if view.aim is not None:
        at = scale.inside(view.aim)
        picture.lines("aim", ((at, y - high, at, y),), stroke_width=1.6 * style.line)
    level = Scale(view.low / inches, view.high / inches, left, right)
    axes.across(picture, level, y, "", about=min(10, int((right - left) / (4 * text))))
    if view.interval:
        a, b = map(scale.inside, view.interval)
        middle = y - high / 2
        picture.lines(
            "interval",
            (
                (a, middle, b, middle),
                (a, middle - 4, a, middle + 4),
                (b, middle - 4, b, middle + 4),
            ),
        )
    _marker(picture, view, scale, y - high, title)
    return picture


def _marker(picture: Picture, view: LineView, scale: Scale, y: float, said: str) -> None:
    """A pointer, filled inside the band and hollow outside, and the number above it in words."""
    style, text = picture.style, picture.style.text
    x, half, tall = scale.inside(view.value), 0.5 * text, 1.0 * text
    good = view.standing.startswith("inside") or not view.standing
    picture.shape(
        "marker",
        ((x, y), (x - half, y - tall), (x + half, y - tall)),
        fill=style.ink if good else style.paper,
        stroke=style.ink if good else WARNING,
        stroke_width=1.5 * style.line,
    )
    picture.lines(
        "value",
        ((x, y, x, y + 1.3 * text),),
        stroke=style.ink if good else WARNING,
        stroke_width=1.5 * style.line,
    )
    half_width = text_width(said, text, bold=True) / 2
    middle = min(max(x, half_width + 4), picture.width - half_width - 4)
    picture.label(said, middle, y - tall - 0.9 * text, anchor="middle", bold=True, kind="measure")


def _description(view: LineView) -> str:
    told = [f"The line runs from {view.shown(view.low)} to {view.shown(view.high)}"]
    if view.band:
        told.append(f"the band from {view.shown(view.band[0])} to {view.shown(view.band[1])}")
    if view.aim is not None:
        told.append(f"the aim is {view.shown(view.aim)}")
    if view.interval:
        told.append(
            f"the 95 % interval is {view.shown(view.interval[0])} to {view.shown(view.interval[1])}"
        )
    return "; ".join(told) + "."
