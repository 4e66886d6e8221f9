"""Where the intake shuts: the piston with what is trapped, the pressure it makes, and how high."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from enginemath.drawing.charts.pressure_volume import Curve, pressure_volume
from enginemath.drawing.cylinder.cylinder import SectionView
from enginemath.drawing.cylinder.grips import Grip
from enginemath.drawing.cylinder.large_engine import LargeEngine, draw_large_engine, mark_places
from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.large_line import STRIP, Said, draw_large_line, draw_said
from enginemath.drawing.paper.number_line import LineView
from enginemath.drawing.paper.palette import PAGE, Style
from enginemath.drawing.paper.scales import DrawingSheet
from enginemath.drawing.paper.svg import Picture
from enginemath.units import fixed, words

WIDTH, HEIGHT = 956.0, 716.0
_ENGINE = 320.0
"""What the engine takes at the left, px of the page."""
_HILL = 180.0
"""Height of the hill, px of the page."""


@dataclass(frozen=True)
class Hill:
    """How high the engine stands.

    Args:
        share: of the hill's height, 0 to 1.
        told: the altitude and its air, in words.
        grip: the altitude's handle; None where it is not known.
    """

    share: float
    told: str
    grip: Grip | None = None


def trapping(
    cylinder: SectionView,
    trapped: float,
    curves: Sequence[Curve],
    said: Sequence[Said],
    line: LineView,
    *,
    closes: Grip | None = None,
    hill: Hill | None = None,
    guess: float | None = None,
    before: float | None = None,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = PAGE,
) -> Picture:
    """Draw an engine at its intake closing, the pressure from there on, and the hill it stands on.

    Args:
        cylinder: its crank where the intake shuts.
        trapped: above what is left at the top, cc.
        curves: pressure against volume, here and at sea level.
        said: in large type below.
        line: the number that has its line drawn.
        closes: handle of the intake's closing, degrees: the piston is pulled.
        hill: None where the altitude is not known.
        guess: of the line's number.
        before: the line's number as found.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> from enginemath.drawing.paper.number_line import ratio_line
    >>> view = SectionView(92.0, 88.5, 47.5, 93.2, 1.10, 0.35, rod_length=145.0, angle=240.0)
    >>> run = Curve("sea level", [519.3, 66.6], [101.3, 1310.0])
    >>> trapping(view, 452.0, [run], [Said("effective 7.8")], ratio_line(7.8)).title
    'The intake shuts 60.0° after the bottom: 452.00 cc trapped'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    shut = cylinder.angle - 180
    picture = Picture(
        "trapping",
        width,
        height,
        title=f"The intake shuts {fixed(shut, 1)}° after the bottom: "
        f"{words.volume(trapped)} trapped",
        description=" ".join([f"{each.large} {each.small}".strip() + "." for each in said]),
        key=key,
        style=style,
    )
    text, frame = style.text, style.frame
    foot = height - STRIP * frame
    _engine(picture, cylinder, trapped, closes, foot)
    left, top = _ENGINE * frame, 1.6 * text
    low = foot - (_HILL * frame if hill else 0.0)
    chart = pressure_volume(curves, size=(width - left, low - top), style=style)
    picture.place(chart, left, top)
    if hill:
        _hill(picture, hill, left + 4.2 * text, low + 1.2 * text, width - 1.5 * text, foot)
    down = height - 3.2 * text
    draw_said(picture, said, down - 4.4 * text)
    draw_large_line(picture, line, down, guess=guess, before=before)
    return picture


def _engine(
    picture: Picture, cylinder: SectionView, trapped: float, closes: Grip | None, foot: float
) -> None:
    style, text, frame = picture.style, picture.style.text, picture.style.frame
    engine = LargeEngine(cylinder)
    room = foot - 1.8 * text
    scale = min(
        room / (engine.bottom - engine.top), (_ENGINE * frame - 2 * text) / (2 * engine.half_width)
    )
    middle = max(0.47 * _ENGINE * frame, engine.half_width * scale + text)
    sheet = DrawingSheet(middle, 1.2 * text - engine.top * scale, scale)
    draw_large_engine(picture, sheet, engine)
    mark_places(picture, sheet, engine)
    y = sheet.at(0.0, cylinder.deck_clearance + engine.drop / 2)[1]
    if engine.drop * scale > 3 * text:
        picture.label(words.volume(trapped), middle, y - 0.7 * text, anchor="middle", bold=True,
                      kind="measure")  # fmt: skip
        picture.label("trapped", middle, y + 0.7 * text, anchor="middle", kind="measure-name")
    if closes:
        up = engine.drop - LargeEngine(replace(cylinder, angle=cylinder.angle + 1)).drop
        x, edge = sheet.at(-0.32 * cylinder.bore, engine.edge)
        _put(picture, closes, x, edge, (0.0, -up * scale))
    picture.label(
        f"valve shut {fixed(cylinder.angle - 180, 1)}° after the bottom", middle, foot - 0.2 * text,
        anchor="middle", size=style.small, kind="closing-name",
    )  # fmt: skip


def _hill(picture: Picture, hill: Hill, left: float, top: float, right: float, foot: float) -> None:
    """A slope from the harbour up; the engine's house stands where its altitude is."""
    style, text = picture.style, picture.style.text
    level = foot - 1.0 * text
    end = right - 3.0 * text
    picture.shape("hill", ((left, level), (end, top), (right, top + 2 * text), (right, level)),
                  fill=picture.hatch("metal"), stroke_width=style.thin)  # fmt: skip
    picture.rect("sea", left - 3 * text, level - 0.3 * text, 3 * text, 0.6 * text,
                 fill=picture.hatch("water"), stroke="none")  # fmt: skip
    x, y = left + hill.share * (end - left), level + hill.share * (top - level)
    picture.label(hill.told, left + 0.2 * text, top + 0.4 * text, kind="altitude")
    picture.circle("house", x, y, 0.4 * text, fill=style.ink)
    if hill.grip:
        span = hill.grip.high - hill.grip.low
        pull = ((end - left) / span, (top - level) / span)
        _put(picture, hill.grip, x, y, pull)


def _put(picture: Picture, grip: Grip, x: float, y: float, pull: tuple[float, float]) -> None:
    picture.handle(
        Handle(
            grip.name, x, y, grip.value, grip.low, grip.high, grip.step, grip.unit, grip.decimals,
            pull, says=grip.says,
        )
    )  # fmt: skip
