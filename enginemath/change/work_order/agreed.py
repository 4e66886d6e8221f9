"""What is agreed on a work order: the sections that stand above the signatures."""

from __future__ import annotations

from collections.abc import Iterator

import pint

from enginemath.change.work_order.order import Height, WorkOrder
from enginemath.change.work_order.section import TO_FILL_IN, Section, in_both_units
from enginemath.engine.parts import Engine
from enginemath.engine.stack import stacks
from enginemath.units import best, in_cc, nominal, percent, show, show_ratio

FILLED_BY_HAND = ("order number", "date", "customer", "engine number", "casting number, head")
SIGNED_BY = ("ordered by", "machinist", "checked after the work by")

CAUTIONS = (
    "A computed ratio is not permission to cut or to run. The maker's minimum and a qualified "
    "machine shop decide what may be cut. Local codes and licensed practice come first.",
    "A cut moves an overhead cam out of time, brings valves and pistons closer, changes how the "
    "intake fits, and cannot be undone.",
    "Too much ratio for the fuel brings knock: broken ring lands, holed pistons, lost gaskets.",
    "Fresh cuts and gasket faces are sharp: gloves and eye protection. Two people or a hoist for "
    "an iron head. Fingers out of the bore while the crank turns.",
)


def to_sign(order: WorkOrder) -> list[Section]:
    """What is agreed: the sections that stand above the signatures.

    Args:
        order: see `work_order`.
    """
    return [
        _wanted(order),
        ordered(order),
        _minimum(order),
        _planned(order),
        Section("Cautions", CAUTIONS),
    ]


def ordered(order: WorkOrder) -> Section:
    """The jobs, in the order in which they are done.

    Args:
        order: see `work_order`.
    """
    return Section("Work ordered", tuple(_jobs(order)), numbered=True)


def _wanted(order: WorkOrder) -> Section:
    target, unit = order.options.target, order.unit
    wanted = [f"ratio {show_ratio(target.low)} to {show_ratio(target.high)}"]
    if target.squish:
        tight, wide = target.squish
        wanted.append(
            f"squish clearance {in_both_units(tight, unit)} to {in_both_units(wide, unit)}"
        )
    least = order.options.deck_clearance_min
    wanted.append(f"deck clearance {in_both_units(least, unit)} or more")
    return Section("Wanted in every cylinder", [f"{'; '.join(wanted)}."])


def _jobs(order: WorkOrder) -> Iterator[str]:
    choice, unit = order.choice, order.unit
    if choice.deck_cut.magnitude:
        tolerance = order.options.tolerances.deck_cut
        cut = _cut("deck", choice.deck_cut, order.deck_cut_room, tolerance, unit)
        yield f"{cut} Flat, and parallel to the crank's centre line."
    if choice.head_cut.magnitude:
        tolerance = order.options.tolerances.head_cut
        cut = _cut("head", choice.head_cut, order.head_cut_room, tolerance, unit)
        yield f"{cut} Flat, and parallel to the old face. {_chamber_loss(order)}"
    if choice.gasket.gasket is not None:
        yield f"Fit the head gasket “{choice.gasket.name}”: {_gasket(order)}"
    if choice.piston.piston is not None:
        yield f"Fit the pistons “{choice.piston.name}”: {_piston(order)}"
    kept = [
        name
        for name, changes in (
            ("deck", choice.deck_cut.magnitude),
            ("head", choice.head_cut.magnitude),
            ("head gasket of the measured thickness", choice.gasket.gasket),
            ("pistons", choice.piston.piston),
        )
        if not changes
    ]
    if kept:
        yield f"Leave as measured: {', '.join(kept)}. Ask before anything else is cut or changed."
    yield f"Price by the list: {choice.price:g}."


def _cut(
    face: str,
    depth: pint.Quantity,
    room: tuple[pint.Quantity, pint.Quantity],
    tolerance: pint.Quantity,
    unit: str,
) -> str:
    least, most = room
    text = (
        f"Cut the {face} by {in_both_units(depth, unit)}. "
        f"From {in_both_units(least, unit)} to {in_both_units(most, unit)} "
        "every limit is kept, if all else is as measured; beyond that, stop and ask."
    )
    if tolerance.magnitude:
        text += f" Planned with ± {in_both_units(tolerance, unit)}, one standard uncertainty."
    return text


def _chamber_loss(order: WorkOrder) -> str:
    cut = order.options.head_cut
    if cut is None:
        return ""
    loss = (order.choice.head_cut * cut.open_area).to("cc")
    return f"Every chamber loses {show(loss, 'cc')} (open area {show(cut.open_area, 'cm2')})."


def _gasket(order: WorkOrder) -> str:
    gasket, unit = order.choice.gasket.gasket, order.unit
    if gasket is None or gasket.compressed_thickness is None or gasket.bore is None:
        return f"opening of {show(order.after.gasket.volume, 'cc')}."
    return (
        f"compressed thickness {in_both_units(best(gasket.compressed_thickness), unit)}, opening "
        f"{in_both_units(best(gasket.bore), unit)}. Tighten as its maker says."
    )


def _piston(order: WorkOrder) -> str:
    option = order.choice.piston
    text = f"{_crown(order.after)}."
    rise = option.rise
    if rise.magnitude:
        way = "higher" if rise.magnitude > 0 else "lower"
        text += f" The crown sits {in_both_units(abs(rise), order.unit)} {way} than now."
    return text


def _crown(engine: Engine) -> str:
    piston = engine.piston
    shapes = [
        f"{name} {show(volume, 'cc')}"
        for name, volume in (
            ("dish", piston.dish),
            ("dome", piston.dome),
            ("valve reliefs", piston.reliefs),
        )
        if in_cc(volume)
    ]
    return ", ".join(shapes) or "flat crown"


def _minimum(order: WorkOrder) -> Section:
    rows = []
    for name, height, cut in (
        ("block, crank's centre line to deck", order.block, order.choice.deck_cut),
        ("head, face to face", order.head, order.choice.head_cut),
    ):
        if cut.magnitude or height is not None:
            rows.append((name, *_height(height, cut, order.unit)))
    return Section(
        "Do not cut below the maker's minimum",
        [
            "Look the minimum up in the maker's book for this engine number. Where it is not "
            "found, or nothing is left, nothing is cut."
        ],
        columns=("height", "measured", "minimum", "looked up in", "left after this order"),
        rows=rows or [("block and head", "not cut", "-", "-", "-")],
    )


def _height(height: Height | None, cut: pint.Quantity, unit: str) -> tuple[str, str, str, str]:
    if height is None:
        return (TO_FILL_IN,) * 4
    lengths = (best(height.measured), best(height.minimum), best(height.left(cut)))
    measured, minimum, left = (show(length, unit) for length in lengths)
    return measured, minimum, height.source, left


def _planned(order: WorkOrder) -> Section:
    before, after = stacks(order.before), stacks(order.after)
    unit, rows = order.unit, []
    for number, (old, new) in enumerate(zip(before, after, strict=True)):
        deck, planned = order.before.decks[number], order.after.decks[number]
        squishes = order.before.squish(number), order.after.squish(number)
        rows.append(
            (
                f"{number + 1}",
                _from_to(deck.clearance, planned.clearance, unit),
                _from_to(old.chamber, new.chamber, "cc"),
                "not known" if None in squishes else _from_to(*squishes, unit),
                f"{show_ratio(nominal(old.ratio), 3)} → {show_ratio(nominal(new.ratio), 3)}",
            )
        )
    return Section(
        "As measured → as planned",
        [_summary(order)],
        columns=(
            "cylinder",
            f"deck clearance, {unit}",
            "chamber, cc",
            f"squish clearance, {unit}",
            "ratio",
        ),
        rows=rows,
    )


def _from_to(old: pint.Quantity, new: pint.Quantity, unit: str) -> str:
    first, last = (show(best(value), unit).removesuffix(f" {unit}") for value in (old, new))
    return f"{first} → {last}"


def _summary(order: WorkOrder) -> str:
    told = []
    for when, report in zip(("as measured", "as planned"), order.reports, strict=True):
        text = f"Mean ratio {when} {show_ratio(report['compression_ratio'])}"
        if report["u_compression_ratio"] is not None:
            low, high = map(show_ratio, report["interval_95"])
            text += f" ± {show_ratio(report['u_compression_ratio'])} (95 %: {low} to {high})"
        told.append(text)
    if order.chance is not None:
        told.append(f"Chance that every cylinder ends inside the band: {percent(order.chance)}")
    return f"{'. '.join(told)}. A ± is one standard uncertainty."
