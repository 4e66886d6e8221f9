"""The engine that a group has read itself: how far it is, its plans, and the orders for them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from enginemath.change.combination import Combination
from enginemath.change.job import Job
from enginemath.change.price_list_file import read_options
from enginemath.lesson.loading import work_folder
from enginemath.lesson.telling import display_html
from enginemath.sheets import read_sheet
from enginemath.sheets.own_engine.state import (
    EngineState,
    price_list_of,
    sheets_last_changed,
    state_of,
)
from enginemath.units import Refused, percent, shop_unit, show

_MOST_PLANS = 3
NONE_YET = (
    "No engine of your own is here yet. Begin one on the map, under “Your own engine”; "
    "until then take the Heron Eight."
)


def show_own_engine() -> None:
    """Print what the readings of the group's own engine say; once all is read, plans and orders.

    The engine is the one in the work folder whose table was filled in last. Its plans need a price
    list beside its sheet: ``bay3-options.toml`` beside ``bay3.toml``.

    >>> show_own_engine()
    No engine of your own is here yet. Begin one on the map, under “Your own engine”; until then \
take the Heron Eight.
    """
    sheets = sheets_last_changed(work_folder())
    if not sheets:
        print(NONE_YET)
        return
    try:
        state = state_of(sheets[0])
    except Refused as refusal:
        print(refusal)
        return
    print(*_said(state), sep="\n")
    if state.is_read:
        _show_plans(sheets[0])


def _said(state: EngineState) -> Iterator[str]:
    so_far = "" if state.is_read or not state.ratio else " so far"
    yield f"{state.name}: {state.ratio or 'not yet'}{so_far}"
    if state.trouble:
        yield state.trouble
    for table in state.tables:
        who = f"group {table.group}" if table.group else "readings"
        if table.next:
            yield f"{who}: {table.done} of {table.of}, next {table.next} ({table.tool})"
        else:
            yield f"{who}: all {table.of} taken"


def _show_plans(sheet: Path) -> None:
    from enginemath.change.work_order import first_orders, order_link

    prices = price_list_of(sheet)
    if not prices.is_file():
        print(f"For its plans lay the shop's price list beside it, as {prices.name}.")
        return
    try:
        orders = first_orders(read_sheet(sheet), read_options(prices), _MOST_PLANS)
    except Refused as refusal:
        print(refusal)
        return
    for number, order in enumerate(orders, start=1):
        kept = "" if order.kept is None else f", every limit kept with {percent(order.kept)}"
        print(f"plan {number}: price {order.choice.price:g}{kept}")
        print(f"  {', '.join(_done(order.job, order.choice))}")
    if not orders:
        print("No plan of this price list keeps every limit.")
    links = [
        order_link(order, f"{sheet.stem}-order-{number}.html", f"plan {number}")
        for number, order in enumerate(orders, start=1)
        if order.choice.cuts or order.choice.fits
    ]
    if links:
        display_html(f"<p>Save the work order of {', '.join(links)}, open it and print it</p>")


def _done(job: Job, choice: Combination) -> Iterator[str]:
    unit = shop_unit(job.engine.cylinder.bore)
    for face, cuts in (("deck", choice.deck_cuts), ("head", choice.head_cuts)):
        for bank, cut in zip(job.banks, cuts, strict=True):
            if cut.magnitude:
                where = f" {bank.name}" if len(cuts) > 1 else ""
                yield f"{face}{where} cut {show(cut, unit)}"
    for what, part in (
        ("gasket", choice.gasket),
        ("pistons", choice.piston),
        ("rods", choice.rods),
        ("crank", choice.crank),
    ):
        if part.price or part.name != "as measured":
            yield f"{what} “{part.name}”"
    if not choice.cuts and not choice.fits:
        yield "nothing is changed"
