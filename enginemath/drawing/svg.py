"""A picture as SVG text: lines, shapes, labels and dimension lines as on a shop drawing."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from zlib import crc32

from enginemath.drawing.palette import SCREEN, Style, pattern
from enginemath.drawing.scales import Scale, tick_step, tick_text, ticks
from enginemath.drawing.typeface import ASCENT, DESCENT, FAMILY, LINE, text_width
from enginemath.drawing.words import MM_PER_INCH

Point = tuple[float, float]


@dataclass(frozen=True)
class Label:
    """A line of text in a picture and the box that it fills, px."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


def px(length: float) -> str:
    """A coordinate with two decimals.

    >>> px(12.3456)
    '12.35'
    """
    return f"{length:.2f}"


def said(text: str) -> str:
    """Text made safe to stand in SVG.

    >>> said("<b>&")
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

    Coordinates run right and down from the upper left corner, px.
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
        self.labels: list[Label] = []
        self._shapes: list[str] = []
        self._texts: list[str] = []
        self._hatches: set[str] = set()
        self._clips: list[str] = []

    # Shapes

    def hatch(self, part: str) -> str:
        """The fill that belongs to a part: its colour under its hatch."""
        self._hatches.add(part)
        return f"url(#{self.key}-hatch-{part})"

    def rect(
        self, kind: str, x: float, y: float, width: float, height: float, **look: str | float
    ) -> None:
        """A rectangle from its upper left corner."""
        size = f'width="{px(max(width, 0.0))}" height="{px(max(height, 0.0))}"'
        self._shapes.append(
            f'<rect class="em-{kind}" x="{px(x)}" y="{px(y)}" {size}{_look(look)}/>'
        )

    def circle(self, kind: str, x: float, y: float, radius: float, **look: str | float) -> None:
        """A circle around its centre."""
        self._shapes.append(
            f'<circle class="em-{kind}" cx="{px(x)}" cy="{px(y)}" r="{px(radius)}"{_look(look)}/>'
        )

    def shape(self, kind: str, points: Iterable[Point], **look: str | float) -> None:
        """A closed outline through points."""
        self._shapes.append(
            f'<polygon class="em-{kind}" points="{_corners(points)}"{_look(look)}/>'
        )

    def trace(self, kind: str, points: Iterable[Point], **look: str | float) -> None:
        """An open line through points."""
        self._shapes.append(
            f'<polyline class="em-{kind}" points="{_corners(points)}"{_look(look)}/>'
        )

    def lines(
        self, kind: str, segments: Iterable[tuple[float, float, float, float]], **look: str | float
    ) -> None:
        """Straight strokes, each from one point to another, as one path."""
        drawn = "".join(
            [f"M{px(a)} {px(b)}L{px(c)} {px(d)}" for a, b, c, d in segments],
        )
        self.path(kind, drawn, **look)

    def path(self, kind: str, drawn: str, **look: str | float) -> None:
        """A path in SVG's own notation."""
        self._shapes.append(f'<path class="em-{kind}" d="{drawn}"{_look(look)}/>')

    def arc(
        self,
        kind: str,
        x: float,
        y: float,
        radius: float,
        start: float,
        end: float,
        **look: str | float,
    ) -> None:
        """Part of a circle, from one direction to a later one, degrees clockwise from above."""
        (a, b), (c, d) = around(x, y, radius, start), around(x, y, radius, end)
        large = 1 if end - start > 180 else 0
        r = px(radius)
        self.path(kind, f"M{px(a)} {px(b)}A{r} {r} 0 {large} 1 {px(c)} {px(d)}", **look)

    def open_lens(self, x: float, y: float, radius: float) -> None:
        """Begin a round window; what follows shows only inside, until `close_lens`."""
        name = f"{self.key}-clip{len(self._clips)}"
        circle = f'<circle cx="{px(x)}" cy="{px(y)}" r="{px(radius)}"/>'
        self._clips.append(f'<clipPath id="{name}">{circle}</clipPath>')
        self._shapes.append(f'<g clip-path="url(#{name})">')

    def open_window(self, x: float, y: float, width: float, height: float) -> None:
        """Begin a rectangular window; what follows shows only inside, until `close_lens`."""
        name = f"{self.key}-clip{len(self._clips)}"
        corner = f'x="{px(x)}" y="{px(y)}"'
        window = f'<rect {corner} width="{px(width)}" height="{px(height)}"/>'
        self._clips.append(f'<clipPath id="{name}">{window}</clipPath>')
        self._shapes.append(f'<g clip-path="url(#{name})">')

    def close_lens(self) -> None:
        """End the window begun last."""
        self._shapes.append("</g>")

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
        marks = f' class="em-{kind}"'
        if anchor != "start":
            marks += f' text-anchor="{anchor}"'
        if size != self.style.text:
            marks += f' font-size="{size:g}"'
        if bold:
            marks += ' font-weight="bold"'
        if fill:
            marks += f' fill="{fill}"'
        if not halo:
            marks += ' stroke="none"'
        for number, line in enumerate(text.split("\n")):
            down = number * LINE * size
            self._line(
                line,
                x + (down if upwards else 0),
                y + (0 if upwards else down),
                anchor,
                size,
                bold,
                marks,
                upwards,
            )

    def _line(
        self,
        text: str,
        x: float,
        y: float,
        anchor: str,
        size: float,
        bold: bool,
        marks: str,
        upwards: bool,
    ) -> None:
        width = text_width(text, size, bold)
        before = {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        base = 0.35 * size
        if upwards:
            where = f'transform="translate({px(x + base)} {px(y)}) rotate(-90)"'
            box = (x - ASCENT * size, y - width + before, x + DESCENT * size, y + before)
        else:
            where = f'x="{px(x)}" y="{px(y + base)}"'
            box = (x - before, y - ASCENT * size, x - before + width, y + DESCENT * size)
        self._texts.append(f"<text {where}{marks}>{said(text)}</text>")
        self.labels.append(Label(text, *box))

    def leader(self, x: float, y: float, to_x: float, to_y: float, run: float = 10) -> None:
        """A thin line from a label to a dot on the part that it names.

        Args:
            run: px of level line at the label's end; negative where it runs left.
        """
        bend = (x + run, y)
        self.trace("leader", ((x, y), bend, (to_x, to_y)), stroke_width=self.style.thin)
        dot = 1.6 * self.style.line
        self.circle(
            "leader-dot",
            to_x,
            to_y,
            dot,
            fill=self.style.ink,
            stroke=self.style.paper,
            stroke_width=self.style.thin,
        )

    def callouts(self, notes: Iterable[tuple[str, float, float]], x: float, top: float) -> float:
        """A column of labels on the right, each with a leader to its part.

        The labels stand still while the parts move.

        Args:
            notes: text and the place of the dot, from above.
            x: left edge of the labels.
            top: of the column.

        Returns:
            The height at which the column ends.
        """
        text = self.style.text
        y = top + 0.7 * text
        for name, to_x, to_y in notes:
            self.leader(x - 4, y, to_x, to_y, run=-0.6 * text)
            self.label(name, x, y)
            y += 1.4 * text
        return y - 0.7 * text

    # Dimension lines

    def dimension_across(
        self, left: float, right: float, y: float, text: str, *, from_y: float
    ) -> None:
        """A level dimension line with arrowheads, its text in or beside it.

        Args:
            left, right: ends of what is measured.
            y: height of the dimension line.
            from_y: where the extension lines begin.
        """
        arrow, gap = self._arrow, 3 if y > from_y else -3
        inside = right - left >= 2.6 * arrow
        longest = max(text_width(line, self.style.text) for line in text.split("\n"))
        fits = inside and right - left >= longest + 3 * arrow
        tail = 0.0 if inside else 2.2 * arrow
        beyond = y + gap
        self.lines(
            "extension",
            ((left, from_y + gap, left, beyond), (right, from_y + gap, right, beyond)),
            stroke_width=self.style.thin,
        )
        self.lines("dimension", ((left - tail, y, right + tail, y),), stroke_width=self.style.thin)
        turned = 1 if inside else -1
        self._arrowheads(((left, y, turned, 0), (right, y, -turned, 0)))
        if fits:
            self.label(text, (left + right) / 2, y, anchor="middle", kind="measure")
        else:
            self.label(text, left - tail - 6, y, anchor="end", kind="measure")

    def dimension_upright(
        self, top: float, bottom: float, x: float, text: str, *, from_x: float
    ) -> None:
        """An upright dimension line with arrowheads, its level text in it or beside it.

        Args:
            top, bottom: ends of what is measured.
            x: of the dimension line.
            from_x: where the extension lines begin.
        """
        size, lines = self.style.text, text.count("\n") + 1
        high = lines * LINE * size
        self.gap_upright(top, bottom, x, from_x=from_x)
        fits = bottom - top >= high + 3 * self._arrow
        middle = (top + bottom) / 2 - (lines - 1) * LINE * size / 2
        if fits:
            self.label(text, x, middle, anchor="middle", kind="measure")
        else:
            outward = x < from_x
            self.label(
                text,
                x - 8 if outward else x + 8,
                middle,
                anchor="end" if outward else "start",
                kind="measure",
            )

    def gap_upright(self, top: float, bottom: float, x: float, *, from_x: float) -> None:
        """The lines and arrowheads of an upright dimension, without its text."""
        arrow, gap = self._arrow, 3 if x > from_x else -3
        inside = bottom - top >= 2.6 * arrow
        tail = 0.0 if inside else 2.2 * arrow
        beyond = x + gap
        self.lines(
            "extension",
            ((from_x + gap, top, beyond, top), (from_x + gap, bottom, beyond, bottom)),
            stroke_width=self.style.thin,
        )
        self.lines("dimension", ((x, top - tail, x, bottom + tail),), stroke_width=self.style.thin)
        turned = 1 if inside else -1
        self._arrowheads(((x, top, 0, turned), (x, bottom, 0, -turned)))

    def scale_bar(self, x: float, y: float, scale: float, room: float, unit: str = "mm") -> None:
        """A bar of a round length, to measure the drawing by.

        Args:
            x, y: its left end.
            scale: px for one mm.
            room: longest that the bar may be, px.
            unit: ``mm`` or ``in``.
        """
        step, mm = (1.0, MM_PER_INCH) if unit == "in" else (10.0, 1.0)
        lengths = [share * step for share in (0.1, 0.2, 0.5, 1, 2, 5)]
        fitting = [length for length in lengths if length * mm * scale <= room]
        bar = fitting[-1] if fitting else lengths[0]
        end = x + bar * mm * scale
        ends = ((x, y - 4, x, y + 4), (x, y, end, y), (end, y - 4, end, y + 4))
        self.lines("scale-bar", ends)
        self.label(f"{bar:g} {unit}", end + 0.5 * self.style.text, y, kind="scale")

    @property
    def _arrow(self) -> float:
        return 0.62 * self.style.text

    def _arrowheads(self, tips: Iterable[tuple[float, float, int, int]]) -> None:
        """Slender filled triangles; each has its tip and the direction from the tip to its tail."""
        long, half = self._arrow, self._arrow / 6
        drawn = "".join(
            [
                f"M{px(x)} {px(y)}"
                f"L{px(x + long * i + half * j)} {px(y + long * j + half * i)}"
                f"L{px(x + long * i - half * j)} {px(y + long * j - half * i)}Z"
                for x, y, i, j in tips
            ]
        )
        self.path("arrow", drawn, fill=self.style.ink, stroke="none")

    # Axes

    def axis_across(
        self,
        scale: Scale,
        y: float,
        name: str,
        *,
        about: int = 6,
        at: Sequence[float] = (),
        grid_to: float | None = None,
    ) -> None:
        """A level axis with ticks below it and its name below them.

        Args:
            scale: of the axis.
            y: its height.
            name: with the unit.
            about: how many round ticks are wanted.
            at: the ticks, where round ones will not do; whole numbers.
            grid_to: the height that thin lines lead to from the ticks.
        """
        style = self.style
        marked = at or ticks(scale.low, scale.high, about)
        step = 1.0 if at else tick_step(scale.high - scale.low, about)
        if grid_to is not None:
            self._grid([(scale(t), y, scale(t), grid_to) for t in marked])
        drawn = [(scale(t), y, scale(t), y + 5) for t in marked]
        self.lines("axis", [(scale.start, y, scale.end, y), *drawn], stroke_width=style.thin)
        below = y + 8 + 0.5 * style.small
        for t in marked:
            said, x = tick_text(t, step), scale(t)
            self.label(said, x, below, anchor="middle", size=style.small, kind="tick")
        if name:
            below += 1.4 * style.small
            end = scale.end
            self.label(name, end, below, anchor="end", size=style.small, kind="axis-name")

    def axis_upright(
        self, scale: Scale, x: float, name: str, *, about: int = 6, grid_to: float | None = None
    ) -> None:
        """An upright axis with round ticks on its left and its name above it."""
        style = self.style
        at = ticks(scale.low, scale.high, about)
        step = tick_step(scale.high - scale.low, about)
        if grid_to is not None:
            self._grid([(x, scale(t), grid_to, scale(t)) for t in at])
        self.lines(
            "axis",
            [(x, scale.start, x, scale.end)] + [(x, scale(t), x - 5, scale(t)) for t in at],
            stroke_width=style.thin,
        )
        for t in at:
            self.label(
                tick_text(t, step), x - 8, scale(t), anchor="end", size=style.small, kind="tick"
            )
        if name:
            widest = max([text_width(tick_text(t, step), style.small) for t in at], default=0.0)
            self.label(
                name,
                x - 8 - widest,
                min(scale.start, scale.end) - 1.4 * style.small,
                size=style.small,
                kind="axis-name",
            )

    def _grid(self, segments: list[tuple[float, float, float, float]]) -> None:
        self.lines("grid", segments, stroke="#d0d0d0", stroke_width=0.8)

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
        moved = f'transform="translate({px(x)} {px(y)})"'
        self._shapes.append(f'<g class="em-{other.kind}" {moved}>{shapes}</g>')
        self._texts.append(f'<g class="em-{other.kind}-text" {moved}>{texts}</g>')
        self.labels += [
            Label(a.text, a.left + x, a.top + y, a.right + x, a.bottom + y) for a in other.labels
        ]

    def svg(self) -> str:
        """The picture as one complete SVG element."""
        key, style = self.key, self.style
        width, height = f"{self.width:g}", f"{self.height:g}"
        hatches = "".join(
            [
                f'<pattern id="{key}-hatch-{part}" {pattern(part, style)}'
                for part in sorted(self._hatches)
            ]
        )
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="em-picture em-{self.kind}" role="img" '
            f'aria-labelledby="{key}-title {key}-desc" viewBox="0 0 {width} {height}" '
            f'width="{width}" height="{height}" style="max-width:100%;height:auto">'
            f'<title id="{key}-title">{said(self.title)}</title>'
            f'<desc id="{key}-desc">{said(self.description)}</desc>'
            f"<defs>{hatches}{''.join(self._clips)}</defs>"
            f'<rect class="em-paper" width="{width}" height="{height}" fill="{style.paper}"/>'
            f'<g fill="none" stroke="{style.ink}" stroke-width="{style.line}" '
            f'stroke-linejoin="round">{"".join(self._shapes)}</g>'
            f'<g font-family="{FAMILY}" font-size="{style.text:g}" fill="{style.ink}" '
            f'stroke="{style.paper}" stroke-width="{0.45 * style.text:.1f}" '
            f'stroke-linejoin="round" paint-order="stroke">{"".join(self._texts)}</g></svg>'
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


def _corners(points: Iterable[Point]) -> str:
    return " ".join([f"{px(x)},{px(y)}" for x, y in points])


def _look(look: dict[str, str | float]) -> str:
    """Presentation attributes: no style sheet, which would leak into the page around."""
    return "".join([f' {name.replace("_", "-")}="{_value(value)}"' for name, value in look.items()])


def _value(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:.4g}"
