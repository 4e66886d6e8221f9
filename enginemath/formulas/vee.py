"""What a parallel cut of head or deck does to the intake side of a V engine.

Measure the real angles: manifold and ports no longer line up if they are guessed.
"""

from __future__ import annotations

from enginemath.formulas.geometry import cos, sin
from enginemath.units import Number


def intake_face_cut(cut: Number, bank_angle: Number, face_angle: Number) -> Number:
    """What the head's intake face must lose so that the ports line up again.

        f = d·sin β/cos ψ

    Args:
        cut: d, off the head or the deck, a length.
        bank_angle: β, of the cylinders from the vertical: half the angle of the V; a bare number
            is in degrees.
        face_angle: ψ, of the intake face from the vertical; a bare number is in degrees.

    Returns:
        A length, in the unit of `cut`.

    Source: workshop-manual practice (from memory).

    >>> round(intake_face_cut(0.50, 45.0, 30.0), 3)
    0.408
    """
    return cut * sin(bank_angle) / cos(face_angle)


def manifold_drop(cut: Number, bank_angle: Number, face_angle: Number) -> Number:
    """How far the intake manifold comes down: what the valley's end walls must give way.

        m = d·(cos β + sin β·tan ψ)

    Args:
        cut: d, off the head or the deck, a length.
        bank_angle: β, of the cylinders from the vertical: half the angle of the V; a bare number
            is in degrees.
        face_angle: ψ, of the intake face from the vertical; a bare number is in degrees.

    Returns:
        A length, in the unit of `cut`.

    Source: workshop-manual practice (from memory).

    >>> round(manifold_drop(0.50, 45.0, 30.0), 3)
    0.558
    """
    tangent = sin(face_angle) / cos(face_angle)
    return cut * (cos(bank_angle) + sin(bank_angle) * tangent)
