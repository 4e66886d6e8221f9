"""What goes with a work order to the bench: the sections below the signatures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import pint

from enginemath.change.work_order.agreed import planned
from enginemath.change.work_order.order import WorkOrder
from enginemath.change.work_order.section import TO_FILL_IN, Section, other_unit
from enginemath.engine.parts import Engine, plain
from enginemath.engine.rules_of_thumb import PISTON_TO_EXHAUST_VALVE, PISTON_TO_INTAKE_VALVE
from enginemath.units import best, in_cc, in_mm, show, show_ratio


def for_the_bench(order: WorkOrder) -> list[Section]:
    """What goes with it to the bench: the sections below the signatures.

    Args:
        order: see `work_order`.
    """
    return [planned(order), _again(order), *_to_settle(order), _as_measured(order)]


def _as_measured(order: WorkOrder) -> Section:
    unit = order.unit
    return Section(
        "The engine as measured",
        in_halves=True,
        columns=("part", unit, other_unit(unit)),
        rows=[
            (name, show(length, unit), show(length, other_unit(unit)))
            for name, length in _lengths(order.before)
        ]
        + [(name, show(volume, "cc"), show(volume, "cu_in")) for name, volume in _volumes(order)],
    )


def _lengths(engine: Engine) -> Iterator[tuple[str, pint.Quantity]]:
    cylinder, gasket, land = engine.cylinder, engine.gasket, engine.ring_land
    bores = [each.bore for each in engine.cylinders]
    strokes = [each.stroke for each in engine.cylinders]
    every = [
        *_ends("bore", bores),
        *_ends("stroke", strokes),
        ("rod length", cylinder.rod_length),
        ("gasket bore", gasket.bore),
        ("compressed thickness", gasket.compressed_thickness),
        ("ring land height", land and land.height),
        ("ring land clearance", land and land.clearance),
        *_each("deck clearance", [deck.clearance for deck in engine.decks]),
    ]
    yield from ((name, length) for name, length in every if length is not None)


def _volumes(order: WorkOrder) -> Iterator[tuple[str, pint.Quantity]]:
    engine = order.before
    yield from _each("chamber", [chamber.volume for chamber in engine.chambers])
    yield "gasket opening", engine.gasket.volume
    yield f"crown ({_crown_shape(engine)})", engine.piston.crown
    yield "swept, one cylinder", engine.cylinder.swept


def _crown_shape(engine: Engine) -> str:
    crown = in_cc(engine.piston.crown)
    return "flat" if not crown else "adds" if crown > 0 else "takes away"


def _each(name: str, values: list[pint.Quantity]) -> list[tuple[str, pint.Quantity]]:
    """One line where all cylinders share a reading, else one for each."""
    first = values[0]
    if all(value == first for value in values):
        return [(name, first)]
    return [(f"{name}, no. {number}", value) for number, value in enumerate(values, start=1)]


def _ends(name: str, values: list[pint.Quantity]) -> list[tuple[str, pint.Quantity]]:
    """One line where the cylinders share a reading, else the least and the most."""
    least, most = min(values, key=in_mm), max(values, key=in_mm)
    if in_mm(least) == in_mm(most):
        return [(name, least)]
    return [(f"{name}, least", least), (f"{name}, most", most)]


def _again(order: WorkOrder) -> Section:
    return Section(
        "Measure again after the work, before anything is bolted together for good",
        columns=("what", "with", "planned", "found"),
        rows=[(*row, TO_FILL_IN) for row in _checks(order)],
    )


def _checks(order: WorkOrder) -> Iterator[tuple[str, str, str]]:
    choice, after, unit = order.choice, order.after, order.unit
    for cut in order.cuts:
        yield f"{cut.what}: flatness, depth cut", "straight edge, gauge", show(cut.depth, unit)
    for number in _moved(order.before.decks, after.decks):
        planned = show(best(after.decks[number].clearance), unit)
        yield f"deck clearance {number + 1}, both pin sides", "dial indicator", planned
    for number in _moved(order.before.chambers, after.chambers):
        planned = show(best(after.chambers[number].volume), "cc")
        yield f"chamber {number + 1}, three pours", "burette and plate", planned
    if choice.gasket.gasket is not None and after.gasket.compressed_thickness is not None:
        thickness = show(best(after.gasket.compressed_thickness), unit)
        yield "gasket, compressed thickness", "micrometer, trial fit", thickness
    if choice.piston.piston is not None:
        crown = show(best(after.piston.crown), "cc")
        yield "crown of every piston", "known depth, burette", crown
    squishes = [squish for squish in map(after.squish, range(after.count)) if squish is not None]
    if squishes:
        tightest = min(best(squish) for squish in squishes)
        yield "squish, tightest cylinder", "soft solder or clay", show(tightest, unit)
    if after.is_diesel:
        yield "piston to every valve", "clay", "the maker's figure"
    elif not after.is_two_stroke:
        for rule in (PISTON_TO_INTAKE_VALVE, PISTON_TO_EXHAUST_VALVE):
            yield rule.name.lower(), "clay, common practice", rule.range_in(unit)
    if not after.is_two_stroke:
        yield "cam timing", "degree wheel", "cam maker's card"
    if order.cuts and not after.is_two_stroke:
        yield "intake fit (V: face, bolt holes)", "trial fit", "no step, no strain"
    ratio = show_ratio(order.reports[1]["compression_ratio"])
    yield "ratio, from a new sheet", "every reading above", ratio


def _moved(before: Sequence[Any], after: Sequence[Any]) -> list[int]:
    """Cylinders, from 0, of which a part is not what it was."""
    pairs = enumerate(zip(before, after, strict=True))
    return [number for number, (old, new) in pairs if plain(old) != plain(new)]


def _to_settle(order: WorkOrder) -> Iterator[Section]:
    warnings = order.reports[1]["warnings"]
    if warnings:
        yield Section("To settle before the engine runs", warnings)
