"""The volumes as columns of labelled blocks, to scale, in the parts' colours."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.compression import compression_ratio
from enginemath.drawing import words
from enginemath.drawing.palette import SCREEN, Style
from enginemath.drawing.scales import Scale, preferred, spread
from enginemath.drawing.svg import Picture
from enginemath.drawing.typeface import LINE, text_width
from enginemath.units import fixed

WIDTH, HEIGHT = 360.0, 600.0


@dataclass(frozen=True)
class StackView:
    """The volumes of one cylinder, cc.

    Args:
        swept, chamber, gasket: as they are.
        deck: negative where the piston stands above the deck.
        dish: negative for a dome.
        reliefs: of the valves, where they are not counted in the dish.
        crevice: around the ring land.
    """

    swept: float
    chamber: float
    gasket: float
    deck: float
    dish: float = 0.0
    reliefs: float = 0.0
    crevice: float = 0.0

    @property
    def blocks(self) -> list[tuple[str, str, float]]:
        """Part, name and volume of each block, from the zero line up."""
        crown = "dome" if self.dish < 0 else "dish"
        every = [
            ("crevice", "crevice", self.crevice),
            ("crown", crown, self.dish),
            ("crown", "reliefs", self.reliefs),
            ("deck", "deck", self.deck),
            ("gasket", "gasket", self.gasket),
            ("chamber", "chamber", self.chamber),
        ]
        return [block for block in every if block[2]]

    @property
    def clearance(self) -> float:
        """All that is left above the piston at top dead centre, cc.

        >>> StackView(588.31, 47.5, 7.50, 2.33, dish=6.0, reliefs=2.8, crevice=0.52).clearance
        66.65
        """
        return sum(volume for _, _, volume in self.blocks)

    @property
    def ratio(self) -> float:
        """The compression ratio."""
        return compression_ratio(self.swept, self.clearance)


def stack(
    view: StackView,
    *,
    unit: str = "mm",
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw the whole cylinder as one column and, enlarged, its clearance volume as another.

    Args:
        view: the volumes.
        unit: ``mm`` for cc, ``in`` for cubic inches.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> stack(StackView(588.31, 47.5, 7.50, 2.33, dish=6.0, reliefs=2.8, crevice=0.52)).title
    'Volumes of one cylinder: ratio 9.83'
    """
    width, height = size or (WIDTH * style.frame, HEIGHT * style.frame)
    ratio = fixed(view.ratio, 2)
    picture = Picture(
        "stack",
        width,
        height,
        title=f"Volumes of one cylinder: ratio {ratio}",
        description=_description(view, unit, ratio),
        key=key,
        style=style,
    )
    text = style.text
    top, foot = 3.4 * text, height - 4.6 * text
    swept_text = words.volume(view.swept, unit)
    left = 0.8 * text
    whole_width = max(text_width(swept_text, text), text_width("swept", text)) + text
    named = [f"{name} {words.volume(volume, unit)}" for _, name, volume in view.blocks]
    beside = (
        width
        - 0.5 * text
        - max(
            text_width(f"clearance {words.volume(view.clearance, unit)}", text, bold=True),
            *(text_width(line, text) for line in named),
        )
    )
    parts_left = left + whole_width + 3.8 * text
    parts_width = max(beside - 1.8 * text - parts_left, 2.0 * text)

    whole = Scale(0.0, 1.0, foot, foot - preferred((foot - top) / (view.swept + view.clearance)))
    up = sum(volume for _, _, volume in view.blocks if volume > 0)
    down = -sum(volume for _, _, volume in view.blocks if volume < 0)
    tall = preferred((foot - top) / (up + down))
    zero = foot - down * tall
    parts = Scale(0.0, 1.0, zero, zero - tall)

    _whole_column(picture, view, whole, left, whole_width, swept_text)
    joins = (
        (left + whole_width, whole(view.swept), parts_left, zero),
        (left + whole_width, whole(view.swept + view.clearance), parts_left, parts(view.clearance)),
    )
    picture.lines(
        "join", joins, stroke_width=style.thin, stroke_dasharray="4 3", stroke=style.quiet
    )
    _parts_column(picture, view, parts, parts_left, parts_width, unit, (top, foot))
    heading = 1.1 * text
    picture.label("whole\ncylinder", left, heading, size=style.small, bold=True)
    picture.label(
        f"clearance, drawn\n{_times(tall / -whole.unit)} times as tall",
        parts_left,
        heading,
        size=style.small,
        bold=True,
    )
    clearance = words.volume(view.clearance, unit)
    swept_number, unit_word = swept_text.split(" ", 1)
    clearance_number = clearance.removesuffix(f" {unit_word}")
    equals = left + text_width("ratio ", text)
    picture.label("ratio", left, height - 2.6 * text)
    picture.label("= (swept + clearance) ÷ clearance", equals, height - 2.6 * text)
    picture.label(
        f"= ({swept_number} + {clearance_number}) ÷ {clearance_number} = {ratio}",
        equals,
        height - 1.2 * text,
        bold=True,
    )
    return picture


def _whole_column(
    picture: Picture, view: StackView, scale: Scale, left: float, width: float, swept: str
) -> None:
    style = picture.style
    top, joint, foot = scale(view.swept + view.clearance), scale(view.swept), scale(0.0)
    picture.rect("swept", left, joint, width, foot - joint, fill=picture.hatch("swept"))
    picture.rect("clearance", left, top, width, joint - top, fill=style.paper)
    if joint - top > 1.7 * style.text:
        picture.label("clearance", left + width / 2, (top + joint) / 2, anchor="middle")
    picture.label(
        f"swept\n{swept}",
        left + width / 2,
        (joint + foot) / 2 - LINE * style.text / 2,
        anchor="middle",
        kind="measure",
    )


def _parts_column(
    picture: Picture,
    view: StackView,
    scale: Scale,
    left: float,
    width: float,
    unit: str,
    ends: tuple[float, float],
) -> None:
    style, text = picture.style, picture.style.text
    right, zero = left + width, scale(0.0)
    notes: list[tuple[float, float, str, bool]] = []
    up = down = 0.0
    for part, name, volume in view.blocks:
        start = up if volume > 0 else down
        a, b = scale(start + max(volume, 0.0)), scale(start + min(volume, 0.0))
        picture.rect(
            f"block-{part}",
            left,
            a,
            width,
            b - a,
            fill=picture.hatch(part),
            stroke_width=style.thin,
        )
        notes.append(((a + b) / 2, right, f"{name} {words.volume(volume, unit)}", False))
        up, down = (up + volume, down) if volume > 0 else (up, down + volume)
    net = scale(view.clearance)
    if down:
        picture.rect(
            "taken-off",
            left,
            scale(up),
            width,
            net - scale(up),
            fill=style.paper,
            fill_opacity="0.7",
            stroke_dasharray="4 3",
            stroke_width=style.thin,
        )
    picture.lines("zero", ((left - 0.6 * text, zero, right + 0.5 * text, zero),))
    picture.lines("net", ((left - 0.6 * text, net, right + 0.5 * text, net),))
    picture.label("0", left - 0.9 * text, zero, anchor="end", size=style.small, kind="tick")
    notes.append((net, right + 0.5 * text, f"clearance {words.volume(view.clearance, unit)}", True))
    notes.sort(key=lambda note: note[0])
    top, foot = ends
    places = spread([note[0] for note in notes], 1.45 * text, top, foot)
    beside = right + 1.8 * text
    for (at, start, said, bold), y in zip(notes, places, strict=True):
        picture.trace(
            "leader",
            ((start, at), (beside - 0.6 * text, y), (beside - 0.2 * text, y)),
            stroke_width=style.thin,
        )
        picture.label(said, beside, y, bold=bold, kind="measure")


def _times(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")


def _description(view: StackView, unit: str, ratio: str) -> str:
    named = ", ".join(
        f"{name} {words.volume(volume, unit)}" for _, name, volume in reversed(view.blocks)
    )
    return (
        f"Swept volume {words.volume(view.swept, unit)}. Clearance volume "
        f"{words.volume(view.clearance, unit)}: {named}. Compression ratio {ratio} to 1. To scale."
    )
