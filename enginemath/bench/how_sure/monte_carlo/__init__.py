"""Monte Carlo: draw the readings many times, work each draw through the formula, look at all.

JCGM 101:2008. The formula is the library's own; it gets arrays where it usually gets numbers.
NumPy is needed, and is imported only when draws are made.
"""

from __future__ import annotations

from enginemath.bench.how_sure.monte_carlo.known import (
    Distribution,
    Normal,
    Rectangular,
    StudentT,
    Triangular,
)
from enginemath.bench.how_sure.monte_carlo.model import Input, refuse_shared_readings
from enginemath.bench.how_sure.monte_carlo.simulating import (
    numerical_tolerance,
    simulate,
    simulate_to_digits,
)
from enginemath.bench.how_sure.monte_carlo.simulation import Simulation

__all__ = [
    "Distribution",
    "Input",
    "Normal",
    "Rectangular",
    "Simulation",
    "StudentT",
    "Triangular",
    "numerical_tolerance",
    "refuse_shared_readings",
    "simulate",
    "simulate_to_digits",
]
