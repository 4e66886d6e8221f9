"""Whether what is found still holds all that was stored; what is new beside it is welcome."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

SHARE = 1e-12
"""How far a number may move, as a share of it: the order of a sum, no more."""
NEAR_NOTHING = 1e-14
"""The same where the number is nothing but such a rest, in whatever unit."""


def differences(stored: Any, found: Any, place: str = "") -> Iterator[str]:
    """What differs, place by place: a key may be new, none may be missing or of another value.

    >>> list(differences({"ratio": 9.5, "unit": "mm"}, {"unit": "mm", "ratio": 9.5, "new": 1}))
    []
    >>> list(differences({"plans": [{"price": 38}]}, {"plans": [{"price": 38.1}]}))
    ['plans[0].price: 38 stored, 38.1 found']
    """
    if isinstance(stored, dict) and isinstance(found, dict):
        for key, value in stored.items():
            inside = f"{place}.{key}".removeprefix(".")
            if key in found:
                yield from differences(value, found[key], inside)
            else:
                yield f"{inside}: {value!r} stored, missing"
    elif isinstance(stored, list) and isinstance(found, list):
        if len(stored) != len(found):
            yield f"{place}: {len(stored)} stored, {len(found)} found"
        for number, (one, other) in enumerate(zip(stored, found, strict=False)):
            yield from differences(one, other, f"{place}[{number}]")
    elif not _is_same(stored, found):
        yield f"{place}: {stored!r} stored, {found!r} found"


def _is_same(stored: Any, found: Any) -> bool:
    if _is_number(stored) and _is_number(found):
        return math.isclose(stored, found, rel_tol=SHARE, abs_tol=NEAR_NOTHING)
    return type(stored) is type(found) and stored == found


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
