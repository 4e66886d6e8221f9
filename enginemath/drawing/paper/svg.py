"""A picture as SVG text: lines, shapes and labels."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from html import escape
from typing import NamedTuple
from zlib import crc32

from enginemath.drawing.paper.coordinates import plainly, px
from enginemath.drawing.paper.handles import RING, Handle, Hold, Place
from enginemath.drawing.paper.palette import SCREEN, Style, pattern
from enginemath.drawing.paper.typeface import ASCENT, DESCENT, FAMILY, LINE, text_width

Point = tuple[float, float]


class Lettering(NamedTuple):
    """A line of text in a picture and the box that it fills, px."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


_SHARE_BEFORE = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""How much of a text stands before its anchor."""


@lru_cache(maxsize=4096)
def escaped(text: str) -> str:
    """Text made safe to stand in SVG.

    >>> escaped("<b>&")
    '&lt;b&gt;&amp;'
    """
    if not text.isprintable():
        text = "".join(character if character.isprintable() else " " for character in text)
    return escape(text)


class Picture:
    """Collects what is drawn; its text is complete SVG.

    Args:
        kind: of the picture, one word; it becomes a class.
        width, height: px at 100 %.
        title: what it shows, one line.
        description: the numbers in words.
        key: begins every id in the picture; two pictures on one page need different ones.
            By default it follows from the title and the description.
        style: see `palette.Style`.

    Coordinates run right and down from the upper left corner, px, and are written with two
    decimals.
    """

    def __init__(
        self,
        kind: str,
        width: float,
        height: float,
        *,
        title: str,
        description: str,
        key: str | None = None,
        style: Style = SCREEN,
    ) -> None:
        self.kind, self.width, self.height = kind, width, height
        self.title, self.description, self.style = title, description, style
        self.key = key or f"{kind}-{crc32(f'{title}|{description}'.encode()):08x}"
        self.labels: list[Lettering] = []
        self.handles: list[Handle] = []
        self.places: dict[str, Place] = {}
        self.hold: Hold | None = None
        self._links: list[str] = []
        self._shapes: list[str] = []
        self._texts: list[str] = []
        self._hatches: set[str] = set()
        self._clips: list[str] = []
        self._gradients: dict[str, str] = {}

    # Shapes

    def hatch(self, part: str) -> str:
        """The fill that belongs to a part: its colour under its hatch."""
        self._hatches.add(part)
        return f"url(#{self.key}-hatch-{part})"

    def rect(
        self, kind: str, x: float, y: float, width: float, height: float, **attributes: str | float
    ) -> None:
        """A rectangle from its upper left corner."""
        size = f'width="{px(max(width, 0.0))}" height="{px(max(height, 0.0))}"'
        self._shapes.append(
            f'<rect class="em-{kind}" x="{px(x)}" y="{px(y)}" {size}{_written(attributes)}/>'
        )

    def circle(
        self, kind: str, x: float, y: float, radius: float, **attributes: str | float
    ) -> None:
        """A circle around its centre."""
        self._shapes.append(
            f'<circle class="em-{kind}" cx="{px(x)}" cy="{px(y)}" r="{px(radius)}"'
            f"{_written(attributes)}/>"
        )

    def shape(self, kind: str, points: Iterable[Point], **attributes: str | float) -> None:
        """A closed outline through points."""
        self._shapes.append(
            f'<polygon class="em-{kind}" points="{_corners(points)}"{_written(attributes)}/>'
        )

    def trace(self, kind: str, points: Iterable[Point], **attributes: str | float) -> None:
        """An open line through points."""
        self._shapes.append(
            f'<polyline class="em-{kind}" points="{_corners(points)}"{_written(attributes)}/>'
        )

    def lines(
        self,
        kind: str,
        segments: Iterable[tuple[float, float, float, float]],
        **attributes: str | float,
    ) -> None:
        """Straight strokes, each from one point to another, as one path."""
        drawn = "".join(
            [f"M{px(a)} {px(b)}L{px(c)} {px(d)}" for a, b, c, d in segments],
        )
        self.path(kind, drawn, **attributes)

    def path(self, kind: str, drawn: str, **attributes: str | float) -> None:
        """A path in SVG's own notation."""
        self._shapes.append(f'<path class="em-{kind}" d="{drawn}"{_written(attributes)}/>')

    def open_round_window(self, x: float, y: float, radius: float) -> None:
        """Begin a round window; what follows shows only inside, until `close_window`."""
        name = f"{self.key}-clip{len(self._clips)}"
        circle = f'<circle cx="{px(x)}" cy="{px(y)}" r="{px(radius)}"/>'
        self._clips.append(f'<clipPath id="{name}">{circle}</clipPath>')
        self._shapes.append(f'<g clip-path="url(#{name})">')

    def open_window(self, x: float, y: float, width: float, height: float) -> None:
        """Begin a rectangular window; what follows shows only inside, until `close_window`."""
        name = f"{self.key}-clip{len(self._clips)}"
        corner = f'x="{px(x)}" y="{px(y)}"'
        window = f'<rect {corner} width="{px(width)}" height="{px(height)}"/>'
        self._clips.append(f'<clipPath id="{name}">{window}</clipPath>')
        self._shapes.append(f'<g clip-path="url(#{name})">')

    def open_pale(self, shown: float) -> None:
        """Begin a group of which only a share shows, 0 to 1, until `close_window`."""
        self._shapes.append(f'<g opacity="{shown:.3g}">')

    def close_window(self) -> None:
        """End the window or group begun last."""
        self._shapes.append("</g>")

    def fade(self, x: float, y: float, width: float, height: float) -> None:
        """Let what was drawn so far fade into the paper, downwards."""
        paper = self.style.paper
        fill = self._gradient("fade", "0", "1", ((0, paper, 0), (1, paper, 1)))
        self.rect("fade", x, y, width, height, fill=fill, stroke="none")

    def sheen(self, name: str, *colours: str) -> str:
        """A fill that runs through colours from left to right, as on round metal."""
        last = len(colours) - 1
        stops = [(number / last, colour, 1) for number, colour in enumerate(colours)]
        return self._gradient(name, "1", "0", stops)

    def _gradient(
        self, name: str, across: str, down: str, stops: Iterable[tuple[float, str, float]]
    ) -> str:
        written = "".join(
            f'<stop offset="{at:g}" stop-color="{colour}" stop-opacity="{shown:g}"/>'
            for at, colour, shown in stops
        )
        key = f"{self.key}-{name}"
        self._gradients[key] = (
            f'<linearGradient id="{key}" x2="{across}" y2="{down}">{written}</linearGradient>'
        )
        return f"url(#{key})"

    # What a hand or an eye is led to

    def handle(self, handle: Handle) -> None:
        """A mark that moves a number; it lies over all that is drawn."""
        self.handles.append(handle)

    def link(self, address: str, name: str, drawn: Picture) -> None:
        """A part of the picture that leads somewhere; it lies over all that is drawn.

        It is for the mouse: a page has the same links as a list, so the keyboard passes it by.

        Args:
            address: where it leads.
            name: for a screen reader that comes upon it.
            drawn: what is seen, in this picture's own coordinates.
        """
        self._hatches |= drawn._hatches
        marks = f'href="{escaped(address)}" aria-label="{escaped(name)}" tabindex="-1"'
        self._links.append(f'<a class="em-{drawn.kind}" {marks}>{drawn._inside()}</a>')
        self.labels += drawn.labels

    def place_of(self, part: str, x: float, y: float, radius: float, wide: float = 0.0) -> None:
        """Where a part is, for a ring to be put there; it is kept inside the picture.

        Args:
            part: its name.
            x, y: its middle, px.
            radius: of the ring.
            wide: half the width of a ring that is drawn out level.
        """
        radius = max(min(radius, x, y, self.width - x, self.height - y), 0.0)
        self.places[part] = Place(x, y, radius, wide)

    def look_here(
        self,
        part: str,
        words: str = "look here",
        *,
        above: bool = False,
        before: float | None = None,
    ) -> None:
        """A ring around the place of a part, with words at it; nothing where it has none.

        Args:
            part: its name.
            words: what stands at the ring.
            above: whether they stand over it.
            before: px that they do not go beyond; by default the picture's right edge.
        """
        place, size = self.places.get(part), self.style.frame
        if place is None:
            return
        self._shapes.append(
            _around("ring-paper", place, stroke=self.style.paper, stroke_width=6 * size)
        )
        dash = f"{8 * size:g} {4 * size:g}"
        self._shapes.append(
            _around("ring", place, stroke=RING, stroke_width=3 * size, stroke_dasharray=dash)
        )
        if words:
            half = text_width(words, self.style.text, bold=True) / 2
            right = self.width if before is None else before
            x = max(min(place.x, right - half - 6), half + 6)
            down = place.radius + 1.1 * self.style.text
            over, under = place.y - down, place.y + down
            room = under <= self.height - self.style.text
            y = over if above or not room else under
            self.label(words, x, y, anchor="middle", bold=True, fill=RING, kind="ring-words")

    # Text

    def label(
        self,
        text: str,
        x: float,
        y: float,
        *,
        anchor: str = "start",
        size: float | None = None,
        bold: bool = False,
        fill: str | None = None,
        upwards: bool = False,
        halo: bool = True,
        kind: str = "label",
    ) -> None:
        """Text whose (first) line has its middle at a height.

        Args:
            text: lines are parted by a line break.
            x, y: of the anchor, px.
            anchor: ``start``, ``middle`` or ``end``.
            size: of the type, px; by default the style's.
            upwards: for text that reads upwards, its middle on x.
            halo: whether paper shows around the letters, so that lines behind them break.
        """
        size = size or self.style.text
        own_size = None if size == self.style.text else size
        marks = _text_marks(kind, anchor, own_size, bold, fill, halo)
        for number, line in enumerate(text.split("\n")):
            down, width = number * LINE * size, text_width(line, size, bold)
            before, base = _SHARE_BEFORE[anchor] * width, 0.35 * size
            if upwards:
                middle = x + down
                where = f'transform="translate({px(middle + base)} {px(y)}) rotate(-90)"'
                box = (
                    middle - ASCENT * size,
                    y - width + before,
                    middle + DESCENT * size,
                    y + before,
                )
            else:
                left, middle = x - before, y + down
                where = f'x="{px(x)}" y="{px(middle + base)}"'
                box = left, middle - ASCENT * size, left + width, middle + DESCENT * size
            self._texts.append(f"<text {where}{marks}>{escaped(line)}</text>")
            self.labels.append(Lettering(line, *box))

    # Together

    def place(self, other: Picture, x: float, y: float) -> None:
        """Put another picture into this one, its upper left corner at a point."""
        shapes, texts = "".join(other._shapes), "".join(other._texts)
        shapes = shapes.replace(f"#{other.key}-hatch-", f"#{self.key}-hatch-")
        for number, clip in enumerate(other._clips):
            old, new = f"{other.key}-clip{number}", f"{self.key}-clip{len(self._clips)}"
            shapes = shapes.replace(f"url(#{old})", f"url(#{new})")
            self._clips.append(clip.replace(f'"{old}"', f'"{new}"'))
        self._hatches |= other._hatches
        self._gradients |= other._gradients
        self.handles += [
            replace(
                handle,
                x=handle.x + x,
                y=handle.y + y,
                turn=handle.turn and (handle.turn[0] + x, handle.turn[1] + y),
            )
            for handle in other.handles
        ]
        self.places |= {
            part: replace(place, x=place.x + x, y=place.y + y)
            for part, place in other.places.items()
        }
        moved = f'transform="translate({px(x)} {px(y)})"'
        self._shapes.append(f'<g class="em-{other.kind}" {moved}>{shapes}</g>')
        self._texts.append(f'<g class="em-{other.kind}-text" {moved}>{texts}</g>')
        self.labels += [
            Lettering(a.text, a.left + x, a.top + y, a.right + x, a.bottom + y)
            for a in other.labels
        ]

    def svg(self) -> str:
        """The picture as one complete SVG element."""
        key, style = self.key, self.style
        width, height = plainly(self.width), plainly(self.height)
        hatches = "".join(
            [
                f'<pattern id="{key}-hatch-{part}" {pattern(part, style)}'
                for part in sorted(self._hatches)
            ]
        )
        fills = "".join((*self._clips, *self._gradients.values()))
        named = f'aria-labelledby="{key}-title {key}-desc"'
        paper = f'<rect class="em-paper" width="{width}" height="{height}" fill="{style.paper}"/>'
        drawn = paper + self._inside()
        role = f'role="img" {named}'
        if self.handles or self._links:
            # What lies in an img is not told: the sliders stand beside the drawing, not in it.
            sliders = "".join([_slider(handle, style) for handle in self.handles])
            over = f'<g class="em-handles">{sliders}</g>' if sliders else ""
            if self._links:
                over += f'<g class="em-links">{"".join(self._links)}</g>'
            drawn = f'<g role="img" {named}>{drawn}</g>{over}'
            role = f'role="group" aria-labelledby="{key}-title"'
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="em-picture em-{self.kind}" {role} '
            f'viewBox="0 0 {width} {height}" '
            f'width="{width}" height="{height}" style="max-width:100%;height:auto">'
            f'<title id="{key}-title">{escaped(self.title)}</title>'
            f'<desc id="{key}-desc">{escaped(self.description)}</desc>'
            f"<defs>{hatches}{fills}</defs>{drawn}</svg>"
        )

    def _inside(self) -> str:
        """Shapes, and over them texts."""
        style = self.style
        places = [
            _around(f"place em-part-{part.replace(' ', '-')}", place, stroke="none")
            for part, place in self.places.items()
        ]
        return (
            f'<g fill="none" stroke="{style.ink}" stroke-width="{style.line}" '
            f'stroke-linejoin="round">{"".join((*self._shapes, *places))}</g>'
            f'<g font-family="{FAMILY}" font-size="{style.text:g}" fill="{style.ink}" '
            f'stroke="{style.paper}" stroke-width="{0.45 * style.text:.1f}" '
            f'stroke-linejoin="round" paint-order="stroke">{"".join(self._texts)}</g>'
        )

    __str__ = svg
    _repr_html_ = svg


def around(x: float, y: float, radius: float, direction: float) -> Point:
    """The point at a distance in a direction, degrees clockwise from above.

    >>> around(10, 10, 5, 90)
    (15.0, 10.0)
    """
    turn = math.radians(direction)
    return x + radius * math.sin(turn), y - radius * math.cos(turn)


def _around(kind: str, place: Place, **attributes: str | float) -> str:
    """A ring around a place: a circle, or a long one with round ends."""
    x, y, radius, wide = place.x, place.y, place.radius, place.wide
    marks = _written(attributes)
    if wide > radius:
        return (
            f'<rect class="em-{kind}" x="{x - wide:.2f}" y="{y - radius:.2f}" '
            f'width="{2 * wide:.2f}" height="{2 * radius:.2f}" rx="{radius:.2f}"{marks}/>'
        )
    return f'<circle class="em-{kind}" cx="{x:.2f}" cy="{y:.2f}" r="{radius:.2f}"{marks}/>'


def _slider(handle: Handle, style: Style) -> str:
    marks = "".join([f' {name}="{escaped(value)}"' for name, value in handle.marks().items()])
    where = f'transform="translate({px(handle.x)} {px(handle.y)})"'
    return f'<g class="em-handle" {where}{marks}>{handle.drawn(style)}</g>'


@lru_cache(maxsize=1024)
def _text_marks(
    kind: str, anchor: str, size: float | None, bold: bool, fill: str | None, halo: bool
) -> str:
    """What a text says of itself where it is not as the texts around it."""
    marks = f' class="em-{kind}"'
    if anchor != "start":
        marks += f' text-anchor="{anchor}"'
    if size:
        marks += f' font-size="{size:g}"'
    if bold:
        marks += ' font-weight="bold"'
    if fill:
        marks += f' fill="{fill}"'
    return marks if halo else f'{marks} stroke="none"'


def _corners(points: Iterable[Point]) -> str:
    return " ".join([f"{px(x)},{px(y)}" for x, y in points])


def _written(attributes: dict[str, str | float]) -> str:
    """Presentation attributes: no style sheet, which would leak into the page around."""
    return _as_text(tuple(attributes.items())) if attributes else ""


@lru_cache(maxsize=1024)
def _as_text(attributes: tuple[tuple[str, str | float], ...]) -> str:
    return "".join([f' {name.replace("_", "-")}="{_value(value)}"' for name, value in attributes])


def _value(value: str | float) -> str:
    return value if isinstance(value, str) else plainly(value, 4)
