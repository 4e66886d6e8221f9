"""What a student wrote down on the bench, read: one number for each thing, or why not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from statistics import fmean
from typing import Any

from enginemath.answers.by_hand.readings import Readings
from enginemath.answers.own_readings.boxes import ReadingBox, ToRead
from enginemath.answers.own_readings.record import Record
from enginemath.answers.quantities import Asked
from enginemath.answers.written_answer import read_answer
from enginemath.engine import limits
from enginemath.engine.limits import Limit
from enginemath.formulas.geometry import disc_area
from enginemath.sheets.what_is_read import WHATS
from enginemath.units import MM3_PER_CC, MM_PER_INCH, Quantity, Refused, unit_of


@dataclass(frozen=True)
class Taken:
    """One thing as a student read it.

    Args:
        asked: what was to be read.
        written: as it was written, box by box, without those that are empty.
        value: in mm or cc; None where it is not written down or cannot be read.
        refusal: why it cannot be read; empty where it can.
        taken_as: the unit that a bare number was taken in; empty where all had theirs.
        depth: of a known-depth pour, in mm.
        fills: of the burette, start and end in cc.
    """

    asked: ToRead
    written: tuple[str, ...] = ()
    value: float | None = None
    refusal: str = ""
    taken_as: str = ""
    depth: float = 0.0
    fills: tuple[tuple[float, float], ...] = ()

    @property
    def pieces(self) -> tuple[str, ...]:
        """What was written, number by number; of a fill, start and end together."""
        if not self.asked.fills:
            return self.written
        first, rest = (self.written[:1], self.written[1:]) if self.depth else ((), self.written)
        pairs = (" to ".join(rest[place : place + 2]) for place in range(0, len(rest), 2))
        return (*first, *pairs)


def take(asked: ToRead, texts: Mapping[str, str]) -> Taken:
    """Read what was written in the boxes of one thing.

    Args:
        asked: what was to be read.
        texts: what was written, by the box's name.

    >>> bore = ToRead("bore", "mm")
    >>> take(bore, {"read_bore": "88.34"}).taken_as, take(bore, {"read_bore": ""}).value
    ('mm', None)
    >>> take(bore, {"read_bore": "88,34 mm"}).refusal
    '"88,34 mm": write a decimal point, not a comma (88.34 or 8834)'
    >>> sides = {"read_deck_clearance_one_side": "0.40 mm"}
    >>> take(ToRead("deck clearance", "mm", sides=2), sides).refusal
    'other side of pin: not written down'
    """
    said = {box: texts.get(box.name, "").strip() for box in asked.boxes}
    written = tuple(text for text in said.values() if text)
    if not written:
        return Taken(asked)
    hand = _Hand(said)
    try:
        found = _poured(asked, hand) if asked.fills else _shown(asked, hand)
    except Refused as refusal:
        return Taken(asked, written, refusal=str(refusal))
    return replace(found, written=written, taken_as=hand.taken_as)


def refusal_of(box: ReadingBox, text: str) -> str:
    """Why what was written in a box is no number that can be read; empty where it is.

    >>> refusal_of(ReadingBox("read_bore", "mm"), "about 88 mm")
    '"about 88 mm": write a number and its unit, like "92.0 mm"'
    """
    try:
        read_answer(text, _asked(box))
    except Refused as refusal:
        return str(refusal)
    return ""


def _asked(box: ReadingBox) -> Asked:
    return Asked(box.label, "cc" if box.unit == "mL" else box.unit)


@dataclass
class _Hand:
    """Reads box by box, and remembers which bare number was taken in which unit."""

    said: Mapping[ReadingBox, str]
    taken_as: str = field(default="", init=False)

    def number(self, box: ReadingBox, limit: Limit) -> float:
        text = self.said[box]
        if not text:
            raise Refused(f"{box.label}: not written down")
        asked = _asked(box)
        answer = read_answer(text, asked)
        limit.accept(Quantity(answer.value, unit_of(asked.unit)))
        if answer.taken_as:
            self.taken_as = box.unit
        return answer.value * (MM_PER_INCH if asked.unit == "in" else 1.0)


def _shown(asked: ToRead, hand: _Hand) -> Taken:
    limit = WHATS[asked.what].limit
    return Taken(asked, value=fmean([hand.number(box, limit) for box in asked.boxes]))


def _poured(asked: ToRead, hand: _Hand) -> Taken:
    boxes, depth = list(asked.boxes), 0.0
    if asked.is_known_depth:
        depth = hand.number(boxes.pop(0), limits.KNOWN_DEPTH)
    fills = []
    for start, end in zip(boxes[::2], boxes[1::2], strict=True):
        if not (hand.said[start] or hand.said[end]):
            continue
        first, last = (hand.number(each, limits.BURETTE_READING) for each in (start, end))
        if not last > first:
            raise Refused(
                f"{end.label}: {hand.said[end]} after {hand.said[start]}; a burette is read "
                "downwards: are start and end exchanged?"
            )
        fills.append((first, last))
    if not fills:
        raise Refused(f"{boxes[0].label}: not written down")
    poured = sum(last - first for first, last in fills)
    limit = limits.POURED if asked.is_known_depth else WHATS[asked.what].limit
    limit.accept(Quantity(poured, "cc"))
    return Taken(asked, value=poured, depth=depth, fills=tuple(fills))


def own_readings(record: Record, taken: Iterable[Taken]) -> Readings:
    """The record's readings with a student's own in their places.

    Args:
        record: of the student's cylinder.
        taken: what is readable of it; all else stays as on record.
    """
    found = {each.asked.what: each for each in taken if each.value is not None}
    own = replace(record.readings, **_put(found, record.readings))
    if "deck clearance" not in found and {"stroke", "depth at bdc"} <= found.keys():
        return replace(own, decks=(own.depth_at_bdc - own.stroke,))
    if "depth at bdc" in found:
        return replace(own, stroke=own.depth_at_bdc - own.decks[0])
    return replace(own, depth_at_bdc=own.stroke + own.decks[0])


_PLACES = {
    "bore": "bore",
    "stroke": "stroke",
    "depth at bdc": "depth_at_bdc",
    "gasket bore": "gasket_bore",
    "compressed thickness": "thickness",
    "free thickness": "free_thickness",
    "dish": "dish",
    "dome": "dome",
    "reliefs": "reliefs",
    "land height": "land_height",
}
"""Where a thing goes that is one number among the readings."""


def _put(found: Mapping[str, Taken], readings: Readings) -> dict[str, Any]:
    """A student's own numbers by their places among the readings."""
    put: dict[str, Any] = {
        place: found[what].value for what, place in _PLACES.items() if what in found
    }
    if deck := found.get("deck clearance"):
        put["decks"] = (deck.value,)
    if chamber := found.get("chamber"):
        put |= {"chambers": (chamber.value,), "fills": chamber.fills}
    if pour := found.get("known depth"):
        put |= {"known_depth": pour.depth, "poured": pour.value}
    if (land := found.get("land diameter")) and land.value is not None:
        put["land_clearance"] = put.get("bore", readings.bore) - land.value
    return put


def compared(record: Record, taken: Taken) -> float | None:
    """What of a reading is set against the record: of a known-depth pour, what the crown adds."""
    if taken.value is None or not taken.asked.is_known_depth:
        return taken.value
    return taken.value - disc_area(record.readings.bore) * taken.depth / MM3_PER_CC


_STANDING_IN = {
    "bore": 90.0,
    "stroke": 80.0,
    "depth at bdc": 80.5,
    "deck clearance": 0.5,
    "chamber": 50.0,
    "gasket bore": 92.0,
    "compressed thickness": 1.2,
    "free thickness": 1.5,
    "known depth": 60.0,
    "dish": 5.0,
    "dome": 5.0,
    "reliefs": 2.0,
    "land height": 6.0,
    "land diameter": 89.4,
}


def blank(record: Record) -> Record:
    """A record for a student's own check: what is read stands there as of no engine at all."""
    none = [Taken(each, value=_STANDING_IN[each.what], depth=8.0) for each in record.to_read]
    return replace(record, readings=own_readings(record, none), expected={})
