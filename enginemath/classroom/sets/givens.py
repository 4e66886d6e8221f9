"""The readings of one engine as rows to print: what was read, never what follows from it."""

from __future__ import annotations

from collections.abc import Iterator

from enginemath.classroom.sets.assignment import Assignment

_WORDS = {
    ("cylinder", "bore"): "bore",
    ("cylinder", "stroke"): "stroke",
    ("cylinder", "rod_length"): "rod length, centre to centre",
    ("deck", "depth_at_bdc"): "depth from the deck to the piston's edge at bottom dead centre",
    ("deck", "clearance"): "deck clearance, piston below the deck at top dead centre",
    ("gasket", "bore"): "gasket bore",
    ("gasket", "free_thickness"): "gasket thickness, new, not yet bolted down",
    ("gasket", "compressed_thickness"): "gasket thickness, compressed",
    ("piston", "dish"): "dish in the piston",
    ("piston", "dome"): "dome on the piston",
    ("piston", "reliefs"): "valve reliefs",
    ("ring_land", "height"): "ring land, piston's edge to top ring",
    ("ring_land", "clearance"): "ring land, bore less land diameter",
    ("cam", "intake_closes"): "intake closes, valve on its seat, after bottom dead centre",
}


def givens(assignment: Assignment) -> list[tuple[str, str]]:
    """What was read, and the reading as it was written down.

    >>> from enginemath.classroom.sets.levels import LEVELS
    >>> from enginemath.classroom.sets.secret import ClassSecret
    >>> from enginemath.classroom.sets.variants import assign
    >>> rows = givens(assign(ClassSecret("heron"), "1042", LEVELS["dome"]))
    >>> [what for what, _ in rows][:3]
    ['cylinders', 'bore', 'stroke']
    """
    return list(_rows(assignment))


def _rows(assignment: Assignment) -> Iterator[tuple[str, str]]:
    written = assignment.sheet.written
    yield "cylinders", str(written["cylinder"]["count"])
    for (table, name), words in _WORDS.items():
        reading = written.get(table, {}).get(name)
        if reading is not None:
            yield words, reading
    known = written.get("piston", {}).get("known_depth")
    if known:
        yield "known depth, piston's edge below the deck, grease in the gap", known["depth"]
        yield "poured above the piston at the known depth", known["poured"]
    elif "piston" not in written:
        yield "piston", "flat top"
    fills = written["chamber"]["fills"]
    for number, (start, end) in enumerate(fills, start=1):
        which = "" if len(fills) == 1 else f", fill {number} of {len(fills)}"
        yield f"chamber poured{which}: burette start, end", f"{start}, {end}"
    if assignment.target is not None:
        yield "target ratio", f"{assignment.target:.1f}"
