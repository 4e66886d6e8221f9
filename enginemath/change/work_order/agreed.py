"""What is agreed on a work order: the sections that stand above the signatures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pint

from enginemath.change.work_order.order import FaceCut, Height, WorkOrder
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


_OF_A_DIESEL = (
    "A diesel that is cut stands its pistons nearer to the head: its maker's table gives the "
    "gasket for how far they stand above the deck, and says what a cut does to valves and "
    "prechambers."
)
_OF_A_TWO_STROKE = (
    "A cut brings piston and head closer and cannot be undone; a cut at the foot of the cylinder "
    "moves every port."
)


def _cautions(engine: Engine) -> tuple[str, ...]:
    """Those of a petrol four-stroke, with what is otherwise on others."""
    sentence, of_cuts, of_fuel, sharp = CAUTIONS
    return (
        sentence,
        _OF_A_TWO_STROKE if engine.is_two_stroke else of_cuts,
        _OF_A_DIESEL if engine.is_diesel else of_fuel,
        sharp,
    )


def to_sign(order: WorkOrder) -> list[Section]:
    """What is agreed: the sections that stand above the signatures.

    Args:
        order: see `work_order`.
    """
    return [
        _wanted(order),
        ordered(order),
        *([_faces(order)] if order.cuts else []),
        _paid(order),
        _minimum(order),
        Section("Cautions", _cautions(order.before)),
    ]


def ordered(order: WorkOrder) -> Section:
    """The jobs, in the order in which they are done.

    Args:
        order: see `work_order`.
    """
    return Section("Work ordered", tuple(_jobs(order)), numbered=True)


def _wanted(order: WorkOrder) -> Section:
    options, unit = order.job.options, order.unit
    target = options.target
    over = " over the full stroke" if order.before.is_two_stroke else ""
    wanted = [f"ratio {show_ratio(target.low)} to {show_ratio(target.high)}{over}"]
    if target.squish:
        tight, wide = target.squish
        wanted.append(
            f"squish clearance {in_both_units(tight, unit)} to {in_both_units(wide, unit)}"
        )
    if options.limits_the_deck:
        least = in_both_units(options.deck_clearance_min, unit)
        wanted.append(f"deck clearance {least} or more")
    return Section("Wanted in every cylinder", [f"{'; '.join(wanted)}."])


def _jobs(order: WorkOrder) -> Iterator[str]:
    choice = order.choice
    last = {cut.face: cut for cut in order.cuts}
    for cut in order.cuts:
        loss = f" {_chamber_loss(order, cut)}" if cut.face == "head" else ""
        flat = f" {_FLAT[cut.face][bool(cut.bank)]}" if last[cut.face] is cut else ""
        yield f"{_cut(order, cut)}{flat}{loss}"
    if choice.gasket.gasket is not None:
        yield f"Fit the head gasket “{choice.gasket.name}”: {_gasket(order)}"
    if choice.piston.piston is not None:
        yield f"Fit the pistons “{choice.piston.name}”: {_piston(order)}"
    if choice.rods.length is not None:
        yield f"Fit the rods “{choice.rods.name}”: {in_both_units(choice.rods.length, order.unit)}."
    if choice.crank.stroke is not None:
        stroke = in_both_units(choice.crank.stroke, order.unit)
        yield f"Fit the crank “{choice.crank.name}”: stroke {stroke}."
    kept = list(_kept(order))
    if kept:
        yield f"Leave as measured: {', '.join(kept)}. Ask before anything else is cut or changed."
    yield f"Price by the list: {choice.price:g}."


_FLAT = {
    "deck": (
        "Flat, and parallel to the crank's centre line.",
        "Every deck flat, and parallel to the crank's centre line.",
    ),
    "head": (
        "Flat, and parallel to the old face.",
        "Every head flat, and parallel to its old face.",
    ),
}
"""How a face is left, said once: of one bank, and of several."""


def _kept(order: WorkOrder) -> Iterator[str]:
    """What is neither cut nor changed."""
    choice, banks = order.choice, order.job.banks
    for face, depths in (("deck", choice.deck_cuts), ("head", choice.head_cuts)):
        stay = [bank.name for bank, depth in zip(banks, depths, strict=True) if not depth.magnitude]
        if len(stay) == len(banks):
            yield face
        else:
            yield from (f"{face} of bank {name}" for name in stay)
    if choice.gasket.gasket is None:
        yield "head gasket of the measured thickness"
    if choice.piston.piston is None:
        yield "pistons"


def _cut(order: WorkOrder, cut: FaceCut) -> str:
    unit = order.unit
    tolerances = order.options.tolerances
    tolerance = tolerances.deck_cut if cut.face == "deck" else tolerances.head_cut
    depth = in_both_units(cut.depth, unit)
    text = f"Cut the {cut.what} by {depth}. "
    if cut.height is not None:
        text = f"Cut the {cut.what} to a height of {in_both_units(cut.height, unit)}: by {depth}. "
    if cut.bank:
        return text.rstrip()
    least, most = cut.room
    text += (
        f"From {in_both_units(least, unit)} to {in_both_units(most, unit)} "
        "every limit is kept, if all else is as measured; beyond that, stop and ask."
    )
    if tolerance.magnitude:
        text += f" Planned with ± {in_both_units(tolerance, unit)}, one standard uncertainty."
    return text


def _chamber_loss(order: WorkOrder, cut: FaceCut) -> str:
    head_cut = order.options.head_cut
    if head_cut is None:
        return ""
    loss = (cut.depth * head_cut.open_area).to("cc")
    area = show(head_cut.open_area, "cm2")
    return f"Every chamber loses {show(loss, 'cc')} (open area {area})."


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
    if option.overbore.magnitude:
        over, bore = option.overbore, best(order.after.cylinder.bore)
        text += f" Bore out by {in_both_units(over, order.unit)}, to {show(bore, order.unit)}."
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


FINISH = (
    "Surface finish: as the gasket's maker asks. Common practice, no source: about Ra 0.8 µm "
    "(30 µin) or finer for a gasket of steel layers, Ra 1.5 to 2.5 µm "
    "(60 to 100 µin) for a soft one."
)


def _faces(order: WorkOrder) -> Section:
    unit, between = order.unit, "every limit is kept, if all else is as planned; beyond it, stop"
    tolerances = order.options.tolerances
    work = [
        f"{face} ± {in_both_units(tolerance, unit)}"
        for face, tolerance in (("deck", tolerances.deck_cut), ("head", tolerances.head_cut))
        if tolerance.magnitude and any(cut.face == face for cut in order.cuts)
    ]
    lines = [f"Between the two depths {between} and ask.", FINISH]
    if work:
        lines[0] += f" Planned with one standard uncertainty of the work: {', '.join(work)}."
    return Section(
        "The cuts",
        lines,
        columns=("face", "cut to", "by", "at least", "stop at", "finish, Ra", "found", "Ra"),
        rows=[
            (
                cut.what,
                TO_FILL_IN if cut.height is None else show(cut.height, unit),
                *(show(length, unit) for length in (cut.depth, *cut.room)),
                TO_FILL_IN,
                TO_FILL_IN,
                TO_FILL_IN,
            )
            for cut in order.cuts
        ],
    )


_MOST_ROWS = 3
"""Of what is bought, in one table; more stand in two halves."""


def _paid(order: WorkOrder) -> Section:
    """What is bought and what is set up for, each with its price by the list."""
    choice = order.choice
    parts = [
        (what, option.name, option.price)
        for what, option, is_new in (
            ("head gasket", choice.gasket, choice.gasket.gasket is not None),
            ("pistons", choice.piston, choice.piston.piston is not None),
            ("rods", choice.rods, choice.rods.length is not None),
            ("crank", choice.crank, choice.crank.stroke is not None),
        )
        if is_new
    ]
    setups = []
    for face, offered in (("deck", order.options.deck_cut), ("head", order.options.head_cut)):
        cuts = [cut for cut in order.cuts if cut.face == face]
        if cuts and offered:
            banks = " and ".join(cut.bank for cut in cuts)
            setups.append((f"setup, {face}", banks, len(cuts) * offered.price))
    rows = [(what, name or "-", f"{price:g}") for what, name, price in (*parts, *setups)]
    return Section(
        "Bought and paid, by the list",
        in_halves=len(rows) >= _MOST_ROWS,
        columns=("what", "which", "price"),
        rows=[*rows, ("together", "-", f"{choice.price:g}")],
    )


def _minimum(order: WorkOrder) -> Section:
    rows: list[tuple[str, ...]] = []
    several = len(order.job.banks) > 1
    for name, heights, cuts in (
        ("block, crank's centre line to deck", order.blocks, order.choice.deck_cuts),
        ("head, face to face", order.heads, order.choice.head_cuts),
    ):
        for bank, height, cut in zip(order.job.banks, heights, cuts, strict=True):
            if cut.magnitude or (height is not None and not several):
                what = f"{name.split(',')[0]} of bank {bank.name}" if several else name
                rows.append((what, *_height(height, cut, order.unit)))
    line = (
        "Look the minimum up in the maker's book for this engine number. Where it is not "
        "found, or nothing is left, nothing is cut."
    )
    columns: tuple[str, ...] = (
        "height",
        "measured",
        "minimum",
        "looked up in",
        "left after this order",
    )
    sources = {row[_SOURCE] for row in rows}
    if len(rows) > 1 and len(sources) == 1 and TO_FILL_IN not in sources:
        line += f" These were looked up in: {sources.pop()}."
        columns, rows = _without_source(columns), [_without_source(row) for row in rows]
    return Section(
        "Do not cut below the maker's minimum",
        [line],
        columns=columns,
        rows=rows or [("block and head", "not cut", "-", "-", "-")],
    )


_SOURCE = 3


def _without_source(cells: Sequence[str]) -> tuple[str, ...]:
    return (*cells[:_SOURCE], *cells[_SOURCE + 1 :])


def _height(height: Height | None, cut: pint.Quantity, unit: str) -> tuple[str, str, str, str]:
    if height is None:
        return (TO_FILL_IN,) * 4
    lengths = (best(height.measured), best(height.minimum), best(height.left(cut)))
    measured, minimum, left = (show(length, unit) for length in lengths)
    return measured, minimum, height.source, left


def planned(order: WorkOrder) -> Section:
    """What the work makes of every cylinder."""
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
    if order.kept is not None:
        told.append(f"Chance that every limit is kept in every cylinder: {percent(order.kept)}")
    return f"{'. '.join(told)}. A ± is one standard uncertainty."
