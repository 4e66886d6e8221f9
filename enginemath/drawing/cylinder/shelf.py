"""Parts on a shelf beside the engine: a knob stands at the one that is fitted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from enginemath.drawing.paper.handles import Handle
from enginemath.drawing.paper.svg import Picture

WIDE = 348.0
"""What a shelf takes of the room beside the engine, px of the page."""
_ROW, _KNOB, _ICON = 22.0, 30.0, 40.0
_THICK, _DEEP = 9.0, 0.9
"""On the shelf: height of a gasket for a mm, depth of a dish for a cc, px of the page."""


@dataclass(frozen=True)
class Item:
    """One part on a shelf.

    Args:
        name: on the price list.
        detail: its measure, short.
        price: as it is written; empty for what is there already.
        thickness: of a gasket, mm.
        dish: of a piston, cc; a dome is negative.
        rise: how much higher a piston sits, mm.
    """

    name: str
    detail: str = ""
    price: str = ""
    thickness: float | None = None
    dish: float | None = None
    rise: float = 0.0

    @property
    def told(self) -> str:
        """The part in words."""
        price = f"price {self.price}" if self.price else ""
        return ", ".join(filter(None, (self.name, self.detail, price)))


@dataclass(frozen=True)
class Shelf:
    """Parts of one kind, the one that is there at the bottom.

    Args:
        name: of what is chosen; the handle is called so.
        items: from below.
        picked: the place of the one that is fitted.
        held: whether it can be taken now.
    """

    name: str
    items: Sequence[Item]
    picked: int
    held: bool = True


def draw_shelves(picture: Picture, shelves: Sequence[Shelf], x: float, foot: float) -> None:
    """Draw shelves one above the other.

    Args:
        x: left end, px.
        foot: where the lowest one ends, px.

    >>> picture = Picture("made-up", 400, 300, title="t", description="d")
    >>> items = [Item("as measured", "1.350 mm", thickness=1.35), Item("thin", price="72")]
    >>> draw_shelves(picture, [Shelf("gasket", items, 1)], 20, 280)
    >>> picture.handles[0].told
    'thin, price 72'
    """
    size = picture.style.frame
    for shelf in reversed(shelves):
        _draw(picture, shelf, x, foot)
        foot -= (len(shelf.items) * _ROW + 32.0) * size


def _draw(picture: Picture, shelf: Shelf, x: float, foot: float) -> None:
    style, size = picture.style, picture.style.frame
    row, right = _ROW * size, x + WIDE * size
    top = foot - len(shelf.items) * row
    picture.label(shelf.name, x, top - 10 * size, bold=True, size=style.text, kind="shelf")
    picture.label("price", right, top - 10 * size, anchor="end", size=style.small,
                  fill=style.quiet, kind="shelf-price")  # fmt: skip
    for place, item in enumerate(shelf.items):
        y = foot - (place + 0.5) * row
        picked = place == shelf.picked
        if picked:
            picture.rect("fitted", x, y - row / 2, right - x, row, fill="#ece9e0", stroke="none")
        left = x + _KNOB * size
        _icon(picture, shelf.name, item, left, y)
        left += (_ICON + 8) * size
        picture.label(item.name, left, y, bold=picked, size=style.small, kind="part")
        picture.label(item.detail, right - 46 * size, y, anchor="end", size=style.small,
                      kind="detail")  # fmt: skip
        picture.label(item.price, right - 4 * size, y, anchor="end", bold=picked,
                      size=style.small, kind="price")  # fmt: skip
    picture.lines("board", ((x, foot, right, foot),), stroke_width=1.6 * style.line)
    if shelf.held:
        _handle(picture, shelf, x + 0.5 * _KNOB * size, foot, row)


def _handle(picture: Picture, shelf: Shelf, x: float, foot: float, row: float) -> None:
    y = foot - (shelf.picked + 0.5) * row
    last = len(shelf.items) - 1
    told = shelf.items[shelf.picked].told
    pull = (0.0, -row)
    picture.handle(
        Handle(shelf.name, x, y, shelf.picked, 0, last, 1, "", 0, pull, words=told)
    )  # fmt: skip


def _icon(picture: Picture, kind: str, item: Item, x: float, y: float) -> None:
    """A gasket from its edge, or a piston's crown in section; like each other to one scale."""
    style, size = picture.style, picture.style.frame
    wide = _ICON * size
    if kind == "gasket":
        if item.thickness is not None:
            tall = min(item.thickness * _THICK, _ROW - 4) * size
            picture.rect("gasket", x, y - tall / 2, wide, tall, fill=picture.hatch("gasket"),
                         stroke_width=style.thin)  # fmt: skip
        return
    if item.dish is None:
        return
    tall, edge = 16 * size, y - (4 + 8 * item.rise) * size
    deep = _DEEP * item.dish * size
    bottom = y + tall / 2
    inset, floor = 0.18 * wide, 0.26 * wide
    crown = [(x + inset, edge), (x + floor, edge + deep), (x + wide - floor, edge + deep),
             (x + wide - inset, edge)]  # fmt: skip
    picture.shape(
        "crown-icon",
        [(x, bottom), (x, edge), *crown, (x + wide, edge), (x + wide, bottom)],
        fill=picture.hatch("metal"), stroke_width=style.thin,
    )  # fmt: skip
    if deep:
        picture.shape("crown", crown, fill=picture.hatch("crown"), stroke_width=style.thin)
