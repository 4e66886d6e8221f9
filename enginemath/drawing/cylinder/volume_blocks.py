"""The volumes as columns of labelled blocks, to scale, in the parts' colours."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.scales import Scale, kept_apart, preferred
from enginemath.drawing.paper.svg import Picture
from enginemath.drawing.paper.typeface import text_width
from enginemath.formulas.compression import compression_ratio
from enginemath.units import fixed, words

WIDTH, HEIGHT = 390.0, 600.0


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
    width, height = size or style.framed(WIDTH, HEIGHT)
    ratio = fixed(view.ratio, 2)
    title, told = f"Volumes of one cylinder: ratio {ratio}", _description(view, unit, ratio)
    picture = Picture("stack", width, height, title=title, description=told, key=key, style=style)
    text = style.text
    top, foot = 3.4 * text, height - 4.6 * text
    left = 0.8 * text
    whole_width = text_width(words.volume(view.swept, unit), style.small) + text
    labels = max(
        text_width(f"{name} {words.volume(cc, unit)}", text) for _, name, cc in view.blocks
    )
    room = width - 2.3 * text - labels - left - whole_width
    gap = min(max(room - 2.0 * text, 1.6 * text), 2.8 * text)
    parts_left = left + whole_width + gap
    parts_width = min(max(room - gap, 1.2 * text), 7.0 * text)

    whole = Scale(0, 1, foot, foot - preferred((foot - top) / (view.swept + view.clearance)))
    up = sum(max(volume, 0.0) for _, _, volume in view.blocks)
    down = up - view.clearance
    tall = preferred((foot - top) / (up + down))
    zero = foot - down * tall
    parts = Scale(0, 1, zero, zero - tall)

    _whole_column(picture, view, whole, left, whole_width, unit)
    right = left + whole_width
    joins = (
        (right, whole(view.swept), parts_left, zero),
        (right, whole(view.swept + view.clearance), parts_left, parts(view.clearance)),
    )
    thin = style.thin
    picture.lines("join", joins, stroke_width=thin, stroke_dasharray="4 3", stroke=style.quiet)
    _parts_column(picture, view, parts, parts_left, parts_width, unit, (top, foot))
    heading = (
        f"clearance {words.volume(view.clearance, unit)},\n"
        f"drawn {_times(tall / -whole.unit)} times as tall"
    )
    picture.label("whole\ncylinder", left, 1.1 * text, size=style.small, bold=True)
    picture.label(heading, parts_left, 1.1 * text, size=style.small, bold=True)
    _formula(picture, view, left, height - 2.6 * text, unit, ratio)
    return picture


def _formula(
    picture: Picture, view: StackView, left: float, y: float, unit: str, ratio: str
) -> None:
    text = picture.style.text
    swept, clearance = (
        words.volume(volume, unit).split(" ")[0] for volume in (view.swept, view.clearance)
    )
    picture.label("(swept + clearance) ÷ clearance = ratio", left, y)
    worked = f"({swept} + {clearance}) ÷ {clearance} = {ratio}"
    picture.label(worked, left, y + 1.4 * text, bold=True)


def _whole_column(
    picture: Picture, view: StackView, scale: Scale, left: float, width: float, unit: str
) -> None:
    small = picture.style.small
    top, joint, foot = scale(view.swept + view.clearance), scale(view.swept), scale(0.0)
    picture.rect("swept", left, joint, width, foot - joint, fill=picture.hatch("swept"))
    picture.rect("clearance", left, top, width, joint - top, fill=picture.style.paper)
    middle = left + width / 2
    if joint - top > 1.7 * small:
        picture.label("clearance", middle, (top + joint) / 2, anchor="middle", size=small)
    swept, y = words.volume(view.swept, unit), (joint + foot) / 2
    picture.label(f"swept\n{swept}", middle, y, anchor="middle", size=small, kind="measure")


def _parts_column(
    picture: Picture,
    view: StackView,
    scale: Scale,
    left: float,
    width: float,
    unit: str,
    ends: tuple[float, float],
) -> None:
    style, text, thin = picture.style, picture.style.text, picture.style.thin
    right, zero, net = left + width, scale(0.0), scale(view.clearance)
    notes: list[tuple[float, str, bool]] = []
    up = down = 0.0
    for part, name, volume in view.blocks:
        start = up if volume > 0 else down
        a, b = scale(start + max(volume, 0.0)), scale(start + min(volume, 0.0))
        fill = picture.hatch(part)
        picture.rect(f"block-{part}", left, a, width, b - a, fill=fill, stroke_width=thin)
        notes.append(((a + b) / 2, f"{name} {words.volume(volume, unit)}", False))
        up, down = (up + volume, down) if volume > 0 else (up, down + volume)
    if down:
        top = scale(up)
        attributes: dict[str, str | float] = {
            "fill_opacity": "0.7",
            "stroke_dasharray": "4 3",
            "stroke_width": thin,
        }
        picture.rect("taken-off", left, top, width, net - top, fill=style.paper, **attributes)
        notes.append((net, "clearance", True))
    for kind, y in (("zero", zero), ("net", net)):
        picture.lines(kind, ((left - 0.5 * text, y, right + 0.5 * text, y),))
    picture.label("0", left - 0.8 * text, zero, anchor="end", size=style.small, kind="tick")
    notes.sort()
    places = kept_apart([note[0] for note in notes], 1.45 * text, *ends)
    beside = right + 1.8 * text
    for (at, said, bold), y in zip(notes, places, strict=True):
        bent = ((right, at), (beside - 0.6 * text, y), (beside - 0.2 * text, y))
        picture.trace("leader", bent, stroke_width=thin)
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
