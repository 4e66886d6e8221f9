"""What the trade says about ratio, fuel and altitude: rules of thumb, each with its caution."""

from __future__ import annotations

from collections.abc import Iterator

import pint

from enginemath.engine import rules_of_thumb
from enginemath.engine.parts import Engine
from enginemath.engine.running import cranking, timing_note
from enginemath.engine.stack import stacks
from enginemath.formulas import atmosphere
from enginemath.units import Number, best, nominal, shop_unit, show

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


def running_warnings(engine: Engine, head: str = "iron") -> list[str]:
    """What on an engine's sheet deserves a second look before it runs.

    Args:
        engine: whatever of fuel, rod and intake closing it holds is judged.
        head: ``"iron"``, the more careful band, or ``"aluminium"``.

    Returns:
        The timing note where an intake closing is given, then the rules of thumb that the
        cylinder with the highest ratio exceeds.
    """
    return [*_of_timing(engine), *_of_fuel(engine, head)]


def _of_timing(engine: Engine) -> Iterator[str]:
    if engine.intake_closes is None:
        return
    yield timing_note(best(engine.intake_closes))
    if engine.cylinder.rod_length is not None:
        ratios = [nominal(stack.ratio) for stack in stacks(engine)]
        highest = cranking(engine, ratios.index(max(ratios)))
        yield from _if_above(rules_of_thumb.EFFECTIVE_RATIO, nominal(highest.effective_ratio))


def _of_fuel(engine: Engine, head: str) -> Iterator[str]:
    if engine.antiknock_index is None:
        return
    rule = rules_of_thumb.fuel_rule(engine.antiknock_index, head)
    if rule is None:
        yield _no_rule(engine.antiknock_index)
    else:
        yield from _if_above(rule, max(nominal(stack.ratio) for stack in stacks(engine)))


def _if_above(rule: rules_of_thumb.Rule, value: float) -> Iterator[str]:
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
