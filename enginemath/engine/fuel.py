"""What the trade says about ratio, fuel and altitude: rules of thumb, each with its caution."""

from __future__ import annotations

from collections.abc import Iterator

import pint

from enginemath.engine import rules_of_thumb
from enginemath.engine.parts import Engine
from enginemath.engine.running import SEAT_LIFT, cranking, timing_note
from enginemath.engine.stack import stacks
from enginemath.formulas import atmosphere
from enginemath.units import Number, best, in_mm, nominal, shop_unit, show

_WORTH_SAYING = 300.0
"""Altitude in metres from which thin air earns a sentence."""


def fuel_advice(
    ratio: Number,
    antiknock_index: float,
    head: str = "iron",
    effective_ratio: Number | None = None,
    altitude: pint.Quantity | None = None,
) -> list[str]:
    """Judge a ratio against the fuel: a sentence for each rule of thumb that applies.

    Args:
        ratio: static compression ratio.
        antiknock_index: of the fuel, (R+M)/2.
        head: ``"iron"`` or ``"aluminium"``.
        effective_ratio: from seat timing, or None.
        altitude: above sea level, a length, or None.

    Returns:
        Sentences with range, status and caution. None of them says that an engine is safe.

    Raises:
        Refused: an altitude beyond standard air.

    Source: `enginemath.engine.rules_of_thumb`.

    >>> for sentence in fuel_advice(9.83, 87):
    ...     print(sentence)
    Ratio for regular pump fuel, antiknock index 87: 9.83 is above the usual 9 to 9.5 (common
    practice, no source). Naturally aspirated. Chamber shape, cam, load and altitude move it;
    too much brings knock.
    """
    rule = rules_of_thumb.fuel_rule(antiknock_index, head)
    advice = [rule.says(ratio) if rule else _no_rule(antiknock_index)]
    if effective_ratio is not None:
        advice.append(rules_of_thumb.EFFECTIVE_RATIO.says(effective_ratio))
    if altitude is not None and nominal(altitude.m_as("m")) >= _WORTH_SAYING:
        advice.append(_of_altitude(altitude))
    return advice


def running_warnings(engine: Engine) -> list[str]:
    """What on an engine's sheet deserves a second look before it runs.

    What the sheet answers is not asked: at which valve lift the cam was read, what the head is
    made of, which fuel it runs on. A head that nobody named is judged as iron, the more careful.

    Args:
        engine: whatever of fuel, rod and intake closing it holds is judged.

    Returns:
        The timing note where an intake closing is given and no seat timing is stated, then the
        rules of thumb that the cylinder with the highest ratio exceeds. Of a two-stroke, that its
        ratio is over the full stroke where nobody said when the exhaust closes.
    """
    return [*_of_strokes(engine), *_of_timing(engine), *_of_fuel(engine)]


FULL_STROKE = (
    "two-stroke: the ratio is that over the full stroke; give cylinder.exhaust_closes and "
    "cylinder.rod_length for the trapped ratio"
)


def _of_strokes(engine: Engine) -> Iterator[str]:
    rods = all(cylinder.rod_length is not None for cylinder in engine.cylinders)
    if engine.is_two_stroke and not (rods and engine.traps_at is not None):
        yield FULL_STROKE


def _runs_on_pump_fuel(engine: Engine) -> bool:
    return engine.fuel in (None, "petrol") and not engine.is_two_stroke


def _of_timing(engine: Engine) -> Iterator[str]:
    if engine.intake_closes is None:
        return
    lift = engine.checking_lift
    if lift is None or in_mm(lift) > SEAT_LIFT:
        yield timing_note(best(engine.intake_closes), lift)
    rods = all(cylinder.rod_length is not None for cylinder in engine.cylinders)
    if rods and _runs_on_pump_fuel(engine):
        highest = cranking(engine, _highest(engine))
        yield from _if_above(rules_of_thumb.EFFECTIVE_RATIO, highest.effective_ratio)


def _of_fuel(engine: Engine) -> Iterator[str]:
    if engine.antiknock_index is None or not _runs_on_pump_fuel(engine):
        return
    rule = rules_of_thumb.fuel_rule(engine.antiknock_index, engine.head or "iron")
    if rule is None:
        yield _no_rule(engine.antiknock_index)
    else:
        yield from _if_above(rule, stacks(engine)[_highest(engine)].ratio)


def _highest(engine: Engine) -> int:
    """The cylinder, from 0, with the highest ratio."""
    ratios = [nominal(stack.ratio) for stack in stacks(engine)]
    return ratios.index(max(ratios))


def _if_above(rule: rules_of_thumb.Rule, value: Number) -> Iterator[str]:
    if rule.place(value) == "above":
        yield rule.says(value)


def _no_rule(antiknock_index: float) -> str:
    said = f"Antiknock index {antiknock_index:g}: the trade has no rule of thumb for this fuel"
    if antiknock_index > 93:
        return (
            f"{said}. Is it the research octane number? That is about 4 to 5 higher than "
            f"(R+M)/2 ({rules_of_thumb.COMMON_PRACTICE})."
        )
    return f"{said}; below 87 expect knock at lower ratios than those for regular."


def _of_altitude(altitude: pint.Quantity) -> str:
    metres = nominal(altitude.m_as("m"))
    height = show(best(altitude), "ft" if shop_unit(altitude) == "in" else "m")
    air = 100 * nominal(atmosphere.pressure_ratio(altitude))
    rule = rules_of_thumb.OCTANE_WITH_ALTITUDE
    low, high = (metres / 300 * (end or 0.0) for end in (rule.low, rule.high))
    return (
        f"At {height} the air has {air:.0f} % of its pressure at sea level, and so has the "
        f"charge after compression. The needed antiknock index falls by perhaps {low:.1f} to "
        f"{high:.1f} ({rule.status}). {rule.caution}"
    )
