"""An engine's volumes, cylinder by cylinder, and what they make together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import pint

from enginemath.engine.parts import NOTHING, Engine
from enginemath.formulas.compression import clearance_volume, compression_ratio
from enginemath.units import CC, Number, Quantity, Refused, magnitude_in, nominal, show

PARTS = ("chamber", "gasket", "deck", "crown", "crevice")
"""The parts of the clearance volume, in the order of the stack."""


@dataclass(frozen=True)
class Stack:
    """The volumes of one cylinder, each in cc.

    >>> from enginemath.units import read
    >>> stack = Stack(*map(read, ("588.3135 cc", "47.5 cc", "7.5044 cc", "2.3267 cc", "8.8 cc")))
    >>> print(show(stack.clearance, "cc"), round(stack.ratio, 2))
    66.13 cc 9.9
    """

    swept: pint.Quantity
    chamber: pint.Quantity
    gasket: pint.Quantity
    deck: pint.Quantity
    """The volume between crown and deck; positive where the piston stops below the deck."""
    crown: pint.Quantity
    """The crown's volume: dish and valve reliefs positive, dome negative."""
    crevice: pint.Quantity = NOTHING

    @property
    def parts(self) -> dict[str, pint.Quantity]:
        """The clearance volume's parts, by name.

        Returns:
            Volumes in cc, in the order of the stack, `PARTS`.

        Source: the parts that `compression.clearance_volume` adds up.

        >>> from enginemath.units import read
        >>> stack = Stack(*map(read, ("588.31 cc", "47.5 cc", "7.504 cc", "2.327 cc", "8.8 cc")))
        >>> [f"{name} {show(volume, 'cc')}" for name, volume in stack.parts.items()][1:3]
        ['gasket 7.50 cc', 'deck 2.33 cc']
        """
        return {name: getattr(self, name) for name in PARTS}

    @cached_property
    def clearance(self) -> pint.Quantity:
        """Clearance volume: what is left above the piston at top dead centre.

            Vc = chamber + gasket + deck + crown + crevice

        Returns:
            Volume, in cc.

        Source: `compression.clearance_volume`.

        >>> from enginemath.units import read
        >>> stack = Stack(*map(read, ("588.31 cc", "47.5 cc", "7.504 cc", "2.327 cc", "8.8 cc")))
        >>> print(show(stack.clearance, "cc"))
        66.13 cc
        """
        parts = {name: magnitude_in(CC, volume) for name, volume in self.parts.items()}
        return Quantity(clearance_volume(**parts), CC)

    @cached_property
    def ratio(self) -> Number:
        """Compression ratio.

            r = (Vs + Vc)/Vc

        Returns:
            A bare number, plain or uncertain.

        Source: `compression.compression_ratio`.

        >>> from enginemath.units import read
        >>> stack = Stack(*map(read, ("588.31 cc", "47.5 cc", "7.504 cc", "2.327 cc", "8.8 cc")))
        >>> round(stack.ratio, 3)
        9.896
        """
        return compression_ratio(magnitude_in(CC, self.swept), magnitude_in(CC, self.clearance))

    def with_part(self, name: str, volume: pint.Quantity) -> Stack:
        """The same stack with another volume for one part.

        Args:
            name: of the part, one of `PARTS`, or "swept".
            volume: that it has instead, a volume in any unit.

        Returns:
            A new stack; this one stays as it is.

        Source: the clearance volume is a sum, so a part can be exchanged alone.

        >>> from enginemath.units import read
        >>> stack = Stack(*map(read, ("588.31 cc", "47.5 cc", "7.504 cc", "2.327 cc", "8.8 cc")))
        >>> print(show(stack.with_part("chamber", read("45.0 cc")).clearance, "cc"))
        63.63 cc
        """
        return replace(self, **{name: volume.to(CC)})


def stack_of(engine: Engine, number: int = 0) -> Stack:
    """The stack of one cylinder, worked out once for each engine.

    Args:
        engine: its parts.
        number: of the cylinder, from 0.

    Returns:
        The cylinder's volumes, in cc.

    Raises:
        Refused: nothing is left above the piston at top dead centre.

    Source: each part's own volume; see `enginemath.engine.parts`.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> print(show(stack_of(parse(EXAMPLE).engine).clearance, "cc"))
    66.13 cc
    """
    known: dict[int, Stack] = vars(engine).setdefault("_stacks", {})
    if number not in known:
        known[number] = _worked_out(engine, number)
    return known[number]


def _worked_out(engine: Engine, number: int) -> Stack:
    cylinder, land = engine.cylinders[number], engine.ring_lands[number]
    stack = Stack(
        swept=cylinder.swept,
        chamber=engine.chambers[number].volume,
        gasket=engine.gaskets[number].volume,
        deck=engine.decks[number].volume(cylinder.bore),
        crown=engine.pistons[number].crown,
        crevice=land.volume(cylinder.bore) if land else NOTHING,
    )
    if nominal(stack.clearance.magnitude) <= 0:
        raise Refused(
            f"cylinder {number + 1}: the parts add up to {show(stack.clearance, 'cc')} above the "
            "piston; nothing is left to burn in: measure the dome and the chamber again",
            field="piston.dome" if stack.crown <= stack.deck else f"decks[{number + 1}]",
        )
    return stack


def stacks(engine: Engine) -> tuple[Stack, ...]:
    """The stacks of all cylinders.

    Args:
        engine: its parts.

    Returns:
        A stack a cylinder, volumes in cc, in cylinder order.

    Raises:
        Refused: see `stack_of`.

    Source: `stack_of`, cylinder by cylinder.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> [round(stack.ratio, 2) for stack in stacks(parse(EXAMPLE).engine)]
    [9.9, 9.9, 9.9, 9.9]
    """
    return tuple(stack_of(engine, number) for number in range(engine.count))


def mean(numbers: Sequence[Number]) -> Number:
    """Mean of plain or uncertain numbers.

        x̄ = (x₁ + x₂ + … + xₙ)/n

    The mean of the cylinders' ratios is not the ratio of the mean chamber.

    Args:
        numbers: one or more, bare or all in one unit.

    Returns:
        Their mean, in the unit of the numbers.

    Source: JCGM 100:2008, 4.2.1.

    >>> mean([9.0, 9.5])
    9.25
    """
    return sum(numbers[1:], numbers[0]) / len(numbers)


def mean_ratio(engine: Engine) -> Number:
    """Mean compression ratio over the cylinders.

        r̄ = (r₁ + r₂ + … + rₙ)/n

    Args:
        engine: its parts.

    Returns:
        A bare number, plain or uncertain.

    Raises:
        Refused: see `stack_of`.

    Source: `mean` of the stacks' ratios.

    >>> from enginemath.sheets import EXAMPLE, parse
    >>> round(mean_ratio(parse(EXAMPLE).engine), 3)
    9.896
    """
    return mean([stack.ratio for stack in stacks(engine)])
