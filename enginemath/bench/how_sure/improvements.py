"""What one more pour, a second burette or a better gauge would bring, in numbers."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from enginemath.bench.how_sure.interval import Source, half_width
from enginemath.units import percent

WORTH_SAYING = 0.05
"""Share of the variance from which a source is worth an hour on the bench."""


class Improvement(NamedTuple):
    """One source of a result's ±, and what less of it would bring.

    Args:
        source: its name.
        share: of the variance, 0 to 1.
        change: what would be done at the bench.
        now, then: half-width that holds 95 %, as it is and as it would be.
        or_else: other things that could be done, and the half-width that each would bring.
    """

    source: str
    share: float
    change: str
    now: float
    then: float
    or_else: tuple[tuple[str, float], ...] = ()

    def says(self, decimals: int = 2) -> str:
        """One line for the shop.

        >>> print(Improvement("burette", 0.62, "a second burette", 0.13, 0.10).says())
        burette 62 %: a second burette would bring 95 % from ± 0.13 to ± 0.10
        """
        return f"{self.source} {percent(self.share)}: " + bringing(
            self.now, [(self.change, self.then), *self.or_else], decimals
        )


def bringing(now: float, changes: Sequence[tuple[str, float]], decimals: int) -> str:
    """What each change would make of the 95 %, in words.

    >>> bringing(0.13, [("one more of each", 0.11), ("a better one", 0.08)], 2)
    'one more of each would bring 95 % from ± 0.13 to ± 0.11, a better one to ± 0.08'
    """
    (change, then), *others = changes
    said = f"{change} would bring 95 % from ± {now:.{decimals}f} to ± {then:.{decimals}f}"
    return said + "".join(f", {other} to ± {half:.{decimals}f}" for other, half in others)


def budget_of(sources: Iterable[Source]) -> list[tuple[str, float]]:
    """Share of the variance by the name of its source, the largest first.

    >>> [(name, round(share, 2)) for name, share in budget_of([Source("a", 3), Source("b", 4)])]
    [('b', 0.64), ('a', 0.36)]
    """
    by_name: dict[str, list[float]] = {}
    for source in sources:
        by_name.setdefault(source.name, []).append(source.contribution)
    contributions = {name: math.hypot(*parts) for name, parts in by_name.items()}
    u = math.hypot(*contributions.values())
    shares = [(name, (own / u) ** 2) for name, own in contributions.items() if u]
    return sorted(shares, key=lambda line: (-round(line[1], 9), line[0]))


def improvements(sources: Sequence[Source]) -> list[Improvement]:
    """What would make a result surer, for each source that is worth it.

    Args:
        sources: of the result, in its unit.

    Returns:
        The largest gain first.

    >>> from enginemath.bench.how_sure.labels import Label
    >>> pours = Source("pour scatter", 0.05, 2, label=Label("", kind="scatter", count=3))
    >>> [(one.change, round(one.now, 2), round(one.then, 2)) for one in improvements([pours])]
    [('one more of each', 0.22, 0.14)]
    """
    now = half_width(sources)
    found = []
    shares = dict(budget_of(sources))
    for name, share in shares.items():
        if share < WORTH_SAYING:
            continue
        alike = [source for source in sources if source.name == name]
        changes = _CHANGES.get(alike[0].label.kind if alike[0].label else "", _CHANGES["given"])
        others = [source for source in sources if source.name != name]
        brought = [
            (change, half_width([*others, *map(better, alike)])) for change, better in changes
        ]
        (change, then), *or_else = brought
        if then < now:
            found.append(Improvement(name, share, change, now, then, tuple(or_else)))
    return sorted(found, key=lambda one: (one.then, one.source))


def _half(source: Source) -> Source:
    return source._replace(contribution=source.contribution / 2)


def _two_tools(source: Source) -> Source:
    """Half of the readings each: two unknowns in place of one."""
    return source._replace(contribution=source.contribution / 2**0.5)


def _one_more(source: Source) -> Source:
    """One repeat more in every cell: n + 1 in place of n, and as many degrees of freedom more."""
    count = source.label.count if source.label else 1
    degrees = source.degrees_of_freedom
    more = degrees * count / (count - 1) if count > 1 else degrees + 1
    return source._replace(
        contribution=source.contribution * (count / (count + 1)) ** 0.5,
        degrees_of_freedom=more,
    )


_CHANGES: dict[str, tuple[tuple[str, Callable[[Source], Source]], ...]] = {
    "tool": (
        ("a second one for half of its readings", _two_tools),
        ("one with half its limit", _half),
    ),
    "scatter": (("one more of each", _one_more),),
    "division": (("a scale with half the division", _half),),
    "rock": (("both sides of the pin read once more", _one_more),),
    "range": (("half of this range", _half),),
    "given": (("half of this ±", _half),),
}
"""What can be done about a source of each kind, the cheapest first."""
